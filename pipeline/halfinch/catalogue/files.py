"""Files that appear whole or not at all."""

from __future__ import annotations

import contextlib
import os
import re
import socket
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from halfinch.errors import CatalogueError


def write_whole(path: Path, content: str | bytes, *, private: bool = False) -> None:
    """Writes a text (UTF-8) or bytes; on any trouble what stood there stays. `private`: for the owner's eyes alone
    (mode 600). Raises CatalogueError."""
    with opened_whole(path, private) as file:
        file.write(content.encode("utf-8") if isinstance(content, str) else content)


def make_folder(folder: Path) -> None:
    """Makes a folder where there is none. Raises CatalogueError where it cannot be made."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CatalogueError(f"{folder} cannot be made ({error.strerror}); name another place.") from error


_MINE = f"{socket.gethostname()[:20]}-{os.getpid()}-"
"""In the name of a part of a file: who writes it."""
_WHOSE = re.compile(r"\.(?P<host>[^/]{1,20})-(?P<process>\d+)-\w+$|\.new-(?P<maker>\d+)(?:\.wal)?$")
FORGOTTEN = 86_400.0
"""Seconds after which a part of a file is nobody's, whoever began it."""


def sweep_parts(folder: Path, begins: str = ".") -> int:
    """Removes parts of files that a process was writing when it was killed; how many. What a living process writes,
    here or on another machine that shares the folder, stays."""
    swept = 0
    try:
        parts = [entry for entry in os.scandir(folder) if entry.name.startswith(begins)]
    except OSError:
        return 0
    for entry in parts:
        whose = _WHOSE.search(entry.name)
        with contextlib.suppress(OSError):
            if entry.is_file(follow_symlinks=False) and _is_nobodys(entry, whose):
                os.unlink(entry.path)
                swept += 1
    return swept


def _is_nobodys(entry: os.DirEntry[str], whose: re.Match[str] | None) -> bool:
    if time.time() - entry.stat().st_mtime > FORGOTTEN:
        return True
    if whose is None or whose["host"] not in (None, socket.gethostname()[:20]) or sys.platform == "win32":
        return False  # another machine's; and on Windows asking whether a process lives may end it
    try:
        os.kill(int(whose["process"] or whose["maker"]), 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False


@contextlib.contextmanager
def opened_whole(output: Path | None, private: bool = False) -> Iterator[IO[bytes]]:
    """Standard output, or a file that is put in place only when all of it is written. Raises CatalogueError."""
    if output is None:
        with told("standard output"):
            yield sys.stdout.buffer
            sys.stdout.buffer.flush()
        return
    if output.exists() and not output.is_file() and not output.is_dir():  # a pipe or a device: nothing to replace
        with told(str(output)), output.open("wb") as file:
            yield file
        return
    try:
        if output.is_dir():
            raise CatalogueError(f"{output} is a folder; name a file in it.")
        handle, name = tempfile.mkstemp(prefix=f".{output.name[:40]}.{_MINE}", dir=output.parent)
    except OSError as error:
        raise CatalogueError(f"{output} cannot be written ({error.strerror}); name another place.") from error
    part = Path(name)
    try:
        with os.fdopen(handle, "w+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        part.chmod(0o600 if private else 0o666 & ~_umask())
        os.replace(part, output)
    except OSError as error:
        reason = f"{output} cannot be written ({error.strerror or error}); what stood there is unchanged."
        raise CatalogueError(reason) from error
    finally:
        part.unlink(missing_ok=True)


@contextlib.contextmanager
def told(place: str) -> Iterator[None]:
    """An error of the system while writing there becomes a CatalogueError; that nobody reads on (`| head`) stays."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise CatalogueError(f"{place} cannot be written ({error.strerror or error}); name another place.") from error


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
