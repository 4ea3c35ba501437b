"""Flat or round, asked of each point: what the sheet does not say is decided by the figures beside it.

All silent girths of one garment in a block are decided together: each combination of flat and round is scored by how
usual the figures become, how the points stand to one another (thigh to hip, knee to thigh, opening to knee) and how
merchants mix conventions. A point whose answer does not win clearly is settled by the merchant's habit, else held with
the rival named. Figures that plainly read otherwise than the habit says are held too.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import product
from math import log2
from statistics import median

from halfinch.interpret.evidence import inch_factor, is_girth, suits
from halfinch.interpret.habits import CONTRADICTED, FILE, HABIT
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.statements import GIRTHS, TOLD
from halfinch.interpret.words import silhouette_in
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_fit import Silhouette
from halfinch.knowledge.spec_habits import GirthHabits
from halfinch.knowledge.spec_reading import Mixture, Ratio

UNSAID, OPEN = "flat-or-round-unsaid", "flat-or-round"
LEG = ("thigh", "knee", "leg_opening")
CLEAR = 3.0
"""A convention is taken when the best combination without it scores worse by this much."""

OUTSIDE, UNUSUAL, IMPLAUSIBLE, OCTAVE = 8.0, 2.0, 20.0, 6.0


FLAT_LABELS = 1.5
"""Another point of the table is flat by its label: one says it for the first row and means all."""
HEADING = 5.0
"""A heading or note says flat (or round) for the whole table; figures that make nonsense of it outweigh it."""


@dataclass(frozen=True, slots=True)
class Hints:
    """What the table says beyond its figures."""

    flat_labels: bool
    heading: Mapping[str, str]
    """By point: what a heading or note says of the table, or of that point in it."""
    silhouette: Silhouette | None
    habits: GirthHabits = field(default_factory=GirthHabits)
    """The merchant's, for the points of which the table says nothing."""


def find_silhouette(group: list[RawFigure], knowledge: Knowledge) -> Silhouette | None:
    """The silhouette that the style's name or an attribute speaks of."""
    for attributes in {id(figure.facets.attributes): figure.facets.attributes for figure in group}.values():
        name = silhouette_in(attributes.get("silhouette", "") or attributes.get("style", ""), knowledge)
        if name:
            return knowledge.silhouettes.silhouette[name]
    return None


def decide_conventions(figures: Iterable[RawFigure], knowledge: Knowledge, habits: GirthHabits | None = None) -> None:
    """Sets `convention` and `convention_from` on every figure; adds notes and holds. `habits`: the merchant's."""
    groups: dict[tuple[int, str, str], list[RawFigure]] = defaultdict(list)
    for figure in figures:
        if figure.body or not is_girth(knowledge, figure.point):
            continue
        label = figure.label
        if figure.printed.convention:
            figure.convention, figure.convention_from = figure.printed.convention, "cell"
        elif label is not None and label.convention:
            figure.convention, figure.convention_from = label.convention, "label"
        attributes = figure.facets.attributes
        groups[figure.block, attributes.get("style", ""), attributes.get("style_code", "")].append(figure)
    for group in groups.values():
        decide_group(group, knowledge, habits or GirthHabits())
    lend_conventions([figure for group in groups.values() for figure in group])


def decide_group(group: list[RawFigure], knowledge: Knowledge, habits: GirthHabits) -> None:
    """All girths of one garment in one block."""
    by_point: dict[str, list[RawFigure]] = defaultdict(list)
    for figure in group:
        by_point[figure.point].append(figure)
    silent = [point for point in GIRTHS if any(not one.convention for one in by_point.get(point, ()))]
    doubt_labels(by_point, knowledge)
    if not silent:
        return
    said = {point: _said(by_point[point]) for point in by_point if _said(by_point[point])}
    hints = Hints(
        flat_labels="flat" in said.values(),
        heading={point: found for point, members in by_point.items() if (found := _told(members, point))},
        silhouette=find_silhouette(group, knowledge),
        habits=habits,
    )
    ranked = rank_combinations(by_point, silent, said, hints, knowledge)
    if any(ranked[0][1][point] != hints.heading.get(point, ranked[0][1][point]) for point in silent):
        # The figures refute the heading for one point: it is no evidence for the others either.
        hints = replace(hints, heading={})
        ranked = rank_combinations(by_point, silent, said, hints, knowledge)
    # What a heading tells of a point is said: a habit is for what is not.
    hints = replace(hints, habits=habits.without(hints.heading))
    by_habit = settled_by_habit(ranked, silent, hints.habits)
    left = [one for one in ranked if _holds(one[1], by_habit)]
    best_score, best = left[0]
    for point in silent:
        if point in by_habit:
            settle_by_habit(by_point[point], by_habit[point])
            continue
        rival = next((score for score, chosen in left if chosen[point] != best[point]), best_score - 99)
        settle_point(by_point[point], best[point], best_score - rival >= CLEAR, hints)


