"""The same figure twice is one; two units agree within their rounding; contradictions are held at both places."""

from __future__ import annotations

import pytest
from small_sheets import held_by, read_html, read_sheet, show, table, want

INCHES = [["POM (in)", "4", "6"], ["Inseam", "30", "30.5"], ["Front rise", "9", "9.25"]]


def centimetres(inseam: str, rise: str) -> list[list[str]]:
    return [["POM (cm)", "4", "6"], ["Inseam", inseam, "77.5"], ["Front rise", rise, "23.5"]]


AGREE = [
    pytest.param("76.2", "22.9", id="rounded to a millimetre"),
    pytest.param("76", "23", id="rounded to a centimetre"),
    pytest.param("76.2", "22.86", id="not rounded"),
    pytest.param("76.3", "22.8", id="a millimetre off"),
]


@pytest.mark.parametrize(("inseam", "rise"), AGREE)
def test_two_tables_for_two_units_are_one_garment(inseam: str, rise: str) -> None:
    result = read_sheet("# Alma jeans", INCHES, centimetres(inseam, rise))
    assert len(result.figures) == 4
    assert {one.status for one in result.figures} == {"accepted"}


def test_a_figure_between_two_that_contradict_agrees_with_both_and_is_held_too() -> None:
    halves = [["POM (in)", "4", "6"], ["Inseam", "29.5", "30.5"], ["Front rise", "9", "9.5"]]
    whole = [["POM (cm)", "4", "6"], ["Inseam", "76", "77"], ["Front rise", "23", "24"]]
    eighths = [["POM (in)", "4", "6"], ["Inseam", "30 1/8", "30 5/8"], ["Front rise", "9 1/8", "9 3/8"]]
    result = read_sheet("# Alma jeans", halves, whole, eighths)
    assert "inseam 4" in {name for name, why in held_by(result).items() if "contradiction" in why}


CONTRADICT = [
    pytest.param("78.2", id="2 cm off"),
    pytest.param("71", id="5 cm off"),
    pytest.param("67.2", id="a digit turned"),
]


@pytest.mark.parametrize("inseam", CONTRADICT)
def test_two_units_that_contradict_hold_this_figure_alone(inseam: str) -> None:
    result = read_sheet("# Alma jeans", INCHES, centimetres(inseam, "22.9"))
    assert {name for name, why in held_by(result).items() if "contradiction" in why} == {"inseam 4"}
    held = [one for one in result.figures if one.status == "held" and one.size == "4"]
    assert {one.raw for one in held} == {"30", inseam}
    assert len({one.place for one in held}) == 2
    assert {one.status for one in result.figures if one.point == "front_rise"} == {"accepted"}


CELLS = [
    pytest.param('30" / 76.2 cm', "30", "accepted", id="agreeing"),
    pytest.param("76.2 cm (30 in)", "30", "accepted", id="the other way round"),
    pytest.param('30" / 78.2 cm', "30", "held", id="contradicting"),
    pytest.param("76,2cm 30in", "30", "accepted", id="glued"),
]


@pytest.mark.parametrize(("text", "inches", "status"), CELLS)
def test_two_units_in_one_cell(text: str, inches: str, status: str) -> None:
    result = read_sheet("# Alma jeans", [["POM", "4"], ["Inseam", text], ["Front rise", '9" / 22.9 cm']])
    (inseam,) = [one for one in result.figures if one.point == "inseam"]
    assert (inseam.length_nm, inseam.status, inseam.raw) == (int(inches) * 25_400_000, status, text)


def test_a_table_printed_twice_is_one() -> None:
    result = read_sheet("# Alma jeans", INCHES, INCHES)
    assert show(result.figures) == want("inseam 4=30 6=30.5 | front_rise 4=9 6=9.25")
    assert {one.place.split(";")[0] for one in result.figures} == {"table=1"}


def test_the_page_and_its_data_contradict() -> None:
    script = '<script type="application/json">'
    script += '{"sizes":[{"size":"4","inseam":"32 in"},{"size":"6","inseam":"31 in"}]}</script>'
    page = "<h1>Alma jeans</h1>" + table(["Size", "4", "6"], ["Inseam (in)", "30", "31"]) + script
    result = read_html(page)
    assert {one.status for one in result.figures if one.size == "4"} == {"held"}
    assert {one.status for one in result.figures if one.size == "6"} == {"accepted"}


