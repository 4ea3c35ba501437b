"""Descriptions as shops write them: sentences of several figures, models, fit notes, other garments."""

from __future__ import annotations

import pytest
from small_sheets import read_html, show, table, want

TOLD = [
    pytest.param(
        'Sits at the natural waist with an 11" front rise, a 30" inseam and a 13" thigh laid flat. Model is 5\'9"'
        ' (175 cm) with a 26" waist and wears a size 27. Machine wash cold at 30°.',
        "front_rise -=11 | inseam -=30 | thigh -=26",
        id="numbers before their labels",
    ),
    pytest.param(
        'Inseam: 32" regular, 29.5" petite, 34" tall. Front rise 12 1/4" (all lengths).',
        "inseam */regular=32 */petite=29.5 */tall=34 | front_rise -=12.25",
        id="lengths behind their figures",
    ),
    pytest.param(
        'Inseam (regular): 30.5"; inseam (petite): 28".',
        "inseam */regular=30.5 */petite=28",
        id="lengths in brackets before their figures",
    ),
    pytest.param(
        "Longueur d'entrejambe : 81 cm en T38, 82 cm en T40.",
        "inseam 38=81cm 40=82cm",
        id="sizes behind their figures",
    ),
    pytest.param(
        "Measurements (size M), laid flat: waist approx. 38 cm, inside leg 76 cm, front rise 29 cm.",
        "waist M=76cm | inseam M=76cm | front_rise M=29cm",
        id="about ends no sentence",
    ),
    pytest.param(
        'Expect up to 1" of shrinkage in the inseam after the first wash. Inseam 34", hem 8" flat, size 29.',
        "inseam 29=34 | leg_opening 29=16",
        id="a short word ends a sentence about washing",
    ),
    pytest.param(
        '41" from waist to hem, with an inside leg of 29" and an impressive 30" hem circumference.',
        "outseam -=41 | inseam -=29 | leg_opening -=30",
        id="both orders in one sentence",
    ),
    pytest.param(
        "Entrejambe 78 cm, devant 31 cm (mesures prises sur une taille 40). Longueur totale 107 cm environ. Se porte"
        " avec une veste.",
        "inseam 40=78cm | outseam 40=107cm",
        id="a size named once serves the paragraph",
    ),
    pytest.param(
        "Wymiary dla rozmiaru 38: pas 74 cm, biodra 98 cm, szerokość nogawki na dole 26 cm (na płasko), długość"
        " nogawki wewnętrzna 79 cm. Modelka ma 176 cm wzrostu i nosi rozmiar 36.",
        "waist 38=74cm~ | hip 38=98cm~ | leg_opening 38=52cm | inseam 38=79cm",
        id="flat said of one figure",
    ),
    pytest.param(
        "サイズM：ウエスト70cm、ヒップ98cm、股下72cm、わたり幅32cm。※モデル身長168cm、着用サイズS。",
        "waist M=70cm~ | hip M=98cm~ | inseam M=72cm | thigh M=64cm",
        id="Japanese, the size glued to its word",
    ),
    pytest.param(
        "S码 腰围64 臀围90 裤长98；M码 腰围68 臀围94 裤长99（单位：cm）",
        "waist S=64cm M=68cm | hip S=90cm M=94cm | outseam S=98cm M=99cm",
        id="Chinese, a record a size",
    ),
    pytest.param(
        "M beden ürün ölçüleri; bel: 37 cm, iç bacak boyu: 75 cm (yarım ölçü).",
        "waist M=74cm | inseam M=75cm",
        id="a size before its word",
    ),
    pytest.param(
        'To fit waist 28", hips 38". Garment: inseam 30".',
        "inseam -=30 | body_waist -=28 | body_hip -=38",
        id="the body's measures",
    ),
    pytest.param(
        'The inseam is 31 1/2" long for sizes 0-14 and 32" long for sizes 16-24.',
        "inseam -=31.5!",
        id="two figures for two ranges of sizes",
    ),
    pytest.param("Der Bund ist 4 cm hoch. Innenbeinlänge 81 cm.", "inseam -=81cm", id="the height of a part"),
    pytest.param('The Joni has a 30" inseam. The Tia\'s inseam is 32".', "inseam -=30", id="another garment's figure"),
    pytest.param('Inseam 30". Small mark on left knee, 1/2" long.', "inseam -=30", id="a flaw"),
]


@pytest.mark.parametrize(("text", "expected"), TOLD)
def test_a_description(text: str, expected: str) -> None:
    assert show(read_html(f"<h1>Joni jeans</h1><p>{text}</p>").figures) == want(expected)


def test_a_size_that_was_measured() -> None:
    lines = ["Taille mesurée : 34", "Tour de taille : 70 cm", "Entrejambe : 84 cm"]
    page = "<h1>Jean Lou</h1><ul>" + "".join(f"<li>{line}</li>" for line in lines) + "</ul>"
    assert show(read_html(page).figures) == want("waist 34=70cm | inseam 34=84cm")