Ranked = list[tuple[float, dict[str, str]]]


def rank_combinations(
    by_point: dict[str, list[RawFigure]], silent: list[str], said: dict[str, str], hints: Hints, knowledge: Knowledge
) -> Ranked:
    """Every combination of flat and round for the silent points with its score, best first."""
    scales = {point: weigh_point(figures, hints, knowledge) for point, figures in by_point.items()}
    ranked: Ranked = []
    for combination in product(("round", "flat"), repeat=len(silent)):
        chosen = {**said, **dict(zip(silent, combination, strict=True))}
        ranked.append((_score(chosen, silent, scales, knowledge), chosen))
    return sorted(ranked, key=lambda pair: -pair[0])


def settled_by_habit(ranked: Ranked, silent: list[str], habits: GirthHabits) -> dict[str, str]:
    """The points that the figures leave open and the merchant's habits settle, where these suit about as well."""
    best_score, best = ranked[0]
    found: dict[str, str] = {}
    for point in silent:
        rival = next((score for score, chosen in ranked if chosen[point] != best[point]), best_score - 99)
        if habits.of(point) and best_score - rival < CLEAR:
            found[point] = habits.of(point)
    together = next(score for score, chosen in ranked if _holds(chosen, found))
    return found if best_score - together < CLEAR else {}


def _holds(chosen: dict[str, str], habits: dict[str, str]) -> bool:
    return all(chosen[point] == said for point, said in habits.items())


def settle_by_habit(figures: list[RawFigure], convention: str) -> None:
    """Writes a habit on the silent figures of one point, named in a note."""
    other = "flat" if convention == "round" else "round"
    for figure in figures:
        if not figure.convention:
            figure.convention, figure.convention_from = convention, "inferred"
            figure.notes.append(
                (HABIT, f"read as {convention}, as this merchant prints ({FILE}): not printed, {other} would suit too")
            )


def settle_point(figures: list[RawFigure], convention: str, clear: bool, hints: Hints) -> None:
    """Writes the answer on the silent figures of one point: taken, taken with a note, or held."""
    other = "flat" if convention == "round" else "round"
    against = hints.habits.of(figures[0].point) == other
    for figure in figures:
        if figure.convention:
            continue
        figure.convention, figure.convention_from = convention, "inferred"
        if clear and convention == hints.heading.get(figure.point):
            figure.convention_from = "heading"
        elif clear and against:
            figure.hold(
                CONTRADICTED,
                f"not printed, and the figures read like {convention}, but this merchant prints {other} ({FILE}); "
                "say which it is, or mend the habit",
            )
        elif clear:
            figure.notes.append(
                (UNSAID, f"read as {convention}: not printed, but only this suits the figures beside it")
            )
        else:
            figure.hold(
                OPEN, f"not printed whether flat or round, both suit ({convention} or {other}); ask, or tape one pair"
            )


def lend_conventions(figures: list[RawFigure]) -> None:
    """A point left open for one garment is settled by the others of its table, where these agree."""
    decided: dict[tuple[int, str], set[str]] = defaultdict(set)
    for figure in figures:
        if figure.convention and not any(rule == OPEN for rule, _ in figure.holds):
            decided[figure.block, figure.point].add(figure.convention)
    for figure in figures:
        known = decided.get((figure.block, figure.point), set())
        # Lent only where the garment's own figures lean the same way.
        if known == {figure.convention} and any(rule == OPEN for rule, _ in figure.holds):
            figure.holds = [(rule, reason) for rule, reason in figure.holds if rule != OPEN]
            figure.notes.append((UNSAID, f"read as {figure.convention}, as the other garments of the table are"))


