"""The leg: where the hem should end, what to take up, and what that does to opening, flare and knee.

Pure functions on inches. Along the leg T is the distance below the garment's crotch seam: k the knee line, L the hem.
Signs: positive is too long. "common practice" and sources of the limits stand in schemas/.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import sqrt

from halfinch.fit.body import Band, Body, Pair, Shoe
from halfinch.fit.chance import Term, combine_u
from halfinch.fit.garment import GarmentSize
from halfinch.knowledge import Knowledge

SAME = 2e-6
"""Two lengths nearer than this are equal: the catalogue's inches have six decimals, and cm must answer as inches do."""


@dataclass(frozen=True, slots=True)
class Target:
    """The finished inseam that is wanted. `terms`: what it is unsure by; `reach`: floor to crotch seam, barefoot."""

    inches: float
    clearance: Band | None
    terms: tuple[Term, ...] = ()
    reach: float | None = None
    pair: str = ""
    notes: tuple[str, ...] = ()
    asked: bool = False
    """Given as such, not worked out."""


@dataclass(frozen=True, slots=True)
class Opening:
    """Opening before and after a hem. `after` is a band: a point when everything is measured."""

    before: float
    after: Band | None
    """None: the cut passes the knee wherever it lies."""
    estimate: bool = False
    past_knee: str = "no"
    """no | part (of the range of k) | yes"""
    share_left: Band | None = None
    """Share of the flare that is left ("at least" on curved flares); None where the leg does not open."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Hang:
    """How one hem hangs in one pair of shoes ('' is barefoot)."""

    shoe: str
    clearance: float | None
    u: float = 0.0
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Shaft:
    """A boot's shaft under the leg."""

    shoe: str
    at: float
    leg: Band | None
    needs: float
    fits: bool | None = field(default=None)


def target_inseam(body_inseam: float, lift: float, clearance: float, crotch_drop: float = 0.0) -> float:
    """`body inseam - crotch drop + lift - clearance`, inches."""
    return body_inseam - crotch_drop + lift - clearance


def target_from_pair(
    pair_inseam: float, lift: float, lift_worn: float, clearance_worn: float, clearance_wanted: float
) -> float:
    """`its inseam + (lift of these shoes - lift worn with it) + (its clearance as worn - clearance wanted)`."""
    return pair_inseam + (lift - lift_worn) + (clearance_worn - clearance_wanted)


def cut_length(inseam: float, target: float, turn_up: float = 0.0) -> float:
    """Positive: so much to take up; negative: so much too short. A turn-up of depth d takes 2 d more cloth."""
    return inseam - target - 2 * turn_up


def let_down_reach(allowance: float, kept: float) -> float:
    """How far a hem can be let down: the allowance less what has to stay turned under; never below 0."""
    return max(0.0, allowance - kept)


def opening_at(knee: float, opening: float, knee_at: float, inseam: float, at: float) -> float | None:
    """Girth of a straight leg at `at` below the crotch; None above the knee line. Below the old hem (let down) the
    opening of the old hem."""
    if at < knee_at - SAME:
        return None
    if at >= inseam or inseam <= knee_at:
        return opening
    return knee + (opening - knee) * (at - knee_at) / (inseam - knee_at)


def flare_left(knee_at: float, inseam: float, at: float) -> float:
    """Share of the flare (opening less knee) that is left when the leg ends at `at`: (T - k)/(L - k), 0 to 1."""
    if inseam <= knee_at:
        return 1.0 if at >= inseam else 0.0
    return min(1.0, max(0.0, (at - knee_at) / (inseam - knee_at)))


def find_opening(
    opening: float, knee: Band, knee_at: Band, inseam: float, at: float, estimate: bool = False
) -> Opening:
    """Opening of the leg ended at `at`, over everything knee girth and knee line may be.

    The girth is monotone in k and in the knee girth, so the ends of the ranges give the range of the answer.
    """
    if at >= inseam - SAME:
        notes = ("let down: the opening is taken as that of the old hem",) if at > inseam + SAME else ()
        share = Band(1.0, 1.0) if opening > knee.high else None
        return Opening(opening, Band(opening, opening), share_left=share, notes=notes)
    reached = [k for k in (knee_at.low, knee_at.high) if at >= k - SAME]
    if not reached:
        return Opening(opening, None, estimate, "yes", notes=("the cut passes the knee: it has no opening to tell",))
    lines = Band(knee_at.low, min(knee_at.high, at))
    girths = [
        girth
        for k in (lines.low, lines.high)
        for kn in (knee.low, knee.high)
        if (girth := opening_at(kn, opening, k, inseam, at)) is not None
    ]
    part = "part" if len(reached) == 1 else "no"
    notes = ("for part of where the knee may lie the cut passes it",) if part == "part" else ()
    share = None
    if opening > knee.high:
        share = Band(flare_left(lines.high, inseam, at), flare_left(lines.low, inseam, at))
    return Opening(opening, Band(min(girths), max(girths)), estimate, part, share, notes)


