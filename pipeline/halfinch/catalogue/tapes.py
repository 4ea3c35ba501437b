"""The tape book's rows: what a tape said of pairs that arrived, and what became of them.

Figures of garments only; whose pair it was is never kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.frames import insert
from halfinch.catalogue.identity import digest
from halfinch.errors import UsageError

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

STATES = ("unwashed", "washed", "")
OUTCOMES = ("kept", "returned", "")
FINISHED = "finished_inseam"
"""Beside the points of measure: the inseam a pair was hemmed to."""


@dataclass(frozen=True, slots=True)
class Taped:
    """One pair on one day. `inches` by point, full girths; `outcome` is kept, returned or '' with the reason behind a
    colon ("returned: rise too low")."""

    garment_id: str
    size: str
    length: str
    inches: Mapping[str, Decimal]
    state: str = ""
    outcome: str = ""
    by: str = ""
    note: str = ""

    def rows(self, at: datetime) -> list[tuple[object, ...]]:
        """A row a point; one without point where only the outcome is told."""
        out: list[tuple[object, ...]] = []
        for point, inches in self.inches.items() or [("", None)]:
            cells = (
                self.garment_id,
                self.size,
                self.length,
                point,
                inches,
                self.state,
                self.outcome,
                self.by,
                at,
                self.note,
            )
            out.append((digest("taped", *(str(cell) for cell in cells)), *cells))
        return out


def add_taped(path: Path, taped: Taped, wait: float = store.DEFAULT_WAIT) -> int:
    """Appends one pair; gives how many figures. Raises UsageError for words that are none, CatalogueError."""
    if taped.state not in STATES:
        raise UsageError(f'"{taped.state}" is no state; say washed or unwashed, or leave it out.')
    if taped.outcome.split(":")[0].strip() not in OUTCOMES:
        raise UsageError(f'"{taped.outcome}" is no outcome; say kept, or returned with the reason ("returned: rise").')
    if not taped.inches and not taped.outcome:
        raise UsageError("Nothing was taped and nothing came of it: give a figure or an outcome.")
    with store.writing(path, "tape", wait) as connection:
        if not connection.execute("SELECT 1 FROM garments WHERE garment_id = ?", [taped.garment_id]).fetchall():
            raise UsageError(f"There is no garment {taped.garment_id} in {path}.")
        rows = taped.rows(store.now())
        insert(connection, tables.TAPED, rows)
    return len(taped.inches)


def remove_taped(path: Path, taped_id: str, wait: float = store.DEFAULT_WAIT) -> int:
    """Takes rows out that were entered by mistake, by their id or its beginning (8 letters at least)."""
    if len(taped_id) < 8:
        raise UsageError("Name the entry by at least 8 letters of its id; `halfinch tape list` shows them.")
    with store.writing(path, "tape", wait) as connection:
        found = connection.execute("SELECT taped_id FROM taped WHERE starts_with(taped_id, ?)", [taped_id]).fetchall()
        if len(found) != 1:
            raise UsageError(f"{len(found) or 'No'} entries begin with {taped_id}.")
        connection.execute("DELETE FROM taped WHERE taped_id = ?", [found[0][0]])
    return len(found)


def read_taped(connection: duckdb.DuckDBPyConnection) -> pd.DataFrame:
    """Every row beside what the sheets state: taped_id, garment_id, merchant, style, style_code, sheet_state, size,
    length, point, inches, stated (NaN: not in the clean catalogue), state, outcome, by, at, note."""
    stated = " ".join(f"WHEN t.point = '{point}' THEN s.{point}" for point in _points())
    frame: pd.DataFrame = connection.execute(f"""
        SELECT t.taped_id, t.garment_id, coalesce(g.merchant, '') AS merchant, coalesce(g.style, '') AS style,
               coalesce(g.style_code, '') AS style_code, coalesce(g.state, '') AS sheet_state, t.size, t.length,
               t.point, CAST(t.inches AS DOUBLE) AS inches, CAST(CASE {stated} END AS DOUBLE) AS stated,
               t.state, t.outcome, t.by, t.at, t.note
        FROM taped t LEFT JOIN garments g USING (garment_id)
        LEFT JOIN sizes s ON s.garment_id = t.garment_id AND s.size = t.size AND s.length = t.length
        QUALIFY row_number() OVER (PARTITION BY t.taped_id) = 1
        ORDER BY t.at, t.taped_id""").df()
    return frame


def _points() -> Iterable[str]:
    return (point for point in tables.POINTS if not point.startswith(("body_", "label_")))
