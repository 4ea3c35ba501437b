"""The catalogue's file: opened shortly, written behind a lock, refused when it is not ours.

No process keeps the DuckDB file open between operations, so several programs can share it; the threads of one program
share what it has open (`sharing`). Who writes takes `NAME.lock` first; who waits too long is told who holds it.
"""

from __future__ import annotations

import contextlib
import getpass
import json
import os
import socket
import threading
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import sharing, tables
from halfinch.catalogue.torn_log import TornLogError, log_of, put_torn_log_aside
from halfinch.errors import BusyError, CatalogueError, UsageError

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

DEFAULT_WAIT = 30.0
"""Seconds that a writer or a reader waits for another program to finish."""

POLITE = 2.0
"""Seconds after a writer of another program has taken the lock in which no reader opens the file before it: many
readers by turns would never leave it a gap."""

MAGIC_AT, MAGIC = 8, b"DUCK"

Config = dict[str, str | bool | int | float | list[str]]

# A catalogue is read from this machine alone. Neither a query nor a view of an odd file reaches another file, the
# network, an extension or the variables of this program. All connections of a program to a file need the same settings.
CONFIG: Config = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
    "enable_external_access": "false",
    "python_enable_replacements": "false",
}

CURRENT = ("readings", "figures", "findings", "sheets", "garments")
"""Tables with a view `current_*` of what is in force."""

SIZES_VIEWS = ("sizes", "sizes_from_figures", "kept_or_told")
"""The clean catalogue as it is kept, as the figures tell it, and whether the two agree (size_rows)."""

Upgrade = Callable[["duckdb.DuckDBPyConnection"], None]


def _keep_sizes(connection: duckdb.DuckDBPyConnection) -> None:
    """1 to 2: `sizes`, a view over the figures until then, is kept in a table."""
    from halfinch.catalogue.size_rows import create_sizes, rebuild_sizes
    from halfinch.catalogue.views import create_views

    connection.execute("DROP VIEW sizes")
    create_views(connection)
    create_sizes(connection)
    rebuild_sizes(connection)


def _add_what_analysts_ask(connection: duckdb.DuckDBPyConnection) -> None:
    """2 to 3: the view `clean_figures` and the macros."""
    from halfinch.catalogue.for_analysts import create_for_analysts

    create_for_analysts(connection)


def _add_same_styles(connection: duckdb.DuckDBPyConnection) -> None:
    """3 to 4: the table `same_styles` and its view."""
    from halfinch.catalogue.same_decisions import create_style_groups

    tables.create_table(connection, tables.SAME_STYLES)
    create_style_groups(connection)


UPGRADES: dict[int, Upgrade] = {1: _keep_sizes, 2: _add_what_analysts_ask, 3: _add_same_styles}
"""Schema version to the step that brings it to the next one."""


def now() -> datetime:
    """The present moment as the tables keep it: UTC, without a zone."""
    return datetime.now(UTC).replace(tzinfo=None)


def written_at(path: Path) -> tuple[int, ...]:
    """Another one after every change: when the file, and what was not moved into it yet, were written."""
    found: list[int] = []
    for one in (path, Path(f"{path}.wal")):
        with contextlib.suppress(FileNotFoundError):
            told = one.stat()
            found += [told.st_mtime_ns, told.st_size]
    return tuple(found)


@contextlib.contextmanager
def reading(path: Path, wait: float = DEFAULT_WAIT) -> Iterator[duckdb.DuckDBPyConnection]:
    """A short connection to a catalogue or a lake that only reads, all of one moment, whoever writes meanwhile in this
    program; an older catalogue is upgraded first.

    Raises CatalogueError where there is no catalogue, it is not ours, too new, damaged, or in use for too long.
    """
    from halfinch.catalogue.lake.objects import is_lake

    if is_lake(path):
        with contextlib.closing(connect(path, read_only=True, wait=wait)) as connection:
            yield connection
        return
    require(path)
    if not sharing.reads_already(path):
        _let_writer_first(path, wait)
    with contextlib.ExitStack() as stack:
        try:
            connection = stack.enter_context(sharing.to_read(path, wait, lambda: _open_to_read(path, wait)))
        except (_OlderError, TornLogError) as error:
            with writing(path, "upgrade" if isinstance(error, _OlderError) else "recover", wait):
                pass
            connection = stack.enter_context(sharing.to_read(path, wait, lambda: _open_to_read(path, wait)))
        connection.execute("BEGIN TRANSACTION READ ONLY")
        yield connection


