"""Commas that are no delimiters: decimal ones, and those of sentences."""

from __future__ import annotations

import pytest

from halfinch.readers.records import find_dialect

LINES = [
    pytest.param(
        ["inkl. MwSt., zzgl. Versand", "Hüfte (cm): 105,5", "Taille (cm): 73,5", "Innenlänge: 77,5"], id="sample"
    ),
    pytest.param(
        ["Rozmiar 18W: Pas 88,9 cm; Udo 68,2 cm; Krok 78,2 cm", "Rozmiar 20W: Pas 94,0 cm; Udo 71,2 cm; Krok 78,2 cm"],
        id="a-line-a-size",
    ),
    pytest.param(
        ["Beden 36: Bel (cm) 33,2; Basen (cm) 46,0; Boy 78,3", "Beden 38: Bel (cm) 34,4, Basen (cm) 47,2, Boy 78,3"],
        id="commas-of-the-sentence-have-a-blank",
    ),
    pytest.param(["Größe - Hüfte - Bund", "44 - 108,0 - 81,0", "46 - 112,0 - 85,5"], id="dashes-divide"),
    pytest.param(["Maß || Bund", '"44 || 108,0"', '"46 || 112,0"'], id="quoted-lines-with-bars"),
]  # fmt: skip


@pytest.mark.parametrize("lines", LINES)
def test_a_decimal_comma_divides_nothing(lines: list[str]) -> None:
    assert find_dialect(lines).delimiter != ","


def test_a_bar_between_two_units_divides_nothing() -> None:
    lines = ["Size S M", "waist 70 cm | 27 1/2 in 74 cm | 29 1/8 in", "hip 95 cm | 37 3/8 in 99 cm | 39 in"]
    assert find_dialect(lines).delimiter != "|"


def test_a_bar_between_two_units_in_quotes_leaves_the_others_their_office() -> None:
    lines = ['"Size"|"6"|"8"', '"Waist"|"16 in | 42 cm"|"17 in | 43 cm"', '"Hip"|"19 in | 48 cm"|"20 in | 51 cm"']
    assert find_dialect(lines).delimiter == "|"


def test_a_table_with_commas_stays_one() -> None:
    assert find_dialect(["Size,Waist,Inseam", "6,28,30", "8,29,30"]).delimiter == ","


def test_numbered_labels_in_quotes_with_sizes_are_cells() -> None:
    lines = ['"style","1. Waist - 18","1. Waist - 20","2. Hip - 18"', '"Alma","92,5","96,5","122,5"']
    assert find_dialect(lines).delimiter == ","
