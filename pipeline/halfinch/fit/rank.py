"""A whole catalogue against one body: judged, counted and ranked inside DuckDB; only the best rows leave it.

rank_best: the numbers of the best rows and how often each verdict is met, in one pass.
judge_rows: verdict, states and misses of chosen rows, as columns.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from halfinch.fit.body import Body
from halfinch.fit.judge_sql import JUDGED, STATES, judged_sql, parameters
from halfinch.fit.kinds import make_classes
from halfinch.fit.planning import choose_shoe
from halfinch.fit.sizes import Sizes
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

FITS = ("fits as bought", "fits with a hem")
_PARAMETER = re.compile(r"\$([a-z_0-9]+)")


@dataclass(frozen=True, slots=True)
class Best:
    """`rows`: numbers of the best rows, best first; `verdicts`: how often each verdict is met."""

    rows: tuple[int, ...]
    verdicts: Mapping[str, int]


class Judging:
    """Sizes made ready to be judged for one body: `sql` is the judged relation, `run` answers a query over it."""

    def __init__(self, sizes: Sizes, body: Body, knowledge: Knowledge, shoe: str = "") -> None:
        """Raises UsageError for shoes that are not there."""
        aimed = choose_shoe(body, shoe)
        self.sizes, self.body, self.knowledge = sizes, body, knowledge
        self.values = parameters(body, knowledge)
        offsets = [offset for offset in sizes.offsets if offset.used]
        self.taped = bool(offsets)
        asked = sizes.connection.execute("SELECT * FROM kinds")
        names = [column[0] for column in asked.description or ()]
        kinds = dict(zip(names, map(list, zip(*asked.fetchall(), strict=True)), strict=False))
        classes = make_classes(kinds, body, aimed, knowledge, sizes.knees, offsets)
        for name, table in (("kind_class", classes.of_kind), ("classes", classes.rows)):
            sizes.connection.register("incoming", table)
            sizes.connection.execute(f"CREATE OR REPLACE TEMP TABLE {name} AS SELECT * FROM incoming")
            sizes.connection.unregister("incoming")

    def sql(self, where: str = "TRUE") -> str:
        """The judged relation (see judge_sql.judged_sql) of the rows `r` that a condition holds for."""
        sizes = self.sizes
        return judged_sql(
            sizes.relation, sizes.columns, self.body, self.knowledge, row=sizes.row, where=where, taped=self.taped
        )

    def run(self, sql: str, values: Mapping[str, Any] | None = None) -> Any:
        """Executes a query with the parameters it asks for; `values`: those that are not the body's."""
        known = {**self.values, **(values or {})}
        return self.sizes.connection.execute(sql, {name: known[name] for name in set(_PARAMETER.findall(sql))})


def rank_best(judging: Judging, count: int) -> Best:
    """The `count` best rows of all: verdict; the wearer's silhouettes; stated before estimated; how far the decisive
    points miss."""
    # Judged into a table first: asked for an aggregate straight over it, DuckDB spells every layer out in each of its
    # uses and plans for seconds.
    judging.run(
        f"CREATE OR REPLACE TEMP TABLE judged AS SELECT row_no, rank::TINYINT AS rank, key FROM ({judging.sql()})"
    )
    met = dict(judging.run("SELECT rank, count(*) FROM judged GROUP BY rank").fetchall())
    best = judging.run("SELECT row_no FROM judged ORDER BY key, row_no LIMIT $count", {"count": count}).fetchall()
    judging.run("DROP TABLE judged")
    ranking = judging.knowledge.verdict.ranking
    verdicts = {verdict: met[place] for place, verdict in enumerate(ranking) if place in met}
    return Best(tuple(row for (row,) in best), verdicts)


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
    ranks = ", ".join(str(ranking.index(verdict)) for verdict in FITS)
    judging.run(f"CREATE OR REPLACE TEMP TABLE judged AS SELECT row_no FROM ({judging.sql()}) WHERE rank IN ({ranks})")
    found: list[tuple[str, str, str]] = judging.run(f"""
        SELECT r.garment_id, r.size, r.length FROM {sizes.relation} r
        WHERE {sizes.row} IN (SELECT row_no FROM judged) ORDER BY ALL""").fetchall()
    return found
