"""From a catalogue on disk to ranked plans, and the two commands as a person runs them."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from bodies import KNOWLEDGE, PETITE, TALL, body
from click.testing import CliRunner, Result

import halfinch
from halfinch.catalogue.identity import Stamp
from halfinch.catalogue.landing import Arrival, land
from halfinch.cli import group
from halfinch.errors import CatalogueError, HalfinchError, UsageError
from halfinch.figure import NM_PER_INCH, Figure, Garment, SheetResult
from halfinch.fit.matching import choose_garment, find_matches, match, match_rows, plan_key
from halfinch.fit.records import ROW
from halfinch.fit.sizes import open_sizes, sizes_of

STAMP = Stamp("0.1.0", "knowledge-1", "", {})
ALDER = Garment("a", merchant="Oddwick", style="Alder wide", style_code="OW-7", silhouette="wide leg",
                fabric="98% cotton, 2% elastane", state="washed")  # fmt: skip
ROWAN = Garment("r", merchant="Oddwick", style="Rowan straight", silhouette="straight", fabric="100% wool")


def figures(garment: str, size: str, **inches: Any) -> list[Figure]:
    at = inches.pop("knee_at", None)
    return [
        Figure(
            garment, point, size, int(Fraction(value) * NM_PER_INCH), str(value), f"row={garment};col={size}/{point}",
            at_nm=int(at * NM_PER_INCH) if at and point == "knee" else None,
            at_from="crotch" if at and point == "knee" else "",
            tolerance_minus_nm=6_350_000 if point == "inseam" else None,
            tolerance_plus_nm=6_350_000 if point == "inseam" else None,
            stretched_nm=None,
        )
        for point, value in inches.items()
    ]  # fmt: skip


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shop") / "shop.duckdb"
    wide = {"front_rise": 10, "knee": 18, "leg_opening": 22, "knee_at": 13}
    # at a rise of 10 the petite body measures 40 - 11 (27 1/4 + 10 * 9 1/4 / 11 1/2 - 30) / 6 1/2 = 31.04 at the band:
    # a waist of 31 1/2 fits, one of 36 is 3.96 above the most ease and cannot be taken in
    told = (
        *figures("a", "8", inseam=31, waist=30, hip=42, **wide),
        *figures("a", "10", inseam=31, waist=36, hip=46, **wide),
        *figures("r", "8", inseam=29, front_rise=10, waist=Fraction(63, 2)),
    )
    digest = hashlib.sha256(b"invented").hexdigest()
    sheet = SheetResult("alder.csv", digest, kind="delimited", reader="invented", outcome="read",
                        garments=(ALDER, ROWAN), figures=told)  # fmt: skip
    land(path, [Arrival("alder.csv", "alder.csv", digest, "", (sheet,))], STAMP)
    return path


@pytest.fixture
def petite(tmp_path: Path) -> Path:
    file = tmp_path / "petite.toml"
    file.write_text(PETITE, encoding="utf-8")
    return file


def run(*words: object) -> Result:
    return CliRunner().invoke(group, [str(word) for word in words])


def test_ranked_from_the_catalogue(shop: Path) -> None:
    with open_sizes(shop, KNOWLEDGE) as sizes:
        found = find_matches(sizes, body(PETITE), KNOWLEDGE, top=None)
        few = match_rows(sizes.fetch_where("TRUE"), body(PETITE), KNOWLEDGE)
    assert few == found, "chosen rows are judged alike"
    assert [(plan.garment.style, plan.garment.size, plan.verdict) for plan in found.plans] == [
        ("Alder wide", "8", "fits with a hem"), ("Rowan straight", "8", "not known"), ("Alder wide", "10", "no"),
    ]  # fmt: skip
    assert (found.sizes, sum(found.verdicts.values())) == (3, 3)
    best = found.plans[0].garment
    assert (best.points["knee"].at, best.points["knee"].at_from) == (13, "crotch"), "told by the figure, not the view"
    assert (best.points["inseam"].minus, best.points["inseam"].plus) == (0.25, 0.25)
    assert found.plans[1].asks == ("hip", "leg opening")


def test_order_of_the_catalogue_is_without_effect(shop: Path) -> None:
    wearer, orders = body(PETITE), []
    with open_sizes(shop, KNOWLEDGE) as sizes:
        frame = sizes.fetch_where("TRUE")
    for rows in (frame, frame.iloc[::-1]):
        with sizes_of(rows) as given:
            orders.append(find_matches(given, wearer, KNOWLEDGE).plans)
    assert [plan.garment.key for plan in orders[0]] == [plan.garment.key for plan in orders[1]]
    keys = [plan_key(plan, wearer, KNOWLEDGE) for plan in orders[0]]
    assert keys == sorted(keys)


def test_match_in_python(shop: Path, petite: Path) -> None:
    frame = halfinch.open_catalogue(shop).match(petite)
    assert tuple(frame.columns) == ROW
    assert frame.iloc[0]["cut"] == 1.625
    assert len(match(shop, body(PETITE), top=1)) == 1
    assert halfinch.load_body(petite) == body(PETITE)


@pytest.mark.parametrize("wanted", ["Alder wide", "ow-7", "oddwick ALDER WIDE"])
def test_garment_by_its_names(shop: Path, wanted: str) -> None:
    with open_sizes(shop, KNOWLEDGE) as sizes:
        assert len(choose_garment(sizes, wanted)) == 2
        assert len(choose_garment(sizes, f"{wanted} 10")) == 1


def test_garment_that_is_not_there(shop: Path) -> None:
    with open_sizes(shop, KNOWLEDGE) as sizes:
        with pytest.raises(UsageError, match="did you mean Alder wide"):
            choose_garment(sizes, "Aldr wide")
        with pytest.raises(UsageError, match="did you mean Rowan straight"):
            choose_garment(sizes, "rowan")
        with pytest.raises(UsageError, match="called 'Alder wide 99'"):
            choose_garment(sizes, "Alder wide 99")


def test_json_has_the_stable_keys(shop: Path, petite: Path) -> None:
    done = run("match", petite, "-c", shop, "--format", "json", "--top", 1)
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert set(told) == {"sizes", "verdicts", "rest", "body_file_lacks", "checks", "matches"}
    (best,) = told["matches"]
    assert (best["style"], best["verdict"], best["cut"], best["finished"]) == (
        "Alder wide", "fits with a hem", 1.625, 29.375,
    )  # fmt: skip
    assert best["opening"]["before"] == 22
    assert {rule["rule"] for rule in best["style_rules"]["rules"]} >= {"petite-wide-opening"}


def test_table_and_explanation(shop: Path, petite: Path) -> None:
    table = run("match", petite, "-c", shop)
    assert table.exit_code == 0
    assert "fits with a hem" in table.output
    assert "ask: hip" in table.output
    assert "3 sizes judged" in table.output
    one = run("match", petite, "-c", shop, "--explain", "Alder wide")
    for words in ("take up", "off the floor", "How sure", "Before cutting", "wash first"):
        assert words in one.output


def test_folder_of_bodies(shop: Path, petite: Path) -> None:
    (petite.parent / "tall.toml").write_text(TALL, encoding="utf-8")
    done = run("match", petite.parent, "-c", shop, "--garment", "Alder wide", "--format", "json")
    assert [row["body"] for row in json.loads(done.stdout)["wearers"]] == ["petite", "tall"]
    refused = run("match", petite.parent, "-c", shop)
    assert isinstance(refused.exception, UsageError)


def test_a_catalogue_without_figures_is_said_and_is_no_failure(tmp_path: Path, petite: Path) -> None:
    empty = tmp_path / "empty.duckdb"
    land(empty, [], STAMP)
    done = run("match", petite, "-c", empty)
    assert done.exit_code == 0, done.output
    assert "holds no sizes with clean figures yet" in done.output
    assert json.loads(run("match", petite, "-c", empty, "--format", "json").stdout)["matches"] == []


def test_no_catalogue(tmp_path: Path, petite: Path) -> None:
    assert isinstance(run("match", petite, "-c", tmp_path / "none.duckdb").exception, CatalogueError)


def test_what_the_body_file_lacks_is_told(shop: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare.toml"
    bare.write_text('invented = true\ninseam = "28 in"\nwaist = "29 in"\n', encoding="utf-8")
    done = run("match", bare, "-c", shop)
    assert done.exit_code == 0
    assert "Not in the body file, so it could not be judged" in done.output


def test_a_body_leaves_no_trace(shop: Path, tmp_path: Path) -> None:
    """A measure that occurs nowhere else is not in the catalogue's bytes, nor in what a refusal prints."""
    private = tmp_path / "private.toml"
    private.write_text('invented = true\nname = "Zephyrine Q"\ninseam = "27.8123 in"\nwaist = "29.4567 in"\n')
    before = shop.read_bytes()
    assert run("match", private, "-c", shop).exit_code == 0
    assert shop.read_bytes() == before
    private.write_text('inseam = "27.8123 in"\nwaist = "29.4567"\n')
    refused = run("match", private, "-c", shop)
    assert isinstance(refused.exception, HalfinchError)
    assert "8123" not in str(refused.exception) + refused.output
    assert "4567" not in str(refused.exception) + refused.output


def test_hem_command() -> None:
    words = ("hem", "--inseam", "31", "--knee", "18", "--opening", "22", "--knee-at", "13", "--body-inseam", "27.5in",
             "--shoe", "heel=2 1/2", "--clearance", "1/2")  # fmt: skip
    done = run(*words)
    assert done.exit_code == 0, done.output
    assert "1 1/2 in too long: take up" in done.output
    told = json.loads(run(*words, "--format", "json").stdout)
    assert (told["state"], told["cut"], told["finished"]) == ("hem", 1.5, 29.5)


def test_a_refusal_is_one_sentence_and_status_2() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "halfinch", "hem", "--inseam", "79"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert done.stderr.startswith("halfinch: inseam cannot be")
    assert "Traceback" not in done.stderr
