"""Figures in running text: labels beside numbers, several lengths, runs of text, and talk that is no figure."""

from __future__ import annotations

import pytest
from small_sheets import read_html, read_sheet, show, want

TAKEN = [
    pytest.param(["Inseam: 30 in"], "inseam -=30", id="label, colon, number"),
    pytest.param(["Inseam 30 inches, front rise 9 1/2 inches"], "inseam -=30 | front_rise -=9.5", id="two in a line"),
    pytest.param(['30" inseam, 9.5" front rise'], "inseam -=30 | front_rise -=9.5", id="numbers before labels"),
    pytest.param(['Front rise: 9 3/4"', "Inseam: 30”"], "front_rise -=9.75 | inseam -=30", id="one a line"),
    pytest.param(
        ["Leg opening 14 in all round; inseam 30 in"], "leg_opening -=14 | inseam -=30", id="round behind the number"
    ),
    pytest.param(["Waist 14 in flat, inseam 30 in"], "waist -=28 | inseam -=30", id="flat behind the number"),
    pytest.param(["Inseam is 76 cm"], "inseam -=76cm", id="a verb between"),
    pytest.param(["Schrittlänge: 76 cm, Leibhöhe vorn: 24,5 cm"], "inseam -=76cm | front_rise -=24.5cm", id="German"),
    pytest.param(["股下：76cm 前股上：25cm"], "inseam -=76cm | front_rise -=25cm", id="Japanese"),
    pytest.param(["Inseam: 30in (76.2 cm)"], "inseam -=30", id="two units, one figure"),
]


@pytest.mark.parametrize(("lines", "expected"), TAKEN)
def test_figures_of_a_listing(lines: list[str], expected: str) -> None:
    assert show(read_sheet("# Alma jeans", *lines).figures) == want(expected)


LENGTHS = [
    pytest.param('Inseam: Short 27", Regular 29", & Long 31"', "*/short=27 */regular=29 */long=31", id="words"),
    pytest.param(
        'Inseam 28" (petite), 30" (regular) and 34" (tall)', "*/petite=28 */regular=30 */tall=34", id="brackets"
    ),
    pytest.param("Inseam: petite 71 cm / regular 76 cm", "*/petite=71cm */regular=76cm", id="strokes"),
]


@pytest.mark.parametrize(("line", "expected"), LENGTHS)
def test_several_lengths_behind_one_label(line: str, expected: str) -> None:
    assert show(read_sheet("# Alma jeans", line).figures) == want(f"inseam {expected}")


RUNS = [
    pytest.param(
        "4 6 8 Waist round (in) 28 29 30 Inseam (in) 30 30 30 Front rise (in) 9 9.25 9.5",
        "waist 4=28 6=29 8=30 | inseam 4=30 6=30 8=30 | front_rise 4=9 6=9.25 8=9.5",
        id="sizes first, then label and figures",
    ),
    pytest.param(
        "Size 4: inseam 30 in, front rise 9 in. Size 6: inseam 30 in, front rise 9.25 in.",
        "inseam 4=30 6=30 | front_rise 4=9 6=9.25",
        id="a sentence a size",
    ),
]


@pytest.mark.parametrize(("line", "expected"), RUNS)
def test_a_table_in_running_text(line: str, expected: str) -> None:
    assert show(read_sheet("# Alma jeans", line).figures) == want(expected)


NAMED_LAST = [
    pytest.param("Measurements taken from a size 8", "8", id="taken from a size"),
    pytest.param("Measured from a size 32", "32", id="measured from a size"),
    pytest.param("Size 8", "8", id="the size alone"),
]


@pytest.mark.parametrize(("line", "size"), NAMED_LAST)
def test_a_size_named_last_serves_the_lines_before(line: str, size: str) -> None:
    result = read_sheet("# Alma jeans", "Inseam: 30 in", "Front rise: 9 in", line)
    assert show(result.figures) == want(f"inseam {size}=30 | front_rise {size}=9")


REFUSED = [
    pytest.param("Our model is 178 cm tall and wears a size 8 with an inseam of 32 in.", id="the model"),
    pytest.param("Mannequin's inseam: 33 in", id="a mannequin"),
    pytest.param("The inseam shrinks 1 in after the first wash.", id="shrinkage"),
    pytest.param("The inseam is 36.5 in max if hemmed.", id="if hemmed"),
    pytest.param("A typical inseam is 32 in.", id="talk about style"),
    pytest.param("A low rise is 7 - 9 1/2 in.", id="talk about rises"),
    pytest.param("Low rise: 7 - 9 1/2 in", id="what a low rise is"),
    pytest.param("High rise: 10 1/2 in and up", id="what a high rise is"),
    pytest.param("Taille basse : 18 - 24 cm", id="what a low waist is, in French"),
    pytest.param("ローライズ 18~22cm", id="what a low rise is, in Japanese"),
    pytest.param("Allow for a tolerance of 1 in in the inseam.", id="an allowance"),
    pytest.param("Inseam on the older version was 32 in.", id="an older version"),
    pytest.param("Unlike other styles with an inseam of 32 in, it is cropped.", id="a comparison"),
    pytest.param("For example, an inseam of 32 in suits a woman of 170 cm.", id="an example"),
    pytest.param("The cuff is 2 in and the pockets 6 in deep.", id="other parts"),
    pytest.param("Inseam free returns within 30 days.", id="a number of something else"),
    pytest.param("The inseam and 3 in heels go well together.", id="a number before another word"),
    pytest.param("Her inseam is 33 in and she is 5'9\".", id="a woman who wears them"),
    pytest.param(
        "I have a 33 in inseam and these hit my ankle.",
        id="a buyer's own leg",
    ),
    pytest.param(
        "I am 5 ft 6 with a 30 in inseam and waist 28 in.",
        id="a buyer's own measures",
    ),
]


