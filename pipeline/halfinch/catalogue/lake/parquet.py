"""Rows become Parquet objects: written to a file of this machine first, then put whole."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.catalogue.frames import arrow_schema, arrow_table
from halfinch.catalogue.lake.commits import Kept
from halfinch.catalogue.lake.objects import Objects
from halfinch.catalogue.tables import Table
from halfinch.errors import CatalogueError

if TYPE_CHECKING:
    import pyarrow as pa

ROW_GROUP = 200_000
"""Rows that a reader takes or passes over together."""


@contextlib.contextmanager
def scratch() -> Iterator[Path]:
    """A folder of this machine that is gone afterwards. Raises CatalogueError where the disk is full."""
    with tempfile.TemporaryDirectory(prefix="halfinch-lake-") as folder:
        try:
            yield Path(folder)
        except OSError as error:
            raise CatalogueError(f"{folder} cannot be written ({error.strerror or error}); make room there.") from error


def put_rows(objects: Objects, name: str, table: Table, rows: Sequence[tuple[object, ...]]) -> Kept:
    return put_batches(objects, name, table, arrow_table(table, rows).to_batches())


def put_batches(objects: Objects, name: str, table: Table, batches: Iterable[pa.RecordBatch]) -> Kept:
    """Writes record batches with the table's columns as one object."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    schema: Any = arrow_schema(table)
    with scratch() as folder:
        file = folder / "part.parquet"
        count = 0
        with pq.ParquetWriter(file, schema, compression="zstd") as writer:
            for batch in batches:
                writer.write_table(pa.Table.from_batches([batch]).cast(schema), row_group_size=ROW_GROUP)
                count += batch.num_rows
        objects.put(name, file)
        return Kept(name, count, os.path.getsize(file))
