"""Lines of one cell, told by the order in which a page was drawn.

Writers draw a table cell by cell, so the second line of a cell comes right after its first although other cells stand
between the two in reading. Where a page is drawn line by line or column by column the order says nothing.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, field

from halfinch.readers.pdf.lines import Chunk, Line, make_chunk

CELL_STEP = (0.8, 1.55)  # base line to base line within a cell, in letter sizes
NEXT_DRAWN = (
    0.3  # of the gaps within lines: in a page drawn cell by cell at least these lie between texts drawn in turn
)
ALIGNED = 0.16  # of the letter size: left ends, middles or right ends of a cell's lines differ by less


@dataclass(slots=True)
class Bound:
    """For a chunk (by id) the chunk that its cell goes on from, and the one that it goes on with."""

    above: dict[int, Chunk] = field(default_factory=dict)
    below: dict[int, Chunk] = field(default_factory=dict)

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
    bound = Bound()
    layers = sorted({word.style.layer for line in lines for chunk in line.chunks for word in chunk.words})
    if len(layers) < 4 or layers[0] == 0:  # 0: an engine that does not tell the order
        return bound
    rank = {layer: k for k, layer in enumerate(layers)}
    if not _by_cells(lines, rank):
        return bound
    starts = {rank[chunk.words[0].style.layer]: (i, chunk) for i, line in enumerate(lines) for chunk in line.chunks}
    for i, line in enumerate(lines):
        for chunk in line.chunks:
            j, after = starts.get(rank[chunk.words[-1].style.layer] + 1, (0, chunk))
            if j <= i or not _one_cell(chunk, after) or divided(chunk, after):
                continue
            if len(line.chunks) == 1 and j == i + 1 and len(lines[j].chunks) > 1:
                continue  # a title over a row is drawn right before the row's label, too
            bound.above[id(after)], bound.below[id(chunk)] = chunk, after
    return bound


def _by_cells(lines: list[Line], rank: dict[int, int]) -> bool:
    """Neighbours in a line were drawn one after the other, as far as their cells have one line."""
    gaps = next_drawn = 0
    for line in lines:
        for left, right in itertools.pairwise(line.chunks):
            gaps += 1
            next_drawn += rank[right.words[0].style.layer] - rank[left.words[-1].style.layer] in (0, 1)
    return gaps > 0 and next_drawn >= NEXT_DRAWN * gaps


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


def merge_bound(lines: list[Line], bound: Bound) -> list[list[Chunk]]:
    """Chunks by rows as far as cells tell: a cell of several lines is one chunk.

    Serves to find columns only; the words of a merged chunk are not in reading order.
    """
    rows: list[list[Chunk]] = []
    for first, last in held_together(lines, bound):
        mine = {id(chunk): chunk for line in lines[first : last + 1] for chunk in line.chunks}
        cells: list[Chunk] = []
        for chunk in mine.values():
            parts = [part for part in bound.chain(chunk) if id(part) in mine]
            if len(parts) == 1:
                cells.append(chunk)
            elif parts[0] is chunk:
                cells.append(make_chunk([word for part in parts for word in part.words]))
        rows.append(sorted(cells, key=lambda chunk: chunk.x0))
    return rows
