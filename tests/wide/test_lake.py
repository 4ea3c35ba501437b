"""A lake says what a catalogue says of the same sheets, row for row, and every command that reads takes it."""

from __future__ import annotations

import json
import threading
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from halfinch.catalogue import store
from halfinch.catalogue.audit.frames import fetch_tables
from halfinch.catalogue.lake import commits, compacting, staging
from halfinch.catalogue.lake.commits import Commit
from halfinch.catalogue.lake.objects import FolderObjects, open_objects
from halfinch.catalogue.rulings import rule
from halfinch.cli import group
from halfinch.errors import CatalogueError, HalfinchError, UsageError
from halfinch.work import lake_import, packs
from halfinch.work.importing import Options, import_paths
from halfinch.work.lake_import import import_to_lake

from .ground import differences, lay, one_is_the_first, sheet, tell

DEMO = Path(__file__).parents[2] / "fixtures" / "demo"
HERE = Options(jobs=0)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The demo as a catalogue and as a lake."""
    folder = tmp_path_factory.mktemp("demo")
    import_paths(folder / "shop.duckdb", [DEMO], HERE)
    import_to_lake(folder / "lake", [DEMO], HERE)
    return folder / "shop.duckdb", folder / "lake"


def test_the_demo_is_the_same_row_for_row(demo: tuple[Path, Path]) -> None:
    assert differences(*demo) == {}
    with store.reading(demo[1]) as connection:
        assert connection.execute("SELECT * FROM kept_or_told WHERE NOT kept").fetchall() == []


READING = (
    ["match", str(DEMO / "bodies" / "ottilie.toml"), "--format", "json"],
    ["export", "--table", "figures", "--format", "csv"],
    ["export", "--table", "sizes", "--format", "csv"],
    ["export", "--table", "findings", "--format", "jsonl"],
    ["query", "SELECT point, count(*) FROM clean_figures GROUP BY 1 ORDER BY 1"],
    ["query", "--about", "sizes"],
    ["same"],
    ["habits"],
    ["rule", "--list"],
)


@pytest.mark.parametrize("arguments", [pytest.param(one, id=" ".join(one[:3])) for one in READING])
def test_what_reads_a_catalogue_reads_a_lake(demo: tuple[Path, Path], arguments: list[str]) -> None:
    answers = [CliRunner().invoke(group, [*arguments, "-c", str(path)]) for path in demo]
    assert answers[0].exit_code == answers[1].exit_code == 0, answers
    if "findings" in arguments:  # their order within a sheet is not told
        assert sorted(answers[0].stdout.splitlines()) == sorted(answers[1].stdout.splitlines())
    else:
        assert answers[0].stdout.replace(str(demo[0]), "X") == answers[1].stdout.replace(str(demo[1]), "X")


def test_a_report_and_the_frames_of_an_audit(demo: tuple[Path, Path], tmp_path: Path) -> None:
    frames = [fetch_tables(path) for path in demo]
    assert {name: len(frame) for name, frame in frames[0].items()} == {
        name: len(frame) for name, frame in frames[1].items()
    }
    done = CliRunner().invoke(group, ["report", "-c", str(demo[1]), "-o", str(tmp_path / "report.html")])
    assert done.exit_code == 0
    assert (tmp_path / "report.html").stat().st_size > 10_000


def test_what_persons_decide_is_refused_in_a_sentence(demo: tuple[Path, Path]) -> None:
    with pytest.raises(UsageError, match="is a lake: only"):
        rule(demo[1], "x", "right", by="me", why="taped")
    for arguments in (["import", str(DEMO)], ["reread"], ["backup"], ["merge", str(demo[0])]):
        done = CliRunner().invoke(group, [*arguments, "--catalogue", str(demo[1])])
        assert isinstance(done.exception, UsageError), arguments
    done = CliRunner().invoke(group, ["merge", str(demo[1]), "--catalogue", str(demo[0])])
    assert isinstance(done.exception, UsageError)
    done = CliRunner().invoke(group, ["import", str(DEMO), "--to", str(demo[1]), "-c", str(demo[0])])
    assert done.exit_code == 2 or isinstance(done.exception, UsageError)


def test_a_question_reaches_nothing_but_the_lake(demo: tuple[Path, Path]) -> None:
    done = CliRunner().invoke(group, ["query", f"SELECT * FROM '{DEMO / 'merchants.toml'}'", "-c", str(demo[1])])
    assert isinstance(done.exception, HalfinchError)


@pytest.fixture
def both(tmp_path: Path) -> tuple[Path, Path, Path]:
    """A folder of sheets, and where its catalogue and its lake will be."""
    return lay(tmp_path / "sheets", 5), tmp_path / "shop.duckdb", tmp_path / "lake"


def bring(both: tuple[Path, Path, Path]) -> None:
    folder, catalogue, lake = both
    import_paths(catalogue, [folder], HERE)
    import_to_lake(lake, [folder], HERE)


def test_changes_of_a_folder_come_to_both_alike(both: tuple[Path, Path, Path]) -> None:
    """New, changed, moved, doubled, broken and mended sheets; two that differ on a garment; a packed folder that
    changes."""
    folder, catalogue, lake = both
    bring(both)
    (folder / "merchant a" / "style0.csv").write_text(sheet("Style 0", 33), encoding="utf-8")
    (folder / "merchant a" / "again.csv").write_text(sheet("Style 3", 27), encoding="utf-8")
    (folder / "merchant b" / "copy.csv").write_bytes((folder / "merchant c" / "style2.csv").read_bytes())
    (folder / "merchant b" / "broken.pdf").write_bytes(b"%PDF-1.4 nothing")
    with zipfile.ZipFile(folder / "merchant c" / "pack.zip", "w") as archive:
        archive.writestr("one.csv", sheet("Packed one"))
        archive.writestr("style2.csv", sheet("Packed two"))
    bring(both)
    assert differences(catalogue, lake) == {}
    told = tell(lake)
    assert any(row[4] == "sheets_differ" for row in told["current_findings"])
    assert any(row[4] == "same_name_elsewhere" for row in told["current_findings"])
    with zipfile.ZipFile(folder / "merchant c" / "pack.zip", "w") as archive:
        archive.writestr("one.csv", sheet("Packed one", 26))
    (folder / "merchant a" / "again.csv").unlink()
    (folder / "merchant b" / "broken.pdf").write_text(sheet("Mended"), encoding="utf-8")
    bring(both)
    assert differences(catalogue, lake) == {}


def test_twice_is_once(both: tuple[Path, Path, Path]) -> None:
    (both[0] / "broken.pdf").write_bytes(b"%PDF-1.4 nothing")
    import_to_lake(both[2], [both[0]], HERE)
    before = commits.newest(open_objects(both[2]))
    assert import_to_lake(both[2], [both[0]], HERE).unchanged == 5
    assert commits.newest(open_objects(both[2])) == before


def test_compaction_is_a_commit_that_says_the_same(both: tuple[Path, Path, Path]) -> None:
    folder, catalogue, lake = both
    bring(both)
    (folder / "merchant a" / "style0.csv").write_text(sheet("Style 0", 31), encoding="utf-8")
    bring(both)
    objects = open_objects(lake)
    told, before = tell(lake), commits.newest(objects)
    done = compacting.compact(objects, 0)
    after = commits.newest(objects)
    assert after.number == before.number + 1
    assert done.objects < done.objects_before
    assert not after.of("retouched")
    assert tell(lake) == told
    assert differences(catalogue, lake) == {}
    on_disk = {entry.name for entry in objects.entries("data")}
    assert on_disk == commits.listed([after])
    assert compacting.compact(objects, 0).objects == done.objects, "nothing is left to join"


def test_a_reader_keeps_its_commit_while_others_write(both: tuple[Path, Path, Path]) -> None:
    folder, _, lake = both
    import_to_lake(lake, [folder], HERE)
    with store.reading(lake) as connection:
        ((before,),) = connection.execute("SELECT count(*) FROM figures").fetchall()
        (folder / "new.csv").write_text(sheet("New"), encoding="utf-8")
        import_to_lake(lake, [folder], HERE)
        compacting.compact(open_objects(lake))
        assert connection.execute("SELECT count(*) FROM figures").fetchall() == [(before,)]
    with store.reading(lake) as connection:
        assert connection.execute("SELECT count(*) > ? FROM figures", [before]).fetchall() == [(True,)]


# ---- exactly once ---------------------------------------------------------------------------------------------------


class Stopped(RuntimeError):
    """Where a test stops an import."""


def test_an_import_that_was_stopped_goes_on_where_it_was(
    both: tuple[Path, Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, catalogue, lake = both
    staged: list[str] = []
    whole = staging.stage

    def stage(objects: object, name: str, *rest: object) -> staging.Batch:
        staged.append(name)
        if len(staged) == 3:
            raise Stopped
        return whole(objects, name, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(packs, "stage", stage)
    with pytest.raises(Stopped):
        import_to_lake(lake, [folder], HERE)
    with store.reading(lake) as connection:
        assert connection.execute("SELECT count(*) FROM sheets").fetchall() == [(0,)], "nothing shows before the commit"
    first, staged[:] = staged[:2], ["", "", ""]
    import_to_lake(lake, [folder], HERE)
    assert not set(first) & set(staged), "what was written is not read again"
    import_paths(catalogue, [folder], HERE)
    assert differences(catalogue, lake) == {}


def test_two_committers_at_once_both_stand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both make the next commit of the same one; the folders share a merchant, a garment and a whole sheet."""
    one, two = lay(tmp_path / "one", 4), lay(tmp_path / "two", 5)
    (two / "merchant a" / "style0.csv").write_text(sheet("Style 0", 33), encoding="utf-8")
    lake, meeting, put = tmp_path / "lake", threading.Barrier(2, timeout=60), commits.put
    met: list[bool] = []

    def together(objects: object, commit: Commit) -> bool:
        if commit.number == 1:
            meeting.wait()
        met.append(put(objects, commit))  # type: ignore[arg-type]
        return met[-1]

    monkeypatch.setattr(commits, "put", together)
    threads = [threading.Thread(target=import_to_lake, args=(lake, [folder], HERE)) for folder in (one, two)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(met) == [False, True, True]
    monkeypatch.undo()
    import_paths(tmp_path / "shop.duckdb", [one, two], HERE)
    assert differences(tmp_path / "shop.duckdb", lake) == {} or _same_but_names(tmp_path / "shop.duckdb", lake)


def _same_but_names(catalogue: Path, lake: Path) -> bool:
    """A sheet that lies at two sources is called by the one that came first."""
    here, there = tell(catalogue), tell(lake)
    return all(here[name].total() == there[name].total() for name in here)


class Deaf(FolderObjects):
    """The first answer to a conditional put is lost: it was done, and the writer is told that it failed."""

    lost: list[str] = []  # noqa: RUF012

    def put_new(self, name: str, data: bytes) -> bool:
        done = super().put_new(name, data)
        if name.startswith("commits/") and not self.lost:
            self.lost.append(name)
            raise CatalogueError("the connection was reset")
        return done


def test_an_acknowledgement_that_was_lost_is_asked_for(
    both: tuple[Path, Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, catalogue, lake = both
    Deaf.lost.clear()
    monkeypatch.setattr(lake_import, "open_objects", lambda path: Deaf(Path(path).absolute()))
    import_to_lake(lake, [folder], HERE)
    assert Deaf.lost == ["commits/0000000001.json"]
    assert commits.newest(open_objects(lake)).number == 1
    import_paths(catalogue, [folder], HERE)
    assert differences(catalogue, lake) == {}


def test_of_many_writers_one_is_the_first(tmp_path: Path) -> None:
    one_is_the_first(FolderObjects(tmp_path), writers=16)


def test_a_folder_of_other_files_is_no_lake(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(CatalogueError, match="holds other files"):
        import_to_lake(tmp_path, [DEMO], HERE)
    with pytest.raises(CatalogueError, match="no lake at"):
        commits.require(open_objects(tmp_path / "none"))
    (tmp_path / "new").mkdir()
    (tmp_path / "new" / "lake.json").write_text(json.dumps({"lake": 99, "buckets": 16}), encoding="utf-8")
    with pytest.raises(CatalogueError, match="newer program"), store.reading(tmp_path / "new"):
        pass
    with pytest.raises(UsageError, match="lies in a folder or at s3"):
        open_objects("gs://bucket/lake")
