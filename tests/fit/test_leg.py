"""The leg by hand, by published figures, and by what must hold for every leg."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pytest
from bodies import KNOWLEDGE, LEGS, PETITE, TALL, body, garment
from hypothesis import given
from hypothesis import strategies as st

from halfinch.fit import make_plan
from halfinch.fit.body import Band, Pair, Shoe
from halfinch.fit.leg import (
    clearance_in,
    cut_length,
    find_opening,
    find_shaft,
    find_target,
    flare_left,
    knee_gap,
    knee_line,
    let_down_reach,
    opening_at,
    safe_inseam,
    shaft_top_at,
    shrink_inseam,
    target_from_pair,
    target_inseam,
    trip_caution,
)
from halfinch.normalise.half_inch import half_inch


def exact(value: float) -> Band:
    return Band(value, value)


def test_target_of_the_survey_mean() -> None:
    """numeric_checks: ANSUR II mean crotch 30.801 in, heel 1 in, clearance 2 in (US Navy 3501.94) -> 29.8 in, half inch
    30.0 (computed)."""
    target = target_inseam(30.801, 1, 2)
    assert target == pytest.approx(29.801)
    assert str(half_inch(round(target * 25_400_000))) == "30.0"


def test_published_hem_example_against_numpy_interp() -> None:
    """numeric_checks: flat knee 9 3/4 at 14, flat opening 8 1/2 at 30 (common practice, a supplier's sheet), cut 2:
    8.65625 flat, 17.3125 round, half inch 17.5; oracle numpy.interp."""
    oracle = float(np.interp(28, [14, 30], [9.75, 8.5]))
    assert opening_at(9.75, 8.5, 14, 30, 28) == oracle == 8.65625
    round_after = find_opening(17, exact(19.5), exact(14), 30, 28).after
    assert round_after == exact(17.3125)
    assert str(half_inch(round(17.3125 * 25_400_000))) == "17.5"


@given(
    st.floats(10, 30), st.floats(10, 30), st.floats(10, 16), st.floats(20, 38), st.floats(0, 1),
)  # fmt: skip
def test_opening_is_numpy_interp(knee: float, opening: float, knee_at: float, inseam: float, share: float) -> None:
    at = knee_at + share * (inseam - knee_at)
    expected = float(np.interp(at, [knee_at, inseam], [knee, opening]))
    assert opening_at(knee, opening, knee_at, inseam, at) == pytest.approx(expected, abs=1e-9)


def test_four_to_five_inches_off_a_wide_leg_narrow_it_by_about_one() -> None:
    """Common practice: some 4 to 5 in off a full-length wide leg of 22 in. Knee 18 at 13, inseam 32."""
    for cut in (4.0, 4.5, 5.0):
        after = find_opening(22, exact(18), exact(13), 32, 32 - cut).after
        assert after is not None
        assert 22 - after.middle == pytest.approx(1.0, abs=0.2)


def test_hems_for_high_heels_run_3_to_3_and_a_half_longer_than_for_flats() -> None:
    """Common practice: it is the difference of the lifts of shoes.toml."""
    kinds = KNOWLEDGE.shoes.shoe
    heel, flat = (float(kinds[kind].lift.low + kinds[kind].lift.high) / 2 for kind in ("high_heel", "flat"))
    longer = target_inseam(28, heel, 0.5) - target_inseam(28, flat, 0.5)
    assert 3 <= longer <= 3.5


@pytest.mark.parametrize(
    ("leg", "after", "share"),
    [
        # inseam 31, cut 3: T = 28, (28 - 13) / (31 - 13) = 5/6 of the way from knee to hem
        pytest.param("tapered", 17 - 4.5 * 5 / 6, None, id="tapered-gets-wider"),
        pytest.param("straight", 16.0, None, id="straight-stays"),
        pytest.param("boot", 16 + 2 * 5 / 6, 5 / 6, id="boot-loses-a-sixth"),
        pytest.param("flare", 16 + 8 * 5 / 6, 5 / 6, id="flare-loses-a-sixth"),
        pytest.param("wide", 18 + 4 * 5 / 6, 5 / 6, id="wide"),
        pytest.param("barrel", 24 - 8 * 5 / 6, None, id="barrel-gets-wider"),
    ],
)
def test_every_leg_through_a_hem(leg: str, after: float, share: float | None) -> None:
    parts = LEGS[leg]
    found = find_opening(parts["leg_opening"], exact(parts["knee"]), exact(parts["knee_at"]), 31, 28)
    assert found.after is not None
    assert found.after.middle == pytest.approx(after)
    assert found.share_left == (None if share is None else Band(pytest.approx(share), pytest.approx(share)))
    wider = after > parts["leg_opening"]
    assert wider == (leg in ("tapered", "barrel"))
    plan = make_plan(garment(inseam=31, silhouette=leg, **parts), body(PETITE), KNOWLEDGE, weigh=False)
    assert plan.leg.opening is not None
    assert plan.leg.opening.before == parts["leg_opening"]


def test_a_cut_that_passes_the_knee_has_no_opening() -> None:
    found = find_opening(22, exact(18), exact(13), 31, 12.5)
    assert found.after is None
    assert found.past_knee == "yes"
    assert found.notes
    assert find_opening(22, exact(18), exact(13), 31, 13).after == exact(18), "on the knee line it is the knee"


def test_where_the_knee_line_is_not_printed_the_opening_is_a_range() -> None:
    """k = 13 +/- 1 1/2: 18 + 4 (28 - k)/(31 - k) at both ends."""
    found = find_opening(22, exact(18), Band(11.5, 14.5), 31, 28, estimate=True)
    assert found.after == Band(pytest.approx(18 + 4 * 13.5 / 16.5), pytest.approx(18 + 4 * 16.5 / 19.5))
    assert found.estimate
    part = find_opening(22, exact(18), Band(11.5, 14.5), 31, 13)
    assert part.past_knee == "part"
    assert part.notes
    assert part.after is not None
    assert part.after.low == pytest.approx(18)


def test_a_hem_that_is_let_down_keeps_the_opening() -> None:
    found = find_opening(22, exact(18), exact(13), 30, 31)
    assert found.after == exact(22)
    assert found.notes


@pytest.mark.parametrize(
    ("knee_at", "length", "expected"),
    [
        pytest.param(14, "petite", exact(14), id="printed-comes-first"),
        pytest.param(None, "petite", Band(10.5, 13.5), id="petite-12"),
        pytest.param(None, "regular", Band(11.5, 14.5), id="regular-13"),
        pytest.param(None, "", Band(11.5, 14.5), id="not-said-13"),
        pytest.param(None, "30", Band(11.5, 14.5), id="a-number-is-not-said"),
        pytest.param(None, "tall", Band(12.5, 15.5), id="tall-14"),
    ],
)
def test_knee_line(knee_at: float | None, length: str, expected: Band) -> None:
    parts = {"knee": 17.0, **({"knee_at": knee_at} if knee_at else {})}
    assert knee_line(garment(length=length, **parts), KNOWLEDGE)[0] == expected


def test_knee_line_of_the_merchant_and_from_the_top_edge() -> None:
    assert knee_line(garment(knee=17), KNOWLEDGE, merchant=13.5)[0] == Band(13, 14)
    from dataclasses import replace

    from halfinch.fit import Point

    one = garment(knee=17, front_rise=10)
    points = MappingProxyType({**one.points, "knee": Point(17.0, at=23.0, at_from="top edge")})
    line, estimate, _ = knee_line(replace(one, points=points), KNOWLEDGE)
    assert (line.middle, estimate) == (13, True)


@pytest.mark.parametrize(
    ("knee_at", "expected"),
    [pytest.param(12.0, 0.0, id="on-the-knee"), pytest.param(13.5, -1.5, id="low"), pytest.param(11.0, 1.0, id="high")],
)
def test_knee_gap(knee_at: float, expected: float) -> None:
    """Body inseam 27 1/2, knee height 15 1/2: the shoes cancel."""
    assert knee_gap(27.5, knee_at, 15.5) == expected


@pytest.mark.parametrize(
    ("knee_at", "warned"),
    [
        pytest.param(12.75, False, id="just-inside"),
        pytest.param(12.75 + 1e-9, False, id="on-it"),
        pytest.param(12.80, True, id="just-outside"),
    ],
)
def test_knee_low_limit(knee_at: float, warned: bool) -> None:
    """Petite body: inseam 27 1/4, knee 15 1/2, so the line 1 in below her knee is 12 3/4 below the crotch."""
    plan = make_plan(garment(inseam=30, knee=16, leg_opening=19, knee_at=knee_at), body(PETITE), KNOWLEDGE, weigh=False)
    assert any("knee sits low" in warning for warning in plan.warnings) == warned


def test_knee_height_estimated_from_the_survey() -> None:
    """0.574 of crotch height, sd 0.013 (ANSUR II women, computed): 28 in -> 16.07."""
    wearer = body('inseam = "28 in"')
    gap = make_plan(
        garment(inseam=30, knee=16, leg_opening=19, knee_at=12), wearer, KNOWLEDGE, weigh=False
    ).leg.knee_gap
    assert gap is not None
    assert gap.middle == pytest.approx(28 - 12 - 0.574 * 28)
    assert gap.half == pytest.approx(0.013 * 28)


def test_clearance_in_several_shoes_and_the_safe_hem() -> None:
    """Reach 27 1/4; hem for a 2 1/2 in heel at 1/2 in: 29 1/4. In flats of 3/4 it drags by 1 1/4, barefoot by 2."""
    finished = target_inseam(27.25, 2.5, 0.5)
    assert finished == 29.25
    assert clearance_in(27.25, 2.5, finished) == 0.5
    assert clearance_in(27.25, 0.75, finished) == -1.25
    assert clearance_in(27.25, 0, finished) == -2
    safe = safe_inseam(27.25, [2.5, 0.75], 0.25)
    assert safe == 27.75
    assert all(clearance_in(27.25, lift, safe) >= 0.25 for lift in (2.5, 0.75))


@pytest.mark.parametrize(
    ("clearance", "u", "trips"),
    [
        pytest.param(0.25, 0.1, False, id="on-a-quarter"),
        pytest.param(0.2499, 0.0, True, id="just-below-a-quarter"),
        pytest.param(0.26, 0.1, False, id="just-above-a-quarter"),
        pytest.param(0.5, 0.25, False, id="twice-u-on-the-floor"),
        pytest.param(0.5, 0.2501, True, id="twice-u-just-below"),
        pytest.param(0.5, 0.2499, False, id="twice-u-just-above"),
    ],
)
def test_trip_caution(clearance: float, u: float, trips: bool) -> None:
    assert bool(trip_caution(clearance, u, 0.25, 2)) == trips


def test_barefoot_is_told_and_cautions_nobody() -> None:
    plan = make_plan(garment(inseam=29.25), body(PETITE), KNOWLEDGE, weigh=False)
    bare = plan.leg.hangs[-1]
    assert bare.shoe == ""
    assert bare.clearance == -2
    assert plan.leg.safe_inseam == 29.5
    assert not any("barefoot" in caution for caution in plan.cautions)


@pytest.mark.parametrize(
    ("pair", "expected"),
    [
        pytest.param({"clearance": 1.0}, 28.75 + (2.5 - 0.75) + (1.0 - 0.5), id="lift-and-clearance"),
        pytest.param({"clearance": None, "silhouette": "wide"}, 28.75 + 1.75, id="same-look-clearance-unknown"),
    ],
)
def test_target_from_a_favourite_pair(pair: dict[str, object], expected: float) -> None:
    flats = Shoe("flats", exact(0.75))
    favourite = Pair("old", MappingProxyType({"inseam": 28.75}), shoe=flats, **pair)  # type: ignore[arg-type]
    wearer = body(PETITE, pairs=(favourite,))
    target = find_target(wearer, wearer.shoes[0], exact(0.5), "floor", 10.0, KNOWLEDGE)
    assert target is not None
    assert (target.pair, target.inches) == ("old", pytest.approx(expected))
    assert target_from_pair(28.75, 2.5, 0.75, 1.0, 0.5) == 31.0


def test_a_pair_of_unknown_clearance_and_another_look_is_not_used() -> None:
    favourite = Pair("old", MappingProxyType({"inseam": 28.75}), "tapered", shoe=Shoe("flats", exact(0.75)))
    wearer = body(PETITE, pairs=(favourite,))
    target = find_target(wearer, wearer.shoes[0], exact(0.5), "floor", 10.0, KNOWLEDGE)
    assert target is not None
    assert target.pair == ""
    assert target.inches == 27.25 + 2.5 - 0.5


@pytest.mark.parametrize(
    ("rise", "half"),
    [
        pytest.param(11.0, None, id="an-inch-apart-still-carries-over"),
        pytest.param(11.25, 0.625, id="more-widens-by-half-the-difference"),
    ],
)
def test_a_pair_with_another_rise_widens_the_answer(rise: float, half: float | None) -> None:
    shoe = Shoe("heels", exact(2.5))
    favourite = Pair("old", MappingProxyType({"inseam": 28.75, "front_rise": 10.0}), shoe=shoe, clearance=1.0)
    target = find_target(body(PETITE, pairs=(favourite,)), shoe, exact(0.5), "floor", rise, KNOWLEDGE)
    assert target is not None
    widened = [term.half for term in target.terms if "rise" in term.name]
    assert widened == ([] if half is None else [half])


def test_a_turn_up_takes_twice_its_depth() -> None:
    assert cut_length(33, 28, turn_up=1.5) == 2
    assert cut_length(33, 28) == 5


def test_letting_down_keeps_three_eighths() -> None:
    assert let_down_reach(2, 0.375) == 1.625
    assert let_down_reach(0.25, 0.375) == 0


@pytest.mark.parametrize(
    ("girth", "fits"),
    [
        pytest.param(15.0, True, id="passes"),
        pytest.param(17.0, False, id="too-narrow"),
        pytest.param(16.3, None, id="open"),
    ],
)
def test_boot_shaft(girth: float, fits: bool | None) -> None:
    """Reach 28, lift 1, shaft 15 in high: it ends 14 below the crotch; the leg there is 17.2 +/- 0.2; ease 1 in."""
    assert shaft_top_at(28, 1, 15) == 14
    shoe = Shoe("boots", exact(1.0), shaft_height=15, shaft_girth=girth)
    leg = (20.0, Band(16.8, 17.2), exact(13.0), 31.0)
    shaft = find_shaft(shoe, 28, leg, 1.0, 28.5)
    assert shaft is not None
    assert shaft.leg == Band(pytest.approx(16.8 + 3.2 / 18), pytest.approx(17.2 + 2.8 / 18))
    assert shaft.fits is fits


def test_tall_body_in_tall_boots() -> None:
    """Inseam 88 cm, lift 4, shaft 38: it ends 54 cm = 21.26 in below the crotch seam."""
    plan = make_plan(garment(inseam=35, silhouette="wide", **LEGS["wide"]), body(TALL), KNOWLEDGE, weigh=False)
    (shaft,) = plan.leg.shafts
    assert shaft.at == pytest.approx(54 / 2.54)
    assert shaft.fits is True


def test_shrinkage_is_a_shift_with_a_width() -> None:
    """2 to 3 % of cotton denim is 0.6 to 1 in on an inseam; told for none and for the high end."""
    assert shrink_inseam(32, Band(0, 0.03)) == (pytest.approx(31.52), pytest.approx(0.48))
    plan = make_plan(garment(inseam=32, fabric="100% cotton", state="unwashed"), body(PETITE), KNOWLEDGE, weigh=False)
    assert [(other.when, other.finished) for other in plan.leg.others] == [
        ("no shrinkage", 32), ("3 % shrinkage", pytest.approx(31.04))
    ]  # fmt: skip
    washed = make_plan(garment(inseam=32, fabric="100% cotton", state="washed"), body(PETITE), KNOWLEDGE, weigh=False)
    assert washed.leg.others == ()
    assert washed.leg.inseam == 32


@given(st.floats(24, 36), st.floats(0, 2))
def test_a_longer_inseam_is_never_less_to_take_up(inseam: float, longer: float) -> None:
    wearer = body(PETITE)
    cuts = [
        make_plan(garment(inseam=length), wearer, KNOWLEDGE, weigh=False).leg.cut
        for length in (inseam, inseam + longer)
    ]
    assert cuts[0] is not None
    assert cuts[1] is not None
    assert cuts[1] >= cuts[0]


@given(st.floats(12, 30), st.floats(10, 30), st.floats(0, 8), st.floats(0, 8))
def test_more_off_a_flare_never_leaves_more_of_it(opening: float, knee: float, less: float, more: float) -> None:
    less, more = sorted((less, more))
    shares = [flare_left(13, 32, 32 - cut) for cut in (less, more)]
    assert 0 <= shares[1] <= shares[0] <= 1
    first, second = (find_opening(opening, exact(knee), exact(13), 32, 32 - cut).after for cut in (less, more))
    assert first is not None
    assert second is not None
    if opening >= knee:
        assert second.middle <= first.middle + 1e-9
    else:
        assert second.middle >= first.middle - 1e-9
