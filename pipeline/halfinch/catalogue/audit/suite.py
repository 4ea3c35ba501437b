"""The suite: what must hold of every figure, size, run, garment, sheet and decision, as expectations over the frames.

`critical` rules fail the audit: a broken one means that the catalogue is wrong. `warning` rules name what is worth a
look and may be true: a merchant who has changed his block breaks one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from halfinch.figure import BASES, CONVENTIONS, SEVERITIES, STATUSES
from halfinch.knowledge import Knowledge

GIVEN = ("figure_id", "garment_id", "reading_id", "sheet_id", "sheet", "point", "raw", "place")
DECISIONS = ("right", "should be", "not ours", "undo")

AREAS = {
    "identity": "Every figure is there once, and all it belongs to is there",
    "words": "Closed sets of words",
    "storage": "Numbers are stored exactly and as printed",
    "completeness": "Nothing that belongs there is missing",
    "ranges": "Each point within its limits",
    "relations": "The points of one size beside each other",
    "grading": "From size to size, from length to length",
    "duplicates": "Nothing told twice, nothing copied",
    "drift": "A merchant against his own past",
    "decisions": "Findings, rulings and tapes",
}
"""Groups of rules, in the order of a report."""


@dataclass(frozen=True, slots=True)
class Rule:
    """An expectation with the frame it looks at and the column whose value is told of a row that breaks it."""

    name: str
    area: str
    means: str
    frame: str
    column: str
    expectation: Any

    @property
    def severity(self) -> str:
        return str(self.expectation.severity.value)


class Suite:
    """Collects rules area by area."""

    def __init__(self, gx: Any) -> None:
        from halfinch.catalogue.audit import expectations

        self.kinds = gx.expectations
        self.trade = expectations
        self.rules: list[Rule] = []
        self.area = ""

    def ask(
        self, kind: Any, name: str, means: str, frame: str, shown: str, *, severity: str = "critical", **options: Any
    ) -> None:
        made = kind(meta={"rule": name}, description=means, severity=severity, **options)
        self.rules.append(Rule(name, self.area, means, frame, shown, made))

    def unique(self, name: str, means: str, frame: str, column: str) -> None:
        self.ask(self.kinds.ExpectColumnValuesToBeUnique, name, means, frame, column, column=column)

    def given(self, name: str, means: str, frame: str, column: str, **options: Any) -> None:
        kind = self.kinds.ExpectColumnValueLengthsToBeBetween
        self.ask(kind, name, means, frame, column, column=column, min_value=1, **options)

    def within(self, name: str, means: str, frame: str, column: str, **limits: float) -> None:
        named: dict[str, Any] = {f"{end}_value": value for end, value in limits.items()}
        self.ask(self.kinds.ExpectColumnValuesToBeBetween, name, means, frame, column, column=column, **named)

    def one_of(self, name: str, means: str, frame: str, column: str, words: list[Any]) -> None:
        kind = self.kinds.ExpectColumnValuesToBeInSet
        self.ask(kind, name, means, frame, column, column=column, value_set=words)


def build_rules(gx: Any, knowledge: Knowledge) -> list[Rule]:
    """Every rule, area by area; limits and words are those of `schemas/`."""
    from great_expectations.expectations.row_conditions import Column

    suite = Suite(gx)
    for area, add in ADDED.items():
        suite.area = area
        add(suite, knowledge, Column)
    return suite.rules


def add_identity(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    trade = suite.trade
    suite.unique("figure-unique", "every figure_id stands once", "figures", "figure_id")
    for column in GIVEN:
        suite.given(f"{column}-given", f"{column} is there", "figures", column)
    suite.ask(
        trade.ExpectFigureIdToBeItsOwn, "figure-id-own", "figure_id is made of reading, place, point, size and length",
        "figures", "figure_id",
    )  # fmt: skip
    suite.one_of("garment-known", "the garment of every figure is there", "figures", "garment_there", [True])
    suite.one_of("sheet-known", "the sheet of every figure is there", "figures", "sheet_there", [True])
    suite.unique("sheet-unique", "every sheet stands once", "sheets", "sheet_id")
    suite.unique("garment-unique", "every garment stands once", "garments", "garment_id")
    suite.unique("one-sheet-a-source", "one sheet is in force at a source", "receipts", "source")
    suite.ask(
        suite.kinds.ExpectCompoundColumnsToBeUnique, "size-unique", "a size and length of a garment stands once",
        "sizes", "size", column_list=["garment_id", "size", "length"],
    )  # fmt: skip


def add_words(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    sets = knowledge.enumerations.set
    for name, frame, column, words in (
        ("status-known", "figures", "status", list(STATUSES)),
        ("basis-known", "figures", "basis", list(BASES)),
        ("convention-known", "figures", "convention", list(CONVENTIONS)),
        ("point-known", "figures", "point", list(knowledge.points)),
        ("unit-known", "figures", "unit", ["", *sets["unit"].words]),
        ("size-scope-known", "figures", "size_scope", list(sets["scope"].words)),
        ("length-scope-known", "figures", "length_scope", list(sets["scope"].words)),
        ("at-from-known", "figures", "at_from", ["", *sets["at_from"].words]),
        ("state-known", "garments", "state", list(sets["state"].words)),
        ("outcome-known", "sheets", "outcome", list(sets["outcome"].words)),
        ("severity-known", "findings", "severity", list(SEVERITIES)),
        ("decision-known", "rulings", "decision", list(DECISIONS)),
        ("taped-point-known", "taped", "point", ["", *knowledge.points]),
    ):
        suite.one_of(name, f"{column} is one of the known words", frame, column, words)


def add_storage(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    trade, units = suite.trade, sorted(knowledge.enumerations.set["unit"].words)
    cases: tuple[tuple[Any, str, str, str, dict[str, Any]], ...] = (
        (trade.ExpectCleanLengthToBePositive, "length-positive", "a clean figure is longer than nothing", "length_nm",
         {}),
        (trade.ExpectInchesToBeTheirNanometres, "inches-exact", "inches are the stored nanometres", "inches", {}),
        (trade.ExpectInchesToBeTheirNanometres, "inches-to-exact", "so is the upper end", "inches_to",
         {"column_list": ["inches_to", "length_to_nm"]}),
        (trade.ExpectHalfInchToBeNearest, "half-inch-nearest", "to the nearest half, ties to even", "half_inch", {}),
        (trade.ExpectRangeToRunUpwards, "range-upright", "a printed range runs upwards", "inches_to", {}),
        (trade.ExpectToleranceToBeTheWider, "tolerance-wider", "tolerance is the wider one stated", "tolerance", {}),
        (trade.ExpectLengthToBePrinted, "as-printed", "the stored length is one the printed text can mean", "inches",
         {"limits": {"units": units}}),
    )  # fmt: skip
    for kind, name, means, column, options in cases:
        suite.ask(kind, name, means, "figures", column, **options)
    suite.one_of("size-kept", "a row of sizes says what its figures say", "kept", "kept", [True])
    suite.within("tolerance-positive", "a tolerance is not below nothing", "figures", "tolerance", min=0)
    suite.within("price-positive", "a price is not below nothing", "garments", "price", min=0)
    suite.within("stretch-a-share", "a stated stretch is a share of the cloth", "garments", "stretch", min=0, max=1)


def add_completeness(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    suite.within("sheet-has-figures", "a sheet that was read has figures", "sheets", "figures", min=1)
    suite.ask(
        suite.trade.ExpectRunToBeWhole, "run-whole", "a point that most sizes of a run tell is told or held for each",
        "cells", "told", severity="warning",
    )  # fmt: skip
    suite.given("merchant-given", "whose garment it is", "garments", "merchant", severity="warning")


def add_ranges(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    for name, point in knowledge.points.items():
        low, high = float(point.low), float(point.high)
        suite.ask(
            suite.trade.ExpectPointToBeWithinItsLimits, f"range-{name}", f"{low:g} to {high:g} in", "values", "value",
            limits={"point": name, "low": low, "high": high}, row_condition=column_of("point") == name,
        )  # fmt: skip


def add_relations(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    for name, relation in knowledge.relations.relation.items():
        low, high = float(relation.limits.low), float(relation.limits.high)
        told = f"{relation.of} {'less' if relation.form == 'difference' else 'over'} {' and '.join(relation.to)}"
        limits = {"of": relation.of, "to": list(relation.to), "form": relation.form, "low": low, "high": high}
        suite.ask(
            suite.trade.ExpectPointsToStandInRelation, f"relation-{name}",
            f"{told} is {low:g} to {high:g}: {relation.because}", "sizes", relation.of, limits=limits,
            column_list=[relation.of, *relation.to], ignore_row_if="any_value_is_missing",
        )  # fmt: skip


def add_grading(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    trade = suite.trade
    for name, point in knowledge.points.items():
        if point.of == "garment":
            most = float(max(abs(point.grade_least), abs(point.grade_most)))
            suite.ask(
                trade.ExpectStepsToBeSmall, f"grade-{name}", f"at most {most:g} in a size", "steps", "inches",
                limits={"most": most}, row_condition=column_of("point") == name,
            )  # fmt: skip
    suite.ask(
        trade.ExpectRunToMove, "waist-moves", "a waist grows with the size", "runs", "inches",
        row_condition=column_of("point") == "waist",
    )  # fmt: skip
    suite.ask(
        trade.ExpectLongerLengthToBeLonger, "length-order", "a longer length is longer", "steps", "inches",
        row_condition=column_of("point") == "inseam",
    )  # fmt: skip


def add_duplicates(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    suite.ask(
        suite.trade.ExpectSizeToBeToldOnce, "told-once",
        "a sheet tells a point of a size once, or a finding says that it tells it differently", "figures", "inches",
    )  # fmt: skip
    suite.ask(
        suite.trade.ExpectTableNotToBeCopied, "table-not-copied", "no two styles have one and the same table",
        "garments", "twins", severity="warning",
    )  # fmt: skip


def add_drift(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    """Limits: between two sheets of a style, its usual tolerance; between a merchant's styles, a size's usual step."""
    for name, point in knowledge.points.items():
        if point.of != "garment":
            continue
        for frame, most, means in (
            ("styles", point.tolerance, "a style's new sheet keeps within {:g} in of his last one"),
            ("merchants", point.grade_high, "a size stays within {:g} in of the same size on his earlier sheets"),
        ):
            if frame == "merchants" and name not in ("waist", "hip"):
                continue
            suite.ask(
                suite.trade.ExpectMerchantToKeepHisMeasure, f"drift-{frame}-{name}", means.format(float(most)), frame,
                "moved", severity="warning", limits={"point": name, "most": float(most)},
                row_condition=column_of("point") == name,
            )  # fmt: skip


def add_decisions(suite: Suite, knowledge: Knowledge, column_of: Any) -> None:
    trade = suite.trade
    suite.ask(
        trade.ExpectDoubtToBeTold, "doubt-told", "a finding says why a figure is held or assumed", "figures", "status"
    )
    suite.ask(
        trade.ExpectRuledToHaveItsRuling, "ruling-known", "what is ruled or set aside has its ruling", "figures",
        "basis",
        row_condition=(column_of("basis") == "ruled") | (column_of("status") == "set_aside"),
    )  # fmt: skip
    suite.unique("finding-unique", "every finding stands once", "findings", "finding_id")
    suite.given("finding-says", "a finding says what was seen", "findings", "message")
    for kind in ("figure", "garment"):
        suite.ask(
            trade.ExpectIdToPointAtSomething, f"finding-{kind}-known", f"the {kind} a finding speaks of is there",
            "findings", f"{kind}_id", column_list=[f"{kind}_id", f"{kind}_there"],
        )  # fmt: skip
    suite.unique("ruling-unique", "every ruling stands once", "rulings", "ruling_id")
    suite.ask(
        trade.ExpectCorrectionToSayWhat, "correction-says-what", 'a ruling "should be" says what', "rulings", "inches"
    )
    suite.ask(
        trade.ExpectIdToPointAtSomething, "undone-known", "the ruling that another takes back is there", "rulings",
        "undoes", column_list=["undoes", "undone_there"],
    )  # fmt: skip
    suite.within("taped-positive", "a taped length is longer than nothing", "taped", "value", min=0.000001)
    suite.one_of("taped-garment-known", "the garment that was taped is there", "taped", "garment_there", [True])


ADDED: dict[str, Callable[[Suite, Knowledge, Any], None]] = {
    "identity": add_identity,
    "words": add_words,
    "storage": add_storage,
    "completeness": add_completeness,
    "ranges": add_ranges,
    "relations": add_relations,
    "grading": add_grading,
    "duplicates": add_duplicates,
    "drift": add_drift,
    "decisions": add_decisions,
}
