"""Printed figures of whole cells: every way of typing one length, and what is none."""

from __future__ import annotations

from fractions import Fraction

import pytest

from halfinch.normalise.numbers import Printed, read_number

F = Fraction


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
    "9-\n3/4",
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
        pytest.param("28吋半", F(57, 2), "in", id="half-behind-the-unit-chinese"),
        pytest.param("28인치 반", F(57, 2), "in", id="half-behind-the-unit-korean"),
        pytest.param("28 inches and a half", F(57, 2), "in", id="half-behind-the-unit"),
        pytest.param("28半", F(57, 2), "", id="half-behind-the-number"),
        pytest.param("27·5", F(55, 2), "", id="middle-dot"),
        pytest.param("30.000 cm", F(30), "cm", id="three-zeros-with-a-unit"),
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
        pytest.param("32 (81)", 32, "in", 81, "cm", id="whole-numbers-in-brackets"),
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
