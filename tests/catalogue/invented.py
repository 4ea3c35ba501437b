"""Sheets that no reader read: invented results for the catalogue's tests."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from halfinch.catalogue import store
from halfinch.catalogue.identity import Stamp
from halfinch.catalogue.landing import Arrival, land
from halfinch.figure import NM_PER_INCH, Figure, Finding, Garment, SheetResult

STAMP = Stamp("0.1.0", "knowledge-1", "", {"inseam": Fraction(1, 4), "waist": Fraction(1)})
WIDE = Garment("g", merchant="Aldersgate", style="Wide", style_code="AW-10")


def figure(point: str, inches: float | Fraction, size: str = "8", **more: Any) -> Figure:
    """A figure in inches; the place is made of point, size and length so that it is its own."""
    nm = int(Fraction(inches) * NM_PER_INCH)
    length = more.get("length", "")
    more.setdefault("length_scope", "one" if length else "unsaid")
    more.setdefault("size_scope", "one" if size else "unsaid")
    more.setdefault("place", f"row={point};col={size}/{length}/{more['size_scope']}/{more['length_scope']}")
    return Figure(more.pop("garment", "g"), point, size, nm, more.pop("raw", f"{float(inches):g}"), **more)


def sheet(name: str, *figures: Figure, garments: tuple[Garment, ...] = (WIDE,), **more: Any) -> SheetResult:
    """A result whose bytes are made of what it says."""
    findings: tuple[Finding, ...] = more.pop("findings", ())
    said = repr((name, figures, garments, findings, more))
    made = SheetResult(
        name, hashlib.sha256(said.encode()).hexdigest(), kind="delimited", bytes=len(said), reader="invented",
        outcome="read", garments=garments, figures=figures, findings=findings,
    )  # fmt: skip
    return replace(made, **more)


class Shop:
    """A catalogue in a folder, with short ways to fill and ask it."""

    def __init__(self, folder: Path, name: str = "shop.duckdb") -> None:
        self.path = folder / name

    def land(self, *results: SheetResult, source: str = "", merchant: str = "", stamp: Stamp = STAMP) -> None:
        arrivals = [
            Arrival(source or result.sheet, source or result.sheet, result.sheet_id, merchant, (result,))
            if not source
            else Arrival(source, result.sheet, result.sheet_id, merchant, (result,))
            for result in results
        ]
        land(self.path, arrivals, stamp)

    def ask(self, sql: str) -> list[tuple[Any, ...]]:
        with store.reading(self.path) as connection:
            return connection.execute(sql).fetchall()

    def sizes(self, *points: str) -> dict[tuple[str, str], tuple[Any, ...]]:
        """(size, length) to the inches of these points as floats, None where empty."""
        rows = self.ask(f"SELECT size, length, {', '.join(points)} FROM sizes")
        found = {(row[0], row[1]): tuple(None if v is None else float(v) for v in row[2:]) for row in rows}
        assert len(found) == len(rows), "one row a garment, size and length"
        return found
