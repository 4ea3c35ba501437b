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
    pytest.param(
        ["# Pantalon",
         [["Taille", "Point de mesure", "Valeur (cm)"], ["32", "Tour de taille", "84"], ["32", "Entrejambe", "78"],
          ["33", "Tour de taille", "86"], ["33", "Entrejambe", "78"]]],
        {"Pantalon": "waist 32=84cm 33=86cm | inseam 32=78cm 33=78cm"},
        id="beside-the-names-of-points-taille-is-the-size",
    ),
    pytest.param(
        ["# Damesbroek", "Breedtes plat gemeten, in cm",
         [["Maatvoering", "UK 4", "UK 6", "UK 8"], ["Binnenlengte", "78", "78", "78"], ["Taille", "32", "33", "35"]]],
        {"Damesbroek": "waist 4=64cm 6=66cm 8=70cm | inseam 4=78cm 6=78cm 8=78cm"},
        id="under-sizes-taille-is-measured",
    ),
    pytest.param(
        [[["Size", "Waist (in)", "Inseam (in)"], ["XS", "28", "30"], ["S", "30", "30"]], "Alma jeans",
         [["Size", "Waist (in)", "Inseam (in)"], ["XS", "26", "28"], ["S", "28", "28"]], "Berta jeans"],
        {"Alma jeans": "waist XS=28~ S=30~ | inseam XS=30 S=30",
         "Berta jeans": "waist XS=26~ S=28~ | inseam XS=28 S=28"},
        id="titles-under-their-tables",
    ),
    pytest.param(
        ["# Alma jeans",
         [["Size", "Point", "Value"], ["8", "Waist", "28 in"], ["8", "Hip", "38 in"], ["8", "Opening", "7 in"],
          ["10", "Waist", "29 in"], ["10", "Hip", "39 in"], ["10", "Opening", "7 1/4 in"]]],
        {"Alma jeans": "waist 8=28~ 10=29~ | hip 8=38~ 10=39~ | leg_opening 8=14~ 10=14.5~"},
        id="a-weak-name-once-a-size",
    ),
    pytest.param(
        ["# Alma jeans (in)", [["S I Z E", "W A I S T", "H I P"], ["8", "28", "38"], ["10", "29", "39"]]],
        {"Alma jeans": "waist 8=28~ 10=29~ | hip 8=38~ 10=39~"},
        id="three-letters-spaced-out",
    ),
    pytest.param(
        ["# Pantalón (cm)",
         [["Talla", "Cadera", "Muslo", "Tiro trasero", "Tiro"], ["M", "111", "36", "29", "22"],
          ["L", "116", "38", "30", "22"], ["XL", "123", "40", "31", "23"]]],
        {"Pantalón": "hip M=111cm~ L=116cm~ XL=123cm~ | thigh M=72cm~ L=76cm~ XL=80cm~ "
                     "| back_rise M=29cm L=30cm XL=31cm | front_rise M=22cm L=22cm XL=23cm"},
        id="figures-that-fall-like-sizes-open-no-table",
    ),
    pytest.param(
        ["# Alma jeans",
         [["Point", "Waist", "8", "28 in", "10", "29 in"], ["Point", "Inseam", "8", "30 in", "10", "30 in"]]],
        {"Alma jeans": "waist 8=28~ 10=29~ | inseam 8=30 10=30"},
        id="records-that-print-their-heads-each",
    ),
    pytest.param(
        ["# Alma jeans", [["Size", "Waist (in)", "Hip (in)"], ["8", "28", "38"], ["10", "29", "39"]],
         '# Inseam: Short 28", Regular 30", & Long 32"'],
        {"Alma jeans": "waist 8=28~ 10=29~ | hip 8=38~ 10=39~ | inseam */short=28 */regular=30 */long=32"},
        id="a-list-of-lengths-set-as-a-heading",
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
