"""The log beside a catalogue that a power cut tore: what DuckDB refuses is put aside, the whole entries before it stay.

A commit is in the log, on the disk, before anybody is told that it is done. What a cut can tear is behind the last
such entry: what was just being written, and nobody was told of.
"""

from __future__ import annotations

import os
import re
import warnings
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.errors import CatalogueError, RecoveredWarning

if TYPE_CHECKING:
    import duckdb

_POSITION = re.compile(r"byte position (\d+)")


class TornLogError(CatalogueError):
    """The catalogue does not open because of the log beside it."""


def log_of(path: Path) -> Path:
    """Where DuckDB keeps what is committed and not yet in the file."""
    return Path(f"{path}.wal")


def put_torn_log_aside(
    path: Path, torn: TornLogError, connect: Callable[[], duckdb.DuckDBPyConnection]
) -> duckdb.DuckDBPyConnection:
    """Opens the catalogue with as much of its log as is whole; behind the lock. The log as it was is kept beside it.

    Warns with a RecoveredWarning. Raises what `connect` raised first where the catalogue does not open without its
    log either; then all files are as they were.
    """
    log = log_of(path)
    kept = log.with_name(f"{log.name}.torn-{datetime.now().astimezone():%Y-%m-%dT%H-%M-%S-%f}")
    os.replace(log, kept)
    data = kept.read_bytes()
    try:
        connection = _open_with_whole_part(log, data, torn, connect)
    except CatalogueError:
        os.replace(kept, log)
        raise torn from None
    warnings.warn(
        f"{path}: the end of its log was torn, as a power cut leaves it. The catalogue stands at the last whole entry; "
        f"what was being written then is not in it: run that command again. The torn log is kept: {kept.name}",
        RecoveredWarning,
        stacklevel=2,
    )
    return connection


def _open_with_whole_part(
    log: Path, data: bytes, torn: CatalogueError, connect: Callable[[], duckdb.DuckDBPyConnection]
) -> duckdb.DuckDBPyConnection:
    """Cuts the log where DuckDB says that it is wrong; without a log where that does not help."""
    said = _POSITION.search(str(torn))
    whole = min(int(said.group(1)), len(data)) if said else 0
    if whole:
        with log.open("wb") as file:
            file.write(data[:whole])
            file.flush()
            os.fsync(file.fileno())
        try:
            return connect()
        except TornLogError:
            pass
    log.unlink(missing_ok=True)
    return connect()
