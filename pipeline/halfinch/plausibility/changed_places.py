"""Two sizes that changed places: one exchange of their figures mends every row that is uneven."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from halfinch.plausibility.docket import Docket, runs_of
from halfinch.plausibility.run import Run, find_breaks

GROWING = frozenset({"waist", "hip", "thigh", "knee", "leg_opening"})
LEAST_SIZES = 4
FARTHEST = 2
"""Steps between two sizes that a slip of the hand exchanges."""


def judge_changed_places(docket: Docket) -> None:
    """Holds, in each row, the figures of two sizes that stand under each other's name.

    Told where a girth breaks its run, the exchange mends it and leaves no row uneven, and no other exchange does.
    """
    tables: dict[tuple[str, str], dict[str, list[int]]] = defaultdict(dict)
    for (garment, point, length), indices in runs_of(docket, held_too=True).items():
        known = docket.knowledge.points.get(point)
        if known is not None and known.of == "garment" and len(indices) >= LEAST_SIZES:
            tables[garment, length][point] = indices
    for rows in tables.values():
        if not any(breaks_of_row(docket, point, rows[point]) for point in GROWING & rows.keys()):
            continue
        order = [docket.figures[index].size for index in max(rows.values(), key=len)]
        pairs = [(a, b) for at, a in enumerate(order) for b in order[at + 1 : at + 1 + FARTHEST]]
        mending = [pair for pair in pairs if mends(docket, rows, *pair)]
        if len(mending) == 1:
            hold_both(docket, rows, *mending[0])


def mends(docket: Docket, rows: dict[str, list[int]], one: str, other: str) -> bool:
    """Whether the exchange makes all rows even that are not: two and more, a girth that breaks its run among them."""
    broken = mended = 0
    for point, indices in rows.items():
        values = [docket.inches(index) for index in indices]
        sizes = [docket.figures[index].size for index in indices]
        breaks = bool(breaks_of(docket, point, values, indices))
        if one not in sizes or other not in sizes:
            if breaks:
                return False
            continue
        changed = exchanged(values, sizes.index(one), sizes.index(other))
        if is_monotone(values) and not breaks:
            if changed != values:
                return False  # an even row would be torn
            continue
        if not is_monotone(changed) or breaks_of(docket, point, changed, indices):
            return False
        mended += 1
        broken += breaks and point in GROWING
    return broken > 0 and mended > 1


def breaks_of_row(docket: Docket, point: str, indices: list[int]) -> list[int]:
    return breaks_of(docket, point, [docket.inches(index) for index in indices], indices)


def breaks_of(docket: Docket, point: str, values: Sequence[Fraction], indices: list[int]) -> list[int]:
    return find_breaks(Run(docket.knowledge.points[point], tuple(values), tuple(indices)))


def exchanged(values: list[Fraction], at: int, to: int) -> list[Fraction]:
    changed = list(values)
    changed[at], changed[to] = changed[to], changed[at]
    return changed


def is_monotone(values: Sequence[Fraction]) -> bool:
    """Never up and down in one row."""
    steps = [b - a for a, b in pairwise(values)]
    return all(step >= 0 for step in steps) or all(step <= 0 for step in steps)


def hold_both(docket: Docket, rows: dict[str, list[int]], one: str, other: str) -> None:
    """The figures of both sizes in every row in which they differ."""
    doubted = []
    for indices in rows.values():
        pair = [index for index in indices if docket.figures[index].size in (one, other)]
        if len({docket.figures[index].length_nm for index in pair}) == 2:
            doubted += pair
    docket.hold(
        doubted, "size-in-doubt", f"the figures of {one} and {other} seem to have changed places", "ask for both sizes"
    )
