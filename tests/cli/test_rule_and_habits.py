"""Rulings and habits from the command line: a row at once, listed, offered, adopted; what two sheets tell otherwise."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from halfinch import cli

OPEN = (
    "style;Alma\n\nSize;Front rise (in);Inseam (in);Leg opening (in)\n"
    "8;10;30;12\n10;10 1/4;30;12 1/2\n12;10 1/2;30;13\n"
)


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("HALFINCH_CATALOGUE", raising=False)


def run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as ended:
        cli.main([*arguments, "-c", "shop.duckdb"])
    assert isinstance(ended.value.code, int)
    return ended.value.code


def fill(**sheets: str) -> int:
    for name, text in sheets.items():
        path = Path("in", *f"{name}.csv".split("__"))
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return run("import", "in", "-j", "0")


def test_rulings_that_agree_become_a_habit_when_it_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    assert fill(aldersgate__a=OPEN) == 4
    capsys.readouterr()
    assert run("rule", "--sheet", "a.csv", "--point", "leg_opening", "--right", "--by", "Ana") == 0
    told = capsys.readouterr()
    assert len(told.out.splitlines()) == 3
    assert "convention.leg_opening" in told.err
    assert not Path("merchants.toml").exists()
    assert run("rule", "--list", "--json") == 0
    assert {row["state"] for row in json.loads(capsys.readouterr().out)} == {"in force"}
    assert run("habits", "--adopt", "Aldersgate") == 0
    assert "[aldersgate]" in Path("merchants.toml").read_text()
    assert fill(aldersgate__b=OPEN.replace("Alma", "Berta")) == 0, "what was held is read by the habit"


def test_a_habit_of_a_stranger_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    Path("merchants.toml").write_text("[aldersgat]\nunit = 'in'\n")
    assert fill(aldersgate__a=OPEN) == 4
    assert "merchants.toml, line 1" in capsys.readouterr().err
    Path("merchants.toml").write_text("[aldersgate]\nunti = 'in'\n")
    assert run("import", "in", "-j", "0") == 2
    assert "line 2, aldersgate.unti: unknown key" in capsys.readouterr().err


def test_one_style_told_differently_by_two_merchants_shows_at_import(capsys: pytest.CaptureFixture[str]) -> None:
    said = "style;AW-10 Wide\n\nSize;Inseam (in);Front rise (in)\n8;29 1/2;11\n10;29 1/2;11 1/4\n"
    fill(aldersgate__a=said)
    capsys.readouterr()
    assert fill(bexley__b=said.replace("29 1/2", "31")) == 0
    assert "Told differently on two sheets" in capsys.readouterr().out
