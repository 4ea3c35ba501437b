"""The whole catalogue against a body: the best sizes with their plans; or one garment against many bodies."""

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
from halfinch.fit.garment import POINTS, size_from_row
from halfinch.fit.plan import Plan
from halfinch.fit.planning import make_plan
from halfinch.fit.records import ROW, plan_row
from halfinch.knowledge import Knowledge, load

if TYPE_CHECKING:
    import pandas as pd

CANDIDATES = 3
"""So many times the rows asked for get a full plan; chance, style and price then decide among them."""
FIGURE_COLUMNS = {
    "tolerance_minus": "minus", "tolerance_plus": "plus", "at_inches": "at", "at_from": "at_from", "basis": "basis",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Matches:
    """The best plans, best first; how many sizes the catalogue holds and how each verdict is met."""

    plans: tuple[Plan, ...]
    sizes: int
    verdicts: Mapping[str, int]


def find_matches(
    frame: pd.DataFrame, body: Body, knowledge: Knowledge, *, top: int | None = 20, shoe: str = ""
) -> Matches:
    """Rank a frame of sizes (as fetch_sizes gives it). `top` None: all of it. Raises UsageError for unknown shoes."""
    from halfinch.fit.vector import best_rows, rank_sizes

    frame = frame.reset_index(drop=True)
    ranked = rank_sizes(frame, body, knowledge, shoe)
    met = Counter(ranked["verdict"])
    count = len(frame) if top is None else min(len(frame), max(top * CANDIDATES, 50))
    chosen = frame.loc[best_rows(ranked, count)]
    sizes = [size_from_row({str(key): value for key, value in row.items()}) for row in chosen.to_dict("records")]
    plans = [make_plan(size, body, knowledge, shoe=shoe, ask=False) for size in sizes]
    plans.sort(key=lambda plan: plan_key(plan, body, knowledge))
    best = [make_plan(plan.garment, body, knowledge, shoe=shoe) for plan in plans[:top]]
    return Matches(
        tuple(best), len(frame), {verdict: met[verdict] for verdict in knowledge.verdict.ranking if met[verdict]}
    )


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
    found = find_matches(fetch_sizes(path, wait=wait), wearer, knowledge, top=top, shoe=shoe)
    return pd.DataFrame([plan_row(plan) for plan in found.plans], columns=list(ROW))


def fetch_sizes(
    path: str | Path, *, wait: float = 30.0, knowledge: Knowledge | None = None, taped: bool = True
) -> pd.DataFrame:
    """The view `sizes` with what its garments and figures say beside it (see garment.size_from_row), and the knee line
    of merchants whose habit is known. `taped`: reckoned
    with what the tape book teaches of a merchant; else as the sheets state."""
    from halfinch.catalogue import store
    from halfinch.catalogue.habits import habits_of, load_habits
    from halfinch.catalogue.tapes import read_taped
    from halfinch.fit.tape import apply_tape, learn_offsets

    with store.reading(Path(path), wait) as connection:
        frame: pd.DataFrame = connection.execute(_sizes_sql()).df()
        book = read_taped(connection) if taped else None
    if (habits := load_habits(Path(path))) is not None:
        known = {merchant: habits_of(habits, merchant) for merchant in set(frame["merchant"])}
        knees = {merchant: float(said.knee) for merchant, said in known.items() if said is not None and said.knee}
        frame["merchant_knee"] = frame["merchant"].map(knees).astype(float)
    if book is None or not len(book):
        return frame
    return apply_tape(frame, learn_offsets(book, knowledge or load()))


def _sizes_sql() -> str:
    figures = ", ".join(
        f"{point}.{column} AS {point}_{short}" for point in POINTS for column, short in FIGURE_COLUMNS.items()
    )
    joins = " ".join(f"LEFT JOIN current_figures {point} ON {point}.figure_id = s.{point}_figure" for point in POINTS)
    return f"""
        SELECT s.*, g.silhouette, g.fabric, g.stretch, g.state, g.price, g.currency, g.colour, g.url,
               out.inches AS waist_stretched, {figures}
        FROM sizes s JOIN garments g USING (garment_id)
        LEFT JOIN stretched out ON out.figure_id = s.waist_figure
        {joins}"""


def choose_garment(frame: pd.DataFrame, wanted: str) -> pd.DataFrame:
    """Rows of the garments that `wanted` names: the id (or its beginning), the style, its code, "merchant style", each
    with the size behind it if need be ("Alder 10 petite"). Raises UsageError where there is none."""
    folded = " ".join(wanted.casefold().split())
    if not folded:
        raise UsageError("name a garment: its style, its code or its id.")

    def names(row: Mapping[Any, Any]) -> list[str]:
        style, code = str(row["style"]), str(row["style_code"])
        bases = [style, code, f"{style} {code}", f"{row['merchant']} {style}", f"{row['merchant']} {code}"]
        sized = [f"{base} {row['size']}" for base in bases]
        return [*bases, *sized, *(f"{base} {row['length']}" for base in sized)]

    rows = frame[["garment_id", "merchant", "style", "style_code", "size", "length"]].fillna("").to_dict("records")
    keep = [
        folded in {" ".join(name.casefold().split()) for name in names(row)}
        or (len(folded) >= 6 and str(row["garment_id"]).startswith(folded))
        for row in rows
    ]
    if not any(keep):
        from difflib import get_close_matches

        styles = sorted({str(row["style"]) for row in rows if row["style"]})
        near = get_close_matches(wanted, styles, n=1, cutoff=0.5)
        raise UsageError(
            f"no garment of the catalogue is called {wanted!r}{f'; did you mean {near[0]}?' if near else '.'}"
        )
    return frame[keep]


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
        found = find_matches(frame, body, knowledge, top=1, shoe=shoe)
        if found.plans:
            best.append((plan_key(found.plans[0], body, knowledge)[:6], name, found.plans[0]))
    return [(name, plan) for _, name, plan in sorted(best, key=lambda entry: entry[:2])]
