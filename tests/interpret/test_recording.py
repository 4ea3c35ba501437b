"""The account of an interpretation: it tells what happened, and watching changes nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from halfinch import knowledge
from halfinch.interpret import interpret
from halfinch.interpret.account import Account, Sense
from halfinch.interpret.recording import Recorder
from halfinch.readers import read_bytes
from halfinch.sheet import Sheet

ROOT = Path(__file__).parents[2]
SHEETS = [
    "demo/tarnmoor-denim-works/arden-straight.pdf",
    "demo/hollin-and-thrupp/larkrise-straight.html",
    "querfelder-hosenwerk/weite-mal-laenge.csv",
    "copperlatch-supply/two-garments-side-by-side.pdf",
]


def read(data: bytes, name: str) -> Sheet:
    ((_, sheet),) = read_bytes(data, name)
    assert isinstance(sheet, Sheet)
    return sheet


def account_of(text: str) -> Account:
    recorder = Recorder()
    interpret(read(text.encode(), "a.csv"), knowledge.load(), trace=recorder)
    return recorder.account()


@pytest.mark.parametrize("name", SHEETS)
def test_watching_changes_nothing(name: str) -> None:
    sheet = read((ROOT / "fixtures" / name).read_bytes(), name)
    assert interpret(sheet, knowledge.load(), trace=Recorder()) == interpret(sheet, knowledge.load())


def test_best_reading_stands_first_with_its_score_and_points() -> None:
    (band,) = account_of("Size;8;10;12\nWaist (in);30;31;32\nInseam (in);30;30;30\n").bands
    assert band.ways[0].way == "points down"
    assert band.ways[0].points == ("waist 3", "inseam 3")
    assert [way.score for way in band.ways] == sorted((way.score for way in band.ways), reverse=True)
    assert band.kept == 6
    assert band.subject == "garment"


@pytest.mark.parametrize(
    ("text", "sense"),
    [
        pytest.param("1/2 Hip (cm)", "hip, flat, cm", id="label-with-its-unit-and-convention"),
        pytest.param("10", "size 10", id="a-bare-number-over-figures-is-a-size"),
        pytest.param("Total rise", "total rise", id="read-over"),
        pytest.param("Zwurbel", "", id="not-understood"),
    ],
)
def test_labels_are_told_as_understood(text: str, sense: str) -> None:
    bands = account_of(
        "Size;8;10\n1/2 Hip (cm);48;49\nTotal rise;60;61\nZwurbel;3;4\nInside leg (cm);76;76\nThigh (cm);56;58\n"
    ).bands
    senses = {one.text: one for band in bands for one in band.senses}
    assert senses[text].taken_as == sense
    assert senses[text].read_over == (sense == "total rise")
    assert isinstance(senses[text], Sense)


def test_unit_and_convention_hypotheses_are_told_with_their_scores() -> None:
    account = account_of("Size;8;10\nWaist;36;38\nThigh;29;30\nInseam;76;76\n")
    (unit,) = account.units
    assert unit.said == ""
    assert unit.scores[0][0] == "cm"
    (choice,) = account.conventions
    assert {margin.point: margin.taken for margin in choice.margins} == {"waist": "flat", "thigh": "flat"}
    assert choice.rivals[0].score > choice.rivals[1].score


def test_a_table_of_something_else_is_told_as_left_out() -> None:
    account = account_of("Item;Qty;Price\nCopper pipe;3;8.40\nSolder;4;1.15\n")
    assert [passed.why for passed in account.passed_over] == ["names no point of a garment"]
