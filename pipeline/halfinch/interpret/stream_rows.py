"""Rows in a stream of text: one label and as many figures as there are sizes.

In: a stream, the place behind its sizes and their number. Out: rows (`cut_rows`). Every way to cut is tried; what
understands most wins. Where lines are broken is evidence, no rule: rows like to begin with a line.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from halfinch.interpret.facets import GOOD_LABEL, Reader, kept
from halfinch.interpret.streams import EDGE, Stream
from halfinch.normalise.numbers import FoundNumber, find_numbers
from halfinch.normalise.unit_words import load_words

LONGEST_LABEL, MOST_INSIDE = 90, 3
"""Characters of a label, and numbers that may stand in it ("thigh 1 in below crotch")."""
UNKNOWN, SPOILT = 0.15, -0.3
"""What a row adds under a label that nobody knows, and one with another number of figures than there are sizes."""
PLACED = 1.05
"""What a number adds that is a place in a label."""
LINE = 0.2
"""What a row adds that begins a line."""
_BETWEEN = re.compile(r"[\s,;|/·•、，；]*")
_OPENS_LABEL = re.compile(r"\d{1,2}[.)]\s*[^\W\d]|(?:1/2|1⁄2|½)\s*[^\W\d]")
"""A number that belongs to the label behind it: "2. Hip", "1/2 waist"."""
_SENTENCE = re.compile(r"[^\W\d_]{5}(?:\.\s+[A-ZÀ-ÖØ-Þ]|[!?]\s)|。")
_HALF = re.compile(r"[,;]?\s+(?:1\s?[/⁄]\s?2|½)$")
_ENDS_PART = re.compile(r"\s*[,;:|/•·)]")
_LOOSE = re.compile(r"\s*(?:1/2|½)\s+[^\W\d_]")
_DECIMAL_HALF = re.compile(r"\d[.,][25]")
_CODE_BEHIND = re.compile(r"\s+[A-Z]{1,2}[-.]?\d{1,3}$")
"""The code of the next row: "78 T2 Inseam"."""
_FIGURE_WITHIN = re.compile(r"\d\S*(?:\s[^\W\d_]{1,6})?\s*[;,|•]\s|[:=：]\s*[\d½¼¾]")
"""A number that is told as a figure is: behind a colon, or before what ends a part."""
_WORD_AHEAD = re.compile(r"[^\W\d_]+\.?[\s:：=(]+")
_LAST_WORD = re.compile(r"\s*([^\W\d_]+)\.?$")


@dataclass(frozen=True, slots=True)
class Row:
    """A label and where its figures stand. `good`: as many as there are sizes."""

    label: str
    start: int
    end: int
    figures: tuple[tuple[int, int], ...]
    good: bool
    worth: float
    doubt: bool = False
    """Whether the half at the end of its last figure may belong to the next label."""


@dataclass(slots=True)
class Cutter:
    """Cuts a stream into rows of `count` figures, each behind its label; none reaches over a barrier or `stop`."""

    stream: Stream
    numbers: list[FoundNumber]
    count: int
    reader: Reader
    stop: int
    barriers: Sequence[int] = ()
    """Where the sizes of another table or record begin."""
    known: dict[int, tuple[float, tuple[Row, ...]]] = field(default_factory=dict)

    @property
    def text(self) -> str:
        return self.stream.text

    def cut(self, at: int) -> tuple[float, tuple[Row, ...]]:
        """The worth of the best rows from `at` on, and these rows."""
        possible: dict[int, list[Row]] = {}
        waiting = [at]
        while waiting:  # only places that rows reach: most of a long stream is none
            position = waiting.pop()
            if position not in possible:
                possible[position] = self._rows(position)
                waiting += [row.end for row in possible[position]]
        for position in sorted(possible, reverse=True):
            self.known[position] = self._best(possible[position])
        return self.known[at]

    def _rows(self, at: int) -> list[Row]:
        """Every row that may begin at `at`, the one with the fewest numbers in its label first."""
        first = bisect_left(self.numbers, at, key=lambda one: one.start)
        last = min(first + MOST_INSIDE + 1, len(self.numbers))
        rows = (self._row(at, index, index - first) for index in range(first, last))
        return [row for row in rows if row is not None]

    def _best(self, rows: list[Row]) -> tuple[float, tuple[Row, ...]]:
        best: tuple[float, tuple[Row, ...]] = (0.0, ())
        for row in rows:
            worth, later = self.known.get(row.end, (0.0, ()))
            if worth + row.worth > best[0]:
                best = (worth + row.worth, (row, *later))
        return best

    def _row(self, at: int, index: int, inside: int) -> Row | None:
        """The row whose first figure is the number at `index`, `inside` numbers of its label before it."""
        begins = trim(self.text, self.numbers[index])[0]
        raw = self.text[at:begins]
        if len(raw) > LONGEST_LABEL or not any(char.isalpha() for char in raw):
            return None
        if any(at <= barrier < begins for barrier in self.barriers):
            return None
        tail, label = split_tail(raw, self.reader)
        worth = rate_label(label, self.reader)
        if worth is None or (inside and not may_hold_number(label, self.reader)) or _FIGURE_WITHIN.search(tail):
            return None
        figures = self._figures(index)
        half = self._whose_half(figures[-1], index + self._run(index))
        if half == "label":
            figures = (*figures[:-1], (figures[-1][0], self._without_half(figures[-1])))
        if figures[-1][1] > self.stop:
            return None
        good = len(figures) == self.count and self._one_unit(index)
        start = at + len(raw) - len(raw.lstrip(EDGE))
        return Row(
            raw,
            start,
            figures[-1][1],
            figures,
            good,
            self._worth(worth, label, start, index, inside, good),
            half == "doubt",
        )

    def _run(self, index: int) -> int:
        """How many numbers from `index` on follow one another and are one row's."""
        last = index
        while last + 1 < len(self.numbers) and _BETWEEN.fullmatch(self._between(last)):
            last += 1
        found = last - index + 1
        return self.count if found > self.count and self._ends_row(index + self.count) else found

    def _figures(self, index: int) -> tuple[tuple[int, int], ...]:
        found = self._run(index)
        figures = tuple(trim(self.text, one) for one in self.numbers[index : index + found])
        if found == 2 * self.count and self._are_pairs(index, found):
            return tuple((figures[at][0], figures[at + 1][1]) for at in range(0, found, 2))
        return figures

    def _one_unit(self, index: int) -> bool:
        """Whether the figures are all told in one unit: those of a record told twice are no figures of two sizes."""
        run = self.numbers[index : index + self._run(index)]
        return len({one.printed.unit for one in run if one.printed.unit}) < 2

    def _worth(self, worth: float, label: str, start: int, index: int, inside: int, good: bool) -> float:
        """What a row is worth by its label, by the numbers in it, by its figures and by the lines."""
        point = self.reader.read(label).point
        # A place that is understood ("1 in below crotch") accounts for its number as well as a figure does.
        worth += inside * PLACED if inside and point is not None and point.at is not None else -0.1 * inside
        worth = worth if good else SPOILT
        return worth + LINE * self.stream.opens_line(start)

    def _without_half(self, span: tuple[int, int]) -> int:
        """Where a figure ends if the half at its end is not its own."""
        half = _HALF.search(self.text, *span)
        return half.start() if half else span[1]

    def _whose_half(self, last: tuple[int, int], following: int) -> str:
        """ "... 16 1/2 waist 15": is the half the figure's, or is the next label flat? figure | label | doubt.

        It can be the label's only where that may begin so. Written as no other figure's half, in a stream in which
        other labels begin with a half or in which halves are decimals, it is the label's.
        """
        half = _HALF.search(self.text, *last)
        if half is None or following >= len(self.numbers):
            return "figure"
        label = self.text[last[1] : self.numbers[following].start]
        if _ENDS_PART.match(label):
            return "figure"
        label = label.strip(EDGE)
        if not label or not self.reader.read(f"1/2 {label}").is_label:
            return "figure"
        if half.group()[0] in ",;":
            return "label"
        spans = [(one.start, one.end) for one in self.numbers if one.start != last[0]]
        halves = [one for span in spans if (one := _HALF.search(self.text, *span))]
        usual = sum(one.group() == half.group() for one in halves)
        flat = any(_LOOSE.match(self.text, end) for _, end in spans)
        decimal = any(_DECIMAL_HALF.search(self.text, *span) for span in spans)
        if (flat or decimal) and not usual:
            return "label"
        return "doubt" if flat or usual < 2 else "figure"

    def _between(self, index: int) -> str:
        """What stands between a number and the next."""
        return self.text[self.numbers[index].end : self.numbers[index + 1].start]

    def _are_pairs(self, index: int, found: int) -> bool:
        """Two figures a size, a stroke between: relaxed and stretched."""
        gaps = [self._between(at).strip() for at in range(index, index + found - 1)]
        return all(gap == ("" if at % 2 else "/") for at, gap in enumerate(gaps))

    def _ends_row(self, index: int) -> bool:
        """Whether the number at `index` is no longer the row's: it begins a line, or a label."""
        start = self.numbers[index].start
        return _OPENS_LABEL.match(self.text, start) is not None or self.stream.opens_line(start)


