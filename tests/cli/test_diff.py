"""`halfinch diff` as typed: sheets, folders, catalogues, dates; one sentence for what cannot be compared."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from halfinch import cli

SHEET = "style;AW-10 Wide\n\nSize;Inseam (in);Waist (in)\n8;{inseam};30\n10;{inseam};31\n"


@pytest.fixture(autouse=True)
def _two_versions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("HALFINCH_CATALOGUE", raising=False)
    for folder, inseam in (("old", "29 1/2"), ("new", "29")):
        Path(folder).mkdir()
        Path(folder, "wide.csv").write_text(SHEET.format(inseam=inseam))


def run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as ended:
        cli.main(list(arguments))
    assert isinstance(ended.value.code, int)
    return ended.value.code


SHORTER = "inseam: 1/2 in shorter in sizes 8, 10 (29 1/2 > 29)"


def test_sheets_folders_catalogues_and_dates_say_the_same(capfd: pytest.CaptureFixture[str]) -> None:
    for name in ("old", "new"):
        assert run("import", f"{name}/wide.csv", "--as", "wide.csv", "-c", f"{name}.duckdb", "-j", "0", "--quiet") == 0
    assert run("import", "new/wide.csv", "--as", "wide.csv", "-c", "old.duckdb", "-j", "0", "--quiet") == 0
    capfd.readouterr()
    for paths in (["old/wide.csv", "new/wide.csv"], ["old", "new"], ["old/wide.csv", "new.duckdb"],
                  ["old/wide.csv", "-c", "new.duckdb", "--all"]):  # fmt: skip
        assert run("diff", *paths) == 1
        told = capfd.readouterr().out
        assert SHORTER in told or "1/2 in longer" in told  # beside --catalogue the sheet is the newer side
    assert run("diff", "old.duckdb", "new.duckdb") == 0
    assert capfd.readouterr().out == "No difference: 1 garment told alike.\n"
    assert run("diff", "-c", "old.duckdb", "--since", "2020-01-01", "--json") == 1
    assert [garment["state"] for garment in json.loads(capfd.readouterr().out)["garments"]] == ["new"]
    assert sorted(os.listdir()) == ["new", "new.duckdb", "new.duckdb.lock", "new.duckdb.sheets", "old", "old.duckdb",
                                    "old.duckdb.lock", "old.duckdb.sheets"]  # fmt: skip


def test_figure_by_figure_in_centimetres(capfd: pytest.CaptureFixture[str]) -> None:
    assert run("diff", "old/wide.csv", "new/wide.csv", "--all", "--unit", "cm") == 1
    told = capfd.readouterr().out
    assert "inseam: 1.3 cm shorter in sizes 8, 10 (74.9 > 73.7)" in told
    assert 'inseam 8: 74.9 cm ("29 1/2" row=4;col=2) > 73.7 cm ("29" row=4;col=2)' in told


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        pytest.param(["old/wide.csv"], "Name two sheets", id="one path alone"),
        pytest.param(["old/wide.csv", "no.csv"], "does not exist", id="nothing there"),
        pytest.param(["--since", "2026-01-01"], "name it with --catalogue", id="dates of nothing"),
        pytest.param(["--until", "2026-01-01"], "--until needs --since", id="half a time"),
        pytest.param(["old/wide.csv", "empty.pdf"], "empty", id="a sheet that cannot be read"),
        pytest.param(["a", "b", "c"], "Name two sheets", id="three"),
    ],
)
def test_what_cannot_be_compared_is_one_sentence(
    arguments: list[str], sentence: str, capfd: pytest.CaptureFixture[str]
) -> None:
    Path("empty.pdf").write_bytes(b"")
    assert run("diff", *arguments) == 2
    told = capfd.readouterr().err
    assert sentence in told
    assert told.count("\n") == 1
