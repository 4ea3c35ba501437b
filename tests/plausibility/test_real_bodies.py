"""Real bodies pass: the limits of relations must admit every woman of the survey, worn without any ease.

Source: ANSUR II women, public working database, 1,986 rows (tests/data/ansur2_women_girths.csv names it). The navel
stands for the waist, the buttock for the hip, the lower thigh for the knee, heel and ankle for an opening that the foot
passes. A garment has ease on top; a limit that already refuses a body would refuse honest garments.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from judged import judged

from halfinch import knowledge
from halfinch.figure import Figure

DATA = Path(__file__).parent.parent / "data" / "ansur2_women_girths.csv"
COLUMNS = {
    "waist": "waistcircumference",
    "hip": "buttockcircumference",
    "thigh": "thighcircumference",
    "knee": "lowerthighcircumference",
    "leg_opening": "heelanklecircumference",
    "inseam": "crotchheight",
    "outseam": "waistheightomphalion",
}


@cache
def women() -> list[dict[str, int]]:
    """All rows, millimetres."""
    with DATA.open() as lines:
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        return [{name: int(value) for name, value in row.items()} for row in rows]


def test_the_whole_survey_is_here() -> None:
    assert len(women()) == 1986


SHARES = [
    pytest.param("hip_over_waist", 0, id="hip over waist"),
    pytest.param("thigh_of_hip", 0, id="thigh of hip"),
    pytest.param("knee_of_thigh", 0, id="knee of thigh"),
    pytest.param("opening_of_knee", 0, id="opening of knee"),
    pytest.param("outseam_over_inseam", 0, id="waist height over crotch height"),
]


@pytest.mark.parametrize(("name", "refused"), SHARES)
def test_relation_admits_every_body(name: str, refused: int) -> None:
    relation = knowledge.load().relations.relation[name]
    count = 0
    for woman in women():
        one, other = (Fraction(woman[COLUMNS[point]] * 10, 254) for point in (relation.of, relation.to[0]))
        outcome = one - other if relation.form == "difference" else one / other
        count += outcome not in relation.limits
    assert count == refused


def test_nothing_of_any_body_is_held() -> None:
    figures = [
        Figure(f"woman {number}", point, "", woman[column] * 1_000_000, "", "", size_scope="unsaid")
        for number, woman in enumerate(women())
        for point, column in COLUMNS.items()
    ]
    after, findings = judged(figures)
    assert [one for one in after if one.status != "accepted"] == []
    assert {one.severity for one in findings} <= {"warn"}


@pytest.mark.parametrize(("point", "column"), [("body_waist", "waist"), ("body_hip", "hip"), ("body_inseam", "inseam")])
def test_points_of_the_body_admit_every_body(point: str, column: str) -> None:
    figures = [Figure("g", point, "", woman[COLUMNS[column]] * 1_000_000, "", "") for woman in women()]
    assert {one.status for one in judged(figures)[0]} == {"accepted"}
