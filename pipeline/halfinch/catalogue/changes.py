"""What two tellings say differently: two catalogues, one catalogue on two dates, or what was read in two sheets.

A `Telling` is what one side says of each garment. Garments of both sides are paired (`pair_garments`), then compared
point by point, size by size. Where a figure stands plays no part: a new version of a sheet moves its rows.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from halfinch.catalogue import tables
from halfinch.catalogue.identity import slug
from halfinch.catalogue.views import SAME_NM

if TYPE_CHECKING:
    import duckdb

WORDS = (
    "merchant", "style", "style_code", "block", "silhouette", "fabric", "stretch", "state", "price", "currency",
    "colour",
)  # fmt: skip
"""What is compared of a garment beside its figures."""
LIKE = 88
"""Of 100: names of styles that are so much alike are one renamed style, if nothing else comes near."""

What = tuple[str, str, str]
"""point, size, length"""


@dataclass(frozen=True, slots=True)
class Said:
    """One figure as one side tells it."""

    nm: int
    nm_to: int | None
    status: str
    raw: str
    unit: str
    convention: str
    sheet: str
    place: str

    @property
    def value(self) -> tuple[int, int | None, bool]:
        """What makes two figures the same to whoever uses them."""
        return self.nm, self.nm_to, self.status in ("accepted", "assumed")


Figures = Mapping[What, tuple[Said, ...]]


@dataclass(frozen=True, slots=True)
class Told:
    """One garment as one side tells it. `words`: column of the table `garments` to its text, '' where not said."""

    garment_id: str
    words: Mapping[str, str]
    figures: Figures

    @property
    def name(self) -> str:
        style = self.words.get("style") or self.words.get("style_code") or self.garment_id[:12]
        block = self.words.get("block", "")
        return f"{style} {block}".strip()


@dataclass(frozen=True, slots=True)
class Telling:
    """One side. `troubles`: what of it could not be read, a sentence each."""

    name: str
    garments: tuple[Told, ...]
    troubles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """One figure that both sides tell otherwise; `old` or `new` is None where only the other tells it.

    `what`: changed | restated (within 1/16 in, printed in another unit or way) | status | new | gone.
    """

    what: str
    point: str
    size: str
    length: str
    old: Said | None
    new: Said | None

    @property
    def by_nm(self) -> int:
        return self.new.nm - self.old.nm if self.old is not None and self.new is not None else 0


@dataclass(frozen=True, slots=True)
class GarmentDiff:
    """A garment that differs. `old` or `new` is None where only the other side has it; `same` counts figures that are
    told alike. `taken`: why two garments of different names are taken for one, '' where they bear the same."""

    old: Told | None
    new: Told | None
    changes: tuple[Change, ...] = ()
    words: tuple[tuple[str, str, str], ...] = ()
    """(column, before, after)"""
    same: int = 0
    taken: str = ""

    @property
    def told(self) -> Told:
        told = self.new or self.old
        assert told is not None
        return told


@dataclass(frozen=True, slots=True)
class Diff:
    """All of it. `alike` counts garments without a difference."""

    old: str
    new: str
    garments: tuple[GarmentDiff, ...]
    alike: int
    troubles: tuple[str, ...] = ()

    @property
    def changes(self) -> Iterator[Change]:
        return (change for garment in self.garments for change in garment.changes)


_OF_FIGURES = (
    "garment_id", "point", "size", "length", "length_nm", "length_to_nm", "status", "raw", "unit", "convention",
    "sheet", "place",
)  # fmt: skip


def telling_at(connection: duckdb.DuckDBPyConnection, name: str, moment: datetime | None = None) -> Telling:
    """What a catalogue says: now, or at a moment (UTC) by the sheets then in force and the readings made until then.

    Rulings are those of today. Garments' words have no history: with a `moment` they are left out but for the names."""
    receipts, made = "seen_to IS NULL", "TRUE"
    if moment is not None:
        receipts, made = "seen_from <= $at AND (seen_to IS NULL OR seen_to > $at)", "read_at <= $at"
    rows = connection.execute(
        f"""WITH as_of AS (
                SELECT * FROM readings WHERE {made} AND sheet_id IN (SELECT sheet_id FROM receipts WHERE {receipts})
                QUALIFY row_number() OVER (PARTITION BY sheet_id ORDER BY read_at DESC, reading_id) = 1)
            SELECT {", ".join(_OF_FIGURES)} FROM figures
            WHERE status <> 'set_aside' AND reading_id IN (SELECT reading_id FROM as_of)""",
        {"at": moment} if moment is not None else None,
    ).fetchall()
    names = ("garment_id", *(WORDS if moment is None else ("merchant", "style", "style_code", "block")))
    garments = connection.execute(f"SELECT {', '.join(names)} FROM garments").fetchall()
    return make_telling(name, (dict(zip(names, row, strict=True)) for row in garments), rows)


