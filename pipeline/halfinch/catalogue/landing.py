"""Sheets land in the catalogue: whole or not at all, twice is once; a new one replaces the earlier at its source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.crossings import refresh_crossings
from halfinch.catalogue.frames import arrow_table, insert, registered
from halfinch.catalogue.identity import Stamp, reading_id
from halfinch.catalogue.rows import Row, Rows, rows_of
from halfinch.catalogue.rulings import apply_rulings
from halfinch.catalogue.size_rows import refresh_sizes
from halfinch.figure import SheetResult

if TYPE_CHECKING:
    import duckdb


@dataclass(frozen=True, slots=True)
class Arrival:
    """One file that was found at a source, with what was read in it."""

    source: str
    """Path as seen from the catalogue's folder, or the name given instead."""
    name: str
    """The file's name as imported; a sheet inside it is called NAME/inner."""
    file_id: str
    """SHA-256 of the file's bytes, hex."""
    merchant: str = ""
    """Merchant by folder or by --merchant; used where a sheet names none."""
    results: tuple[SheetResult, ...] | None = None
    """One per sheet in the file; None where the catalogue knows these bytes already."""

    def inner(self, result: SheetResult) -> str:
        """Path of a sheet inside this file, '' for the file itself."""
        if result.sheet == self.name:
            return ""
        return result.sheet.removeprefix(f"{self.name}/")


@dataclass(frozen=True, slots=True)
class _Receipt:
    source: str
    sheet_id: str
    file_source: str
    readable: bool


_RECEIPT = tables.Table(
    "landing_receipts",
    "what lies where now",
    tuple(
        tables.Column(*column)
        for column in (
            ("source", "VARCHAR", ""),
            ("sheet_id", "VARCHAR", ""),
            ("file_source", "VARCHAR", ""),
            ("readable", "BOOLEAN", ""),
        )
    ),
)


_KNOWN = tables.Table(
    "landing_known",
    "files that are known",
    (tables.Column("at", "BIGINT", ""), tables.Column("file_id", "VARCHAR", "")),
)


def land(path: Path, arrivals: Sequence[Arrival], stamp: Stamp, *, wait: float = store.DEFAULT_WAIT) -> None:
    """Writes files and what was read in them, in one transaction; makes the catalogue where there is none.

    A sheet that could not be read takes nobody's place: what an earlier sheet at its source said stays in force.
    Raises CatalogueError.
    """
    with store.writing(path, "import", wait, create=True) as connection:
        land_in(connection, arrivals, stamp, store.now())


def land_in(connection: duckdb.DuckDBPyConnection, arrivals: Sequence[Arrival], stamp: Stamp, moment: datetime) -> None:
    """As `land`, in a transaction that is open already."""
    rows, receipts = Rows(), list[_Receipt]()
    readings: set[str] = set()
    readable = _readable_sheets(connection)
    for arrival, receipt in _known_receipts(connection, [one for one in arrivals if one.results is None]):
        receipts.append(receipt)
        rows.add("sources", receipt.source, arrival.merchant)
    for arrival in arrivals:
        for result in arrival.results or ():
            inner = arrival.inner(result)
            source = f"{arrival.source}/{inner}" if inner else arrival.source
            receipts.append(_Receipt(source, result.sheet_id, arrival.source, result.outcome != "failed"))
            rows.add("sources", source, arrival.merchant)
            rows.add("files", arrival.file_id, result.sheet_id, inner)
            reading = reading_id(result.sheet_id, stamp)
            if reading in readings or (result.outcome == "failed" and result.sheet_id in readable):
                continue
            readings.add(reading)
            rows.take(rows_of(result, source, arrival.merchant, stamp, moment))
    touched = _exchange_receipts(connection, receipts, moment)
    touched |= _replace_readings(connection, rows)
    _insert_sheets(connection, rows)
    for table in (tables.READINGS, tables.FIGURES, tables.FINDINGS, tables.STRETCHED, tables.LOGS):
        insert(connection, table, rows.of[table.name])
    _insert_once(connection, tables.SOURCES, rows.of["sources"], "source")
    _insert_once(connection, tables.FILES, rows.of["files"], "file_id, sheet_id, inner")
    touched |= _merge_garments(connection, rows)
    apply_rulings(connection, {str(row[1]) for row in rows.of["readings"]} | {one.sheet_id for one in receipts})
    refresh_sizes(connection, touched)
    refresh_crossings(connection, touched, {receipt.source for receipt in receipts})


