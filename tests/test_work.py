"""Sheets are read by workers that may die, found in folders that may be odd, and imported as a whole."""

from __future__ import annotations

import gzip
import io
import json
import os
import signal
import time
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from halfinch.catalogue import store
from halfinch.errors import CatalogueError, HalfinchError, KnowledgeError, SheetError, UsageError
from halfinch.figure import NM_PER_INCH, Figure, Finding, Garment, SheetResult
from halfinch.knowledge import load
from halfinch.sheet import Sheet
from halfinch.work import importing, reading
from halfinch.work.files import Found, find_files, merchant_of_folders
from halfinch.work.importing import Options, Report, import_paths
from halfinch.work.pool import Setting, Task, read_all
from halfinch.work.rereading import reread

SHIPPED = load()
KNOWLEDGE = SimpleNamespace(
    digest="knowledge-1", reading_digest="knowledge-1", points={}, size_systems=SHIPPED.size_systems,
    verdict=SHIPPED.verdict,
    silhouettes=SHIPPED.silhouettes,
)  # fmt: skip
HERE = Options(jobs=0)


def toy(data: bytes, name: str, knowledge: Any, habits: Any = None) -> list[SheetResult]:
    """Reads a toy sheet: `style point size inches [status]` a line; `fail why` fails; what else stands is nothing."""
    digest = reading.sheet_digest(data)
    figures, garments, said = [], {}, ""
    for number, line in enumerate(data.decode().splitlines(), start=1):
        words = line.split()
        if words[:1] == ["fail"]:
            return [reading.failed(name, digest, len(data), line[5:])]
        if words[:1] == ["merchant"]:
            said = words[1]
        elif len(words) >= 4:
            style, point, size, inches, *status = words
            garments[style] = Garment(style, merchant=said, style=style)
            nm = int(float(inches) * NM_PER_INCH) + int(habits.knee * NM_PER_INCH if habits and habits.knee else 0)
            figures.append(
                Figure(style, point, size, nm, inches, f"row={number}", status=(status or ["accepted"])[0],
                       length_scope="unsaid")
            )  # fmt: skip
    findings = tuple(
        Finding("odd", "warn", f"{f.raw} is odd.", figures=(at,)) for at, f in enumerate(figures) if f.status == "held"
    )
    outcome = "read" if figures else "nothing"
    return [
        SheetResult(name, digest, "toy", len(data), reader="toy", merchant=said, outcome=outcome,
                    garments=tuple(garments.values()), figures=tuple(figures), findings=findings)
    ]  # fmt: skip


@pytest.fixture
def toys(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "read_sheet", toy)
    monkeypatch.setattr("halfinch.knowledge.load", lambda folder=None: KNOWLEDGE)


def write(folder: Path, **files: str) -> None:
    for name, text in files.items():
        path = folder / name.replace("__", "/").replace("_csv", ".csv")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)


def ask(path: Path, sql: str) -> list[tuple[Any, ...]]:
    with store.reading(path) as connection:
        return connection.execute(sql).fetchall()


# read_sheet


def interpret_as(monkeypatch: pytest.MonkeyPatch, made: Callable[[Sheet], SheetResult]) -> None:
    monkeypatch.setattr("halfinch.interpret.interpret", lambda sheet, knowledge, habits=None: made(sheet))


def fine(sheet: Sheet) -> SheetResult:
    return SheetResult("", "", outcome="read", garments=(Garment("g"),))


def test_read_sheet_names_what_it_read(monkeypatch: pytest.MonkeyPatch) -> None:
    interpret_as(monkeypatch, fine)
    data = b"Size,Inseam\n8,29\n10,29\n"
    (result,) = reading.read_sheet(data, "a.csv", KNOWLEDGE)  # type: ignore[arg-type]
    assert (result.sheet, result.sheet_id, result.bytes) == ("a.csv", reading.sheet_digest(data), len(data))
    assert result.kind == "delimited"
    assert result.reader
    assert result.outcome == "read"


