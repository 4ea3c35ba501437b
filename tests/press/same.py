"""Properties on one truth: turned, in another format, in another order, with chrome around it: the same figures.

What is compared are the clean figures of two printings of one doc, as (point, size, length, exact length): a figure
that both give clean with unlike lengths is a contradiction; one that only one printing gives is a loss.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from .plan import FORMATS, Printed, Wish, print_sheet
from .score import CLEAN, short_length, short_size
from .truth import POINTS

VARIANTS = [f"as {kind}" for kind in FORMATS] + ["turned", "with chrome", "labels in capitals"]


@dataclass(frozen=True, slots=True)
class Comparison:
    seed: int
    variant: str
    same: int
    lost: int
    other: int
    told: str


def compare_variants(task: tuple[int, Wish]) -> list[Comparison]:
    """Reads one truth as a plain CSV sheet and in every variant."""
    seed, wish = task
    base = replace(wish, format="csv", layout="down", noise="none")
    first = _clean(print_sheet(seed, base))
    rows = []
    for variant in VARIANTS:
        other = _clean(print_sheet(seed, _vary(base, variant)))
        told = [
            f"{key} = {first[key]} and {other[key]}" for key in first.keys() & other.keys() if first[key] != other[key]
        ]
        lost = len(first.keys() ^ other.keys())
        same = sum(first[key] == other[key] for key in first.keys() & other.keys())
        rows.append(Comparison(seed, variant, same, lost, len(told), told[0] if told else ""))
    return rows


def _vary(base: Wish, variant: str) -> Wish:
    if variant.startswith("as "):
        return replace(base, format=variant[3:])
    if variant == "turned":
        return replace(base, layout="across")
    return replace(base, noise="chrome") if variant == "with chrome" else replace(base, labels="upper")


def _clean(printed: Printed) -> dict[tuple[str, str, str], int]:
    from halfinch import knowledge, work

    results = work.read_sheet(printed.data, printed.name, knowledge.load())
    return {
        (figure.point, short_size(figure.size), short_length(figure.length)): figure.length_nm
        for result in results
        for figure in result.figures
        if figure.status in CLEAN and figure.point in POINTS
    }


def same_report(rows: Iterable[Comparison]) -> str:
    """By variant: figures read alike, in one printing only, and otherwise."""
    totals: dict[str, Counter[str]] = defaultdict(Counter)
    bad = []
    for row in rows:
        totals[row.variant] += Counter(same=row.same, lost=row.lost, other=row.other, sheets=1)
        if row.other:
            bad.append(f"seed {row.seed}, {row.variant}: {row.told}")
    lines = [f"{'against the same truth as plain CSV':38}{'sheets':>8}{'alike':>9}{'one only':>10}{'otherwise':>11}"]
    for name, count in totals.items():
        lines.append(f"{name:38}{count['sheets']:>8}{count['same']:>9}{count['lost']:>10}{count['other']:>11}")
    return "\n".join([*lines, *bad[:20]])
