"""Chances from rectangular terms (JCGM 100 4.3.7): exact sums, joint events that share terms, what is worth asking.

A term is one thing that is not known exactly: it lies anywhere within +/- `half` of the figure used. An event is "this
error lies between two limits"; its error is a sum of terms, each with a factor. Terms of the same name are the same
thing: a body's hip is off by the same amount at the hip and at the waistband, and events that share it are not
multiplied.

    sum of n rectangular terms, half widths a_i:
    P(S <= x) = 1 / (n! 2^n prod a_i) * sum over signs s of prod(s_i) * max(x + sum s_i a_i, 0)^n

up to six terms, in exact fractions, because in floating point the sum loses every digit where one term is much
narrower than another; beyond six the normal distribution of the same variance.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from itertools import product
from math import erf, factorial, inf, prod, sqrt
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

EXACT_TERMS = 6
NODES = {1: 64, 2: 32, 3: 14}
"""Points of Gauss-Legendre quadrature per shared term, by how many terms are shared."""
OWN_TERMS = 4
"""Terms of its own that an event keeps apart inside a quadrature; the narrowest beyond are joined by their variance."""


@dataclass(frozen=True, slots=True)
class Term:
    """One rectangular term: `half` is its half width. `ask`: who could make it narrower (body | merchant | '')."""

    name: str
    half: float
    ask: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """`low <= sum(factor * term) <= high`; factors by the term's name."""

    factors: Mapping[str, float]
    low: float = -inf
    high: float = inf


@dataclass(frozen=True, slots=True)
class Event:
    """One point's demand: all its limits together."""

    point: str
    limits: tuple[Limit, ...]


@dataclass(frozen=True, slots=True)
class Chance:
    """`joint`: all events together; `points`: each by itself; `most_doubt`: the term whose being known would take away
    most of the doubt (share `doubt_gone` of it), '' where nothing that can be asked matters."""

    joint: float
    points: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    most_doubt: str = ""
    ask: str = ""
    doubt_gone: float = 0.0


def combine_u(halves: Iterable[float]) -> float:
    """Combined standard uncertainty of rectangular terms: root of the sum of a^2 / 3."""
    return sqrt(sum(half * half for half in halves) / 3)


def chance_at_most(halves: Sequence[float], x: float) -> float:
    """P(sum of rectangular terms of these half widths <= x). Exact up to six terms, normal beyond."""
    kept = [abs(half) for half in halves if half]
    total = sum(kept)
    if not kept or abs(x) >= total:
        return 1.0 if x >= 0 else 0.0
    if len(kept) > EXACT_TERMS:
        return 0.5 * (1 + erf(x / combine_u(kept) / sqrt(2)))
    if x > 0:  # the smaller tail has fewer and smaller terms
        return 1 - chance_at_most(kept, -x)
    widths = [Fraction(half) for half in kept]
    at, count = Fraction(x), len(kept)
    powers = Fraction(0)
    for signs in product((1, -1), repeat=count):
        reach = at + sum(sign * width for sign, width in zip(signs, widths, strict=True))
        if reach > 0:
            powers += prod(signs) * reach**count
    return float(powers / (factorial(count) * 2**count * prod(widths)))


def chance_within(halves: Sequence[float], low: float, high: float) -> float:
    """P(low <= sum of rectangular terms <= high). A sum without any width is 0 exactly; limits count as inside."""
    return _chance_within(tuple(sorted(map(abs, halves))), low, high)


@lru_cache(maxsize=4096)
def _chance_within(halves: tuple[float, ...], low: float, high: float) -> float:
    """Kept for the next garment: figures and tolerances of many are alike."""
    if low > high:
        return 0.0
    if not any(halves):
        return 1.0 if low <= 0 <= high else 0.0
    below = 0.0 if low == -inf else chance_at_most(halves, low)
    upto = 1.0 if high == inf else chance_at_most(halves, high)
    return min(1.0, max(0.0, upto - below))


def joint_chance(events: Sequence[Event], terms: Mapping[str, Term], ask: bool = True) -> Chance:
    """All events together, and with `ask` each alone and which term to ask about. Raises KeyError for a term that is
    missing."""
    groups = _split_groups(events)
    parts = [_chance_together(group, terms) for group in groups]
    joint = prod(parts)
    if not ask:
        return Chance(joint)
    alone = {event.point: _chance_together([event], terms) for event in events}
    name, gone = _find_most_doubt(groups, parts, joint, terms)
    return Chance(joint, MappingProxyType(alone), name, terms[name].ask if name else "", gone)


