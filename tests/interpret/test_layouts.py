"""Which way a table lies: points down, points across, one figure a row, sizes by lengths, cards."""

from __future__ import annotations

import pytest
from small_sheets import by_style, held_by, read_csv, read_html, read_sheet, show, table, want, xfail

ALMA = "front_rise 4=9 6=9.25 8=9.5 | inseam 4=30 6=30 8=30 | thigh 4=22 6=22.5 8=23"

WAYS = [
    pytest.param(
        """
        POM (in),4,6,8
        Front rise,9,9.25,9.5
        Inseam,30,30,30
        Thigh round,22,22.5,23
        """,
        id="points down",
    ),
    pytest.param(
        """
        Size,Front rise (in),Inseam (in),Thigh round (in)
        4,9,30,22
        6,9.25,30,22.5
        8,9.5,30,23
        """,
        id="points across",
    ),
    pytest.param(
        """
        size,pom,value,unit
        4,Front rise,9,in
        6,Front rise,9.25,in
        8,Front rise,9.5,in
        4,Inseam,30,in
        6,Inseam,30,in
        8,Inseam,30,in
        4,Thigh round,22,in
        6,Thigh round,22.5,in
        8,Thigh round,23,in
        """,
        id="one figure a row",
    ),
    pytest.param(
        """
        unit,value,size,pom
        in,30,8,Inseam
        in,9,4,Front rise
        in,22.5,6,Thigh round
        in,9.25,6,Front rise
        in,30,4,Inseam
        in,23,8,Thigh round
        in,9.5,8,Front rise
        in,22,4,Thigh round
        in,30,6,Inseam
        """,
        id="one figure a row, in any order",
    ),
    pytest.param(
        """
        Size;4;6;8
        Front rise;9 in;9 1/4 in;9 1/2 in
        Inseam;30 in;30 in;30 in
        Thigh round;22 in;22 1/2 in;23 in
        """,
        id="units in the cells",
    ),
    pytest.param(
        """
        No.,POM (in),4,6,8
        1,Front rise,9,9.25,9.5
        2,Inseam,30,30,30
        3,Thigh round,22,22.5,23
        """,
        id="rows numbered",
    ),
    pytest.param(
        """
        POM (in),8,6,4
        Front rise,9.5,9.25,9
        Inseam,30,30,30
        Thigh round,23,22.5,22
        """,
        id="largest size first",
    ),
    pytest.param(
        """
        size;pom 1;value 1 (in);pom 2;value 2 (in)
        4;Front rise;9;Inseam;30
        6;Front rise;9.25;Inseam;30
        8;Front rise;9.5;Inseam;30
        4;Thigh round;22;;
        6;Thigh round;22.5;;
        8;Thigh round;23;;
        """,
        id="several points a row",
    ),
    pytest.param(
        """
        colour,front_rise_4,front_rise_6,front_rise_8,inseam_4,inseam_6,inseam_8,thigh_round_4,thigh_round_6,thigh_round_8
        ink,9,9.25,9.5,30,30,30,22,22.5,23
        # inches
        """,
        id="a column for each point and size",
    ),
    pytest.param(
        """
        Style: Alma,,Unit: in,
        POM,4,6,8
        Front rise,9,9.25,9.5
        Inseam,30,30,30
        Thigh round,22,22.5,23
        """,
        id="facts over the sizes",
    ),
    pytest.param(
        """
        inches,rev C,,
        POM,4,6,8
        Front rise¹,9,9.25,9.5
        Inseam (2),30,30,30
        Thigh round,22,22.5,23
        """,
        id="a remark over the sizes, footnotes behind labels",
    ),
]


@pytest.mark.parametrize("text", WAYS)
def test_the_same_garment_lying_each_way(text: str) -> None:
    assert show(read_csv(text).figures) == want(ALMA)


