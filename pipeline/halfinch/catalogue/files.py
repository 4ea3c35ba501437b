"""Files that appear whole or not at all."""

from __future__ import annotations

import contextlib
import os
import sys
import tempfile
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
        handle, name = tempfile.mkstemp(prefix=f".{output.name}.", dir=output.parent)
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