def test_a_bug_fails_its_sheet_loudly_and_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    def made(sheet: Sheet) -> SheetResult:
        if "b.csv" in sheet.name:
            raise ZeroDivisionError("in the interpreter")
        return fine(sheet)

    interpret_as(monkeypatch, made)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name in ("a.csv", "b.csv", "c.csv"):
            archive.writestr(name, f"Size,Inseam\n8,29\n{name},1\n")
    results = reading.read_sheet(packed.getvalue(), "z.zip", KNOWLEDGE)  # type: ignore[arg-type]
    assert [(r.sheet, r.outcome) for r in results] == [
        ("z.zip/a.csv", "read"), ("z.zip/b.csv", "failed"), ("z.zip/c.csv", "read"),
    ]  # fmt: skip
    assert "\n" not in results[1].message
    assert "ZeroDivisionError: in the interpreter" in results[1].log
    assert "Traceback" in results[1].log
    assert results[0].sheet_id == reading.sheet_digest(b"Size,Inseam\n8,29\na.csv,1\n"), "known by its own bytes"


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"%PDF-1.7\n1 0 obj", id="pdf-cut-short"),
        pytest.param(b"PK\x03\x04junk", id="zip-cut-short"),
        pytest.param(gzip.compress(b"Size,Inseam\n8,29\n")[:-9], id="gzip-cut-short"),
        pytest.param(bytes(range(256)) * 20, id="junk"),
        pytest.param(b"\xff\xd8\xff\xe0" + b"\0" * 100, id="a-photograph"),
    ],
)
def test_what_cannot_be_read_is_a_result_with_one_sentence(data: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    interpret_as(monkeypatch, fine)
    (result,) = reading.read_sheet(data, "x.pdf", KNOWLEDGE)  # type: ignore[arg-type]
    assert result.outcome == "failed"
    assert result.log == "", result.log
    assert result.message
    assert "\n" not in result.message


def test_an_unreadable_sheet_error_becomes_a_result(monkeypatch: pytest.MonkeyPatch) -> None:
    def made(sheet: Sheet) -> SheetResult:
        raise SheetError("a.csv has no rows")

    interpret_as(monkeypatch, made)
    (result,) = reading.read_sheet(b"a,b\n1,2\n", "a.csv", KNOWLEDGE)  # type: ignore[arg-type]
    assert (result.outcome, result.message, result.log) == ("failed", "a.csv has no rows", "")


# workers


def perilous(task: Task, setting: Setting) -> list[SheetResult]:
    """What a worker runs in the tests below."""
    if task.data == b"die":
        os.kill(os.getpid(), signal.SIGKILL)
    if task.data == b"hang":
        time.sleep(60)
    if task.data == b"swell":
        raise AssertionError(len([bytes(50_000_000) for _ in range(1000)]))
    return toy(task.data, task.name, KNOWLEDGE)


def test_a_worker_that_dies_or_hangs_costs_its_sheet_only() -> None:
    files = {"a": b"W inseam 8 29", "b": b"die", "c": b"hang", "d": b"W inseam 8 30", "e": b"die", "f": b"nothing"}
    tasks = (Task(data, name) for name, data in files.items())
    started = time.monotonic()
    read = {task.name: results[0] for task, results in read_all(tasks, Setting(), jobs=2, limit=6, read=perilous)}
    assert {name: result.outcome for name, result in read.items()} == {
        "a": "read", "b": "failed", "c": "failed", "d": "read", "e": "failed", "f": "nothing",
    }  # fmt: skip
    assert "died" in read["b"].message
    assert "longer than 6 s" in read["c"].message
    assert read["c"].sheet_id == reading.sheet_digest(b"hang")
    assert time.monotonic() - started < 55


def test_a_worker_that_swells_costs_its_sheet_only() -> None:
    pytest.importorskip("resource", reason="Windows holds no process to a limit")
    tasks = (Task(data, name) for name, data in {"a": b"swell", "b": b"W inseam 8 29"}.items())
    read = {task.name: results[0] for task, results in read_all(tasks, Setting(memory=600), jobs=1, read=perilous)}
    assert {name: result.outcome for name, result in read.items()} == {"a": "failed", "b": "read"}
    assert "more than 600 MB of memory" in read["a"].message


def test_tasks_are_taken_only_when_a_worker_is_free() -> None:
    taken = []

    def tasks() -> Any:
        for number in range(6):
            taken.append(number)
            yield Task(b"W inseam 8 29", str(number))

    results = read_all(tasks(), Setting(), jobs=1, read=perilous)
    next(results)
    assert len(taken) <= 2
    results.close()  # type: ignore[attr-defined]


# files


def names(paths: list[Path], catalogue: Path, **more: str) -> dict[str, Found]:
    return {found.name: found for found in find_files(paths, catalogue, **more)}


def test_folders_are_walked_in_order_without_what_is_no_sheet(tmp_path: Path) -> None:
    write(tmp_path / "in", b_csv="1", a_csv="1", maison__z_csv="1", maison__deep__y_csv="1")
    for name in (".hidden.csv", "~$open.xlsx", "ana.toml", "a.expected.csv", "shop.duckdb", "shop.duckdb.lock"):
        (tmp_path / "in" / name).write_text("x")
    (tmp_path / "in" / ".git").mkdir()
    (tmp_path / "in" / ".git" / "x.csv").write_text("x")
    (tmp_path / "in" / "shop.duckdb.sheets").mkdir()
    (tmp_path / "in" / "shop.duckdb.sheets" / "x").write_text("x")
    (tmp_path / "out.csv").write_text("x")
    (tmp_path / "in" / "out.csv").symlink_to(tmp_path / "out.csv")
    (tmp_path / "in" / "loop").symlink_to(tmp_path / "in")
    (tmp_path / "in" / "twin.csv").symlink_to(tmp_path / "in" / "a.csv")
    os.mkfifo(tmp_path / "in" / "pipe.csv")
    found = names([tmp_path / "in", tmp_path / "in" / "a.csv"], tmp_path / "in" / "shop.duckdb")
    assert list(found) == ["a.csv", "b.csv", "maison/deep/y.csv", "maison/z.csv"]
    assert {name: f.source for name, f in found.items()} == {name: name for name in found}
    assert [f.merchant for f in found.values()] == ["", "", "maison", "maison"]
    assert not any(f.trouble for f in found.values())


def test_sources_are_seen_from_the_catalogue(tmp_path: Path) -> None:
    write(tmp_path, maison__a_csv="1")
    (tmp_path / "shop").mkdir()
    catalogue = tmp_path / "shop" / "s.duckdb"
    (found,) = find_files([tmp_path / "maison"], catalogue)
    assert (found.name, found.source, found.merchant) == ("a.csv", "../maison/a.csv", "maison")
    (found,) = find_files([tmp_path / "maison" / "a.csv"], catalogue, merchant="Élan", named="letter/1.csv")
    assert (found.name, found.source, found.merchant) == ("a.csv", "letter/1.csv", "Élan")
    (found,) = find_files([tmp_path / "maison"], catalogue, named="letters/")
    assert found.source == "letters/a.csv"
    with pytest.raises(UsageError, match="does not exist"):
        list(find_files([tmp_path / "no"], catalogue))
    with pytest.raises(UsageError, match="--as"):
        list(find_files([tmp_path, tmp_path], catalogue, named="x"))


def test_a_body_is_never_taken_for_a_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "ana.toml").write_text('inseam = "78 cm"')
    (found,) = find_files([tmp_path / "ana.toml"], tmp_path / "s.duckdb")
    assert "no sheet" in found.trouble
    interpret_as(monkeypatch, fine)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("bodies/ana.toml", 'inseam = "78 cm"')
        archive.writestr("a.csv", "Size,Inseam\n8,29\n")
    results = reading.read_sheet(packed.getvalue(), "z.zip", KNOWLEDGE)  # type: ignore[arg-type]
    assert [result.sheet for result in results] == ["z.zip/a.csv"]


