"""What one point says (Judged), and what all of them say together (the verdict)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from halfinch.fit.leg import SAME
from halfinch.knowledge import Knowledge

State = Literal["fits", "hem", "near", "mended", "no", "not known"]


@dataclass(frozen=True, slots=True)
class Judged:
    """One point of one garment for one body.

    `miss` in inches (positive: too long, too high, too big), None where it cannot be told. `state`: fits; hem (taking
    up or letting down puts it right); near (misses within the near limit); mended (one alteration, named, puts it
    right); no; not known (`ask` says whom to ask for what).
    """

    point: str
    decisive: bool
    state: State
    reason: str
    miss: float | None = None
    alteration: str = ""
    ask: str = ""
    ask_whom: str = ""
    """merchant | wearer | ''"""


def rate_miss(miss: float, near: float, mend: float = 0.0) -> State:
    """A miss without sign against its near limit and how much an alteration mends; limits count as inside."""
    miss = abs(miss)
    if miss <= SAME:
        return "fits"
    if miss <= near + SAME:
        return "near"
    return "mended" if miss <= mend + SAME else "no"


def rate_cut(cut: float, as_bought: float, allowance: float | None, kept: float, allowance_most: float) -> State:
    """The leg: as bought within +/- `as_bought`; longer is taken up; shorter is let down as far as the allowance (less
    what stays turned under) reaches. Allowance not known: not known, unless no hem could hold so much."""
    if abs(cut) <= as_bought + SAME:
        return "fits"
    if cut > 0:
        return "hem"
    if allowance is None:
        return "not known" if -cut <= allowance_most - kept + SAME else "no"
    return "hem" if -cut <= max(0.0, allowance - kept) + SAME else "no"


def give_verdict(judged: Sequence[Judged], caution: bool, knowledge: Knowledge) -> str:
    """The first verdict, in the order of verdict.toml, that holds over the decisive points.

    Two misses that would need two different alterations are beyond one alteration: no. As bought only without a
    caution.
    """
    decisive = [point for point in judged if point.decisive]
    states = {point.state for point in decisive}
    needed = {point.alteration for point in decisive if point.state == "mended"}
    holds = {
        "no": "no" in states or len(needed) > 1,
        "near miss": bool(states & {"near", "mended"}),
        "not known": "not known" in states,
        "fits as bought": states <= {"fits"} and not caution,
        "fits with a hem": True,
    }
    return next(verdict for verdict in knowledge.verdict.order if holds[verdict])
