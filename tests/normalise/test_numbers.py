"""Printed figures of whole cells: every way of typing one length, and what is none."""

from __future__ import annotations

import csv
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfinch.normalise.numbers import Printed, read_number

F = Fraction
DATA = Path(__file__).parents[1] / "data"


def read(text: str, **hints: str) -> Printed:
    printed = read_number(text, **hints)
    assert printed is not None, f"{text!r} was not read"
    return printed


NINE_AND_THREE_QUARTERS = [
    "9 3/4",
    "9-3/4",
    "9¾",
    "9 ¾",
    "9.75",
    "9,75",
    "9³⁄₄",
    "9 ³⁄₄",
    "9 ³/₄",
    "9³/4",
    "9 3⁄4",
    "9 3∕4",
    "9 3／4",
    "９　３／４",
    "９．７５",
    "9.3/4",
    "9 - 3/4",
    "9‑3/4",
    "9–3/4",
    "9—3/4",
    "9- 3/4",
    "9 3 / 4",
    "9 3 /4",
    "9 3/ 4",
    "9\u00a03/4",
    "9\u20093/4",
    "9\u202f¾",
    "9\n3/4",
    "9 and 3/4",
    "9 & 3/4",
    "9 and three quarters",
    "9.750",
    " 9.75 ",
    "(9.75)",
    "[9 3/4]",
    "'9.75",
    '="9.75"',
    "9.75;",
    "= 9.75",
    "9\u200b.75",
    "9 12/16",
]


@pytest.mark.parametrize("text", NINE_AND_THREE_QUARTERS)
def test_nine_and_three_quarters_is_read_without_doubt(text: str) -> None:
    printed = read(text)
    assert (printed.value, printed.unit, printed.kind, printed.doubt, printed.rivals) == (
        F(39, 4),
        "",
        "single",
        "",
        (),
    )


INCH_SIGNS = [
    '"',
    "”",
    "“",
    "″",
    "„",
    "''",
    "’’",
    "′′",
    "'",
    "’",
    "‘",
    "′",
    "＂",
    " in",
    "in",
    "IN",
    " In.",
    "in.",
    " ins",
    " inch",
    " inches",
    " INCHES",
    " Zoll",
    " zoll",
    " pouces",
    "po",
    " pulgadas",
    " pulg.",
    " pollici",
    " polegadas",
    " duim",
    " cali",
    " tum",
    " inç",
    " 英寸",
    "吋",
    "インチ",
    " ｲﾝﾁ",
    "인치",
    " дюймов",
    "-inch",
    "-in",
]