def test_a_file_of_200_mb_is_not_opened(tmp_path: Path) -> None:
    with (tmp_path / "big.pdf").open("wb") as file:
        file.truncate(200_000_000)
    (found,) = find_files([tmp_path], tmp_path / "s.duckdb")
    assert "200 MB" in found.trouble


def test_names_that_are_no_utf8_are_still_names(tmp_path: Path) -> None:
    (tmp_path / os.fsdecode(b"ma\xffison.csv")).write_text("1")
    (found,) = find_files([tmp_path], tmp_path / "s.duckdb")
    assert found.name == "ma\ufffdison.csv"


@pytest.mark.parametrize(
    ("folders", "merchant"),
    [
        (["oddwick", "sheets"], "oddwick"),
        (["2024", "oddwick"], "oddwick"),
        (["demo", "oddwick", "2024"], "oddwick"),
        (["Downloads", "inbox"], ""),
        (["尺码"], "尺码"),
    ],
)
def test_which_folder_names_a_merchant(folders: list[str], merchant: str) -> None:
    assert merchant_of_folders(folders) == merchant


# import


def counts(report: Report) -> dict[str, tuple[str, int, int]]:
    return {line.sheet: (line.outcome, line.accepted, line.held) for line in report.lines}


@pytest.mark.usefixtures("toys")
def test_a_folder_becomes_a_catalogue(tmp_path: Path) -> None:
    write(
        tmp_path / "in", maison__a_csv="W inseam 8 29\nW waist 8 3 held", maison__b_csv="hello", elan__c_csv="fail it"
    )
    shop = tmp_path / "shop.duckdb"
    seen: list[tuple[int, int, str]] = []
    report = import_paths(shop, [tmp_path / "in"], HERE, lambda *step: seen.append(step))
    assert counts(report) == {
        "maison/a.csv": ("read", 1, 1), "maison/b.csv": ("nothing", 0, 0), "elan/c.csv": ("failed", 0, 0),
    }  # fmt: skip
    assert report.exit_status == 3
    assert [(f.place, f.reasons) for f in report.held] == [("row=2", ("3 is odd.",))]
    assert [step[:2] for step in seen] == [(1, 3), (2, 3), (3, 3)]
    assert ask(shop, "SELECT merchant, style FROM current_garments") == [("maison", "W")]
    assert ask(shop, "SELECT CAST(inseam AS INT), waist FROM sizes") == [(29, None)]
    kept = [path for path in (tmp_path / "shop.duckdb.sheets").rglob("*") if path.is_file()]
    assert len(kept) == 3


