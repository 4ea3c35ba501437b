"""Raw figures become Figures: scopes, ranges, exact storage, prices, shares, outcome and findings."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from small_sheets import read_sheet, show, want

from halfinch import knowledge
from halfinch.interpret import interpret
from halfinch.interpret.finish import read_share
from halfinch.interpret.prices import read_price
from halfinch.readers.pdf import SCANNED
from halfinch.sheet import Sheet

PRICES = [
    pytest.param("€ 89,90", "", Decimal("89.90"), "EUR", id="euro before, comma"),
    pytest.param("89.90 EUR", "", Decimal("89.90"), "EUR", id="code behind"),
    pytest.param("$120", "", Decimal(120), "USD", id="no cents"),
    pytest.param("£1,250.00", "", Decimal("1250.00"), "GBP", id="thousands and cents"),
    pytest.param("1.250,00 €", "", Decimal("1250.00"), "EUR", id="thousands by points"),
    pytest.param("¥12,800", "", Decimal(12800), "JPY", id="yen"),
    pytest.param("89", "usd", Decimal(89), "USD", id="currency in its own column"),
    pytest.param("on request", "", None, "", id="none"),
    pytest.param("", "EUR", None, "", id="empty"),
]


@pytest.mark.parametrize(("text", "currency", "price", "code"), PRICES)
def test_prices(text: str, currency: str, price: Decimal | None, code: str) -> None:
    assert read_price(text, currency, knowledge.load()) == (price, code)


SHARES = [("20 %", Fraction(1, 5)), ("2,5%", Fraction(1, 40)), ("12.5 %", Fraction(1, 8)), ("some", None)]


@pytest.mark.parametrize(("text", "share"), SHARES)
def test_stretch_as_a_share(text: str, share: Fraction | None) -> None:
    assert read_share(text) == share


def test_an_inseam_a_length_and_a_girth_for_all_lengths() -> None:
    rows = [
        ["Size", "Waist round (in)", "Inseam L28 (in)", "Inseam L32 (in)"],
        ["27", "28", "28", "32"],
        ["28", "29", "28", "32"],
    ]
    figures = read_sheet("# Jeans", rows).figures
    scopes = {(one.point, one.length): one.length_scope for one in figures}
    assert scopes == {
        ("label_waist", ""): "all",
        ("waist", ""): "all",
        ("inseam", "28"): "one",
        ("inseam", "32"): "one",
    }


def test_a_girth_of_a_regular_block_is_not_said_to_hold_for_petite() -> None:
    rows = [
        ["Size", "Waist round (in)", "Inseam regular (in)", "Inseam petite (in)"],
        ["4", "28", "30", "28"],
        ["6", "29", "30", "28"],
    ]
    scopes = {one.length_scope for one in read_sheet("# Jeans", rows).figures if one.point == "waist"}
    assert scopes == {"unsaid"}


def test_a_size_that_is_not_said() -> None:
    (figure,) = read_sheet("# Jeans", [["Inseam", "30 in"], ["Style", "Alma"]]).figures
    assert (figure.size, figure.size_scope) == ("", "unsaid")


def test_a_range_keeps_both_ends_and_flat_doubles_both() -> None:
    rows = [
        ["POM (in)", "4", "6"],
        ["1/2 waist", "14-14.5", "14.5-15"],
        ["Inseam", "30", "30"],
        ["Front rise", "9", "9"],
    ]
    assert show(read_sheet("# Jeans", rows).figures)["waist"] == {"4=28..29", "6=29..30"}


EXACT = [
    pytest.param("30 1/64", "in", 762_396_875, id="a 64th of an inch"),
    pytest.param("76.25", "cm", 762_500_000, id="a quarter millimetre"),
    pytest.param("761", "mm", 761_000_000, id="millimetres"),
    pytest.param("76,2", "cm", 762_000_000, id="decimal comma"),
]


@pytest.mark.parametrize(("text", "unit", "nm"), EXACT)
def test_lengths_are_exact(text: str, unit: str, nm: int) -> None:
    rise = {"in": "9", "cm": "25", "mm": "250"}[unit]
    result = read_sheet("# Jeans", [[f"POM ({unit})", "4"], ["Inseam", text], ["Front rise", rise]])
    assert [one.length_nm for one in result.figures if one.point == "inseam"] == [nm]


def test_outcome() -> None:
    assert read_sheet("# Jeans", [["POM (in)", "4"], ["Inseam", "30"]]).outcome == "read"
    nothing = read_sheet("# A letter", "Dear reader")
    assert (nothing.outcome, bool(nothing.message)) == ("nothing", True)
    assert interpret(Sheet("scan.pdf", "pdf", "pdf", warnings=(SCANNED,)), knowledge.load()).outcome == "scanned"


def test_every_finding_points_at_figures_that_exist() -> None:
    rows = [["POM", "4", "6"], ["Waist", "28", "29"], ["Hem", "10", "10"], ["Inseam", "30", "80"]]
    result = read_sheet("# Jeans", rows)
    assert result.findings
    for finding in result.findings:
        assert all(0 <= index < len(result.figures) for index in finding.figures)
        assert finding.message
    held = {index for index, one in enumerate(result.figures) if one.status == "held"}
    assert held <= {index for one in result.findings if one.severity == "error" for index in one.figures}


def test_assumed_figures_say_why() -> None:
    rows = [["POM", "4", "6"], ["Waist", "28", "29"], ["Hem", "7", "7"], ["Inseam", "30", "30"]]
    result = read_sheet("# Jeans", rows)
    noted = {index for one in result.findings if one.severity == "note" for index in one.figures}
    assert {index for index, one in enumerate(result.figures) if one.status == "assumed"} <= noted


def test_the_same_sheet_gives_the_same_result() -> None:
    rows = [["POM", "4", "6"], ["Waist", "28", "29"], ["Hem", "7", "7"], ["Inseam", "30", "30"]]
    assert read_sheet("# Jeans", rows) == read_sheet("# Jeans", rows)


def test_a_span_told_for_all_sizes_has_no_size() -> None:
    result = read_sheet("# Jeans", 'Inseam: Regular 30", Tall 34"')
    assert show(result.figures) == want("inseam */regular=30 */tall=34")
