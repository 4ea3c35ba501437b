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
]  # fmt: skip


@pytest.mark.parametrize("lines", LINES)
def test_a_decimal_comma_divides_nothing(lines: list[str]) -> None:
    assert find_dialect(lines).delimiter != ","


def test_a_bar_between_two_units_divides_nothing() -> None:
    lines = ["Size S M", "waist 70 cm | 27 1/2 in 74 cm | 29 1/8 in", "hip 95 cm | 37 3/8 in 99 cm | 39 in"]
    assert find_dialect(lines).delimiter != "|"


def test_a_table_with_commas_stays_one() -> None:
    assert find_dialect(["Size,Waist,Inseam", "6,28,30", "8,29,30"]).delimiter == ","
