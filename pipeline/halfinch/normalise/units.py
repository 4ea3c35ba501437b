"""Lengths to whole nanometres and back, exactly, by the definitions of `schemas/units.toml` through pint."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Any

from halfinch.normalise.half_inch import divide_to_even
from halfinch.normalise.unit_words import load_units

_FACTORS: dict[str, Fraction] = {}
"""Nanometres per unit, filled on first use. A plain dictionary: the look-up is all that `to_nm` costs."""


def to_nm(value: Fraction, unit: str) -> int:
    """`value` of `unit` (in | cm | mm | m | ft) as whole nanometres. Raises ValueError on any other unit.

    1/64 in and 0.01 mm are whole numbers of nanometres; what is not (1/3 in, a seventh decimal of a millimetre) is
    rounded half to even, so it is off by half a nanometre at most.
    """
    factor = _FACTORS.get(unit) or _find_factor(unit)
    top = value.numerator * factor.numerator
    bottom = value.denominator * factor.denominator
    return divide_to_even(top, bottom) if top % bottom else top // bottom


def from_nm(nm: int, unit: str) -> Fraction:
    """`nm` nanometres in `unit`, exactly. Raises ValueError on an unknown unit."""
    return nm / (_FACTORS.get(unit) or _find_factor(unit))


def _find_factor(unit: str) -> Fraction:
    known = load_units().unit
    if unit not in known:
        raise ValueError(f"{unit!r} is no unit of length known here; known: {', '.join(known)}")
    registry = build_registry()
    factor = registry.Quantity(Fraction(1), known[unit].pint).to("nanometer").magnitude
    _FACTORS[unit] = Fraction(factor)
    return _FACTORS[unit]


@lru_cache(maxsize=1)
def build_registry() -> Any:
    """The pint registry of `schemas/units.toml`; every number in it is a Fraction, none a float."""
    import pint

    return pint.UnitRegistry(list(load_units().definitions), non_int_type=Fraction)
