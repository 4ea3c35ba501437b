"""One amount without sign or unit: whole number, decimal, fraction, mixed number, in digits or partly in words."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from halfinch.normalise.decimal_marks import DIGITS, decide_decimal
from halfinch.normalise.number_text import FRACTION_CLOSE, FRACTION_OPEN
from halfinch.normalise.unit_words import fold, load_words

_SIGN = rf"{FRACTION_OPEN}(?P<top>\d{{1,3}})/(?P<bottom>\d{{1,3}}){FRACTION_CLOSE}"
_SLASH = r"(?P<top>\d{1,3}) ?/ ?(?P<bottom>\d{1,2})(?!\d|[.,]\d)"
_MIXED_SIGN = re.compile(rf"(?P<whole>\d{{1,4}})(?P<gap> ?[-.] ?| |\n| ?\" ?|){_SIGN}")
_MIXED_SLASH = re.compile(rf"(?P<whole>\d{{1,4}})(?P<gap> ?- ?| ?[.,] ?| |\n| ?\" ?){_SLASH}")
_PURE_SIGN = re.compile(_SIGN)
_PURE_SLASH = re.compile(rf"{_SLASH.replace('1,3', '1,4')}(?! ?/ ?\d)")
_UNIT_BEHIND = re.compile(r"\"| ?(?:in|cm|mm)(?![^\W\d_])", re.IGNORECASE)
TOLERANCE_BEHIND = re.compile(r" ?[/,;]? ?\+ ?[\d\x01.,]")
LARGEST_WHOLE = 99
"""Glued "3411/16" is 34 11/16, not 341 1/16: a whole part of three digits is the less likely one."""


@dataclass(frozen=True, slots=True)
class Amount:
    """`text[at:end]` as a number; the rest as in `Printed`."""

    value: Fraction
    end: int
    decimals: int = 0
    is_fraction: bool = False
    doubt: str = ""
    rivals: tuple[Fraction, ...] = ()


def read_amount(text: str, at: int, decimal: str = "", unit: str = "") -> Amount | None:
    """The longest amount that begins at `at` of canonical text; None when none does."""
    if at >= len(text) or not (text[at].isdigit() or text[at] in f"{FRACTION_OPEN}.,"):
        return _read_words(text, at)
    for pattern in (_MIXED_SIGN, _MIXED_SLASH):
        mixed = pattern.match(text, at)
        if mixed and mixed["gap"] == " -" and TOLERANCE_BEHIND.match(text, mixed.end()):
            continue  # 10 -1/4 +1/2
        amount = _make_mixed(mixed) if mixed else None
        if amount:
            return amount
    return _read_mixed_words(text, at) or _read_fraction(text, at) or _read_digits(text, at, decimal, unit)


def _read_digits(text: str, at: int, decimal: str, unit: str) -> Amount | None:
    digits = DIGITS.match(text, at)
    if not digits:
        return None
    end = digits.end()
    if text[end - 1] in ".," and end - at > 1 and not _UNIT_BEHIND.match(text, end):
        end -= 1  # "27, 28", "27.Inseam": the mark belongs to the sentence.
    decided = decide_decimal(text[at:end], decimal, unit)
    if decided is None and " " in text[at:end]:
        end = at + text[at:end].index(" ")
        decided = decide_decimal(text[at:end], decimal, unit)
    if decided is None:
        return None
    return Amount(decided.value, end, decided.decimals, False, decided.doubt, decided.rivals)


def _make_mixed(found: re.Match[str]) -> Amount | None:
    whole, top, bottom = int(found["whole"]), int(found["top"]), int(found["bottom"])
    words = load_words()
    gap = found["gap"]
    if not bottom or not top or bottom not in words.usual | words.known or found["whole"].startswith("00"):
        return None
    if top >= bottom and gap != " ":
        return None
    doubt = ""
    rivals: tuple[Fraction, ...] = ()
    if top >= bottom:
        doubt = f"{top}/{bottom} behind a whole number is no proper fraction"
    elif bottom not in words.usual:
        doubt = f"a fraction in {bottom} parts is not usual on a tape"
    elif gap == " -" and FRACTION_OPEN not in found[0]:
        doubt = "the dash may join the fraction or begin a tolerance"
        rivals = (Fraction(whole),)
    elif "," in gap or (whole == 0 and "-" in gap):
        doubt = "the mark between whole number and fraction is not usual"
    elif '"' in gap:
        doubt = "the fraction stands behind the inch mark"
        rivals = (Fraction(whole),)
    return Amount(whole + Fraction(top, bottom), found.end(), 0, True, doubt, rivals)


def _read_fraction(text: str, at: int) -> Amount | None:
    found = _PURE_SIGN.match(text, at) or _PURE_SLASH.match(text, at)
    if not found:
        return None
    top, bottom = int(found["top"]), int(found["bottom"])
    words = load_words()
    if not top or bottom not in words.usual | words.known or found["top"].startswith("0"):
        return None
    value = Fraction(top, bottom)
    if min(top, bottom) >= 10 and abs(Fraction(254, 100) * bottom - top) <= Fraction(1, 2):
        return None  # 81/32: centimetres and inches
    if top < bottom:
        if value.denominator != bottom and (bottom > 9 or bottom not in words.usual):
            # 10/12, 12/16: two sizes rather than a fraction, unless a sixteenth left unreduced.
            return Amount(value, found.end(), 0, True, "two sizes, or a fraction left unreduced") if top < 10 else None
        doubt = "" if bottom in words.usual else f"a fraction in {bottom} parts is not usual on a tape"
        doubt = doubt or ("two sizes, or a fraction left unreduced" if value.denominator != bottom else "")
        return Amount(value, found.end(), 0, True, doubt)
    return _split_glued(found, value)


def _split_glued(found: re.Match[str], value: Fraction) -> Amount | None:
    """311/8 is 31 1/8 with its blank lost, or 38.875: both are lengths, so both are named, the first the likelier."""
    digits, bottom = found["top"], int(found["bottom"])
    if bottom not in load_words().usual or bottom == 3:
        return None
    splits = []
    for cut in range(1, len(digits)):
        whole, top = digits[:cut], digits[cut:]
        if top[0] != "0" and int(top) < bottom and int(top) % 2 and (len(digits) < 4 or int(whole) <= LARGEST_WHOLE):
            splits.append(int(whole) + Fraction(int(top), bottom))
    splits.sort(key=lambda split: split > LARGEST_WHOLE)
    if not splits:
        return None if len(digits) > 1 else Amount(value, found.end(), 0, True, "no proper fraction")
    doubt = f"the fraction is glued to the whole number: {digits}/{bottom}"
    return Amount(splits[0], found.end(), 0, True, doubt, (*splits[1:], value))


def _read_words(text: str, at: int) -> Amount | None:
    """ "half an inch", "three quarters of an inch": only in front of a unit, else "half" speaks of flat."""
    words = load_words()
    found = words.fraction.match(text, at)
    if not found:
        return None
    end = found.end()
    gap = re.compile(r" (?:of )?(?:an? |einen? |d'un |de )?", re.IGNORECASE).match(text, end)
    behind = words.unit.match(text, gap.end() if gap else end)
    if not behind or behind[0] in "\"'":
        return None
    end = gap.end() - 1 if gap else end
    return Amount(words.fractions[_key(found[0])], end, 0, True)


def _read_mixed_words(text: str, at: int) -> Amount | None:
    """ "10 and a half", "10 and 1/2", "10 et demi", "10 buçuk"."""
    words = load_words()
    whole = re.compile(r"(\d{1,3}) ?").match(text, at)
    if not whole:
        return None
    join = words.join.match(text, whole.end())
    start = join.end() + (text[join.end() : join.end() + 1] == " ") if join else whole.end()
    found = (words.joined if join else words.glued).match(text, start)
    if found:
        return Amount(int(whole[1]) + words.fractions[_key(found[0])], found.end(), 0, True)
    if not join:
        return None
    fraction = _read_fraction(text, start)
    if fraction and fraction.value < 1 and not fraction.doubt:
        return Amount(int(whole[1]) + fraction.value, fraction.end, 0, True)
    return None


def _key(word: str) -> str:
    return fold(word.removesuffix("."))
