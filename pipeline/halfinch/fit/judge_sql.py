"""The plain functions of this room once more, as SQL over columns: what a whole catalogue is judged by.

Layers of SELECTs, each adding columns to the one below; a column that nobody asks for is never worked out. Inches,
shares; NULL is not known. Equal to `planning.make_plan` row by row: a property test holds the two together, so a change
of a formula is a change in both. Numbers of the body and of schemas/ come as parameters ($name), never as text.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import fields

from halfinch.fit.body import Band, Body
from halfinch.fit.kinds import SHIFTED
from halfinch.fit.leg import SAME
from halfinch.knowledge import Knowledge

STATES = ("fits", "hem", "near", "mended", "no", "not known", "-")
"""States as small numbers in the columns; "-" is a point that is not judged."""
FITS, HEM, NEAR, MENDED, NO, UNKNOWN, UNJUDGED = range(7)
DECIDING = ("inseam", "front_rise", "waist", "hip", "leg_opening")
ADVISING = ("back_rise", "thigh", "knee")
JUDGED = (*DECIDING, *ADVISING)
FARTHEST = 2**30 - 1
"""Millionths of an inch that a row may miss by in the key; all that miss by more are alike."""


def judged_sql(
    source: str, has: Collection[str], body: Body, knowledge: Knowledge, *, row: str, where: str, taped: bool
) -> str:
    """SELECT of every row of `source` (with columns `has`) that `where` holds for, beside its look and judgement.

    Reads the tables `kind_class` and `classes` (see kinds.Classes). Columns: `row` (the SQL that names a row),
    silhouette, wanted, estimated, cut, finished, opening_after, caution, POINT_state (a number of STATES) and
    POINT_miss, rank (place in the ranking of verdicts), distance, key (the smaller the better). `taped`: whether any
    class has figures moved by taped pairs.
    """
    told = _told(source, has, knowledge, row, where, taped)
    looked = f"SELECT t.*, c.* EXCLUDE (class) FROM ({told}) t JOIN classes c ON c.class = t.class_no"
    if taped:
        looked = f"SELECT * REPLACE ({', '.join(_moved())}) FROM ({looked})"
    leg = f"SELECT *, {_columns(_leg(body))} FROM ({looked})"
    finished = f"SELECT *, {_columns(_finished())} FROM ({leg})"
    misses = f"SELECT *, {_columns(_misses(body))} FROM ({finished})"
    states = f"SELECT *, {_columns(_states(body, knowledge))} FROM ({misses})"
    ranked = f"SELECT *, {_rank(knowledge)} AS rank, {_distance(knowledge)} AS distance FROM ({states})"
    return f"SELECT *, {KEY} AS key FROM ({ranked})"


def parameters(body: Body, knowledge: Knowledge) -> dict[str, float | None]:
    """Every number that judged_sql may ask for, by its name; used_by picks those that an SQL text has."""
    limit = knowledge.verdict.limit
    limits = {one.name: float(getattr(limit, one.name).value) for one in fields(limit)}
    named: dict[str, float | None] = {
        **limits,
        "inseam_usual": float(knowledge.points["inseam"].tolerance),
        "turn_up": body.taste.turn_up,
        "most_opening": body.taste.most_opening,
        **{f"body_{name}": body.measure(name) for name in MEASURES},
        "body_drop": body.crotch_drop or 0.0,
    }
    for name, band in (("front_rise", body.front_rise), ("back_rise", body.back_rise)):
        named |= {f"{name}_low": band.low if band else None, f"{name}_high": band.high if band else None}
    for place, lift in enumerate(_lifts(body)):
        named |= {f"lift_{place}": lift.middle, f"lift_{place}_half": lift.half}
    for place, row in enumerate(knowledge.silhouettes.silhouette.values()):
        named |= {f"opens_{place}_low": float(row.opening.low), f"opens_{place}_high": float(row.opening.high)}
        less = row.opening_less_knee
        named |= {f"less_{place}_low": float(less.low), f"less_{place}_high": float(less.high)}
    return named


READ = (
    *(f"{point}{end}" for point in SHIFTED if point not in ADVISING or point == "knee" for end in ("", "_to")),
    "inseam_minus", "inseam_plus", "knee_at",
    "waist_stretched", "hem_allowance", "estimated", "kind", "tie",
)  # fmt: skip
"""Columns of sizes that the verdict and the key can ask for; beside them the table `kinds` is all they need."""
MEASURES = ("inseam", "waist", "waist_height", "hip", "hip_height", "thigh", "knee", "front_crotch_arc")


def _columns(parts: Iterator[tuple[str, str]]) -> str:
    return ", ".join(f"{sql} AS {name}" for name, sql in parts)


# --- what the row says ---------------------------------------------------------------------------------------------


def _told(source: str, has: Collection[str], knowledge: Knowledge, row: str, where: str, taped: bool) -> str:
    def number(name: str) -> str:
        return f"CAST(r.{name} AS DOUBLE)" if name in has else "CAST(NULL AS DOUBLE)"

    def middle(point: str) -> str:
        if f"{point}_to" not in has:
            return number(point)
        return f"coalesce(({number(point)} + {number(f'{point}_to')}) / 2, {number(point)})"

    def spread(point: str) -> str:
        return f"coalesce(abs({number(f'{point}_to')} - {number(point)}) / 2, 0)"

    parts = {
        "row_no": row,
        **{point: middle(point) for point in SHIFTED},
        "inseam_spread": spread("inseam"), "knee_spread": spread("knee"),
        "inseam_minus": number("inseam_minus"), "inseam_plus": number("inseam_plus"),
        "knee_at": number("knee_at"), "stretched": number("waist_stretched"), "allowance": number("hem_allowance"),
        "estimated": "coalesce(r.estimated, '') <> ''" if "estimated" in has else "FALSE",
        "tie": "r.tie",
    }  # fmt: skip
    opening, knee = "(leg_opening + opening_moves)", "(knee + knee_moves)"
    if not taped:
        opening, knee = "leg_opening", "knee"
    rows = f"""SELECT {", ".join(f"{sql} AS {name}" for name, sql in parts.items())},
        k.class, k.guess, k.from_crotch, k.opening_moves, k.knee_moves
        FROM {source} r JOIN kind_class k ON k.kind = r.kind WHERE {where}"""
    fits = " + ".join(
        f"CASE WHEN {opening} BETWEEN $opens_{place}_low AND $opens_{place}_high"
        f" AND {opening} - {knee} BETWEEN $less_{place}_low AND $less_{place}_high THEN {1000 + place + 1} ELSE 0 END"
        for place in range(len(knowledge.silhouettes.silhouette))
    )
    guessed = f"SELECT *, CASE WHEN guess THEN {fits} ELSE 0 END AS told_by_figures FROM ({rows})"
    one = "CASE WHEN told_by_figures BETWEEN 1000 AND 1999 THEN told_by_figures - 1000 ELSE 0 END"
    return f"SELECT * EXCLUDE (class, guess, opening_moves, knee_moves), class + {one} AS class_no FROM ({guessed})"


def _moved() -> Iterator[str]:
    """Figures as taped pairs move them (as tape.apply_tape)."""
    for point in SHIFTED:
        yield f"{point} + {point}_shift AS {point}"
    for side in ("minus", "plus"):
        yield f"coalesce(inseam_taped, inseam_{side}) AS inseam_{side}"


# --- the leg -------------------------------------------------------------------------------------------------------


def _leg(body: Body) -> Iterator[tuple[str, str]]:
    yield "washed", "inseam * (1 - shrink)"
    yield "cut", "inseam * (1 - shrink) - target - 2 * $turn_up"
    yield "own_girth", _level(body)
    at = "CASE WHEN knee IS NULL THEN NULL ELSE knee_at END"
    depth = "coalesce(outseam - inseam, front_rise)"
    for side, sign in (("low", "-"), ("high", "+")):
        yield (
            f"knee_{side}_at",
            (
                f"CASE WHEN {at} IS NULL THEN line_{side} WHEN from_crotch THEN {at} "
                f"ELSE coalesce({at} - {depth} {sign} 0.5, line_{side}) END"
            ),
        )
    yield "knee_low", "CASE WHEN knee IS NULL THEN greatest(1.0, leg_opening - less_high) ELSE knee - knee_spread END"
    yield "knee_high", "CASE WHEN knee IS NULL THEN leg_opening - less_low ELSE knee + knee_spread END"


def _level(body: Body) -> str:
    """The body's girth where the band sits (as top.find_level)."""
    if body.waist is None:
        return "CAST(NULL AS DOUBLE)"
    if body.inseam is None or body.waist_height is None or body.hip_height is None or body.hip is None:
        return "CAST($body_waist AS DOUBLE)"
    per_rise = "$rise_height_share"
    if body.front_crotch_arc:
        per_rise = "($body_waist_height - $body_inseam) / $body_front_crotch_arc"
    floor = f"($body_inseam - $body_drop + front_rise * {per_rise})"
    part = f"least(1, greatest(0, ({floor} - $body_hip_height) / ($body_waist_height - $body_hip_height)))"
    return (
        f"CASE WHEN front_rise IS NULL OR {floor} >= $body_waist_height THEN $body_waist "
        f"ELSE $body_hip + ($body_waist - $body_hip) * {part} END"
    )


