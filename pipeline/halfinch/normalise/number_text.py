"""One spelling for all the ways figures are typed: dashes, quotes, blanks, full-width signs, built-up fractions.

In: text as printed. Out: `Canonical`, its text in one spelling with, for each character, where it stood. A fraction
that is one sign (½, ³⁄₄, ⅟8) becomes FRACTION_OPEN n/d FRACTION_CLOSE, so that "27½" is never taken for 271/2.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

FRACTION_OPEN = "\x01"
FRACTION_CLOSE = "\x02"
NOTE = "\x03"
"""A raised figure or mark that is no part of the number: 27¹, 27†."""

_INCH_MARKS = '"”“″„‟˝〃＂❞❝❠〞〝'
_SINGLE_MARKS = "'’‘′`´ʹ＇ʼ‛‵"
_DASHES = "-‐‑‒–—―−﹣－⁃﹘➖"
_WAVES = "~〜～∼˜∽﹏〰"
_MIDDLE_DOTS = "·‧⋅"
_SLASHES = "/⁄∕／⧸"
_TIMES = "×✕✖⨯╳"
_NOTES = "*†‡§＊※⁎∗"
_RAISED = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True))
_LOWERED = dict(zip("₀₁₂₃₄₅₆₇₈₉", "0123456789", strict=True))
_BUILT = re.compile(
    rf"([⁰¹²³⁴⁵⁶⁷⁸⁹]+)[{_SLASHES}]([₀-₉]+|\d{{1,2}}(?!\d))|([⁰¹²³⁴⁵⁶⁷⁸⁹]+)[{_SLASHES}]([⁰¹²³⁴⁵⁶⁷⁸⁹]+)|⅟([₀-₉]+|\d+)"
)
_MIXED_LEFT = re.compile(r"(?:1/2|[13]/4|[1357]/8|(?:\d|1[0-5])/16|(?:[12]?\d|3[01])/32)(?!\d)")
_PLAIN = re.compile(r"(?:[0-9A-Za-z.,:;/%+()=$<>-]| (?! ))*")
"""Already in our spelling: most cells."""
_PLAIN_RUN = re.compile(r"[0-9A-Za-z.,:;%+()=$<>-]+")
"""Signs that stay as they are whatever stands beside them."""
_SPELT: dict[str, str] = {
    **dict.fromkeys(_INCH_MARKS, '"'),
    **dict.fromkeys(_SINGLE_MARKS, "'"),
    **dict.fromkeys(_DASHES, "-"),
    **dict.fromkeys(_WAVES, "~"),
    **dict.fromkeys(_SLASHES, "/"),
    **dict.fromkeys(_TIMES, "x"),
    **dict.fromkeys(_NOTES, "*"),
    **dict.fromkeys("\u200b\u200c\u200d\u2060\ufeff\u00ad\u200e\u200f", ""),
    **dict.fromkeys("\t\u3000\u00a0\u2007\u202f\u2009\u200a\u2002\u2003", " "),
    **dict.fromkeys("\r\u2028\u2029\v\f", "\n"),
    "∕": "/",
    "：": ":",
    "＜": "<",
    "＞": ">",
}


@dataclass(frozen=True, slots=True)
class Canonical:
    """`text` in one spelling; `starts[i]` is where its character i stood, `starts[len(text)]` the end."""

    text: str
    starts: tuple[int, ...]


def canonicalise(text: str) -> Canonical:
    """Spell `text` in one way; blanks folded to one, none beside a line break, ends not stripped."""
    if _PLAIN.fullmatch(text):
        return Canonical(text, tuple(range(len(text) + 1)))
    made: list[str] = []
    starts: list[int] = []

    def put(chars: str, at: int) -> None:
        for char in chars:
            last = made[-1] if made else ""
            if char == " " and last in (" ", "\n"):
                continue
            if char == "\n" and last in (" ", "\n"):
                made[-1] = "\n"
                continue
            if char == "'" and last == "'":
                made[-1] = '"'
                continue
            made.append(char)
            starts.append(at)

    at = 0
    while at < len(text):
        if made[-2:] == ["-", "\n"] and _MIXED_LEFT.match(text, at):
            del made[-1], starts[-1]  # "14-" over "1/8": a mixed number, its line broken behind the hyphen
        plain = _PLAIN_RUN.match(text, at)
        if plain:
            made.extend(plain.group())
            starts.extend(range(at, plain.end()))
            at = plain.end()
            continue
        built = _BUILT.match(text, at)
        if built:
            put(_spell_built(built), at)
            at = built.end()
            continue
        put(_spell_char(text, at), at)
        at += 1
    starts.append(len(text))
    return Canonical("".join(made), tuple(starts))


def _spell_built(built: re.Match[str]) -> str:
    top, bottom = [part for part in built.groups() if part] if built[5] is None else ("1", built[5])
    return f"{FRACTION_OPEN}{_plain_digits(top)}/{_plain_digits(bottom)}{FRACTION_CLOSE}"


def _plain_digits(digits: str) -> str:
    return "".join(_RAISED.get(d) or _LOWERED.get(d) or str(unicodedata.digit(d)) for d in digits)


def _spell_char(text: str, at: int) -> str:
    char = text[at]
    if char.isascii() and char not in "'\"`*\t\r\v\f":
        return char
    if char in _MIDDLE_DOTS and text[max(0, at - 1) : at].isdigit() and text[at + 1 : at + 2].isdigit():
        return "."  # 27·5
    spelt = _SPELT.get(char)
    if spelt is not None:
        return spelt
    if char in _RAISED or char in _LOWERED:
        return NOTE
    plain = unicodedata.normalize("NFKC", char)
    if "⁄" in plain:
        return f"{FRACTION_OPEN}{plain.replace('⁄', '/')}{FRACTION_CLOSE}"
    if char.isdecimal():
        return str(unicodedata.digit(char))
    if unicodedata.category(char) == "Zs":
        return " "
    if "\uff65" <= char <= "\uff9f":
        return plain  # half-width katakana
    # Ligatures of units (㎝) and full-width letters and signs; ideographs that only look alike stay as they are.
    return plain if len(plain) <= 2 and plain.isascii() and not plain.isspace() else char
