"""What depends on a garment's words alone, not on its figures: silhouette, clearance, ease, stretch, shrinkage.

Kept apart because a whole catalogue has few different ones: the vectorised form works them out once each.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from halfinch.fit.body import Band, Body
from halfinch.fit.cloth import Give, find_give, find_shrinkage, usable_share
from halfinch.fit.silhouette import find_row, infer_silhouette, name_silhouette
from halfinch.fit.top import usual_ease
from halfinch.knowledge import Knowledge

AROUND = ("waist", "hip", "thigh", "knee")


@dataclass(frozen=True, slots=True)
class Look:
    """`clearance` None: to be chosen by the wearer. `look` '' where the wearer's own clearance replaces the usual."""

    silhouette: str
    inferred: bool
    look: str
    clearance: Band | None
    clearance_note: str
    opening_decides: bool
    opening_less_knee: Band
    give: Give
    usable: Mapping[str, Band]
    ease: Mapping[str, Band]
    shrinkage: Band
    shrinkage_note: str


def find_silhouette(printed: str, opening: float | None, knee: float | None, knowledge: Knowledge) -> tuple[str, bool]:
    """Silhouette and whether it was told by the figures: the sheet's word, else opening and knee, else ''."""
    named = name_silhouette(printed, knowledge) if printed else ""
    if named:
        return named, False
    inferred = infer_silhouette(opening, knee, knowledge)
    return inferred, bool(inferred)


def find_look(
    silhouette: str, inferred: bool, fabric: str, stretch: float | None, state: str, body: Body, knowledge: Knowledge
) -> Look:
    """All that follows from the words, for this wearer's taste. `silhouette` as find_silhouette gives it."""
    row = find_row(silhouette, knowledge)
    own = body.taste.clearance.get(silhouette) or body.taste.clearance.get("")
    usual = knowledge.clearances.clearance[row.clearance]
    if own is not None:
        clearance, note = own, ""
    elif usual.inches is not None:
        clearance = Band(float(usual.inches.low), float(usual.inches.high))
        note = f"clearance not chosen: the usual one ({usual.means})"
    else:
        clearance, note = None, "clearance has to be chosen for this look"
    give = find_give(stretch, fabric, knowledge)
    usable = {point: usable_share(point, give, knowledge) for point in AROUND}
    eases = {point: getattr(row.ease, point) for point in AROUND}
    shrinkage, shrinkage_note = find_shrinkage(fabric, state, knowledge)
    return Look(
        silhouette=silhouette, inferred=inferred,
        look="" if own is not None else row.clearance,
        clearance=clearance, clearance_note=note,
        opening_decides=row.opening_decides,
        opening_less_knee=Band(float(row.opening_less_knee.low), float(row.opening_less_knee.high)),
        give=give, usable=usable,
        ease={
            point: usual_ease(point, body, Band(float(ease.low), float(ease.high)), usable[point].middle > 0)
            for point, ease in eases.items()
        },
        shrinkage=shrinkage, shrinkage_note=shrinkage_note,
    )  # fmt: skip
