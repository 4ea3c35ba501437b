"""Runs: what breaks the evenness of one point over its sizes is held, honest oddities pass."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from judged import Inches, figure, held, holding, judged, run

HONEST = [
    pytest.param("inseam", [30, 31, 31, 32, 33], id="inseam growing, from a published sheet that says grade 0"),
    pytest.param("inseam", [30, 30, 31, 31], id="inseam one longer for the larger sizes"),
    pytest.param("inseam", [30, 30, 30, 30, 30, 31], id="inseam one longer for the last size"),
    pytest.param("inseam", [28, 30, 32], id="inseam by two"),
    pytest.param("waist", [26, 27, 28, 30, 32, 35], id="waist steps of 1 to 3"),
    pytest.param("waist", [26, 29, 33, 37, 42], id="elastic waist, steps of 3 to 5"),
    pytest.param("waist", [28, 29, "29 1/2", 31, 32], id="a half step"),
    pytest.param("waist", [34, 32, 30, 28], id="largest first"),
    pytest.param("thigh", [22, 22, 23, 25, 25, 27], id="thigh steps of 0, 1, 2"),
    pytest.param("hip", [36, 36, 36, 38, 40], id="hip equal over several sizes"),
    pytest.param("hip", [38, 40, 42, 43, 46], id="hip uneven"),
    pytest.param("front_rise", [9, "9 1/4", "9 1/4", "9 1/2"], id="rise standing still once"),
    pytest.param("front_rise", [9, 9, 10, 10], id="rise one longer for the larger sizes"),
    pytest.param("leg_opening", [14, 14, 14, "14 1/2", "14 1/2"], id="opening standing still"),
    pytest.param("outseam", [39, "39 1/4", "40 1/2", "40 3/4"], id="outseam with one long step"),
    pytest.param("waist", [28, 40], id="two sizes are no run"),
]


@pytest.mark.parametrize(("point", "values"), HONEST)
def test_honest_oddities_pass(point: str, values: Sequence[Inches]) -> None:
    assert held(run(point, values)) == set()


SLIPS = [
    pytest.param("waist", [28, 29, 40, 31, 32], {2}, id="a spike"),
    pytest.param("waist", [37, 38, 49, 40], {2}, id="49 for 39"),
    pytest.param("waist", [27, 38, 39, 40], {0}, id="the first"),
    pytest.param("waist", [36, 37, 38, 49], {3}, id="the last"),
    pytest.param("waist", [28, 29, 20, 31, 32], {2}, id="a dip"),
    pytest.param("waist", [28, 30, 29, 31, 32, 33], {1, 2}, id="neighbours turned: nobody knows more"),
    pytest.param("hip", [38, 40, 46, 43, 49], {2, 3}, id="sizes exchanged: which is whose?"),
    pytest.param("knee", [42, "22 1/2"], {0, 1}, id="one of two sizes is half the other"),
    pytest.param("inseam", [30, 30, 33, 30, 30], {2}, id="a length of another block"),
    pytest.param("inseam", [30, 30, 31, 30, 30], {2}, id="one inch in a standing row"),
    pytest.param("hip", [38, 39, 30, 41, 42], {2}, id="30 for 40"),
    pytest.param("thigh", [22, "22 1/2", 32, "23 1/2"], {2}, id="32 for 23"),
    pytest.param("front_rise", [9, "9 1/4", 11, "9 3/4", 10], {2}, id="a rise of 11 between 9 1/4 and 9 3/4"),
    pytest.param("leg_opening", [14, 14, 41, 14], {2}, id="41 for 14"),
    pytest.param("waist", [40, 39, 28, 37, 36], {2}, id="a dip, largest first"),
]


@pytest.mark.parametrize(("point", "values", "broken"), SLIPS)
def test_slips_are_held_and_their_neighbours_are_not(point: str, values: Sequence[Inches], broken: set[int]) -> None:
    figures = run(point, values)
    assert held(figures) == broken
    assert holding(figures) == {"run"}


def test_a_dropped_digit_is_out_of_range_and_its_run_stays() -> None:
    figures = run("waist", [29, 30, 3, 32])
    assert held(figures) == {2}
    assert holding(figures) == {"range"}


def test_a_shift_of_the_level_holds_at_least_both_its_ends() -> None:
    assert held(run("waist", [28, 29, 30, 35, 36, 37])) >= {2, 3}


@pytest.mark.xfail(strict=True, reason="only the two figures at the edge are held; one whole side of them is wrong")
def test_a_shift_of_the_level_leaves_no_side_clean_where_both_are_as_long() -> None:
    assert held(run("waist", [28, 29, 30, 35, 36, 37])) == {0, 1, 2, 3, 4, 5}


def test_a_finding_names_the_neighbours() -> None:
    _, findings = judged(run("waist", [28, 29, 40, 31, 32]))
    (finding,) = findings
    assert finding.figures == (2,)
    assert finding.message == "waist 40 in does not grade evenly beside 29 in and 31 in"


def test_sizes_are_put_in_order_before_they_are_judged() -> None:
    assert held(run("waist", [30, 28, 32, 29, 31], ["8", "4", "12", "6", "10"])) == set()
    assert held(run("waist", [32, 28, 30, 26], ["XL", "M", "L", "S"])) == set()


def test_lengths_are_runs_of_their_own() -> None:
    figures = run("inseam", [28, 28, 28], length="petite") + run("inseam", [33, 33, 33], length="tall")
    assert held(figures) == set()


def test_held_figures_do_not_count_in_a_run() -> None:
    figures = run("waist", [28, 29, 30, 31])
    figures[1] = figure("waist", 60, "6", status="held")
    assert held(figures) == {1}


def test_a_row_that_stands_still_beside_rows_that_grow_is_held() -> None:
    hips = run("hip", [36, 37, 38, 39, 40])
    assert held(hips + run("thigh", [24, 24, 24, 24, 24])) == {5, 6, 7, 8, 9}
    assert held(hips + run("leg_opening", [14, 14, 14, 14, 14])) == set()
    assert held(hips[:3] + run("thigh", [24, 24, 24])) == set()


@given(st.integers(22, 34), st.sampled_from([0, 1, 2]), st.integers(3, 10))
def test_even_runs_always_pass(start: int, step: int, count: int) -> None:
    assert held(run("thigh", [start * 3 / 4 + step / 2 * index for index in range(count)])) == set()


@given(st.integers(24, 34), st.integers(5, 9), st.integers(0, 8), st.sampled_from([-9, 9]))
def test_one_wild_figure_is_always_found(start: int, count: int, at: int, off: int) -> None:
    at %= count
    values = [start + index for index in range(count)]
    values[at] += off
    assert at in held(run("waist", values))
