"""A grid cut into bands: repeated heads, section rows, several tables in one grid, garments side by side."""

from __future__ import annotations

from dataclasses import replace

import pytest
from small_sheets import by_style, grid, read_html, read_sheet, show, want, xfail

from halfinch import knowledge
from halfinch.interpret import interpret
from halfinch.interpret.bands import DATA_ROW, HEAD, SECTION, classify_rows, cut_bands
from halfinch.interpret.facets import Reader
from halfinch.interpret.matrix import make_table
from halfinch.sheet import Sheet

HEADING = "# Jeans"

REPEATED = [
    pytest.param(
        [
            ["POM (in)", "26", "27", "28"],
            ["Waist round", "27", "28", "29"],
            ["Inseam", "30", "30", "30"],
            ["POM (in)", "29", "30", "31"],
            ["Waist round", "30", "31", "32"],
            ["Inseam", "30", "30", "30.5"],
        ],
        "waist 26=27 27=28 28=29 29=30 30=31 31=32 | inseam 26=30 27=30 28=30 29=30 30=30 31=30.5",
        id="second head further down with other sizes",
    ),
    pytest.param(
        [
            ["POM (in)", "4", "6"],
            ["Inseam", "30", "30"],
            ["POM (in)", "4", "6"],
            ["Front rise", "9", "9.25"],
        ],
        "inseam 4=30 6=30 | front_rise 4=9 6=9.25",
        id="the same head again with other points",
    ),
    pytest.param(
        [
            ["Size", "Inseam (in)", "Front rise (in)"],
            ["4", "30", "9"],
            ["Size", "Inseam (in)", "Front rise (in)"],
            ["6", "30", "9.25"],
        ],
        "inseam 4=30 6=30 | front_rise 4=9 6=9.25",
        id="points across, head repeated",
    ),
    pytest.param(
        [
            ["Petite", "", ""],
            ["Size (in)", "4", "6"],
            ["Inseam", "27", "27"],
            ["Regular", "", ""],
            ["Size (in)", "8", "10"],
            ["Inseam", "30", "30"],
        ],
        "inseam 4/petite=27 6/petite=27 8/regular=30 10/regular=30",
        id="a length over each head",
    ),
    pytest.param(
        [
            ["Size (in)", "4", "6"],
            ["PETITE", "", ""],
            ["Inseam", "27", "27"],
            ["Front rise", "9", "9.25"],
            ["TALL", "", ""],
            ["Inseam", "34", "34"],
            ["Front rise", "10", "10.25"],
        ],
        "inseam 4/petite=27 6/petite=27 4/tall=34 6/tall=34 | "
        "front_rise 4/petite=9 6/petite=9.25 4/tall=10 6/tall=10.25",
        id="one head, a section row for each length",
    ),
    pytest.param(
        [
            ["Size", "4", "6"],
            ["Inches", "", ""],
            ["Inseam", "30", "30.5"],
            ["Centimetres", "", ""],
            ["Front rise", "24", "24.6"],
        ],
        "inseam 4=30 6=30.5 | front_rise 4=24cm 6=24.6cm",
        id="a section row for each unit",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), REPEATED)
def test_bands_of_one_garment(rows: list[list[str]], expected: str) -> None:
    assert show(read_sheet(HEADING, rows).figures) == want(expected)


SIDE_BY_SIDE = [
    pytest.param(
        [
            ["Size", "Inseam (in)", "Front rise (in)", "Size", "Inseam (in)", "Front rise (in)"],
            ["2", "30", "9", "8", "30.5", "9.75"],
            ["4", "30", "9.25", "10", "30.5", "10"],
            ["6", "30", "9.5", "12", "30.5", "10.25"],
        ],
        {"Jeans": "inseam 2=30 4=30 6=30 8=30.5 10=30.5 12=30.5 | front_rise 2=9 4=9.25 6=9.5 8=9.75 10=10 12=10.25"},
        id="sizes go on in a second half",
    ),
    pytest.param(
        [
            ["POM (in)", "4", "6", "POM (in)", "8", "10"],
            ["Inseam", "30", "30", "Inseam", "30.5", "30.5"],
            ["Front rise", "9", "9.25", "Front rise", "9.5", "9.75"],
        ],
        {"Jeans": "inseam 4=30 6=30 8=30.5 10=30.5 | front_rise 4=9 6=9.25 8=9.5 10=9.75"},
        id="labels repeated in a second half",
    ),
    pytest.param(
        [
            ["Alma", "4", "6", "Berta", "4", "6"],
            ["Front rise (in)", "9", "9.25", "Front rise (in)", "11", "11.25"],
            ["Inseam (in)", "30", "30", "Inseam (in)", "32", "32"],
        ],
        {
            "Alma": "front_rise 4=9 6=9.25 | inseam 4=30 6=30",
            "Berta": "front_rise 4=11 6=11.25 | inseam 4=32 6=32",
        },
        id="two garments, each named in its corner",
        marks=xfail("the names in the corners are lost and the two garments are held as contradictions"),
    ),
    pytest.param(
        [
            ["Style", "Alma", "Alma", "Berta", "Berta"],
            ["Size", "4", "6", "4", "6"],
            ["Front rise (in)", "9", "9.25", "11", "11.25"],
            ["Inseam (in)", "30", "30", "28", "28"],
        ],
        {
            "Alma": "front_rise 4=9 6=9.25 | inseam 4=30 6=30",
            "Berta": "front_rise 4=11 6=11.25 | inseam 4=28 6=28",
        },
        id="a row of styles over the row of sizes",
    ),
    pytest.param(
        [
            ["", "Petite", "Petite", "Regular", "Regular"],
            ["POM (in)", "4", "6", "4", "6"],
            ["Inseam", "28", "28", "30", "30"],
            ["Front rise", "9", "9.25", "9.5", "9.75"],
        ],
        {
            "Jeans": "inseam 4/petite=28 6/petite=28 4/regular=30 6/regular=30 | "
            "front_rise 4/petite=9 6/petite=9.25 4/regular=9.5 6/regular=9.75"
        },
        id="lengths as groups of columns",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), SIDE_BY_SIDE)