@pytest.mark.parametrize("sign", INCH_SIGNS)
@pytest.mark.parametrize(
    ("number", "value"), [("27 1/2", F(55, 2)), ("28", F(28)), ("27½", F(55, 2)), ("27.25", F(109, 4))]
)
def test_every_inch_sign(number: str, value: Fraction, sign: str) -> None:
    printed = read(number + sign)
    assert (printed.value, printed.unit, printed.doubt) == (value, "in", "")


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        pytest.param("81,5 cm", F(163, 2), "cm", id="decimal-comma"),
        pytest.param("81.5CM", F(163, 2), "cm", id="capitals"),
        pytest.param("81,5cm.", F(163, 2), "cm", id="full-stop-behind-unit"),
        pytest.param("８１．５ｃｍ", F(163, 2), "cm", id="full-width"),
        pytest.param("71㎝", F(71), "cm", id="one-sign-unit"),
        pytest.param("71 厘米", F(71), "cm", id="chinese"),
        pytest.param("71公分", F(71), "cm", id="taiwan"),
        pytest.param("71センチ", F(71), "cm", id="japanese"),
        pytest.param("71 см", F(71), "cm", id="cyrillic"),
        pytest.param("71 centímetros", F(71), "cm", id="spanish"),
        pytest.param("815 mm", F(815), "mm", id="millimetres"),
        pytest.param("815㎜", F(815), "mm", id="one-sign-millimetre"),
        pytest.param("0.815 m", F(163, 200), "m", id="metres"),
        pytest.param("1,02 m", F(51, 50), "m", id="metres-comma"),
        pytest.param("1.014 m", F(507, 500), "m", id="three-decimals-of-a-metre"),
        pytest.param("1,014 mm", F(1014), "mm", id="thousands-of-millimetres"),
        pytest.param("1.014 mm", F(1014), "mm", id="thousands-with-a-dot"),
        pytest.param("1 014 mm", F(1014), "mm", id="thousands-with-a-blank"),
        pytest.param("1'014 mm", F(1014), "mm", id="thousands-with-an-apostrophe"),
        pytest.param("1.081,5 mm", F(2163, 2), "mm", id="both-marks"),
        pytest.param("1,081.5 mm", F(2163, 2), "mm", id="both-marks-english"),
        pytest.param("27.125", F(217, 8), "", id="eighths-in-three-decimals"),
        pytest.param("31,875", F(255, 8), "", id="eighths-with-a-comma"),
        pytest.param("0,875", F(7, 8), "", id="below-one"),
        pytest.param("31.496", F(31496, 1000), "", id="three-decimals-from-cm"),
        pytest.param("31.49606299", F(3149606299, 10**8), "", id="a-computer's-decimals"),
        pytest.param(".5", F(1, 2), "", id="no-zero"),
        pytest.param(",5", F(1, 2), "", id="no-zero-comma"),
        pytest.param("27.", F(27), "", id="trailing-mark"),
        pytest.param('27."', F(27), "in", id="trailing-mark-before-the-sign"),
        pytest.param("27.50", F(55, 2), "", id="trailing-zero"),
        pytest.param("1/2", F(1, 2), "", id="fraction-alone"),
        pytest.param("½", F(1, 2), "", id="sign-alone"),
        pytest.param('¾"', F(3, 4), "in", id="sign-alone-with-unit"),
        pytest.param("⅛", F(1, 8), "", id="eighth"),
        pytest.param("13 7/8", F(111, 8), "", id="seven-eighths"),
        pytest.param('13 15/16"', F(223, 16), "in", id="fifteen-sixteenths"),
        pytest.param("12 63/64", F(831, 64), "", id="sixty-fourths"),
        pytest.param("10 1/3", F(31, 3), "", id="a-third"),
        pytest.param("half an inch", F(1, 2), "in", id="half-an-inch"),
        pytest.param("1/2 an inch", F(1, 2), "in", id="a-half-in-figures-and-words"),
        pytest.param("three quarters of an inch", F(3, 4), "in", id="quarters-in-words"),
        pytest.param("10 and a half", F(21, 2), "", id="and-a-half"),
        pytest.param("10 and a half inches", F(21, 2), "in", id="and-a-half-inches"),
        pytest.param("10 et demi", F(21, 2), "", id="french-half"),
        pytest.param("10 y medio", F(21, 2), "", id="spanish-half"),
        pytest.param("10 e mezzo", F(21, 2), "", id="italian-half"),
        pytest.param("10 buçuk", F(21, 2), "", id="turkish-half"),
        pytest.param("2 feet 3 inches", F(27), "in", id="feet-and-inches"),
        pytest.param("2 ft 3 in", F(27), "in", id="feet-abbreviated"),
        pytest.param("2ft 3 1/2in", F(55, 2), "in", id="feet-glued"),
        pytest.param("5'9\"", F(69), "in", id="height"),
        pytest.param("5’ 9 ½”", F(139, 2), "in", id="height-with-a-half"),
        pytest.param("28'", F(28), "in", id="one-prime-is-no-foot-here"),
        pytest.param('"28"', F(28), "", id="quotation-marks-are-no-inches"),
        pytest.param("0", F(0), "", id="zero"),
    ],
)
def test_one_value(text: str, value: Fraction, unit: str) -> None:
    printed = read(text)
    assert (printed.value, printed.unit, printed.kind, printed.upper, printed.doubt) == (
        value,
        unit,
        "single",
        None,
        "",
    )


