"""Chosen garments side by side with the favourite pair: every figure, and what it is more or less than the pair's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from halfinch.fit.body import Body, Pair
from halfinch.fit.plan import Plan
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    from halfinch.fit.sizes import Sizes

ROWS = ("inseam", "front_rise", "back_rise", "leg_opening", "waist", "hip", "thigh", "knee")


@dataclass(frozen=True, slots=True)
class Side:
    """One figure of one garment: inches, and the difference to the favourite pair's (positive: the garment's is more).
    None: not known."""

    inches: float | None
    more: float | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """`plans` in the order asked for; `rows` by point, one Side a plan; `pair` is None where the body file has none."""

    pair: Pair | None
    plans: tuple[Plan, ...]
    rows: tuple[tuple[str, float | None, tuple[Side, ...]], ...]


def compare_garments(
    sizes: Sizes, names: Sequence[str], body: Body, knowledge: Knowledge, *, shoe: str = ""
) -> Comparison:
    """The best size of each garment named, beside the wearer's first favourite pair. Raises UsageError for a garment
    that is not there."""
    from halfinch.fit.matching import find_plans

    return compare_plans(find_plans(sizes, body, names, knowledge, shoe=shoe) if names else [], body)


def compare_plans(plans: Sequence[Plan], body: Body) -> Comparison:
    """Plans of one wearer beside her first favourite pair."""
    pair = body.pairs[0] if body.pairs else None
    return Comparison(pair, tuple(plans), tuple(_row(point, pair, plans) for point in ROWS))


def _row(point: str, pair: Pair | None, plans: Sequence[Plan]) -> tuple[str, float | None, tuple[Side, ...]]:
    own = pair.points.get(point) if pair is not None else None
    sides = []
    for plan in plans:
        inches = plan.garment.inches(point)
        sides.append(Side(inches, None if inches is None or own is None else inches - own))
    return point, own, tuple(sides)
