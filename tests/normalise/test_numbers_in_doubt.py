"""What may be read in two ways, what is no figure, and what the caller may know beforehand."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from halfinch.normalise.numbers import Printed, read_number

F = Fraction
DATA = Path(__file__).parents[1] / "data"


def read(text: str, **hints: str) -> Printed:
    printed = read_number(text, **hints)
    assert printed is not None, f"{text!r} was not read"
    return printed


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
        pytest.param("81 32", {F(81), F(32)}, id="centimetres-and-inches-or-two-figures"),
        pytest.param("38/76", {F(38), F(76)}, id="flat-and-round-or-two-figures"),
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
    "28 and half elastic",
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
