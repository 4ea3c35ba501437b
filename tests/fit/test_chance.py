"""Sums of rectangular terms against closed forms, `uncertainties`, the normal table and Monte Carlo."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfinch.fit.chance import (
    Event,
    Limit,
    Term,
    chance_at_most,
    chance_at_most_many,
    chance_within,
    combine_u,
    joint_chance,
)

HALVES = st.lists(st.floats(1e-4, 3), min_size=1, max_size=6)


@pytest.mark.parametrize(
    ("halves", "x", "expected"),
    [
        pytest.param([0.5], -0.25, 0.25, id="one-term-is-a-straight-line"),
        pytest.param([0.5, 0.5], 0.5, 1 - 0.125, id="two-equal-terms-a-triangle"),
        pytest.param([0.5, 0.25], 0.0, 0.5, id="symmetric"),
        # trapezium of half widths a > b: the tail beyond a - b is a parabola (a + b - x)^2 / (8 a b)
        pytest.param([0.5, 0.25], 0.5, 1 - 0.25**2 / (8 * 0.5 * 0.25), id="two-terms-a-trapezium"),
        # three equal terms of half width h (Irwin-Hall, n = 3): tail beyond h is (3h - x)^3 / (48 h^3)
        pytest.param([1.0, 1.0, 1.0], 2.0, 1 - 1 / 48, id="three-equal-terms-tail"),
        # and in the middle 1/2 + 3x/(8h) - x^3/(24 h^3)
        pytest.param([1.0, 1.0, 1.0], 0.5, 0.5 + 3 / 16 - 0.125 / 24, id="three-equal-terms-middle"),
        pytest.param([0.5], 0.5, 1.0, id="at-the-end"),
        pytest.param([0.5, 0.0], 0.25, 0.75, id="a-term-without-width-is-none"),
        pytest.param([], 0.0, 1.0, id="nothing-unsure-on-the-limit"),
        pytest.param([], -1e-12, 0.0, id="nothing-unsure-beyond"),
    ],
)
def test_closed_forms(halves: list[float], x: float, expected: float) -> None:
    assert chance_at_most(halves, x) == pytest.approx(expected, abs=1e-14)


@pytest.mark.parametrize("count", [4, 5, 6])
def test_irwin_hall_tail(count: int) -> None:
    """n equal terms on [-1/2, 1/2]: P(S > n/2 - t) = t^n / n! for t <= 1 (Irwin-Hall)."""
    from math import factorial

    assert 1 - chance_at_most([0.5] * count, count / 2 - 0.5) == pytest.approx(0.5**count / factorial(count), rel=1e-9)


@pytest.mark.parametrize(
    ("half", "expected"),
    [
        pytest.param(0.25, 0.1443, id="tolerance-quarter-inch"),
        pytest.param(0.5, 0.2887, id="tolerance-half-inch"),
        pytest.param(0.4, 0.23, id="JCGM-100-4.3.7-copper"),
    ],
)
def test_standard_uncertainty(half: float, expected: float) -> None:
    """numeric_checks: u = a / sqrt(3) (JCGM 100 4.3.7, clause from memory, arithmetic computed)."""
    assert combine_u([half]) == pytest.approx(expected, abs=0.0011)
    assert combine_u([half]) == pytest.approx(half / sqrt(3))


def test_combined_uncertainty_against_uncertainties() -> None:
    """uncertainties 3.2: the difference of +/- 1/4 and +/- 1/2 has u = 0.3227 in."""
    from uncertainties import ufloat

    difference = ufloat(30, 0.25 / sqrt(3)) - ufloat(29, 0.5 / sqrt(3))
    assert combine_u([0.25, 0.5]) == pytest.approx(difference.std_dev)
    assert combine_u([0.25, 0.5]) == pytest.approx(0.3227, abs=5e-5)


@pytest.mark.parametrize(
    ("z", "phi"),
    [(-3.0, 0.00135), (-2.5, 0.00621), (0.10, 0.5398), (0.70, 0.7580), (1.0, 0.84134), (1.96, 0.97500)],
)
def test_normal_beyond_six_terms(z: float, phi: float) -> None:
    """A z table (scipy agrees): seven terms use the normal distribution of the same variance."""
    halves = [0.5] * 7
    assert chance_at_most(halves, z * combine_u(halves)) == pytest.approx(phi, abs=5e-5)


def test_normal_joins_smoothly() -> None:
    """Seven equal terms by the normal are near six equal ones of the same variance: a kurtosis of -0.2 moves the
    distribution by 0.2 / 24 |z^3 - 3 z| phi(z), at most 0.0046."""
    six, seven = [0.5] * 6, [0.5 * sqrt(6 / 7)] * 7
    for z in (-2.0, -1.0, 0.3, 1.5):
        x = z * combine_u(six)
        assert chance_at_most(seven, x) == pytest.approx(chance_at_most(six, x), abs=0.0047)


@given(HALVES, st.floats(-6, 6))
@settings(max_examples=60, deadline=None)
def test_symmetric_and_growing(halves: list[float], x: float) -> None:
    here = chance_at_most(halves, x)
    assert here + chance_at_most(halves, -x) == pytest.approx(1, abs=1e-12)
    assert chance_at_most(halves, x + 0.1) >= here
    assert chance_at_most(halves[::-1], x) == pytest.approx(here, abs=1e-12)


@pytest.mark.parametrize("narrow", [1e-2, 1e-5, 1e-9, 1e-13])
def test_a_term_far_narrower_than_the_rest_costs_no_digit(narrow: float) -> None:
    """In floating point the sum of signed powers loses every digit here; fractions do not."""
    wide = [0.5, 0.375, 0.25]
    exact = chance_within([*wide, narrow, narrow, narrow], -0.5, 0.5)
    assert exact == pytest.approx(chance_within(wide, -0.5, 0.5), abs=narrow**2 * 2 + 1e-12)


@given(st.lists(st.floats(0.02, 1), min_size=1, max_size=4), st.floats(-3, 3))
@settings(max_examples=60, deadline=None)
def test_floating_point_form_equals_the_exact_one(halves: list[float], x: float) -> None:
    assert float(chance_at_most_many(halves, x)) == pytest.approx(chance_at_most(halves, x), abs=1e-8)


@pytest.mark.parametrize("count", [2, 3, 5, 6])
def test_against_monte_carlo(count: int) -> None:
    dice = np.random.default_rng(count)
    halves = dice.uniform(0.05, 0.6, count)
    drawn = sum(dice.uniform(-half, half, 400_000) for half in halves)
    for low, high in ((-0.5, 0.5), (-0.1, 0.7), (-2.0, 0.0)):
        share = float(np.mean((drawn >= low) & (drawn <= high)))
        assert chance_within(list(halves), low, high) == pytest.approx(share, abs=0.004)


# --- several points ------------------------------------------------------------------------------------------------

TERMS = {
    name: Term(name, half, ask)
    for name, half, ask in (
        ("body hip", 0.5, "body"), ("body waist", 0.5, "body"), ("waist", 1.0, "merchant"), ("hip", 1.0, "merchant"),
        ("stretch", 0.03, "merchant"), ("rise", 0.25, "merchant"), ("inseam", 0.375, "body"), ("tailor", 0.125, ""),
    )
}  # fmt: skip
WAIST = Event(
    "waist",
    (
        Limit({"waist": 1.05, "body waist": -0.7, "body hip": -0.3, "stretch": 7.0, "rise": 0.2}, low=-0.6),
        Limit({"waist": 1.0, "body waist": -0.7, "body hip": -0.3, "rise": 0.2}, high=0.9),
    ),
)
HIP = Event(
    "hip",
    (Limit({"hip": 1.1, "body hip": -1.0, "stretch": 19.0}, low=-0.7), Limit({"hip": 1.0, "body hip": -1.0}, high=1.6)),
)
RISE = Event("front_rise", (Limit({"rise": 1.0}, -0.1, 0.8),))
LEG = Event("inseam", (Limit({"inseam": -1.0, "tailor": 1.0}, -0.4, 0.4),))


def draw(events: list[Event], count: int = 1_000_000) -> float:
    dice = np.random.default_rng(5)
    values = {name: dice.uniform(-term.half, term.half, count) for name, term in TERMS.items()}
    good = np.ones(count, dtype=bool)
    for event in events:
        for limit in event.limits:
            error = sum(factor * values[name] for name, factor in limit.factors.items())
            good &= (error >= limit.low) & (error <= limit.high)
    return float(good.mean())


@pytest.mark.parametrize(
    "events",
    [
        pytest.param([LEG], id="alone"),
        pytest.param([LEG, HIP], id="nothing-shared"),
        pytest.param([WAIST, HIP], id="two-shared"),
        pytest.param([WAIST, RISE], id="a-step-in-the-shared-term"),
        pytest.param([LEG, WAIST, HIP, RISE], id="all"),
    ],
)
def test_joint_chance_against_monte_carlo(events: list[Event]) -> None:
    assert joint_chance(events, TERMS).joint == pytest.approx(draw(events), abs=0.003)


def test_points_that_share_a_term_are_not_multiplied() -> None:
    """Two events that are the very same error come true together: the chance is one of them, not its square."""
    twin = Event("twin", (Limit({"body hip": 1.0, "hip": 1.0}, -0.5, 0.5),))
    same = Event("same", (Limit({"body hip": 1.0, "hip": 1.0}, -0.5, 0.5),))
    both = joint_chance([twin, same], TERMS)
    assert both.joint == pytest.approx(both.points["twin"], abs=0.01)
    assert both.joint > both.points["twin"] ** 2 + 0.1


def test_points_that_share_nothing_are_multiplied() -> None:
    both = joint_chance([LEG, HIP], TERMS)
    assert both.joint == pytest.approx(both.points["inseam"] * both.points["hip"], abs=1e-12)


def test_joint_is_never_above_its_least_point() -> None:
    found = joint_chance([LEG, WAIST, HIP, RISE], TERMS)
    assert found.joint <= min(found.points.values()) + 1e-9


def test_the_measure_worth_asking_for() -> None:
    """The widest term that somebody can answer: never one that nobody can, never one that cannot matter."""
    wide = Event("leg", (Limit({"inseam": 1.0, "tailor": 1.0, "rise": 1.0}, -0.3, 0.3),))
    found = joint_chance([wide], TERMS)
    assert (found.most_doubt, found.ask) == ("inseam", "body")
    assert 0 < found.doubt_gone <= 1
    sure = Event("leg", (Limit({"inseam": 1.0, "tailor": 1.0}, -3, 3),))
    assert joint_chance([sure], TERMS).most_doubt == ""
    nobody = Event("leg", (Limit({"tailor": 1.0}, -0.1, 0.1),))
    assert joint_chance([nobody], TERMS).most_doubt == ""


def test_once_the_only_term_is_known_no_doubt_is_left() -> None:
    found = joint_chance([Event("leg", (Limit({"inseam": 1.0}, -0.1, 0.1),))], TERMS)
    assert found.joint == pytest.approx(0.1 / 0.375)
    assert found.doubt_gone == pytest.approx(1.0, abs=1e-9)
