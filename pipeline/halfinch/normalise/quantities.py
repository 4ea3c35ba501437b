"""Amounts with their unit: single ones, feet and inches, ranges."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from halfinch.normalise.amounts import TOLERANCE_BEHIND, Amount, read_amount
from halfinch.normalise.unit_words import fold, load_words

_FEET = re.compile(r"(?P<feet>[1-7]) ?(?:'|ft\.?|feet|foot) ?(?:,|and)? ?-? ?(?=\d|\x01)", re.IGNORECASE)
_INCHES = re.compile(r' ?(?:"|ins?(?![^\W\d_])\.?|inch(?:es)?(?![^\W\d_]))', re.IGNORECASE)
_TORN = re.compile(r"(\d{1,3})-(0\d{2})(?![\d.,/])")
_INCH_WORD_BEHIND_DASH = re.compile(r"-(?=(?:in|inch|inches|cm|mm)(?![^\W\d_]|-\d))", re.IGNORECASE)
_ARTICLE = re.compile(r" (?:of )?an? (?=in)", re.IGNORECASE)
MOST_FEET = 8
"""A single prime behind 9 or more cannot be feet on a garment or a woman; behind fewer it can."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """`text[at:end]`: an amount or a range with its unit ('' when none is printed)."""

    value: Fraction
    end: int
    upper: Fraction | None = None
    unit: str = ""
    decimals: int = 0
    is_fraction: bool = False
    doubt: str = ""
    rivals: tuple[Fraction, ...] = ()


def read_quantity(
    text: str, at: int, decimal: str = "", unit: str = "", prose: bool = False, ranges: bool = True
) -> Quantity | None:
    """The longest quantity that begins at `at`. `unit`: what the number's unit is known to be, '' when not known.

    ranges: False where a dash is the sign of the next amount.
    """
    torn = _read_torn(text, at)
    if torn:
        return torn
    first = _read_feet(text, at) or _read_single(text, at, decimal, unit, prose)
    if first is None:
        return None
    ranged = _read_upper(text, first, decimal, unit or first.unit, prose) if ranges else None
    found = ranged or first
    if found.doubt and found.unit and not unit:
        # A unit at the end of the range decides what the digits in front of it mean: 1,014-1,020 mm.
        again = read_quantity(text, at, decimal, found.unit, prose, ranges)
        return again or found
    return found


def _read_single(text: str, at: int, decimal: str, unit: str, prose: bool) -> Quantity | None:
    amount = read_amount(text, at, decimal, unit)
    if amount is None:
        return None
    found = read_unit(text, amount, prose)
    return found or _plain(amount)


def _read_torn(text: str, at: int) -> Quantity | None:
    """1-014: a dash where a decimal mark or a mark for thousands was meant; both readings are named."""
    torn = _TORN.match(text, at)
    if not torn:
        return None
    thousands = Fraction(int(torn[1] + torn[2]))
    doubt = "a dash in front of a zero: decimals, thousands or a range"
    return Quantity(thousands / 1000, torn.end(), None, "", 3, False, doubt, (thousands,))


def _plain(amount: Amount) -> Quantity:
    return Quantity(
        amount.value, amount.end, None, "", amount.decimals, amount.is_fraction, amount.doubt, amount.rivals
    )


def read_unit(text: str, amount: Amount, prose: bool = False) -> Quantity | None:
    """`amount` with the unit printed behind it; None when no unit is."""
    at = amount.end + (text[amount.end : amount.end + 1] == " ")
    article = _ARTICLE.match(text, amount.end) if amount.is_fraction else None
    at = article.end() if article else at  # 1/2 an inch
    at += bool(_INCH_WORD_BEHIND_DASH.match(text, at))  # a 30-inch inseam
    bare = _plain(amount)
    if text[at : at + 1] == "'":
        return _read_prime(text, bare, at)
    words = load_words()
    found = words.unit.match(text, at)
    if not found:
        return None
    printed = found[0]
    end = found.end()
    if printed.endswith(".") and prose and fold(printed) not in ("in.", "cm.", "mm."):
        end -= 1
    unit, doubt = words.units[fold(printed.removesuffix("."))]
    beside = words.beside.match(text, at)
    if printed in ("M", "M.") or (beside and beside.end() > found.end()):
        return None  # a size M; "28 in piano"
    if unit == "m" and not _may_be_metres(bare):
        return None
    if prose and fold(printed) == "in" and at > amount.end:
        doubt = doubt or _doubt_preposition(text, end)
    return _add_half(text, replace(bare, end=end, unit=unit, doubt=bare.doubt or doubt))


def _add_half(text: str, whole: Quantity) -> Quantity:
    """28吋半, 28 inches and a half: the fraction in words stands behind the unit."""
    words = load_words()
    at = whole.end + (text[whole.end : whole.end + 1] == " ")
    join = words.join.match(text, at)
    start = join.end() + (text[join.end() : join.end() + 1] == " ") if join else at
    found = (words.joined if join else words.glued).match(text, start)
    if not found or whole.value.denominator != 1:
        return whole
    value = whole.value + words.fractions[fold(found[0].removesuffix("."))]
    return replace(whole, value=value, end=found.end(), is_fraction=True)


def _may_be_metres(amount: Quantity) -> bool:
    """28 m is a size M rather than 28 metres; 0.815 m is a length."""
    return amount.value <= 2 or (amount.value < 3 and amount.decimals > 0)


def _doubt_preposition(text: str, end: int) -> str:
    """In prose "28 in dark blue" is no length."""
    if not re.compile(r" [^\W\d_]").match(text, end) or load_words().follows.match(text, end):
        return ""
    return '"in" may be the unit or the word'


def _read_prime(text: str, bare: Quantity, at: int) -> Quantity | None:
    if bare.value > MOST_FEET or bare.is_fraction or bare.decimals:
        return replace(bare, end=at + 1, unit="in")
    doubt = "a single prime may stand for inches or feet"
    return replace(bare, end=at + 1, unit="in", doubt=bare.doubt or doubt, rivals=(bare.value * 12,))


def _read_feet(text: str, at: int) -> Quantity | None:
    """5'9", 2 ft 3 in, 2 feet 3 inches: inches."""
    feet = _FEET.match(text, at)
    inches = read_amount(text, feet.end()) if feet else None
    if not feet or not inches or inches.value >= 12:
        return None
    mark = _INCHES.match(text, inches.end)
    spelt = mark is not None or "'" in feet[0]
    if not spelt or (mark is None and inches.is_fraction and inches.value < 1):
        return None
    end = mark.end() if mark else inches.end
    value = int(feet["feet"]) * 12 + inches.value
    return Quantity(value, end, None, "in", inches.decimals, inches.is_fraction, inches.doubt)


