"""Pages of the clean catalogue: filtered, in any order, and what fits a body, over millions of sizes.

page = browse_sizes("shop.duckdb", Wanted(ranges={"inseam": (28, 31)}, silhouettes=("wide",)), knowledge)
page = browse_sizes("shop.duckdb", Wanted(verdicts=FITS), knowledge, body=body, limit=50)
page.count, page.verdicts, page.rows[0]["style"], page.plans[0].verdict, page.plans[0].points[0].reason

Everything is judged, filtered, counted and ordered inside DuckDB; only the rows of the page leave it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import isnan
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

from halfinch.catalogue.export import SizeKey
from halfinch.errors import UsageError
from halfinch.fit.body import Body
from halfinch.fit.garment import POINTS, size_from_row
from halfinch.fit.kinds import KeptClasses
from halfinch.fit.plan import Plan
from halfinch.fit.planning import make_plan
from halfinch.fit.rank import FITS, Judging
from halfinch.fit.silhouette import infer_sql, middle_sql, name_silhouette
from halfinch.fit.sizes import Sizes, open_sizes
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

__all__ = [
    "BEST",
    "FITS",
    "JUDGED",
    "OWN",
    "WORDS",
    "Judged",
    "Page",
    "Wanted",
    "browse_judged",
    "browse_keys",
    "browse_sizes",
    "find_page",
]

Range = tuple[float | None, float | None]
"""Least and most, both inside; None is no limit."""
WORDS = ("merchant", "style", "style_code", "block", "size", "size_system", "length", "state", "fabric", "currency",
         "colour", "garment_id")  # fmt: skip
"""Columns that `Wanted.words` can ask for."""
OWN = (*WORDS, "silhouette", "price", "stretch", *POINTS)
"""Columns to order by; with a body also BEST and JUDGED."""
JUDGED = ("cut", "finished", "opening_after", "distance")
BEST = "best"
"""The order of `match`: verdict, taste, stated before estimated, how far the decisive points miss."""
DEEP = 2_000
"""Rows before a page from which on they are counted by the first key of the order instead of sorted."""
BY_NAME = ("merchant", "style", "style_code", "block", "size")


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which sizes to show; everything that is given has to hold. Inches, all the way round for girths.

    `ranges` by point: a size that does not tell the point is not shown; a printed range counts if it touches. `words`
    by column of WORDS: any of these, as the catalogue writes them. `silhouettes`: names of silhouettes.toml, told by
    the sheet or by opening and knee. `price`: in whatever currency the row has (ask for it in `words`). `statuses` by
    point: accepted | assumed | '' (not told). `text`: each of its words is part of merchant, style, code or colour, in
    any case. `verdicts`: only with a body.
    """

    ranges: Mapping[str, Range] = field(default_factory=lambda: MappingProxyType({}))
    words: Mapping[str, Sequence[str]] = field(default_factory=lambda: MappingProxyType({}))
    silhouettes: Sequence[str] = ()
    price: Range = (None, None)
    statuses: Mapping[str, Sequence[str]] = field(default_factory=lambda: MappingProxyType({}))
    text: str = ""
    verdicts: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Page:
    """`rows` of one page, as garment.size_from_row reads them, None where nothing is told; with a body the `plans` of
    these rows (without chances), which say verdict, cut, opening as worn and the reason at every point. `count` of all
    rows that are wanted; `verdicts`: how often each is met among the rows that are wanted but for their verdict ({}
    without a body; only those asked for, where verdicts are)."""

    rows: tuple[Mapping[str, Any], ...]
    count: int
    plans: tuple[Plan, ...] = ()
    verdicts: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))


def browse_sizes(
    path: str | Path, wanted: Wanted, knowledge: Knowledge, *, body: Body | None = None, shoe: str = "",
    order: Sequence[str] = (), offset: int = 0, limit: int = 50, wait: float = 30.0, kept: KeptClasses | None = None,
) -> Page:  # fmt: skip
    """One page. `order`: columns of OWN (with a body also BEST or JUDGED), a "-" before one turns it round; rows that
    do not tell it come last; equal rows keep one order whatever the page. None given: BEST with a body, else BY_NAME.
    `kept`: what a program keeps of the wearers from one call to the next. Raises UsageError for columns, verdicts and
    shoes that are not there, CatalogueError."""
    with open_sizes(path, knowledge, wait=wait, kept=kept) as sizes:
        return find_page(sizes, wanted, knowledge, body=body, shoe=shoe, order=order, offset=offset, limit=limit)


