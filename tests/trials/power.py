"""A power cut: what a program wrote and did not sync may be on the disk or not, in any part and any order.

An import runs under strace, which writes down every change to files in the catalogue's folder. From that record the
folder is made as it could lie on the disk after a cut at any of its calls: what a file got before its last fsync is
there; of what it got after it, the writes up to a moment by chance. Names (made, replaced, removed) are kept in order
by a journal, which an fsync of any file writes out: those after it are there up to a moment by chance.

`torn` is harsher, and all that ext4 and XFS promise: of what was not synced each piece of 4,096 bytes is there or is
not, in any order. A log with a hole is put aside when the catalogue is opened. About one cut in seventy tears the block
that a checkpoint writes in place; such a file DuckDB refuses to open, which is why a backup is advised.
"""

from __future__ import annotations

import random
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from .ground import Ground, command, environment, faults_after, faults_of

CALLS = (
    "openat,open,creat,close,write,pwrite64,writev,pwritev,fsync,fdatasync,ftruncate,truncate,fallocate,"
    "rename,renameat,renameat2,link,linkat,unlink,unlinkat,mkdir,mkdirat,lseek,copy_file_range,sendfile,mmap"
)
IGNORED = {"close", "mkdir", "mkdirat"}
PIECE = 4096
"""Bytes that a disk writes whole."""
LINE = re.compile(r"^\d+ +(\w+)\((.*)\) += (-?\d+)(?:<.*>(?:\(deleted\))?)?(?: .*)?$")
UNFINISHED = re.compile(r"^(\d+) +(.*?) *<unfinished \.\.\.>$")
RESUMED = re.compile(r"^(\d+) +<\.\.\. \w+ resumed>(.*)$")
DESCRIPTOR = re.compile(r"^(\d+)<(.*?)>(\(deleted\))?$")


@dataclass(frozen=True, slots=True)
class Change:
    """One call that changed something. `kind`: make, write, resize, sync, rename, remove."""

    kind: str
    path: str
    at: int = 0
    data: bytes = b""
    to: str = ""


def record(ground: Ground, place: Path) -> list[Change]:
    """Every change below `place` that an import into it made, in order."""
    trace = place.with_name(f"{place.name}.strace")
    place.mkdir()
    strace = ["strace", "-f", "-y", "-xx", "-s", "100000000", "-e", f"trace={CALLS}", "-e", "signal=none"]
    subprocess.run(
        [*strace, "-o", str(trace), *command(ground.sheets, place / "shop.duckdb", "--jobs", "0")],
        env=environment(), capture_output=True, check=False,
    )  # fmt: skip
    changes = [change for change in _changes(trace) if change.path.startswith(f"{place}/")]
    trace.unlink()
    return changes


def _changes(trace: Path) -> Iterator[Change]:
    offsets: dict[int, int] = {}
    appending: set[int] = set()
    for line in _whole_lines(trace):
        found = LINE.match(line)
        if found is None or int(found[3]) < 0 or found[1] in IGNORED:
            continue
        call, given, result = found[1], found[2].split(", "), int(found[3])
        if call in ("openat", "open", "creat"):
            path = _text(given[1] if call == "openat" else given[0])
            flags = found[2]
            if "O_TMPFILE" in flags or "O_DIRECTORY" in flags:
                continue
            offsets[result] = 0
            appending.discard(result)
            if "O_APPEND" in flags:
                appending.add(result)
            if "O_CREAT" in flags:
                yield Change("make", path)
            if "O_TRUNC" in flags:
                yield Change("resize", path)
        elif call in ("rename", "renameat", "renameat2"):
            old, new = (_text(one) for one in given if one.startswith('"'))
            yield Change("rename", old, to=new)
        elif call in ("unlink", "unlinkat"):
            yield Change("remove", next(_text(one) for one in given if one.startswith('"')))
        else:
            yield from _to_open_file(call, given, result, offsets, appending)


def _to_open_file(
    call: str, given: list[str], result: int, offsets: dict[int, int], appending: set[int]
) -> Iterator[Change]:
    known = DESCRIPTOR.match(given[0])
    if known is None or known[3]:
        if call == "mmap" and "PROT_WRITE" in given[2] and "MAP_SHARED" in given[3]:
            path = DESCRIPTOR.match(given[4])
            if path is not None:
                raise NotImplementedError(f"{_plain(path[2])} is written through memory, which strace does not see")
        return
    number, path = int(known[1]), _plain(known[2])
    if call == "lseek":
        offsets[number] = result
    elif call in ("fsync", "fdatasync"):
        yield Change("sync", path)
    elif call == "ftruncate":
        yield Change("resize", path, int(given[1]))
    elif call == "pwrite64":
        yield Change("write", path, int(given[3]), _bytes(given[1])[:result])
    elif call == "write":
        at = -1 if number in appending else offsets.get(number, 0)
        offsets[number] = offsets.get(number, 0) + result
        yield Change("write", path, at, _bytes(given[1])[:result])
    elif path.startswith("/") and not path.startswith(("/dev", "/proc", "/usr", "/etc")):
        raise NotImplementedError(f"{call} on {path}")


