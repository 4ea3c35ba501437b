"""Lines of a table that are neither points nor sizes: attributes, systems, tolerances, grades, notes, codes."""

from __future__ import annotations

import pytest
from small_sheets import by_style, read_sheet, show, show_length, want, xfail

from halfinch.figure import SheetResult

HEADING = "# Jeans"

SIZE_ROWS = [
    pytest.param(
        [["US", "4", "6", "8"], ["EU", "36", "38", "40"], ["Inseam (in)", "30", "30", "30"]],
        "inseam 4=30 6=30 8=30",
        id="two systems, the first counts",
    ),
    pytest.param(
        [["Size", "XS", "S", "M"], ["Inseam (in)", "30", "30", "30"]],
        "inseam XS=30 S=30 M=30",
        id="letters",
    ),
    pytest.param(
        [["Size", "26", "27", "28"], ["Inseam (in)", "30", "30", "30"]],
        "inseam 26=30 27=30 28=30",
        id="waist sizes",
    ),
    pytest.param(
        [["Size", "00", "0", "1", "3"], ["Inseam (in)", "30", "30", "30", "30"]],
        "inseam 00=30 0=30 1=30 3=30",
        id="00 0 1 3",
    ),
    pytest.param(
        [["Size", "14W", "16W", "18W"], ["Inseam (in)", "30", "30", "30"]],
        "inseam 14W=30 16W=30 18W=30",
        id="plus sizes",
    ),
    pytest.param(
        [["Foo", "34", "36", "38"], ["Inseam (in)", "30", "30", "30"], ["Front rise (in)", "9", "9.25", "9.5"]],
        "inseam 34=30 36=30 38=30 | front_rise 34=9 36=9.25 38=9.5",
        id="an unknown word over a run",
    ),
    pytest.param(
        [["Inseam (in)", "30", "30", "30"], ["Size", "4", "6", "8"], ["Front rise (in)", "9", "9.25", "9.5"]],
        "inseam 4=30 6=30 8=30 | front_rise 4=9 6=9.25 8=9.5",
        id="sizes in the middle of a small table",
        marks=xfail("a size row below the first point opens a new band and the points above lose their sizes"),
    ),
]


@pytest.mark.parametrize(("rows", "expected"), SIZE_ROWS)
def test_rows_of_sizes(rows: list[list[str]], expected: str) -> None:
    assert show(read_sheet(HEADING, rows).figures) == want(expected)


def test_a_second_system_is_kept_beside_the_size() -> None:
    result = read_sheet(HEADING, [["Size", "US 4 / EU 36", "US 6 / EU 38"], ["Inseam (in)", "30", "30"]])
    inseams = [one for one in result.figures if one.point == "inseam"]
    assert [(one.size, one.size_system, one.size_also) for one in inseams] == [
        ("4", "US", "EU 36"),
        ("6", "US", "EU 38"),
    ]


def tolerances(result: SheetResult) -> dict[str, set[str]]:
    """Point to (minus, plus) of the full girth, in short form."""
    found: dict[str, set[str]] = {}
    for one in result.figures:
        minus, plus = one.tolerance_minus_nm, one.tolerance_plus_nm
        text = "none" if minus is None or plus is None else f"-{show_length(minus)} +{show_length(plus)}"
        found.setdefault(one.point, set()).add(text)
    return found