@pytest.mark.parametrize(
    ("text", "low", "high", "unit"),
    [
        pytest.param("101-107cm", 101, 107, "cm", id="unit-at-the-end"),
        pytest.param("101cm-107cm", 101, 107, "cm", id="unit-twice"),
        pytest.param('28"-29"', 28, 29, "in", id="signs-twice"),
        pytest.param("28 – 29", 28, 29, "", id="en-dash"),
        pytest.param("28—29", 28, 29, "", id="em-dash"),
        pytest.param("28−29", 28, 29, "", id="minus-sign"),
        pytest.param("28~29", 28, 29, "", id="wave"),
        pytest.param("28～29ｃｍ", 28, 29, "cm", id="full-width-wave"),
        pytest.param("28〜29", 28, 29, "", id="japanese-wave"),
        pytest.param("28 to 29", 28, 29, "", id="to"),
        pytest.param("28 bis 29 cm", 28, 29, "cm", id="german"),
        pytest.param("28 à 29", 28, 29, "", id="french"),
        pytest.param("28 a 29 cm", 28, 29, "cm", id="spanish"),
        pytest.param("28 do 29 cm", 28, 29, "cm", id="polish"),
        pytest.param("28至29", 28, 29, "", id="chinese"),
        pytest.param("28\n29", 28, 29, "", id="stacked"),
        pytest.param("28\n-\n29", 28, 29, "", id="stacked-with-dash"),
        pytest.param("7 - 9 1/2", 7, F(19, 2), "", id="whole-to-mixed"),
        pytest.param("28-29 1/2", 28, F(59, 2), "", id="whole-to-mixed-glued"),
        pytest.param("28 1/2-29 1/2", F(57, 2), F(59, 2), "", id="mixed-to-mixed"),
        pytest.param("28-1/2-29-1/2", F(57, 2), F(59, 2), "", id="mixed-with-dashes"),
        pytest.param('9 3/4 - 10 1/4"', F(39, 4), F(41, 4), "in", id="mixed-with-unit"),
        pytest.param("9¾–10¼", F(39, 4), F(41, 4), "", id="signs"),
        pytest.param("28-28½", 28, F(57, 2), "", id="whole-to-sign"),
        pytest.param("81,5-82,5 cm", F(163, 2), F(165, 2), "cm", id="commas"),
        pytest.param("1,014-1,020 mm", 1014, 1020, "mm", id="thousands-decided-by-the-end"),
        pytest.param("≈ 28-29", 28, 29, "", id="about"),
    ],
)
def test_range(text: str, low: int | Fraction, high: int | Fraction, unit: str) -> None:
    printed = read(text)
    assert (printed.value, printed.upper, printed.unit, printed.kind, printed.doubt) == (low, high, unit, "range", "")


@pytest.mark.parametrize(
    ("text", "value", "unit", "second", "second_unit"),
    [
        pytest.param('32" / 81 cm', 32, "in", 81, "cm", id="slash"),
        pytest.param("81 cm (32 in)", 81, "cm", 32, "in", id="brackets"),
        pytest.param("81 cm（32 in）", 81, "cm", 32, "in", id="full-width-brackets"),
        pytest.param("81.3cm/32”", F(813, 10), "cm", 32, "in", id="glued"),
        pytest.param("61.5cm 24.25in", F(123, 2), "cm", F(97, 4), "in", id="blank"),
        pytest.param("61.5cm\n24.25in", F(123, 2), "cm", F(97, 4), "in", id="stacked"),
        pytest.param("15½ (39,4 cm)", F(31, 2), "in", F(197, 5), "cm", id="first-unit-follows-from-the-second"),
        pytest.param("81 cm (32)", 81, "cm", 32, "in", id="second-unit-follows-from-the-first"),
        pytest.param("61.5 / 24.25", F(123, 2), "cm", F(97, 4), "in", id="neither-unit-printed"),
        pytest.param("26in|66cm", 26, "in", 66, "cm", id="bar"),
        pytest.param('32" or 81 cm', 32, "in", 81, "cm", id="or"),
        pytest.param('32" = 81 cm', 32, "in", 81, "cm", id="equals"),
        pytest.param("32 in 91 cm", 32, "in", 91, "cm", id="disagreeing-is-the-caller's-to-judge"),
    ],
)
def test_two_units(text: str, value: int, unit: str, second: int, second_unit: str) -> None:
    printed = read(text)
    assert printed.second is not None
    assert (printed.value, printed.unit, printed.doubt) == (value, unit, "")
    assert (printed.second.value, printed.second.unit) == (second, second_unit)


def test_two_units_of_a_range() -> None:
    printed = read("101-107 cm (40-42 in)")
    assert printed.second is not None
    assert (printed.value, printed.upper, printed.second.value, printed.second.upper) == (101, 107, 40, 42)


