"""What stands in a catalogue about sheets: what was read, what is held and why, which readings are stale."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from halfinch.catalogue import store, tables
from halfinch.catalogue.frames import arrow_table, registered
from halfinch.catalogue.identity import Stamp


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One sheet in a few numbers."""

    sheet_id: str
    sheet: str
    merchant: str
    outcome: str
    message: str
    garments: int = 0
    accepted: int = 0
    assumed: int = 0
    held: int = 0
    set_aside: int = 0


@dataclass(frozen=True, slots=True)
class HeldFigure:
    """A figure that a person has to look at, and why."""

    figure_id: str
    sheet: str
    place: str
    style: str
    size: str
    length: str
    point: str
    raw: str
    inches: Decimal
    reasons: tuple[str, ...]
    suggestion: str


@dataclass(frozen=True, slots=True)
class StaleReading:
    """A reading in force that was made by another program, other knowledge or other habits."""

    reading_id: str
    sheet_id: str
    sheet: str
    file_id: str
    inner: str
    source: str
    merchant: str


_NAMES = tables.Table("names", "", (tables.Column("name", tables.TEXT, ""),))


def summarise(
    path: Path, sheet_ids: Collection[str], wait: float = store.DEFAULT_WAIT
) -> tuple[list[SheetLine], list[HeldFigure]]:
    """Lines of these sheets by name, and their held figures in the order of the sheets."""
    with (
        store.reading(path, wait) as connection,
        registered(connection, wanted=arrow_table(_NAMES, [(sheet_id,) for sheet_id in set(sheet_ids)])),
    ):
        counts = ", ".join(
            f"count(DISTINCT f.figure_id) FILTER (f.status = '{status}')"
            for status in ("accepted", "assumed", "held", "set_aside")
        )
        lines = connection.execute(f"""
                SELECT s.sheet_id, s.sheet, s.merchant, s.outcome, s.message, count(DISTINCT f.garment_id), {counts}
                FROM sheets s LEFT JOIN current_figures f USING (sheet_id)
                WHERE s.sheet_id IN (SELECT name FROM wanted)
                GROUP BY ALL ORDER BY s.sheet, s.sheet_id""").fetchall()
        held = connection.execute("""
                SELECT f.figure_id, f.sheet, f.place, f.style, f.size, f.length, f.point, f.raw, f.inches,
                    coalesce(list(DISTINCT n.message ORDER BY n.message) FILTER (n.severity <> 'note'),
                             list(DISTINCT n.message ORDER BY n.message) FILTER (n.message <> ''), []),
                    coalesce(max(n.suggestion), '')
                FROM figures f LEFT JOIN findings n ON n.figure_id = f.figure_id AND n.reading_id = f.reading_id
                WHERE f.status = 'held' AND f.sheet_id IN (SELECT name FROM wanted)
                    AND f.reading_id IN (SELECT reading_id FROM current_readings)
                GROUP BY f.figure_id, f.sheet, f.place, f.style, f.size, f.length, f.point, f.raw, f.inches, f.rowid
                ORDER BY f.sheet, f.rowid""").fetchall()
    return [SheetLine(*line) for line in lines], [_held(*row) for row in held]


@dataclass(frozen=True, slots=True)
class SheetPage:
    """Some of the sheets in force, by name."""

    lines: tuple[SheetLine, ...]
    total: int
    """How many there are in all that were looked for."""


def list_sheets(
    path: Path, find: str = "", only: str = "", limit: int = 50, offset: int = 0, wait: float = store.DEFAULT_WAIT
) -> SheetPage:
    """Sheets whose name or merchant holds `find`; `only` "held": those with held figures, "failed": those that were not
    read whole."""
    with store.reading(path, wait) as connection:
        rows = connection.execute(
            """SELECT sheet_id, count(*) OVER () FROM current_sheets
               WHERE contains(lower(sheet || ' ' || merchant), lower(?))
                   AND (? <> 'failed' OR outcome IN ('failed', 'scanned', 'partly'))
                   AND (? <> 'held' OR sheet_id IN (SELECT sheet_id FROM current_figures WHERE status = 'held'))
               ORDER BY sheet, sheet_id LIMIT ? OFFSET ?""",
            [find, only, only, limit, offset],
        ).fetchall()
    lines, _ = summarise(path, [row[0] for row in rows], wait)
    return SheetPage(tuple(lines), rows[0][1] if rows else 0)


