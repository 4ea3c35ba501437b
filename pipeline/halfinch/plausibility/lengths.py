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


def compare_lengths(docket: Docket) -> None:
    """Holds legs (inseams, outseams) of two lengths of a size that are not in the order their names promise."""
    legs: dict[tuple[str, str, str], dict[str, int]] = defaultdict(dict)
    for index, figure in enumerate(docket.figures):
        if figure.point in ("inseam", "outseam") and figure.length in RANK and docket.is_clean(index):
            legs[figure.garment, figure.size, figure.point].setdefault(figure.length, index)
    for (_, _, point), lengths in legs.items():
        ordered = sorted(lengths, key=lambda name: RANK[name])
        for one, other in itertools.pairwise(ordered):
            if RANK[one] == RANK[other]:
                continue
            if docket.figures[lengths[one]].length_nm >= docket.figures[lengths[other]].length_nm:
                docket.hold(
                    [lengths[one], lengths[other]],
                    "length-order",
                    f"the {one} {point} is not shorter than the {other} one; one block may be pasted under the other",
                    "ask the merchant for both lengths",
                )
