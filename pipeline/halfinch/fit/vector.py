"""A whole catalogue against one body at once: the same formulas as the plain functions, on columns.

In: the frame of `sizes` (see garment.size_from_row for its columns). Out: one row a garment size with verdict, states
and misses, in the order of the input. NaN is not known. Equal to `planning.make_plan` row by row; a property test
holds the two together, so a change of a formula is a change in both.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from halfinch.fit.body import Band, Body, Shoe
from halfinch.fit.columns import Column, Flags, middle_of, number_of, spread_of, tolerance_of, words_of
from halfinch.fit.leg import SAME, Target, body_reach, choose_pair, find_target
from halfinch.fit.look import AROUND, Look, find_look
from halfinch.fit.planning import choose_shoe
from halfinch.fit.silhouette import name_silhouette
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

STATES = ("fits", "hem", "near", "mended", "no", "not known", "-")
"""States as small numbers in the columns; "-" is a point that is not judged."""
FITS, HEM, NEAR, MENDED, NO, UNKNOWN, UNJUDGED = range(7)


@dataclass(frozen=True, slots=True)
class Looks:
    """The looks of a catalogue (few) and which one each row has."""

    each: tuple[Look, ...]
    of_row: NDArray[np.intp]

    def column(self, pick: Callable[[Look], float | None]) -> Column:
        """One number of each row's look."""
        values = [pick(look) for look in self.each]
        return np.array([np.nan if value is None else value for value in values], dtype=float)[self.of_row]


def rank_sizes(frame: pd.DataFrame, body: Body, knowledge: Knowledge, shoe: str = "") -> pd.DataFrame:
    """Verdict and figures of every row, same index. Columns: verdict, rank (0 is best), wanted (silhouette in the
    wearer's taste), silhouette, cut, finished, opening_after, caution, and per point `POINT_state`, `POINT_miss`."""
    import pandas as pd

    aimed = choose_shoe(body, shoe)
    looks, silhouettes = find_looks(frame, body, knowledge)
    targets = [find_target(body, aimed, look.clearance, look.look, None, knowledge) for look in looks.each]
    leg = _leg(frame, body, knowledge, looks, targets, aimed)
    states: dict[str, NDArray[np.int64]] = {}
    misses: dict[str, Column] = {}
    states["inseam"], misses["inseam"] = leg.state, leg.cut
    near_rise = float(knowledge.verdict.limit.near_rise.value)
    rise = middle_of(frame, "front_rise")
    states["front_rise"], misses["front_rise"] = _rate_rise(rise, body.front_rise, near_rise)
    states["waist"], misses["waist"] = _rate_waist(frame, body, knowledge, looks, rise)
    near_hip = float(knowledge.verdict.limit.near_hip.value)
    states["hip"], misses["hip"] = _rate_girth(frame, "hip", body.hip, looks, near_hip)
    states["leg_opening"], misses["leg_opening"] = _rate_opening(frame, leg, body, knowledge)
    decides = {point: np.full(len(frame), point in knowledge.verdict.decisive) for point in states}
    decides["leg_opening"] &= looks.column(lambda look: float(look.opening_decides)) == 1
    verdicts = _verdicts(states, decides, leg.caution, knowledge)
    ranks = {verdict: place for place, verdict in enumerate(knowledge.verdict.ranking)}
    wanted = set(body.taste.silhouettes)
    columns: dict[str, Any] = {
        "verdict": verdicts,
        "rank": [ranks[verdict] for verdict in verdicts],
        "wanted": [not wanted or name in wanted for name in silhouettes],
        "silhouette": silhouettes,
        "cut": leg.cut,
        "finished": leg.finished,
        "opening_after": leg.opening_middle,
        "caution": leg.caution,
        "estimated": [bool(points) for points in words_of(frame, "estimated")],
        "distance": _distance(states, misses, decides),
    }
    for point, state in states.items():
        columns[f"{point}_state"] = np.array(STATES, dtype=object)[state]
        columns[f"{point}_miss"] = misses[point]
    return pd.DataFrame(columns, index=frame.index)


