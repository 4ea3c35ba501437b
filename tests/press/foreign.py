"""Documents with nothing of ours in them: no garment figure of theirs may be clean.

Charts of other goods that share our words (waist, hem, rise, size, leg), tables full of likely numbers, bodies, prose.
"""

from __future__ import annotations

import random
import time
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from .doc import Cell, Doc, Heading, Items, Para, Table
from .plan import Wish, print_doc
from .truth import POINTS

SHELF = tomllib.loads((Path(__file__).parent / "foreign.toml").read_text("utf-8"))


@dataclass(frozen=True, slots=True)
class Foreign:
    seed: int
    kind: str
    format: str
    clean: tuple[str, ...]
    """Garment figures that came clean: each is an invention."""
    seconds: float
    failed: str


def draw_foreign(seed: int) -> tuple[str, Doc]:
    """One document and the name of its kind."""
    rng = random.Random(f"{seed}/foreign")
    sort = rng.choices(["chart", "table", "prose", "mixed"], [10, 4, 2, 2])[0]
    doc = Doc("", "en", merchant=rng.choice(["Tarnfield Works", "Oddlane House", "Hennock & Daughters"]))
    if sort in ("chart", "mixed"):
        chart = rng.choice(SHELF["charts"])
        kind, doc.title = chart["kind"], chart["title"]
        doc.blocks += [Heading(doc.title, 1), _chart(rng, chart["sizes"], chart["rows"])]
    else:
        table = rng.choice(SHELF["tables"])
        kind = table["kind"] if sort == "table" else "prose"
        doc.title = kind.capitalize()
        doc.blocks.append(Heading(doc.title, 1))
    if sort == "table":
        head = [Cell(text, head=True) for text in table["head"]]
        doc.blocks.append(Table([head, *[[Cell(text) for text in line] for line in table["rows"]]]))
    if sort in ("prose", "mixed"):
        chosen = rng.sample(SHELF["prose"], rng.randrange(1, 4))
        doc.blocks += [Items(chosen)] if rng.random() < 0.4 else [Para(text) for text in chosen]
    return kind, doc


def _chart(rng: random.Random, sizes: Sequence[str], rows: Sequence[Any]) -> Table:
    corner = Cell(rng.choice(["Size", "", "Measurement"]), head=True)
    kept = [row for row in rows if rng.random() < 0.9] or list(rows)
    values = [[Fraction(first + step * n).limit_denominator(100) for n in range(len(sizes))] for _, first, step in kept]
    if rng.random() < 0.5:
        lines = [[corner, *[Cell(size, head=True) for size in sizes]]]
        lines += [
            [Cell(label, head=True), *[_number(v) for v in run]]
            for (label, _, _), run in zip(kept, values, strict=True)
        ]
        return Table(lines)
    lines = [[corner, *[Cell(label, head=True) for label, _, _ in kept]]]
    lines += [[Cell(size, head=True), *[_number(run[n]) for run in values]] for n, size in enumerate(sizes)]
    return Table(lines)


def _number(value: Fraction) -> Cell:
    return Cell(f"{float(value):g}", value)


def run_foreign(task: tuple[int, Wish]) -> Foreign:
    """Prints one and reads it."""
    from halfinch import knowledge, work

    seed, wish = task
    kind, doc = draw_foreign(seed)
    if any(ord(ch) > 0x2E80 for ch in doc.title):
        doc.language = "ja" if any(0x3040 <= ord(ch) < 0x3100 for ch in doc.title) else "zh"
    printed = print_doc(doc, seed, wish)
    began = time.perf_counter()
    results = work.read_sheet(printed.data, printed.name, knowledge.load())
    clean = tuple(
        f"{f.point} {f.size} = {f.length_nm / 25.4e6:.2f} in ({f.raw!r}, {f.status})"
        for result in results
        for f in result.figures
        if f.point in POINTS and f.status in ("accepted", "assumed")
    )
    failed = "; ".join(result.message for result in results if result.log)
    return Foreign(seed, kind, doc.facts["format"], clean, time.perf_counter() - began, failed)


def foreign_report(rows: Sequence[Foreign]) -> str:
    """How many documents gave a garment figure, and which."""
    bad = [row for row in rows if row.clean]
    slowest = max(rows, key=lambda row: row.seconds)
    figures, crashed = sum(len(row.clean) for row in bad), sum(bool(row.failed) for row in rows)
    lines = [
        f"{len(rows)} foreign documents, {len(bad)} with clean garment figures ({figures} figures), {crashed} crashed"
    ]
    lines.append(f"slowest {slowest.seconds:.2f} s (seed {slowest.seed})")
    for row in bad:
        told = f"{row.kind}, {row.format}: {len(row.clean)}: {row.clean[0]}"
        lines.append(f"python -m tests.press --foreign --show {row.seed}   # {told}")
    return "\n".join(lines)