def _told(figures: list[RawFigure], point: str) -> str:
    """What a note says of this point ("waist round, the rest flat"), else what a heading says of all."""
    one = next((figure for figure in figures if TOLD.format(point) in figure.facets.attributes), None)
    if one is not None:
        return one.facets.attributes[TOLD.format(point)]
    return next((figure.facets.convention for figure in figures if figure.facets.convention), "")


def _said(figures: list[RawFigure]) -> str:
    return next((figure.convention for figure in figures if figure.convention), "")


@dataclass(frozen=True, slots=True)
class Scale:
    """One point read round and flat: its middle in inches and what it costs to believe each."""

    middle: dict[str, float]
    cost: dict[str, float]


def weigh_point(figures: list[RawFigure], hints: Hints, knowledge: Knowledge) -> Scale:
    """The middle and the cost of one point's figures under both conventions."""
    point = knowledge.points[figures[0].point]
    known = (float(point.low), float(point.usual_low), float(point.usual_high), float(point.high))
    typical = float(getattr(knowledge.reading.typical, figures[0].point))
    if hints.silhouette is not None and point.name == "leg_opening":
        typical = float(hints.silhouette.opening.low + hints.silhouette.opening.high) / 2
    inches = [float(figure.printed.value) * float(inch_factor(figure.unit)) for figure in figures]
    middle: dict[str, float] = {}
    cost: dict[str, float] = {}
    for convention, factor in (("round", 1), ("flat", 2)):
        values = [one * factor for one in inches]
        middle[convention] = median(values)
        octave = OCTAVE / 2 if point.name in ("knee", "leg_opening") else OCTAVE
        cost[convention] = median(_cost(value, known, typical, octave) for value in values)
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


def _contradicts_label(figures: list[RawFigure], middle: float, inches: list[float], point: str) -> bool:
    """Whether girths so read are far from the waists that the sizes themselves promise (W26 to W32)."""
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
    base = IMPLAUSIBLE if not low <= value <= high else 0.0 if usual_low <= value <= usual_high else UNUSUAL
    return base + octave * log2(value / typical) ** 2


def _score(chosen: dict[str, str], silent: list[str], scales: dict[str, Scale], knowledge: Knowledge) -> float:
    score = -sum(scales[point].cost[chosen[point]] for point in silent)
    for ratio in knowledge.reading.ratio.values():
        one, other = ratio.of, ratio.to
        if one in chosen and other in chosen and (one in silent or other in silent):
            if (one, other) == ("leg_opening", "thigh") and "knee" in chosen:
                continue
            below = scales[other].middle[chosen[other]]
            score -= _ratio_cost(scales[one].middle[chosen[one]] / below if below else 0.0, ratio)
    return score - _mixture_cost(chosen, knowledge.reading.mixture)


def _ratio_cost(value: float, ratio: Ratio) -> float:
    if not float(ratio.limits.low) <= value <= float(ratio.limits.high):
        return OUTSIDE
    return 0.0 if float(ratio.usual.low) <= value <= float(ratio.usual.high) else UNUSUAL


def _mixture_cost(chosen: dict[str, str], costs: Mixture) -> float:
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


_PLUS = re.compile(r"(?i)^(?:[1-6]x|x{2,}l|[2-6]xl|\d{2}w)|^(?:2[2-9]|3[0-2]|5[2-9]|6\d)$")


def is_plus(figure: RawFigure) -> bool:
    """A size so large that its full girths pass what is usual (1X, 3XL, 24W, EU 54)."""
    return figure.size is not None and _PLUS.match(figure.size.size) is not None


def doubt_labels(by_point: dict[str, list[RawFigure]], knowledge: Knowledge) -> None:
    """A convention said beside a row that makes nonsense of the whole row: the row is held."""
    for point, figures in by_point.items():
        loose = [figure for figure in figures if figure.convention_from in ("label", "cell")]
        if not loose:
            continue
        said = loose[0].convention
        other = "round" if said == "flat" else "flat"
        worst = 0 if any(is_plus(one) for one in loose) else 1
        wrong = sum(suits(knowledge, point, one.printed.value, one.unit, said) <= worst for one in loose)
        right = sum(suits(knowledge, point, one.printed.value, one.unit, other) == 2 for one in loose)
        if wrong * 3 >= len(loose) * 2 and right * 3 >= len(loose) * 2:
            for figure in loose:
                figure.hold(
                    "flat-or-round-contradicted",
                    f"the sheet says {said}, but the figure only makes sense as {other}; ask which it is",
                )
