"""Rows go into DuckDB as whole Arrow tables, never one by one, and come out as frames with nullable types."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from halfinch.catalogue.tables import Table

if TYPE_CHECKING:
    import duckdb
    import pandas as pd
    import pyarrow as pa

_DECIMAL = re.compile(r"DECIMAL\((\d+),(\d+)\)")


def arrow_schema(table: Table) -> pa.Schema:
    """The Arrow types of a table's columns."""
    import pyarrow as pa

    return pa.schema([(column.name, _arrow_type(column.type)) for column in table.columns])


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


def fetch_table(connection: duckdb.DuckDBPyConnection, sql: str) -> pa.Table:
    """The answer to a query as an Arrow table."""
    table: pa.Table = connection.sql(sql).to_arrow_table()
    return table


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


def nullable_frame(table: pa.Table) -> pd.DataFrame:
    """A pandas frame in which what is not known is NA: string, Int64, Float64, boolean; decimals are Float64 (or Int64
    where they have no places and fit), moments datetime64, days and nested values keep their Arrow type."""
    import pandas as pd
    import pyarrow as pa

    kinds: dict[Any, Any] = {
        pa.string(): pd.StringDtype("pyarrow"), pa.bool_(): pd.BooleanDtype(), pa.float64(): pd.Float64Dtype(),
        pa.float32(): pd.Float32Dtype(), pa.int64(): pd.Int64Dtype(), pa.int32(): pd.Int32Dtype(),
        pa.int16(): pd.Int16Dtype(), pa.int8(): pd.Int8Dtype(), pa.uint64(): pd.UInt64Dtype(),
        pa.uint32(): pd.UInt32Dtype(), pa.uint16(): pd.UInt16Dtype(), pa.uint8(): pd.UInt8Dtype(),
    }  # fmt: skip

    def kind_of(kind: Any) -> Any:
        if kind in kinds:
            return kinds[kind]
        nested = pa.types.is_nested(kind) or pa.types.is_date(kind) or pa.types.is_time(kind)
        return pd.ArrowDtype(kind) if nested else None

    columns = [_without_decimals(column) for column in table.columns]
    frame: pd.DataFrame = pa.table(columns, names=table.column_names).to_pandas(types_mapper=kind_of)
    return frame


def _without_decimals(column: pa.ChunkedArray) -> pa.ChunkedArray:
    """A sum of whole numbers is a decimal to DuckDB, of 38 digits."""
    import pyarrow as pa

    if not pa.types.is_decimal(column.type):
        return column
    if column.type.scale == 0:
        try:
            return column.cast(pa.int64())
        except pa.ArrowInvalid:  # it does not fit
            pass
    return column.cast(pa.float64())


def with_types(frame: pd.DataFrame, types: Mapping[str, str], *, other: str) -> pd.DataFrame:
    """A frame of plain Python values with these types by column, all others `other`; numbers may be told as texts."""
    import pandas as pd

    typed = {
        str(name): pd.to_numeric(column).astype(types[str(name)]) if str(name) in types else column.astype(other)  # type: ignore[call-overload]
        for name, column in frame.items()
    }
    return pd.DataFrame(typed, columns=list(frame.columns))
