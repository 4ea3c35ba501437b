"""Flat or round, point by point: said in the label, the cell, the heading; unsaid and told by the neighbours; open."""

from __future__ import annotations

import pytest
from small_sheets import held_by, read_sheet, rules, show, want

SAID = [
    pytest.param("Waist flat", "14", "flat", id="flat"),
    pytest.param("1/2 Waist", "14", "flat", id="half by a fraction"),
    pytest.param("½ Waist", "14", "flat", id="half by a glyph"),
    pytest.param("Half waist", "14", "flat", id="half by a word"),
    pytest.param("Waist across", "14", "flat", id="across"),
    pytest.param("Waist (laid flat)", "14", "flat", id="laid flat in brackets"),
    pytest.param("Waist circumference", "28", "round", id="circumference"),
    pytest.param("Waist all round", "28", "round", id="all round"),
    pytest.param("Full waist", "28", "round", id="full"),
    pytest.param("Waist total", "28", "round", id="total"),
    pytest.param("Waist around", "28", "round", id="around"),
    pytest.param("halbe Bundweite", "14", "flat", id="German half"),
    pytest.param("Bundumfang", "28", "round", id="German girth"),
    pytest.param("Largeur taille", "14", "flat", id="French flat"),
    pytest.param("Tour de taille", "28", "round", id="French round"),
    pytest.param("Contorno cintura", "28", "round", id="Spanish round"),
    pytest.param("Mezza vita", "14", "flat", id="Italian half"),
    pytest.param("腰围", "28", "round", id="Chinese girth"),
    pytest.param("ウエスト幅", "14", "flat", id="Japanese width"),
]


@pytest.mark.parametrize(("label", "printed", "convention"), SAID)
def test_said_in_the_label(label: str, printed: str, convention: str) -> None:
    result = read_sheet("# Jeans", [["POM (in)", "4", "6"], [label, printed, printed], ["Inseam", "30", "30"]])
    waists = [one for one in result.figures if one.point == "waist"]
    assert {one.convention for one in waists} == {convention}
    assert {one.length_nm for one in waists} == {28 * 25_400_000}
    assert {one.status for one in waists} == {"accepted"}


TABLES = [
    pytest.param(
        [
            ["Waist", "28", "29"],
            ["Hip", "37", "38"],
            ["Thigh", "11", "11.25"],
            ["Knee", "8", "8.25"],
            ["Hem", "7", "7"],
        ],
        "waist 4=28~ 6=29~ | hip 4=37~ 6=38~ | thigh 4=22~ 6=22.5~ | knee 4=16~ 6=16.5~ | leg_opening 4=14~ 6=14~",
        id="round tops over flat legs, the commonest",
    ),
    pytest.param(
        [["Waist", "14", "14.5"], ["Hip", "18.5", "19"], ["Thigh", "11", "11.25"], ["Hem", "7", "7"]],
        "waist 4=28~ 6=29~ | hip 4=37~ 6=38~ | thigh 4=22~ 6=22.5~ | leg_opening 4=14~ 6=14~",
        id="all flat",
    ),
    pytest.param(
        [["Waist", "28", "29"], ["Hip", "37", "38"], ["Thigh", "22", "22.5"], ["Hem", "14", "14"]],
        "waist 4=28~ 6=29~ | hip 4=37~ 6=38~ | thigh 4=22~ 6=22.5~ | leg_opening 4=14~ 6=14~",
        id="all round",
    ),
    pytest.param(
        [["Waist flat", "14", "14.5"], ["Hip", "18.5", "19"], ["Thigh", "11", "11.25"], ["Hem", "7", "7"]],
        "waist 4=28 6=29 | hip 4=37~ 6=38~ | thigh 4=22~ 6=22.5~ | leg_opening 4=14~ 6=14~",
        id="flat said for the first row only",
    ),
    pytest.param(
        [["Thigh", "12", "12.25"], ["Knee", "10", "10.25"], ["Hem", "11", "11"]],
        "thigh 4=24~ 6=24.5~ | knee 4=20~ 6=20.5~ | leg_opening 4=22~ 6=22~",
        id="a wide leg, flat",
    ),
    pytest.param(
        [["Waist round", "28", "29"], ["Leg opening", "5.5", "5.5"]],
        "waist 4=28 6=29 | leg_opening 4=11~ 6=11~",
        id="an opening under 9 must be flat",
    ),
    pytest.param(
        [["Waist", "28", "29"], ["Hip", "37", "38"], ["Opening", "7", "7.25"]],
        "waist 4=28~ 6=29~ | hip 4=37~ 6=38~ | leg_opening 4=14~ 6=14.5~",
        id="opening alone beside waist and hip",
    ),
    pytest.param(
        [["Hip", "48", "49"], ["Knee", "9.75", "10"]],
        "hip 4=48~ 6=49~ | knee 4=19.5~ 6=20~",
        id="no knee is a fifth of the hip above it",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), TABLES)
