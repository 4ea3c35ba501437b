"""`halfinch same` as typed: proposals with their evidence, a person's word, one sentence for what is no proposal."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from halfinch import cli

SHEET = "style;{style}\n\nSize;Inseam (in);Waist (in);Hip (in)\n8;29 1/2;30;40\n10;29 1/2;31;41\n12;29 1/2;32;42\n"


@pytest.fixture(autouse=True)
def _shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HALFINCH_CATALOGUE", "shop.duckdb")
    for merchant, style in (("aldersgate", "Marnie Wide Leg Jean"), ("resale-rail", "Marnie Wide-Leg Jeans")):
        Path(merchant).mkdir()
        Path(merchant, "wide.csv").write_text(SHEET.format(style=style))
    assert run("import", "aldersgate", "resale-rail", "-j", "0", "--quiet") == 0


def run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as ended:
        cli.main(list(arguments))
    assert isinstance(ended.value.code, int)
    return ended.value.code


def test_proposed_confirmed_listed_taken_back(capfd: pytest.CaptureFixture[str]) -> None:
    capfd.readouterr()
    assert run("same") == 0
    head, *evidence = capfd.readouterr().out.splitlines()
    assert head[8:] == "  Marnie Wide Leg Jean (aldersgate) = Marnie Wide-Leg Jeans (resale-rail)"
    assert evidence == [
        "  + 9 of 9 figures that both tell agree", "  + the same name, Marnie Wide-Leg Jeans", "  - another merchant",
        "  + both are wide",
    ]  # fmt: skip
    assert run("same", "--json") == 0
    (record,) = json.loads(capfd.readouterr().out)
    assert record["id"].startswith(head[:8])
    assert record["score"] == pytest.approx(7.0)
    assert run("same", "--confirm", head[:8], "--by", "her", "--why", "looked") == 0
    assert run("same") == 0
    assert "No style looks like another" in capfd.readouterr().out
    assert run("same", "--list") == 0
    assert " = " in (told := capfd.readouterr().out)
    assert told.rstrip().endswith(": looked")
    assert run("query", "SELECT count(*) AS n, count(DISTINCT group_id) AS g FROM style_groups", "--format", "csv") == 0
    assert capfd.readouterr().out.split() == ["n,g", "2,1"]
    assert run("same", "--reopen", head[:8]) == 0
    assert run("same", "--refuse", head[:8]) == 0
    assert run("same", "--list") == 0
    assert " is not " in capfd.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        pytest.param(["--confirm", "ab"], "no proposal ab", id="too short"),
        pytest.param(["--confirm", "00000000"], "no proposal 00000000", id="none of that name"),
        pytest.param(["--confirm", "a", "--refuse", "b"], "Say one of", id="two at once"),
    ],
)
def test_what_is_no_proposal_is_one_sentence(
    arguments: list[str], sentence: str, capfd: pytest.CaptureFixture[str]
) -> None:
    capfd.readouterr()
    assert run("same", *arguments) == 2
    told = capfd.readouterr().err
    assert sentence in told
    assert told.count("\n") == 1
