"""Small helpers of the readers' tests: a Grid as plain rows, a Sheet's texts."""

from __future__ import annotations

from halfinch.sheet import Grid, Sheet


def as_rows(grid: Grid) -> list[list[str]]:
    """The grid's texts, empty cells as ''."""
    rows = [["" for _ in range(grid.columns)] for _ in range(grid.rows)]
    for cell in grid.cells:
        assert not rows[cell.row - 1][cell.column - 1], "two cells in one place"
        rows[cell.row - 1][cell.column - 1] = cell.text
    return rows


def texts_of(sheet: Sheet) -> list[str]:
    return [text.text for text in sheet.texts]


def marks_of(grid: Grid, text: str) -> set[str]:
    return set(next(cell.marks for cell in grid.cells if cell.text == text))


def place_of(grid: Grid, text: str) -> str:
    return next(cell.place for cell in grid.cells if cell.text == text)
