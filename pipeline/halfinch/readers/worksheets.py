"""What every kind of workbook is turned into before tables are looked for: named worksheets of placed cells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from halfinch.readers.tables_in_rows import COVERED, Line, Table, find_blocks
from halfinch.sheet import HIDDEN, Cell, Grid, Sheet, Text

MAX_CELLS = 3_000_000


@dataclass(frozen=True, slots=True)
class Filled:
    """A filled cell: its text as shown, the number behind it, marks, and the rows and columns it is merged over."""

    text: str
    value: Decimal | None = None
    marks: frozenset[str] = frozenset()
    row_span: int = 1
    column_span: int = 1


@dataclass(slots=True)
class Worksheet:
    """`cells` by row and column, both 1-based as the workbook counts them."""

    name: str
    number: int
    cells: dict[tuple[int, int], Filled] = field(default_factory=dict)
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """What a workbook's reader hands on; `reader` names the engine."""

    reader: str
    worksheets: tuple[Worksheet, ...]
    warnings: tuple[str, ...] = ()
    meta: dict[str, str] = field(default_factory=dict)


def column_letters(column: int) -> str:
    """1 -> A, 27 -> AA."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def superscript(text: str, before: str, after: str) -> str:
    """Raised figures behind a figure, which would read as more figures: 27 and a raised 1 of 1/2 is ``27 1/2``.

    `before` and `after` are the texts around the raised one. A raised figure that begins no fraction is a footnote's.
    """
    if not (before[-1:].isdigit() and text.strip()[:1].isdigit()):
        return text
    if "/" in text or "⁄" in text or after.lstrip()[:1] in ("/", "⁄"):
        return " " + text
    return text.translate(str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"))


def build_sheet(
    name: str, reader: str, worksheets: Sequence[Worksheet], warnings: Sequence[str], meta: dict[str, str]
) -> Sheet:
    """The Sheet of a workbook: the tables and lines of each worksheet in turn."""
    grids: list[Grid] = []
    texts: list[Text] = []
    for worksheet in worksheets:
        _place_worksheet(worksheet, grids, texts)
    return Sheet(
        name,
        "workbook",
        reader,
        tuple(grids),
        tuple(texts),
        pages=len(worksheets),
        meta=meta,
        warnings=tuple(warnings),
    )


def _place_worksheet(worksheet: Worksheet, grids: list[Grid], texts: list[Text]) -> None:
    if not worksheet.cells:
        return
    row_at = _squeeze({row for row, _ in worksheet.cells}, keep=1)
    column_at = _squeeze({column for _, column in worksheet.cells}, keep=2)
    rows = _lay_out(worksheet, row_at, column_at)
    real_rows = {index: row for row, index in row_at.items()}
    real_columns = {index: column for column, index in column_at.items()}
    sheet_marks = frozenset({HIDDEN}) if worksheet.hidden else frozenset[str]()
    sheet_place = f"sheet={worksheet.name.replace(';', '%3B')}"
    for block in find_blocks(rows):
        order = len(grids) + len(texts)
        if isinstance(block, Line):
            row, column = real_rows[block.row], real_columns[block.column]
            cell = worksheet.cells[row, column]
            where = f"{sheet_place};cell={column_letters(column)}{row}"
            marks = cell.marks | sheet_marks
            texts.append(Text(cell.text, order, block.kind, page=worksheet.number, place=where, marks=marks))
            continue
        cells = _cells_within(worksheet, block, real_rows, real_columns, sheet_place, sheet_marks)
        first = next(iter(cells)).place
        grids.append(Grid(cells, order, worksheet.number, caption=worksheet.name, place=first, marks=sheet_marks))


def _squeeze(used: set[int], keep: int) -> dict[int, int]:
    """Used rows (or columns) numbered anew, with at most `keep` blank ones left between two of them."""
    found: dict[int, int] = {}
    index, before = -1, min(used) - 1
    for number in sorted(used):
        index += 1 + min(keep, number - before - 1)
        found[number] = index
        before = number
    return found


def _lay_out(worksheet: Worksheet, row_at: dict[int, int], column_at: dict[int, int]) -> list[list[str]]:
    rows: list[list[str]] = [[] for _ in range(max(row_at.values()) + 1)]
    merged = []
    for (row, column), cell in sorted(worksheet.cells.items()):
        line, at = rows[row_at[row]], column_at[column]
        if len(line) <= at:
            line += [""] * (at - len(line) + 1)
        line[at] = cell.text
        if cell.row_span > 1 or cell.column_span > 1:
            merged.append((row, column, cell))
    for row, column, cell in merged:
        for r in (r for r in row_at if row <= r < row + cell.row_span):
            for c in (c for c in column_at if column <= c < column + cell.column_span):
                line, at = rows[row_at[r]], column_at[c]
                if len(line) <= at:
                    line += [""] * (at - len(line) + 1)
                line[at] = line[at] or COVERED
    return rows


def _cells_within(
    worksheet: Worksheet,
    table: Table,
    real_rows: dict[int, int],
    real_columns: dict[int, int],
    sheet_place: str,
    sheet_marks: frozenset[str],
) -> tuple[Cell, ...]:
    found: list[Cell] = []
    columns = [(k, real_columns[k]) for k in range(table.first_column, table.last_column + 1) if k in real_columns]
    letters = {column: column_letters(column) for _, column in columns}
    for k in range(table.first_row, table.last_row + 1):
        row = real_rows.get(k)
        for j, column in columns if row is not None else ():
            cell = worksheet.cells.get((row, column)) if row is not None else None
            if cell is None:
                continue
            spans = _spans(cell, k, j, table, row or 0, column, real_rows, real_columns)
            where = f"{sheet_place};cell={letters[column]}{row}"
            at = (k - table.first_row + 1, j - table.first_column + 1)
            found.append(Cell(cell.text, *at, *spans, where, cell.marks | sheet_marks, cell.value))
    return tuple(found)


def _spans(
    cell: Filled,
    k: int,
    j: int,
    table: Table,
    row: int,
    column: int,
    real_rows: dict[int, int],
    real_columns: dict[int, int],
) -> tuple[int, int]:
    """The spans within the table: a title merged far beyond the last filled column ends with the table."""
    if cell.row_span == 1 and cell.column_span == 1:
        return 1, 1
    last_k = max((i for i in range(k, table.last_row + 1) if real_rows.get(i, 0) < row + cell.row_span), default=k)
    last_j = max(
        (i for i in range(j, table.last_column + 1) if real_columns.get(i, 0) < column + cell.column_span), default=j
    )
    return last_k - k + 1, last_j - j + 1
