"""Findings that no sheet shows by itself: two sheets that differ on a garment, one name in two folders."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from typing import TYPE_CHECKING

from halfinch.catalogue import tables
from halfinch.catalogue.frames import arrow_table, insert, registered
from halfinch.catalogue.identity import digest
from halfinch.catalogue.rows import OWN_EXPORT
from halfinch.catalogue.twins import refresh_twins
from halfinch.catalogue.views import AGREES, candidates_sql

if TYPE_CHECKING:
    import duckdb

SHEETS_DIFFER = "sheets_differ"
FIGURES_DIFFER = "figures_differ"
SAME_NAME = "same_name_elsewhere"

COMMON_NAME = 12
"""A name that so many folders hold (index.html) says nothing."""

MAY_DIFFER = """count(DISTINCT sheet_id) > 1 OR count(*) > count(DISTINCT (point, size, length))
    OR bool_or(size = '' AND size_scope = 'unsaid')
    OR (bool_or(size = '' AND size_scope = 'all') AND bool_or(length = '' AND length_scope = 'all'))"""
"""A quick look that spares most garments the spreading over sizes: without one of these, no two figures can meet."""

_NAMES = tables.Table("names", "one column", (tables.Column("name", tables.TEXT, ""),))


def refresh_crossings(
    connection: duckdb.DuckDBPyConnection, garments: Collection[str], sources: Collection[str] = ()
) -> None:
    """Makes these findings anew for the garments and sources that were touched."""
    if garments:
        refresh_differences(connection, garments)
        refresh_twins(connection, garments)
    if sources:
        refresh_names(connection, sources)


def refresh_differences(connection: duckdb.DuckDBPyConnection, garments: Collection[str]) -> None:
    """Two figures of one point that differ: in one garment, on one sheet or two."""
    touched = "garment_id IN (SELECT name FROM touched)"
    rules = f"rule IN ('{SHEETS_DIFFER}', '{FIGURES_DIFFER}')"
    with registered(connection, touched=arrow_table(_NAMES, [(name,) for name in garments])):
        connection.execute(f"DELETE FROM findings WHERE {rules} AND {touched}")
        suspects = connection.execute(f"""
            SELECT garment_id FROM current_figures WHERE {touched} AND status IN ('accepted', 'assumed')
            GROUP BY garment_id HAVING {MAY_DIFFER}""").fetchall()
    if not suspects:
        return
    with registered(connection, touched=arrow_table(_NAMES, suspects)):
        rows = connection.execute(f"""
            WITH c AS ({candidates_sql(touched)}),
            differing AS (SELECT garment_id, size, length, point FROM c
                          GROUP BY garment_id, size, length, point HAVING NOT ({AGREES}))
            SELECT DISTINCT c.garment_id, c.point, c.size, c.length, c.figure_id, c.reading_id, c.inches,
                   f.sheet, f.place
            FROM c JOIN differing USING (garment_id, size, length, point) JOIN figures f USING (figure_id)
            ORDER BY ALL""").fetchall()
    insert(connection, tables.FINDINGS, _differences(rows))


def _differences(rows: list[tuple[object, ...]]) -> list[tuple[object, ...]]:
    """One finding a figure, however many sizes it was spread over."""
    groups: dict[tuple[object, ...], list[tuple[object, ...]]] = defaultdict(list)
    for row in rows:
        groups[row[:4]].append(row)
    found: dict[str, tuple[object, ...]] = {}
    for (garment_id, point, size, length), members in groups.items():
        of = " ".join(str(part) for part in ("size", size, length) if part) if size or length else "all sizes"
        told = "; ".join(f"{_plain(m[6])} in ({m[7]}, {m[8]})" for m in members)
        rule = SHEETS_DIFFER if len({m[7] for m in members}) > 1 else FIGURES_DIFFER
        message = f"{str(point).replace('_', ' ')} of {of} is told with different figures: {told}."
        for member in members:
            finding_id = digest("finding", str(member[5]), str(member[4]), rule)
            found.setdefault(
                str(member[4]),
                (finding_id, member[5], garment_id, member[4], rule, "warn", message,
                 "Rule which figure is right, or that one is not ours; until then this point is left empty."),
            )  # fmt: skip
    return list(found.values())


def _plain(inches: object) -> str:
    text = str(inches)
    return text.rstrip("0").rstrip(".") if "." in text else text


def refresh_names(connection: duckdb.DuckDBPyConnection, sources: Collection[str]) -> None:
    """One name in two folders, of the names that these sources have."""
    bare = "regexp_extract(r.source, '[^/]*$')"
    of_name = f"""
        FROM receipts r JOIN current_readings c USING (sheet_id) JOIN sheets s USING (sheet_id)
        WHERE r.seen_to IS NULL AND s.kind <> '{OWN_EXPORT}' AND {bare} IN (SELECT name FROM touched)"""
    with registered(connection, touched=arrow_table(_NAMES, [(name.rpartition("/")[2],) for name in set(sources)])):
        connection.execute(
            f"DELETE FROM findings WHERE rule = '{SAME_NAME}' AND reading_id IN (SELECT c.reading_id {of_name})"
        )
        rows = connection.execute(f"""
            SELECT * FROM (SELECT DISTINCT {bare} AS name, r.source, c.reading_id, r.sheet_id {of_name})
            WINDOW of_name AS (PARTITION BY name)
            QUALIFY count(*) OVER of_name <= {COMMON_NAME} AND min(sheet_id) OVER of_name <> max(sheet_id) OVER of_name
            ORDER BY ALL""").fetchall()
    by_name: dict[str, list[tuple[str, ...]]] = defaultdict(list)
    for row in rows:
        by_name[row[0]].append(row)
    found = {}
    for name, members in by_name.items():
        for _, source, reading, sheet_id in members:
            others = ", ".join(member[1] for member in members if member[3] != sheet_id)
            message = f"Another sheet of the name {name} lies elsewhere: {others}; {source} is kept beside it."
            finding_id = digest("finding", reading, SAME_NAME, source)
            suggestion = "If one replaces the other, import it with --as and the name of the earlier source."
            found[finding_id] = (finding_id, reading, "", "", SAME_NAME, "note", message, suggestion)
    insert(connection, tables.FINDINGS, list(found.values()))
