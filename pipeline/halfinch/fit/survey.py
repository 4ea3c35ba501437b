"""Check the body too: ratios that most often mean an inseam taken to the ankle or off a cropped pair.

The limits come from a survey of 1,986 women of one army (ANSUR II); it says nothing about who ought to look how.
Nothing is refused and nothing corrected: the answer asks for a measure to be taken again and says how often that is
in vain.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from halfinch.fit.body import Body
from halfinch.knowledge import Knowledge

IN_VAIN = "about 2 in 100 true bodies are asked in vain"


def short_of_height(inseam: float, height: float, limit: float) -> bool:
    """Crotch height over height below the limit (0.45)."""
    return inseam / height < limit


def knee_too_near(knee_height: float, inseam: float, limit: float) -> bool:
    """Knee height over inseam above the limit (0.625)."""
    return knee_height / inseam > limit


def check_body(body: Body, knowledge: Knowledge) -> tuple[str, ...]:
    """One sentence for each measure to be taken again; empty when nothing is unusual or nothing can be compared."""
    if body.inseam is None:
        return ()
    limit = knowledge.verdict.limit
    against = []
    if body.height is not None and short_of_height(body.inseam, body.height, float(limit.check_crotch_share.value)):
        against.append("the height")
    if body.knee_height is not None and knee_too_near(
        body.knee_height, body.inseam, float(limit.check_knee_share.value)
    ):
        against.append("the knee height")
    if not against:
        return ()
    return (
        f"inseam: short for {' and '.join(against)}; most often it was taken to the ankle or off a cropped pair. "
        f"Please measure it again, barefoot, crotch to floor ({IN_VAIN}).",
    )


@dataclass(frozen=True, slots=True, repr=False)
class Compared:
    """One ratio of two measures against the survey. `place`: usual; seldom (outside nine women in ten); rare (outside
    all but two in a hundred: one of the two is best measured again, `again` first). No measure is in it."""

    over: str
    under: str
    place: Literal["usual", "seldom", "rare"]
    low: bool
    """Below the usual ones; False: above, or usual."""
    again: str
    because: str


def compare_body(body: Body, knowledge: Knowledge) -> tuple[Compared, ...]:
    """Every ratio of `measuring.toml` that the body's measures allow, in the file's order."""
    found = []
    for row in knowledge.measuring.ratio.values():
        over, under = body.measure(row.over), body.measure(row.under)
        if over is None or under is None:
            continue
        ratio = over / under
        usual, all_but_few = row.usual, row.almost_all
        place: Literal["usual", "seldom", "rare"] = "usual"
        if not float(usual.low) <= ratio <= float(usual.high):
            rare = not float(all_but_few.low) <= ratio <= float(all_but_few.high)
            place = "rare" if rare else "seldom"
        found.append(Compared(row.over, row.under, place, ratio < float(usual.low), row.again, row.because))
    return tuple(found)
