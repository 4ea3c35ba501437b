"""Units: exact nanometres, in and out, flat or round; half inches."""

from __future__ import annotations

import csv
import timeit
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from pathlib import Path

import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from halfinch.figure import NM_PER_INCH
from halfinch.normalise.half_inch import divide_to_even, double_flat, half_inch
from halfinch.normalise.numbers import read_number
from halfinch.normalise.units import build_registry, from_nm, to_nm

F = Fraction


def test_factors_are_exact() -> None:
    """1 yd is 0.9144 m exactly (agreement of 1 July 1959), so the inch is 25.4 mm; scipy.constants agrees."""
    assert to_nm(F(1), "in") == 25_400_000 == NM_PER_INCH == round(scipy.constants.inch * 10**9)
    assert to_nm(F(1), "ft") == 304_800_000 == round(scipy.constants.foot * 10**9)
    assert [to_nm(F(1), unit) for unit in ("mm", "cm", "m")] == [10**6, 10**7, 10**9]
    # not the survey foot, 304.8006096 mm
    assert to_nm(F(36), "in") == to_nm(F(3), "ft") == to_nm(F(9144, 10000), "m")


@pytest.mark.parametrize("unit", ["in", "cm", "mm", "m", "ft"])
def test_our_definitions_agree_with_pints_own(unit: str) -> None:
    import pint

    own = pint.UnitRegistry(non_int_type=Fraction)
    assert from_nm(1, unit) == 1 / own.Quantity(F(1), {"in": "inch", "ft": "foot"}.get(unit, unit)).to("nm").magnitude
    assert isinstance(build_registry().Quantity(F(1), "inch").to("nanometer").magnitude, Fraction)


def test_unknown_unit_is_refused() -> None:
    with pytest.raises(ValueError, match="known: in, cm"):
        to_nm(F(1), "parsec")
    with pytest.raises(ValueError, match="''"):
        from_nm(1, "")


def test_every_sixty_fourth_goes_in_and_comes_out() -> None:
    for count in range(60 * 64 + 1):
        nm = to_nm(F(count, 64), "in")
        assert from_nm(nm, "in") == F(count, 64)
        assert from_nm(double_flat(nm), "in") == F(count, 32)
        assert nm == count * 396_875


def test_every_tenth_of_a_millimetre_goes_in_and_comes_out() -> None:
    for count in range(15_001):
        nm = to_nm(F(count, 10), "mm")
        assert nm == count * 100_000 == to_nm(F(count, 100), "cm")
        assert from_nm(nm, "mm") == F(count, 10)
        assert from_nm(double_flat(nm), "cm") == F(count, 50)


def test_what_is_no_whole_nanometre_is_rounded_to_even() -> None:
    assert to_nm(F(1, 3), "in") == 8_466_667
    assert to_nm(F(1, 2 * 10**6), "mm") == 0
    assert to_nm(F(3, 2 * 10**6), "mm") == 2
    assert to_nm(F(-1, 3), "in") == -8_466_667


def test_to_nm_is_quick() -> None:
    value = F(3, 64)
    to_nm(value, "in")
    assert min(timeit.repeat(lambda: to_nm(value, "in"), number=2000, repeat=5)) / 2000 < 5e-6


@pytest.mark.parametrize(
    ("inches", "expected"),
    [
        pytest.param("9.75", "10.0", id="tie-to-the-even-twenty"),
        pytest.param("27.25", "27.0", id="tie-to-the-even-fifty-four"),
        pytest.param("27.3", "27.5", id="no-tie"),
        pytest.param("12.75", "13.0", id="tie-to-the-even-twenty-six"),
        pytest.param("12.25", "12.0", id="tie-down"),
        pytest.param("31.5", "31.5", id="exact"),
        pytest.param("0.25", "0.0", id="tie-to-zero"),
        pytest.param("0.75", "1.0", id="tie-to-one"),
        pytest.param("17.3125", "17.5", id="hem-example"),
    ],
)
def test_half_inch(inches: str, expected: str) -> None:
    assert str(half_inch(to_nm(F(inches), "in"))) == expected


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        ("75", "cm", "29.5"),
        ("81", "cm", "32.0"),
        ("32.385", "cm", "13.0"),
        ("81.5", "cm", "32.0"),
        ("76", "cm", "30.0"),
        ("782.3", "mm", "31.0"),
    ],
)
def test_half_inch_of_metric_figures(value: str, unit: str, expected: str) -> None:
    """75 and 81 cm, and the tie 32.385 cm = 12.75 in: numeric_checks of the reference (arithmetic)."""
    assert half_inch(to_nm(F(value), unit)) == Decimal(expected)


@given(st.integers(0, 3 * 10**9))
def test_half_inch_is_decimals_round_half_even(nm: int) -> None:
    with_decimal = (Decimal(nm) / 12_700_000).quantize(Decimal(1), ROUND_HALF_EVEN) / 2
    assert half_inch(nm) == with_decimal
    assert abs(F(half_inch(nm)) * NM_PER_INCH - nm) <= 6_350_000  # 6.35 mm at most


@given(st.integers(-(10**12), 10**12), st.integers(1, 10**6))
def test_divide_to_even_is_fractions_round(dividend: int, divisor: int) -> None:
    assert divide_to_even(dividend, divisor) == round(F(dividend, divisor))


def test_published_waists_read_and_convert() -> None:
    """ASTM D5585-11e1 (rows read on ASTM's page): each printed waist is a whole count of eighths."""
    file = Path(__file__).parents[1] / "data" / "astm_d5585_misses.csv"
    rows = [row for row in csv.DictReader(file.open(encoding="utf-8")) if row["verified"] == "read here"]
    texts = [row[column] for row in rows for column in ("bust_in", "waist_in_or_waist_curvy_in", "waist_straight_in")]
    assert len(texts) == 36
    for text in texts:
        printed = read_number(text)
        assert printed is not None
        assert printed.value == sum(F(part) for part in text.split())
        assert to_nm(printed.value, "in") % 3_175_000 == 0
