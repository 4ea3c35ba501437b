"""A database of this machine's memory and disk in which the next commit is worked out: the catalogue's own tables and
views, filled from the lake as far as a step needs them."""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.lake import shape
from halfinch.catalogue.lake.commits import Commit, Kept
from halfinch.catalogue.lake.objects import Objects, S3Objects
from halfinch.catalogue.lake.parquet import put_batches, scratch
from halfinch.catalogue.size_rows import create_sizes
from halfinch.catalogue.tables import Table, quoted
from halfinch.catalogue.views import create_views

if TYPE_CHECKING:
    import duckdb

BATCH = 100_000
MEMORY = "2GB"
"""What DuckDB may hold; what is over it goes to the disk for a while."""


def connect(objects: Objects, config: store.Config = store.CONFIG) -> duckdb.DuckDBPyConnection:
    """A database in memory that can read this lake's objects; more than `config` says is still to be forbidden."""
    import duckdb

    late = ("enable_external_access", "lock_configuration")
    connection = duckdb.connect(":memory:", config={name: value for name, value in config.items() if name not in late})
    if isinstance(objects, S3Objects):
        connection.register_filesystem(objects.filesystem)
    return connection


@contextlib.contextmanager
def workspace(objects: Objects) -> Iterator[duckdb.DuckDBPyConnection]:
    with scratch() as folder, contextlib.closing(connect(objects)) as connection:
        connection.execute(f"SET temp_directory = {quoted(str(folder))}")
        connection.execute(f"SET memory_limit = '{MEMORY}'")
        connection.execute("SET preserve_insertion_order = true")
        for table in (*tables.TABLES, *tables.HOUSEKEEPING):
            declared = ", ".join(column.declaration for column in table.columns)
            connection.execute(f"CREATE TABLE {table.name} ({declared})")
        create_views(connection)
        create_sizes(connection)
        yield connection


def relation(objects: Objects, kept: Sequence[Kept], table: Table, more: str = "") -> str:
    """SQL of a table's rows in these objects; `more`: columns besides, such as `filename`."""
    columns = ", ".join(f'"{column.name}"' for column in table.columns) + (f", {more}" if more else "")
    if not kept:
        nothing = ", ".join(f'NULL::{column.type} AS "{column.name}"' for column in table.columns)
        return f"(SELECT {nothing}{', NULL::VARCHAR AS ' + more if more else ''} WHERE FALSE)"
    listed = ", ".join(quoted(objects.location(one.name)) for one in kept)
    named = ", filename = true" if more == "filename" else ""
    return f"(SELECT {columns} FROM read_parquet([{listed}], hive_partitioning = false{named}))"


def of_garments(objects: Objects, commit: Commit, table: Table, *, bare: bool = False) -> str:
    """SQL of a table's rows that count: those of a garment's latest generation. `bare`: without the generation."""
    shown = ", ".join(f'r."{one.name}"' for one in table.columns if not (bare and one is shape.GENERATION))
    rows = relation(objects, commit.of(table.name), table)
    retouched = commit.of(shape.RETOUCHED.name)
    if not retouched:
        return f"(SELECT {shown} FROM {rows} r)"
    return f"""(SELECT {shown} FROM {rows} r LEFT JOIN (
        SELECT garment_id, max(generation) AS latest FROM {relation(objects, retouched, shape.RETOUCHED)}
        GROUP BY garment_id) t USING (garment_id) WHERE t.latest IS NULL OR r.generation >= t.latest)"""


def put_query(
    connection: duckdb.DuckDBPyConnection, objects: Objects, name: str, table: Table, sql: str
) -> tuple[Kept, ...]:
    """Writes what a query gives as one object with the table's columns; none where it gives nothing."""
    columns = ", ".join(f'CAST("{column.name}" AS {column.type}) AS "{column.name}"' for column in table.columns)
    reader = connection.sql(f"SELECT {columns} FROM ({sql})").to_arrow_reader(BATCH)
    first = next((batch for batch in reader if batch.num_rows), None)
    if first is None:
        return ()

    def batches() -> Iterator[object]:
        yield first
        yield from reader

    return (put_batches(objects, name, table, batches()),)  # type: ignore[arg-type]


def keep_names(connection: duckdb.DuckDBPyConnection, name: str, values: Collection[str]) -> None:
    """A temporary table with one column `name`."""
    import pyarrow as pa

    connection.register("given", pa.table({"name": pa.array(sorted(values), pa.string())}))
    connection.execute(f"CREATE OR REPLACE TEMP TABLE {name} AS SELECT name FROM given")
    connection.unregister("given")
