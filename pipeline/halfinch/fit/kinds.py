"""What a body asks of each kind of garment: the numbers that follow from words alone, worked out once for each kind.

A catalogue of millions has few different sets of words (merchant, silhouette, fabric, stretch, state, length: the table
`kinds`), and those come to still fewer classes: garments with the same look, knee line and taped offsets. Per class the
plain functions of this room give target, ease, stretch, shrinkage; `judge_sql` puts them beside the figures.

Where the sheet names no silhouette, opening and knee tell it (or do not), so such a class stands once for each
silhouette that they could tell: `class + n` for the n-th of silhouettes.toml, `class` itself for none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING, Any

from halfinch.catalogue.size_rows import WORDS
from halfinch.fit.body import Band, Body, Shoe
from halfinch.fit.bounds import BOUNDED, NAMES, Bounds, find_bounds, shifted, widest
from halfinch.fit.cloth import find_give, find_shrinkage
from halfinch.fit.leg import Target, body_reach, choose_pair, find_target
from halfinch.fit.look import AROUND, Look, find_look
from halfinch.fit.silhouette import name_silhouette
from halfinch.fit.tape import Offset, by_merchant
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pyarrow as pa

SHIFTED = ("inseam", "front_rise", "back_rise", "waist", "hip", "thigh", "knee", "leg_opening", "outseam")
"""Points that taped pairs can move."""
FROM_CROTCH = ("crotch", "")

Cloth = tuple[str, float | None, str]
"""fabric, stretch, state"""


@dataclass(frozen=True, slots=True)
class Classes:
    """`of_kind`: kind, class, whether the silhouette is to be told by the figures (`guess`), whether the knee is
    measured from the crotch, how taped pairs move opening and knee, and NAME_least and NAME_most for the names of
    bounds.py. `rows`: class and its numbers (see _row); a
    number that is not known is null. `bounds`: the widest of all kinds."""

    of_kind: pa.Table
    rows: pa.Table
    bounds: Bounds


@dataclass(frozen=True, slots=True)
class _Class:
    """What a class is made of; equal ones are one class."""

    silhouette: str
    cloth: Cloth
    knee_line: Band
    offsets: tuple[Offset, ...]


def make_classes(
    kinds: Mapping[str, list[Any]], body: Body, aimed: Shoe | None, knowledge: Knowledge, knees: Mapping[str, float],
    offsets: Sequence[Offset],
) -> Classes:  # fmt: skip
    """`kinds`: by column, kind and WORDS, and merchant_knee where rows say it themselves. `knees`: merchants' usual
    knee lines, inches below the crotch; `offsets`: what taped pairs teach (only those in use count)."""
    import pyarrow as pa

    told = {name: kinds.get(name, []) for name in ("kind", *WORDS)}
    own_knees = kinds.get("merchant_knee") or [knees.get(merchant) for merchant in told["merchant"]]
    silhouettes = {word: name_silhouette(word, knowledge) if word else "" for word in set(told["silhouette"])}
    cloths = _Cloths(knowledge)
    learnt = by_merchant(offset for offset in offsets if offset.used)
    moves = {merchant: _shifts(of) for merchant, of in learnt.items()}
    numbers: dict[_Class, int] = {}
    of_class: list[int] = []
    step = len(knowledge.silhouettes.silhouette) + 1
    rows = zip(
        *(told[name] for name in ("merchant", "silhouette", "length")), own_knees, *_cloth_words(told), strict=True
    )
    for merchant, word, length, knee, *cloth in rows:
        made = _Class(
            silhouettes[word], cloths.same_as((cloth[0], cloth[1], cloth[2])), _knee_line(length, knee, knowledge),
            tuple(learnt.get(merchant, ())),
        )  # fmt: skip
        of_class.append(numbers.setdefault(made, len(numbers) * step))
    rows, bounds = _class_rows(numbers, body, aimed, knowledge)
    still = _shifts(())
    moved = [moves.get(merchant, still) for merchant in told["merchant"]]
    of_kind = {
        "kind": told["kind"],
        "class": of_class,
        "guess": [not silhouettes[word] for word in told["silhouette"]],
        "from_crotch": [word in FROM_CROTCH for word in told["knee_at_from"]],
        "opening_moves": [shifts["leg_opening_shift"] for shifts in moved],
        "knee_moves": [shifts["knee_shift"] for shifts in moved],
    }
    for name in NAMES:
        for place, end in enumerate(("least", "most")):
            of_kind[f"{name}_{end}"] = [bounds[number][name][place] for number in of_class]
    return Classes(pa.table(of_kind), rows, widest(bounds.values()))


def _cloth_words(told: Mapping[str, list[Any]]) -> tuple[list[Any], ...]:
    stretch = [None if value is None else float(value) for value in told["stretch"]]
    return told["fabric"], stretch, told["state"]


class _Cloths:
    """Cloths that give and shrink alike are one."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.first: dict[Any, Cloth] = {}
        self.known: dict[Cloth, Cloth] = {}

    def same_as(self, cloth: Cloth) -> Cloth:
        """The first cloth met that is like this one."""
        if cloth not in self.known:
            fabric, stretch, state = cloth
            like = (find_give(stretch, fabric, self.knowledge), find_shrinkage(fabric, state, self.knowledge)[0])
            self.known[cloth] = self.first.setdefault(like, cloth)
        return self.known[cloth]


