"""Judging the figures of one sheet: range, run, relation, lengths, copies. Holds with reasons, never alters."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

from halfinch.figure import NM_PER_INCH, Figure, Finding, Garment
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_relations import Relation
from halfinch.normalise.size_labels import read_size_label
from halfinch.plausibility.changed_places import judge_changed_places
from halfinch.plausibility.changes import CHANGES
from halfinch.plausibility.copies import judge_copies
from halfinch.plausibility.docket import Docket, runs_of
from halfinch.plausibility.lengths import compare_lengths
from halfinch.plausibility.run import Run, find_breaks, find_standstill
from halfinch.plausibility.spread import spread_over_rows, spread_over_sizes

CLEAN = ("accepted", "assumed")


def judge(figures: list[Figure], garments: list[Garment], knowledge: Knowledge) -> tuple[list[Figure], list[Finding]]:
    """The figures with their status, and what the rules have to say. Order and number stay the same."""
    docket = Docket(figures, knowledge)
    judge_ranges(docket)
    judge_changed_places(docket)
    judge_runs(docket)
    known = knowledge.silhouettes.silhouette
    bulging = {one.key for one in garments if one.silhouette in known and known[one.silhouette].leg == "bulges"}
    judge_copies(docket, bulging)
    judge_standstills(docket)
    judge_still_rows(docket)
    judge_relations(docket)
    compare_lengths(docket)
    spread_over_rows(docket)
    spread_over_sizes(docket)
    return docket.figures, docket.findings


def show(nm: int) -> str:
    """Inches for messages: as short as a tape is fine."""
    return f"{float(Fraction(nm, NM_PER_INCH)):.2f}".rstrip("0").rstrip(".") + " in"


def judge_ranges(docket: Docket) -> None:
    """Outside its point's limits no figure can be true; the reading that would be plausible is named."""
    for index, figure in enumerate(docket.figures):
        known = docket.knowledge.points.get(figure.point)
        if known is None:
            continue
        for nm in (figure.length_nm, figure.length_to_nm):
            if nm is not None and not known.low <= Fraction(nm, NM_PER_INCH) <= known.high:
                docket.hold(
                    [index],
                    "range",
                    f"{figure.point} {show(nm)} lies outside {float(known.low):g} to {float(known.high):g} in",
                    suggest_reading(figure, docket.knowledge),
                )
                break


def suggest_reading(figure: Figure, knowledge: Knowledge) -> str:
    """The other unit or convention in which the printed figure would be usual."""
    known = knowledge.points[figure.point]
    value = Fraction(figure.length_nm, NM_PER_INCH)
    fits = [words for words, factor in CHANGES.values() if known.usual_low <= value * factor <= known.usual_high]
    return f"it would be usual as {' or '.join(fits)}" if fits else "ask the merchant, or tape the pair"


def judge_runs(docket: Docket) -> None:
    """A figure that breaks the evenness of its run is held, its neighbours are not."""
    for (_, point, _), indices in runs_of(docket).items():
        known = docket.knowledge.points.get(point)
        if known is None or known.of != "garment":
            continue
        run = Run(known, tuple(docket.inches(i) for i in indices), tuple(indices))
        broken = find_breaks(run)
        if len(indices) >= LEAST_OF_A_ROW and len(broken) * 2 >= len(indices):
            docket.hold(
                indices,
                "run",
                f"{point} grades unlike any {point} in most of its steps; the row may stand under the wrong name",
                "ask the merchant what the row is, or tape one pair",
            )
            continue
        for index in broken:
            at = indices.index(index)
            near = [show(docket.figures[i].length_nm) for i in indices[max(0, at - 1) : at + 2] if i != index]
            docket.hold(
                [index],
                "run",
                f"{point} {show(docket.figures[index].length_nm)} does not grade evenly beside {' and '.join(near)}",
                "look at the printed cell; ask the merchant",
            )


LEAST_OF_A_ROW = 5


