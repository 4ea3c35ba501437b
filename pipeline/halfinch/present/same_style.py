"""Proposals of one style, and what was decided about them, in plain words and as plain data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from halfinch.catalogue.changes import Told
from halfinch.catalogue.same_decisions import Decided
from halfinch.catalogue.same_style import Proposal, proposal_id

ID_SHOWN = 8


def proposal_lines(proposal: Proposal) -> Iterator[str]:
    """The two, then a line for each piece of evidence, the strongest first."""
    yield f"{proposal.proposal_id[:ID_SHOWN]}  {_named(proposal.one)} = {_named(proposal.other)}"
    for piece in sorted(proposal.evidence, key=lambda piece: -abs(piece.weight)):
        yield f"  {'+' if piece.weight > 0 else '-'} {piece.says}"


def proposal_record(proposal: Proposal) -> dict[str, Any]:
    """{"id", "score", "garments": [{"garment_id", "merchant", "style", "style_code", "block"}, ...], "evidence":
    [{"says", "weight"}]}"""
    return {
        "id": proposal.proposal_id,
        "score": round(proposal.score, 3),
        "garments": [_record(told) for told in (proposal.one, proposal.other)],
        "evidence": [{"says": piece.says, "weight": round(piece.weight, 3)} for piece in proposal.evidence],
    }


def decision_lines(decided: Iterable[Decided], garments: Sequence[Told]) -> Iterator[str]:
    """What is decided, a line each; a garment that is not in force is told by its id."""
    names = {told.garment_id: _named(told) for told in garments}
    none = True
    for one in decided:
        none = False
        first, second = (names.get(name, name[:12]) for name in one.pair)
        why = f": {one.why}" if one.why else ""
        sign = "=" if one.decision == "same" else "is not"
        yield f"{proposal_id(one.pair)[:ID_SHOWN]}  {first} {sign} {second}, by {one.by} on {one.at:%Y-%m-%d}{why}"
    if none:
        yield "Nothing was decided."


def _record(told: Told) -> dict[str, str]:
    words = ("merchant", "style", "style_code", "block")
    return {"garment_id": told.garment_id, **{word: told.words.get(word, "") for word in words}}


def _named(told: Told) -> str:
    code, merchant = told.words.get("style_code", ""), told.words.get("merchant", "")
    code = f" {code}" if code and code != told.name else ""
    return f"{told.name}{code}" + (f" ({merchant})" if merchant else "")
