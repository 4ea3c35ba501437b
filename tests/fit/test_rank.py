"""The whole catalogue judged in SQL says what the plain functions say, row by row."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest
from bodies import KNOWLEDGE, PETITE, PLUS, TALL, body

from halfinch.fit.body import Body
from halfinch.fit.garment import size_from_row
from halfinch.fit.planning import make_plan
from halfinch.fit.rank import FITS, Judging, fitting_sizes, judge_rows, rank_best
from halfinch.fit.sizes import sizes_of
from halfinch.fit.tape import apply_tape, learn_offset

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
    more = {"thigh": figures(20, 34, 0.3), "back_rise": figures(12, 18, 0.3)}
    frame = frame.assign(**more)
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


POINTS = ("inseam", "front_rise", "waist", "hip", "leg_opening", "back_rise", "thigh", "knee")


def judge(frame: pd.DataFrame, text: str) -> pd.DataFrame:
    with sizes_of(frame) as sizes:
        return judge_rows(Judging(sizes, body(text), KNOWLEDGE))


def assert_same(frame: pd.DataFrame, judged: pd.DataFrame, wearer: Body) -> set[str]:
    """Every row as its plan says; gives the verdicts met."""
    seen: set[str] = set()
    for row, got in zip(frame.to_dict("records"), judged.to_dict("records"), strict=True):
        plan = make_plan(size_from_row(row), wearer, KNOWLEDGE, weigh=False)
        seen.add(plan.verdict)
        assert got["verdict"] == plan.verdict, (row, plan.points)
        assert got["caution"] == bool(plan.cautions), row
        assert got["silhouette"] == plan.silhouette
        same(got["cut"], plan.leg.cut)
        same(got["finished"], plan.leg.finished)
        after = plan.leg.opening.after if plan.leg.opening is not None else None
        same(got["opening_after"], after.middle if after is not None else None)
        for point in POINTS:
            said = plan.point(point)
            assert got[f"{point}_state"] == (said.state if said else "-"), (point, row, said)
            if said is not None:
                same(got[f"{point}_miss"], said.miss)
    return seen


@pytest.mark.parametrize("name", BODIES)
def test_same_as_the_plain_functions(name: str) -> None:
    frame = random_catalogue(COUNT, seed=len(name))
    seen = assert_same(frame, judge(frame, BODIES[name]), body(BODIES[name]))
    if name in ("petite", "tall", "plus"):
        assert seen >= {"no", "near miss", "not known", "fits with a hem"}


@pytest.mark.parametrize("name", ["petite", "plus"])
def test_same_with_taped_pairs(name: str) -> None:
    frame = random_catalogue(COUNT, seed=90)
    frame["merchant"] = np.where(np.arange(COUNT) % 3 == 0, "other", "taped")
    wearer = body(BODIES[name])
    offsets = [
        learn_offset("taped", point, [by, by + 0.25, by - 0.125], 0.5, 3)
        for point, by in (("inseam", -0.625), ("front_rise", 0.25), ("waist", 0.5), ("hip", -0.5), ("knee", 0.25),
                          ("leg_opening", -0.375), ("outseam", 0.5))
    ]  # fmt: skip
    with sizes_of(frame) as sizes:
        judged = judge_rows(Judging(replace(sizes, offsets=tuple(offsets)), wearer, KNOWLEDGE))
    assert_same(apply_tape(frame, offsets), judged, wearer)


def same(got: float, plain: float | None) -> None:
    if plain is None:
        assert math.isnan(got)
    else:
        assert got == pytest.approx(plain, abs=1e-9)


def test_order_of_the_garments_is_without_effect() -> None:
    frame = random_catalogue(300, seed=7)
    order = np.random.default_rng(3).permutation(len(frame))
    straight, turned = judge(frame, PETITE), judge(frame.iloc[order], PETITE)
    pd.testing.assert_frame_equal(straight.iloc[order].reset_index(drop=True), turned.reset_index(drop=True))


def test_decimals_of_a_database_and_missing_columns() -> None:
    frame = pd.DataFrame(
        {"inseam": [Decimal("30.000000"), None], "waist": [Decimal("29.5"), Decimal("30")]}, dtype=object
    )
    judged = judge(frame, PETITE)
    assert list(judged["verdict"]) == ["not known", "not known"]
    assert judged["cut"].notna().tolist() == [True, False]


def test_no_rows() -> None:
    assert len(judge(pd.DataFrame({"inseam": []}), PETITE)) == 0


@pytest.mark.parametrize("count", [1, 40, 500])
def test_best_rows_put_verdict_before_taste_before_distance(count: int) -> None:
    with sizes_of(random_catalogue(500, seed=11)) as sizes:
        judging = Judging(sizes, body(PETITE), KNOWLEDGE)
        judged, best = judge_rows(judging), rank_best(judging, count)
    key = judged.assign(unwanted=~judged["wanted"], off=judged["distance"].round(6))[["rank", "unwanted", "off"]]
    keys = [tuple(row) for row in key.loc[list(best.rows)].itertuples(index=False)]
    every = sorted(tuple(row) for row in key.itertuples(index=False))
    assert keys == every[:count]
    assert dict(judged["verdict"].value_counts()) == best.verdicts


@pytest.mark.parametrize("taped", [False, True], ids=["stated", "taped"])
@pytest.mark.parametrize("name", BODIES)
def test_a_quick_look_leaves_out_nothing_that_counts(name: str, taped: bool) -> None:
    """Bounds first, or every row in full: the same best rows, and the same counts of what is counted."""
    frame = random_catalogue(COUNT, seed=31).assign(merchant="m")
    offset = learn_offset("m", "hip", [1.0, 1.25, 0.75], 0.5, 3)
    with sizes_of(frame) as sizes:
        given = replace(sizes, offsets=(offset,)) if taped else sizes
        judging = Judging(given, body(BODIES[name]), KNOWLEDGE)
        everything = judge_rows(judging)
        full, some, few = (
            rank_best(judging, count, counted) for count, counted in ((COUNT, COUNT), (20, COUNT), (3, 0))
        )
        fitting = fitting_sizes(judging)
    met = dict(everything["verdict"].value_counts())
    assert full.verdicts == some.verdicts == met
    assert full.rows[:20] == some.rows
    assert full.rows[:3] == few.rows
    assert len(fitting) == sum(met.get(verdict, 0) for verdict in FITS)
    if len(fitting) >= 3:
        assert few.verdicts == {verdict: met[verdict] for verdict in FITS if verdict in met}
        assert few.rest == COUNT - len(fitting)
    else:
        assert (few.verdicts, few.rest) == (met, 0)
