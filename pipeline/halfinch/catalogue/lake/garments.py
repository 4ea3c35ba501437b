"""What is told of whole garments, made anew for those that a commit touches: their words, the rows of `sizes`, and what
sheets tell differently. The SQL is the catalogue's; here it is fed in slices."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from halfinch.catalogue import tables
from halfinch.catalogue.crossings import refresh_differences, refresh_names
from halfinch.catalogue.lake import shape
from halfinch.catalogue.lake.workspace import keep_names, of_garments, put_query
from halfinch.catalogue.size_rows import KINDS, SIZE_ROWS, refresh_sizes
from halfinch.catalogue.tables import TEXT
from halfinch.catalogue.twins import refresh_twins, same_style_pairs

if TYPE_CHECKING:
    import duckdb

    from halfinch.catalogue.lake.settling import Draft

SLICE = 1_000_000
"""Figures that are spread over sizes at a time."""
GARMENTS, SIZES, CROSSINGS = shape.OF_GARMENTS


def refresh(connection: duckdb.DuckDBPyConnection, draft: Draft, touched: Collection[str]) -> None:
    """Adds the objects of these garments to the draft; the workspace holds receipts, readings and sheets as they will
    be."""
    _load_garments(connection, draft, touched)
    pairs = same_style_pairs(connection, touched)
    anew = set(touched) | {name for pair in pairs for name in pair}
    _retouch(connection, draft, anew)
    connection.execute(f"INSERT INTO kinds SELECT * FROM {draft.relation(KINDS)}")
    _refresh_slices(connection, draft, anew)
    _refresh_twins(connection, draft, touched, {name for pair in pairs for name in pair})
    _put_findings(connection, draft, CROSSINGS)
    connection.execute("DELETE FROM findings")
    refresh_names(connection, [row[0] for row in connection.execute("SELECT source FROM sources").fetchall()])
    draft.listed[shape.NAMESAKES.name] = []
    _put_findings(connection, draft, shape.NAMESAKES)
    kinds = put_query(connection, draft.objects, draft.name("kinds"), KINDS, "SELECT * FROM kinds ORDER BY kind")
    draft.listed["kinds"] = list(kinds)


def _load_garments(connection: duckdb.DuckDBPyConnection, draft: Draft, touched: Collection[str]) -> None:
    """All garments; of those that are touched, of each word what the newest sheet in force says that says it."""
    keep_names(connection, "touched_garments", touched)
    connection.execute(f"""
        INSERT INTO garments SELECT * FROM {of_garments(draft.objects, draft.base, GARMENTS, bare=True)}
        WHERE garment_id NOT IN (SELECT name FROM touched_garments)""")
    newest = "ORDER BY read_at DESC, string_split(file_source, '/') DESC, nth DESC"
    merged = ", ".join(
        f"coalesce(first({column.name} {newest}) FILTER ({_said(column)}), "
        + ("''" if column.type == TEXT else "NULL") + f") AS {column.name}"
        for column in tables.GARMENTS.columns[1:]
    )  # fmt: skip
    connection.execute(f"""
        INSERT INTO garments
        WITH told AS (
            SELECT t.*, r.read_at, t.reading_id IN (SELECT reading_id FROM current_readings) AS in_force
            FROM {draft.relation(shape.TELLINGS)} t JOIN readings r USING (reading_id)
            WHERE garment_id IN (SELECT name FROM touched_garments)),
        counting AS (SELECT * FROM told QUALIFY in_force = bool_or(in_force) OVER (PARTITION BY garment_id))
        SELECT garment_id, {merged} FROM counting GROUP BY garment_id""")


def _said(column: tables.Column) -> str:
    return f"{column.name} <> ''" if column.type == TEXT else f"{column.name} IS NOT NULL"


def _retouch(connection: duckdb.DuckDBPyConnection, draft: Draft, anew: Collection[str]) -> None:
    """Rows that an earlier commit made of these garments do not count any more."""
    keep_names(connection, "anew", anew)
    known = f"SELECT DISTINCT garment_id FROM {of_garments(draft.objects, draft.base, GARMENTS)}"
    sql = f"SELECT garment_id, {draft.number} AS generation FROM ({known}) WHERE garment_id IN (SELECT name FROM anew)"
    name = draft.name(shape.RETOUCHED.name)
    draft.add(shape.RETOUCHED.name, put_query(connection, draft.objects, name, shape.RETOUCHED, sql))
    told = (
        f"SELECT *, {draft.number} AS generation FROM garments WHERE garment_id IN (SELECT name FROM anew) ORDER BY 1"
    )
    draft.add("garments", put_query(connection, draft.objects, draft.name("garments"), GARMENTS, told))


def _refresh_slices(connection: duckdb.DuckDBPyConnection, draft: Draft, anew: Collection[str]) -> None:
    figures, first = draft.relation(shape.FIGURES), draft.number << 44
    ((count,),) = connection.execute(
        f"SELECT count(*) FROM {figures} WHERE garment_id IN (SELECT name FROM anew)"
    ).fetchall()
    slices = 1 + count // SLICE
    for number in range(slices):
        own = [name for name in anew if int(name[:8], 16) % slices == number]
        load_figures(connection, draft, own)
        refresh_sizes(connection, own)
        refresh_differences(connection, own)
        sql = f"""SELECT *, {first} + row_number() OVER () AS rowid, {draft.number} AS generation
                  FROM (SELECT * FROM size_rows ORDER BY garment_id, size, length)"""
        kept = put_query(connection, draft.objects, draft.name("size_rows", str(number)), SIZES, sql)
        draft.add(SIZE_ROWS.name, kept)
        first += sum(one.rows for one in kept)
        connection.execute("DELETE FROM size_rows")


def load_figures(connection: duckdb.DuckDBPyConnection, draft: Draft, of: Collection[str]) -> None:
    """Into the workspace: the figures in force of these garments, and what belongs to them."""
    keep_names(connection, "slice", of)
    connection.execute("DELETE FROM figures")
    connection.execute("DELETE FROM stretched")
    connection.execute(f"""
        INSERT INTO figures SELECT * EXCLUDE (rowid) FROM {draft.relation(shape.FIGURES)}
        WHERE garment_id IN (SELECT name FROM slice) AND reading_id IN (SELECT reading_id FROM current_readings)
        ORDER BY rowid""")
    connection.execute(f"""
        INSERT INTO stretched SELECT * EXCLUDE (reading_id) FROM {draft.relation(shape.STRETCHED)}
        WHERE figure_id IN (SELECT figure_id FROM figures)""")


def _refresh_twins(
    connection: duckdb.DuckDBPyConnection, draft: Draft, touched: Collection[str], alike: Collection[str]
) -> None:
    if alike:
        load_figures(connection, draft, alike)
        refresh_twins(connection, touched)


def _put_findings(connection: duckdb.DuckDBPyConnection, draft: Draft, table: tables.Table) -> None:
    """Findings of the workspace, behind those that their readings have by themselves."""
    first = 1 << (shape.PLACES - 1)
    sql = f"""
        SELECT *, ((('0x' || left(reading_id, 10))::BIGINT) << {shape.PLACES}) + {first}
               + row_number() OVER (PARTITION BY reading_id ORDER BY finding_id) AS rowid, {draft.number} AS generation
        FROM findings ORDER BY rowid"""
    draft.add(table.name, put_query(connection, draft.objects, draft.name(table.name), table, sql))
