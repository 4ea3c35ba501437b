"""What a printed number says, before anyone asks which point of measure it belongs to."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Printed:
    """One printed figure. Nothing is converted, doubled or rounded here."""

    value: Fraction
    upper: Fraction | None = None
    """The upper end of a printed range (`value` is the lower one, also where they were printed the other way round)."""
    unit: str = ""
    """in | cm | mm | m | ft as printed beside the number; '' where none is. 5'9" is 69 in."""
    minus: Fraction | None = None
    plus: Fraction | None = None
    """Printed tolerance, both as amounts without sign, in the number's unit."""
    convention: str = ""
    """flat | round where a word beside the number says so; '' otherwise."""
    kind: str = "single"
    """single | range | difference ("+1/2") | tolerance ("+/- 1/4": value, minus and plus are the amounts)."""
    second: Printed | None = None
    """The same figure in a second unit; whether the two agree is the caller's to judge."""
    qualifier: str = ""
    """'' | approx | max | min"""
    doubt: str = ""
    """'' or one plain sentence why this reading is not certain."""
    rivals: tuple[Fraction, ...] = ()
    """The other values the same text may stand for."""
    decimals: int = 0
    """Printed decimal places (of the finer end of a range)."""
    is_fraction: bool = False
    rest: str = ""
    """Notes that follow the number: asterisks, footnote figures, words in brackets."""


@dataclass(frozen=True, slots=True)
class FoundNumber:
    """A figure in running text: `text[start:end]` is what was printed."""

    start: int
    end: int
    printed: Printed