def may_hold_number(label: str, reader: Reader) -> bool:
    """Whether the numbers in a label are understood: a place ("1 in below crotch"), a half, the number of its row."""
    read = reader.read(label)
    if _FIGURE_WITHIN.search(label):
        return False
    return read.is_label and read.point is not None and not any(char.isdigit() for char in read.point.rest)


def trim(text: str, number: FoundNumber) -> tuple[int, int]:
    """Where a figure stands: without a word that ends the label before it ("all round 95") or begins the next one
    ("108 Half thigh", "6.5 In-seam")."""
    start, end = number.start, number.end
    while start < end and text[start].isalpha():
        word = _WORD_AHEAD.match(text, start, end)
        if word is None:
            break
        start = word.end()
    code = _CODE_BEHIND.search(text, start, end)
    if code is not None:
        return start, code.start()
    word = _LAST_WORD.search(text, start, end)
    if word is None or not word.group(1).isalpha():
        return start, end
    glued = text[end : end + 2]
    if glued[:1] in "-‑" and glued[1:].isalpha():
        return start, word.start()
    if load_words().unit.fullmatch(word.group(1)) or not (glued[:1] == " " and glued[1:].isalpha()):
        return start, end
    return start, word.start()


def cut_rows(
    stream: Stream,
    at: int,
    stop: int,
    count: int,
    numbers: list[FoundNumber],
    reader: Reader,
    barriers: Sequence[int] = (),
) -> tuple[Row, ...]:
    """Rows from `at` on, their labels finished: what stands behind a row's figures belongs to it."""
    first, last = (bisect_left(numbers, place, key=lambda one: one.start) for place in (at, stop))
    inside = numbers[first : last - 1 if last > first and numbers[last - 1].end > stop else last]
    _, rows = Cutter(stream, inside, count, reader, stop, barriers).cut(at)
    finished: list[Row] = []
    for row in rows:
        tail, label = split_tail(row.label, reader)
        if tail and finished:
            finished[-1] = replace(finished[-1], label=with_tail(finished[-1].label, tail, reader))
        finished.append(replace(row, label=label))
    return tuple(finished)


