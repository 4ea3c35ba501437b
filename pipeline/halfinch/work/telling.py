"""What a path says: a catalogue, or sheets that are read for it with nothing stored."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from halfinch.catalogue import store
from halfinch.catalogue.changes import Diff, Telling, compare, pair_garments, telling_at, telling_of_rows
from halfinch.catalogue.habits import load_habits
from halfinch.catalogue.lake.objects import is_lake
from halfinch.catalogue.rows import Rows, rows_of
from halfinch.errors import UsageError
from halfinch.work.files import find_files
from halfinch.work.importing import Options, make_stamp
from halfinch.work.pool import Setting, Task, read_all

HERE = ""
"""Source of sheets that are only read: garments whom nothing names are the same in both versions of a sheet."""


def is_catalogue(path: Path) -> bool:
    """Whether a DuckDB file or a lake stands there."""
    if is_lake(path):
        return True
    try:
        with path.open("rb") as file:
            return file.read(store.MAGIC_AT + len(store.MAGIC))[store.MAGIC_AT :] == store.MAGIC
    except OSError:
        return False


def diff_paths(old: Path, new: Path, options: Options | None = None, habits_of: Path | None = None) -> Diff:
    """Two sheets, folders of sheets or catalogues, in any mixture. Beside a catalogue a sheet is compared with what the
    catalogue says of the garments on it. `habits_of`: the catalogue beside which the merchants' habits stand.

    Raises UsageError for a path where nothing is, CatalogueError, KnowledgeError.
    """
    kinds = [is_catalogue(path) for path in (old, new)]
    if habits_of is None:
        habits_of = next((path for path, kind in zip((old, new), kinds, strict=True) if kind), None)
    options = options or Options()
    sides = [
        _of_catalogue(path, options.wait) if kind else _of_sheets(path, options, habits_of)
        for path, kind in zip((old, new), kinds, strict=True)
    ]
    if kinds[0] != kinds[1]:
        sides = _on_the_sheet(sides, kinds.index(False))
    return compare(*sides, lone_pair=not any(kinds) and all(path.is_file() for path in (old, new)))


def diff_dates(catalogue: Path, since: datetime, until: datetime | None = None, *, wait: float = 30.0) -> Diff:
    """One catalogue on two dates (with a zone); `until` None is now."""
    moments = [None if at is None else at.astimezone(UTC).replace(tzinfo=None) for at in (since, until)]
    with store.reading(catalogue, wait) as connection:
        named = [f"{catalogue} {at:%Y-%m-%d %H:%M}" if at else str(catalogue) for at in (since, until)]
        sides = [telling_at(connection, name, at) for name, at in zip(named, moments, strict=True)]
    return compare(*sides)


def _of_catalogue(path: Path, wait: float) -> Telling:
    with store.reading(path, wait) as connection:
        return telling_at(connection, str(path))


def _of_sheets(path: Path, options: Options, habits_of: Path | None) -> Telling:
    habits = load_habits(habits_of) if habits_of is not None else None
    stamp = make_stamp(options.schemas, habits)
    moment = store.now()
    rows, troubles = Rows(), list[str]()
    found = list(find_files([path], habits_of or path.with_name("none.duckdb"), merchant=options.merchant))
    for trouble in (f"{one.name}: {one.trouble}" for one in found if one.trouble):
        troubles.append(trouble)
    whose = [one.merchant if path.is_dir() or options.merchant else "" for one in found]

    def tasks() -> Iterator[Task]:
        for number, one in enumerate(found):
            if not one.trouble:
                yield Task(one.path.read_bytes(), one.name, whose[number], number)

    for task, results in read_all(tasks(), Setting(options.schemas, habits), jobs=options.jobs, limit=options.limit):
        for result in results:
            if result.outcome == "failed":
                troubles.append(f"{result.sheet}: {result.message}")
            rows.take(rows_of(result, HERE, task.merchant, stamp, moment))
    if troubles and not path.is_dir():
        raise UsageError(" ".join(troubles))
    return telling_of_rows(str(path), rows.of["garments"], rows.of["figures"], troubles)


def _on_the_sheet(sides: list[Telling], sheet: int) -> list[Telling]:
    """Both sides, of the catalogue only the garments that are on the sheet too."""
    pairs, _, _ = pair_garments(sides[1 - sheet].garments, sides[sheet].garments)
    kept = tuple(of_catalogue for of_catalogue, _, _ in pairs)
    narrowed = replace(sides[1 - sheet], garments=kept)
    return [sides[0], narrowed] if sheet == 0 else [narrowed, sides[1]]
