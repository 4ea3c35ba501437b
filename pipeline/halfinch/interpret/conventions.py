"""Flat or round, asked of each point: what the sheet does not say is decided by the figures beside it.

All silent girths of all garments whose tables are laid out alike are decided together: each combination of flat and
round is scored by how usual the figures become, how the points stand to one another (thigh to hip, knee to thigh,
opening to knee) and how merchants mix conventions. A point whose answer does not win clearly is settled by the
merchant's habit, else held with the rival named. Figures that plainly read otherwise than the habit says are held too.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product
from math import sqrt

from halfinch.interpret.evidence import is_girth, suits
from halfinch.interpret.habits import CONTRADICTED, FILE, HABIT
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.statements import GIRTHS, TOLD
from halfinch.interpret.trace import SILENT, Trace
from halfinch.interpret.weighing import LEG, Hints, mixture_cost, score_girths, weigh_point
from halfinch.interpret.words import silhouette_in
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_fit import Silhouette
from halfinch.knowledge.spec_habits import GirthHabits

UNSAID, OPEN = "flat-or-round-unsaid", "flat-or-round"
CONTRADICTED_LABEL = "flat-or-round-contradicted"
LEAST_AGAINST = 3
"""In so many points two garments have to deny one another before they count as measured in two ways."""
CLEAR = 3.0
"""A convention is taken when the best combination without it scores worse by this much."""


def find_silhouette(group: list[RawFigure], knowledge: Knowledge) -> Silhouette | None:
    """The silhouette that the style's name or an attribute speaks of."""
    for attributes in {id(figure.facets.attributes): figure.facets.attributes for figure in group}.values():
        name = silhouette_in(attributes.get("silhouette", "") or attributes.get("style", ""), knowledge)
        if name:
            return knowledge.silhouettes.silhouette[name]
    return None


@dataclass(frozen=True, slots=True)
class Part:
    """The girths of one garment in one block."""

    by_point: dict[str, list[RawFigure]]
    hints: Hints
    garment: tuple[str, str]
    """(style, code): parts of one garment, as its petites and its talls, are the same evidence told again."""


def decide_conventions(
    figures: Iterable[RawFigure], knowledge: Knowledge, habits: GirthHabits | None = None, trace: Trace = SILENT
) -> None:
    """Sets `convention` and `convention_from` on every figure; adds notes and holds. `habits`: the merchant's."""
    groups: dict[tuple[int, str, str], dict[str, list[RawFigure]]] = defaultdict(lambda: defaultdict(list))
    for figure in figures:
        if figure.body or not is_girth(knowledge, figure.point):
            continue
        label = figure.label
        if figure.printed.convention:
            figure.convention, figure.convention_from = figure.printed.convention, "cell"
        elif label is not None and label.convention:
            figure.convention, figure.convention_from = label.convention, "label"
        attributes = figure.facets.attributes
        key = figure.block, attributes.get("style", ""), attributes.get("style_code", "")
        groups[key][figure.point].append(figure)
    alike: dict[object, list[Part]] = defaultdict(list)
    for (_, style, code), by_point in groups.items():
        doubt_labels(by_point, knowledge)
        alike[_manner(by_point)].append(Part(by_point, make_hints(by_point, knowledge, habits), (style, code)))
    for parts in alike.values():
        for agreed in split_disagreeing(parts, knowledge):
            decide_parts(agreed, knowledge, trace)
    lend_conventions([figure for by_point in groups.values() for own in by_point.values() for figure in own])


def _manner(by_point: dict[str, list[RawFigure]]) -> object:
    """What tables have to share to be laid flat or measured round alike: the same labels under the same heading.

    A table whose unit is in doubt is no witness for one whose unit is not.
    """
    figures = [own[0] for own in by_point.values()]
    labels = frozenset((one.point, one.convention, one.label and one.label.qualifiers) for one in figures)
    doubted = frozenset(one.unit for own in by_point.values() for one in own if _unit_doubted(one))
    return labels, frozenset((point, _told(own, point)) for point, own in by_point.items()), doubted


def _unit_doubted(figure: RawFigure) -> bool:
    return any(rule.startswith("unit-") for rule, _ in figure.holds)


def make_hints(by_point: dict[str, list[RawFigure]], knowledge: Knowledge, habits: GirthHabits | None = None) -> Hints:
    """What is known of one garment's table before its figures are looked at."""
    group = [figure for own in by_point.values() for figure in own]
    return Hints(
        flat_labels=any(_said(own) == "flat" for own in by_point.values()),
        heading={point: told for point, own in by_point.items() if (told := _told(own, point))},
        silhouette=find_silhouette(group, knowledge),
        habits=habits or GirthHabits(),
    )


def decide_parts(parts: list[Part], knowledge: Knowledge, trace: Trace = SILENT) -> None:
    """All girths of garments whose tables are laid out alike: one merchant measures them in one way."""
    silent, said = silent_points(parts)
    if not silent:
        return
    ranked = rank_combinations(parts, silent, said, knowledge)
    heading = {point: told for part in parts for point, told in part.hints.heading.items()}
    if any(ranked[0][1][point] != heading.get(point, ranked[0][1][point]) for point in silent):
        # The figures refute the heading for one point: it is no evidence for the others either.
        heading = {}
        parts = [replace(part, hints=replace(part.hints, heading=heading)) for part in parts]
        ranked = rank_combinations(parts, silent, said, knowledge)
    # What a heading tells of a point is said: a habit is for what is not.
    habits = parts[0].hints.habits.without(heading)
    parts = [replace(part, hints=replace(part.hints, habits=habits)) for part in parts]
    by_habit = settled_by_habit(ranked, silent, habits)
    left = [one for one in ranked if _holds(one[1], by_habit)]
    best_score, best = left[0]
    anchored = any(is_anchored(part, knowledge) for part in parts)
    asked = {point: CLEAR if point not in LEG[1:] or anchored else 2 * CLEAR for point in silent}
    own = [figure for part in parts for figures in part.by_point.values() for figure in figures]
    trace.weighs_conventions(own, {point: asked[point] for point in silent if point not in by_habit}, left)
    for point in silent:
        rival = next((score for score, chosen in left if chosen[point] != best[point]), best_score - 99)
        clear = best_score - rival >= asked[point]
        for part in parts:
            figures = part.by_point.get(point, [])
            if point in by_habit:
                settle_by_habit(figures, by_habit[point])
            elif figures:
                settle_point(figures, best[point], clear, part.hints)