def knee_line(garment: GarmentSize, knowledge: Knowledge, merchant: float | None = None) -> tuple[Band, bool, str]:
    """Where the garment's knee lies below the crotch: band, whether it is an estimate, and how it is known.

    `merchant`: the merchant's usual knee line, where one is known and the sheet prints none.
    """
    knee = garment.points.get("knee")
    if knee is not None and knee.at is not None and knee.at_from in ("crotch", ""):
        return Band(knee.at, knee.at), False, "printed"
    if knee is not None and knee.at is not None:
        depth = _depth_of_crotch(garment)
        if depth is not None:
            at = knee.at - depth
            return Band(at - 0.5, at + 0.5), True, "printed from the top edge, less the rise"
    if merchant is not None:
        within = float(knowledge.lengths.merchant_within)
        return Band(merchant - within, merchant + within), True, "the merchant's usual knee line"
    row = knowledge.lengths.length.get(garment.length, knowledge.lengths.length["regular"])
    usual, within = float(row.knee_at), float(row.knee_at_within)
    return (
        Band(usual - within, usual + within),
        True,
        f"usual for {row.name if garment.length else 'a length not said'}",
    )


def _depth_of_crotch(garment: GarmentSize) -> float | None:
    """Top edge to crotch, measured down the side: outseam less inseam, else the front rise."""
    outseam, inseam = garment.inches("outseam"), garment.inches("inseam")
    if outseam is not None and inseam is not None:
        return outseam - inseam
    return garment.inches("front_rise")


def knee_gap(reach: float, knee_at: float, knee_height: float) -> float:
    """Garment's knee above (+) or below (-) the wearer's: (body inseam - drop - k) - knee height; shoes cancel."""
    return reach - knee_at - knee_height


def clearance_in(reach: float, lift: float, inseam: float) -> float:
    """Floor to hem of a finished inseam, standing on `lift`: 0 is barefoot."""
    return reach + lift - inseam


def trip_caution(clearance: float, u: float, least: float, times_u: float) -> str:
    """'' or why this hem can be trodden on: below `least`, or within `times_u` standard uncertainties of the floor."""
    if clearance < least - SAME:
        return "nearer to the floor than the least clearance: it can be trodden on, on stairs most of all"
    if clearance - times_u * u < -SAME:
        return "so unsure that it may touch the floor: it can be trodden on, on stairs most of all"
    return ""


def safe_inseam(reach: float, lifts: Sequence[float], least: float) -> float:
    """The longest finished inseam with `least` clearance in all shoes."""
    return reach + min(lifts) - least


def shaft_top_at(reach: float, lift: float, shaft_height: float) -> float:
    """How far below the crotch seam a boot's shaft ends: `body inseam - drop + lift - shaft height`."""
    return reach + lift - shaft_height


def find_shaft(
    shoe: Shoe, reach: float, leg: tuple[float, Band, Band, float] | None, ease: float, hem_at: float
) -> Shaft | None:
    """Whether the leg passes over the boot's shaft. `leg` is (opening, knee girth, knee line, inseam)."""
    if shoe.shaft_height is None or shoe.shaft_girth is None or shoe.lift is None:
        return None
    at, needs = shaft_top_at(reach, shoe.lift.middle, shoe.shaft_height), shoe.shaft_girth + ease
    if leg is None:
        return Shaft(shoe.name, at, None, needs)
    opening, knee, line, inseam = leg
    if at >= hem_at:
        return Shaft(shoe.name, at, None, needs, True)
    # at or above the knee line the knee's girth stands in
    upper = [
        opening_at(kn, opening, k, inseam, max(at, k)) or kn
        for kn in (knee.low, knee.high)
        for k in (line.low, line.high)
    ]
    girth = Band(min(upper), max(upper))
    fits = True if girth.low >= needs - SAME else False if girth.high < needs - SAME else None
    return Shaft(shoe.name, at, girth, needs, fits)


def shrink_inseam(inseam: float, share: Band) -> tuple[float, float]:
    """Inseam after washing as middle and half width of its range: a shift with a width, not a +/- about the print."""
    return inseam * (1 - share.middle), inseam * share.half


def choose_pair(body: Body, look: str, shoe: Shoe | None, clearance: Band | None, knowledge: Knowledge) -> Pair | None:
    """The favourite pair that can tell the target for this look: its inseam known, its lift comparable, and either its
    clearance known (and one is wanted) or the same look. Pairs of the same look come first."""
    usable = []
    for position, pair in enumerate(body.pairs):
        if "inseam" not in pair.points:
            continue
        same_look = bool(look) and look == pair_look(pair, knowledge)
        by_clearance = pair.clearance is not None and clearance is not None
        if not (by_clearance or (same_look and pair.clearance is None)):
            continue
        if (
            shoe is not None
            and (shoe.lift is None or pair.shoe is None or pair.shoe.lift is None)
            and shoe != pair.shoe
        ):
            continue
        usable.append((not same_look, not by_clearance, position, pair))
    return min(usable)[-1] if usable else None


