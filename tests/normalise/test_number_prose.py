"""Figures in running text: what is found, with which span, and what is left alone."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfinch.normalise.numbers import find_numbers

F = Fraction


def found(text: str) -> list[tuple[str, Fraction, str]]:
    return [(text[n.start : n.end], n.printed.value, n.printed.unit) for n in find_numbers(text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param(
            'Front rise 10 1/2", inseam 30", leg opening 15"',
            [('10 1/2"', F(21, 2), "in"), ('30"', 30, "in"), ('15"', 15, "in")],
            id="a-listing",
        ),
        pytest.param('Regular 29", & Long 31"', [('29"', 29, "in"), ('31"', 31, "in")], id="lengths-in-a-sentence"),
        pytest.param(
            "Waist:28 Hip:38,5 Rise:10.25",
            [("28", 28, ""), ("38,5", F(77, 2), ""), ("10.25", F(41, 4), "")],
            id="no-blanks",
        ),
        pytest.param(
            "内长75cm，腰围68cm 臀围92", [("75cm", 75, "cm"), ("68cm", 68, "cm"), ("92", 92, "")], id="chinese"
        ),
        pytest.param("股下78センチ、ウエスト66cm", [("78センチ", 78, "cm"), ("66cm", 66, "cm")], id="japanese"),
        pytest.param(
            "Bundweite 39, Schrittlänge 78,5 cm.", [("39", 39, ""), ("78,5 cm.", F(157, 2), "cm")], id="german"
        ),
        pytest.param(
            "腰围68臀围92大腿围56,5脚口40。",
            [("68", 68, ""), ("92", 92, ""), ("56,5", F(113, 2), ""), ("40", 40, "")],
            id="chinese-without-blanks",
        ),
        pytest.param("Size 26, 14.5 waist, 9 rise", [("14.5", F(29, 2), ""), ("9", 9, "")], id="figures-behind-a-size"),
        pytest.param("low rise 7 - 9 1/2", [("7 - 9 1/2", 7, "")], id="range"),
        pytest.param("Inseam - 30 in", [("30 in", 30, "in")], id="dash-is-no-sign"),
        pytest.param(
            "a 30-inch inseam and a 10½-inch rise",
            [("30-inch", 30, "in"), ("10½-inch", F(21, 2), "in")],
            id="hyphened-unit",
        ),
        pytest.param("Inseam-30 Waist-28in", [("30", 30, ""), ("28in", 28, "in")], id="label-dash-figure"),
        pytest.param("hem 81 cm (32 in), knee 40", [("81 cm (32 in)", 81, "cm"), ("40", 40, "")], id="two-units"),
        pytest.param(
            'knee 14" below crotch 8 1/2"', [('14"', 14, "in"), ('8 1/2"', F(17, 2), "in")], id="where-and-what"
        ),
        pytest.param("Hip (20 cm below band) 52cm", [("20 cm", 20, "cm"), ("52cm", 52, "cm")], id="where-in-brackets"),
        pytest.param("half an inch longer", [("half an inch", F(1, 2), "in")], id="words"),
        pytest.param("Tall +5 cm", [("+5 cm", 5, "cm")], id="difference"),
        pytest.param("Side seam 37 1/2 98% cotton", [("37 1/2", F(75, 2), "")], id="share-behind-it"),
        pytest.param("shrinks 3 1/2 %", [], id="share-with-a-fraction"),
        pytest.param("Inseam 30 may vary", [("30", 30, "")], id="may-is-no-month"),
        pytest.param(
            "263 358 720 815",
            [("263", 263, ""), ("358", 358, ""), ("720", 720, ""), ("815", 815, "")],
            id="no-telephone",
        ),
        pytest.param('The "28" = Short', [('28"', 28, "")], id="quoted-number-has-no-unit"),
        pytest.param("waist 28.Hip 38.", [("28", 28, ""), ("38", 38, "")], id="sentence-ends"),
        pytest.param("Model is 5'9\"", [("5'9\"", 69, "in")], id="height"),
        pytest.param("hip 19 flat, thigh 12½", [("19 flat", 19, ""), ("12½", F(25, 2), "")], id="flat"),
    ],
)
def test_found(text: str, expected: list[tuple[str, Fraction, str]]) -> None:
    assert found(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "W29 L30",
        "28x30",
        "28 x 30",
        "size 28",
        "Size: 28",
        "Größe 38",
        "Gr. 38",
        "taglia 44",
        "UK 12",
        "EU 36",
        "12W",
        "28S",
        "$49.90",
        "49,90 €",
        "EUR 59",
        "US$ 60",
        "£30",
        "30€",
        "¥4900",
        "59 zł",
        "98% cotton",
        "98/2 cotton",
        "2 % elastane",
        "3-5%",
        "2026-03-04",
        "3/4/2026",
        "04.03.2026",
        "4 Mar",
        "4-Mar-26",
        "Mar 12",
        "March 12, 2026",
        "12:30",
        "16:9",
        "Style A-1432",
        "10-2231",
        "4006381333931",
        "+49 30 1234567",
        "030 1234567",
        "(212) 555-0134",
        "212-555-0134",
        "#28",
        "No. 28",
        "https://shop.example/p/28-30?size=31",
        "mail28@shop.example",
        "5 pockets",
        "5-pocket",
        "3 days",
        "11 oz",
        "350 g",
        "since 1998",
        "2026",
        "3-in-1",
        "28/30",
        "27/28/29",
        "Size 28 in dark blue",
        "h2o",
        "Sizes 24, 25, 26 and 27.",
        "Größen: 36, 38, 40",
        "7天无理由退货",
        "2024年春",
        "5个口袋",
        "38码",
        "Lavar a 30 graus",
        "a" * 2000 + "28",
        "4XL",
        "B2B",
    ],
)
def test_left_alone(text: str) -> None:
    assert found(text) == []


def test_the_word_in_is_doubtful_before_other_words() -> None:
    (first,) = find_numbers("available in 27 in black")
    assert "in" in first.printed.doubt
    (second,) = find_numbers("leg opening 14 in across")
    assert (second.printed.doubt, second.printed.convention) == ("", "flat")


def test_convention_and_range_are_carried() -> None:
    text = 'Waist laid flat: 15.5", hip 38 1/2 to 39 1/2 in'
    waist, hip = find_numbers(text)
    assert (waist.printed.convention, waist.printed.value) == ("flat", F(31, 2))
    assert (hip.printed.value, hip.printed.upper, hip.printed.unit) == (F(77, 2), F(79, 2), "in")


@given(st.text(alphabet="0123456789 /-.,½¾\"'±+x()cminFlat~⁄³₄%$€\n:W内", max_size=40))
def test_spans_lie_in_order_inside_the_text(text: str) -> None:
    end = 0
    for number in find_numbers(text):
        assert end <= number.start < number.end <= len(text)
        end = number.end


@given(st.lists(st.integers(40, 3840), min_size=1, max_size=6))
def test_every_figure_of_a_listing_comes_back(counts: list[int]) -> None:
    values = [F(count, 64) for count in counts]
    printed = [f"{v // 1} {(v % 1).numerator}/{(v % 1).denominator}" if v % 1 else str(v) for v in values]
    text = "; ".join(f'label: {figure}"' for figure in printed)
    assert [number.printed.value for number in find_numbers(text)] == values
