"""Habits of a merchant settle what a sheet leaves open; what is printed, and what the figures say, stays above them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from small_sheets import rules, sheet, show, want

from halfinch import knowledge
from halfinch.figure import NM_PER_INCH, SheetResult
from halfinch.interpret import interpret
from halfinch.knowledge.spec_habits import GirthHabits, Habits, ToleranceHabits

HEAD = ["POM (in)", "4", "6"]
OPENING = ["Leg opening", "12", "12.5"]
ROUND_TOP = [["Waist", "28", "29"], ["Hip", "38", "39"], ["Thigh", "22", "22.5"]]


def read(rows: Sequence[Sequence[str]], habits: Habits | None, *texts: str) -> SheetResult:
    return interpret(sheet("# Jeans", *texts, list(rows)), knowledge.load(), habits)


def girths(**said: str) -> Habits:
    return Habits(convention=GirthHabits(**said))  # type: ignore[arg-type]


TIE = [["POM", "4", "6"], ["Knee round", "20", "21"], ["Front rise", "14", "14.5"]]


@pytest.mark.parametrize(
    ("rows", "habits", "point", "told"),
    [
        pytest.param([HEAD, OPENING], None, "leg_opening", "4=12! 6=12.5!", id="open-without-habit"),
        pytest.param([HEAD, OPENING], girths(leg_opening="flat"), "leg_opening", "4=24~ 6=25~",
                     id="a-tie-settled-flat"),
        pytest.param([HEAD, OPENING], girths(leg_opening="round"), "leg_opening", "4=12~ 6=12.5~",
                     id="a-tie-settled-round"),
        pytest.param([HEAD, ["Knee", "11", "11.5"], ["Leg opening", "14", "14.5"]], girths(leg_opening="flat"), "knee",
                     "4=22~ 6=23~", id="what-a-habit-settles-helps-its-neighbour"),
        pytest.param([HEAD, *ROUND_TOP], girths(waist="flat"), "waist", "4=28! 6=29!", id="nonsense-by-habit-is-held"),
        pytest.param([HEAD, *ROUND_TOP], girths(waist="flat"), "hip", "4=38~ 6=39~", id="its-neighbours-are-not"),
        pytest.param([HEAD, ["Leg opening flat", "12", "13"]], girths(leg_opening="round"), "leg_opening", "4=24 6=26",
                     id="the-label-is-above-it"),
        pytest.param([HEAD, ["Leg opening", "24", "24.5"]], girths(leg_opening="round"), "leg_opening", "4=24~ 6=24.5~",
                     id="as-the-figures-say-anyway"),
        pytest.param(TIE, Habits(unit="mm"), "knee", "4=20! 6=21!", id="a-unit-that-suits-nothing-settles-nothing"),
        pytest.param([["POM", "4", "6"], ["Inseam", "30", "30"], ["Front rise", "9", "9.25"]], Habits(unit="cm"),
                     "inseam", "4=30! 6=30!", id="figures-that-read-like-another-unit-contradict"),
    ],
)  # fmt: skip
def test_a_habit_counts_for_what_is_not_said(
    rows: list[list[str]], habits: Habits | None, point: str, told: str
) -> None:
    assert show(read(rows, habits).figures)[point] == want(f"{point} {told}")[point]


def test_a_caption_is_above_the_habit() -> None:
    rows = [HEAD, OPENING]
    result = read(rows, girths(leg_opening="flat"), "All measurements are full circumference.")
    assert show(result.figures)["leg_opening"] == {"4=12", "6=12.5"}
    assert "habit" not in rules(result)


def test_a_habit_is_named() -> None:
    result = read([HEAD, OPENING], girths(leg_opening="flat"))
    (finding,) = [one for one in result.findings if one.rule == "habit"]
    assert "merchants.toml" in finding.message
    assert len(finding.figures) == 2
    assert finding.severity == "note"
    contradicted = read([HEAD, *ROUND_TOP], girths(waist="flat"))
    (held,) = [one for one in contradicted.findings if one.rule == "habit-contradicted"]
    assert "prints flat" in held.message
    assert held.severity == "error"


RISE = [HEAD, ["Rise", "14", "14.5"], ["Inseam", "30", "30"]]


@pytest.mark.parametrize(
    ("rows", "habits", "told"),
    [
        pytest.param([HEAD, ["Rise", "10", "10.5"], ["Inseam", "30", "30"]], Habits(), "front_rise 4=10 6=10.5",
                     id="rise-alone-is-the-front"),
        pytest.param(RISE, Habits(), "front_rise 4=14! 6=14.5!", id="so-long-it-may-be-the-back"),
        pytest.param(RISE, Habits(rise="front"), "front_rise 4=14 6=14.5", id="said-so-it-is-no-less-sure"),
        pytest.param(RISE, Habits(rise="back"), "back_rise 4=14~ 6=14.5~", id="the-back"),
        pytest.param([HEAD, ["Rise", "10", "10.5"], ["Back rise", "14", "14.5"]], Habits(rise="back"),
                     "front_rise 4=10 6=10.5 | back_rise 4=14 6=14.5", id="beside-a-back-rise-it-is-the-front"),
        pytest.param([HEAD, ["Front rise", "10", "10.5"]], Habits(rise="back"), "front_rise 4=10 6=10.5",
                     id="a-front-rise-is-no-bare-rise"),
        pytest.param([HEAD, ["Rise", "25", "25.5"], ["Inseam", "30", "30"]], Habits(rise="total"), "inseam 4=30 6=30",
                     id="a-total-rise-is-read-over"),
        pytest.param([HEAD, ["Rise", "9", "9.5"]], Habits(rise="total"), "front_rise 4=9! 6=9.5!",
                     id="what-can-be-no-total-rise-contradicts"),
        pytest.param([HEAD, ["Rise", "9", "9.5"], ["Waistband height", "1.5", "1.5"]], Habits(rise_band="without"),
                     "front_rise 4=10.5+~ 6=11+~", id="without-the-band-that-is-added"),
        pytest.param([HEAD, ["Rise", "9", "9.5"]], Habits(rise_band="without"), "front_rise 4=9! 6=9.5!",
                     id="without-a-band-that-is-not-told"),
        pytest.param([HEAD, ["Rise incl. waistband", "9", "9.5"]], Habits(rise_band="without"), "front_rise 4=9 6=9.5",
                     id="the-label-is-above-it"),
    ],
)  # fmt: skip
def test_what_rise_means(rows: list[list[str]], habits: Habits, told: str) -> None:
    found = show(read(rows, habits).figures)
    wanted = want(told)
    assert {point: found.get(point) for point in wanted} == wanted
    assert {point for point in found if "rise" in point} == {point for point in wanted if "rise" in point}


def test_a_total_rise_leaves_a_note_on_the_sheet() -> None:
    result = read([HEAD, ["Rise", "25", "25.5"], ["Inseam", "30", "30"]], Habits(rise="total"))
    assert any(one.rule == "habit" and "total rise" in one.message for one in result.findings)


def test_a_tolerance_fills_what_is_not_stated_and_changes_no_status() -> None:
    habits = Habits(tolerance=ToleranceHabits(inseam=Fraction(1, 4), front_rise=Fraction(1, 8)))
    rows = [["POM (in)", "Tol", "4", "6"], ["Inseam", "", "30", "30"], ["Front rise", "1/2", "10", "10.5"]]
    result = read(rows, habits)
    told = {(one.point, one.tolerance_minus_nm, one.status) for one in result.figures}
    assert told == {
        ("inseam", NM_PER_INCH // 4, "accepted"),
        ("front_rise", NM_PER_INCH // 2, "accepted"),
    }
    (finding,) = [one for one in result.findings if one.rule == "habit"]
    assert "inseam +/- 0.25 in" in finding.message
