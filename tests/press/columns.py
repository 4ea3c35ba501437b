"""The points a sheet prints: label, unit, flat or round, and whether a reader of the trade can tell which.

The limits below say when a bare number settles flat or round by itself; between them neighbours must. They are set from
the trade's ranges before anything is read: common practice, see `decide`.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from .numbers import STEPS, NumberStyle
from .truth import GIRTHS, POINTS, Garment, quantise
from .words import draw_label, dress_labels, load_words

# Printed inches at or under the first must be flat, at or above the second must be round.
SURE = {
    "waist": (21.0, 23.0),
    "hip": (28.0, 32.0),
    "thigh": (15.5, 18.0),
    "knee": (11.0, 13.5),
    "leg_opening": (8.75, 12.75),
}
MODES = {
    "round in labels": 4, "flat in labels": 5, "mixed in labels": 3, "flat by note": 4, "round by note": 1,
    "round unsaid": 6, "flat unsaid": 5, "mixed unsaid": 6, "flat said once": 2,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Column:
    """One printed point. `other` is True for points that are none of ours."""

    point: str
    label: str
    flat: bool
    said: bool
    unit: str
    step: Fraction
    other: tuple[float, float] | None = None
    expect: str = "value"
    why: str = ""
    pair: bool = False
    """Relaxed and stretched in one cell."""

    def printed(self, garment: Garment, size: str, length: str) -> Fraction:
        """The number as it stands on the sheet, in `unit`."""
        inches = garment.values[(self.point, size, length)]
        scaled = inches * {"in": 1.0, "cm": 2.54, "mm": 25.4}[self.unit] / (2 if self.flat else 1)
        return quantise(scaled, self.step)


@dataclass(frozen=True, slots=True)
class Manner:
    """How one sheet prints: language, unit, how units and conventions are said, number styles."""

    language: str
    unit: str
    unit_said: str
    """note | label | cell | corner | unsaid | rows (the legs' lengths in the other unit) | both"""
    mode: str
    styles: dict[str, NumberStyle]
    named: bool
    """The title names the silhouette."""


def draw_columns(rng: random.Random, manner: Manner, way: str) -> list[Column]:
    """Which points are printed, in which order, under which labels, dressed in which way."""
    chosen = _choose_points(rng)
    step = rng.choice(STEPS[manner.unit])
    columns = []
    for number, point in enumerate(chosen):
        flat, said = _convention(manner.mode, point, number == 0)
        says = "plain" if not said or point not in GIRTHS else "flat" if flat else "round"
        label = draw_label(rng, manner.language, point, says)
        words = load_words(manner.language)["points"][point]
        if not said and not flat and "round" in words and manner.language == "zh" and rng.random() < 0.6:
            label, said = rng.choice(words["round"]), True
        unit = manner.unit
        if manner.unit_said == "rows" and point not in GIRTHS:
            unit = "in" if manner.unit == "cm" else "cm"
        chosen_step = step if unit == manner.unit else STEPS[unit][0]
        columns.append(Column(point, label, flat and point in GIRTHS, said, unit, chosen_step))
    labels = dress_labels(rng, [column.label for column in columns], way)
    return [replace(column, label=label) for column, label in zip(columns, labels, strict=True)]


def _choose_points(rng: random.Random) -> list[str]:
    wanted = rng.choices([2, 3, 4, 5, 6, 7, 8, 9], [1, 3, 5, 5, 5, 4, 3, 4])[0]
    weights = {"waist": 9, "hip": 8, "thigh": 6, "knee": 3, "leg_opening": 7, "front_rise": 8, "back_rise": 4}
    pool = list(POINTS)
    chosen: list[str] = []
    while len(chosen) < min(wanted, len(POINTS)):
        pick = rng.choices(pool, [weights.get(point, 7) for point in pool])[0]
        pool.remove(pick)
        chosen.append(pick)
    if rng.random() < 0.7:
        chosen.sort(key=POINTS.index)
    return chosen


def _convention(mode: str, point: str, first: bool) -> tuple[bool, bool]:
    """(flat, said in the label)."""
    leg = point in ("thigh", "knee", "leg_opening")
    if mode == "mixed in labels":
        return leg, True
    if mode == "mixed unsaid":
        return leg, False
    if mode == "flat said once":
        return True, first
    return mode.startswith("flat"), mode.endswith("in labels")


def decide(columns: Iterable[Column], garment: Garment, manner: Manner) -> list[Column]:
    """Marks each column: must be read, must be held, or either is fair."""
    columns = list(columns)
    by_note = manner.mode.endswith("by note")
    known = {c.point: _side(c, garment, by_note) for c in columns if c.point in GIRTHS and c.other is None}
    _settle_by_neighbours(known, columns, garment, manner)
    decided = []
    for column in columns:
        expect, why = "value", ""
        if column.point in GIRTHS and column.other is None and known[column.point] is None:
            expect, why = _by_neighbours(column, known, manner, garment.silhouette in ("barrel", "wide"))
            if expect == "hold" and not _in_the_middle(column, garment):
                expect = "either"
        if manner.unit_said == "unsaid" and not any(c.point not in GIRTHS for c in columns if c.other is None):
            expect, why = ("either" if expect == "value" else expect), "no unit and no length beside it"
        if expect == "value" and column.point in ("thigh", "knee") and not manner.named and _alike(columns, garment):
            expect, why = "either", "a knee as wide as the thigh in every size may be one row under two names"
        if expect == "value" and _body_or_garment(columns, by_note):
            expect, why = "either", "waist, hip and inseam alone may be a body's"
        decided.append(replace(column, expect=expect, why=why))
    return decided


def _alike(columns: list[Column], garment: Garment) -> bool:
    """Whether thigh and knee are printed alike in every size."""
    pair = [column for column in columns if column.point in ("thigh", "knee") and column.other is None]
    runs = [
        [column.printed(garment, size.token, length) for size in garment.sizes for length in garment.lengths]
        for column in pair
    ]
    return len(runs) == 2 and runs[0] == runs[1]


def _body_or_garment(columns: list[Column], by_note: bool) -> bool:
    """Nothing says whether a garment or a body was measured: only points that both have, round, without a word."""
    points = {column.point for column in columns if column.other is None}
    return points <= {"waist", "hip", "inseam"} and not by_note and not any(c.said or c.flat for c in columns)


def _settle_by_neighbours(
    known: dict[str, str | None], columns: list[Column], garment: Garment, manner: Manner
) -> None:
    """Thigh beside a settled hip, then knee beside a settled thigh, are settled too."""
    for point in ("thigh", "knee"):
        column = next((c for c in columns if c.point == point and c.other is None), None)
        if column is None or known[point] is not None:
            continue
        if _by_neighbours(column, known, manner, garment.silhouette in ("barrel", "wide"))[0] == "value":
            known[point] = "flat" if column.flat else "round"


def _side(column: Column, garment: Garment, by_note: bool) -> str | None:
    if column.said or by_note:
        return "flat" if column.flat else "round"
    scale = {"in": 1.0, "cm": 2.54, "mm": 25.4}[column.unit]
    low, high = SURE[column.point]
    sides = set()
    for size in garment.sizes:
        for length in garment.lengths:
            number = float(column.printed(garment, size.token, length)) / scale
            sides.add("flat" if number <= low else "round" if number >= high else None)
    truly = "flat" if column.flat else "round"
    return truly if sides - {None} == {truly} else None


def _in_the_middle(column: Column, garment: Garment) -> bool:
    """Openings of about 9 1/4 to 11 3/4 printed inches are as likely half as whole."""
    scale = {"in": 1.0, "cm": 2.54, "mm": 25.4}[column.unit]
    numbers = [float(column.printed(garment, size.token, garment.lengths[0])) / scale for size in garment.sizes]
    return all(9.25 <= number <= 11.75 for number in numbers)


def _by_neighbours(column: Column, known: dict[str, str | None], manner: Manner, barrel: bool) -> tuple[str, str]:
    beside = {point: known.get(point) for point in ("hip", "thigh", "knee")}
    if column.point in ("waist", "hip"):
        return "either", "between half and whole"
    if column.point == "thigh":
        return ("value", "") if beside["hip"] else ("either", "thigh between half and whole, no hip beside it")
    if column.point == "knee":
        if not beside["thigh"] or (barrel and not manner.named):
            return "either", "knee between half and whole, nothing beside it that settles it"
        return "value", ""
    if beside["thigh"] and beside["thigh"] == beside["knee"] and manner.named:
        return "value", ""
    if beside["thigh"] or beside["knee"] or manner.named:
        return "either", "opening between half and whole"
    if known.get("waist", known.get("hip")) == "flat":
        return "either", "opening between half and whole, but the band is flat"
    return "hold", "opening between half and whole, no word and no leg beside it"
