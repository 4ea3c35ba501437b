"""The tables of a lake: those of the catalogue, with what a reader of whole objects needs besides.

Three kinds. *Of sheets, by bucket* (figures, findings, stretched, tellings): written by whoever read the sheets, below
`bucket=` of a hash of their source. *Of sheets, small* (sheets, readings, receipts ...): one object a commit. *Of
garments* (garments, size_rows, crossings): made from the others when a commit is settled; a garment that is made anew
is named in `retouched`, and its rows of earlier generations do not count any more.
"""

from __future__ import annotations

import hashlib

from halfinch.catalogue import tables
from halfinch.catalogue.size_rows import KINDS, SIZE_ROWS
from halfinch.catalogue.tables import TEXT, Column, Table

VERSION = 1
"""Of a lake's own files; raised when an older program could not read them any more."""
BUCKETS = 16

ROWID = Column("rowid", "BIGINT", "orders the rows of a reading, or of all sizes; as a table of DuckDB has it")
GENERATION = Column("generation", "INTEGER", "the commit that made this row")


def _more(table: Table, *columns: Column, name: str = "") -> Table:
    return Table(name or table.name, table.means, (*table.columns, *columns))


LANDED = Table(
    "landed",
    "One row a sheet that was read and the place it was found at: what a batch hands to its commit",
    (
        Column("source", TEXT, "sources.source"),
        Column("file_source", TEXT, "source of the file that holds the sheet"),
        Column("folder_merchant", TEXT, "sources.merchant"),
        Column("file_id", TEXT, "files.file_id"),
        Column("inner", TEXT, "files.inner"),
        Column("nth", "INTEGER", "number of the sheet in its file"),
        *(column for column in tables.SHEETS.columns if column.name != "imported_at"),
        *(column for column in tables.READINGS.columns if column.name not in ("sheet_id", "read_at")),
        Column("log", TEXT, "logs.log"),
    ),
)
TELLINGS = _more(
    tables.GARMENTS,
    Column("reading_id", TEXT, "readings.reading_id"),
    Column("file_source", TEXT, "source of the file that holds the sheet"),
    Column("nth", "INTEGER", "number of the sheet in its file"),
    name="tellings",
)
FIGURES = _more(tables.FIGURES, ROWID)
FINDINGS = _more(tables.FINDINGS, ROWID)
STRETCHED = _more(tables.STRETCHED, Column("reading_id", TEXT, "readings.reading_id"))
RETOUCHED = Table("retouched", "Garments made anew", (Column("garment_id", TEXT, "garments.garment_id"), GENERATION))
CROSSINGS = _more(tables.FINDINGS, ROWID, GENERATION, name="crossings")
NAMESAKES = _more(tables.FINDINGS, ROWID, name="namesakes")

BY_BUCKET = (FIGURES, FINDINGS, STRETCHED, TELLINGS)
STAGED = (LANDED, *BY_BUCKET)
SMALL = (tables.SOURCES, tables.FILES, tables.SHEETS, tables.READINGS, tables.RECEIPTS, tables.LOGS)
OF_GARMENTS = (_more(tables.GARMENTS, GENERATION), _more(SIZE_ROWS, ROWID, GENERATION), CROSSINGS)
WHOLE = (KINDS, NAMESAKES)
"""Written anew by every commit."""
TABLES = {table.name: table for table in (*BY_BUCKET, *SMALL, *OF_GARMENTS, *WHOLE, RETOUCHED)}


def bucket_of(source: str, buckets: int = BUCKETS) -> int:
    """Which bucket the sheets of a file belong to, by its source."""
    return int.from_bytes(hashlib.sha256(source.encode("utf-8", "surrogatepass")).digest()[:4], "big") % buckets


PLACES = 23
"""Bits of a rowid that number the rows of one reading; the others are of the reading's id."""


def first_rowid(reading_id: str) -> int:
    """The rows of a reading follow one another in every list, wherever they were read."""
    return int(reading_id[:10], 16) << PLACES