def find_page(
    sizes: Sizes, wanted: Wanted, knowledge: Knowledge, *, body: Body | None = None, shoe: str = "",
    order: Sequence[str] = (), offset: int = 0, limit: int = 50,
) -> Page:  # fmt: skip
    """As browse_sizes, in an open catalogue."""
    order = tuple(order) or ((BEST,) if body is not None else BY_NAME)
    _check(wanted, order, body, knowledge)
    judging = None if body is None else Judging(sizes, body, knowledge, shoe)
    asked = _ask(sizes, wanted, knowledge, judging, order, max(0, offset), max(0, limit))
    if judging is None or body is None:
        count = asked.count()
        return Page(_records(sizes.fetch(asked.rows())), count)
    numbers, count, verdicts = _judged(asked, judging, wanted)
    rows = _records(sizes.fetch(numbers))
    plans = (make_plan(size_from_row(row), body, knowledge, shoe=shoe, weigh=False) for row in rows)
    return Page(rows, count, tuple(plans), verdicts)


class Judged(NamedTuple):
    """A row that is wanted, and what the page says of it for a body. Inches; None is not known."""

    key: SizeKey
    verdict: str
    finished: float | None
    opening_after: float | None


def browse_keys(
    path: str | Path, wanted: Wanted, knowledge: Knowledge, *, order: Sequence[str] = (), wait: float = 30.0
) -> list[SizeKey]:
    """Every row that is wanted, in the order of the pages, for catalogue.export. Raises as browse_sizes does."""
    order = tuple(order) or BY_NAME
    _check(wanted, order, None, knowledge)
    with open_sizes(path, knowledge, wait=wait) as sizes:
        asked = _ask(sizes, wanted, knowledge, None, order)
        rows = asked.every(f"{sizes.relation} r", asked.condition, asked.values)
        return [(row[0], row[1], row[2]) for row in rows]


def browse_judged(
    path: str | Path, wanted: Wanted, knowledge: Knowledge, body: Body, *, shoe: str = "", order: Sequence[str] = (),
    wait: float = 30.0, kept: KeptClasses | None = None,
) -> list[Judged]:  # fmt: skip
    """The same for a body, with what it comes to."""
    order, ranking = tuple(order) or (BEST,), knowledge.verdict.ranking
    _check(wanted, order, body, knowledge)
    with open_sizes(path, knowledge, wait=wait, kept=kept) as sizes:
        judging = Judging(sizes, body, knowledge, shoe)
        asked = _ask(sizes, wanted, knowledge, judging, order)
        more = ("finished", "opening_after")
        _judge(asked, judging, wanted, more)
        ranks = ", ".join(str(ranking.index(verdict)) for verdict in wanted.verdicts or ranking)
        source = f"{sizes.relation} r JOIN judged j ON j.row_no = {sizes.row}"
        rows = asked.every(source, f"j.rank IN ({ranks})", {}, ("rank", *more))
        return [Judged((row[0], row[1], row[2]), ranking[row[3]], row[4], row[5]) for row in rows]


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of the relation: a condition on rows `r` with its values, an order, and which part of it."""

    sizes: Sizes
    condition: str
    values: Mapping[str, Any]
    order: tuple[str, ...]
    offset: int
    limit: int

    def count(self) -> int:
        sql = f"SELECT count(*) FROM {self.sizes.relation} r WHERE {self.condition}"
        ((count,),) = self.sizes.connection.execute(sql, dict(self.values)).fetchall()
        return int(count)

    def rows(self) -> list[int]:
        """Numbers of the page's rows."""
        return self.rows_of(f"{self.sizes.relation} r", self.condition, self.values, self.sizes.row)

    def rows_of(self, source: str, condition: str, values: Mapping[str, Any], row: str) -> list[int]:
        """The same of another relation that has the columns of the order."""
        keys = [part for key in self.order for part in _order_sql(key)]
        condition, values, offset = self._narrow(source, condition, values, keys)
        sql = f"""SELECT {row} FROM {source} WHERE {condition}
                  ORDER BY {_by(keys)}, {row} LIMIT {self.limit} OFFSET {offset}"""
        return [int(number) for (number,) in self.sizes.connection.execute(sql, dict(values)).fetchall()]

    def every(
        self, source: str, condition: str, values: Mapping[str, Any], more: Sequence[str] = ()
    ) -> list[tuple[Any, ...]]:
        """garment_id, size and length of every row, in order, and `more` columns of `judged`."""
        keys = _by([part for key in self.order for part in _order_sql(key)])
        names = ", ".join(["r.garment_id", "r.size", "r.length", *(f"j.{name}" for name in more)])
        sql = f"SELECT {names} FROM {source} WHERE {condition} ORDER BY {keys}, {self.sizes.row}"
        rows: list[tuple[Any, ...]] = self.sizes.connection.execute(sql, dict(values)).fetchall()
        return rows

    def _narrow(
        self, source: str, condition: str, values: Mapping[str, Any], keys: Sequence[tuple[str, str]]
    ) -> tuple[str, dict[str, Any], int]:
        """For a page deep within: only rows whose first keys can stand on it, and the rows of these before it. To count
        rows by a key takes a tenth of the time that sorting them takes."""
        values, offset = dict(values), self.offset
        for place, (key, way) in enumerate(keys):
            if offset < DEEP or key.startswith("j."):  # a judgement has about as many keys as rows
                break
            met = self.sizes.connection.execute(
                f"""
                SELECT value, before FROM (
                    SELECT value, rows, sum(rows) OVER (ORDER BY value {way}) - rows AS before
                    FROM (SELECT {key} AS value, count(*) AS rows FROM {source} WHERE {condition} GROUP BY ALL))
                WHERE before < {offset + self.limit} AND before + rows > {offset} ORDER BY before""",
                values,
            ).fetchall()
            if not met:
                break
            told = [value for value, _ in met if value is not None]
            untold = f"{key} IS NULL" if len(told) < len(met) else "FALSE"
            condition += f" AND ({key} IN (SELECT unnest($near_{place})) OR {untold})"
            values[f"near_{place}"], offset = told, offset - int(met[0][1])
            if len(met) > 1:
                break
        return condition, values, offset


