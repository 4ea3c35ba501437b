"""The tape book: the drawn mean by hand, by simulation, and in plans, plain and vectorised alike."""

from __future__ import annotations

from math import sqrt
from typing import Any

import numpy as np
import pandas as pd
import pytest
from bodies import KNOWLEDGE, PETITE, body

from halfinch.fit import make_plan, size_from_row
from halfinch.fit.rank import Judging, judge_rows
from halfinch.fit.sizes import sizes_of
from halfinch.fit.tape import PRIOR, Offset, apply_tape, learn_offset, learn_offsets

USUAL = 0.5


def test_drawn_mean_by_hand() -> None:
    """d = 1/4, 1/2, 3/4; dbar 1/2, scatter 1/8. s^2 = (4 * 0.25/3 + 0.125) / 6 = 0.0763889;
    drawn = 1.5 / (3 + s^2/0.25) = 0.453782; variance = 1 / (3/s^2 + 4) = 0.0231092; u = sqrt(0.0994981)."""
    offset = learn_offset("m", "inseam", [0.25, 0.5, 0.75], USUAL, 3)
    assert offset.raw_mean == 0.5
    assert offset.mean == pytest.approx(0.453782, abs=1e-6)
    assert offset.spread == pytest.approx(sqrt(0.0763889), abs=1e-6)
    assert offset.u == pytest.approx(sqrt(0.0763889 + 0.0231092), abs=1e-6)
    assert offset.used


@pytest.mark.parametrize(("pairs", "used"), [(1, False), (2, False), (3, True)], ids=["one", "two", "three"])
def test_used_from_three_pairs_on(pairs: int, used: bool) -> None:
    assert learn_offset("m", "inseam", [0.5] * pairs, USUAL, 3).used is used


def test_more_pairs_draw_less() -> None:
    drawn = [learn_offset("m", "hip", [1.0] * count, USUAL, 3).mean for count in (1, 2, 4, 8, 64)]
    assert drawn == sorted(drawn)
    assert drawn[0] < 0.8
    assert drawn[-1] > 0.98


def test_against_the_posterior_of_scipy() -> None:
    """Normal prior and known variance: the posterior is proportional to the product of the densities; its mean and
    variance by numerical integration with scipy."""
    from scipy import integrate, stats

    values = [0.1, 0.6, 0.2, 0.4]
    offset = learn_offset("m", "waist", values, USUAL, 3)

    def density(mean: float) -> float:
        return float(stats.norm.pdf(mean, 0, USUAL) * np.prod(stats.norm.pdf(values, mean, offset.spread)))

    whole = integrate.quad(density, -4, 4)[0]
    middle = integrate.quad(lambda m: m * density(m), -4, 4)[0] / whole
    spread = integrate.quad(lambda m: (m - middle) ** 2 * density(m), -4, 4)[0] / whole
    assert offset.mean == pytest.approx(middle, abs=1e-9)
    assert offset.u**2 - offset.spread**2 == pytest.approx(spread, abs=1e-9)


def simulate(bias: float, pairs: int, seed: int) -> tuple[float, float, float]:
    """Root mean square error for a next pair by the sheet alone, and with the tape book; share of next pairs within
    twice its u. 4,000 merchants whose pairs scatter as a rectangular tolerance."""
    random = np.random.default_rng(seed)
    plain, drawn, inside = [], [], []
    for _ in range(4000):
        true = bias + random.uniform(-USUAL, USUAL, pairs + 1)
        offset = learn_offset("m", "inseam", list(true[:-1]), USUAL, 3)
        plain.append(true[-1] ** 2)
        drawn.append((true[-1] - offset.mean) ** 2)
        inside.append(abs(true[-1] - offset.mean) <= 2 * offset.u)
    return sqrt(np.mean(plain)), sqrt(np.mean(drawn)), float(np.mean(inside))


@pytest.mark.parametrize("pairs", [3, 5, 12])
def test_simulation_no_bias_does_no_harm(pairs: int) -> None:
    plain, drawn, inside = simulate(0.0, pairs, 20260302 + pairs)
    assert drawn <= plain * 1.13
    assert inside > 0.95


