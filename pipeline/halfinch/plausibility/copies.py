"""Figures that were copied: the sample's under every size, one row under two names, one size under two."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Set
from itertools import combinations, pairwise

from halfinch.figure import Figure
from halfinch.plausibility.docket import Docket, runs_of
from halfinch.plausibility.run import LEAST_SIZES

GIRTHS = ("waist", "hip", "thigh", "knee", "leg_opening")
MAY_BE_EQUAL = ("knee", "leg_opening")
"""A straight leg's knee and opening; no other two points are printed with the same numbers over a whole graded run."""


def judge_constant_girths(docket: Docket) -> None:
    """Girths the same under every size: the sample's figures were copied, nothing says whose they are."""
    groups: dict[tuple[str, str], dict[str, list[int]]] = defaultdict(dict)
    for (garment, point, length), indices in runs_of(docket, held_too=True).items():
        if len(indices) > 1 and is_of_garment(docket, point):
            groups[garment, length][point] = indices
    for points in groups.values():
        girths = [point for point in GIRTHS if point in points]
        still = [point for point in girths if is_constant(docket, points[point])]
        alike = len(girths) > 2 and all(is_constant(docket, indices) for indices in points.values())
        if max(map(len, points.values())) < LEAST_SIZES and not alike:
            continue  # of two sizes that are not the same in everything nothing is told
        if len(girths) > 1 and still == girths:
            copied = [index for indices in points.values() for index in indices]
            docket.hold(copied, "same-for-all", "no girth changes from size to size", "ask for the graded sheet")
        elif "waist" in still and len(points["waist"]) >= LEAST_SIZES:
            count = len(points["waist"])
            docket.hold(
                points["waist"],
                "same-for-all",
                f"waist is the same under all {count} sizes",
                "ask for the graded sheet",
            )


def is_of_garment(docket: Docket, point: str) -> bool:
    """Whether a point is measured on the pair, not on the body it is meant for."""
    known = docket.knowledge.points.get(point)
    return known is not None and known.of == "garment"


def is_constant(docket: Docket, indices: list[int]) -> bool:
    """Whether all figures of a run are one length."""
    return len({docket.figures[index].length_nm for index in indices}) == 1


def judge_copied_rows(docket: Docket, bulging: Set[str]) -> None:
    """One row printed under two names: two points that cannot be equal size by size are both held.

    `bulging`: garments whose knee may be as wide as their thigh, because the leg bulges there.
    """
    for (garment, one, length), (_, other, beside), indices, twin in pairs_of_runs(docket):
        bulges = garment in bulging and {one, other} == {"thigh", "knee"}
        if length != beside or bulges or {one, other} == set(MAY_BE_EQUAL) or is_constant(docket, indices):
            continue
        if all(is_same(docket.figures[a], docket.figures[b]) for a, b in zip(indices, twin, strict=True)):
            docket.hold(
                [*indices, *twin], "copied-row", f"{one} and {other} are the same in every size", "ask which it is"
            )


Key = tuple[str, str, str]


def pairs_of_runs(docket: Docket) -> Iterator[tuple[Key, Key, list[int], list[int]]]:
    """Each two rows of one garment that have figures for equally many sizes, three or more."""
    garments: dict[str, list[tuple[Key, list[int]]]] = defaultdict(list)
    for key, run in runs_of(docket).items():
        if is_of_garment(docket, key[1]) and len(run) >= LEAST_SIZES:
            garments[key[0]].append((key, run))
    for runs in garments.values():
        for (one, indices), (other, twin) in combinations(runs, 2):
            alike = (one[1] in GIRTHS) == (other[1] in GIRTHS)  # an opening and a rise may agree by chance
            if alike and len(indices) == len(twin):
                yield one, other, indices, twin


def is_same(one: Figure, other: Figure) -> bool:
    """The same length, or two girths of the same print, read flat here and round there."""
    girths = {one.point, other.point} <= set(GIRTHS) and "derived" not in (one.basis, other.basis)
    return one.size == other.size and (one.length_nm == other.length_nm or (girths and one.raw == other.raw))


