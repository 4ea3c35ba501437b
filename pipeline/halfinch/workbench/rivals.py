"""Other readings of one printed figure, for a person who has to decide: the other unit, the other convention, a decimal
point in another place; and what the rest of its row leads one to expect."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from statistics import median

from halfinch.knowledge import PointKnowledge
from halfinch.plausibility.changes import CHANGES

NEAR = Fraction(3, 100)
"""Share by which a figure may lie off its row and still go on with it: a step and a half of a usual grade."""


@dataclass(frozen=True, slots=True)
class Rival:
    """One other reading."""

    change: str
    """A key of CHANGES."""
    inches: Fraction
    suits_row: bool
    """Whether it goes on with the rest of its row; False also where the row says nothing."""


def find_rivals(
    inches: Fraction, unit: str, convention: str, known: PointKnowledge, expected: Fraction | None
) -> list[Rival]:
    """Other readings that can be true of this point, those that suit the row first, then by how usual they are.

    `unit` and `convention` are what it was read in ('' where it makes no difference).
    """
    ranked = []
    for name, (_, factor) in CHANGES.items():
        value = inches * factor
        idle = {"cm": unit != "in", "in": unit not in ("cm", "mm"), "flat": convention == "flat",
                "round": convention == "round"}.get(name, False)  # fmt: skip
        girth = known.kind == "circumference"
        if idle or not known.low <= value <= known.high or (name in ("flat", "round") and not girth):
            continue
        suits = expected is not None and abs(value - expected) <= NEAR * expected
        usual = known.usual_low <= value <= known.usual_high
        ranked.append(((not suits, not usual), Rival(name, value, suits)))
    return [rival for _, rival in sorted(ranked, key=lambda pair: pair[0])]


def expect(row: Sequence[Fraction | None], at: int) -> Fraction | None:
    """What the others of a row (None: not to be trusted) lead one to expect at a place: the median of the lines through
    each two of them. None where fewer than two are left."""
    told = [(place, value) for place, value in enumerate(row) if value is not None and place != at]
    lines = [a[1] + (b[1] - a[1]) * (at - a[0]) / (b[0] - a[0]) for a, b in combinations(told, 2)]
    return median(lines) if lines else None
