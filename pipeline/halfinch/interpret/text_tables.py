"""Tables told in texts become grids: lines of parts between bars, streams of words and numbers, a line a size.

In: a sheet. Out: the same sheet with such texts turned into grids. Places stay those of the texts.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from halfinch.interpret.facets import Reader
from halfinch.interpret.sized_lines import read_sized_lines
from halfinch.interpret.streams import read_head, read_lines, read_stream
from halfinch.normalise.label_tokens import EASTERN
from halfinch.sheet import HIDDEN, STRUCK, Cell, Grid, Sheet, Text

_SEPARATORS = (
    re.compile(r"\s*\|\|\s*"),
    re.compile(r"\s*\|\s*"),
    re.compile(r"\s+/\s+"),
    re.compile(r"\t+"),
    re.compile(r"\s*;\s+"),
    re.compile(r"\s+[-–—]\s+"),
)
_LETTERS = re.compile(rf"[^\W\d_]{{2}}|[{EASTERN}]")
LEAST_PARTS = 3
MOST_LINES = 60
Rows = list[list[str]]


@dataclass(frozen=True, slots=True)
class Line:
    """One line and the text it stands in."""

    text: str
    source: Text


def tables_from_texts(sheet: Sheet, reader: Reader) -> Sheet:
    """The sheet with every table told in texts as a grid; what is left of a text stays a text."""
    texts = sorted((text for text in sheet.texts if text.kind not in ("chrome", "meta")), key=lambda one: one.order)
    lines = [Line(part, text) for text in texts if not text.marks & {HIDDEN, STRUCK} for part in split_lines(text.text)]
    grids: list[Grid] = []
    used: set[int] = set()
    index = 0
    while index < len(lines):
        rows, count = read_table(lines, index, reader)
        if rows:
            grids.append(make_grid(lines[index].source, rows))
            used.update(range(index, index + count))
        index += max(count, 1)
    if not used:
        return sheet
    left: dict[int, list[str]] = {}
    for index, line in enumerate(lines):
        left.setdefault(id(line.source), [])
        if index not in used:
            left[id(line.source)].append(line.text)
    kept = []
    for text in sheet.texts:
        rest = left.get(id(text))
        if rest is None or len(rest) == len(split_lines(text.text)):
            kept.append(text)
        elif rest:
            kept.append(replace(text, text="\n".join(rest)))
    return replace(sheet, texts=tuple(kept), grids=(*sheet.grids, *grids))


def split_lines(text: str) -> list[str]:
    """The lines of a text, without the quotation marks of delimited text around them."""
    lines = []
    for part in re.split(r"[\n\r]+", text):
        line = part.strip()
        if len(line) > 2 and line[0] == '"' == line[-1] and line.replace('""', "").count('"') == 2:
            line = line[1:-1].replace('""', '"').strip()
        if line.strip('"'):
            lines.append(line)
    return lines


def read_table(lines: Sequence[Line], start: int, reader: Reader) -> tuple[Rows, int]:
    """The first kind of table that begins at `start`, and how many lines it takes; ([], 0) for none."""
    if not may_begin(lines[start].text, reader):
        return [], 0
    near = [line.text for line in lines[start : start + MOST_LINES]]
    if not any(_LETTERS.search(line) for line in near):
        return [], 0  # numbers and nothing but numbers
    for kind in (read_lines, read_sized_lines, equal_lines, broken_stream):
        rows, count = kind(near, reader)
        if rows:
            return rows, count
    return [], 0


def may_begin(line: str, reader: Reader) -> bool:
    """A quick look: a table's first line has several parts."""
    return len(line) > 5 and (any(c.isdigit() for c in line) or len(line.split()) > 2 or "|" in line)


def equal_lines(lines: Sequence[str], reader: Reader) -> tuple[Rows, int]:
    """Lines that one separator cuts into equally many parts, with labels of ours among the first parts."""
    for separator in _SEPARATORS:
        rows: Rows = []
        for line in lines:
            parts = separator.split(line.strip())
            if len(parts) < LEAST_PARTS or (rows and len(parts) != len(rows[0])):
                break
            rows.append(parts)
        if len(rows) < 2:
            continue
        heads = [*rows[0], *(row[0] for row in rows)]
        if sum(reader.read(part).is_label for part in heads) >= 2:
            return rows, len(rows)
    return [], 0


def broken_stream(lines: Sequence[str], reader: Reader) -> tuple[Rows, int]:
    """One stream, on one line or broken over several: the longest stretch of lines that is one."""
    head = read_head(lines[0], reader)
    if head is None:
        return [], 0
    count = 1
    while count < len(lines) and is_dense(lines[count]):
        count += 1
    if not any(_LETTERS.search(line) for line in (lines[0][head.end :], *lines[1:count])):
        return [], 0
    for taken in range(count, 0, -1):
        rows = read_stream(" ".join(lines[:taken]), reader)
        if rows:
            return rows, taken
    return [], 0


def is_dense(line: str) -> bool:
    """Numbers are at least a third of the words."""
    words = line.split()
    numbers = sum(any(c.isdigit() for c in word) for word in words)
    return numbers >= 1 and numbers * 3 >= len(words)


def make_grid(source: Text, rows: Rows) -> Grid:
    """The rows as a grid; every cell keeps the place of its text."""
    cells = tuple(
        Cell(text=part, row=row, column=column, place=source.place, marks=source.marks)
        for row, parts in enumerate(rows, start=1)
        for column, part in enumerate(parts, start=1)
        if part
    )
    return Grid(cells=cells, order=source.order, page=source.page)
