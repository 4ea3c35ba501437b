"""An existing Dask cluster reads sheets: the same pure function as in a process of this machine, in one of a worker.

What is sent is a file's bytes, its name, its merchant, and the merchants' habits; never a body (a packed folder with a
TOML file in it is read here). A worker reads in a process of its own, held to the limits of time and memory, so that a
sheet that hangs or kills costs itself alone. Nothing is remembered here that an import could not do without: a worker
that dies, or a scheduler that is restarted, has its work done again, and what is read twice is the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from halfinch.catalogue.identity import Stamp, digest, sheet_digest
from halfinch.catalogue.lake.objects import Objects
from halfinch.catalogue.lake.staging import Batch
from halfinch.figure import SheetResult
from halfinch.readers import iter_members
from halfinch.work.cluster_worker import Errand, read_on_worker, stage_on_worker
from halfinch.work.packs import Pack, Packing, read_packs
from halfinch.work.pool import Setting, Task, read_all
from halfinch.work.reading import PRIVATE, failed
from halfinch.work.spreading import Spread


def read_all_on(
    address: str, tasks: Iterable[Task], stamp: Stamp, setting: Setting, *, limit: float
) -> Iterator[tuple[Task, list[SheetResult]]]:
    """As pool.read_all, on a cluster. Raises CatalogueError, UsageError."""
    here, made_with = list[Task](), (stamp.program, stamp.knowledge, stamp.habits)
    errand = _errand(stamp, setting, limit)

    def key(task: Task) -> str:
        return digest("task", *made_with, sheet_digest(task.data), task.name, task.merchant)

    for task, results in Spread(address, errand, setting.schemas, read_on_worker, key).over(_public(tasks, here)):
        yield task, results if isinstance(results, list) else [_died(task)]
    yield from read_all(here, setting, jobs=1, limit=limit)


def read_packs_on(
    address: str,
    packs: Iterable[Pack],
    packing: Packing,
    objects: Objects,
    stamp: Stamp,
    setting: Setting,
    *,
    limit: float,
) -> Iterator[tuple[Pack, Batch]]:
    """As packs.read_packs, on a cluster whose workers write to the lake themselves."""
    here: list[Pack] = []
    errand = replace(_errand(stamp, setting, limit), lake=objects.url)
    lone: list[Pack] = []
    spread = Spread(
        address, errand, setting.schemas, stage_on_worker, lambda pack: digest("pack", objects.url, pack.name)
    )
    public = _public_packs(packs, packing, here)
    while True:
        for pack, batch in spread.over(public):
            if isinstance(batch, Batch):
                yield pack, batch
            elif len(pack.files) > 1:  # which of them was it?
                lone += [packing.pack(pack.bucket, (one,)) for one in pack.files]
            else:
                (one,) = pack.files
                here.append(packing.pack(pack.bucket, (replace(one, trouble=_died(one.task).message),)))
        if not lone:
            break
        public, lone = iter(lone), []
    yield from read_packs(here, objects, stamp, setting, jobs=1, limit=limit)


def _errand(stamp: Stamp, setting: Setting, limit: float) -> Errand:
    return Errand(stamp.program, stamp.knowledge, setting.habits, setting.memory, limit, stamp)


def _died(task: Task) -> SheetResult:
    message = "The workers that read this sheet died (out of memory, or a fault in a library)."
    return failed(task.name, sheet_digest(task.data), len(task.data), message)


def _public(tasks: Iterable[Task], here: list[Task]) -> Iterator[Task]:
    for task in tasks:
        if holds_private(task.data, task.name):
            here.append(task)
        else:
            yield task


def _public_packs(packs: Iterable[Pack], packing: Packing, here: list[Pack]) -> Iterator[Pack]:
    for pack in packs:
        private = [one for one in pack.files if holds_private(one.task.data, one.task.name)]
        if not private:
            yield pack
            continue
        here.append(packing.pack(pack.bucket, tuple(private)))
        if public := tuple(one for one in pack.files if one not in private):
            yield packing.pack(pack.bucket, public)


def holds_private(data: bytes, name: str) -> bool:
    """Whether a container holds what may be a body: it stays on this machine."""
    return any(inner != name and inner.lower().endswith(PRIVATE) for inner, _ in iter_members(data, name))