TOLERANCES = [
    pytest.param(
        [["POM (in)", "Tol", "4", "6"], ["Waist round", "1/2", "28", "29"], ["Inseam", "1/4", "30", "30"]],
        {"waist": {"-0.5 +0.5"}, "inseam": {"-0.25 +0.25"}},
        id="a column before the sizes",
    ),
    pytest.param(
        [["POM (in)", "4", "6", "Tolerance (+/-)"], ["1/2 waist", "14", "14.5", "1/4"], ["Inseam", "30", "30", "1/4"]],
        {"waist": {"-0.5 +0.5"}, "inseam": {"-0.25 +0.25"}},
        id="doubled where the figure is flat",
    ),
    pytest.param(
        [
            ["POM (in)", "TOL -", "TOL +", "4", "6"],
            ["Waist round", "1/4", "1/2", "28", "29"],
            ["Inseam", "1/8", "3/8", "30", "30"],
        ],
        {"waist": {"-0.25 +0.5"}, "inseam": {"-0.125 +0.375"}},
        id="minus and plus",
    ),
    pytest.param(
        [["POM (cm)", "4", "6", "±"], ["Waist round", "72", "74", "± 1"], ["Inseam", "76", "76", "± 0.5"]],
        {"waist": {"-1cm +1cm"}, "inseam": {"-0.5cm +0.5cm"}},
        id="in centimetres",
    ),
    pytest.param(
        [["POM (in)", "4", "6"], ["Waist round", "28 ± 1/2", "29 ± 1/2"], ["Inseam", "30", "30"]],
        {"waist": {"-0.5 +0.5"}, "inseam": {"none"}},
        id="in the cell",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), TOLERANCES)
def test_tolerances(rows: list[list[str]], expected: dict[str, set[str]]) -> None:
    result = read_sheet(HEADING, rows)
    assert tolerances(result) == expected
    assert {one.status for one in result.figures} == {"accepted"}


def test_a_tolerance_and_a_grade_are_no_sizes() -> None:
    rows = [
        ["Code", "Point of measure (in)", "Tol", "Grade", "4", "6", "8"],
        ["A", "Waist round", "1/2", "1", "28", "29", "30"],
        ["B", "Inseam", "1/4", "0", "30", "30", "30"],
        ["C", "Front rise", "1/4", "1/4", "9", "9 1/4", "9 1/2"],
    ]
    assert show(read_sheet(HEADING, rows).figures) == want(
        "waist 4=28 6=29 8=30 | inseam 4=30 6=30 8=30 | front_rise 4=9 6=9.25 8=9.5"
    )


def test_tolerance_columns_at_the_end_without_words() -> None:
    rows = [["POM (in)", "4", "6", ""], ["Waist round", "28", "29", "+/- 1/2"], ["Inseam", "30", "30", "+/- 1/4"]]
    result = read_sheet(HEADING, rows)
    assert show(result.figures) == want("waist 4=28 6=29 | inseam 4=30 6=30")
    assert tolerances(result) == {"waist": {"-0.5 +0.5"}, "inseam": {"-0.25 +0.25"}}


ATTRIBUTES = [
    pytest.param(
        [["Style", "Size", "Inseam (in)"], ["Alma", "4", "30"], ["Alma", "6", "30"], ["Berta", "4", "32"]],
        {"Alma": "inseam 4=30 6=30", "Berta": "inseam 4=32"},
        id="a column of styles",
    ),
    pytest.param(
        [["Style no.", "Size", "Inseam (in)"], ["HW-1", "4", "30"], ["HW-1", "6", "30"], ["HW-2", "4", "32"]],
        {"HW-1": "inseam 4=30 6=30", "HW-2": "inseam 4=32"},
        id="a column of codes",
    ),
    pytest.param(
        [["Style", "Size", "Inseam (in)"], ["Alma", "4", "30"], ["", "6", "30"], ["Berta", "4", "32"], ["", "6", "32"]],
        {"Alma": "inseam 4=30 6=30", "Berta": "inseam 4=32 6=32"},
        id="a style printed once for its rows",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), ATTRIBUTES)
def test_columns_that_name_the_garment(rows: list[list[str]], expected: dict[str, str]) -> None:
    assert by_style(read_sheet(*[rows])) == {name: want(text) for name, text in expected.items()}


def test_columns_that_describe_the_garment() -> None:
    rows = [
        ["Style", "Colour", "Fabric", "Price", "Size", "Inseam (in)"],
        ["Alma", "indigo", "98% cotton", "€ 89,90", "4", "30"],
        ["Alma", "indigo", "98% cotton", "€ 89,90", "6", "31"],
    ]
    result = read_sheet(*[rows])
    (garment,) = result.garments
    assert (garment.style, garment.colour, garment.fabric) == ("Alma", "indigo", "98% cotton")
    assert show(result.figures) == want("inseam 4=30 6=31")
