"""Figures that are ours only after a second look: rise without the band, stretched waists, washes, limits, dates."""

from __future__ import annotations

from dataclasses import replace

import pytest
from small_sheets import grid, held_by, read_sheet, show, show_length, want, xfail

from halfinch import knowledge
from halfinch.interpret import interpret
from halfinch.sheet import DATE, HIDDEN, STRUCK, Sheet

INSEAM = ["Inseam", "30", "30"]
HEAD = ["POM (in)", "4", "6"]

WITHOUT_BAND = [
    pytest.param("Front rise (excluding waistband)", "front_rise", id="excluding"),
    pytest.param("Front rise below waistband", "front_rise", id="below"),
    pytest.param("Front rise without waistband", "front_rise", id="without"),
    pytest.param("Back rise (excl. waistband)", "back_rise", id="back rise, abbreviated"),
    pytest.param("Leibhöhe vorn ohne Bund", "front_rise", id="German"),
]
OUTSEAMS = [
    pytest.param("Outseam below waistband", id="below"),
    pytest.param("Outseam (excl. waistband)", id="abbreviated"),
    pytest.param("Longueur côté hors ceinture", id="French"),
    pytest.param("裤长不含腰", id="Chinese"),
]


@pytest.mark.parametrize("label", OUTSEAMS)
def test_an_outseam_without_its_band_is_no_outseam_either(label: str) -> None:
    rows = [HEAD, [label, "38", "38.25"], INSEAM]
    assert held_by(read_sheet("# Jeans", rows)) == dict.fromkeys(("outseam 4", "outseam 6"), "rise-without-band")
    result = read_sheet("# Jeans", [*rows, ["Waistband height", "1 1/2", "1 1/2"]])
    assert show(result.figures) == want("outseam 4=39.5+~ 6=39.75+~ | inseam 4=30 6=30")


BARE_RISES = [
    pytest.param(["12", "13.5"], "", id="as long as front rises are, but for the largest size"),
    pytest.param(["13.5", "14"], "bare-rise", id="long in every size"),
]


@pytest.mark.parametrize(("figures", "rule"), BARE_RISES)
def test_a_rise_that_may_be_the_back_one(figures: list[str], rule: str) -> None:
    held = held_by(read_sheet("# Jeans", [HEAD, ["Rise", *figures], INSEAM]))
    assert held == ({"front_rise 4": rule, "front_rise 6": rule} if rule else {})
    beside = read_sheet("# Jeans", [HEAD, ["Rise", *figures], ["Back rise", "17", "17.25"], INSEAM])
    assert "bare-rise" not in held_by(beside).values()


@pytest.mark.parametrize(("label", "point"), WITHOUT_BAND)
def test_a_rise_without_its_band_is_held(label: str, point: str) -> None:
    result = read_sheet("# Jeans", [HEAD, [label, "11", "11.25"], INSEAM])
    assert held_by(result) == {f"{point} 4": "rise-without-band", f"{point} 6": "rise-without-band"}


@pytest.mark.parametrize(("label", "point"), WITHOUT_BAND)
def test_with_the_height_of_the_band_the_sum_is_derived(label: str, point: str) -> None:
    result = read_sheet("# Jeans", [HEAD, [label, "11", "11.25"], ["Waistband height", "1 1/2", "1 1/2"], INSEAM])
    assert show(result.figures) == want(f"{point} 4=12.5+~ 6=12.75+~ | inseam 4=30 6=30")
    assert {one.raw for one in result.figures if one.point == point} == {"11", "11.25"}


def test_the_band_in_another_unit() -> None:
    rows = [
        ["POM", "4", "6"],
        ["Front rise excluding waistband (in)", "8", "8"],
        ["Waistband height (cm)", "2.54", "2.54"],
        ["Inseam (in)", "30", "30"],
    ]
    assert show(read_sheet("# Jeans", rows).figures) == want("front_rise 4=9+~ 6=9+~ | inseam 4=30 6=30")


def test_bands_of_other_sizes_do_not_help() -> None:
    rows = [HEAD, ["Front rise (excluding waistband)", "8", "8"], ["Waistband height", "1", "3"], INSEAM]
    found = show(read_sheet("# Jeans", rows).figures)
    assert found["front_rise"] == {"4=9+~", "6=11+~"}


def test_a_rise_that_says_it_has_its_band_is_ours() -> None:
    result = read_sheet("# Jeans", [HEAD, ["Front rise (including waistband)", "9", "9.25"], INSEAM])
    assert show(result.figures) == want("front_rise 4=9 6=9.25 | inseam 4=30 6=30")


def test_both_rises_on_one_sheet() -> None:
    rows = [
        HEAD,
        ["Front rise (excluding waistband)", "8", "8.25"],
        ["Front rise (including waistband)", "9.5", "9.75"],
        INSEAM,
    ]
    clean = [one for one in read_sheet("# Jeans", rows).figures if one.status != "held" and one.point == "front_rise"]
    assert {show_length(one.length_nm) for one in clean} <= {"9.5", "9.75"}


