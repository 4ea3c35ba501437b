"""Where a lake's objects lie: a folder, or a bucket that speaks S3. Whole objects only, and one way to be the first.

`put_new` is what commits rest on: of several writers exactly one succeeds. In a folder it is a hard link to a file that
is on the disk already; in S3 a PUT with `If-None-Match: *`.
"""

from __future__ import annotations

import os
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Protocol

from halfinch.errors import CatalogueError, UsageError

FOUNDED = "lake.json"
"""The object by which a lake is known."""
S3 = "s3:/"
"""How an address in S3 begins; `Path` makes one slash of two."""


@dataclass(frozen=True, slots=True)
class Entry:
    """An object in a list."""

    name: str
    bytes: int
    at: datetime
    """UTC, when it was written."""


class Objects(Protocol):
    """All names are relative to the lake, with `/` between folders. Everything raises CatalogueError where the storage
    cannot be reached or written."""

    @property
    def url(self) -> str: ...

    def location(self, name: str) -> str:
        """As DuckDB reads it."""

    def read(self, name: str) -> bytes | None:
        """None where there is no such object."""

    def put(self, name: str, file: Path) -> None:
        """The file's content whole under this name, in place of what stood there."""

    def put_new(self, name: str, data: bytes) -> bool:
        """The same where nothing stands there; else False, and nothing is changed."""

    def entries(self, below: str) -> Iterator[Entry]: ...

    def delete(self, names: Iterable[str]) -> None: ...


def is_lake(path: Path) -> bool:
    """Whether this path names a lake: an address in S3, or a folder that was founded as one."""
    return str(path).startswith(S3) or (path / FOUNDED).is_file()


def beside(catalogue: Path, name: str) -> Path:
    """What belongs to a catalogue and lies beside it; of a lake in S3, in the folder of work."""
    return Path(name) if str(catalogue).startswith(S3) else catalogue.with_name(name)


def open_objects(path: Path | str) -> Objects:
    """The storage that an address means. Raises UsageError for a kind that knows no conditional put."""
    text = str(path)
    if text.startswith(S3):
        return S3Objects(text.removeprefix(S3).strip("/"))
    if ":/" in text:
        raise UsageError(f"{text}: a lake lies in a folder or at s3://BUCKET/PATH; other storage is not known.")
    return FolderObjects(Path(text).absolute())


@contextmanager
def _told(place: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise CatalogueError(f"{place} cannot be read or written ({error.strerror or error}).") from error
    except Exception as error:  # no keys, no such host: errors of the client's own, of no common family
        if type(error).__module__.partition(".")[0] not in CLIENTS:
            raise
        raise CatalogueError(f"{place} cannot be reached ({error}).") from error


CLIENTS = ("botocore", "aiobotocore", "aiohttp")


@dataclass(frozen=True, slots=True)
class FolderObjects:
    """A folder of this machine, or one that several machines share."""

    folder: Path

    @property
    def url(self) -> str:
        return str(self.folder)

    def location(self, name: str) -> str:
        return str(self.folder / name)

    def read(self, name: str) -> bytes | None:
        with _told(self.location(name)):
            try:
                return (self.folder / name).read_bytes()
            except FileNotFoundError:
                return None

    def put(self, name: str, file: Path) -> None:
        with self._written(name, file.read_bytes()) as part:
            os.replace(part, self.folder / name)
            self._sync(self.folder / name)

    def put_new(self, name: str, data: bytes) -> bool:
        with self._written(name, data) as part:
            try:
                os.link(part, self.folder / name)
            except FileExistsError:
                return False
            self._sync(self.folder / name)
        return True

    @contextmanager
    def _written(self, name: str, data: bytes) -> Iterator[Path]:
        """A file with this content beside its place, on the disk."""
        place = self.folder / name
        part = place.with_name(f".{place.name}.{uuid.uuid4().hex}")
        with _told(str(place)):
            if not place.parent.is_dir():
                place.parent.mkdir(parents=True, exist_ok=True)
                for folder in place.parent.relative_to(self.folder).parents:
                    self._sync(self.folder / folder / "any")
            try:
                with part.open("xb") as out:
                    out.write(data)
                    out.flush()
                    os.fsync(out.fileno())
                yield part
            finally:
                part.unlink(missing_ok=True)

    @staticmethod
    def _sync(place: Path) -> None:
        """The folder's entry too is on the disk: no commit that stays lists what does not."""
        handle = os.open(place.parent, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def entries(self, below: str) -> Iterator[Entry]:
        with _told(self.location(below)):
            for path in sorted((self.folder / below).rglob("*")):
                try:
                    if path.is_file():
                        seen = path.stat()
                        at = datetime.fromtimestamp(seen.st_mtime, UTC)
                        yield Entry(path.relative_to(self.folder).as_posix(), seen.st_size, at)
                except FileNotFoundError:  # another program has just put it in place or swept it
                    continue

    def delete(self, names: Iterable[str]) -> None:
        for name in names:
            with _told(self.location(name)):
                (self.folder / name).unlink(missing_ok=True)


@dataclass(frozen=True, slots=True)
class S3Objects:
    """A bucket, or a folder in one. Keys, region and endpoint come from the environment, as for every AWS client."""

    root: str
    """BUCKET or BUCKET/PATH"""

    @property
    def url(self) -> str:
        return f"s3://{self.root}"

    @property
    def filesystem(self) -> Any:
        try:
            import fsspec

            return fsspec.filesystem("s3", use_listings_cache=False)
        except ImportError:
            raise CatalogueError("A lake in S3 needs the extra `lake`: pip install 'halfinch[lake]'.") from None

    def location(self, name: str) -> str:
        return f"{self.url}/{name}"

    def read(self, name: str) -> bytes | None:
        with _told(self.location(name)):
            try:
                data: bytes = self.filesystem.cat_file(f"{self.root}/{name}")
            except FileNotFoundError:
                return None
            return data

    def put(self, name: str, file: Path) -> None:
        with _told(self.location(name)):
            self.filesystem.put_file(str(file), f"{self.root}/{name}")

    def put_new(self, name: str, data: bytes) -> bool:
        with _told(self.location(name)):
            try:
                self.filesystem.pipe_file(f"{self.root}/{name}", data, mode="create")
            except FileExistsError:
                return False
        return True

    def entries(self, below: str) -> Iterator[Entry]:
        with _told(self.location(below)):
            try:
                found = self.filesystem.find(f"{self.root}/{below}", detail=True)
            except FileNotFoundError:
                found = {}
        for key, about in sorted(found.items()):
            yield Entry(key.removeprefix(f"{self.root}/"), about["size"], about["LastModified"])

    def delete(self, names: Iterable[str]) -> None:
        keys = [f"{self.root}/{name}" for name in names]
        if keys:
            with _told(self.url):
                self.filesystem.rm(keys)
