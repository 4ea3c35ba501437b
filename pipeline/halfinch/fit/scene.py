"""What a drawing to scale needs: the leg as sold and as worn, the wearer in the shoes, heights above the floor.

Pure geometry on inches, the floor at 0, heights upward. A girth is seen from the front as a round leg of that girth:
half width = girth / 2 pi; at waist and hip the body is wider than deep, which `FRONT` says. Nothing here is judged:
the plan did that, the scene only says where its figures lie.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from halfinch.fit.body import Band, Body
from halfinch.fit.leg import opening_at
from halfinch.fit.plan import Plan
from halfinch.fit.top import band_height
from halfinch.knowledge import Knowledge

FRONT = 1.15
"""Half width of the hips seen from the front over that of a round body of the same girth: an ellipse about 1.4 times
as wide as deep (common practice; drawing only)."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A place on an outline: height above the floor, half width there, whether its girth is known or only usual."""

    height: float
    half_width: float
    known: bool = True


@dataclass(frozen=True, slots=True)
class LegShape:
    """One leg from the crotch seam down to the hem, widest knowledge first. `hem` is negative where it would lie on
    the floor."""

    edges: tuple[Edge, ...]
    hem: float
    opening: float | None
    inseam: float
    """Along the seam: crotch to hem."""


@dataclass(frozen=True, slots=True)
class ShoeView:
    """One pair of shoes beside the hem: `hem` above the floor, None where the lift is not known."""

    name: str
    lift: Band | None
    hem: float | None
    caution: bool = False
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything of one picture. None: not known, left out of the drawing and said in its caption."""

    crotch: float
    lift: float
    sold: LegShape
    worn: LegShape
    """Same as `sold` where the hem stays, or where it cannot be put right."""
    wanted: float | None
    """Height of the hem that is wanted, where the pair is too short to reach it."""
    top: tuple[Edge, ...]
    """The garment above the crotch: hip, then the waistband's top edge; empty where the rise is not known."""
    body: tuple[Edge, ...]
    """The wearer's leg and hips, top to bottom, in the shoes."""
    knee_garment: Band | None
    knee_wearer: float | None
    knee_estimated: bool
    rise: float | None
    rise_wanted: Band | None
    """Along the seam, as printed and as the wearer likes it."""
    rise_band: Band | None
    """Where the top edge may sit: heights of the wearer's band of front rise."""
    shoes: tuple[ShoeView, ...]


def make_scene(plan: Plan, body: Body, knowledge: Knowledge) -> Scene | None:
    """The scene of a plan, in the shoes that its hem is aimed at (barefoot where none is). None: the garment's inseam
    or where its crotch seam hangs is not known, so there is nothing to draw to scale."""
    leg = plan.leg
    reach = _reach(plan, body)
    if reach is None or leg.inseam is None or leg.finished is None:
        return None
    lift = plan.shoe.lift.middle if plan.shoe is not None and plan.shoe.lift is not None else 0.0
    crotch = reach + lift
    sold = _leg(plan, crotch, leg.inseam)
    judged = plan.point("inseam")
    short = leg.finished > leg.inseam and (judged is None or judged.state != "hem")
    worn = sold if short or leg.finished == leg.inseam else _leg(plan, crotch, leg.finished)
    drop = body.inseam - reach if body.inseam is not None else 0.0
    knee, estimated = _wearer_knee(body, knowledge)
    per_rise = _rise_heights(plan, body, knowledge)
    return Scene(
        crotch=crotch, lift=lift, sold=sold, worn=worn, wanted=crotch - leg.finished if short else None,
        top=_top(plan, crotch, per_rise), body=_body(body, crotch + drop, lift, knee),
        knee_garment=Band(crotch - leg.knee_at.high, crotch - leg.knee_at.low) if leg.knee_at is not None else None,
        knee_wearer=None if knee is None else knee + lift, knee_estimated=estimated,
        rise=plan.garment.inches("front_rise"), rise_wanted=body.front_rise,
        rise_band=None if body.front_rise is None else Band(
            crotch + body.front_rise.low * per_rise, crotch + body.front_rise.high * per_rise
        ),
        shoes=tuple(
            _shoe(body, hang.shoe, None if hang.clearance is None else hang.clearance + leg.finished - worn.inseam,
                  bool(hang.caution) and not short)
            for hang in leg.hangs
        ),
    )  # fmt: skip


def _reach(plan: Plan, body: Body) -> float | None:
    """Floor to the garment's crotch seam, barefoot."""
    target = plan.leg.target
    if target is not None and target.reach is not None:
        return target.reach
    return None if body.inseam is None else body.inseam - (body.crotch_drop or 0.0)


