"""What was read from a batch of files becomes objects of a lake, in whatever process reads it.

A batch is named by what is in it and what it is read with, so that a task that is run twice, or after a restart, writes
the same objects in the same places. Its marker is written last: a batch without one is read again. Nothing of this
counts before a commit lists it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime

from halfinch.catalogue.identity import Stamp, digest, reading_id
from halfinch.catalogue.lake import shape
from halfinch.catalogue.lake.commits import Kept
from halfinch.catalogue.lake.objects import Objects
from halfinch.catalogue.lake.parquet import put_rows
from halfinch.catalogue.landing import Arrival
from halfinch.catalogue.rows import Row, Rows, rows_of
from halfinch.catalogue.tables import SHEETS

MARKERS = "staged"
_NEVER = datetime(1970, 1, 1)
"""The moment of landing is the commit's."""


@dataclass(frozen=True, slots=True)
class Batch:
    """A batch that is written, as its marker tells it."""

    name: str
    objects: dict[str, Kept]
    """By table; a table without a row has none."""
    sheets: tuple[tuple[str, str, str, str], ...]
    """(sheet_id, sheet, outcome, message)"""

    def to_json(self) -> bytes:
        return json.dumps(asdict(self)).encode()


def batch_name(files: Sequence[tuple[str, str, str, str]], stamp: Stamp, again: int = 0) -> str:
    """Of each file (file_source, name, file_id, merchant) and what it is read with. `again`: the commit after which
    files that had failed are read once more."""
    parts = [part for file in files for part in file]
    return digest("batch", str(shape.VERSION), stamp.program, stamp.knowledge, stamp.habits, str(again), *parts)


def marker_of(name: str) -> str:
    return f"{MARKERS}/{name}.json"


def find_batch(objects: Objects, name: str) -> Batch | None:
    """A batch that was written before, else None."""
    data = objects.read(marker_of(name))
    if data is None:
        return None
    told = json.loads(data)
    kept = {table: Kept(**one) for table, one in told["objects"].items()}
    return Batch(told["name"], kept, tuple(tuple(sheet) for sheet in told["sheets"]))


def stage(objects: Objects, name: str, bucket: int, arrivals: Sequence[Arrival], stamp: Stamp) -> Batch:
    """Writes the rows of files that were read, all of one bucket. Raises CatalogueError."""
    rows, sheets = Rows(), list[tuple[str, str, str, str]]()
    readings: set[str] = set()
    for arrival in arrivals:
        for nth, result in enumerate(arrival.results or ()):
            inner = arrival.inner(result)
            source = f"{arrival.source}/{inner}" if inner else arrival.source
            own = rows_of(result, source, arrival.merchant, stamp, _NEVER)
            reading = reading_id(result.sheet_id, stamp)
            rows.of["landed"].append(_landed(arrival, source, inner, nth, own))
            sheets.append((result.sheet_id, result.sheet, result.outcome, result.message))
            if reading not in readings:
                readings.add(reading)
                rows.take(_numbered(own, reading, arrival.source, nth))
    kept = {}
    for table in shape.STAGED:
        if rows.of[table.name]:
            place = f"data/{table.name}/bucket={bucket:02}/{name}.parquet"
            kept[table.name] = put_rows(objects, place, table, rows.of[table.name])
    batch = Batch(name, kept, tuple(sheets))
    with_marker(objects, batch)
    return batch


def with_marker(objects: Objects, batch: Batch) -> None:
    """Says that a batch is whole."""
    from halfinch.catalogue.lake.parquet import scratch

    with scratch() as folder:
        file = folder / "marker"
        file.write_bytes(batch.to_json())
        objects.put(marker_of(batch.name), file)


def _landed(arrival: Arrival, source: str, inner: str, nth: int, own: Rows) -> Row:
    (sheet,), (reading,) = own.of["sheets"], own.of["readings"]
    of_sheet = [value for column, value in zip(SHEETS.columns, sheet, strict=True) if column.name != "imported_at"]
    name, _, program, knowledge, habits, _ = reading
    log = own.of["logs"][0][1] if own.of["logs"] else ""
    return (
        source, arrival.source, arrival.merchant, arrival.file_id, inner, nth, *of_sheet,
        name, program, knowledge, habits, log,
    )  # fmt: skip


def _numbered(own: Rows, reading: str, file_source: str, nth: int) -> Rows:
    """Rows with the columns that a lake has besides."""
    numbered, first = Rows(), shape.first_rowid(reading)
    for table in ("figures", "findings"):
        numbered.of[table] = [(*row, first + number) for number, row in enumerate(own.of[table])]
    numbered.of["stretched"] = [(*row, reading) for row in own.of["stretched"]]
    numbered.of["tellings"] = [(*row, reading, file_source, nth) for row in own.of["garments"]]
    return numbered