@pytest.mark.parametrize(("bias", "pairs"), [(0.75, 3), (0.75, 5), (-1.0, 12)])
def test_simulation_recovers_a_known_bias(bias: float, pairs: int) -> None:
    plain, drawn, inside = simulate(bias, pairs, 7 + pairs)
    assert drawn < plain * 0.55
    assert inside > 0.93


BOOK: list[dict[str, Any]] = [
    {"merchant": "m", "point": "inseam", "inches": 30.0 + d, "stated": 30.0, "state": "", "sheet_state": ""}
    for d in (0.25, 0.5, 0.75)
]


def test_a_washed_pair_says_nothing_of_unwashed_lengths() -> None:
    washed = [{**row, "state": "washed"} for row in BOOK]
    assert not learn_offsets(pd.DataFrame(washed), KNOWLEDGE)
    both = [{**row, "state": "washed", "sheet_state": "washed"} for row in BOOK]
    assert learn_offsets(pd.DataFrame(both), KNOWLEDGE)[0].pairs == 3
    girths = [{**row, "state": "washed", "point": "waist"} for row in BOOK]
    assert learn_offsets(pd.DataFrame(girths), KNOWLEDGE)[0].point == "waist"


def test_a_figure_that_the_catalogue_lacks_teaches_nothing() -> None:
    lacking = [{**row, "stated": float("nan")} for row in BOOK]
    assert learn_offsets(pd.DataFrame(lacking), KNOWLEDGE) == ()


def sizes_frame() -> pd.DataFrame:
    row = {
        "garment_id": "g", "merchant": "m", "style": "Alder", "style_code": "", "block": "", "silhouette": "wide",
        "fabric": "", "state": "", "size": "10", "length": "", "inseam": 31.0, "inseam_to": None, "front_rise": 10.0,
        "waist": 30.0, "hip": 42.0, "knee": 18.0, "leg_opening": 22.0,
    }  # fmt: skip
    return pd.DataFrame([row, {**row, "garment_id": "h", "merchant": "other"}])


def test_plans_reckon_with_it_and_say_so() -> None:
    (offset,) = learn_offsets(pd.DataFrame(BOOK), KNOWLEDGE)
    frame = sizes_frame()
    moved = apply_tape(frame, [offset])
    assert frame["inseam"].tolist() == [31.0, 31.0]
    wearer = body(PETITE)
    plans = [
        make_plan(size_from_row({str(k): v for k, v in row.items()}), wearer, KNOWLEDGE)
        for row in moved.to_dict("records")
    ]
    assert plans[0].garment.inches("inseam") == pytest.approx(31 + offset.mean)
    assert plans[0].garment.points["inseam"].stated == 31.0
    assert any(note.startswith("taped: inseam of m runs") for note in plans[0].assumptions)
    assert plans[1].garment.inches("inseam") == 31.0
    assert not any("taped" in note for note in plans[1].assumptions)
    assert plans[0].leg.cut == pytest.approx((plans[1].leg.cut or 0) + offset.mean)
    with sizes_of(moved) as sizes:
        ranked = judge_rows(Judging(sizes, wearer, KNOWLEDGE))
    for plan, (_, row) in zip(plans, ranked.iterrows(), strict=True):
        assert row["verdict"] == plan.verdict
        assert row["cut"] == pytest.approx(plan.leg.cut)


def test_an_offset_that_is_not_used_changes_nothing() -> None:
    few = Offset("m", "inseam", 2, 1.0, 0.7, 0.3, 0.4, False)
    assert apply_tape(sizes_frame(), [few])["inseam"].tolist() == [31.0, 31.0]


def test_spread_of_few_pairs_is_drawn_to_the_tolerance() -> None:
    alike = learn_offset("m", "inseam", [0.5, 0.5, 0.5], USUAL, 3)
    assert alike.spread == pytest.approx(sqrt(PRIOR * USUAL**2 / 3 / (PRIOR + 2)))