@pytest.mark.usefixtures("toys")
def test_importing_again_is_nothing_and_tells_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "in", a_csv="W inseam 8 29\nW waist 8 3 held", b_csv="fail once", c_csv="W hip 8 40")
    shop = tmp_path / "shop.duckdb"
    first = import_paths(shop, [tmp_path / "in"], HERE)
    read: list[str] = []

    def noted(data: bytes, name: str, *more: Any) -> list[SheetResult]:
        read.append(name)
        return toy(data, name, KNOWLEDGE)

    monkeypatch.setattr(reading, "read_sheet", noted)
    second = import_paths(shop, [tmp_path / "in"], HERE)
    assert read == ["b.csv"], "what failed is tried again, what was read is not"
    assert (second.lines, second.held, second.exit_status) == (first.lines, first.held, 3)
    assert (first.unchanged, second.unchanged) == (0, 2)
    assert ask(shop, "SELECT count(*) FROM figures") == [(3,)]


@pytest.mark.usefixtures("toys")
@pytest.mark.parametrize(
    ("text", "status"), [("W inseam 8 29", 0), ("hello", 0), ("W waist 8 3 held", 4), ("fail it", 3)]
)
def test_exit_status(tmp_path: Path, text: str, status: int) -> None:
    write(tmp_path, a_csv=text)
    assert import_paths(tmp_path / "shop.duckdb", [tmp_path], HERE).exit_status == status
    assert Report().exit_status == 0


@pytest.mark.usefixtures("toys")
def test_troubles_of_files_are_told_and_the_others_go_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "in", a_csv="W inseam 8 29")
    with (tmp_path / "in" / "big.csv").open("wb") as file:
        file.truncate(250_000_000)
    monkeypatch.setattr("halfinch.work.files.os.scandir", _locked(os.scandir, "locked"))
    (tmp_path / "in" / "locked").mkdir()
    report = import_paths(tmp_path / "shop.duckdb", [tmp_path / "in"], HERE)
    assert counts(report) == {"a.csv": ("read", 1, 0), "big.csv": ("failed", 0, 0), "locked": ("failed", 0, 0)}
    told = {line.sheet: line.message for line in report.lines}
    assert "250 MB" in told["big.csv"]
    assert "cannot be read (Permission denied)" in told["locked"]


def _locked(scandir: Callable[[Path], Any], name: str) -> Callable[[Path], Any]:
    def scan(folder: Path) -> Any:
        if Path(folder).name == name:
            raise PermissionError(13, "Permission denied")
        return scandir(folder)

    return scan


