"""The clean catalogue kept ready: `size_rows` holds what the view `sizes_from_figures` makes of the figures.

The view turns figures into one row a garment, size and length, which takes long over millions of them; so its rows are
kept, and made anew for the garments that a transaction touches (landing, rulings, rereading), in that transaction. The
view `sizes` shows the promised columns. Beside them a row has what matching asks of a figure, the words of its garment,
and `kind`: which different set of such words it has, so that a body is reckoned with each set once, not with each row.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from halfinch.catalogue.frames import arrow_table, registered
from halfinch.catalogue.tables import INCHES, POINTS, TEXT, Column, Table, comment_on
from halfinch.catalogue.views import AGREES, SIZES, candidates_sql

if TYPE_CHECKING:
    import duckdb

MATCHED = tuple(point for point in POINTS if not point.startswith("body_"))
"""Points that matching looks at."""
OF_FIGURE = (
    ("minus", "tolerance_minus", INCHES, "inches of the full girth, as stated by the sheet, else NULL"),
    ("plus", "tolerance_plus", INCHES, "inches of the full girth, as stated by the sheet, else NULL"),
    ("at", "at_inches", INCHES, "inches from at_from to where the girth is taken, else NULL"),
    ("at_from", "at_from", TEXT, "crotch | top edge | band, '' if not said"),
    ("basis", "basis", TEXT, "declared | inferred | derived | ruled, '' where the point is empty"),
)
"""What a figure says more: ending of the column, column of `figures`, type, meaning."""
OF_VIEW = (
    ("", "inches"), ("_half_inch", "half_inch"), ("_to", "inches_to"), ("_status", "status"), ("_figure", "figure_id"),
)  # fmt: skip
OF_GARMENT = ("silhouette", "fabric", "stretch", "state", "price", "currency", "colour", "url")
WORDS = ("merchant", "silhouette", "fabric", "stretch", "state", "length", "knee_at_from")
"""What a kind is made of."""
_NAMES = Table("names", "one column", (Column("name", TEXT, ""),))

KINDS = Table(
    "kinds",
    "Each different set of words that rows of size_rows have",
    (
        Column("kind", "INTEGER", "number of the set"),
        *(Column(name, "DECIMAL(9,6)" if name == "stretch" else TEXT, f"size_rows.{name}") for name in WORDS),
    ),
)


def _size_rows() -> Table:
    more = [
        Column(f"{point}_{name}", kind, f"{point}: {means}")
        for point in MATCHED
        for name, _, kind, means in OF_FIGURE
    ]  # fmt: skip
    garment = [
        Column(
            name, {"stretch": "DECIMAL(9,6)", "price": "DECIMAL(14,4)"}.get(name, TEXT), f"garments.{name}"
        )
        for name in OF_GARMENT
    ]  # fmt: skip
    own = (
        Column("waist_stretched", INCHES, "inches, full girth, the waist pulled out, NULL if not printed"),
        *garment,
        Column("kind", "INTEGER", "kinds.kind"),
        Column("tie", "BIGINT", "from garment_id, size and length: orders rows that are equal else"),
    )
    return Table("size_rows", "The rows of `sizes`, kept ready for matching", (*SIZES.columns, *more, *own))


SIZE_ROWS = _size_rows()
TABLES = (KINDS, SIZE_ROWS)
TOLD = tuple(name for name in SIZE_ROWS.column_names if name not in ("kind", "tie"))
"""Columns that the view `sizes_from_figures` tells; the other two are made when a row is kept."""


def from_figures_sql(candidates: str = "size_candidates") -> str:
    """SQL of the clean catalogue made from the figures: the columns TOLD. `candidates`: a relation of the shape of
    views.candidates_sql."""
    taken = dict.fromkeys(column for _, column in OF_VIEW) | dict.fromkeys(column for _, column, _, _ in OF_FIGURE)
    columns = []
    for point in POINTS:
        more = [(f"_{name}", column) for name, column, _, _ in OF_FIGURE] if point in MATCHED else []
        for name, column in (*OF_VIEW, *more):
            picked = f"max(CASE WHEN point = '{point}' THEN taken.{column} END)"
            text = column in ("status", "figure_id", "at_from", "basis")
            columns.append((f"{point}{name}", f"coalesce({picked}, '')" if text else picked))
    named = ", ".join(f"{sql} AS {name}" for name, sql in columns)
    of = dict.fromkeys(("garment_id", "size", "size_system", "length", *(name for name, _ in columns)), "s")
    of |= dict.fromkeys(("merchant", "style", "style_code", "block", *OF_GARMENT), "g")
    shown = ", ".join(
        "CAST(out.inches AS DECIMAL(12,6)) AS waist_stretched" if name == "waist_stretched" else f"{of[name]}.{name}"
        for name in TOLD
    )
    return f"""
    WITH settled AS (
        SELECT garment_id, size, length, point, max(size_system) AS size_system,
               CASE WHEN {AGREES} THEN arg_min(
                   {{{", ".join(f"{name}: {name}" for name in taken)}}},
                   (CASE WHEN basis = 'ruled' THEN 'a' WHEN status = 'accepted' THEN 'b' ELSE 'c' END) || figure_id)
               END AS taken
        FROM {candidates} GROUP BY garment_id, size, length, point)
    SELECT {shown}
    FROM (SELECT garment_id, size, max(size_system) AS size_system, length, {named}
          FROM settled GROUP BY garment_id, size, length) s
        JOIN garments g USING (garment_id)
        LEFT JOIN stretched out ON out.figure_id = s.waist_figure"""


def create_sizes(connection: duckdb.DuckDBPyConnection) -> None:
    """Makes both tables, empty, and the views over them, in a database that has the other tables and views."""
    for table in TABLES:
        connection.execute(f"CREATE TABLE {table.name} ({', '.join(column.declaration for column in table.columns)})")
        comment_on(connection, table)
    create_size_views(connection)


def create_size_views(connection: duckdb.DuckDBPyConnection) -> None:
    """Makes or remakes the views over both tables, which are there under their names."""
    connection.execute(f"CREATE OR REPLACE VIEW sizes_from_figures AS {from_figures_sql()}")
    connection.execute(f"CREATE OR REPLACE VIEW kept_or_told AS {_kept_or_told_sql()}")
    shown = ", ".join(SIZES.column_names)
    connection.execute(f"CREATE OR REPLACE VIEW sizes AS SELECT {shown} FROM size_rows")
    comment_on(connection, SIZES, "VIEW")


def refresh_sizes(connection: duckdb.DuckDBPyConnection, garments: Collection[str]) -> None:
    """Makes the rows of these garments anew, in the transaction that touched their figures."""
    if not garments:
        return
    with registered(connection, touched=arrow_table(_NAMES, [(name,) for name in sorted(garments)])):
        connection.execute("DELETE FROM size_rows WHERE garment_id IN (SELECT name FROM touched)")
        _keep(connection, f"({candidates_sql('garment_id IN (SELECT name FROM touched)')})")


def rebuild_sizes(connection: duckdb.DuckDBPyConnection) -> None:
    """Makes every row anew."""
    connection.execute("DELETE FROM size_rows")
    connection.execute("DELETE FROM kinds")
    _keep(connection, "size_candidates")


def _kept_or_told_sql() -> str:
    """SQL: one row a garment, size and length that is kept or that the figures tell; `kept` is whether both say the
    same, and the row's kind holds its words."""
    told, shown = ", ".join(TOLD), "garment_id, merchant, style, size, length"
    words = " AND ".join(f"k.{name} IS NOT DISTINCT FROM r.{name}" for name in WORDS)
    return f"""
    WITH differing AS (
        (SELECT {told} FROM size_rows EXCEPT ALL SELECT {told} FROM sizes_from_figures)
        UNION ALL (SELECT {told} FROM sizes_from_figures EXCEPT ALL SELECT {told} FROM size_rows)
        UNION ALL SELECT {told} FROM size_rows r
        WHERE NOT EXISTS (SELECT 1 FROM kinds k WHERE k.kind = r.kind AND {words}))
    SELECT DISTINCT {shown},
           (garment_id, size, length) NOT IN (SELECT (garment_id, size, length) FROM differing) AS kept
    FROM (SELECT {shown} FROM size_rows UNION ALL SELECT {shown} FROM differing)"""


def _keep(connection: duckdb.DuckDBPyConnection, candidates: str) -> None:
    words = ", ".join(WORDS)
    connection.execute(f"CREATE OR REPLACE TEMP TABLE fresh_sizes AS {from_figures_sql(candidates)}")
    connection.execute(f"""
        INSERT INTO kinds
        SELECT (SELECT coalesce(max(kind), 0) FROM kinds) + row_number() OVER (ORDER BY {words}), {words}
        FROM (SELECT {words} FROM fresh_sizes EXCEPT SELECT {words} FROM kinds)""")
    same = " AND ".join(f"k.{name} IS NOT DISTINCT FROM f.{name}" for name in WORDS)
    connection.execute(f"""
        INSERT INTO size_rows
        SELECT {", ".join(f"f.{name}" for name in TOLD)}, k.kind, {tie_sql("f.")}
        FROM fresh_sizes f JOIN kinds k ON {same}""")
    connection.execute("DROP TABLE fresh_sizes")


def tie_sql(of: str = "") -> str:
    """SQL of `tie`: 28 bits of a digest, the same on every machine."""
    return f"CAST(md5_number_lower(concat_ws(chr(31), {of}garment_id, {of}size, {of}length)) % 268435456 AS BIGINT)"
