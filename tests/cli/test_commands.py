"""The command line as a person or a script meets it: words, exit statuses, one sentence for what goes wrong."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import click
import pytest

from halfinch import cli
from halfinch.catalogue import export as exporting
from halfinch.cli import export as export_command

SHEET = "style;AW-10 Wide\n\nSize;Inseam (in);Waist (in)\n8;29 1/2;30\n10;29 1/2;31\n"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("HALFINCH_CATALOGUE", raising=False)


def run(*arguments: str) -> int:
    """Runs a command in this process; gives its exit status."""
    with pytest.raises(SystemExit) as ended:
        cli.main(list(arguments))
    assert isinstance(ended.value.code, int)
    return ended.value.code


def made(*rows: str) -> str:
    """An export of ours as a sheet: its figures need no reading, so the commands are tested by themselves."""
    head = "sheet,merchant,style,style_code,size,size_system,length,point,inches,half_inch,status,basis,raw,place"
    return "\n".join([head, *rows]) + "\n"


GOOD = made("a.csv,Aldersgate,Wide,AW-10,8,US,,inseam,29.5,29.5,accepted,declared,29 1/2,row=2;col=2")
HELD = made("h.csv,Aldersgate,Slim,AS-1,8,US,,waist,3,3.0,held,declared,=3,row=2;col=2")


@pytest.fixture
def filled(tmp_path: Path) -> str:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "good.csv").write_text(GOOD)
    (tmp_path / "in" / "held.csv").write_text(HELD)
    assert run("import", "in", "-c", "shop.duckdb", "-j", "0", "--quiet") == 4
    return "shop.duckdb"


def test_help_is_instant_and_teaches() -> None:
    times = []
    for _ in range(3):
        before = os.times()
        shown = subprocess.run([sys.executable, "-m", "halfinch", "--help"], capture_output=True, text=True, check=True)
        after = os.times()
        times.append(after.children_user + after.children_system - before.children_user - before.children_system)
    assert "halfinch import sheets/" in shown.stdout
    heavy = "{'pandas', 'duckdb', 'rich', 'pyarrow', 'lxml', 'pint'}"
    program = f"import halfinch.cli, sys; print(sorted({heavy} & set(sys.modules)))"
    loaded = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "[]"
    assert min(times) < 0.5, "seconds of the processor; 0.2 on a quiet machine"


def commands() -> list[str]:
    return cli.group.list_commands(click.Context(cli.group))


@pytest.mark.parametrize("name", ["import", "read", "reread", "export", "backup", "rule", "check"])
def test_every_command_explains_itself_with_an_example(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert name in commands()
    assert run(name, "--help") == 0
    assert re.search(rf"^\s+halfinch {name} ", capsys.readouterr().out, re.MULTILINE)


def test_export_offers_what_the_catalogue_has() -> None:
    assert tuple(export_command.TABLES) == exporting.TABLES
    assert tuple(export_command.FORMATS) == exporting.FORMATS


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["imprt"], 'Did you mean "import"?'),
        (["import", "in"], "--catalogue"),
        (["import", "no-such", "-c", "shop.duckdb"], "no-such does not exist"),
        (["import", "in", "-c", "no/shop.duckdb"], "does not exist"),
        (["import", "in", "-c", "foreign"], "no catalogue"),
        (["export", "-c", "shop.duckdb"], "There is no catalogue at shop.duckdb"),
        (["export", "-c", "foreign"], "no catalogue"),
        (["export", "-c", "shop.duckdb", "--table", "bodies"], "bodies"),
        (["backup", "-c", "shop.duckdb"], "There is no catalogue"),
        (["reread", "-c", "foreign"], "no catalogue"),
        (["rule", "-c", "shop.duckdb"], "Say one of"),
        (["rule", "x", "--should-be", "abc", "-c", "shop.duckdb"], "no number"),
        (["rule", "x", "--right", "-c", "foreign"], "no catalogue"),
        (["read", "no-such.pdf"], "does not exist"),
    ],
)
def test_wrong_usage_is_one_sentence_and_status_2(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "a.csv").write_text(GOOD)
    (tmp_path / "foreign").write_text("size,inseam\n8,29\n")
    assert run(*arguments) == 2
    told = capsys.readouterr()
    assert says in told.err
    assert "Traceback" not in told.err
    assert told.out == ""
    assert not (tmp_path / "shop.duckdb").exists()


def test_import_tells_what_was_read_and_held_and_why(filled: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("import", "in", "-c", filled, "-j", "0") == 4
    told = capsys.readouterr().out
    assert re.search(r"^a\.csv +read +1 +1 +0 +0$", told, re.MULTILINE)
    assert re.search(r"^h\.csv +read +1 +0 +0 +1$", told, re.MULTILINE)
    assert 'waist "=3" of Slim size 8 (row=2;col=2): It was held in the catalogue' in told
    assert "2 sheets: 2 read (2 files known already). 2 figures: 1 accepted, 0 assumed, 1 held." in told


def test_import_as_json(filled: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("import", "in", "-c", filled, "-j", "0", "--json") == 4
    told = json.loads(capsys.readouterr().out)
    assert [(s["sheet"], s["outcome"], s["accepted"], s["held"]) for s in told["sheets"]] == [
        ("a.csv", "read", 1, 0), ("h.csv", "read", 0, 1),
    ]  # fmt: skip
    assert (told["unchanged"], told["stale"], told["exit_status"]) == (2, 0, 4)
    assert told["held"][0]["raw"] == "=3"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param(
            "cut.csv", "Size;Waist (in);Hip (in);Inseam (in)\n8;28,5;38,5;29,5\n10;29,5;39,5;29,5\n12;30,5;4", id="csv"
        ),
        pytest.param(
            "cut.html",
            "<html><body><table><tr><th>Size<th>Waist (in)<th>Inseam (in)<tr><td>8<td>28.5<td>29.5"
            "<tr><td>10<td>29.5<td>29.5<tr><td>12<td>30.5<td>2",
            id="html",
        ),
    ],
)
def test_a_sheet_cut_short_is_read_partly(
    name: str, text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    assert run("import", name, "--catalogue", "shop.duckdb", "--json") == 3
    (line,) = json.loads(capsys.readouterr().out)["sheets"]
    assert line["outcome"] == "partly"
    assert "breaks off" in line["message"]
    assert line["accepted"] + line["assumed"] in (4, 6), "two whole rows, nothing of the torn one"


def test_import_with_workers_and_a_broken_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "good.csv").write_text(GOOD)
    (tmp_path / "in" / "broken.pdf").write_bytes(b"%PDF-1.4\n1 0 obj")
    assert run("import", "in", "-c", "shop.duckdb", "-j", "2") == 3
    told = capsys.readouterr().out
    assert re.search(r"^broken\.pdf +failed +0 +0 +0 +0  \S", told, re.MULTILINE)
    assert re.search(r"^a\.csv +read +1 +1", told, re.MULTILINE)


def test_a_ruling_settles_a_held_figure(filled: str, capsys: pytest.CaptureFixture[str]) -> None:
    run("import", "in", "-c", filled, "-j", "0", "--all")
    (figure,) = re.findall(r"^ +([0-9a-f]{32})  row=2", capsys.readouterr().out, re.MULTILINE)
    assert run("rule", figure, "--should-be", "30.5", "--why", "letter", "--by", "Ana", "-c", filled) == 0
    ruling = capsys.readouterr().out.strip()
    assert run("import", "in", "-c", filled, "-j", "0", "--quiet") == 0
    assert run("export", "-c", filled, "--table", "rulings", "-o", "rulings.csv") == 0
    assert run("rule", "--undo", ruling, "-c", filled) == 0
    assert run("import", "in", "-c", filled, "-j", "0", "--quiet") == 4
    capsys.readouterr()
    assert run("rule", "--from", "rulings.csv", "-c", filled) == 0
    assert "0 rulings are new" in capsys.readouterr().out
    assert run("rule", figure, "--right", "--not-ours", "-c", filled) == 2
    assert run("rule", "--from", "in/good.csv", "-c", filled) == 2


def test_export_to_standard_output_and_to_a_file(filled: str, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert run("export", "--catalogue", filled, "--table", "figures", "--format", "csv", "--output", "-") == 0
    data = capfdbinary.readouterr().out
    rows = list(csv.DictReader(io.StringIO(data.decode(), newline="")))
    assert tuple(rows[0]) == exporting.FIGURE_COLUMNS
    assert [(row["inches"], row["raw"]) for row in rows] == [("29.5", "29 1/2"), ("3", "'=3")]
    assert run("export", "-c", filled, "--output", "f.csv") == 0
    assert Path("f.csv").read_bytes() == data
    assert run("export", "-c", filled, "--table", "sizes", "--output", "s.parquet") == 0
    assert Path("s.parquet").read_bytes()[:4] == b"PAR1", "the name says the format"
    assert run("export", "-c", filled, "--output", "no/f.csv") == 2


def test_a_reader_that_goes_away_is_no_error(filled: str) -> None:
    command = f"{sys.executable} -m halfinch export -c {filled} --table figures --format csv --output -"
    many = made(*(f"m.csv,M,Many,M-1,{n},,,inseam,29.5,29.5,accepted,declared,x,row={n}" for n in range(6_000)))
    Path("in/many.csv").write_text(many)
    run("import", "in", "-c", filled, "-j", "0", "--quiet")
    done = subprocess.run(["bash", "-c", f"set -o pipefail; {command} | head -1"], capture_output=True, text=True)
    assert done.stdout.startswith("sheet,merchant")
    assert done.stderr == ""


def test_backup_and_reread(filled: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("backup", "-c", filled, "--output", "copy.duckdb") == 0
    assert capsys.readouterr().out.strip() == "copy.duckdb"
    assert Path("copy.duckdb.sheets").is_dir()
    assert run("backup", "-c", filled, "--output", "copy.duckdb") == 2
    assert run("reread", "-c", "copy.duckdb") == 0
    assert "up to date" in capsys.readouterr().out
    assert run("reread", "-c", "copy.duckdb", "--everything", "-j", "0", "--json") == 4
    told = json.loads(capsys.readouterr().out)
    assert (told["differences"], told["missing"], len(told["sheets"])) == ([], [], 2)


def test_read_gives_the_promised_shape(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.csv").write_text(SHEET)
    assert run("read", "a.csv", "--format", "json") == 0
    shape = json.loads(capsys.readouterr().out)
    assert list(shape) == ["sheet", "grids", "texts"]
    assert shape["sheet"] == "a.csv"
    grid = shape["grids"][-1]
    assert list(grid) == ["page", "box", "cells"]
    assert [list(cell) for cell in grid["cells"]] == [["row", "column", "row_span", "column_span", "text"]] * 9
    assert {"Inseam (in)", "29 1/2", "31"} <= {cell["text"] for cell in grid["cells"]}
    assert run("read", "a.csv") == 0
    drawn = capsys.readouterr().out
    assert "│ 29 1/2" in drawn
    assert os.listdir(tmp_path) == ["a.csv"], "nothing is stored"


@pytest.mark.parametrize(
    ("name", "data"),
    [("empty.csv", b""), ("cut.pdf", b"%PDF-1.4\n1 0 obj"), ("odd.xlsx", b"\x00\x01\x02\x03" * 99)],
)
def test_read_says_why_it_cannot(name: str, data: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / name).write_bytes(data)
    for form in ("json", "text"):
        assert run("read", name, "--format", form) == 3
        told = capsys.readouterr()
        assert told.out == ""
        assert name in told.err
        assert len(told.err.strip().splitlines()) == 1
    assert run("read", ".") == 2
    assert "is a folder" in capsys.readouterr().err


def test_the_catalogue_can_be_named_once(filled: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HALFINCH_CATALOGUE", filled)
    assert run("export", "--output", "f.csv") == 0


def test_a_bug_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*arguments: Any, **named: Any) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(cli.group, "main", broken)
    with pytest.raises(ZeroDivisionError):
        cli.main([])


def test_stopping_says_so(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def stopped(*arguments: Any, **named: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli.group, "main", stopped)
    assert run() == 130
    assert "whole sheets only" in capsys.readouterr().err


def test_read_tells_why_and_draws(capsys: pytest.CaptureFixture[str]) -> None:
    Path("a.csv").write_text(SHEET)
    assert run("read", "a.csv", "--why", "--picture") == 0
    told = capsys.readouterr().out
    assert "“points across” has no rival" in told
    assert told.splitlines()[-1] == str(Path("a.csv-seen", "a.csv.html"))
    assert "inseam of 8" in Path("a.csv-seen", "a.csv.html").read_text(encoding="utf-8")
    assert run("read", "a.csv", "--why", "--json", "--picture", "-o", "p") == 0
    assert json.loads(capsys.readouterr().out)["bands"][0]["ways"][0]["figures"] == 4
    assert Path("p", "a.csv.html").exists()


def test_read_of_an_archive_tells_of_every_sheet_and_of_what_cannot_be_read(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with zipfile.ZipFile("a.zip", "w") as archive:
        archive.writestr("in/a.csv", SHEET)
        archive.writestr("b/a.csv", SHEET)
        archive.writestr("b/c.pdf", b"%PDF-1.7 torn")
    assert run("read", "a.zip", "--picture") == 3
    told = capsys.readouterr()
    assert len(set(told.out.split())) == 2, "two sheets of one name in two folders are two pictures"
    assert len(told.err.splitlines()) == 1
    assert "c.pdf" in told.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        pytest.param(["in"], "is a folder; name one sheet", id="a-folder"),
        pytest.param(["a.csv", "-o", "p"], "ask for them with --picture", id="output-without-picture"),
        pytest.param(["a.csv", "--picture", "-o", "a.csv/p"], "cannot be written", id="output-is-no-folder"),
        pytest.param(["none.pdf", "--why"], "does not exist", id="no-such-sheet"),
    ],
)
def test_read_that_cannot_be_done_is_one_sentence(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("in").mkdir()
    Path("a.csv").write_text(SHEET)
    assert run("read", *arguments) == 2
    told = capsys.readouterr()
    assert says in told.err
    assert "Traceback" not in told.err