def read_frames(path: Path, *names: str, wait: float = DEFAULT_WAIT) -> list[pd.DataFrame]:
    """Tables or views as pandas frames, all of one moment."""
    known = {table.name for table in tables.TABLES} | {f"current_{name}" for name in CURRENT}
    known |= {*SIZES_VIEWS, "clean_figures"}
    unknown = [name for name in names if name not in known]
    if unknown:
        raise UsageError(f'There is no table "{unknown[0]}"; choose of {", ".join(sorted(known))}.')
    with reading(path, wait) as connection:
        return [connection.execute(f"SELECT * FROM {name}").df() for name in names]


@contextlib.contextmanager
def writing(
    path: Path, doing: str = "write", wait: float = DEFAULT_WAIT, *, create: bool = False
) -> Iterator[duckdb.DuckDBPyConnection]:
    """A short connection for writing, behind the lock, in one transaction: all of it lands or nothing.

    `doing` is what a waiting program is told. With `create` a missing catalogue is made.
    """
    with locked(path, doing, wait):
        if create and not path.exists():
            with _room_told(path):
                _create(path)
        require(path)
        with _room_told(path), sharing.to_write(path, wait, lambda: _open_to_write(path, wait)) as connection:
            connection.execute("BEGIN")
            yield connection
            connection.execute("COMMIT")  # what was not committed is gone with the connection


_NO_ROOM = ("No space left", "quota", "Read-only file system", "File too large")


@contextlib.contextmanager
def _room_told(path: Path) -> Iterator[None]:
    """A disk that is full, or may not be written, becomes a CatalogueError: DuckDB tells of it in several kinds."""
    import duckdb

    try:
        yield
    except duckdb.Error as error:
        said = next((one for one in _NO_ROOM if one in str(error)), "")
        if not said:
            raise
        raise CatalogueError(
            f"{path} cannot be written ({said}{' on device' * (said == _NO_ROOM[0])}): make room and run the same "
            "command again; what had landed stays."
        ) from error


@contextlib.contextmanager
def locked(path: Path, doing: str, wait: float = DEFAULT_WAIT) -> Iterator[None]:
    """Holds the catalogue's lock file; raises CatalogueError naming the holder when it is not free in time."""
    import filelock

    from halfinch.catalogue.lake.objects import is_lake

    if is_lake(path):
        from halfinch.catalogue.lake.opening import refuse_writing

        refuse_writing(path)
    if not path.parent.is_dir():
        raise CatalogueError(f"{path}: the folder {path.parent} does not exist; make it, or name another place.")
    lock = filelock.FileLock(f"{path}.lock")
    try:
        lock.acquire(timeout=wait)
    except filelock.Timeout:
        raise BusyError(
            f"{path} is being written by {_holder(path)}; waited {wait:g} s. Try again when it is done."
        ) from None
    except OSError as error:
        raise CatalogueError(
            f"{path}: its lock file cannot be made ({error.strerror}); is the folder writable?"
        ) from error
    holder = Path(f"{path}.lock.holder")
    try:
        holder.write_text(json.dumps(_myself(doing)), encoding="utf-8")
        yield
    finally:
        holder.unlink(missing_ok=True)
        lock.release()


def _let_writer_first(path: Path, wait: float) -> None:
    until = time.monotonic() + min(wait, POLITE)
    holder = Path(f"{path}.lock.holder")
    while time.monotonic() < until:
        try:
            if time.time() - holder.stat().st_mtime > POLITE:  # at work, or left behind by a program that was killed
                return
            held = json.loads(holder.read_text(encoding="utf-8"))
            if (held["process"], held["host"]) == (os.getpid(), socket.gethostname()):  # we read beside our own
                return
        except OSError:
            return
        except (ValueError, KeyError, TypeError):  # just taken and not yet written
            pass
        time.sleep(0.005)