def _knee_line(length: str, merchant: float | None, knowledge: Knowledge) -> Band:
    """Where the knee lies when no figure says it (as leg.knee_line)."""
    if merchant is not None:
        within = float(knowledge.lengths.merchant_within)
        return Band(merchant - within, merchant + within)
    row = knowledge.lengths.length.get(length, knowledge.lengths.length["regular"])
    usual, within = float(row.knee_at), float(row.knee_at_within)
    return Band(usual - within, usual + within)


def _class_rows(
    numbers: Mapping[_Class, int], body: Body, aimed: Shoe | None, knowledge: Knowledge
) -> tuple[pa.Table, dict[int, Bounds]]:
    """The table of classes, and by class what its figures (before taped pairs move them) can rule out."""
    import pyarrow as pa

    @lru_cache(None)
    def of_look(silhouette: str, inferred: bool, cloth: Cloth) -> dict[str, Any]:
        look = find_look(silhouette, inferred, *cloth, body, knowledge)
        return _row(look, body, aimed, knowledge)

    @lru_cache(None)
    def bounds_of(silhouette: str, cloth: Cloth) -> Bounds:
        guesses = [silhouette] if silhouette else ["", *knowledge.silhouettes.silhouette]
        return widest(find_bounds(of_look(guess, guess != silhouette, cloth), body, knowledge) for guess in guesses)

    rows = []
    bounds = {}
    for made, number in numbers.items():
        guesses = [""] if made.silhouette else ["", *knowledge.silhouettes.silhouette]
        shifts = _shifts(made.offsets)
        bounds[number] = shifted(
            bounds_of(made.silhouette, made.cloth), {point: shifts[f"{point}_shift"] or 0.0 for point in BOUNDED}
        )
        more = {"line_low": made.knee_line.low, "line_high": made.knee_line.high, **shifts}
        for place, guess in enumerate(guesses):
            row = of_look(made.silhouette or guess, bool(guess), made.cloth)
            rows.append({"class": number + place, **row, **more})
    names = ["class", *_row_of_nothing(body, aimed, knowledge), "line_low", "line_high", *_shifts(())]
    types = {"class": pa.int64(), "silhouette": pa.string(), "wanted": pa.bool_(), "opening_decides": pa.bool_(),
             "unsaid": pa.bool_()}  # fmt: skip
    table = pa.table({name: pa.array([row[name] for row in rows], types.get(name, pa.float64())) for name in names})
    return table, bounds


def _row_of_nothing(body: Body, aimed: Shoe | None, knowledge: Knowledge) -> dict[str, Any]:
    return _row(find_look("", False, "", None, "", body, knowledge), body, aimed, knowledge)


def _row(look: Look, body: Body, aimed: Shoe | None, knowledge: Knowledge) -> dict[str, Any]:
    """The numbers of one look, inches and shares."""
    target = find_target(body, aimed, look.clearance, look.look, None, knowledge)
    wanted = body.taste.silhouettes
    row = {
        "silhouette": look.silhouette,
        "wanted": not wanted or look.silhouette in wanted,
        "opening_decides": look.opening_decides,
        "unsaid": look.give.known == "unsaid",
        "target": None if target is None else target.inches,
        "shrink": look.shrinkage.middle,
        "shrink_half": look.shrinkage.half,
        "less_low": look.opening_less_knee.low,
        "less_high": look.opening_less_knee.high,
        **_hanging(look, target, body, aimed, knowledge),
    }
    for point in AROUND:
        ease, usable = look.ease[point], look.usable[point]
        row |= {f"{point}_ease_low": ease.low, f"{point}_ease_high": ease.high}
        row |= {f"{point}_use_low": usable.low, f"{point}_use": usable.middle, f"{point}_use_high": usable.high}
    return row


def _hanging(
    look: Look, target: Target | None, body: Body, aimed: Shoe | None, knowledge: Knowledge
) -> dict[str, float | None]:
    """`reach`: floor to crotch seam, barefoot; `steady`: sum of the squares of what it is unsure by; `pair_rise`: front
    rise of the favourite pair that the target is from (as make_leg)."""
    base, base_terms, _ = body_reach(body, knowledge)
    tied = target is not None and bool(target.pair) and target.reach is not None
    terms = target.terms if target is not None and tied else base_terms
    reach = target.reach if target is not None and target.reach is not None else base
    pair = choose_pair(body, look.look, aimed, look.clearance, knowledge) if tied else None
    return {
        "reach": reach,
        "steady": sum(term.half**2 for term in terms if not term.name.startswith(("lift of", "clearance"))),
        "pair_rise": None if pair is None else pair.points.get("front_rise"),
    }


def _shifts(offsets: Sequence[Offset]) -> dict[str, float | None]:
    """By point: what taped pairs add to its figure, and the half width of the doubt in place of the tolerance."""
    found: dict[str, float | None] = {}
    for point in SHIFTED:
        of = next((offset for offset in offsets if offset.point == point), None)
        found[f"{point}_shift"] = 0.0 if of is None else of.mean
        found[f"{point}_taped"] = None if of is None else sqrt(3) * of.u
    return found
