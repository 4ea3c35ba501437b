"""What the files about points of measure hold: points, tolerances, grades. Inches of the full girth or length."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from halfinch.errors import KnowledgeError
from halfinch.knowledge.reading import Span


@dataclass(frozen=True, slots=True)
class PrintedPoint:
    """One table of `points.toml`."""

    name: str
    means: str
    kind: Literal["length", "circumference"]
    of: Literal["garment", "body", "label"]
    limits: Span
    usual: Span
    because: str

    def check(self) -> str:
        if self.usual.low not in self.limits or self.usual.high not in self.limits:
            return "usual: the usual band has to lie inside the limits"
        return ""


@dataclass(frozen=True, slots=True)
class Points:
    """`points.toml`."""

    point: Mapping[str, PrintedPoint]


@dataclass(frozen=True, slots=True)
class Tolerance:
    """The usual tolerance of one point, to either side."""

    name: str
    usual: Fraction
    limits: Span
    seen: str
    because: str

    def check(self) -> str:
        return "" if self.usual in self.limits else "usual: lies outside the limits"


@dataclass(frozen=True, slots=True)
class Widening:
    """How much less sure an estimate is for each size away from the one that was measured."""

    per_size_step: Fraction
    because: str


@dataclass(frozen=True, slots=True)
class Tolerances:
    """`tolerances.toml`."""

    widening: Widening
    tolerance: Mapping[str, Tolerance]


@dataclass(frozen=True, slots=True)
class Grade:
    """How one point grows from size to size."""

    name: str
    usual: Span
    limits: Span
    because: str

    def check(self) -> str:
        if self.usual.low not in self.limits or self.usual.high not in self.limits:
            return "usual: the usual steps have to lie inside the limits"
        return ""


@dataclass(frozen=True, slots=True)
class Grades:
    """`grades.toml`."""

    grade: Mapping[str, Grade]


@dataclass(frozen=True, slots=True)
class PointKnowledge:
    """One point of measure with its tolerance and grade. Every number is inches of the full girth or length."""

    name: str
    means: str
    kind: Literal["length", "circumference"]
    of: Literal["garment", "body", "label"]
    low: Fraction
    high: Fraction
    """Plausible limits: outside them a figure is no such point of an adult's trousers."""
    usual_low: Fraction
    usual_high: Fraction
    """The middle 98 % or so of adult garments: evidence for the unit and for flat or round."""
    tolerance: Fraction
    """The usual one, where a sheet states none."""
    tolerance_low: Fraction
    tolerance_high: Fraction
    """What a printed tolerance of this point can be."""
    grade_low: Fraction
    grade_high: Fraction
    """The usual difference from one size to the next."""
    grade_least: Fraction
    grade_most: Fraction
    """The limits of a single step in a true run."""
    because: str


def join_points(points: Points, tolerances: Tolerances, grades: Grades) -> Mapping[str, PointKnowledge]:
    """One PointKnowledge a point, in the order of `points.toml`. Raises KnowledgeError when the files differ."""
    for file, names in (("tolerances.toml", tolerances.tolerance), ("grades.toml", grades.grade)):
        if strange := sorted(set(names) ^ set(points.point)):
            raise KnowledgeError(f"{file}: {', '.join(strange)}: has to stand both here and in points.toml.")
    joined = {}
    for name, point in points.point.items():
        tolerance, grade = tolerances.tolerance[name], grades.grade[name]
        joined[name] = PointKnowledge(
            name=name, means=point.means, kind=point.kind, of=point.of,
            low=point.limits.low, high=point.limits.high,
            usual_low=point.usual.low, usual_high=point.usual.high,
            tolerance=tolerance.usual, tolerance_low=tolerance.limits.low, tolerance_high=tolerance.limits.high,
            grade_low=grade.usual.low, grade_high=grade.usual.high,
            grade_least=grade.limits.low, grade_most=grade.limits.high,
            because=point.because,
        )  # fmt: skip
    return MappingProxyType(joined)


@dataclass(frozen=True, slots=True)
class Range:
    """What a number beside the points can be."""

    name: str
    limits: Span
    usual: Span
    because: str

    def check(self) -> str:
        if self.usual.low not in self.limits or self.usual.high not in self.limits:
            return "usual: the usual band has to lie inside the limits"
        return ""


@dataclass(frozen=True, slots=True)
class Ranges:
    """`ranges.toml`."""

    at: Mapping[str, Range]
    """By point: how far down it is measured."""
    range: Mapping[str, Range]


@dataclass(frozen=True, slots=True)
class WordSet:
    """One closed set of words with their meanings."""

    name: str
    means: str
    words: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Enumerations:
    """`enumerations.toml`."""

    set: Mapping[str, WordSet]
