"""A run: one point of one garment over its sizes. What breaks its evenness is found figure by figure."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from halfinch.knowledge import PointKnowledge

LEAST_SIZES = 3


@dataclass(frozen=True, slots=True)
class Run:
    """Exact inches in the order of the sizes; `indices` point into the sheet's figures."""

    point: PointKnowledge
    values: tuple[Fraction, ...]
    indices: tuple[int, ...]


def find_breaks(run: Run) -> list[int]:
    """Indices of the figures that break the run; empty for an even one.

    A step is bad outside the grade limits of the point, or when it differs from the usual step of this run by more
    than three usual tolerances and one and a half steps. The figures whose removal mends most steps are taken; where
    two do it equally well, both are.
    """
    if len(run.values) == 2 and max(run.values) > min(run.values) * A_HALF:
        return list(run.indices)
    if len(run.values) < LEAST_SIZES or is_plainly_even(run):
        return []
    values = list(run.values)
    descending = values[-1] < values[0] and sum(b < a for a, b in itertools.pairwise(values)) * 2 > len(values) - 1
    if descending:
        values = [-value for value in values]
    alive = list(range(len(values)))
    broken: list[int] = []
    most = max(1, len(values) // 3)
    step = _usual_step(values)
    if turned := _find_turned(values, step, run.point):
        return [run.indices[i] for i in turned]
    while bad := _count_bad(values, alive, step, run.point):
        costs = [(_count_bad(values, [j for j in alive if j != i], step, run.point), i) for i in alive]
        least = min(cost for cost, _ in costs)
        culprits = [i for cost, i in costs if cost == least]
        if least >= bad:
            culprits = _ends_of_bad_steps(values, alive, step, run.point)
        broken.extend(culprits)
        alive = [i for i in alive if i not in culprits]
        if len(broken) > most + 1 or len(alive) < 2:
            break
    return [run.indices[i] for i in sorted(broken)]


def is_plainly_even(run: Run) -> bool:
    """Whether no step of a run comes near a limit, in floating point: true of nearly all runs, and soon told.

    What comes near one is left to the exact arithmetic of `find_breaks`.
    """
    values = [float(value) for value in run.values]
    steps = [b - a for a, b in itertools.pairwise(values)]
    if values[-1] < values[0]:
        steps = [-step for step in steps]
    usual, point = median(steps), run.point
    low, high, tolerance = float(point.grade_least), float(point.grade_most), float(point.tolerance)
    allowed = max(3 * tolerance, abs(usual) * 1.5, high * 0.7)
    if not all(low + NEAR < step < high - NEAR and abs(step - usual) < allowed - NEAR for step in steps):
        return False
    turns = ((a, b) for a, b in itertools.pairwise(steps) if a * b < NEAR)
    return all(min(abs(a), abs(b)) < 2 * tolerance - NEAR for a, b in turns)


NEAR = 1e-6
"""Inches: nearer to a limit than this, floating point does not decide."""
A_HALF = Fraction(3, 2)
"""Two sizes are no run, but one of them half the other is a half girth, another unit or a slip."""


def _find_turned(values: list[Fraction], usual: Fraction, point: PointKnowledge) -> list[int]:
    """Two neighbours of a broken run that would be even if they changed places: which size is whose?"""
    if not _count_bad(values, list(range(len(values))), usual, point):
        return []
    for i in range(len(values) - 1):
        changed = [*values[:i], values[i + 1], values[i], *values[i + 2 :]]
        if values[i + 1] < values[i] and not _count_bad(changed, list(range(len(values))), _usual_step(changed), point):
            return [i, i + 1]
    return []


STEADY = Fraction(9, 10)
"""Waist and hip that grow by an inch or so (its centimetres rounded) from size to size do not stand still by design."""


def find_standstill(run: Run) -> list[int]:
    """Indices in doubt where a waist or hip that otherwise grows steadily stands still in one step.

    Inside the run one of the two figures was copied; at an end the whole row may have slipped by a size, as its first
    (or last) figure is printed twice. Several standing steps are a merchant's grade.
    """
    steps = [abs(b - a) for a, b in itertools.pairwise(run.values)]
    others = [step for step in steps if step]
    if run.point.name not in ("waist", "hip") or len(others) < 2 or len(steps) - len(others) != 1:
        return []
    if min(others) < STEADY:
        return []
    at = steps.index(Fraction(0))
    return list(run.indices) if at in (0, len(steps) - 1) else list(run.indices[at : at + 2])


def _usual_step(values: list[Fraction]) -> Fraction:
    return Fraction(median(b - a for a, b in itertools.pairwise(values)))


def _is_bad(step: Fraction, gap: int, usual: Fraction, point: PointKnowledge) -> bool:
    if not point.grade_least * gap <= step <= point.grade_most * gap:
        return True
    # One honest step of a half to an inch in a constant row is common; a spike is caught by its own rule.
    allowed = max(3 * point.tolerance, abs(usual) * Fraction(3, 2), point.grade_most * Fraction(7, 10))
    allowed += (gap - 1) * abs(usual)
    return abs(step - usual * gap) > allowed


def _bad_steps(
    values: list[Fraction], alive: list[int], usual: Fraction, point: PointKnowledge
) -> list[tuple[int, int]]:
    pairs = list(itertools.pairwise(alive))
    bad = [(a, b) for a, b in pairs if _is_bad(values[b] - values[a], b - a, usual, point)]
    return bad + [
        (b, b) for a, b, c in zip(alive, alive[1:], alive[2:], strict=False) if _is_spike(values, a, b, c, point)
    ]


def _is_spike(values: list[Fraction], a: int, b: int, c: int, point: PointKnowledge) -> bool:
    """Above both neighbours or below both, by more than two tolerances."""
    up, down = values[b] - values[a], values[b] - values[c]
    return up * down > 0 and min(abs(up), abs(down)) > 2 * point.tolerance


def _count_bad(values: list[Fraction], alive: list[int], usual: Fraction, point: PointKnowledge) -> int:
    return len(_bad_steps(values, alive, usual, point))


def _ends_of_bad_steps(values: list[Fraction], alive: list[int], usual: Fraction, point: PointKnowledge) -> list[int]:
    return sorted({i for pair in _bad_steps(values, alive, usual, point) for i in pair})