@pytest.mark.usefixtures("toys")
def test_every_broken_file_is_listed_also_where_two_hold_the_same_bytes(tmp_path: Path) -> None:
    write(tmp_path / "in", a_csv="fail it", b_csv="fail it", c_csv="W hip 8 40", d_csv="W hip 8 40")
    report = import_paths(tmp_path / "shop.duckdb", [tmp_path / "in"], HERE)
    assert [(line.sheet, line.outcome) for line in report.lines] == [
        ("a.csv", "failed"), ("c.csv", "read"), ("b.csv", "failed")
    ]  # fmt: skip
    assert report.lines[2].message == "it (the same bytes as a.csv)"
    assert (report.unchanged, report.exit_status) == (2, 3)


@pytest.mark.usefixtures("toys")
def test_the_same_bytes_twice_in_one_import(tmp_path: Path) -> None:
    write(tmp_path / "in", x__a_csv="W inseam 8 29", y__b_csv="W inseam 8 29")
    report = import_paths(tmp_path / "shop.duckdb", [tmp_path / "in"], HERE)
    assert len(report.lines) == 1
    assert ask(tmp_path / "shop.duckdb", "SELECT count(*) FROM receipts") == [(2,)]


@pytest.mark.usefixtures("toys")
def test_a_merchant_given_later_takes_effect(tmp_path: Path) -> None:
    write(tmp_path, a_csv="W inseam 8 29", b_csv="merchant Said\nW hip 8 40")
    shop = tmp_path / "shop.duckdb"
    import_paths(shop, [tmp_path], HERE)
    import_paths(shop, [tmp_path], replace(HERE, merchant="Given"))
    assert ask(shop, "SELECT DISTINCT merchant FROM current_figures ORDER BY 1") == [("Given",), ("Said",)]
    assert ask(shop, "SELECT count(*) FROM figures") == [(2,)]


@pytest.mark.usefixtures("toys")
def test_a_bug_in_storing_one_sheet_costs_that_sheet_only(tmp_path: Path) -> None:
    write(tmp_path / "in", a_csv="W inseam 8 29", b_csv="W inseam 8 29000000", c_csv="W hip 8 40")
    report = import_paths(tmp_path / "shop.duckdb", [tmp_path / "in"], HERE)
    assert counts(report) == {"a.csv": ("read", 1, 0), "b.csv": ("failed", 0, 0), "c.csv": ("read", 1, 0)}
    assert ask(tmp_path / "shop.duckdb", "SELECT count(*) FROM logs") == [(1,)]


@pytest.mark.usefixtures("toys")
def test_a_refused_catalogue_is_left_alone(tmp_path: Path) -> None:
    write(tmp_path / "in", a_csv="W inseam 8 29")
    foreign = tmp_path / "foreign.duckdb"
    foreign.write_text("not ours")
    with pytest.raises(CatalogueError, match="no catalogue"):
        import_paths(foreign, [tmp_path / "in"], HERE)
    assert foreign.read_text() == "not ours"
    with pytest.raises(CatalogueError, match="does not exist"):
        import_paths(tmp_path / "no" / "shop.duckdb", [tmp_path / "in"], HERE)
    with pytest.raises(UsageError, match="does not exist"):
        import_paths(tmp_path / "shop.duckdb", [tmp_path / "no"], HERE)
    assert not (tmp_path / "shop.duckdb").exists()


@pytest.mark.usefixtures("toys")
def test_habits_count_for_their_merchant(tmp_path: Path) -> None:
    said = "merchant Maison\nV inseam 8 30"
    write(tmp_path / "in", maison__a_csv="W inseam 8 29", x__b_csv=said, y__c_csv="U hip 8 40")
    (tmp_path / "merchants.toml").write_text("[maison]\nknee = 13\n")
    import_paths(tmp_path / "shop.duckdb", [tmp_path / "in"], HERE)
    rows = ask(tmp_path / "shop.duckdb", "SELECT style, CAST(inches AS INT) FROM figures ORDER BY 1")
    assert rows == [("U", 40), ("V", 43), ("W", 42)]
    (tmp_path / "merchants.toml").write_text("[maison\n")
    with pytest.raises(KnowledgeError, match=r"merchants\.toml"):
        import_paths(tmp_path / "shop.duckdb", [tmp_path / "in"], HERE)


# reread


