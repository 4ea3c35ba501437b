"""A table whose printed lines are its rows: one separator cuts each into equally many parts.

In: a stream and the beginning of a line. Out: the table that begins there.
"""

from __future__ import annotations

import re

from halfinch.interpret.facets import Reader
from halfinch.interpret.streams import Found, Stream

SEPARATORS = (
    re.compile(r"\s*\|\|\s*"),
    re.compile(r"\s*(?<!\|)\|(?!\|)\s*"),
    re.compile(r"\s*\t\s*"),
    re.compile(r"\s+/\s+"),
    re.compile(r"\s+[-–—]\s+"),
    re.compile(r"\s*;\s+"),
)
COMMA = re.compile(r"\s*,\s+")
"""May stand between labels; figures have it within."""
LEAST_PARTS, LEAST_LABELS = 3, 2
_GOES_ON = re.compile(r"\d\S*(?:\s?[^\W\d_]{1,4})?\s?[,;|]\s+(?:½\s?|1/2\s)?[^\W\d_]")
"""A figure and the next label in one part: the separator stands between label and figure, not between cells."""
SURELY = 1.3
"""Lines that are all cut alike are seldom so by chance."""
Cell = tuple[str, int]


def lined_table(stream: Stream, start: int, reader: Reader) -> Found | None:
    """The table of the lines from `start` on; None where no separator makes one of them, or nothing of it is known."""
    ways = (_table(stream, start, separator, reader) for separator in SEPARATORS)
    return max((way for way in ways if way is not None), key=lambda one: one.worth, default=None)


def _table(stream: Stream, start: int, separator: re.Pattern[str], reader: Reader) -> Found | None:
    rows: list[tuple[Cell, ...]] = []
    end = start
    for line in stream.lines[stream.line_of(start) :]:
        stop = stream.end_of_line(line)
        row = _split(stream.text, line, stop, separator)
        if len(row) < LEAST_PARTS or (rows and len(row) != len(rows[0])):
            break
        rows.append(row)
        end = stop
    if len(rows) < 2:
        return None
    if sum(any(_GOES_ON.match(text) for text, _ in row[1:]) for row in rows) * 2 > len(rows):
        return None
    heads = ([text for text, _ in rows[0]], [row[0][0] for row in rows])
    known = [sum(_is_label(text, reader) for text in texts) for texts in heads]
    ours = any(reader.read(text).is_ours for texts in heads for text in texts)
    if not ours or max(known) < LEAST_LABELS:
        return None
    return Found(start, end, tuple(rows), SURELY * max(known[0] * (len(rows) - 1), known[1] * (len(rows[0]) - 1)))


def _is_label(text: str, reader: Reader) -> bool:
    """A label without a figure of its own: "hip 38" tells a record."""
    read = reader.read(text)
    return read.is_label and read.point is not None and not any(char.isdigit() for char in read.point.rest)


def _split(text: str, start: int, end: int, separator: re.Pattern[str]) -> tuple[Cell, ...]:
    """The parts of one line and where they stand."""
    cells: list[Cell] = []
    at = start
    for cut in [*separator.finditer(text, start, end), None]:
        stop = cut.start() if cut else end
        cells.append((text[at:stop].strip(), at))
        at = cut.end() if cut else end
    return tuple(cells)