def best_rows(ranked: pd.DataFrame, count: int) -> pd.Index[Any]:
    """Index of the `count` best rows: verdict, taste, stated before estimated, how far the decisive points miss."""
    keys = ranked.assign(unwanted=~ranked["wanted"].astype(bool))
    return keys.sort_values(["rank", "unwanted", "estimated", "distance"], kind="stable").index[:count]


def find_looks(frame: pd.DataFrame, body: Body, knowledge: Knowledge) -> tuple[Looks, list[str]]:
    """Each row's look, worked out once for each different set of words; and each row's silhouette."""
    import pandas as pd

    printed = words_of(frame, "silhouette")
    names = {word: name_silhouette(word, knowledge) if word else "" for word in set(printed)}
    guessed = _infer(middle_of(frame, "leg_opening"), middle_of(frame, "knee"), knowledge)
    silhouettes = [names[word] or guess for word, guess in zip(printed, guessed, strict=True)]
    inferred = [not names[word] and bool(guess) for word, guess in zip(printed, guessed, strict=True)]
    stretch = [None if np.isnan(value) else float(value) for value in number_of(frame, "stretch")]
    keys = list(zip(silhouettes, inferred, words_of(frame, "fabric"), stretch, words_of(frame, "state"), strict=True))
    codes, different = pd.factorize(pd.Series(keys, dtype=object))
    each = tuple(find_look(name, told, fabric, give, state, body, knowledge)
                 for name, told, fabric, give, state in different)  # fmt: skip
    return Looks(each, codes), silhouettes


def _infer(opening: Column, knee: Column, knowledge: Knowledge) -> list[str]:
    rows = knowledge.silhouettes.silhouette
    names = np.array([*rows, ""], dtype=object)
    fitting = [
        (opening >= float(row.opening.low)) & (opening <= float(row.opening.high))
        & (opening - knee >= float(row.opening_less_knee.low)) & (opening - knee <= float(row.opening_less_knee.high))
        for row in rows.values()
    ]  # fmt: skip
    held = np.array(fitting).reshape(len(rows), len(opening))
    picked = np.where(held.sum(axis=0) == 1, held.argmax(axis=0) if len(opening) else 0, len(rows))
    return [str(name) for name in names[picked]]


# --- the leg -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class LegColumns:
    cut: Column
    finished: Column
    opening_middle: Column
    caution: Flags
    state: NDArray[np.int64]


def _leg(
    frame: pd.DataFrame, body: Body, knowledge: Knowledge, looks: Looks, targets: Sequence[Target | None],
    aimed: Shoe | None,
) -> LegColumns:  # fmt: skip
    limit = knowledge.verdict.limit
    printed = middle_of(frame, "inseam")
    shrink = looks.column(lambda look: look.shrinkage.middle)
    inseam = printed * (1 - shrink)
    shrinks_by = printed * looks.column(lambda look: look.shrinkage.half)
    target = _of_target(looks, targets, lambda each: each.inches)
    turn_up = body.taste.turn_up
    cut = inseam - target - 2 * turn_up
    due = np.abs(cut) > float(limit.as_bought.value) + SAME
    finished = np.where(due, target, inseam - (2 * turn_up if turn_up else 0.0))
    own = np.where(due, float(limit.within_tailor.value), 0.0)
    tolerance = tolerance_of(frame, "inseam", float(knowledge.points["inseam"].tolerance))
    own_square = np.where(due, own**2, tolerance**2 + shrinks_by**2)
    caution = _cautions(frame, body, knowledge, looks, targets, finished, own_square, aimed)
    state = _rate_cut(cut, np.isnan(printed), number_of(frame, "hem_allowance"), knowledge)
    return LegColumns(cut, finished, _opening(frame, knowledge, looks, inseam, finished), caution, state)


