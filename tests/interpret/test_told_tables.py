"""Tables told in running text: streams of words and numbers, a line a size, lines with bars."""

from __future__ import annotations

import pytest
from small_sheets import by_style, read_sheet, want

TOLD = [
    pytest.param(
        ["Size S M L waist (in) 28 30 32 hip (in) 38 40 42 inseam (in) 30 30 30"],
        "waist S=28~ M=30~ L=32~ | hip S=38~ M=40~ L=42~ | inseam S=30 M=30 L=30",
        id="one-stream",
    ),
    pytest.param(
        ["サイズ XS/2 S/6 M/10", "ヒップ (cm) 90 95 100", "股下 (cm) 70 70 70"],
        "hip XS=90cm~ S=95cm~ M=100cm~ | inseam XS=70cm S=70cm M=70cm",
        id="a-line-a-row-sizes-in-letters",
    ),
    pytest.param(
        ["Size 6 8 10 Hip 8 in below waist (in) 38 39 40 Knee 14 in down (in) 15 15 1/2 16 Inseam (in) 30 30 30"],
        "hip 6=38~ 8=39~ 10=40~ | knee 6=15~ 8=15.5~ 10=16~ | inseam 6=30 8=30 10=30",
        id="numbers-that-are-the-labels-own",
    ),
    pytest.param(
        ["Size 6 8 10 1/2 waist (in) 14 14.5 15 1/2 hip (in) 19 19.5 20 Inseam (in) 30 30 30"],
        "waist 6=28 8=29 10=30 | hip 6=38 8=39 10=40 | inseam 6=30 8=30 10=30",
        id="a-half-that-is-the-labels",
    ),
    pytest.param(
        ['Size S: waist 28", hip 38", inseam 30"', 'Size M: waist 30"; hip 40"; inseam 30"'],
        "waist S=28~ M=30~ | hip S=38~ M=40~ | inseam S=30 M=30",
        id="a-line-a-size",
    ),
    pytest.param(
        ["Size S: waist (in) - 28, hip (in) - 38, inseam (in) - 30",
         "Size M: waist (in) - 30, hip (in) - 40, inseam (in) - 30",
         "98% cotton"],
        "waist S=28~ M=30~ | hip S=38~ M=40~ | inseam S=30 M=30",
        id="a-dash-between-label-and-figure",
    ),
    pytest.param(
        ["Taille 34: tour de bassin 979 mm, 1/2 tour de cuisse 293 mm, entre-jambes 741 mm",
         "Taille 36: tour de bassin 1004 mm, 1/2 tour de cuisse 301 mm, entre-jambes 741 mm"],
        "hip 34=97.9cm 36=100.4cm | thigh 34=58.6cm 36=60.2cm | inseam 34=74.1cm 36=74.1cm",
        id="a-half-behind-a-comma",
    ),
    pytest.param(
        ['Size S (6): hip 8" below wb: 19", thigh @ 1in from crotch: 11", inseam: 31"',
         'Size M (8): hip 8" below wb: 20", thigh @ 1in from crotch: 12", inseam: 31"'],
        "hip S=38~ M=40~ | thigh S=22~ M=24~ | inseam S=31 M=31",
        id="a-place-in-the-first-label",
    ),
    pytest.param(
        ["Größe 36: Innennaht (in) 31, Außenlänge (in) 40-1/4",
         "Größe 38: Innennaht (in) 31, Außenlänge (in) 40-1/2",
         "EUR 119.-"],
        "inseam 36=31 38=31 | outseam 36=40.25 38=40.5",
        id="a-price-on-the-next-line",
    ),
    pytest.param(
        ["Size 14: Thigh: 32cm | 12 5/8 inches, Inseam: 76cm | 30 inches, Outseam: 102cm | 40 1/8 inches",
         "Size 16: Thigh: 33cm | 13 inches; Inseam: 76cm | 30 inches; Outseam: 103cm | 40 1/2 inches"],
        "thigh 14=25.25~ 16=26~ | inseam 14=30 16=30 | outseam 14=40.125 16=40.5",
        id="whole-inches-behind-a-bar-are-no-size",
    ),
    pytest.param(
        ["Size 14: Thigh (in) = 12.75, In-seam (cm) = 73.5", "Size 16: Thigh (in) = 13, In-seam (cm) = 74.5"],
        "thigh 14=25.5~ 16=26~ | inseam 14=73.5cm 16=74.5cm",
        id="in-seam-behind-a-comma",
    ),
    pytest.param(
        ["サイズ XS: ウエスト (cm) = 66, 後股上 (cm) = 40", "サイズ S: ウエスト (cm) = 70, 後股上 (cm) = 41"],
        "waist XS=66cm~ S=70cm~ | back_rise XS=40cm S=41cm",
        id="a-figure-at-the-end-of-a-line-is-no-size-of-the-next",
    ),
    pytest.param(
        ["Size 22 24 26 1. Hip (in) 48 50 52 2. Inseam (in) 30 30 30 3. Outseam (in) 41 41 41"],
        "hip 22=48~ 24=50~ 26=52~ | inseam 22=30 24=30 26=30 | outseam 22=41 24=41 26=41",
        id="numbered-labels-right-behind-the-sizes",
    ),
    pytest.param(
        ["Taille 38 : ceinture 74 cm, entrejambe 78 cm", "Taille 40 : ceinture 78 cm, entrejambe 78 cm"],
        "waist 38=74cm~ 40=78cm~ | inseam 38=78cm 40=78cm",
        id="taille-names-the-size",
    ),
    pytest.param(
        ["Taille S M L A1 ceinture (cm) 70 74 78 A2 entrejambe (cm) 78 78 78 A3 genou (cm) 40 41 42"],
        "waist S=70cm~ M=74cm~ L=78cm~ | inseam S=78cm M=78cm L=78cm | knee S=40cm! M=41cm! L=42cm!",
        id="codes-before-the-labels",
    ),
    pytest.param(
        ['Size 6: waist 28", hip 38",', 'inseam 30"', 'Size 8: waist 29", hip 39",', 'inseam 30"'],
        "waist 6=28~ 8=29~ | hip 6=38~ 8=39~ | inseam 6=30 8=30",
        id="a-size-broken-over-two-lines",
    ),
    pytest.param(
        ['Size 6: waist relaxed, buttoned 28", knee 14" below crotch 15", inseam 30"',
         'Size 8: waist relaxed, buttoned 29", knee 14" below crotch 15 1/2", inseam 30"'],
        "waist 6=28~ 8=29~ | knee 6=15! 8=15.5! | inseam 6=30 8=30",
        id="commas-and-numbers-within-labels",
    ),
    pytest.param(
        ["Size | Hip (in) | Rise - front (in) | Inseam (in) US 4 | 38 | 10 | 30", "US 6 | 39 | 10 1/4 | 30"],
        "hip 4=38~ 6=39~ | front_rise 4=10 6=10.25 | inseam 4=30 6=30",
        id="labels-first-the-first-line-broken-elsewhere",
    ),
    pytest.param(
        ["Size Hip Front rise Inseam (in) S 38 10 30 M 39 10 30"],
        "hip S=38~ M=39~ | front_rise S=10~ M=10~ | inseam S=30 M=30",
        id="labels-first-in-one-run",
    ),
    pytest.param(
        ["Taglia 6: Vita - 29,5'' | 74,9 cm, Interno gamba - 28'' | 71,1 cm",
         "Taglia 8: Vita - 30,5'' | 77,5 cm, Interno gamba - 28'' | 71,1 cm"],
        "waist 6=29.5~ 8=30.5~ | inseam 6=28 8=28",
        id="both-units-of-a-figure",
    ),
    pytest.param(
        ["Talla 38 40", "Muslo a 2,5 cm del tiro 56 cm 58 cm", "Entrepierna 76 cm 76", "cm"],
        "thigh 38=56cm~ 40=58cm~ | inseam 38=76cm 40=76cm",
        id="a-place-that-names-the-rise-and-a-unit-on-the-next-line",
    ),
    pytest.param(
        ["Size 8: hip 38 in, inseam 30 in. Size 10: hip 39 in, inseam 30 in",
         "Can be let down; inseam 36.5 max if hemmed."],
        "hip 8=38~ 10=39~ | inseam 8=30 10=30",
        id="a-limit-behind-the-last-record",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "expected"), TOLD)