@pytest.mark.parametrize(
    ("text", "value", "minus", "plus"),
    [
        pytest.param("10 +/- 1/4", 10, F(1, 4), F(1, 4), id="plus-slash-minus"),
        pytest.param("10 ± 0,5", 10, F(1, 2), F(1, 2), id="sign"),
        pytest.param("10±½", 10, F(1, 2), F(1, 2), id="glued"),
        pytest.param("10 1/2 +/- 1/4", F(21, 2), F(1, 4), F(1, 4), id="mixed"),
        pytest.param("10 +1/2 -1/4", 10, F(1, 4), F(1, 2), id="two-sides"),
        pytest.param("10 -1/4 +1/2", 10, F(1, 4), F(1, 2), id="minus-first"),
        pytest.param("10 +0.5/-0.25", 10, F(1, 4), F(1, 2), id="slash"),
        pytest.param("10 (± 0,5 cm)", 10, F(1, 2), F(1, 2), id="brackets"),
        pytest.param("27.5cm ±0.5cm", F(55, 2), F(1, 2), F(1, 2), id="unit-twice"),
        pytest.param("10 +/-\n1/4", 10, F(1, 4), F(1, 4), id="wrapped"),
    ],
)
def test_tolerance_beside_the_figure(text: str, value: int, minus: Fraction, plus: Fraction) -> None:
    printed = read(text)
    assert (printed.value, printed.minus, printed.plus, printed.kind, printed.doubt) == (
        value,
        minus,
        plus,
        "single",
        "",
    )


@pytest.mark.parametrize(
    ("text", "minus", "plus"),
    [
        ("±½", F(1, 2), F(1, 2)),
        ("+/- 1/4", F(1, 4), F(1, 4)),
        ("+/-0.5", F(1, 2), F(1, 2)),
        ("± 0,5 cm", F(1, 2), F(1, 2)),
        ('+/-1/4"', F(1, 4), F(1, 4)),
        ("+-1/4", F(1, 4), F(1, 4)),
        ("-/+ 1/4", F(1, 4), F(1, 4)),
        ("+1/2 -1/4", F(1, 4), F(1, 2)),
        ("+1/2/-1/4", F(1, 4), F(1, 2)),
        ("-1/4 +1/2", F(1, 4), F(1, 2)),
        ("(+/- 1/4)", F(1, 4), F(1, 4)),
        ("'+/- 1/4", F(1, 4), F(1, 4)),
        ("＋／－１／４", F(1, 4), F(1, 4)),
    ],
)
def test_tolerance_alone(text: str, minus: Fraction, plus: Fraction) -> None:
    printed = read(text)
    assert (printed.kind, printed.minus, printed.plus, printed.doubt) == ("tolerance", minus, plus, "")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("+1/2", F(1, 2)),
        ("+0,5", F(1, 2)),
        ("-1/4", F(-1, 4)),
        ("−1/4", F(-1, 4)),
        ("- 5", F(-5)),
        ("+5 cm", F(5)),
        ("Tall + 5", F(5)),
        ("Tall +5", F(5)),
    ],
)
def test_difference(text: str, value: Fraction) -> None:
    assert (read(text).kind, read(text).value) == ("difference", value)


@pytest.mark.parametrize(
    ("text", "value", "convention"),
    [
        ("37 flat", 37, "flat"),
        ('15" across', 15, "flat"),
        ("15 (flat)", 15, "flat"),
        ("30 cm x2", 30, "flat"),
        ("30 cm x 2", 30, "flat"),
        ("15×2", 15, "flat"),
        ("15 (x2)", 15, "flat"),
        ("2 x 38", 38, "flat"),
        ("2 x 38 cm", 38, "flat"),
        ("15 * 2", 15, "flat"),
        ("15 x 2 = 30", 15, "flat"),
        ("15 1/2 x 2", F(31, 2), "flat"),
        ("15 laid flat", 15, "flat"),
        ("flat: 15", 15, "flat"),
        ("33 cm (halbe Weite)", 33, "flat"),
        ("平铺37", 37, "flat"),
        ("37 à plat", 37, "flat"),
        ('30" round', 30, "round"),
        ("30 all around", 30, "round"),
        ("Umfang 76 cm", 76, "round"),
        ('15" flat / 30" round', 15, "flat"),
    ],
)
def test_flat_or_round_said_beside_the_number(text: str, value: int, convention: str) -> None:
    printed = read(text)
    assert (printed.value, printed.convention, printed.doubt) == (value, convention, "")


