"""The suite: what must hold of every figure, every size and every step, as expectations over the frames."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from halfinch.figure import BASES, CONVENTIONS, STATUSES
from halfinch.knowledge import Knowledge

SIX_DECIMALS = 1e-6
"""Inches are stored with six decimals; nanometres are exact."""

GIVEN = ("figure_id", "garment_id", "reading_id", "sheet_id", "sheet", "point", "raw", "place")


@dataclass(frozen=True, slots=True)
class Rule:
    """An expectation with the frame and column it looks at."""

    name: str
    means: str
    frame: str
    column: str
    expectation: Any


class Suite:
    """Collects rules; each kind of expectation is a method."""

    def __init__(self, gx: Any) -> None:
        self.kinds = gx.expectations
        self.rules: list[Rule] = []

    def _add(self, kind: Any, name: str, means: str, frame: str, column: str, **options: Any) -> None:
        self.rules.append(Rule(name, means, frame, column, kind(column=column, meta={"rule": name}, **options)))

    def unique(self, *what: str) -> None:
        self._add(self.kinds.ExpectColumnValuesToBeUnique, *what)

    def given(self, *what: str) -> None:
        self._add(self.kinds.ExpectColumnValueLengthsToBeBetween, *what, min_value=1)

    def within(self, *what: str, low: float | None = None, high: float | None = None) -> None:
        self._add(self.kinds.ExpectColumnValuesToBeBetween, *what, min_value=low, max_value=high)

    def one_of(self, *what: str, words: list[Any]) -> None:
        self._add(self.kinds.ExpectColumnValuesToBeInSet, *what, value_set=words)


def build_rules(gx: Any, knowledge: Knowledge) -> list[Rule]:
    """Identity, words, storage, print, company; then the limits of points, relations and grades."""
    suite = Suite(gx)
    add_identity(suite)
    add_words(suite, knowledge)
    add_storage(suite)
    add_limits(suite, knowledge)
    return suite.rules


def add_identity(suite: Suite) -> None:
    suite.unique("figure-unique", "every figure_id stands once", "figures", "figure_id")
    for column in GIVEN:
        suite.given(f"{column}-given", f"{column} is there", "figures", column)
    for name, means, column in (
        ("figure-id-own", "figure_id is made of reading, place, point, size and length", "own_id"),
        ("garment-known", "the garment of every figure is there", "garment_known"),
        ("sheet-known", "the sheet of every figure is there", "sheet_known"),
        ("doubt-told", "a finding says why a figure is held or assumed", "told"),
        ("ruling-known", "what is ruled or set aside has its ruling", "ruling_known"),
    ):
        suite.one_of(name, means, "figures", column, words=[True])


def add_words(suite: Suite, knowledge: Knowledge) -> None:
    sets = knowledge.enumerations.set
    for name, column, words in (
        ("status-known", "status", list(STATUSES)),
        ("basis-known", "basis", list(BASES)),
        ("convention-known", "convention", list(CONVENTIONS)),
        ("point-known", "point", list(knowledge.points)),
        ("unit-known", "unit", ["", *sets["unit"].words]),
        ("size-scope-known", "size_scope", list(sets["scope"].words)),
        ("length-scope-known", "length_scope", list(sets["scope"].words)),
        ("at-from-known", "at_from", ["", *sets["at_from"].words]),
    ):
        suite.one_of(name, f"{column} is one of the known words", "figures", column, words=words)


def add_storage(suite: Suite) -> None:
    tiny = SIX_DECIMALS
    suite.within("length-positive", "a clean figure is longer than nothing", "figures", "clean_nm", low=1)
    suite.within("inches-exact", "inches are the stored nanometres", "figures", "inches_off", low=-tiny, high=tiny)
    suite.within("inches-to-exact", "so is the upper end", "figures", "inches_to_off", low=-tiny, high=tiny)
    suite.within("half-inch-nearest", "to the nearest half, ties to even", "figures", "half_inch_off", low=0, high=0)
    suite.within("range-upright", "a printed range runs upwards", "figures", "range_width", low=0)
    suite.within("tolerance-wider", "tolerance is the wider one stated", "figures", "tolerance_off", low=0, high=0)
    suite.within("tolerance-positive", "a tolerance is not below nothing", "figures", "tolerance", low=0)
    suite.one_of("size-kept", "a row of sizes says what its figures say", "kept", "kept", words=[True])
    suite.within("as-printed", "the stored length is one the printed text can mean", "figures", "raw_off", high=0)


def add_limits(suite: Suite, knowledge: Knowledge) -> None:
    """The limits of `points.toml`, `relations.toml` and `grades.toml`, the ones that judge a single sheet."""
    for name, point in knowledge.points.items():
        low, high = float(point.low), float(point.high)
        suite.within(f"range-{name}", f"{low:g} to {high:g} in", "values", f"range_{name}", low=low, high=high)
    for name, relation in knowledge.relations.relation.items():
        low, high = float(relation.limits.low), float(relation.limits.high)
        told = f"{relation.of} {'less' if relation.form == 'difference' else 'over'} {' and '.join(relation.to)}"
        means = f"{told} is {low:g} to {high:g}: {relation.because}"
        suite.within(f"relation-{name}", means, "sizes", f"relation_{name}", low=low, high=high)
    for name, point in knowledge.points.items():
        if point.of == "garment":
            most = float(max(abs(point.grade_least), abs(point.grade_most)))
            suite.within(f"grade-{name}", f"at most {most:g} in a size", "steps", f"step_{name}", low=0, high=most)
    suite.one_of("waist-moves", "a waist grows with the size", "steps", "waist_moves", words=[True])
    suite.within("length-order", "a longer length is longer", "steps", "longer_by", low=0.000001)