def _by(keys: Sequence[tuple[str, str]]) -> str:
    return ", ".join(f"{key} {way}" for key, way in keys)


def _ask(
    sizes: Sizes, wanted: Wanted, knowledge: Knowledge, judging: Judging | None, order: tuple[str, ...],
    offset: int = 0, limit: int = 0,
) -> _Asked:  # fmt: skip
    asked = _Asked(sizes, *_condition(wanted), order, offset, limit)
    if wanted.silhouettes and not (judging and wanted.verdicts):  # else judged and told apart at once
        asked = _shaped(asked, wanted.silhouettes, knowledge, judging)
    return asked


def _shaped(asked: _Asked, silhouettes: Sequence[str], knowledge: Knowledge, judging: Judging | None) -> _Asked:
    """Only rows of these silhouettes, said by the sheet or told by its figures; for a body as its plans have it, which
    reckon with taped pairs."""
    sizes, values = asked.sizes, {**asked.values, "shapes": list(silhouettes)}
    if judging is not None:
        told = f"SELECT row_no FROM ({judging.sql(asked.condition)}) WHERE silhouette IN (SELECT unnest($shapes))"
    else:
        kinds = sizes.connection.execute("SELECT DISTINCT silhouette FROM kinds").fetchall()
        known = {word: name_silhouette(word, knowledge) if word else "" for (word,) in kinds}
        values["named"] = [word for word, name in known.items() if name in silhouettes]
        values["unnamed"] = [word for word, name in known.items() if not name]
        told = f"""
            SELECT row_no FROM (
                SELECT {sizes.row} AS row_no, r.silhouette, {middle_sql("leg_opening")} AS opening,
                       {middle_sql("knee")} AS knee
                FROM {sizes.relation} r WHERE {asked.condition})
            WHERE silhouette IN (SELECT unnest($named)) OR silhouette IN (SELECT unnest($unnamed))
                AND {infer_sql(knowledge, "opening", "knee")} IN (SELECT unnest($shapes))"""
    run = sizes.connection.execute if judging is None else judging.run
    run(f"CREATE OR REPLACE TEMP TABLE shaped AS {told}", values)
    condition = f"{sizes.row} IN (SELECT row_no FROM shaped)"
    return _Asked(sizes, condition, {}, asked.order, asked.offset, asked.limit)


def _judged(asked: _Asked, judging: Judging, wanted: Wanted) -> tuple[list[int], int, Mapping[str, int]]:
    """Numbers of the page's rows, how many there are in all, and how often each verdict is met."""
    verdicts = wanted.verdicts
    ranking = judging.knowledge.verdict.ranking
    names = [key.removeprefix("-") for key in asked.order]
    by_own = not {*names} & {BEST, *JUDGED}
    if not verdicts and not {*names} & {*JUDGED}:
        # all rows are wanted: those that their bounds rule out need no look to be counted
        total = asked.count()
        met = judging.judge(asked.condition, asked.values, "no")
        no = ranking.index("no")
        met[no] = met.get(no, 0) + total - sum(met.values())
        if by_own:
            return asked.rows(), total, _named(met, ranking)
        if asked.offset + asked.limit > sum(met.values()) - met[no]:
            met = judging.judge(asked.condition, asked.values)
    else:
        met = _judge(asked, judging, wanted)
    ranks = [place for place, verdict in enumerate(ranking) if not verdicts or verdict in verdicts]
    met = {place: count for place, count in met.items() if place in ranks}
    source = "judged j"
    if set(names) - {BEST, *JUDGED}:
        source = f"judged j JOIN {asked.sizes.relation} r ON j.row_no = {asked.sizes.row}"
    rows = asked.rows_of(source, f"j.rank IN ({', '.join(map(str, ranks))})", {}, "j.row_no")
    return rows, sum(met.values()), _named(met, ranking)


