"""A whole catalogue against one body: judged, counted and ranked inside DuckDB; only the best rows leave it.

rank_best: the numbers of the best rows and how often each verdict is met, in one pass.
judge_rows: verdict, states and misses of chosen rows, as columns.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from halfinch.fit.body import Body, Shoe
from halfinch.fit.bounds import inside_sql
from halfinch.fit.judge_sql import JUDGED, READ, STATES, judged_sql, parameters
from halfinch.fit.kinds import Classes, make_classes
from halfinch.fit.planning import choose_shoe
from halfinch.fit.sizes import Sizes
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

COUNTED = 300_000
"""Among so many sizes every verdict is counted; among more the counting would take longer than finding the best."""
WORTH = 4
"""So many times the rows that are asked for have to be there before the bounds are looked at first."""
MICRO = Decimal("0.000001")
FITS = ("fits as bought", "fits with a hem")
_PARAMETER = re.compile(r"\$([a-z_0-9]+)")


@dataclass(frozen=True, slots=True)
class Best:
    """`rows`: numbers of the best rows, best first; `verdicts`: how often each verdict is met; `rest`: rows that do not
    fit, or of which it is not known, and that were not told apart."""

    rows: tuple[int, ...]
    verdicts: Mapping[str, int]
    rest: int = 0


class Judging:
    """Sizes made ready to be judged for one body: `sql` is the judged relation, `run` answers a query over it."""

    def __init__(self, sizes: Sizes, body: Body, knowledge: Knowledge, shoe: str = "") -> None:
        """Raises UsageError for shoes that are not there."""
        aimed = choose_shoe(body, shoe)
        self.sizes, self.body, self.knowledge = sizes, body, knowledge
        self.taped = any(offset.used for offset in sizes.offsets)
        classes = _classes_of(sizes, body, aimed, knowledge)
        self.values = parameters(body, knowledge) | {
            f"{point}_{end}": Decimal(value).quantize(MICRO)
            for point, ends in classes.bounds.items()
            for end, value in zip(("least", "most"), ends, strict=True)
        }
        for name, table, taken in (
            ("inside_class", classes.inside, "incoming"),
            ("kind_class", classes.of_kind, "incoming JOIN inside_class USING (class)"),
            ("classes", classes.rows, "incoming"),
        ):
            sizes.connection.register("incoming", table)
            sizes.connection.execute(f"CREATE OR REPLACE TEMP TABLE {name} AS SELECT * FROM {taken}")
            sizes.connection.unregister("incoming")

    def sql(self, where: str = "TRUE", source: str = "", row: str = "") -> str:
        """The judged relation (see judge_sql.judged_sql) of the rows `r` that a condition holds for."""
        sizes = self.sizes
        has = sizes.columns & {*READ} if source else sizes.columns
        return judged_sql(
            source or sizes.relation, has, self.body, self.knowledge, row=row or sizes.row, where=where,
            taped=self.taped,
        )  # fmt: skip

    def run(self, sql: str, values: Mapping[str, Any] | None = None) -> Any:
        """Executes a query with the parameters it asks for; `values`: those that are not the body's."""
        known = {**self.values, **(values or {})}
        return self.sizes.connection.execute(sql, {name: known[name] for name in set(_PARAMETER.findall(sql))})

    def judge(
        self, where: str = "TRUE", values: Mapping[str, Any] | None = None, width: str = "", more: Sequence[str] = (),
        silhouettes: Sequence[str] = (),
    ) -> dict[int, int]:  # fmt: skip
        """Fills the temporary table `judged` (row_no, rank, key and `more` columns) with the rows `r` that a condition
        holds for; how often each rank is met. `width` of bounds.WIDTHS: without those that a single figure rules out.
        `silhouettes`: only these, if any.

        A table, because DuckDB spells every layer of the judgement out in each of its uses when it is asked for an
        aggregate straight over it, and plans for seconds. What the bounds leave is a table too: judged as it trickles
        out of the scan, a few rows at a time, it takes ten times as long.
        """
        source = row = ""
        shaped = {"shapes": list(silhouettes)}
        if width:
            source, row = "inside", "r.row_no"
            columns = ", ".join(f"r.{name}" for name in READ if name in self.sizes.columns)
            inside = inside_sql(width, self.sizes.columns, self.knowledge)
            if silhouettes:
                told = "SELECT class FROM classes WHERE silhouette IN (SELECT unnest($shapes))"
                inside += f" AND (k.guess OR k.class IN ({told}))"
            self.run(
                f"""CREATE OR REPLACE TEMP TABLE inside AS SELECT {self.sizes.row} AS row_no, {columns}
                FROM {self.sizes.relation} r JOIN kind_class k ON k.kind = r.kind WHERE ({where}) AND {inside}""",
                {**(values or {}), **shaped},
            )
            where, values = "TRUE", None
        wanted = ", ".join(["row_no", "rank::TINYINT AS rank", "key", *more])
        judged, only = self.sql(where, source, row), "silhouette IN (SELECT unnest($shapes))" if silhouettes else "TRUE"
        self.run(
            f"CREATE OR REPLACE TEMP TABLE judged AS SELECT {wanted} FROM ({judged}) WHERE {only}",
            {**(values or {}), **shaped},
        )
        return dict(self.run("SELECT rank, count(*) FROM judged GROUP BY rank").fetchall())


