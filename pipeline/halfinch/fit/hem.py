"""One hem worked out from figures typed in; no catalogue, no body file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction
from types import MappingProxyType

from halfinch.errors import UsageError
from halfinch.fit.body import Band, Body, Shoe, Taste
from halfinch.fit.garment import GarmentSize, make_size
from halfinch.fit.judge import judge_inseam
from halfinch.fit.leg import Target
from halfinch.fit.look import find_look, find_silhouette
from halfinch.fit.make_leg import make_leg
from halfinch.fit.measure import MeasureError, read_inches
from halfinch.fit.plan import Leg
from halfinch.fit.silhouette import name_silhouette
from halfinch.fit.verdict import Judged
from halfinch.knowledge import Knowledge, load

Length = float | int | Fraction | str
"""Inches, or a text with a unit ("79 cm", "31 1/4"; inches where none is named)."""


@dataclass(frozen=True, slots=True)
class HemPlan:
    """The leg of one garment: `judged.state` is fits | hem | no | not known."""

    garment: GarmentSize
    leg: Leg
    judged: Judged
    silhouette: str
    shoe: Shoe | None
    cautions: tuple[str, ...]
    warnings: tuple[str, ...]
    assumptions: tuple[str, ...]
    advises: tuple[str, ...]


def plan_hem(
    inseam: Length, *, knee: Length | None = None, opening: Length | None = None, knee_at: Length | None = None,
    body_inseam: Length | None = None, crotch_drop: Length | None = None, knee_height: Length | None = None,
    shoes: Sequence[str | Shoe] | str | Shoe = (), clearance: Length | Band | None = None,
    finished: Length | None = None, turn_up: Length | None = None, allowance: Length | None = None,
    silhouette: str = "", length: str = "", fabric: str = "", state: str = "", knowledge: Knowledge | None = None,
) -> HemPlan:  # fmt: skip
    """Work one hem out. `inseam`, `knee`, `opening` (girths), `knee_at` (below the crotch) are the garment's;
    `body_inseam` is crotch to floor, barefoot. `shoes`: kinds of shoes.toml, or "name=lift" ("block heel=2 1/2 in");
    the hem is aimed at the first. `finished`: the inseam wanted, in place of a target from body and shoes.

    Raises UsageError for a length that cannot be read, shoes or a silhouette that are not known.
    """
    knowledge = knowledge or load()
    if silhouette and not name_silhouette(silhouette, knowledge):
        raise UsageError(_unknown(silhouette, "silhouette", tuple(knowledge.silhouettes.silhouette)))
    lengths = tuple(knowledge.lengths.length)
    if length and length not in lengths:
        raise UsageError(_unknown(length, "length", lengths))
    if knee_at is not None and knee is None:
        raise UsageError("a knee line needs the knee's girth beside it: give both or neither.")
    points, limits = knowledge.points, knowledge.verdict.body

    def of_garment(value: Length | None, what: str, point: str) -> float | None:
        return read_optional(value, what, Band(float(points[point].low), float(points[point].high)))

    def of_body(value: Length | None, what: str, key: str) -> float | None:
        return read_optional(value, what, Band(float(limits[key].low), float(limits[key].high)))

    garment = replace(
        make_size(
            inseam=of_garment(inseam, "inseam", "inseam"), knee=of_garment(knee, "knee", "knee"),
            leg_opening=of_garment(opening, "opening", "leg_opening"),
            knee_at=read_optional(knee_at, "knee line", Band(4, 24)),
        ),
        silhouette=silhouette, length=length, fabric=fabric, state=state,
        hem_allowance=read_optional(allowance, "allowance", Band(0, 12)),
    )  # fmt: skip
    worn = [shoes] if isinstance(shoes, str | Shoe) else list(shoes)
    named = tuple(each if isinstance(each, Shoe) else read_shoe(each, knowledge) for each in worn)
    wanted: dict[str, Band] = {}
    if clearance is not None:
        height = clearance if isinstance(clearance, Band) else read_length(clearance, "clearance", Band(0, 24))
        wanted[""] = height if isinstance(height, Band) else Band(height, height)
    body = Body(
        inseam=of_body(body_inseam, "body inseam", "inseam"),
        crotch_drop=of_body(crotch_drop, "crotch drop", "crotch_drop"),
        knee_height=of_body(knee_height, "knee height", "knee_height"),
        shoes=named, taste=Taste(clearance=MappingProxyType(wanted)),
    )  # fmt: skip
    depth = read_optional(turn_up, "turn-up", Band(0, 6)) or 0.0
    return _plan(garment, body, read_optional(finished, "finished inseam", Band(0.5, 44)), depth, knowledge)


def _plan(garment: GarmentSize, body: Body, finished: float | None, turn_up: float, knowledge: Knowledge) -> HemPlan:
    from halfinch.fit.planning import advise_hem

    silhouette, inferred = find_silhouette(
        garment.silhouette, garment.inches("leg_opening"), garment.inches("knee"), knowledge
    )
    look = find_look(silhouette, inferred, garment.fabric, None, garment.state, body, knowledge)
    shoe = body.shoes[0] if body.shoes else None
    aim = None if finished is None else Target(finished, None, notes=("finished inseam as asked for",), asked=True)
    leg, notes = make_leg(garment, body, look, shoe, knowledge, turn_up=turn_up, aim=aim)
    judged = judge_inseam(leg.cut, garment, notes.lacking, True, knowledge)
    alterations = (judged.alteration,) if judged.alteration else ()
    assumptions = list(notes.assumptions)
    if inferred:
        assumptions.append(f"silhouette not said: {silhouette} by opening and knee")
    return HemPlan(
        garment, leg, judged, silhouette, shoe, notes.cautions, notes.warnings, tuple(assumptions),
        advise_hem(leg, alterations, knowledge),
    )  # fmt: skip


def read_length(value: Length, what: str, limits: Band) -> float:
    """A length as inches. Raises UsageError naming `what`, without repeating the figure."""
    if isinstance(value, str):
        try:
            number = read_inches(value)
        except MeasureError as error:
            raise UsageError(f"{what} {error}.") from None
    else:
        number = float(value)
    if not limits.low <= number <= limits.high:
        raise UsageError(f"{what} cannot be that of an adult in inches; check the figure and name its unit (79cm).")
    return number


def read_optional(value: Length | None, what: str, limits: Band) -> float | None:
    """As read_length; None stays None (not known)."""
    return None if value is None else read_length(value, what, limits)


def read_shoe(text: str, knowledge: Knowledge) -> Shoe:
    """ "block heel" (a kind, its usual lift) or "block heel=2 1/2 in" (measured). Raises UsageError."""
    name, _, lift = (part.strip() for part in text.partition("="))
    kinds = {word.casefold(): row for row in knowledge.shoes.shoe.values() for word in (row.name, *row.also)}
    kind = kinds.get(name.casefold())
    if lift:
        name = name or "the shoes"
        inches = read_length(lift, f"lift of {name}", Band(0, 12))
        return Shoe(name, Band(inches, inches), kind.name if kind else "")
    if kind is None:
        raise UsageError(_unknown(name, "kind of shoe", tuple(kinds)) + ' Or give its lift: "name=2 1/2 in".')
    return Shoe(name, Band(float(kind.lift.low), float(kind.lift.high)), kind.name, estimated=True)


def _unknown(word: str, what: str, known: tuple[str, ...]) -> str:
    near = get_close_matches(word.casefold(), known, n=1)
    offer = f"; did you mean {near[0]}?" if near else f" (known: {', '.join(known)})."
    return f"{word!r} is no known {what}{offer}"
