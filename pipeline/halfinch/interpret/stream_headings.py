"""A table in a stream of text whose labels come first: "Size | Waist | Hip", then "S | 28 | 38", in lines or in a run.

In: a stream and the place of its word for sizes. Out: the tables that may stand there.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator

from halfinch.interpret.facets import GOOD_LABEL, Reader
from halfinch.interpret.stream_lines import COMMA, SEPARATORS
from halfinch.interpret.stream_rows import figures_in, rate_label, trim
from halfinch.interpret.streams import Found, Head, Piece, Stream
from halfinch.normalise.numbers import FoundNumber
from halfinch.normalise.size_labels import read_size_label

LONGEST_HEADING = 500
LEAST_LABELS, MOST_LABELS = 2, 24
MOST_WORDS = 40
"""Of a heading whose labels have nothing between them."""
_TOUCH = re.compile(r"[\s|/;,–—-]*")
_TOKEN = re.compile(r"[^\s|;]+")
_WORD = re.compile(r"\S+")


def labels_first(stream: Stream, head: Head, bare: list[FoundNumber], reader: Reader) -> Iterator[Found]:
    """Every separator that may stand between the labels, and none. `bare`: the figures of the stream whatever
    separates them."""
    if not head.word:
        return
    text = stream.text
    for separator in (*SEPARATORS, COMMA):
        first = separator.match(text, head.after) or separator.search(text, head.start, head.after + 2)
        if first is None or separator.search(text, first.end(), first.end() + 120) is None:
            continue
        numbers = figures_in(stream, reader, separator)
        for start in _starts(text, first.end(), reader):
            columns = _rejoin(_split(text, first.end(), start, separator), text, reader)
            if len(columns) >= LEAST_LABELS and _are_labels(columns, reader, 0.5):
                yield from _table(stream, head, columns, start, numbers, reader)
    for start, columns in _segment(text, head.after, list(_starts(text, head.after, reader)), reader):
        yield from _table(stream, head, columns, start, bare, reader)


def _starts(text: str, at: int, reader: Reader) -> Iterator[int]:
    """Where the first line of figures may begin: at a size."""
    for match in _TOKEN.finditer(text, at, at + LONGEST_HEADING):
        if match.start() > at and read_size_label(match.group().strip(",:/"), reader.knowledge) is not None:
            yield match.start()
        elif match.start() > at and match.group().isalpha() and len(match.group()) <= 3:
            yield match.start()  # the first word of "US 4"


def _split(text: str, start: int, end: int, separator: re.Pattern[str]) -> list[Piece]:
    """The labels between two places."""
    pieces: list[Piece] = []
    at = start
    for cut in [*separator.finditer(text, start, end), None]:
        stop = cut.start() if cut else end
        if part := text[at:stop].strip():
            pieces.append(Piece(part, at, stop))
        at = cut.end() if cut else end
    return pieces


def _rejoin(pieces: list[Piece], text: str, reader: Reader) -> list[Piece]:
    """Labels with the separator in them made whole again: "Rise - front"."""
    whole: list[Piece] = []
    for piece in pieces:
        longer = Piece(text[whole[-1].start : piece.end].strip(), whole[-1].start, piece.end) if whole else None
        if longer is not None and not reader.read(piece.text).is_label and reader.read(longer.text).is_ours:
            whole[-1] = longer
        else:
            whole.append(piece)
    return whole


def _are_labels(columns: list[Piece], reader: Reader, share: float) -> bool:
    """Whether enough of the headings are labels, and none is a sentence."""
    rates = [rate_label(one.text, reader) for one in columns]
    known = sum(rate is not None and rate >= GOOD_LABEL for rate in rates)
    return None not in rates and len(columns) <= MOST_LABELS and known >= share * len(columns)


def _segment(text: str, start: int, ends: list[int], reader: Reader) -> Iterator[tuple[int, list[Piece]]]:
    """Labels from `start` to one of `ends` with nothing between them: (end, labels), for each number of labels the cut
    in which all are understood."""
    within = (match.span() for match in _WORD.finditer(text, max(0, start - LONGEST_HEADING), max(ends, default=0)))
    words = [word for word in within if word[0] >= start]
    cuts = _cuts(text, words[: MOST_WORDS + 1], reader)
    for end in ends:
        before = bisect_left(words, (end, 0))
        if before and words[before - 1][1] > end:  # a size glued to the last label: "Hip|S"
            mine = _cuts(text, [*words[: before - 1], (words[before - 1][0], end)][: MOST_WORDS + 1], reader)
        else:
            mine = cuts
        if LEAST_LABELS <= before <= MOST_WORDS:
            found = (mine.get((before, count)) for count in range(LEAST_LABELS, MOST_LABELS))
            yield from ((end, list(one[1])) for one in found if one is not None)


def _cuts(
    text: str, words: list[tuple[int, int]], reader: Reader
) -> dict[tuple[int, int], tuple[float, tuple[Piece, ...]]]:
    """(words, labels) to the best cut of the first so many words into so many labels, and what it is worth."""
    best: dict[tuple[int, int], tuple[float, tuple[Piece, ...]]] = {(0, 0): (0.0, ())}
    for last in range(1, len(words) + 1):
        for first in range(max(0, last - 6), last):
            if not any((first, count) in best for count in range(MOST_LABELS)):
                continue
            piece = Piece(text[words[first][0] : words[last - 1][1]], words[first][0], words[last - 1][1])
            rate = rate_label(piece.text, reader)
            if rate is None or rate < GOOD_LABEL:
                continue
            for count in range(MOST_LABELS):
                before = best.get((first, count))
                if before is None:
                    continue
                worth = before[0] + rate
                if worth > best.get((last, count + 1), (0.0, ()))[0]:
                    best[(last, count + 1)] = (worth, (*before[1], piece))
    return best


def _table(
    stream: Stream, head: Head, columns: list[Piece], start: int, numbers: list[FoundNumber], reader: Reader
) -> Iterator[Found]:
    """The lines of a size and a figure for each label, sizes of one, two or three words."""
    count, text = len(columns), stream.text
    starts = [one.start for one in numbers]
    for width in (3, 2, 1):
        lines: list[tuple[tuple[str, int], ...]] = []
        at = start
        seen: set[str] = set()
        while (line := _line(text, at, width, count, numbers, starts, reader)) is not None:
            size, figures = line
            if size.text in seen:
                break
            seen.add(size.text)
            lines.append(((size.text, size.start), *((text[a:b], a) for a, b in figures)))
            at = figures[-1][1]
        if len(lines) < 2 or _goes_on(stream, at):
            continue
        top = ((head.word, head.start), *((one.text, one.start) for one in columns))
        worth = sum(rate_label(one.text, reader) or 0.0 for one in columns) * len(lines)
        yield Found(head.start, at, (top, *lines), worth)


def _goes_on(stream: Stream, at: int) -> bool:
    """Whether another figure follows in the line where the table should end: then the count was wrong."""
    gap = _TOUCH.match(stream.text, at)
    after = gap.end() if gap else at
    same = stream.line_of(after) == stream.line_of(at - 1)
    return same and stream.text[after : after + 1].isdigit() and not _letters_within(stream.text, after)


def _letters_within(text: str, at: int) -> bool:
    return any(char.isalpha() for char in text[at : at + 12])


def _line(
    text: str, at: int, width: int, count: int, numbers: list[FoundNumber], starts: list[int], reader: Reader
) -> tuple[Piece, list[tuple[int, int]]] | None:
    """A size of `width` words at `at` and `count` figures behind it; None where there are none."""
    words = [match.span() for _, match in zip(range(width), _TOKEN.finditer(text, at), strict=False)]
    if len(words) < width or _TOUCH.fullmatch(text[at : words[0][0]]) is None:
        return None
    bare = text[words[0][0] : words[-1][1]].strip(",:/")
    size = read_size_label(bare, reader.knowledge)
    if size is None or (
        width > 1 and "(" not in bare and read_size_label(bare.split()[0], reader.knowledge) is not None
    ):
        return None
    first = bisect_left(starts, words[0][0] + len(bare))
    found = numbers[first : first + count]
    if len(found) < count:
        return None
    ends = [words[0][0] + len(bare), *(trim(text, one)[1] for one in found)]
    if any(_TOUCH.fullmatch(text[end : one.start].strip(":")) is None for end, one in zip(ends, found, strict=False)):
        return None
    return Piece(bare, words[0][0], ends[0]), [trim(text, one) for one in found]