def test_halves_side_by_side(rows: list[list[str]], expected: dict[str, str]) -> None:
    assert by_style(read_sheet(HEADING, rows)) == {name: want(text) for name, text in expected.items()}


def test_names_over_groups_with_the_same_sizes_are_garments() -> None:
    head = "<tr><th rowspan=2></th><th colspan=2>Alma</th><th colspan=2>Clara</th></tr>"
    rows = "<tr><td>Inseam</td><td>30</td><td>30</td><td>28</td><td>28</td></tr>"
    rows += "<tr><td>Front rise</td><td>9</td><td>9.25</td><td>11</td><td>11.25</td></tr>"
    page = f"<h1>Jeans, inches</h1><table>{head}<tr><th>4</th><th>6</th><th>4</th><th>6</th></tr>{rows}</table>"
    assert by_style(read_html(page)) == {
        "Alma": want("inseam 4=30 6=30 | front_rise 4=9 6=9.25"),
        "Clara": want("inseam 4=28 6=28 | front_rise 4=11 6=11.25"),
    }


def test_a_grid_that_goes_on_without_its_head_keeps_the_sizes() -> None:
    first = grid([["POM (in)", "4", "6"], ["Inseam", "30", "30"]], 1, at=1)
    second = replace(grid([["Front rise", "9", "9.25"], ["Thigh round", "22", "22.5"]], 2, at=2), continues=True)
    result = interpret(Sheet("a.pdf", "pdf", "by hand", (first, second)), knowledge.load())
    assert show(result.figures) == want("inseam 4=30 6=30 | front_rise 4=9 6=9.25 | thigh 4=22 6=22.5")
    assert {figure.place for figure in result.figures if figure.point == "thigh"} == {
        "table=2;row=2;col=2",
        "table=2;row=2;col=3",
    }


def test_a_grid_that_does_not_go_on_takes_no_sizes_from_the_one_before() -> None:
    first = grid([["POM (in)", "4", "6"], ["Inseam", "30", "30"]], 1, at=1)
    second = grid([["Front rise", "9", "9.25"], ["Thigh round", "22", "22.5"]], 2, at=2)
    result = interpret(Sheet("a.pdf", "pdf", "by hand", (first, second)), knowledge.load())
    assert not [one for one in result.figures if one.point == "front_rise" and one.size and one.status != "held"]


ROWS = [
    pytest.param(["POM (in)", "4", "6", "8"], HEAD, id="word for points and a run"),
    pytest.param(["Size", "Waist", "Hip", "Inseam"], HEAD, id="several points"),
    pytest.param(["", "XS", "S", "M"], HEAD, id="letters alone"),
    pytest.param(["Inseam", "30", "30", "30"], DATA_ROW, id="a point with figures"),
    pytest.param(["4", "28", "36", "30"], DATA_ROW, id="a size with figures"),
    pytest.param(["PETITE", "", "", ""], SECTION, id="one text alone"),
    pytest.param(["Style: Alma", "", "Unit: cm", ""], SECTION, id="facts in pairs"),
    pytest.param(["inches", "", "rev. C", ""], SECTION, id="unit and state"),
    pytest.param(["", "in", "cm", "in"], DATA_ROW, id="units over columns are no remark"),
]


@pytest.mark.parametrize(("row", "kind"), ROWS)
def test_kind_of_a_row(row: list[str], kind: str) -> None:
    """Told in company of a row of figures, so that no column is empty."""
    table, _ = make_table(grid([row, ["Front rise", "9", "9.25", "9.5"]]))
    assert classify_rows(table, Reader(knowledge.load()))[0] == kind


def test_a_band_takes_the_head_above_it() -> None:
    rows = [["POM", "4", "6"], ["Inseam", "30", "30"], ["TALL", "", ""], ["Inseam", "34", "34"]]
    table, _ = make_table(grid(rows))
    bands = cut_bands(table, Reader(knowledge.load()))
    assert [[cell.text for cell in band.sections] for band in bands] == [[], ["TALL"]]
    assert [[row[0].text for row in band.table.rows if row[0]] for band in bands] == [["POM", "Inseam"]] * 2
