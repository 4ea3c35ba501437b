"""Point by point: each figure of a garment against the body becomes a Judged with its reason in words."""

from __future__ import annotations

from halfinch.fit.body import Band, Body
from halfinch.fit.garment import GarmentSize
from halfinch.fit.leg import SAME, Opening
from halfinch.fit.look import Look
from halfinch.fit.top import Around, Level, elastic_waist, go_round
from halfinch.fit.verdict import Judged, State, rate_cut, rate_miss
from halfinch.fit.words import say, say_within
from halfinch.knowledge import Knowledge

NAMES = {
    "front_rise": "front rise", "back_rise": "back rise", "inseam": "inseam", "waist": "waist", "hip": "hip",
    "thigh": "thigh", "knee": "knee", "leg_opening": "leg opening", "outseam": "outseam",
}  # fmt: skip


def missing_figure(point: str, decisive: bool, estimate: str = "") -> Judged:
    """The garment's figure is not in the catalogue. `estimate` tells what a label suggests; it decides nothing."""
    reason = f"{NAMES[point]} not in the catalogue" + (f"; {estimate}" if estimate else "")
    return Judged(point, decisive, "not known", reason, ask=NAMES[point], ask_whom="merchant")


def missing_measure(point: str, decisive: bool, key: str) -> Judged:
    """The body file does not say what this point is judged by."""
    reason = f"{key.replace('_', ' ')} of the wearer not given"
    return Judged(point, decisive, "not known", reason, ask=key, ask_whom="wearer")


def judge_inseam(cut: float | None, garment: GarmentSize, lacking: str, decisive: bool, knowledge: Knowledge) -> Judged:
    """`cut` None: no target; `lacking` names the body's key that is missing."""
    if "inseam" not in garment.points:
        return missing_figure("inseam", decisive, _by_label(garment, "label_inseam", knowledge))
    if cut is None:
        return missing_measure("inseam", decisive, lacking)
    limit = knowledge.verdict.limit
    as_bought, kept = float(limit.as_bought.value), float(limit.let_down_kept.value)
    most = float(limit.allowance_most.value)
    state = rate_cut(cut, as_bought, garment.hem_allowance, kept, most)
    if state == "fits":
        return Judged("inseam", decisive, state, f"ends {say_within(cut)} as bought", cut)
    if cut > 0:
        return Judged("inseam", decisive, state, f"{say(cut)} too long: take up", cut, "hem")
    if state == "hem":
        return Judged("inseam", decisive, state, f"{say(-cut)} too short: the hem lets down so far", cut, "let_down")
    if state == "not known":
        reason = f"{say(-cut)} too short; what the hem holds is not known"
        return Judged("inseam", decisive, state, reason, cut, ask="hem allowance", ask_whom="merchant")
    return Judged("inseam", decisive, state, f"{say(-cut)} too short", cut)


def judge_rise(point: str, value: float | None, band: Band | None, near: float, decisive: bool) -> Judged:
    """Front or back rise against the wearer's band."""
    if value is None:
        return missing_figure(point, decisive)
    if band is None:
        return missing_measure(point, decisive, point)
    miss = band.miss(value)
    state = rate_miss(miss, near)
    if state == "fits":
        return Judged(point, decisive, state, f"{say(value)} lies in the wearer's band", 0.0)
    side = "above" if miss > 0 else "below"
    return Judged(point, decisive, state, f"{say(value)} is {say(abs(miss))} {side} the wearer's band", miss)


