"""`merchants.toml`: how a merchant measures and prints, as far as his sheets do not say it themselves.

[maison-elan]                               # the merchant, however the name is written
unit = "cm"                                 # in | cm | mm
rise = "back"                               # what a bare "rise" is: front | back | total
rise_band = "without"                       # with | without the waistband
knee = 13                                   # knee line, inches below the crotch
convention = { thigh = "flat", knee = "flat", leg_opening = "flat", waist = "round" }
tolerance = { waist = "1/2", inseam = "1/4" }   # +/- inches of the full girth or length
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, fields, replace
from fractions import Fraction
from typing import Literal

Convention = Literal["flat", "round", ""]

KNEE_LIMITS = (8, 18)
"""Inches below the crotch: the lines of lengths.toml with all they admit lie well inside."""
TOLERANCE_MOST = 3
"""Inches of the full girth; a wider one is no tolerance (limits of tolerances.toml)."""


@dataclass(frozen=True, slots=True)
class GirthHabits:
    """Flat or round by point; '' is not known."""

    waist: Convention = ""
    hip: Convention = ""
    thigh: Convention = ""
    knee: Convention = ""
    leg_opening: Convention = ""

    def of(self, point: str) -> str:
        return str(getattr(self, point, ""))

    def without(self, points: Iterable[str]) -> GirthHabits:
        """The same, not known for these points."""
        nothing: dict[str, Convention] = {point: "" for point in points if self.of(point)}
        return replace(self, **nothing)


@dataclass(frozen=True, slots=True)
class ToleranceHabits:
    """+/- inches of the full girth or length by point; None is not known."""

    front_rise: Fraction | None = None
    back_rise: Fraction | None = None
    inseam: Fraction | None = None
    outseam: Fraction | None = None
    waist: Fraction | None = None
    hip: Fraction | None = None
    thigh: Fraction | None = None
    knee: Fraction | None = None
    leg_opening: Fraction | None = None

    def of(self, point: str) -> Fraction | None:
        value: Fraction | None = getattr(self, point, None)
        return value

    def check(self) -> str:
        for one in fields(self):
            value = self.of(one.name)
            if value is not None and not 0 < value <= TOLERANCE_MOST:
                return f"{one.name}: a tolerance is above 0 and at most {TOLERANCE_MOST} inches, is {float(value):g}"
        return ""


@dataclass(frozen=True, slots=True)
class Habits:
    """One merchant's table. What is not there is not known."""

    unit: Literal["in", "cm", "mm", ""] = ""
    rise: Literal["front", "back", "total", ""] = ""
    """What a bare "rise" means."""
    rise_band: Literal["with", "without", ""] = ""
    knee: Fraction | None = None
    """Knee line, inches below the crotch."""
    convention: GirthHabits = field(default_factory=GirthHabits)
    tolerance: ToleranceHabits = field(default_factory=ToleranceHabits)

    def check(self) -> str:
        low, high = KNEE_LIMITS
        if self.knee is not None and not low <= self.knee <= high:
            return f"knee: the knee line lies {low} to {high} inches below the crotch, is {float(self.knee):g}"
        return ""
