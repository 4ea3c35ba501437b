"""Lines of one cell, told by the order in which a page was drawn.

Writers draw a table cell by cell, so the second line of a cell comes right after its first although other cells stand
between the two in reading. Where a page is drawn line by line or column by column the order says nothing.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from halfinch.readers.pdf.lines import Chunk, Line, make_chunk

CELL_STEP = (0.8, 1.55)  # base line to base line within a cell, in letter sizes
HIGHEST = 9.0  # of the letter size: a cell is hardly higher than this
ALIGNED = 0.16  # of the letter size: left ends, middles or right ends of a cell's lines differ by less


@dataclass(slots=True)
class Bound:
    """For a chunk (by id) the chunk that its cell goes on from, and the one that it goes on with."""

    above: dict[int, Chunk] = field(default_factory=dict)
    below: dict[int, Chunk] = field(default_factory=dict)
    in_turn: set[int] = field(default_factory=set)
    """Chunks of cells that were drawn right before or after another cell of their row."""

    def chain(self, chunk: Chunk) -> list[Chunk]:
        """All lines of this chunk's cell, from the top."""
        while id(chunk) in self.above:
            chunk = self.above[id(chunk)]
        found = [chunk]
        while id(found[-1]) in self.below:
            found.append(self.below[id(found[-1])])
        return found


def find_bound(lines: list[Line], divided: Callable[[Chunk, Chunk], bool]) -> Bound:
    """Which chunks go on in a line below. Empty where the page was not drawn cell by cell.

    `divided` tells whether a drawn line lies between two chunks.
    """
    layers = sorted({word.style.layer for line in lines for chunk in line.chunks for word in chunk.words})
    if len(layers) < 4 or layers[0] == 0:  # 0: an engine that does not tell the order
        return Bound()
    bound, turns = _walk(lines, dict(itertools.pairwise(layers)), divided)
    figures = {id(chunk) for line in lines for chunk in line.chunks if chunk.figure}
    if not _by_cells(turns) or _columns(bound, figures):
        return Bound()
    _let_go(lines, bound)
    row = {id(chunk): k for k, part in enumerate(_rows(lines, bound)) for line in part for chunk in line.chunks}
    for one, two in turns:
        if row[id(one)] == row[id(two)]:
            bound.in_turn |= {id(part) for chunk in (one, two) for part in bound.chain(chunk)}
    return bound


def _walk(
    lines: list[Line], after: dict[int, int], divided: Callable[[Chunk, Chunk], bool]
) -> tuple[Bound, list[tuple[Chunk, Chunk]]]:
    """Follows the pen from text to text: what may be one cell, and the turns from one cell to the next."""
    bound, turns = Bound(), list[tuple[Chunk, Chunk]]()
    starts = {chunk.words[0].style.layer: (i, chunk) for i, line in enumerate(lines) for chunk in line.chunks[::-1]}
    for i, line in enumerate(lines):
        for chunk in line.chunks:
            j, other = starts.get(after.get(chunk.words[-1].style.layer, 0), (0, chunk))
            if other is chunk:
                continue
            beside = len(line.chunks) > 1, len(lines[j].chunks) > 1
            # a row's label is drawn right after a title over it, too
            titled = not beside[0] and j == i + 1 and beside[1] and _leftmost(chunk, lines[j : j + 4])
            if j > i and not titled and _one_cell(chunk, other) and not divided(chunk, other):
                bound.above[id(other)], bound.below[id(chunk)] = chunk, other
            elif any(beside):
                turns.append((chunk, other))
    return bound, turns


def _leftmost(chunk: Chunk, lines: list[Line]) -> bool:
    """True when nothing stands to the left of a chunk in the lines below."""
    return all(other.x1 > chunk.x0 for line in lines for other in line.chunks)


def _rows(lines: list[Line], bound: Bound) -> list[list[Line]]:
    return [lines[first : last + 1] for first, last in held_together(lines, bound)]


