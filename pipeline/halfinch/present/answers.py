"""Answers of the catalogue to a query: as a table in the terminal, CSV, JSON or Parquet.

In: Arrow batches (`catalogue.asking`). Every writer gives how many rows it wrote. CSV guards texts as exports do; JSON
is one array with an object a line; decimals are shown digit by digit, moments in ISO 8601, bytes in hex.
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import IO, TYPE_CHECKING, Any

from halfinch.catalogue.formats.cells import guard, plain

if TYPE_CHECKING:
    import pyarrow as pa

Batches = Iterable["pa.RecordBatch"]

WIDEST = 40
"""Characters of a cell that are shown in the terminal."""


def table_lines(schema: pa.Schema, batches: Batches, rows: int, widest: int = WIDEST) -> Iterator[str]:
    """Columns under their names, numbers to the right, no more than `rows` rows, and a line that says so."""
    import pyarrow as pa

    shown: list[list[str]] = []
    more = False
    for values in _rows(batches):
        if len(shown) == rows:
            more = True
            break
        shown.append([_fit(_text(value), widest) for value in values])
    names = [_fit(name, widest) for name in schema.names]
    right = [_is_number(pa, kind) for kind in schema.types]
    widths = [max(len(row[at]) for row in [names, *shown]) for at in range(len(names))]
    for row in (names, *shown):
        cells = (f"{cell:>{w}}" if r else f"{cell:<{w}}" for cell, w, r in zip(row, widths, right, strict=True))
        yield "  ".join(cells).rstrip()
    if more:
        yield f"... the first {rows:,} rows; --rows shows more, --format csv gives all."
    elif not shown:
        yield "(no rows)"


def write_csv(file: IO[bytes], schema: pa.Schema, batches: Batches) -> int:
    """RFC 4180 in UTF-8; NULL is an empty cell; lists and records as JSON."""
    text = io.TextIOWrapper(file, encoding="utf-8", newline="", write_through=True)
    writer = csv.writer(text)
    writer.writerow([guard(name) for name in schema.names])
    count = 0
    for row in _rows(batches):
        writer.writerow([_cell(value) for value in row])
        count += 1
    text.flush()
    text.detach()
    return count


def write_json(file: IO[bytes], schema: pa.Schema, batches: Batches) -> int:
    """One array, an object a line."""
    count = 0
    for row in _rows(batches):
        told = ", ".join(f"{json.dumps(n)}: {to_json(v)}" for n, v in zip(schema.names, row, strict=True))
        file.write(f"{',' if count else '['}\n{{{told}}}".encode())
        count += 1
    file.write(b"\n]\n" if count else b"[]\n")
    return count


def write_parquet(file: IO[bytes], schema: pa.Schema, batches: Batches) -> int:
    """Types as DuckDB has them."""
    import pyarrow.parquet as pq

    count = 0
    with pq.ParquetWriter(file, schema, compression="zstd") as writer:
        for batch in batches:
            writer.write_batch(batch)
            count += batch.num_rows
    return count


WRITERS: Mapping[str, Callable[[IO[bytes], pa.Schema, Batches], int]] = {
    "csv": write_csv,
    "json": write_json,
    "parquet": write_parquet,
}


def to_json(value: object) -> str:
    """A value as JSON; a decimal as a number digit by digit, what is not finite as null."""
    if isinstance(value, Decimal):
        return plain(value) if value.is_finite() else "null"
    if isinstance(value, float):
        return json.dumps(value) if math.isfinite(value) else "null"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(str(name))}: {to_json(inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(to_json(inner) for inner in value) + "]"
    if value is None or isinstance(value, bool | int):
        return json.dumps(value)
    return json.dumps(_text(value), ensure_ascii=False)


def _cell(value: object) -> str:
    """A value in CSV: as in a table, a float to its last digit."""
    if isinstance(value, str):
        return guard(value)
    return repr(value) if isinstance(value, float) else _text(value)


def _rows(batches: Batches) -> Iterator[tuple[Any, ...]]:
    for batch in batches:
        if batch.num_columns:
            yield from zip(*(column.to_pylist() for column in batch.columns), strict=True)


def _text(value: object) -> str:
    """A value as a person reads it; NULL is ''."""
    if isinstance(value, bytes):
        return value.hex()
    if isinstance(value, dict | list | tuple):
        return to_json(value)
    if isinstance(value, date | time) and not isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, timedelta):
        return str(value)
    return plain(value)


def _fit(text: str, widest: int) -> str:
    """One line of a cell."""
    line = " ".join(text.split())
    return line if len(line) <= widest else f"{line[: widest - 1]}…"


def _is_number(pa: Any, kind: Any) -> bool:
    return bool(pa.types.is_integer(kind) or pa.types.is_floating(kind) or pa.types.is_decimal(kind))
