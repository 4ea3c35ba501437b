"""How hard a girth is to believe all the way round and laid flat: its own figures, and the points beside it.

In: one garment's girths by point. Out: costs in points of evidence, higher is harder to believe. Deciding is the
business of `conventions.py`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import log2
from statistics import median

from halfinch.interpret.evidence import inch_factor, suits_somehow
from halfinch.interpret.raw import RawFigure
from halfinch.knowledge import Knowledge
from halfinch.knowledge.reading import Span
from halfinch.knowledge.spec_fit import Silhouette
from halfinch.knowledge.spec_habits import GirthHabits
from halfinch.knowledge.spec_reading import Mixture, Ratio

LEG = ("thigh", "knee", "leg_opening")
OUTSIDE, UNUSUAL, IMPLAUSIBLE, OCTAVE = 8.0, 2.0, 20.0, 6.0
TIGHT = 3.0
"""Narrower than usual: wide is a matter of fashion, but a leg has to go through."""
FLAT_LABELS = 1.5
"""Another point of the table is flat by its label: one says it for the first row and means all."""
HEADING = 5.0
"""A heading or note says flat (or round) for the whole table; figures that make nonsense of it outweigh it."""


def typical_of(silhouette: Silhouette, point: str) -> float:
    """The middle of a silhouette's openings, or of the knees over them, inches all the way round."""
    opening, less = silhouette.opening, silhouette.opening_less_knee
    middle = float(opening.low + opening.high) / 2
    return middle if point == "leg_opening" else middle - float(less.low + less.high) / 2


LEAST_PLUS = {"waist": 30.0, "hip": 38.0}
"""Girths of a run of plus sizes below which they are half of it."""
MOST_SMALL = {"waist": 44.0, "hip": 54.0}
"""Girths of a run of small sizes above which they were doubled for nothing."""


@dataclass(frozen=True, slots=True)
class Hints:
    """What the table says beyond its figures."""

    flat_labels: bool
    heading: Mapping[str, str]
    """By point: what a heading or note says of the table, or of that point in it."""
    silhouette: Silhouette | None
    habits: GirthHabits = field(default_factory=GirthHabits)
    """The merchant's, for the points of which the table says nothing."""


@dataclass(frozen=True, slots=True)
class Scale:
    """One point read round and flat: its middle in inches and what it costs to believe each."""

    middle: dict[str, float]
    cost: dict[str, float]


def weigh_point(figures: list[RawFigure], hints: Hints, knowledge: Knowledge) -> Scale:
    """The middle and the cost of one point's figures under both conventions.

    A number that is none of the point's in either of them tells nothing of flat or round, unless all are so.
    """
    suiting = [one for one in figures if suits_somehow(knowledge, one.point, one.printed.value, one.unit)] or figures
    inches = [float(figure.printed.value) * float(inch_factor(figure.unit)) for figure in suiting]
    return weigh_numbers(inches, suiting, hints, knowledge)


def weigh_numbers(inches: Sequence[float], figures: list[RawFigure], hints: Hints, knowledge: Knowledge) -> Scale:
    """The same for other numbers under the label and the sizes of `figures`; a length has one way, under ''."""
    point = knowledge.points[figures[0].point]
    known = (float(point.low), float(point.usual_low), float(point.usual_high), float(point.high))
    typical = float(getattr(knowledge.reading.typical, point.name))
    if hints.silhouette is not None and point.name in ("leg_opening", "knee"):
        typical = typical_of(hints.silhouette, point.name)
    middle: dict[str, float] = {}
    cost: dict[str, float] = {}
    if point.kind != "circumference":
        return Scale({"": median(inches)}, {"": median(_cost(one, known, typical, OCTAVE) for one in inches)})
    for convention, factor in (("round", 1), ("flat", 2)):
        values = [one * factor for one in inches]
        middle[convention] = median(values)
        octave = OCTAVE / 2 if point.name in ("knee", "leg_opening") else OCTAVE
        cost[convention] = median(_cost(value, known, typical, octave) for value in values)
        if cost[convention] < IMPLAUSIBLE:
            cost[convention] += IMPLAUSIBLE * sum(not known[0] <= value <= known[3] for value in values) / len(values)
        if point.name in ("waist", "hip") and _contradicts_label(figures, middle[convention], inches, point.name):
            cost[convention] += OUTSIDE
        if hints.flat_labels and convention == "flat":
            cost[convention] -= FLAT_LABELS
        if hints.heading.get(point.name) == convention:
            cost[convention] -= HEADING
        if hints.silhouette is not None and point.name == "leg_opening":
            opening = hints.silhouette.opening
            if not float(opening.low) - 2 <= middle[convention] <= float(opening.high) + 3:
                cost[convention] += 2 * UNUSUAL
    return Scale(middle, cost)


