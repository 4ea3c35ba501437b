"""Rows go into DuckDB as whole Arrow tables, never one by one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from halfinch.catalogue.tables import Table

if TYPE_CHECKING:
    import duckdb
    import pyarrow as pa

_DECIMAL = re.compile(r"DECIMAL\((\d+),(\d+)\)")


def arrow_table(table: Table, rows: Sequence[tuple[object, ...]]) -> pa.Table:
    """Rows in the order of the table's columns, typed as the table is."""
    import pyarrow as pa

    columns = list(zip(*rows, strict=True)) if rows else [()] * len(table.columns)
    arrays = [
        pa.array([_fit(value, column.type) for value in values], type=_arrow_type(column.type))
        for column, values in zip(table.columns, columns, strict=True)
    ]
    return pa.table(arrays, names=list(table.column_names))


@contextmanager
def registered(connection: duckdb.DuckDBPyConnection, **tables: pa.Table) -> Iterator[None]:
    """Arrow tables under names that SQL can use, for the time of a `with`; after an error the connection is closed."""
    for name, table in tables.items():
        connection.register(name, table)
    yield
    for name in tables:
        connection.unregister(name)


def insert(connection: duckdb.DuckDBPyConnection, table: Table, rows: Sequence[tuple[object, ...]]) -> None:
    if rows:
        with registered(connection, incoming=arrow_table(table, rows)):
            connection.execute(f"INSERT INTO {table.name} SELECT * FROM incoming")


def _arrow_type(sql: str) -> Any:
    import pyarrow as pa

    decimal = _DECIMAL.fullmatch(sql)
    if decimal:
        return pa.decimal128(int(decimal[1]), int(decimal[2]))
    return {
        "VARCHAR": pa.string(),
        "BIGINT": pa.int64(),
        "INTEGER": pa.int32(),
        "BOOLEAN": pa.bool_(),
        "TIMESTAMP": pa.timestamp("us"),
    }[sql]


def _fit(value: object, sql: str) -> object:
    """A text that UTF-8 can hold; a decimal with no more places than its column has."""
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode("utf-8") if not value.isascii() else value
    if isinstance(value, Decimal):
        decimal = _DECIMAL.fullmatch(sql)
        if decimal and -int(value.as_tuple().exponent) > int(decimal[2]):
            return value.quantize(Decimal(1).scaleb(-int(decimal[2])))
    return value