def _round(girth: float) -> float:
    return girth / (2 * pi)


def _leg(plan: Plan, crotch: float, ends: float) -> LegShape:
    """Crotch, thigh, knee, hem as far as their girths are known; the hem always, by its own girth or the knee's."""
    garment, leg = plan.garment, plan.leg
    thigh, knee, opening = (garment.inches(point) for point in ("thigh", "knee", "leg_opening"))
    at_knee = leg.knee_at.middle if leg.knee_at is not None else None
    edges = []
    if thigh is not None:
        edges.append(Edge(crotch, _round(thigh)))
    if knee is not None and at_knee is not None and at_knee < ends:
        edges.append(Edge(crotch - at_knee, _round(knee)))
    end = _opening_there(plan, ends, knee, opening, at_knee)
    last = end if end is not None else knee if knee is not None else thigh
    if last is not None:
        if not edges:
            edges.append(Edge(crotch, _round(max(last, 1.15 * last)), known=False))
        edges.append(Edge(crotch - ends, _round(last), known=end is not None))
    return LegShape(tuple(edges), crotch - ends, end, ends)


def _opening_there(
    plan: Plan, ends: float, knee: float | None, opening: float | None, at_knee: float | None
) -> float | None:
    inseam = plan.leg.inseam
    if opening is None or inseam is None:
        return None
    if plan.leg.opening is not None and plan.leg.opening.after is not None and ends == plan.leg.finished:
        return plan.leg.opening.after.middle
    if knee is None or at_knee is None:
        return opening
    return opening_at(knee, opening, at_knee, inseam, ends)


def _rise_heights(plan: Plan, body: Body, knowledge: Knowledge) -> float:
    """Inches of height per inch of front rise."""
    above = None
    if body.waist_height is not None and body.inseam is not None:
        above = body.waist_height - body.inseam
    return band_height(1.0, above, body.front_crotch_arc, float(knowledge.verdict.limit.rise_height_share.value))


def _top(plan: Plan, crotch: float, per_rise: float) -> tuple[Edge, ...]:
    rise, waist, hip = (plan.garment.inches(point) for point in ("front_rise", "waist", "hip"))
    if rise is None:
        return ()
    height = rise * per_rise
    widest = hip if hip is not None else plan.garment.inches("thigh")
    edges = []
    if hip is not None:
        edges.append(Edge(crotch + height * 0.35, FRONT * _round(hip)))
    if waist is not None:
        edges.append(Edge(crotch + height, FRONT * _round(waist)))
    elif widest is not None:
        edges.append(Edge(crotch + height, FRONT * _round(widest), known=False))
    return tuple(edges)


def _wearer_knee(body: Body, knowledge: Knowledge) -> tuple[float | None, bool]:
    if body.knee_height is not None:
        return body.knee_height, False
    if body.inseam is None:
        return None, False
    return body.inseam * float(knowledge.verdict.limit.knee_share.value), True


# Girths that a body file does not give, as shares of the hip: medians of ANSUR II women (hip 1021, thigh 616, above the
# knee 401, calf 373, ankle 216 mm). They only shape the dotted outline, which the caption says.
USUAL = {"thigh": 0.603, "knee": 0.393, "calf": 0.365, "ankle": 0.211}


def _body(body: Body, crotch: float, lift: float, knee: float | None) -> tuple[Edge, ...]:
    """The wearer's outline from the waist to the ankle; what is not measured has the survey's usual shape."""
    hip = body.hip
    if hip is None and body.thigh is None:
        return ()
    usual_hip = hip if hip is not None else (body.thigh or 0.0) / USUAL["thigh"]
    edges = []
    if body.waist is not None and body.waist_height is not None:
        edges.append(Edge(body.waist_height + lift, FRONT * _round(body.waist)))
    if hip is not None and body.hip_height is not None and body.hip_height + lift > crotch:
        edges.append(Edge(body.hip_height + lift, FRONT * _round(hip)))

    def add(name: str, height: float) -> None:
        own = body.measure(name) if name != "ankle" else None
        edges.append(Edge(height, _round(own if own is not None else usual_hip * USUAL[name]), own is not None))

    add("thigh", crotch)
    if knee is not None:
        knee_top = knee + lift
        add("knee", knee_top)
        add("calf", lift + knee * 0.74)
        add("ankle", lift + knee * 0.2)
    return tuple(edges)


def _shoe(body: Body, name: str, hem: float | None, caution: bool) -> ShoeView:
    shoe = next((each for each in body.shoes if each.name == name), None)
    if not name:
        return ShoeView("", Band(0.0, 0.0), hem)
    return ShoeView(name, shoe.lift if shoe is not None else None, hem, caution, bool(shoe and shoe.estimated))