def _read_upper(text: str, low: Quantity, decimal: str, unit: str, prose: bool) -> Quantity | None:
    between = load_words().range.match(text, low.end)
    if not between or (prose and "\n" in between[0]):
        return None
    high = _read_feet(text, between.end()) or _read_single(text, between.end(), decimal, unit, prose)
    if high is None or (low.unit and high.unit and low.unit != high.unit):
        return None
    if between[0] == " -" and TOLERANCE_BEHIND.match(text, high.end):
        return None  # 10 -1/4 +1/2
    if not low.unit and not high.unit and are_inches_and_cm(low.value, high.value) and "\n" in between[0]:
        return None
    if high.value > 10 * low.value > 0 or (high.end - between.end() > 3 and high.value >= 1900 and not high.unit):
        return None
    return _join(low, high, stacked=not between[0].strip())


def _join(low: Quantity, high: Quantity, stacked: bool) -> Quantity:
    doubt = low.doubt or high.doubt
    least, most = sorted((low.value, high.value))
    if low.value > high.value:
        doubt = doubt or "the range is printed upside down"
    elif most > 2 * least:
        doubt = doubt or "the ends of the range lie far apart"
    elif stacked and most * 100 > 115 * least:
        doubt = doubt or "two figures stand in one cell"
    return Quantity(
        least,
        high.end,
        most if most > least else None,
        high.unit or low.unit,
        max(low.decimals, high.decimals),
        low.is_fraction or high.is_fraction,
        doubt,
        (*low.rivals, *high.rivals),
    )


def are_inches_and_cm(first: Fraction, other: Fraction) -> str:
    """The unit of `first` (in | cm) where the two are one length in inches and centimetres; '' where they are not.

    Half a centimetre apart at most: charts round each column for itself (up to 0.47 cm seen on published charts).
    """
    least, most = sorted((first, other))
    if not least or abs(least * Fraction(254, 100) - most) > Fraction(1, 2) or most < 5:
        return ""
    return "in" if first < other else "cm"
