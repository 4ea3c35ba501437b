"""The leg of a plan, put together from the functions of leg.py."""

from __future__ import annotations

from dataclasses import dataclass

from halfinch.fit.body import Band, Body, Shoe
from halfinch.fit.chance import Term, combine_u
from halfinch.fit.garment import GarmentSize, tolerance_band
from halfinch.fit.leg import (
    SAME,
    Hang,
    Opening,
    Target,
    body_reach,
    clearance_in,
    cut_length,
    find_opening,
    find_shaft,
    find_target,
    knee_gap,
    knee_line,
    safe_inseam,
    shrink_inseam,
    trip_caution,
)
from halfinch.fit.look import Look
from halfinch.fit.plan import HemFor, Leg
from halfinch.fit.words import say
from halfinch.knowledge import Knowledge


@dataclass(frozen=True, slots=True)
class LegNotes:
    """What the leg has to say beside its figures. `lacking`: the body's key without which there is no target."""

    cautions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    lacking: str = ""


def make_leg(
    garment: GarmentSize, body: Body, look: Look, shoe: Shoe | None, knowledge: Knowledge,
    merchant_knee: float | None = None, turn_up: float = 0.0, aim: Target | None = None,
) -> tuple[Leg, LegNotes]:  # fmt: skip
    """Target, cut, opening, clearances, knee line and boot shaft of one garment size. `aim`: a target that is given,
    in place of one from body and shoes."""
    limit = knowledge.verdict.limit
    target = aim or find_target(body, shoe, look.clearance, look.look, garment.inches("front_rise"), knowledge)
    assumptions = list(target.notes) if target else []
    if look.clearance_note and aim is None and (target is None or not target.pair):
        assumptions.append(look.clearance_note)
    printed = garment.inches("inseam")
    inseam, shrinks_by = (None, 0.0) if printed is None else shrink_inseam(printed, look.shrinkage)
    if look.shrinkage_note and printed is not None:
        assumptions.append(look.shrinkage_note)
    cut = None if inseam is None or target is None else cut_length(inseam, target.inches, turn_up)
    due = cut is not None and abs(cut) > float(limit.as_bought.value) + SAME
    finished = target.inches if due and target is not None else inseam if inseam is not None else None
    if finished is not None and not due and turn_up:
        finished -= 2 * turn_up
    knee, line, line_estimate, knee_known = _knee(garment, look, knowledge, merchant_knee)
    opening = _opening(garment, inseam, finished, knee, line, line_estimate)
    hangs = _hangs(garment, body, target, shoe, finished, due, shrinks_by, knowledge)
    leg_shape = None
    if garment.inches("leg_opening") is not None and inseam is not None and knee is not None:
        leg_shape = (garment.points["leg_opening"].inches, knee, line, inseam)
    reach = _reach(body, target, knowledge)
    shafts = () if reach is None or finished is None else tuple(
        shaft for each in body.shoes
        if (shaft := find_shaft(each, reach, leg_shape, float(limit.boot_ease.value), finished))
    )  # fmt: skip
    gap, gap_estimate = _knee_gap(body, reach, line, knowledge)
    lifts = [each.lift.low for each in body.shoes if each.lift is not None]
    least = float(limit.trip_clearance.value)
    safe = safe_inseam(reach, lifts, least) if reach is not None and lifts else None
    cautions = tuple(f"{h.shoe}: {h.caution}" for h in hangs if h.shoe and h.caution)
    safe_cut = None
    if cautions and safe is not None and inseam is not None:
        safe_cut = max(0.0, cut_length(inseam, safe, turn_up))
    leg = Leg(
        inseam=inseam, shrinks_by=shrinks_by, target=target, cut=cut, finished=finished, turn_up=turn_up,
        opening=opening, knee_at=line, knee_known=knee_known, knee_gap=gap, hangs=hangs,
        safe_inseam=safe,
        safe_cut=safe_cut,
        shafts=shafts, others=_others(printed, target, look.shrinkage, turn_up),
    )  # fmt: skip
    if opening is not None and opening.estimate:
        assumptions.append(f"knee line {knee_known}, knee girth as known: the opening after the hem is an estimate")
    if gap_estimate and gap is not None:
        assumptions.append("knee height not measured: estimated from the inseam")
    if cautions and safe is not None:
        cautions = (*cautions, f"the longest inseam that is safe in all the shoes named: {say(safe)}")
    warnings = _warn(leg, body, look, knowledge)
    lacking = "" if target is not None else _lacking(body, shoe, look)
    return leg, LegNotes(cautions, warnings, tuple(dict.fromkeys(assumptions)), lacking)


def _lacking(body: Body, shoe: Shoe | None, look: Look) -> str:
    if body.inseam is None:
        return "inseam"
    if shoe is None:
        return "shoes"
    return "lift of the shoes" if shoe.lift is None else "clearance for this look" if look.clearance is None else ""


def _knee(
    garment: GarmentSize, look: Look, knowledge: Knowledge, merchant: float | None
) -> tuple[Band | None, Band, bool, str]:
    """Knee girth (bounds from the silhouette where not known), knee line, whether either is an estimate, how known."""
    line, estimate, known = knee_line(garment, knowledge, merchant)
    figure = garment.points.get("knee")
    if figure is not None:
        return Band(figure.inches - figure.spread, figure.inches + figure.spread), line, estimate, known
    opening = garment.inches("leg_opening")
    if opening is None:
        return None, line, True, known
    less = look.opening_less_knee
    return (
        Band(max(1.0, opening - less.high), opening - less.low),
        line,
        True,
        f"{known}, knee girth from the silhouette",
    )


