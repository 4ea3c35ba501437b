"""Ranges, relations, copies and the order of lengths: on the limit passes, just outside is held."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from judged import figure, held, holding, judged, nm, run, size

from halfinch import knowledge
from halfinch.knowledge.spec_relations import Relation

KNOWLEDGE = knowledge.load()
HAIR = Fraction(1, 64)
LIMITED = sorted(name for name, point in KNOWLEDGE.points.items() if point.of != "label")


@pytest.mark.parametrize("point", LIMITED)
def test_range(point: str) -> None:
    known = KNOWLEDGE.points[point]
    assert [held([figure(point, value)]) for value in (known.low, known.high)] == [set(), set()]
    assert [held([figure(point, value)]) for value in (known.low - HAIR, known.high + HAIR)] == [{0}, {0}]


def test_the_upper_end_of_a_printed_range_counts_too() -> None:
    one = replace(figure("waist", 28), length_to_nm=nm(90))
    assert held([one]) == {0}


SUGGESTIONS = [
    pytest.param("inseam", 76, "centimetres instead of inches", id="76 in"),
    pytest.param("inseam", Fraction(3000, 254), "inches instead of centimetres", id="30 cm"),
    pytest.param("waist", 15, "flat instead of round", id="15 in round the waist"),
    pytest.param("inseam", 305, "slipped decimal point", id="305 in"),
]


@pytest.mark.parametrize(("point", "inches", "words"), SUGGESTIONS)
def test_the_reading_that_would_be_usual_is_named(point: str, inches: Fraction | int, words: str) -> None:
    (finding,) = judged([figure(point, inches)])[1]
    assert finding.rule == "range"
    assert words in finding.suggestion


def examples(relation: Relation, outcome: Fraction) -> Iterator[dict[str, Fraction]]:
    """Figures of this relation that give exactly this outcome, all inside their own limits."""
    names = (relation.of, *relation.to)
    spans = {name: KNOWLEDGE.points[name] for name in names}
    for picks in product(*([Fraction(i, 16) for i in range(17)] for _ in relation.to)):
        values = {
            name: spans[name].low + pick * (spans[name].high - spans[name].low)
            for name, pick in zip(relation.to, picks, strict=True)
        }
        rest = sum(values.values())
        values[relation.of] = rest + outcome if relation.form == "difference" else rest * outcome
        if all(spans[name].low <= value <= spans[name].high for name, value in values.items()):
            yield values


RELATIONS = [
    name for name, one in KNOWLEDGE.relations.relation.items() if not any(to.startswith("label") for to in one.to)
]
SIDES = [
    pytest.param("low", 0, False, id="on the lower limit"),
    pytest.param("low", 1, False, id="just inside the lower limit"),
    pytest.param("low", -1, True, id="just outside the lower limit"),
    pytest.param("high", 0, False, id="on the upper limit"),
    pytest.param("high", -1, False, id="just inside the upper limit"),
    pytest.param("high", 1, True, id="just outside the upper limit"),
]


@pytest.mark.parametrize(("side", "hair", "broken"), SIDES)
@pytest.mark.parametrize("name", RELATIONS)
def test_relation(name: str, side: str, hair: int, broken: bool) -> None:
    relation = KNOWLEDGE.relations.relation[name]
    step = HAIR if relation.form == "difference" else Fraction(1, 100)
    outcome = getattr(relation.limits, side) + hair * step
    values = next(examples(relation, outcome))
    assert (name in holding(size(values))) is broken


LABELS = [
    pytest.param({"waist": 29}, "29", "", set(), id="waist as labelled"),
    pytest.param({"waist": 31}, "29", "", set(), id="waist 2 over the label"),
    pytest.param({"waist": 36}, "29", "", set(), id="waist 7 over the label, on the limit"),
    pytest.param({"waist": "36 1/64"}, "29", "", {"waist_over_label"}, id="waist just too far over"),
    pytest.param({"waist": "26 1/2"}, "29", "", set(), id="waist 2 1/2 under, on the limit"),
    pytest.param({"waist": "26 31/64"}, "29", "", {"waist_over_label"}, id="waist just too far under"),
    pytest.param({"hip": 40}, "29", "", set(), id="hip 11 over the label"),
    pytest.param({"hip": 30}, "29", "", {"hip_over_label_waist"}, id="hip hardly over the label"),
    pytest.param({"inseam": 30}, "29", "30", set(), id="inseam as labelled"),
    pytest.param({"inseam": "32 1/4"}, "29", "30", set(), id="inseam 2 1/4 over, on the limit"),
    pytest.param({"inseam": 33}, "29", "30", {"inseam_over_label"}, id="inseam of another length"),
]


@pytest.mark.parametrize(("points", "name", "length", "rules"), LABELS)
def test_against_the_label(points: dict[str, str], name: str, length: str, rules: set[str]) -> None:
    assert holding(size(points, name, "waist", length)) == rules


def test_a_dress_size_promises_no_waist() -> None:
    assert holding(size({"waist": 29}, "12", "US")) == set()


def test_a_broken_relation_holds_its_own_figures_only() -> None:
    figures = size({"waist": 28, "hip": 60, "inseam": 30, "front_rise": 10})
    assert held(figures) == {0, 1}


def test_an_unusual_pair_is_a_warning_and_stays() -> None:
    figures, findings = judged(size({"hip": 45, "waist": 28}))
    assert {one.status for one in figures} == {"accepted"}
    assert {(one.rule, one.severity) for one in findings} == {("hip_over_waist", "warn")}


def test_sizes_are_not_compared_with_each_other() -> None:
    assert held(size({"hip": 60}, "24") + size({"waist": 28}, "4")) == set()


COPIES = [
    pytest.param({"waist": [28, 28, 28]}, {"waist"}, id="waist the same for all"),
    pytest.param({"waist": [28, 28, 28], "hip": [38, 38, 38]}, {"waist", "hip"}, id="waist and hip the same"),
    pytest.param({"waist": [28, 29, 30], "hip": [38, 38, 38]}, set(), id="only the hip: equal hips were met"),
    pytest.param({"inseam": [30, 30, 30]}, set(), id="inseam the same is usual"),
    pytest.param({"leg_opening": [14, 14, 14]}, set(), id="opening the same is usual"),
    pytest.param({"waist": [28, 28]}, set(), id="two sizes prove nothing"),
]


@pytest.mark.parametrize(("rows", "points"), COPIES)
def test_the_same_for_all(rows: dict[str, list[int]], points: set[str]) -> None:
    figures = [one for point, values in rows.items() for one in run(point, values)]
    assert {figures[index].point for index in held(figures)} == points
    assert holding(figures) <= {"same-for-all"}


ORDERS = [
    pytest.param({"petite": 28, "regular": 30, "tall": 33}, set(), id="in order"),
    pytest.param({"petite": 30, "regular": 30}, {"petite", "regular"}, id="petite as long as regular"),
    pytest.param({"petite": 31, "regular": 30, "tall": 33}, {"petite", "regular"}, id="petite longer than regular"),
    pytest.param({"regular": 33, "long": 32}, {"regular", "long"}, id="long shorter than regular"),
    pytest.param({"petite": 28, "short": 28, "regular": 30}, set(), id="petite and short may be equal"),
    pytest.param({"extra short": 26, "short": 28, "regular": 30, "tall": 34}, set(), id="four lengths"),
    pytest.param({"30": 30, "28": 28}, set(), id="numbers have no order of words"),
]


@pytest.mark.parametrize(("lengths", "broken"), ORDERS)
def test_order_of_lengths(lengths: dict[str, int], broken: set[str]) -> None:
    figures = [figure("inseam", inches, length=length) for length, inches in lengths.items()]
    assert {figures[index].length for index in held(figures)} == broken
    assert holding(figures) <= {"length-order"}


def test_order_and_number_of_figures_never_change() -> None:
    figures = run("waist", [28, 29, 90, 31]) + size({"hip": 60, "thigh": 5})
    after = judged(figures)[0]
    assert [replace(one, status="", rivals=()) for one in after] == [
        replace(one, status="", rivals=()) for one in figures
    ]


def test_no_rule_raises_a_status() -> None:
    figures = [figure("waist", 28, status="held"), figure("waist", 29, "6", status="assumed")]
    assert [one.status for one in judged(figures)[0]] == ["held", "assumed"]


def test_an_unknown_point_is_let_alone() -> None:
    assert held([figure("pocket", 5)]) == set()
