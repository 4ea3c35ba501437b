"""Every limit of the verdict: on it, just inside, just outside; and the order in which verdicts are given."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from bodies import KNOWLEDGE, PETITE, body, garment
from hypothesis import given
from hypothesis import strategies as st

from halfinch.fit import GarmentSize, Plan, make_plan
from halfinch.fit.body import Band
from halfinch.fit.verdict import Judged, give_verdict, rate_cut, rate_miss

TINY = 1e-4
"""A little more than the catalogue's six decimals can tell."""

# A garment that is right for the petite body in every point. Her target in the block heel with 1/2 in clearance:
# 27 1/4 + 2 1/2 - 1/2 = 29 1/4. Waist: judged where a rise of 10 1/4 puts the band (girth below).
WEARER = replace(
    body(PETITE, waist_height=None, hip_height=None),  # waist judged against the waist itself: 29
    taste=replace(body(PETITE).taste, clearance={"": Band(1.0, 1.0)}),
)
TARGET = 27.25 + 2.5 - 1.0


def right(**changes: Any) -> GarmentSize:
    parts: dict[str, Any] = {
        "inseam": TARGET, "front_rise": 10.0, "waist": 29.5, "hip": 41.0, "knee": 18.0, "leg_opening": 21.0,
        "knee_at": 12.0, "silhouette": "wide", "fabric": "100% wool", "stretch": 0.0,
    }  # fmt: skip
    return garment(**{name: value for name, value in (parts | changes).items() if value is not None})


def plan(**changes: Any) -> Plan:
    return make_plan(right(**changes), WEARER, KNOWLEDGE, weigh=False)


