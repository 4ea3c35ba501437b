"""A person's own figure, typed with its unit: "27 1/2 in", "70,5 cm", 5'4", "9 to 10 1/4 in", "27 in +/- 1/4".

Stricter than reading a sheet: the unit has to be there and nothing may be left over, because nothing stands beside it
that could show a slip. Refusals never repeat what was typed: it may be somebody's measure.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

NM_PER_INCH = 25_400_000


@dataclass(frozen=True, slots=True, repr=False)
class Typed:
    """Inches, exact. `high` is the upper end of a band; `within` is +/- where it was typed."""

    low: Fraction
    high: Fraction | None = None
    within: Fraction | None = None

    def __repr__(self) -> str:
        return "Typed(private)"


class MeasureError(ValueError):
    """One clause on what is wrong with a typed measure, without the measure."""


def read_measure(text: str, unit: str = "") -> Typed:
    """Read a typed measure; `unit` (in | cm | mm | m | ft) serves where the text names none. Raises MeasureError."""
    from halfinch.normalise.numbers import read_number
    from halfinch.normalise.units import to_nm

    printed = read_number(text.strip())
    if printed is None or printed.rest or printed.doubt or printed.rivals or printed.qualifier or printed.convention:
        raise MeasureError('is not one plain measure; write it like "27 1/2 in" or "70 cm"')
    if printed.kind == "difference" and text.strip()[:1] in "-−–":
        raise MeasureError("is negative; a measure cannot be")
    if printed.kind not in ("single", "range"):
        raise MeasureError('is not one plain measure; write it like "27 1/2 in" or "70 cm"')
    used = printed.unit or unit
    if not used:
        raise MeasureError('has no unit; write it like "27 1/2 in" or "70 cm"')
    if printed.unit and unit and printed.unit != unit:
        raise MeasureError("names two units; keep one")

    def inches(value: Fraction) -> Fraction:
        return Fraction(to_nm(value, used), NM_PER_INCH)

    if printed.value < 0:
        raise MeasureError("is negative; a measure cannot be")
    amounts = [inches(amount) for amount in (printed.minus, printed.plus) if amount is not None]
    return Typed(
        low=inches(printed.value),
        high=None if printed.upper is None else inches(printed.upper),
        within=max(amounts) if amounts else None,
    )


def read_inches(text: str, unit: str = "in") -> float:
    """A single typed length in inches, `unit` where none is named: for the command line. Raises MeasureError."""
    typed = read_measure(text, _named_unit(text) or unit)
    if typed.high is not None:
        raise MeasureError("is a range; one figure is asked for")
    return float(typed.low)


def _named_unit(text: str) -> str:
    from halfinch.normalise.numbers import read_number

    printed = read_number(text.strip())
    return printed.unit if printed is not None else ""
