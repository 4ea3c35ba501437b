"""Estimates for another size: from a sample size by the merchant's own grade, else by usual grades.

Only inside plans, and marked: the catalogue never holds one. The doubt widens with every step: half the width of the
grade is added to the tolerance each time. In: the frame of sizes (sizes.Sizes.fetch_where). Out: the same with figures
filled in and, where a garment has a single sample size, with the sizes around it; the columns POINT_minus and
POINT_plus hold the widened tolerance, `estimated` the points (joined by spaces), `estimate_note` what plans say.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import inf, isnan, nan
from statistics import median
from typing import TYPE_CHECKING, Any

from halfinch.fit.garment import GarmentSize
from halfinch.fit.words import say
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

POINTS = ("front_rise", "back_rise", "inseam", "outseam", "waist", "hip", "thigh", "knee", "leg_opening")
MOST_STEPS = 3
"""So far from a stated size; farther the doubt is wider than any limit of a verdict."""
LEAST_OWN = 3
"""Steps of the merchant's sheets that make a grade of his own."""
OWN_WITHIN = 0.125
"""Inches: half the rounding to a quarter, by which equal steps differ when printed."""
ESTIMATED = "estimated"

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Grade:
    """Inches a size; each step may be off by `within`. `own`: learnt from the merchant's sheets."""

    step: float
    within: float
    own: bool = False


def find_run(system: str, knowledge: Knowledge) -> tuple[str, ...]:
    """The sizes of a system in order, () where it is not known."""
    systems = knowledge.size_systems
    if system == "alpha":
        return tuple(systems.alpha.order)
    row = systems.system.get(system)
    return tuple(row.sizes) if row is not None else ()


def order_sizes(sizes: Iterable[GarmentSize], knowledge: Knowledge) -> list[GarmentSize]:
    """As a size table lists them: length by length, each in the order of its system, else by number, else by name."""
    lengths = ("", *knowledge.lengths.length)

    def place(one: GarmentSize) -> tuple[Any, ...]:
        run = find_run(one.size_system, knowledge)
        in_run = run.index(one.size) if one.size in run else len(run)
        number = re.search(r"\d+(?:[.,]\d+)?", one.size)
        at = float(number[0].replace(",", ".")) if number else inf
        length = lengths.index(one.length) if one.length in lengths else len(lengths)
        return (length, one.length, in_run, at, one.size)

    return sorted(sizes, key=place)


def usual_grade(point: str, system: str, knowledge: Knowledge) -> Grade:
    """The usual grade of a point: the middle of grades.toml; letters step double (common practice)."""
    known = knowledge.points[point]
    times = 2 if system == "alpha" else 1
    low, high = float(known.grade_low) * times, float(known.grade_high) * times
    return Grade((low + high) / 2, (high - low) / 2)


def own_grade(steps: Iterable[float]) -> Grade | None:
    """A merchant's grade from steps between neighbouring sizes of his sheets; None where there are too few."""
    values = list(steps)
    if len(values) < LEAST_OWN:
        return None
    return Grade(median(values), max((max(values) - min(values)) / 2, OWN_WITHIN), own=True)


def estimate(inches: float, tolerance: float, steps: int, grade: Grade) -> tuple[float, float]:
    """A figure `steps` sizes up (below 0: down) and its tolerance, inches."""
    return inches + steps * grade.step, tolerance + abs(steps) * grade.within


def add_estimates(frame: pd.DataFrame, knowledge: Knowledge) -> pd.DataFrame:
    """The frame with estimates (see above); the one given is not changed."""
    import pandas as pd

    rows: list[Row] = [{str(key): value for key, value in row.items()} for row in frame.to_dict("records")]
    groups: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in rows:
        groups[str(row["garment_id"]), str(row["length"])].append(row)
    grades = _Grades(groups.values(), knowledge)
    out: list[Row] = []
    for members in groups.values():
        placed = {at: row for row in members if (at := _position(row, knowledge)) is not None}
        filled = [_fill(row, placed, grades, knowledge) for row in members]
        out += filled
        if len(members) == 1 and len(placed) == 1:
            out += _around(filled[0], grades, knowledge)
    return pd.DataFrame(out, columns=list(dict.fromkeys([*frame.columns, *(name for row in out for name in row)])))


