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
_ENDS = re.compile(r"[;!?。；|]|(?<!\.)\.\s")
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
    upto, beyond = _best_before(items, costs), _best_after(items, costs)
    links = []
    for at in _chosen(upto):
        label, number = sorted(items[at : at + 2], key=lambda one: one.kind)
        rival = None
        if upto[at + 1].cost + beyond[at + 1].cost - upto[-1].cost < CLEARLY:  # the best way that parts these two
            rival = _partner(items, at, number, upto, beyond)
        links.append(Link(label.index, number.index, rival))
    return links


@dataclass(frozen=True, slots=True)
class _Way:
    """The least that the items on one side of a place cost, and whether the two next to it are a pair then."""

    cost: float = 0.0
    pairs: bool = False


_OVER = {"label": LABEL_OVER, "number": NUMBER_OVER}


def _best_before(items: list[_Item], costs: list[float | None]) -> list[_Way]:
    """For each number of items from the first on."""
    ways = [_Way()]
    for end, item in enumerate(items, start=1):
        alone, cost = ways[end - 1].cost + _OVER[item.kind], costs[end - 2] if end >= 2 else None
        pair = ways[end - 2].cost + cost if cost is not None else alone
        ways.append(_Way(pair, True) if pair < alone else _Way(alone))
    return ways


def _best_after(items: list[_Item], costs: list[float | None]) -> list[_Way]:
    """For each place from the first item on; of two ways alike the one that pairs earlier items, as above."""
    ways = [_Way()] * (len(items) + 1)
    for at in range(len(items) - 1, -1, -1):
        alone, cost = ways[at + 1].cost + _OVER[items[at].kind], costs[at] if at < len(costs) else None
        ways[at] = _Way(alone)
        if cost is not None and ways[at + 2].cost + cost <= alone:
            ways[at] = _Way(ways[at + 2].cost + cost, True)
    return ways


def _chosen(before: list[_Way]) -> list[int]:
    """Where the pairs of the best way begin."""
    found: list[int] = []
    end = len(before) - 1
    while end > 0:
        if before[end].pairs:
            found.append(end - 2)
        end -= 2 if before[end].pairs else 1
    return found[::-1]


def _partner(items: list[_Item], at: int, number: _Item, before: list[_Way], after: list[_Way]) -> int | None:
    """The label that a number gets in the best way that parts it from the one beside it; None where it gets none."""
    if number is items[at]:
        return items[at - 1].index if before[at + 1].pairs else None
    return items[at + 2].index if after[at + 1].pairs else None


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
