"""Small objects are joined, rows that do not count any more are left out: a commit like every other one.

What no commit lists any more is swept later, when nobody can be reading it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from halfinch.catalogue import store
from halfinch.catalogue.lake import commits, shape
from halfinch.catalogue.lake.commits import Commit, Kept
from halfinch.catalogue.lake.objects import FOUNDED, Objects
from halfinch.catalogue.lake.settling import Draft
from halfinch.catalogue.lake.staging import MARKERS
from halfinch.catalogue.lake.workspace import of_garments, put_query, relation, workspace
from halfinch.catalogue.tables import Table

if TYPE_CHECKING:
    import duckdb

SMALL, LARGE = 64_000_000, 256_000_000
"""Bytes: smaller objects are joined, to no more than the greater number."""
KEEP_HOURS = 24.0
MARKERS_SOONER = timedelta(hours=1)
"""A batch's marker goes before its objects: none says that there is what was swept."""


@dataclass(frozen=True, slots=True)
class Compacted:
    """What became of a lake."""

    objects_before: int
    objects: int
    bytes: int
    swept: int
    """Objects that were removed."""


def compact(objects: Objects, keep_hours: float = KEEP_HOURS) -> Compacted:
    """Joins the small objects of every table, and removes what no commit of the last `keep_hours` lists. Readers and
    importers may go on meanwhile. Raises CatalogueError, BusyError."""
    commits.require(objects)
    before = commits.newest(objects)
    after = commits.commit_next(objects, lambda base: _joined(objects, base))
    swept = sweep(objects, after, keep_hours)
    kept = [one for listed in after.objects.values() for one in listed]
    return Compacted(
        sum(len(listed) for listed in before.objects.values()), len(kept), sum(one.bytes for one in kept), swept
    )


def _joined(objects: Objects, base: Commit) -> Commit | None:
    draft = Draft(objects, base, store.now())
    with workspace(objects) as connection:
        for table in (*shape.BY_BUCKET, *shape.SMALL):
            for number, group in enumerate(_groups(base.of(table.name))):
                _join(connection, draft, table, group, number)
        _settle_garments(connection, draft)
    return None if draft.commit("").objects == base.objects else draft.commit("compact")


def _groups(kept: Sequence[Kept]) -> Iterator[list[Kept]]:
    """Objects that become one: small ones of one bucket, so many as are large enough together."""
    by_folder: dict[str, list[Kept]] = {}
    for one in kept:
        if one.bytes < SMALL:
            by_folder.setdefault(one.name.rpartition("/")[0], []).append(one)
    for small in by_folder.values():
        group: list[Kept] = []
        for one in small:
            if sum(member.bytes for member in group) + one.bytes > LARGE:
                yield group
                group = []
            group.append(one)
        if len(group) > 1:
            yield group


def _join(
    connection: duckdb.DuckDBPyConnection, draft: Draft, table: Table, group: Sequence[Kept], number: int
) -> None:
    folder = group[0].name.rpartition("/")[0]
    name = draft.name(table.name, str(number))
    name = f"{folder}/{name.rpartition('/')[2]}"
    order = " ORDER BY rowid" if shape.ROWID in table.columns else ""
    new = put_query(connection, draft.objects, name, table, f"FROM {relation(draft.objects, group, table)}{order}")
    draft.replace(table.name, group, new)


def _settle_garments(connection: duckdb.DuckDBPyConnection, draft: Draft) -> None:
    """Rows of earlier generations go, and with them the list of garments that were made anew."""
    base = draft.base
    for table in shape.OF_GARMENTS:
        kept = base.of(table.name)
        stale = bool(base.of(shape.RETOUCHED.name))
        if not stale and sum(one.bytes < SMALL for one in kept) < 2:
            continue
        order = " ORDER BY rowid" if shape.ROWID in table.columns else " ORDER BY garment_id"
        new: list[Kept] = []
        for number, group in enumerate(_all_groups(kept)):
            part = Commit(base.number, {table.name: tuple(group), **_retouched(base)})
            sql = f"FROM {of_garments(draft.objects, part, table)}{order}"
            new += put_query(connection, draft.objects, draft.name(table.name, str(number)), table, sql)
        draft.listed[table.name] = new
    draft.listed[shape.RETOUCHED.name] = []


def _retouched(base: Commit) -> dict[str, tuple[Kept, ...]]:
    return {shape.RETOUCHED.name: base.of(shape.RETOUCHED.name)}


def _all_groups(kept: Sequence[Kept]) -> Iterator[list[Kept]]:
    group: list[Kept] = []
    for one in kept:
        if group and sum(member.bytes for member in group) + one.bytes > LARGE:
            yield group
            group = []
        group.append(one)
    if group:
        yield group


def sweep(objects: Objects, newest: Commit, keep_hours: float) -> int:
    """Removes objects that are older than `keep_hours` and listed by no commit as young, and commits as old."""
    until = datetime.now(UTC) - timedelta(hours=keep_hours)
    entries = list(objects.entries(""))
    past = [one for one in entries if one.name.startswith(f"{commits.FOLDER}/") and one.name.endswith(".json")]
    newest_name = commits.name_of(newest.number)
    young = [one for one in past if one.at >= until or one.name >= newest_name]
    kept = {FOUNDED, *(one.name for one in young)}
    kept |= commits.listed(commits.read(objects, one.name) for one in young)
    kept |= commits.listed([newest])
    marks = until + MARKERS_SOONER
    old = [
        one.name
        for one in entries
        if one.name not in kept and one.at < (marks if one.name.startswith(f"{MARKERS}/") else until)
    ]
    objects.delete(old)
    return len(old)
