"""Figures by hand for the rules: a run of one point, or the points of one size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from halfinch import knowledge
from halfinch.figure import NM_PER_INCH, Figure, Finding, Garment
from halfinch.plausibility import judge

Inches = Fraction | int | float | str


def nm(inches: Inches) -> int:
    """Whole nanometres of exact inches ("9 1/2", 9.5)."""
    value = sum((Fraction(part) for part in str(inches).split()), Fraction(0)) if isinstance(inches, str) else inches
    exact = Fraction(value) * NM_PER_INCH
    assert exact.denominator == 1, f"{inches} in is no whole number of nanometres"
    return int(exact)


def figure(
    point: str, inches: Inches, size: str = "4", length: str = "", system: str = "", status: str = "accepted"
) -> Figure:
    """One figure of the garment "g"."""
    place = f"row={point};col={size}"
    return Figure("g", point, size, nm(inches), str(inches), place, size_system=system, length=length, status=status)


def run(point: str, values: Sequence[Inches], sizes: Sequence[str] = (), length: str = "") -> list[Figure]:
    """One point over sizes: 4, 6, 8 ... where none are given."""
    names = sizes or [str(4 + 2 * index) for index in range(len(values))]
    return [figure(point, value, size, length) for value, size in zip(values, names, strict=True)]


def judged(figures: Sequence[Figure]) -> tuple[list[Figure], list[Finding]]:
    """What the rules say with the knowledge that comes with the program."""
    return judge(list(figures), [Garment("g")], knowledge.load())


def held(figures: Sequence[Figure]) -> set[int]:
    """Positions of the figures that are held."""
    return {index for index, one in enumerate(judged(figures)[0]) if one.status == "held"}


def holding(figures: Sequence[Figure]) -> set[str]:
    """Names of the rules that hold something."""
    return {one.rule for one in judged(figures)[1] if one.severity == "error"}


def size(points: Mapping[str, Inches], name: str = "4", system: str = "", length: str = "") -> list[Figure]:
    """The points of one size."""
    return [figure(point, value, name, length, system) for point, value in points.items()]
