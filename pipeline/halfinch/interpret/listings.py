"""Listings in one line: "Waist (laid flat) 37, hips 51, thigh 33", cut at what stands between its parts.

In: a line. Out: its parts, and of each part its label and its figure, the last number of it; a number before that is
the label's own ("knee 14 in below crotch - 16 in").
"""

from __future__ import annotations

import re
from dataclasses import replace

from halfinch.interpret.facets import Reader
from halfinch.normalise.numbers import FoundNumber, find_numbers

MOST_NUMBERS = 2
"""A label's own and its figure."""
_EDGE = " \t,;:=|/-–—.·•"
_PARTS = re.compile(r"[;,]\s+(?!\d+\s*[/⁄]\s*\d+\s*[;,])|\s*[;•·]\s*|\s{2,}|\s+/\s+(?=[^\W\d])|\s+\|\s+(?=[^\W\d])")
_BLANKS = re.compile(r"\s+")
_BESIDE = re.compile(r"\s*(?:\([^()]*\)|[.!])?\s*")
_WORD_BEHIND = re.compile(r"(?<![^\W_])(?!cms?\b|mms?\b|in\b|inch|zoll|pouce|pulg|poll)[^\W\d_]{3,}", re.IGNORECASE)
_CODE_BEHIND = re.compile(r"\s+[A-Z]{1,2}[-.]?\d{1,3}$")


def split_parts(text: str, reader: Reader) -> list[str]:
    """The parts between commas, semicolons and bars; one without a figure belongs to the next ("waist relaxed, buttoned
    32")."""
    parts: list[str] = []
    begun = ""
    for part in _PARTS.split(text.strip(_EDGE)):
        whole = f"{begun}, {part}" if begun else part
        if not part.strip():
            continue
        if numbers_of(part, reader) and read_part(whole, reader) is not None:
            parts.append(whole)
            begun = ""
        else:
            begun = whole
    return [*parts, begun] if begun else parts


def read_part(part: str, reader: Reader) -> tuple[str, str] | None:
    """Label and figure of one part; None where the last number is no figure behind a label."""
    numbers = numbers_of(part, reader)
    if not numbers or len(numbers) > MOST_NUMBERS:
        return None
    last = numbers[-1]
    label = _BLANKS.sub(" ", part[: last.start]).strip(_EDGE)
    if not any(c.isalpha() for c in label) or not _BESIDE.fullmatch(part[last.end :]):
        return None
    if len(numbers) > 1 and not any(c.isalpha() for c in part[numbers[-2].end : last.start]):
        named = reader.read(label).point
        if named is not None and named.at is not None:
            return label, part[last.start : last.end]  # "knee @ 13 in 8 in"
        if named is None or not re.search(r"[/|–—-]", part[numbers[-2].end : last.start]):
            return None  # two figures behind one label
        first = numbers[-2]
        return _BLANKS.sub(" ", part[: first.start]).strip(_EDGE), part[first.start : last.end]
    return label, part[last.start : last.end]


def numbers_of(text: str, reader: Reader) -> list[FoundNumber]:
    """The numbers of a text without the words behind them that begin the next label ("34.5, ACROSS hips")."""
    found = find_numbers(text, decimal=reader.decimal)
    kept = []
    for at, number in enumerate(found):
        code = _CODE_BEHIND.search(text, number.start, number.end)
        if code is not None:
            number = FoundNumber(number.start, code.start(), number.printed)
        word = _WORD_BEHIND.search(text, number.start, number.end)
        if word is not None:
            after = found[at + 1].start if at + 1 < len(found) else len(text)
            apart = "," in text[number.start : word.start()] or ";" in text[number.start : word.start()]
            if apart or reader.read(_bare(text[word.start() : after])).is_label:
                end = number.start + len(text[number.start : word.start()].rstrip(" ,;"))
                number = FoundNumber(number.start, end, replace(number.printed, convention="", qualifier=""))
        kept.append(number)
    return kept


def _bare(label: str) -> str:
    return label.strip(" \t\n,;|/·•:=-–.")