def _myself(doing: str) -> dict[str, str | int]:
    try:
        user = getpass.getuser()
    except (OSError, KeyError, ImportError):  # a user id without a name
        user = "someone"
    since = datetime.now().astimezone().strftime("%H:%M:%S")
    return {"user": user, "host": socket.gethostname(), "process": os.getpid(), "doing": doing, "since": since}


def _holder(path: Path) -> str:
    try:
        held = json.loads(Path(f"{path}.lock.holder").read_text(encoding="utf-8"))
        return f"{held['user']} on {held['host']} (process {held['process']}, {held['doing']}, since {held['since']})"
    except (OSError, ValueError, KeyError, TypeError):  # just released, or just taken and not yet written
        return "another program"


def require(path: Path) -> None:
    """Refuses what is no DuckDB file before DuckDB sees it; DuckDB would look for an extension for some kinds."""
    from halfinch.catalogue.lake.objects import is_lake

    if is_lake(path):
        from halfinch.catalogue.lake.opening import refuse_writing

        refuse_writing(path)
    try:
        if path.is_dir():
            raise CatalogueError(f"{path} is a folder, not a catalogue; name a file such as {path / 'shop.duckdb'}.")
        with path.open("rb") as file:
            head = file.read(MAGIC_AT + len(MAGIC))
    except FileNotFoundError:
        raise CatalogueError(f"There is no catalogue at {path}; `halfinch import` makes one.") from None
    except OSError as error:
        raise CatalogueError(f"{path} cannot be opened ({error.strerror}).") from error
    if head[MAGIC_AT:] != MAGIC:
        seen = "is empty" if not head else "is no catalogue (not a DuckDB file)"
        raise CatalogueError(f"{path} {seen}; name another file, nothing was changed.")


_CONNECTING = threading.Lock()
"""DuckDB shares one database between the connections of a program, and hands it to a second thread before the first
one's connection has made all of it ("python_arrow_scan does not exist")."""


def connect(path: Path, *, read_only: bool, wait: float, config: Config = CONFIG) -> duckdb.DuckDBPyConnection:
    """Connects, trying again while another program has the file open. A lake is opened at its newest commit."""
    import duckdb

    from halfinch.catalogue.lake.objects import is_lake

    if is_lake(path):
        from halfinch.catalogue.lake.opening import open_lake

        return open_lake(path, config)
    until = time.monotonic() + wait
    pause = 0.02
    while True:
        try:
            with _CONNECTING:
                return duckdb.connect(str(path), read_only=read_only, config=config)
        except duckdb.IOException as error:
            if "lock" not in str(error).lower():
                raise _told(path, error) from error
            if time.monotonic() >= until:
                raise BusyError(f"{path} is open in another program; waited {wait:g} s. Close it there.") from error
        except duckdb.ConnectionException as error:  # open in this very program, for reading beside writing
            if time.monotonic() >= until:
                raise BusyError(f"{path} is open in this program already; waited {wait:g} s.") from error
        except (duckdb.InvalidInputException, duckdb.PermissionException) as error:
            raise CatalogueError(f"{path} cannot be opened: {_first_line(error)}") from error
        except duckdb.Error as error:
            raise _told(path, error) from error
        time.sleep(pause)
        pause = min(pause * 2, 0.5)


def _connect_whole(path: Path, wait: float) -> duckdb.DuckDBPyConnection:
    """Connects for writing, behind the lock. A torn log is put aside, with a RecoveredWarning."""
    try:
        return connect(path, read_only=False, wait=wait)
    except TornLogError as torn:
        return put_torn_log_aside(path, torn, lambda: connect(path, read_only=False, wait=wait))


def _told(path: Path, error: Exception) -> CatalogueError:
    kind = TornLogError if "WAL" in str(error) and log_of(path).exists() else CatalogueError
    return kind(_damaged(path, error))


