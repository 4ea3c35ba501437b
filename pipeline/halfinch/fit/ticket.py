"""A tailor's ticket: what is to be sewn on one pair. Garment figures only; the wearer's are not in it at all.

"Take up so much" is told only from a taped inseam of that very pair, each leg, as it will be washed; the sheet's
figure is within its tolerance and no scissors should trust it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from halfinch.errors import UsageError
from halfinch.fit.body import Band
from halfinch.fit.leg import SAME
from halfinch.fit.plan import Plan
from halfinch.knowledge import Knowledge


@dataclass(frozen=True, slots=True)
class TakeUp:
    """One leg, taped: its inseam and what comes off it (negative: it is too short by so much)."""

    leg: str
    taped: float
    cut: float


@dataclass(frozen=True, slots=True)
class Work:
    """One line of work with its price; None: the price is not known."""

    means: str
    price: Decimal | None
    detail: str = ""
    inches: float | None = None


@dataclass(frozen=True, slots=True)
class Ticket:
    """One pair for the tailor."""

    merchant: str
    style: str
    style_code: str
    size: str
    length: str
    colour: str
    finished: float
    shoe: str
    turn_up: float
    opening_before: float | None
    opening_after: Band | None
    original_hem: bool | None
    """Whether an original hem can be put back as it is; None: the opening is not known."""
    take_up: tuple[TakeUp, ...]
    """Empty: tape first."""
    work: tuple[Work, ...]
    total: Decimal | None
    currency: str
    rate: str
    low_in: tuple[str, ...] = ()
    """Shoes in which this hem can be trodden on."""
    day: date | None = None


def read_taped_inseams(text: str, field: str = "taped") -> Iterator[float]:
    """Inseams taped off one pair as typed: "30 1/4, 30 3/8" is left and right. Raises UsageError, which names the
    `field` that was filled in."""
    from halfinch.fit.measure import MeasureError, read_inches

    parts = [part.strip() for part in text.replace(";", ",").split(", ")] if text.strip() else []
    if len(parts) > 2:
        raise UsageError(f'{field}: one inseam, or the left and the right one as "30 1/4, 30 3/8".')
    for part in parts:
        try:
            yield read_inches(part)
        except MeasureError as error:
            raise UsageError(f"{field} {part!r}: {error}.") from None


def make_ticket(plan: Plan, knowledge: Knowledge, taped: Sequence[float] = (), day: date | None = None) -> Ticket:
    """The ticket of one plan. `taped`: inseams in inches taped off this pair, left and right or one for both.

    Raises UsageError where there is nothing to sew, or what is to be sewn is not known.
    """
    leg, garment = plan.leg, plan.garment
    if leg.target is None or leg.finished is None:
        raise UsageError(f"{_name(plan)}: the finished inseam is not known, so there is nothing to tell a tailor.")
    if not plan.alterations:
        raise UsageError(f"{_name(plan)}: needs no work as it is ({plan.verdict}); no ticket was written.")
    finished = leg.target.inches if {"hem", "let_down", "turn_up"} & set(plan.alterations) else leg.finished
    names = ("both",) if len(taped) == 1 else ("left", "right")
    takes = tuple(
        TakeUp(name, inseam, inseam - finished - 2 * leg.turn_up) for name, inseam in zip(names, taped, strict=False)
    )
    opening = leg.opening
    after = opening.after if opening is not None else None
    price = plan.price
    return Ticket(
        garment.merchant, garment.style, garment.style_code, garment.size, garment.length, garment.colour,
        finished=finished, shoe=plan.shoe.name if plan.shoe is not None else "", turn_up=leg.turn_up,
        opening_before=opening.before if opening is not None else None, opening_after=after,
        original_hem=_original(opening.before if opening is not None else None, after, knowledge),
        take_up=takes, work=tuple(_works(plan, knowledge)), total=price.work,
        currency=knowledge.prices.currency, rate=price.rate,
        low_in=tuple(hang.shoe for hang in leg.hangs if hang.shoe and hang.caution), day=day,
    )  # fmt: skip


def _works(plan: Plan, knowledge: Knowledge) -> list[Work]:
    works = []
    for name in plan.alterations:
        row = knowledge.prices.alteration[name]
        misses = {"take_in_waist": "waist", "narrow_leg": "leg_opening"}
        point = plan.point(misses[name]) if name in misses else None
        inches = abs(point.miss) if point is not None and point.miss is not None else None
        works.append(Work(row.means, row.price, name, inches))
    return works


def _original(before: float | None, after: Band | None, knowledge: Knowledge) -> bool | None:
    if before is None or after is None:
        return None
    change = max(abs(after.low - before), abs(after.high - before))
    return change < float(knowledge.verdict.limit.original_hem.value) - SAME


def _name(plan: Plan) -> str:
    garment = plan.garment
    return " ".join(part for part in (garment.style or garment.style_code, garment.size, garment.length) if part)
