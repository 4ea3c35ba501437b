"""A grid as a dense table that can be turned, cut and looked at line by line.

In: a `Grid`. Out: `Table`, rows of cells; a cell that spans several places stands in each of them (the same object), so
that a header over four columns is found from each of the four.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from halfinch.sheet import HIDDEN, STRUCK, Cell, Grid

Line = tuple[Cell | None, ...]

MAX_SLOTS = 4_000_000
"""A grid that claims more places than this (spans of a million rows) is read by its written cells only."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of equally many slots; None where nothing is printed."""

    rows: tuple[Line, ...]

    @property
    def width(self) -> int:
        return len(self.rows[0]) if self.rows else 0

    def turned(self) -> Table:
        """Rows become columns: a sheet with sizes down is read as one with sizes across."""
        return Table(tuple(zip(*self.rows, strict=True)))

    def column(self, index: int) -> Line:
        return tuple(row[index] for row in self.rows)

    def cut_rows(self, keep: list[int]) -> Table:
        return Table(tuple(self.rows[index] for index in keep))

    def cut_columns(self, first: int, last: int) -> Table:
        """Columns first..last-1."""
        return Table(tuple(row[first:last] for row in self.rows))


def make_table(grid: Grid) -> tuple[Table, list[Cell]]:
    """The grid's table of visible cells, and the cells left out because they are struck out or hidden.

    Rows and columns in which nothing is printed are dropped; places stay on the cells, so nothing loses its address.
    """
    visible = [cell for cell in grid.cells if cell.text and not (cell.marks & {STRUCK, HIDDEN})]
    left_out = [cell for cell in grid.cells if cell.text and cell.marks & {STRUCK, HIDDEN}]
    if not visible:
        return Table(()), left_out
    used_rows = {cell.row for cell in visible}
    used_columns = {cell.column for cell in visible}
    slots: dict[tuple[int, int], Cell] = {}
    for cell in visible:
        if cell.row_span * cell.column_span > MAX_SLOTS:
            slots.setdefault((cell.row, cell.column), cell)
            continue
        for row in range(cell.row, cell.row + cell.row_span):
            if row not in used_rows:
                continue
            for column in range(cell.column, cell.column + cell.column_span):
                if column in used_columns:
                    slots.setdefault((row, column), cell)
    rows = sorted(used_rows)
    columns = sorted(used_columns)
    return Table(tuple(tuple(slots.get((row, column)) for column in columns) for row in rows)), left_out


def distinct(line: Line) -> list[Cell]:
    """The cells of a line, each once, in order."""
    seen: set[int] = set()
    found: list[Cell] = []
    for cell in line:
        if cell is not None and id(cell) not in seen:
            seen.add(id(cell))
            found.append(cell)
    return found


def pieces(table: Table) -> Iterator[tuple[int, int, Cell]]:
    """(row, column, cell) for every cell once, at its first place."""
    seen: set[int] = set()
    for row_index, row in enumerate(table.rows):
        for column_index, cell in enumerate(row):
            if cell is not None and id(cell) not in seen:
                seen.add(id(cell))
                yield row_index, column_index, cell