def _finished() -> Iterator[tuple[str, str]]:
    due = f"coalesce(abs(cut) > $as_bought + {SAME}, FALSE)"
    yield "due", due
    yield "finished", f"CASE WHEN {due} THEN target ELSE washed - 2 * $turn_up END"


def _opening() -> str:
    """Middle of the opening as worn; NULL where it is not known or the cut passes the knee (as leg.find_opening)."""
    ends = [
        f"CASE WHEN washed <= {line} THEN leg_opening "
        f"ELSE {girth} + (leg_opening - {girth}) * (finished - {line}) / (washed - {line}) END"
        for line in ("knee_low_at", "least(knee_high_at, finished)")
        for girth in ("knee_low", "knee_high")
    ]
    return (
        f"CASE WHEN leg_opening IS NULL OR finished IS NULL OR washed IS NULL THEN NULL "
        f"WHEN finished >= washed - {SAME} THEN leg_opening "
        f"WHEN finished < knee_low_at - {SAME} THEN NULL "
        f"ELSE (least({', '.join(ends)}) + greatest({', '.join(ends)})) / 2 END"
    )


def _caution(body: Body) -> str:
    """Whether the hem can be trodden on in any of the shoes (as leg.trip_caution)."""
    tolerance = "((coalesce(inseam_minus, $inseam_usual) + coalesce(inseam_plus, $inseam_usual)) / 2 + inseam_spread)"
    own = f"CASE WHEN due THEN $within_tailor ** 2 ELSE {tolerance} ** 2 + (inseam * shrink_half) ** 2 END"
    apart = "abs(pair_rise - front_rise)"
    rise = f"CASE WHEN {apart} > $pair_rise + {SAME} THEN ({apart} / 2) ** 2 ELSE 0 END"
    shoes = []
    for place, _ in enumerate(_lifts(body)):
        clearance = f"(reach + $lift_{place} - finished)"
        u = f"sqrt((steady + {own} + {rise} + $lift_{place}_half ** 2) / 3)"
        shoes.append(f"{clearance} < $trip_clearance - {SAME} OR {clearance} - $trip_times_u * {u} < -{SAME}")
    return f"coalesce({' OR '.join(shoes)}, FALSE)" if shoes else "FALSE"