def judge_waist(
    garment: GarmentSize, level: Level | None, body: Body, look: Look, decisive: bool, knowledge: Knowledge
) -> Judged:
    """The waistband against the body's girth where it sits; elastic waists by their own rule."""
    value = garment.inches("waist")
    if value is None:
        return missing_figure("waist", decisive, _by_label(garment, "label_waist", knowledge))
    if level is None:
        return missing_measure("waist", decisive, "waist")
    near, mend = (
        float(knowledge.verdict.limit.near_waist.value),
        float(knowledge.verdict.limit.take_in_waist_most.value),
    )
    if garment.waist_stretched is not None:
        if body.hip is None:
            return missing_measure("waist", decisive, "hip")
        around = Around(
            "waist", elastic_waist(value, garment.waist_stretched, body.hip, level.girth), value - level.girth
        )
    else:
        stated = look.give.known != "unsaid"
        around = go_round("waist", value, level.girth, look.ease["waist"], look.usable["waist"], stated)
    return _judge_around(around, near, mend, "take_in_waist", decisive)


def judge_girth(
    point: str, garment: GarmentSize, body_girth: float | None, look: Look, near: float, decisive: bool
) -> Judged:
    """Hip, thigh, knee: by ease, stretched as far as the cloth gives."""
    value = garment.inches(point)
    if value is None:
        return missing_figure(point, decisive)
    if body_girth is None:
        return missing_measure(point, decisive, point)
    stated = look.give.known != "unsaid"
    around = go_round(point, value, body_girth, look.ease[point], look.usable[point], stated)
    return _judge_around(around, near, 0.0, "", decisive)


def _judge_around(around: Around, near: float, mend: float, alteration: str, decisive: bool) -> Judged:
    if not around.settled:
        reason = f"{say_ease(around.ease)}: fits only if the cloth gives enough"
        return Judged(around.point, decisive, "not known", reason, None, ask="stretch or fibres", ask_whom="merchant")
    miss = around.miss
    state = rate_miss(miss, near, mend if miss > 0 else 0.0)
    if state == "fits":
        return Judged(around.point, decisive, state, f"{say_ease(around.ease)}: fits", 0.0)
    if miss < 0:
        return Judged(around.point, decisive, state, f"{say(-miss)} too small, stretch and ease reckoned in", miss)
    if state == "mended":
        return Judged(around.point, decisive, state, f"{say(miss)} too big: can be taken in", miss, alteration)
    return Judged(around.point, decisive, state, f"{say(miss)} too big", miss)


def judge_opening(
    opening: Opening | None, most: float | None, decisive: bool, has_figure: bool, knowledge: Knowledge
) -> Judged | None:
    """As worn, after the hem if one is due. None: no limit in the wearer's taste, so it cannot miss."""
    if most is None:
        return None
    if not has_figure:
        return missing_figure("leg_opening", decisive)
    if opening is None or opening.after is None:
        if opening is not None and opening.past_knee == "yes":
            return Judged("leg_opening", decisive, "not known", "the cut passes the knee: no opening to tell")
        reason = "what opening is left after the hem cannot be told without the inseam"
        return Judged("leg_opening", decisive, "not known", reason, ask="inseam", ask_whom="merchant")
    miss = opening.after.middle - most
    if miss <= SAME:
        return Judged("leg_opening", decisive, "fits", f"{say(opening.after.middle)} as worn: within taste", 0.0)
    limit = knowledge.verdict.limit
    state: State = rate_miss(miss, float(limit.near_opening.value), float(limit.narrow_leg_most.value))
    alteration = "narrow_leg" if state == "mended" else ""
    return Judged("leg_opening", decisive, state, f"{say(miss)} wider than wanted, as worn", miss, alteration)


def say_ease(ease: float) -> str:
    """ "1 1/2 in of ease", "1/2 in less than the body"."""
    if abs(ease) <= SAME:
        return "the body's own girth"
    return f"{say(ease)} of ease" if ease > 0 else f"{say(-ease)} less than the body"


def _by_label(garment: GarmentSize, point: str, knowledge: Knowledge) -> str:
    value = garment.inches(point)
    if value is None:
        return ""
    limit = knowledge.verdict.limit
    within = limit.within_label_inseam if point == "label_inseam" else limit.within_label_girth
    return f"the label says {say(value)}, an estimate of +/- {say(float(within.value))}"
