"""A tailor's ticket: the finished inseam, in which shoes, what is to be sewn and what it costs. No body, no name unless
asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from halfinch.fit.ticket import TakeUp, Ticket
from halfinch.present.papers.render import name_pair
from halfinch.present.wording import Wording


def tailor_paper(tickets: Sequence[Ticket], say: Wording, name: str = "") -> dict[str, Any]:
    """Facts for `render("tailor", ...)`. `name`: only what the shopper asks to have printed."""
    day = next((ticket.day.isoformat() for ticket in tickets if ticket.day is not None), "")
    return {
        "title": say.word("Ticket for the tailor"), "name": name, "day": day,
        "tickets": [_ticket(ticket, say) for ticket in tickets],
    }  # fmt: skip


def _ticket(ticket: Ticket, say: Wording) -> dict[str, Any]:
    lines = [_leg(take, say) for take in ticket.take_up] or [
        (say.word(leg), "", "") for leg in ("left leg", "right leg")
    ]
    unknown = say.word("price to be asked")
    work = [
        (
            _work(item.means, item.inches, say),
            f"{say.money(item.price)} {ticket.currency}" if item.price is not None else unknown,
        )
        for item in ticket.work
    ]
    return {
        "name": name_pair(
            say, ticket.style, ticket.style_code, ticket.size, ticket.length, ticket.merchant, ticket.colour
        ),
        "finished": say.show(ticket.finished), "shoe": ticket.shoe, "legs": lines, "work": work,
        "total": f"{say.money(ticket.total)} {ticket.currency}" if ticket.total is not None else unknown,
        "rate": f"{say.word('rate')}: {say.word(ticket.rate)}" if ticket.rate else "",
        "notes": list(_notes(ticket, say)),
    }  # fmt: skip


def _leg(take: TakeUp, say: Wording) -> tuple[str, str, str]:
    name = {"left": "left leg", "right": "right leg", "both": "both legs"}[take.leg]
    if take.cut < 0:
        return say.word(name), say.show(take.taped), f"{say.word('too short by')} {say.show(-take.cut)}"
    return say.word(name), say.show(take.taped), say.show(take.cut)


def _work(means: str, inches: float | None, say: Wording) -> str:
    return say.word(means) + (f": {say.show(inches)}" if inches is not None else "")


def _notes(ticket: Ticket, say: Wording) -> list[str]:
    notes = []
    if ticket.low_in:
        shoes = ", ".join(ticket.low_in)
        notes.append(say.word("this hem hangs low in {shoes} and can be trodden on: try on in them first", shoes=shoes))
    if ticket.turn_up:
        notes.append(say.word("turn-up of {depth}, twice its depth of cloth on top", depth=say.show(ticket.turn_up)))
    if ticket.opening_before is not None:
        words = f"{say.point('leg_opening')}: {say.show(ticket.opening_before)} {say.word('as sold')}"
        if ticket.opening_after is not None:
            words += f", {say.word('about')} {say.show(ticket.opening_after.middle)} {say.word('after the hem')}"
        notes.append(words)
    if ticket.original_hem is not None:
        notes.append(
            say.word("the original hem can be put back" if ticket.original_hem
                     else "the original hem only with tapered seams: its girth differs by half an inch or more")
        )  # fmt: skip
    if not ticket.take_up:
        notes.append(say.word("the sheet's inseam is no measure to cut by: tape this very pair first"))
    return notes