def split_tail(raw: str, reader: Reader) -> tuple[str, str]:
    """What stands between two figures: a remark on the first ("(excluding waistband)", "all round"), and the label."""
    text = raw.strip()
    tail = ""
    bracket = re.match(r"\([^()]*\)\s*(?=[,;|/]|\S)", text)
    if bracket:
        tail, text = bracket.group().strip("() "), text[bracket.end() :]
    elif not text.startswith(tuple(EDGE.strip())):
        cut = re.search(r"[,;|•，；、]\s|\s[/–-]\s", text)
        if (
            cut
            and not reader.read(text[: cut.start()].strip()).is_label
            and reader.read(text[cut.end() :].strip(EDGE)).is_label
        ):
            tail, text = text[: cut.start()], text[cut.end() :]
    return tail, re.sub(r"^(?:and|und|et|y|e|en|och|ve|i)\s+", "", text.strip(EDGE)).strip(EDGE)


def with_tail(label: str, tail: str, reader: Reader) -> str:
    """The label with the remark behind its figures, where it is a remark that is understood."""
    longer = reader.read(f"{label} ({tail})").point
    mine = reader.read(label).point
    if longer is None or mine is None or longer.point != mine.point or longer.score < mine.score:
        return label
    return f"{label} ({tail})"


@kept
def rate_label(label: str, reader: Reader) -> float | None:
    """How surely a text is the label of a row: 1 for one that is understood; None for a text that is none."""
    if (
        label.count("(") != label.count(")")
        or any(sign in label for sign in "%|\t")
        or _SENTENCE.search(label)
        or not any(c.isalpha() for c in label)
    ):
        return None
    read = reader.read(label)
    if read.word is not None and read.word.role == "size" and not read.is_label:
        return None
    if read.point is not None and read.point.point and read.point.score >= GOOD_LABEL:
        return float(read.point.score)
    if read.is_label:
        return 0.8
    return UNKNOWN if len(label.split()) <= 6 else None


def figures_in(stream: Stream, reader: Reader, separator: re.Pattern[str] | None = None) -> list[FoundNumber]:
    """All figures of a stream; none reaches over `separator`, or into a line that begins with a label's own number
    or a price."""
    text = stream.text
    cuts = [match.span() for match in separator.finditer(text)] if separator else []
    price = load_words().currency
    cuts += [(line, line) for line in stream.lines[1:] if _OPENS_LABEL.match(text, line) or price.match(text, line)]
    found: list[FoundNumber] = []
    at = 0
    for end, after in [*sorted(cuts), (len(text), len(text))]:
        if end < at:
            continue
        for one in find_numbers(text[at:end], decimal=reader.decimal, listed=True):
            found.append(FoundNumber(at + one.start, at + one.end, one.printed))
        at = after
    return found