def judge_copied_sizes(docket: Docket) -> None:
    """Two sizes beside each other with all their girths equal: one was copied over the other, lengths and all."""
    groups: dict[tuple[str, str], dict[str, list[int]]] = defaultdict(dict)
    for (garment, point, length), indices in runs_of(docket, held_too=True).items():
        if len(indices) >= LEAST_SIZES and is_of_garment(docket, point):
            groups[garment, length][point] = indices
    for points in groups.values():
        girths = {point: indices for point, indices in points.items() if point in GIRTHS}
        order = [docket.figures[index].size for index in max(girths.values(), key=len, default=[])]
        for one, other in pairwise(order):
            twins = {
                point: twin for point, indices in points.items() if (twin := find_twin(docket, indices, one, other))
            }
            pairs = [twin for point, twin in twins.items() if point in girths]
            asked = [point for point, indices in girths.items() if both_sizes(docket, indices, one, other)]
            if len(pairs) < 2 or len(pairs) < len(asked):
                continue
            told = any(is_copy(docket, point, girths[point], twins[point]) for point in asked)
            if told or stands_there_alone(docket, points, one, other):
                copied = [
                    index
                    for point, twin in twins.items()
                    if point in girths or not is_constant(docket, points[point])
                    for index in twin
                ]
                docket.hold(
                    copied, "copied-size", f"every girth is the same in {one} and {other}", "ask for both sizes"
                )


def stands_there_alone(docket: Docket, points: dict[str, list[int]], one: str, other: str) -> bool:
    """Whether every row that changes at all stands still between these two sizes, and hardly any anywhere else."""
    changing = [indices for indices in points.values() if not is_constant(docket, indices)]
    asked = [indices for indices in changing if both_sizes(docket, indices, one, other)]
    if len(asked) < LEAST_STANDING or not all(find_twin(docket, indices, one, other) for indices in asked):
        return False
    elsewhere = sum(steps_of(docket, indices).count(0) > 1 for indices in asked)
    return elsewhere * 4 <= len(asked)


LEAST_STANDING = 4
"""Rows; that so many stand still between the same two sizes and nowhere else is no rounding."""


def both_sizes(docket: Docket, indices: list[int], one: str, other: str) -> list[int]:
    """The figures of a run for two sizes; empty where it lacks one."""
    found = [index for index in indices if docket.figures[index].size in (one, other)]
    return found if len(found) == 2 else []


def find_twin(docket: Docket, indices: list[int], one: str, other: str) -> list[int]:
    """The two figures where they are equal, else nothing."""
    pair = both_sizes(docket, indices, one, other)
    return pair if pair and is_constant(docket, pair) else []


def steps_of(docket: Docket, indices: list[int]) -> list[int]:
    """Steps from size to size, nanometres, whichever way the run goes."""
    values = [docket.figures[index].length_nm for index in indices]
    return [abs(b - a) for a, b in pairwise(values)]


def often_stands(docket: Docket, indices: list[int]) -> bool:
    """A run that stands in half of its steps or more: equal figures in it are no sign of a copy."""
    steps = steps_of(docket, indices)
    return steps.count(0) * 2 >= len(steps)


def is_copy(docket: Docket, point: str, indices: list[int], twin: list[int]) -> bool:
    """Whether equal figures of a girth tell a copy: waist and hip grow with every size, others may be rounded away.

    Of those a step of twice the usual beside the standing one tells it, or grades printed far finer than they are.
    """
    if often_stands(docket, indices):
        return False
    if point in ("waist", "hip"):
        return True
    steps = steps_of(docket, indices)
    grown = sorted(step for step in steps if step)
    at = indices.index(twin[0])
    beside = [steps[i] for i in (at - 1, at + 1) if 0 <= i < len(steps)]
    usual = grown[len(grown) // 2]
    return any(step * 2 >= usual * 3 for step in beside)


def judge_copies(docket: Docket, bulging: Set[str] = frozenset()) -> None:
    """All three kinds."""
    judge_constant_girths(docket)
    judge_copied_rows(docket, bulging)
    judge_copied_sizes(docket)
