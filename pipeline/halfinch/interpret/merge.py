"""The same figure printed twice is one figure; two that contradict each other are both held.

A sheet shows one table for inches and one for centimetres, repeats a table in its data, prints a second unit in the
same cell. Two units are rounded each for itself, so they agree when they differ by no more than both roundings allow.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import lcm

from halfinch.interpret.evidence import in_inches, inch_factor
from halfinch.interpret.raw import RawFigure
from halfinch.normalise.numbers import Printed

LEAST_AGREEMENT = Fraction(62, 1000)
"""Inches; one-decimal columns of honest sheets differ by up to this (48 rows of rises on a published sheet)."""

EXACTLY = Fraction(102, 100)
"""Half a step and a hair: a figure cut off or rounded up at the very half."""
CHANCE = 25
"""How unlikely a chance agreement of two columns has to be, as one in so many."""


Steps = dict[tuple[int, str], Fraction]
"""Inches of the finest printed step by block and unit."""


def column_steps(figures: Iterable[RawFigure]) -> Steps:
    """The finest step that a block prints in a unit; the unit that the other was converted from counts as the finer.

    Where every figure of the finer column is the rounded conversion of the coarser one beside it (27, 28, 29 in beside
    68.6, 71.1, 73.7 cm), the coarser is what was measured: by chance so many could hardly agree. Tenths of an inch come
    from centimetres; makers measure in halves to sixteenths of an inch (common practice).
    """
    values: dict[tuple[int, str], list[Printed]] = defaultdict(list)
    beside: dict[tuple[str, ...], dict[str, list[tuple[int, Printed]]]] = defaultdict(lambda: defaultdict(list))
    for figure in figures:
        key = (*key_of(figure)[1:], figure.facets.attributes.get("style", ""), figure.convention)
        for printed, unit in ((figure.printed, figure.unit), (figure.printed.second, "")):
            if printed is not None and (unit or printed.unit):
                values[figure.block, unit or printed.unit].append(printed)
                beside[key][unit or printed.unit].append((figure.block, printed))
    steps = {key: finest_step(group, key[1]) for key, group in values.items() if key[1]}
    return {**steps, **measured_steps(beside.values(), values)}


def measured_steps(
    beside: Iterable[dict[str, list[tuple[int, Printed]]]], values: Mapping[tuple[int, str], list[Printed]]
) -> Steps:
    """Step 0 for each column that its neighbour in the other unit was converted from."""
    pairs: dict[tuple[tuple[int, str], tuple[int, str]], set[tuple[Fraction, Fraction]]] = defaultdict(set)
    for units in beside:
        for block, inch in units.get("in", ()):
            for other, metric in units.get("cm", ()):
                pairs[(block, "in"), (other, "cm")].add((inch.value, metric.value))
    found: Steps = {}
    for (inches, metrics), both in pairs.items():
        step = {key: printed_step(values[key], key[1]) for key in (inches, metrics)}
        first, second = (inches, metrics) if step[inches] >= step[metrics] else (metrics, inches)
        factor = inch_factor(first[1]) / inch_factor(second[1])
        fine = step[second] / inch_factor(second[1])
        converted = all(
            abs(one * factor - other) * 2 <= fine * EXACTLY
            for one, other in (pair if first is inches else pair[::-1] for pair in both)
        )
        if converted and (step[first] / step[second]) ** len(both) >= CHANCE:
            found[first] = Fraction(0)
    return found


def printed_step(group: list[Printed], unit: str) -> Fraction:
    """The grid in inches on which all figures of one unit lie, as printed."""
    denominator = lcm(*(one.value.denominator for one in group))
    return Fraction(1, denominator) * inch_factor(unit)


def finest_step(group: list[Printed], unit: str) -> Fraction:
    """The step in inches of all figures of one unit."""
    denominator = max(one.value.denominator for one in group)
    if unit == "in" and denominator not in (1, 2, 4, 8, 16, 32, 64):
        return Fraction(1, 4)
    if unit == "in":
        return Fraction(1, denominator)
    steps = Fraction(1, denominator) if denominator in (1, 2) else Fraction(1, 10)
    return steps * inch_factor(unit)


def agree(one: RawFigure, other: RawFigure, steps: Steps) -> bool:
    """Whether two printed figures can be the same length."""
    first = in_inches(one.printed.value, one.unit, one.convention)
    second = in_inches(other.printed.value, other.unit, other.convention)
    if one.unit == other.unit and one.convention == other.convention:
        return first == second and one.printed.upper == other.printed.upper
    factor = 2 if "flat" in (one.convention, other.convention) else 1
    both = steps[one.block, one.unit] + steps[other.block, other.unit]
    return abs(first - second) <= max(LEAST_AGREEMENT, both / 2 + Fraction(2, 100)) * factor


def check_second(figure: RawFigure, steps: Steps) -> None:
    """A cell with two units: the finer one is the figure, a disagreement holds it."""
    second = figure.printed.second
    if second is None or not second.unit or not figure.unit:
        return
    first = in_inches(figure.printed.value, figure.unit)
    rival = in_inches(second.value, second.unit)
    both = steps[figure.block, figure.unit] + steps[figure.block, second.unit]
    limit = max(LEAST_AGREEMENT, both / 2 + Fraction(2, 100))
    if abs(first - rival) > limit:
        figure.hold("units-disagree", f"the two units in the cell “{figure.text}” are not the same length")
    elif steps[figure.block, second.unit] < steps[figure.block, figure.unit]:
        figure.printed, figure.unit = second, second.unit


Key = tuple[str, str, str, str]
LEAST_SIZED = 2
"""So many figures of a point told by size, for one without a size to be doubted."""


def merge_figures(figures: list[RawFigure], steps: Steps) -> list[RawFigure]:
    """One figure per garment, size, length and point; contradictions are held at each of their places."""
    groups: dict[Key, list[RawFigure]] = defaultdict(list)
    for figure in figures:
        groups[key_of(figure)].append(figure)
    kept: list[RawFigure] = []
    for group in groups.values():
        kept.extend(merge_group(group, steps))
    doubt_unsized(kept, steps)
    doubt_beside_several(kept)
    return kept


SEVERAL = ("size-unknown", "several figures of one point and nothing says for which size each is")


def doubt_beside_several(figures: list[RawFigure]) -> None:
    """A text that tells one point several times, of no size, speaks of several garments: which is the rest of it of?"""
    places = {figure.place for figure in figures if SEVERAL in figure.holds}
    for figure in figures:
        if figure.place in places and figure.size is None and figure.size_scope == "one":
            figure.hold(
                "size-unknown", "the text beside it tells one point several times; which garment is this one of?"
            )


def doubt_unsized(figures: list[RawFigure], steps: Steps) -> None:
    """A figure of no size beside others of its point that are told by size: its own size was not read, unless it is
    that of all of them."""
    sized: dict[tuple[str, ...], list[RawFigure]] = defaultdict(list)
    for figure in figures:
        garment, size, length, point = key_of(figure)
        if size:
            sized[garment, length, point].append(figure)
            sized[style_of(figure), "of any code", length, point].append(figure)
    for figure in figures:
        garment, size, length, point = key_of(figure)
        if size or figure.size_scope != "one":
            continue
        own = sized.get((garment, length, point), [])
        others = own
        if not own and not figure.facets.attributes.get("style_code"):  # each size may have a code of its own
            others = sized.get((style_of(figure), "of any code", length, point), [])
        if len(others) >= LEAST_SIZED and not (own and all(agree(figure, other, steps) for other in own)):
            figure.hold("size-unknown", "the same point is told by size beside it; which size is this one of?")


def style_of(figure: RawFigure) -> str:
    """The style's name, its blanks evened out; a body's figures stand apart."""
    return " ".join(figure.facets.attributes.get("style", "").split()) + ("|body" if figure.body else "")


def key_of(figure: RawFigure) -> Key:
    attributes = figure.facets.attributes
    garment = "|".join(attributes.get(role, "") for role in ("merchant", "style_code", "style", "block", "colour"))
    garment += "|body" if figure.body else ""
    return garment, figure.size.size if figure.size is not None else "", figure.length, figure.point


def merge_group(group: list[RawFigure], steps: Steps) -> list[RawFigure]:
    """The figures that remain of those with one key."""
    if len(group) == 1:
        return group
    group = sorted(group, key=lambda one: (one.data, len(one.holds)))
    first = group[0]
    nameless = first.size is None and first.size_scope == "one"
    if nameless and any(not agree(first, other, steps) for other in group[1:]):
        for one in group:
            one.hold(*SEVERAL)
        return group
    agreeing = [one for one in group if agree(first, one, steps)]
    if len(agreeing) == len(group):
        finest = min(agreeing, key=lambda one: (one.data, len(one.holds), steps[one.block, one.unit]))
        return [finest]
    for one in group:
        others = [other for other in group if other is not one]
        # A figure between two that contradict each other may agree with both, as far as their roundings go.
        rival = next((other for other in others if not agree(one, other, steps)), others[0])
        one.hold("contradiction", f"printed as “{one.text}” here and as “{rival.text}” at {rival.place}")
    return _distinct(group)


def _distinct(group: list[RawFigure]) -> list[RawFigure]:
    """Contradicting figures, each value and place once."""
    seen: set[tuple[str, Fraction]] = set()
    kept = []
    for one in group:
        if (one.place, one.printed.value) not in seen:
            seen.add((one.place, one.printed.value))
            kept.append(one)
    return kept
