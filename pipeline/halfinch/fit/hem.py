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
    garment = replace(
        make_size(
            inseam=read_length(inseam, "inseam"), knee=read_optional(knee, "knee"),
            leg_opening=read_optional(opening, "opening"), knee_at=read_optional(knee_at, "knee line"),
        ),
        silhouette=silhouette, length=length, fabric=fabric, state=state,
        hem_allowance=read_optional(allowance, "allowance"),
    )  # fmt: skip
    if knee_at is not None and knee is None:
        raise UsageError("a knee line needs the knee's girth beside it: give both or neither.")
    worn = [shoes] if isinstance(shoes, str | Shoe) else list(shoes)
    named = tuple(each if isinstance(each, Shoe) else read_shoe(each, knowledge) for each in worn)
    wanted: dict[str, Band] = {}
    if clearance is not None:
        wanted[""] = clearance if isinstance(clearance, Band) else Band(*[read_length(clearance, "clearance")] * 2)
    body = Body(
        inseam=read_optional(body_inseam, "body inseam"), crotch_drop=read_optional(crotch_drop, "crotch drop"),
        knee_height=read_optional(knee_height, "knee height"), shoes=named,
        taste=Taste(clearance=MappingProxyType(wanted)),
    )  # fmt: skip
    depth = read_optional(turn_up, "turn-up") or 0.0
    return _plan(garment, body, read_optional(finished, "finished inseam"), depth, knowledge)


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


def read_length(value: Length, what: str) -> float:
    """A length as inches. Raises UsageError naming `what`, without repeating the figure."""
    if isinstance(value, str):
        try:
            number = read_inches(value)
        except MeasureError as error:
            raise UsageError(f"{what} {error}.") from None
    else:
        number = float(value)
    if not 0 <= number < 200:
        raise UsageError(f"{what} cannot be a length of trousers or their wearer; check the figure and its unit.")
    return number


def read_optional(value: Length | None, what: str) -> float | None:
    """As read_length; None stays None (not known)."""
    return None if value is None else read_length(value, what)


def read_shoe(text: str, knowledge: Knowledge) -> Shoe:
    """ "block heel" (a kind, its usual lift) or "block heel=2 1/2 in" (measured). Raises UsageError."""
    name, _, lift = (part.strip() for part in text.partition("="))
    kinds = {word.casefold(): row for row in knowledge.shoes.shoe.values() for word in (row.name, *row.also)}
    kind = kinds.get(name.casefold())
    if lift:
        inches = read_length(lift, f"lift of {name}")
        return Shoe(name, Band(inches, inches), kind.name if kind else "")
    if kind is None:
        raise UsageError(_unknown(name, "kind of shoe", tuple(kinds)) + ' Or give its lift: "name=2 1/2 in".')
    return Shoe(name, Band(float(kind.lift.low), float(kind.lift.high)), kind.name, estimated=True)


def _unknown(word: str, what: str, known: tuple[str, ...]) -> str:
    near = get_close_matches(word.casefold(), known, n=1)
    offer = f"; did you mean {near[0]}?" if near else f" (known: {', '.join(known)})."
    return f"{word!r} is no known {what}{offer}"
