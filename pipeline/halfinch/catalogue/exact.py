"""From printed inches back to the exact length they were printed from."""

from __future__ import annotations

from decimal import Decimal

from halfinch.figure import NM_PER_INCH

SIXTY_FOURTH_NM = 396_875
HUNDREDTH_MM_NM = 10_000
SHOWN_WITHIN_NM = 13
"""Inches are printed with six places: half of the last place is 12.7 nm."""


def inches_to_nm(inches: Decimal) -> int:
    """The nanometres that `to_inches` printed: a 64th of an inch, else a hundredth of a millimetre, else the nearest.

    Inverse of `figure.to_inches` for every length that a sheet prints in 64ths or in hundredths of a millimetre.
    """
    exact = inches * NM_PER_INCH
    if exact == exact.to_integral_value() and int(exact) % SIXTY_FOURTH_NM == 0:
        return int(exact)
    for step in (HUNDREDTH_MM_NM, HUNDREDTH_MM_NM // 2):
        near = int((exact / step).to_integral_value()) * step
        if abs(exact - near) <= SHOWN_WITHIN_NM:
            return near
    return int(exact.to_integral_value())
