"""Rows and tables that are alike and yet of two lengths or two garments."""

from __future__ import annotations

import pytest
from small_sheets import grid, read_sheet, show, want

from halfinch import knowledge
from halfinch.interpret import interpret
from halfinch.sheet import Sheet

ROWS = ["Waist", "Hip", "Thigh", "Knee", "Leg opening", "Front rise incl. waistband", "Inseam"]
FLAT_CM = ["36", "48", "29", "22", "20", "27", "79"]
ROUND_IN = ["29", "39", "23.5", "17", "16", "10.5", "30"]
GIRTHS = list(zip(ROWS, ROUND_IN, strict=True))


@pytest.mark.parametrize("said", [("cm", "inches"), ("cm, half", "inches, full"), ("cm (half)", "inches (full)")])
def test_two_styles_of_one_sheet_may_be_measured_in_two_ways(said: tuple[str, str]) -> None:
    tables = [[["", "S"], *map(list, zip(ROWS, one, strict=True))] for one in (FLAT_CM, ROUND_IN)]
    result = read_sheet(
        "# Alder wide trousers",
        f"Unit: {said[0]}",
        tables[0],
        "# Birch straight trousers",
        f"Unit: {said[1]}",
        tables[1],
    )
    waists = [(one.convention, one.status) for one in result.figures if one.point == "waist"]
    assert [how for how, _ in waists] == ["flat", "round"]
    assert {status for _, status in waists} <= {"accepted", "assumed"}


def test_a_spec_and_its_grades_are_of_one_style() -> None:
    base = [["POM (in)", "28"], *map(list, zip(ROWS, ROUND_IN, strict=True))]
    graded = [["POM (in)", "28", "29"], *([a, b, str(float(b) + 0.5)] for a, b in zip(ROWS, ROUND_IN, strict=True))]
    result = read_sheet("# Thornley jean: base spec size 28", base, "# Thornley jean: graded spec", graded)
    assert {one.style for one in result.garments} == {"Thornley jean"}


def test_an_area_named_length_is_no_length() -> None:
    rows = [["Talla", "CINTURA", "TIRO", "LARGO"], ["", "", "delantero (con pretina)", "entrepierna"]]
    rows += [["34", "72", "27", "79"], ["36", "76", "27.5", "79"]]
    result = read_sheet("# Pantalón Retama, cm", rows)
    assert {one.length for one in result.figures if one.point == "inseam"} <= {""}


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


@pytest.mark.parametrize(("captions", "lengths"), [(["T"], {""}), (["PO"], {""}), (["P", "T"], {"petite", "tall"})])
def test_a_worksheet_of_one_letter_is_a_length_only_beside_another(captions: list[str], lengths: set[str]) -> None:
    rows = [["POM (in)", "28"], *map(list, zip(ROWS, ROUND_IN, strict=True))]
    grids = tuple(grid(rows, order, caption=caption) for order, caption in enumerate(captions, 1))
    told = interpret(
        Sheet("x.xlsx", "workbook", "by hand", grids, (), pages=1, meta={"title": "Jeans"}), knowledge.load()
    )
    assert {one.length for one in told.figures if one.point == "inseam"} == lengths


def test_a_worksheet_named_po_says_no_unit() -> None:
    rows = [["POM (cm)", "S"], *map(list, zip(ROWS, FLAT_CM, strict=True))]
    book = Sheet("x.xlsx", "workbook", "by hand", (grid(rows, 1, caption="PO"),), (), pages=1, meta={"title": "Jeans"})
    assert {one.unit for one in interpret(book, knowledge.load()).figures if one.point == "inseam"} == {"cm"}


BESIDE = [
    pytest.param([["Ottery jeans", "Size"], ["Pinfold jeans", "Size"]], id="beside the head of its rows"),
    pytest.param([["Style", "Measurement"], ["Ottery jeans"], ["Pinfold jeans"]], id="once, under a head"),
    pytest.param([["", "Measurement"], ["Ottery jeans"], ["Pinfold jeans"]], id="once, under no head"),
]


@pytest.mark.parametrize("names", BESIDE)
def test_a_name_beside_several_rows_is_theirs(names: list[list[str]]) -> None:
    sizes = ["26", "27", "28"]
    rows = [] if len(names) == 2 else [[*names[0], *sizes]]
    for step, name in enumerate(names[-2:]):
        own = [[label, *(str(float(value) + step + 0.5 * k) for k in range(3))] for label, value in GIRTHS]
        block = [[*name, *sizes], *(["", *one] for one in own)] if len(name) == 2 else [["", *one] for one in own]
        block[0][0] = name[0]
        rows += block
    result = read_sheet("All in inches", rows)
    waists = {(one.garment, one.size, one.raw, one.status == "held") for one in result.figures if one.point == "waist"}
    style = {one.key: one.style for one in result.garments}
    told = {(style[garment], size, float(raw), held) for garment, size, raw, held in waists}
    want_first = {("Ottery jeans", size, 29 + 0.5 * k, False) for k, size in enumerate(sizes)}
    want_second = {("Pinfold jeans", size, 30 + 0.5 * k, False) for k, size in enumerate(sizes)}
    assert told == want_first | want_second