@pytest.mark.parametrize("line", REFUSED)
def test_numbers_that_are_no_figures(line: str) -> None:
    assert show(read_sheet("# Alma jeans", "Front rise: 10 in", line).figures) == want("front_rise -=10")


def test_a_guide_gives_an_examples_numbers() -> None:
    result = read_sheet("# Alma jeans", "Front rise: 10 in", "# How to measure", "Inseam: 32 in", "Waist: 30 in round")
    assert show(result.figures) == want("front_rise -=10")


def test_a_guide_ends_with_the_next_heading() -> None:
    result = read_sheet("# How to measure", "Inseam: 32 in", "# Alma jeans", "Front rise: 10 in")
    assert show(result.figures) == want("front_rise -=10")


OTHER_AREAS = [
    pytest.param("# Customer reviews", "Inseam: 29 in", id="reviews"),
    pytest.param("# You may also like", "Berta jeans, inseam 32 in", id="other garments"),
]


@pytest.mark.parametrize(("heading", "line"), OTHER_AREAS)
def test_areas_about_something_else(heading: str, line: str) -> None:
    result = read_sheet("# Alma jeans", "Front rise: 10 in", heading, line)
    assert [one for one in result.figures if one.point == "inseam" and one.status != "held"] == []


HEADED = [
    pytest.param(["Size S: waist 28 in round, inseam 30 in", "Size M: waist 30 in round, inseam 31 in"], id="word"),
    pytest.param(
        ["S - waist 28 in round, inseam 30 in", "M - waist 30 in round, inseam 31 in"],
        id="letter and dash",
    ),
    pytest.param(
        ["S: waist 28 in round / inseam 30 in", "M: waist 30 in round / inseam 31 in"],
        id="letter and colon",
    ),
]


@pytest.mark.parametrize("lines", HEADED)
def test_a_size_at_the_head_of_each_line(lines: list[str]) -> None:
    assert show(read_sheet("# Alma jeans", *lines).figures) == want("waist S=28 M=30 | inseam S=30 M=31")


def test_running_heads_are_not_read() -> None:
    result = read_sheet("# Alma jeans", "~ Inseam 32 in jeans on sale", "Front rise: 10 in")
    assert show(result.figures) == want("front_rise -=10")


def test_struck_out_figures_of_a_page_are_not_read() -> None:
    page = "<h1>Alma jeans</h1><p><s>Inseam: 32 in</s></p><p>Inseam: 30 in</p><p>Front rise: 10 in</p>"
    assert show(read_html(page).figures) == want("inseam -=30 | front_rise -=10")


def test_a_page_about_something_else_gives_nothing() -> None:
    result = read_sheet("# A wooden table", "Waist: 30 in", "Height: 29 in")
    assert result.outcome == "nothing"
    assert result.figures == ()


def test_a_description_in_a_cell_is_prose() -> None:
    rows = [
        ["Style", "Size", "Description"],
        ["Alma", "8", "Straight jeans. Inseam: 30 in, front rise: 9.5 in"],
        ["Berta", "8", "Wide jeans. Inseam: 32 in, front rise: 11 in"],
    ]
    found = {(one.garment.split("|")[1], one.point, one.size, one.raw) for one in read_sheet(*[rows]).figures}
    assert found == {
        ("Alma", "inseam", "8", "30 in"),
        ("Alma", "front_rise", "8", "9.5 in"),
        ("Berta", "inseam", "8", "32 in"),
        ("Berta", "front_rise", "8", "11 in"),
    }


LISTS = [
    pytest.param("Waist 30 cm 31 cm 32 cm Hip 40 cm 41 cm 42 cm", "", id="several figures behind each label"),
    pytest.param('Hip 40" max. Inseam 30 in', "", id="an end is no measure"),
    pytest.param('Waist up to 34". Inseam 30".', "inseam -=30", id="up to"),
    pytest.param("Size 28. Waist 29 in, hip 39 in. I can take in the waist 2 inches.", "waist 28=29~ | hip 28=39~",
                 id="a number that no waist has does not turn the others flat"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "expected"), LISTS)
def test_numbers_that_only_look_like_figures(line: str, expected: str) -> None:
    figures = [one for one in read_sheet("# Alma jeans", line).figures if one.status != "held"]
    assert show(figures) == want(expected)


def test_names_and_values_in_pairs_say_whose_the_description_is() -> None:
    rows = [["Style", "Alma jeans"], ["Size", "XS"], ["Description", "Inseam: 30 in, front rise: 9.5 in"]]
    assert show(read_sheet(rows).figures) == want("inseam XS=30 | front_rise XS=9.5")


def test_a_title_of_shorts_with_its_inseam_is_of_shorts() -> None:
    lines = ["Chino shorts 7 inch inseam", "Size 28", "Waist: 29 in", "Rise: 10 in"]
    assert show(read_sheet(*lines).figures) == {}
