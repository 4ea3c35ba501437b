"""`halfinch merge` as typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from halfinch import cli

SHEET = "style;{style}\n\nSize;Inseam (in);Waist (in)\n8;{inseam};30\n10;{inseam};31\n"


@pytest.fixture(autouse=True)
def _two_catalogues(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HALFINCH_CATALOGUE", "shop.duckdb")
    for name, style, inseam in (("shop", "AW-10 Wide", "29"), ("branch", "AW-20 Slim", "31")):
        Path(f"{name}.csv").write_text(SHEET.format(style=style, inseam=inseam))
        assert run("import", f"{name}.csv", "-c", f"{name}.duckdb", "-j", "0", "--quiet") == 0


def run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as ended:
        cli.main(list(arguments))
    assert isinstance(ended.value.code, int)
    return ended.value.code


def test_what_came_in_is_told(capfd: pytest.CaptureFixture[str]) -> None:
    capfd.readouterr()
    assert run("merge", "branch.duckdb") == 0
    assert capfd.readouterr().out == ("branch.duckdb: 1 sheet, 1 reading, 4 figures, 0 rulings, 0 taped figures new.\n")
    assert run("merge", "branch.duckdb", "--json") == 0
    assert json.loads(capfd.readouterr().out)["branch.duckdb"]["figures"] == 0
    assert run("query", "SELECT DISTINCT style, inseam FROM sizes ORDER BY ALL", "--format", "csv") == 0
    assert capfd.readouterr().out.split()[1:] == ["Slim,31", "Wide,29"]
    kept = [path for path in Path("shop.duckdb.sheets").rglob("*") if path.is_file()]
    assert len(kept) == 2


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        pytest.param(["no.duckdb"], "There is no catalogue", id="nothing there"),
        pytest.param(["shop.csv"], "not a DuckDB file", id="a sheet"),
        pytest.param(["shop.duckdb"], "is the catalogue itself", id="itself"),
        pytest.param(["branch.duckdb", "shop.duckdb", "--under", "x"], "one catalogue", id="two under one name"),
        pytest.param(["branch.duckdb", "-c", "none.duckdb"], "There is no catalogue", id="into nothing"),
    ],
)
def test_what_cannot_be_merged_is_one_sentence(
    arguments: list[str], sentence: str, capfd: pytest.CaptureFixture[str]
) -> None:
    before = Path("shop.duckdb").read_bytes()
    capfd.readouterr()
    assert run("merge", *arguments) == 2
    told = capfd.readouterr().err
    assert sentence in told
    assert told.count("\n") == 1
    assert Path("shop.duckdb").read_bytes() == before
