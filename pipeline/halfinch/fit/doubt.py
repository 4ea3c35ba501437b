"""How sure a plan is: its terms and events for chance.py.

Terms are named so that what is the same thing has the same name: the body's hip moves hip and waistband together, the
garment's rise moves rise and waistband, the cloth's stretch moves every girth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from halfinch.fit.body import Body
from halfinch.fit.chance import Chance, Event, Limit, Term, joint_chance
from halfinch.fit.garment import GarmentSize, tolerance_band
from halfinch.fit.leg import SAME
from halfinch.fit.look import Look
from halfinch.fit.make_leg import leg_terms
from halfinch.fit.plan import Leg
from halfinch.fit.top import Level, find_level
from halfinch.fit.verdict import Judged
from halfinch.knowledge import Knowledge

BODY_WITHIN = {"waist": "girth", "hip": "girth", "thigh": "girth", "knee": "girth", "inseam": "inseam"}


class Doubt:
    """Collects terms and events of one garment for one body."""

    def __init__(self, garment: GarmentSize, body: Body, look: Look, knowledge: Knowledge) -> None:
        self.garment, self.body, self.look, self.knowledge = garment, body, look, knowledge
        self.terms: dict[str, Term] = {}
        self.events: dict[str, Event] = {}

    def add_leg(self, leg: Leg, hemmed: bool) -> None:
        """As bought |cut + error| <= 1/2; once hemmed |error| <= 1/2 with the tailor's term."""
        if leg.cut is None:
            return
        as_bought = float(self.knowledge.verdict.limit.as_bought.value)
        middle = 0.0 if hemmed else leg.cut + self._shift("inseam")
        factors = {}
        for term in leg_terms(leg, self.garment, hemmed, self.knowledge):
            self.terms[term.name] = term
            factors[term.name] = 1.0 if term.name in ("inseam of the garment", "shrinkage", "tailor") else -1.0
        self.events["inseam"] = Event("inseam", (Limit(factors, -as_bought - middle, as_bought - middle),))

    def add_rise(self) -> None:
        band, value = self.body.front_rise, self.garment.inches("front_rise")
        if band is None or value is None:
            return
        value += self._shift("front_rise")
        name = self._garment_term("front_rise")
        self.events["front_rise"] = Event("front_rise", (Limit({name: 1.0}, band.low - value, band.high - value),))

    def add_girth(self, point: str, level: Level | None) -> None:
        """Waist (at its level), hip: too small when even stretched it is short of the least ease, too big beyond the
        most. Errors to first order: garment, stretch, body."""
        value = self.garment.inches(point)
        girth = level.girth if point == "waist" and level is not None else self.body.measure(point)
        if value is None or girth is None or (point == "waist" and level is None):
            return
        if point == "waist" and self.garment.waist_stretched is not None:
            return
        value += self._shift(point)
        ease, usable = self.look.ease[point], self.look.usable[point]
        on_body = self._level_factors(level) if point == "waist" and level is not None else self._body_factor(point)
        own = self._garment_term(point)
        small = {own: 1 + usable.middle, **on_body, **self._stretch_factors(point, value)}
        big = {own: 1.0, **on_body}
        self.events[point] = Event(
            point,
            (
                Limit(small, low=girth + ease.low - value * (1 + usable.middle)),
                Limit(big, high=girth + ease.high - value),
            ),
        )

    def add_opening(self, leg: Leg) -> None:
        most, opening = self.body.taste.most_opening, leg.opening
        if most is None or opening is None or opening.after is None:
            return
        share = opening.share_left.middle if opening.share_left is not None else 1.0
        factors = {self._garment_term("leg_opening"): share}
        if "knee" in self.garment.points and share < 1:
            factors[self._garment_term("knee")] = 1 - share
        if opening.after.half:
            self.terms["knee line"] = Term("knee line", opening.after.half, "merchant")
            factors["knee line"] = 1.0
        self.events["leg_opening"] = Event("leg_opening", (Limit(factors, high=most - opening.after.middle),))

    def chance(self, points: Sequence[str], ask: bool) -> Chance | None:
        """Joint chance of those of `points` that have an event; None where none has."""
        events = [self.events[point] for point in points if point in self.events]
        return joint_chance(events, self.terms, ask) if events else None

    # --- terms -----------------------------------------------------------------------------------------------------

    def _tolerance(self, point: str) -> tuple[float, float]:
        band = tolerance_band(self.garment.points[point], float(self.knowledge.points[point].tolerance))
        return band.middle, band.half

    def _shift(self, point: str) -> float:
        """An uneven tolerance (+1/2 -1/4) moves the middle (JCGM 100 4.3.8)."""
        return self._tolerance(point)[0]

    def _garment_term(self, point: str) -> str:
        name = f"{point.replace('_', ' ')} of the garment"
        self.terms[name] = Term(name, self._tolerance(point)[1], "merchant")
        return name

    def _body_term(self, key: str) -> str:
        limit = self.knowledge.verdict.limit
        usual = {"girth": limit.within_body_girth, "inseam": limit.within_body_inseam}.get(
            BODY_WITHIN.get(key, ""), limit.within_body_height
        )
        name = f"body {key.replace('_', ' ')}"
        self.terms.setdefault(name, Term(name, self.body.within.get(key, float(usual.value)), "body"))
        return name

    def _body_factor(self, key: str) -> dict[str, float]:
        return {self._body_term(key): -1.0}

    def _level_factors(self, level: Level) -> dict[str, float]:
        """How the girth at the band moves with each measure, by small steps of the level itself."""
        factors = {}
        rise, step = self.garment.inches("front_rise"), 1e-3
        for key in ("waist", "hip", "inseam", "waist_height", "hip_height", "front_crotch_arc"):
            value = self.body.measure(key)
            if value is None:
                continue
            moved = find_level(_with(self.body, key, value + step), rise, self.knowledge)
            slope = 0.0 if moved is None else (moved.girth - level.girth) / step
            if abs(slope) > SAME and abs(slope) * step < 1:
                factors[self._body_term(key)] = -slope
        if level.slope and "front_rise" in self.garment.points:
            factors[self._garment_term("front_rise")] = -level.slope * level.per_rise
        if level.slope and level.estimate_half:
            self.terms["height of the band"] = Term("height of the band", level.estimate_half, "body")
            factors["height of the band"] = -level.slope
        return factors

    def _stretch_factors(self, point: str, value: float) -> dict[str, float]:
        give = self.look.give.stretch
        row = self.knowledge.stretch.usable[point]
        factors = {}
        if give.half:
            self.terms["stretch"] = Term("stretch", give.half, "merchant")
            factors["stretch"] = value * float(row.share)
        if give.middle:
            name = f"usable stretch at the {point}"
            self.terms[name] = Term(name, give.middle * float(row.within))
            factors[name] = value
        return factors


def _with(body: Body, key: str, value: float) -> Body:
    return replace(body, **{key: value})  # type: ignore[arg-type]


def weigh_plan(
    garment: GarmentSize, body: Body, look: Look, leg: Leg, level: Level | None, points: Sequence[Judged],
    hemmed: bool, knowledge: Knowledge, ask: bool = True,
) -> tuple[Chance | None, bool]:  # fmt: skip
    """The joint chance of the decisive points, and whether each of them could be reckoned with.

    A point that cannot miss (no limit in the wearer's taste) is not among `points`.
    """
    doubt = Doubt(garment, body, look, knowledge)
    doubt.add_leg(leg, hemmed)
    doubt.add_rise()
    doubt.add_girth("waist", level)
    doubt.add_girth("hip", level)
    doubt.add_opening(leg)
    decisive = [point.point for point in points if point.decisive]
    complete = all(name in doubt.events for name in decisive)
    return doubt.chance(decisive, ask), complete
