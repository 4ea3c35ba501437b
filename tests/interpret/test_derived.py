"""Figures worked out and marked as derived: a base size with a grade, differences to another length."""

from __future__ import annotations

import pytest
from small_sheets import read_sheet, show, want

from halfinch import knowledge
from halfinch.interpret.grade_rules import read_size_range

HEAD = ["Point of measure (in)", "Base", "Grade"]
ROWS = [HEAD, ["1/2 Waist", "15", "1/2"], ["Inseam", "30", "0"], ["Front rise", "9 1/2", "1/4"]]
GRADED = (
    "waist 4=28+~ 6=29+~ 8=30 10=31+~ 12=32+~ | inseam 4=30+~ 6=30+~ 8=30 10=30+~ 12=30+~ | "
    "front_rise 4=9+~ 6=9.25+~ 8=9.5 10=9.75+~ 12=10+~"
)

CASES = [
    pytest.param(["# Jeans", "Base size: 8", "Sizes: 4-12", ROWS], GRADED, id="base and range over the table"),
    pytest.param(
        [
            "# Jeans",
            [
                ["Point of measure (in)", "Grade", "4", "6", "8"],
                ["1/2 Waist", "1/2", "", "15", ""],
                ["Inseam", "0", "", "30", ""],
            ],
        ],
        "waist 4=29+~ 6=30 8=31+~ | inseam 4=30+~ 6=30 8=30+~",
        id="empty columns of the run",
    ),
    pytest.param(
        [
            "# Jeans",
            [
                ["Point of measure (in)", "Grade", "4", "6", "8"],
                ["1/2 Waist", "1/2", "14.5", "15", "15.5"],
                ["Inseam", "0", "30", "31", "32"],
            ],
        ],
        "waist 4=29 6=30 8=31 | inseam 4=30 6=31 8=32",
        id="printed figures are never replaced, even where the grade says 0",
    ),
    pytest.param(
        ["# Jeans", "Base size: 8", ROWS], "waist 8=30 | inseam 8=30 | front_rise 8=9.5", id="no range, no run"
    ),
    pytest.param(
        ["# Jeans", "Base size: 14", "Sizes: 4-12", ROWS],
        "waist 14=30 | inseam 14=30 | front_rise 14=9.5",
        id="a base that is not in the range",
    ),
    pytest.param(
        ["# Jeans", "Sizes: 4-12", [["Point of measure (in)", "Size 8 (base)", "Grade"], *ROWS[1:]]],
        GRADED,
        id="the base is named in brackets behind its size",
    ),
]


@pytest.mark.parametrize(("blocks", "expected"), CASES)
def test_grades(blocks: list[list[list[str]] | str], expected: str) -> None:
    assert show(read_sheet(*blocks).figures) == want(expected)


def test_a_derived_figure_names_its_base_and_place() -> None:
    result = read_sheet("# Jeans", "Base size: 8", "Sizes: 4-12", ROWS)
    (waist,) = [one for one in result.figures if one.point == "waist" and one.size == "4"]
    assert (waist.basis, waist.status, waist.raw, waist.place) == ("derived", "assumed", "15", "table=1;row=2;col=2")
    (finding,) = [
        one for one in result.findings if one.rule == "graded" and result.figures[one.figures[0]].point == "waist"
    ]
    assert "size 8" in finding.message


def stepped(*rows: list[str], head: str = "8 (base)") -> list[list[list[str]] | str]:
    return ["# Jeans", [["Point of measure (in)", "4", "6", head, "10", "12"], *rows]]


STEPS = [
    pytest.param(
        stepped(["1/2 Waist", "-1/2", "-1/2", "15", "+1/2", "+1/2"], ["Inseam", "0", "0", "30", "0", "0"]),
        "waist 4=28+~ 6=29+~ 8=30 10=31+~ 12=32+~ | inseam 4=30+~ 6=30+~ 8=30 10=30+~ 12=30+~",
        id="from size to size",
    ),
    pytest.param(
        stepped(["1/2 Waist", "-1", "-1/2", "15", "+1/2", "+1"], ["Inseam", "0", "0", "30", "0", "0"]),
        "waist 4=28+~ 6=29+~ 8=30 10=31+~ 12=32+~ | inseam 4=30+~ 6=30+~ 8=30 10=30+~ 12=30+~",
        id="from the base",
    ),
    pytest.param(
        stepped(["1/2 Waist", "-3/4", "-1/2", "15", "+1/2", "+3/4"], ["Inseam", "", "", "30", "", ""]),
        "waist 8=30 | inseam 8=30",
        id="neither, so the base alone is read",
    ),
    pytest.param(
        stepped(["1/2 Waist", "+1/2", "-1/2", "15", "+1/2", "-1/2"], ["Inseam", "", "", "30", "", ""], head="8"),
        "waist 8=30 | inseam 8=30",
        id="steps to and fro are none of a grade",
    ),
]


@pytest.mark.parametrize(("blocks", "expected"), STEPS)
def test_steps_under_the_sizes(blocks: list[list[list[str]] | str], expected: str) -> None:
    assert show(read_sheet(*blocks).figures) == want(expected)


RANGES = [
    pytest.param("4-16", "4 6 8 10 12 14 16", id="dress sizes by two"),
    pytest.param("24-32", "24 25 26 27 28 29 30 31 32", id="waist sizes by one"),
    pytest.param("34 to 44", "34 36 38 40 42 44", id="to"),
    pytest.param("34 bis 44", "34 36 38 40 42 44", id="German"),
    pytest.param("S, M, L", "S M L", id="letters"),
    pytest.param("XS S M L XL", "XS S M L XL", id="letters without commas"),
    pytest.param("16-4", "", id="upside down"),
    pytest.param("all", "", id="no sizes"),
    pytest.param("", "", id="nothing"),
]


@pytest.mark.parametrize(("text", "sizes"), RANGES)
def test_ranges_of_sizes(text: str, sizes: str) -> None:
    assert [label.size for label in read_size_range(text, knowledge.load())] == sizes.split()


DIFFERENCES = [
    pytest.param(
        [["Size", "Inseam regular (in)", "Inseam tall"], ["4", "30", "+5"], ["6", "30", "+5"]],
        "inseam 4/regular=30 4/tall=35+~ 6/regular=30 6/tall=35+~",
        id="columns",
    ),
    pytest.param(
        [["POM (in)", "4", "6"], ["Inseam (Regular)", "30", "30"], ["Inseam (Tall)", "+ 2 1/2", "+ 2 1/2"]],
        "inseam 4/regular=30 6/regular=30 4/tall=32.5+~ 6/tall=32.5+~",
        id="rows",
    ),
    pytest.param(
        [["POM (in)", "4", "6"], ["Inseam (Regular)", "30", "30"], ["Inseam (Petite)", "-2", "-2"]],
        "inseam 4/regular=30 6/regular=30 4/petite=28+~ 6/petite=28+~",
        id="less",
    ),
    pytest.param(
        [["POM (in)", "4", "6"], ["Front rise", "9", "9"], ["Inseam (Tall)", "+2", "+2"]],
        "front_rise 4=9 6=9",
        id="alone it is no figure",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), DIFFERENCES)
def test_differences(rows: list[list[str]], expected: str) -> None:
    assert show(read_sheet("# Jeans", rows).figures) == want(expected)
