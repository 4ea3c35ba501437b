"""What a report of the whole catalogue counts, compares and draws, as frames. Lengths in inches, full girth."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store
from halfinch.catalogue.tables import GARMENT_POINTS
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

MOST_HELD, MOST_UNUSUAL = 200, 40
"""So many rows are listed; the counts say how many there are."""

_POINTS = ", ".join(f"'{point}'" for point in GARMENT_POINTS)
_CLEAN = f"status IN ('accepted', 'assumed') AND point IN ({_POINTS})"
_LONG = f"""(SELECT garment_id, merchant, size, length, unnest([{_POINTS}]) AS point,
    unnest([{", ".join(GARMENT_POINTS)}]) AS inches FROM sizes)"""
"""`sizes` as a row a point, empty ones too."""

_SQL = {
    "counts": """SELECT (SELECT count(*) FROM current_sheets) AS sheets,
        (SELECT count(DISTINCT garment_id) FROM sizes) AS garments, (SELECT count(*) FROM sizes) AS sizes,
        (SELECT count(*) FROM current_figures) AS figures""",
    "sheets": "SELECT merchant, outcome, count(*) AS sheets FROM current_sheets GROUP BY ALL ORDER BY ALL",
    "figures": "SELECT merchant, status, count(*) AS figures FROM current_figures GROUP BY ALL ORDER BY ALL",
    "complete": f"""SELECT merchant, point, count(inches) AS told, count(*) AS sizes, told / sizes AS share
        FROM {_LONG} GROUP BY ALL ORDER BY ALL""",
    "shapes": f"""SELECT l.*, coalesce(nullif(g.silhouette, ''), 'not said') AS silhouette
        FROM {_LONG} l JOIN garments g USING (garment_id) WHERE inches IS NOT NULL ORDER BY ALL""",
    "halves": f"""SELECT point, half_inch, count(*) AS figures FROM current_figures
        WHERE {_CLEAN} GROUP BY ALL ORDER BY ALL""",
    "held": f"""SELECT sheet, place, merchant, style, size, length, point, raw, coalesce(
            (SELECT string_agg(message, ' ' ORDER BY severity, message) FROM current_findings n
             WHERE n.figure_id = f.figure_id AND severity <> 'note'), '') AS because
        FROM current_figures f WHERE status = 'held' ORDER BY sheet, place, point LIMIT {MOST_HELD}""",
    "unusual": f"""SELECT sheet, place, merchant, style, size, length, point, raw, f.inches, low, high
        FROM current_figures f JOIN usual USING (point)
        WHERE {_CLEAN} AND NOT f.inches BETWEEN low AND high
        ORDER BY greatest(low - f.inches, f.inches - high) / (high - low) DESC, figure_id LIMIT {MOST_UNUSUAL}""",
}


@dataclass(frozen=True, slots=True)
class Report:
    """Frames of one moment. Columns are those of the queries above.

    `growth`: point, merchant, garment_id, length, at (0 is the smallest size), grown (inches more than that one).
    """

    counts: dict[str, int]
    sheets: pd.DataFrame
    figures: pd.DataFrame
    complete: pd.DataFrame
    shapes: pd.DataFrame
    halves: pd.DataFrame
    held: pd.DataFrame
    unusual: pd.DataFrame
    growth: pd.DataFrame


def read_report(path: Path, knowledge: Knowledge, *, wait: float = store.DEFAULT_WAIT) -> Report:
    """Everything that a report tells of a catalogue. Raises CatalogueError."""
    with store.reading(path, wait) as connection:
        connection.register("usual", usual_bands(knowledge))
        frames = {name: connection.execute(sql).df() for name, sql in _SQL.items()}
        growth = read_growth(connection)
    counts = {str(name): int(value) for name, value in frames.pop("counts").iloc[0].items()}
    for name in ("complete", "shapes", "halves", "unusual"):
        for column in frames[name].columns.intersection(["inches", "half_inch", "share", "low", "high"]):
            frames[name][column] = frames[name][column].astype("float64")
    return Report(counts=counts, growth=growth, **frames)


def usual_bands(knowledge: Knowledge) -> pd.DataFrame:
    """The usual band of each point: point, low, high (inches)."""
    import pandas as pd

    rows = [(name, float(knowledge.points[name].usual_low), float(knowledge.points[name].usual_high))
            for name in GARMENT_POINTS]  # fmt: skip
    return pd.DataFrame(rows, columns=["point", "low", "high"])


def read_growth(connection: duckdb.DuckDBPyConnection) -> pd.DataFrame:
    """How much each point of a garment grows from its smallest size on, runs of three sizes and more."""
    from halfinch.catalogue.audit.frames import make_runs
    from halfinch.catalogue.audit.judging import RUN_KEYS

    figures = connection.execute(f"SELECT * FROM current_figures WHERE {_CLEAN} ORDER BY ALL").df()
    figures["inches"] = figures["inches"].astype("float64")
    runs = make_runs(figures)
    by = runs.groupby(RUN_KEYS, sort=False)["inches"]
    runs = runs.assign(grown=runs["inches"] - by.transform("first"), sizes=by.transform("size"))
    told = ["point", "merchant", "garment_id", "length", "at", "grown"]
    return runs.loc[runs["sizes"] >= 3, told].reset_index(drop=True)
