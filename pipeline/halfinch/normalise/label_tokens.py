"""A printed label or sentence cut into words, numbers and signs, each with its place in the text.

In: text as printed. Out: `Token`s. Nothing here knows what a word means; it only knows where words end: at blanks and
signs, at case changes (`legOpening`), between scripts, and in "l.o.", "w/b", "o/s" it does not.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from halfinch.knowledge.folding import fold

_THAI = "\u0e01-\u0e3a\u0e40-\u0e4e"
_KANA, _HAN, _HANGUL = (
    "\u3040-\u309f\u30a0-\u30ff\u31f0-\u31ff\uff66-\uff9f",
    "\u3400-\u4dbf\u4e00-\u9fff\uf900-\ufaff",
    "\uac00-\ud7a3",
)
EASTERN = f"{_THAI}{_KANA}{_HAN}{_HANGUL}々〆"
"""Scripts without a blank between words."""
_RINGED = "①-⑳"
"""A ringed figure behind a word is a footnote's mark, no part of it."""
_FRACTIONS = "½¼¾⅓⅔⅛⅜⅝⅞"
_TOKEN = re.compile(
    rf"""
    (?P<number>\d+\s*-?\s*[{_FRACTIONS}]|[{_FRACTIONS}]
      |\d+(?:\s+|-)\d+\s*[/⁄]\s*\d+(?!\d)|\d+\s*[/⁄]\s*\d+(?![\d/])|\d+(?:[.,]\d+)?)
    |(?P<letters>(?<![^\W_])[^\W\d_](?:[./][^\W\d_])+\.?(?![^\W_]))
    |(?P<eastern>[{EASTERN}]+)
    |(?P<word>[^\W\d_{_RINGED}{EASTERN}]+(?:['’][^\W\d_{_RINGED}{EASTERN}]+)*)
    |(?P<sign>''|\+/-|[^\w\s])
    """,
    re.VERBOSE,
)
_SPACED = re.compile(rf"(?<![^\W_])(?:[^\W\d_{EASTERN}] ){{3,}}[^\W\d_{EASTERN}](?![^\W_])")
"""Four or more single letters with a blank between."""
_SPACED_TOO = re.compile(rf"(?<![^\W_])(?:[^\W\d_{EASTERN}] )+[^\W\d_{EASTERN}](?![^\W_])|(?<!\S)\d(?: \d)+(?= [\"″”])")
"""Beside such a run two letters are one too ("I N - S E A M"), and digits before an inch sign."""
_SPACED_WHOLE = re.compile(rf"\s*[^\W\d_{EASTERN}](?: [^\W\d_{EASTERN}]){{2}}\s*")
"""Three such letters that are all of a text ("H I P") are a word."""
_CASE = re.compile(r"(?<=[a-zß-öø-ÿ])(?=[A-ZÀ-ÖØ-Þ])")
_RAISED = re.compile(r"(?<=[^\W\d_]|[).\]])[⁰¹²³⁴-⁹ᵃᵇ]+(?![⁄/])")
"""The number of a footnote behind a word."""
INCH_SIGNS = frozenset({'"', "″", "”", "“", "''", "＂", "〃"})


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or sign."""

    text: str
    """Folded."""
    kind: str
    """word | eastern | number | sign"""
    start: int
    end: int
    raw: str = ""
    """As printed."""

    @property
    def spaced(self) -> bool:
        """Letters with blanks between them, where one word ends and the next begins unsaid."""
        return self.kind == "word" and " " in self.raw


def cut_tokens(text: str) -> list[Token]:
    """Tokens of a text in order; `start` and `end` are positions in it."""
    return list(_cut_tokens(text))


@lru_cache(maxsize=4096)
def _cut_tokens(text: str) -> tuple[Token, ...]:
    """Kept, since a text is asked for its label, its heading, its unit, its length ..."""
    tokens: list[Token] = []
    for match in _find_tokens(_RAISED.sub(lambda mark: " " * len(mark.group()), text)):
        if match.re is not _TOKEN:
            letters = "".join(match.group().split())
            number = letters.isdigit()
            raw = letters if number else match.group()
            tokens.append(Token(fold(letters), "number" if number else "word", match.start(), match.end(), raw))
            continue
        kind = str(match.lastgroup)
        raw = match.group()
        if kind == "word":
            tokens.extend(_cut_word(raw, match.start()))
        elif kind == "letters":
            tokens.append(Token(re.sub(r"[./]", "", fold(raw)), "word", match.start(), match.end(), raw))
        else:
            tokens.append(Token(fold(raw), kind, match.start(), match.end(), raw))
    return tuple(tokens)


def starts_spaced(text: str) -> bool:
    """Whether a text begins with a word in spaced letters: its first letter is then no code."""
    return _SPACED.match(text.lstrip(" ([")) is not None or _SPACED_WHOLE.fullmatch(text) is not None


def _find_tokens(text: str) -> Iterator[re.Match[str]]:
    """The tokens of a text, a word in spaced letters ("W A I S T") as one."""
    position = 0
    for spaced in (_SPACED_TOO if _SPACED.search(text) or _SPACED_WHOLE.fullmatch(text) else _SPACED).finditer(text):
        yield from _TOKEN.finditer(text, position, spaced.start())
        yield spaced
        position = spaced.end()
    yield from _TOKEN.finditer(text, position)


def _cut_word(raw: str, start: int) -> list[Token]:
    """A word of an alphabet: camel case is cut, the article before an apostrophe is a word of its own."""
    parts: list[Token] = []
    position = 0
    for piece in _CASE.split(raw) if not raw.isupper() and not raw.islower() else [raw]:
        at = start + raw.index(piece, position)
        position = at - start + len(piece)
        head, mark, tail = piece.replace("’", "'").partition("'")
        if mark and len(head) <= 2 and len(tail) > 2:
            parts.append(Token(fold(head), "word", at, at + len(head), head))
            parts.append(Token(fold(tail), "word", at + len(head) + 1, at + len(piece), tail))
        else:
            folded = fold(piece)
            parts.append(
                Token(folded.replace("'", "") if len(folded) > 2 else folded, "word", at, at + len(piece), piece)
            )
    return parts


def read_amount(text: str) -> Fraction | None:
    """The value of a number token: "14", "2.5", "2,5", "13 1/2", "13½"; None for what is none."""
    folded = fold(text).replace("⁄", "/")
    spread = re.sub(r"(?<=\d)-(?=\d)", " ", folded)
    match = re.fullmatch(r"(\d+)\s*(\d/\d+)", spread) if "/" in spread and " " not in spread and "-" in text else None
    parts = list(match.groups()) if match else spread.replace(",", ".").split()
    try:
        if len(parts) == 1 and any(sign in text for sign in _FRACTIONS) and len(text.strip()) > 1:
            whole, fraction = re.split(rf"(?=[{_FRACTIONS}])", text.strip())
            return Fraction(whole.strip(" -")) + Fraction(fold(fraction).replace("⁄", "/"))
        return sum((Fraction(part) for part in parts), Fraction(0)) if parts else None
    except (ValueError, ZeroDivisionError):
        return None
