"""Columns of numbers that are no figures: rows counted through, samples beside the spec; heads that mislead."""

from __future__ import annotations

import pytest
from small_sheets import read_sheet, show, want

from halfinch.figure import SheetResult

PAIR = "Ladies jeans, inches"
POINTS = ["Waist girth", "Hip girth", "Thigh girth", "Front rise incl. waistband", "Inseam"]
AS_PRINTED = ["30", "40", "24", "11", "31"]
AT_TEN = "waist 10=30 | hip 10=40 | thigh 10=24 | front_rise 10=11 | inseam 10=31"


def clean(result: SheetResult) -> list[str]:
    return show([one for one in result.figures if not one.point.startswith(("label", "body"))])


COUNTED = [
    pytest.param("", ["1", "2", "3", "4", "5"], id="no heading"),
    pytest.param("POM", ["1", "2", "3", "4", "5"], id="a heading of points"),
    pytest.param("", ["100", "110", "120", "130", "140"], id="by tens"),
    pytest.param("Lp.", ["1", "2", "4", "5", "6"], id="one left out"),
]


@pytest.mark.parametrize(("head", "numbers"), COUNTED)
def test_rows_counted_through_are_no_figures(head: str, numbers: list[str]) -> None:
    rows = [[head, "Measurement", "10"], *map(list, zip(numbers, POINTS, AS_PRINTED, strict=True))]
    assert clean(read_sheet(PAIR, rows)) == want(AT_TEN)


TRIALS = [
    pytest.param(["Size 10", "", ""], ["Spec", "Actual", "Diff"], id="spec, actual, difference"),
    pytest.param(["Size 10", "", ""], ["Soll", "Ist", "Abweichung"], id="German"),
    pytest.param(["10", "", ""], ["Target", "Proto 1", "+/-"], id="a deviation that looks like a tolerance"),
]


@pytest.mark.parametrize(("sizes", "heads"), TRIALS)
def test_the_spec_counts_and_no_sample_of_it(sizes: list[str], heads: list[str]) -> None:
    actual = ["30.25", "39.75", "24", "11.125", "31.25"]
    off = ["1/4", "-1/4", "0", "1/8", "1/4"]
    rows = [["", *sizes], ["POM", *heads], *map(list, zip(POINTS, AS_PRINTED, actual, off, strict=True))]
    result = read_sheet(PAIR, rows)
    assert [one.raw for one in result.figures if one.point in ("waist", "hip", "thigh", "front_rise", "inseam")] == (
        AS_PRINTED
    )


def test_actual_alone_is_the_garments_own() -> None:
    rows = [["POM", "Size 10 actual"], *map(list, zip(POINTS, AS_PRINTED, strict=True))]
    assert {one.raw for one in read_sheet(PAIR, rows).figures if one.point == "inseam"} <= {"31"}


HEADS = [
    pytest.param(
        [["№", "Наименование измерения", "Допуск", "42", "44", "46"]],
        ["1", "±1"],
        id="the head over the labels is also a word for a style",
    ),
    pytest.param(
        [["POM", "", "", "", "SIZES", ""], ["", "TOL -", "TOL +", "42", "44", "46"]],
        None,
        id="sizes told over the middle of them",
    ),
]


@pytest.mark.parametrize(("heads", "before"), HEADS)
def test_sizes_under_any_head(heads: list[list[str]], before: list[str] | None) -> None:
    rows = [
        *heads,
        *(
            [
                *([before[0], label, before[1]] if before else [label, "1/2", "1/2"]),
                *(str(int(value) + step) for step in range(3)),
            ]
            for label, value in zip(POINTS, AS_PRINTED, strict=True)
        ),
    ]
    figures = [one for one in read_sheet(PAIR, rows).figures if one.point == "waist"]
    assert [(one.size, one.raw) for one in figures] == [("42", "30"), ("44", "31"), ("46", "32")]


def test_a_tolerance_in_a_row_of_its_own_under_the_sizes() -> None:
    rows = [["Size", *POINTS], ["10", *AS_PRINTED], ["12", "32", "42", "25", "11.25", "31"], ["Tol.", *["1/4"] * 5]]
    result = read_sheet(PAIR, rows)
    assert not [one for one in result.figures if one.raw == "1/4"]


def test_a_sample_size_in_the_head_of_its_figures() -> None:
    rows = [
        ["POM", "Sample size 10", "Tol", "Grade"],
        *([a, b, "1/4", "1"] for a, b in zip(POINTS, AS_PRINTED, strict=True)),
    ]
    assert clean(read_sheet(PAIR, rows)) == want(AT_TEN)


def test_facts_of_the_order_over_the_table_are_no_heads_of_it() -> None:
    facts = [["Style", "Harrow bootcut jean", "Fabric", "denim 11oz"], ["Ship date", "2026-09-01", "Qty", "1,200"]]
    rows = [["Harrow", "", "", ""], *facts, ["Measurement", "10", "12", "14"]]
    rows += [[a, b, str(int(b) + 1), str(int(b) + 2)] for a, b in zip(POINTS, AS_PRINTED, strict=True)]
    assert len([one for one in read_sheet(PAIR, rows).figures if one.point in ("waist", "hip", "thigh")]) == 9


@pytest.mark.parametrize("head", ["Ref", "Ref.", "Style no"])
def test_codes_of_points_are_no_styles(head: str) -> None:
    codes = ["T01", "T02", "L01", "R01", "L02"]
    rows = [[head, "Measurement", "10"], *map(list, zip(codes, POINTS, AS_PRINTED, strict=True))]
    result = read_sheet(PAIR, rows)
    assert clean(result) == want(AT_TEN)
    assert len({one.garment for one in result.figures if not one.point.startswith(("label", "body"))}) == 1


def test_a_section_of_one_row_belongs_to_the_same_garment() -> None:
    labels = ["Thigh", "Knee", "Leg opening", "Front rise incl. waistband", "Inseam"]
    rows = [["Ref", "Description", "L", "XL"], ["Top block", "", "", ""], ["T01", "1/2 waist", "42", "46"]]
    rows += [["Lower", "", "", ""]]
    values = [("36", "39"), ("30", "32"), ("23", "25"), ("27", "28"), ("77", "77")]
    rows += [[f"L{k:02}", label, *value] for k, (label, value) in enumerate(zip(labels, values, strict=True))]
    result = read_sheet("# Tapered trousers, cm", rows)
    assert {one.convention for one in result.figures if one.point in ("waist", "thigh", "knee", "leg_opening")} == {
        "flat"
    }