def _judge(asked: _Asked, judging: Judging, wanted: Wanted, also: Sequence[str] = ()) -> dict[int, int]:
    """Fills `judged` with every row that is wanted, and what it is ordered by."""
    verdicts, names = wanted.verdicts, [key.removeprefix("-") for key in asked.order]
    wide = "" if not verdicts or "no" in verdicts else "fit" if set(verdicts) <= {*FITS} else "no"
    more = [name for name in JUDGED if name in names or name in also]
    return judging.judge(asked.condition, asked.values, wide, more, wanted.silhouettes if verdicts else ())


def _named(met: Mapping[int, int], ranking: Sequence[str]) -> dict[str, int]:
    return {verdict: met[place] for place, verdict in enumerate(ranking) if met.get(place)}


def _records(frame: pd.DataFrame) -> tuple[dict[str, Any], ...]:
    import pandas as pd

    def said(value: Any) -> Any:
        return None if value is pd.NA or (isinstance(value, float) and isnan(value)) else value

    return tuple({str(name): said(value) for name, value in row.items()} for row in frame.to_dict("records"))


def _order_sql(key: str) -> Iterator[tuple[str, str]]:
    """What to order by, and which way."""
    name, way = key.removeprefix("-"), f"{'DESC' if key.startswith('-') else 'ASC'} NULLS LAST"
    if name == BEST:
        yield "j.key", way
    elif name in JUDGED:
        yield f"j.{name}", way
    elif name == "size":
        yield "try_cast(r.size AS DOUBLE)", way
        yield "nullif(r.size, '')", way
    elif name in (*WORDS, "silhouette"):
        yield f"nullif(r.{name}, '')", way
    else:
        yield f"r.{name}", way


def _condition(wanted: Wanted) -> tuple[str, dict[str, Any]]:
    """SQL on rows `r`, and its values."""
    parts = ["TRUE"]
    values: dict[str, Any] = {}
    for point, (low, high) in wanted.ranges.items():
        parts.append(f"r.{point} IS NOT NULL")
        if low is not None:
            parts.append(f"coalesce(r.{point}_to, r.{point}) >= $low_{point}")
            values[f"low_{point}"] = low
        if high is not None:
            parts.append(f"r.{point} <= $high_{point}")
            values[f"high_{point}"] = high
    for sign, name, limit in ((">=", "price_low", wanted.price[0]), ("<=", "price_high", wanted.price[1])):
        if limit is not None:
            parts.append(f"r.price {sign} ${name}")
            values[name] = limit
    for column, words in wanted.words.items():
        parts.append(f"r.{column} IN (SELECT unnest($of_{column}))")
        values[f"of_{column}"] = list(words)
    for point, statuses in wanted.statuses.items():
        parts.append(f"r.{point}_status IN (SELECT unnest($status_{point}))")
        values[f"status_{point}"] = list(statuses)
    for place, word in enumerate(wanted.text.split()):
        named = ("r.style", "r.merchant", "r.style_code", "r.colour")
        parts.append(f"({' OR '.join(f'contains(lower({name}), lower($word_{place}))' for name in named)})")
        values[f"word_{place}"] = word
    return " AND ".join(parts), values


def _check(wanted: Wanted, order: Sequence[str], body: Body | None, knowledge: Knowledge) -> None:
    """Names become SQL, so each has to be one that we know; values never do."""
    columns = (*OWN, BEST, *JUDGED) if body is not None else OWN
    asked = (
        ("a point", (*wanted.ranges, *wanted.statuses), POINTS),
        ("a column of words", wanted.words, WORDS),
        ("a silhouette", wanted.silhouettes, knowledge.silhouettes.silhouette),
        ("a verdict", wanted.verdicts, knowledge.verdict.ranking),
        ("a column to order by", [key.removeprefix("-") for key in order], columns),
    )
    for kind, names, known in asked:
        for name in names:
            if name not in known:
                raise UsageError(f"{name!r} is not {kind}; there are: {', '.join(known)}.")
    if wanted.verdicts and body is None:
        raise UsageError("verdicts need a body.")
