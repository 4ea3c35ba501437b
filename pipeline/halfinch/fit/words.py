"""How a length is said in a reason: inches to the nearest sixteenth where that is close, else two decimals."""

from __future__ import annotations

from fractions import Fraction

_CLOSE = 0.004


def say(inches: float) -> str:
    """27.5 -> "27 1/2 in", 0.3 -> "0.3 in"."""
    return f"{say_number(inches)} in"


def say_number(inches: float) -> str:
    """27.5 -> "27 1/2", -0.25 -> "-1/4", 31.89 -> "31.89"."""
    nearest = round(inches * 16)
    if abs(inches - nearest / 16) > _CLOSE:
        return f"{inches:.2f}".rstrip("0").rstrip(".")
    sign = "-" if nearest < 0 else ""
    whole, part = divmod(abs(nearest), 16)
    if not part:
        return f"{sign}{whole}"
    fraction = Fraction(part, 16)
    return f"{sign}{f'{whole} ' if whole else ''}{fraction.numerator}/{fraction.denominator}"


def say_within(cut: float) -> str:
    """Where a hem ends that needs no cut: "right", "1/4 in low", "1/4 in high"."""
    if abs(cut) <= _CLOSE:
        return "right"
    return f"{say(abs(cut))} {'low' if cut > 0 else 'high'}"
