"""Printed figures: one whole cell (`read_number`), or all figures of running text (`find_numbers`).

Both are pure and exact: what comes back is what was printed, as fractions; nothing is converted. A cell that is not
entirely a figure (a size, a date, a price, a code, a sentence) gives None.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from halfinch.normalise.number_grammar import Draft, Hints, make_printed, read_draft
from halfinch.normalise.number_prose import find_numbers
from halfinch.normalise.number_text import FRACTION_OPEN, Canonical, canonicalise
from halfinch.normalise.printed import FoundNumber, Printed
from halfinch.normalise.unit_words import load_words

__all__ = ["FoundNumber", "Printed", "find_numbers", "read_number"]

LONGEST_CELL = 120
"""A longer text is prose, not a cell with a figure."""

_DATE = re.compile(r"\d{1,4}([./-])\d{1,2}\1\d{2,4}(?:[ T]\d{1,2}:\d{2}.*)?")
_QUOTED = re.compile(r"=?\"([^\"]+)\"")
_CLOSED = re.compile(r"\(([^()]*)\)|\[([^\[\]]*)\]|\{([^{}]*)\}|'([^']*)'")
_EDGE = re.compile(r"^['=:*]+ ?(?=[^'])|(?<=.)[ ;,:.]+$")
_BETWEEN = re.compile(r" ?[/|;\n] ?| ")
_WORD_PLUS = re.compile(r"([^\W\d_]+(?:[ -][^\W\d_]+)?)[ :]? ?(?=\+)")


def read_number(text: str, *, decimal: str = "", unit: str = "") -> Printed | None:
    """Read a whole cell's text as one figure; None when it is not one.

    decimal: ',' or '.' where other cells of the grid prove the decimal mark. unit: the unit the column declares; it
    only helps to tell thousands from decimals and is not filled in: `Printed.unit` stands beside the number.
    """
    return _read_cell(text, decimal, unit)


@lru_cache(maxsize=20_000)
def _read_cell(text: str, decimal: str, unit: str) -> Printed | None:
    # Cached: a sheet prints the same few hundred figures again and again, and several readings of a grid ask for each.
    if not text or len(text) > LONGEST_CELL:
        return None
    canonical = canonicalise(text)
    body = canonical.text.strip(" \n")
    if (
        not any(char.isdigit() for char in body)
        and FRACTION_OPEN not in body
        and not load_words().fraction.search(body)
    ):
        return None
    if _DATE.fullmatch(body):
        return None
    offset = canonical.text.index(body)
    return _read_body(text, canonical, body, offset, Hints(decimal, unit))


def _read_body(text: str, canonical: Canonical, body: str, offset: int, hints: Hints) -> Printed | None:
    """Peel quotes, brackets and stray marks off until a figure fills what is left."""
    draft = read_draft(body, 0, hints)
    if draft and draft.end == len(body):
        return make_printed(draft, _cut_rest(text, canonical, draft, offset))
    for peel in (_QUOTED, _CLOSED):
        found = peel.fullmatch(body)
        if found and found.lastindex:
            inner = found[found.lastindex]
            start = found.start(found.lastindex)
            return _read_body(text, canonical, inner.strip(), offset + start + len(inner) - len(inner.lstrip()), hints)
    trimmed = _EDGE.sub("", body)
    if trimmed != body:
        return _read_body(text, canonical, trimmed, offset + body.index(trimmed), hints)
    return _read_named_difference(body, hints) or _read_pair(body, hints)


def _read_named_difference(body: str, hints: Hints) -> Printed | None:
    """ "Tall + 5": a difference, the word before it as its rest."""
    word = _WORD_PLUS.match(body)
    draft = read_draft(body, word.end(), hints) if word else None
    if word is None or draft is None or draft.end != len(body) or draft.kind != "difference":
        return None
    return replace(make_printed(draft, ""), rest=word[1])


def _read_pair(body: str, hints: Hints) -> Printed | None:
    """Two figures in one cell: 28.5/29.5, 30 30.5, 15" flat / 30" round. Which is meant, the cell does not say.

    Two whole numbers (36/30, 28 29) are more likely sizes and no figure.
    """
    first = read_draft(body, 0, hints)
    gap = _BETWEEN.match(body, first.end) if first else None
    other = read_draft(body, gap.end(), hints) if gap else None
    if first is None or other is None or other.end != len(body) or first.kind or other.kind:
        return None
    mine, theirs = first.quantity, other.quantity
    doubled = mine.value == 2 * theirs.value or theirs.value == 2 * mine.value
    if not doubled and not any(q.decimals or q.is_fraction or q.unit for q in (mine, theirs)):
        return None
    if {first.convention, other.convention} == {"flat", "round"} and mine.unit == theirs.unit:
        flat, full = sorted((mine.value, theirs.value))
        if full == 2 * flat and (first.convention == "flat") == (mine.value == flat):
            return make_printed(first, "")
    first.doubt_because("two figures stand in one cell", theirs.value)
    return make_printed(first, "")


def _cut_rest(text: str, canonical: Canonical, draft: Draft, offset: int) -> str:
    spans = [(canonical.starts[offset + start], canonical.starts[offset + end]) for start, end in draft.rest]
    return " ".join(text[start:end].strip() for start, end in spans)
