"""Rows of a table from its lines: which lines are one row (wrapped labels, notes, headings) and which are the next."""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass, field, replace
from statistics import median

from halfinch.readers.pdf.columns import Placed
from halfinch.readers.pdf.ink import union_box
from halfinch.readers.pdf.lines import cell_text, unstruck
from halfinch.sheet import Box, Cell, place

LEADING = 1.34  # base line to base line within one text, in letter sizes
OVERLAP = 0.85  # base lines nearer than this many letter sizes: the letters overlap in height, so it is one row
AS_ROWS = 0.97  # of the usual distance between rows: so far from each other are two lines of two rows
WHITE = 1.25  # of the distance between the lines of one row: so much further apart are rows told by white alone
COLONS = ":："
CLOSER = 0.82  # of the usual distance between rows: nearer than that is the same row

_GOES_ON = re.compile(r"^[a-zà-ÿ(\[/+&,;–—-]")
_UNFINISHED = re.compile(r"([(\[,/&+–—-]|\b(and|or|of|to|at|from|with|und|et|de|du|y|e|the|below|above|in))$")


@dataclass(slots=True)
class RowLine:
    """One line of a table with its chunks placed in columns. `ruled`: a drawn line or edge lies above it."""

    placed: list[Placed]
    base: float
    top: float
    bottom: float
    size: float
    ruled: bool = False
    opens: bool = False
    """A cell begins in this line that goes on below it."""
    held: bool = False
    """A cell begun above goes on in this line or below it."""
    colons: bool = False
    """Labels of this table end in a colon, so one is no title for it."""
    apart: bool = False
    """The lower row of a two-row head: it never goes on with the row above."""

    @property
    def label_only(self) -> bool:
        return all(item.first == 0 for item in self.placed)

    @property
    def labelled(self) -> bool:
        return any(item.first == 0 for item in self.placed)

    @property
    def figures(self) -> int:
        return sum(item.chunk.figure for item in self.placed if item.first > 0)

    @property
    def title(self) -> bool:
        """Looks like a title row: bold, ends in a colon, or all capitals."""
        text = " ".join(item.chunk.text for item in self.placed)
        if (text[-1:] in COLONS and not self.colons) or (text.isupper() and len(text) > 3):
            return True
        return all(item.chunk.bold for item in self.placed)


@dataclass(slots=True)
class TableRow:
    lines: list[RowLine] = field(default_factory=list)


def join_rows(lines: list[RowLine]) -> list[TableRow]:
    """Lines, from the top, as rows."""
    if not lines:
        return []
    if _banded(lines):
        bands = _bands(lines)
        steps = [b[0].base - a[0].base for a, b in itertools.pairwise(bands) if len(a) == len(b) == 1]
        pitch = median(steps) if len(steps) >= 2 else None
        return [row for band in bands for part in _parted(band, pitch) for row in _split_band(part)]
    return split_lines(lines)


def split_lines(lines: list[RowLine]) -> list[TableRow]:
    """Rows of lines with no drawn line between them."""
    return _group(lines, _white_joins(lines) or _joins(lines))


def _white_joins(lines: list[RowLine]) -> list[bool]:
    """Lines in groups with white between them, each with one line that has most of the columns; empty if not so."""
    steps = [lower.base - upper.base for upper, lower in itertools.pairwise(lines)]
    tight = [step <= LEADING * line.size for step, line in zip(steps, lines[1:], strict=True)]
    inner = [step for step, near in zip(steps, tight, strict=True) if near]
    outer = [step for step, near in zip(steps, tight, strict=True) if not near]
    most = max(len(line.placed) for line in lines)
    told = any(line.ruled or line.apart for line in lines[1:])
    if told or most < 3 or len(outer) < 2 or len(inner) < len(outer) or min(outer) < WHITE * max(inner):
        return []
    rows = _group(lines, tight)
    full = [sum(len(line.placed) >= 0.6 * most for line in row.lines) for row in rows]
    return tight if set(full) == {1} else []


