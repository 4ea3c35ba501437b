"""Columns on the next page: what is too wide for a page, spreadsheets print on one of its own, without the labels."""

from __future__ import annotations

import re
from dataclasses import replace

from halfinch.readers.pdf.model import PageBlocks, TableBlock, TextBlock
from halfinch.sheet import Cell, place

SAME_ROW = 2.5  # points that a row may stand higher or lower on the next page
FEWEST_ROWS = 3
COVERED = 0.9  # of the rows between the first and the last that go on
FIGURES = 0.9  # of the cells under the heads: there are no labels among them

_DIGITS = re.compile(r"\d+")
_FIGURE = re.compile(r"[^\w]*[\d½¼¾⅛⅜⅝⅞]|[-–—]$")


def join_sideways(before: PageBlocks, page: PageBlocks) -> bool:
    """True where `page` holds nothing but further columns of a table of `before`, to which they are given."""
    tables = [block for block in page.blocks if isinstance(block, TableBlock)]
    if len(tables) != 1 or not _says_nothing_new(page, before):
        return False
    further = tables[0]
    if not _without_labels(further):
        return False
    for table in before.blocks:
        if isinstance(table, TableBlock):
            rows = _matching_rows(table, further)
            if rows:
                _append(table, further, rows, page.number)
                before.warnings += page.warnings
                return True
    return False


def _says_nothing_new(page: PageBlocks, before: PageBlocks) -> bool:
    """True when the words of the page stand on the page before too, but for their numbers ("Page 4 of 7").

    A head over several columns that does not end on its page is cut by the edge and told on both.
    """
    told = _words(before) | {
        _DIGITS.sub("0", cell.text) for block in before.blocks if isinstance(block, TableBlock) for cell in block.cells
    }
    return _words(page) <= told


def _words(page: PageBlocks) -> set[str]:
    texts = [block for block in page.blocks if isinstance(block, TextBlock) and block.kind != "chrome"]
    chunks = [chunk.text for block in texts for chunk in block.chunks]
    return {_DIGITS.sub("0", text) for text in chunks if any(map(str.isalpha, text))}


def _without_labels(table: TableBlock) -> bool:
    """Figures alone under one or two rows of heads."""
    under = [cell for cell in table.cells if cell.row > 1 and cell.text]
    figures = [_FIGURE.match(cell.text) is not None for cell in under]
    return bool(figures) and sum(figures) >= FIGURES * len(figures)


def _heights(table: TableBlock) -> dict[int, float]:
    """The middle of each row, points from the top of the page; rows of cells over several rows left out."""
    found: dict[int, list[float]] = {}
    for cell in table.cells:
        if cell.box is not None and cell.row_span == 1:
            found.setdefault(cell.row, []).append((cell.box[1] + cell.box[3]) / 2)
    return {row: sum(heights) / len(heights) for row, heights in found.items()}


def _matching_rows(table: TableBlock, further: TableBlock) -> dict[int, int]:
    """Row of `further` to row of `table` where all stand at the same heights; empty where they do not."""
    heights, own = _heights(table), _heights(further)
    rows: dict[int, int] = {}
    for row, height in own.items():
        nearest = min(heights, key=lambda other: abs(heights[other] - height), default=0)
        if not nearest or abs(heights[nearest] - height) > SAME_ROW:
            return {}
        rows[row] = nearest
    if len(rows) < FEWEST_ROWS or len(set(rows.values())) < len(rows):
        return {}
    spanned = max(rows.values()) - min(rows.values()) + 1
    labelled = {cell.row for cell in table.cells if cell.column <= 2 and any(map(str.isalpha, cell.text))}
    whole = len(rows) >= COVERED * spanned and max(rows.values()) == max(heights)
    heads = [{cell.text for cell in one.cells if cell.row == row} for one, row in ((table, rows[1]), (further, 1))]
    goes_on = whole and len(labelled & set(rows.values())) >= COVERED * len(rows) - 1
    return rows if goes_on and not heads[0] & heads[1] else {}


def _append(table: TableBlock, further: TableBlock, rows: dict[int, int], page: int) -> None:
    width = max(cell.column + cell.column_span - 1 for cell in table.cells)
    moved = [_moved(cell, rows[cell.row], width, page) for cell in further.cells if cell.row in rows]
    table.cells = sorted([*table.cells, *moved], key=lambda cell: (cell.row, cell.column))
    table.columns = [*table.columns, *further.columns]


def _moved(cell: Cell, row: int, width: int, page: int) -> Cell:
    spot = place(page=page, table=1, row=cell.row, col=cell.column)
    return replace(cell, row=row, column=cell.column + width, place=spot, box=None)