def judge_standstills(docket: Docket) -> None:
    """A waist or hip that stands still once; where the whole size was copied, that rule has said so."""
    for (_, point, _), indices in runs_of(docket, held_too=True).items():
        known = docket.knowledge.points.get(point)
        if known is None or not set(indices) <= docket.came_clean:
            continue
        still = find_standstill(Run(known, tuple(docket.inches(i) for i in indices), tuple(indices)))
        if not still or any("copied-size" in docket.rules[index] for index in still):
            continue
        whole = len(still) == len(indices)
        cause = "the whole row may have slipped by a size" if whole else "one of the two may be a copy"
        docket.hold(
            still,
            "run",
            f"{point} stands still in one step and grows in all the others; {cause}",
            "look at the printed row; ask the merchant",
        )


def judge_still_rows(docket: Docket) -> None:
    """A waist, hip or thigh that is the same in four sizes and more, while another of them grows: whose row is it?"""
    rows: dict[tuple[str, str], dict[str, list[int]]] = defaultdict(dict)
    for (garment, point, length), indices in runs_of(docket, held_too=True).items():
        if point in MUST_GROW and len(indices) >= LEAST_STILL:
            rows[garment, length][point] = indices
    for points in rows.values():
        growth = {point: growth_of([docket.inches(i) for i in indices]) for point, indices in points.items()}
        if max(growth.values()) < CLEAR_GROWTH:
            continue
        for point in (one for one, much in growth.items() if not much and points[one][0] in docket.came_clean):
            length = show(docket.figures[points[point][0]].length_nm)
            docket.hold(
                points[point],
                "run",
                f"{point} is {length} in every size while other girths grow; the row may stand under the wrong name",
                "ask the merchant what the row is, or tape one pair",
            )


MUST_GROW = ("waist", "hip", "thigh")
LEAST_STILL = 4
CLEAR_GROWTH = Fraction(5, 2)
"""Inches from the smallest to the largest size."""


def growth_of(run: list[Fraction]) -> Fraction:
    """How much the smallest and the largest figure of a run differ."""
    return max(run) - min(run)


def judge_relations(docket: Docket) -> None:
    """Points of one size that contradict each other."""
    sizes: dict[tuple[str, str, str], dict[str, int]] = defaultdict(dict)
    for index, figure in enumerate(docket.figures):
        if docket.is_clean(index):
            sizes[figure.garment, figure.size, figure.length].setdefault(figure.point, index)
    for key, points in sizes.items():
        labels = label_lengths(docket, points)
        for relation in docket.knowledge.relations.relation.values():
            judge_relation(docket, relation, points, labels, key)


def label_lengths(docket: Docket, points: dict[str, int]) -> dict[str, Fraction]:
    """What the size itself promises: label_waist and label_inseam, where it is a waist size."""
    figure = docket.figures[next(iter(points.values()))]
    found: dict[str, Fraction] = {}
    label = read_size_label(figure.size, docket.knowledge, figure.size_system) if figure.size else None
    if label is not None and label.waist is not None and figure.size_system == "waist":
        found["label_waist"] = label.waist
        if figure.length.replace(".", "", 1).isdigit():
            found["label_inseam"] = Fraction(figure.length)
    return found


def judge_relation(
    docket: Docket, relation: Relation, points: dict[str, int], labels: dict[str, Fraction], key: tuple[str, str, str]
) -> None:
    """Holds the figures of one broken relation."""
    names = (relation.of, *relation.to)
    values: list[Fraction] = []
    indices: list[int] = []
    for name in names:
        if name in points and docket.is_clean(points[name]):
            values.append(docket.inches(points[name]))
            indices.append(points[name])
        elif name in labels:
            values.append(labels[name])
        else:
            return
    rest = sum(values[1:])
    outcome = values[0] - rest if relation.form == "difference" else values[0] / rest
    if outcome in relation.limits:
        if outcome not in relation.usual:
            docket.note(indices, relation.name, "warn", describe(relation, values, outcome))
        return
    docket.hold(
        indices, relation.name, describe(relation, values, outcome), "one of them is a slip; tape the pair or ask"
    )


def describe(relation: Relation, values: list[Fraction], outcome: Fraction) -> str:
    """The relation with its figures in plain words."""
    named = ", ".join(
        f"{name} {float(value):g}" for name, value in zip((relation.of, *relation.to), values, strict=True)
    )
    what = "differ by" if relation.form == "difference" else "stand as"
    low, high = float(relation.limits.low), float(relation.limits.high)
    return f"{named} in {what} {float(outcome):.3g}; {low:g} to {high:g} is believable"