@pytest.mark.parametrize(
    ("text", "qualifier"),
    [
        ("approx. 10", "approx"),
        ("approx 10", "approx"),
        ("ca. 10", "approx"),
        ("ca.10", "approx"),
        ("~10", "approx"),
        ("~ 10", "approx"),
        ("≈10", "approx"),
        ("about 10", "approx"),
        ("约10", "approx"),
        ("10左右", "approx"),
        ("10 (approx.)", "approx"),
        ("env. 10", "approx"),
        ("etwa 10", "approx"),
        ("max 10", "max"),
        ("max. 10", "max"),
        ("10 max", "max"),
        ("10 max.", "max"),
        ("≤ 10", "max"),
        ("<10", "max"),
        ("up to 10", "max"),
        ("min 10", "min"),
        (">= 10", "min"),
        ("mindestens 10", "min"),
    ],
)
def test_qualifier(text: str, qualifier: str) -> None:
    assert (read(text).value, read(text).qualifier, read(text).doubt) == (10, qualifier, "")


@pytest.mark.parametrize(
    ("text", "value", "rest"),
    [
        ("27*", 27, "*"),
        ("27 **", 27, "**"),
        ("27†", 27, "†"),
        ("30 (without band)", 30, "(without band)"),
        ("30 [see note]*", 30, "[see note] *"),
        ("27,5 cm (Größe 38!)", F(55, 2), "(Größe 38!)"),
    ],
)
def test_notes_are_kept_as_rest(text: str, value: int, rest: str) -> None:
    printed = read(text)
    assert (printed.value, printed.rest, printed.doubt) == (value, rest, "")


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        pytest.param("1,014", {F(507, 500), F(1014)}, id="thousands-or-decimals"),
        pytest.param("1.250", {F(5, 4), F(1250)}, id="thousands-or-decimals-dot"),
        pytest.param("1-014", {F(507, 500), F(1014)}, id="dash-for-a-mark"),
        pytest.param("80.000", {F(80), F(80000)}, id="three-zeros"),
        pytest.param("1.081,5", {F(2163, 2), F(10815, 10000)}, id="both-marks-without-unit"),
        pytest.param("311/8", {F(249, 8), F(311, 8)}, id="glued-eighth"),
        pytest.param("271/2", {F(55, 2), F(271, 2)}, id="glued-half"),
        pytest.param("3411/16", {F(555, 16), F(3411, 16)}, id="glued-sixteenths"),
        pytest.param("91/16", {F(145, 16), F(91, 16)}, id="glued-single-digit"),
        pytest.param("9 5/4", {F(41, 4)}, id="improper"),
        pytest.param("9 3/7", {F(66, 7)}, id="sevenths"),
        pytest.param("6/8", {F(3, 4)}, id="two-sizes-or-a-fraction"),
        pytest.param("83-82", {F(82)}, id="range-upside-down"),
        pytest.param("28-71", {F(28)}, id="range-too-wide"),
        pytest.param("28 寸", {F(28)}, id="inch-or-cun"),
        pytest.param("6'", {F(6), F(72)}, id="inches-or-feet"),
        pytest.param("27¹", {F(27)}, id="raised-figure"),
        pytest.param("27 ½ (29)", {F(55, 2), F(29)}, id="second-number-in-brackets"),
        pytest.param("28.5/29.5", {F(57, 2), F(59, 2)}, id="two-figures"),
        pytest.param("30 30.5", {F(30), F(61, 2)}, id="two-figures-glued-cells"),
        pytest.param("81/32", {F(81), F(32)}, id="centimetres-and-inches-or-two-figures"),
        pytest.param("10 -1/4", {F(41, 4), F(10)}, id="fraction-or-tolerance"),
        pytest.param("10 +1/2", {F(10), F(21, 2)}, id="sum-or-tolerance"),
        pytest.param('27" 1/2', {F(55, 2), F(27)}, id="fraction-behind-the-mark"),
        pytest.param("08", {F(8)}, id="leading-zero"),
        pytest.param("28\n36", {F(28)}, id="stacked-far-apart"),
    ],
)
def test_doubt_names_every_reading(text: str, readings: set[Fraction]) -> None:
    printed = read(text)
    assert printed.doubt
    assert {printed.value, *printed.rivals} == readings


