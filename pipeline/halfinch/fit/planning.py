"""One garment size and one body become a plan."""

from __future__ import annotations

from collections.abc import Iterable

from halfinch.errors import UsageError
from halfinch.fit.body import Body, Shoe
from halfinch.fit.doubt import weigh_plan
from halfinch.fit.garment import GarmentSize
from halfinch.fit.judge import judge_girth, judge_inseam, judge_opening, judge_rise, judge_waist
from halfinch.fit.leg import SAME, Target, find_target
from halfinch.fit.look import Look, find_look, find_silhouette
from halfinch.fit.make_leg import make_leg
from halfinch.fit.plan import BEFORE_CUTTING, HemFor, Leg, Plan
from halfinch.fit.price import price_with
from halfinch.fit.style import Worn, judge_style, style_score
from halfinch.fit.top import Level, find_level, waist_gap
from halfinch.fit.verdict import Judged, give_verdict
from halfinch.fit.words import say
from halfinch.knowledge import Knowledge


def choose_shoe(body: Body, name: str = "") -> Shoe | None:
    """The shoes a hem is aimed at: those named, else the first of the body file. Raises UsageError for a name that is
    not there."""
    if not name:
        return body.shoes[0] if body.shoes else None
    for shoe in body.shoes:
        if shoe.name.casefold() == name.casefold():
            return shoe
    known = ", ".join(shoe.name for shoe in body.shoes) or "none"
    raise UsageError(f"{name!r} are no shoes of the body file (it has: {known}).")


def make_plan(
    garment: GarmentSize, body: Body, knowledge: Knowledge, *, shoe: str = "",
    merchant_knee: float | None = None, weigh: bool = True, ask: bool = True, finished: float | None = None,
) -> Plan:  # fmt: skip
    """The whole plan.

    `shoe`: which of the body's shoes the hem is aimed at; `merchant_knee`: the merchant's usual knee line, else the
    garment's own; `weigh`: whether to reckon the chance; `ask`: also each point's, both as bought and hemmed, and what
    is most worth asking (the slow part); `finished`: a finished inseam to try, inches, in place of the one that body
    and shoes want. Raises UsageError for shoes that are not there.
    """
    aimed = choose_shoe(body, shoe)
    silhouette, inferred = find_silhouette(
        garment.silhouette, garment.inches("leg_opening"), garment.inches("knee"), knowledge
    )
    look = find_look(silhouette, inferred, garment.fabric, garment.stretch, garment.state, body, knowledge)
    if merchant_knee is None:
        merchant_knee = garment.merchant_knee
    aim = None if finished is None else _aim_at(finished, garment, body, look, aimed, knowledge)
    leg, notes = make_leg(garment, body, look, aimed, knowledge, merchant_knee, body.taste.turn_up, aim)
    level = find_level(body, garment.inches("front_rise"), knowledge)
    points = judge_points(garment, body, look, leg, level, notes.lacking, knowledge)
    verdict = give_verdict(points, bool(notes.cautions), knowledge)
    alterations = find_alterations(points, leg)
    price = price_with(garment.price, garment.currency, alterations, body.budget, knowledge)
    worn = Worn(
        silhouette,
        leg.opening.after.middle if leg.opening is not None and leg.opening.after is not None else None,
        next((hang.clearance for hang in leg.hangs if hang.shoe), None),
        garment.inches("front_rise"),
        aimed,
    )
    advice = judge_style(worn, body, knowledge)
    hemmed = verdict != "fits as bought" and bool({"hem", "let_down", "turn_up"} & set(alterations))
    chance, complete = (None, False)
    as_bought = once_hemmed = None
    if weigh:
        ways = {
            cut: weigh_plan(garment, body, look, leg, level, points, cut, knowledge, ask and cut == hemmed)
            for cut in (False, True)
            if ask or cut == hemmed
        }
        chance, complete = ways[hemmed]
        as_bought, once_hemmed = (
            found.joint if (found := ways.get(cut, (None, False))[0]) is not None else None for cut in (False, True)
        )
    rise = next((point.miss for point in points if point.point == "front_rise"), None)
    return Plan(
        garment=garment, verdict=verdict, points=points, leg=_with_rise(leg, rise), silhouette=silhouette,
        silhouette_inferred=inferred, shoe=aimed, level=level, gap=_gap(garment, level, points), rise_miss=rise,
        alterations=alterations, price=price, advice=advice, style=style_score(advice),
        chance=chance, chance_complete=complete, chance_as_bought=as_bought, chance_hemmed=once_hemmed,
        cautions=notes.cautions, warnings=(*notes.warnings, *_warn_top(rise, knowledge)),
        assumptions=_assume(garment, look, level, notes.assumptions),
        advises=advise_hem(leg, alterations, knowledge),
    )  # fmt: skip


def _aim_at(
    finished: float, garment: GarmentSize, body: Body, look: Look, shoe: Shoe | None, knowledge: Knowledge
) -> Target:
    """A hem to try: the wearer's own target moved to `finished`, so that heights stay those of the same wearer."""
    own = find_target(body, shoe, look.clearance, look.look, garment.inches("front_rise"), knowledge)
    reach = own.reach if own is not None else None
    return Target(finished, None, reach=reach, notes=("finished inseam as asked for",), asked=True)


