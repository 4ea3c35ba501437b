"""How merchants write numbers: fractions, decimals, primes, units, full-width digits, ranges."""

from __future__ import annotations

import random
from dataclasses import dataclass
from fractions import Fraction

VULGAR = {
    Fraction(1, 4): "¼", Fraction(1, 2): "½", Fraction(3, 4): "¾", Fraction(1, 8): "⅛", Fraction(3, 8): "⅜",
    Fraction(5, 8): "⅝", Fraction(7, 8): "⅞",
}  # fmt: skip
STEPS = {
    "in": [Fraction(1, 4), Fraction(1, 4), Fraction(1, 8), Fraction(1, 2)],
    "cm": [Fraction(1, 2), Fraction(1, 2), Fraction(1, 10), Fraction(1)],
    "mm": [Fraction(5), Fraction(1)],
}
PER_NM = {"in": 25_400_000, "cm": 10_000_000, "mm": 1_000_000}
FULL_WIDTH = str.maketrans("0123456789.", "0123456789．")


@dataclass(frozen=True, slots=True)
class NumberStyle:
    """One sheet's habit: the way of fractions, the decimal mark, the unit after each number."""

    way: str
    """space | hyphen | vulgar | glued | slash (U+2044) | decimal"""
    mark: str = "."
    suffix: str = ""
    full_width: bool = False
    fixed: bool = False
    """Decimals keep their zeros: 81.0 rather than 81."""

    @property
    def typed(self) -> bool:
        """True where a workbook would hold a plain number."""
        return self.way == "decimal" and not self.suffix and not self.full_width


def draw_style(rng: random.Random, unit: str, mark: str, cell_unit: bool) -> NumberStyle:
    """A style for one unit; `cell_unit` asks for the unit after every number."""
    if unit == "in":
        way = rng.choices(["space", "hyphen", "vulgar", "glued", "slash", "decimal"], [6, 2, 3, 2, 1, 6])[0]
        suffixes = ['"', "”", "''", " in", "in", " inches", "“", "″", " IN"]
    else:
        way, suffixes = "decimal", [" cm", "cm", " CM"] if unit == "cm" else [" mm", "mm"]
    suffix = rng.choice(suffixes) if cell_unit else ""
    used = mark if way == "decimal" and unit != "in" else "." if rng.random() < 0.6 else mark
    return NumberStyle(way, used, suffix, False, rng.random() < 0.4 and unit != "mm")


def write(value: Fraction, style: NumberStyle) -> str:
    """The number as printed; exact, or it would be no truth to compare with."""
    if style.way == "decimal" or (value % 1 and value % 1 not in VULGAR):
        text = _decimal(value, style)
    else:
        text = _mixed(value, style.way)
    text += style.suffix
    return text.translate(FULL_WIDTH) if style.full_width else text


def _decimal(value: Fraction, style: NumberStyle) -> str:
    places = next(n for n in range(7) if (value * 10**n).denominator == 1)
    if style.fixed:
        places = max(places, 1)
    return f"{float(value):.{places}f}".replace(".", style.mark)


def _mixed(value: Fraction, way: str) -> str:
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    plain = f"{part.numerator}/{part.denominator}"
    if not whole:
        return VULGAR[part] if way in ("vulgar", "glued") else plain
    return {
        "space": f"{whole} {plain}",
        "hyphen": f"{whole}-{plain}",
        "vulgar": f"{whole} {VULGAR[part]}",
        "glued": f"{whole}{VULGAR[part]}",
        "slash": f"{whole} {part.numerator}⁄{part.denominator}",
    }[way]


def nanometres(value: Fraction, unit: str, flat: bool) -> int:
    """Full girth or length, exact."""
    return int(value * PER_NM[unit] * (2 if flat else 1))
