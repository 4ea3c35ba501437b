"""Which pages of a long document are worth reading: a catalogue has three hundred, and ten of them are of figures.

In: the plain text of every page, as the file's own order gives it, and what the trade knows. Out: for each page whether
it is to be read. A page is passed over only when nothing on it could become a figure or say something of figures
elsewhere: few numbers, none of them beside a name of a point, no unit, no word for measuring. The first pages and the
pages around a table are always read: titles and notes stand there.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from halfinch.knowledge import Knowledge
from halfinch.normalise.label_lexicon import Lexicon, make_lexicon
from halfinch.normalise.label_tokens import EASTERN
from halfinch.normalise.numbers import FoundNumber, find_numbers
from halfinch.normalise.point_labels import FoundLabel, find_point_labels

LONG = 24
"""Documents of fewer pages are read whole."""
FIRST = 3
"""Pages at the beginning that are always read: covers, contents, how the house measures."""
MANY = 12
"""Numbers that may be a table, whatever stands beside them: its labels may be keys that another page explains."""
_NUMBER = re.compile(r"(?<![\w.,/])(?:\d{1,4}(?:[.,]\d{1,2})?|\d{0,2} ?\d{1,2}/\d{1,2}|\d{0,2}[½¼¾⅛⅜⅝⅞])(?![\w/])")
_WORD = re.compile(r"[^\W\d_]{3,24}")
_STRANGE = re.compile(rf"[{EASTERN}\ufffd\ue000-\uf8ff\x00-\x08]")
"""Writing without blanks between its words, and signs whose letters the file does not tell."""
_GAP = re.compile(r"[\s:=~≈\-–—.…()\[\]|]*")
_LINES = re.compile(r"[\r\n]+")


def choose_pages(texts: Sequence[str], knowledge: Knowledge) -> list[bool]:
    """For each page whether it is to be read."""
    if len(texts) < LONG:
        return [True] * len(texts)
    lexicon = make_lexicon(knowledge)
    telling = _telling_words(lexicon)
    chosen = [at < FIRST or _tells(text, telling, knowledge) for at, text in enumerate(texts)]
    tables = [len(_NUMBER.findall(text)) >= MANY for text in texts]
    for at, is_table in enumerate(tables):
        if is_table:
            chosen[max(0, at - 1) : at + 2] = [True] * len(chosen[max(0, at - 1) : at + 2])
    return chosen


def _telling_words(lexicon: Lexicon) -> frozenset[str]:
    """Words for units and for measuring, longer than those that are other words too."""
    units = {key[0] for key, entries in lexicon.entries.items() if len(key) == 1 and entries[0].kind == "unit"}
    measuring = {word for word, kinds in lexicon.roles.items() if "measuring" in kinds}
    return frozenset(word for word in units | measuring if len(word) > 3)


def _tells(text: str, telling: frozenset[str], knowledge: Knowledge) -> bool:
    """Whether something on a page may become a figure, or speaks of figures."""
    if not text.strip() or _STRANGE.search(text) or not telling.isdisjoint(_WORD.findall(text.lower())):
        return True
    lines = [line.strip() for line in _LINES.split(text)]
    return any(_NUMBER.search(line) and _told_beside(lines, at, knowledge) for at, line in enumerate(lines))


def _told_beside(lines: list[str], at: int, knowledge: Knowledge) -> bool:
    """Whether a number of a line has its unit, or stands right beside a name of a point, its neighbours counted in."""
    if not find_numbers(lines[at]):
        return False
    window = "\n".join(lines[max(0, at - 1) : at + 2])
    numbers = find_numbers(window)
    labels = [found for found in find_point_labels(window, knowledge) if found.label.point]
    return bool(labels) and any(
        number.printed.unit or any(_touch(window, label, number) for label in labels) for number in numbers
    )


def _touch(text: str, label: FoundLabel, number: FoundNumber) -> bool:
    first, second = sorted(((label.start, label.end), (number.start, number.end)))
    return second[0] <= first[1] or _GAP.fullmatch(text, first[1], second[0]) is not None