def _split_groups(events: Sequence[Event]) -> list[list[Event]]:
    """Events that share no term, straight or through others, fall apart: their chances may be multiplied."""
    groups: list[tuple[set[str], list[Event]]] = []
    for event in events:
        names, members = _names(event), [event]
        rest = []
        for other_names, other_members in groups:
            if names & other_names:
                names, members = names | other_names, other_members + members
            else:
                rest.append((other_names, other_members))
        groups = [*rest, (names, members)]
    return [members for _, members in groups]


def _names(event: Event) -> set[str]:
    return {name for limit in event.limits for name, factor in limit.factors.items() if factor}


def _chance_together(events: Sequence[Event], terms: Mapping[str, Term]) -> float:
    share, given = _chance_given(events, terms, ())
    return share * float(given)


def _shared_names(events: Sequence[Event], terms: Mapping[str, Term], known: Sequence[str]) -> list[str]:
    """Terms that tie these events together, the strongest tie first; those of `known` are given and not among them.

    A tie is as strong as its second widest part in any two events.
    """
    parts: dict[str, list[float]] = {}
    for event in events:
        for name in _names(event):
            factor = max(abs(limit.factors.get(name, 0.0)) for limit in event.limits)
            parts.setdefault(name, []).append(factor * terms[name].half)
    ties = {name: sorted(widths)[-2] for name, widths in parts.items() if len(widths) > 1 and name not in known}
    return sorted((name for name, tie in ties.items() if tie > 0), key=lambda name: (-ties[name], name))


def _chance_given(events: Sequence[Event], terms: Mapping[str, Term], known: Sequence[str]) -> tuple[float, Any]:
    """A share and the chance of all events within it, one value a node of the `known` term where one is given.

    Given the shared terms the events are independent, and each is an exact sum of its own terms; the average over the
    shared ones is Gauss-Legendre quadrature. A limit on a shared term alone is a step, which quadrature would blur: it
    cuts that term's range instead, and `share` is what is left of the ranges. More than three shared terms: the
    narrowest are taken as each event's own.
    """
    import numpy as np

    shared = _shared_names(events, terms, known)[: 3 - len(known)]
    names = [*shared, *known]
    if not names:
        return 1.0, prod(_event_chance(event, terms) for event in events)
    events, ranges = _cut_ranges(events, {name: (-terms[name].half, terms[name].half) for name in names})
    share = prod(max(0.0, high - low) / (2 * terms[name].half) for name, (low, high) in ranges.items())
    _, weights = _nodes(NODES[len(names)])
    shaped = np.ones([len(weights)] * len(names))
    for event in events:
        shaped = shaped * _event_chances(event, terms, ranges)
    for _ in shared:
        shaped = np.tensordot(weights / 2, shaped, 1)
    return share, shaped


