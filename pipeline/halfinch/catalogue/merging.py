"""Another catalogue's sheets, readings, rulings and taped pairs come into this one: all of it or nothing.

Sheets are known by their bytes, readings by what made them, rulings and taped pairs by what they say, so that what both
have is one, and merging twice is merging once. Figures come as they were read; rulings of both are then applied anew.

A source is a path as seen from its catalogue's folder. Where both catalogues have a sheet at one source, and not the
same one, the sheet that a catalogue has seen take the other's place is the newer. Where neither has, a person has to
say (`newer`, `under`): they may be two versions, or two places that are called alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.crossings import FIGURES_DIFFER, SAME_NAME, SHEETS_DIFFER, refresh_crossings
from halfinch.catalogue.frames import arrow_table, fetch_table, registered
from halfinch.catalogue.identity import digest
from halfinch.catalogue.kept_sheets import fetch, keep, sheets_folder
from halfinch.catalogue.lake.objects import is_lake
from halfinch.catalogue.rulings import RULED, Ruling, add_rulings, apply_rulings, read_rulings
from halfinch.catalogue.same_decisions import Decided, Pair, add_decisions, read_decisions
from halfinch.catalogue.size_rows import refresh_sizes
from halfinch.catalogue.twins import STYLE_DIFFERS
from halfinch.errors import UsageError

if TYPE_CHECKING:
    import duckdb
    import pyarrow as pa

MADE_ANEW = (RULED, SHEETS_DIFFER, FIGURES_DIFFER, SAME_NAME, STYLE_DIFFERS)
"""Findings that are told of the whole catalogue, not of a sheet."""
SHOWN = 3

Receipt = tuple[str, str, datetime, datetime | None]
"""source, sheet_id, seen_from, seen_to"""


@dataclass(frozen=True, slots=True)
class Merged:
    """What came in."""

    sheets: int = 0
    readings: int = 0
    figures: int = 0
    rulings: int = 0
    taped: int = 0
    taken_over: tuple[str, ...] = ()
    """Sources at which the other catalogue's sheet is the newer one."""
    kept: tuple[str, ...] = ()
    """Sources at which ours is."""


@dataclass(frozen=True, slots=True)
class _Other:
    """All that is taken of the other catalogue."""

    receipts: list[Receipt]
    rulings: list[Ruling]
    same_styles: list[Decided]
    arrow: Mapping[str, pa.Table] = field(default_factory=dict)


_AS_READ = ("length_nm", "length_to_nm", "inches", "inches_to", "half_inch", "status", "basis")


def merge(path: Path, other: Path, *, under: str = "", newer: bool = False, wait: float = store.DEFAULT_WAIT) -> Merged:
    """Takes `other` into `path`, in one transaction; `other` stays as it is.

    `under`: the other's sources stand under this name; `newer`: of two sheets at one source the one imported later
    is in force. Raises UsageError where two sheets at one source clash and neither is said, CatalogueError.
    """
    if path.exists() and other.exists() and path.samefile(other):
        raise UsageError(f"{other} is the catalogue itself; name another one.")
    store.require(path)
    if is_lake(other):
        raise UsageError(f"{other} is a lake, which keeps no bytes and no rulings to merge; import its sheets.")
    taken = _take(other, under.strip("/"), wait)
    with store.writing(path, "merge", wait) as connection:
        ours = _receipts(connection)
        receipts, over, kept = settle(ours, taken.receipts, newer=newer)
        before = _known(connection)
        touched = _bring_in(connection, taken)
        touched |= _write_receipts(connection, ours, receipts)
        rulings = add_rulings(connection, taken.rulings)
        add_decisions(connection, taken.same_styles)
        apply_rulings(connection, {receipt[1] for receipt in taken.receipts})
        refresh_sizes(connection, touched)
        refresh_crossings(connection, touched, {receipt[0] for receipt in taken.receipts})
        after = _known(connection)
        _copy_kept(path, other)
    come = {name: after[name] - before[name] for name in before}
    return Merged(come["sheets"], come["readings"], come["figures"], rulings, come["taped"], over, kept)


