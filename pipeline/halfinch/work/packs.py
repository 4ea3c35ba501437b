"""Files for a lake, packed: those of one bucket together, so that a worker writes few objects.

A pack is named by what is in it. What was read and written before, in an import that was stopped, is not read again.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from halfinch.catalogue.identity import Stamp, sheet_digest
from halfinch.catalogue.lake.objects import Objects
from halfinch.catalogue.lake.shape import bucket_of
from halfinch.catalogue.lake.staging import Batch, batch_name, stage
from halfinch.catalogue.landing import Arrival
from halfinch.figure import SheetResult
from halfinch.work.files import Found
from halfinch.work.pool import Setting, Task, read_all
from halfinch.work.reading import failed

FILES = 64
BYTES = 8_000_000
"""A pack is closed when it has so many: about half a minute of reading, and no more than a scheduler likes to hold."""


@dataclass(frozen=True, slots=True)
class Packed:
    """A file of a pack."""

    task: Task
    source: str
    file_id: str
    trouble: str = ""
    """Why it was not read, one sentence."""

    def arrival(self, results: Sequence[SheetResult]) -> Arrival:
        return Arrival(self.source, self.task.name, self.file_id, self.task.merchant, tuple(results))

    def lost(self, message: str) -> list[SheetResult]:
        return [failed(self.task.name, self.file_id, len(self.task.data), message)]


@dataclass(frozen=True, slots=True)
class Pack:
    name: str
    bucket: int
    files: tuple[Packed, ...]


@dataclass(slots=True)
class Packing:
    """Found files become packs, and what is left to say of those that need no reading."""

    stamp: Stamp
    known: Container[str]
    """Ids of files that the lake has, every sheet of them read."""
    failed_before: frozenset[str] = frozenset()
    again: int = 0
    """Number of the commit that holds what failed before."""
    seen_again: list[Arrival] = field(default_factory=list)
    unchanged: list[str] = field(default_factory=list)
    """Names of files that were not read."""
    _open: dict[int, list[Packed]] = field(default_factory=dict)

    def packs(self, found: Iterable[Found]) -> Iterator[Pack]:
        begun: set[str] = set()
        for file in found:
            packed = _packed(file)
            if packed.file_id in begun or packed.file_id in self.known:
                self.seen_again.append(Arrival(file.source, file.name, packed.file_id, file.merchant))
                self.unchanged.append(file.name)
                continue
            begun.add(packed.file_id)
            bucket = bucket_of(file.source)
            waiting = self._open.setdefault(bucket, [])
            waiting.append(packed)
            if len(waiting) >= FILES or sum(len(one.task.data) for one in waiting) >= BYTES:
                yield self._close(bucket)
        for bucket in sorted(self._open):
            yield self._close(bucket)

    def _close(self, bucket: int) -> Pack:
        return self.pack(bucket, tuple(self._open.pop(bucket)))

    def pack(self, bucket: int, files: tuple[Packed, ...]) -> Pack:
        told = [(one.source, one.task.name, one.file_id, one.task.merchant) for one in files]
        again = self.again if any(one.file_id in self.failed_before for one in files) else 0
        return Pack(batch_name(told, self.stamp, again), bucket, files)


def _packed(file: Found) -> Packed:
    trouble, data = file.trouble, b""
    if not trouble:
        try:
            data = file.path.read_bytes()
        except OSError as error:
            trouble = f"It cannot be read ({error.strerror})."
    digest = sheet_digest(f"unread {file.source}".encode() if trouble else data)
    return Packed(Task(data, file.name, file.merchant), file.source, digest, trouble)


def read_packs(
    packs: Iterable[Pack], objects: Objects, stamp: Stamp, setting: Setting, *, jobs: int | None, limit: float
) -> Iterator[tuple[Pack, Batch]]:
    """Reads packs by processes of this machine and writes their batches."""
    reading: list[tuple[Pack, dict[int, list[SheetResult]]]] = []

    def tasks() -> Iterator[Task]:
        for pack in packs:
            number = len(reading)
            reading.append((pack, {nth: one.lost(one.trouble) for nth, one in enumerate(pack.files) if one.trouble}))
            for nth, one in enumerate(pack.files):
                if not one.trouble:
                    yield Task(one.task.data, one.task.name, one.task.merchant, number * FILES + nth)

    for task, results in read_all(tasks(), setting, jobs=jobs, limit=limit):
        number, nth = divmod(task.number, FILES)
        pack, results_of = reading[number]
        results_of[nth] = results
        if len(results_of) == len(pack.files):
            yield pack, write_pack(pack, results_of, objects, stamp)
            reading[number] = (Pack(pack.name, pack.bucket, ()), {})
    for pack, results_of in reading:  # of files that could not even be opened
        if pack.files:
            yield pack, write_pack(pack, results_of, objects, stamp)


def write_pack(pack: Pack, results: Mapping[int, list[SheetResult]], objects: Objects, stamp: Stamp) -> Batch:
    arrivals = [one.arrival(results[nth]) for nth, one in enumerate(pack.files)]
    return stage(objects, pack.name, pack.bucket, arrivals, stamp)