def split_disagreeing(parts: list[Part], knowledge: Knowledge) -> list[list[Part]]:
    """Garments of which each by itself says clearly, in most points, what the other denies are not measured alike:
    one in centimetres flat, one in inches round. A point or two prove nothing: that is what slips look like."""
    if len({part.garment for part in parts}) < 2:
        return [parts]
    alone: dict[tuple[str, str], dict[str, str]] = {}
    for garment in dict.fromkeys(part.garment for part in parts):
        alone[garment] = clear_choices([part for part in parts if part.garment == garment], knowledge)
    groups: list[list[tuple[str, str]]] = []
    for garment, chosen in alone.items():
        home = next((group for group in groups if not any(_denies(chosen, alone[one]) for one in group)), None)
        if home is None:
            groups.append(home := [])
        home.append(garment)
    return [[part for part in parts if part.garment in group] for group in groups]


def clear_choices(parts: list[Part], knowledge: Knowledge) -> dict[str, str]:
    """What one garment's own figures say beyond doubt of its silent points."""
    silent, said = silent_points(parts)
    ranked = rank_combinations(parts, silent, said, knowledge) if silent else []
    found: dict[str, str] = {}
    for point in silent:
        best_score, best = ranked[0]
        rival = next((score for score, chosen in ranked if chosen[point] != best[point]), best_score - 99)
        if best_score - rival >= 2 * CLEAR:
            found[point] = best[point]
    return found


def _denies(one: dict[str, str], other: dict[str, str]) -> bool:
    shared = one.keys() & other.keys()
    against = sum(one[point] != other[point] for point in shared)
    return against >= LEAST_AGAINST and against * 2 > len(shared)


def silent_points(parts: list[Part]) -> tuple[list[str], dict[str, str]]:
    """The girths of which a table does not say how they were measured, and what is said of the others."""
    points = [point for point in GIRTHS if any(point in part.by_point for part in parts)]
    silent = [
        point for point in points if any(not f.convention for part in parts for f in part.by_point.get(point, ()))
    ]
    return silent, {point: kind for part in parts for point, own in part.by_point.items() if (kind := _said(own))}


def is_anchored(part: Part, knowledge: Knowledge) -> bool:
    """Whether anything tells how wide the leg is: a slim leg all the way round has the figures of a wide one laid flat.

    The name of a cut does not, merchants call wide what is straight. Knee and opening do so by themselves only where
    one of them is far easier to believe in one way than in the other, whatever the cut is called.
    """
    points = part.by_point
    if {"hip", "thigh"} & points.keys() or part.hints.heading:
        return True
    leg = [points[point] for point in LEG if point in points]
    nameless = replace(part.hints, silhouette=None)
    for figures in leg:
        named, bare = (weigh_point(figures, hints, knowledge).cost for hints in (part.hints, nameless))
        ahead = bare["round"] - bare["flat"]
        if abs(ahead) > CLEAR and ahead * (named["round"] - named["flat"]) > 0:
            return True
    return any(_said(own) for own in leg)


Ranked = list[tuple[float, dict[str, str]]]


def rank_combinations(parts: list[Part], silent: list[str], said: dict[str, str], knowledge: Knowledge) -> Ranked:
    """Every combination of flat and round for the silent points with its score, best first.

    Several garments are several witnesses, but no independent ones: their scores count by the root of their number.
    """
    weighed = [
        {
            point: weigh_point(figures, part.hints, knowledge)
            for point, figures in part.by_point.items()
            if point in said or point in silent or not is_girth(knowledge, point)
        }
        for part in parts
    ]
    garments = [part.garment for part in parts]
    share = [1 / garments.count(garment) / sqrt(len(set(garments))) for garment in garments]
    ranked: Ranked = []
    for combination in product(("round", "flat"), repeat=len(silent)):
        chosen = {**said, **dict(zip(silent, combination, strict=True))}
        scores = (
            weight * score_girths(chosen, silent, scales, part.hints.silhouette, knowledge)
            for part, scales, weight in zip(parts, weighed, share, strict=True)
        )
        ranked.append((sum(scores) - mixture_cost(chosen, knowledge.reading.mixture), chosen))
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
    """What is printed of a point; a word that makes nonsense of its own row is no evidence for another."""
    sound = (figure for figure in figures if not any(rule == CONTRADICTED_LABEL for rule, _ in figure.holds))
    return next((figure.convention for figure in sound if figure.convention), "")


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
        if wrong == right == len(loose) and _told(loose, point) == other:
            # A girth by its name, laid flat by the note over the table: the note says how it was taken.
            for figure in loose:
                figure.convention, figure.convention_from = other, "heading"
        elif wrong * 3 >= len(loose) * 2 and right * 3 >= len(loose) * 2:
            for figure in loose:
                figure.hold(
                    CONTRADICTED_LABEL,
                    f"the sheet says {said}, but the figure only makes sense as {other}; ask which it is",
                )
