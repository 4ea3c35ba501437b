"""The whole catalogue at once says what the plain functions say, row by row."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest
from bodies import KNOWLEDGE, PETITE, PLUS, TALL, body

from halfinch.fit.garment import size_from_row
from halfinch.fit.planning import make_plan
from halfinch.fit.vector import best_rows, rank_sizes

BARE = 'inseam = "28 in"\nwaist = "29 in"\n[[shoes]]\nname = "loafers"\n'
PAIR_ONLY = """
front_rise = "9 to 11 in"
waist = "30 in"
hip = "41 in"
[[pairs]]
name = "old ones"
silhouette = "wide"
inseam = "29 in"
front_rise = "10 in"
[taste]
most_opening = "21 in"
turn_up = "1 in"
"""
BODIES = {"petite": PETITE, "tall": TALL, "plus": PLUS, "no shoes' lift": BARE, "pair only": PAIR_ONLY, "empty": ""}
COUNT = 1700


def random_catalogue(count: int, seed: int) -> pd.DataFrame:
    """Garments on a grid of quarters, so that limits are hit exactly, with holes, ranges, tolerances, words."""
    dice = np.random.default_rng(seed)

    def figures(low: float, high: float, holes: float) -> np.ndarray:
        values = np.round(dice.uniform(low, high, count) * 4) / 4
        return np.where(dice.random(count) < holes, np.nan, values)

    frame = pd.DataFrame(
        {
            "inseam": figures(25, 36, 0.1), "front_rise": figures(8, 14, 0.1), "waist": figures(27, 46, 0.1),
            "hip": figures(36, 58, 0.1), "knee": figures(12, 26, 0.3), "leg_opening": figures(10, 28, 0.1),
            "outseam": figures(36, 46, 0.6), "knee_at": figures(11, 15, 0.5), "hem_allowance": figures(0, 3, 0.5),
            "stretch": np.where(dice.random(count) < 0.6, np.nan, dice.choice([0.0, 0.02, 0.1, 0.2, 0.4], count)),
            "inseam_minus": figures(0, 1, 0.7), "inseam_plus": figures(0, 1, 0.7),
            "waist_stretched": figures(36, 56, 0.95),
        }
    )  # fmt: skip
    frame["inseam_to"] = np.where(dice.random(count) < 0.05, frame["inseam"] + 0.5, np.nan)
    frame["knee_to"] = np.where(dice.random(count) < 0.05, frame["knee"] + 0.5, np.nan)
    words = {
        "knee_at_from": ["crotch", "", "top edge"],
        "silhouette": [
            "",
            "",
            "Wide Leg",
            "straight",
            "bootcut",
            "flared",
            "tapered",
            "barrel",
            "skinny",
            "bell & hop",
        ],
        "fabric": ["", "98% cotton, 2% elastane", "100% cotton", "70% Viskose 30% Leinen", "denim", "100% wool"],
        "state": ["", "washed", "unwashed"],
        "length": ["", "petite", "tall", "30", "regular"],
    }
    for name, choices in words.items():
        frame[name] = dice.choice(np.array(choices, dtype=object), count)
    return frame


@pytest.mark.parametrize("name", BODIES)
def test_same_as_the_plain_functions(name: str) -> None:
    wearer = body(BODIES[name])
    frame = random_catalogue(COUNT, seed=len(name))
    ranked = rank_sizes(frame, wearer, KNOWLEDGE)
    seen: set[str] = set()
    for row, got in zip(frame.to_dict("records"), ranked.to_dict("records"), strict=True):
        plan = make_plan(size_from_row(row), wearer, KNOWLEDGE, weigh=False)
        seen.add(plan.verdict)
        assert got["verdict"] == plan.verdict, (row, plan.points)
        assert got["caution"] == bool(plan.cautions), row
        assert got["silhouette"] == plan.silhouette
        same(got["cut"], plan.leg.cut)
        after = plan.leg.opening.after if plan.leg.opening is not None else None
        same(got["opening_after"], after.middle if after is not None else None)
        for point in ("inseam", "front_rise", "waist", "hip", "leg_opening"):
            judged = plan.point(point)
            assert got[f"{point}_state"] == (judged.state if judged else "-"), (point, row, judged)
            same(got[f"{point}_miss"], judged.miss if judged else None)
    if name in ("petite", "tall", "plus"):
        assert seen >= {"no", "near miss", "not known", "fits with a hem"}


def same(got: float, plain: float | None) -> None:
    if plain is None:
        assert math.isnan(got)
    else:
        assert got == pytest.approx(plain, abs=1e-9)


def test_order_of_the_garments_is_without_effect() -> None:
    wearer = body(PETITE)
    frame = random_catalogue(300, seed=7)
    shuffled = frame.sample(frac=1, random_state=3)
    straight = rank_sizes(frame, wearer, KNOWLEDGE)
    turned = rank_sizes(shuffled, wearer, KNOWLEDGE).loc[frame.index]
    pd.testing.assert_frame_equal(straight, turned)


def test_decimals_of_a_database_and_missing_columns() -> None:
    frame = pd.DataFrame(
        {"inseam": [Decimal("30.000000"), None], "waist": [Decimal("29.5"), Decimal("30")]}, dtype=object
    )
    ranked = rank_sizes(frame, body(PETITE), KNOWLEDGE)
    assert list(ranked["verdict"]) == ["not known", "not known"]
    assert ranked["cut"].notna().tolist() == [True, False]


def test_no_rows() -> None:
    assert len(rank_sizes(pd.DataFrame({"inseam": []}), body(PETITE), KNOWLEDGE)) == 0


def test_best_rows_put_verdict_before_taste_before_distance() -> None:
    frame = random_catalogue(500, seed=11)
    ranked = rank_sizes(frame, body(PETITE), KNOWLEDGE)
    best = ranked.loc[best_rows(ranked, 500)]
    keys = list(zip(best["rank"], ~best["wanted"], best["distance"], strict=True))
    assert keys == sorted(keys)