def _opening(
    garment: GarmentSize, inseam: float | None, finished: float | None, knee: Band | None, line: Band, estimate: bool
) -> Opening | None:
    opening = garment.inches("leg_opening")
    if opening is None:
        return None
    if inseam is None or finished is None or knee is None:
        return Opening(opening, None, notes=("inseam not known: the opening is told as sold",))
    return find_opening(opening, knee, line, inseam, finished, estimate)


def _reach(body: Body, target: Target | None, knowledge: Knowledge) -> float | None:
    if target is not None and target.reach is not None:
        return target.reach
    return body_reach(body, knowledge)[0]


def _hangs(
    garment: GarmentSize, body: Body, target: Target | None, aimed: Shoe | None, finished: float | None,
    hemmed: bool, shrinks_by: float, knowledge: Knowledge,
) -> tuple[Hang, ...]:  # fmt: skip
    reach = _reach(body, target, knowledge)
    if reach is None or finished is None:
        return ()
    limit = knowledge.verdict.limit
    own = _finish_terms(garment, hemmed, shrinks_by, knowledge)
    from_pair = target is not None and bool(target.pair) and target.reach is not None
    based = target.terms if target is not None and from_pair else body_reach(body, knowledge)[1]
    steady = [term.half for term in based if not term.name.startswith(("lift of", "clearance"))]
    ordered = sorted(body.shoes, key=lambda each: each != aimed)
    hangs = []
    for each in ordered:
        if each.lift is None:
            hangs.append(Hang(each.name, None, caution=""))
            continue
        clearance = clearance_in(reach, each.lift.middle, finished)
        u = combine_u([*steady, *own, each.lift.half])
        why = trip_caution(clearance, u, float(limit.trip_clearance.value), float(limit.trip_times_u.value))
        hangs.append(Hang(each.name, clearance, u, why))
    return (*hangs, Hang("", clearance_in(reach, 0.0, finished), combine_u([*steady, *own])))


def _finish_terms(garment: GarmentSize, hemmed: bool, shrinks_by: float, knowledge: Knowledge) -> list[float]:
    """What the finished inseam itself may be off by: the tailor once hemmed (after washing), else sheet and wash."""
    if hemmed:
        return [float(knowledge.verdict.limit.within_tailor.value)]
    point = garment.points.get("inseam")
    if point is None:
        return []
    return [tolerance_band(point, float(knowledge.points["inseam"].tolerance)).half, shrinks_by]


def _knee_gap(body: Body, reach: float | None, line: Band, knowledge: Knowledge) -> tuple[Band | None, bool]:
    if reach is None:
        return None, False
    if body.knee_height is not None:
        return Band(knee_gap(reach, line.high, body.knee_height), knee_gap(reach, line.low, body.knee_height)), False
    if body.inseam is None:
        return None, False
    limit = knowledge.verdict.limit
    middle, off = body.inseam * float(limit.knee_share.value), body.inseam * float(limit.knee_share_sd.value)
    return Band(knee_gap(reach, line.high, middle + off), knee_gap(reach, line.low, middle - off)), True


def _others(printed: float | None, target: Target | None, shrinkage: Band, turn_up: float) -> tuple[HemFor, ...]:
    """Hems for no shrinkage and for the high end of it."""
    if printed is None or target is None or not shrinkage.high:
        return ()
    return tuple(
        HemFor(when, cut_length(printed * (1 - share), target.inches, turn_up), printed * (1 - share))
        for when, share in (("no shrinkage", 0.0), (f"{shrinkage.high * 100:g} % shrinkage", shrinkage.high))
    )


def _warn(leg: Leg, body: Body, look: Look, knowledge: Knowledge) -> tuple[str, ...]:
    limit = knowledge.verdict.limit
    out = []
    if leg.knee_gap is not None and leg.knee_gap.middle < float(limit.knee_low.value) - SAME:
        breaks = look.silhouette in ("boot", "flare")
        out.append("the garment's knee sits low" + (": the leg breaks in the wrong place" if breaks else ""))
    after = leg.opening.after if leg.opening is not None else None
    if leg.opening is not None and leg.opening.past_knee != "no":
        out.extend(leg.opening.notes)
    if after is not None:
        heel = body.heel_ankle
        if heel is not None and after.low < heel - SAME:
            out.append("the finished opening is narrower than the wearer's heel and instep")
        elif heel is None and after.low < float(limit.heel_least.value) - SAME:
            out.append("the finished opening is narrower than any heel of the survey")
        elif heel is None and after.low < float(limit.heel_most.value) - SAME:
            out.append("the finished opening may not pass every heel: measure round heel and instep")
    for shaft in leg.shafts:
        if shaft.fits is False:
            out.append(f"{shaft.shoe}: the leg is too narrow over the shaft")
        elif shaft.fits is None:
            out.append(f"{shaft.shoe}: whether the leg passes over the shaft cannot be told")
    return tuple(out)


def leg_terms(leg: Leg, garment: GarmentSize, hemmed: bool, knowledge: Knowledge) -> tuple[Term, ...]:
    """Terms of the leg's error: the target's, and the garment's inseam and wash, or the tailor in their place."""
    if leg.target is None:
        return ()
    tailor = Term("tailor", float(knowledge.verdict.limit.within_tailor.value))
    if hemmed:
        return (*leg.target.terms, tailor)
    half = tolerance_band(garment.points["inseam"], float(knowledge.points["inseam"].tolerance)).half
    shrink = (Term("shrinkage", leg.shrinks_by, "merchant"),) if leg.shrinks_by else ()
    return (*leg.target.terms, Term("inseam of the garment", half, "merchant"), *shrink)