def test_relaxed_is_ours_and_stretched_is_kept_beside_it() -> None:
    rows = [HEAD, ["Waist relaxed (round)", "26", "27"], ["Waist stretched (round)", "34", "35"], INSEAM]
    result = read_sheet("# Jeans", rows)
    assert show(result.figures) == want("waist 4=26 6=27 | inseam 4=30 6=30")
    stretched = {one.size: one.stretched_nm for one in result.figures if one.point == "waist"}
    assert stretched == {"4": 34 * 25_400_000, "6": 35 * 25_400_000}


def test_a_flat_stretched_waist_is_doubled_too() -> None:
    rows = [HEAD, ["1/2 waist relaxed", "13", "13.5"], ["1/2 waist stretched", "17", "17.5"], INSEAM]
    (first, *_) = [one for one in read_sheet("# Jeans", rows).figures if one.point == "waist"]
    assert (first.length_nm, first.stretched_nm) == (26 * 25_400_000, 34 * 25_400_000)


def test_stretched_alone_is_held() -> None:
    result = read_sheet("# Jeans", [HEAD, ["Waist stretched (round)", "34", "35"], INSEAM])
    assert held_by(result) == {"waist 4": "stretched-only", "waist 6": "stretched-only"}


def test_after_wash_wins_over_before_wash() -> None:
    rows = [HEAD, ["Inseam before wash", "31", "31"], ["Inseam after wash", "30", "30"], ["Front rise", "9", "9.25"]]
    assert show(read_sheet("# Jeans", rows).figures) == want("inseam 4=30 6=30 | front_rise 4=9 6=9.25")


def test_limits_are_no_figures() -> None:
    rows = [
        HEAD,
        ["Waist round minimum", "26", "27"],
        ["Waist round maximum", "32", "33"],
        ["Waist round", "28", "29"],
        INSEAM,
    ]
    assert show(read_sheet("# Jeans", rows).figures) == want("waist 4=28 6=29 | inseam 4=30 6=30")


@xfail("cuffed is a word like any other, and the uncuffed row is lost")
def test_a_leg_turned_up_is_not_the_leg_as_sewn() -> None:
    rows = [HEAD, ["Inseam cuffed", "26", "26"], ["Inseam uncuffed", "30", "30"], ["Front rise", "9", "9.25"]]
    clean = [one for one in read_sheet("# Jeans", rows).figures if one.point == "inseam" and one.status != "held"]
    assert {show_length(one.length_nm) for one in clean} <= {"30"}


AT = [
    pytest.param("Knee flat 14 in below crotch", "8", "14", "crotch", id="knee below crotch"),
    pytest.param('Thigh flat 1" below crotch', "11", "1", "crotch", id="thigh below crotch"),
    pytest.param("Hip flat, 8 in below waistband", "19", "8", "band", id="hip below band"),
    pytest.param("Hip flat 7 in from top edge", "19", "7", "top edge", id="hip from the top"),
    pytest.param("Knee flat (35 cm below crotch)", "8", "35cm", "crotch", id="in another unit"),
]


@pytest.mark.parametrize(("label", "printed", "at", "since"), AT)
def test_where_it_is_measured_is_kept(label: str, printed: str, at: str, since: str) -> None:
    result = read_sheet("# Jeans", [HEAD, [label, printed, printed], INSEAM])
    (first, *_) = [one for one in result.figures if one.point != "inseam"]
    assert first.length_nm == int(printed) * 2 * 25_400_000
    assert first.at_nm is not None
    assert (show_length(first.at_nm), first.at_from) == (at, since)


def marked(mark: str, column: int) -> Sheet:
    """A table whose cell of the inseam in this column has the mark."""
    plain = grid([HEAD, INSEAM, ["Front rise", "9", "9.25"]])
    cells = tuple(
        replace(cell, marks=frozenset({mark}), text="30-Jan" if mark == DATE else cell.text)
        if (cell.row, cell.column) == (2, column)
        else cell
        for cell in plain.cells
    )
    return Sheet("a.xlsx", "workbook", "by hand", (replace(plain, cells=cells),))


def test_a_date_for_a_number_is_held() -> None:
    result = interpret(marked(DATE, 2), knowledge.load())
    assert held_by(result)["inseam 4"].split()[0] == "date-for-number"
    assert {one.status for one in result.figures if one.size == "6"} == {"accepted"}


@pytest.mark.parametrize("mark", [STRUCK, HIDDEN])
def test_what_is_struck_out_or_hidden_is_no_figure(mark: str) -> None:
    result = interpret(marked(mark, 2), knowledge.load())
    assert show(result.figures) == want("inseam 6=30 | front_rise 4=9 6=9.25")