def judge_points(
    garment: GarmentSize, body: Body, look: Look, leg: Leg, level: Level | None, lacking: str, knowledge: Knowledge
) -> tuple[Judged, ...]:
    """Every point that can be judged or ought to be: the decisive ones always, others where both sides are known."""
    limit = knowledge.verdict.limit
    decides = {
        point: point in knowledge.verdict.decisive for point in ("inseam", "front_rise", "waist", "hip", "leg_opening")
    }
    near_hip = float(limit.near_hip.value)
    points: list[Judged | None] = [
        judge_inseam(leg.cut, garment, lacking, decides["inseam"], knowledge),
        judge_rise(
            "front_rise", garment.inches("front_rise"), body.front_rise, float(limit.near_rise.value),
            decides["front_rise"],
        ),
        judge_waist(garment, level, body, look, decides["waist"], knowledge),
        judge_girth("hip", garment, body.hip, look, near_hip, decides["hip"]),
        judge_opening(
            leg.opening, body.taste.most_opening, decides["leg_opening"] and look.opening_decides,
            "leg_opening" in garment.points, knowledge,
        ),
    ]  # fmt: skip
    if body.back_rise is not None and "back_rise" in garment.points:
        near = float(limit.near_rise.value)
        points.append(judge_rise("back_rise", garment.inches("back_rise"), body.back_rise, near, False))
    for point in ("thigh", "knee"):
        if body.measure(point) is not None and point in garment.points:
            points.append(judge_girth(point, garment, body.measure(point), look, near_hip, False))
    return tuple(point for point in points if point is not None)


def find_alterations(points: Iterable[Judged], leg: Leg) -> tuple[str, ...]:
    """What the tailor would do, as named in prices.toml: a turn-up takes the place of the plain hem."""
    names = [point.alteration for point in points if point.decisive and point.alteration]
    if leg.turn_up:
        names = ["turn_up", *(name for name in names if name != "hem")]
    return tuple(dict.fromkeys(names))


def _with_rise(leg: Leg, rise: float | None) -> Leg:
    """A rise above the band by r: the seam may hang lower by up to r, and the hem is told for that too."""
    if rise is None or rise <= SAME or leg.cut is None or leg.finished is None:
        return leg
    from dataclasses import replace

    assert leg.target is not None
    lower = HemFor(f"the seam hangs {say(rise)} lower", leg.cut + rise, leg.target.inches - rise)
    return replace(leg, others=(*leg.others, lower))


def _gap(garment: GarmentSize, level: Level | None, points: tuple[Judged, ...]) -> float | None:
    """Waistband gap, told only when hip and thigh fit: else the pair has other troubles."""
    waist = garment.inches("waist")
    if waist is None or level is None:
        return None
    states = {point.point: point.state for point in points}
    if states.get("hip") != "fits" or states.get("thigh", "fits") != "fits":
        return None
    return waist_gap(waist, level.girth)


def _warn_top(rise: float | None, knowledge: Knowledge) -> tuple[str, ...]:
    if rise is None or rise <= SAME:
        return ()
    climb = rise * float(knowledge.verdict.limit.rise_height_share.value)
    return (f"the waistband climbs {say(climb)} above where she likes it, or the seam hangs up to {say(rise)} lower",)


def _assume(garment: GarmentSize, look: Look, level: Level | None, leg: tuple[str, ...]) -> tuple[str, ...]:
    notes = [*leg, *garment.notes]
    if look.inferred:
        notes.append(f"silhouette not said: {look.silhouette} by opening and knee")
    elif not look.silhouette:
        notes.append("silhouette not known: judged by what any of them admits")
    if look.give.note and ("waist" in garment.points or "hip" in garment.points):
        notes.append(look.give.note)
    if level is not None and "waist" in garment.points:
        notes.extend(level.notes)
    assumed = [name.replace("_", " ") for name, point in garment.points.items() if point.status == "assumed"]
    if assumed:
        notes.append(f"unit or flat/round not stated by the sheet, taken as read: {', '.join(assumed)}")
    ranges = [name.replace("_", " ") for name, point in garment.points.items() if point.spread]
    if ranges:
        notes.append(f"printed as a range, its middle used: {', '.join(ranges)}")
    return tuple(dict.fromkeys(notes))


def advise_hem(leg: Leg, alterations: tuple[str, ...], knowledge: Knowledge) -> tuple[str, ...]:
    """What is said with every plan that cuts or lets down a hem; empty for one that does not."""
    if not {"hem", "let_down", "turn_up"} & set(alterations):
        return ()
    out = list(BEFORE_CUTTING)
    opening = leg.opening
    if "hem" in alterations and opening is not None and opening.after is not None:
        limit = float(knowledge.verdict.limit.original_hem.value)
        change = max(abs(opening.after.low - opening.before), abs(opening.after.high - opening.before))
        kept = "can be put back" if change < limit - SAME else "can be put back only with tapered seams"
        out.append(f"an original hem {kept}")
    if "let_down" in alterations:
        out.append("the old fold leaves a mark")
    return tuple(out)
