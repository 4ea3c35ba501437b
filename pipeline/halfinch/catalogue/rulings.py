"""What persons decided about held or wrong figures: kept for good, taken back by a later row, applied to every reading.

A ruling is kept by sheet, place and printed text (and point, size, length, since one cell may serve several), so it
finds its figure again in every new reading of the sheet. One that finds none is listed as orphaned.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.crossings import refresh_crossings
from halfinch.catalogue.exact import inches_to_nm
from halfinch.catalogue.frames import arrow_table, insert, registered
from halfinch.catalogue.identity import digest
from halfinch.errors import CatalogueError, UsageError
from halfinch.figure import to_inches
from halfinch.normalise.half_inch import half_inch

if TYPE_CHECKING:
    import duckdb

DECISIONS = ("right", "should be", "not ours", "undo")
RULED = "ruled"
"""Rule name of the finding that a ruling leaves on its figure."""


@dataclass(frozen=True, slots=True)
class Ruling:
    """One row of the table; `at` is UTC, `inches` the full girth or length."""

    sheet_id: str
    place: str
    printed: str
    point: str
    size: str
    length: str
    decision: str
    inches: Decimal | None
    why: str
    by: str
    at: datetime
    undoes: str = ""

    @property
    def ruling_id(self) -> str:
        return digest(
            "ruling", *self.figure_key, self.decision, "" if self.inches is None else str(self.inches.normalize()),
            self.why, self.by, self.at.isoformat(), self.undoes,
        )  # fmt: skip

    @property
    def figure_key(self) -> tuple[str, str, str, str, str, str]:
        return (self.sheet_id, self.place, self.printed, self.point, self.size, self.length)

    def row(self) -> tuple[object, ...]:
        return (self.ruling_id, *self.figure_key, self.decision, self.inches, self.why, self.by, self.at, self.undoes)


def rule(
    path: Path,
    figure_id: str,
    decision: str,
    *,
    by: str,
    why: str = "",
    inches: Decimal | None = None,
    wait: float = store.DEFAULT_WAIT,
) -> Ruling:
    """Decides about one figure: `right` as printed, `should be` so many inches, or `not ours`. Raises UsageError."""
    if decision not in DECISIONS[:3]:
        raise UsageError(f'"{decision}" is no ruling; say one of: {", ".join(DECISIONS[:3])}.')
    if (inches is not None) != (decision == "should be"):
        raise UsageError("Inches go with the ruling `should be`, and only with it.")
    if inches is not None and not (inches.is_finite() and 0 < inches < 1000):
        raise UsageError("A figure should be above 0 and below 1000 inches.")
    if not by.strip():
        raise UsageError("A ruling says who decided; give a name.")
    with store.writing(path, "ruling", wait) as connection:
        sql = "SELECT sheet_id, place, raw, point, size, length FROM figures WHERE figure_id = ?"
        keys = connection.execute(sql, [figure_id]).fetchall()
        if not keys:
            raise UsageError(f"There is no figure {figure_id} in {path}; its figures are named by figure_id.")
        ruling = _about(keys[0], decision, inches, why, by)
        add_rulings(connection, [ruling])
    return ruling


def undo(path: Path, ruling_id: str, *, by: str, why: str = "", wait: float = store.DEFAULT_WAIT) -> Ruling:
    """Takes a ruling back (or an undoing); what was decided stays on record. Raises UsageError."""
    with store.writing(path, "ruling", wait) as connection:
        sql = "SELECT sheet_id, place, printed, point, size, length FROM rulings WHERE ruling_id = ?"
        keys = connection.execute(sql, [ruling_id]).fetchall()
        if not keys:
            raise UsageError(f"There is no ruling {ruling_id} in {path}.")
        ruling = _about(keys[0], "undo", None, why, by, ruling_id)
        add_rulings(connection, [ruling])
    return ruling


def _about(key: tuple[str, ...], decision: str, inches: Decimal | None, why: str, by: str, undoes: str = "") -> Ruling:
    sheet_id, place, printed, point, size, length = key
    at = store.now()
    return Ruling(sheet_id, place, printed, point, size, length, decision, inches, why, by, at, undoes)


def add_rulings(connection: duckdb.DuckDBPyConnection, rulings: Iterable[Ruling]) -> int:
    """Appends rulings that are not there yet and applies them; gives how many were new."""
    present = {row[0] for row in connection.execute("SELECT ruling_id FROM rulings").fetchall()}
    new = {ruling.ruling_id: ruling for ruling in rulings if ruling.ruling_id not in present}
    insert(connection, tables.RULINGS, [ruling.row() for ruling in new.values()])
    apply_rulings(connection, {ruling.sheet_id for ruling in new.values()})
    touched = _garments_of(connection, {ruling.sheet_id for ruling in new.values()})
    refresh_crossings(connection, touched)
    return len(new)


def apply_rulings(connection: duckdb.DuckDBPyConnection, sheet_ids: Collection[str]) -> None:
    """Figures of these sheets stand as judged, then as ruled: every reading, every ruling in force, the latest last."""
    rulings = [r for r in in_force(read_rulings(connection)) if r.sheet_id in sheet_ids]
    names = tables.Table("names", "", (tables.Column("name", tables.TEXT, ""),))
    with registered(connection, touched=arrow_table(names, [(name,) for name in sorted(sheet_ids)])):
        of_sheets = "figure_id IN (SELECT figure_id FROM figures WHERE sheet_id IN (SELECT name FROM touched))"
        connection.execute("""
            UPDATE figures SET length_nm = j.length_nm, length_to_nm = j.length_to_nm, half_inch = j.half_inch,
                status = j.status, basis = j.basis, inches = j.inches, inches_to = j.inches_to
            FROM judged j WHERE j.figure_id = figures.figure_id
                AND figures.sheet_id IN (SELECT name FROM touched)""")
        connection.execute(f"DELETE FROM judged WHERE {of_sheets}")
        connection.execute(f"DELETE FROM findings WHERE rule = '{RULED}' AND {of_sheets}")
    if rulings:
        _write(connection, rulings)


_RULED = tables.Table(
    "landing_ruled",
    "",
    (
        *(tables.Column(name, tables.TEXT, "") for name in ("sheet_id", "place", "raw", "point", "size", "length")),
        tables.Column("nm", tables.LENGTH, ""),
        tables.Column("inches", tables.INCHES, ""),
        tables.Column("half", tables.HALF_INCH, ""),
        *(tables.Column(name, tables.TEXT, "") for name in ("status", "message")),
    ),
)


def _write(connection: duckdb.DuckDBPyConnection, rulings: Sequence[Ruling]) -> None:
    latest = {ruling.figure_key: ruling for ruling in rulings}
    rows = []
    for ruling in latest.values():
        nm = None if ruling.inches is None else inches_to_nm(ruling.inches)
        status = "set_aside" if ruling.decision == "not ours" else "accepted"
        what = f"should be {ruling.inches.normalize():f} in" if ruling.inches is not None else ruling.decision
        why = f": {ruling.why}" if ruling.why else ""
        message = f"Ruled {what} by {ruling.by} on {ruling.at:%Y-%m-%d}{why}."
        shown = (None, None) if nm is None else (to_inches(nm), half_inch(nm))
        rows.append((*ruling.figure_key, nm, *shown, status, message))
    on = "f.sheet_id = r.sheet_id AND f.place = r.place AND f.raw = r.raw AND f.point = r.point AND f.size = r.size"
    with registered(connection, landing_ruled=arrow_table(_RULED, rows)):
        connection.execute(f"""
            CREATE OR REPLACE TEMP TABLE ruled_figures AS
            SELECT f.figure_id, f.reading_id, f.garment_id, r.nm, r.inches, r.half, r.status, r.message
            FROM figures f JOIN landing_ruled r ON {on} AND f.length = r.length""")
    connection.execute("""
        INSERT INTO judged SELECT figure_id, length_nm, length_to_nm, inches, inches_to, half_inch, status, basis
        FROM figures WHERE figure_id IN (SELECT figure_id FROM ruled_figures)""")
    connection.execute("""
        UPDATE figures SET status = r.status, basis = 'ruled',
            length_nm = coalesce(r.nm, figures.length_nm), inches = coalesce(r.inches, figures.inches),
            half_inch = coalesce(r.half, figures.half_inch),
            length_to_nm = CASE WHEN r.nm IS NULL THEN figures.length_to_nm END,
            inches_to = CASE WHEN r.nm IS NULL THEN figures.inches_to END
        FROM ruled_figures r WHERE r.figure_id = figures.figure_id""")
    connection.execute(f"""
        INSERT INTO findings SELECT sha256(figure_id || message)[:32], reading_id, garment_id, figure_id, '{RULED}',
            'note', message, '' FROM ruled_figures""")


def read_rulings(connection: duckdb.DuckDBPyConnection) -> list[Ruling]:
    """Every ruling ever made, oldest first."""
    names = ", ".join(f'"{name}"' for name in tables.RULINGS.column_names[1:])
    rows = connection.execute(f'SELECT {names} FROM rulings ORDER BY "at", rowid').fetchall()
    return [Ruling(*row) for row in rows]


def in_force(rulings: Sequence[Ruling]) -> list[Ruling]:
    """Those not taken back, oldest first. An undoing can itself be undone by a later one."""
    undone: set[str] = set()
    kept = []
    for ruling in reversed(rulings):
        if ruling.ruling_id in undone:
            continue
        if ruling.decision == "undo":
            undone.add(ruling.undoes)
        else:
            kept.append(ruling)
    return kept[::-1]


def orphaned_rulings(path: Path, wait: float = store.DEFAULT_WAIT) -> list[Ruling]:
    """Rulings in force whose sheet is current but says nothing any more that they could rule on, or is gone."""
    with store.reading(path, wait) as connection:
        rulings = in_force(read_rulings(connection))
        sql = "SELECT DISTINCT sheet_id, place, raw, point, size, length FROM current_figures"
        known = set(connection.execute(sql).fetchall()) if rulings else set()
    return [ruling for ruling in rulings if ruling.figure_key not in known]


def import_rulings(path: Path, rulings: Sequence[Ruling], wait: float = store.DEFAULT_WAIT) -> int:
    """Adds rulings from a file that `export --table rulings` made; gives how many were new."""
    for ruling in rulings:
        if ruling.decision not in DECISIONS:
            raise CatalogueError(f'A ruling of {ruling.by} says "{ruling.decision}"; known: {", ".join(DECISIONS)}.')
    with store.writing(path, "rulings", wait) as connection:
        return add_rulings(connection, rulings)


def read_rulings_file(file: Path) -> list[Ruling]:
    """Rulings from an export of them, in any of its formats. Raises UsageError naming the row that is none."""
    from halfinch.catalogue.own_export import rulings_in

    try:
        records = rulings_in(file.read_bytes())
    except OSError as error:
        raise UsageError(f"{file} cannot be read ({error.strerror}).") from error
    if records is None:
        raise UsageError(f"{file} is no export of rulings; `halfinch export --table rulings` makes one.")
    found = []
    for number, record in enumerate(records, start=2):
        try:
            texts = [record.get(name, "") for name in ("sheet_id", "place", "printed", "point", "size", "length")]
            inches = Decimal(record["inches"]) if record.get("inches") else None
            at = datetime.fromisoformat(record["at"])
            sheet_id, place, printed, point, size, length = texts
            found.append(
                Ruling(sheet_id, place, printed, point, size, length, record["decision"], inches, record.get("why", ""),
                       record.get("by", ""), at, record.get("undoes", ""))
            )  # fmt: skip
        except (KeyError, ValueError, InvalidOperation) as error:
            raise UsageError(f"{file}, row {number}: no ruling ({error}).") from error
    return found


def _garments_of(connection: duckdb.DuckDBPyConnection, sheet_ids: Collection[str]) -> set[str]:
    names = tables.Table("names", "", (tables.Column("name", tables.TEXT, ""),))
    with registered(connection, touched=arrow_table(names, [(name,) for name in sheet_ids])):
        sql = "SELECT DISTINCT garment_id FROM figures WHERE sheet_id IN (SELECT name FROM touched)"
        return {row[0] for row in connection.execute(sql).fetchall()}