def _whole_lines(trace: Path) -> Iterator[str]:
    """Lines of the record; a call that another thread broke in two stands where it ended."""
    begun: dict[str, str] = {}
    with trace.open() as lines:
        for line in lines:
            text = line.rstrip("\n")
            if (found := UNFINISHED.match(text)) is not None:
                begun[found[1]] = found[2]
            elif (found := RESUMED.match(text)) is not None:
                yield f"{found[1]} {begun.pop(found[1], '')}{found[2]}"
            else:
                yield text


def _bytes(quoted: str) -> bytes:
    return bytes.fromhex(quoted.strip('"').replace("\\x", ""))


def _plain(hexed: str) -> str:
    return _bytes(hexed).decode() if hexed.startswith("\\x") else hexed


def _text(quoted: str) -> str:
    return _bytes(quoted).decode()


@dataclass(slots=True)
class Inode:
    """A file whatever it is called: what surely lies on the disk, and what came since."""

    durable: bytearray = field(default_factory=bytearray)
    pending: list[Change] = field(default_factory=list)
    size: int = 0
    """As the program sees it."""


@dataclass(slots=True)
class Disk:
    """What lies on the disk, what the program believes that lies there."""

    seen: dict[str, Inode] = field(default_factory=dict)
    journal: dict[str, Inode] = field(default_factory=dict)
    """Names that surely are on the disk."""
    unwritten: list[tuple[str, str, Inode]] = field(default_factory=list)
    """(make or remove, name, file) since the journal was last written out."""

    def take(self, change: Change) -> None:
        """One change, as the program sees it."""
        if change.kind == "make":
            if change.path not in self.seen:
                self._name(change.path, Inode())
            return
        inode = self.seen.get(change.path)
        if inode is None:  # opened before the record began, or without a name
            return
        if change.kind == "rename":
            del self.seen[change.path]
            self.unwritten.append(("remove", change.path, inode))
            self._name(change.to, inode)
        elif change.kind == "remove":
            del self.seen[change.path]
            self.unwritten.append(("remove", change.path, inode))
        elif change.kind == "sync":
            for pending in inode.pending:
                _apply(inode.durable, pending, lambda: True)
            inode.pending.clear()
            self.journal = _names(self.journal, self.unwritten)
            self.unwritten.clear()
        elif change.kind == "resize":
            inode.size = change.at
            inode.pending.append(change)
        else:
            at = inode.size if change.at < 0 else change.at
            inode.size = max(inode.size, at + len(change.data))
            inode.pending.append(Change("write", change.path, at, change.data))

    def _name(self, path: str, inode: Inode) -> None:
        self.seen[path] = inode
        self.unwritten.append(("make", path, inode))

    def after_the_cut(self, rng: random.Random, torn: bool = False) -> dict[str, bytes]:
        """Files as they may lie there."""
        names = _names(self.journal, self.unwritten[: rng.randint(0, len(self.unwritten))])
        if not torn:
            return {name: _first(inode, rng.randint(0, len(inode.pending))) for name, inode in names.items()}
        chance = rng.choice((0.0, 0.1, 0.5, 0.9, 1.0))
        return {name: _torn(inode, lambda: rng.random() < chance) for name, inode in names.items()}


def _names(names: dict[str, Inode], steps: list[tuple[str, str, Inode]]) -> dict[str, Inode]:
    after = dict(names)
    for kind, name, inode in steps:
        if kind == "make":
            after[name] = inode
        elif after.get(name) is inode:
            del after[name]
    return after


def _first(inode: Inode, count: int) -> bytes:
    content = bytearray(inode.durable)
    for change in inode.pending[:count]:
        _apply(content, change, lambda: True)
    return bytes(content)


def _torn(inode: Inode, there: Callable[[], bool]) -> bytes:
    content = bytearray(inode.durable)
    for change in inode.pending:
        _apply(content, change, there)
    return bytes(content)


def _apply(content: bytearray, change: Change, there: Callable[[], bool]) -> None:
    if change.kind == "resize":
        if there():
            del content[change.at :]
            content.extend(bytes(change.at - len(content)))
        return
    at = change.at
    while at < change.at + len(change.data):
        end = min(change.at + len(change.data), (at // PIECE + 1) * PIECE)
        if there():
            content.extend(bytes(max(0, end - len(content))))
            content[at:end] = change.data[at - change.at : end - change.at]
        at = end


@dataclass(frozen=True, slots=True)
class Cut:
    """One trial."""

    number: int
    at: int
    """Calls before the cut."""
    finished: bool
    """Whether the same command was run afterwards."""
    faults: tuple[str, ...]


def cut_one(
    ground: Ground,
    changes: list[Change],
    place: Path,
    folder: Path,
    number: int,
    rng: random.Random,
    finish: bool,
    torn: bool = False,
) -> Cut:
    """Makes the folder as a cut may leave it and looks at it; with `finish` the same command ends the job."""
    at = rng.randint(0, len(changes))
    disk = Disk()
    for change in changes[:at]:
        disk.take(change)
    there = folder / f"cut-{number}"
    there.mkdir()
    for name, content in disk.after_the_cut(rng, torn).items():
        path = there / Path(name).relative_to(place)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    catalogue = there / "shop.duckdb"
    faults = faults_of(ground, catalogue)
    if finish and not faults:
        faults = faults_after(ground, catalogue)
    if not faults:
        shutil.rmtree(there)
    return Cut(number, at, finish, tuple(faults))