def sources_below(path: Path, above: str, wait: float = store.DEFAULT_WAIT) -> dict[str, str]:
    """Files that lie at sources below `above` now: the rest of their path to the digest of their bytes."""
    with store.reading(path, wait) as connection:
        rows = connection.execute(
            """SELECT DISTINCT r.source, f."inner", f.file_id FROM receipts r JOIN files f USING (sheet_id)
               WHERE r.seen_to IS NULL AND starts_with(r.source, ?)""",
            [f"{above}/"],
        ).fetchall()
    return {source.removesuffix(f"/{inner}").removeprefix(f"{above}/"): file_id for source, inner, file_id in rows}


def _held(
    figure_id: str, sheet: str, place: str, style: str, size: str, length: str, point: str, raw: str, inches: Decimal,
    reasons: list[str], suggestion: str,
) -> HeldFigure:  # fmt: skip
    return HeldFigure(figure_id, sheet, place, style, size, length, point, raw, inches, tuple(reasons), suggestion)


CROSSINGS = ("style_differs", "sheets_differ", "figures_differ")


def find_differing(
    path: Path, sheet_ids: Collection[str], wait: float = store.DEFAULT_WAIT
) -> list[tuple[str, str, str]]:
    """What these sheets tell otherwise than another sheet in force, or than themselves: (sheet, rule, message)."""
    marks = ", ".join(f"'{rule}'" for rule in CROSSINGS)
    with (
        store.reading(path, wait) as connection,
        registered(connection, wanted=arrow_table(_NAMES, [(sheet_id,) for sheet_id in set(sheet_ids)])),
    ):
        return connection.execute(f"""
            SELECT min(s.sheet), n.rule, n.message FROM findings n JOIN current_readings r USING (reading_id)
                JOIN sheets s ON s.sheet_id = r.sheet_id
            WHERE n.rule IN ({marks}) AND r.sheet_id IN (SELECT name FROM wanted)
            GROUP BY n.rule, n.message ORDER BY ALL""").fetchall()


def known_files(path: Path, wait: float = store.DEFAULT_WAIT) -> dict[str, set[str]]:
    """Files whose every sheet was read: file_id to the merchants of its sheets."""
    with store.reading(path, wait) as connection:
        rows = connection.execute("""
            SELECT file_id, list(DISTINCT merchant) FROM files JOIN sheets USING (sheet_id)
            GROUP BY file_id HAVING bool_and(outcome <> 'failed')""").fetchall()
    return {file_id: set(merchants) for file_id, merchants in rows}


def sheets_in(path: Path, file_ids: Collection[str], wait: float = store.DEFAULT_WAIT) -> set[str]:
    """The sheets that came in these files."""
    with (
        store.reading(path, wait) as connection,
        registered(connection, wanted=arrow_table(_NAMES, [(name,) for name in set(file_ids)])),
    ):
        sql = "SELECT DISTINCT sheet_id FROM files WHERE file_id IN (SELECT name FROM wanted)"
        return {row[0] for row in connection.execute(sql).fetchall()}


def stale_readings(
    path: Path, stamp: Stamp, *, everything: bool = False, wait: float = store.DEFAULT_WAIT
) -> list[StaleReading]:
    """Readings in force that were not made with this stamp (with `everything`: all in force), by sheet."""
    with store.reading(path, wait) as connection:
        rows = connection.execute(
            """
            SELECT r.reading_id, r.sheet_id, s.sheet, f.file_id, f."inner", t.source, coalesce(o.merchant, '')
            FROM current_readings r JOIN sheets s USING (sheet_id)
                JOIN (SELECT sheet_id, min(source) AS source FROM receipts WHERE seen_to IS NULL GROUP BY sheet_id) t
                    USING (sheet_id)
                JOIN files f ON f.sheet_id = r.sheet_id AND (f."inner" = '' OR ends_with(t.source, '/' || f."inner"))
                LEFT JOIN sources o ON o.source = t.source
            WHERE ? OR r.program <> ? OR r.knowledge <> ? OR r.habits <> ?
            QUALIFY row_number() OVER (PARTITION BY r.sheet_id ORDER BY f.file_id) = 1
            ORDER BY s.sheet, r.sheet_id""",
            [everything, stamp.program, stamp.knowledge, stamp.habits],
        ).fetchall()
    return [StaleReading(*row) for row in rows]
