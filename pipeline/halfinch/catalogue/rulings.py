"""What persons decided about held or wrong figures: kept for good, taken back by a later row, applied to every reading.

A ruling is kept by sheet, place and printed text (and point, size, length, since one cell may serve several), so it
finds its figure again in every new reading of the sheet, and in a later sheet at the same source whose cell of that
garment says the same. `right` holds for the length it was ruled on: a reading that makes another of the same text is
looked at anew. A ruling that finds no figure is listed as orphaned.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.crossings import refresh_crossings
from halfinch.catalogue.exact import inches_to_nm
from halfinch.catalogue.frames import arrow_table, insert, registered
from halfinch.catalogue.identity import digest
from halfinch.catalogue.size_rows import refresh_sizes
from halfinch.errors import UsageError
from halfinch.figure import to_inches
from halfinch.normalise.half_inch import half_inch

if TYPE_CHECKING:
    import duckdb
    import pyarrow as pa

DECISIONS = ("right", "should be", "not ours", "undo")
_NAMES = tables.Table("names", "", (tables.Column("name", tables.TEXT, ""),))

SHORTEST_ID = 8
"""So many letters of an id name a thing, where they name one alone."""
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


@dataclass(frozen=True, slots=True)
class Decision:
    """What is decided, without the figure: `right` as printed, `should be` so many inches, `not ours`."""

    what: str
    by: str
    why: str = ""
    inches: Decimal | None = None

    def complaint(self) -> str:
        """Why this is no decision, '' where it is one."""
        if self.what not in DECISIONS[:3]:
            return f'"{self.what}" is no ruling; say one of: {", ".join(DECISIONS[:3])}.'
        if (self.inches is not None) != (self.what == "should be"):
            return "Inches go with the ruling `should be`, and only with it."
        if self.inches is not None and not (self.inches.is_finite() and 0 < self.inches < 1000):
            return "A figure should be above 0 and below 1000 inches."
        return "" if self.by.strip() else "A ruling says who decided; give a name."


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
    return rule_each(path, [(figure_id, Decision(decision, by, why, inches))], wait)[0]


def rule_each(path: Path, decided: Sequence[tuple[str, Decision]], wait: float = store.DEFAULT_WAIT) -> list[Ruling]:
    """Decides about several figures, each by its id and in its own way: all of them or none. Raises UsageError."""
    if complaint := next((found for _, decision in decided if (found := decision.complaint())), ""):
        raise UsageError(complaint)
    with store.writing(path, "ruling", wait) as connection:
        made = []
        for name, decision in decided:
            made += rulings_on(connection, [find_figure(connection, name)], decision)
        add_rulings(connection, made)
    return made


def find_figure(connection: duckdb.DuckDBPyConnection, name: str) -> str:
    """The figure_id that `name` is, or is the beginning of (8 letters at least). Raises UsageError."""
    if len(name) >= SHORTEST_ID or not name:
        sql = "SELECT figure_id FROM figures WHERE starts_with(figure_id, ?) LIMIT 3"
        found = connection.execute(sql, [name]).fetchall() if name else []
        if len(found) == 1:
            return str(found[0][0])
        if found:
            raise UsageError(f"Several figures begin with {name}; write more of the id.")
    raise UsageError(f"There is no figure {name or '(no id)'} in the catalogue; `halfinch import --all` shows the ids.")


def rulings_on(connection: duckdb.DuckDBPyConnection, figure_ids: Sequence[str], decision: Decision) -> list[Ruling]:
    """One ruling a figure, of this moment, in the order of the ids; not yet added. Raises UsageError for `right` where
    nothing was read: a length of 0 is none."""
    with registered(connection, chosen=arrow_table(_NAMES, [(figure_id,) for figure_id in figure_ids])):
        rows = connection.execute("""
            SELECT f.figure_id, f.sheet_id, f.place, f.raw, f.point, f.size, f.length, coalesce(j.inches, f.inches)
            FROM figures f LEFT JOIN judged j USING (figure_id)
            WHERE f.figure_id IN (SELECT name FROM chosen)""").fetchall()
    told = {row[0]: row[1:] for row in rows}
    at = store.now()
    made = []
    for figure_id in figure_ids:
        sheet_id, place, printed, point, size, length, read_as = told[figure_id]
        inches = read_as if decision.what == "right" else decision.inches
        if decision.what == "right" and not read_as:
            raise UsageError(f"“{printed}” was not read as a length; say what it should be, or that it is not ours.")
        made.append(
            Ruling(sheet_id, place, printed, point, size, length, decision.what, inches, decision.why, decision.by, at)
        )
    return made


def undo(path: Path, ruling_id: str, *, by: str, why: str = "", wait: float = store.DEFAULT_WAIT) -> Ruling:
    """Takes a ruling back (or an undoing); what was decided stays on record. Raises UsageError."""
    return undo_all(path, [ruling_id], by=by, why=why, wait=wait)[0]


def undo_all(
    path: Path, ruling_ids: Sequence[str], *, by: str, why: str = "", wait: float = store.DEFAULT_WAIT
) -> list[Ruling]:
    """As `undo`, several at once or none of them; each by its id or the beginning of it."""
    if not by.strip():
        raise UsageError("A ruling says who decided; give a name.")
    with store.writing(path, "ruling", wait) as connection:
        known = read_rulings(connection)
        standing = {ruling.ruling_id for ruling in in_force(known, undoings=True)}
        made = []
        for name in dict.fromkeys(ruling_ids):
            near = [ruling for ruling in known if ruling.ruling_id.startswith(name)] if len(name) >= SHORTEST_ID else []
            if len(near) != 1:
                raise UsageError(f"There is no ruling {name} in {path}; `halfinch rule --list` shows them.")
            if near[0].ruling_id not in standing:
                raise UsageError(f"The ruling {name} was taken back already.")
            key = near[0].figure_key
            made.append(Ruling(*key, "undo", None, why, by, store.now(), near[0].ruling_id))
        add_rulings(connection, made)
    return made


def add_rulings(connection: duckdb.DuckDBPyConnection, rulings: Iterable[Ruling]) -> int:
    """Appends rulings that are not there yet and applies them; gives how many were new."""
    present = {row[0] for row in connection.execute("SELECT ruling_id FROM rulings").fetchall()}
    new = {ruling.ruling_id: ruling for ruling in rulings if ruling.ruling_id not in present}
    insert(connection, tables.RULINGS, [ruling.row() for ruling in new.values()])
    sheets = _sources_shared(connection, {ruling.sheet_id for ruling in new.values()})
    apply_rulings(connection, sheets)
    touched = _garments_of(connection, sheets)
    refresh_sizes(connection, touched)
    refresh_crossings(connection, touched)
    return len(new)


def apply_rulings(connection: duckdb.DuckDBPyConnection, sheet_ids: Collection[str]) -> None:
    """Figures of these sheets stand as judged, then as ruled: every reading, every ruling in force, the latest last."""
    rulings = in_force(read_rulings(connection))
    with registered(connection, touched=arrow_table(_NAMES, [(name,) for name in sorted(sheet_ids)])):
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


def _sources_shared(connection: duckdb.DuckDBPyConnection, sheet_ids: Collection[str]) -> set[str]:
    """These sheets, and all that ever lay at a source of theirs."""
    with registered(connection, touched=arrow_table(_NAMES, [(name,) for name in sheet_ids])):
        rows = connection.execute("""
            SELECT DISTINCT b.sheet_id FROM receipts a JOIN receipts b USING (source)
            WHERE a.sheet_id IN (SELECT name FROM touched)""").fetchall()
    return {row[0] for row in rows} | set(sheet_ids)


_RULED = tables.Table(
    "landing_ruled",
    "",
    (
        *(tables.Column(name, tables.TEXT, "") for name in ("sheet_id", "place", "raw", "point", "size", "length")),
        tables.Column("seq", tables.LENGTH, ""),
        tables.Column("nm", tables.LENGTH, ""),
        tables.Column("inches", tables.INCHES, ""),
        tables.Column("half", tables.HALF_INCH, ""),
        tables.Column("read_as", tables.INCHES, ""),
        *(tables.Column(name, tables.TEXT, "") for name in ("status", "message")),
    ),
)

MATCHES = """
    WITH home AS (
        SELECT DISTINCT r.seq, h.garment_id FROM landing_ruled r JOIN figures h
            ON h.sheet_id = r.sheet_id AND h.place = r.place AND h.raw = r.raw AND h.point = r.point
            AND h.size = r.size AND h.length = r.length)
    SELECT f.figure_id, f.reading_id, f.garment_id, f.sheet_id, r.seq, r.nm, r.inches, r.half, r.status, r.message
    FROM landing_ruled r JOIN figures f
        ON f.place = r.place AND f.raw = r.raw AND f.point = r.point AND f.size = r.size AND f.length = r.length
    LEFT JOIN judged j USING (figure_id)
    WHERE (r.read_as IS NULL OR abs(coalesce(j.inches, f.inches) - r.read_as) <= 0.000001)
        AND (f.sheet_id = r.sheet_id OR (
            (r.seq, f.garment_id) IN (SELECT (seq, garment_id) FROM home)
            AND (r.sheet_id, f.sheet_id) IN (SELECT (a.sheet_id, b.sheet_id) FROM receipts a JOIN receipts b
                                             USING (source))))"""
"""Figures that rulings are about, each with its ruling's place in the order; a figure may be met by several."""


