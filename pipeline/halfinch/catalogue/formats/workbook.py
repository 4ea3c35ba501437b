"""A workbook: exact numbers shown as the trade reads them (27 1/4), texts that stay texts, a page that says what the
columns mean."""

from __future__ import annotations

import io
import tempfile
from datetime import datetime
from decimal import Decimal
from itertools import chain
from typing import IO, Any

from halfinch.catalogue.formats.cells import Batches, plain
from halfinch.catalogue.tables import HALF_INCH, INCHES, Column, Table

MOST_ROWS = 1_048_576
EIGHTHS, FINER, DECIMAL, HALVES = "# ?/?", "# ??/??", "0.00", "0.0"
"""How a number of inches is shown; the cell holds all of it."""


def write_xlsx(file: IO[bytes], table: Table, batches: Batches) -> int:
    whole = io.BytesIO()  # a file that fills up meets a finished workbook, not one in the making
    with tempfile.TemporaryDirectory(prefix="halfinch-", ignore_cleanup_errors=True) as folder:
        count = _fill(whole, table, batches, folder)
    file.write(whole.getbuffer())
    return count


def _fill(whole: IO[bytes], table: Table, batches: Batches, folder: str) -> int:
    """Rows are laid down in the folder as they come; texts are texts, never formulas, numbers or links."""
    from xlsxwriter import Workbook

    book = Workbook(whole, {"constant_memory": True, "tmpdir": folder})
    bold = book.add_format({"bold": True})
    formats = {shown: book.add_format({"num_format": shown}) for shown in (EIGHTHS, FINER, DECIMAL, HALVES)}
    page = book.add_worksheet("halfinch")
    page.freeze_panes(1, 0)
    _write_head(page, table.column_names, [len(name) + 3 for name in table.column_names], bold)
    count = 0
    for count, row in enumerate(chain.from_iterable(batches), start=1):
        for at, (column, value) in enumerate(zip(table.columns, row, strict=True)):
            if isinstance(value, str | datetime):  # a workbook's moments lose their end
                page.write_string(count, at, plain(value))
            elif value is not None:
                page.write_number(count, at, value, formats.get(shown_as(column, value)))
    page.autofilter(0, 0, count, len(table.columns) - 1)
    _explain(book.add_worksheet("columns"), table, bold)
    book.close()
    return count


def shown_as(column: Column, value: Decimal | int) -> str:
    """The number format of a cell: inches that were printed as a fraction show it, others two decimals."""
    if column.type == HALF_INCH:
        return HALVES
    if column.type != INCHES:
        return ""
    return EIGHTHS if value * 8 % 1 == 0 else FINER if value * 64 % 1 == 0 else DECIMAL


def _write_head(page: Any, names: tuple[str, ...], widths: list[int], bold: Any) -> None:
    for at, (name, width) in enumerate(zip(names, widths, strict=True)):
        page.set_column(at, at, max(9, width))
        page.write_string(0, at, name, bold)


def _explain(page: Any, table: Table, bold: Any) -> None:
    page.freeze_panes(1, 0)
    _write_head(page, ("column", "unit", "means"), [22, 9, 100], bold)
    for row, column in enumerate(table.columns, start=1):
        for at, text in enumerate((column.name, column.unit, column.means)):
            page.write_string(row, at, text)