def test_unsaid_is_told_by_the_neighbours_and_marked(rows: list[list[str]], expected: str) -> None:
    result = read_sheet("# Jeans", [["POM (in)", "4", "6"], *rows, ["Inseam", "30", "30"]])
    assert show(result.figures) == want(expected + " | inseam 4=30 6=30")
    assert "flat-or-round-unsaid" in rules(result)


HEADINGS = [
    pytest.param("Measured laid flat", "14", "7", id="laid flat"),
    pytest.param("All garments are measured flat, not doubled", "14", "7", id="flat, not doubled"),
    pytest.param("All girths are full circumferences", "28", "14", id="full circumferences"),
]


@pytest.mark.parametrize(("heading", "waist", "hem"), HEADINGS)
def test_said_once_for_the_table(heading: str, waist: str, hem: str) -> None:
    rows = [["POM (in)", "4", "6"], ["Waist", waist, waist], ["Hem", hem, hem], ["Inseam", "30", "30"]]
    result = read_sheet("# Jeans", heading, rows)
    assert show(result.figures) == want("waist 4=28 6=28 | leg_opening 4=14 6=14 | inseam 4=30 6=30")


def test_how_to_measure_is_no_word_on_these_figures() -> None:
    rows = [["POM (in)", "14", "16"], ["Leg opening", "9.25", "9.5"], ["Front rise", "11", "11.5"]]
    result = read_sheet("# Jeans", rows, "How to measure: lay your trousers flat on a table.")
    assert set(held_by(result)) == {"leg_opening 14", "leg_opening 16"}


def test_a_heading_that_the_figures_make_nonsense_of_is_not_believed() -> None:
    rows = [
        ["POM (in)", "4", "6"],
        ["Waist", "28", "29"],
        ["Hip", "38", "39"],
        ["Hem", "7", "7"],
        ["Inseam", "30", "30"],
    ]
    result = read_sheet("# Jeans", "Measured laid flat", rows)
    clean = [one for one in result.figures if one.point in ("waist", "hip") and one.status != "held"]
    assert all(one.length_nm < 40 * 25_400_000 for one in clean)


OPEN = [
    pytest.param([["Leg opening", "10", "10"]], "leg_opening", id="opening of 10 alone"),
    pytest.param([["Leg opening", "11", "11"]], "leg_opening", id="opening of 11 alone"),
    pytest.param([["Knee", "14", "14.25"]], "knee", id="knee of 14 alone"),
    pytest.param([["Leg opening", "26 cm", "26 cm"]], "leg_opening", id="opening of 26 cm alone"),
]


def test_a_slim_leg_round_and_a_wide_one_flat_have_the_same_figures() -> None:
    rows = [["Waist", "34", "35"], ["Knee", "15.75", "16"], ["Leg opening", "11", "11.25"]]
    result = read_sheet("# Jeans", [["POM (in)", "14", "16"], *rows, ["Inseam", "30", "30"]])
    assert set(held_by(result)) == {"knee 14", "knee 16", "leg_opening 14", "leg_opening 16"}


@pytest.mark.parametrize(("rows", "point"), OPEN)
def test_open_is_held_and_the_length_beside_it_is_not(rows: list[list[str]], point: str) -> None:
    result = read_sheet("# Jeans", [["POM (in)", "4", "6"], *rows, ["Inseam", "30", "30"]])
    assert held_by(result) == {f"{point} 4": "flat-or-round", f"{point} 6": "flat-or-round"}
    assert all(one.rivals for one in result.figures if one.point == point)


SILHOUETTES = [
    pytest.param("Alma skinny jeans", "10.5", "10.5", id="skinny: round"),
    pytest.param("Alma flare jeans", "10.5", "21", id="flare: flat"),
    pytest.param("Alma palazzo pants", "14", "28", id="palazzo: flat"),
]


def test_the_silhouette_decides_a_knee() -> None:
    rows = [["POM (in)", "4", "6"], ["Hip", "46", "47"], ["Thigh", "14", "14.25"], ["Knee", "15.5", "15.75"]]
    result = read_sheet("# Alma barrel leg", [*rows, ["Inseam", "30", "30"]])
    assert show(result.figures)["knee"] == {"4=31~", "6=31.5~"}


def test_tables_laid_out_alike_are_measured_alike() -> None:
    """Berta's knee alone would rather be a slim one all the way round."""
    head = ["POM (mm)", "4", "6"]
    alma = [head, ["Hip", "1164", "1187"], ["Thigh", "342", "349"], ["Knee", "306", "312"], ["Inseam", "760", "760"]]
    berta = [head, ["Hip", "1216", "1241"], ["Thigh", "376", "384"], ["Knee", "398", "407"], ["Inseam", "760", "760"]]
    result = read_sheet("# Alma jeans", alma, "# Berta jeans", berta)
    assert {one.convention for one in result.figures if one.point == "knee" and one.status != "held"} == {"flat"}


