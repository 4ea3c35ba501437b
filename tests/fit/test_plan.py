"""Whole plans: what they say together, and how sure they are."""

from __future__ import annotations

import json
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import numpy as np
import pytest
from bodies import KNOWLEDGE, LEGS, PETITE, PLUS, TALL, body, garment

from halfinch.errors import UsageError
from halfinch.fit import GarmentSize, Point, make_plan, plan_hem, size_from_row
from halfinch.fit.body import Band
from halfinch.fit.records import ROW, hem_record, plan_record, plan_row

WIDE: dict[str, Any] = {
    "inseam": 31.0, "front_rise": 10.0, "waist": 30.0, "hip": 42.0, "silhouette": "wide",
    "fabric": "98% cotton, 2% elastane", "state": "washed", **LEGS["wide"],
}  # fmt: skip


def test_a_whole_plan_by_hand() -> None:
    """Petite, block heel 2 1/2, wide 1/4 to 1/2 off the floor: target 27 1/4 + 2 1/2 - 3/8 = 29 3/8; cut 1 5/8; opening
    18 + 4 (29 3/8 - 13)/18 = 21.639; knee line 27 1/4 - 13 - 15 1/2 = -1 1/4."""
    plan = make_plan(garment(**WIDE), body(PETITE), KNOWLEDGE)
    leg = plan.leg
    assert leg.target is not None
    assert leg.target.inches == 29.375
    assert leg.cut == 1.625
    assert leg.finished == 29.375
    assert leg.opening is not None
    assert leg.opening.after is not None
    assert leg.opening.after.middle == pytest.approx(18 + 4 * 16.375 / 18)
    assert leg.knee_gap == Band(-1.25, -1.25)
    assert leg.hangs[0].clearance == 0.375
    assert plan.verdict == "fits with a hem"
    assert plan.alterations == ("hem",)
    assert plan.chance_complete
    assert plan.chance is not None
    assert plan.chance_hemmed == plan.chance.joint
    assert plan.chance_as_bought is not None
    assert plan.chance_as_bought < 0.01, "1 5/8 too long cannot be right as bought"
    assert any("put back" in advice for advice in plan.advises)


@pytest.mark.parametrize("leg", LEGS)
@pytest.mark.parametrize(
    "wearer", [pytest.param(PETITE, id="petite"), pytest.param(TALL, id="tall"), pytest.param(PLUS, id="plus")]
)
def test_every_leg_on_every_body(leg: str, wearer: str) -> None:
    for inseam in (24.0, 27.0, 30.0, 33.0, 37.5):
        size = garment(inseam=inseam, front_rise=11, waist=32, hip=44, thigh=27, silhouette=leg, **LEGS[leg])
        plan = make_plan(size, body(wearer), KNOWLEDGE)
        record = json.loads(json.dumps(plan_record(plan), allow_nan=False))
        assert record["verdict"] == plan.verdict
        assert set(plan_row(plan)) == set(ROW)
        if plan.chance is not None:
            assert 0 <= plan.chance.joint <= 1
            assert plan.chance.joint <= min(plan.chance.points.values()) + 0.01


@pytest.mark.parametrize("lost", ["inseam", "front_rise", "waist", "hip", "knee", "leg_opening", "knee_at"])
def test_missing_measures_are_named_and_never_nothing(lost: str) -> None:
    size = garment(**{name: value for name, value in WIDE.items() if name != lost})
    plan = make_plan(size, body(PETITE), KNOWLEDGE)
    record = plan_record(plan)
    if lost == "inseam":
        assert (record["cut"], record["finished"], record["opening"]["after_low"]) == (None, None, None)
        assert plan.verdict == "not known"
    if lost in ("waist", "hip", "front_rise"):
        assert lost in [point.point for point in plan.not_known]
        assert not plan.chance_complete
    if lost == "front_rise":
        assert any("judged against the waist" in note for note in plan.assumptions)
    if lost == "leg_opening":
        assert record["opening"] is None
    if lost in ("knee", "knee_at"):
        assert record["opening"]["estimate"] is True
        assert record["opening"]["after_low"] < record["opening"]["after_high"]
        assert any("estimate" in note for note in plan.assumptions)


