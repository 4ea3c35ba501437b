"""`halfinch query` as typed: formats by name, one sentence for what goes wrong, nothing half written."""

from __future__ import annotations

import io
import json
import os
import sys
from pathlib import Path

import pyarrow.parquet as pq
import pytest

from halfinch import cli

MADE = """sheet,merchant,style,style_code,size,size_system,length,point,inches,half_inch,status,basis,raw,place
a.csv,Aldersgate,Wide,AW-10,8,US,,inseam,29.5,29.5,accepted,declared,29 1/2,row=2;col=2
"""


@pytest.fixture(autouse=True)
def _shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HALFINCH_CATALOGUE", "shop.duckdb")
    Path("a.csv").write_text(MADE)
    assert run("import", "a.csv", "-j", "0", "--quiet") == 0


def run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as ended:
        cli.main(list(arguments))
    assert isinstance(ended.value.code, int)
    return ended.value.code


def test_formats(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    sql = "SELECT style, inseam FROM sizes"
    capfdbinary.readouterr()
    assert run("query", sql) == 0
    assert capfdbinary.readouterr().out == b"style  inseam\nWide     29.5\n"
    assert run("query", sql, "--format", "csv") == 0
    assert capfdbinary.readouterr().out == b"style,inseam\r\nWide,29.5\r\n"
    assert run("query", sql, "--format", "json") == 0
    assert json.loads(capfdbinary.readouterr().out) == [{"style": "Wide", "inseam": 29.5}]
    assert run("query", sql, "--output", "a.parquet") == 0
    assert capfdbinary.readouterr() == (b"", b"a.parquet: 1 rows.\n")
    assert pq.read_table("a.parquet").to_pylist()[0]["style"] == "Wide"


def test_from_standard_input(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("SELECT 6 * 7 AS answer"))
    assert run("query", "-", "--format", "csv") == 0
    assert capfd.readouterr().out.split() == ["answer", "42"]


def test_what_there_is(capfd: pytest.CaptureFixture[str]) -> None:
    assert run("query", "--about") == 0
    assert "nearest_sizes(favourite, size_worn" in capfd.readouterr().out
    assert run("query", "--about", "sizes") == 0
    assert "inches, full girth or length, inseam" in capfd.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        pytest.param(["DELETE FROM figures"], "only asks", id="writes"),
        pytest.param(["SELECT * FROM read_csv('a.csv')"], "no file", id="reads a file"),
        pytest.param(
            ["SELECT * FROM range(100000000000)", "--format", "csv", "--time-limit", "1"], "stopped", id="no end"
        ),
        pytest.param([], "Ask something", id="nothing asked"),
        pytest.param(["--about", "nonsense"], "no table, view or macro", id="no such table"),
        pytest.param(["SELECT 1", "--output", "no/such.csv"], "cannot be written", id="nowhere to write"),
        pytest.param(["SELECT 1", "-c", "a.csv"], "not a DuckDB file", id="no catalogue"),
    ],
)
def test_one_sentence_and_nothing_half_written(
    arguments: list[str], sentence: str, capfd: pytest.CaptureFixture[str]
) -> None:
    there = sorted(os.listdir())
    output = [] if "--output" in arguments else ["--output", "out.csv"]
    assert run("query", *arguments, *output) == 2
    told = capfd.readouterr().err
    assert sentence in told
    assert told.count("\n") == 1
    assert sorted(os.listdir()) == there
