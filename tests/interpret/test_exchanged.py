"""Rows under the wrong label, in the other unit, or one cell short are held; rows that merely look odd are not."""

from __future__ import annotations

import pytest
from small_sheets import held_by, read_csv, read_sheet, rules

Rows = dict[str, list[str]]
SIZES = ["34", "36", "38", "40", "42"]
ROUND: Rows = {
    "Waist": ["70", "74", "78", "82", "86"],
    "Hip": ["94", "98", "102", "106", "110"],
    "Thigh": ["57", "59", "61", "63", "65"],
    "Leg opening": ["38", "39", "40", "41", "42"],
    "Front rise": ["26", "26.5", "27", "27.5", "28"],
    "Back rise": ["36", "36.5", "37", "37.5", "38"],
    "Inseam": ["78", "78", "79", "79", "80"],
    "Outseam": ["103", "103.5", "105", "105.5", "107"],
}


def sheet(rows: Rows, unit: str = "cm") -> list[list[str]]:
    return [[f"Size ({unit})", *SIZES], *([label, *values] for label, values in rows.items())]


def exchanged(one: str, other: str) -> Rows:
    return {**ROUND, one: ROUND[other], other: ROUND[one]}


def held_points(rows: Rows) -> set[str]:
    return {name.rsplit(" ", 1)[0] for name in held_by(read_sheet("# Alma jeans", sheet(rows)))}


SWAPS = [
    pytest.param("Waist", "Thigh", id="the thigh would be flat else"),
    pytest.param("Hip", "Thigh", id="the hip would be flat, the thigh as wide as a hip"),
    pytest.param("Leg opening", "Back rise", id="an opening may measure what a back rise does, the rise may not"),
    pytest.param("Front rise", "Leg opening", id="a front rise of 38 cm"),
    pytest.param("Thigh", "Front rise", id="a thigh of 26 cm would be flat"),
    pytest.param("Inseam", "Outseam", id="an outseam shorter than the inseam, which is out of range"),
    pytest.param("Inseam", "Front rise", id="no shorts"),
]


@pytest.mark.parametrize(("one", "other"), SWAPS)
def test_exchanged_rows_are_held_both_and_no_label_is_turned(one: str, other: str) -> None:
    names = {label.lower().replace(" ", "_") for label in (one, other)}
    if names == {"leg_opening", "back_rise"}:
        assert held_points(exchanged(one, other)) <= names  # both are possible
    else:
        assert held_points(exchanged(one, other)) == names


def test_the_finding_names_both_rows() -> None:
    found = read_sheet("# Alma jeans", sheet(exchanged("Hip", "Thigh"))).findings
    assert "the figures of hip and thigh would suit exchanged; ask which is which" in {one.message for one in found}


def test_a_row_in_the_other_unit_is_held_alone() -> None:
    rows = {**ROUND, "Inseam": ["30.75", "30.75", "31", "31", "31.5"]}
    result = read_sheet("# Alma jeans", sheet(rows))
    assert all("row-in-other-unit" in found for found in held_by(result).values())
    assert held_points(rows) == {"inseam"}


HONEST = [
    pytest.param({}, id="as it should be"),
    pytest.param({"Thigh": ["70", "72", "74", "76", "78"]}, id="pleats: a thigh of 0.7 of the hip"),
    pytest.param({"Hip": ["110", "114", "118", "122", "126"]}, id="joggers: hip 16 in over the waist"),
    pytest.param({"Leg opening": ["60", "61", "62", "63", "64"]}, id="an opening wider than the thigh"),
    pytest.param({"Hip": ["94", "94", "94", "98", "98"]}, id="hip equal over sizes"),
]


@pytest.mark.parametrize("changed", HONEST)
def test_honest_oddities_pass(changed: Rows) -> None:
    assert held_points({**ROUND, **changed}) == set()


SHORT = [
    pytest.param("Outseam cm,103,103.5,105.5,107,", {"outseam"}, id="a cell is lost further up"),
    pytest.param("Outseam cm,103,103.5,104,104.5,", {"outseam"}, id="nothing tells which is lost"),
    pytest.param("Outseam cm,103,103,103,103,", set(), id="all equal: nothing is lost"),
    pytest.param("Outseam cm,103,103.5,104,104.5,-", set(), id="the last one is marked as empty"),
]


@pytest.mark.parametrize(("row", "points"), SHORT)
def test_a_row_one_cell_short(row: str, points: set[str]) -> None:
    lines = ["Size," + ",".join(SIZES)]
    lines += [f"{label} cm," + ",".join(values) for label, values in list(ROUND.items())[:-1]]
    result = read_csv("\n".join([*lines, row]))
    assert {name.rsplit(" ", 1)[0] for name in held_by(result)} == points
    assert not points or "row-short" in rules(result)


COPIES = [
    pytest.param(
        {"Waist": [33.5, 34, 34, 34.5], "Back rise": [33.5, 34, 34, 34.5], "Inseam": [70, 70, 70, 71]},
        {"waist", "back_rise"},
        id="a girth and a length",
    ),
    pytest.param(
        {"Front rise": [41, 41, 41.5], "Outseam": [41, 41, 41.5], "Waist": [28, 29, 30], "Hip": [38, 39, 40]},
        {"front_rise", "outseam"},
        id="no evidence of another unit",
    ),
    pytest.param({"Knee": [16, 17, 18], "Hem": [16, 17, 18], "Inseam": [30, 30, 30]}, set(), id="a straight leg"),
    pytest.param({"Front rise": [9, 9, 9.5], "Hem": [9, 9, 9.5], "Inseam": [30, 30, 30]}, set(), id="by chance"),
]


@pytest.mark.parametrize(("rows", "points"), COPIES)
def test_one_row_under_two_names(rows: dict[str, list[float]], points: set[str]) -> None:
    cells = [[name, *(f"{value:g}" for value in values)] for name, values in rows.items()]
    result = read_sheet("# Alma jeans", [["POM", *("4", "6", "8", "10")[: len(cells[0]) - 1]], *cells])
    assert {one.point for one in result.figures if one.status == "held"} == points
