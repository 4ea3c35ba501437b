"""Rulings are kept for good, hold for every reading, and can be taken back."""

from __future__ import annotations

import shutil
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from invented import STAMP, Shop, figure, sheet

from halfinch.catalogue import rulings
from halfinch.catalogue.export import FORMATS, export_table
from halfinch.catalogue.summary import stale_readings
from halfinch.errors import UsageError

HELD = figure("waist", 3, status="held", raw='3"', place="row=2")
TOLD = sheet("a.csv", figure("inseam", 29), HELD)


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shop = Shop(tmp_path_factory.mktemp("held"))
    shop.land(TOLD)
    return shop.path


@pytest.fixture
def held(shop: Shop, template: Path) -> str:
    shutil.copyfile(template, shop.path)
    ((figure_id,),) = shop.ask("SELECT figure_id FROM figures WHERE status = 'held'")
    return str(figure_id)


def state(shop: Shop) -> list[Any]:
    return shop.ask(
        "SELECT status, basis, CAST(inches AS VARCHAR), half_inch FROM current_figures WHERE point = 'waist'"
    )


def test_right_as_printed(shop: Shop, held: str) -> None:
    rulings.rule(shop.path, held, "right", by="Ana", why="taped it")
    assert state(shop) == [("accepted", "ruled", "3.000000", 3)]
    assert shop.sizes("waist") == {("8", ""): (3.0,)}
    assert shop.ask("SELECT message FROM findings WHERE rule = 'ruled'")[0][0].startswith("Ruled right by Ana")


def test_should_be_so_much(shop: Shop, held: str) -> None:
    rulings.rule(shop.path, held, "should be", by="Ana", inches=Decimal("30.25"))
    assert state(shop) == [("accepted", "ruled", "30.250000", 30)]
    assert shop.ask("SELECT length_nm, raw FROM figures WHERE point = 'waist'") == [(30 * 25_400_000 + 6_350_000, '3"')]


def test_not_ours(shop: Shop, held: str) -> None:
    rulings.rule(shop.path, held, "not ours", by="Ana")
    assert state(shop)[0][:2] == ("set_aside", "ruled")
    assert shop.sizes("waist") == {("8", ""): (None,)}


def test_the_latest_ruling_holds_and_taking_back_goes_step_by_step(shop: Shop, held: str) -> None:
    first = rulings.rule(shop.path, held, "right", by="Ana")
    second = rulings.rule(shop.path, held, "should be", by="Ana", inches=Decimal(31))
    assert state(shop)[0][2] == "31.000000"
    undoing = rulings.undo(shop.path, second.ruling_id, by="Ana")
    assert state(shop)[0][:3] == ("accepted", "ruled", "3.000000")
    rulings.undo(shop.path, first.ruling_id, by="Ana")
    assert state(shop)[0][:3] == ("held", "declared", "3.000000")
    rulings.undo(shop.path, undoing.ruling_id, by="Ana")
    assert state(shop)[0][2] == "31.000000", "an undoing can be undone"
    assert shop.ask("SELECT count(*) FROM rulings") == [(5,)], "nothing is ever erased"


def test_a_ruling_holds_for_a_new_reading_and_the_old_reading_stays(shop: Shop, held: str) -> None:
    rulings.rule(shop.path, held, "should be", by="Ana", inches=Decimal(31))
    newer = replace(STAMP, knowledge="knowledge-2")
    assert len(stale_readings(shop.path, newer)) == 1
    shop.land(TOLD, stamp=newer)
    assert stale_readings(shop.path, newer) == []
    assert state(shop)[0][:3] == ("accepted", "ruled", "31.000000")
    assert shop.ask("SELECT count(*) FROM readings") == [(2,)]
    assert shop.ask("SELECT count(*) FROM figures") == [(4,)]


def test_a_ruling_that_finds_no_figure_is_orphaned(shop: Shop, held: str) -> None:
    made = rulings.rule(shop.path, held, "right", by="Ana")
    assert rulings.orphaned_rulings(shop.path) == []
    shop.land(replace(TOLD, figures=(replace(HELD, raw='30"'),)), stamp=replace(STAMP, knowledge="knowledge-2"))
    assert state(shop)[0][0] == "held", "another printed text is another figure"
    assert [ruling.ruling_id for ruling in rulings.orphaned_rulings(shop.path)] == [made.ruling_id]


def test_a_ruling_settles_what_two_sheets_tell_differently(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)), sheet("b.csv", figure("inseam", 31)))
    assert shop.sizes("inseam") == {("8", ""): (None,)}
    ((figure_id,),) = shop.ask("SELECT figure_id FROM figures WHERE sheet = 'b.csv'")
    made = rulings.rule(shop.path, figure_id, "right", by="Ana")
    assert shop.sizes("inseam") == {("8", ""): (31.0,)}
    assert shop.ask("SELECT count(*) FROM findings WHERE rule = 'sheets_differ'") == [(0,)]
    rulings.undo(shop.path, made.ruling_id, by="Ana")
    rulings.rule(shop.path, figure_id, "not ours", by="Ana")
    assert shop.sizes("inseam") == {("8", ""): (29.0,)}


@pytest.mark.parametrize("form", FORMATS)
def test_rulings_go_out_and_come_in_as_a_file(shop: Shop, held: str, tmp_path: Path, form: str) -> None:
    first = rulings.rule(shop.path, held, "right", by='=Ana, the "2nd"\n', why="'quoted'")
    rulings.undo(shop.path, first.ruling_id, by="Ana")
    rulings.rule(shop.path, held, "should be", by="Ana", inches=Decimal("31.5"))
    file = tmp_path / f"rulings.{form}"
    export_table(shop.path, "rulings", form, file)
    (tmp_path / "other").mkdir()
    other = Shop(tmp_path / "other")
    other.land(TOLD)
    read = rulings.read_rulings_file(file)
    assert rulings.import_rulings(other.path, read) == 3
    assert rulings.import_rulings(other.path, read) == 0, "twice is once"
    assert other.ask("FROM rulings") == shop.ask("FROM rulings")
    assert state(other) == state(shop)


@pytest.mark.parametrize(
    ("decision", "more", "says"),
    [
        pytest.param("wrong", {}, "no ruling", id="unknown-decision"),
        pytest.param("right", {"inches": Decimal(3)}, "Inches go with", id="inches-too-many"),
        pytest.param("should be", {}, "Inches go with", id="inches-missing"),
        pytest.param("should be", {"inches": Decimal(-3)}, "above 0", id="negative"),
        pytest.param("should be", {"inches": Decimal("NaN")}, "above 0", id="not-a-number"),
        pytest.param("right", {"by": " "}, "who decided", id="nobody"),
    ],
)
def test_a_ruling_that_makes_no_sense_is_refused(shop: Shop, decision: str, more: dict[str, Any], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        rulings.rule(shop.path, "x", decision, **{"by": "Ana", **more})
    with pytest.raises(UsageError, match="no figure"):
        rulings.rule(shop.path, "no-such", "right", by="Ana")


def test_a_file_that_holds_no_rulings_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "x.csv"
    file.write_text("ruling_id,decision,undoes\n1,right,\n")
    with pytest.raises(UsageError, match="row 2"):
        rulings.read_rulings_file(file)
    file.write_text("size,inseam\n8,29\n")
    with pytest.raises(UsageError, match="no export of rulings"):
        rulings.read_rulings_file(file)
