"""Headings whose meaning the table itself settles: keys, "Taille (cm)", weak names, a unit in the value's heading."""

from __future__ import annotations

import pytest
from small_sheets import by_style, read_sheet, want

CASES = [
    pytest.param(
        ["# Jean", [["Taille (cm)", "Taille ceinture", "Entrejambe"], ["38", "74", "78"], ["40", "78", "78"],
                    ["42", "82", "78"]]],
        {"Jean": "waist 38=74cm~ 40=78cm~ 42=82cm~ | inseam 38=78cm 40=78cm 42=78cm"},
        id="taille-with-its-unit-is-the-size",
    ),
    pytest.param(
        ["# Broek", [["Maat", "Band", "Binnenbeenlengte"], ["38", "74 cm", "78 cm"], ["40", "78 cm", "78 cm"]]],
        {"Broek": "waist 38=74cm~ 40=78cm~ | inseam 38=78cm 40=78cm"},
        id="band-of-74-cm-is-the-waist",
    ),
    pytest.param(
        ["# Jeans", [["Size", "A", "B", "L", "M"], ["S", "28 in", "38 in", "30 in", "40 in"],
                     ["M", "30 in", "40 in", "30 in", "40 1/4 in"], ["L", "32 in", "42 in", "30 in", "40 1/2 in"]],
         "A = Waist", "B = Hip", "L = Inseam", "M = Outseam"],
        {"Jeans": "waist S=28~ M=30~ L=32~ | hip S=38~ M=40~ L=42~ | inseam S=30 M=30 L=30 | outseam S=40 M=40.25 L=40.5"},  # noqa: E501
        id="m-and-l-are-keys-and-sizes",
    ),
    pytest.param(
        ["A = Waist", "B = Inseam", "# Calder jeans",
         [["Size", "A", "B"], ["8", "30 in", "30 in"], ["10", "31 in", "30 in"]]],
        {"Calder jeans": "waist 8=30~ 10=31~ | inseam 8=30 10=30"},
        id="a-key-is-no-name-of-a-style",
    ),
    pytest.param(
        ["# Pantalone",
         [["Taglia", "Punto di misura", "Valore (cm)"], ["40", "Vita", "74"], ["40", "Interno gamba", "78"],
          ["42", "Vita", "78"], ["42", "Interno gamba", "78"]]],
        {"Pantalone": "waist 40=74cm~ 42=78cm~ | inseam 40=78cm 42=78cm"},
        id="the-unit-stands-over-the-values",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("blocks", "expected"), CASES)
def test_settled_headings(blocks: list[object], expected: dict[str, str]) -> None:
    assert by_style(read_sheet(*blocks)) == {name: want(text) for name, text in expected.items()}


PAIRS = [
    pytest.param("13¾ / 18", "27.5", id="fractions"),
    pytest.param("17 / 22", "34", id="looks-like-a-fraction"),
    pytest.param("35.75/46.5", "35.75", id="without-blanks"),
    pytest.param("28-36", "28", id="looks-like-a-range"),
    pytest.param("36 / 28", "28", id="the-stretched-one-first"),
    pytest.param('28" / 36"', "28", id="with-signs"),
]


@pytest.mark.parametrize(("printed", "relaxed"), PAIRS)
def test_relaxed_and_stretched_in_one_cell(printed: str, relaxed: str) -> None:
    """One size, all the way round: what is printed flat is doubled."""
    table = [["Size (in)", "Waist (relaxed / stretched)", "Inseam"], ["S", printed, "30"]]
    found = by_style(read_sheet("# Calder jeans", table))["Calder jeans"]["waist"]
    assert found == {f"S={relaxed}~"}
