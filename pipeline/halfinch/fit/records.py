"""A plan as plain data: what `--format json` prints and what frames hold. Keys are stable; lengths are inches, `None`
is not known, chances are 0 to 1, money is text.

Keys of a plan's record:
  garment_id merchant style style_code block size size_system length silhouette silhouette_inferred
  verdict, points [{point, decisive, state, miss, reason, alteration, ask, ask_whom}]
  shoe, target, cut (positive: take up), finished, let_down, turn_up, target_from
  opening {before, after_low, after_high, estimate, past_knee, flare_left_low, flare_left_high}
  knee {at_low, at_high, known, gap_low, gap_high}
  hangs [{shoe ("" is barefoot), clearance, u, caution}], safe_inseam, safe_cut
  shafts [{shoe, at, leg_low, leg_high, needs, fits}], other_hems [{when, cut, finished}]
  rise_miss, waist {body_girth, above_crotch, gap}
  chance {joint, complete, as_bought, hemmed, points, most_doubt, ask, doubt_gone}
  price {garment, work, total, currency, rate, missing, over_budget}
  style_rules {score, rules [{rule, says, kept, top}]}
  cautions warnings assumptions advises asks figures {point: {inches, stated, status, figure}}
  stated: the sheet's figure where taped pairs moved `inches`, else null
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from halfinch.fit.body import Band
from halfinch.fit.hem import HemPlan
from halfinch.fit.leg import Hang, Opening, Shaft
from halfinch.fit.plan import Leg, Plan
from halfinch.fit.verdict import Judged

ROW = (
    "verdict", "merchant", "style", "style_code", "block", "size", "length", "silhouette", "cut", "finished",
    "opening_before", "opening_after", "rise_miss", "waist_gap", "chance", "price", "total", "currency", "cautions",
    "not_known", "garment_id",
)  # fmt: skip
"""Columns of `match` as a frame."""


def plan_record(plan: Plan) -> dict[str, Any]:
    """One plan, nested."""
    garment, chance, price = plan.garment, plan.chance, plan.price
    names = ("garment_id", "merchant", "style", "style_code", "block", "size", "size_system", "length")
    return {
        **{name: getattr(garment, name) for name in names},
        "silhouette": plan.silhouette,
        "silhouette_inferred": plan.silhouette_inferred,
        "verdict": plan.verdict,
        "estimated": list(garment.estimated),
        "points": [point_record(point) for point in plan.points],
        "shoe": plan.shoe.name if plan.shoe is not None else None,
        **leg_record(plan.leg),
        "rise_miss": _round(plan.rise_miss),
        "waist": {
            "body_girth": _round(plan.level.girth) if plan.level is not None else None,
            "above_crotch": _round(plan.level.above_crotch) if plan.level is not None else None,
            "gap": _round(plan.gap),
        },
        "chance": {
            "joint": _chance(chance.joint) if chance is not None else None,
            "complete": plan.chance_complete,
            "as_bought": _chance(plan.chance_as_bought),
            "hemmed": _chance(plan.chance_hemmed),
            "points": {name: _chance(value) for name, value in chance.points.items()} if chance is not None else {},
            "most_doubt": chance.most_doubt if chance is not None else "",
            "ask": chance.ask if chance is not None else "",
            "doubt_gone": _chance(chance.doubt_gone) if chance is not None else None,
        },
        "price": {
            "garment": _money(price.garment), "work": _money(price.work), "total": _money(price.total),
            "currency": price.currency, "rate": price.rate, "missing": list(price.missing),
            "over_budget": _money(price.over),
        },
        "style_rules": {
            "score": round(plan.style, 3),
            "rules": [{"rule": a.rule, "says": a.says, "kept": a.kept, "top": a.top} for a in plan.advice],
        },
        "cautions": list(plan.cautions), "warnings": list(plan.warnings), "assumptions": list(plan.assumptions),
        "advises": list(plan.advises), "asks": list(plan.asks),
        "figures": {
            name: {
                "inches": _round(point.inches), "stated": _round(point.stated), "status": point.status,
                "figure": point.figure,
            }
            for name, point in garment.points.items()
        },
    }  # fmt: skip


def hem_record(plan: HemPlan) -> dict[str, Any]:
    """One hem worked out, with the keys of a plan as far as they go."""
    return {
        "state": plan.judged.state,
        "points": [point_record(plan.judged)],
        "silhouette": plan.silhouette,
        "shoe": plan.shoe.name if plan.shoe is not None else None,
        **leg_record(plan.leg),
        "cautions": list(plan.cautions),
        "warnings": list(plan.warnings),
        "assumptions": list(plan.assumptions),
        "advises": list(plan.advises),
    }


def plan_row(plan: Plan) -> dict[str, Any]:
    """One plan, flat: the columns of ROW."""
    garment, leg = plan.garment, plan.leg
    after = leg.opening.after if leg.opening is not None else None
    return {
        "verdict": plan.verdict,
        **{name: getattr(garment, name) for name in ("merchant", "style", "style_code", "block", "size", "length")},
        "silhouette": plan.silhouette, "cut": _round(leg.cut), "finished": _round(leg.finished),
        "opening_before": _round(leg.opening.before) if leg.opening is not None else None,
        "opening_after": _round(after.middle) if after is not None else None,
        "rise_miss": _round(plan.rise_miss), "waist_gap": _round(plan.gap),
        "chance": _chance(plan.chance.joint) if plan.chance is not None else None,
        "price": _money(plan.price.garment), "total": _money(plan.price.total), "currency": plan.price.currency,
        "cautions": "; ".join(plan.cautions),
        "not_known": "; ".join(point.point for point in plan.not_known),
        "garment_id": garment.garment_id,
    }  # fmt: skip


def point_record(point: Judged) -> dict[str, Any]:
    return {
        "point": point.point, "decisive": point.decisive, "state": point.state, "miss": _round(point.miss),
        "reason": point.reason, "alteration": point.alteration, "ask": point.ask, "ask_whom": point.ask_whom,
    }  # fmt: skip


def leg_record(leg: Leg) -> dict[str, Any]:
    cut, target = leg.cut, leg.target
    return {
        "inseam": _round(leg.inseam),
        "target": _round(target.inches) if target is not None else None,
        "target_from": None if target is None else "asked" if target.asked else target.pair or "body",
        "cut": _round(cut),
        "finished": _round(leg.finished),
        "turn_up": _round(leg.turn_up),
        "opening": _opening(leg.opening),
        "knee": {**_band("at", leg.knee_at), "known": leg.knee_known, **_band("gap", leg.knee_gap)},
        "hangs": [_hang(hang) for hang in leg.hangs],
        "safe_inseam": _round(leg.safe_inseam),
        "safe_cut": _round(leg.safe_cut),
        "shafts": [_shaft(shaft) for shaft in leg.shafts],
        "other_hems": [
            {"when": hem.when, "cut": _round(hem.cut), "finished": _round(hem.finished)} for hem in leg.others
        ],
    }


def could_not_judge(plans: Iterable[Plan]) -> list[str]:
    """What the body file would have to say for more to be judged, in the order met."""
    return list(
        dict.fromkeys(
            point.ask for plan in plans for point in plan.not_known if point.ask_whom == "wearer" and point.ask
        )
    )


def _opening(opening: Opening | None) -> dict[str, Any] | None:
    if opening is None:
        return None
    return {
        "before": _round(opening.before), **_band("after", opening.after), "estimate": opening.estimate,
        "past_knee": opening.past_knee, **_band("flare_left", opening.share_left),
    }  # fmt: skip


def _hang(hang: Hang) -> dict[str, Any]:
    return {"shoe": hang.shoe, "clearance": _round(hang.clearance), "u": _round(hang.u), "caution": hang.caution}


def _shaft(shaft: Shaft) -> dict[str, Any]:
    return {"shoe": shaft.shoe, "at": _round(shaft.at), **_band("leg", shaft.leg), "needs": _round(shaft.needs),
            "fits": shaft.fits}  # fmt: skip


def _band(name: str, band: Band | None) -> dict[str, float | None]:
    low, high = (band.low, band.high) if band is not None else (None, None)
    return {f"{name}_low": _round(low), f"{name}_high": _round(high)}


def _round(value: float | None) -> float | None:
    """Six decimals, as the catalogue's inches; never -0."""
    return None if value is None else round(value, 6) + 0.0


def _chance(value: float | None) -> float | None:
    return None if value is None else round(value, 4)


def _money(value: Decimal | None) -> str | None:
    return None if value is None else f"{value:.2f}"
