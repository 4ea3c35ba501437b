"""Figure by figure: every way to differ is told, agreement is silence."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from halfinch.check import Expectation, compare_figures
from halfinch.figure import NM_PER_INCH, Figure, Garment, SheetResult


def inches(value: str) -> int:
    return int(Fraction(value) * NM_PER_INCH)


def read(point: str = "inseam", size: str = "8", value: str = "30", **more: object) -> Figure:
    figure = Figure(garment="g", point=point, size=size, length_nm=inches(value), raw=value, place="row=2;col=3")
    return replace(figure, **more)  # type: ignore[arg-type]


def want(point: str = "inseam", size: str = "8", value: str = "30", expect: str = "value", **more: str) -> Expectation:
    upper = more.pop("inches_to", "")
    named = {key: more.pop(key, "") for key in ("sheet", "style", "length")}
    number = Decimal(value) if expect == "value" else None
    return Expectation(
        2, expect, named["sheet"], named["style"], size, named["length"], point, number,
        Decimal(upper) if upper else None, more,
    )  # fmt: skip


def result(*figures: Figure, sheet: str = "shop/a.csv", garments: tuple[Garment, ...] = (Garment("g"),)) -> SheetResult:
    return SheetResult(sheet, "0" * 64, garments=garments, figures=figures)


CASES = [
    pytest.param([want()], [read()], [], id="the-same"),
    pytest.param([want()], [read(value="31")], ["wrong"], id="other-value"),
    pytest.param([want()], [], ["missing"], id="no-figure"),
    pytest.param([want()], [read(status="held")], ["wrongly held"], id="right-but-held"),
    pytest.param([want()], [read(size="8P")], ["missing", "invented"], id="size-with-its-length-left-in"),
    pytest.param([want()], [read(length="petite")], ["missing", "invented"], id="a-length-nobody-said"),
    pytest.param([want(), want(size="10")], [read()], ["missing"], id="lost-size"),
    pytest.param([want()], [read(), read(size="10")], ["invented"], id="one-too-many"),
    pytest.param([want()], [read(), read()], ["invented"], id="the-same-figure-twice"),
    pytest.param([want()], [read(), read(size="10", status="held")], [], id="held-figures-invent-nothing"),
    pytest.param([want(status="accepted")], [read(status="assumed")], ["status"], id="weaker-status"),
    pytest.param([want(status="assumed")], [read(status="accepted")], ["status"], id="stronger-status"),
    pytest.param([want(place="row=9;col=9")], [read()], ["place"], id="another-place"),
    pytest.param([want(convention="flat")], [read(convention="round")], ["convention"], id="another-convention"),
    pytest.param([want(basis="derived")], [read()], ["basis"], id="another-basis"),
    pytest.param([want(tolerance="0.5")], [read()], ["tolerance"], id="tolerance-lost"),
    pytest.param([want(tolerance="0.50")], [read(tolerance_minus_nm=inches("1/2"))], [], id="tolerance-kept"),
    pytest.param([want(inches_to="31")], [read()], ["inches_to"], id="range-lost"),
    pytest.param([want(inches_to="31")], [read(length_to_nm=inches("31"))], [], id="range-kept"),
    pytest.param([want()], [read(length_to_nm=inches("31"))], ["inches_to"], id="range-invented"),
    pytest.param([want(expect="hold")], [read(status="held")], [], id="held-as-asked"),
    pytest.param([want(expect="hold")], [read()], ["not held"], id="clean-where-it-must-be-held"),
    pytest.param([want(expect="hold")], [], [], id="absent-is-not-clean"),
    pytest.param([want(expect="hold", status="held")], [], ["lost"], id="must-be-seen-as-held"),
    pytest.param([want(point="", size="", expect="nothing")], [read()], ["invented"], id="a-figure-of-nothing"),
    pytest.param([want(point="", size="", expect="nothing")], [read("body_waist")], [], id="a-body-is-no-garment"),
    pytest.param([want()], [read(), read("label_waist")], [], id="labels-are-judged-only-when-asked"),
    pytest.param([want("label_hip")], [read("label_hip", value="31")], ["wrong"], id="labels-are-judged-when-asked"),
    pytest.param([want()], [read(), read("waist", status="set_aside")], [], id="set-aside-is-no-figure"),
]  # fmt: skip


@pytest.mark.parametrize(("expected", "figures", "kinds"), CASES)
def test_differences(expected: list[Expectation], figures: list[Figure], kinds: list[str]) -> None:
    assert [difference.kind for difference in compare_figures(expected, [result(*figures)])] == kinds


def test_six_decimals_are_compared_with_exact_storage() -> None:
    """81.5 cm is 32.086614173... in; the file prints six decimals."""
    exact = read(length_nm=815_000_000)
    assert compare_figures([want(value="32.086614")], [result(exact)]) == []
    assert compare_figures([want(value="32.086615")], [result(exact)])[0].kind == "wrong"


def test_two_garments_with_the_same_sizes_are_told_apart_by_style() -> None:
    garments = (Garment("g", style="Arden straight"), Garment("h", style="Kestle boot"))
    figures = (read(value="30"), read(value="32", garment="h"))
    right = [want(style="Kestle", value="32"), want(style="arden")]
    assert compare_figures(right, [result(*figures, garments=garments)]) == []
    turned = [want(style="Kestle"), want(style="Arden", value="32")]
    found = compare_figures(turned, [result(*figures, garments=garments)])
    assert [difference.kind for difference in found] == ["wrong", "wrong"]


def test_sheets_of_a_container_are_told_apart() -> None:
    results = [result(read(), sheet="m/outer.zip/a.csv"), result(read(value="31"), sheet="m/outer.zip/b.csv")]
    right = [want(sheet="outer.zip/b.csv", value="31"), want(sheet="outer.zip/a.csv")]
    assert compare_figures(right, results) == []
    turned = [want(sheet="outer.zip/a.csv", value="31"), want(sheet="outer.zip/b.csv")]
    assert {difference.kind for difference in compare_figures(turned, results)} == {"wrong"}


def test_a_difference_says_where_what_and_why() -> None:
    (difference,) = compare_figures([want()], [result(read(value="31", raw='31"'))])
    said = "shop/a.csv: size 8 inseam: expected 30 in, got 31 in (printed '31\"') at row=2;col=3"
    assert difference.message == said


def test_the_closest_figure_is_claimed_first() -> None:
    """Two figures of one key: the right one is taken for the row, the other is the invented one."""
    found = compare_figures([want(value="31")], [result(read(value="30"), read(value="31"))])
    assert [(difference.kind, difference.got) for difference in found] == [("invented", "30 in, accepted")]
