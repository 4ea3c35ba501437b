"""What was seen in a web page, workbook or text file, as one self-contained HTML page: no script, nothing loaded.

In: the sheet and its marks. Out: the page's text. Every cell shows what it was taken for and its place.
"""

from __future__ import annotations

from dataclasses import dataclass

from halfinch.present.seen.marks import LEGEND, PASSED, Mark, Marks
from halfinch.sheet import Cell, Grid, Sheet

MOST_ROWS = 400
"""Rows of a table that are drawn; a longer one says how many are left out."""
NOTHING = Mark("")


@dataclass(frozen=True, slots=True)
class Drawn:
    """One block of the page: a table (rows of (cell, mark)), or a text."""

    place: str
    caption: str
    text: str
    mark: Mark
    rows: tuple[tuple[tuple[Cell | None, Mark], ...], ...] = ()
    more: int = 0


def render_tables(sheet: Sheet, marks: Marks) -> str:
    """The page, blocks in reading order."""
    from jinja2 import Environment, PackageLoader

    blocks = [
        draw_grid(block, marks)
        if isinstance(block, Grid)
        else Drawn(block.place, "", block.text, marks.by_place.get(block.place, NOTHING))
        for block in sheet.blocks()
    ]
    used = {mark.kind for block in blocks for mark in [block.mark, *(mark for row in block.rows for _, mark in row)]}
    legend = {kind: means for kind, means in LEGEND.items() if kind in used}
    template = Environment(loader=PackageLoader("halfinch.present"), autoescape=True).get_template("seen.html")
    return template.render(sheet=sheet, marks=marks, blocks=blocks, legend=legend)


def draw_grid(grid: Grid, marks: Marks) -> Drawn:
    """Rows of cells with their marks; an empty slot is a None, a slot under a span is none at all."""
    own = marks.by_place.get(grid.place, NOTHING)
    whole = own if own.kind == PASSED else NOTHING
    at = {(cell.row, cell.column): cell for cell in grid.cells}
    covered = {
        (row, column)
        for cell in grid.cells
        if cell.row_span * cell.column_span > 1
        for row in range(cell.row, min(cell.row + cell.row_span, MOST_ROWS + 1))
        for column in range(cell.column, cell.column + cell.column_span)
    } - at.keys()
    rows = tuple(
        tuple(
            (cell, marks.by_place.get(cell.place, whole) if cell is not None and cell.text else NOTHING)
            for column in range(1, grid.columns + 1)
            if (row, column) not in covered
            for cell in [at.get((row, column))]
        )
        for row in range(1, min(grid.rows, MOST_ROWS) + 1)
    )
    return Drawn(grid.place, grid.caption, "", own, rows, max(0, grid.rows - MOST_ROWS))