def _cautions(
    frame: pd.DataFrame, body: Body, knowledge: Knowledge, looks: Looks, targets: Sequence[Target | None],
    finished: Column, own_square: Column, aimed: Shoe | None,
) -> Flags:  # fmt: skip
    """Whether the hem can be trodden on in any of the shoes."""
    limit = knowledge.verdict.limit
    base, base_terms, _ = body_reach(body, knowledge)

    def based(target: Target | None) -> bool:
        return target is not None and bool(target.pair) and target.reach is not None

    def reach_of(target: Target | None) -> float | None:
        return target.reach if target is not None and target.reach is not None else base

    def steady_of(target: Target | None) -> float:
        terms = target.terms if target is not None and based(target) else base_terms
        return sum(term.half**2 for term in terms if not term.name.startswith(("lift of", "clearance")))

    reach = _pick(looks, [reach_of(target) for target in targets])
    square = _pick(looks, [steady_of(target) for target in targets]) + own_square
    square = square + _rise_square(frame, body, knowledge, looks, targets, aimed)
    caution = np.zeros(len(frame), dtype=bool)
    for each in body.shoes:
        if each.lift is None:
            continue
        clearance = reach + each.lift.middle - finished
        u = np.sqrt((square + each.lift.half**2) / 3)
        low = clearance < float(limit.trip_clearance.value) - SAME
        unsure = clearance - float(limit.trip_times_u.value) * u < -SAME
        caution |= low | unsure
    return caution


def _rise_square(
    frame: pd.DataFrame, body: Body, knowledge: Knowledge, looks: Looks, targets: Sequence[Target | None],
    aimed: Shoe | None,
) -> Column:  # fmt: skip
    """Square of the term for a rise unlike the favourite pair's, where the target is a pair's."""
    own = []
    for look, target in zip(looks.each, targets, strict=True):
        pair = choose_pair(body, look.look, aimed, look.clearance, knowledge)
        tied = target is not None and bool(target.pair) and target.reach is not None
        own.append(pair.points.get("front_rise") if pair is not None and tied else None)
    apart = np.abs(_pick(looks, own) - middle_of(frame, "front_rise"))
    return np.where(apart > float(knowledge.verdict.limit.pair_rise.value) + SAME, (apart / 2) ** 2, 0.0)


def _opening(frame: pd.DataFrame, knowledge: Knowledge, looks: Looks, inseam: Column, finished: Column) -> Column:
    """Middle of the opening as worn; NaN where it is not known or the cut passes the knee."""
    opening = middle_of(frame, "leg_opening")
    knee, spread = middle_of(frame, "knee"), spread_of(frame, "knee")
    less_low = looks.column(lambda look: look.opening_less_knee.low)
    less_high = looks.column(lambda look: look.opening_less_knee.high)
    knee_low = np.where(np.isnan(knee), np.maximum(1.0, opening - less_high), knee - spread)
    knee_high = np.where(np.isnan(knee), opening - less_low, knee + spread)
    line_low, line_high = _knee_lines(frame, knowledge)
    reached = finished >= line_low - SAME
    line_high = np.minimum(line_high, finished)
    low, high = np.full(len(opening), np.inf), np.full(len(opening), -np.inf)
    with np.errstate(divide="ignore", invalid="ignore"):  # rows without figures give inf and nan, masked below
        for line in (line_low, line_high):
            part = (finished - line) / (inseam - line)
            for girth in (knee_low, knee_high):
                at = np.where((finished >= inseam) | (inseam <= line), opening, girth + (opening - girth) * part)
                at = np.where(finished < line - SAME, np.nan, at)
                low, high = np.fmin(low, at), np.fmax(high, at)
        middle = np.where(np.isnan(finished) | ~reached, np.nan, (low + high) / 2)
    return np.where(finished >= inseam - SAME, opening, middle)


def _knee_lines(frame: pd.DataFrame, knowledge: Knowledge) -> tuple[Column, Column]:
    rows = knowledge.lengths.length
    words = [word if word in rows else "regular" for word in words_of(frame, "length")]
    usual = np.array([float(rows[word].knee_at) for word in words])
    within = np.array([float(rows[word].knee_at_within) for word in words])
    own, own_within = number_of(frame, "merchant_knee"), float(knowledge.lengths.merchant_within)
    within = np.where(np.isnan(own), within, own_within)
    usual = np.where(np.isnan(own), usual, own)
    low, high = usual - within, usual + within
    at = np.where(np.isnan(middle_of(frame, "knee")), np.nan, number_of(frame, "knee_at"))
    from_crotch = np.isin(np.array(words_of(frame, "knee_at_from"), dtype=object), ["crotch", ""])
    depth = middle_of(frame, "outseam") - middle_of(frame, "inseam")
    depth = np.where(np.isnan(depth), middle_of(frame, "front_rise"), depth)
    for known, middle, half in ((from_crotch, at, 0.0), (~from_crotch, at - depth, 0.5)):
        known = known & ~np.isnan(middle)
        low, high = np.where(known, middle - half, low), np.where(known, middle + half, high)
    return low, high


