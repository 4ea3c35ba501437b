"""Figures against outside values, and what is printed read back."""

from __future__ import annotations

import csv
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from halfinch.normalise.numbers import Printed, read_number

F = Fraction
DATA = Path(__file__).parents[1] / "data"


def read(text: str, **hints: str) -> Printed:
    printed = read_number(text, **hints)
    assert printed is not None, f"{text!r} was not read"
    return printed


# ---- outside values --------------------------------------------------------------------------------------------------


def test_parser_traps() -> None:
    """parser_traps.csv: strings that pint 0.25.3, quantulum3 0.10.0 and babel 2.18.0 read wrongly (noted there)."""
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
