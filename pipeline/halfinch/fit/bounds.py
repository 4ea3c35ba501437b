"""Which figures rule a garment out by themselves, whatever else is said of it: most rows of a catalogue need no other
look.

Two widths: beyond `no` a figure gives the verdict "no"; beyond `fit` (or not known) it is no fit, as bought or hemmed.
A bound is a little too wide rather than too narrow: what lies inside is judged in full.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from halfinch.fit.body import Body
from halfinch.fit.top import find_level
from halfinch.knowledge import Knowledge

BOUNDED = ("front_rise", "hip", "waist", "inseam")
SPARE = 0.001
"""Inches by which a bound is wider than the limit itself, for the rounding of binary fractions."""
FAR = 9999.0
"""No bound, in a number that the catalogue's decimals can hold."""

WIDTHS = ("no", "fit")
NAMES = tuple(f"{width}_{point}" for width in WIDTHS for point in BOUNDED)

Bounds = Mapping[str, tuple[float, float]]
"""By WIDTH_POINT, inches: least and most."""


def find_bounds(numbers: Mapping[str, Any], body: Body, knowledge: Knowledge) -> Bounds:
    """`numbers`: of one class of garments (kinds.make_classes). A measure that the body file does not tell: no figure
    rules out, and none fits."""
    limit, verdict = knowledge.verdict.limit, knowledge.verdict
    near_waist, mend = float(limit.near_waist.value), float(limit.take_in_waist_most.value)
    near = {"front_rise": float(limit.near_rise.value), "waist": near_waist, "hip": float(limit.near_hip.value)}
    over = {**near, "waist": max(near_waist, mend)}
    down = max(float(limit.as_bought.value), float(limit.allowance_most.value) - float(limit.let_down_kept.value))
    short = {"no": down, "fit": float(limit.as_bought.value)}
    found: dict[str, tuple[float, float]] = {}
    for width in WIDTHS:
        lacking = (-FAR, FAR) if width == "no" else (FAR, -FAR)
        off = near if width == "no" else dict.fromkeys(near, 0.0)
        big = over if width == "no" else off
        share = "use" if not numbers["unsaid"] else "use_high" if width == "no" else "use_low"  # as top.go_round
        ends = dict.fromkeys(BOUNDED, lacking)
        rise = body.front_rise
        if rise is not None:
            ends["front_rise"] = (rise.low - off["front_rise"], rise.high + off["front_rise"])
        girths = _girths_at_band(body, ends["front_rise"] if rise is not None else None, knowledge)
        if girths:
            ends["waist"] = _around("waist", min(girths), max(girths), off, big, share, numbers)
        if body.hip is not None:
            ends["hip"] = _around("hip", body.hip, body.hip, off, big, share, numbers)
        if numbers["target"] is not None:
            needs = numbers["target"] + 2 * body.taste.turn_up - short[width]
            ends["inseam"] = (needs / (1 - numbers["shrink"]), FAR)
        for point in BOUNDED:
            free = point not in verdict.decisive or (width == "no" and verdict.order[0] != "no")
            low, high = (-FAR, FAR) if free else ends[point]
            found[f"{width}_{point}"] = (low - SPARE, high + SPARE)
    return found


def _girths_at_band(body: Body, rises: tuple[float, float] | None, knowledge: Knowledge) -> list[float]:
    """The body's girths at the ends of where a band can sit that is not ruled out by its rise."""
    if rises is None:
        return [girth for girth in (body.waist, body.hip) if girth is not None] if body.waist is not None else []
    levels = [find_level(body, rise, knowledge) for rise in (None, *rises)]
    return [level.girth for level in levels if level is not None]


def _around(
    point: str, least: float, most: float, off: Mapping[str, float], big: Mapping[str, float], share: str,
    numbers: Mapping[str, Any],
) -> tuple[float, float]:  # fmt: skip
    low = (least + numbers[f"{point}_ease_low"] - off[point]) / (1 + numbers[f"{point}_{share}"])
    return low, most + numbers[f"{point}_ease_high"] + big[point]


def widest(bounds: Iterable[Bounds]) -> Bounds:
    """What none of several rules out."""
    every = list(bounds) or [dict.fromkeys(NAMES, (-FAR, FAR))]
    return {name: (min(one[name][0] for one in every), max(one[name][1] for one in every)) for name in NAMES}


def shifted(bounds: Bounds, by: Mapping[str, float]) -> Bounds:
    """For figures to which so much will be added, by point."""
    moves = {name: by.get(name.split("_", 1)[1], 0.0) for name in bounds}
    return {name: (low - moves[name], high - moves[name]) for name, (low, high) in bounds.items()}


def inside_sql(width: str, has: Collection[str], knowledge: Knowledge) -> str:
    """Condition on a row `r` and its kind `k`: no figure rules it out. Parameters $WIDTH_POINT_least and _most: the
    widest bounds of all kinds, which the scan can look at before it knows the kind."""
    also = {"waist": "waist_stretched", "inseam": "hem_allowance"}
    parts = []
    for point in (point for point in BOUNDED if point in has and point in knowledge.verdict.decisive):
        told = [f"{point}_to", *([also[point]] if point in also else [])]
        free = [f"r.{name} IS NOT NULL" for name in told if name in has]
        if width == "no":
            free.append(f"r.{point} IS NULL")
        name = f"{width}_{point}"
        for low, high in ((f"${name}_least", f"${name}_most"), (f"k.{name}_least", f"k.{name}_most")):
            parts.append(f"({' OR '.join([f'r.{point} BETWEEN {low} AND {high}', *free])})")
    return " AND ".join(parts) or "TRUE"
