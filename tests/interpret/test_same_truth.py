"""The same truth printed otherwise says the same: turned, shuffled, in the other unit, with chrome, in two tables.

Places differ, figures do not. And a garment of random numbers comes back exactly as it was printed.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_sheets import read_sheet

from halfinch.figure import NM_PER_INCH, SheetResult

Truth = dict[tuple[str, str], Fraction]
"""(label, size) to inches as printed."""

ROUND = {"Waist round": (24, 34), "Hip round": (36, 44), "Thigh round": (22, 27), "Knee round": (15, 18)}
LENGTH = {"Front rise": (9, 12), "Back rise": (14, 16), "Inseam": (27, 32)}
POINTS = {
    "Waist round": "waist", "Hip round": "hip", "Thigh round": "thigh", "Knee round": "knee",
    "Front rise": "front_rise", "Back rise": "back_rise", "Inseam": "inseam",
}  # fmt: skip
SIZES = ["4", "6", "8", "10"]
FAST = settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def truths(draw: st.DrawFn, unit: Fraction = Fraction(1, 4)) -> Truth:
    """A garment that grades evenly: a base in range and one step a point, in quarters of an inch."""
    labels = draw(st.lists(st.sampled_from(sorted(POINTS)), min_size=3, max_size=6, unique=True))
    truth: Truth = {}
    for label in labels:
        low, high = {**ROUND, **LENGTH}[label]
        base = unit * draw(st.integers(int(low / unit), int(high / unit)))
        steps = (
            [Fraction(1, 2), Fraction(1)] if label in ("Waist round", "Hip round") else [Fraction(0), Fraction(1, 4)]
        )
        step = draw(st.sampled_from(steps))
        truth |= {(label, size): base + step * index for index, size in enumerate(SIZES)}
    return truth


def text(value: Fraction, factor: Fraction = Fraction(1)) -> str:
    """A decimal that is exact: quarters, or halves of an inch in hundredths of a centimetre."""
    exact = value * factor
    whole = f"{float(exact):.4f}".rstrip("0").rstrip(".")
    assert Fraction(whole) == exact
    return whole


def points_down(
    truth: Truth, unit: str = "in", factor: Fraction = Fraction(1), sizes: list[str] = SIZES
) -> list[list[str]]:
    labels = list(dict.fromkeys(label for label, _ in truth))
    return [
        [f"POM ({unit})", *sizes],
        *([label, *(text(truth[label, size], factor) for size in sizes)] for label in labels),
    ]


def turned(rows: list[list[str]]) -> list[list[str]]:
    """Points across; the corner speaks of sizes then."""
    across = [list(row) for row in zip(*rows, strict=True)]
    unit = across[0][0][across[0][0].index("(") :]
    return [["Size", *(f"{label} {unit}" for label in across[0][1:])], *across[1:]]


def told(result: SheetResult) -> set[tuple[str, str, str, int, str]]:
    """Everything of the figures but their places and printed text."""
    return {(one.point, one.size, one.length, one.length_nm, one.status) for one in result.figures}


def said(truth: Truth) -> set[tuple[str, str, str, int]]:
    return {(POINTS[label], size, "", int(value * NM_PER_INCH)) for (label, size), value in truth.items()}


def lengths(result: SheetResult) -> set[tuple[str, str, str, int]]:
    return {one[:4] for one in told(result)}


@FAST
@given(truth=truths())
def test_random_numbers_come_back_exactly(truth: Truth) -> None:
    result = read_sheet("# Alma jeans", points_down(truth))
    assert lengths(result) == said(truth)
    assert len(result.figures) == len(truth)


@FAST
@given(truth=truths())
def test_turned(truth: Truth) -> None:
    rows = points_down(truth)
    assert told(read_sheet("# Alma jeans", turned(rows))) == told(read_sheet("# Alma jeans", rows))


@FAST
@given(truth=truths(), data=st.data())
def test_points_in_another_order(truth: Truth, data: Any) -> None:
    rows = points_down(truth)
    shuffled = [rows[0], *data.draw(st.permutations(rows[1:]))]
    assert told(read_sheet("# Alma jeans", shuffled)) == told(read_sheet("# Alma jeans", rows))


@FAST
@given(truth=truths())
def test_largest_size_first(truth: Truth) -> None:
    rows = points_down(truth)
    backward = [[row[0], *reversed(row[1:])] for row in rows]
    assert told(read_sheet("# Alma jeans", backward)) == told(read_sheet("# Alma jeans", rows))


@FAST
@given(truth=truths(unit=Fraction(1, 2)))
def test_exact_centimetres(truth: Truth) -> None:
    """Half an inch is 1.27 cm: the same nanometres, printed in either unit."""
    halves = {key: Fraction(round(value * 2), 2) for key, value in truth.items()}
    metric = read_sheet("# Alma jeans", points_down(halves, "cm", Fraction(254, 100)))
    assert told(metric) == told(read_sheet("# Alma jeans", points_down(halves)))


NOISE = [
    "~ Home / Women / Jeans",
    "~ Free delivery over $50",
    "Add to bag",
    "~ 10 % off your first order",
    "Sign up for our letters",
]


@FAST
@given(
    truth=truths(),
    before=st.lists(st.sampled_from(NOISE), max_size=3),
    after=st.lists(st.sampled_from(NOISE), max_size=3),
)
def test_chrome_around_it(truth: Truth, before: list[str], after: list[str]) -> None:
    rows = points_down(truth)
    noisy = read_sheet(*before, "# Alma jeans", rows, *after)
    assert told(noisy) == told(read_sheet("# Alma jeans", rows))


@FAST
@given(truth=truths(), cut=st.integers(1, 5))
def test_broken_in_two_with_the_head_again(truth: Truth, cut: int) -> None:
    rows = points_down(truth)
    at = min(cut, len(rows) - 2)
    broken = read_sheet("# Alma jeans", rows[: at + 1], [rows[0], *rows[at + 1 :]])
    assert told(broken) == told(read_sheet("# Alma jeans", rows))


@FAST
@given(truth=truths())
def test_sizes_in_two_tables(truth: Truth) -> None:
    first, second = points_down(truth, sizes=SIZES[:2]), points_down(truth, sizes=SIZES[2:])
    assert lengths(read_sheet("# Alma jeans", first, second)) == said(truth)


@FAST
@given(truth=truths())
def test_one_figure_a_row(truth: Truth) -> None:
    rows = [
        ["size", "pom", "value", "unit"],
        *([size, label, text(value), "in"] for (label, size), value in truth.items()),
    ]
    assert told(read_sheet("# Alma jeans", rows)) == told(read_sheet("# Alma jeans", points_down(truth)))


@FAST
@given(truth=truths())
def test_printed_twice(truth: Truth) -> None:
    rows = points_down(truth)
    assert told(read_sheet("# Alma jeans", rows, rows)) == told(read_sheet("# Alma jeans", rows))


def flat(truth: Truth) -> Truth:
    """Girths halved, as one lays them flat; names say so."""
    return {
        (label.replace(" round", " flat"), size): value / 2 if "round" in label else value
        for (label, size), value in truth.items()
    }


@FAST
@given(truth=truths())
def test_flat_is_the_same_girth(truth: Truth) -> None:
    result = read_sheet("# Alma jeans", points_down(flat(truth)))
    assert told(result) == told(read_sheet("# Alma jeans", points_down(truth)))


@pytest.mark.parametrize("size", SIZES)
def test_a_slip_holds_its_own_figure_and_not_the_other_points(size: str) -> None:
    truth = {("Inseam", one): Fraction(30) for one in SIZES} | {("Front rise", one): Fraction(9) for one in SIZES}
    rows = points_down(truth | {("Inseam", size): Fraction(3)})
    held = {(one.point, one.size) for one in read_sheet("# Alma jeans", rows).figures if one.status == "held"}
    assert held == {("inseam", size)}
