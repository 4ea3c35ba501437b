"""Copies of a catalogue that were read back before anybody relies on them."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store
from halfinch.errors import CatalogueError

if TYPE_CHECKING:
    import duckdb

Fingerprint = dict[str, tuple[int, int]]


def back_up(path: Path, target: Path | None = None, *, with_sheets: bool = True, wait: float = 30.0) -> Path:
    """Copies the catalogue, and the kept sheets beside it, to `target`; reads the copy back; gives its path.

    Without `target` the copy is named after the moment. Nobody writes meanwhile. Raises CatalogueError when `target`
    exists, cannot be written, or does not read back the same.
    """
    from halfinch.catalogue.kept_sheets import sheets_folder

    store.require(path)
    named = target or path.with_name(f"{path.stem}-{store.now():%Y%m%dT%H%M%S}{path.suffix}")
    if target is None:
        named = free_name(named)
    if named.exists():
        raise CatalogueError(f"{named} exists already; name another file for the backup.")
    if not named.parent.is_dir():
        raise CatalogueError(f"{named}: the folder {named.parent} does not exist; make it, or name another place.")
    with store.locked(path, "backup", wait):
        copy_and_read_back(path, named, wait)
        kept = sheets_folder(path)
        if with_sheets and kept.is_dir():
            shutil.copytree(kept, sheets_folder(named), dirs_exist_ok=True)
    return named


def copy_and_read_back(path: Path, target: Path, wait: float = 30.0) -> None:
    """Copies a catalogue whose lock is held, and compares every row of the copy with the original."""
    part = target.with_name(f".{target.name}.part-{os.getpid()}")
    before = _fingerprint(path, wait, settle=True)
    try:
        try:
            shutil.copyfile(path, part)
            with part.open("rb+") as file:
                os.fsync(file.fileno())
        except OSError as error:
            raise CatalogueError(f"{target} cannot be written ({error.strerror}); nothing was changed.") from error
        if _fingerprint(part, wait) != before:
            raise CatalogueError(f"The copy of {path} did not read back the same; nothing was changed. Try again.")
        os.replace(part, target)
    finally:
        part.unlink(missing_ok=True)


def free_name(path: Path) -> Path:
    """`path`, or the first of `path-2`, `path-3` ... that does not exist."""
    name, count = path, 1
    while name.exists():
        count += 1
        name = path.with_name(f"{path.stem}-{count}{path.suffix}")
    return name


def _fingerprint(path: Path, wait: float, *, settle: bool = False) -> Fingerprint:
    """Rows and a digest of the rows of every table. `settle` first moves all that was written into the one file."""
    with _opened(path, wait, read_only=not settle) as connection:
        if settle:
            connection.execute("CHECKPOINT")
        names = connection.execute("SELECT table_name FROM duckdb_tables() WHERE NOT internal ORDER BY 1").fetchall()
        found: Fingerprint = {}
        for (name,) in names:
            sql = f'SELECT count(*), coalesce(sum(hash(t)::HUGEINT), 0) FROM "{name}" t'
            ((count, hashes),) = connection.execute(sql).fetchall()
            found[name] = (int(count), int(hashes))
        return found


@contextmanager
def _opened(path: Path, wait: float, *, read_only: bool) -> Iterator[duckdb.DuckDBPyConnection]:
    connection = store.connect(path, read_only=read_only, wait=wait)
    try:
        yield connection
    finally:
        connection.close()