def settle(
    ours: list[Receipt], theirs: list[Receipt], *, newer: bool = False
) -> tuple[list[Receipt], tuple[str, ...], tuple[str, ...]]:
    """(all receipts of both, sources at which theirs takes over, sources at which ours stays). Raises UsageError."""
    merged = {receipt[:2]: receipt for receipt in ours}
    for source, sheet_id, seen_from, seen_to in theirs:
        known = merged.get((source, sheet_id))
        if known is None:
            merged[source, sheet_id] = (source, sheet_id, seen_from, seen_to)
        else:
            ends = None if known[3] is None or seen_to is None else max(known[3], seen_to)
            merged[source, sheet_id] = (source, sheet_id, min(known[2], seen_from), ends)
    over, kept, clashing = list[str](), list[str](), list[str]()
    here, there = _in_force(ours), _in_force(theirs)
    past_here, past_there = ({receipt[:2] for receipt in side if receipt[3] is not None} for side in (ours, theirs))
    for source in sorted(here.keys() & there.keys()):
        mine, yours = here[source], there[source]
        if mine[1] == yours[1]:
            continue
        is_over = (source, mine[1]) in past_there
        if is_over == ((source, yours[1]) in past_here):
            if not newer:
                clashing.append(source)
                continue
            is_over = yours[2] > mine[2]
        late, early = (yours, mine) if is_over else (mine, yours)
        merged[early[:2]] = (*early[:3], max(late[2], early[2]))
        (over if is_over else kept).append(source)
    if clashing:
        shown = ", ".join(clashing[:SHOWN]) + (f" and {len(clashing) - SHOWN} more" if len(clashing) > SHOWN else "")
        raise UsageError(
            f"Both catalogues have a sheet at {shown}, and not the same one: say --newer if the one imported later "
            "takes the other's place, or --under NAME to keep both."
        )
    return list(merged.values()), tuple(over), tuple(kept)


def _in_force(receipts: list[Receipt]) -> dict[str, Receipt]:
    return {receipt[0]: receipt for receipt in receipts if receipt[3] is None}


def _receipts(connection: duckdb.DuckDBPyConnection) -> list[Receipt]:
    return [
        (*row,) for row in connection.execute("SELECT source, sheet_id, seen_from, seen_to FROM receipts").fetchall()
    ]


def _take(other: Path, under: str, wait: float) -> _Other:
    """Reads the other catalogue. Garments that only their source names get a name of their own under another source."""
    prefix = f"{under}/" if under else ""
    as_read = ", ".join(f"CASE WHEN j.figure_id IS NULL THEN f.{name} ELSE j.{name} END AS {name}" for name in _AS_READ)
    figures = f"SELECT f.* REPLACE ({as_read}) FROM figures f LEFT JOIN judged j USING (figure_id)"
    anew = ", ".join(f"'{name}'" for name in MADE_ANEW)
    selects = {
        "sheets": "FROM sheets", "readings": "FROM readings", "garments": "FROM garments", "figures": figures,
        "findings": f"FROM findings WHERE rule NOT IN ({anew})", "stretched": "FROM stretched", "logs": "FROM logs",
        "files": "FROM files", "taped": "FROM taped", "sources": "FROM sources",
    }  # fmt: skip
    with store.reading(other, wait) as connection:
        arrow = {name: fetch_table(connection, sql) for name, sql in selects.items()}
        receipts = [(f"{prefix}{source}", *rest) for source, *rest in _receipts(connection)]
        rulings, same = read_rulings(connection), read_decisions(connection)
        if prefix:
            nameless = connection.execute(
                "SELECT garment_id FROM garments WHERE merchant = '' OR (style = '' AND style_code = '')"
            ).fetchall()
            renamed = {name: digest("garment", "under", under, name) for (name,) in nameless}
            arrow = {name: _renamed(table, renamed, prefix) for name, table in arrow.items()}
            same = [replace(one, pair=_sorted(renamed.get(name, name) for name in one.pair)) for one in same]
    return _Other(receipts, rulings, same, arrow)  # type: ignore[arg-type]


