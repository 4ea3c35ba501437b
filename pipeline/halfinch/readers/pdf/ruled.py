"""Tables drawn with lines in both directions: rules become a lattice of cells, by pdfplumber's table tools."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from halfinch.readers.pdf.ink import Rule, union_box
from halfinch.sheet import Box

SNAP = 3.0  # points: lines nearer than this are one line (double rules, cells boxed one by one)
SHORTEST = 5.0  # points: shorter lines (ticks, fraction bars) bound no cell
MOST_POINTS = 3_000  # crossings in one lattice; pdfplumber's search is quadratic
MOST_EDGES = 1_600


@dataclass(slots=True)
class Lattice:
    """Cells of one drawn table: `spots` gives each cell as (row, column, rows, columns), 0-based, with its box."""

    xs: list[float]
    ys: list[float]
    spots: list[tuple[int, int, int, int]] = field(default_factory=list)

    @property
    def box(self) -> Box:
        return (self.xs[0], self.ys[0], self.xs[-1], self.ys[-1])


def _edge(rule: Rule) -> dict[str, Any]:
    return {
        "x0": rule.x0, "x1": rule.x1, "top": rule.top, "bottom": rule.bottom,
        "width": rule.x1 - rule.x0, "height": rule.bottom - rule.top,
        "orientation": "h" if rule.level else "v", "object_type": "line",
    }  # fmt: skip


def merge_rules(rules: list[Rule]) -> list[Rule]:
    """Rules that lie on each other or go on from each other become one; ticks are left out."""
    if not rules:
        return []
    from pdfplumber.table import merge_edges

    edges = merge_edges([_edge(rule) for rule in set(rules)], SNAP, SNAP, SNAP, SNAP)
    merged = [Rule(float(e["x0"]), float(e["top"]), float(e["x1"]), float(e["bottom"])) for e in edges]
    return [rule for rule in merged if max(rule.x1 - rule.x0, rule.bottom - rule.top) >= SHORTEST]


def find_lattices(rules: list[Rule]) -> tuple[list[Lattice], bool]:
    """Lattices of merged rules, from the top; the flag is True when the page has too many lines to try."""
    level = [rule for rule in rules if rule.level]
    upright = [rule for rule in rules if not rule.level]
    if len(level) < 1 or len(upright) < 1:
        return [], False
    if len(rules) > MOST_EDGES:
        return [], True
    found: list[Lattice] = []
    crowded = False
    for group in _touching(level, upright):
        closed = _close_sides(group)
        cells, full = _cells(closed)
        crowded = crowded or full
        found.extend(_lattice(table, closed) for table in _tables(cells))
    return sorted(found, key=lambda lattice: (lattice.ys[0], lattice.xs[0])), crowded


def _touching(level: list[Rule], upright: list[Rule]) -> list[list[Rule]]:
    """Groups of rules that cross or meet."""
    parent = list(range(len(level) + len(upright)))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    for j, v in enumerate(upright, start=len(level)):
        for i, h in enumerate(level):
            if h.x0 - SNAP <= v.x0 <= h.x1 + SNAP and v.top - SNAP <= h.top <= v.bottom + SNAP:
                parent[root(j)] = root(i)
    groups: dict[int, list[Rule]] = defaultdict(list)
    for k, rule in enumerate([*level, *upright]):
        groups[root(k)].append(rule)
    return [group for group in groups.values() if len(group) >= 3]


def _close_sides(rules: list[Rule]) -> list[Rule]:
    """Add the outer lines that an open-sided table leaves to the eye, where two or more lines end together."""
    level = [rule for rule in rules if rule.level]
    upright = [rule for rule in rules if not rule.level]
    added = []
    if len(level) >= 2 and upright:
        top, bottom = min(r.top for r in level), max(r.top for r in level)
        for side, edge in (("x0", min(v.x0 for v in upright)), ("x1", max(v.x0 for v in upright))):
            ends = [getattr(rule, side) for rule in level]
            end = min(ends) if side == "x0" else max(ends)
            together = sum(abs(value - end) <= SNAP for value in ends)
            if abs(end - edge) > 2 * SNAP and together >= max(2, 0.6 * len(ends)):
                added.append(Rule(end, top, end, bottom))
    if len(upright) >= 2 and level:
        left, right = min(r.x0 for r in upright), max(r.x0 for r in upright)
        left, right = min([left, *(a.x0 for a in added)]), max([right, *(a.x0 for a in added)])
        for side, edge in (("top", min(h.top for h in level)), ("bottom", max(h.top for h in level))):
            ends = [getattr(rule, side) for rule in upright]
            end = min(ends) if side == "top" else max(ends)
            together = sum(abs(value - end) <= SNAP for value in ends)
            if abs(end - edge) > 2 * SNAP and together >= max(2, 0.6 * len(ends)):
                added.append(Rule(left, end, right, end))
    return [*rules, *added]


def _cells(rules: list[Rule]) -> tuple[list[Box], bool]:
    from pdfplumber.table import edges_to_intersections, intersections_to_cells

    points = edges_to_intersections([_edge(rule) for rule in rules], SNAP, SNAP)
    if len(points) > MOST_POINTS:
        return [], True
    return [(float(a), float(b), float(c), float(d)) for a, b, c, d in intersections_to_cells(points)], False


def _tables(cells: list[Box]) -> list[list[Box]]:
    from pdfplumber.table import cells_to_tables

    real = [c for c in cells if c[2] - c[0] > SNAP and c[3] - c[1] > SNAP]
    return [table for table in cells_to_tables(real) if len(table) > 1] if real else []


def _steps(values: list[float]) -> list[float]:
    """Distinct values, those nearer than the snap taken as one."""
    steps: list[float] = []
    for value in sorted(values):
        if not steps or value - steps[-1] > SNAP:
            steps.append(value)
    return steps


def _lattice(cells: list[Box], rules: list[Rule]) -> Lattice:
    box = union_box(cells)
    xs = _steps([x for c in cells for x in (c[0], c[2])])
    ys = _steps([y for c in cells for y in (c[1], c[3])])
    xs[-1], ys[-1] = max(xs[-1], box[2]), max(ys[-1], box[3])
    lattice = Lattice(xs, ys)
    taken: set[tuple[int, int]] = set()
    for cell in sorted(cells, key=lambda c: (c[1], c[0])):
        c0, c1 = _nearest(xs, cell[0]), _nearest(xs, cell[2])
        r0, r1 = _nearest(ys, cell[1]), _nearest(ys, cell[3])
        spot = {(r, c) for r in range(r0, r1) for c in range(c0, c1)}
        if spot and not spot & taken:
            taken |= spot
            lattice.spots.append((r0, c0, r1 - r0, c1 - c0))
    upright = [rule for rule in rules if not rule.level]
    for r in range(len(ys) - 1):
        start = 0
        for c in range(len(xs) - 1):
            if (r, c) in taken:
                start = c + 1
            elif c + 1 == len(xs) - 1 or (r, c + 1) in taken or _divided(upright, xs[c + 1], ys[r], ys[r + 1]):
                lattice.spots.append((r, start, 1, c + 1 - start))
                start = c + 1
    lattice.spots.sort()
    return lattice


def _divided(upright: list[Rule], x: float, top: float, bottom: float) -> bool:
    """True when a line runs down at x through at least half of the stretch."""
    return any(
        abs(rule.x0 - x) <= SNAP and min(rule.bottom, bottom) - max(rule.top, top) > 0.5 * (bottom - top)
        for rule in upright
    )


def _nearest(steps: list[float], value: float) -> int:
    i = bisect_left(steps, value)
    if i == 0 or (i < len(steps) and steps[i] - value <= value - steps[i - 1]):
        return i
    return i - 1
