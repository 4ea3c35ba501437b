"""Held figures as a person looks through them: the sheets they wait on, one after the other, and all about one."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.catalogue import store
from halfinch.catalogue.rulings import RULED, find_figure
from halfinch.errors import UsageError

if TYPE_CHECKING:
    import duckdb


@dataclass(frozen=True, slots=True)
class HeldSheet:
    """A sheet on which figures wait."""

    sheet_id: str
    sheet: str
    merchant: str
    held: int
    first: str
    """figure_id of the first one."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One finding on a figure."""

    rule: str
    severity: str
    message: str
    suggestion: str


@dataclass(frozen=True, slots=True)
class Seen:
    """A figure as it stands now."""

    figure_id: str
    point: str
    size: str
    length: str
    raw: str
    length_nm: int
    inches: Decimal
    inches_to: Decimal | None
    unit: str
    convention: str
    place: str
    status: str
    basis: str


@dataclass(frozen=True, slots=True)
class Case:
    """A figure with all that helps to decide about it."""

    figure: Seen
    sheet_id: str
    sheet: str
    kind: str
    merchant: str
    style: str
    style_code: str
    reasons: tuple[Reason, ...]
    row: tuple[Seen, ...]
    """The same point of the same garment and length in every size, itself too, as printed from first to last."""
    size: tuple[Seen, ...]
    """The other points of the same size and length."""
    at: int
    """Which of the held ones it is, from 1; 0 where it is no longer held."""
    held: int
    """How many are held, on this sheet or on all."""
    before: str
    after: str
    """figure_id of the held one before and after it, '' at the ends."""


_FIGURE = """f.figure_id, f.point, f.size, f.length, f.raw, f.length_nm, f.inches, f.inches_to, f.unit, f.convention,
    f.place, f.status, f.basis"""
_HELD = """
    SELECT figure_id, sheet_id, row_number() OVER (ORDER BY sheet, sheet_id, rowid) AS nth
    FROM figures
    WHERE status = 'held' AND reading_id IN (SELECT reading_id FROM current_readings) AND ? IN ('', sheet_id)"""
"""The queue: by sheet, in the order in which they were read."""


def held_sheets(path: Path, wait: float = store.DEFAULT_WAIT) -> list[HeldSheet]:
    """Sheets with held figures, in the order of the queue."""
    with store.reading(path, wait) as connection:
        rows = connection.execute(
            f"""SELECT h.sheet_id, s.sheet, s.merchant, count(*), arg_min(h.figure_id, h.nth)
                FROM ({_HELD}) h JOIN sheets s USING (sheet_id) GROUP BY ALL ORDER BY min(h.nth)""",
            [""],
        ).fetchall()
    return [HeldSheet(*row) for row in rows]


def first_held(path: Path, sheet_id: str = "", wait: float = store.DEFAULT_WAIT) -> str:
    """figure_id of the first held figure (of a sheet), '' where none is held."""
    with store.reading(path, wait) as connection:
        row = connection.execute(f"SELECT figure_id FROM ({_HELD}) ORDER BY nth LIMIT 1", [sheet_id]).fetchone()
    return str(row[0]) if row else ""


@dataclass(frozen=True, slots=True)
class HeldSpot:
    """A held figure of a garment: which cell of a table of sizes waits for it. Size or length '': of all of them."""

    garment_id: str
    point: str
    size: str
    length: str
    figure_id: str
    sheet_id: str

    def meets(self, size: str, length: str) -> bool:
        return self.size in ("", size) and self.length in ("", length)


def held_of(path: Path, garments: Collection[str], wait: float = store.DEFAULT_WAIT) -> dict[str, list[HeldSpot]]:
    """The held figures of these garments, by garment, in the order of the queue."""
    with store.reading(path, wait) as connection:
        rows = connection.execute(
            """SELECT garment_id, point, CASE size_scope WHEN 'one' THEN size ELSE '' END,
                      CASE length_scope WHEN 'one' THEN length ELSE '' END, figure_id, sheet_id
               FROM figures WHERE status = 'held' AND garment_id IN (SELECT unnest($garments))
                   AND reading_id IN (SELECT reading_id FROM current_readings)
               ORDER BY sheet, sheet_id, rowid""",
            {"garments": list(garments)},
        ).fetchall()
    found: dict[str, list[HeldSpot]] = {}
    for row in rows:
        found.setdefault(row[0], []).append(HeldSpot(*row))
    return found


def sheet_name(path: Path, sheet_id: str, wait: float = store.DEFAULT_WAIT) -> str:
    """Raises UsageError for a sheet that there is not."""
    with store.reading(path, wait) as connection:
        row = connection.execute("SELECT sheet FROM sheets WHERE sheet_id = ?", [sheet_id]).fetchone()
    if row is None:
        raise UsageError("There is no such sheet in the catalogue.")
    return str(row[0])


