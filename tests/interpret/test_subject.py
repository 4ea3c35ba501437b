"""What a table is about: the garment, the body a size is meant for, another garment, or nobody can say."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from small_sheets import held_by, read_sheet, rules, show, want, xfail

BODY_ROWS = [["Size", "4", "6", "8"], ["Waist (in)", "26", "27", "28"], ["Hip (in)", "36", "37", "38"]]
BODY = "body_waist 4=26 6=27 8=28 | body_hip 4=36 6=37 8=38"
GARMENT_ROWS = [["Size", "4", "6", "8"], ["Waist round (in)", "28", "29", "30"], ["Inseam (in)", "30", "30", "30"]]
GARMENT = "waist 4=28 6=29 8=30 | inseam 4=30 6=30 8=30"

Blocks = Sequence[Sequence[Sequence[str]] | str]

CASES = [
    pytest.param(["# Jeans", "# Body measurements", BODY_ROWS], BODY, id="the heading says so"),
    pytest.param(["# Jeans", "# To fit", BODY_ROWS], BODY, id="to fit"),
    pytest.param(["# Size chart", [*BODY_ROWS, ["Bust (in)", "33", "34", "35"]]], BODY, id="a row for the bust"),
    pytest.param(["# Jeans", "# Körpermaße", BODY_ROWS], BODY, id="German"),
    pytest.param(["# Jeans size guide", BODY_ROWS], BODY, id="a size guide of waist and hip alone"),
    pytest.param(
        ["# Jeans", "# Body measurements", BODY_ROWS, "# Garment measurements", GARMENT_ROWS],
        f"{BODY} | {GARMENT}",
        id="body and garment on one page",
    ),
    pytest.param(
        [
            "# Jeans",
            [
                ["Size", "4", "6"],
                ["To fit waist (in)", "26", "27"],
                ["Waist round (in)", "28", "29"],
                ["Inseam (in)", "30", "30"],
            ],
        ],
        "body_waist 4=26 6=27 | waist 4=28 6=29 | inseam 4=30 6=30",
        id="one row of the body in the garment's table",
    ),
    pytest.param(["# Jeans", GARMENT_ROWS], GARMENT, id="a garment"),
    pytest.param(["# Jeans", "# Finished garment measurements", GARMENT_ROWS], GARMENT, id="finished garment"),
    pytest.param(["# Denim shorts", GARMENT_ROWS], "", id="shorts"),
    pytest.param(["# Maxi skirt", BODY_ROWS], "", id="a skirt"),
    pytest.param(
        ["# T-shirt", [["Size", "S", "M"], ["Chest (in)", "36", "38"], ["Length (in)", "26", "27"]]], "", id="a shirt"
    ),
    pytest.param(["# Oak table", [["Height", "30 in"], ["Width", "60 in"], ["Length", "40 in"]]], "", id="furniture"),
    pytest.param(
        [
            "# Jeans",
            GARMENT_ROWS,
            "# Shorts",
            [["Size", "4", "6"], ["Inseam (in)", "5", "5"], ["Front rise (in)", "9", "9"]],
        ],
        GARMENT,
        id="a chart of shorts under that of the jeans",
    ),
    pytest.param(["# Men's jeans", GARMENT_ROWS], "", id="men's"),
    pytest.param(["# Jeans", "# Kids", GARMENT_ROWS], "", id="children's, in a heading of one word"),
    pytest.param(["# Kinderjeans", GARMENT_ROWS], "", id="children's, German"),
    pytest.param(["# Women's and men's jeans", GARMENT_ROWS], GARMENT, id="both"),
    pytest.param(["# Boyfriend jeans, girlfriend fit", GARMENT_ROWS], GARMENT, id="names that only look so"),
    pytest.param(["# Alma, men's-inspired jeans in baby blue", GARMENT_ROWS], GARMENT, id="a cut and a colour"),
    pytest.param(["# Barn jeans, coupe homme", GARMENT_ROWS], GARMENT, id="a name, a cut"),
    pytest.param(["# Jeans", "# Model's measurements", [["Waist", '25"'], ["Hips", '36"']]], "", id="the model's own"),
    pytest.param(["# Jeans", "# Reviews (128)", BODY_ROWS], "", id="what reviewers say"),
    pytest.param(
        ["# Jeans", [["Name", "Usual size", "Waist", "Hips", "Bought"], ["Ann", "12", "30 in", "41 in", "30"]]],
        "",
        id="a table of buyers",
    ),
    pytest.param(["# Boot cut jeans with belt loops", GARMENT_ROWS], GARMENT, id="boot and belt are no garments here"),
]


@pytest.mark.parametrize(("blocks", "expected"), CASES)
def test_whose_figures_they_are(blocks: Blocks, expected: str) -> None:
    assert show(read_sheet(*blocks).figures) == want(expected)


def test_nobody_can_say_is_held() -> None:
    rows = [["Size", "4", "6", "8"], ["Waist (in)", "26-27", "27-28", "28-29"], ["Hip (in)", "36-37", "37-38", "38-39"]]
    result = read_sheet("# Jeans", rows)
    assert {one.status for one in result.figures} == {"held"}
    assert "body-or-garment" in rules(result)


def test_a_body_chart_with_one_rise_and_one_inseam_gives_no_clean_waist_of_the_garment() -> None:
    rows = [
        ["Size", "4", "6", "8"],
        ["Bust (in)", "33-34", "34-35", "35-36"],
        ["Natural waist (in)", "26-27", "27-28", "28-29"],
        ["Hip (in)", "36-37", "37-38", "38-39"],
        ["Inseam (in)", "30", "30", "30"],
        ["Rise (in)", "10", "10", "10"],
    ]
    figures = read_sheet("# Size chart", rows).figures
    assert not [one for one in figures if one.point in ("waist", "hip") and one.status != "held"]


def test_figures_of_a_body_are_never_doubled_or_judged_as_a_garments() -> None:
    rows = [["Size", "4", "6"], ["Waist (in)", "26", "27"], ["Hip (in)", "45", "46"], ["Bust (in)", "33", "34"]]
    result = read_sheet("# Jeans", "# Body measurements", rows)
    assert {one.convention for one in result.figures} == {""}
    assert held_by(result) == {}


def test_knee_and_opening_are_of_trousers_even_where_no_word_says_so() -> None:
    rows = [
        ["POM (in)", "4", "6"],
        ["Waist (laid flat)", "14", "14.5"],
        ["Thigh (laid flat)", "11", "11.25"],
        ["Knee (laid flat)", "8", "8.25"],
        ["Leg opening (laid flat)", "7", "7"],
    ]
    assert show(read_sheet(*[rows]).figures) == want(
        "waist 4=28 6=29 | thigh 4=22 6=22.5 | knee 4=16 6=16.5 | leg_opening 4=14 6=14"
    )


@xfail("a block named in the corner over the sizes is not read")
def test_a_block_in_the_corner() -> None:
    result = read_sheet("# Alma", [["Curvy", "4", "6"], ["Inseam (in)", "30", "30"], ["Front rise (in)", "9", "9"]])
    assert {one.block for one in result.garments} == {"curvy"}


def test_length_alone_beside_an_inseam_is_the_side() -> None:
    """Published sheets call the outseam "length" alone (common practice)."""
    rows = [["Measure (in)", "4", "6"], ["Length", "40", "40"], ["Inseam", "30", "30"], ["Front rise", "10", "10"]]
    assert show(read_sheet("# Jeans", rows).figures)["outseam"] == {"4=40", "6=40"}
