"""A Dask cluster of real processes reads; what dies is done again, and what is written twice is written once."""

from __future__ import annotations

import os
import pickle
import random
import resource
import shutil
import signal
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from distributed import Client

from halfinch.catalogue import store
from halfinch.catalogue.lake import commits
from halfinch.catalogue.lake.objects import open_objects
from halfinch.catalogue.lake.settling import settle
from halfinch.errors import CatalogueError, UsageError
from halfinch.knowledge import find_schemas
from halfinch.work import cluster, spreading
from halfinch.work.cluster_worker import Errand, stage_on_worker
from halfinch.work.files import find_files
from halfinch.work.importing import Options, import_paths, make_stamp
from halfinch.work.lake_import import import_to_lake
from halfinch.work.packs import Packing

from .dask_processes import Dask
from .ground import differences, lay, sheet

HERE = Options(jobs=0)
SHEETS = 6


@pytest.fixture(scope="module")
def dask(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Dask]:
    with Dask(2, tmp_path_factory.mktemp("scheduler")) as running:
        yield running


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The folder of sheets, and a catalogue of them."""
    folder = tmp_path_factory.mktemp("ground")
    lay(folder / "sheets", SHEETS)
    import_paths(folder / "shop.duckdb", [folder / "sheets"], HERE)
    return folder / "sheets", folder / "shop.duckdb"


@pytest.fixture
def place(undisturbed: tuple[Path, Path]) -> Iterator[Path]:
    """Where a lake or another catalogue of the same sheets comes: beside the catalogue, as sources are seen from it."""
    path = undisturbed[1].parent / "made"
    path.mkdir()
    lake = undisturbed[1].parent / "lake"
    yield lake
    shutil.rmtree(path)
    shutil.rmtree(lake, ignore_errors=True)


def test_a_cluster_reads_into_a_catalogue(dask: Dask, undisturbed: tuple[Path, Path]) -> None:
    folder, catalogue = undisturbed
    other = catalogue.with_name("other.duckdb")
    report = import_paths(other, [folder], Options(on=dask.address))
    assert len(report.lines) == SHEETS
    assert differences(catalogue, other) == {}


def test_killed_workers_and_a_restarted_scheduler_cost_nothing(
    dask: Dask, undisturbed: tuple[Path, Path], place: Path
) -> None:
    folder, catalogue = undisturbed
    events = [dask.restart, dask.kill_worker]

    def disturb(done: int, total: int, name: str) -> None:
        if events:
            assert events.pop()()

    import_to_lake(place, [folder], Options(on=dask.address), disturb)
    assert not events
    assert differences(catalogue, place) == {}


def test_full_disks(dask: Dask, undisturbed: tuple[Path, Path], place: Path) -> None:
    """On every worker: it is told, nothing shows, what was read is kept. On one of them: the other one does it."""
    folder, catalogue = undisturbed
    processes = dask.worker_processes()
    try:
        for process in processes:
            resource.prlimit(process, resource.RLIMIT_FSIZE, (2_000, resource.RLIM_INFINITY))
        with pytest.raises(CatalogueError, match=r"(?s)too large.*goes on when it is run again"):
            import_to_lake(place, [folder], Options(on=dask.address))
        assert commits.newest(open_objects(place)).number == 0
        resource.prlimit(processes[0], resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
        import_to_lake(place, [folder], Options(on=dask.address))
    finally:
        for process in processes:
            resource.prlimit(process, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    assert differences(catalogue, place) == {}


def test_another_version_is_refused_in_a_sentence(
    dask: Dask, undisturbed: tuple[Path, Path], place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(spreading, "__version__", "9.9.9")
    with pytest.raises(CatalogueError, match=r"The worker tcp://\S+ has halfinch 0.1.0, this machine"):
        import_to_lake(place, [undisturbed[0]], Options(on=dask.address))


def test_knowledge_that_workers_do_not_have_is_shipped(dask: Dask, undisturbed: tuple[Path, Path], place: Path) -> None:
    folder, _ = undisturbed
    schemas = place.with_name("made") / "schemas"
    shutil.copytree(find_schemas(), schemas)
    with (schemas / "grades.toml").open("a", encoding="utf-8") as file:
        file.write("\n# ours\n")
    import_to_lake(place, [folder], Options(on=dask.address, schemas=schemas))
    with store.reading(place) as connection:
        ((knowledge, sheets),) = connection.execute("SELECT min(knowledge), count(*) FROM readings").fetchall()
    assert (knowledge, sheets) == (make_stamp(schemas, None).knowledge, SHEETS)


def test_an_address_that_is_none(undisturbed: tuple[Path, Path], place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spreading, "ANSWER", 0.5)
    with pytest.raises(UsageError, match="dask://HOST:PORT"):
        import_to_lake(place, [undisturbed[0]], Options(on="localhost"))
    with pytest.raises(CatalogueError, match="No Dask scheduler answers"):
        import_to_lake(place, [undisturbed[0]], Options(on="dask://127.0.0.1:9"))


BODY = b'name = "Ottilie"\n[measures]\nhip = 43.217\n'


def test_bodies_never_go_to_the_cluster(
    dask: Dask, undisturbed: tuple[Path, Path], place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beside the sheets, and packed together with one, in a ZIP and in a ZIP in a ZIP."""
    folder = place.with_name("made") / "with bodies"
    lay(folder, 2)
    (folder / "ottilie.toml").write_bytes(BODY)
    inner = folder.with_name("inner.zip")
    for target, extra in ((inner, None), (folder / "pack.zip", None), (folder / "deep.zip", inner)):
        with zipfile.ZipFile(target, "w") as archive:
            archive.writestr(f"{target.stem}.csv", sheet(f"Packed {target.stem}"))
            if extra is None:
                archive.writestr("bodies/ottilie.toml", BODY)
            else:
                archive.write(extra, extra.name)
    sent: list[bytes] = []
    for name in ("submit", "run", "register_plugin", "scatter"):
        monkeypatch.setattr(Client, name, _overheard(getattr(Client, name), sent))
    import_to_lake(place, [folder], Options(on=dask.address))
    import_paths(place.with_name("made") / "shop.duckdb", [folder], HERE)
    told = b"".join(sent)
    assert b"merchant a" in told, "this is where it would be"
    assert not any(secret in told for secret in (b"43.217", b"ottilie", b"Ottilie", b"halfinch.fit", b"PK\x03\x04"))
    with store.reading(place) as connection:
        names = {row[0] for row in connection.execute("SELECT sheet FROM sheets").fetchall()}
    assert {"pack.zip/pack.csv", "deep.zip/deep.csv", "deep.zip/inner.zip/inner.csv"} <= names