def telling_of_rows(
    name: str, garments: Iterable[Sequence[object]], figures: Iterable[Sequence[object]], troubles: Iterable[str] = ()
) -> Telling:
    """The same of rows as they are landed (`rows.rows_of`), in the order of the tables' columns."""
    at = [tables.FIGURES.column_names.index(column) for column in _OF_FIGURES]
    status = tables.FIGURES.column_names.index("status")
    rows = [tuple(row[i] for i in at) for row in figures if row[status] != "set_aside"]
    named = (dict(zip(tables.GARMENTS.column_names, row, strict=True)) for row in garments)
    return replace(make_telling(name, named, rows), troubles=tuple(troubles))


def make_telling(name: str, garments: Iterable[Mapping[str, object]], figures: Iterable[Sequence[object]]) -> Telling:
    """Garments without a figure are left out."""
    of: dict[str, dict[What, list[Said]]] = defaultdict(lambda: defaultdict(list))
    for garment_id, point, size, length, *said in figures:
        of[str(garment_id)][(str(point), str(size), str(length))].append(Said(*said))  # type: ignore[arg-type]
    named = {str(row["garment_id"]): row for row in garments}
    told = []
    for garment_id, found in of.items():
        row = named.get(garment_id, {})
        words = {column: _text(row[column]) for column in WORDS if column in row}
        told.append(Told(garment_id, words, {what: tuple(sorted(said, key=_order)) for what, said in found.items()}))
    told.sort(key=lambda one: (one.words.get("merchant", ""), one.name, one.garment_id))
    return Telling(name, tuple(told))


def _order(said: Said) -> tuple[bool, int, int, str]:
    return not said.value[2], said.nm, said.nm_to or 0, said.raw


def _text(value: object) -> str:
    text = "" if value is None else str(value)
    return text.rstrip("0").rstrip(".") if "." in text and text.replace(".", "").isdigit() else text


def compare(old: Telling, new: Telling, *, lone_pair: bool = False) -> Diff:
    """What differs. `lone_pair`: both sides are about one style as far as is known (two versions of a sheet), so that
    one garment left over here and one there are the same."""
    pairs, gone, come = pair_garments(old.garments, new.garments, lone_pair=lone_pair)
    found = [compare_garments(before, after, taken) for before, after, taken in pairs]
    differing = [one for one in found if one.changes or one.words or one.taken]
    differing += [GarmentDiff(told, None) for told in gone] + [GarmentDiff(None, told) for told in come]
    differing.sort(key=lambda one: (one.told.words.get("merchant", ""), one.told.name, one.told.garment_id))
    alike = len(found) - sum(1 for one in found if one.changes or one.words or one.taken)
    return Diff(old.name, new.name, tuple(differing), alike, (*old.troubles, *new.troubles))


Pairs = list[tuple[Told, Told, str]]


def pair_garments(
    old: Sequence[Told], new: Sequence[Told], *, lone_pair: bool = False
) -> tuple[Pairs, list[Told], list[Told]]:
    """(pairs with why they are taken for one, those only here, those only there). A pair is made by identity, else
    where exactly one garment of each side bears the code or the name, else by likeness of names within a merchant."""
    by_id = {told.garment_id: told for told in new}
    pairs: Pairs = [(told, by_id[told.garment_id], "") for told in old if told.garment_id in by_id]
    paired = {before.garment_id for before, _, _ in pairs}
    gone = [told for told in old if told.garment_id not in paired]
    come = [told for told in new if told.garment_id not in paired]
    for words, why in ((("style_code", "block"), ""), (("style_code",), "the same code"), (("style", "block"), ""),
                       (("style",), "the same name")):  # fmt: skip
        _pair_by(words, why, pairs, gone, come)
    _pair_alike(pairs, gone, come)
    if lone_pair and len(gone) == len(come) == 1 and _may_be_one(gone[0], come[0]):
        pairs.append((gone.pop(), come.pop(), "the only ones left over"))
    return pairs, gone, come


