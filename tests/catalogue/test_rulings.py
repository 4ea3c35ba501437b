"""Rulings are kept for good, hold for every reading, and can be taken back."""

from __future__ import annotations

import shutil
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from invented import STAMP, WIDE, Shop, figure, sheet

from halfinch.catalogue import rulings
from halfinch.catalogue.choosing import Choice, Request, rule_chosen
from halfinch.catalogue.export import export_table
from halfinch.catalogue.rulings_file import read_rulings_file
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


def test_what_was_not_read_as_a_length_cannot_be_right(shop: Shop) -> None:
    unread = replace(figure("waist", 1, status="held", raw="3-Sep", place="row=3"), length_nm=0)
    shop.land(sheet("b.csv", figure("inseam", 29), unread))
    ((figure_id,),) = shop.ask("SELECT figure_id FROM figures WHERE raw = '3-Sep'")
    with pytest.raises(UsageError, match="was not read as a length"):
        rulings.rule(shop.path, figure_id, "right", by="Ana")
    assert state(shop)[0][0] == "held"
    rulings.rule(shop.path, figure_id, "should be", by="Ana", inches=Decimal("30.25"))
    assert state(shop)[0][0] == "accepted"


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


@pytest.mark.parametrize("form", ["csv", "parquet", "jsonl", "xlsx"])
def test_rulings_go_out_and_come_in_as_a_file(shop: Shop, held: str, tmp_path: Path, form: str) -> None:
    first = rulings.rule(shop.path, held, "right", by='=Ana, the "2nd"\n', why="'quoted'")
    rulings.undo(shop.path, first.ruling_id, by="Ana")
    rulings.rule(shop.path, held, "should be", by="Ana", inches=Decimal("31.5"))
    file = tmp_path / f"rulings.{form}"
    export_table(shop.path, "rulings", form, file)
    (tmp_path / "other").mkdir()
    other = Shop(tmp_path / "other")
    other.land(TOLD)
    read: Any = read_rulings_file(file)
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


def test_a_later_sheet_at_the_same_source_keeps_the_rulings_of_its_cells(shop: Shop, held: str) -> None:
    made = rulings.rule(shop.path, held, "should be", by="Ana", inches=Decimal(31))
    shop.land(sheet("a.csv", figure("inseam", 28), HELD), source="a.csv")
    assert state(shop)[0][:3] == ("accepted", "ruled", "31.000000")
    rulings.undo(shop.path, made.ruling_id, by="Ana")
    assert state(shop)[0][0] == "held", "taking back reaches the later sheet too"


@pytest.mark.parametrize(
    "later",
    [
        pytest.param(
            sheet("a.csv", figure("waist", 4, status="held", raw='4"', place="row=2")), id="printed-otherwise"
        ),
        pytest.param(sheet("a.csv", HELD, garments=(replace(WIDE, style_code="AW-11"),)), id="another-garment"),
    ],
)
def test_what_a_later_sheet_changed_is_asked_anew(shop: Shop, held: str, later: Any) -> None:
    made = rulings.rule(shop.path, held, "should be", by="Ana", inches=Decimal(31))
    shop.land(later, source="a.csv")
    assert state(shop)[0][0] == "held"
    assert [one.ruling_id for one in rulings.orphaned_rulings(shop.path)] == [made.ruling_id]


def test_right_holds_for_the_length_that_it_was_ruled_on(shop: Shop, held: str) -> None:
    made = rulings.rule(shop.path, held, "right", by="Ana")
    assert made.inches == 3
    newer = replace(STAMP, knowledge="knowledge-2")
    shop.land(replace(TOLD, figures=(replace(HELD, length_nm=2 * HELD.length_nm),)), stamp=newer)
    assert state(shop)[0][:3] == ("held", "declared", "6.000000"), "the same text, read as twice the length"
    assert [one.state for one in rulings.list_rulings(shop.path)] == ["orphaned"]


