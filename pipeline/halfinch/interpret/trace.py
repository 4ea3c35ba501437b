"""The seam for whoever wants to watch: the interpretation tells a `Trace` of its choices as it makes them.

`Trace` itself hears and forgets, so that reading a sheet costs nothing more and no module asks whether anyone listens.
`recording.Recorder` is the one that remembers. A listener alters nothing: it gets what was decided, never a say in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from halfinch.interpret.facets import Facets, Reader
    from halfinch.interpret.matrix import Table
    from halfinch.interpret.raw import RawFigure, Reading
    from halfinch.interpret.subject import Subject
    from halfinch.sheet import Grid, Sheet, Text


class Trace:
    """Hears everything and keeps nothing."""

    def begins(self, sheet: Sheet, reader: Reader) -> None:
        """The sheet as it is read: tables told in texts are grids, keys beside a drawing are spelled out."""

    def passes_grid(self, grid: Grid, why: str) -> None:
        """A grid that no reading was tried on."""

    def passes_text(self, text: Text, why: str) -> None:
        """A text in which no figure was looked for."""

    def compares(self, grid: Grid, table: Table, around: Facets, readings: Sequence[Reading]) -> None:
        """Every reading of one band, best first; none where nothing in it could be read."""

    def judges_subject(self, reading: Reading, subject: Subject, kept: int) -> None:
        """What the figures of a reading are about, and how many of them stay."""

    def weighs_units(self, figures: Sequence[RawFigure], scores: Mapping[str, float], said: str) -> None:
        """How well the figures suit each unit, 0..1; `said`: the heading's unit, '' where none is printed."""

    def weighs_conventions(
        self,
        figures: Sequence[RawFigure],
        asked: Mapping[str, float],
        ranked: Sequence[tuple[float, dict[str, str]]],
    ) -> None:
        """Every combination of flat and round with its score, best first, for the girths of tables laid out alike.

        `asked`: the points that are decided so, and by how much the winner has to be ahead in each.
        """

    def ends(self, figures: Sequence[RawFigure]) -> None:
        """The raw figures with unit and convention settled, before they are judged."""


SILENT = Trace()
"""For the normal way, on which nobody watches."""