MATRICES = [
    pytest.param(
        [["Inseam", "Petite", "Regular", "Tall"], ["4", "28 in", "30 in", "33 in"], ["6", "28 in", "30 in", "33 in"]],
        "inseam 4/petite=28 4/regular=30 4/tall=33 6/petite=28 6/regular=30 6/tall=33",
        id="sizes by length words",
    ),
    pytest.param(
        [["Inseam", "4", "6"], ["Petite", "28 in", "28 in"], ["Tall", "33 in", "33 in"]],
        "inseam 4/petite=28 4/tall=33 6/petite=28 6/tall=33",
        id="length words by sizes",
    ),
    pytest.param(
        [
            ["Inseam", "28", "30", "32"],
            ["27", '28"', '30"', '32"'],
            ["28", '28"', '30"', '32"'],
            ["29", '28"', '30"', '32"'],
        ],
        "inseam 27/28=28 27/30=30 27/32=32 28/28=28 28/30=30 28/32=32 29/28=28 29/30=30 29/32=32",
        id="waists by labelled inseams",
    ),
    pytest.param(
        [["Inseam (in)", "L28", "L30"], ["W27", "28", "30"], ["W28", "28", "30"], ["W29", "28", "30"]],
        "inseam 27/28=28 27/30=30 28/28=28 28/30=30 29/28=28 29/30=30",
        id="waists by labelled inseams, marked W and L",
        marks=xfail("nothing is read where W and L are printed before the numbers"),
    ),
    pytest.param(
        [["Inseam (in)", "Petite", "Tall"], ["4", "28", "33"], ["6", "28", "33"], ["8", "28", "33"]],
        "inseam 4/petite=28 4/tall=33 6/petite=28 6/tall=33 8/petite=28 8/tall=33",
        id="the unit in the corner is said",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), MATRICES)
def test_matrix_of_sizes_and_lengths(rows: list[list[str]], expected: str) -> None:
    assert show(read_sheet("# Jeans", rows).figures) == want(expected)


PAIRS = [
    pytest.param(
        [
            ["Size", "Waist round (in)", "Inseam (in)"],
            ["27x30", "28", "30"],
            ["27x32", "28", "32"],
            ["28x30", "29", "30"],
        ],
        "waist 27/30=28 27/32=28 28/30=29 | inseam 27/30=30 27/32=32 28/30=30",
        id="29x30 down",
    ),
    pytest.param(
        [
            ["POM (in)", "W27 L30", "W27 L32", "W28 L30"],
            ["Inseam", "30", "32", "30"],
            ["Waist round", "28", "28", "29"],
        ],
        "waist 27/30=28 27/32=28 28/30=29 | inseam 27/30=30 27/32=32 28/30=30",
        id="W27 L30 across",
    ),
    pytest.param(
        [["Waist size", "Length", "Inseam (in)"], ["W27", "L28", "28"], ["W27", "L30", "30"], ["W28", "L28", "28"]],
        "inseam 27/28=28 27/30=30 28/28=28",
        id="waist and length in columns of their own",
    ),
    pytest.param(
        [["Size", "Inseam (in)", "Front rise (in)"], ["4P", "27", "9"], ["4", "30", "9.5"], ["4T", "34", "10"]],
        "inseam 4/petite=27 4=30 4/tall=34 | front_rise 4/petite=9 4=9.5 4/tall=10",
        id="marks behind the size",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), PAIRS)
def test_sizes_with_lengths(rows: list[list[str]], expected: str) -> None:
    assert show(read_sheet("# Jeans", rows).figures) == want(expected)


CARDS = [
    pytest.param(
        [["Style", "Alma"], ["Size", "8"], ["Front rise", '9 1/2"'], ["Inseam", '30"'], ["Leg opening", '14" round']],
        {"Alma": "front_rise 8=9.5 | inseam 8=30 | leg_opening 8=14"},
        id="label and value",
    ),
    pytest.param(
        [["Inseam", "30 in"], ["Front rise", "10 in"], ["Waist", "15 in flat"]],
        {"Jeans": "inseam -=30 | front_rise -=10 | waist -=30"},
        id="no size said",
    ),
    pytest.param(
        [["Measure", "One size"], ["Inseam", "30 in"], ["Front rise", "12 in"]],
        {"Jeans": "inseam One size=30 | front_rise One size=12".replace("One size", "One_size")},
        id="one size for all",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), CARDS)
