"""The next commit: batches that were read, and files that were known, become what the catalogue would say of them.

Which sheets are new and which lie where is settled first; then what is told of whole garments (their words, the clean
sizes, what sheets tell differently) is made anew for the garments that this touches, by the catalogue's own SQL, in
slices that fit into memory. Nothing depends on the order in which batches were read.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from halfinch.catalogue import tables
from halfinch.catalogue.frames import arrow_table, registered
from halfinch.catalogue.identity import digest
from halfinch.catalogue.lake import garments, shape
from halfinch.catalogue.lake.commits import Commit, Kept
from halfinch.catalogue.lake.objects import Objects
from halfinch.catalogue.lake.staging import Batch
from halfinch.catalogue.lake.workspace import put_query, relation, workspace
from halfinch.catalogue.landing import Arrival
from halfinch.catalogue.tables import Table

if TYPE_CHECKING:
    import duckdb

_KNOWN = Table(
    "known",
    "files that lie somewhere and were read before",
    tuple(tables.Column(name, tables.TEXT, "") for name in ("source", "merchant", "file_id")),
)


@dataclass(slots=True)
class Draft:
    """A commit that is being made."""

    objects: Objects
    base: Commit
    moment: datetime
    key: str = field(default_factory=lambda: uuid.uuid4().hex)
    listed: dict[str, list[Kept]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.listed = {table: list(kept) for table, kept in self.base.objects.items()}

    @property
    def number(self) -> int:
        return self.base.number + 1

    def add(self, table: str, kept: Sequence[Kept]) -> None:
        self.listed.setdefault(table, []).extend(kept)

    def replace(self, table: str, old: Sequence[Kept], new: Sequence[Kept]) -> None:
        self.listed[table] = [one for one in self.listed.get(table, []) if one not in old] + list(new)

    def name(self, table: str, part: str = "") -> str:
        """A place that no other writer uses."""
        return f"data/{table}/{self.number:010}-{self.key[:12]}{f'-{part}' if part else ''}.parquet"

    def relation(self, table: Table, more: str = "") -> str:
        return relation(self.objects, self.listed.get(table.name, []), table, more)

    def commit(self, doing: str) -> Commit:
        objects = {table: tuple(kept) for table, kept in self.listed.items() if kept}
        return Commit(self.number, objects, doing, f"{self.moment.isoformat()}Z", key=self.key)


def settle(
    objects: Objects, base: Commit, batches: Sequence[Batch], known: Sequence[Arrival], moment: datetime
) -> Commit | None:
    """The commit after `base` that holds these batches and says that these known files lie at their sources; None
    where that changes nothing. `moment`: of the import, UTC. Everything but the commit itself is written."""
    draft = Draft(objects, base, moment)
    with workspace(objects) as connection:
        for table in shape.SMALL:
            connection.execute(f"INSERT INTO {table.name} SELECT * FROM {draft.relation(table)}")
            connection.execute(f"CREATE TEMP TABLE old_{table.name} AS SELECT * FROM {table.name}")
        _gather(connection, draft, batches, known)
        _admit(connection)
        _take_sheets(connection, moment)
        _exchange_receipts(connection, moment)
        if not _put_small(connection, draft):
            return None
        _list_rows(connection, draft, batches)
        garments.refresh(connection, draft, _touched(connection, draft))
    return draft.commit("import")


def _gather(
    connection: duckdb.DuckDBPyConnection, draft: Draft, batches: Sequence[Batch], known: Sequence[Arrival]
) -> None:
    """`landed`: sheets that were read, in the order of their places; `landing_receipts`: what lies where now."""
    kept = [batch.objects["landed"] for batch in batches if "landed" in batch.objects]
    connection.execute(f"""
        CREATE TEMP TABLE landed AS
        SELECT *, row_number() OVER (ORDER BY string_split(file_source, '/'), nth) AS turn FROM (
            SELECT * EXCLUDE (filename), regexp_extract(filename, '([^/]+)[.]parquet$', 1) AS batch
            FROM {relation(draft.objects, kept, shape.LANDED, "filename")})""")
    rows = [(one.source, one.merchant, one.file_id) for one in known]
    with registered(connection, known=arrow_table(_KNOWN, rows)):
        connection.execute("""
            CREATE TEMP TABLE seen_again AS
            SELECT k.source || CASE WHEN f."inner" = '' THEN '' ELSE '/' || f."inner" END AS source,
                   k.source AS file_source, k.merchant, f.sheet_id
            FROM known k JOIN (SELECT file_id, sheet_id, "inner" FROM files
                               UNION SELECT file_id, sheet_id, "inner" FROM landed) f USING (file_id)""")


def _admit(connection: duckdb.DuckDBPyConnection) -> None:
    """`admitted`: one telling of each sheet that is not in the lake, or is there as one that could not be read for
    another reason."""
    connection.execute("""
        CREATE TEMP TABLE admitted AS
        SELECT * FROM landed WHERE sheet_id NOT IN (SELECT sheet_id FROM sheets WHERE outcome <> 'failed')
            AND (reading_id, outcome, message) NOT IN (
                SELECT (r.reading_id, s.outcome, s.message) FROM sheets s JOIN readings r USING (sheet_id))
        QUALIFY row_number() OVER (PARTITION BY sheet_id ORDER BY outcome = 'failed', turn) = 1""")


def _take_sheets(connection: duckdb.DuckDBPyConnection, moment: datetime) -> None:
    for table, key, found in (
        (tables.SOURCES, "source", "SELECT source, folder_merchant AS merchant, turn FROM landed "
         "UNION ALL SELECT source, merchant, 9223372036854775807 FROM seen_again"),
        (tables.FILES, 'file_id, sheet_id, "inner"', 'SELECT file_id, sheet_id, "inner", turn FROM landed'),
    ):  # fmt: skip
        connection.execute(f"""
            INSERT INTO {table.name} SELECT * EXCLUDE (turn) FROM ({found})
            WHERE ({key}) NOT IN (SELECT ({key}) FROM {table.name})
            QUALIFY row_number() OVER (PARTITION BY {key} ORDER BY turn) = 1""")
    shown = ", ".join(
        "coalesce(o.imported_at, $1) AS imported_at" if name == "imported_at" else f"a.{name}"
        for name in tables.SHEETS.column_names
    )
    connection.execute(
        f"""CREATE TEMP TABLE fresh_sheets AS
            SELECT {shown} FROM admitted a LEFT JOIN sheets o USING (sheet_id)""",
        [moment],
    )
    connection.execute("DELETE FROM sheets WHERE sheet_id IN (SELECT sheet_id FROM fresh_sheets)")
    connection.execute("INSERT INTO sheets SELECT * FROM fresh_sheets")
    for name in ("readings", "logs"):
        connection.execute(f"DELETE FROM {name} WHERE reading_id IN (SELECT reading_id FROM admitted)")
    connection.execute(
        "INSERT INTO readings SELECT reading_id, sheet_id, program, knowledge, habits, $1 FROM admitted", [moment]
    )
    connection.execute("INSERT INTO logs SELECT reading_id, log FROM admitted WHERE log <> ''")


def _exchange_receipts(connection: duckdb.DuckDBPyConnection, moment: datetime) -> None:
    """As the catalogue does (landing): a readable sheet takes the place of another one at its source, and a file that
    of every sheet that lay in it and does not any more."""
    connection.execute("""
        CREATE TEMP TABLE landing_receipts AS
        SELECT source, sheet_id, file_source, outcome <> 'failed' AS readable FROM landed
        UNION SELECT a.source, sheet_id, a.file_source, s.outcome <> 'failed'
        FROM seen_again a JOIN sheets s USING (sheet_id)""")
    connection.execute("""
        CREATE TEMP TABLE lying AS
        SELECT DISTINCT r.source, r.sheet_id, left(r.source, length(r.source)
            - CASE WHEN f."inner" = '' THEN 0 ELSE length(f."inner") + 1 END) AS file_source
        FROM receipts r JOIN files f USING (sheet_id)
        WHERE r.seen_to IS NULL AND (f."inner" = '' OR ends_with(r.source, '/' || f."inner"))""")
    connection.execute(
        """UPDATE receipts SET seen_to = $1
           WHERE seen_to IS NULL AND (source, sheet_id) IN (
               SELECT (source, sheet_id) FROM lying
               WHERE (source, sheet_id) NOT IN (SELECT (source, sheet_id) FROM landing_receipts)
                   AND (source IN (SELECT source FROM landing_receipts WHERE readable)
                        OR (source NOT IN (SELECT source FROM landing_receipts)
                            AND file_source IN (SELECT file_source FROM landing_receipts WHERE readable))))""",
        [moment],
    )
    connection.execute(
        """INSERT INTO receipts
           SELECT DISTINCT source, sheet_id, $1::TIMESTAMP, NULL::TIMESTAMP FROM landing_receipts
           WHERE (source, sheet_id) NOT IN (SELECT (source, sheet_id) FROM receipts WHERE seen_to IS NULL)""",
        [moment],
    )


def _put_small(connection: duckdb.DuckDBPyConnection, draft: Draft) -> bool:
    """New rows of the small tables as one object each; objects with rows that changed are written anew without them.
    Whether there was anything to write."""
    changed = False
    for table in shape.SMALL:
        gone = f"(SELECT * FROM old_{table.name} EXCEPT SELECT * FROM {table.name})"
        ((lost,),) = connection.execute(f"SELECT count(*) FROM {gone}").fetchall()
        if lost:
            for number, one in enumerate(draft.base.of(table.name)):
                rows = relation(draft.objects, [one], table)
                ((hit,),) = connection.execute(
                    f"SELECT count(*) FROM (SELECT * FROM {rows} INTERSECT {gone})"
                ).fetchall()
                if hit:
                    name = draft.name(table.name, f"without{number}")
                    sql = f"SELECT * FROM {rows} EXCEPT {gone}"
                    draft.replace(table.name, [one], put_query(connection, draft.objects, name, table, sql))
        new = f"SELECT * FROM {table.name} EXCEPT SELECT * FROM old_{table.name} ORDER BY ALL"
        kept = put_query(connection, draft.objects, draft.name(table.name), table, new)
        draft.add(table.name, kept)
        changed |= bool(lost or kept)
    return changed


def _list_rows(connection: duckdb.DuckDBPyConnection, draft: Draft, batches: Sequence[Batch]) -> None:
    """The objects of the batches; a batch whose sheets another one tells too gets objects without them."""
    dropped: dict[str, list[str]] = {}
    for batch, reading in connection.execute("""
        SELECT DISTINCT l.batch, l.reading_id FROM landed l
        LEFT JOIN admitted a ON a.reading_id = l.reading_id AND a.batch = l.batch
        WHERE a.reading_id IS NULL ORDER BY ALL""").fetchall():
        dropped.setdefault(batch, []).append(reading)
    for batch in batches:
        for table in shape.BY_BUCKET:
            if table.name not in batch.objects:
                continue
            kept: tuple[Kept, ...] = (batch.objects[table.name],)
            if batch.name in dropped:
                kept = _without(connection, draft, table, kept[0], dropped[batch.name])
            draft.add(table.name, kept)


def _without(
    connection: duckdb.DuckDBPyConnection, draft: Draft, table: Table, one: Kept, readings: Sequence[str]
) -> tuple[Kept, ...]:
    marks = ", ".join(tables.quoted(reading) for reading in readings)
    name = one.name.replace(".parquet", f"-{digest(*readings)[:12]}.parquet")
    rows = f"SELECT * FROM {relation(draft.objects, [one], table)} WHERE reading_id NOT IN ({marks})"
    return put_query(connection, draft.objects, name, table, rows)


def _touched(connection: duckdb.DuckDBPyConnection, draft: Draft) -> set[str]:
    """Garments of which a sheet tells that came, went, or lies elsewhere now."""
    moved = """SELECT sheet_id FROM admitted UNION
        SELECT sheet_id FROM (SELECT source, sheet_id, seen_to FROM receipts
                              EXCEPT SELECT source, sheet_id, seen_to FROM old_receipts)"""
    return {
        row[0]
        for row in connection.execute(f"""
            SELECT DISTINCT garment_id FROM {draft.relation(shape.TELLINGS)}
            WHERE reading_id IN (SELECT reading_id FROM readings WHERE sheet_id IN ({moved}))""").fetchall()
    }