@pytest.mark.usefixtures("toys")
def test_reading_again_when_knowledge_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "in", a_csv="W inseam 8 29\nW hip 8 40", b_csv="V inseam 8 30")
    shop = tmp_path / "shop.duckdb"
    import_paths(shop, [tmp_path / "in"], HERE)
    assert reread(shop, HERE).report.lines == (), "nothing is stale"
    (tmp_path / "in" / "a.csv").unlink()

    def newer(data: bytes, name: str, knowledge: Any, habits: Any = None) -> list[SheetResult]:
        return toy(data.replace(b"29", b"28").replace(b"W hip 8 40", b"W knee 8 16"), name, knowledge)

    monkeypatch.setattr(reading, "read_sheet", _with_digest(newer))
    monkeypatch.setattr(KNOWLEDGE, "reading_digest", "knowledge-2")
    assert import_paths(shop, [tmp_path / "in"], HERE).stale == 2, "import says so and reads nothing"
    again = reread(shop, HERE)
    assert {(d.what, d.point, d.before, d.after) for d in again.differences} == {
        ("changed", "inseam", "29 in, accepted", "28 in, accepted"),
        ("gone", "hip", "40 in, accepted", ""),
        ("new", "knee", "", "16 in, accepted"),
    }
    assert again.report.stale == 0
    assert again.missing == ()
    assert ask(shop, "SELECT CAST(inseam AS INT) FROM sizes ORDER BY 1") == [(28,), (30,)]
    assert ask(shop, "SELECT count(*) FROM figures") == [(6,)], "the old readings stay"
    assert len(reread(shop, HERE, everything=True).report.lines) == 2


def _with_digest(read: Callable[..., list[SheetResult]]) -> Callable[..., list[SheetResult]]:
    def reading_(data: bytes, name: str, *more: Any) -> list[SheetResult]:
        return [replace(result, sheet_id=reading.sheet_digest(data)) for result in read(data, name, *more)]

    return reading_


@pytest.mark.usefixtures("toys")
def test_bytes_that_are_not_kept_are_taken_from_the_source_or_told_of(tmp_path: Path) -> None:
    write(tmp_path / "in", a_csv="W inseam 8 29", b_csv="V inseam 8 30")
    shop = tmp_path / "shop.duckdb"
    import_paths(shop, [tmp_path / "in"], replace(HERE, keep=False))
    assert not (tmp_path / "shop.duckdb.sheets").exists()
    (tmp_path / "in" / "a.csv").write_text("changed")
    result = reread(shop, HERE, everything=True)
    assert result.missing == ("a.csv",)
    assert [line.outcome for line in result.report.lines] == ["read", "read"]


@pytest.mark.usefixtures("toys")
def test_a_reading_that_fails_now_leaves_the_earlier_in_force(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path, a_csv="W inseam 8 29")
    shop = tmp_path / "shop.duckdb"
    import_paths(shop, [tmp_path], HERE)
    monkeypatch.setattr(KNOWLEDGE, "reading_digest", "knowledge-2")
    monkeypatch.setattr(reading, "read_sheet", lambda data, name, *more: toy(b"fail slow", name, KNOWLEDGE))
    digest = reading.sheet_digest(b"W inseam 8 29")
    monkeypatch.setattr(reading, "sheet_digest", lambda data: digest)
    result = reread(shop, HERE)
    assert [(line.outcome, line.message) for line in result.report.lines] == [("failed", "slow")]
    assert result.report.exit_status == 3
    assert ask(shop, "SELECT CAST(inseam AS INT) FROM sizes") == [(29,)]


# the face for Python programs


@pytest.mark.usefixtures("toys")
def test_frames_for_python_programs(tmp_path: Path) -> None:
    import halfinch

    write(tmp_path, a_csv="W inseam 8 29\nW waist 8 3 held")
    shop = halfinch.open_catalogue(tmp_path / "shop.duckdb")
    with pytest.raises(HalfinchError, match="no catalogue at"):
        shop.sizes()
    assert shop.add(tmp_path / "a.csv").exit_status == 4
    assert list(shop.figures()["status"]) == ["accepted", "held"]
    assert list(shop.sizes()["inseam"]) == [29.0]
    assert shop.sql("SELECT 1 AS one")["one"].to_list() == [1]
    for query in ("DELETE FROM figures", "SELECT nonsense", ""):
        with pytest.raises(HalfinchError):
            shop.sql(query)
    (tmp_path / "foreign").write_text(json.dumps({}))
    with pytest.raises(CatalogueError):
        halfinch.open_catalogue(tmp_path / "foreign")


def test_importing_options_have_sane_defaults() -> None:
    assert importing.Options().keep
    assert importing.Options().jobs is None
