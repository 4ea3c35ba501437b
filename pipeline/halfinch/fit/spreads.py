"""How the points of a catalogue's sizes lie, silhouette by silhouette, and what tapes said beside what sheets state."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store
from halfinch.fit.body import Band, Body
from halfinch.fit.silhouette import infer_sql, middle_sql, name_silhouette
from halfinch.fit.tape import Offset, learn_offsets
from halfinch.fit.wanted import Wanted, find_wanted
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import duckdb

SHOWN = ("front_rise", "inseam", "leg_opening")
STEP = 0.5


@dataclass(frozen=True, slots=True)
class Spread:
    """One point of the sizes of one silhouette. `counts`: half inch to how many sizes, in order; `band`: what a body
    asks of it, None where nobody is asked about or it cannot be told."""

    silhouette: str
    """Name in silhouettes.toml, '' for sizes whose silhouette nothing tells."""
    point: str
    counts: Mapping[float, int]
    band: Band | None = None

    @property
    def sizes(self) -> int:
        return sum(self.counts.values())

    def at(self, share: float) -> float:
        """The half inch below which this share of the sizes lies, itself counted: 0.5 is the middle."""
        wanted, passed = share * self.sizes, 0
        for value, count in self.counts.items():
            passed += count
            if passed >= wanted:
                return value
        return max(self.counts)

    @property
    def inside(self) -> int | None:
        """Sizes whose half inch touches the band."""
        if self.band is None:
            return None
        low, high = self.band.low - STEP / 2, self.band.high + STEP / 2
        return sum(count for value, count in self.counts.items() if low <= value <= high)


def find_spreads(
    path: str | Path, knowledge: Knowledge, body: Body | None = None, *, points: Sequence[str] = SHOWN,
    wait: float = store.DEFAULT_WAIT,
) -> tuple[Spread, ...]:  # fmt: skip
    """Every silhouette of silhouettes.toml that has sizes, in its order, '' last; within it the points in order. The
    silhouette is the one that the sheet names, else the one that opening and knee tell. Raises CatalogueError."""
    with store.reading(Path(path), wait) as connection:
        counted = {point: _count(connection, point, knowledge) for point in points}
    bands = {} if body is None else _bands(body, knowledge)
    found = []
    for silhouette in (*knowledge.silhouettes.silhouette, ""):
        for point in points:
            if silhouette in counted[point]:
                counts = dict(sorted(counted[point][silhouette].items()))
                found.append(Spread(silhouette, point, counts, bands.get((silhouette, point))))
    return tuple(found)


def _count(connection: duckdb.DuckDBPyConnection, point: str, knowledge: Knowledge) -> dict[str, Counter[float]]:
    rows = connection.execute(f"""
        SELECT silhouette, CASE WHEN silhouette = '' THEN {infer_sql(knowledge, "opening", "knee")} ELSE '' END AS told,
               half, count(*)
        FROM (SELECT r.silhouette, CAST(r.{point}_half_inch AS DOUBLE) AS half, {middle_sql("leg_opening")} AS opening,
                     {middle_sql("knee")} AS knee FROM size_rows r WHERE r.{point} IS NOT NULL)
        GROUP BY ALL""").fetchall()
    found: dict[str, Counter[float]] = {}
    names = {word: name_silhouette(word, knowledge) if word else "" for word in {row[0] for row in rows}}
    for word, told, half, count in rows:
        found.setdefault(names[word] or told, Counter())[half] += count
    return found


def _bands(body: Body, knowledge: Knowledge) -> dict[tuple[str, str], Band]:
    """(silhouette, point) to the band of a body, over all her shoes."""
    names = tuple(knowledge.silhouettes.silhouette)
    found: dict[tuple[str, str], Band] = {}
    for wanted in find_wanted(body, knowledge, names):
        for point in SHOWN:
            band = _band(wanted, point)
            if band is None:
                continue
            known = found.get((wanted.silhouette, point), band)
            found[wanted.silhouette, point] = Band(min(known.low, band.low), max(known.high, band.high))
    return found


def _band(wanted: Wanted, point: str) -> Band | None:
    band: Band | None = getattr(wanted, point)
    return band


@dataclass(frozen=True, slots=True)
class TapedPoint:
    """One merchant and point: every taped pair's difference, and what is made of them."""

    offset: Offset
    differences: tuple[float, ...]
    """Inches, taped less stated, in the order of the book."""
    tolerance: float
    """The point's usual one."""


def compare_taped(path: str | Path, knowledge: Knowledge, wait: float = store.DEFAULT_WAIT) -> tuple[TapedPoint, ...]:
    """Every merchant and point that was taped and is stated, by name. Raises CatalogueError."""
    from halfinch.catalogue.tapes import read_taped

    with store.reading(Path(path), wait) as connection:
        book = read_taped(connection)
    if not len(book):
        return ()
    found = []
    for offset in learn_offsets(book, knowledge):
        mine = book[(book["merchant"] == offset.merchant) & (book["point"] == offset.point)]
        apart = tuple(float(value) for value in (mine["inches"] - mine["stated"]).dropna())
        found.append(TapedPoint(offset, apart, float(knowledge.points[offset.point].tolerance)))
    return tuple(found)