def test_a_table_in_a_doubted_unit_is_no_witness_for_the_one_beside_it() -> None:
    """Inches that a heading calls centimetres look flat: the same table in plain inches is not."""
    curvy = [
        ["POM (in)", "0", "4", "8"],
        ["Waist", "27", "28", "29"],
        ["Hip", "36", "37", "38"],
        ["Thigh", "22", "22.5", "23"],
    ]
    regular = [
        ["POM (cm)", "0", "4", "8"],
        ["Waist", "26.5", "27.5", "28.5"],
        ["Hip", "37.5", "38.5", "39.5"],
        ["Thigh", "22", "23", "24"],
    ]
    legs = [["Leg opening", "16", "16.25", "16.5"], ["Front rise", "10", "10.5", "11"], ["Inseam", "30", "30", "30"]]
    result = read_sheet("# Curvy jeans", [*curvy, *legs], "# Regular jeans", [*regular, *legs])
    clean = [one for one in result.figures if one.status != "held"]
    assert {one.convention for one in clean if one.point in ("waist", "hip", "thigh")} == {"round"}


@pytest.mark.parametrize(("style", "printed", "inches"), SILHOUETTES)
def test_the_silhouette_decides_an_opening(style: str, printed: str, inches: str) -> None:
    rows = [["POM (in)", "4", "6"], ["Leg opening", printed, printed], ["Inseam", "30", "30"]]
    result = read_sheet(f"# {style}", rows)
    assert show(result.figures)["leg_opening"] == {f"4={inches}~", f"6={inches}~"}


NONSENSE = [
    pytest.param(
        [["POM (in)", "28", "29", "30"], ["Waist flat", "28", "29", "30"]], id="a flat waist as wide as its label"
    ),
    pytest.param([["POM (in)", "4", "6", "8"], ["Hip flat", "38", "39", "40"]], id="a flat hip of 38"),
    pytest.param([["POM (cm)", "36", "38", "40"], ["Waist flat", "72", "76", "80"]], id="a flat waist of 72 cm"),
    pytest.param([["POM (in)", "4", "6", "8"], ["Thigh flat", "22", "22.5", "23"]], id="a flat thigh of 22"),
    pytest.param([["POM (in)", "4", "6", "8"], ["Thigh round", "11", "11.25", "11.5"]], id="a round thigh of 11"),
    pytest.param([["POM (in)", "4", "6", "8"], ["Leg opening round", "6", "6", "6"]], id="a round opening of 6"),
]


@pytest.mark.parametrize("rows", NONSENSE)
def test_a_word_that_makes_nonsense_of_its_row_is_never_clean(rows: list[list[str]]) -> None:
    result = read_sheet("# Jeans", [*rows, ["Inseam", "30 in", "30 in", "30 in"]])
    clean = {one.point for one in result.figures if one.status != "held"}
    assert {point for point in clean if not point.startswith("label_")} == {"inseam"}


def test_the_same_heading_says_nothing_of_lengths() -> None:
    rows = [["POM (in)", "4", "6"], ["Inseam", "30", "30"], ["Front rise", "9", "9.25"], ["Outseam", "39", "39.25"]]
    result = read_sheet("# Jeans", "Measured laid flat", rows)
    assert {one.convention for one in result.figures} == {""}
    assert show(result.figures) == want("inseam 4=30 6=30 | front_rise 4=9 6=9.25 | outseam 4=39 6=39.25")


def test_a_point_open_for_one_garment_is_settled_by_the_others_of_its_table() -> None:
    rows = [
        ["Style", "Size", "Leg opening (in)", "Knee (in)", "Thigh (in)", "Inseam (in)"],
        ["Alma", "4", "7", "8", "11", "30"],
        ["Alma", "6", "7", "8.25", "11.25", "30"],
        ["Berta", "4", "10", "", "", "30"],
        ["Berta", "6", "10", "", "", "30"],
    ]
    result = read_sheet(*[rows])
    openings = {
        (one.garment.split("|")[1], one.convention, one.status) for one in result.figures if one.point == "leg_opening"
    }
    assert openings == {("Alma", "flat", "assumed"), ("Berta", "flat", "assumed")}


def test_the_name_of_a_cut_alone_settles_no_hem() -> None:
    rows = [["POM (cm)", "6", "8", "10"], ["Leg opening", "40", "41", "42"], ["Front rise", "24", "24.5", "25"]]
    found = show(read_sheet("# Alma wide leg trousers", rows).figures)["leg_opening"]
    assert all(one.endswith("!") for one in found)
