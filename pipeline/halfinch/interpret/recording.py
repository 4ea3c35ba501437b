"""A `Trace` that remembers: every choice becomes a frozen value at the moment it is made.

In: what the interpretation tells (`trace.py`). Out: an `Account`. Raw figures change until the end, so nothing of them
is kept but what is true when it is heard.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from halfinch.interpret.account import (
    Account,
    Band,
    ConventionChoice,
    Margin,
    PassedOver,
    Rival,
    Sense,
    Settled,
    Told,
    UnitChoice,
    Way,
)
from halfinch.interpret.context import text_facets
from halfinch.interpret.facets import CellReading, Facets, Reader
from halfinch.interpret.grids import CLEARLY
from halfinch.interpret.layout import UNREAD_COST
from halfinch.interpret.matrix import Table, pieces
from halfinch.interpret.raw import RawFigure, Reading
from halfinch.interpret.subject import Subject
from halfinch.interpret.trace import Trace
from halfinch.sheet import Grid, Sheet, Text

MOST_RIVALS = 4
"""Combinations of flat and round that are kept; the others scored worse."""


class Recorder(Trace):
    """Listens to one interpretation; `account()` gives what it heard."""

    def __init__(self) -> None:
        self._told: list[Told] = []
        self._bands: list[Band] = []
        self._winners: dict[int, int] = {}
        self._keep: list[Reading] = []
        self._units: list[UnitChoice] = []
        self._conventions: list[ConventionChoice] = []
        self._settled: list[Settled] = []
        self._passed: list[PassedOver] = []
        self._reader: Reader | None = None

    def account(self) -> Account:
        """What was heard so far."""
        return Account(
            tuple(self._told), tuple(self._bands), tuple(self._units), tuple(self._conventions),
            tuple(self._settled), tuple(self._passed),
        )  # fmt: skip

    def begins(self, sheet: Sheet, reader: Reader) -> None:
        self._reader = reader
        texts = [text for text in sheet.texts if text.kind not in ("chrome", "meta")]
        for text in sorted(texts, key=lambda one: one.order):
            said = text_facets(text.text, reader, heading=text.kind in ("title", "heading"))
            self._told.append(Told(text.place, text.text, facets_in_words(said)))
        for grid in sheet.grids:
            if grid.caption:
                says = facets_in_words(text_facets(grid.caption, reader))
                self._told.append(Told(grid.place, grid.caption, says))

    def passes_grid(self, grid: Grid, why: str) -> None:
        first = " | ".join(cell.text for cell in grid.cells[:4])
        self._passed.append(PassedOver(grid.place, first, why))

    def passes_text(self, text: Text, why: str) -> None:
        self._passed.append(PassedOver(text.place, text.text, why))

    def compares(self, grid: Grid, table: Table, around: Facets, readings: Sequence[Reading]) -> None:
        best = readings[0] if readings else None
        if best is not None:
            self._keep.append(best)  # an id is a name only as long as its object lives
            self._winners[id(best)] = len(self._bands)
        ways = tuple(_way(reading) for reading in readings if reading.figures or reading is best)
        senses = self._senses(table, best)
        self._bands.append(Band(grid.place, grid.order, facets_in_words(around), ways, senses, CLEARLY))

    def _senses(self, table: Table, best: Reading | None) -> tuple[Sense, ...]:
        assert self._reader is not None
        figures = {} if best is None else {figure.place: figure for figure in best.figures}
        sizes = {figure.size.size for figure in figures.values() if figure.size is not None}
        found = []
        for _, _, cell in pieces(table):
            if cell.place in figures:
                found.append(Sense(cell.place, cell.text, "figure"))
            else:
                found.append(sense_of(cell.place, self._reader.read(cell.text), sizes))
        return tuple(found)

    def judges_subject(self, reading: Reading, subject: Subject, kept: int) -> None:
        number = self._winners.get(id(reading))
        if number is not None:
            band = self._bands[number]
            self._bands[number] = replace(band, subject=subject.kind, because=tuple(subject.evidence), kept=kept)

    def weighs_units(self, figures: Sequence[RawFigure], scores: Mapping[str, float], said: str) -> None:
        ranked = tuple(sorted(scores.items(), key=lambda pair: -pair[1]))
        self._units.append(UnitChoice(figures[0].block, len(figures), said, ranked))

    def weighs_conventions(
        self,
        figures: Sequence[RawFigure],
        asked: Mapping[str, float],
        ranked: Sequence[tuple[float, dict[str, str]]],
    ) -> None:
        if not asked:  # a habit of the merchant settled all of them
            return
        top, best = ranked[0]
        margins = []
        for point, least in asked.items():
            other = next((score for score, chosen in ranked if chosen[point] != best[point]), None)
            margins.append(Margin(point, best[point], float("inf") if other is None else top - other, least))
        rivals = tuple(Rival(tuple(chosen.items()), score) for score, chosen in ranked[:MOST_RIVALS])
        blocks = tuple(dict.fromkeys(figure.block for figure in figures))
        self._conventions.append(ConventionChoice(blocks, tuple(margins), rivals))

    def ends(self, figures: Sequence[RawFigure]) -> None:
        counted = Counter(
            (one.block, one.point, one.unit, one.unit_from, one.convention, one.convention_from) for one in figures
        )
        self._settled.extend(
            Settled(block, point, count, *settled) for (block, point, *settled), count in counted.items()
        )


def _way(reading: Reading) -> Way:
    points = Counter(figure.point for figure in reading.figures)
    return Way(
        reading.way,
        reading.score,
        len(reading.figures),
        reading.score + UNREAD_COST * len(reading.unread),
        tuple(f"{point} {count}" for point, count in points.items()),
        tuple(cell.text for cell in reading.unread),
    )


def facets_in_words(facets: Facets) -> tuple[str, ...]:
    """What a set of facets says, one phrase a fact."""
    said = []
    if facets.point is not None and (facets.point.point or facets.point.not_ours):
        said.append(f"point: {facets.point.point or facets.point.not_ours}")
    if facets.size is not None:
        said.append(f"size: {facets.size.size}")
    for name in ("length", "unit", "convention"):
        if getattr(facets, name):
            said.append(f"{name}: {getattr(facets, name)}")
    if facets.body:
        said.append("the body, not the garment")
    if facets.old:
        said.append("an old state")
    said += [f"{word.replace('_', ' ')}" for word in sorted(facets.qualifiers)]
    said += [f"{role.replace('_', ' ')}: {value}" for role, value in facets.attributes.items() if value]
    return tuple(said)


def sense_of(place: str, read: CellReading, sizes: set[str]) -> Sense:
    """What a text of a grid was taken for; `sizes`: those of the figures, so that a bare 12 over them is a size."""
    if read.size is not None and read.size.size in sizes:
        return Sense(place, read.text, f"size {read.size.size}")
    label = read.point
    if label is not None and label.not_ours and not label.point:
        return Sense(place, read.text, label.not_ours.replace("_", " "), label.rest, read_over=True)
    if label is not None and read.is_ours:
        parts = [label.point, label.convention, label.unit, read.length_named, *sorted(label.qualifiers)]
        return Sense(place, read.text, ", ".join(part.replace("_", " ") for part in parts if part), label.rest)
    if read.word is not None and read.word.role:
        return Sense(place, read.text, f"heading of: {read.word.role.replace('_', ' ')}", read.word.rest)
    for name in ("length", "unit", "convention"):
        if getattr(read, name):
            return Sense(place, read.text, f"{name} {getattr(read, name)}")
    if read.size is not None and read.number is None:
        return Sense(place, read.text, f"size {read.size.size}")
    if label is not None and label.point:
        return Sense(place, read.text, "", label.rest or read.text)
    return Sense(place, read.text, "", read.text)
