"""One style under two merchants, or told with its code here and without there, with other figures on two sheets.

To the catalogue these are two garments, and the figures of both stay as they are. It is a finding on both: a sign of
an old sheet, another cut, or a seller who is not who he says.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from typing import TYPE_CHECKING

from halfinch.catalogue import tables
from halfinch.catalogue.frames import arrow_table, insert, registered
from halfinch.catalogue.identity import digest
from halfinch.catalogue.views import SAME_NM

if TYPE_CHECKING:
    import duckdb

STYLE_DIFFERS = "style_differs"
COMMON_STYLE = 12
"""A name that so many garments bear ("straight") says nothing."""
SHOWN = 3
"""So many figures are told in the message."""

_NAMES = tables.Table("names", "one column", (tables.Column("name", tables.TEXT, ""),))
_SLUG = "regexp_replace(lower(strip_accents({})), '[^\\pL\\pN]+', '-', 'g')"
_NAMED = f"""
    SELECT garment_id, merchant, style, style_code, {_SLUG.format("merchant")} AS seller,
           {_SLUG.format("style")} AS called, {_SLUG.format("style_code")} AS code, {_SLUG.format("block")} AS cut
    FROM garments"""
_SAME_STYLE = """
    a.garment_id <> b.garment_id AND a.cut = b.cut AND (
        (a.code <> '' AND a.code = b.code AND a.seller <> b.seller)
        OR (a.called <> '' AND a.called = b.called
            AND (a.seller <> b.seller OR ((a.code = '') <> (b.code = '')))))"""


def refresh_twins(connection: duckdb.DuckDBPyConnection, garments: Collection[str]) -> None:
    """Makes these findings anew for the garments that were touched and all that bear the same name."""
    pairs = same_style_pairs(connection, garments)
    near = sorted({name for pair in pairs for name in pair} | set(garments))
    with registered(connection, touched=arrow_table(_NAMES, [(name,) for name in near])):
        connection.execute(
            f"DELETE FROM findings WHERE rule = '{STYLE_DIFFERS}' AND garment_id IN (SELECT name FROM touched)"
        )
        if not pairs:
            return
        rows = connection.execute(f"""
            WITH named AS (SELECT * FROM ({_NAMED}) WHERE garment_id IN (SELECT name FROM touched)),
            told AS (
                SELECT * FROM current_figures WHERE status IN ('accepted', 'assumed') AND point NOT LIKE 'label_%'
                    AND point NOT LIKE 'body_%' AND garment_id IN (SELECT name FROM touched))
            SELECT DISTINCT a.garment_id, f.reading_id, f.sheet, g.sheet, b.merchant,
                   coalesce(nullif(b.style, ''), b.style_code), a.code <> '' AND a.code = b.code OR a.seller = b.seller,
                   f.point, f.size, f.length, f.inches, g.inches, b.garment_id
            FROM named a JOIN named b ON {_SAME_STYLE}
            JOIN told f ON f.garment_id = a.garment_id
            JOIN told g ON g.garment_id = b.garment_id AND g.point = f.point AND g.size = f.size
                AND g.length = f.length AND g.sheet_id <> f.sheet_id
                AND (g.size_system = f.size_system OR g.size_system = '' OR f.size_system = '')
            WHERE abs(f.length_nm - g.length_nm) > {SAME_NM}
            ORDER BY ALL""").fetchall()
    insert(connection, tables.FINDINGS, _findings(rows))


def same_style_pairs(connection: duckdb.DuckDBPyConnection, garments: Collection[str]) -> list[tuple[str, str]]:
    """Each of these garments with every other that is called alike."""
    with registered(connection, touched=arrow_table(_NAMES, [(name,) for name in garments])):
        return connection.execute(f"""
            WITH named AS ({_NAMED})
            SELECT DISTINCT a.garment_id, b.garment_id FROM named a JOIN named b ON {_SAME_STYLE}
            WHERE a.garment_id IN (SELECT name FROM touched)""").fetchall()


def _findings(rows: list[tuple[object, ...]]) -> list[tuple[object, ...]]:
    """One finding for each garment, sheet and other sheet."""
    groups: dict[tuple[object, ...], list[tuple[object, ...]]] = defaultdict(list)
    others: dict[object, set[object]] = defaultdict(set)
    for row in rows:
        groups[(*row[:7], row[12])].append(row[7:12])
        others[row[0]].add(row[12])
    found: list[tuple[object, ...]] = []
    for (garment, reading, sheet, other, merchant, style, sure, twin), figures in groups.items():
        if len(others[garment]) > COMMON_STYLE:
            continue
        shown = "; ".join(_told(figure) for figure in figures[:SHOWN])
        more = f"; and {len(figures) - SHOWN} more" if len(figures) > SHOWN else ""
        of = f" of {merchant}" if merchant else ""
        message = f"{style} is told otherwise on another sheet, {other}{of} (here {sheet}): {shown}{more}."
        finding_id = digest("finding", str(reading), str(garment), STYLE_DIFFERS, str(other), str(twin))
        suggestion = (
            "An old sheet, another cut, or a seller who is not who he says? The figures of both stay as they are."
        )
        severity = "warn" if sure else "note"
        found.append((finding_id, reading, garment, "", STYLE_DIFFERS, severity, message, suggestion))
    return found


def _told(figure: tuple[object, ...]) -> str:
    point, size, length, here, there = figure
    of = " ".join(str(part) for part in (str(point).replace("_", " "), size, length) if part)
    return f"{of} {_plain(here)} in here, {_plain(there)} in there"


def _plain(inches: object) -> str:
    text = str(inches)
    return text.rstrip("0").rstrip(".") if "." in text else text