def test_right_in_every_point() -> None:
    assert plan().verdict == "fits as bought"
    assert {point.state for point in plan().points if point.decisive} == {"fits"}


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        pytest.param({"inseam": TARGET + 0.5}, "fits as bought", id="cut-on-half-an-inch"),
        pytest.param({"inseam": TARGET + 0.5 - TINY}, "fits as bought", id="cut-just-inside"),
        pytest.param({"inseam": TARGET + 0.5 + TINY}, "fits with a hem", id="cut-just-outside"),
        pytest.param({"inseam": TARGET - 0.5}, "fits as bought", id="short-on-half-an-inch"),
        pytest.param({"inseam": TARGET - 0.5 - TINY, "hem_allowance": 2.0}, "fits with a hem", id="short-let-down"),
        pytest.param({"inseam": TARGET - 0.5 - TINY}, "not known", id="short-allowance-not-known"),
        pytest.param({"inseam": TARGET - 1.0, "hem_allowance": 1.375}, "fits with a hem", id="let-down-on-the-reach"),
        pytest.param({"inseam": TARGET - 1.0, "hem_allowance": 1.375 - TINY}, "no", id="let-down-just-beyond"),
        pytest.param({"inseam": TARGET - 1.625}, "not known", id="short-as-far-as-any-hem-reaches"),
        pytest.param({"inseam": TARGET - 1.625 - TINY}, "no", id="shorter-than-any-hem-reaches"),
        pytest.param({"inseam": TARGET - 1.0, "hem_allowance": 0.0}, "no", id="an-allowance-of-nothing-is-known"),
        pytest.param({"front_rise": 11.0}, "fits as bought", id="rise-on-the-band"),
        pytest.param({"front_rise": 11.0 + TINY}, "near miss", id="rise-just-above-the-band"),
        pytest.param({"front_rise": 11.5}, "near miss", id="rise-on-the-near-limit"),
        pytest.param({"front_rise": 11.5 + TINY}, "no", id="rise-just-beyond-the-near-limit"),
        pytest.param({"front_rise": 8.75}, "near miss", id="rise-below-on-the-near-limit"),
        pytest.param({"front_rise": 8.75 - TINY}, "no", id="rise-below-just-beyond"),
        pytest.param({"waist": 30.0}, "fits as bought", id="waist-on-the-most-ease"),
        pytest.param({"waist": 30.0 + TINY}, "near miss", id="waist-just-over-the-most-ease"),
        pytest.param({"waist": 31.0}, "near miss", id="waist-on-the-near-limit"),
        pytest.param({"waist": 31.0 + TINY}, "near miss", id="waist-beyond-is-taken-in"),
        pytest.param({"waist": 32.0}, "near miss", id="waist-on-what-can-be-taken-in"),
        pytest.param({"waist": 32.0 + TINY}, "no", id="waist-more-than-can-be-taken-in"),
        pytest.param({"waist": 29.0}, "fits as bought", id="waist-on-the-least-ease"),
        pytest.param({"waist": 29.0 - TINY}, "near miss", id="waist-just-too-small"),
        pytest.param({"waist": 28.0}, "near miss", id="waist-too-small-on-the-near-limit"),
        pytest.param({"waist": 28.0 - TINY}, "no", id="waist-too-small-beyond"),
        pytest.param({"hip": 40.5}, "fits as bought", id="hip-on-the-least-ease"),
        pytest.param({"hip": 40.5 - TINY}, "near miss", id="hip-just-too-small"),
        pytest.param({"hip": 39.5}, "near miss", id="hip-too-small-on-the-near-limit"),
        pytest.param({"hip": 39.5 - TINY}, "no", id="hip-too-small-beyond"),
        pytest.param({"hip": 47.0}, "fits as bought", id="hip-on-the-most-ease"),
        pytest.param({"hip": 48.0}, "near miss", id="hip-too-big-on-the-near-limit"),
        pytest.param({"hip": 48.0 + TINY}, "no", id="hip-too-big-beyond"),
        pytest.param({"leg_opening": 23.0}, "fits as bought", id="opening-on-the-most"),
        pytest.param({"leg_opening": 23.0 + TINY}, "near miss", id="opening-just-wider"),
        pytest.param({"leg_opening": 24.0}, "near miss", id="opening-on-the-near-limit"),
        pytest.param({"leg_opening": 27.0}, "near miss", id="opening-on-what-can-be-narrowed"),
        pytest.param({"leg_opening": 27.0 + TINY}, "no", id="opening-beyond-narrowing"),
        pytest.param(
            {"leg_opening": 27.5, "silhouette": "straight"}, "fits as bought", id="opening-of-a-straight-advises"
        ),
    ],
)
def test_limits(changes: dict[str, Any], verdict: str) -> None:
    assert plan(**changes).verdict == verdict


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        pytest.param({"front_rise": 14.0, "waist": None}, "no", id="no-though-another-is-unknown"),
        pytest.param({"front_rise": 11.25, "waist": None}, "near miss", id="near-though-another-is-unknown"),
        pytest.param({"waist": None}, "not known", id="unknown-before-fits"),
        pytest.param({"waist": None, "inseam": TARGET + 3}, "not known", id="unknown-before-a-hem"),
        pytest.param({"front_rise": 11.25, "inseam": TARGET + 3}, "near miss", id="near-before-a-hem"),
        pytest.param({"waist": 31.5, "leg_opening": 26.0}, "no", id="two-alterations-are-one-too-many"),
        pytest.param({"waist": 31.5, "front_rise": 11.25}, "near miss", id="one-alteration-and-a-near-miss"),
        pytest.param({"waist": 31.5, "inseam": TARGET + 2}, "near miss", id="a-hem-is-no-alteration"),
    ],
)
def test_order(changes: dict[str, Any], verdict: str) -> None:
    assert plan(**changes).verdict == verdict


def test_each_missing_point_is_named_and_asked_for() -> None:
    for point, ask in (("inseam", "inseam"), ("front_rise", "front rise"), ("waist", "waist"), ("hip", "hip"),
                       ("leg_opening", "leg opening")):  # fmt: skip
        found = plan(**{point: None})
        assert found.verdict == "not known"
        assert found.asks == (ask,)


