"""Papers, lists and body files at the command line: what goes on them, what never does, and what goes wrong."""

from __future__ import annotations

import json
import os
import re
import stat
from pathlib import Path

import pytest
from click.testing import CliRunner

from halfinch import cli
from halfinch.cli.body import command as body_command

ROOT = Path(__file__).parents[2]
BODY = ROOT / "fixtures" / "demo" / "bodies" / "ottilie.toml"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> str:
    catalogue = tmp_path_factory.mktemp("shop") / "shop.duckdb"
    assert run("import", str(ROOT / "fixtures" / "demo"), "-c", str(catalogue), "-j", "0", "--quiet") == 4
    return str(catalogue)


def run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as ended:
        cli.main(list(arguments))
    assert isinstance(ended.value.code, int)
    return ended.value.code


# --- what goes on a paper -------------------------------------------------------------------------------------------


def test_ticket_says_tape_first(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("paper", "tailor", str(BODY), "-c", shop, "--garment", "Larkrise Straight") == 0
    printed = capsys.readouterr().out
    assert "Finished inseam: 28 5/8 in" in printed
    assert "tape first" in printed
    assert not re.search(r"Take up \d", printed)


def test_ticket_takes_up_from_the_tape_leg_by_leg(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    """28 5/8 wanted: 30 1/4 - 28 5/8 = 1 5/8 and 30 3/8 - 28 5/8 = 1 3/4."""
    arguments = [
        "paper",
        "tailor",
        str(BODY),
        "-c",
        shop,
        "--garment",
        "Larkrise Straight",
        "--taped",
        "30 1/4, 30 3/8",
    ]
    assert run(*arguments) == 0
    printed = capsys.readouterr().out
    assert "left leg: Taped inseam, washed 30 1/4 in, Take up 1 5/8 in" in printed
    assert "right leg: Taped inseam, washed 30 3/8 in, Take up 1 3/4 in" in printed


@pytest.mark.parametrize("ending", ["html", "txt"])
def test_tailor_and_merchant_learn_nothing_of_the_body(shop: str, tmp_path: Path, ending: str) -> None:
    """Her measures are made odd, so that none can stand there by chance; nor her name, nor where the file is."""
    odd = BODY.read_text("utf-8").replace('"27 1/4"', '"27 3/16"').replace('"29 in"', '"28.93 in"')
    odd = odd.replace('"40 in"', '"40.07 in"').replace('"24 1/2 in"', '"24.57 in"').replace('"15 1/2 in"', '"15.43 in"')
    secret = tmp_path / "secretive-ottilie.toml"
    secret.write_text(odd, "utf-8")
    ticket, enquiry = tmp_path / f"ticket.{ending}", tmp_path / f"enquiry.{ending}"
    chosen = ["--garment", "Larkrise Straight", "--garment", "Kestle bootcut"]
    assert run("paper", "tailor", str(secret), "-c", shop, *chosen, "-o", str(ticket)) == 0
    assert run("paper", "merchant", "tarnmoor-denim-works", "-c", shop, "-o", str(enquiry)) == 0
    for text in (ticket.read_text("utf-8"), enquiry.read_text("utf-8")):
        for word in (
            "Ottilie",
            "Brandmoor",
            "secretive",
            "27 3/16",
            "28.93",
            "40.07",
            "24.57",
            "15.43",
            "dark straight",
        ):
            assert word not in text
        assert "<svg" not in text


def test_a_name_stands_there_only_when_asked_for(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("paper", "tailor", str(BODY), "-c", shop, "--garment", "Kestle bootcut", "--name", "Order 7") == 0
    assert "Order 7" in capsys.readouterr().out


def test_client_paper_is_for_her_eyes(shop: str, tmp_path: Path) -> None:
    page = tmp_path / "shortlist.html"
    assert run("paper", "client", str(BODY), "-c", shop, "-o", str(page), "--top", "3") == 0
    assert stat.S_IMODE(page.stat().st_mode) == 0o600
    assert page.read_text("utf-8").count("<svg") >= 4


@pytest.mark.parametrize(
    ("language", "phrase"),
    [
        ("en", "Please check"),
        ("de", "Bitte prüfen"),
        ("fr", "À vérifier"),
        ("es", "comprueben"),
        ("it", "Da verificare"),
    ],
)
def test_an_enquiry_in_the_merchants_language(
    shop: str, capsys: pytest.CaptureFixture[str], language: str, phrase: str
) -> None:
    assert run("paper", "merchant", "tarnmoor-denim-works", "-c", shop, "--language", language) == 0
    printed = capsys.readouterr().out
    assert phrase in printed
    assert '"7"' in printed


def test_an_enquiry_asks_exactly_what_is_missing_or_held(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Against the catalogue itself: no size of Arden lacks any of the seven points but the held inseam of 12."""
    assert run("paper", "merchant", "tarnmoor-denim-works", "-c", shop, "--garment", "Arden straight") == 0
    printed = capsys.readouterr().out
    lines = [line for line in printed.splitlines() if line.startswith("  - ")]
    assert len(lines) == 2
    assert lines[0].startswith("  - inseam, 12: Printed")


def test_nothing_to_ask_is_said(shop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status = run("paper", "garment", "Larkrise Straight", "-c", shop, "--unit", "cm", "-o", str(tmp_path / "page.txt"))
    assert status == 0
    assert "76.2" in (tmp_path / "page.txt").read_text("utf-8")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        pytest.param(["tailor", str(BODY)], "name the pair", id="no-pair-named"),
        pytest.param(["tailor", str(BODY), "--garment", "No Such"], "no garment", id="unknown-garment"),
        pytest.param(
            ["tailor", str(BODY), "--garment", "Kestle bootcut", "--taped", "long"], "--taped", id="taped-words"
        ),
        pytest.param(
            ["tailor", str(BODY), "--garment", "Kestle bootcut", "--taped", "30, 31, 32"], "--taped", id="three-legs"
        ),
        pytest.param(["tailor", str(BODY), "--garment", "Marnie Curvy Wide Leg Jean"], "no work", id="nothing-to-sew"),
        pytest.param(["merchant", "nobody"], "no merchant", id="unknown-merchant"),
        pytest.param(["client", str(BODY), "--language", "xx"], "no messages", id="unknown-language"),
        pytest.param(["client", str(BODY), "--shoe", "clogs"], "no shoes", id="unknown-shoes"),
        pytest.param(["client", str(BODY), "-o", "/no/such/place/x.html"], "cannot be written", id="unwritable"),
    ],
)
def test_what_goes_wrong_is_one_sentence(
    shop: str, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    assert run("paper", *arguments, "-c", shop) == 2
    complaint = capsys.readouterr().err
    assert said in complaint
    assert "Traceback" not in complaint


# --- lists ----------------------------------------------------------------------------------------------------------


def test_wanted_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    """From her straight pair: 28 3/4 + 1 - 5/8 = 29 1/8 in block heels for wide, +/- 1/2."""
    assert run("wanted", str(BODY), "--silhouette", "wide", "--shoe", "block heel", "--format", "json") == 0
    (entry,) = json.loads(capsys.readouterr().out)
    assert entry["inseam"] == {"low": 28.625, "high": 29.625}
    assert entry["front_rise"] == {"low": 9.25, "high": 11.0}
    assert entry["leg_opening"]["high"] == 23.0


def test_compare_shows_differences(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("compare", str(BODY), "Larkrise Straight", "Kestle bootcut", "-c", shop, "--format", "json") == 0
    record = json.loads(capsys.readouterr().out)
    inseam = record["rows"]["inseam"]
    assert inseam["pair"] == 28.75
    assert [side["more"] for side in inseam["garments"]] == [1.25, pytest.approx(32.086614 - 28.75)]
    assert run("compare", str(BODY), "Larkrise Straight", "-c", shop) == 0
    assert "(+1 1/4)" in capsys.readouterr().out


# --- body files -----------------------------------------------------------------------------------------------------

ANSWERS = [
    "Bea", "5 ft 2", "5 ft 2 in", "70 cm", "", "29 in", "", "40 in", "", "", "", "", "", "", "9 to 10 in", "pump",
    "2 in", "", "wide, foo", "wide", "22 in", "good ones", "28 in", "", "", "pump", "1 in",
    "short ones", "26 in", "", "", "", "", "", "180", "180 EUR",
]  # fmt: skip


def test_body_new_asks_and_writes_privately(tmp_path: Path) -> None:
    from halfinch.fit import load_body

    target = tmp_path / "bea.toml"
    done = CliRunner().invoke(body_command, ["new", str(target)], input="\n".join(ANSWERS) + "\n")
    assert done.exit_code == 0, done.output
    assert "That has no unit" in done.output or "That is not one plain measure" in done.output
    assert "No silhouette: foo" in done.output
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    body = load_body(target)
    assert body.inseam == pytest.approx(70 / 2.54)
    assert body.knee_height is None
    assert body.pairs[0].clearance == 1.0
    assert [pair.name for pair in body.pairs] == ["good ones", "short ones"]
    assert "That needs a currency" in done.output
    assert (body.budget.most, body.budget.currency) == (180, "EUR")
    assert not body.warnings
    assert os.listdir(tmp_path) == ["bea.toml"]


def test_body_new_never_writes_over_a_body(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "bea.toml"
    target.write_text("mine", "utf-8")
    assert run("body", "new", str(target)) == 2
    assert "there is a file already" in capsys.readouterr().err
    assert target.read_text("utf-8") == "mine"


def test_body_check_asks_for_an_inseam_taken_to_the_ankle(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "short.toml"
    target.write_text(
        'invented = true\nheight = "64 in"\ninseam = "27.1 in"\nhip = "40 in"\nthigh = "21 in"\n', "utf-8"
    )
    assert run("body", "check", str(target)) == 4
    printed = capsys.readouterr().out
    assert "measure it again, barefoot, crotch to floor" in printed
    assert "thigh against hip: low, as with fewer than 2 women in 100. Please measure thigh again" in printed
    assert "27.1" not in printed


def test_body_check_of_a_usual_body_asks_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("body", "check", str(BODY)) == 0
    assert "measure" not in capsys.readouterr().out
