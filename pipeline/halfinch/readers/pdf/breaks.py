"""Tables broken over pages: a row alone before or after the break, which no page by itself tells as a table."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from halfinch.readers.pdf.columns import Placed, place_row
from halfinch.readers.pdf.ink import union_box
from halfinch.readers.pdf.lines import Line, make_lines
from halfinch.readers.pdf.model import PageBlocks, TableBlock, TextBlock
from halfinch.readers.pdf.rows import RowLine, TableRow, build_cells

ROW_FULL = 0.6  # of the columns: a row of figures alone fills so many
HEAD_FULL = 0.8  # of the columns: a head alone fills so many

Columns = Sequence[tuple[float, float]]


def mend_break(before: PageBlocks, page: PageBlocks) -> None:
    """Gives lines of text next to the break back to the table on its other side, as a table of the same columns."""
    upper, lower = _body(before), _body(page)
    if not upper or not lower:
        return
    last, first = upper[-1], lower[0]
    if isinstance(last, TableBlock) and isinstance(first, TextBlock):
        texts = list(itertools.takewhile(lambda block: isinstance(block, TextBlock), lower))
        _take(page, [block for block in texts if isinstance(block, TextBlock)], last.columns, True, False)
    elif isinstance(first, TableBlock) and isinstance(last, TextBlock):
        texts = list(itertools.takewhile(lambda block: isinstance(block, TextBlock), reversed(upper)))
        headless = _figures(first) >= 0.5
        _take(before, [block for block in texts if isinstance(block, TextBlock)], first.columns, False, headless)


def _body(page: PageBlocks) -> list[TableBlock | TextBlock]:
    return [
        block
        for block in page.blocks
        if isinstance(block, TableBlock) or (block.chunks and not block.running and block.kind != "chrome")
    ]


def _figures(table: TableBlock) -> float:
    """Part of the first row's cells, but for its label, that begin with a digit."""
    cells = [cell for cell in table.cells if cell.row == 1 and cell.column > 1]
    return sum(cell.text[:1].isdigit() for cell in cells) / max(len(cells), 1)


def _take(page: PageBlocks, texts: list[TextBlock], columns: Columns, leading: bool, head: bool) -> None:
    """Makes a table of the lines of `texts` next to the break that fit the columns."""
    lines = make_lines([word for block in texts for chunk in block.chunks for word in chunk.words])
    rows: list[tuple[Line, list[Placed]]] = []
    for line in lines if leading else reversed(lines):
        placed = _place(line, columns, head and not rows)
        if placed is None:
            break
        rows.append((line, placed))
    if not rows:
        return
    taken = {id(word) for line, _ in rows for chunk in line.chunks for word in chunk.words}
    mine = [block for block in texts if any(id(word) in taken for chunk in block.chunks for word in chunk.words)]
    if not all(id(word) in taken for block in mine for chunk in block.chunks for word in chunk.words):
        return
    rows.sort(key=lambda row: row[0].base)
    cells, _ = build_cells(
        [TableRow([RowLine(placed, line.base, line.top, line.bottom, line.size)]) for line, placed in rows], {}
    )
    table = TableBlock(union_box(block.box for block in mine), cells, list(columns))
    at = page.blocks.index(mine[0] if leading else mine[-1])
    page.blocks.insert(at, table)
    page.blocks = [block for block in page.blocks if not any(block is other for other in mine)]


def _place(line: Line, columns: Columns, head: bool) -> list[Placed] | None:
    """The line's chunks in the columns, each in one of its own; None where it is no row of them."""
    if line.chunks[0].x1 < columns[0][0] or line.chunks[-1].x0 > columns[-1][1]:
        return None
    placed = place_row(line.chunks, [(a[1], b[0]) for a, b in itertools.pairwise(columns)])
    if any(item.first != item.last for item in placed):
        return None
    figures = sum(item.chunk.figure for item in placed if item.first > 0)
    row = len(placed) >= max(2.0, ROW_FULL * len(columns)) and figures >= 0.5 * (len(placed) - 1)
    return placed if row or (head and len(placed) >= max(2.0, HEAD_FULL * len(columns))) else None
