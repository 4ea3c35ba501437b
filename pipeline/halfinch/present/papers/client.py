"""A client's shortlist: each pair with its drawing, hem, shoes, price and what is not sure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from halfinch.fit.plan import Plan
from halfinch.fit.scene import Scene
from halfinch.fit.verdict import Judged
from halfinch.present.drawing import draw_front, draw_hems
from halfinch.present.drawing.hems import say_hang
from halfinch.present.papers.render import name_pair
from halfinch.present.wording import Wording

ABOUT = 0.05
"""A band of an opening no wider than this is said as one figure, inches."""


def client_paper(
    plans: Sequence[Plan], scenes: Sequence[Scene | None], say: Wording, title: str = ""
) -> dict[str, Any]:
    """Facts for `render("client", ...)`; `scenes` one a plan, None where nothing can be drawn."""
    entries = [
        client_entry(plan, scene, say, number) for number, (plan, scene) in enumerate(zip(plans, scenes, strict=True))
    ]
    return {"title": title or say.word("A shortlist of trousers"), "entries": entries}


def client_entry(plan: Plan, scene: Scene | None, say: Wording, number: int) -> dict[str, Any]:
    """One pair: name, verdict, price, chance, front and hems (SVG), facts, cautions, lists."""
    garment, price, shoe = plan.garment, plan.price, plan.shoe.name if plan.shoe is not None else ""
    name = name_pair(
        say, garment.style, garment.style_code, garment.size, garment.length, garment.merchant, garment.colour
    )
    chance = ""
    if plan.chance is not None:
        known = "" if plan.chance_complete else f" ({say.word('of what is known')})"
        chance = f"{say.word('chance that it sits right')}: {plan.chance.joint:.0%}{known}"
    cost = ""
    if price.total is not None:
        work = say.word("with the work") if plan.alterations else ""
        cost = f"{say.money(price.total)} {price.currency} {work}".strip()
    elif price.garment is not None:
        cost = f"{say.money(price.garment)} {price.currency} {say.word('without the work')}"
    return {
        "name": name, "verdict": say.word(plan.verdict), "price": cost, "chance": chance,
        "front": draw_front(scene, say, name, shoe, f"front{number}") if scene is not None else "",
        "hems": draw_hems(scene, say, say.word("this hem in each pair of shoes"), f"hems{number}")
        if scene is not None and scene.shoes else "",
        "facts": list(_facts(plan, say)),
        "cautions": list(_cautions(plan, say)),
        "lists": [(head, items) for head, items in _lists(plan, say) if items],
    }  # fmt: skip


def _facts(plan: Plan, say: Wording) -> Iterator[tuple[str, str]]:
    leg = plan.leg
    if leg.cut is not None:
        yield say.word("hem"), say_hem(plan, say)
    if leg.opening is not None:
        yield say.point("leg_opening"), _opening(plan, say)
    for hang in leg.hangs:
        if hang.clearance is None:
            yield hang.shoe, say.word("lift not known")
        elif hang.shoe:
            yield f"{say.word('in')} {hang.shoe}", say_hang(hang.clearance, say)
    for point in plan.points:
        if point.point not in ("inseam", "leg_opening"):
            yield say.point(point.point), say_point(point, plan, say)
    if plan.gap is not None and plan.gap > 0:
        yield say.word("waistband gap"), say.show(plan.gap)


def say_hem(plan: Plan, say: Wording) -> str:
    """What is to be done to the hem, in words."""
    leg, judged = plan.leg, plan.point("inseam")
    assert leg.cut is not None
    state = judged.state if judged is not None else ""
    turn = f", {say.word('turn-up')} {say.show(leg.turn_up)}" if leg.turn_up else ""
    if state == "fits":
        return say.word("stays as it is") + turn
    if state == "hem":
        word = "take up" if leg.cut > 0 else "let down"
        finished = f", {say.word('finished')} {say.show(leg.finished)}" if leg.finished is not None else ""
        return f"{say.word(word)} {say.show(abs(leg.cut))}{finished}{turn}"
    return f"{say.word('short by')} {say.show(-leg.cut)}"


def _opening(plan: Plan, say: Wording) -> str:
    opening = plan.leg.opening
    assert opening is not None
    after = opening.after
    if after is None:
        words = say.word("not known after the hem" if opening.past_knee != "yes" else "the cut passes the knee")
        return f"{say.show(opening.before)} {say.word('as sold')}; {words}"
    about = f"{say.word('about')} " if opening.estimate else ""
    told = say.show(after.middle) if after.half <= ABOUT else say.show_band(after)
    text = f"{say.show(opening.before)} {say.word('as sold')}, {about}{told} {say.word('as worn')}"
    if opening.share_left is not None and plan.leg.finished != plan.leg.inseam:
        text += f"; {say.word('at least {share} of the flare left', share=f'{opening.share_left.low:.0%}')}"
    return text


def say_point(point: Judged, plan: Plan, say: Wording) -> str:
    """One judged point in the paper's language."""
    inches = plan.garment.inches(point.point)
    figure = f"{say.show(inches)}: " if inches is not None else ""
    if point.state == "not known":
        return figure + say.word("not known") + (f" ({say.word(point.ask.replace('_', ' '))})" if point.ask else "")
    if point.state == "fits" or point.miss is None:
        return figure + say.word("fits")
    pairs = {"front_rise": ("too high by", "too low by"), "back_rise": ("too high by", "too low by")}
    more, less = pairs.get(point.point, ("too big by", "too small by"))
    mended = f", {say.word('can be altered')}" if point.state == "mended" else ""
    return f"{figure}{say.word(more if point.miss > 0 else less)} {say.show(abs(point.miss))}{mended}"


def _cautions(plan: Plan, say: Wording) -> Iterator[str]:
    shoes = [hang.shoe for hang in plan.leg.hangs if hang.shoe and hang.caution]
    if not shoes:
        return
    yield say.word("the hem can be trodden on in {shoes}, on stairs most of all", shoes=", ".join(shoes))
    if plan.leg.safe_inseam is not None:
        inseam = say.show(plan.leg.safe_inseam)
        yield say.word("the longest finished inseam that is safe in all these shoes is {inseam}", inseam=inseam)


def _lists(plan: Plan, say: Wording) -> Iterator[tuple[str, list[str]]]:
    yield say.word("Mind"), [say.word(warning) for warning in plan.warnings]
    ask = [say.word(point.ask) for point in plan.not_known if point.ask and point.ask_whom == "merchant"]
    yield say.word("To be asked of the merchant"), list(dict.fromkeys(ask))
    measure = [say.word(point.ask.replace("_", " ")) for point in plan.not_known if point.ask_whom == "wearer"]
    yield say.word("Still to be measured"), list(dict.fromkeys(measure))
    if plan.advises:
        yield say.word("Before cutting"), [say.word(words) for words in plan.advises]
    yield say.word("Assumed"), [_say_assumed(note, say) for note in plan.assumptions]


def _say_assumed(note: str, say: Wording) -> str:
    """A note of the plan; the name of a favourite pair stays as the wearer calls it."""
    pair = note.removeprefix("from ")
    return say.word("from {pair}", pair=pair) if pair != note else say.word(note)
