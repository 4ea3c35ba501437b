"""Habits that rulings speak for: offered with what speaks for them, written down only when a person asks for it.

A figure that was held because its unit, or flat or round, was not printed and then ruled is an answer to that very
question. Where `LEAST` answers of one merchant agree and none contradicts, the habit is offered.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store
from halfinch.catalogue.files import write_whole
from halfinch.catalogue.frames import arrow_table, registered
from halfinch.catalogue.habits import AllHabits, habits_file, habits_of, load_habits, read_habits
from halfinch.catalogue.identity import slug
from halfinch.catalogue.rulings import in_force, matched, read_rulings
from halfinch.catalogue.tables import TEXT, Column, Table
from halfinch.catalogue.views import SAME_NM
from halfinch.errors import UsageError
from halfinch.normalise.numbers import read_number
from halfinch.normalise.units import to_nm

if TYPE_CHECKING:
    import duckdb

LEAST = 3
"""Rulings that have to agree."""
UNIT_UNSAID, OPEN = "unit-unsaid", "flat-or-round"
"""Findings that ask what a habit answers."""
UNITS = ("in", "cm", "mm")
GIRTHS = ("waist", "hip", "thigh", "knee", "leg_opening")


@dataclass(frozen=True, slots=True)
class Offer:
    """One habit and what speaks for it."""

    merchant: str
    """As the file would name it."""
    key: str
    """unit, or convention.POINT"""
    value: str
    rulings: int
    sheets: int
    by: tuple[str, ...]

    @property
    def line(self) -> str:
        return f'{self.key} = "{self.value}"'

    @property
    def evidence(self) -> str:
        sheets = f"{self.sheets} sheet{'s' if self.sheets != 1 else ''}"
        return f"{self.rulings} rulings on {sheets} agree, none says otherwise ({', '.join(self.by)})"


@dataclass(frozen=True, slots=True)
class _Answer:
    """One ruled figure of which something had not been printed."""

    merchant: str
    point: str
    raw: str
    nm: int
    """As ruled."""
    unit: str
    convention: str
    """As it was read."""
    sheet_id: str
    by: str
    as_read: bool
    """Ruled right as it was read."""
    asked: frozenset[str]


def find_offers(path: Path, wait: float = store.DEFAULT_WAIT) -> list[Offer]:
    """What may be offered now, by merchant and key; what the file says already is left out. Raises CatalogueError."""
    with store.reading(path, wait) as connection:
        answers = _answers(connection)
    return offers_from(answers, load_habits(path))


def _answers(connection: duckdb.DuckDBPyConnection) -> list[_Answer]:
    rulings = in_force(read_rulings(connection))
    latest = {figure: ruling for ruling, on in zip(rulings, matched(connection, rulings), strict=True) for figure in on}
    names = Table("names", "", (Column("name", TEXT, ""),))
    with registered(connection, ruled=arrow_table(names, [(figure,) for figure in latest])):
        rows = connection.execute(
            """SELECT f.figure_id, f.merchant, f.point, f.raw, f.length_nm, f.unit, f.convention, f.sheet_id,
                      list(DISTINCT n.rule)
               FROM figures f JOIN findings n USING (figure_id)
               WHERE f.figure_id IN (SELECT name FROM ruled) AND n.severity = 'error' GROUP BY ALL ORDER BY ALL"""
        ).fetchall()
    return [
        _Answer(
            merchant,
            point,
            raw,
            nm,
            unit,
            convention,
            sheet_id,
            latest[figure].by,
            latest[figure].decision == "right",
            frozenset(asked),
        )
        for figure, merchant, point, raw, nm, unit, convention, sheet_id, asked in rows
        if latest[figure].decision != "not ours"
    ]


def offers_from(answers: Iterable[_Answer], habits: AllHabits | None) -> list[Offer]:
    """Offers of answers that agree, without those that the habits hold already."""
    by_key: dict[tuple[str, str], dict[str, list[_Answer]]] = defaultdict(lambda: defaultdict(list))
    for answer in answers:
        for key, value in _answer(answer).items():
            by_key[slug(answer.merchant), key][value].append(answer)
    found = []
    for (merchant, key), values in sorted(by_key.items()):
        if not merchant or len(values) != 1:
            continue
        ((value, told),) = values.items()
        if len(told) < LEAST or _known(habits, merchant, key) == value:
            continue
        by = tuple(sorted({one.by for one in told}))
        found.append(Offer(merchant, key, value, len(told), len({one.sheet_id for one in told}), by))
    return found


def _known(habits: AllHabits | None, merchant: str, key: str) -> str:
    known = habits_of(habits, merchant)
    if known is None:
        return ""
    return known.unit if key == "unit" else known.convention.of(key.removeprefix("convention."))


def _answer(answer: _Answer) -> dict[str, str]:
    """What one ruling answers of the questions that had been open: {"unit": "cm", "convention.thigh": "flat"}."""
    unit, convention = (answer.unit, answer.convention) if answer.as_read else _reckoned(answer)
    found = {}
    if UNIT_UNSAID in answer.asked and unit in UNITS:
        found["unit"] = unit
    if OPEN in answer.asked and answer.point in GIRTHS and convention:
        found[f"convention.{answer.point}"] = convention
    return found


def _reckoned(answer: _Answer) -> tuple[str, str]:
    """The one unit and convention in which the printed number is the length it was ruled to be; '' where none is."""
    printed = read_number(answer.raw)
    if printed is None:
        return "", ""
    girth = answer.point in GIRTHS
    units = UNITS if UNIT_UNSAID in answer.asked else (answer.unit,)
    fitting = [
        (unit, convention)
        for unit in units
        for convention, factor in ((("round", 1), ("flat", 2)) if girth else (("", 1),))
        if abs(to_nm(Fraction(printed.value), unit) * factor - answer.nm) <= SAME_NM
    ]
    return fitting[0] if len(fitting) == 1 else ("", "")


def as_toml(offers: Sequence[Offer]) -> str:
    """The lines that `merchants.toml` would get, each with its evidence."""
    lines: list[str] = []
    for offer in offers:
        head = f"[{offer.merchant}]"
        if head not in lines:
            lines += ["", head] if lines else [head]
        lines.append(f"{offer.line}  # {offer.evidence}")
    return "\n".join(lines)


def adopt(path: Path, merchant: str, key: str = "", wait: float = store.DEFAULT_WAIT) -> list[Offer]:
    """Writes what is offered for a merchant (with `key`: that alone) into its `merchants.toml`; all else in the file,
    comments too, stays as it is. Gives what was written. Raises UsageError where nothing of the kind is offered,
    KnowledgeError for a file that is none.
    """
    import tomlkit

    offers = find_offers(path, wait)
    taken = [one for one in offers if one.merchant == slug(merchant) and key in ("", one.key)]
    if not taken:
        there = ", ".join(dict.fromkeys(one.merchant for one in offers)) or "none"
        raise UsageError(f"No habit {key or 'at all'} is offered for {merchant!r}; there are offers for: {there}.")
    file = habits_file(path)
    with store.locked(path, "habits", wait):
        text = file.read_text(encoding="utf-8-sig") if file.exists() else ""
        present = read_habits(text, file)
        document = tomlkit.parse(text)
        name = next((name for name in present if slug(name) == slug(merchant)), slug(merchant))
        if name not in document:
            document[name] = tomlkit.table()
        for offer in taken:
            _set(document[name], offer)
        new = tomlkit.dumps(document)
        read_habits(new, file)
        write_whole(file, new)
    return taken


def _set(table: object, offer: Offer) -> None:
    import tomlkit

    first, _, rest = offer.key.partition(".")
    holder: dict[str, object] = table  # type: ignore[assignment]
    if not rest:
        holder[first] = offer.value
        return
    if first not in holder:
        holder[first] = tomlkit.inline_table()
    inner: dict[str, object] = holder[first]  # type: ignore[assignment]
    inner[rest] = offer.value