def test_every_ruling_is_listed_with_its_state(shop: Shop, held: str) -> None:
    first = rulings.rule(shop.path, held, "right", by="Ana")
    rulings.undo(shop.path, first.ruling_id[:8], by="Ben")
    rulings.rule(shop.path, held[:10], "not ours", by="Ben")
    listed = rulings.list_rulings(shop.path)
    assert [(one.ruling.decision, one.state, one.sheet) for one in listed] == [
        ("right", "taken back", "a.csv"),
        ("undo", "undoing", "a.csv"),
        ("not ours", "in force", "a.csv"),
    ]
    with pytest.raises(UsageError, match="taken back already"):
        rulings.undo(shop.path, first.ruling_id, by="Ana")


GRID = sheet(
    "in/wide.xlsx",
    *(
        figure(point, inches, size, status=status, place=f"sheet=A;cell={column}{row}")
        for row, (point, status) in enumerate([("waist", "held"), ("hip", "held"), ("inseam", "accepted")], start=2)
        for column, size, inches in (("B", "8", 30), ("C", "10", 31))
    ),
)


@pytest.mark.parametrize(
    ("choice", "told"),
    [
        pytest.param({"point": "waist"}, {("waist", "8"), ("waist", "10")}, id="all-held-of-a-point"),
        pytest.param({"row": "3"}, {("hip", "8"), ("hip", "10")}, id="a-row"),
        pytest.param({"column": "C"}, {("waist", "10"), ("hip", "10")}, id="a-column-by-letter"),
        pytest.param({"column": "2"}, {("waist", "8"), ("hip", "8")}, id="a-column-by-number"),
        pytest.param({"size": "8", "point": "hip"}, {("hip", "8")}, id="narrowed"),
        pytest.param({"row": "4", "standing": True}, {("inseam", "8"), ("inseam", "10")}, id="standing-ones-if-said"),
        pytest.param({"style": "aw-10", "place": "sheet=A;cell=B2"}, {("waist", "8")}, id="a-cell-of-a-style"),
    ],
)
def test_a_row_a_column_or_a_point_is_ruled_on_at_once(
    shop: Shop, choice: dict[str, Any], told: set[tuple[str, str]]
) -> None:
    shop.land(GRID)
    request = Request(Choice(sheet="wide.xlsx", **choice), rulings.Decision("not ours", "Ana"))
    made = rule_chosen(shop.path, [request])
    assert {(one.point, one.size) for one in made} == told
    aside = shop.ask("SELECT point, size FROM current_figures WHERE status = 'set_aside'")
    assert set(aside) == told


@pytest.mark.parametrize(
    ("choice", "says"),
    [
        pytest.param(Choice(), "Name the figure", id="nothing"),
        pytest.param(Choice(sheet="wide.xlsx"), "Say what of the sheet", id="a-whole-sheet"),
        pytest.param(Choice(figure="12345678", point="hip"), "by its id alone", id="both"),
        pytest.param(Choice(sheet="wild.xlsx", point="hip"), r"did you mean in/wide\.xlsx", id="no-such-sheet"),
        pytest.param(Choice(sheet="wide.xlsx", point="knee"), "it has points waist, hip, inseam", id="no-such-point"),
        pytest.param(Choice(sheet="wide.xlsx", point="inseam"), "None of these 2 figures is held", id="not-held"),
    ],
)
def test_a_choice_of_nothing_rules_on_nothing(shop: Shop, choice: Choice, says: str) -> None:
    shop.land(GRID)
    good = Request(Choice(sheet="wide.xlsx", point="waist"), rulings.Decision("right", "Ana"))
    with pytest.raises(UsageError, match=says):
        rule_chosen(shop.path, [good, Request(choice, rulings.Decision("right", "Ana"), "list, row 3")])
    assert shop.ask("SELECT count(*) FROM rulings") == [(0,)], "all or nothing"


