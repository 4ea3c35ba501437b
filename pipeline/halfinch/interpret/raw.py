"""RawFigure: a printed number with all that its surroundings say, before unit and flat-or-round are decided."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from halfinch.interpret.facets import Facets
from halfinch.normalise.numbers import Printed
from halfinch.normalise.point_labels import PointLabel
from halfinch.normalise.size_labels import SizeLabel
from halfinch.sheet import Cell


@dataclass(slots=True)
class RawFigure:
    """One printed number on its way to a Figure. Mutable while the sheet is being interpreted, private to this room."""

    point: str
    printed: Printed
    text: str
    place: str
    facets: Facets
    block: int
    """Which band of which grid (or which text) it stands in: units and conventions are decided per block."""
    series: str
    """The row of one point in its block: what has to grade evenly."""
    position: int = 0
    """Its place in the size run, from 0."""
    size: SizeLabel | None = None
    size_scope: str = "one"
    length: str = ""
    length_scope: str = ""
    unit: str = ""
    unit_from: str = ""
    """cell | label | heading | context | inferred: who said so."""
    convention: str = ""
    convention_from: str = ""
    tolerance_minus: Fraction | None = None
    tolerance_plus: Fraction | None = None
    basis: str = "declared"
    body: bool = False
    data: bool = False
    holds: list[tuple[str, str]] = field(default_factory=list)
    """(rule, reason) pairs: why a person has to look."""
    notes: list[tuple[str, str]] = field(default_factory=list)
    """(rule, reason) pairs: what was taken though it was not said."""
    stretched: Fraction | None = None
    weak: bool = False
    """Its label is a name that often means another thing ("Length")."""
    grade: Fraction | None = None
    """Step per size from a grade column, in the printed unit and convention."""
    run: tuple[SizeLabel, ...] = ()
    """The size run of the table, empty columns too."""

    @property
    def label(self) -> PointLabel | None:
        return self.facets.point

    def hold(self, rule: str, reason: str) -> None:
        if (rule, reason) not in self.holds:
            self.holds.append((rule, reason))


@dataclass(slots=True)
class Reading:
    """One way to read one region of a grid: a hypothesis with its figures and its score."""

    way: str
    """points down | points across | matrix | text in cells"""
    figures: list[RawFigure] = field(default_factory=list)
    score: float = 0.0
    unread: list[Cell] = field(default_factory=list)
    """Cells with a number that this reading could not account for."""
    labels: list[PointLabel] = field(default_factory=list)
    """Every label met, those to be read over too: evidence for a body chart."""
    heads: list[str] = field(default_factory=list)
    """The texts of its heading cells."""
    corners: list[str] = field(default_factory=list)
    """The texts where the headings meet the labels: what the sizes (or whatever stands there) are called."""
    titles: list[str] = field(default_factory=list)
    """Texts in rows of their own over its part of the grid, nearest first."""
    attributes: dict[str, str] = field(default_factory=dict)
    evidence: list[str] = field(default_factory=list)