def _write(connection: duckdb.DuckDBPyConnection, rulings: Sequence[Ruling]) -> None:
    with registered(connection, landing_ruled=_landing(rulings)):
        connection.execute(f"""
            CREATE OR REPLACE TEMP TABLE ruled_figures AS
            SELECT * FROM ({MATCHES}) WHERE sheet_id IN (SELECT name FROM touched)
            QUALIFY row_number() OVER (PARTITION BY figure_id ORDER BY seq DESC) = 1""")
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


def _landing(rulings: Sequence[Ruling]) -> pa.Table:
    """Rulings as the rows of `landing_ruled`, in their order."""
    rows = []
    for seq, ruling in enumerate(rulings):
        nm = inches_to_nm(ruling.inches) if ruling.inches is not None and ruling.decision == "should be" else None
        status = "set_aside" if ruling.decision == "not ours" else "accepted"
        what = ruling.decision if ruling.inches is None or nm is None else f"should be {ruling.inches.normalize():f} in"
        why = f": {ruling.why}" if ruling.why else ""
        message = f"Ruled {what} by {ruling.by} on {ruling.at:%Y-%m-%d}{why}."
        shown = (None, None) if nm is None else (to_inches(nm), half_inch(nm))
        read_as = ruling.inches if ruling.decision == "right" else None
        rows.append((*ruling.figure_key, seq, nm, *shown, read_as, status, message))
    return arrow_table(_RULED, rows)


