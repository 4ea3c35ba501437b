"""Which unit a number is in: said in its cell, label, heading or note; said by row; unsaid; said wrongly."""

from __future__ import annotations

from typing import Any

import pytest
from small_sheets import held_by, read_csv, read_sheet, rules, sheet, show, want

from halfinch import knowledge
from halfinch.interpret import interpret
from halfinch.knowledge.spec_habits import Habits

CM = "waist 36=76cm 38=80cm 40=84cm | inseam 36=76cm 38=76cm 40=76cm | front_rise 36=24.5cm 38=25cm 40=25.5cm"
FIGURES = "Waist flat,38,40,42\nInseam,76,76,76\nFront rise,24.5,25,25.5\n"

DECLARED = [
    pytest.param("POM (cm),36,38,40\n" + FIGURES, id="in the corner"),
    pytest.param("All measurements in centimetres\nPOM,36,38,40\n" + FIGURES, id="in a line above"),
    pytest.param("POM,36,38,40\n" + FIGURES + "All measurements in cm,,,\n", id="in the last line"),
    pytest.param("POM,36,38,40\ncm,,,\n" + FIGURES, id="in a row of its own"),
    pytest.param(
        "POM,Unit,36,38,40\nWaist flat,cm,38,40,42\nInseam,cm,76,76,76\nFront rise,cm,24.5,25,25.5\n", id="a column"
    ),
    pytest.param(
        "POM,36,38,40\nWaist flat (cm),38,40,42\nInseam (cm),76,76,76\nFront rise cm,24.5,25,25.5\n", id="labels"
    ),
    pytest.param(
        "POM,36,38,40\nWaist flat,38cm,40cm,42cm\nInseam,76cm,76 cm,76CM\nFront rise,24.5 cm,25 cm,25.5 cm\n",
        id="cells",
    ),
]


@pytest.mark.parametrize("text", DECLARED)
def test_unit_that_is_said(text: str) -> None:
    assert show(read_csv("Alma jeans\n\n" + text).figures) == want(CM)


def test_units_by_row() -> None:
    text = "POM,Unit,36,38,40\nWaist flat,cm,38,40,42\nInseam,in,30,30,30\nFront rise,mm,245,250,255\n"
    assert show(read_csv(text).figures) == want(
        "waist 36=76cm 38=80cm 40=84cm | inseam 36=30 38=30 40=30 | front_rise 36=24.5cm 38=25cm 40=25.5cm"
    )


def test_the_nearest_word_wins() -> None:
    rows = [
        ["POM (cm)", "36", "38"],
        ["Waist round", "76", "80"],
        ["Inseam (inches)", "30", "30"],
        ["Front rise", '10"', "25"],
    ]
    assert show(read_sheet("# Jeans", "All in mm", rows).figures) == want(
        "waist 36=76cm 38=80cm | inseam 36=30 38=30 | front_rise 36=10 38=25cm"
    )


SINGLE = {"in": ("30", "9.5", "22"), "cm": ("76", "24", "56"), "mm": ("760", "240", "560")}


@pytest.mark.parametrize("unit", SINGLE)
def test_unit_unsaid_is_told_by_the_figures_and_marked(unit: str) -> None:
    inseam, rise, thigh = SINGLE[unit]
    rows = [["POM", "4"], ["Inseam", inseam], ["Front rise", rise], ["Thigh round", thigh]]
    result = read_sheet("# Jeans", rows)
    assert {(one.unit, one.status, one.basis) for one in result.figures} == {(unit, "assumed", "inferred")}
    assert "unit-unsaid" in rules(result)


def test_unit_unsaid_with_fractions_is_inches() -> None:
    rows = [["POM", "4", "6"], ["Inseam", "30 1/2", "30 1/2"], ["Front rise", "9 1/4", "9 1/2"]]
    assert {one.unit for one in read_sheet("# Jeans", rows).figures} == {"in"}


UNCLEAR = [
    pytest.param([["POM", "4", "6"], ["Hip", "48", "49"]], id="hip 48: inches round or centimetres flat"),
    pytest.param([["POM", "4", "6"], ["Waist", "34", "36"]], id="waist 34: inches round or centimetres flat"),
    pytest.param([["POM", "4", "6"], ["Knee", "20", "21"]], id="knee 20: inches round or centimetres flat"),
    pytest.param([["POM", "4", "6"], ["Leg opening", "18", "18"]], id="opening 18: inches round or centimetres flat"),
]


@pytest.mark.parametrize("rows", UNCLEAR)
def test_unit_unsaid_and_open_is_never_clean(rows: list[list[str]]) -> None:
    result = read_sheet("# Jeans", rows)
    assert [one for one in result.figures if one.status != "held"] == []


CONTRADICTED = [
    pytest.param([["POM (cm)", "4", "6"], ["Inseam", "30", "30"]], id="a run of inseams in cm that are inches"),
    pytest.param(
        [["POM (cm)", "4", "6"], ["Waist flat", "14", "14.5"], ["Inseam", "30", "30"], ["Front rise", "9.5", "9.75"]],
        id="a table in cm that is in inches",
    ),
    pytest.param(
        [["POM (in)", "4", "6"], ["Waist flat", "38", "40"], ["Inseam", "76", "76"], ["Front rise", "24.5", "25"]],
        id="a table in inches that is in cm",
    ),
]


@pytest.mark.parametrize("rows", CONTRADICTED)
def test_a_unit_that_the_figures_contradict_holds_them_all(rows: list[list[str]]) -> None:
    result = read_sheet("# Jeans", rows)
    assert {one.status for one in result.figures} == {"held"}
    assert "unit-contradicted" in rules(result)
    (finding,) = [one for one in result.findings if one.rule == "unit-contradicted"]
    assert "centimetres" in finding.message
    assert "inches" in finding.message


def test_a_labels_unit_that_its_own_row_contradicts_holds_only_this_row() -> None:
    rows = [
        ["POM (in)", "4", "6"],
        ["Inseam (cm)", "30", "30"],
        ["Front rise", "9", "9.25"],
        ["Waist round", "28", "29"],
    ]
    result = read_sheet("# Jeans", rows)
    assert show(result.figures)["front_rise"] == {"4=9", "6=9.25"}
    assert set(held_by(result)) == {"inseam 4", "inseam 6"}


def test_a_unit_behind_another_number_says_nothing_of_the_table() -> None:
    rows = [["POM", "4", "6"], ["Inseam", "30 1/2", "30 1/2"], ["Front rise", "9 1/4", "9 1/2"]]
    result = read_sheet("# Jeans", "Our model is 178 cm tall.", rows)
    assert {one.unit for one in result.figures} == {"in"}


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_a_habit_is_evidence_where_the_figures_leave_it_open(unit: Any) -> None:
    page = sheet("# Jeans", [["POM", "4", "6"], ["Leg opening", "20", "21"], ["Front rise", "15", "15.25"]])
    results = {habit: interpret(page, knowledge.load(), Habits(unit=habit)) for habit in ("", unit)}
    assert {one.status for one in results[""].figures} == {"held"}
    assert {(one.unit, one.status) for one in results[unit].figures} == {(unit, "assumed")}


def test_a_habit_never_outweighs_what_is_printed() -> None:
    page = sheet("# Jeans", [["POM (in)", "4", "6"], ["Inseam", "30", "30"]])
    figures = interpret(page, knowledge.load(), Habits(unit="cm")).figures
    assert {(one.unit, one.status) for one in figures} == {("in", "accepted")}