NO_FIGURES = [
    "",
    " ",
    "-",
    "–",
    "—",
    "--",
    "n/a",
    "N/A",
    "TBC",
    "tbd",
    "x",
    "./.",
    "?",
    "half",
    "flat",
    "in",
    "cm",
    '"',
    "/",
    "±",
    "+",
    ".",
    ",",
    "(",
    "()",
    "2026-03-04",
    "3/4/2026",
    "03/04/26",
    "04.03.2026",
    "4-Mar",
    "Mar-4",
    "4 March",
    "2026-03-04 00:00:00",
    "12:30",
    "$49.90",
    "49,90 €",
    "EUR 59",
    "US$ 60",
    "59 zł",
    "¥4900",
    "12%",
    "98 %",
    "98/2",
    "2% elastane",
    "10-2231",
    "A-1432",
    "4006381333931",
    "030 1234567",
    "+49 30 1234567",
    "12345",
    "SKU 1234",
    "W29",
    "L30",
    "W29 L30",
    "29x30",
    "29 x 30",
    "8P",
    "12W",
    "28R",
    "28M",
    "UK 12",
    "Size 8",
    "36/30",
    "29/30",
    "10/12",
    "28/29/30",
    "XS/8",
    "3O",
    "l2",
    "2B",
    "1.2.3",
    "28-29-30",
    "27, 28",
    "27 28",
    "7 1 2",
    "1/0",
    "0/2",
    "3/",
    "/4",
    "1//2",
    "9 3/100",
    "28 m",
    "0.815 M",
    "Front rise 10",
    "10 inches below crotch",
    "36.5 max if hemmed",
    "see note 3",
    "27 or so",
    "3 pockets",
    "00",
    "1e3",
    "0x10",
    "1_000",
    "inf",
    "nan",
]


@pytest.mark.parametrize("text", NO_FIGURES)
def test_no_figure(text: str) -> None:
    assert read_number(text) is None


@pytest.mark.parametrize(
    ("text", "decimal", "value", "sure"),
    [
        pytest.param("80,000", ",", F(80), True, id="comma-proved"),
        pytest.param("80.000", ".", F(80), True, id="dot-proved"),
        pytest.param("1,014", ".", F(1014), True, id="thousands-proved"),
        pytest.param("1,014", ",", F(507, 500), True, id="decimals-proved"),
        pytest.param("27.125", ",", F(217, 8), False, id="against-the-others"),
        pytest.param("27.25", ",", F(109, 4), True, id="two-digits-are-decimals-anyhow"),
        pytest.param("1,25", ".", F(5, 4), True, id="two-digits-behind-a-comma"),
    ],
)
def test_decimal_mark_proved_elsewhere(text: str, decimal: str, value: Fraction, sure: bool) -> None:
    printed = read(text, decimal=decimal)
    assert (printed.value, not printed.doubt) == (value, sure)


def test_declared_unit_decides_thousands_and_is_not_filled_in() -> None:
    printed = read("1,014", unit="mm")
    assert (printed.value, printed.unit, printed.doubt) == (1014, "", "")
    assert read("1.014", unit="m").value == F(507, 500)
    assert read("1.250", unit="in").doubt == ""
    assert read("1.014", unit="cm").doubt


def test_no_sign_of_a_number_slips_a_thousandfold() -> None:
    """Whatever mark stands before three digits: nothing above 2,500 is ever read without doubt."""
    for whole in (1, 2, 3, 27, 80, 815):
        for mark in (".", ",", "'", " "):
            for tail in ("000", "125", "014", "500"):
                for unit in ("", " cm", " mm", " in", '"'):
                    for decimal in ("", ".", ","):
                        printed = read_number(f"{whole}{mark}{tail}{unit}", decimal=decimal)
                        assert printed is None or printed.doubt or printed.value <= 2500


# ---- outside values --------------------------------------------------------------------------------------------------


