"""What the cloth does: how far it stretches in wear, how much it shrinks in the first washes. Shares of one."""

from __future__ import annotations

import re
from dataclasses import dataclass

from halfinch.fit.body import Band
from halfinch.knowledge import Knowledge

_PER_CENT = re.compile(r"(\d{1,3}(?:[.,]\d+)?)\s*[%％]\s*([^\W\d_]+)|([^\W\d_]+)\s*:?\s*(\d{1,3}(?:[.,]\d+)?)\s*[%％]")


@dataclass(frozen=True, slots=True)
class Give:
    """Stretch of the cloth as a band; `known`: stated | elastane | unsaid."""

    stretch: Band
    known: str

    @property
    def note(self) -> str:
        return {
            "stated": "",
            "elastane": "stretch not stated: estimated from the share of elastane",
            "unsaid": "neither stretch nor fibres stated: what the cloth gives is not known",
        }[self.known]


def find_give(stretch: float | None, fabric: str, knowledge: Knowledge) -> Give:
    """Stated stretch with its own uncertainty, else what the elastane suggests, else anything up to the most."""
    rules = knowledge.stretch
    if stretch is not None:
        off = stretch * float(rules.stated_within)
        return Give(Band(stretch - off, stretch + off), "stated")
    share = elastane_share(fabric, knowledge)
    if share is not None:
        for row in rules.elastane:
            if row.elastane.low <= share <= row.elastane.high:
                return Give(Band(float(row.stretch.low), float(row.stretch.high)), "elastane")
    return Give(Band(0.0, float(rules.unsaid_most)), "unsaid")


def elastane_share(fabric: str, knowledge: Knowledge) -> float | None:
    """Share of elastane that a composition states; 0 where its shares make a whole without any; None: not said."""
    words = {word.casefold() for word in knowledge.stretch.elastane_words}
    total, elastane = 0.0, 0.0
    for match in _PER_CENT.finditer(fabric):
        number, fibre = (match[1], match[2]) if match[1] else (match[4], match[3])
        amount = float(number.replace(",", ".")) / 100
        total += amount
        if fibre.casefold() in words:
            elastane += amount
    if elastane:
        return elastane
    return 0.0 if 0.98 <= total <= 1.02 else None


def usable_share(point: str, give: Give, knowledge: Knowledge) -> Band:
    """How much longer a girth may become in wear, as a band of shares: the point's part of the cloth's stretch.

    Lengths have none. The band takes in both doubts, of the stretch and of the part that is used.
    """
    row = knowledge.stretch.usable.get(point)
    if row is None:
        return Band(0.0, 0.0)
    share, within = float(row.share), float(row.within)
    return Band(give.stretch.low * max(0.0, share - within), give.stretch.high * (share + within))


def find_shrinkage(fabric: str, state: str, knowledge: Knowledge) -> tuple[Band, str]:
    """Share of its length that a leg may still lose in the wash, and what that rests on.

    Washed or pre-shrunk: none. Cotton and linen in any other state count as possibly unwashed. Fibres not said: not
    reckoned with, and the note says so.
    """
    none = Band(0.0, 0.0)
    folded = fabric.casefold()
    if state == "washed" or any(word.casefold() in folded for word in knowledge.stretch.preshrunk_words):
        return none, ""
    for row in knowledge.stretch.shrinkage.values():
        if any(_holds(folded, fibre.casefold()) for fibre in row.fibres):
            said = "unwashed" if state == "unwashed" else "washed or not is not said: it may be unwashed"
            return Band(float(row.share.low), float(row.share.high)), f"{row.name}, {said}; wash first"
    return none, "" if folded else "fibres not said: shrinkage not reckoned with"


def _holds(text: str, fibre: str) -> bool:
    if not fibre.isascii() and not fibre[0].isalpha():
        return fibre in text
    if any(ord(letter) > 0x2E80 for letter in fibre):  # scripts without blanks between words
        return fibre in text
    return re.search(rf"(?<![^\W_]){re.escape(fibre)}(?![^\W_])", text) is not None
