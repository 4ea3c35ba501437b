"""Petite, regular and tall of one style beside each other: a petite block pasted under regular gives itself away."""

from __future__ import annotations

import itertools
from collections import defaultdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from halfinch.plausibility.docket import Docket

ORDER = ("extra short", "petite", "short", "regular", "long", "tall", "extra long")
"""From shortest to longest; petite and short are not compared with each other, nor long and tall."""
RANK = {"extra short": 0, "petite": 1, "short": 1, "regular": 2, "long": 3, "tall": 3, "extra long": 4}


GIRTHS = ("waist", "hip", "thigh", "knee", "leg_opening")
LEGS, RISES = ("inseam", "outseam"), ("front_rise", "back_rise")
Sizes = dict[str, dict[str, int]]
"""Figures by length, by size."""


def compare_lengths(docket: Docket) -> None:
    """Holds legs (inseams, outseams) of two lengths of a size that are not in the order their names promise.

    Where legs are even equal, one block was pasted under the other's heading: rises that are equal too are held.
    """
    told: dict[tuple[str, str], Sizes] = defaultdict(lambda: defaultdict(dict))
    for index, figure in enumerate(docket.figures):
        if figure.point in LEGS + RISES and figure.length in RANK and docket.is_clean(index):
            told[figure.garment, figure.point][figure.length].setdefault(figure.size, index)
    pasted: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for (garment, point), lengths in told.items():
        for one, other in neighbours(lengths) if point in LEGS else ():
            for size in lengths[one].keys() & lengths[other].keys():
                pair = [lengths[one][size], lengths[other][size]]
                first, second = (docket.figures[index].length_nm for index in pair)
                if first == second:
                    pasted[garment].add((one, other))
                if first >= second:
                    docket.hold(
                        pair,
                        "length-order",
                        f"the {one} {point} is not shorter than the {other} one; "
                        "one block may be pasted under the other",
                        "ask the merchant for both lengths",
                    )
    hold_pasted_rises(docket, told, pasted)
    compare_girths(docket)


def neighbours(lengths: Sizes) -> list[tuple[str, str]]:
    """Pairs of lengths beside each other that a name tells apart, the shorter first."""
    ordered = sorted(lengths, key=lambda name: RANK[name])
    return [(one, other) for one, other in itertools.pairwise(ordered) if RANK[one] != RANK[other]]


def compare_girths(docket: Docket) -> None:
    """Holds girths of one size that are far apart under two lengths: lengths change the leg, not the width."""
    told: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for index, figure in enumerate(docket.figures):
        if figure.point in GIRTHS and figure.length in RANK and docket.is_clean(index):
            told[figure.garment, figure.point, figure.size].append(index)
    for (_, point, _), indices in told.items():
        apart = max(3 * docket.knowledge.points[point].tolerance, max(map(docket.inches, indices)) / 16)
        odd = [i for i in indices if any(abs(docket.inches(i) - docket.inches(j)) > apart for j in indices)]
        alone = [i for i in odd if all(abs(docket.inches(i) - docket.inches(j)) > apart for j in indices if j != i)]
        if odd:
            inches = [docket.inches(index) for index in odd]
            docket.hold(
                alone if len(alone) == 1 and len(indices) > 2 else odd,
                "lengths-apart",
                f"{point} differs by {float(max(inches) - min(inches)):.3g} in from length to length",
                "a length changes the leg, not the girth; ask which row is wrong",
            )


def hold_pasted_rises(
    docket: Docket, told: dict[tuple[str, str], Sizes], pasted: dict[str, set[tuple[str, str]]]
) -> None:
    """Rises that are the same in every size under two lengths whose legs are the same too, or that have no legs and
    differ from a third length."""
    for (garment, point), lengths in told.items():
        if point not in RISES or (
            len(lengths) > 2 and all(same_rises(docket, lengths, *pair) for pair in neighbours(lengths))
        ):
            continue  # the same under three lengths: so this merchant grades
        legless = not any(one == garment and leg in LEGS for one, leg in told) and len(lengths) > 2
        for one, other in neighbours(lengths) if legless else pasted[garment]:
            both = same_rises(docket, lengths, one, other)
            if both:
                docket.hold(
                    both,
                    "length-order",
                    f"{point} and what is beside it are the same under {one} and {other}; "
                    "one block may be pasted under the other",
                    "ask the merchant for both lengths",
                )


def same_rises(docket: Docket, lengths: Sizes, one: str, other: str) -> list[int]:
    """The figures of two lengths where they are equal in every size that both have; empty where they are not."""
    both = [(lengths[one][size], lengths[other][size]) for size in lengths[one] if size in lengths[other]]
    same = all(docket.figures[a].length_nm == docket.figures[b].length_nm for a, b in both)
    return [index for pair in both for index in pair] if same else []
