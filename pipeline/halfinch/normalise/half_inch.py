"""Half inches and doubling, in integer arithmetic on whole nanometres."""

from __future__ import annotations

from decimal import Decimal

NM_PER_HALF_INCH = 12_700_000


def half_inch(nm: int) -> Decimal:
    """`nm` to the nearest half inch, one decimal; a tie goes to the even count of halves.

    Source of the rule: IEEE 754 roundTiesToEven on the count of halves (NIST SP 811 B.7.1 says the same of digits).
    9.75 in is 19.5 halves -> 20 -> 10.0; 27.25 in is 54.5 halves -> 54 -> 27.0.
    """
    halves = divide_to_even(nm, NM_PER_HALF_INCH)
    return (Decimal(halves) / 2).quantize(Decimal("0.1"))


def divide_to_even(dividend: int, divisor: int) -> int:
    """The quotient rounded to the nearest whole number, ties to even; `divisor` is above 0."""
    quotient, rest = divmod(dividend, divisor)
    if 2 * rest > divisor or (2 * rest == divisor and quotient % 2):
        return quotient + 1
    return quotient


def double_flat(nm: int) -> int:
    """A flat figure, its upper end, tolerance or grade step, made into the full girth."""
    return 2 * nm