class _Grades:
    """By merchant, system and point; the merchant's own where his sheets tell it."""

    def __init__(self, groups: Iterable[list[Row]], knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        steps: dict[tuple[str, str, str], list[float]] = defaultdict(list)
        for members in groups:
            placed = {at: row for row in members if (at := _position(row, knowledge)) is not None}
            for low, high in pairwise(sorted(placed)):
                one, other = placed[low], placed[high]
                for point in POINTS:
                    a, b = _number(one, point), _number(other, point)
                    if not isnan(a) and not isnan(b):
                        key = (str(one["merchant"]), str(one["size_system"]), point)
                        steps[key].append((b - a) / (high - low))
        self.own = {key: grade for key, values in steps.items() if key[0] and (grade := own_grade(values))}

    def of(self, row: Row, point: str) -> Grade:
        system = str(row["size_system"])
        own = self.own.get((str(row["merchant"]), system, point))
        return own or usual_grade(point, system, self.knowledge)


def _position(row: Mapping[str, Any], knowledge: Knowledge) -> int | None:
    run = find_run(str(row["size_system"]), knowledge)
    size = str(row["size"])
    return run.index(size) if size in run else None


def _number(row: Mapping[str, Any], name: str) -> float:
    try:
        return float(row.get(name, nan))
    except (TypeError, ValueError):  # None, pandas.NA
        return nan


def _tolerance(row: Mapping[str, Any], point: str, knowledge: Knowledge) -> float:
    told = [value for side in ("minus", "plus") if not isnan(value := _number(row, f"{point}_{side}"))]
    return max(told, default=float(knowledge.points[point].tolerance))


def _middle(row: Mapping[str, Any], point: str) -> tuple[float, float]:
    """Middle of a figure and half the width of its printed range."""
    low, high = _number(row, point), _number(row, f"{point}_to")
    return (low, 0.0) if isnan(high) else ((low + high) / 2, (high - low) / 2)


def _fill(row: Row, placed: Mapping[int, Row], grades: _Grades, knowledge: Knowledge) -> Row:
    """A size of the sheet: what is not told of it, from the nearest size of which it is."""
    here = _position(row, knowledge)
    new = dict(row)
    if here is None:
        return new
    for point in POINTS:
        if not isnan(_number(row, point)):
            continue
        there = [
            at for at, other in placed.items() if not isnan(_number(other, point)) and abs(at - here) <= MOST_STEPS
        ]
        if there:
            nearest = min(there, key=lambda at: (abs(at - here), at))
            _set(new, point, placed[nearest], here - nearest, grades, knowledge)
    return new


def _around(row: Row, grades: _Grades, knowledge: Knowledge) -> list[Row]:
    """The sizes around a garment's only one."""
    here = _position(row, knowledge)
    run = find_run(str(row["size_system"]), knowledge)
    assert here is not None
    found = []
    for steps in (*range(-MOST_STEPS, 0), *range(1, MOST_STEPS + 1)):
        if not 0 <= here + steps < len(run):
            continue
        new = {**row, "size": run[here + steps], "waist_stretched": nan, "label_waist": nan, "label_hip": nan}
        for point in POINTS:
            if not isnan(_number(row, point)):
                _set(new, point, row, steps, grades, knowledge)
        found.append(new)
    return found


def _set(new: Row, point: str, source: Row, steps: int, grades: _Grades, knowledge: Knowledge) -> None:
    """Writes one estimate with its doubt and what is to be said of it."""
    middle, spread = _middle(source, point)
    grade = grades.of(source, point)
    inches, within = estimate(middle, _tolerance(source, point, knowledge) + spread, steps, grade)
    new |= {
        point: inches, f"{point}_to": nan, f"{point}_minus": within, f"{point}_plus": within,
        f"{point}_basis": ESTIMATED, f"{point}_status": str(source.get(f"{point}_status") or "assumed"),
        f"{point}_figure": "", f"{point}_at": source.get(f"{point}_at", nan),
        f"{point}_at_from": source.get(f"{point}_at_from", ""),
    }  # fmt: skip
    whose = "the merchant's grade" if grade.own else "usual grades"
    count = f"{abs(steps)} size{'s' if abs(steps) != 1 else ''}"
    note = (
        f"estimate: {point.replace('_', ' ')} {say(inches)} +/- {say(within)}, from size {source['size']} "
        f"({count} {'up' if steps > 0 else 'down'}) by {whose}; the sheet does not give it"
    )
    before = str(new.get("estimate_note") or "") if isinstance(new.get("estimate_note"), str) else ""
    new["estimate_note"] = "\n".join(part for part in (before, note) if part)
    points = str(new.get(ESTIMATED)) if isinstance(new.get(ESTIMATED), str) else ""
    new[ESTIMATED] = " ".join(dict.fromkeys([*points.split(), point]))