def _lifts(body: Body) -> list[Band]:
    return [shoe.lift for shoe in body.shoes if shoe.lift is not None]


# --- point by point ------------------------------------------------------------------------------------------------


def _misses(body: Body) -> Iterator[tuple[str, str]]:
    yield "opening_after", _opening()
    yield "inseam_miss", "cut"
    for point, band in (("front_rise", body.front_rise), ("back_rise", body.back_rise)):
        yield f"{point}_miss", "CAST(NULL AS DOUBLE)" if band is None else _off_band(point)
    around = _around("waist", "own_girth")
    stretched = (
        "CASE WHEN waist IS NULL OR own_girth IS NULL OR $body_hip IS NULL THEN NULL "
        f"WHEN stretched < $body_hip - {SAME} THEN stretched - $body_hip "
        f"WHEN waist - own_girth > {SAME} THEN waist - own_girth ELSE 0 END"
    )
    yield "waist_miss", f"CASE WHEN stretched IS NULL THEN {around} ELSE {stretched} END"
    for point in ("hip", "thigh", "knee"):
        known = body.measure(point) is not None
        yield f"{point}_miss", _around(point, f"$body_{point}") if known else "CAST(NULL AS DOUBLE)"


def _off_band(point: str) -> str:
    low, high = f"{point} - ${point}_low", f"{point} - ${point}_high"
    return f"CASE WHEN {low} < -{SAME} THEN {low} WHEN {high} > {SAME} THEN {high} WHEN {point} IS NOT NULL THEN 0 END"


def _around(point: str, girth: str) -> str:
    """As top.go_round: with a stretch that is not known the answer may be open."""

    def miss(usable: str) -> str:
        short = f"({girth} + {point}_ease_low - {point} * (1 + {usable}))"
        over = f"({point} - {girth} - {point}_ease_high)"
        return f"CASE WHEN {short} > {SAME} THEN -{short} WHEN {over} > {SAME} THEN {over} ELSE 0 END"

    without, most = miss(f"{point}_use_low"), miss(f"{point}_use_high")
    return (
        f"CASE WHEN {point} IS NULL OR {girth} IS NULL THEN NULL WHEN NOT unsaid THEN {miss(f'{point}_use')} "
        f"WHEN {without} >= 0 THEN {without} WHEN {most} >= 0 THEN NULL ELSE {most} END"
    )


