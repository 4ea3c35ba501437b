"""The tape book at the command line."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from halfinch import cli

ROOT = Path(__file__).parents[2]
BODY = ROOT / "fixtures" / "demo" / "bodies" / "ottilie.toml"
LARKRISE = "Larkrise Straight"


def run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as ended:
        cli.main(list(arguments))
    assert isinstance(ended.value.code, int)
    return ended.value.code


@pytest.fixture
def shop(tmp_path: Path) -> str:
    catalogue = tmp_path / "shop.duckdb"
    sheets = str(ROOT / "fixtures" / "demo" / "hollin-and-thrupp")
    assert run("import", sheets, "-c", str(catalogue), "-j", "0", "--quiet") in (0, 4)
    return str(catalogue)


def tape(shop: str, size: str, *arguments: str) -> int:
    return run("tape", "add", LARKRISE, "--size", size, *arguments, "-c", shop)


def test_three_pairs_move_the_plan(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert run("match", str(BODY), "-c", shop, "--explain", f"{LARKRISE} 30") == 0
    assert "up 1 3/8" in capsys.readouterr().out
    for size in ("26", "28", "30"):
        assert tape(shop, size, "--point", "inseam=30 3/4 in") == 0
    assert run("match", str(BODY), "-c", shop, "--explain", f"{LARKRISE} 30") == 0
    printed = capsys.readouterr().out
    assert "taped: inseam of hollin-and-thrupp runs" in printed
    assert "up 1 3/8" not in printed
    assert run("paper", "garment", LARKRISE, "-c", shop) == 0
    assert "inseam 30," in capsys.readouterr().out, "the sheet's own figure is never written over"


def test_entries_are_listed_and_taken_out(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert tape(shop, "30", "--point", "waist=79 cm", "--state", "washed", "--outcome", "returned: rise too low") == 0
    capsys.readouterr()
    assert run("tape", "list", "-c", shop) == 0
    printed = capsys.readouterr().out
    assert "31.1" in printed
    assert "returned: rise too low" in printed
    entry = re.findall(r"^([0-9a-f]{10})", printed, re.MULTILINE)[0]
    assert run("tape", "remove", entry, "-c", shop) == 0
    capsys.readouterr()
    assert run("tape", "list", "-c", shop, "--json") == 0
    assert json.loads(capsys.readouterr().out) == []


def test_an_outcome_needs_no_figure(shop: str) -> None:
    assert tape(shop, "30", "--outcome", "kept", "--finished", "28 5/8 in") == 0
    assert tape(shop, "31", "--outcome", "kept") == 0


def test_the_picture_is_written(shop: str, tmp_path: Path) -> None:
    assert tape(shop, "30", "--point", "inseam=30 1/2 in") == 0
    assert run("tape", "plot", "-c", shop, "-o", str(tmp_path / "tape.html")) == 0
    assert "<svg" in (tmp_path / "tape.html").read_text("utf-8")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        pytest.param(["30", "--point", "inseam=30"], "has no unit", id="no-unit"),
        pytest.param(["30", "--point", "elbow=30 in"], "write POINT=LENGTH", id="no-such-point"),
        pytest.param(["30", "--point", "inseam=30 to 31 in"], "no measure", id="a-range"),
        pytest.param(["99", "--point", "inseam=30 in"], "has no size '99'", id="no-such-size"),
        pytest.param(["30"], "Nothing was taped", id="nothing"),
        pytest.param(["30", "--outcome", "lost"], "is no outcome", id="no-such-outcome"),
    ],
)
def test_what_goes_wrong_is_one_sentence(
    shop: str, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    assert tape(shop, *arguments) == 2
    assert said in capsys.readouterr().err