def test_chance_of_a_plan_against_monte_carlo() -> None:
    """The same terms drawn a million times: inseam, rise, waist at its level, hip."""
    plan = make_plan(
        garment(**(WIDE | {"stretch": 0.1, "waist": 29.5, "hip": 40.5, "front_rise": 9.4})), body(PETITE), KNOWLEDGE
    )
    dice = np.random.default_rng(4)
    count = 1_000_000

    def spread(half: float) -> np.ndarray:
        return dice.uniform(-half, half, count)

    rise = 9.4 + spread(float(KNOWLEDGE.points["front_rise"].tolerance))
    garment_waist = 29.5 + spread(float(KNOWLEDGE.points["waist"].tolerance))
    garment_hip = 40.5 + spread(float(KNOWLEDGE.points["hip"].tolerance))
    waist, hip = 29 + spread(0.5), 40 + spread(0.5)
    inseam, waist_height, hip_height = 27.25 + spread(0.125), 36.5 + spread(0.375), 30 + spread(0.375)
    arc = 11.5 + spread(0.375)
    stretch = 0.1 + spread(0.02)
    usable_waist, usable_hip = 0.25 + spread(0.1), 0.5 + spread(0.1)
    floor = inseam + rise * (waist_height - inseam) / arc
    part = np.clip((floor - hip_height) / (waist_height - hip_height), 0, 1)
    girth = hip + (waist - hip) * part
    good_rise = (rise >= 9.25) & (rise <= 11)
    good_waist = (garment_waist * (1 + stretch * usable_waist) >= girth) & (garment_waist <= girth + 1)
    good_hip = (garment_hip * (1 + stretch * usable_hip) >= hip + 0.5) & (garment_hip <= hip + 7)
    leg = -(inseam - 27.25) + spread(0.125) + spread(0.125)
    good_leg = np.abs(leg) <= 0.5
    assert plan.chance is not None
    assert plan.chance.points["front_rise"] == pytest.approx(good_rise.mean(), abs=0.005)
    assert plan.chance.points["hip"] == pytest.approx(good_hip.mean(), abs=0.01)
    assert plan.chance.points["waist"] == pytest.approx(good_waist.mean(), abs=0.02), "first order of the level"
    assert plan.chance.points["inseam"] == pytest.approx(good_leg.mean(), abs=0.005)
    assert plan.chance.joint == pytest.approx((good_rise & good_waist & good_hip & good_leg).mean(), abs=0.03)


def test_a_better_taped_body_is_surer() -> None:
    rough, fine = (
        make_plan(garment(**WIDE), body(PETITE, within=MappingProxyType({"inseam": within})), KNOWLEDGE)
        for within in (1.0, 0.05)
    )
    assert rough.chance is not None
    assert fine.chance is not None
    assert rough.chance.points["inseam"] < fine.chance.points["inseam"]
    assert rough.chance.most_doubt


def test_the_sheets_tolerance_comes_before_the_usual_one() -> None:
    size = garment(**(WIDE | {"inseam": 29.375}))
    loose = replace(size, points={**size.points, "inseam": Point(29.375, minus=1.0, plus=1.0)})
    usual, wide = (make_plan(each, body(PETITE), KNOWLEDGE).chance_as_bought for each in (size, loose))
    assert usual is not None
    assert wide is not None
    assert wide < usual


def test_an_uneven_tolerance_moves_the_middle() -> None:
    """JCGM 100 4.3.8: +1/2 -0 is a middle 1/4 higher with half the width."""
    size = garment(**(WIDE | {"inseam": 29.375 + 0.5}))
    up = replace(size, points={**size.points, "inseam": Point(29.875, minus=0.0, plus=0.5)})
    down = replace(size, points={**size.points, "inseam": Point(29.875, minus=0.5, plus=0.0)})
    chances = [make_plan(each, body(PETITE), KNOWLEDGE).chance_as_bought for each in (up, down)]
    assert chances[0] is not None
    assert chances[1] is not None
    assert chances[0] < chances[1]


def test_shoes_that_are_not_there() -> None:
    with pytest.raises(UsageError, match="no shoes of the body file"):
        make_plan(garment(**WIDE), body(PETITE), KNOWLEDGE, shoe="clogs")


