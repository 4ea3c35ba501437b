"""Where the drawing's figures lie, by hand."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import Any

import pytest
from bodies import KNOWLEDGE, LEGS, PETITE, PLUS, TALL, body, garment

from halfinch.fit import make_plan
from halfinch.fit.scene import FRONT, make_scene

WIDE: dict[str, Any] = {
    "inseam": 31.0, "front_rise": 10.0, "waist": 30.0, "hip": 42.0, "thigh": 27.0, "silhouette": "wide",
    "fabric": "98% cotton, 2% elastane", "state": "washed", **LEGS["wide"],
}  # fmt: skip


def scene_of(text: str, **change: Any) -> Any:
    wearer = body(text)
    return make_scene(make_plan(garment(**{**WIDE, **change}), wearer, KNOWLEDGE), wearer, KNOWLEDGE)


def test_heights_by_hand() -> None:
    """Petite in block heels: crotch 27 1/4 + 2 1/2 = 29 3/4; as sold the hem is at 29 3/4 - 31 = -1 1/4; hemmed to
    29 3/8 it hangs 3/8 off the floor. Rise 10 by (36 1/2 - 27 1/4) / 11 1/2 = 0.8043 an inch: edge at 37.79."""
    scene = scene_of(PETITE)
    assert scene.crotch == 29.75
    assert scene.sold.hem == pytest.approx(-1.25)
    assert scene.worn.hem == pytest.approx(0.375)
    assert scene.top[-1].height == pytest.approx(29.75 + 10 * 9.25 / 11.5)
    assert scene.rise_band is not None
    assert scene.rise_band.low == pytest.approx(29.75 + 9.25 * 9.25 / 11.5)
    assert scene.knee_garment is not None
    assert scene.knee_garment.middle == pytest.approx(29.75 - 13)
    assert scene.knee_wearer == 15.5 + 2.5
    assert scene.shoes[0].hem == pytest.approx(0.375)
    assert scene.shoes[-1].hem == pytest.approx(0.375 - 2.5)


def test_widths_are_round_legs() -> None:
    scene = scene_of(PETITE)
    assert scene.sold.edges[-1].half_width == pytest.approx(22 / (2 * pi))
    assert scene.worn.edges[-1].half_width == pytest.approx((18 + 4 * 16.375 / 18) / (2 * pi))
    assert scene.top[-1].half_width == pytest.approx(FRONT * 30 / (2 * pi))


def test_a_pair_that_is_too_short_stays_as_it_is() -> None:
    scene = scene_of(TALL, inseam=28.0)
    assert scene.worn is scene.sold
    assert scene.wanted is not None
    assert scene.wanted < scene.sold.hem
    assert scene.shoes[0].hem == pytest.approx(scene.sold.hem - scene.lift + scene.shoes[0].lift.middle)


@pytest.mark.parametrize("leg", LEGS)
@pytest.mark.parametrize("who", [PETITE, TALL, PLUS], ids=["petite", "tall", "plus"])
def test_every_leg_and_body_is_drawn_from_top_to_hem(leg: str, who: str) -> None:
    scene = scene_of(who, **LEGS[leg])
    for shape in (scene.sold, scene.worn):
        heights = [edge.height for edge in shape.edges]
        assert heights == sorted(heights, reverse=True)
        assert heights[0] == scene.crotch
        assert heights[-1] == pytest.approx(shape.hem)
        assert all(edge.half_width > 0 for edge in shape.edges)


def test_nothing_to_draw_without_inseam() -> None:
    wearer = body(PETITE)
    plan = make_plan(garment(**{**WIDE, "inseam": None}), wearer, KNOWLEDGE)
    assert make_scene(plan, wearer, KNOWLEDGE) is None
    nobody = replace(wearer, inseam=None, pairs=())
    assert make_scene(make_plan(garment(**WIDE), nobody, KNOWLEDGE), nobody, KNOWLEDGE) is None


def test_cm_and_inches_draw_alike() -> None:
    metric = PETITE.replace('"27 1/4", unit = "in"', '"69.215", unit = "cm"').replace('"2 1/2 in"', '"6.35 cm"')
    assert scene_of(metric).worn.hem == pytest.approx(scene_of(PETITE).worn.hem)