def _group(lines: list[RowLine], joins: list[bool]) -> list[TableRow]:
    rows = [TableRow([lines[0]])]
    for line, join in zip(lines[1:], joins, strict=True):
        if join:
            rows[-1].lines.append(line)
        else:
            rows.append(TableRow([line]))
    return rows


def _banded(lines: list[RowLine]) -> bool:
    """True when drawn lines or shades divide nearly all rows, so they tell the rows alone."""
    full = [line for line in lines if line.figures or len(line.placed) >= 2]
    if len(full) < 2:
        return False
    ruled = divided = 0
    ends = {id(line) for line in full}
    for line in lines[1:]:
        ruled = ruled or int(line.ruled)
        if id(line) in ends:
            divided += ruled
            ruled = 0
    return divided >= 0.7 * (len(full) - 1) and divided >= 1


def _bands(lines: list[RowLine]) -> list[list[RowLine]]:
    bands = [[lines[0]]]
    for line in lines[1:]:
        if (line.ruled and not line.held) or line.apart:
            bands.append([line])
        else:
            bands[-1].append(line)
    return bands


def _parted(band: list[RowLine], pitch: float | None) -> list[list[RowLine]]:
    """A band cut where its lines are as far from each other as rows are: a line under a head left out."""
    parts = [[band[0]]]
    for before, line in itertools.pairwise(band):
        whole = min(len(before.placed), len(line.placed)) >= 2 and not line.held
        if whole and pitch is not None and line.base - before.base >= AS_ROWS * pitch:
            parts.append([line])
        else:
            parts[-1].append(line)
    return parts


def _split_band(band: list[RowLine]) -> list[TableRow]:
    """A band is one row unless several of its lines bring figures of their own."""
    figured = [line for line in band if line.figures >= 2 or (line.figures and line.labelled)]
    headed = figured and any(len(line.placed) >= 3 and not line.figures for line in band[: band.index(figured[0])])
    if len(figured) < 2 and not (headed and figured[0].figures >= 2):
        return [TableRow(band)]
    return split_lines(band)


def _joins(lines: list[RowLine]) -> list[bool]:
    """For every line but the first: does it go on with the row above?"""
    anchors = [line for line in lines if not line.label_only and (line.labelled or line.figures) and not line.held]
    steps = [b.base - a.base for a, b in itertools.pairwise(anchors)]
    pitch = median(steps) if steps else 2 * lines[0].size
    joins: list[bool] = []
    seen_figures = lines[0].figures > 0
    first = next((i for i, line in enumerate(lines) if line.figures and line.figures >= 0.5 * len(line.placed)), 0)
    lead = lines[first].base - lines[first - 1].base if first else None
    labels = [item.chunk.text for line in lines if not line.label_only for item in line.placed if item.first == 0]
    if sum(label[-1] in COLONS for label in labels) >= 0.5 * len(labels):
        lines = [replace(line, colons=True) for line in lines]
    start = 0  # where the row that is being gathered begins
    for i in range(1, len(lines)):
        before, line = lines[i - 1], lines[i]
        after = lines[i + 1] if i + 1 < len(lines) else None
        joined = _join(before, line, after, pitch, seen_figures, bool(joins and joins[-1]))
        joined = joined or (i < first and lead is not None and _one_head(before, line, lead))
        if not joined and all(other.label_only and not other.title for other in lines[start:i]):
            joined = _leads_into(lines, start, i, pitch)
        joins.append(joined)
        start = start if joined else i
        seen_figures = seen_figures or line.figures > 0
    return joins


def _one_head(before: RowLine, line: RowLine, lead: float) -> bool:
    """Lines of one head: nearer to each other than the last is to the first row, or words that go on with the above."""
    step = line.base - before.base
    if line.ruled or line.apart or before.label_only or step > LEADING * line.size:
        return False
    within = sum(_GOES_ON.match(item.chunk.text) is not None for item in line.placed)
    return step <= CLOSER * lead or (len(line.placed) >= 2 and within >= 0.5 * len(line.placed))


