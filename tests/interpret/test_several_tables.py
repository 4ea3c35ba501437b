"""Rows and tables that are alike and yet of two lengths or two garments."""

from __future__ import annotations

import pytest
from small_sheets import read_sheet, show, want

LEGS = [
    pytest.param(['Inseam 28"', 'Inseam 30"'], "inseam 25/28=28 26/28=28 25/30=30 26/30=30", id="inches"),
    pytest.param(["Inseam - 28", "Inseam - 30"], "inseam 25/28=28 26/28=28 25/30=30 26/30=30", id="behind a dash"),
]


@pytest.mark.parametrize(("labels", "expected"), LEGS)
def test_several_rows_of_one_leg_are_lengths(labels: list[str], expected: str) -> None:
    rows = [
        ["POM", "25", "26"],
        ["Front rise incl. waistband", "10", "10.25"],
        [labels[0], "28", "28"],
        [labels[1], "30", "30"],
    ]
    figures = [one for one in read_sheet("# Ballard jeans, inches", rows).figures if one.point == "inseam"]
    assert show(figures) == want(expected)


def two_tables(*names: str, other: tuple[str, ...] = ("37", "49", "30", "28", "79")) -> dict[str, set[str]]:
    labels = ["1/2 Waist", "1/2 Hip", "1/2 Thigh", "Front rise incl. waistband", "Inseam"]
    first = ("36", "48", "30", "28", "79")
    tables = [
        [["POM (cm)", "S", "M"], *([a, b, f"{int(b) + 1}"] for a, b in zip(labels, one, strict=True))]
        for one in (first, other)
    ]
    result = read_sheet(f"# {names[0]}", tables[0], f"# {names[1]}", tables[1])
    told: dict[str, set[str]] = {}
    for one in result.figures:
        if one.point == "hip":
            told.setdefault(one.status, set()).add(next(g.style for g in result.garments if g.key == one.garment))
    return told


def test_two_tables_whose_names_differ_behind_a_dash_are_two_garments() -> None:
    told = two_tables("Model Holunder – Rigid-Denim", "Model Holunder – Stretch-Denim")
    assert told == {"accepted": {"Holunder – Rigid-Denim", "Holunder – Stretch-Denim"}}


def test_one_row_that_differs_under_two_names_may_be_a_slip() -> None:
    told = two_tables("Model Holunder – page 1", "Model Holunder – page 2", other=("36", "49", "30", "28", "79"))
    assert set(told) == {"held"}
