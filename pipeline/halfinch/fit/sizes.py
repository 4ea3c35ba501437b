"""Where sizes are judged: an open catalogue, or a frame of sizes (estimates) in a database of its own.

Both have the columns that garment.size_from_row reads, and `kind` with the table `kinds` beside it, so that one SQL
judges both. Only what is chosen is fetched.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from math import isnan
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from halfinch.catalogue.size_rows import SIZE_ROWS, WORDS, tie_sql
from halfinch.fit.estimate import add_estimates
from halfinch.fit.garment import POINTS
from halfinch.fit.kinds import SHIFTED, KeptClasses
from halfinch.fit.tape import Offset, apply_tape, learn_offsets
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

MEMORY = "512MB"
"""What DuckDB may hold while a catalogue is judged; it takes as much whether or not more is there."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """An open relation of sizes. `row` is the SQL that numbers a row `r` of it; `knees`: merchants' usual knee lines;
    `offsets`: what taped pairs teach and the figures of the relation do not hold yet; `frame`: the rows themselves
    where they come from a frame; `kept`: classes that were made before and need not be made again."""

    connection: duckdb.DuckDBPyConnection
    relation: str
    columns: frozenset[str]
    row: str = "r.rowid"
    knees: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    offsets: tuple[Offset, ...] = ()
    frame: pd.DataFrame | None = None
    kept: KeptClasses | None = None

    def count(self) -> int:
        ((count,),) = self.connection.execute(f"SELECT count(*) FROM {self.relation}").fetchall()
        return int(count)

    def fetch(self, rows: Sequence[int]) -> pd.DataFrame:
        """Rows by their number, in this order, as garment.size_from_row reads them, taped pairs reckoned with."""
        if self.frame is not None:
            return self.frame.iloc[list(rows)]
        sql = f"""SELECT {self.row} AS row_no, {self._shown()} FROM {self.relation} r
                  WHERE {self.row} IN (SELECT unnest($rows))"""
        frame = self.connection.execute(sql, {"rows": list(rows)}).df().set_index("row_no")
        return self._finish(frame.loc[list(rows)].reset_index(drop=True))

    def garments(self) -> pd.DataFrame:
        """garment_id, merchant, style and style_code of every garment."""
        names = "garment_id, merchant, style, style_code"
        return self.connection.execute(f"SELECT DISTINCT {names} FROM {self.relation} ORDER BY ALL").df()

    def fetch_where(self, condition: str, values: Mapping[str, Any] | None = None) -> pd.DataFrame:
        """Every row `r` that an SQL condition holds for; its values come as parameters ($name)."""
        if self.frame is not None:
            asked = f"SELECT {self.row} FROM {self.relation} r WHERE {condition} ORDER BY 1"
            return self.frame.iloc[[row for (row,) in self.connection.execute(asked, dict(values or {})).fetchall()]]
        sql = f"SELECT {self._shown()} FROM {self.relation} r WHERE {condition} ORDER BY {self.row}"
        return self._finish(self.connection.execute(sql, dict(values or {})).df())

    def _shown(self) -> str:
        half_inches = {f"{point}_half_inch" for point in POINTS}
        return ", ".join(f"r.{name}" for name in sorted(self.columns - {"kind", "tie"} - half_inches))

    def _finish(self, frame: pd.DataFrame) -> pd.DataFrame:
        if self.knees:
            frame["merchant_knee"] = frame["merchant"].map(dict(self.knees)).astype(float)
        return apply_tape(frame, self.offsets)


@contextmanager
def open_sizes(
    path: str | Path, knowledge: Knowledge, *, wait: float = 30.0, taped: bool = True, estimate: bool = False,
    kept: KeptClasses | None = None,
) -> Iterator[Sizes]:  # fmt: skip
    """The clean catalogue of a file, open for reading as long as the `with` lasts.

    `taped`: reckoned with what the tape book teaches of a merchant, else as the sheets state; `estimate`: with sizes
    and figures that the sheets do not give (estimate.add_estimates); `kept`: what a program keeps from one opening to
    the next. Raises CatalogueError.
    """
    from halfinch.catalogue import store
    from halfinch.catalogue.tapes import read_taped

    path = Path(path)
    with store.reading(path, wait) as connection:
        connection.execute(f"SET memory_limit = '{MEMORY}'")
        taped = taped and bool(connection.execute("SELECT 1 FROM taped LIMIT 1").fetchall())
        offsets = learn_offsets(read_taped(connection), knowledge) if taped else ()
        knees = _knees(path, connection)
        sizes = Sizes(connection, "size_rows", frozenset(SIZE_ROWS.column_names), knees=knees, offsets=offsets,
                      kept=kept)  # fmt: skip
        if not estimate:
            yield sizes
            return
        frame = sizes.fetch_where("TRUE")
    with sizes_of(add_estimates(frame, knowledge) if len(frame) else frame) as estimated:
        yield estimated


def _knees(path: Path, connection: duckdb.DuckDBPyConnection) -> dict[str, float]:
    from halfinch.catalogue.habits import habits_of, load_habits

    habits = load_habits(path)
    if habits is None:
        return {}
    merchants = [row[0] for row in connection.execute("SELECT DISTINCT merchant FROM kinds").fetchall()]
    known = {merchant: habits_of(habits, merchant) for merchant in merchants}
    return {merchant: float(said.knee) for merchant, said in known.items() if said is not None and said.knee}


NUMBERS = frozenset(
    [f"{point}{end}" for point in SHIFTED for end in ("", "_to")]
    + ["inseam_minus", "inseam_plus", "knee_at", "stretch", "waist_stretched", "hem_allowance", "merchant_knee"]
)
NAMES = ("garment_id", "style", "style_code", "size", "length")


@contextmanager
def sizes_of(frame: pd.DataFrame) -> Iterator[Sizes]:
    """A frame of sizes (columns as garment.size_from_row reads them, any may be missing) as a relation to be judged;
    its rows are numbered from 0."""
    import duckdb
    import pyarrow as pa

    columns: dict[str, Any] = {"row_no": pa.array(range(len(frame)), pa.int64())}
    for name in sorted(NUMBERS & set(frame.columns)):
        columns[name] = pa.array([_number(value) for value in frame[name]], pa.float64())
    for name in dict.fromkeys((*NAMES, *WORDS, "estimated")):
        if name not in NUMBERS:
            known = frame[name] if name in frame.columns else [""] * len(frame)
            columns[name] = pa.array([value if isinstance(value, str) else "" for value in known], pa.string())
    for name in ("stretch", "merchant_knee"):
        columns.setdefault(name, pa.nulls(len(frame), pa.float64()))
    connection = duckdb.connect()
    try:
        connection.register("given", pa.table(columns))
        words = ", ".join((*WORDS, "merchant_knee"))
        connection.execute(f"""
            CREATE TABLE kinds AS
            SELECT row_number() OVER (ORDER BY {words}) AS kind, {words} FROM (SELECT DISTINCT {words} FROM given)""")
        same = " AND ".join(f"k.{name} IS NOT DISTINCT FROM g.{name}" for name in (*WORDS, "merchant_knee"))
        connection.execute(f"""
            CREATE TABLE sizes AS SELECT g.*, k.kind, {tie_sql("g.")} AS tie FROM given g JOIN kinds k ON {same}""")
        yield Sizes(connection, "sizes", frozenset({*columns, "kind", "tie"}), row="r.row_no", frame=frame)
    finally:
        connection.close()


def _number(value: object) -> float | None:
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):  # None, pandas.NA
        return None
    return None if isnan(number) else number