def _readable_sheets(connection: duckdb.DuckDBPyConnection) -> set[str]:
    return {row[0] for row in connection.execute("SELECT sheet_id FROM sheets WHERE outcome <> 'failed'").fetchall()}


def _known_receipts(connection: duckdb.DuckDBPyConnection, known: Sequence[Arrival]) -> list[tuple[Arrival, _Receipt]]:
    """What lies at the sources of files whose bytes the catalogue has."""
    if not known:
        return []
    asked = arrow_table(_KNOWN, [(at, arrival.file_id) for at, arrival in enumerate(known)])
    with registered(connection, landing_known=asked):
        told = connection.execute("""
            SELECT k.at, f."inner", f.sheet_id, s.outcome <> 'failed'
            FROM landing_known k JOIN files f USING (file_id) JOIN sheets s USING (sheet_id)
            ORDER BY ALL""").fetchall()
    found = []
    for at, inner, sheet_id, readable in told:
        arrival = known[at]
        source = f"{arrival.source}/{inner}" if inner else arrival.source
        found.append((arrival, _Receipt(source, sheet_id, arrival.source, readable)))
    return found


def _exchange_receipts(
    connection: duckdb.DuckDBPyConnection, receipts: Sequence[_Receipt], moment: datetime
) -> set[str]:
    """Closes the receipts of sheets that were replaced, opens those of new ones; gives the garments this touches."""
    incoming = arrow_table(_RECEIPT, [(r.source, r.sheet_id, r.file_source, r.readable) for r in receipts])
    with registered(connection, landing_receipts=incoming):
        closing = """
            seen_to IS NULL AND (source, sheet_id) NOT IN (SELECT (source, sheet_id) FROM landing_receipts)
            AND (source IN (SELECT source FROM landing_receipts WHERE readable)
                 OR (source NOT IN (SELECT source FROM landing_receipts)
                     AND EXISTS (SELECT 1 FROM landing_receipts l
                                 WHERE l.readable AND (receipts.source = l.file_source
                                     OR starts_with(receipts.source, l.file_source || '/')))))"""
        gone = (
            f"SELECT DISTINCT garment_id FROM figures WHERE sheet_id IN (SELECT sheet_id FROM receipts WHERE {closing})"
        )
        touched = {row[0] for row in connection.execute(gone).fetchall()}
        connection.execute(f"UPDATE receipts SET seen_to = ? WHERE {closing}", [moment])
        opening = """
            SELECT DISTINCT source, sheet_id FROM landing_receipts
            WHERE (source, sheet_id) NOT IN (SELECT (source, sheet_id) FROM receipts WHERE seen_to IS NULL)"""
        back = f"SELECT DISTINCT garment_id FROM figures WHERE sheet_id IN (SELECT sheet_id FROM ({opening}))"
        touched |= {row[0] for row in connection.execute(back).fetchall()}
        connection.execute(f"INSERT INTO receipts SELECT source, sheet_id, ?, NULL FROM ({opening})", [moment])
    return touched


