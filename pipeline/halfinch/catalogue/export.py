"""Tables leave the catalogue as CSV, Parquet, JSON Lines or a workbook: what is in force, written whole or not at all.

CSV is RFC 4180 (commas, quotes doubled, CRLF) in UTF-8. A spreadsheet takes a text that begins with ``=`` or alike for
a formula, so CSV puts an apostrophe before such texts, and before texts that begin with an apostrophe, so that it can
be taken off again without loss (`guard`, `unguard`).
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from decimal import Decimal
from itertools import chain
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from halfinch.catalogue import store, tables
from halfinch.catalogue.files import opened_whole
from halfinch.catalogue.frames import arrow_table
from halfinch.catalogue.views import SIZES
from halfinch.errors import UsageError

if TYPE_CHECKING:
    pass

if TYPE_CHECKING:
    import duckdb

FIGURE_COLUMNS = (
    "sheet", "merchant", "style", "style_code", "size", "size_system", "length", "point", "inches", "inches_to",
    "half_inch", "tolerance", "status", "basis", "raw", "unit", "convention", "place",
)  # fmt: skip
"""Columns of the figures in CSV and in a workbook, in this order for good. Parquet and JSON Lines have all columns."""

TABLES = ("figures", "sheets", "garments", "findings", "rulings", "sizes")
FORMATS = ("csv", "parquet", "jsonl", "xlsx")

Batches = Iterator[list[tuple[Any, ...]]]

SizeKey = tuple[str, str, str]
"""garment_id, size, length of a row of `sizes`."""

RISKY = frozenset("=+-@\t\r\n＝＋－＠")
"""First characters that a spreadsheet may act on (OWASP, CSV injection), and their full-width forms."""

BATCH = 20_000
WORKBOOK_ROWS = 1_048_576

_SQL = {
    "figures": "SELECT {columns} FROM figures WHERE {in_force} {only} ORDER BY sheet, sheet_id, rowid",
    "sheets": "SELECT {columns} FROM current_sheets WHERE TRUE {only} ORDER BY sheet, sheet_id",
    "garments": """SELECT {columns} FROM current_garments WHERE TRUE {only}
        ORDER BY merchant, style, style_code, block, garment_id""",
    "findings": "SELECT {columns} FROM findings WHERE {in_force} {only} ORDER BY reading_id, rowid",
    "rulings": 'SELECT {columns} FROM rulings WHERE TRUE {only} ORDER BY "at", rowid',
    "sizes": """SELECT {columns} FROM sizes WHERE TRUE {only}
        ORDER BY merchant, style, style_code, block, garment_id, size, length""",
}
_IN_FORCE = "reading_id IN (SELECT reading_id FROM current_readings)"
_TABLE = {table.name: table for table in (*tables.TABLES, SIZES)}

_ONLY = {
    "sizes": "(garment_id, size, length) IN (SELECT (garment_id, size, length) FROM wanted)",
    "garments": "garment_id IN (SELECT garment_id FROM wanted)",
    "figures": """EXISTS (SELECT 1 FROM wanted w WHERE w.garment_id = figures.garment_id
        AND (w.size = figures.size OR size_scope <> 'one')
        AND (w.length = figures.length OR length_scope <> 'one'))""",
}
_WANTED = tables.Table(
    "wanted", "", tuple(tables.Column(name, tables.TEXT, "") for name in ("garment_id", "size", "length"))
)


def columns_of(table: str, form: str) -> tuple[str, ...]:
    """The columns of a table in a format, in order. Raises UsageError for a table or a format that there is not."""
    if table not in TABLES:
        raise UsageError(f'There is no table "{table}" to export; choose one of {", ".join(TABLES)}.')
    if form not in FORMATS:
        raise UsageError(f'There is no format "{form}"; choose one of {", ".join(FORMATS)}.')
    if table == "figures" and form in ("csv", "xlsx"):
        return FIGURE_COLUMNS
    return _TABLE[table].column_names


def export_table(
    path: Path,
    table: str,
    form: str,
    output: Path | None,
    *,
    only: Sequence[SizeKey] | None = None,
    wait: float = store.DEFAULT_WAIT,
) -> int:
    """Writes a table to `output` (None: standard output); gives how many rows.

    `only` keeps what belongs to these rows of `sizes` (tables figures, garments, sizes). A file is written under
    another name and then put in place: on any trouble what stood there stays. Raises CatalogueError, UsageError.
    """
    columns = columns_of(table, form)
    if only is not None and table not in _ONLY:
        raise UsageError(f"The table {table} cannot be narrowed to a body; choose one of {', '.join(_ONLY)}.")
    where = f"AND {_ONLY[table]}" if only is not None else ""
    names = ", ".join(f'"{name}"' for name in columns)
    sql = _SQL[table].format(columns=names, in_force=_IN_FORCE, only=where)
    shape = tables.Table(table, "", tuple(column for column in _TABLE[table].columns if column.name in columns))
    with store.reading(path, wait) as connection:
        connection.register("wanted", arrow_table(_WANTED, list(only or ())))
        if form == "xlsx":
            ((rows,),) = connection.execute(f"SELECT count(*) FROM ({sql})").fetchall()
            if rows >= WORKBOOK_ROWS:
                raise UsageError(f"A workbook holds {WORKBOOK_ROWS - 1:,} rows and no more; take csv or parquet.")
        connection.execute(sql)
        with opened_whole(output) as file:
            return _WRITERS[form](file, shape, _batches(connection))


def guard(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text and (text[0] in RISKY or text[0] == "'") else text


def unguard(text: str) -> str:
    """Inverse of `guard`."""
    return text[1:] if text.startswith("'") else text


def plain(value: object) -> str:
    """A value as text: decimals without needless zeros or exponents, moments in ISO 8601, NULL as ''."""
    if value is None:
        return ""
    if isinstance(value, Decimal):
        text = f"{value:f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    if isinstance(value, datetime):
        return value.isoformat(sep=" ")
    return str(value)


def _cell(name: str, value: object) -> str:
    if isinstance(value, str):
        return guard(value)
    if isinstance(value, Decimal) and name.endswith("half_inch"):
        return f"{value:.1f}"
    return plain(value)


def _batches(connection: duckdb.DuckDBPyConnection) -> Batches:
    while batch := connection.fetchmany(BATCH):
        yield batch


def _write_csv(file: IO[bytes], table: tables.Table, batches: Batches) -> int:
    columns = table.column_names
    text = io.TextIOWrapper(file, encoding="utf-8", newline="", write_through=True)
    writer = csv.writer(text)
    writer.writerow(columns)
    count = 0
    for rows in batches:
        writer.writerows([_cell(name, value) for name, value in zip(columns, row, strict=True)] for row in rows)
        count += len(rows)
    text.flush()
    text.detach()
    return count


def _write_jsonl(file: IO[bytes], table: tables.Table, batches: Batches) -> int:
    columns = table.column_names
    count = 0
    for row in chain.from_iterable(batches):
        values = [
            _Exact(f"{value:.1f}" if name.endswith("half_inch") else plain(value)) if isinstance(value, Decimal)
            else plain(value) if isinstance(value, datetime)
            else value
            for name, value in zip(columns, row, strict=True)
        ]  # fmt: skip
        file.write(_json_line(dict(zip(columns, values, strict=True))).encode("utf-8") + b"\n")
        count += 1
    return count


class _Exact(str):
    """A decimal number that JSON shall show digit by digit."""

    __slots__ = ()


def _json_line(record: dict[str, object]) -> str:
    parts = (
        f"{json.dumps(name)}: {value if isinstance(value, _Exact) else json.dumps(value, ensure_ascii=False)}"
        for name, value in record.items()
    )
    return "{" + ", ".join(parts) + "}"


def _write_parquet(file: IO[bytes], table: tables.Table, batches: Batches) -> int:
    import pyarrow.parquet as pq

    count = 0
    with pq.ParquetWriter(file, arrow_table(table, []).schema, compression="zstd") as writer:
        for rows in batches:
            writer.write_table(arrow_table(table, rows))
            count += len(rows)
    return count


def _write_xlsx(file: IO[bytes], table: tables.Table, batches: Batches) -> int:
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.utils.escape import escape

    book = Workbook(write_only=True)
    page = book.create_sheet("halfinch")
    page.freeze_panes = "A2"
    page.append(list(table.column_names))
    count = 0
    for row in chain.from_iterable(batches):
        count += 1
        cells = []
        for value in row:
            told: Any = plain(value) if isinstance(value, datetime) else value  # a workbook's moments lose their end
            shown: Any = escape(_escapes_escaped(told)) if isinstance(told, str) else told
            cell = WriteOnlyCell(page, value=shown)
            if isinstance(told, str):
                cell.data_type = "s"  # a text stays a text, whatever it begins with
            cells.append(cell)
        page.append(cells)
    book.save(file)
    return count


def _escapes_escaped(text: str) -> str:
    """A text that already looks like an escape of the workbook format (_x0041_) is kept as it is."""
    return re.sub(r"_(?=x[0-9A-Fa-f]{4}_)", "_x005F_", text)


_WRITERS: dict[str, Callable[[IO[bytes], tables.Table, Batches], int]] = {
    "csv": _write_csv,
    "jsonl": _write_jsonl,
    "parquet": _write_parquet,
    "xlsx": _write_xlsx,
}