def _states(body: Body, knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    yield (
        "inseam_state",
        f"""CASE WHEN cut IS NULL THEN {UNKNOWN} WHEN abs(cut) <= $as_bought + {SAME} THEN {FITS}
        WHEN cut > 0 THEN {HEM}
        WHEN allowance IS NULL AND -cut <= $allowance_most - $let_down_kept + {SAME} THEN {UNKNOWN}
        WHEN allowance IS NULL THEN {NO}
        WHEN -cut <= greatest(0, allowance - $let_down_kept) + {SAME} THEN {HEM} ELSE {NO} END""",
    )
    yield "front_rise_state", _rate("front_rise_miss", "near_rise")
    yield "waist_state", _rate("waist_miss", "near_waist", "waist_miss > 0", "take_in_waist_most")
    yield "hip_state", _rate("hip_miss", "near_hip")
    over = "(opening_after - $most_opening)"
    unlimited = body.taste.most_opening is None
    missed = "CAST(NULL AS DOUBLE)" if unlimited else f"CASE WHEN {over} <= {SAME} THEN 0 ELSE {over} END"
    yield "leg_opening_miss", missed
    rated = _rate(missed, "near_opening", "TRUE", "narrow_leg_most")
    yield "leg_opening_state", str(UNJUDGED) if unlimited else rated
    decides = "FALSE" if unlimited or "leg_opening" not in knowledge.verdict.decisive else "opening_decides"
    yield "leg_opening_deciding", f"CASE WHEN {decides} THEN {rated} ELSE {UNJUDGED} END"
    near = {"back_rise": "near_rise", "thigh": "near_hip", "knee": "near_hip"}
    for point in ADVISING:
        asked = body.back_rise is not None if point == "back_rise" else body.measure(point) is not None
        judged = f"CASE WHEN {point} IS NULL THEN {UNJUDGED} ELSE {_rate(f'{point}_miss', near[point])} END"
        yield f"{point}_state", judged if asked else str(UNJUDGED)
    yield "caution", _caution(body)


def _rate(miss: str, near: str, mends: str = "", mend: str = "") -> str:
    """As verdict.rate_miss; `mends` is when one alteration of up to `mend` puts it right."""
    mended = f"WHEN {mends} AND abs({miss}) <= ${mend} + {SAME} THEN {MENDED} " if mends else ""
    return (
        f"CASE WHEN {miss} IS NULL THEN {UNKNOWN} WHEN abs({miss}) <= {SAME} THEN {FITS} "
        f"WHEN abs({miss}) <= ${near} + {SAME} THEN {NEAR} {mended}ELSE {NO} END"
    )


# --- all together --------------------------------------------------------------------------------------------------


def _deciding(knowledge: Knowledge) -> list[str]:
    """Columns of the states that decide; the opening's is UNJUDGED where it does not."""
    points = [f"{point}_state" for point in DECIDING[:-1] if point in knowledge.verdict.decisive]
    return [*points, "leg_opening_deciding"]


def _rank(knowledge: Knowledge) -> str:
    """Place in the ranking of the first verdict, in the order of verdict.toml, that holds (as verdict.give_verdict)."""
    states = _deciding(knowledge)

    def any_is(*wanted: int) -> str:
        return " OR ".join(f"{state} IN ({', '.join(map(str, wanted))})" for state in states)

    mended = " + ".join(f"({state} = {MENDED})::INT" for state in states)
    holds = {
        "no": f"{any_is(NO)} OR {mended} > 1",  # each point that can be mended has its own alteration
        "near miss": any_is(NEAR, MENDED),
        "not known": any_is(UNKNOWN),
        "fits as bought": f"NOT ({any_is(HEM, NEAR, MENDED, NO, UNKNOWN)}) AND NOT caution",
        "fits with a hem": "TRUE",
    }
    place = {verdict: at for at, verdict in enumerate(knowledge.verdict.ranking)}
    return f"CASE {' '.join(f'WHEN {holds[verdict]} THEN {place[verdict]}' for verdict in knowledge.verdict.order)} END"


def _distance(knowledge: Knowledge) -> str:
    """How far the decisive points miss in all, inches; a point that a hem puts right counts a tenth, one that is not
    known counts an inch."""
    parts = []
    for state in _deciding(knowledge):
        point = state.rsplit("_", 1)[0]
        share = 0.1 if point == "inseam" else 1.0
        parts.append(
            f"CASE {state} WHEN {UNKNOWN} THEN 1.0 WHEN {UNJUDGED} THEN 0.0 "
            f"ELSE coalesce(abs({point}_miss), 0) * {share} END"
        )
    return " + ".join(parts)


KEY = f"""(((rank::BIGINT * 2 + (NOT wanted)::BIGINT) * 2 + estimated::BIGINT) * {FARTHEST + 1}
    + least(round(distance * 1000000)::BIGINT, {FARTHEST})) * 268435456 + tie"""
"""Verdict; the wearer's silhouettes first; stated before estimated; how far the decisive points miss; then `tie`, so
that the order of the catalogue has no effect. Whole numbers, 63 bits."""