def _overheard(method: object, sent: list[bytes]) -> object:
    from distributed.protocol.pickle import dumps

    def call(self: Client, *args: object, **kwargs: object) -> object:
        sent.append(dumps((args, kwargs)))
        return method(self, *args, **kwargs)  # type: ignore[operator]

    return call


def test_tasks_run_twice_and_in_any_order_write_one_result(undisturbed: tuple[Path, Path], place: Path) -> None:
    folder, catalogue = undisturbed
    objects, stamp = open_objects(place), make_stamp(None, None)
    commits.found(objects)
    packing = Packing(stamp, frozenset())
    packs = list(packing.packs(find_files([folder], place)))
    errand = Errand(stamp.program, stamp.knowledge, None, 1500, 60.0, stamp, objects.url)
    replayed = [*packs, *packs]
    random.Random(7).shuffle(replayed)
    batches = [stage_on_worker(errand, pickle.loads(pickle.dumps(pack))) for pack in replayed]
    once = {batch.name: batch for batch in batches}  # type: ignore[union-attr]
    assert len(once) == len(packs)
    assert {repr(batch) for batch in batches} == {repr(batch) for batch in once.values()}, "the same both times"
    random.Random(8).shuffle(names := list(once))
    moment = store.now()
    commits.commit_next(objects, lambda base: settle(objects, base, [once[n] for n in names], [], moment))  # type: ignore[misc]
    assert differences(catalogue, place) == {}


def test_a_sheet_that_kills_its_workers_is_told_as_failed(
    dask: Dask, undisturbed: tuple[Path, Path], place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whole workers die here, as when the system takes their memory; a reader of theirs that dies is less."""
    folder = place.with_name("made") / "deadly"
    lay(folder, 3, merchants=1)
    (folder / "merchant a" / "deadly.csv").write_text(sheet("Deadly") + DEADLY, encoding="utf-8")
    monkeypatch.setattr(cluster, "stage_on_worker", stage_or_die)
    report = import_to_lake(place, [folder], Options(on=dask.address))
    fates = {line.sheet.rpartition("/")[2]: line.outcome for line in report.lines}
    assert fates == {"deadly.csv": "failed", "style0.csv": "read", "style1.csv": "read", "style2.csv": "read"}
    assert any("died" in line.message for line in report.lines)


DEADLY = "this kills\n"


def stage_or_die(errand: Errand, pack: object) -> object:
    if any(DEADLY.encode() in one.task.data for one in pack.files):  # type: ignore[attr-defined]
        os.kill(os.getpid(), signal.SIGKILL)
    return stage_on_worker(errand, pack)  # type: ignore[arg-type]
