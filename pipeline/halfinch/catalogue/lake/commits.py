"""Commits: numbered objects that list what a lake holds. The highest number counts.

A commit lists everything, so one object tells a reader all, and nothing is ever half visible. Two writers who make the
next commit of the same one cannot both put it; the second begins again with what the first has made.
"""

from __future__ import annotations

import json
import time
import uuid
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from halfinch import __version__
from halfinch.catalogue import tables
from halfinch.catalogue.lake.objects import FOUNDED, Objects
from halfinch.catalogue.lake.shape import BUCKETS, VERSION
from halfinch.errors import BusyError, CatalogueError

FOLDER = "commits"
TRIES = 20
"""Times that a writer begins again because another one was first."""


@dataclass(frozen=True, slots=True)
class Kept:
    """An object that counts."""

    name: str
    rows: int
    bytes: int


@dataclass(frozen=True, slots=True)
class Commit:
    """What a lake holds: objects by table. Number 0 is the empty lake."""

    number: int = 0
    objects: Mapping[str, tuple[Kept, ...]] = field(default_factory=dict)
    doing: str = ""
    """import | compact"""
    at: str = ""
    """UTC, ISO 8601"""
    program: str = __version__
    key: str = field(default_factory=lambda: uuid.uuid4().hex)
    """By which its writer knows it again."""

    def of(self, table: str) -> tuple[Kept, ...]:
        return self.objects.get(table, ())

    def to_json(self) -> bytes:
        objects = {table: [[one.name, one.rows, one.bytes] for one in kept] for table, kept in self.objects.items()}
        told = {"number": self.number, "doing": self.doing, "at": self.at, "program": self.program, "key": self.key}
        return json.dumps({**told, "objects": objects}, separators=(",", ":")).encode()


def name_of(number: int) -> str:
    return f"{FOLDER}/{number:010}.json"


def found(objects: Objects) -> None:
    """Makes a lake where there is none. Raises CatalogueError where something else lies there."""
    if objects.read(FOUNDED) is None:
        if any(not entry.name.startswith((".", f"{FOLDER}/")) for entry in objects.entries("")):
            raise CatalogueError(f"{objects.url} holds other files and is no lake; name an empty or a new folder.")
        about = {"lake": VERSION, "schema_version": tables.SCHEMA_VERSION, "buckets": BUCKETS, "program": __version__}
        objects.put_new(FOUNDED, json.dumps(about).encode())
    require(objects)


def require(objects: Objects) -> int:
    """Refuses what is no lake, or one that a newer program has made; gives its number of buckets."""
    data = objects.read(FOUNDED)
    if data is None:
        raise CatalogueError(f"There is no lake at {objects.url}; `halfinch import PATH --to {objects.url}` makes one.")
    about = _parsed(data, objects.location(FOUNDED))
    if about.get("lake", 0) > VERSION or about.get("schema_version", 0) > tables.SCHEMA_VERSION:
        raise CatalogueError(f"{objects.url} was made by a newer program ({about.get('program')}); update halfinch.")
    if about.get("schema_version") != tables.SCHEMA_VERSION:
        raise CatalogueError(f"{objects.url} has older tables; import its sheets into a new lake.")
    return int(about["buckets"])


def newest(objects: Objects) -> Commit:
    """The commit that counts now; of a lake that was only founded the empty one."""
    numbers = [entry.name for entry in objects.entries(FOLDER) if _is_commit(entry.name)]
    return read(objects, max(numbers)) if numbers else Commit()


def read(objects: Objects, name: str) -> Commit:
    data = objects.read(name)
    if data is None:
        raise CatalogueError(f"{objects.location(name)} has gone; was it swept while it was read? Try again.")
    told = _parsed(data, objects.location(name))
    kept = {table: tuple(Kept(*one) for one in listed) for table, listed in told["objects"].items()}
    return Commit(told["number"], kept, told["doing"], told["at"], told["program"], told["key"])


def _is_commit(name: str) -> bool:
    return name.startswith(f"{FOLDER}/") and name.endswith(".json") and name[len(FOLDER) + 1 : -5].isdigit()


def _parsed(data: bytes, place: str) -> dict[str, Any]:
    try:
        told = json.loads(data)
    except ValueError:
        told = None
    if not isinstance(told, dict):
        raise CatalogueError(f"{place} is damaged; put it back from a backup.")
    return told


def put(objects: Objects, commit: Commit) -> bool:
    """Whether this commit now stands at its number. An answer that was lost is asked for: what stands there is ours or
    it is not."""
    name = name_of(commit.number)
    for pause in (0.1, 0.5, 2.0, None):
        try:
            if objects.put_new(name, commit.to_json()):
                return True
        except CatalogueError:
            if pause is None:
                raise
            time.sleep(pause)
            continue
        return read(objects, name).key == commit.key
    return False


def commit_next(objects: Objects, make: Callable[[Commit], Commit | None]) -> Commit:
    """Makes the next commit of the newest one until it stands; `make` gives None where nothing has to change.

    Raises BusyError where others were first `TRIES` times.
    """
    for _ in range(TRIES):
        base = newest(objects)
        commit = make(base)
        if commit is None or put(objects, commit):
            return commit or base
    raise BusyError(f"{objects.url} is being written by others; tried {TRIES} times. What was read is kept: try again.")


def listed(commits: Iterable[Commit]) -> set[str]:
    """Names of all objects that these commits list."""
    return {one.name for commit in commits for kept in commit.objects.values() for one in kept}