def _let_go(lines: list[Line], bound: Bound) -> None:
    """Takes apart what would hold several rows together: a text of many lines beside them, a label of two rows."""
    while True:
        again = False
        for row in _rows(lines, bound):
            if len(row) < 2:
                continue
            cells = _cells(row, bound)
            boxes = sorted((min(c.x0 for c in cell), max(c.x1 for c in cell)) for cell in cells)
            crossed = any(right[0] < left[1] - 1 for left, right in itertools.pairwise(boxes))
            if not crossed:
                continue
            again = True
            for part in max(cells, key=len):
                bound.above.pop(id(part), None)
                bound.below.pop(id(part), None)
        if not again:
            return


def _cells(lines: list[Line], bound: Bound) -> list[list[Chunk]]:
    """The chunks of some lines by cells."""
    mine = {id(chunk): chunk for line in lines for chunk in line.chunks}
    found: list[list[Chunk]] = []
    for chunk in mine.values():
        parts = [part for part in bound.chain(chunk) if id(part) in mine]
        if parts[0] is chunk:
            found.append(parts)
    return found


def _by_cells(turns: list[tuple[Chunk, Chunk]]) -> bool:
    """To the right from cell to cell, and back to where the next row begins; seldom straight down."""
    ways = Counter(_way(one, two) for one, two in turns)
    return ways["right"] >= 2 and ways["back"] >= 1 and ways["right"] >= ways["down"]


def _way(one: Chunk, two: Chunk) -> str:
    """Where the pen went between two texts."""
    if two.x0 > one.x1 - 1 and abs(two.base - one.base) < HIGHEST * one.size:
        return "right"
    if two.base > one.base and two.x1 < one.x0 + 1:
        return "back"
    return "down" if two.base > one.base and two.x0 < one.x1 else "else"


def _columns(bound: Bound, figures: set[int]) -> bool:
    """True when three figures go on from one another: that is a column drawn downwards, and no cell."""
    return any(
        key in figures and id(lower) in figures and id(bound.below.get(id(lower))) in figures
        for key, lower in bound.below.items()
    )


def _one_cell(upper: Chunk, lower: Chunk) -> bool:
    step = lower.base - upper.base
    size = upper.size
    if not CELL_STEP[0] * size < step < CELL_STEP[1] * size or abs(lower.size - size) > 0.05 * size:
        return False
    if upper.bold != lower.bold:
        return False
    ends = (lower.x0 - upper.x0, lower.x1 - upper.x1, lower.middle - upper.middle)
    return min(map(abs, ends)) < ALIGNED * size


def held_together(lines: list[Line], bound: Bound) -> list[tuple[int, int]]:
    """First and last line (0-based, both included) of every stretch that a cell of several lines holds together."""
    where = {id(chunk): i for i, line in enumerate(lines) for chunk in line.chunks}
    found: list[tuple[int, int]] = []
    start = reach = 0
    for i, line in enumerate(lines):
        if i > reach:
            found.append((start, i - 1))
            start = i
        lower = (bound.below.get(id(chunk)) for chunk in line.chunks)
        reach = max([reach, i, *(where.get(id(chunk), i) for chunk in lower if chunk is not None)])
    return [*found, (start, len(lines) - 1)] if lines else []


def in_rows(lines: list[Line], bound: Bound) -> set[int]:
    """Ids of all chunks of rows that a cell of several lines holds together and that have other cells, too."""
    found: set[int] = set()
    for row in _rows(lines, bound):
        if len(row) > 1 and any(len(line.chunks) > 1 for line in row):
            found.update(id(chunk) for line in row for chunk in line.chunks)
    return found


def merge_bound(lines: list[Line], bound: Bound) -> list[list[Chunk]]:
    """Chunks by rows as far as cells tell: a cell of several lines is one chunk.

    Serves to find columns only; the words of a merged chunk are not in reading order.
    """
    rows: list[list[Chunk]] = []
    for row in _rows(lines, bound):
        cells = _cells(row, bound)
        merged = [cell[0] if len(cell) == 1 else make_chunk([w for part in cell for w in part.words]) for cell in cells]
        rows.append(sorted(merged, key=lambda chunk: chunk.x0))
    return rows