def test_cards(rows: list[list[str]], expected: dict[str, str]) -> None:
    found = by_style(read_sheet("# Jeans", rows))
    bare = {k: {p: {f.replace("One size", "One_size") for f in fs} for p, fs in v.items()} for k, v in found.items()}
    assert bare == {name: want(text) for name, text in expected.items()}


def test_a_definition_list_is_a_card() -> None:
    page = "<h1>Alma jeans</h1><dl><dt>Front rise</dt><dd>10 in</dd><dt>Inseam</dt><dd>31 in</dd></dl>"
    assert by_style(read_html(page)) == {"Alma jeans": want("front_rise -=10 | inseam -=31")}


def test_figures_of_a_span_over_all_sizes_are_told_once() -> None:
    page = (
        "<h1>Alma jeans</h1><table><tr><th>inches</th><th>4</th><th>6</th><th>8</th></tr>"
        "<tr><td>Inseam</td><td colspan=3>30</td></tr><tr><td>Front rise</td><td>9</td><td>9.25</td><td>9.5</td></tr>"
        "</table>"
    )
    assert show(read_html(page).figures) == want("inseam *=30 | front_rise 4=9 6=9.25 8=9.5")


def test_a_span_over_some_sizes_holds_for_each_of_them() -> None:
    page = (
        "<h1>Alma jeans</h1><table><tr><th>inches</th><th>4</th><th>6</th><th>8</th></tr>"
        "<tr><td>Inseam</td><td colspan=2>30</td><td>31</td></tr>"
        "<tr><td>Front rise</td><td>9</td><td>9.25</td><td>9.5</td></tr></table>"
    )
    assert show(read_html(page).figures) == want("inseam 4=30 6=30 8=31 | front_rise 4=9 6=9.25 8=9.5")


def test_places_are_those_of_the_printed_cells() -> None:
    result = read_csv("Size,Front rise (in),Inseam (in)\n4,9,30\n6,9.25,30\n")
    places = {(one.point, one.size): (one.place, one.raw) for one in result.figures}
    assert places == {
        ("front_rise", "4"): ("row=2;col=2", "9"),
        ("front_rise", "6"): ("row=3;col=2", "9.25"),
        ("inseam", "4"): ("row=2;col=3", "30"),
        ("inseam", "6"): ("row=3;col=3", "30"),
    }


HOLES = [
    pytest.param("POM (in),4,6,8\nInseam,30,,31\nFront rise,9,9.25,9.5\n", "4=30 8=31", id="in the middle"),
    pytest.param("POM (in),4,6,8\nInseam,,30,31\nFront rise,9,9.25,9.5\n", "6=30 8=31", id="at the first size"),
    pytest.param("POM (in),4,6,8\nInseam,30,31,\nFront rise,9,9.25,9.5\n", "4=30 6=31", id="at the last size"),
    pytest.param(
        "POM,Unit,4,6,8\nInseam,in,30,31,\nWaist round,in,28,29,\n", "4=30 6=31", id="last size without figures"
    ),
    pytest.param("POM (in),4,6,8\nInseam,30,-,31\nFront rise,9,9.25,9.5\n", "4=30 8=31", id="a dash for nothing"),
    pytest.param("POM (in),4,6,8\nInseam,30,n/a,31\nFront rise,9,9.25,9.5\n", "4=30 8=31", id="n/a for nothing"),
    pytest.param("Size,Inseam (in),Front rise (in)\n4,30,9\n6,,9.25\n8,31,9.5\n", "4=30 8=31", id="points across"),
]


@pytest.mark.parametrize(("text", "expected"), HOLES)
def test_a_hole_moves_no_figure_under_another_size(text: str, expected: str) -> None:
    assert show(read_csv(text).figures)["inseam"] == set(expected.split())


