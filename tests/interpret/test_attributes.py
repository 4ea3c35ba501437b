"""Who sells it, under which name and code, at what price: from data behind a page, lines of facts, columns."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from small_sheets import read_csv, read_html, read_sheet, show, table, want

from halfinch import knowledge
from halfinch.interpret.facets import Reader
from halfinch.interpret.names import clean_code, is_remark
from halfinch.interpret.prices import find_price
from halfinch.interpret.statements import find_point_conventions

READER = Reader(knowledge.load())
TABLE = table(["Size (in)", "26", "28"], ["Front rise", "10", "10.25"], ["Inseam", "30", "30"])
DATA = (
    '<script type="application/ld+json">{"@type": "Product", "name": "The Wren High-Rise Straight", "sku": "MT-20418",'
    ' "brand": {"@type": "Brand", "name": "Marl & Tansy"}, "color": "Rain",'
    ' "offers": {"@type": "Offer", "price": "128.00", "priceCurrency": "USD"}}</script>'
)
CHART = (
    '<script type="application/json">{"product": {"title": "Wren trousers", "vendor": "Marl", "price":'
    ' {"amount": "119", "currencyCode": "EUR"}, "sizeChart": {"unit": "cm",'
    ' "columns": ["Size", "Front rise", "Inseam"],'
    ' "rows": [["34", "27", "78"], ["36", "27.5", "78"]]}}}</script>'
)


def attributes(result: Any, *names: str) -> list[tuple[Any, ...]]:
    return [tuple(getattr(garment, name) for name in names) for garment in result.garments]


def test_the_product_behind_a_page() -> None:
    result = read_html(f"<h1>The Wren High-Rise Straight</h1>{TABLE}{DATA}", "The Wren High-Rise Straight")
    told = attributes(result, "merchant", "style", "style_code", "price", "currency", "colour", "silhouette")
    assert told == [
        ("Marl & Tansy", "The Wren High-Rise Straight", "MT-20418", Decimal("128.00"), "USD", "Rain", "straight")
    ]
    assert show(result.figures) == want("front_rise 26=10 28=10.25 | inseam 26=30 28=30")


def test_a_chart_of_lists_within_a_product() -> None:
    result = read_html(f"<h1>Wren trousers</h1>{CHART}")
    assert attributes(result, "merchant", "price", "currency") == [("Marl", Decimal(119), "EUR")]
    assert show(result.figures) == want("front_rise 34=27cm 36=27.5cm | inseam 34=78cm 36=78cm")


PRICES = [
    pytest.param("119,00 €", "fr", "119,00 €", id="euro behind"),
    pytest.param("$128.00", "en", "$128.00", id="dollar before"),
    pytest.param("Réf. AUR-552 – 89 €", "fr", "89 €", id="behind a code"),
    pytest.param("Цена: 3 490 руб.", "ru", "3 490 руб.", id="blank for thousands, key before"),
    pytest.param("¥4,980(税込) 送料無料", "ja", "¥4,980(税込) 送料無料", id="tax in brackets"),
    pytest.param("$ 45.900 | 3 cuotas de $15.300", "es", "$ 45.900", id="instalments are no price"),
    pytest.param("Free shipping over $75", "en", "", id="a limit"),
    pytest.param("Inseam 30 ft", "en", "", id="feet"),
    pytest.param("Hem width 22", "en", "", id="no sign"),
]


@pytest.mark.parametrize(("text", "language", "price"), PRICES)
def test_a_text_that_is_a_price(text: str, language: str, price: str) -> None:
    assert find_price(text, READER, language) == price


CODES = [
    pytest.param("AUR-552 – 89 €", "AUR-552", id="a price behind"),
    pytest.param("4711 (neu)", "4711", id="a remark behind"),
    pytest.param("LW-305", "LW-305", id="alone"),
    pytest.param("HB 7723", "HB 7723", id="two parts"),
    pytest.param("Description", "", id="a word is none"),
]


@pytest.mark.parametrize(("value", "code"), CODES)
def test_a_code_without_the_rest_of_its_line(value: str, code: str) -> None:
    assert clean_code(value) == code


NO_NAMES = ["untitled", "BILL OF MATERIALS", "Jeans measurements", "Microsoft Word - spec.docx", "Quill Knits GmbH"]


@pytest.mark.parametrize("text", NO_NAMES)
def test_headings_that_name_no_style(text: str) -> None:
    assert is_remark(text, READER)


def test_facts_in_pairs_over_a_table() -> None:
    facts = [["Style #", "HB-7723", "Season", "SP26"], ["Unit", "Inches", "Designer", "P. Ostrow"]]
    result = read_sheet(facts, [["POM", "4", "6"], ["Inseam", "30", "30"], ["Front rise", "9", "9.25"]])
    assert attributes(result, "style_code", "merchant") == [("HB-7723", "")]
    assert {figure.status for figure in result.figures} == {"accepted"}


def test_a_code_under_article_beside_a_name_under_model() -> None:
    result = read_csv(
        """Artikel;Modell;Größe;Messpunkt;Wert;Einheit
        50211;Hose Falk;36;Innenbeinlänge;79;cm
        50211;Hose Falk;36;Leibhöhe vorn;26,5;cm
        50230;Hose Ilm;36;Innenbeinlänge;81;cm
        50230;Hose Ilm;36;Leibhöhe vorn;25;cm"""
    )
    assert attributes(result, "style_code", "style") == [("50211", "Hose Falk"), ("50230", "Hose Ilm")]


def test_codes_that_end_in_their_size_are_one_garment() -> None:
    result = read_csv(
        """Name,SKU,Size,Inseam (in),Front rise (in)
        Yarrow Trouser,YWT-S-O,S,28,12
        Yarrow Trouser,YWT-M-O,M,28,12.25"""
    )
    assert attributes(result, "style", "style_code") == [("Yarrow Trouser", "YWT")]


def test_who_wears_it_is_no_style() -> None:
    result = read_html(f"<h2>Linen pants</h2><div>MODEL : 168cm / 48kg</div>{TABLE}")
    assert attributes(result, "style") == [("Linen pants",)]


FLAT_LEG = {"thigh": "flat", "knee": "flat", "leg_opening": "flat"}
NOTES = [
    pytest.param(
        "waist and hip full circumference, the rest flat", {"waist": "round", "hip": "round", **FLAT_LEG}, id="rest"
    ),
    pytest.param(
        "Waist is total circumference, all others are measured flat.",
        {"waist": "round", "hip": "flat", **FLAT_LEG},
        id="others",
    ),
    pytest.param(
        "Taille et hanches : tour complet ; cuisse et bas à plat",
        {"waist": "round", "hip": "round", "thigh": "flat", "leg_opening": "flat"},
        id="French, point by point",
    ),
    pytest.param("all measurements laid flat, double for circumference", {}, id="all alike"),
]


@pytest.mark.parametrize(("note", "said"), NOTES)
def test_flat_or_round_point_by_point(note: str, said: dict[str, str]) -> None:
    assert find_point_conventions(note, READER) == said