def _pair_by(words: Sequence[str], why: str, pairs: Pairs, gone: list[Told], come: list[Told]) -> None:
    def key(told: Told) -> tuple[str, ...]:
        return tuple(slug(told.words.get(word, "")) for word in words)

    for before in [told for told in gone if key(told)[0]]:
        theirs = [told for told in come if key(told) == key(before) and one_merchant(told, before)]
        ours = [told for told in gone if key(told) == key(before) and one_merchant(told, before)]
        if len(theirs) == len(ours) == 1:
            pairs.append((before, theirs[0], why))
            gone.remove(before)
            come.remove(theirs[0])


def _pair_alike(pairs: Pairs, gone: list[Told], come: list[Told]) -> None:
    """Styles that were renamed or respelt: names of one merchant and block, each the other's nearest."""
    from rapidfuzz.fuzz import token_sort_ratio

    def likeness(a: Told, b: Told) -> float:
        names = [slug(told.words.get("style", "")).replace("-", " ") for told in (a, b)]
        codes = [slug(told.words.get("style_code", "")) for told in (a, b)]
        if not all(names) or (all(codes) and codes[0] != codes[1]) or not one_merchant(a, b):
            return 0.0
        return float(token_sort_ratio(*names)) if a.words.get("block") == b.words.get("block") else 0.0

    for before in list(gone):
        near = max(come, key=lambda told: likeness(before, told), default=None)
        if near is None or likeness(before, near) < LIKE:
            continue
        if max(gone, key=lambda told: likeness(told, near)) is before:
            pairs.append((before, near, "names alike"))
            gone.remove(before)
            come.remove(near)


def one_merchant(a: Told, b: Told) -> bool:
    first, second = (slug(told.words.get("merchant", "")) for told in (a, b))
    return not first or not second or first == second


def _may_be_one(a: Told, b: Told) -> bool:
    """Two versions of one sheet, unless each has a code of its own, or they tell of nothing in common."""
    if not one_merchant(a, b) or (a.words.get("style_code") and b.words.get("style_code")):
        return False
    return bool({what[0] for what in a.figures} & {what[0] for what in b.figures})


def compare_garments(old: Told, new: Told, taken: str = "") -> GarmentDiff:
    """One garment on both sides."""
    before, after = one_length(old.figures, new.figures)
    changes: list[Change] = []
    same = 0
    for what in sorted(before.keys() | after.keys(), key=_place):
        change = _compare(what, before.get(what, ()), after.get(what, ()))
        if change is None:
            same += 1
        else:
            changes.append(change)
    words = [
        (column, old.words[column], new.words[column])
        for column in WORDS
        if column in old.words and column in new.words and _fold(old.words[column]) != _fold(new.words[column])
    ]
    return GarmentDiff(old, new, tuple(changes), tuple(words), same, taken)


def _place(what: What) -> tuple[int, str, float, str]:
    """Points in their order, sizes as numbers where they are."""
    point, size, length = what
    number = re.match(r"\d+(?:[.,]\d+)?", size)
    rank = float(number[0].replace(",", ".")) if number else float("inf")
    return tables.POINTS.index(point), length, -len(size) if not size.strip("0") else rank, size


def _fold(text: str) -> str:
    return " ".join(text.casefold().split())


def one_length(before: Figures, after: Figures) -> tuple[Figures, Figures]:
    """A style of one length, which only one side names, is the same length."""
    lengths = [{length for _, _, length in figures} for figures in (before, after)]
    if lengths[0] == {""} and len(lengths[1]) == 1:
        (length,) = lengths[1]
        return {(point, size, length): said for (point, size, _), said in before.items()}, after
    if lengths[1] == {""} and len(lengths[0]) == 1:
        (length,) = lengths[0]
        return before, {(point, size, length): said for (point, size, _), said in after.items()}
    return before, after


def _compare(what: What, old: Sequence[Said], new: Sequence[Said]) -> Change | None:
    """None where both sides tell it alike. A point told several times is shown by a telling that the other has not."""
    if {said.value for said in old} == {said.value for said in new}:
        return None
    if not old or not new:
        return Change("new" if new else "gone", *what, *(side[0] if side else None for side in (old, new)))
    was = next((said for said in old if said.value not in {one.value for one in new}), old[0])
    now = next((said for said in new if said.value not in {one.value for one in old}), new[0])
    return Change(_kind(was, now), *what, was, now)


def _kind(was: Said, now: Said) -> str:
    if was.value[:2] == now.value[:2]:
        return "status"
    ends = (was.nm_to or was.nm) - (now.nm_to or now.nm)
    within = abs(was.nm - now.nm) <= SAME_NM and abs(ends) <= SAME_NM
    if within and (was.unit, was.convention) != (now.unit, now.convention) and was.value[2] == now.value[2]:
        return "restated"
    return "changed"