def _rate_cut(cut: Column, missing: Flags, allowance: Column, knowledge: Knowledge) -> NDArray[np.int64]:
    limit = knowledge.verdict.limit
    kept = float(limit.let_down_kept.value)
    short = -cut
    reach = np.where(np.isnan(allowance), np.nan, np.maximum(0.0, allowance - kept))
    state = np.select(
        [
            missing | np.isnan(cut),
            np.abs(cut) <= float(limit.as_bought.value) + SAME,
            cut > 0,
            np.isnan(reach) & (short <= float(limit.allowance_most.value) - kept + SAME),
            np.isnan(reach),
            short <= reach + SAME,
        ],
        [UNKNOWN, FITS, HEM, UNKNOWN, NO, HEM],
        NO,
    )
    return np.asarray(state, dtype=np.int64)


# --- the top -------------------------------------------------------------------------------------------------------


def _rate(miss: Column, near: float, mend: float | Column = 0.0) -> NDArray[np.int64]:
    size = np.abs(miss)
    conditions = [np.isnan(miss), size <= SAME, size <= near + SAME, size <= mend + SAME]
    return np.asarray(np.select(conditions, [UNKNOWN, FITS, NEAR, MENDED], NO), dtype=np.int64)


def _rate_rise(rise: Column, band: Band | None, near: float) -> tuple[NDArray[np.int64], Column]:
    if band is None:
        return np.full(len(rise), UNKNOWN), np.full(len(rise), np.nan)
    miss = np.where(rise < band.low, rise - band.low, np.maximum(rise - band.high, 0.0))
    return _rate(miss, near), np.where(np.abs(miss) <= SAME, 0.0, miss)


def _level(rise: Column, body: Body, knowledge: Knowledge) -> Column:
    """The body's girth where the band sits; NaN where the waist is not known."""
    if body.waist is None:
        return np.full(len(rise), np.nan)
    girth = np.full(len(rise), body.waist)
    if body.inseam is None or body.waist_height is None or body.hip_height is None or body.hip is None:
        return girth
    if body.front_crotch_arc:
        above = rise * (body.waist_height - body.inseam) / body.front_crotch_arc
    else:
        above = rise * float(knowledge.verdict.limit.rise_height_share.value)
    floor = body.inseam - (body.crotch_drop or 0.0) + above
    part = np.clip((floor - body.hip_height) / (body.waist_height - body.hip_height), 0.0, 1.0)
    between = body.hip + (body.waist - body.hip) * part
    return np.where(np.isnan(floor) | (floor >= body.waist_height), girth, between)


def _rate_waist(
    frame: pd.DataFrame, body: Body, knowledge: Knowledge, looks: Looks, rise: Column
) -> tuple[NDArray[np.int64], Column]:
    limit = knowledge.verdict.limit
    girth, waist = _level(rise, body, knowledge), middle_of(frame, "waist")
    mend = float(limit.take_in_waist_most.value)
    state, miss = _rate_around(waist, girth, "waist", looks, float(limit.near_waist.value), mend)
    stretched = number_of(frame, "waist_stretched")
    if np.isnan(stretched).all():
        return state, miss
    hip = np.nan if body.hip is None else body.hip
    over = np.where(waist - girth > SAME, np.maximum(0.0, waist - girth), 0.0)
    elastic = np.where(stretched < hip - SAME, stretched - hip, over)
    elastic = np.where(np.isnan(waist) | np.isnan(girth) | np.isnan(hip), np.nan, elastic)
    mends = np.where(elastic > 0, mend, 0.0)
    is_elastic = ~np.isnan(stretched)
    rated = _rate(elastic, float(limit.near_waist.value), mends)
    return np.where(is_elastic, rated, state), np.where(is_elastic, elastic, miss)