def _contradicts_label(figures: list[RawFigure], middle: float, inches: Sequence[float], point: str) -> bool:
    """Whether girths so read are far from the waists that the sizes themselves promise (W26 to W32)."""
    if sum(is_marked_plus(figure) for figure in figures) * 2 > len(figures):
        return middle < LEAST_PLUS[point]
    if sum(is_marked_small(figure) for figure in figures) * 2 > len(figures) and middle > MOST_SMALL[point]:
        return True
    labels = [
        float(figure.size.waist) for figure in figures if figure.size is not None and figure.size.waist is not None
    ]
    if not labels or len(labels) * 2 < len(inches):
        return False
    above = middle - median(labels)
    return not (-4 <= above <= 9 if point == "waist" else 0 <= above <= 26)


def _cost(value: float, known: tuple[float, float, float, float], typical: float, octave: float) -> float:
    """How hard a figure is to believe: outside the limits, outside the usual, octaves from the middle."""
    low, usual_low, usual_high, high = known
    if value <= 0:
        return IMPLAUSIBLE
    base = 0.0 if usual_low <= value <= usual_high else UNUSUAL if value > usual_high else TIGHT
    base = base if low <= value <= high else IMPLAUSIBLE
    return base + octave * log2(value / typical) ** 2


def score_girths(
    chosen: dict[str, str], silent: list[str], scales: dict[str, Scale], cut: Silhouette | None, knowledge: Knowledge
) -> float:
    """How well one garment's figures suit a combination: each by itself, and how they stand to one another."""
    score = -sum(scales[point].cost[chosen[point]] for point in silent if point in scales)
    for ratio in knowledge.reading.ratio.values():
        one, other = ratio.of, ratio.to
        if one not in scales or other not in scales or not {one, other} & set(silent):
            continue
        if any(point in scales for point in ratio.unless):
            continue
        below = scales[other].middle[chosen[other]]
        value = scales[one].middle[chosen[one]] / below if below else 0.0
        named = cut.knee_of_thigh if cut is not None and (one, other) == ("knee", "thigh") else None
        score -= ratio_cost(value, ratio, named)
    return score


def ratio_cost(value: float, ratio: Ratio, named: Span | None) -> float:
    """`named`: what is usual for the silhouette that the sheet names."""
    if not float(ratio.limits.low) <= value <= float(ratio.limits.high):
        return OUTSIDE
    usual = named or ratio.usual
    inside = float(usual.low) <= value <= float(usual.high)
    return 0.0 if inside else 2 * UNUSUAL if named else UNUSUAL


def mixture_cost(chosen: dict[str, str], costs: Mixture) -> float:
    """How unusual a mixture of conventions is: round tops over flat legs are common, the reverse is not."""
    cost = 0.0
    leg = {chosen[point] for point in LEG if point in chosen}
    top = {chosen[point] for point in ("waist", "hip") if point in chosen}
    if len(leg) == 2:
        cost += float(costs.leg_mixed)
    if len(top) == 2:
        cost += float(costs.top_mixed)
    if top == {"round"} and leg == {"flat"}:
        cost += float(costs.round_over_flat)
    if top == {"flat"} and leg == {"round"}:
        cost += float(costs.flat_over_round)
    return cost


_MARKED_PLUS = re.compile(r"(?i)^(?:[2-6]x|xx+l|[2-6]xl|[12]\dw)$")


def is_marked_plus(figure: RawFigure) -> bool:
    """A size that only plus sizes have (2X, 3XL, 20W); a bare 24 may be a waist."""
    size = figure.size
    return size is not None and size.waist is None and _MARKED_PLUS.match(size.size) is not None


_MARKED_SMALL = re.compile(r"(?i)^(?:x*s|m|0{1,3}|[2-9]|1[0-4])$")


def is_marked_small(figure: RawFigure) -> bool:
    """A size that no system has among its large ones (XS to M, 00 to 14)."""
    size = figure.size
    return size is not None and size.waist is None and _MARKED_SMALL.match(size.size) is not None
