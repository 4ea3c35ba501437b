"""Which unit the numbers of a block are in, where they do not say it themselves.

What is said nearest to the number counts (cell, label, heading, surroundings). Where nothing is said, all silent
numbers of a grid are tried in each unit; one unit has to win clearly, else they are held with the rival named. The
merchant's habit settles a tie; figures that plainly read otherwise contradict it, and are held.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from halfinch.interpret.copied import is_copy
from halfinch.interpret.evidence import suits_somehow
from halfinch.interpret.habits import CONTRADICTED as HABIT_CONTRADICTED
from halfinch.interpret.habits import FILE, HABIT
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.trace import SILENT, Trace
from halfinch.knowledge import Knowledge

CANDIDATES = ("in", "cm", "mm")
CLEAR = 0.7
"""A unit is taken when the silent numbers suit it at least so well (1: all usual) ..."""
MARGIN = 0.3
"""... and every other unit worse by this much."""
CONTRADICTED = 0.35
"""A heading's unit is doubted when another suits the figures better by this much."""
NAMES = {"in": "inches", "cm": "centimetres", "mm": "millimetres", "m": "metres", "ft": "feet"}


def decide_units(figures: Iterable[RawFigure], knowledge: Knowledge, habit: str = "", trace: Trace = SILENT) -> None:
    """Sets `unit` and `unit_from` on every figure; adds notes and holds. `habit`: the merchant's usual unit."""
    silent: dict[int, list[RawFigure]] = defaultdict(list)
    declared: dict[tuple[int, str], list[RawFigure]] = defaultdict(list)
    for figure in figures:
        said = figure.label.unit if figure.label is not None else ""
        if figure.printed.unit:
            figure.unit, figure.unit_from = figure.printed.unit, "cell"
            second = figure.printed.second.unit if figure.printed.second is not None else ""
            if said and said not in (figure.unit, second):
                figure.hold(
                    "unit-contradicted", f"the label says {NAMES[said]}, the figure itself {NAMES[figure.unit]}"
                )
        elif figure.facets.unit:
            figure.unit = figure.facets.unit
            figure.unit_from = "label" if figure.label is not None and figure.label.unit else "heading"
            declared[figure.block, figure.unit].append(figure)
        else:
            silent[figure.block].append(figure)
    for group in silent.values():
        decide_silent(group, knowledge, habit, trace)
    for (_, unit), group in declared.items():
        doubt_declared(group, unit, knowledge, trace)


def fitness(group: list[RawFigure], unit: str, knowledge: Knowledge) -> float:
    """0..1: how well these numbers suit a unit, counted by series so that long runs do not drown short ones."""
    series: dict[str, list[int]] = defaultdict(list)
    known = [figure for figure in group if figure.point in knowledge.points]
    known = [figure for figure in known if not is_copy(figure)] or known
    if not known:
        return 0.0
    for figure in known:
        series[figure.point].append(suits_somehow(knowledge, figure.point, figure.printed.value, unit))
    fit = sum(sum(suits) / (2 * len(suits)) for suits in series.values()) / len(series)
    if len(series) > 1 and any(not any(suits) for suits in series.values()):
        fit *= 0.4  # a point of which no figure is possible in this unit speaks louder than many that are
    if unit != "in" and any(figure.printed.is_fraction for figure in group):
        fit *= 0.3
    return fit


def decide_silent(group: list[RawFigure], knowledge: Knowledge, habit: str, trace: Trace) -> None:
    """One unit for all silent numbers of a block, or none. A habit settles what suits alike, no more."""
    scores = {unit: fitness(group, unit, knowledge) for unit in CANDIDATES}
    trace.weighs_units(group, scores, "")
    ranked = sorted(scores, key=lambda unit: -scores[unit])
    best, second = ranked[0], ranked[1]
    clear = scores[best] >= CLEAR and scores[best] - scores[second] >= MARGIN
    by_habit = not clear and scores.get(habit, 0.0) >= CLEAR
    unit = habit if by_habit else best
    rival = second if unit == best else best
    for figure in group:
        figure.unit, figure.unit_from = unit, "inferred"
        if by_habit:
            figure.notes.append(
                (HABIT, f"no unit is printed; read as {NAMES[unit]}, as this merchant prints ({FILE}); "
                        f"{NAMES[rival]} would suit too")
            )  # fmt: skip
        elif clear and habit and habit != best:
            figure.hold(
                HABIT_CONTRADICTED,
                f"no unit is printed and the figures read like {NAMES[best]}, but this merchant prints {NAMES[habit]} "
                f"({FILE}); say which it is, or mend the habit",
            )
        elif clear:
            figure.notes.append(
                ("unit-unsaid", f"no unit is printed; read as {NAMES[best]}, which alone suits the figures")
            )
        else:
            figure.hold(
                "unit-unsaid",
                f"no unit is printed and the figures suit {NAMES[best]} and {NAMES[second]} alike; say which it is",
            )


def doubt_declared(group: list[RawFigure], unit: str, knowledge: Knowledge, trace: Trace) -> None:
    """A heading's unit that the figures under it contradict: all are held with the rival named."""
    said = fitness(group, unit, knowledge)
    others = {one: fitness(group, one, knowledge) for one in ("in", "cm") if one != unit}
    trace.weighs_units(group, {unit: said, **others}, unit)
    rival = max(others, key=lambda one: others[one], default="")
    if not rival or others[rival] < 0.75 or others[rival] - said < CONTRADICTED:
        return
    for figure in group:
        figure.hold(
            "unit-contradicted",
            f"the sheet says {NAMES[unit]}, the figures read like {NAMES[rival]}; one of the two is wrong",
        )
