"""What a body asks of each kind of garment: the numbers that follow from words alone, worked out once for each kind.

A catalogue of millions has few different sets of words (merchant, silhouette, fabric, stretch, state, length: the table
`kinds`), and those come to still fewer classes: garments with the same look, knee line and taped offsets. Per class the
plain functions of this room give target, ease, stretch, shrinkage; `judge_sql` puts them beside the figures.

Where the sheet names no silhouette, opening and knee tell it (or do not), so such a class stands once for each
silhouette that they could tell: `class + n` for the n-th of silhouettes.toml, `class` itself for none.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import isnan, sqrt
from typing import TYPE_CHECKING, Any

from halfinch.fit.body import Band, Body, Shoe
from halfinch.fit.bounds import BOUNDED, NAMES, Bounds, find_bounds, shifted, widest
from halfinch.fit.cloth import Give, find_give, find_shrinkage
from halfinch.fit.leg import Target, body_reach, choose_pair, find_target
from halfinch.fit.look import AROUND, Look, find_look
from halfinch.fit.silhouette import name_silhouette
from halfinch.fit.tape import Offset, by_merchant
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd
    import pyarrow as pa

SHIFTED = ("inseam", "front_rise", "back_rise", "waist", "hip", "thigh", "knee", "leg_opening", "outseam")
"""Points that taped pairs can move."""
FROM_CROTCH = ("crotch", "")

Cloth = tuple[str, float | None, str]
"""fabric, stretch, state"""


@dataclass(frozen=True, slots=True)
class Classes:
    """`of_kind`: kind, class, whether the silhouette is to be told by the figures (`guess`), whether the knee is
    measured from the crotch, and how taped pairs move opening and knee. `rows`: class and its numbers (see _row); a
    number that is not known is null. `inside`: class, and NAME_least and NAME_most for the NAMES of bounds.py.
    `bounds`: the widest of all classes."""

    of_kind: pa.Table
    rows: pa.Table
    inside: pa.Table
    bounds: Bounds


@dataclass(frozen=True, slots=True)
class _Class:
    """What a class is made of."""

    silhouette: str
    cloth: Cloth
    knee_line: Band
    offsets: tuple[Offset, ...]


def make_classes(
    kinds: pd.DataFrame, body: Body, aimed: Shoe | None, knowledge: Knowledge, knees: Mapping[str, float],
    offsets: Sequence[Offset],
) -> Classes:  # fmt: skip
    """`kinds`: columns kind and WORDS, and merchant_knee where rows say it themselves. `knees`: merchants' usual knee
    lines, inches below the crotch; `offsets`: what taped pairs teach (only those in use count)."""
    import pandas as pd
    import pyarrow as pa

    silhouettes = {word: name_silhouette(word, knowledge) if word else "" for word in kinds["silhouette"].unique()}
    learnt = by_merchant(offset for offset in offsets if offset.used)
    own_knees = kinds["merchant_knee"] if "merchant_knee" in kinds else kinds["merchant"].map(dict(knees))
    cloths, cloth = _like_cloths(kinds, knowledge)
    made = pd.DataFrame({
        "silhouette": kinds["silhouette"].map(silhouettes),
        "cloth": cloth,
        "length": kinds["length"],
        "knee": own_knees.astype(float),
        "merchant": kinds["merchant"].where(kinds["merchant"].isin(list(learnt)), ""),
    })  # fmt: skip
    step = len(knowledge.silhouettes.silhouette) + 1
    numbers = made.groupby(list(made.columns), dropna=False, sort=False).ngroup() * step
    first = ~numbers.duplicated()
    each = {
        int(number): _Class(
            row["silhouette"], cloths[row["cloth"]], _knee_line(row["length"], row["knee"], knowledge),
            tuple(learnt.get(row["merchant"], ())),
        )
        for number, row in zip(numbers[first], made[first].to_dict("records"), strict=True)
    }  # fmt: skip
    moves = {merchant: _shifts(of) for merchant, of in learnt.items()}
    of_kind = pd.DataFrame({
        "kind": kinds["kind"],
        "class": numbers,
        "guess": made["silhouette"] == "",
        "from_crotch": kinds["knee_at_from"].isin(FROM_CROTCH),
        **{
            f"{short}_moves": made["merchant"].map({key: of[f"{point}_shift"] for key, of in moves.items()}).fillna(0.0)
            for short, point in (("opening", "leg_opening"), ("knee", "knee"))
        },
    })  # fmt: skip
    rows, bounds = _class_rows(each, body, aimed, knowledge)
    of_kinds = pa.Table.from_pandas(of_kind, preserve_index=False)
    return Classes(of_kinds, rows, _inside_table(bounds), widest(bounds.values()))


class KeptClasses:
    """Classes that were made last, for a program that is asked for the same wearer again and again. Any thread."""

    def __init__(self, most: int = 12) -> None:
        self._most = most
        self._kept: list[tuple[tuple[object, ...], Classes]] = []
        self._lock = threading.Lock()

    def get(self, of: tuple[object, ...], make: Callable[[], Classes]) -> Classes:
        """`of`: all that the classes depend on; told apart by equality."""
        with self._lock:
            found = next((entry for entry in self._kept if entry[0] == of), None)
        classes = make() if found is None else found[1]
        with self._lock:
            others = [entry for entry in self._kept if entry[0] != of]
            self._kept = [(of, classes), *others][: self._most]
        return classes

    def forget(self) -> None:
        """Nothing of any wearer is left."""
        with self._lock:
            self._kept = []


def _like_cloths(kinds: pd.DataFrame, knowledge: Knowledge) -> tuple[list[Cloth], pd.Series[int]]:
    """Cloths that give and shrink alike are one: the first of each, and which one each kind has."""

    @lru_cache(None)
    def give_of(stretch: float | None, fabric: str) -> Give:
        return find_give(stretch, fabric, knowledge)

    @lru_cache(None)
    def shrinks(fabric: str, state: str) -> Band:
        return find_shrinkage(fabric, state, knowledge)[0]

    words = kinds[["fabric", "stretch", "state"]].astype({"stretch": float})
    number = words.groupby(list(words.columns), dropna=False, sort=False).ngroup()
    first: dict[tuple[Give, Band], int] = {}
    cloths: list[Cloth] = []
    like: dict[int, int] = {}
    once = ~number.duplicated()
    for key, row in zip(number[once], words[once].to_dict("records"), strict=True):
        stretch = None if isnan(row["stretch"]) else row["stretch"]
        is_like = (give_of(stretch, "" if stretch is not None else row["fabric"]), shrinks(row["fabric"], row["state"]))
        like[int(key)] = first.setdefault(is_like, len(cloths))
        if like[int(key)] == len(cloths):
            cloths.append((row["fabric"], stretch, row["state"]))
    return cloths, number.map(like)


def _inside_table(bounds: Mapping[int, Bounds]) -> pa.Table:
    import pyarrow as pa

    columns: dict[str, Any] = {"class": pa.array(list(bounds), pa.int64())}
    for name in NAMES:
        for place, end in enumerate(("least", "most")):
            columns[f"{name}_{end}"] = pa.array([of[name][place] for of in bounds.values()], pa.float64())
    return pa.table(columns)


def _knee_line(length: str, merchant: float, knowledge: Knowledge) -> Band:
    """Where the knee lies when no figure says it (as leg.knee_line)."""
    if not isnan(merchant):
        within = float(knowledge.lengths.merchant_within)
        return Band(merchant - within, merchant + within)
    row = knowledge.lengths.length.get(length, knowledge.lengths.length["regular"])
    usual, within = float(row.knee_at), float(row.knee_at_within)
    return Band(usual - within, usual + within)


def _class_rows(
    numbers: Mapping[int, _Class], body: Body, aimed: Shoe | None, knowledge: Knowledge
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
    for number, made in numbers.items():
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
