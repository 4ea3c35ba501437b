"""Short views of what the HTML reader made, for tests that compare with a line of text."""

from __future__ import annotations

from halfinch.readers.html import read
from halfinch.sheet import DATA, Grid, Sheet, Text


def page(markup: str | bytes) -> Sheet:
    return read(markup.encode() if isinstance(markup, str) else markup, "page.html")


def matrix(grid: Grid) -> list[list[str]]:
    """Rows of texts with spans spread out; '' for empty cells."""
    rows = [[""] * grid.columns for _ in range(grid.rows)]
    for cell in grid.cells:
        for row in range(cell.row, cell.row + cell.row_span):
            for column in range(cell.column, cell.column + cell.column_span):
                rows[row - 1][column - 1] = cell.text
    return rows


def printed(sheet: Sheet) -> list[list[list[str]]]:
    """The matrices of all grids that are not data behind the page."""
    return [matrix(grid) for grid in sheet.grids if DATA not in grid.marks]


def words(sheet: Sheet, *kinds: str) -> list[str]:
    return [text.text for text in sheet.texts if not kinds or text.kind in kinds]


def marked(sheet: Sheet, mark: str) -> list[str]:
    """Texts of all cells and texts that carry a mark."""
    cells = [cell.text for grid in sheet.grids for cell in grid.cells if mark in cell.marks]
    return cells + [text.text for text in sheet.texts if mark in text.marks]


def block_line(block: Grid | Text) -> str:
    return block.text if isinstance(block, Text) else " ".join(cell.text for cell in block.cells)