def test_parser_traps() -> None:
    """parser_traps.csv: strings that pint 0.25.3, quantulum3 0.10.0 and babel 2.18.0 read wrongly (run and noted there)."""
    rows = {
        row["text"]: row["right_reading"] for row in csv.DictReader((DATA / "parser_traps.csv").open(encoding="utf-8"))
    }
    for text in ("27 1/2 inch", '27½"', "81,5 cm", "half an inch", "2 feet 3 inches"):
        number, unit = rows[text].split()
        printed = read(text)
        assert (printed.value, printed.unit) == (F(number), unit), text
    assert read("+/- 1/4").kind == "tolerance"
    signs = rows["½ ¼ ¾ ⅛ ⅜ ⅝ ⅞"].split()
    for sign, value in zip("½¼¾⅛⅜⅝⅞", signs, strict=True):
        assert read(sign).value == F(value) == F(unicodedata.numeric(sign))


def test_glued_row_of_a_standard() -> None:
    """ASTM D5585-11e1, Table 1, bust row as shown on ASTM's page: its figures glued and as they are meant."""
    rows = list(csv.DictReader((DATA / "parser_traps.csv").open(encoding="utf-8")))
    meant = next(row["right_reading"] for row in rows if row["text"].startswith("311/831")).split(", ")
    for text in meant:
        value = sum(F(part) for part in text.split())
        assert read(text).value == value
        if "/" in text:
            glued = read(text.replace(" ", ""))
            assert (glued.value, bool(glued.doubt)) == (value, True)


# ---- printing and reading back ---------------------------------------------------------------------------------------

_SUPER = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_SUB = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_GLYPHS = {F(unicodedata.numeric(c)).limit_denominator(8): c for c in "½¼¾⅛⅜⅝⅞"}

sixty_fourths = st.integers(1, 60 * 64).map(lambda n: F(n, 64))


def _mixed(value: Fraction, gap: str, built: bool) -> str:
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    top, bottom = part.numerator, part.denominator
    fraction = f"{str(top).translate(_SUPER)}⁄{str(bottom).translate(_SUB)}" if built else f"{top}/{bottom}"
    return f"{whole}{gap if not built or gap == ' ' else ''}{fraction}" if whole else fraction


@given(
    sixty_fourths,
    st.sampled_from([" ", "-", " - ", "\u00a0", "\u2009"]),
    st.booleans(),
    st.sampled_from(["", '"', "”", " in", " Zoll", "吋"]),
)
def test_mixed_numbers_come_back(value: Fraction, gap: str, built: bool, unit: str) -> None:
    printed = read(_mixed(value, gap, built) + unit)
    assert (printed.value, printed.doubt) == (value, "")
    assert printed.unit == ("in" if unit else "")


@given(sixty_fourths, st.sampled_from([".", ","]), st.sampled_from(["", "0"]))
def test_decimals_come_back(value: Fraction, mark: str, zeros: str) -> None:
    text = str(Decimal(value.numerator) / Decimal(value.denominator))
    printed = read(text.replace(".", mark) + (zeros if "." in text else ""))
    assert printed.value == value or value in printed.rivals
    assert not printed.doubt or re.search(r"^[12]\D\d{3}$|\D000$", text + zeros)


@given(
    st.integers(1, 15_000).map(lambda n: F(n, 10)),
    st.sampled_from([".", ","]),
    st.sampled_from(["mm", " mm", "ＭＭ", " 毫米"]),
)
def test_tenths_of_millimetres_come_back(value: Fraction, mark: str, unit: str) -> None:
    text = (
        f"{value.numerator * (10 // value.denominator) // 10}{mark}{value.numerator * (10 // value.denominator) % 10}"
    )
    printed = read(text + unit)
    assert (printed.value, printed.unit, printed.doubt) == (value, "mm", "")


@given(sixty_fourths, sixty_fourths, st.sampled_from(["-", " - ", "–", " to ", "~", " bis "]))
def test_ranges_come_back(one: Fraction, other: Fraction, dash: str) -> None:
    low, high = sorted((one + 20, other + 20))
    if low == high:
        return
    printed = read(f"{_mixed(low, ' ', False)}{dash}{_mixed(high, ' ', False)}")
    assert (printed.value, printed.upper) == (low, high)


@given(st.text(max_size=24))
def test_any_text_is_read_or_refused_without_an_error(text: str) -> None:
    printed = read_number(text)
    assert printed is None or printed.upper is None or printed.upper > printed.value


@given(st.text(alphabet="0123456789 /-.,½¾\"'±+x()cminft~⁄³₄", max_size=14))
def test_any_figure_like_text_is_read_or_refused_without_an_error(text: str) -> None:
    printed = read_number(text)
    assert printed is None or printed.value.denominator > 0