def test_opening_without_a_limit_cannot_miss() -> None:
    free = replace(WEARER, taste=replace(WEARER.taste, most_opening=None))
    for opening in (None, 60.0):
        assert make_plan(right(leg_opening=opening), free, KNOWLEDGE, weigh=False).verdict == "fits as bought"


def test_opening_is_judged_as_worn() -> None:
    """As sold 23.5, too wide by 1/2; 6 in off bring 18 + 5.5 (28.75 - 12)/(34.75 - 12) = 22.05."""
    found = plan(leg_opening=23.5, inseam=TARGET + 6)
    assert found.verdict == "fits with a hem"
    assert found.leg.opening is not None
    assert found.leg.opening.after is not None
    assert found.leg.opening.after.middle == pytest.approx(18 + 5.5 * 16.75 / 22.75)


def test_a_caution_keeps_it_from_fitting_as_bought() -> None:
    """The same hem as bought, 1/4 in lower than can be walked on."""
    low = replace(WEARER, taste=replace(WEARER.taste, clearance={"": Band(0.2, 0.2)}))
    found = make_plan(right(inseam=27.25 + 2.5 - 0.2), low, KNOWLEDGE, weigh=False)
    assert found.cautions
    assert found.verdict == "fits with a hem"


def test_near_miss_names_its_alteration_even_without_a_price() -> None:
    assert plan(waist=31.5).alterations == ("take_in_waist",)
    assert plan(leg_opening=25.0).alterations == ("narrow_leg",)
    assert plan(inseam=TARGET + 2).alterations == ("hem",)
    assert plan(inseam=TARGET - 1, hem_allowance=2.0).alterations == ("let_down",)
    assert plan(waist=30.5).alterations == ()


def test_what_the_wearer_did_not_say_is_not_known() -> None:
    for key in ("front_rise", "waist", "hip", "inseam"):
        found = make_plan(right(), replace(WEARER, **{key: None}), KNOWLEDGE, weigh=False)
        assert found.verdict == "not known", key
        assert [point.ask for point in found.not_known if point.ask_whom == "wearer"] == [key]
    barefoot = make_plan(right(), replace(WEARER, shoes=()), KNOWLEDGE, weigh=False)
    assert barefoot.leg.cut is None
    assert [point.ask for point in barefoot.not_known] == ["shoes"]


def test_a_label_is_an_estimate_and_never_better_than_not_known() -> None:
    found = plan(waist=None, label_waist=29.0)
    assert found.verdict == "not known"
    judged = found.point("waist")
    assert judged is not None
    assert "29 in" in judged.reason
    assert "+/- 2 in" in judged.reason


@pytest.mark.parametrize(
    ("miss", "near", "mend", "state"),
    [(0, 1, 2, "fits"), (1, 1, 2, "near"), (-1, 1, 2, "near"), (1.0001, 1, 2, "mended"), (2, 1, 2, "mended"),
     (2.0001, 1, 2, "no"), (1.5, 1, 0, "no")],
)  # fmt: skip
def test_rate_miss(miss: float, near: float, mend: float, state: str) -> None:
    assert rate_miss(miss, near, mend) == state


@given(st.floats(0, 6), st.floats(0, 6))
def test_more_cloth_in_the_hem_never_fits_worse(short: float, more: float) -> None:
    order = ["fits", "hem", "no"]
    states = [rate_cut(-short, 0.5, allowance, 0.375, 2.0) for allowance in (1.0, 1.0 + more)]
    assert order.index(states[1]) <= order.index(states[0])


def test_advising_points_decide_nothing() -> None:
    judged = [Judged("inseam", True, "fits", ""), Judged("thigh", False, "no", "")]
    assert give_verdict(judged, False, KNOWLEDGE) == "fits as bought"


def test_every_verdict_lists_its_reasons() -> None:
    for changes in ({}, {"waist": None}, {"front_rise": 14.0}, {"inseam": TARGET + 2}):
        found = plan(**changes)
        assert {"inseam", "front_rise", "waist", "hip", "leg_opening"} <= {point.point for point in found.points}
        assert all(point.reason for point in found.points)
