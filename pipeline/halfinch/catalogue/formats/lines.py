"""CSV (RFC 4180: commas, quotes doubled, CRLF, UTF-8) and JSON Lines."""

from __future__ import annotations

import csv
import io
import json
from datetime import datetime
from decimal import Decimal
from itertools import chain
from typing import IO

from halfinch.catalogue.formats.cells import Batches, guard, number, plain
from halfinch.catalogue.tables import Table


def write_csv(file: IO[bytes], table: Table, batches: Batches) -> int:
    columns = table.column_names
    text = io.TextIOWrapper(file, encoding="utf-8", newline="", write_through=True)
    try:
        writer = csv.writer(text)
        writer.writerow(columns)
        count = 0
        for rows in batches:
            writer.writerows([cell(name, value) for name, value in zip(columns, row, strict=True)] for row in rows)
            count += len(rows)
    finally:
        text.detach()  # the file is not ours to close
    return count


def cell(name: str, value: object) -> str:
    if isinstance(value, str):
        return guard(value)
    return number(name, value) if isinstance(value, Decimal) else plain(value)


def write_jsonl(file: IO[bytes], table: Table, batches: Batches) -> int:
    columns = table.column_names
    count = 0
    for row in chain.from_iterable(batches):
        told = (f"{json.dumps(name)}: {_json(name, value)}" for name, value in zip(columns, row, strict=True))
        file.write(f"{{{', '.join(told)}}}\n".encode())
        count += 1
    return count


def _json(name: str, value: object) -> str:
    """A value as JSON; a decimal digit by digit."""
    if isinstance(value, Decimal):
        return number(name, value)
    return json.dumps(plain(value) if isinstance(value, datetime) else value, ensure_ascii=False)