def test_a_row_one_cell_short_with_an_uneven_step_is_held_alone() -> None:
    rows = [
        ["POM (in)", "4", "6", "8", "10", "12"],
        ["Waist round", "27", "28", "29", "30", "31"],
        ["Front rise", "9", "9.25", "9.5", "9.75", "10"],
        ["Hip round", "36", "37", "39", "40"],
        ["Inseam", "30", "30", "30", "30", "30"],
    ]
    held = held_by(read_sheet("# Jeans", rows))
    assert held == {f"hip {size}": "row-short" for size in ("4", "6", "8", "10")}


NOT_OURS = [
    "Total rise",
    "High hip",
    "Cuff height",
    "Hem height",
    "Waistband height",
    "Fly length",
    "Front pocket opening",
    "Belt loop width",
    "Back yoke height",
]


@pytest.mark.parametrize("label", NOT_OURS)
def test_names_to_be_read_over_give_no_figure(label: str) -> None:
    rows = [["POM (in)", "4", "6", "8"], [label, "24", "24.5", "25"], ["Inseam", "30", "30", "30"]]
    assert show(read_sheet("# Jeans", rows).figures) == want("inseam 4=30 6=30 8=30")


OTHER_COLUMNS = [
    pytest.param(["4", "Previous 4", "6"], id="an old column"),
    pytest.param(["4", "4 (old)", "6"], id="old in brackets"),
    pytest.param(["4", "Price", "6"], id="a price"),
    pytest.param(["4", "Qty", "6"], id="a quantity"),
]


@pytest.mark.parametrize("heads", OTHER_COLUMNS)
def test_columns_that_are_no_size_give_no_clean_figure(heads: list[str]) -> None:
    rows = [["POM (in)", *heads], ["Inseam", "30", "29", "30"], ["Front rise", "9", "8.5", "9.25"]]
    clean = [one for one in read_sheet("# Jeans", rows).figures if one.status != "held"]
    assert {(one.size, one.raw) for one in clean} == {("4", "30"), ("6", "30"), ("4", "9"), ("6", "9.25")}


LOST = [
    pytest.param("Inseam", "27 cropped", id="a word behind the number"),
    pytest.param("Inseam", "40 max", id="an end"),
    pytest.param(
        "Inseam",
        "30 (was 29)",
        id="an old value in brackets",
        marks=xfail("a number that is doubted twice over is left out without a word"),
    ),
    pytest.param(
        "Inseam (hemmed)", "30", id="a word in the label", marks=xfail("a row of an unknown label is left out")
    ),
]


@pytest.mark.parametrize(("label", "printed"), LOST)
def test_what_is_not_understood_is_not_lost_in_silence(label: str, printed: str) -> None:
    result = read_sheet("# Jeans", [["POM (in)", "4", "6"], [label, printed, printed], ["Front rise", "10", "10"]])
    spoken = {one.point for one in result.figures} | {one.place for one in result.findings}
    assert spoken & {"inseam", "table=1;row=2;col=2"}


def test_limits_over_columns_are_no_garments() -> None:
    rows = [["POM (in)", "4 min", "4 max"], ["Waist round", "28", "29"], ["Inseam", "30", "31"]]
    result = read_sheet("# Jeans", rows)
    assert {one.garment.split("|")[1] for one in result.figures if one.status != "held"} <= {"Jeans"}


@xfail("the value of one row is taken for the length of another")
def test_a_card_whose_labels_name_the_size() -> None:
    rows = [["Inseam size 4", "30 in"], ["Inseam size 6", "31 in"], ["Front rise size 4", "9 in"]]
    assert show(read_sheet("# Jeans", rows).figures) == want("inseam 4=30 6=31 | front_rise 4=9")


def test_what_the_page_shows_and_what_it_holds_are_one_figure() -> None:
    data = '<script type="application/json">'
    data += '{"sizes":[{"size":"4","inseam":"30 in"},{"size":"6","inseam":"31 in"}]}</script>'
    page = "<h1>Alma jeans</h1>" + table(["Size", "4", "6"], ["Inseam (in)", "30", "31"]) + data
    assert show(read_html(page).figures) == want("inseam 4=30 6=31")