def _sorted(names: Iterable[str]) -> Pair:
    one, other = sorted(names)
    return one, other


def _renamed(table: pa.Table, garments: Mapping[str, str], prefix: str) -> pa.Table:
    import pyarrow as pa

    for column, told in (("garment_id", lambda name: garments.get(name, name)), ("source", lambda name: prefix + name)):
        if column in table.column_names:
            values = [told(name) for name in table.column(column).to_pylist()]
            table = table.set_column(table.column_names.index(column), column, pa.array(values, pa.string()))
    return table


def _known(connection: duckdb.DuckDBPyConnection) -> dict[str, int]:
    names = ("sheets", "readings", "figures", "taped")
    counts = ", ".join(f"(SELECT count(*) FROM {name})" for name in names)
    return dict(zip(names, connection.execute(f"SELECT {counts}").fetchall()[0], strict=True))


_KEYS = {
    "sheets": "sheet_id", "readings": "reading_id", "garments": "garment_id", "taped": "taped_id", "sources": "source",
    "files": "file_id, sheet_id, inner",
}  # fmt: skip
_OF_READING = ("figures", "findings", "logs")


def _bring_in(connection: duckdb.DuckDBPyConnection, other: _Other) -> set[str]:
    """Inserts what is not there yet; gives the garments this touches."""
    with registered(connection, **{f"their_{name}": table for name, table in other.arrow.items()}):
        connection.execute("""
            CREATE OR REPLACE TEMP TABLE fresh AS
            SELECT reading_id FROM their_readings WHERE reading_id NOT IN (SELECT reading_id FROM readings)""")
        fresh = "reading_id IN (SELECT reading_id FROM fresh)"
        touched = {
            row[0]
            for row in connection.execute(f"SELECT DISTINCT garment_id FROM their_figures WHERE {fresh}").fetchall()
        }
        for name in _OF_READING:
            connection.execute(f"INSERT INTO {name} BY NAME SELECT * FROM their_{name} WHERE {fresh}")
        connection.execute(f"""
            INSERT INTO stretched BY NAME SELECT * FROM their_stretched
            WHERE figure_id IN (SELECT figure_id FROM their_figures WHERE {fresh})""")
        for name, key in _KEYS.items():
            quoted = ", ".join(f'"{part}"' for part in key.split(", "))
            connection.execute(f"""
                INSERT INTO {name} BY NAME SELECT * FROM their_{name}
                WHERE ({quoted}) NOT IN (SELECT ({quoted}) FROM {name})""")
    return touched


_RECEIPTS = tables.Table("all_receipts", "", tables.RECEIPTS.columns)


def _write_receipts(connection: duckdb.DuckDBPyConnection, ours: list[Receipt], merged: list[Receipt]) -> set[str]:
    """Gives the garments of sheets that came into force or went out of it."""
    states = ({receipt[:2] for receipt in side if receipt[3] is None} for side in (ours, merged))
    before, after = states
    moved = arrow_table(
        tables.Table("names", "", (tables.Column("name", tables.TEXT, ""),)),
        [(sheet_id,) for _, sheet_id in sorted(before ^ after)],
    )
    connection.execute("DELETE FROM receipts")
    with registered(connection, all_receipts=arrow_table(_RECEIPTS, list(merged)), moved=moved):
        connection.execute("INSERT INTO receipts SELECT * FROM all_receipts ORDER BY seen_from, source")
        rows = connection.execute("""
            SELECT DISTINCT garment_id FROM figures WHERE sheet_id IN (SELECT name FROM moved)""").fetchall()
    return {row[0] for row in rows}


def _copy_kept(path: Path, other: Path) -> None:
    """The bytes of the other's sheets, kept beside ours before their figures land."""
    for file in sorted(sheets_folder(other).glob("*/*")):
        if not file.name.startswith(".") and (data := fetch(other, file.name)) is not None:
            keep(path, file.name, data)
