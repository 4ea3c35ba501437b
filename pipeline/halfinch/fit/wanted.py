"""The other way round: not which pair fits, but which figures a pair should have. A short list to shop with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from halfinch.errors import UsageError
from halfinch.fit.body import Band, Body, Shoe
from halfinch.fit.leg import find_target
from halfinch.fit.look import find_look
from halfinch.fit.planning import choose_shoe
from halfinch.fit.top import find_level
from halfinch.knowledge import Knowledge


@dataclass(frozen=True, slots=True)
class Wanted:
    """Bands of figures for one silhouette in one pair of shoes. None: cannot be told, `lacks` says why."""

    silhouette: str
    shoe: str
    inseam: Band | None
    """Fits as bought; longer can be taken up."""
    front_rise: Band | None
    waist: Band | None
    hip: Band | None
    thigh: Band | None
    knee: Band | None
    leg_opening: Band | None
    lacks: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def find_wanted(
    body: Body, knowledge: Knowledge, silhouettes: Sequence[str] = (), shoes: Sequence[str] = ()
) -> tuple[Wanted, ...]:
    """One entry for each silhouette and pair of shoes. `silhouettes` empty: those of the wearer's taste, else all of
    them; `shoes` empty: all of the body file. Girths are told for cloth that does not stretch. Raises UsageError for a
    silhouette or shoes that are not known."""
    named = tuple(silhouettes) or body.taste.silhouettes or tuple(knowledge.silhouettes.silhouette)
    for name in named:
        if name not in knowledge.silhouettes.silhouette:
            known = ", ".join(knowledge.silhouettes.silhouette)
            raise UsageError(f"{name!r} is no silhouette; known: {known}.")
    worn = [choose_shoe(body, name) for name in shoes] or [*body.shoes] or [None]
    return tuple(_wanted(body, name, shoe, knowledge) for name in named for shoe in worn)


def _wanted(body: Body, silhouette: str, shoe: Shoe | None, knowledge: Knowledge) -> Wanted:
    look = find_look(silhouette, False, "", None, "", body, knowledge)
    middle = body.front_rise.middle if body.front_rise is not None else None
    target = find_target(body, shoe, look.clearance, look.look, middle, knowledge)
    limit = float(knowledge.verdict.limit.as_bought.value)
    inseam = None if target is None else Band(target.inches - limit, target.inches + limit)
    level = find_level(body, middle, knowledge)
    girths = {"hip": body.hip, "thigh": body.thigh, "knee": body.knee, "waist": level.girth if level else None}
    # Without stretch nobody can count on less than the body's own girth.
    bands = {
        point: None if girth is None else Band(girth + max(0.0, look.ease[point].low), girth + look.ease[point].high)
        for point, girth in girths.items()
    }
    row = knowledge.silhouettes.silhouette[silhouette]
    opening = Band(float(row.opening.low), float(row.opening.high))
    if body.taste.most_opening is not None:
        most = body.taste.most_opening
        opening = Band(min(opening.low, most), min(opening.high, most))
    lacks = [key.replace("_", " ") for key in ("waist", "hip", "thigh", "knee") if body.measure(key) is None]
    lacks += [] if body.front_rise is not None else ["front rise"]
    if target is None:
        shoes_known = shoe is not None and shoe.lift is not None
        lacks.append("inseam" if body.inseam is None else "clearance" if shoes_known else "lift of the shoes")
    notes = tuple(target.notes) if target is not None else ()
    return Wanted(
        silhouette, shoe.name if shoe is not None else "", inseam, body.front_rise, bands["waist"], bands["hip"],
        bands["thigh"], bands["knee"], opening, tuple(lacks), notes,
    )  # fmt: skip