@lru_cache(maxsize=8)
def _nodes(count: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Nodes and weights of Gauss-Legendre quadrature on -1 to 1."""
    import numpy as np

    nodes, weights = np.polynomial.legendre.leggauss(count)
    return nodes, weights


def _cut_ranges(
    events: Sequence[Event], ranges: dict[str, tuple[float, float]]
) -> tuple[list[Event], dict[str, tuple[float, float]]]:
    """Limits on one of these terms alone become its range; the events without them."""
    kept = []
    for event in events:
        limits = []
        for limit in event.limits:
            named = [(name, factor) for name, factor in limit.factors.items() if factor]
            if len(named) != 1 or named[0][0] not in ranges:
                limits.append(limit)
                continue
            ((name, factor),) = named
            ends = sorted((limit.low / factor, limit.high / factor))
            low, high = ranges[name]
            ranges[name] = (min(max(low, ends[0]), high), max(min(high, ends[1]), low))
        kept.append(Event(event.point, tuple(limits)))
    return kept, {name: (low, max(low, high)) for name, (low, high) in ranges.items()}


def _event_chance(event: Event, terms: Mapping[str, Term]) -> float:
    """P(event): 1 - P(a limit is broken), limit by limit. Limits of one event never break together (a pair is too small
    or too big, not both), so what they take away adds up."""
    lost = 0.0
    for limit in event.limits:
        halves = [factor * terms[name].half for name, factor in limit.factors.items()]
        lost += 1 - chance_within(halves, limit.low, limit.high)
    return max(0.0, 1 - lost)


def _event_chances(event: Event, terms: Mapping[str, Term], ranges: Mapping[str, tuple[float, float]]) -> Any:
    """The same over the nodes of the terms that have a range here, each along an axis of its own; an axis of a term
    that the event does not have is one long."""
    import numpy as np

    total: Any = 0.0
    for limit in event.limits:
        along = tuple((limit.factors.get(name, 0.0), *ends) for name, ends in ranges.items())
        own = (abs(factor * terms[name].half) for name, factor in limit.factors.items() if name not in ranges)
        total = total + 1 - _within_many(tuple(sorted(half for half in own if half)), limit.low, limit.high, along)
    return np.clip(1 - total, 0.0, 1.0)


@lru_cache(maxsize=1024)
def _within_many(
    halves: tuple[float, ...], low: float, high: float, along: tuple[tuple[float, float, float], ...]
) -> NDArray[np.float64]:
    """Kept for the next question and the next garment. `along`: factor and range of each term that has an axis."""
    import numpy as np

    nodes, _ = _nodes(NODES[len(along)])
    shift: Any = np.zeros([1] * len(along))
    for place, (factor, least, most) in enumerate(along):
        if factor:
            axis = (least + most) / 2 + (most - least) / 2 * nodes
            shift = shift + factor * axis.reshape([-1 if at == place else 1 for at in range(len(along))])
    kept = _merge_narrow(list(halves))
    if not kept:
        return np.asarray((low - shift <= 0) & (high - shift >= 0), dtype=float)
    upto = 1.0 if high == inf else chance_at_most_many(kept, high - shift)
    below = 0.0 if low == -inf else chance_at_most_many(kept, low - shift)
    return np.asarray(np.clip(upto - below, 0.0, 1.0))


def _merge_narrow(halves: list[float]) -> list[float]:
    """Join a term that is far narrower than the widest with the next wider one, keeping the variance: what floating
    point cannot tell apart is off by the product of two small squares and no more."""
    kept = sorted(halves)
    while len(kept) > OWN_TERMS or (len(kept) > 1 and kept[0] < 0.02 * kept[-1]):
        kept = sorted([sqrt(kept[0] ** 2 + kept[1] ** 2), *kept[2:]])
    return kept


def chance_at_most_many(halves: Sequence[float], x: Any) -> NDArray[np.float64]:
    """chance_at_most for an array of x, in floating point (for quadrature and whole catalogues)."""
    import numpy as np

    at = np.asarray(x, dtype=float)
    total, count = sum(halves), len(halves)
    if count > EXACT_TERMS:
        raise ValueError(f"at most {EXACT_TERMS} terms in floating point, {count} given")
    upper = at > 0
    below = np.where(upper, -at, at)  # the smaller tail has fewer and smaller terms
    inside = below > -total
    low = below[inside]
    powers = np.zeros_like(low)
    most = low.max(initial=-inf)
    for signs in product((1, -1), repeat=count):
        shift = sum(sign * half for sign, half in zip(signs, halves, strict=True))
        if most + shift <= 0:
            continue
        reach = np.maximum(low + shift, 0.0)
        power = reach
        for _ in range(count - 1):  # multiplying is many times faster than `**` on arrays
            power = power * reach
        powers += prod(signs) * power
    tail = np.zeros_like(below)
    tail[inside] = powers / (factorial(count) * 2**count * prod(halves))
    return np.asarray(np.clip(np.where(upper, 1 - tail, tail), 0.0, 1.0))


def _find_most_doubt(
    groups: Sequence[Sequence[Event]], parts: Sequence[float], joint: float, terms: Mapping[str, Term]
) -> tuple[str, float]:
    """The askable term whose being known takes away most of the doubt.

    Doubt is p (1 - p). Once a term is known the chance becomes p(t); by the law of total variance the doubt that goes
    is the variance of p(t) over the term.
    """

    doubt = joint * (1 - joint)
    best, gone = "", 0.0
    if doubt <= 1e-9:
        return best, gone
    for group, part in zip(groups, parts, strict=True):
        others = joint / part if part else 0.0
        for name in sorted({name for event in group for name in _names(event)}):
            if not terms[name].ask or not terms[name].half:
                continue
            inside, given = _chance_given(group, terms, (name,))
            _, weights = _nodes(len(given))
            mean, square = (inside * float(power @ (weights / 2)) for power in (given, given**2))
            share = others**2 * (square - mean**2) / doubt
            if share > gone + 1e-9:
                best, gone = name, share
    return (best, min(1.0, gone)) if gone > 0.01 else ("", 0.0)