CSV = "sheet,point,size,decision,inches,why,by\nwide.xlsx,waist,,right,,asked,Ana\nwide.xlsx,hip,8,should be,40.5,,\n"
TOML = """
sheet = "wide.xlsx"
by = "Ana"
[[ruling]]
point = "waist"
decision = "right"
why = "asked"
[[ruling]]
row = 3
column = "B"
decision = "should be"
inches = 40.5
by = "me"
"""


@pytest.mark.parametrize(
    ("name", "text"), [("list.csv", CSV), ("list.csv", CSV.replace(",", ";")), ("list.toml", TOML)]
)
def test_a_list_by_hand_is_ruled(shop: Shop, tmp_path: Path, name: str, text: str) -> None:
    shop.land(GRID)
    (tmp_path / name).write_text(text)
    requests: Any = read_rulings_file(tmp_path / name, "me")
    made = rule_chosen(shop.path, requests)
    assert [(one.point, one.size, one.decision, one.by, one.why) for one in made] == [
        ("waist", "8", "right", "Ana", "asked"),
        ("waist", "10", "right", "Ana", "asked"),
        ("hip", "8", "should be", "me", ""),
    ]


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        pytest.param("x.csv", "ruling_id,decision,undoes\n1,right,\n", "row 2: no ruling, the column", id="cut"),
        pytest.param("x.csv", "size,inseam\n8,29\n", "no export of rulings and no list", id="foreign"),
        pytest.param("x.csv", "", "no export of rulings and no list", id="empty"),
        pytest.param("x.csv", "\x00\x01PK", "no export of rulings and no list", id="binary"),
        pytest.param("x.csv", "sheet,pont,decision\na,hip,right\n", "row 1: 'pont' is no column", id="mistyped-column"),
        pytest.param("x.csv", "sheet,point,decision\na,hip,rihgt\n", 'row 2: "rihgt" is no ruling', id="no-decision"),
        pytest.param("x.csv", "sheet,point,decision,inches\na,hip,should be,x\n", "row 2: .*no number", id="no-number"),
        pytest.param("x.csv", "sheet,point,decision\na,hip,should be\n", "row 2: Inches go with", id="no-inches"),
        pytest.param("x.csv", "sheet,decision\na,right\n", "row 2: Say what of the sheet", id="of-nothing"),
        pytest.param("x.toml", "[[ruling\n", "is no TOML", id="no-toml"),
        pytest.param("x.toml", "[body]\nheight = 60\n", "no list of rulings", id="another-toml"),
        pytest.param("x.toml", "[[ruling]]\nrwo = 3\n", "ruling 1: 'rwo' is no column", id="mistyped-key"),
        pytest.param("no.csv", None, "cannot be read", id="not-there"),
    ],
)  # fmt: skip
def test_a_file_that_holds_no_rulings_is_refused(tmp_path: Path, name: str, text: str | None, says: str) -> None:
    if text is not None:
        (tmp_path / name).write_text(text)
    with pytest.raises(UsageError, match=says):
        read_rulings_file(tmp_path / name, "me")


def test_an_export_that_was_changed_or_cut_is_refused(shop: Shop, held: str, tmp_path: Path) -> None:
    first = rulings.rule(shop.path, held, "right", by="Ana")
    rulings.undo(shop.path, first.ruling_id, by="Ana")
    file = tmp_path / "rulings.csv"
    export_table(shop.path, "rulings", "csv", file)
    lines = file.read_text().splitlines()
    file.write_text("\n".join(lines).replace("Ana", "Ben"))
    with pytest.raises(UsageError, match="row 2: the row was changed"):
        read_rulings_file(file)
    file.write_text("\n".join([lines[0], lines[2]]))
    (tmp_path / "other").mkdir()
    other = Shop(tmp_path / "other")
    other.land(TOLD)
    read: Any = read_rulings_file(file)
    with pytest.raises(UsageError, match="neither it nor"):
        rulings.import_rulings(other.path, read)
    assert other.ask("SELECT count(*) FROM rulings") == [(0,)]