def test_a_row_of_the_catalogue() -> None:
    row = {
        "garment_id": "g1", "merchant": "Oddwick", "style": "Alder", "size": "8", "length": "petite",
        "silhouette": "wide",
        "inseam": 27.0, "inseam_to": 28.0, "inseam_status": "assumed", "inseam_figure": "f1", "inseam_minus": 0.25,
        "inseam_plus": float("nan"), "waist": None, "hip": float("nan"), "knee": 18, "knee_at": 13.0,
        "knee_at_from": "crotch", "price": 89.5, "currency": "EUR", "stretch": None,
    }  # fmt: skip
    size = size_from_row(row)
    assert set(size.points) == {"inseam", "knee"}
    assert size.points["inseam"] == Point(27.5, 0.5, minus=0.25, status="assumed", figure="f1")
    assert size.points["knee"].at == 13
    assert size.stretch is None
    plan = make_plan(size, body(PETITE), KNOWLEDGE)
    assert any("not stated by the sheet" in note for note in plan.assumptions)
    assert any("range" in note for note in plan.assumptions)


# --- one hem -------------------------------------------------------------------------------------------------------


def test_one_hem_in_inches_and_centimetres() -> None:
    inches = plan_hem(
        "31", knee="18", opening="22", knee_at="13", body_inseam="27.5in", shoes="heel=2 1/2", clearance="1/2"
    )
    metric = plan_hem("78.74cm", knee="45.72 cm", opening="558.8 mm", knee_at="33,02 cm", body_inseam="69.85cm",
                      shoes="heel=63.5mm", clearance="1.27cm")  # fmt: skip
    for plan in (inches, metric):
        assert plan.judged.state == "hem"
        assert plan.leg.cut == pytest.approx(1.5)
        assert plan.leg.opening is not None
        assert plan.leg.opening.after is not None
        assert plan.leg.opening.after.middle == pytest.approx(18 + 4 * 16.5 / 18)
    assert json.dumps(hem_record(inches)["hangs"]) == json.dumps(hem_record(metric)["hangs"])


def test_a_finished_inseam_that_is_asked_for() -> None:
    plan = plan_hem(31, knee=18, opening=22, finished=28)
    assert plan.leg.cut == 3
    assert hem_record(plan)["target_from"] == "asked"
    assert plan.leg.hangs == ()


def test_nothing_is_made_up_where_nothing_is_given() -> None:
    plan = plan_hem(31)
    assert plan.judged.state == "not known"
    assert plan.leg.cut is None
    assert plan.leg.opening is None
    assert plan.judged.ask == "inseam"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        pytest.param({"inseam": "-31"}, "inseam is negative", id="negative"),
        pytest.param({"inseam": "thirty"}, "inseam is not one plain measure", id="words"),
        pytest.param({"inseam": "31", "shoes": "blok heel"}, "did you mean block heel", id="shoe"),
        pytest.param({"inseam": "31", "shoes": "heel=20cm and more"}, "lift of heel is not one plain", id="lift"),
        pytest.param({"inseam": "79"}, "name its unit", id="centimetres-without-their-unit"),
        pytest.param({"inseam": "31", "body_inseam": "70"}, "body inseam cannot be", id="body-in-centimetres"),
        pytest.param({"inseam": "31", "silhouette": "wied"}, "did you mean wide", id="silhouette"),
        pytest.param({"inseam": "31", "length": "petit"}, "did you mean petite", id="length"),
        pytest.param({"inseam": "310 cm"}, "inseam cannot be", id="unit"),
        pytest.param({"inseam": "31", "knee_at": "13"}, "needs the knee's girth", id="knee-line-alone"),
        pytest.param({"inseam": "30-31"}, "is a range", id="range"),
    ],
)
def test_hem_refuses_in_a_sentence(words: dict[str, str], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        plan_hem(**words)  # type: ignore[arg-type]


def test_empty_garment() -> None:
    plan = make_plan(GarmentSize(), body(PETITE), KNOWLEDGE)
    assert plan.verdict == "not known"
    assert plan.chance is None
    assert plan.asks == ("inseam", "front rise", "waist", "hip", "leg opening")
