"""Which point of measure a printed label names, and what else it says.

In: a label ("1/2 Hem width along curve (cm)") or a sentence. Out: `PointLabel`, `FoundLabel`. The names come from
`schemas/terms`, `read_over.toml` and `modifiers.toml`. The longest phrase wins; the order of words is free; a label of
two points, and a label of something else, is never taken for one of ours.
"""

from __future__ import annotations

import re
from functools import lru_cache

from halfinch.knowledge import Knowledge
from halfinch.normalise.header_words import (
    HeaderWord,
    read_convention_word,
    read_header_word,
    read_length_word,
    read_unit_word,
)
from halfinch.normalise.label_lexicon import make_lexicon
from halfinch.normalise.label_match import know_words
from halfinch.normalise.label_prose import FoundLabel, find_point_labels
from halfinch.normalise.label_reading import PointLabel, read_words
from halfinch.normalise.label_tokens import cut_tokens

__all__ = [
    "FoundLabel",
    "HeaderWord",
    "PointLabel",
    "find_point_labels",
    "read_convention_word",
    "read_header_word",
    "read_length_word",
    "read_point_label",
    "read_unit_word",
]

LONGEST_LABEL = 240
"""A text of more characters is a paragraph, no label."""
_CODE = re.compile(
    r"\s*(?:(?:POM|MP|M)[\s.#-]*)?"
    r"(?:[\[(]?([A-Z]{1,3}[-.]?\d{1,4}[A-Za-z]?|\d{1,3}[A-Za-z]?|[A-Z](?:\d{1,2})?)[\])]?(?:\s*[.):=]+\s*[–—-]?\s*|\s+[–—-]+\s+|[–—]\s*)(?=[^\W\d])"
    r"|[\[(]([A-Z]{1,3}-?\d{0,4}[A-Za-z]?|\d{1,3})[\])]\s*(?=[^\W\d])"
    r"|([A-Z]{1,3}[-.]?\d{1,4}[A-Za-z]?)\s+(?=[^\W\d])"
    r"|([A-Z])\s+(?=[A-Z])"
    r"|#?(\d{1,3})\s+(?=[A-Z]))"
)
_CODE_BEHIND = re.compile(r"\s*[\[(]([A-Z]{1,3}-?\d{0,4})[\])]\s*$")
_UNITS_IN_BRACKETS = frozenset({"IN", "CM", "MM"})


@lru_cache(maxsize=65536)
def read_point_label(text: str, knowledge: Knowledge) -> PointLabel | None:
    """Read a whole label; None when it names nothing known, or two points at once. Never raises."""
    if len(text) > LONGEST_LABEL or not text.strip():
        return None
    lexicon = make_lexicon(knowledge)
    code, bare = _split_code(text)
    for attempt_code, attempt in ((code, bare), ("", text)) if code else (("", text),):
        words = know_words(cut_tokens(attempt), lexicon)
        label = read_words(words, knowledge, lexicon, attempt_code)
        if label is not None:
            return label
    return None


def _split_code(text: str) -> tuple[str, str]:
    """The code of a point of measure before or behind a label: "A01 Front rise", "Hip (C)"."""
    match = _CODE.match(text)
    if match:
        return next(group for group in match.groups() if group), text[match.end() :]
    match = _CODE_BEHIND.search(text)
    if match and match[1] not in _UNITS_IN_BRACKETS:
        return match[1], text[: match.start()]
    return "", text
