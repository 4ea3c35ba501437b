"""The whole catalogue against a body: the best sizes with their plans; or chosen sizes against one body or many.

with open_sizes("shop.duckdb", knowledge) as sizes:
    found = find_matches(sizes, body, knowledge, top=20)
    chosen = match_rows(choose_garment(sizes, "Alder wide"), body, knowledge)
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.errors import UsageError
from halfinch.fit.body import Body
from halfinch.fit.body_file import load_body
from halfinch.fit.garment import GarmentSize, size_from_row
from halfinch.fit.plan import Plan
from halfinch.fit.planning import make_plan
from halfinch.fit.rank import Judging, rank_best
from halfinch.fit.records import ROW, plan_row
from halfinch.fit.sizes import Sizes, open_sizes
from halfinch.knowledge import Knowledge, load

if TYPE_CHECKING:
    import pandas as pd

MORE, LEAST = 100, 50
"""Up to so many rows more than asked for, and at least so many, get a plan; chance, style and price then decide."""


@dataclass(frozen=True, slots=True)
class Matches:
    """The best plans, best first; how many sizes were judged and how each verdict is met."""

    plans: tuple[Plan, ...]
    sizes: int
    verdicts: Mapping[str, int]
    rest: int = 0
    """Sizes of a large catalogue that do not fit, or of which it is not known, and that were not told apart."""


def find_matches(sizes: Sizes, body: Body, knowledge: Knowledge, *, top: int | None = 20, shoe: str = "") -> Matches:
    """Rank all sizes (of an open catalogue, or estimates). `top` None: a plan of every size. Raises UsageError for
    unknown shoes."""
    total = sizes.count()
    count = total if top is None else min(total, max(top + min(2 * top, MORE), LEAST))
    best = rank_best(Judging(sizes, body, knowledge, shoe), count)
    plans = _best_plans(sizes.fetch(best.rows), body, knowledge, top, shoe)
    return Matches(plans, total, best.verdicts, best.rest)


def match_rows(
    frame: pd.DataFrame, body: Body, knowledge: Knowledge, *, top: int | None = None, shoe: str = ""
) -> Matches:
    """The same for a few chosen sizes (choose_garment): each gets a plan, `top` of them are kept."""
    plans = _best_plans(frame, body, knowledge, None, shoe)
    met = Counter(plan.verdict for plan in plans)
    verdicts = {verdict: met[verdict] for verdict in knowledge.verdict.ranking if met[verdict]}
    return Matches(plans[:top], len(frame), verdicts)


def _best_plans(frame: pd.DataFrame, body: Body, knowledge: Knowledge, top: int | None, shoe: str) -> tuple[Plan, ...]:
    sizes = [size_from_row({str(key): value for key, value in row.items()}) for row in frame.to_dict("records")]
    plans = [make_plan(size, body, knowledge, shoe=shoe, ask=False) for size in sizes]
    plans.sort(key=lambda plan: plan_key(plan, body, knowledge))
    return tuple(make_plan(plan.garment, body, knowledge, shoe=shoe) for plan in plans[:top])


def plan_key(plan: Plan, body: Body, knowledge: Knowledge) -> tuple[Any, ...]:
    """Order of plans: verdict; the wearer's silhouettes first; stated before estimated; within budget first; every
    point reckoned with; chance; style; then names, so that the order of the catalogue has no effect."""
    wanted = not body.taste.silhouettes or plan.silhouette in body.taste.silhouettes
    over = plan.price.over if plan.price.over is not None else Decimal(0)
    chance = plan.chance.joint if plan.chance is not None else 0.0
    garment = plan.garment
    names = (garment.merchant, garment.style, garment.style_code, garment.size, garment.length, garment.garment_id)
    unknown = sum(point.decisive for point in plan.not_known)
    place = knowledge.verdict.ranking.index(plan.verdict)
    return (place, not wanted, bool(garment.estimated), over > 0, unknown, -round(chance, 6), -plan.style, names)


def match(
    path: str | Path, body: Body | str | Path, *, top: int | None = None, shoe: str = "", wait: float = 30.0,
    knowledge: Knowledge | None = None,
) -> pd.DataFrame:  # fmt: skip
    """Which garments fit a body, best first: a frame with the columns of records.ROW (inches; NaN is not known).

    `body` is a Body or the path of a body file. Raises BodyError, CatalogueError, UsageError.
    """
    import pandas as pd

    knowledge = knowledge or load()
    wearer = body if isinstance(body, Body) else load_body(body, knowledge)
    with open_sizes(path, knowledge, wait=wait) as sizes:
        found = find_matches(sizes, wearer, knowledge, top=top, shoe=shoe)
    return pd.DataFrame([plan_row(plan) for plan in found.plans], columns=list(ROW))


def choose_garment(sizes: Sizes, wanted: str) -> pd.DataFrame:
    """Rows of the garments that `wanted` names, as garment.size_from_row reads them: the id (or its beginning), the
    style, its code, "merchant style", each with the size behind it if need be ("Alder 10 petite"). Raises UsageError
    where there is none."""
    garments = sizes.garments()
    folded = f"{_fold(wanted)} "
    meant = [
        str(row["garment_id"])
        for row in garments.to_dict("records")
        if any(folded.startswith(f"{name} ") for name in _names(row)) or _is_id(row, wanted)
    ]
    frame = sizes.fetch_where("r.garment_id IN (SELECT unnest($meant))", {"meant": meant})
    return choose_rows(frame if len(frame) else garments.assign(size="", length=""), wanted)


def choose_rows(frame: pd.DataFrame, wanted: str) -> pd.DataFrame:
    """Rows of a frame that choose_garment would choose."""
    folded = _fold(wanted)
    if not folded:
        raise UsageError("name a garment: its style, its code or its id.")

    def names(row: Mapping[Any, Any]) -> set[str]:
        bases = _names(row)
        sized = {f"{base} {_fold(row['size'])}" for base in bases}
        return bases | sized | {f"{base} {_fold(row['length'])}" for base in sized}

    rows = frame[["garment_id", "merchant", "style", "style_code", "size", "length"]].fillna("").to_dict("records")
    keep = [folded in names(row) or _is_id(row, wanted) for row in rows]
    if not any(keep):
        from difflib import get_close_matches

        styles = sorted({str(row["style"]) for row in rows if row["style"]})
        near = [style for style in styles if folded in _fold(style)]
        near = near or get_close_matches(wanted, styles, n=1, cutoff=0.5)
        raise UsageError(
            f"no garment of the catalogue is called {wanted!r}{f'; did you mean {near[0]}?' if near else '.'}"
        )
    return frame[keep]


def _names(row: Mapping[Any, Any]) -> set[str]:
    merchant, style, code = (_fold(row[name]) for name in ("merchant", "style", "style_code"))
    names = (style, code, f"{style} {code}", f"{merchant} {style}", f"{merchant} {code}")
    return {name.strip() for name in names} - {""}


def _is_id(row: Mapping[Any, Any], wanted: str) -> bool:
    folded = _fold(wanted)
    return len(folded) >= 6 and str(row["garment_id"]).startswith(folded)


def _fold(text: object) -> str:
    return " ".join(str(text).casefold().split())


def find_plans(
    sizes: Sizes, body: Body, names: Sequence[str], knowledge: Knowledge, *, top: int = 5, shoe: str = ""
) -> list[Plan]:
    """The best size of each garment named, in that order; the best of all where none is named."""
    if not names:
        return list(find_matches(sizes, body, knowledge, top=top, shoe=shoe).plans)
    return [
        plan
        for name in names
        for plan in match_rows(choose_garment(sizes, name), body, knowledge, top=1, shoe=shoe).plans
    ]


def choose_size(sizes: Sizes, garment_id: str, size: str, length: str) -> GarmentSize | None:
    """One size of one garment, None where there is none."""
    named = "r.garment_id = $garment_id AND r.size = $size AND r.length = $length"
    rows = sizes.fetch_where(named, {"garment_id": garment_id, "size": size, "length": length}).to_dict("records")
    return size_from_row({str(key): value for key, value in rows[0].items()}) if rows else None


def load_bodies(folder: Path, knowledge: Knowledge) -> list[tuple[str, Body]]:
    """Every body file of a folder, by file name. Raises UsageError where there is none, BodyError for a bad one."""
    files = sorted(folder.glob("*.toml"))
    if not files:
        raise UsageError(f"{folder}: holds no body files (*.toml).")
    return [(file.stem, load_body(file, knowledge)) for file in files]


def who_can_wear(
    frame: pd.DataFrame, bodies: Sequence[tuple[str, Body]], knowledge: Knowledge, shoe: str = ""
) -> list[tuple[str, Plan]]:
    """The best size of these rows for each body, best body first; equals by name."""
    best = []
    for name, body in bodies:
        found = match_rows(frame, body, knowledge, top=1, shoe=shoe)
        if found.plans:
            best.append((plan_key(found.plans[0], body, knowledge)[:6], name, found.plans[0]))
    return [(name, plan) for _, name, plan in sorted(best, key=lambda entry: entry[:2])]
