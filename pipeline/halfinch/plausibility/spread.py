"""Doubt that spreads: where most of a row is held the rest of it is, where several points of a size are, all are.

A row under the wrong name, or in another unit, breaks its limits in some sizes only; two sizes exchanged break the
evenness of the girths, while their rises pass. What is left beside them is no better known.
"""

from __future__ import annotations

from collections import defaultdict

from halfinch.plausibility.docket import Docket, runs_of

OF_ITS_SIZE = frozenset({"run", "range", "copied-size"})
"""Rules that point at one figure of a row, not at the row."""
GRADED = frozenset({"waist", "hip", "thigh", "knee"})
"""Girths that grow with every size."""
NOT_OF_THE_ROW = frozenset({"run", "copied-size", "size-in-doubt", "same-for-all", "length-order"})


def mostly_held(docket: Docket, indices: list[int]) -> bool:
    """Whether limits and relations hold half of a row or more, and two figures at least."""
    held = [i for i in indices if docket.rules[i] - NOT_OF_THE_ROW]
    return len(held) >= 2 and len(held) * 2 >= len(indices)


def spread_over_rows(docket: Docket) -> None:
    """The rest of a row that is mostly held for its limits or relations."""
    for (_, point, _), indices in runs_of(docket, held_too=True).items():
        row = [index for index in indices if index in docket.came_clean]
        rest = [index for index in row if docket.is_clean(index)]
        if rest and mostly_held(docket, row):
            docket.hold(
                rest,
                "row-in-doubt",
                f"most figures of {point} are held; its row may stand under the wrong name or in another unit",
                "ask the merchant what the row is, or tape one pair",
            )


def spread_over_sizes(docket: Docket) -> None:
    """The rest of a size whose girths fall out of their runs, where it differs from its neighbours.

    That is two girths and half of waist, hip, thigh and knee; in two sizes, which were exchanged, or with other points
    in one, whose cells have slipped. Two cells exchanged within a size are no doubt about the others.
    """
    runs = runs_of(docket, held_too=True)
    failed: dict[tuple[str, str], dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    asked: dict[tuple[str, str], dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for (garment, point, length), indices in runs.items():
        whole = all(docket.rules[index] & OF_ITS_SIZE for index in indices)  # the row's fault, not its sizes'
        for index in indices:
            size = docket.figures[index].size
            asked[garment, length][size].add(point)
            if docket.rules[index] & OF_ITS_SIZE and not whole and not mostly_held(docket, indices):
                failed[garment, length][size].add(point)
    for key, sizes in failed.items():
        off = {
            size
            for size, points in sizes.items()
            if len(points & GRADED) >= 2 and len(points & GRADED) * 2 >= len(asked[key][size] & GRADED)
        }
        for size in off:
            if len(off) >= 2 or len(sizes[size]) >= 4:
                hold_rest(docket, {p: run for (g, p, length), run in runs.items() if (g, length) == key}, size)


def hold_rest(docket: Docket, runs: dict[str, list[int]], size: str) -> None:
    """Holds what is left clean of one size, where its run does not stand still about it."""
    for point, indices in runs.items():
        values = [docket.figures[index].length_nm for index in indices]
        for at, index in enumerate(indices):
            moves = any(value != values[at] for value in values[max(0, at - 1) : at + 2])
            if docket.figures[index].size == size and docket.is_clean(index) and moves:
                docket.hold(
                    [index],
                    "size-in-doubt",
                    f"the girths of size {size} fall out of their runs; its {point} may be of another size too",
                    "ask the merchant for this size",
                )
