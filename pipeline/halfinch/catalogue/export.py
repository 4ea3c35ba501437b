"""Tables leave the catalogue in open formats: what is in force, written whole or not at all.

Which rows and columns is decided here; how they look in a format, in `formats/`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import IO, TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.files import opened_whole
from halfinch.catalogue.formats.cells import Batches
from halfinch.catalogue.formats.columnar import write_parquet
from halfinch.catalogue.formats.lines import write_csv, write_jsonl
from halfinch.catalogue.formats.package import write_package
from halfinch.catalogue.formats.products import write_jsonld
from halfinch.catalogue.formats.workbook import MOST_ROWS, write_xlsx
from halfinch.catalogue.frames import arrow_table
from halfinch.catalogue.views import SIZES
from halfinch.errors import UsageError

if TYPE_CHECKING:
    import duckdb

FIGURE_COLUMNS = (
    "sheet", "merchant", "style", "style_code", "size", "size_system", "length", "point", "inches", "inches_to",
    "half_inch", "tolerance", "status", "basis", "raw", "unit", "convention", "place",
)  # fmt: skip
"""Columns of the figures in CSV and in a workbook, in this order for good. Parquet and JSON Lines have all columns."""

TABLES = ("figures", "sheets", "garments", "findings", "rulings", "sizes")
WRITERS: dict[str, Callable[[IO[bytes], tables.Table, Batches], int]] = {
    "csv": write_csv,
    "parquet": write_parquet,
    "jsonl": write_jsonl,
    "xlsx": write_xlsx,
    "jsonld": write_jsonld,
}
PACKAGE = "datapackage"
"""The format that takes all tables at once."""
FORMATS = (*WRITERS, PACKAGE)

SizeKey = tuple[str, str, str]
"""garment_id, size, length of a row of `sizes`."""

BATCH = 20_000

_SQL = {
    "figures": "SELECT {columns} FROM figures WHERE {in_force} {only} ORDER BY sheet, sheet_id, rowid",
    "sheets": "SELECT {columns} FROM current_sheets WHERE TRUE {only} ORDER BY sheet, sheet_id",
    "garments": """SELECT {columns} FROM current_garments WHERE TRUE {only}
        ORDER BY merchant, style, style_code, block, garment_id""",
    "findings": "SELECT {columns} FROM findings WHERE {in_force} {only} ORDER BY reading_id, rowid",
    "rulings": 'SELECT {columns} FROM rulings WHERE TRUE {only} ORDER BY "at", rowid',
    "sizes": """SELECT {columns} FROM sizes WHERE TRUE {only}
        ORDER BY merchant, style, style_code, block, garment_id, size, length""",
    "products": """SELECT {columns} FROM (SELECT s.*, {of_garment} FROM sizes s JOIN garments g USING (garment_id))
        WHERE TRUE {only} ORDER BY merchant, style, style_code, block, garment_id, size, length""",
    "shown": """SELECT {columns} FROM (SELECT s.*, {of_garment} FROM sizes s JOIN garments g USING (garment_id))
        JOIN wanted USING (garment_id, size, length) ORDER BY wanted.place""",
}
_IN_FORCE = "reading_id IN (SELECT reading_id FROM current_readings)"
_TOLD = ("silhouette", "fabric", "state", "price", "currency", "colour", "url")
"""What JSON-LD says of a garment besides its sizes."""
_OF_GARMENT = (*_TOLD, "stretch")
_PRODUCTS = tables.Table(
    "products", "", (*SIZES.columns, *(column for column in tables.GARMENTS.columns if column.name in _TOLD))
)
_SHOWN = tables.Table(
    "shown", SIZES.means,
    (*SIZES.columns, *(column for column in tables.GARMENTS.columns if column.name in _OF_GARMENT)),
)  # fmt: skip
_TABLE = {table.name: table for table in (*tables.TABLES, SIZES, _PRODUCTS, _SHOWN)}

_ONLY = {
    "sizes": "(garment_id, size, length) IN (SELECT (garment_id, size, length) FROM wanted)",
    "products": "(garment_id, size, length) IN (SELECT (garment_id, size, length) FROM wanted)",
    "garments": "garment_id IN (SELECT garment_id FROM wanted)",
    "figures": """EXISTS (SELECT 1 FROM wanted w WHERE w.garment_id = figures.garment_id
        AND (w.size = figures.size OR size_scope <> 'one')
        AND (w.length = figures.length OR length_scope <> 'one'))""",
}
_WANTED = tables.Table(
    "wanted",
    "",
    (
        *(tables.Column(name, tables.TEXT, "") for name in ("garment_id", "size", "length")),
        tables.Column("place", "BIGINT", ""),
    ),
)


JUDGED = (
    tables.Column("verdict", tables.TEXT, "what it comes to for the body that was chosen"),
    tables.Column("hemmed_to", tables.INCHES, "inches, finished inseam for that body, NULL if not known"),
    tables.Column("opening_then", tables.INCHES, "inches, leg opening at that hem, NULL if not known"),
)
"""What can be told beside sizes that were chosen for a body."""


def columns_of(table: str, form: str) -> tuple[str, ...]:
    """The columns of a table in a format, in order. Raises UsageError for a table or a format that there is not."""
    if table not in TABLES:
        raise UsageError(f'There is no table "{table}" to export; choose one of {", ".join(TABLES)}.')
    if form not in FORMATS:
        raise UsageError(f'There is no format "{form}"; choose one of {", ".join(FORMATS)}.')
    if table == "figures" and form in ("csv", "xlsx"):
        return FIGURE_COLUMNS
    return _TABLE[table].column_names


def usual_table(form: str) -> str:
    """The table that is meant where none is named: JSON-LD tells sizes, and nothing else."""
    return "sizes" if form == "jsonld" else "figures"


def export_table(
    path: Path,
    table: str,
    form: str,
    output: Path | None,
    *,
    only: Sequence[SizeKey] | None = None,
    columns: Sequence[str] = (),
    beside: Mapping[str, Sequence[object]] = MappingProxyType({}),
    wait: float = store.DEFAULT_WAIT,
) -> int:
    """Writes a table to `output` (None: standard output); gives how many rows. A data package holds all tables.

    `only` keeps what belongs to these rows of `sizes` (tables figures, garments, sizes). `columns`: of the table sizes
    these alone, of the garment's words too, in the order of `only`; `beside`: further columns, a value for each row of
    `only` (JUDGED). A file is written under
    another name and then put in place: on any trouble what stood there stays. Raises CatalogueError, UsageError.
    """
    chosen, columns = tuple(columns), columns_of(table, form)
    if chosen and (table != "sizes" or form in ("jsonld", PACKAGE) or only is None):
        raise UsageError("Columns can be chosen of the table sizes alone, for chosen rows, in a format of plain rows.")
    more = tuple(column for column in JUDGED if column.name in beside)
    for name in chosen:
        if name not in (*_SHOWN.column_names, *beside):
            raise UsageError(f'There is no column "{name}"; choose of {", ".join(_SHOWN.column_names)}.')
    if form == "jsonld" and table != "sizes":
        raise UsageError("JSON-LD tells garments with their sizes; take the table sizes.")
    if only is not None and table not in _ONLY:
        raise UsageError(f"The table {table} cannot be narrowed to a body; choose one of figures, garments, sizes.")
    with store.reading(path, wait) as connection:
        told = zip(only or (), *(beside[column.name] for column in more), strict=True)
        rows = [(*key, place, *values) for place, (key, *values) in enumerate(told)]
        connection.register("wanted", arrow_table(replace(_WANTED, columns=(*_WANTED.columns, *more)), rows))
        choice = Choice(connection, narrowed=only is not None, beside=more)
        if form == PACKAGE:
            names = [name for name in TABLES if only is None or name in _ONLY]
            with opened_whole(output) as file:
                return write_package(file, names, lambda name: choice.rows(name, _TABLE[name].column_names))
        if form == "jsonld":
            table, columns = "products", _PRODUCTS.column_names
        if chosen:
            table, columns = "shown", chosen
        if form == "xlsx" and choice.count(table) >= MOST_ROWS:
            raise UsageError(f"A workbook holds {MOST_ROWS - 1:,} rows and no more; take csv or parquet.")
        with opened_whole(output) as file:
            return WRITERS[form](file, *choice.rows(table, columns))


@dataclass(frozen=True, slots=True)
class Choice:
    """What is in force, or of it what belongs to the rows of sizes in the relation `wanted`."""

    connection: duckdb.DuckDBPyConnection
    narrowed: bool
    beside: tuple[tables.Column, ...] = ()

    def rows(self, table: str, columns: Sequence[str]) -> tuple[tables.Table, Batches]:
        """The table cut down to these columns, and its rows in order; asked for one table after the other."""
        whole = _TABLE[table]
        of = {column.name: column for column in (*whole.columns, *self.beside)}
        shape = tables.Table(table, whole.means, tuple(of[name] for name in columns))
        self.connection.execute(self._sql(table, columns))
        return shape, self._batches()

    def count(self, table: str) -> int:
        sql = self._sql(table, _TABLE[table].column_names)
        ((rows,),) = self.connection.execute(f"SELECT count(*) FROM ({sql})").fetchall()
        return int(rows)

    def _sql(self, table: str, columns: Sequence[str]) -> str:
        return _SQL[table].format(
            columns=", ".join(f'"{name}"' for name in columns),
            in_force=_IN_FORCE,
            of_garment=", ".join(f"g.{name}" for name in _OF_GARMENT),
            only=f"AND {_ONLY[table]}" if self.narrowed and table in _ONLY else "",
        )

    def _batches(self) -> Batches:
        while batch := self.connection.fetchmany(BATCH):
            yield batch