def _damaged(path: Path, error: Exception) -> str:
    text = str(error)
    if "newer version" in text or "version number" in text:
        return f"{path} was written by a newer DuckDB than this one can read; update duckdb."
    return f"{path} is damaged or cut short ({_first_line(error)}); restore it from a backup."


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or [""])[0]


def _schema_version(connection: duckdb.DuckDBPyConnection, path: Path) -> int:
    """The file's schema version; raises CatalogueError where the file is not ours or too new."""
    import duckdb

    try:
        rows = connection.execute("SELECT schema_version FROM meta").fetchall()
    except (duckdb.CatalogException, duckdb.BinderException):
        rows = []
    except duckdb.Error as error:
        raise CatalogueError(_damaged(path, error)) from error
    if len(rows) != 1 or not isinstance(rows[0][0], int):
        raise CatalogueError(f"{path} is a DuckDB file but no halfinch catalogue; name another file.")
    version: int = rows[0][0]
    if version > tables.SCHEMA_VERSION:
        raise CatalogueError(
            f"{path} has schema version {version}, newer than this program knows ({tables.SCHEMA_VERSION}); "
            "update halfinch."
        )
    return version


def _create(path: Path) -> None:
    """Makes an empty catalogue under another name first, so that a half-made one never stands at `path`."""
    import duckdb

    from halfinch import __version__

    fresh = path.with_name(f".{path.name}.new-{os.getpid()}")
    try:
        settings: Config = {**CONFIG, "storage_compatibility_version": tables.STORAGE_VERSION}
        connection = duckdb.connect(str(fresh), config=settings)
        try:
            connection.execute("BEGIN")
            tables.create_all(connection)
            values = [tables.SCHEMA_VERSION, __version__, tables.STORAGE_VERSION]
            connection.execute("INSERT INTO meta VALUES (?, ?, ?)", values)
            connection.execute("COMMIT")
        finally:
            connection.close()
        os.replace(fresh, path)
    except (OSError, duckdb.IOException) as error:
        raise CatalogueError(f"{path} cannot be made ({_first_line(error)}).") from error
    finally:
        fresh.unlink(missing_ok=True)
        Path(f"{fresh}.wal").unlink(missing_ok=True)


class _OlderError(Exception):
    """The catalogue has to be upgraded before it is read."""


def _open_to_read(path: Path, wait: float) -> duckdb.DuckDBPyConnection:
    connection = connect(path, read_only=True, wait=wait)
    try:
        if _schema_version(connection, path) < tables.SCHEMA_VERSION:
            raise _OlderError
    except BaseException:
        connection.close()
        raise
    return connection


def _open_to_write(path: Path, wait: float) -> duckdb.DuckDBPyConnection:
    """Upgrades an older catalogue step by step, after a backup that was read back."""
    from halfinch.catalogue.backup import copy_and_read_back, free_name

    connection = _connect_whole(path, wait)
    try:
        version = _schema_version(connection, path)
        if version == tables.SCHEMA_VERSION:
            return connection
        if any(step not in UPGRADES for step in range(version, tables.SCHEMA_VERSION)):
            raise CatalogueError(f"{path} has schema version {version}, too old to upgrade; import its sheets anew.")
    except BaseException:
        connection.close()
        raise
    connection.close()
    copy_and_read_back(path, free_name(path.with_name(f"{path.name}.before-schema-{tables.SCHEMA_VERSION}")), wait)
    connection = connect(path, read_only=False, wait=wait)
    try:
        _upgrade(connection, version)
    except BaseException:
        connection.close()
        raise
    return connection


def _upgrade(connection: duckdb.DuckDBPyConnection, version: int) -> None:
    from halfinch import __version__

    connection.execute("BEGIN")
    for step in range(version, tables.SCHEMA_VERSION):
        UPGRADES[step](connection)
    values = [tables.SCHEMA_VERSION, __version__]
    connection.execute("UPDATE meta SET schema_version = ?, program = ?", values)
    connection.execute("COMMIT")