def look_at(path: Path, figure_id: str, sheet_id: str = "", wait: float = store.DEFAULT_WAIT) -> Case:
    """All about one figure, held or not. With `sheet_id` the queue is that of one sheet. Raises UsageError for a figure
    that there is not."""
    with store.reading(path, wait) as connection:
        return _case(connection, find_figure(connection, figure_id), sheet_id)


def _case(connection: duckdb.DuckDBPyConnection, figure_id: str, queue_of: str) -> Case:
    (row,) = connection.execute(
        f"""SELECT {_FIGURE}, f.sheet_id, f.sheet, s.kind, f.merchant, f.style, f.style_code, f.reading_id, f.garment_id
            FROM figures f JOIN sheets s USING (sheet_id) WHERE f.figure_id = ?""",
        [figure_id],
    ).fetchall()
    figure, (sheet_id, sheet, kind, merchant, style, code, reading, garment) = Seen(*row[:13]), row[13:]
    of_garment = f"SELECT {_FIGURE} FROM figures f WHERE f.reading_id = ? AND f.garment_id = ?"
    own = [reading, garment]
    in_row = _seen(connection, f"{of_garment} AND f.point = ? AND f.length = ? ORDER BY f.rowid",
                   [*own, figure.point, figure.length])  # fmt: skip
    in_size = _seen(
        connection, f"{of_garment} AND f.size = ? AND f.length IN (?, '') AND f.point <> ? ORDER BY f.rowid",
        [*own, figure.size, figure.length, figure.point],
    )  # fmt: skip
    reasons = connection.execute(
        """SELECT rule, severity, message, suggestion FROM findings
           WHERE reading_id = ? AND figure_id = ? AND rule <> ?
           ORDER BY severity = 'note', severity = 'warn', rowid""",
        [reading, figure_id, RULED],
    ).fetchall()
    at, held, before, after = _place_in_queue(connection, figure_id, queue_of)
    return Case(figure, sheet_id, sheet, kind, merchant, style, code, tuple(Reason(*one) for one in reasons),
                in_row, in_size, at, held, before, after)  # fmt: skip


def _seen(connection: duckdb.DuckDBPyConnection, sql: str, values: Sequence[Any]) -> tuple[Seen, ...]:
    return tuple(Seen(*row) for row in connection.execute(sql, values).fetchall())


def _place_in_queue(connection: duckdb.DuckDBPyConnection, figure_id: str, sheet_id: str) -> tuple[int, int, str, str]:
    """Where a figure stands among the held ones; one that is held no more stands where it stood."""
    own = connection.execute("SELECT sheet, sheet_id, rowid FROM figures WHERE figure_id = ?", [figure_id]).fetchone()
    assert own is not None
    row = connection.execute(
        f"""WITH queue AS (
                SELECT h.figure_id, h.nth, (f.sheet, f.sheet_id, f.rowid) < (?, ?, ?) AS sooner
                FROM ({_HELD}) h JOIN figures f USING (figure_id))
            SELECT max(nth) FILTER (figure_id = ?), count(*), arg_max(figure_id, nth) FILTER (sooner),
                   arg_min(figure_id, nth) FILTER (NOT sooner AND figure_id <> ?)
            FROM queue""",
        [*own, sheet_id, figure_id, figure_id],
    ).fetchone()
    assert row is not None
    at, held, before, after = row
    return at or 0, held, before or "", after or ""


def figures_of(path: Path, sheet_id: str, wait: float = store.DEFAULT_WAIT) -> list[tuple[Seen, tuple[Reason, ...]]]:
    """Every figure in force of a sheet, each with its findings; in the order in which they were read."""
    with store.reading(path, wait) as connection:
        seen = _seen(connection, f"SELECT {_FIGURE} FROM figures f WHERE f.sheet_id = ? AND f.reading_id IN "
                     "(SELECT reading_id FROM current_readings) ORDER BY f.rowid", [sheet_id])  # fmt: skip
        found = connection.execute(
            """SELECT n.figure_id, n.rule, n.severity, n.message, n.suggestion FROM findings n
               JOIN current_readings r USING (reading_id)
               WHERE r.sheet_id = ? AND n.figure_id <> '' AND n.rule <> ?
               ORDER BY n.severity = 'note', n.severity = 'warn', n.rowid""",
            [sheet_id, RULED],
        ).fetchall()
    reasons: dict[str, list[Reason]] = {}
    for figure_id, *rest in found:
        reasons.setdefault(figure_id, []).append(Reason(*rest))
    return [(one, tuple(reasons.get(one.figure_id, ()))) for one in seen]
