"""Views: what is in force now (`current_*`), and which figures come to which row of `sizes`, the clean catalogue.

How figures come to a row of `sizes` (one garment, size and length):

- accepted and assumed figures of current readings only; held ones still count when a garment's lengths are counted;
- scope `all` spreads over the sizes or lengths that the garment has;
- scope `unsaid` joins only where the garment has one length (or one size); else it stays in a row of its own;
- a figure that names its length stays there: one of a Regular block never spreads to Petite;
- within one sheet the more specific figure is taken, a figure told for that very size before one told for all;
- where current sheets differ by more than `SAME_NM`, the point is empty until one of the figures is ruled.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from halfinch.catalogue.tables import (
    FIGURES,
    FINDINGS,
    GARMENTS,
    HALF_INCH,
    INCHES,
    POINTS,
    READINGS,
    SHEETS,
    TEXT,
    Column,
    Table,
    comment_on,
)

if TYPE_CHECKING:
    import duckdb

SAME_NM = 1_587_500
"""1/16 in: one measure printed in inches on one sheet and in rounded centimetres on another differs by no more.
Honest sheets that print both columns agree within 0.062 in (48 rows of rises, 18 rows of jeans looked at)."""

CURRENT_READINGS = """
    SELECT * FROM readings
    WHERE sheet_id IN (SELECT sheet_id FROM receipts WHERE seen_to IS NULL)
    QUALIFY row_number() OVER (PARTITION BY sheet_id ORDER BY read_at DESC, reading_id) = 1"""


def _in_force(table: Table) -> str:
    columns = ", ".join(f'"{name}"' for name in table.column_names)
    return f"SELECT {columns} FROM {table.name} WHERE reading_id IN (SELECT reading_id FROM current_readings)"


CURRENT_SHEETS = "SELECT * FROM sheets WHERE sheet_id IN (SELECT sheet_id FROM current_readings)"
CURRENT_GARMENTS = """
    SELECT * FROM garments
    WHERE garment_id IN (SELECT garment_id FROM current_figures UNION SELECT garment_id FROM current_findings)"""


_SLOTS = """slots AS (
        SELECT * FROM pairs
        UNION  -- an inseam told once per length for all sizes; sizes whose lengths are told one by one keep to those
        SELECT s.garment_id, s.size, l.length FROM own_sizes s JOIN free_lengths l USING (garment_id)
        WHERE (l.garment_id, l.length) NOT IN (SELECT (garment_id, length) FROM pairs)
            OR (s.garment_id, s.size) NOT IN (SELECT (garment_id, size) FROM pairs)
        UNION  -- no length is told for this size
        SELECT s.garment_id, s.size, coalesce(l.length, '')
        FROM own_sizes s LEFT JOIN single_length l USING (garment_id)
        WHERE (s.garment_id, s.size) NOT IN (SELECT (garment_id, size) FROM pairs)
            AND s.garment_id NOT IN (SELECT garment_id FROM free_lengths)
        UNION  -- no size is told at all
        SELECT garment_id, '', length FROM free_lengths
        WHERE garment_id NOT IN (SELECT garment_id FROM own_sizes)
        UNION
        SELECT DISTINCT garment_id, '', '' FROM usable
        WHERE garment_id NOT IN (SELECT garment_id FROM own_sizes)
            AND garment_id NOT IN (SELECT garment_id FROM free_lengths)),"""
"""The rows of `sizes`: which sizes and lengths of a garment there are."""


def candidates_sql(only: str = "TRUE") -> str:
    """SQL of every figure that could stand in a row of `sizes`; `only` narrows it by a condition on garment_id.

    Columns: garment_id, size, length (of the row), point, figure_id, sheet_id, reading_id, length_nm, length_to_nm,
    inches, inches_to, half_inch, status, basis, size_system, tolerance_minus, tolerance_plus, at_inches, at_from.
    """
    return f"""
    WITH known AS (
        SELECT *, length = '' AND length_scope = 'unsaid' AS length_unsaid,
               length = '' AND length_scope = 'all' AS every_length,
               size = '' AND size_scope = 'all' AS every_size,
               size = '' AND size_scope = 'unsaid' AS size_unsaid
        FROM current_figures WHERE status <> 'set_aside' AND ({only})),
    clash AS (  -- a block without a length beside a block with one, other figures on the same sheet: two lengths
        SELECT DISTINCT u.garment_id FROM known u JOIN known o
            ON u.garment_id = o.garment_id AND u.point = o.point AND u.sheet_id = o.sheet_id
        WHERE u.length_unsaid AND o.length <> '' AND abs(u.length_nm - o.length_nm) > {SAME_NM}
            AND (u.size = o.size OR u.size = '' OR o.size = '')),
    single_length AS (
        SELECT garment_id, min(length) AS length FROM known
        WHERE length <> '' AND garment_id NOT IN (SELECT garment_id FROM clash)
        GROUP BY garment_id HAVING count(DISTINCT length) = 1),
    single_size AS (
        SELECT garment_id, min(size) AS size FROM known
        WHERE size <> '' GROUP BY garment_id HAVING count(DISTINCT size) = 1),
    usable AS (
        SELECT k.* EXCLUDE (size, length),
               CASE WHEN k.length_unsaid AND NOT (g.block = 'regular' AND l.length = 'petite')
                    THEN coalesce(l.length, '') ELSE k.length END AS length,
               CASE WHEN k.size_unsaid THEN coalesce(s.size, '') ELSE k.size END AS size,
               g.block = 'regular' AS of_regular
        FROM known k LEFT JOIN single_length l USING (garment_id) LEFT JOIN single_size s USING (garment_id)
            LEFT JOIN garments g USING (garment_id)
        WHERE k.status IN ('accepted', 'assumed')),
    pairs AS (SELECT DISTINCT garment_id, size, length FROM usable WHERE NOT every_size AND NOT every_length),
    own_sizes AS (SELECT DISTINCT garment_id, size FROM usable WHERE NOT every_size),
    free_lengths AS (SELECT DISTINCT garment_id, length FROM usable WHERE every_size AND NOT every_length),
    {_SLOTS}
    spread AS (
        SELECT t.garment_id, t.size, t.length, u.point, u.figure_id, u.sheet_id, u.reading_id, u.length_nm,
               u.length_to_nm, u.inches, u.inches_to, u.half_inch, u.status, u.basis, u.size_system,
               u.tolerance_minus, u.tolerance_plus, u.at_inches, u.at_from,
               u.every_size::INT + u.every_length::INT AS generality
        FROM slots t JOIN usable u ON u.garment_id = t.garment_id
            AND (u.every_size OR u.size = t.size) AND (u.every_length OR u.length = t.length)
        WHERE NOT (u.every_length AND u.of_regular AND t.length = 'petite')),
    specific AS (
        SELECT * FROM spread
        QUALIFY generality = min(generality) OVER (PARTITION BY garment_id, size, length, point, sheet_id))
    SELECT * EXCLUDE (generality) FROM specific
    QUALIFY (basis = 'ruled') = bool_or(basis = 'ruled') OVER (PARTITION BY garment_id, size, length, point)"""


AGREES = f"""max(length_nm) - min(length_nm) <= {SAME_NM}
    AND max(coalesce(length_to_nm, length_nm)) - min(coalesce(length_to_nm, length_nm)) <= {SAME_NM}"""


def _sizes_table() -> Table:
    columns = [
        Column("garment_id", TEXT, "garments.garment_id"),
        Column("merchant", TEXT, "merchant"),
        Column("style", TEXT, "style as printed"),
        Column("style_code", TEXT, "the merchant's code of the style"),
        Column("block", TEXT, "regular | curvy | plus | maternity ..., '' if not said"),
        Column("size", TEXT, "size as printed without its length part"),
        Column("size_system", TEXT, "system of the size, '' if not known"),
        Column("length", TEXT, "extra short | petite | short | regular | long | tall | labelled inseam | ''"),
    ]
    for point in POINTS:
        columns += [
            Column(point, INCHES, f"inches, full girth or length, {point}; NULL if not known or sheets differ"),
            Column(f"{point}_half_inch", HALF_INCH, f"inches, {point} to the nearest half"),
            Column(f"{point}_to", INCHES, f"inches, upper end of a printed range of {point}"),
            Column(f"{point}_status", TEXT, f"accepted | assumed | '' where {point} is empty"),
            Column(f"{point}_figure", TEXT, f"figures.figure_id behind {point}, '' where it is empty"),
        ]
    means = "The clean catalogue: one row a garment, size and length; accepted and assumed figures only"
    return Table("sizes", means, tuple(columns))


SIZES = _sizes_table()


def _current(table: Table) -> Table:
    return Table(f"current_{table.name}", f"{table.means}: those in force", table.columns)


VIEWS = (
    (_current(READINGS), CURRENT_READINGS),
    (_current(FIGURES), _in_force(FIGURES)),
    (_current(FINDINGS), _in_force(FINDINGS)),
    (_current(SHEETS), CURRENT_SHEETS),
    (_current(GARMENTS), CURRENT_GARMENTS),
)


def create_views(connection: duckdb.DuckDBPyConnection) -> None:
    """Makes or remakes every view but those of the sizes (size_rows.create_sizes), with comments."""
    for table, sql in VIEWS:
        connection.execute(f"CREATE OR REPLACE VIEW {table.name} AS {sql}")
        comment_on(connection, table, "VIEW")
    connection.execute(f"CREATE OR REPLACE VIEW size_candidates AS {candidates_sql()}")
