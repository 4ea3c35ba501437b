"""What a worker of a Dask cluster runs for us. Whatever is sent there is a value of this module or of `pool`."""

from __future__ import annotations

import atexit
import multiprocessing
import shutil
import tempfile
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from halfinch import __version__, knowledge
from halfinch.catalogue.habits import AllHabits
from halfinch.catalogue.identity import Stamp
from halfinch.catalogue.lake.commits import require
from halfinch.catalogue.lake.objects import open_objects
from halfinch.catalogue.lake.staging import Batch
from halfinch.errors import HalfinchError
from halfinch.figure import SheetResult
from halfinch.work.packs import Pack, write_pack
from halfinch.work.pool import Setting, Task, Worker, read_task


@dataclass(frozen=True, slots=True)
class Errand:
    """What all tasks of an import have in common."""

    program: str
    knowledge: str
    """Digest of what of schemas/ reading uses."""
    habits: AllHabits | None
    memory: int
    limit: float
    stamp: Stamp
    lake: str = ""
    """Where the lake lies, '' for an import into a catalogue."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why a worker could not do it; another one may."""

    worker: str
    message: str


@dataclass(frozen=True, slots=True)
class Mismatch:
    """Why no answer of this worker counts."""

    message: str


def read_on_worker(errand: Errand, task: Task) -> list[SheetResult] | Mismatch:
    if amiss := _amiss(errand):
        return amiss
    with _reader(errand) as reader:
        return reader.read_one(task)


def stage_on_worker(errand: Errand, pack: Pack) -> Batch | Trouble | Mismatch:
    """Reads a pack and writes its batch to the lake."""
    if amiss := _amiss(errand):
        return amiss
    try:
        objects = open_objects(errand.lake)
        require(objects)
        with _reader(errand) as reader:
            results = {
                nth: one.lost(one.trouble) if one.trouble else reader.read_one(one.task)
                for nth, one in enumerate(pack.files)
            }
        return write_pack(pack, results, objects, errand.stamp)
    except (OSError, HalfinchError) as error:
        return Trouble(_address(), str(error))


def _amiss(errand: Errand) -> Mismatch | None:
    if errand.program != __version__:
        return Mismatch(other_version(_address(), __version__))
    if _folder(errand.knowledge) is None and knowledge.load().reading_digest != errand.knowledge:
        return Mismatch(f"The worker {_address()} reads with another schemas/ than this machine; run the import again.")
    return None


def other_version(worker: str, version: str) -> str:
    found = f"halfinch {version}" if version else "no halfinch"
    return f"The worker {worker} has {found}, this machine {__version__}: install the same version on both."


def _address() -> str:
    from distributed import get_worker

    return str(get_worker().address)


# ---- readers: processes of a worker, kept from task to task ---------------------------------------------------------

_idle: list[tuple[Setting, float, Worker]] = []
_taking = threading.Lock()


@contextmanager
def _reader(errand: Errand) -> Iterator[Worker]:
    setting = Setting(_folder(errand.knowledge), errand.habits, errand.memory)
    with _taking:
        _may_have_children()
        kept = [one for one in _idle if one[:2] == (setting, errand.limit)]
        if kept:
            _idle.remove(kept[0])
        outdated = [] if kept else _idle[:]
        if outdated:
            _idle.clear()
    for _, _, worker in outdated:
        worker.stop()
    worker = kept[0][2] if kept else Worker(setting, errand.limit, read_task)
    yield worker
    with _taking:
        _idle.append((setting, errand.limit, worker))


@cache
def _may_have_children() -> None:
    """Under its nanny a worker is a daemonic process, which multiprocessing lets have no children: they might be left
    behind. Ours see that their parent has gone (pool), and go too."""
    multiprocessing.current_process()._config["daemon"] = False  # type: ignore[attr-defined]


# ---- knowledge that came from the machine that imports --------------------------------------------------------------

_folders: dict[str, Path] = {}


def _folder(digest: str) -> Path | None:
    """The folder of shipped knowledge, None for the knowledge of this machine."""
    return _folders.get(digest)


def keep_knowledge(digest: str, files: Mapping[str, bytes]) -> None:
    """Keeps a folder of knowledge that was shipped, for as long as this process lives."""
    if digest in _folders or knowledge.load().reading_digest == digest:
        return
    folder = Path(tempfile.mkdtemp(prefix="halfinch-schemas-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    if knowledge.load(folder).reading_digest == digest:
        _folders[digest] = folder


def shipped(folder: Path) -> dict[str, bytes]:
    """All files of a folder of knowledge."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*.toml")}


def make_plugin(digest: str, files: Mapping[str, bytes]) -> Any:
    """What ships knowledge to every worker, those too that come later."""
    from distributed import WorkerPlugin

    class Knowing(WorkerPlugin):  # type: ignore[misc]
        name = f"halfinch-{digest}"

        def setup(self, worker: object) -> None:
            from halfinch.work.cluster_worker import keep_knowledge

            keep_knowledge(digest, files)

    return Knowing()