def test_a_size_before_its_word_and_a_models() -> None:
    lines = [
        "BEL TAM ÇEVRE: 70,9 | ÖN AĞ: 23,3",
        "Birim: cm",
        "Ölçüler XS/2 bedene aittir.",
        "Mankenin boyu 176 cm, 36 beden giyiyor.",
    ]
    page = "<h1>Tarn Kot pantolon</h1>" + "".join(f"<p>{line}</p>" for line in lines)
    assert show(read_html(page).figures) == want("waist XS=70.9cm | front_rise XS=23.3cm")


def test_a_place_behind_an_article() -> None:
    told = "Cadera a 20 cm: 104; Cintura: 78; entrepierna: 76. Medidas en cm, contorno completo. Talla 40"
    page = f"<h1>Vaquero Carla</h1><p>{told}</p>"
    assert show(read_html(page).figures) == want("hip 40=104cm | waist 40=78cm | inseam 40=76cm")


def test_rows_under_codes_are_no_keys() -> None:
    lines = ["T03 Waistband (half): 36.5 cm", "T07 Rise - front: 25.5 cm", "T08 B. Rise: 36.5 cm", "T09 Inseam: 76 cm"]
    page = "<h1>Marrow trousers</h1><p>(sample size 8 shown)</p>" + "".join(f"<p>{line}</p>" for line in lines)
    told = "waist 8=73cm | front_rise 8=25.5cm | back_rise 8=36.5cm | inseam 8=76cm"
    assert show(read_html(page).figures) == want(told)


SAMPLES = [
    pytest.param("Measured from a size 32.", "32", id="english"),
    pytest.param("Maße bei Gr. 32", "32", id="german"),
    pytest.param("Medidas de la talla 32.", "32", id="spanish"),
    pytest.param("Mått på storlek 32", "32", id="swedish"),
    pytest.param("測量尺碼：M", "M", id="chinese"),
    pytest.param("Size 34", "-", id="a size alone heads what follows"),
    pytest.param("Model wears size 34", "-", id="a model"),
]


@pytest.mark.parametrize(("note", "size"), SAMPLES)
def test_a_size_named_under_a_table(note: str, size: str) -> None:
    page = f"<h1>Alma jeans</h1>{table(['Inseam', '30 in'], ['Front rise', '11 in'])}<p>{note}</p>"
    assert show(read_html(page).figures) == want(f"inseam {size}=30 | front_rise {size}=11")


def test_a_size_under_the_next_heading_is_not_of_the_table_before() -> None:
    rows = table(["Inseam", "30 in"], ["Front rise", "11 in"])
    page = f"<h1>Alma jeans</h1>{rows}<h2>Berta jeans</h2><p>Measured from a size 32.</p>"
    assert show(read_html(page).figures) == want("inseam -=30 | front_rise -=11")


LINES = [
    pytest.param(
        ["BR: 14 in", "O/S: 40 in", "Inseam: 30 in"], "back_rise -=14 | outseam -=40 | inseam -=30", id="short"
    ),
    pytest.param(
        ["Waist - relaxed, buttoned: 28 in around", "Inseam: 30 in"],
        "waist -=28 | inseam -=30",
        id="qualified by a comma",
    ),
    pytest.param(
        ["Belt loop: 2.5 in", "Inseam: 30 in", "Front rise: 11 in"], "inseam -=30 | front_rise -=11", id="a belt's loop"
    ),
    pytest.param(
        ["How to measure: lay the trousers flat.", "Inseam: 30 in", "Front rise: 11 in"],
        "inseam -=30 | front_rise -=11",
        id="an advice heads nothing",
    ),
    pytest.param(
        ["Belt loop 2.5 in", "Inseam 30 in", "Front rise 11 in"], "inseam -=30 | front_rise -=11", id="no colon"
    ),
    pytest.param(["Entrejambe 78 cm - Taille 38"], "inseam 38=78cm", id="taille before a size is no waist"),
    pytest.param(["THIGH W 13 in", "Inseam 30 in"], "thigh -=26~ | inseam -=30", id="W for width"),
    pytest.param(["O/S ... 40 in", "Inseam ... 30 in"], "outseam -=40 | inseam -=30", id="dots"),
    pytest.param(["Heup 105 cm rondom", "Binnenbeen 78 cm"], "hip -=105cm | inseam -=78cm", id="no up in heup"),
    pytest.param(["股上(後) 38cm", "股下 70cm"], "back_rise -=38cm | inseam -=70cm", id="the back one in brackets"),
    pytest.param(
        ["Waist relaxed / stretched 28 in / 36 in", "Inseam 30 in"],
        "waist -=28~ | inseam -=30",
        id="relaxed and stretched",
    ),
    pytest.param(
        ["B29 Inseam: 76 cm", "B30 Tiro del. (incl. pretina): 22,5 cm"],
        "inseam -=76cm | front_rise -=22.5cm",
        id="a code is no figure said",
    ),
]


@pytest.mark.parametrize(("lines", "expected"), LINES)
def test_lines_of_label_and_figure(lines: list[str], expected: str) -> None:
    page = "<h1>Alma jeans</h1>" + "".join(f"<p>{line}</p>" for line in lines)
    assert show(read_html(page).figures) == want(expected)
