"""How well a printed number suits a point under a unit and a convention: 0 impossible, 1 plausible, 2 usual."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from halfinch.figure import NM_PER_INCH
from halfinch.knowledge import Knowledge
from halfinch.normalise.units import to_nm

IMPOSSIBLE, PLAUSIBLE, USUAL = 0, 1, 2


@lru_cache(maxsize=64)
def inch_factor(unit: str) -> Fraction:
    """Inches in one `unit`."""
    return Fraction(to_nm(Fraction(1), unit), NM_PER_INCH)


def in_inches(value: Fraction, unit: str, convention: str = "") -> Fraction:
    """Exact inches of the full girth: a flat figure is doubled."""
    inches = value * inch_factor(unit)
    return inches * 2 if convention == "flat" else inches


@lru_cache(maxsize=65536)
def suits(knowledge: Knowledge, point: str, value: Fraction, unit: str, convention: str = "") -> int:
    """0, 1 or 2 for a number read so, of a point or of a thing beside the points; what is neither suits nothing."""
    known = knowledge.points.get(point)
    inches = in_inches(value, unit, convention)
    if known is None and point in knowledge.ranges.range:
        beside = knowledge.ranges.range[point]
        if not beside.limits.low <= inches <= beside.limits.high:
            return IMPOSSIBLE
        return USUAL if beside.usual.low <= inches <= beside.usual.high else PLAUSIBLE
    if known is None:
        return IMPOSSIBLE
    if not known.low <= inches <= known.high:
        return IMPOSSIBLE
    return USUAL if known.usual_low <= inches <= known.usual_high else PLAUSIBLE


def is_girth(knowledge: Knowledge, point: str) -> bool:
    known = knowledge.points.get(point)
    return known is not None and known.kind == "circumference" and known.of == "garment"


def conventions_of(knowledge: Knowledge, point: str) -> tuple[str, ...]:
    """The conventions in question for a point: a length has none."""
    return ("round", "flat") if is_girth(knowledge, point) else ("",)


@lru_cache(maxsize=65536)
def suits_somehow(knowledge: Knowledge, point: str, value: Fraction, unit: str) -> int:
    """The best of all readings: for scoring a layout before unit and convention are settled."""
    units = (unit,) if unit else ("in", "cm", "mm")
    return max(
        suits(knowledge, point, value, one, convention)
        for one in units
        for convention in conventions_of(knowledge, point)
    )
