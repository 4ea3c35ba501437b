"""What to ask a merchant: exactly the figures that his sheets leave out or that were held, by garment.

No body takes part: the questions come from the catalogue alone, so that none can leak.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.errors import UsageError

if TYPE_CHECKING:
    import pandas as pd

NEEDED = ("front_rise", "inseam", "leg_opening", "waist", "hip", "thigh", "knee")
"""The points a pair is judged by, the ones that decide whether it can be made to fit first."""


@dataclass(frozen=True, slots=True)
class HeldFigure:
    """One figure that was printed but not understood or not believed."""

    point: str
    size: str
    length: str
    raw: str
    sheet: str
    place: str
    reason: str


@dataclass(frozen=True, slots=True)
class Missing:
    """A point that the sheets do not tell. `sizes` empty: for none of them."""

    point: str
    sizes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Enquiry:
    """All questions about one garment."""

    garment_id: str
    merchant: str
    style: str
    style_code: str
    block: str
    missing: tuple[Missing, ...]
    held: tuple[HeldFigure, ...]
    fibres_missing: bool = False
    """Neither stretch nor fibres are told."""


def find_enquiries(
    path: str | Path, merchant: str, garments: Iterable[str] = (), *, wait: float = 30.0
) -> tuple[Enquiry, ...]:
    """The questions to one merchant, garments in the order of their names; only those that have any.

    `garments`: names as `match --garment` takes them; none: every garment of the merchant. Raises UsageError for a
    merchant or garment the catalogue does not hold.
    """
    from halfinch.catalogue import store
    from halfinch.fit.matching import choose_rows

    with store.reading(Path(path), wait) as connection:
        sizes = connection.execute(
            "SELECT s.*, g.fabric, g.stretch FROM sizes s JOIN garments g USING (garment_id)"
        ).df()
        held = connection.execute(HELD).df()
        known = {row[0] for row in connection.execute("SELECT DISTINCT merchant FROM garments").fetchall()}
    if merchant not in known:
        raise UsageError(f"no merchant {merchant!r} in the catalogue; there are: {', '.join(sorted(known)) or 'none'}.")
    rows = _name_rows(sizes, held)
    rows = rows[rows["merchant"] == merchant]
    names = tuple(garments)
    if names:
        chosen = {garment for name in names for garment in choose_rows(rows, name)["garment_id"]}
        rows = rows[rows["garment_id"].isin(chosen)]
    found = [_ask(str(garment), group, held) for garment, group in rows.groupby("garment_id", sort=False)]
    told = [enquiry for enquiry in found if enquiry.missing or enquiry.held]
    return tuple(sorted(told, key=lambda e: (e.style or e.style_code, e.style_code, e.block, e.garment_id)))


def find_asked_merchants(path: str | Path, *, wait: float = 30.0) -> tuple[str, ...]:
    """Merchants to whom there is something to ask, by name."""
    from halfinch.catalogue import store

    lacking = " OR ".join(f"{point} IS NULL" for point in NEEDED)
    with store.reading(Path(path), wait) as connection:
        found = connection.execute(
            f"""SELECT merchant FROM sizes WHERE {lacking}
                UNION SELECT merchant FROM current_figures WHERE status = 'held' ORDER BY merchant"""
        ).fetchall()
    return tuple(merchant for (merchant,) in found if merchant)


HELD = """
    SELECT f.garment_id, f.merchant, f.style, f.style_code, g.block, f.size, f.length, f.point, f.raw, f.sheet, f.place,
           coalesce((SELECT min(message) FROM current_findings d
                     WHERE d.figure_id = f.figure_id AND d.severity = 'error'), '') AS reason
    FROM current_figures f JOIN garments g USING (garment_id)
    WHERE f.status = 'held'
    ORDER BY f.sheet, f.place, f.point"""


def _name_rows(sizes: pd.DataFrame, held: pd.DataFrame) -> pd.DataFrame:
    """Rows of `sizes`, and one for each garment that has nothing but held figures."""
    import pandas as pd

    lost = held[~held["garment_id"].isin(sizes["garment_id"])].drop_duplicates("garment_id")
    lost = lost[["garment_id", "merchant", "style", "style_code", "block"]].assign(size="", length="")
    return pd.concat([sizes, lost], ignore_index=True) if len(lost) else sizes


def _ask(garment: str, rows: pd.DataFrame, held: pd.DataFrame) -> Enquiry:
    mine = held[held["garment_id"] == garment].to_dict("records")
    first = {str(key): value for key, value in rows.iloc[0].items()}
    asked = {(row["point"], row["size"], row["length"]) for row in mine}
    missing = []
    for point in NEEDED:
        without = [row for row in rows.to_dict("records") if _lacks(row, point, asked)]
        if without:
            whole = len(without) == len(rows)
            missing.append(Missing(point, () if whole else tuple(_size_name(row) for row in without)))
    merchant, style, code, block = (_text(first.get(key)) for key in ("merchant", "style", "style_code", "block"))
    columns = ("point", "size", "length", "raw", "sheet", "place", "reason")
    return Enquiry(
        garment, merchant, style, code, block, tuple(missing),
        tuple(HeldFigure(*(_text(row[key]) for key in columns)) for row in mine),
        not _text(first.get("fabric")) and not _number(first.get("stretch")),
    )  # fmt: skip


def _lacks(row: Mapping[Any, Any], point: str, asked: set[tuple[Any, Any, Any]]) -> bool:
    """The point is empty in this size, and no held figure asks for it already."""
    if _number(row.get(point)):
        return False
    size, length = row.get("size"), row.get("length")
    return not any(known == point and s in (size, "") and n in (length, "") for known, s, n in asked)


def _size_name(row: Mapping[Any, Any]) -> str:
    return " ".join(part for part in (_text(row.get("size")), _text(row.get("length"))) if part) or "-"


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""


def _number(value: object) -> bool:
    """Whether a frame's cell holds a number."""
    try:
        return float(value) == float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        return False


def find_sheets(path: str | Path, garment_id: str, *, wait: float = 30.0) -> list[dict[str, str]]:
    """The current sheets that a garment stands on: `sheet` (its name) and `day` (first seen, ISO)."""
    from halfinch.catalogue import store

    with store.reading(Path(path), wait) as connection:
        rows = connection.execute(
            """SELECT s.sheet, strftime(min(r.seen_from), '%Y-%m-%d')
               FROM sheets s JOIN receipts r USING (sheet_id)
               WHERE s.sheet_id IN (SELECT sheet_id FROM current_figures WHERE garment_id = ?)
               GROUP BY ALL ORDER BY ALL""",
            [garment_id],
        ).fetchall()
    return [{"sheet": str(sheet), "day": str(day)} for sheet, day in rows]
