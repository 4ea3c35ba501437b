"""Slips that make another figure of a printed one: the other unit, the other convention, a decimal point elsewhere."""

from __future__ import annotations

from fractions import Fraction

CHANGES: dict[str, tuple[str, Fraction]] = {
    "cm": ("centimetres instead of inches", Fraction(100, 254)),
    "in": ("inches instead of centimetres", Fraction(254, 100)),
    "flat": ("flat instead of round", Fraction(2)),
    "round": ("round instead of flat", Fraction(1, 2)),
    "slipped": ("a slipped decimal point", Fraction(1, 10)),
    "lost": ("a lost decimal point", Fraction(10)),
}
"""Name of a change: in words, and what it makes of the figure as it was read."""
