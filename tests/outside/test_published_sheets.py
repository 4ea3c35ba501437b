"""Figures that merchants' published sheets really print pass from cell to judgement.

Source: published sheets met while collecting references (figures only, no names): flat inches with a tolerance of 1/2
on waistband and hip and 1/4 on thigh, knee, opening, inseam and rises, grades of 1, 1/2 and 1/4, an inseam row
30 31 31 32 33 under a grade of 0; ASTM D5585-11e1, Table 1, waists of sizes 00 to 20 (read on ASTM's own page).
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

from halfinch import knowledge
from halfinch.figure import SheetResult
from halfinch.interpret import interpret
from halfinch.readers import read_plain
from halfinch.sheet import Sheet

KNOWLEDGE = knowledge.load()
DATA = Path(__file__).parent.parent / "data"


def read(text: str, name: str = "sheet.csv") -> SheetResult:
    sheet = read_plain(text.encode(), name)
    assert isinstance(sheet, Sheet)
    return interpret(sheet, KNOWLEDGE)


def test_a_grade_of_nothing_beside_a_row_that_grows() -> None:
    text = (
        "Point of measure (inches, flat);TOL +/-;GRADE;26;27;28;29;30\n"
        "Waistband;1/2;1/2;14;14 1/2;15;15 1/2;16\n"
        "Inseam;1/4;0;30;31;31;32;33\n"
        "Front rise;1/4;1/4;9;9 1/4;9 1/2;9 3/4;10\n"
    )
    result = read(text)
    inseams = {one.size: one.length_nm / 25_400_000 for one in result.figures if one.point == "inseam"}
    assert inseams == {"26": 30, "27": 31, "28": 31, "29": 32, "30": 33}
    assert {one.status for one in result.figures} == {"accepted"}
    assert {one.tolerance_plus_nm for one in result.figures if one.point == "waist"} == {25_400_000}
    assert {one.tolerance_plus_nm for one in result.figures if one.point == "inseam"} == {6_350_000}


def test_waists_of_astm_d5585_as_a_body_chart() -> None:
    """Eighths of an inch over twelve sizes, steps of 3/4 to 1 1/2: exact, and the body's, not the garment's."""
    with (DATA / "astm_d5585_misses.csv").open() as lines:
        rows = [row for row in csv.DictReader(lines) if row["edition"] == "D5585-11e1" and row["waist_straight_in"]]
    text = "Jeans, body measurements (inches)\n\nSize;" + ";".join(row["size"] for row in rows) + "\n"
    text += "Bust;" + ";".join(row["bust_in"] for row in rows) + "\n"
    text += "Waist;" + ";".join(row["waist_straight_in"] for row in rows) + "\n"
    text += "Hip;" + ";".join(str(36 + index) for index in range(len(rows))) + "\n"
    found = {one.size: one for one in read(text).figures if one.point == "body_waist"}
    assert len(found) == len(rows) > 8
    for row in rows:
        exact = sum((Fraction(part) for part in row["waist_straight_in"].split()), Fraction(0))
        assert Fraction(found[row["size"]].length_nm, 25_400_000) == exact
        assert found[row["size"]].status == "accepted"
