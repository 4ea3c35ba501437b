"""A pattern handbook's table, read as a sheet: its relations hold, its own body is admitted.

Source: tests/data/pattern_handbook_women.csv names it (secondary source). Inside leg is computed there as
waist to floor less body rise, so side length = inside leg + rise must pass as outseam = inseam + rise.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from halfinch import knowledge
from halfinch.interpret import interpret
from halfinch.readers import read_plain
from halfinch.sheet import Sheet

KNOWLEDGE = knowledge.load()
DATA = Path(__file__).parent.parent / "data" / "pattern_handbook_women.csv"


def table() -> list[dict[str, str]]:
    with DATA.open() as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


ROWS = table()


@pytest.mark.parametrize("row", ROWS, ids=[f"UK {row['uk_size']}" for row in ROWS])
def test_inside_leg_is_the_difference(row: dict[str, str]) -> None:
    leg = Fraction(row["waist_to_floor_cm"]) - Fraction(row["body_rise_cm"])
    assert leg == Fraction(row["inside_leg_derived_cm"])


def sheet_text() -> str:
    """The table as a supplier would print a garment cut to it: girths round, hems flat as the book has them."""
    lines = ["Handbook trousers", "", "Size;" + ";".join(f"UK {row['uk_size']}" for row in ROWS)]
    names = {
        "Waist round (cm)": "waist_cm",
        "Hip round (cm)": "hip_cm",
        "Inside leg (cm)": "inside_leg_derived_cm",
        "Side length (cm)": "waist_to_floor_cm",
        "Front rise (cm)": "body_rise_cm",
        "Hem width, flat (cm)": "trouser_bottom_width_cm",
    }
    lines += [f"{label};" + ";".join(row[column] for row in ROWS) for label, column in names.items()]
    return "\n".join(lines) + "\n"


def test_the_table_passes_as_a_sheet() -> None:
    sheet = read_plain(sheet_text().encode(), "handbook.csv")
    assert isinstance(sheet, Sheet)
    result = interpret(sheet, KNOWLEDGE)
    assert sum(not one.point.startswith("label_") for one in result.figures) == 6 * len(ROWS)
    assert [(one.point, one.size, one.rivals) for one in result.figures if one.status != "accepted"] == []
    found = {(one.point, one.size): one.length_nm for one in result.figures}
    for row in ROWS:
        assert found["inseam", row["uk_size"]] == Fraction(row["inside_leg_derived_cm"]) * 10_000_000
        assert found["leg_opening", row["uk_size"]] == Fraction(row["trouser_bottom_width_cm"]) * 20_000_000
        assert found["outseam", row["uk_size"]] == found["inseam", row["uk_size"]] + found["front_rise", row["uk_size"]]


def test_uk_12_in_half_inches() -> None:
    """76.0 cm inside leg at UK 12 is 29.92 in, 30.0 to the half inch (reference notes, computed)."""
    from halfinch.normalise.half_inch import half_inch

    (row,) = [one for one in ROWS if one["uk_size"] == "12"]
    assert str(half_inch(int(Fraction(row["inside_leg_derived_cm"]) * 10_000_000))) == "30.0"