def test_the_same_point_twice_in_a_table_with_other_figures() -> None:
    rows = [*INCHES, ["Inseam", "31", "30.5"]]
    result = read_sheet("# Alma jeans", rows)
    assert show(result.figures) == want("inseam 4=30! 4=31! 6=30.5 | front_rise 4=9 6=9.25")
    assert held_by(result) == {"inseam 4": "contradiction"}


def test_flat_and_round_of_one_point_agree() -> None:
    rows = [["POM (in)", "4", "6"], ["Waist flat", "14", "14.5"], ["Waist round", "28", "29"], ["Inseam", "30", "30"]]
    result = read_sheet("# Alma jeans", rows)
    assert {(one.size, one.length_nm, one.status) for one in result.figures if one.point == "waist"} == {
        ("4", 28 * 25_400_000, "accepted"),
        ("6", 29 * 25_400_000, "accepted"),
    }


def test_figures_of_no_size_that_differ_are_held() -> None:
    result = read_sheet(
        "# Alma jeans", [["Inseam (in)", "Front rise (in)"], ["30", "9"], ["31", "9.25"], ["32", "9.5"]]
    )
    assert {one.status for one in result.figures} == {"held"}


def test_a_figure_of_no_size_beside_sizes_with_codes_of_their_own_is_held() -> None:
    """Each size has its article number, so that the figure in passing is under another key than any of them."""
    rows = [["Style", "Article no.", "Size", "Inseam (in)", "Front rise (in)"]]
    rows += [
        ["Alma jeans", f"AJ-10{size}", size, "30", rise] for size, rise in (("4", "9"), ("6", "9.25"), ("8", "9.5"))
    ]
    found = [
        one
        for one in read_sheet(
            "# Alma jeans", rows, [["Style", "Alma jeans"], ["Inseam", "32 in"], ["Front rise", "9.75 in"]]
        ).figures
        if not one.size
    ]
    assert [one.status for one in found] == ["held", "held"]


def test_no_reading_of_a_run_counts_twice() -> None:
    result = read_sheet("# Alma jeans", INCHES, "Inseam: 30 in", "Front rise: 9 in")
    assert [one for one in show(result.figures)["inseam"] if one.startswith("4")] == ["4=30"]


CONVERTED = [
    pytest.param(["29", "30", "31", "32.5"], ["73.7", "76.2", "78.7", "82.5"], "4=29 6=30 8=31 10=32.5", id="inches"),
    pytest.param(
        ["27.6", "28.7", "29.9", "31.1"], ["70", "73", "76", "79"], "4=70cm 6=73cm 8=76cm 10=79cm", id="centimetres"
    ),
    pytest.param(
        ["29", "30", "31", "32"],
        ["73.5", "76", "78.5", "81.5"],
        "4=73.5cm 6=76cm 8=78.5cm 10=81.5cm",
        id="neither",
    ),
]


@pytest.mark.parametrize(("inches", "metric", "waist"), CONVERTED)
def test_of_two_units_the_one_that_was_measured_is_kept(inches: list[str], metric: list[str], waist: str) -> None:
    """Where every figure of one column is the other's rounded conversion, the other is the sheet's own."""
    sizes = ["4", "6", "8", "10"]
    head = [["POM (in)", *sizes], ["Waist circumference", *inches], ["Front rise", *["10"] * 4]]
    other = [["POM (cm)", *sizes], ["Waist circumference", *metric], ["Front rise", *["25.4"] * 4]]
    assert show(read_sheet("# Alma jeans", head, other).figures)["waist"] == want(f"waist {waist}")["waist"]


def test_what_stands_in_a_text_of_several_garments_is_nobodys() -> None:
    cell = 'Alder straight jean 30" inseam, Birch wide leg 32" inseam, Cedar crop 26" inseam, Dogwood bootcut 9" rise'
    figures = read_sheet("# New in: jeans", [["Women", cell]]).figures
    assert {one.status for one in figures} <= {"held"}
