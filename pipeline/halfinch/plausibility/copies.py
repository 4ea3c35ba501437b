"""Figures that were copied: the sample's under every size, one row under two names, one size under two."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Set
from itertools import pairwise

from halfinch.plausibility.docket import Docket, runs_of
from halfinch.plausibility.run import LEAST_SIZES

GIRTHS = ("waist", "hip", "thigh", "knee", "leg_opening")
TWINS = (("front_rise", "back_rise"), ("thigh", "knee"), ("hip", "thigh"), ("waist", "hip"), ("inseam", "outseam"))
"""Points that are never equal over a whole graded run; a straight leg's knee and opening may be."""


def judge_constant_girths(docket: Docket) -> None:
    """Girths the same under every size: the sample's figures were copied, nothing says whose they are."""
    groups: dict[tuple[str, str], dict[str, list[int]]] = defaultdict(dict)
    for (garment, point, length), indices in runs_of(docket).items():
        if len(indices) >= LEAST_SIZES:
            groups[garment, length][point] = indices
    for points in groups.values():
        girths = [point for point in GIRTHS if point in points]
        still = [point for point in girths if is_constant(docket, points[point])]
        if len(girths) > 1 and still == girths:
            copied = [index for indices in points.values() for index in indices]
            docket.hold(copied, "same-for-all", "no girth changes from size to size", "ask for the graded sheet")
        elif "waist" in still:
            count = len(points["waist"])
            docket.hold(
                points["waist"],
                "same-for-all",
                f"waist is the same under all {count} sizes",
                "ask for the graded sheet",
            )


def is_constant(docket: Docket, indices: list[int]) -> bool:
    """Whether all figures of a run are one length."""
    return len({docket.figures[index].length_nm for index in indices}) == 1


def judge_copied_rows(docket: Docket, bulging: Set[str]) -> None:
    """One row printed under two names: two points that cannot be equal size by size are both held.

    `bulging`: garments whose knee may be as wide as their thigh, because the leg bulges there.
    """
    runs = runs_of(docket)
    for (garment, point, length), indices in runs.items():
        for one, other in TWINS:
            twin = runs.get((garment, other, length), [])
            if point != one or len(indices) < LEAST_SIZES or len(twin) != len(indices) or is_constant(docket, indices):
                continue
            if garment in bulging and (one, other) == ("thigh", "knee"):
                continue
            values = [docket.figures[index].length_nm for index in indices]
            if values == [docket.figures[index].length_nm for index in twin]:
                docket.hold(
                    [*indices, *twin], "copied-row", f"{one} and {other} are the same in every size", "ask which it is"
                )


def judge_copied_sizes(docket: Docket) -> None:
    """Two sizes beside each other with all their girths equal: one was copied over the other."""
    groups: dict[tuple[str, str], dict[str, list[int]]] = defaultdict(dict)
    for (garment, point, length), indices in runs_of(docket).items():
        if point in GIRTHS and len(indices) >= LEAST_SIZES:
            groups[garment, length][point] = indices
    for points in groups.values():
        order = [docket.figures[index].size for index in max(points.values(), key=len)]
        by_size = {point: {docket.figures[i].size: i for i in indices} for point, indices in points.items()}
        for one, other in pairwise(order):
            pairs = [(sizes[one], sizes[other]) for sizes in by_size.values() if one in sizes and other in sizes]
            same = all(docket.figures[a].length_nm == docket.figures[b].length_nm for a, b in pairs)
            if len(pairs) > 1 and same and {"waist", "hip"} & set(by_size):  # legs alone stand still by rounding
                copied = [index for pair in pairs for index in pair]
                docket.hold(
                    copied, "copied-size", f"every girth is the same in {one} and {other}", "ask for both sizes"
                )


def judge_copies(docket: Docket, bulging: Set[str] = frozenset()) -> None:
    """All three kinds."""
    judge_constant_girths(docket)
    judge_copied_rows(docket, bulging)
    judge_copied_sizes(docket)
