"""Parquet: every column with its unit and meaning in the metadata, of its field and of the file."""

from __future__ import annotations

import json
from typing import IO, Any

from halfinch.catalogue.formats.cells import Batches
from halfinch.catalogue.frames import arrow_table
from halfinch.catalogue.tables import SCHEMA_VERSION, Table


def write_parquet(file: IO[bytes], table: Table, batches: Batches) -> int:
    import pyarrow.parquet as pq

    count = 0
    with pq.ParquetWriter(file, schema_of(table), compression="zstd") as writer:
        for rows in batches:
            writer.write_table(arrow_table(table, rows))
            count += len(rows)
    return count


def schema_of(table: Table) -> Any:
    """The Arrow schema. `unit` and `description` stand at each field (for Arrow) and, since other readers see nothing
    of fields, once more as JSON under `halfinch` in the file's own metadata."""
    import pyarrow as pa

    told = {column.name: {"unit": column.unit, "description": column.means} for column in table.columns}
    fields = [field.with_metadata(told[field.name]) for field in arrow_table(table, []).schema]
    about = {"table": table.name, "schema_version": SCHEMA_VERSION, "columns": told}
    return pa.schema(fields, metadata={"halfinch": json.dumps(about, ensure_ascii=False)})
