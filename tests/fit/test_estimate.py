"""Estimates for another size: by hand, marked, wider with every step, plain and vectorised alike, never stored."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest
from bodies import KNOWLEDGE, PETITE, body

from halfinch.fit.estimate import Grade, add_estimates, estimate, order_sizes, own_grade, usual_grade
from halfinch.fit.garment import GarmentSize, size_from_row
from halfinch.fit.planning import make_plan
from halfinch.fit.rank import Judging, judge_rows
from halfinch.fit.sizes import sizes_of
from halfinch.present.plans import name_size, say_verdict


def row(size: str, **more: Any) -> dict[str, Any]:
    told = {"garment_id": "g", "merchant": "Aldersgate", "style": "Wide", "style_code": "", "size": size,
            "size_system": "US", "length": ""}  # fmt: skip
    return told | more


def frame(*rows: dict[str, Any]) -> pd.DataFrame:
    return pd.DataFrame(rows)


SAMPLE = row("8", waist=30.0, inseam=30.0, waist_minus=0.5, waist_plus=0.5)


def cell(found: pd.DataFrame, size: str, name: str) -> Any:
    (value,) = found.loc[found["size"] == size, name]
    return value


def test_usual_grade_is_the_middle_of_the_row() -> None:
    assert usual_grade("waist", "US", KNOWLEDGE) == Grade(1.5, 0.5)
    assert usual_grade("waist", "alpha", KNOWLEDGE) == Grade(3.0, 1.0)


@pytest.mark.parametrize(
    ("steps", "grade"),
    [
        ([1.0, 1.0], None),
        ([1.0, 1.0, 1.0], Grade(1.0, 0.125, own=True)),
        ([1.0, 1.5, 1.0, 2.0], Grade(1.25, 0.5, own=True)),
    ],
    ids=["too-few", "even", "uneven"],
)
def test_own_grade(steps: list[float], grade: Grade | None) -> None:
    assert own_grade(steps) == grade


@pytest.mark.parametrize(("steps", "told"), [(0, (30, 0.5)), (2, (33, 1.5)), (-2, (27, 1.5))])
def test_the_doubt_widens_with_every_step(steps: int, told: tuple[float, float]) -> None:
    assert estimate(30, 0.5, steps, Grade(1.5, 0.5)) == told


def test_a_sample_size_gets_the_sizes_around_it() -> None:
    found = add_estimates(frame(SAMPLE), KNOWLEDGE)
    assert list(found["size"]) == ["8", "2", "4", "6", "10", "12", "14"]
    assert (cell(found, "12", "waist"), cell(found, "12", "waist_minus")) == (33, 1.5)
    assert (cell(found, "4", "waist"), cell(found, "4", "waist_plus")) == (27, 1.5)
    assert cell(found, "12", "waist_basis") == "estimated"
    assert cell(found, "12", "waist_figure") == ""
    assert cell(found, "8", "waist") == 30
    assert not isinstance(cell(found, "8", "estimated"), str), "what the sheet states is no estimate"
    assert "hip" not in str(cell(found, "12", "estimated")), "what is known of no size is not known"


def test_a_figure_of_one_size_fills_the_others_of_the_sheet_and_no_size_is_added() -> None:
    found = add_estimates(frame(row("6", waist=28.0), row("8", waist=29.5, hip=40.0), row("10", waist=31.0)), KNOWLEDGE)
    assert list(found["size"]) == ["6", "8", "10"]
    assert list(found["hip"]) == [38.5, 40.0, 41.5]
    assert cell(found, "6", "estimated") == "hip"


def test_the_merchants_own_grade_goes_before_the_usual() -> None:
    others = [row(size, waist=28.0 + at, garment_id="h") for at, size in enumerate(("6", "8", "10", "12"))]
    found = add_estimates(frame(SAMPLE, *others), KNOWLEDGE)
    (ten,) = found.loc[(found["garment_id"] == "g") & (found["size"] == "10")].to_dict("records")
    assert (ten["waist"], ten["waist_plus"]) == (31, 0.625)
    assert "by the merchant's grade" in ten["estimate_note"]
    assert "inseam" in ten["estimate_note"]
    assert "by usual grades" in ten["estimate_note"]


@pytest.mark.parametrize(
    "odd",
    [row("9 3/4", waist=30.0), row("8", size_system="", waist=30.0), row("", waist=30.0)],
    ids=["size", "system", "no"],
)
def test_a_size_of_no_known_run_gets_none(odd: dict[str, Any]) -> None:
    assert len(add_estimates(frame(odd), KNOWLEDGE)) == 1


def test_plans_mark_it_and_the_chance_shows_the_wider_tolerance() -> None:
    wearer = body(PETITE)
    stated = row("12", waist=33.0, inseam=30.0, waist_minus=0.5, waist_plus=0.5)
    found = add_estimates(frame(SAMPLE), KNOWLEDGE)
    (told,) = found.loc[found["size"] == "12"].to_dict("records")
    plan = make_plan(size_from_row({str(key): value for key, value in told.items()}), wearer, KNOWLEDGE)
    sure = make_plan(size_from_row(stated), wearer, KNOWLEDGE)
    assert name_size(plan) == "12 est."
    assert say_verdict(plan).endswith("(an estimate)")
    assert say_verdict(sure) == sure.verdict
    assert any(note.startswith("estimate: waist 33") for note in plan.assumptions)
    assert plan.garment.points["waist"].plus == 1.5
    assert plan.verdict == sure.verdict


def test_plain_and_vectorised_judge_estimates_alike() -> None:
    dice = np.random.default_rng(7)
    rows = [
        row("8", garment_id=str(number), **{
            point: float(np.round(dice.uniform(low, high) * 4) / 4)
            for point, low, high in (("waist", 27, 40), ("hip", 36, 50), ("inseam", 25, 34), ("front_rise", 8, 13),
                                     ("leg_opening", 12, 26), ("knee", 14, 24))
            if dice.random() > 0.15
        }, merchant_knee=13.0 if number % 2 else float("nan"))
        for number in range(40)
    ]  # fmt: skip
    found = add_estimates(frame(*rows), KNOWLEDGE)
    wearer = body(PETITE)
    with sizes_of(found) as sizes:
        ranked = judge_rows(Judging(sizes, wearer, KNOWLEDGE))
    for at, told in enumerate(found.to_dict("records")):
        plan = make_plan(
            size_from_row({str(key): value for key, value in told.items()}), wearer, KNOWLEDGE, weigh=False
        )
        assert ranked["verdict"].iloc[at] == plan.verdict
        assert bool(ranked["estimated"].iloc[at]) == bool(plan.garment.estimated)
        after = plan.leg.opening.after.middle if plan.leg.opening is not None and plan.leg.opening.after else None
        assert ranked["opening_after"].iloc[at] == pytest.approx(after, nan_ok=True) or after is None


@pytest.mark.parametrize(
    ("system", "given", "meant"),
    [
        pytest.param("US", "8 regular, 10 petite, 2 petite, 12 regular, 10 regular",
                     "2 petite, 10 petite, 8 regular, 10 regular, 12 regular", id="length by length, by number"),
        pytest.param("alpha", "XL , S , M petite, XXS ", "XXS , S , XL , M petite", id="letters in their order"),
        pytest.param("", "W30 , 31.5 , 9 , one size ", "9 , W30 , 31.5 , one size ", id="no system"),
    ],
)  # fmt: skip
def test_sizes_stand_as_a_table_lists_them(system: str, given: str, meant: str) -> None:
    def sizes(text: str) -> list[GarmentSize]:
        return [
            GarmentSize(size=size, length=length, size_system=system)
            for size, _, length in (part.rpartition(" ") for part in text.split(", "))
        ]

    assert order_sizes(sizes(given), KNOWLEDGE) == sizes(meant)


def test_the_frame_given_is_not_changed() -> None:
    given = frame(SAMPLE)
    before = given.copy()
    add_estimates(given, KNOWLEDGE)
    pd.testing.assert_frame_equal(given, before)