def pair_look(pair: Pair, knowledge: Knowledge) -> str:
    """Row of clearances.toml that the pair is worn with; '' not known."""
    if pair.look:
        return pair.look
    row = knowledge.silhouettes.silhouette.get(pair.silhouette)
    return row.clearance if row else ""


def find_target(
    body: Body, shoe: Shoe | None, clearance: Band | None, look: str, rise: float | None, knowledge: Knowledge
) -> Target | None:
    """The target, from a favourite pair where one serves, else from the body; None: not known."""
    pair = choose_pair(body, look, shoe, clearance, knowledge)
    if pair is not None:
        return _pair_target(body, pair, shoe, clearance, rise, knowledge)
    if body.inseam is None or shoe is None or shoe.lift is None or clearance is None:
        return None
    reach, terms, notes = body_reach(body, knowledge)
    assert reach is not None
    if shoe.lift.half:
        terms = (*terms, Term(f"lift of {shoe.name}", shoe.lift.half, "body"))
    if clearance.half:
        terms = (*terms, Term("clearance", clearance.half))
    if shoe.estimated:
        notes = (*notes, f"lift of {shoe.name} not measured: the usual one of its kind")
    inches = target_inseam(reach, shoe.lift.middle, clearance.middle)
    return Target(inches, clearance, terms, reach, notes=notes)


def body_reach(body: Body, knowledge: Knowledge) -> tuple[float | None, tuple[Term, ...], tuple[str, ...]]:
    """Floor to the garment's crotch seam, barefoot, with its term and what it assumes."""
    if body.inseam is None:
        return None, (), ()
    within = body.within.get("inseam", float(knowledge.verdict.limit.within_body_inseam.value))
    notes = () if body.crotch_drop is not None else ("crotch drop not given: taken as 0",)
    return body.inseam - (body.crotch_drop or 0.0), (Term("body inseam", within, "body"),), notes


def _pair_target(
    body: Body, pair: Pair, shoe: Shoe | None, clearance: Band | None, rise: float | None, knowledge: Knowledge
) -> Target:
    notes = [f"from {pair.name}"]
    terms = [Term(f"inseam of {pair.name}", float(knowledge.points["inseam"].tolerance), "body")]
    lift, worn = 0.0, 0.0
    same_shoe = shoe is None or shoe == pair.shoe
    if same_shoe:
        notes.append("in the shoes worn with it")
    else:
        assert shoe is not None
        assert shoe.lift is not None
        assert pair.shoe is not None
        assert pair.shoe.lift is not None
        lift, worn = shoe.lift.middle, pair.shoe.lift.middle
        for each in (shoe, pair.shoe):
            if each.lift is not None and each.lift.half:
                terms.append(Term(f"lift of {each.name}", each.lift.half, "body"))
    used, wanted = 0.0, 0.0
    if pair.clearance is not None and clearance is not None:
        used, wanted = pair.clearance, clearance.middle
        if clearance.half:
            terms.append(Term("clearance", clearance.half))
    else:
        notes.append("its clearance is not known: taken as the one wanted, for the same look")
    terms += _rise_terms(pair, rise, knowledge, notes)
    inches = target_from_pair(pair.points["inseam"], lift, worn, used, wanted)
    reach = None
    if pair.clearance is not None and pair.shoe is not None and pair.shoe.lift is not None:
        reach = pair.points["inseam"] + pair.clearance - pair.shoe.lift.middle
    elif body.inseam is not None:
        reach = body_reach(body, knowledge)[0]
    return Target(inches, clearance, tuple(terms), reach, pair.name, tuple(notes))


def _rise_terms(pair: Pair, rise: float | None, knowledge: Knowledge, notes: list[str]) -> list[Term]:
    own = pair.points.get("front_rise")
    if own is None or rise is None:
        notes.append("front rise not known on both: whether the seam hangs alike could not be checked")
        return []
    if abs(own - rise) <= float(knowledge.verdict.limit.pair_rise.value) + SAME:
        return []
    notes.append("front rise differs by more than an inch: the seam may hang otherwise")
    return [Term("rise unlike the pair's", abs(own - rise) / 2)]


def standard_u(terms: Sequence[Term]) -> float:
    """Combined standard uncertainty of terms, inches."""
    return combine_u(term.half for term in terms)


def expand_sd(sd: float) -> float:
    """Half width of the rectangular term with this standard deviation."""
    return sd * sqrt(3)