def _replace_readings(connection: duckdb.DuckDBPyConnection, rows: Rows) -> set[str]:
    """Removes readings that are about to be written again; gives the garments this touches."""
    with registered(connection, landing_readings=arrow_table(tables.READINGS, rows.of["readings"])):
        again = "reading_id IN (SELECT reading_id FROM landing_readings)"
        sheets = "sheet_id IN (SELECT sheet_id FROM landing_readings)"
        touched = connection.execute(f"SELECT DISTINCT garment_id FROM figures WHERE {sheets}").fetchall()
        of_figures = f"figure_id IN (SELECT figure_id FROM figures WHERE {again})"
        connection.execute(f"DELETE FROM judged WHERE {of_figures}")
        connection.execute(f"DELETE FROM stretched WHERE {of_figures}")
        for name in ("figures", "findings", "logs", "readings"):
            connection.execute(f"DELETE FROM {name} WHERE {again}")
    return {row[0] for row in touched}


def _insert_sheets(connection: duckdb.DuckDBPyConnection, rows: Rows) -> None:
    """A sheet that is read anew keeps the moment of its first import."""
    with registered(connection, landing_sheets=arrow_table(tables.SHEETS, rows.of["sheets"])):
        connection.execute("""
            CREATE OR REPLACE TEMP TABLE fresh_sheets AS
            SELECT n.* REPLACE (coalesce(o.imported_at, n.imported_at) AS imported_at)
            FROM landing_sheets n LEFT JOIN sheets o USING (sheet_id)""")
    connection.execute("DELETE FROM sheets WHERE sheet_id IN (SELECT sheet_id FROM fresh_sheets)")
    connection.execute("INSERT INTO sheets SELECT * FROM fresh_sheets")


def _insert_once(connection: duckdb.DuckDBPyConnection, table: tables.Table, rows: Sequence[Row], key: str) -> None:
    unique = list(dict.fromkeys(rows))
    with registered(connection, incoming=arrow_table(table, unique)):
        key = ", ".join(f'"{part}"' for part in key.split(", "))
        connection.execute(f"""
            INSERT INTO {table.name} SELECT * FROM incoming
            WHERE ({key}) NOT IN (SELECT ({key}) FROM {table.name})
            QUALIFY row_number() OVER (PARTITION BY {key}) = 1""")


def _merge_garments(connection: duckdb.DuckDBPyConnection, rows: Rows) -> set[str]:
    """The new row stands; where another sheet in force tells of the garment too, gaps keep what was known."""
    merged: dict[object, Row] = {}
    for row in rows.of["garments"]:
        merged[row[0]] = fill_gaps(row, merged[row[0]]) if row[0] in merged else row
    if not merged:
        return set()
    kept = ", ".join(_kept(column) for column in tables.GARMENTS.columns[1:])
    with registered(
        connection,
        landing_garments=arrow_table(tables.GARMENTS, list(merged.values())),
        landing_readings=arrow_table(tables.READINGS, rows.of["readings"]),
    ):
        connection.execute(f"""
            CREATE OR REPLACE TEMP TABLE fresh_garments AS
            SELECT n.garment_id, {kept}
            FROM landing_garments n LEFT JOIN garments o USING (garment_id)
                LEFT JOIN (SELECT DISTINCT garment_id FROM current_figures
                           WHERE sheet_id NOT IN (SELECT sheet_id FROM landing_readings)) e USING (garment_id)""")
    connection.execute("DELETE FROM garments WHERE garment_id IN (SELECT garment_id FROM fresh_garments)")
    connection.execute("INSERT INTO garments SELECT * FROM fresh_garments")
    return {str(key) for key in merged}


def _kept(column: tables.Column) -> str:
    name = column.name
    new = f"nullif(n.{name}, '')" if column.type == tables.TEXT else f"n.{name}"
    return f"CASE WHEN e.garment_id IS NULL THEN n.{name} ELSE coalesce({new}, o.{name}, n.{name}) END AS {name}"


def fill_gaps(row: Row, earlier: Row) -> Row:
    """The newer row, its empty values taken from the earlier one."""
    return tuple(old if new is None or new == "" else new for new, old in zip(row, earlier, strict=True))