def test_told_tables(lines: list[str], expected: str) -> None:
    assert by_style(read_sheet("# Alma jeans", *lines)) == {"Alma jeans": want(expected)}


DOUBTFUL = [
    pytest.param("Size 6 8 10 hip (in) 38 39 40 41 inseam (in) 30 30 30", id="a-figure-too-many"),
    pytest.param("Size 6 8 10 12 hip (in) 38 39 40 waist (in) 28 29 30 31", id="a-figure-too-few"),
]


@pytest.mark.parametrize("line", DOUBTFUL)
def test_a_row_of_another_length_is_not_shared_out(line: str) -> None:
    found = by_style(read_sheet("# Alma jeans", line)).get("Alma jeans", {})
    assert "hip" not in found or all(one.endswith("!") for one in found["hip"])


LISTED = [
    pytest.param(
        "Waist (doubled = full) 14, hips 19, inseam 30 in", "waist -=28 | hip -=38~ | inseam -=30", id="commas"
    ),
    pytest.param(
        "joelho: 16 in cintura: 28 in entrepernas: 30 in", "knee -=16! | waist -=28~ | inseam -=30", id="colons"
    ),
]


@pytest.mark.parametrize(("line", "expected"), LISTED)
def test_a_listing_gives_each_label_its_own_figure(line: str, expected: str) -> None:
    found = by_style(read_sheet("# Alma jeans", "All measurements in inches", line)).get("Alma jeans", {})
    told = {point: {one.rstrip("~!") for one in figures} for point, figures in found.items()}
    wanted = {point: {one.rstrip("~!") for one in figures} for point, figures in want(expected).items()}
    assert told == wanted
