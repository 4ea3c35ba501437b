"""Faults of a whole row, size or block: what is held beside the figures that give it away, and what is not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from judged import Inches, figure, held, holding, judged, run

from halfinch.figure import Figure

Rows = Mapping[str, Sequence[Inches]]
GOOD: Rows = {
    "waist": [28, 29, 30, 31, 32],
    "hip": [38, 39, 40, 41, 42],
    "thigh": [22, "22 5/8", "23 1/4", "23 7/8", "24 1/2"],
    "leg_opening": [15, 15, 15, 15, 15],
    "front_rise": [10, "10 1/4", "10 1/2", "10 3/4", 11],
    "inseam": [30, 30, 30, 30, 30],
}


def table(rows: Rows, length: str = "") -> list[Figure]:
    return [one for point, values in rows.items() for one in run(point, values, length=length)]


def held_of(figures: list[Figure]) -> dict[str, list[str]]:
    """Sizes that are held, by point."""
    found: dict[str, list[str]] = {}
    for index in sorted(held(figures)):
        found.setdefault(figures[index].point, []).append(figures[index].size)
    return found


def changed(at: Mapping[int, int], points: Sequence[str] = tuple(GOOD)) -> Rows:
    """The good table with the figures of size `at` taken from another size."""
    return {
        point: [values[at.get(n, n)] for n in range(len(values))] if point in points else values
        for point, values in GOOD.items()
    }


SIZES = [
    pytest.param(
        {1: 2, 2: 1}, {"waist", "hip", "thigh", "front_rise"}, ["6", "8"], id="two sizes exchanged: the rise too"
    ),
    pytest.param(
        {1: 3, 3: 1},
        {"waist", "hip", "thigh", "front_rise"},
        ["6", "10"],
        id="with one between, which stands right whichever of the two is whose",
    ),
    pytest.param({2: 1}, {"waist", "hip", "thigh", "leg_opening", "front_rise"}, ["6", "8"], id="a size copied"),
    pytest.param({4: 3}, {"waist", "hip", "thigh", "leg_opening", "front_rise"}, ["10", "12"], id="the last copied"),
]


@pytest.mark.parametrize(("at", "points", "sizes"), SIZES)
def test_a_fault_of_a_size_holds_all_that_moves_in_it(
    at: Mapping[int, int], points: set[str], sizes: list[str]
) -> None:
    found = held_of(table(changed(at)))
    assert set(found) == points
    assert all(set(sizes) >= set(held) for held in found.values())
    assert {*found["front_rise"]} == set(sizes)


def test_two_cells_exchanged_within_a_size_are_no_doubt_about_the_others() -> None:
    rows = {**GOOD, "waist": [28, 29, 40, 31, 32], "hip": [38, 39, 30, 41, 42]}
    assert held_of(table(rows)) == {"waist": ["8"], "hip": ["8"]}


STILL = [
    pytest.param([28, 28, 29, 30, 31], "all", id="at the start: the row may have slipped"),
    pytest.param([28, 29, 30, 31, 31], "all", id="at the end"),
    pytest.param([28, 29, 29, 30, 31], "two", id="inside: one is a copy"),
    pytest.param([28, 28, 30, 30, 32], "none", id="every second step stands"),
    pytest.param([28, "28 1/2", "28 1/2", 29, 30], "none", id="half steps may be rounded away"),
    pytest.param([28, 28, 29], "none", id="three sizes prove nothing"),
]


@pytest.mark.parametrize(("values", "which"), STILL)
@pytest.mark.parametrize("point", ["waist", "hip"])
def test_a_row_that_stands_still_once(point: str, values: Sequence[Inches], which: str) -> None:
    figures = run(point, [value if isinstance(value, str) else value + 10 * (point == "hip") for value in values])
    if point == "hip":
        figures = [one for one in figures if not one.raw.startswith("28 ")]
    assert len(held(figures)) == {"all": len(values), "two": 2, "none": 0}[which]


def test_thigh_rounded_to_the_same_centimetre_in_two_sizes_is_no_copy() -> None:
    rows: Rows = {"thigh": [24, 25, 25, 26, 27], "knee": [18, 19, 19, 20, 21]}
    assert held(table(rows)) == set()


def test_a_row_that_is_mostly_held_is_held() -> None:
    rows: Rows = {"waist": [58, 59, 60, 61, 62], "hip": [53, "53 1/2", 54, "54 1/2", 55]}
    figures = table(rows)
    assert {point: len(sizes) for point, sizes in held_of(figures).items()} == {"waist": 5, "hip": 5}
    assert holding(figures) == {"hip_over_waist", "row-in-doubt"}


def test_one_figure_out_of_range_is_no_doubt_about_its_row() -> None:
    assert held_of(table({**GOOD, "waist": [28, 29, 300, 31, 32]})) == {"waist": ["8"]}


COPIED = [
    pytest.param([[28, 28, 30], [38, 38, 40], [22, 22, 23], [10, 10, "10 1/4"]], {"4", "6"}, id="of three sizes"),
    pytest.param([[28, 28, 30], [38, 38, 40], [22, "22 1/2", 23], [10, 10, "10 1/4"]], set(), id="one row moves"),
    pytest.param([[28, 28, 30], [38, 38, 40]], set(), id="two rows tell nothing"),
]


@pytest.mark.parametrize(("values", "sizes"), COPIED)
def test_every_row_stands_between_two_sizes_and_nowhere_else(values: list[list[Inches]], sizes: set[str]) -> None:
    rows = dict(zip(("waist", "hip", "thigh", "front_rise"), values, strict=False))
    assert {size for found in held_of(table(rows)).values() for size in found} == sizes


TWO_SIZES = [
    pytest.param([[34, 34], [44, 44], [26, 26], [9, 9]], 8, id="the same in everything"),
    pytest.param([[34, 34], [44, 44], [26, 26], [9, "9 1/4"]], 0, id="the rise moves"),
    pytest.param([[34, 34], [44, 44]], 0, id="two girths alone"),
]


@pytest.mark.parametrize(("values", "count"), TWO_SIZES)
def test_two_sizes_that_are_the_same(values: list[list[Inches]], count: int) -> None:
    rows = dict(zip(("waist", "hip", "thigh", "front_rise"), values, strict=False))
    assert len(held(table(rows))) == count


def test_a_row_that_grades_like_no_other_of_its_point_is_held_whole() -> None:
    openings: Rows = {"leg_opening": [26, 28, 30, "32 1/2", "35 1/2", 39, 42, "45 1/8"]}
    assert held_of(table(openings)) == {"leg_opening": ["4", "6", "8", "10", "12", "14", "16", "18"]}


PASTED = [
    pytest.param({"petite": [28, 9], "regular": [28, 9]}, {"inseam", "front_rise"}, id="leg and rise of petite"),
    pytest.param({"petite": [28, 9], "regular": [30, 9]}, set(), id="the same rise under two lengths is usual"),
    pytest.param(
        {"petite": [28, 9], "regular": [28, 9], "tall": [33, 9]}, {"inseam"}, id="the same rise under all: a grade"
    ),
]


LEGLESS = [
    pytest.param({"petite": 9, "regular": 9, "tall": 10}, 2, id="two of three alike"),
    pytest.param({"petite": 9, "regular": 9, "tall": 9}, 0, id="all alike: a grade"),
    pytest.param({"petite": 9, "regular": 9}, 0, id="two lengths prove nothing"),
]


@pytest.mark.parametrize(("rises", "count"), LEGLESS)
def test_rises_of_a_block_without_legs_pasted_under_another_length(rises: Mapping[str, int], count: int) -> None:
    assert len(held([figure("front_rise", inches, length=length) for length, inches in rises.items()])) == count


@pytest.mark.parametrize(("lengths", "points"), PASTED)
def test_a_block_pasted_under_another_length(lengths: Mapping[str, list[int]], points: set[str]) -> None:
    figures = [
        figure(point, inches, length=length)
        for length, values in lengths.items()
        for point, inches in zip(("inseam", "front_rise"), values, strict=True)
    ]
    assert set(held_of(figures)) == points


def test_a_girth_far_from_that_of_other_lengths_is_held_alone_where_two_agree() -> None:
    figures = [figure("hip", inches, length=name) for name, inches in (("petite", 44), ("regular", 40), ("tall", 40))]
    assert held(figures) == {0}
    assert held(figures[:2]) == {0, 1}
    assert holding(figures) == {"lengths-apart"}


@pytest.mark.parametrize(("inches", "told"), [("11 13/16", "11.81"), (28, "28"), ("9 1/2", "9.5")])
def test_messages_print_short_decimals(inches: Inches, told: str) -> None:
    (finding,) = judged([figure("inseam", 4 if inches == 28 else inches), figure("outseam", inches, "6")])[1][-1:]
    assert f" {told} in" in finding.message or "4 in" in finding.message


TWINS = [
    pytest.param({"waist": [28, 29, 30], "knee": [28, 29, 30]}, {"waist", "knee"}, id="a waist's row as the knee's"),
    pytest.param({"knee": [15, 16, 17], "leg_opening": [15, 16, 17]}, set(), id="a straight leg"),
    pytest.param({"thigh": [24, 24, 24], "back_rise": [24, 24, 24]}, set(), id="rows that stand still"),
]


@pytest.mark.parametrize(("rows", "points"), TWINS)
def test_one_row_under_two_names(rows: Rows, points: set[str]) -> None:
    figures = table(rows)
    assert {figures[index].point for index in held(figures) if holding(figures) & {"copied-row"}} == points
