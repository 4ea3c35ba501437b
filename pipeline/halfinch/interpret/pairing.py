"""Which number of a sentence belongs to which label: every way to pair neighbours, by how fluently it reads.

In: labels and numbers of one clause. Out: pairs, each with what else the number may belong to where that reads about
as well. "11 in rise, a 30 in inseam" and "rise 11 in, inseam 30 in" need no rule of their own: one way leaves nothing
over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from halfinch.interpret.clauses import WORD, Clause, digits
from halfinch.normalise.unit_words import load_words

LABEL_OVER, NUMBER_OVER = 0.5, 1.0
"""What it costs to leave a label, or a number, without the other."""
FIRST, TOLD, WORDS, COMMA, JOINED = 0.1, -0.3, 0.25, 1.2, 0.8
"""A number before its label; a colon between; each word between; a comma; an "and"."""
CLEARLY = 0.3
"""How much worse every other way must be."""
LISTED = " ,;/|·"
"""May stand between the figures of a list."""
MOST_WORDS, LONGEST_GAP = 3, 30
_TELLS = re.compile(r"[:=：＝は]")
_ENDS = re.compile(r"[;!?。；|]|\.\s")
_COMMA = re.compile(r"[,、，]")


@dataclass(frozen=True, slots=True)
class Link:
    """A label and a number by their places in the clause; `rival` is another label that the number may belong to."""

    label: int
    number: int
    rival: int | None = None


@dataclass(frozen=True, slots=True)
class _Item:
    start: int
    end: int
    kind: str
    index: int


def pair_up(clause: Clause) -> list[Link]:
    """The pairs of the most fluent way, in the order of their numbers."""
    items = [_Item(one.start, one.end, "label", i) for i, one in enumerate(clause.labels)]
    items += [_Item(digits(clause.text, one), one.end, "number", i) for i, one in enumerate(clause.numbers)]
    items.sort(key=lambda one: (one.start, one.end))
    costs = [_cost(clause.text, a, b) for a, b in pairwise(items)]
    for at, (before, last) in enumerate(pairwise(items)):
        if before.kind == last.kind == "number" and not clause.text[before.end : last.start].strip(LISTED):
            costs[at + 1 : at + 2] = [None] * len(costs[at + 1 : at + 2])  # "Waist 26 27 28 Hip": 28 is not the hip's
    worth, chosen = _best(items, costs)
    links = []
    for at in chosen:
        label, number = sorted(items[at : at + 2], key=lambda one: one.kind)
        without = _best(items, [None if index == at else cost for index, cost in enumerate(costs)])
        rival = None
        if without[0] - worth < CLEARLY:
            other = next((items[i : i + 2] for i in without[1] if number in items[i : i + 2]), [])
            rival = next((one.index for one in other if one.kind == "label"), None)
        links.append(Link(label.index, number.index, rival))
    return links


def _best(items: list[_Item], costs: list[float | None]) -> tuple[float, list[int]]:
    """The least that a way costs, and where its pairs begin."""
    over = {"label": LABEL_OVER, "number": NUMBER_OVER}
    ways: list[tuple[float, list[int]]] = [(0.0, [])]
    for end, item in enumerate(items, start=1):
        best = (ways[end - 1][0] + over[item.kind], ways[end - 1][1])
        cost = costs[end - 2] if end >= 2 else None
        if cost is not None and ways[end - 2][0] + cost < best[0]:
            best = (ways[end - 2][0] + cost, [*ways[end - 2][1], end - 2])
        ways.append(best)
    return ways[-1]


def _cost(text: str, first: _Item, then: _Item) -> float | None:
    """How badly two neighbours go together; None where they cannot."""
    if first.kind == then.kind:
        return None
    gap = load_words().about.sub("", text[first.end : then.start])
    words = len(WORD.findall(gap))
    if words > MOST_WORDS or len(gap) > LONGEST_GAP or _ENDS.search(gap) or any(char.isdigit() for char in gap):
        return None
    cost = WORDS * words + JOINED * (load_words().joins.search(gap) is not None)
    if first.kind == "label":
        return cost + TOLD * (_TELLS.search(gap) is not None) + COMMA * (_COMMA.search(gap) is not None)
    if gap.strip() == "(" and text[then.end : then.end + 1] == ")":
        return FIRST  # 43 in (outside leg)
    if _COMMA.search(gap) or _TELLS.search(gap) or "(" in gap or text[then.end :].lstrip(" )")[:1] in _TOLD_BY:
        return None
    return cost + FIRST


_TOLD_BY = tuple(":=：＝")
