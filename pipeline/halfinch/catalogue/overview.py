"""The whole catalogue in a few numbers: what each merchant's sheets leave out, and how the sheets fared."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from halfinch.catalogue import store, tables

OUTCOMES = ("read", "partly", "nothing", "scanned", "failed")
STATUSES = ("accepted", "assumed", "held", "set_aside")


@dataclass(frozen=True, slots=True)
class Told:
    """What a merchant's sheets tell of its sizes."""

    merchant: str
    garments: int
    sizes: int
    points: Mapping[str, int]
    """Point to how many of the sizes tell it."""

    def lacks(self, point: str) -> int:
        return self.sizes - self.points[point]


@dataclass(frozen=True, slots=True)
class Fared:
    """How many sheets came to which outcome, figures to which status; figures under how many rules are held."""

    sheets: Mapping[str, int]
    figures: Mapping[str, Mapping[str, int]]
    """Merchant to status to figures in force."""
    reasons: tuple[tuple[str, int], ...]
    """Rule and how many figures it holds, the most first."""

    @property
    def all_figures(self) -> dict[str, int]:
        return {status: sum(told[status] for told in self.figures.values()) for status in STATUSES}


def count_told(path: Path, points: Sequence[str], wait: float = store.DEFAULT_WAIT) -> list[Told]:
    """A line a merchant, who lacks most first; merchants without a clean size are not among them. Raises
    CatalogueError."""
    known = [point for point in points if point in tables.POINTS]
    shown = "".join(f", count({point})" for point in known)
    with store.reading(path, wait) as connection:
        rows = connection.execute(
            f"SELECT merchant, count(DISTINCT garment_id), count(*){shown} FROM size_rows GROUP BY merchant"
        ).fetchall()
    found = [Told(row[0], row[1], row[2], dict(zip(known, row[3:], strict=True))) for row in rows]
    return sorted(found, key=lambda one: (-sum(map(one.lacks, known)), one.merchant))


def count_outcomes(path: Path, wait: float = store.DEFAULT_WAIT) -> Fared:
    """Raises CatalogueError."""
    with store.reading(path, wait) as connection:
        sheets = dict(connection.execute("SELECT outcome, count(*) FROM current_sheets GROUP BY outcome").fetchall())
        figures = connection.execute(
            "SELECT merchant, status, count(*) FROM current_figures GROUP BY ALL ORDER BY merchant"
        ).fetchall()
        reasons = connection.execute("""
            SELECT n.rule, count(DISTINCT n.figure_id) AS held FROM current_findings n
                JOIN current_figures f USING (reading_id, figure_id)
            WHERE f.status = 'held' AND n.severity = 'error' GROUP BY n.rule ORDER BY held DESC, n.rule""").fetchall()
    by_merchant: dict[str, dict[str, int]] = {}
    for merchant, status, count in figures:
        by_merchant.setdefault(merchant, dict.fromkeys(STATUSES, 0))[status] = count
    told = {outcome: sheets.get(outcome, 0) for outcome in OUTCOMES}
    return Fared(told, by_merchant, tuple((rule, count) for rule, count in reasons))