def _rate_girth(
    frame: pd.DataFrame, point: str, girth: float | None, looks: Looks, near: float
) -> tuple[NDArray[np.int64], Column]:
    body = np.full(len(frame), np.nan if girth is None else girth)
    return _rate_around(middle_of(frame, point), body, point, looks, near, 0.0)


def _rate_around(
    garment: Column, body: Column, point: str, looks: Looks, near: float, mend: float
) -> tuple[NDArray[np.int64], Column]:
    assert point in AROUND
    least, most = (looks.column(lambda look: look.ease[point].low), looks.column(lambda look: look.ease[point].high))
    unsaid = looks.column(lambda look: float(look.give.known == "unsaid")) == 1

    def miss_with(usable: Column) -> Column:
        short = body + least - garment * (1 + usable)
        over = garment - body - most
        return np.where(short > SAME, -short, np.where(over > SAME, over, np.where(np.isnan(short), np.nan, 0.0)))

    at_middle = miss_with(looks.column(lambda look: look.usable[point].middle))
    without = miss_with(looks.column(lambda look: look.usable[point].low))
    with_most = miss_with(looks.column(lambda look: look.usable[point].high))
    open_question = unsaid & (without < 0) & (with_most >= 0)
    unsettled = np.where(open_question, np.nan, np.where(without >= 0, without, with_most))
    miss = np.where(unsaid, unsettled, at_middle)
    return _rate(miss, near, np.where(miss > 0, mend, 0.0)), miss


def _rate_opening(
    frame: pd.DataFrame, leg: LegColumns, body: Body, knowledge: Knowledge
) -> tuple[NDArray[np.int64], Column]:
    count = len(frame)
    if body.taste.most_opening is None:
        return np.full(count, UNJUDGED), np.full(count, np.nan)
    limit = knowledge.verdict.limit
    miss = leg.opening_middle - body.taste.most_opening
    miss = np.where(miss <= SAME, np.where(np.isnan(miss), np.nan, 0.0), miss)
    return _rate(miss, float(limit.near_opening.value), float(limit.narrow_leg_most.value)), miss


# --- all together --------------------------------------------------------------------------------------------------


def _verdicts(
    states: dict[str, NDArray[np.int64]], decides: dict[str, Flags], caution: Flags, knowledge: Knowledge
) -> list[str]:
    def any_is(*wanted: int) -> Flags:
        found = np.zeros(len(caution), dtype=bool)
        for point, state in states.items():
            found |= decides[point] & np.isin(state, wanted)
        return found

    mended = sum((decides[point] & (state == MENDED)).astype(int) for point, state in states.items())
    holds = {
        "no": any_is(NO) | (np.asarray(mended) > 1),  # each point that can be mended has its own alteration
        "near miss": any_is(NEAR, MENDED),
        "not known": any_is(UNKNOWN),
        "fits as bought": ~any_is(HEM, NEAR, MENDED, NO, UNKNOWN) & ~caution,
        "fits with a hem": np.ones(len(caution), dtype=bool),
    }
    order = knowledge.verdict.order
    first = np.select([holds[verdict] for verdict in order], list(range(len(order))), 0)
    return [order[place] for place in first]


def _distance(states: dict[str, NDArray[np.int64]], misses: dict[str, Column], decides: dict[str, Flags]) -> Column:
    """How far the decisive points miss in all, inches; a point that a hem puts right counts a tenth, one that is not
    known counts an inch."""
    total = np.zeros(len(next(iter(states.values()))))
    for point, state in states.items():
        off = np.abs(np.nan_to_num(misses[point]))
        part = np.where(state == UNKNOWN, 1.0, off * (0.1 if point == "inseam" else 1.0))
        total += np.where(decides[point] & (state != UNJUDGED), part, 0.0)
    return total


def _pick(looks: Looks, values: Sequence[float | None]) -> Column:
    return np.array([np.nan if value is None else value for value in values], dtype=float)[looks.of_row]


def _of_target(looks: Looks, targets: Sequence[Target | None], pick: Callable[[Target], float]) -> Column:
    return _pick(looks, [None if target is None else pick(target) for target in targets])