def _leads_into(lines: list[RowLine], start: int, i: int, pitch: float) -> bool:
    """Lines of a label alone go on into line `i`: as near as lines of one text, and further from the row above."""
    step = lines[i].base - lines[i - 1].base
    gap = lines[start].base - lines[start - 1].base if start else None
    tight = step <= LEADING * lines[i].size and step < CLOSER * pitch
    return tight and not lines[i].ruled and (gap is None or step <= CLOSER * gap)


def _join(before: RowLine, line: RowLine, after: RowLine | None, pitch: float, body: bool, joined: bool) -> bool:
    step = line.base - before.base
    size = min(before.size, line.size)
    if line.held:
        return True
    if line.ruled or line.apart:
        return False
    if step < OVERLAP * size:
        return True
    next_step = after.base - line.base if after is not None else None
    tight = step <= LEADING * line.size and step < CLOSER * pitch
    if line.label_only:
        return not line.opens and _join_label(before, line, next_step, pitch, tight)
    if not line.labelled and not line.figures:
        closer = next_step is None or step <= CLOSER * next_step
        return tight or (closer and step <= LEADING * line.size and body)
    if not line.labelled:
        alone = before.label_only and not before.title and not joined
        return alone and step <= min(pitch, 1.6 * line.size)
    if not body and not line.figures and not before.label_only:
        return tight and next_step is not None and step <= CLOSER * next_step
    if before.label_only and not before.title and not joined:
        # the label begins on a line of its own and ends beside the figures
        label = next(item.chunk.text for item in line.placed if item.first == 0)
        return step <= LEADING * line.size and bool(_GOES_ON.match(label)) and step <= 1.05 * pitch
    return False


def _join_label(before: RowLine, line: RowLine, next_step: float | None, pitch: float, tight: bool) -> bool:
    step = line.base - before.base
    text = " ".join(item.chunk.text for item in line.placed)
    last = next((item.chunk.text for item in reversed(before.placed) if item.first == 0), "")
    if not last:
        return step <= LEADING * line.size and step <= 1.05 * pitch  # the figures above stand between label lines
    if tight and not (line.title and not before.title):
        return True
    if step > 1.15 * max(pitch, LEADING * line.size):
        return False
    if last.count("(") > last.count(")") or _UNFINISHED.search(last) or _GOES_ON.match(text):
        return True
    return not line.title and next_step is not None and step <= CLOSER * next_step and step <= LEADING * line.size


def build_cells(rows: list[TableRow], where: dict[str, int]) -> tuple[list[Cell], list[Box]]:
    """Cells of rows, numbered from 1, and the box of each row. `where` gives page and table for the places."""
    cells: list[Cell] = []
    boxes: list[Box] = []
    for r, row in enumerate(rows, start=1):
        boxes.append(union_box(item.chunk.box for line in row.lines for item in line.placed))
        for first, last, items in _columns_of(row):
            chunks = unstruck([item.chunk for item in items])
            text = cell_text(chunks)
            marks = frozenset.intersection(*(chunk.marks() for chunk in chunks))
            spot = place(**where, row=r, col=first + 1)
            box = union_box(item.chunk.box for item in items)
            cells.append(Cell(text, r, first + 1, 1, last - first + 1, spot, marks, box=box))
    return cells, boxes


def _columns_of(row: TableRow) -> list[tuple[int, int, list[Placed]]]:
    """The row's chunks by columns; chunks of several lines that share a column are one cell."""
    groups: list[tuple[int, int, list[Placed]]] = []
    for item in sorted((i for line in row.lines for i in line.placed), key=lambda i: (i.first, i.last)):
        if groups and groups[-1][1] >= item.first:
            first, last, items = groups[-1]
            groups[-1] = (first, max(last, item.last), [*items, item])
        else:
            groups.append((item.first, item.last, [item]))
    return [(first, last, sorted(items, key=lambda i: i.chunk.base)) for first, last, items in groups]
