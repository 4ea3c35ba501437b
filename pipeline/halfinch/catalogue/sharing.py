"""One file, many threads of one program: who may have it open, and for what.

DuckDB opens a file for reading or for writing, for a whole program at once. So the threads of a program share what the
first of them opened. While one writes, the others read beside it and see the catalogue as it was before (each reader
has one transaction, so one moment). A writer waits only for the readers that were there before it; readers that come
while it waits go on as soon as it has opened the file. Nothing stays open when nobody uses it, so that other programs
get their turn: after `TURN` seconds of writing nobody joins any more, and those who wait then read before the next one
writes.
"""

from __future__ import annotations

import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.errors import BusyError

if TYPE_CHECKING:
    import duckdb

TURN = 1.0
"""Seconds from the opening of a file for writing in which others of this program join."""

Open = Callable[[], "duckdb.DuckDBPyConnection"]


@dataclass(eq=False)
class Shared:
    """What this program has open of one file."""

    changed: threading.Condition = field(default_factory=threading.Condition)
    root: duckdb.DuckDBPyConnection | None = None
    """The connection of which everybody's is a cursor; it is closed last."""
    writable: bool = False
    writing: bool = False
    users: int = 0
    busy: bool = False
    """Somebody opens or closes the file just now."""
    opened: float = 0.0
    readers_wait: int = 0
    writers_wait: int = 0
    readers_first: bool = False
    threads: Counter[int] = field(default_factory=Counter)
    """How often each thread reads just now: who reads already never waits for a writer, who would wait for it."""

    def may_read(self) -> bool:
        if self.busy:
            return False
        if self.root is not None and self.writable:
            return self.writing or time.monotonic() - self.opened < TURN
        return self.readers_first or not self.writers_wait

    def may_write(self) -> bool:
        if self.busy:
            return False
        if self.root is None:
            return not self.readers_first
        return self.writable and not self.writing and time.monotonic() - self.opened < TURN


_SHARED: dict[Path, Shared] = {}
_LOCK = threading.Lock()


def shared(path: Path) -> Shared:
    """The state of one file."""
    with _LOCK:
        return _SHARED.setdefault(path.absolute(), Shared())


def reads_already(path: Path) -> bool:
    """Whether this thread has the file open for reading; a writer then waits for it, so it had better go on."""
    return shared(path).threads[threading.get_ident()] > 0


@contextmanager
def to_read(path: Path, wait: float, open_file: Open) -> Iterator[duckdb.DuckDBPyConnection]:
    """A connection to read with. `open_file` opens the file for reading, where nobody has it open. Raises BusyError,
    and what `open_file` raises."""
    here, me = shared(path), threading.get_ident()
    with here.changed:
        if not here.threads[me]:
            here.readers_wait += 1
            try:
                _await(here, here.may_read, path, wait)
            finally:
                here.readers_wait -= 1
                if not here.readers_wait:
                    here.readers_first = False
        connection = _join(here, open_file, writable=False)
        here.threads[me] += 1
    try:
        yield connection
    finally:
        with here.changed:
            here.threads[me] -= 1
            here.threads = +here.threads
        _leave(here, connection)


@contextmanager
def to_write(path: Path, wait: float, open_file: Open) -> Iterator[duckdb.DuckDBPyConnection]:
    """The same to write with; one at a time, whoever calls sees to that."""
    here = shared(path)
    with here.changed:
        here.writers_wait += 1
        try:
            _await(here, here.may_write, path, wait)
        finally:
            here.writers_wait -= 1
            here.changed.notify_all()
        connection = _join(here, open_file, writable=True)
        here.writing = True
        here.changed.notify_all()
    try:
        yield connection
    finally:
        here.writing = False
        _leave(here, connection)


def _await(shared: Shared, may: Callable[[], bool], path: Path, wait: float) -> None:
    if not shared.changed.wait_for(may, wait):
        raise BusyError(f"{path} is open in this program already; waited {wait:g} s.")


def _join(shared: Shared, open_file: Open, *, writable: bool) -> duckdb.DuckDBPyConnection:
    """A connection of one's own; opens the file if need be, letting others at the state meanwhile."""
    if shared.root is None:
        shared.busy = True
        shared.changed.release()
        root = None
        try:
            root = open_file()
        finally:
            shared.changed.acquire()
            shared.busy, shared.root, shared.writable = False, root, writable
            shared.opened = time.monotonic()
            shared.changed.notify_all()
    assert shared.root is not None
    shared.users += 1
    return shared.root.cursor()


def _leave(shared: Shared, connection: duckdb.DuckDBPyConnection) -> None:
    connection.close()  # what was not committed is gone
    with shared.changed:
        shared.users -= 1
        if shared.users:
            shared.changed.notify_all()
            return
        root, shared.root, shared.busy = shared.root, None, True
    try:
        assert root is not None
        root.close()
    finally:
        with shared.changed:
            shared.readers_first = shared.writable and shared.readers_wait > 0
            shared.busy = shared.writable = False
            shared.changed.notify_all()
