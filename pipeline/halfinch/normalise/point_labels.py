"""Which point of measure a printed label names, and what else it says.

In: a label ("1/2 Hem width along curve (cm)") or a sentence. Out: `PointLabel`, `FoundLabel`. The names come from
`schemas/terms`, `read_over.toml` and `modifiers.toml`. The longest phrase wins; the order of words is free; a label of
two points, and a label of something else, is never taken for one of ours.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from halfinch.knowledge import Knowledge
from halfinch.normalise.header_words import (
    HeaderWord,
    find_convention_said,
    read_convention_word,
    read_header_word,
    read_length_word,
    read_unit_word,
)
from halfinch.normalise.label_lexicon import make_lexicon
from halfinch.normalise.label_match import know_words
from halfinch.normalise.label_prose import FoundLabel, cuts_label, find_labels_in_clauses
from halfinch.normalise.label_reading import PointLabel, read_words
from halfinch.normalise.label_short import spell_out
from halfinch.normalise.label_tokens import cut_tokens, starts_spaced

__all__ = [
    "FoundLabel",
    "HeaderWord",
    "PointLabel",
    "cuts_label",
    "find_convention_said",
    "find_point_labels",
    "read_convention_word",
    "read_header_word",
    "read_length_word",
    "read_point_label",
    "read_unit_word",
    "settle_letters",
]

LONGEST_LABEL = 240
"""A text of more characters is a paragraph, no label."""
_CODE = re.compile(
    r"\s*(?:(?:POM|MP|M)[\s.#-]*)?"
    r"(?:[\[(]?([A-Z]{1,3}[-.]?\d{1,4}[A-Za-z]?|\d{1,3}[A-Za-z]?|[A-Z](?:\d{1,2})?)[\])]?(?:\s*[.):=]+\s*[–—-]?\s*|\s+[–—-]+\s+|[–—]\s*)(?=[^\W\d]|1/2|½)"
    r"|[\[(]([A-Z]{1,3}-?\d{0,4}[A-Za-z]?|\d{1,3})[\])]\s*(?=[^\W\d]|1/2|½)"
    r"|([A-Z]{1,3}[-.]?\d{1,4}[A-Za-z]?)\s+(?=[^\W\d]|1/2|½)"
    r"|([A-Z])\s+(?=[A-Z])"
    r"|#?(\d{1,3})\s+(?=[A-Z]))"
)
_CODE_BEHIND = re.compile(r"\s*[\[(]([A-Z]{1,3}-?\d{0,4})[\])]\s*$")
_ABBREVIATED = re.compile(r"\s*[A-Z](?:\s*\.\s*|\s*/\s*|\s+)[^\W\d_] ?[^\W\d_]")
_HEAD = re.compile(r"([^\n;|:=•：；]{2,120})[:=：](?=\s*[\d½¼¾⅓⅔⅛⅜⅝⅞])")
_AFTER_FIGURE = re.compile(r"(?:\d|[½¼¾⅛⅜⅝⅞])\s?(?:cm|mm|in|inch|inches|[\"″”])?[\s,/.]+|,\s+", re.IGNORECASE)
_UNITS_IN_BRACKETS = frozenset({"IN", "CM", "MM"})


@lru_cache(maxsize=65536)
def read_point_label(text: str, knowledge: Knowledge) -> PointLabel | None:
    """Read a whole label; None when it names nothing known, or two points at once. Never raises."""
    if len(text) > LONGEST_LABEL or not text.strip():
        return None
    code, bare = _split_code(text)
    if not code:
        return _read_bare(text, knowledge, "")
    label = _read_bare(bare, knowledge, code)
    if label is None:
        return _read_bare(text, knowledge, "")
    if len(code) == 1 and code.isalpha() and (whole := _read_with_letter(text, knowledge)) is not None:
        return replace(whole, if_code=label.point, code=code) if _thing(whole) != _thing(label) else label
    return label


def _thing(label: PointLabel) -> tuple[str, str]:
    return label.point, label.not_ours


def _read_bare(text: str, knowledge: Knowledge, code: str) -> PointLabel | None:
    lexicon = make_lexicon(knowledge)
    words = know_words(cut_tokens(text), lexicon)
    label = read_words(words, knowledge, lexicon, code)
    longer = spell_out(words, text, knowledge, lexicon, code)
    if longer is not None and (label is None or not label.point or longer.score > label.score):
        return longer
    return label


def _read_with_letter(text: str, knowledge: Knowledge) -> PointLabel | None:
    """A label whose first letter belongs to the name: "B. Rise", "F Rise"; None where it does not."""
    if not _ABBREVIATED.match(text):
        return None
    label = _read_bare(text, knowledge, "")
    return label if label is not None and not label.rest and label.score >= 1 else None


def settle_letters(labels: Sequence[PointLabel | None]) -> list[PointLabel | None]:
    """The labels of one list in order, letters of rows told from letters of names.

    "B. Rise" is the back rise, but below "A. Waist" or above "C. Hip" its B is only the letter of its row.
    """
    letters = {one.code for one in labels if one is not None and not one.if_code and len(one.code) == 1}
    settled: list[PointLabel | None] = []
    for one in labels:
        if one is not None and one.if_code and letters & {chr(ord(one.code) - 1), chr(ord(one.code) + 1)}:
            one = replace(one, point=one.if_code, not_ours="", if_code="")
        settled.append(one)
    return settled


def find_point_labels(text: str, knowledge: Knowledge) -> list[FoundLabel]:
    """Mentions of points, and of things to be read over, in running text; in order, not overlapping.

    What stands before a colon and a figure is read as a whole label where all of it is understood.
    """
    heads = [found for match in _HEAD.finditer(text) if (found := _read_head(match, knowledge)) is not None]
    others = [
        found
        for found in find_labels_in_clauses(text, knowledge)
        if not any(found.start < head.end and head.start < found.end for head in heads)
    ]
    return sorted([*heads, *others], key=lambda found: found.start)


def _read_head(match: re.Match[str], knowledge: Knowledge) -> FoundLabel | None:
    head = match[1].rstrip()
    starts = [len(head) - len(head.lstrip()), *(cut.end() for cut in _AFTER_FIGURE.finditer(head))]
    for start in starts:
        label = read_point_label(head[start:], knowledge)
        if label is not None and label.point and label.score == 1:
            return FoundLabel(match.start() + start, match.start() + len(head), label)
    return None


def _split_code(text: str) -> tuple[str, str]:
    """The code of a point of measure before or behind a label: "A01 Front rise", "Hip (C)"."""
    if starts_spaced(text):
        return "", text
    match = _CODE.match(text)
    if match:
        return next(group for group in match.groups() if group), text[match.end() :]
    match = _CODE_BEHIND.search(text)
    if match and match[1] not in _UNITS_IN_BRACKETS:
        return match[1], text[: match.start()]
    return "", text
