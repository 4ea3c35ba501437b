"""Which figures a ruling is about: one by its id, or all of a row, a column or a point on a sheet that are held."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store
from halfinch.catalogue.rulings import Decision, Ruling, add_rulings, find_figure, rulings_on
from halfinch.errors import UsageError

if TYPE_CHECKING:
    import duckdb


@dataclass(frozen=True, slots=True)
class Choice:
    """What of a sheet is meant; '' is all of it. `sheet` has to be said, unless a figure is named by its id."""

    figure: str = ""
    """figure_id, or its beginning."""
    sheet: str = ""
    """Name of the sheet or its end ("wide.pdf"), or the beginning of its sheet_id."""
    point: str = ""
    size: str = ""
    length: str = ""
    style: str = ""
    """Style or style code."""
    table: str = ""
    row: str = ""
    column: str = ""
    """Of the table, from 1; of a workbook its letter or number."""
    place: str = ""
    """The place itself, as `halfinch import --all` shows it."""
    standing: bool = False
    """Accepted and assumed figures too, not only held ones."""

    def complaint(self) -> str:
        """Why this chooses nothing, '' where it does."""
        narrowed = [
            one.name for one in fields(self) if one.name not in ("figure", "standing") and getattr(self, one.name)
        ]
        if self.figure:
            return f"A figure is named by its id alone; leave {narrowed[0]} out." if narrowed else ""
        if not self.sheet:
            return "Name the figure by its id, or the sheet (and what of it is meant: point, size, row, column)."
        if len(narrowed) == 1:
            return "Say what of the sheet is meant: its point, size, length, style, row, column or place."
        return ""


@dataclass(frozen=True, slots=True)
class Request:
    """One line of a list of rulings, not yet looked up. `where` names it in messages ("rulings.toml, ruling 2")."""

    choice: Choice
    decision: Decision
    where: str = ""


def rule_chosen(path: Path, requests: Sequence[Request], wait: float = store.DEFAULT_WAIT) -> list[Ruling]:
    """Rules on everything that was chosen: all of it or, where one request makes no sense, nothing.

    Raises UsageError naming the request that chooses nothing, or is no decision; CatalogueError.
    """
    for request in requests:
        if complaint := request.choice.complaint() or request.decision.complaint():
            raise UsageError(_at(request, complaint))
    with store.writing(path, "ruling", wait) as connection:
        made: list[Ruling] = []
        for request in requests:
            try:
                made += rulings_on(connection, choose(connection, request.choice), request.decision)
            except UsageError as error:
                raise UsageError(_at(request, str(error))) from None
        add_rulings(connection, made)
    return made


def _at(request: Request, complaint: str) -> str:
    return f"{request.where}: {complaint}" if request.where else complaint


def choose(connection: duckdb.DuckDBPyConnection, choice: Choice) -> list[str]:
    """Ids of the figures in force that are chosen, in the order of the sheet. Raises UsageError where there is none."""
    if choice.figure:
        return [find_figure(connection, choice.figure)]
    sheets = _sheets(connection, choice.sheet)
    marks = ", ".join("?" for _ in sheets)
    rows = connection.execute(
        f"""SELECT figure_id, point, size, length, style, style_code, place, status FROM figures
            WHERE reading_id IN (SELECT reading_id FROM current_readings) AND sheet_id IN ({marks}) ORDER BY rowid""",
        sheets,
    ).fetchall()
    names = ("figure_id", "point", "size", "length", "style", "style_code", "place", "status")
    met = [row for row in (dict(zip(names, row, strict=True)) for row in rows) if _meets(row, choice)]
    wanted = {"held", "accepted", "assumed"} if choice.standing else {"held"}
    chosen = [str(row["figure_id"]) for row in met if row["status"] in wanted]
    if chosen:
        return chosen
    if met:
        states = ", ".join(sorted({str(row["status"]) for row in met}))
        raise UsageError(f"None of these {len(met)} figures is held ({states}); say so if they are meant too (--any).")
    raise UsageError(f"{choice.sheet} has no such figure; it has {_what_there_is(rows, names)}.")


def _sheets(connection: duckdb.DuckDBPyConnection, wanted: str) -> list[str]:
    rows = connection.execute("SELECT sheet_id, sheet FROM current_sheets ORDER BY sheet").fetchall()
    found = [sheet_id for sheet_id, name in rows if name == wanted]
    found = found or [sheet_id for sheet_id, name in rows if name.endswith(f"/{wanted}")]
    found = found or [sheet_id for sheet_id, _ in rows if len(wanted) >= 8 and sheet_id.startswith(wanted)]
    if len(found) == 1:
        return found
    if found:
        raise UsageError(f"{len(found)} sheets are called {wanted}; name one by its folder or its sheet_id.")
    near = get_close_matches(wanted, [name for _, name in rows], n=1, cutoff=0.4)
    raise UsageError(f"There is no sheet {wanted} in the catalogue{f'; did you mean {near[0]}?' if near else '.'}")


def _meets(row: Mapping[str, object], choice: Choice) -> bool:
    told = {name: str(value).casefold() for name, value in row.items()}
    for name in ("size", "length", "place"):
        if (wanted := getattr(choice, name).casefold()) and wanted != told[name]:
            return False
    if choice.point and choice.point.casefold().replace(" ", "_") != told["point"]:
        return False
    if choice.style and choice.style.casefold() not in (told["style"], told["style_code"]):
        return False
    at = read_place(str(row["place"]))
    return all(
        not getattr(choice, name) or at.get(name, "") == _number(getattr(choice, name))
        for name in ("table", "row", "column")
    )


_CELL = re.compile(r"([A-Z]{1,3})(\d+)")


def read_place(place: str) -> dict[str, str]:
    """A place's parts: table, row and column as numbers, a workbook's `cell=C14` as row 14 and column 3."""
    parts = dict(part.split("=", 1) for part in place.split(";") if "=" in part)
    if (cell := _CELL.fullmatch(parts.get("cell", ""))) is not None:
        parts |= {"row": cell[2], "col": _number(cell[1])}
    return {**parts, "column": parts.get("col", "")}


def _number(text: str) -> str:
    """ "C" as "3", a number as it is."""
    letters = text.strip().upper()
    if not re.fullmatch(r"[A-Z]{1,3}", letters):
        return letters.lstrip("0")
    total = 0
    for letter in letters:
        total = total * 26 + ord(letter) - 64
    return str(total)


def _what_there_is(rows: Iterable[Sequence[object]], names: Sequence[str]) -> str:
    told = [dict(zip(names, row, strict=True)) for row in rows]
    points = list(dict.fromkeys(str(row["point"]) for row in told if not str(row["point"]).startswith("label_")))
    sizes = list(dict.fromkeys(str(row["size"]) for row in told if row["size"]))
    parts = [f"{word} {', '.join(values[:12])}" for word, values in (("points", points), ("sizes", sizes)) if values]
    return " and ".join(parts) or "none at all"
