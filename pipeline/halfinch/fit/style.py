"""Style rules of schemas/style_rules.toml applied to one garment as worn. They rank and explain; they never drop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from halfinch.fit.body import Body, Shoe
from halfinch.fit.leg import SAME
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_fit import StyleRule


@dataclass(frozen=True, slots=True)
class Worn:
    """What a rule may look at: the garment as worn. None and '': not known."""

    silhouette: str = ""
    opening: float | None = None
    clearance: float | None = None
    front_rise: float | None = None
    shoe: Shoe | None = None


@dataclass(frozen=True, slots=True)
class Advice:
    """One rule that speaks. `kept` is None where what it asks about is not known or nothing is asked."""

    rule: str
    says: str
    kept: bool | None
    weight: float = 0.0
    top: str = ""


def judge_style(worn: Worn, body: Body, knowledge: Knowledge) -> tuple[Advice, ...]:
    """Every rule whose conditions hold, in the order of the file. A condition on what is not known does not hold."""
    return tuple(
        Advice(rule.name, rule.says, _kept(rule, worn), float(rule.weight), rule.advises_top)
        for rule in knowledge.style_rules.rule
        if _speaks(rule, worn, body)
    )


def style_score(advice: tuple[Advice, ...]) -> float:
    """Weights of the rules kept less those of the rules broken: for ranking among equals."""
    return sum(a.weight if a.kept else -a.weight for a in advice if a.kept is not None)


def _speaks(rule: StyleRule, worn: Worn, body: Body) -> bool:
    if rule.when_silhouette and worn.silhouette not in rule.when_silhouette:
        return False
    if rule.when_height_below is not None and not (body.height is not None and body.height < rule.when_height_below):
        return False
    return rule.when_height_from is None or (body.height is not None and body.height >= rule.when_height_from)


def _kept(rule: StyleRule, worn: Worn) -> bool | None:
    wants = list(_wants(rule, worn))
    if any(want is False for want in wants):
        return False
    return None if not wants or None in wants else True


def _wants(rule: StyleRule, worn: Worn) -> Iterator[bool | None]:
    shoe = worn.shoe
    lift = shoe.lift.middle if shoe is not None and shoe.lift is not None else None
    for value, least, most in (
        (worn.opening, rule.wants_opening_least, rule.wants_opening_most),
        (lift, rule.wants_lift_least, None),
        (worn.clearance, None, rule.wants_clearance_most),
        (worn.front_rise, rule.wants_front_rise_least, None),
    ):
        if least is not None:
            yield None if value is None else value >= float(least) - SAME
        if most is not None:
            yield None if value is None else value <= float(most) + SAME
    for word, wanted in (
        (shoe.toe if shoe is not None else "", rule.wants_toe),
        (shoe.sole if shoe is not None else "", rule.wants_sole),
    ):
        if wanted:
            yield None if not word else word in wanted