def _classes_of(sizes: Sizes, body: Body, aimed: Shoe | None, knowledge: Knowledge) -> Classes:
    """As make_classes, from what is kept where nothing that they depend on has changed."""
    connection, offsets = sizes.connection, [offset for offset in sizes.offsets if offset.used]

    def make() -> Classes:
        return make_classes(
            connection.execute("SELECT * FROM kinds").df(), body, aimed, knowledge, sizes.knees, offsets
        )

    if sizes.kept is None:
        return make()
    words = connection.execute("SELECT count(*), sum(hash(kinds)) FROM kinds").fetchall()
    return sizes.kept.get((words, body, aimed, knowledge, dict(sizes.knees), offsets), make)


def rank_best(judging: Judging, count: int, counted: int = COUNTED) -> Best:
    """The `count` best rows of all: verdict; the wearer's silhouettes; stated before estimated; how far the decisive
    points miss. Among more than `counted` rows, where enough of them fit, only these are told apart."""
    total, ranking = judging.sizes.count(), judging.knowledge.verdict.ranking
    fits = [ranking.index(verdict) for verdict in FITS]
    met: dict[int, int] = {}
    if total > counted and set(fits) == {0, 1}:
        judged = judging.judge(width="fit")
        met = {place: judged.get(place, 0) for place in fits}
    if enough := total > counted and sum(met.values()) >= count:
        rest = total - sum(met.values())
    else:
        met, rest = _judge_all(judging, count, total), 0
    only = "WHERE rank IN (0, 1)" if enough else ""
    best = judging.run(
        f"SELECT row_no FROM judged {only} ORDER BY key, row_no LIMIT $count", {"count": count}
    ).fetchall()
    verdicts = {verdict: met[place] for place, verdict in enumerate(ranking) if met.get(place)}
    return Best(tuple(row for (row,) in best), verdicts, rest)


def _judge_all(judging: Judging, count: int, total: int) -> dict[int, int]:
    """How often each rank is met, the table `judged` holding at least `count` rows, the best of them all."""
    met = judging.judge(width="no") if count * WORTH < total else {}
    if sum(met.values()) < count or not total:
        met = judging.judge()
    no = judging.knowledge.verdict.ranking.index("no")
    return met | {no: met.get(no, 0) + total - sum(met.values())}


def judge_rows(judging: Judging, where: str = "TRUE", values: Mapping[str, Any] | None = None) -> pd.DataFrame:
    """What is to be said of each row, in the order of its number (the index): verdict, rank (0 is best), wanted
    (silhouette in the wearer's taste), silhouette, cut, finished, opening_after, caution, estimated, distance, and per
    point POINT_state ("-": not judged) and POINT_miss."""
    import numpy as np

    plain = ("wanted", "silhouette", "cut", "finished", "opening_after", "caution", "estimated", "distance")
    states = [f"{point}_{what}" for point in JUDGED for what in ("state", "miss")]
    sql = f"SELECT row_no, rank, {', '.join([*plain, *states])} FROM ({judging.sql(where)}) ORDER BY row_no"
    frame: pd.DataFrame = judging.run(sql, values).df().set_index("row_no")
    frame.insert(0, "verdict", np.array(judging.knowledge.verdict.ranking, dtype=object)[frame["rank"]])
    for point in JUDGED:
        frame[f"{point}_state"] = np.array(STATES, dtype=object)[frame[f"{point}_state"]]
    return frame


def fitting_sizes(judging: Judging) -> list[tuple[str, str, str]]:
    """garment_id, size and length of every size with one of the verdicts FITS."""
    sizes, ranking = judging.sizes, judging.knowledge.verdict.ranking
    judging.judge(width="fit")
    ranks = ", ".join(str(ranking.index(verdict)) for verdict in FITS)
    found: list[tuple[str, str, str]] = judging.run(f"""
        SELECT r.garment_id, r.size, r.length FROM {sizes.relation} r
        WHERE {sizes.row} IN (SELECT row_no FROM judged WHERE rank IN ({ranks})) ORDER BY ALL""").fetchall()
    return found
