"""Flat or round, asked of each point: what the sheet does not say is decided by the figures beside it.

All silent girths of one garment in a block are decided together: each combination of flat and round is scored by how
usual the figures become, how the points stand to one another (thigh to hip, knee to thigh, opening to knee) and how
merchants mix conventions. A point whose answer does not win clearly is held with the rival named.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import log2
from statistics import median

from halfinch.interpret.evidence import in_inches, is_girth, suits
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.words import silhouette_in
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_fit import Silhouette
from halfinch.knowledge.spec_reading import Mixture, Ratio

GIRTHS = ("waist", "hip", "thigh", "knee", "leg_opening")
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
    heading: str
    silhouette: Silhouette | None


def find_silhouette(group: list[RawFigure], knowledge: Knowledge) -> Silhouette | None:
    """The silhouette that the style's name or an attribute speaks of."""
    for figure in group:
        attributes = figure.facets.attributes
        name = silhouette_in(attributes.get("silhouette", "") or attributes.get("style", ""), knowledge)
        if name:
            return knowledge.silhouettes.silhouette[name]
    return None


def decide_conventions(figures: Iterable[RawFigure], knowledge: Knowledge) -> None:
    """Sets `convention` and `convention_from` on every figure; adds notes and holds."""
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
        decide_group(group, knowledge)


def decide_group(group: list[RawFigure], knowledge: Knowledge) -> None:
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
        heading=next((one.facets.convention for one in group if one.facets.convention), ""),
        silhouette=find_silhouette(group, knowledge),
    )
    ranked: list[tuple[float, dict[str, str]]] = []
    for combination in product(("round", "flat"), repeat=len(silent)):
        chosen = {**said, **dict(zip(silent, combination, strict=True))}
        ranked.append((_score(chosen, silent, by_point, knowledge, hints), chosen))
    ranked.sort(key=lambda pair: -pair[0])
    best_score, best = ranked[0]
    for point in silent:
        rival = next((score for score, chosen in ranked if chosen[point] != best[point]), best_score - 99)
        for figure in by_point[point]:
            if figure.convention:
                continue
            figure.convention, figure.convention_from = best[point], "inferred"
            if best_score - rival >= CLEAR and best[point] == hints.heading:
                figure.convention_from = "heading"
            elif best_score - rival >= CLEAR:
                figure.notes.append(
                    (
                        "flat-or-round-unsaid",
                        f"read as {best[point]}: not printed, but only this suits the figures beside it",
                    )
                )
            else:
                other = "flat" if best[point] == "round" else "round"
                figure.hold(
                    "flat-or-round",
                    f"not printed whether flat or round, both suit ({best[point]} or {other}); ask, or tape one pair",
                )


def _said(figures: list[RawFigure]) -> str:
    return next((figure.convention for figure in figures if figure.convention), "")


def _inches(figure: RawFigure, convention: str) -> Fraction:
    return in_inches(figure.printed.value, figure.unit, convention)


def _middle(figures: list[RawFigure], convention: str) -> Fraction:
    return Fraction(median(_inches(figure, convention) for figure in figures))


def _score(
    chosen: dict[str, str],
    silent: list[str],
    by_point: dict[str, list[RawFigure]],
    knowledge: Knowledge,
    hints: Hints,
) -> float:
    score = 0.0
    for point in silent:
        costs = []
        for figure in by_point[point]:
            suit = suits(knowledge, point, figure.printed.value, figure.unit, chosen[point])
            costs.append((IMPLAUSIBLE, UNUSUAL, 0.0)[suit] + _octaves(figure, chosen[point], knowledge))
        score -= median(costs)
        if hints.flat_labels and chosen[point] == "flat":
            score += FLAT_LABELS
        if hints.heading and chosen[point] == hints.heading:
            score += HEADING
        if hints.silhouette is not None and point == "leg_opening":
            middle = _middle(by_point[point], chosen[point])
            low, high = hints.silhouette.opening.low - 2, hints.silhouette.opening.high + 3
            score -= 0.0 if low <= middle <= high else 2 * UNUSUAL
    for ratio in knowledge.reading.ratio.values():
        one, other = ratio.of, ratio.to
        if one in chosen and other in chosen and (one in silent or other in silent):
            if (one, other) == ("leg_opening", "thigh") and "knee" in chosen:
                continue
            score -= _ratio_cost(_middle(by_point[one], chosen[one]) / _middle(by_point[other], chosen[other]), ratio)
    return score - _mixture_cost(chosen, knowledge.reading.mixture)


def _octaves(figure: RawFigure, convention: str, knowledge: Knowledge) -> float:
    """How far a figure lies from the middle of its point: a wrong factor of two is one octave."""
    middle = float(getattr(knowledge.reading.typical, figure.point))
    return OCTAVE * log2(float(_inches(figure, convention)) / middle) ** 2


def _ratio_cost(value: Fraction, ratio: Ratio) -> float:
    if value not in ratio.limits:
        return OUTSIDE
    return 0.0 if value in ratio.usual else UNUSUAL


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


def doubt_labels(by_point: dict[str, list[RawFigure]], knowledge: Knowledge) -> None:
    """A convention said beside a row that makes nonsense of the whole row: the row is held."""
    for point, figures in by_point.items():
        loose = [figure for figure in figures if figure.convention_from in ("label", "cell")]
        if not loose:
            continue
        said = loose[0].convention
        other = "round" if said == "flat" else "flat"
        wrong = sum(suits(knowledge, point, one.printed.value, one.unit, said) == 0 for one in loose)
        right = sum(suits(knowledge, point, one.printed.value, one.unit, other) == 2 for one in loose)
        if wrong * 3 >= len(loose) * 2 and right * 3 >= len(loose) * 2:
            for figure in loose:
                figure.hold(
                    "flat-or-round-contradicted",
                    f"the sheet says {said}, but the figure only makes sense as {other}; ask which it is",
                )
