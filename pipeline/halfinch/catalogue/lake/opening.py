"""A lake opened for reading: a DuckDB database in memory whose views have the catalogue's names, over one commit.

What the commit lists is never changed, so a reader sees one moment however long it reads. The database reaches nothing
but the lake's folder. Only `rowid` differs: where a table of DuckDB hides it, these views show it.
"""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from halfinch.catalogue import store, tables
from halfinch.catalogue.for_analysts import create_for_analysts
from halfinch.catalogue.lake import commits, shape
from halfinch.catalogue.lake.commits import Commit
from halfinch.catalogue.lake.objects import Objects, open_objects
from halfinch.catalogue.lake.workspace import connect, of_garments, relation
from halfinch.catalogue.same_decisions import create_style_groups
from halfinch.catalogue.size_rows import KINDS, SIZE_ROWS, create_size_views
from halfinch.catalogue.tables import comment_on, quoted
from halfinch.catalogue.views import create_views
from halfinch.errors import CatalogueError, UsageError

if TYPE_CHECKING:
    import duckdb

EMPTY = (tables.RULINGS, tables.TAPED, tables.SAME_STYLES, tables.JUDGED)
"""What persons decided stands in a catalogue."""


_OPEN: list[tuple[object, duckdb.DuckDBPyConnection]] = []
"""The database that was made last, and what it was made of. A commit never changes, so it serves until there is a newer
one."""
_MAKING = threading.Lock()


def open_lake(path: Path, config: store.Config = store.CONFIG) -> duckdb.DuckDBPyConnection:
    """The newest commit, read-only. Raises CatalogueError."""
    objects = open_objects(path)
    commits.require(objects)
    commit = commits.newest(objects)
    made_of = (objects.url, commit.number, commit.key, sorted(config.items(), key=str))
    with _MAKING:
        if not _OPEN or _OPEN[0][0] != made_of:
            _OPEN[:] = [(made_of, _make(objects, commit, config))]
        connection = _OPEN[0][1].cursor()
    if not config.get("lock_configuration"):
        connection.execute("RESET memory_limit")
    return connection


def _make(objects: Objects, commit: Commit, config: store.Config) -> duckdb.DuckDBPyConnection:
    import duckdb

    connection = connect(objects, config)
    try:
        connection.execute(f"SET allowed_directories = [{quoted(objects.location(''))}]")
        connection.execute("SET enable_external_access = false")
        make_views(connection, objects, commit)
        if config.get("lock_configuration"):
            connection.execute("SET lock_configuration = true")
    except duckdb.Error as error:
        connection.close()
        first = (str(error).splitlines() or [""])[0]
        raise CatalogueError(f"{objects.url} cannot be read ({first}); an object may be missing or damaged.") from error
    return connection


def make_views(connection: duckdb.DuckDBPyConnection, objects: Objects, commit: Commit) -> None:
    """The tables of a commit as views, and the catalogue's views and macros over them."""
    views = {table: relation(objects, commit.of(table.name), table) for table in (*shape.SMALL, KINDS, shape.FIGURES)}
    bare, ours = "* EXCLUDE (reading_id)", {table.name: table for table in shape.OF_GARMENTS}
    stretched = relation(objects, commit.of(shape.STRETCHED.name), shape.STRETCHED)
    views[tables.STRETCHED] = f"(SELECT {bare} FROM {stretched})"
    views[tables.GARMENTS] = of_garments(objects, commit, ours["garments"], bare=True)
    views[SIZE_ROWS] = of_garments(objects, commit, ours["size_rows"], bare=True)
    own = relation(objects, commit.of(shape.FINDINGS.name), shape.FINDINGS)
    namesakes = relation(objects, commit.of(shape.NAMESAKES.name), shape.NAMESAKES)
    crossings = of_garments(objects, commit, shape.CROSSINGS, bare=True)
    views[tables.FINDINGS] = f"(SELECT * FROM {own} UNION ALL SELECT * FROM {crossings} UNION ALL FROM {namesakes})"
    for table, sql in views.items():
        connection.execute(f"CREATE VIEW {table.name} AS SELECT * FROM {sql}")
        comment_on(connection, table, "VIEW")
    for table in (tables.META, *EMPTY):
        tables.create_table(connection, table)
    values = [tables.SCHEMA_VERSION, commit.program, tables.STORAGE_VERSION]
    connection.execute("INSERT INTO meta VALUES (?, ?, ?)", values)
    create_views(connection)
    create_size_views(connection)
    create_for_analysts(connection)
    create_style_groups(connection)


def refuse_writing(path: Path) -> NoReturn:
    raise UsageError(
        f"{path} is a lake: only `halfinch import --to` and `halfinch compact` write it. Rulings, taped pairs and what "
        "else persons decide stand in a catalogue; import these sheets with --catalogue FILE.duckdb."
    )
