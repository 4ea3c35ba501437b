"""The top: rise against the wearer's band, where the waistband sits, and whether waist, hip, thigh and knee go round.

Pure functions on inches. Signs: positive is too high, too big.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from halfinch.fit.body import Band, Body
from halfinch.fit.leg import SAME, expand_sd
from halfinch.knowledge import Knowledge


@dataclass(frozen=True, slots=True)
class Level:
    """Where the top edge of the waistband sits, and the body's girth there.

    `above_crotch` inches above the garment's crotch seam. `girth` is linear in the body's measures and the height:
    `weights` says by how much each of them moves it, for the terms of the chance.
    """

    girth: float
    above_crotch: float | None = None
    above_floor: float | None = None
    weights: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    slope: float = 0.0
    """Inches of girth per inch of height."""
    per_rise: float = 0.0
    """Inches of height per inch of front rise."""
    estimate_half: float = 0.0
    """Half width of the height's own doubt, where the body's arc is not measured."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Around:
    """How a garment's girth goes round the body at one point."""

    point: str
    miss: float
    """Below 0: too small by so much; above 0: too big; 0: it fits."""
    ease: float
    """Garment less body, unstretched."""
    settled: bool = True
    """False: whether it fits turns on a stretch that is not known."""


def rise_miss(front_rise: float, band: Band) -> float:
    """Rise above (+) or below (-) the wearer's band; 0 inside."""
    return band.miss(front_rise)


def band_height(
    front_rise: float, waist_above_crotch: float | None, front_crotch_arc: float | None, share: float
) -> float:
    """Height of the waistband above the crotch seam. A rise is measured along its curve, so it is worth less than
    itself in height: by the wearer's own `(waist height - crotch height) / front crotch arc`, else by `share` (0.71,
    ANSUR II women, computed)."""
    if waist_above_crotch is not None and front_crotch_arc:
        return front_rise * waist_above_crotch / front_crotch_arc
    return front_rise * share


def girth_at(height: float, waist: float, waist_height: float, hip: float, hip_height: float) -> float:
    """The body's girth at a height above the floor: waist's at and above the waist, hip's at and below the hip, between
    them in proportion."""
    part = (height - hip_height) / (waist_height - hip_height)
    return hip + (waist - hip) * min(1.0, max(0.0, part))


def find_level(body: Body, front_rise: float | None, knowledge: Knowledge) -> Level | None:
    """The body's girth where the waistband sits; judged against the waist where the level cannot be told. None: the
    waist is not known."""
    if body.waist is None:
        return None
    above, per_rise, half, notes = _find_height(body, front_rise, knowledge)
    at_waist = {"body waist": 1.0}
    if body.inseam is None or above is None:
        notes = (*notes, "where the band sits is not known: judged against the waist")
        return Level(body.waist, above, None, MappingProxyType(at_waist), notes=notes)
    floor = body.inseam - (body.crotch_drop or 0.0) + above
    if body.waist_height is None or body.hip_height is None or body.hip is None:
        notes = (*notes, "heights of waist and hip are not known: judged against the waist")
        return Level(body.waist, above, floor, MappingProxyType(at_waist), notes=notes)
    if floor >= body.waist_height:
        notes = (*notes, "the band sits at or above the waist: the waist's girth serves")
        return Level(body.waist, above, floor, MappingProxyType(at_waist), notes=notes)
    girth = girth_at(floor, body.waist, body.waist_height, body.hip, body.hip_height)
    if floor <= body.hip_height:
        notes = (*notes, "the band sits at or below the hip: the hip's girth serves")
        return Level(girth, above, floor, MappingProxyType({"body hip": 1.0}), notes=notes)
    part = (floor - body.hip_height) / (body.waist_height - body.hip_height)
    slope = (body.waist - body.hip) / (body.waist_height - body.hip_height)
    weights = {"body waist": part, "body hip": 1 - part}
    return Level(girth, above, floor, MappingProxyType(weights), slope, per_rise, half, notes)


def _find_height(
    body: Body, front_rise: float | None, knowledge: Knowledge
) -> tuple[float | None, float, float, tuple[str, ...]]:
    """Band above crotch seam, its change per inch of rise, half width of its doubt, notes."""
    if front_rise is None:
        return None, 0.0, 0.0, ()
    limit = knowledge.verdict.limit
    share = float(limit.rise_height_share.value)
    above = None
    if body.waist_height is not None and body.inseam is not None:
        above = body.waist_height - body.inseam
    height = band_height(front_rise, above, body.front_crotch_arc, share)
    if above is not None and body.front_crotch_arc:
        return height, height / front_rise, 0.0, ()
    half = expand_sd(float(limit.rise_height_sd.value) * front_rise)
    return height, share, half, ("front crotch arc not measured: height of the band is an estimate",)


def usual_ease(point: str, body: Body, silhouette_ease: Band, stretches: bool) -> Band:
    """Least and most ease at a point: the wearer's own, else the silhouette's. Below 0 only where the cloth gives."""
    ease = body.ease.get(point, silhouette_ease)
    return ease if stretches else Band(max(0.0, ease.low), max(0.0, ease.high))


def girth_miss(garment: float, body: float, ease: Band, usable: float) -> float:
    """0 when `garment * (1 + usable stretch) >= body + least ease` and `garment <= body + most ease`; else by how much
    it is too small (below 0) or too big (above 0)."""
    short = body + ease.low - garment * (1 + usable)
    if short > SAME:
        return -short
    over = garment - body - ease.high
    return over if over > SAME else 0.0


def go_round(point: str, garment: float, body: float, ease: Band, usable: Band, stated: bool) -> Around:
    """One girth. A stretch that is not known is neither 0 nor its most: what fits without any fits; what does not fit
    with the most of it misses; between them the answer is not settled. An estimate is judged at its middle."""
    if stated:
        return Around(point, girth_miss(garment, body, ease, usable.middle), garment - body)
    without = girth_miss(garment, body, ease, usable.low)
    if without >= 0:
        return Around(point, without, garment - body)
    most = girth_miss(garment, body, ease, usable.high)
    return Around(point, most, garment - body, settled=most < 0)


def elastic_waist(relaxed: float, stretched: float, hip: float, girth: float) -> float:
    """An elastic waist: stretched it must pass the hip, relaxed be no more than the body's girth at the band. Miss as
    in girth_miss."""
    if stretched < hip - SAME:
        return stretched - hip
    return max(0.0, relaxed - girth) if relaxed - girth > SAME else 0.0


def waist_gap(garment_waist: float, girth: float) -> float:
    """Waistband gap: garment waist less the body's girth at that level."""
    return garment_waist - girth