def read_rulings(connection: duckdb.DuckDBPyConnection) -> list[Ruling]:
    """Every ruling ever made, oldest first."""
    names = ", ".join(f'"{name}"' for name in tables.RULINGS.column_names[1:])
    rows = connection.execute(f'SELECT {names} FROM rulings ORDER BY "at", rowid').fetchall()
    return [Ruling(*row) for row in rows]


def in_force(rulings: Sequence[Ruling], *, undoings: bool = False) -> list[Ruling]:
    """Those not taken back, oldest first. An undoing can itself be undone by a later one; it is listed if asked for."""
    undone: set[str] = set()
    kept = []
    for ruling in reversed(rulings):
        if ruling.ruling_id in undone:
            continue
        if ruling.decision == "undo":
            undone.add(ruling.undoes)
        if ruling.decision != "undo" or undoings:
            kept.append(ruling)
    return kept[::-1]


def matched(connection: duckdb.DuckDBPyConnection, rulings: Sequence[Ruling]) -> list[list[str]]:
    """For each ruling the figures in force that it is about, in the order given."""
    found: list[list[str]] = [[] for _ in rulings]
    with registered(connection, landing_ruled=_landing(rulings)):
        sql = f"SELECT seq, figure_id FROM ({MATCHES}) WHERE reading_id IN (SELECT reading_id FROM current_readings)"
        for seq, figure_id in connection.execute(sql).fetchall() if rulings else ():
            found[seq].append(figure_id)
    return found


@dataclass(frozen=True, slots=True)
class Listed:
    """A ruling as a list shows it; `state` is in force | taken back | orphaned, or undoing."""

    ruling: Ruling
    state: str
    sheet: str
    """The sheet's name; '' where this catalogue never saw it."""


def list_rulings(path: Path, wait: float = store.DEFAULT_WAIT) -> list[Listed]:
    """Every ruling ever made, oldest first. Orphaned: in force, and no figure in force is the one it was about."""
    with store.reading(path, wait) as connection:
        rulings = read_rulings(connection)
        standing = in_force(rulings)
        lonely = {one.ruling_id for one, on in zip(standing, matched(connection, standing), strict=True) if not on}
        names = dict(connection.execute("SELECT sheet_id, sheet FROM sheets").fetchall())
    living = {ruling.ruling_id for ruling in in_force(rulings, undoings=True)}

    def state(ruling: Ruling) -> str:
        if ruling.ruling_id not in living:
            return "taken back"
        if ruling.decision == "undo":
            return "undoing"
        return "orphaned" if ruling.ruling_id in lonely else "in force"

    return [Listed(ruling, state(ruling), names.get(ruling.sheet_id, "")) for ruling in rulings]


def orphaned_rulings(path: Path, wait: float = store.DEFAULT_WAIT) -> list[Ruling]:
    """Rulings in force that find no figure in force any more (see `list_rulings`)."""
    return [listed.ruling for listed in list_rulings(path, wait) if listed.state == "orphaned"]


def import_rulings(path: Path, rulings: Sequence[Ruling], wait: float = store.DEFAULT_WAIT) -> int:
    """Adds rulings from a file that `export --table rulings` made, all or none; gives how many were new.

    Raises UsageError where one takes back a ruling that neither the file nor the catalogue has.
    """
    with store.writing(path, "rulings", wait) as connection:
        known = {row[0] for row in connection.execute("SELECT ruling_id FROM rulings").fetchall()}
        known |= {ruling.ruling_id for ruling in rulings}
        for ruling in rulings:
            if ruling.undoes and ruling.undoes not in known:
                raise UsageError(
                    f"The file takes back the ruling {ruling.undoes}, which neither it nor {path} holds; export all."
                )
        return add_rulings(connection, rulings)


def _garments_of(connection: duckdb.DuckDBPyConnection, sheet_ids: Collection[str]) -> set[str]:
    with registered(connection, touched=arrow_table(_NAMES, [(name,) for name in sheet_ids])):
        sql = "SELECT DISTINCT garment_id FROM figures WHERE sheet_id IN (SELECT name FROM touched)"
        return {row[0] for row in connection.execute(sql).fetchall()}
