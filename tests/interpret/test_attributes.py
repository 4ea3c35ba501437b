"""Who sells it, under which name and code, at what price: from data behind a page, lines of facts, columns."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from small_sheets import read_csv, read_html, read_sheet, read_text, show, table, want

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


FEED = """{"currency": "GBP", "items": [
 {"ref": "KJ-1", "name": "Kestrel Slim Jean", "category": "jeans", "rrp": 85, "measurements": {"unit": "cm",
  "basis": "laid flat", "rows": [{"size": "8", "waist": 36, "hip": 46}, {"size": "10", "waist": 38, "hip": 48}]}},
 {"ref": "KS-3", "name": "Wagtail Denim Skirt", "category": "skirts", "rrp": 60, "measurements": {"unit": "cm",
  "basis": "laid flat", "rows": [{"size": "8", "waist": 37, "hip": 47}, {"size": "10", "waist": 39, "hip": 49}]}}]}"""


def test_a_feed_of_products_each_with_its_table() -> None:
    result = read_text(FEED, "feed.json")
    assert attributes(result, "style", "style_code", "price", "currency") == [
        ("Kestrel Slim Jean", "KJ-1", Decimal(85), "GBP")
    ]
    assert show(result.figures) == want("waist 8=72cm 10=76cm | hip 8=92cm 10=96cm")


def test_rows_of_names_and_facts_over_tables_in_one_grid() -> None:
    result = read_sheet(
        [
            ["Bramble boot jean", "Style no. FB-310", "MSRP $112"],
            ["Size (in)", "0", "2"],
            ["Inseam", "33", "33"],
            ["Front rise", "9", "9.25"],
            ["Sorrel pull-on pant", "Style no. FB-322", "MSRP $88"],
            ["Size (in)", "S", "M"],
            ["Inseam", "27", "27"],
            ["Front rise", "12", "12.25"],
        ]
    )
    assert attributes(result, "style", "style_code", "price") == [
        ("Bramble boot jean", "FB-310", Decimal(112)),
        ("Sorrel pull-on pant", "FB-322", Decimal(88)),
    ]


def test_a_used_pair_in_a_few_lines() -> None:
    text = """부츠컷 청바지 27사이즈
상태 A급, 2회 착용
실측 사이즈 (단면, cm)
허리 36 / 엉덩이 46 / 밑위 24 / 밑단 23 / 총장 104
택포 25,000원
"""
    assert show(read_text(text, "used.txt").figures) == want(
        "waist 27=72cm | hip 27=92cm | front_rise 27=24cm | leg_opening 27=46cm | outseam 27=104cm"
    )


def test_a_heading_over_a_group_of_sizes_names_their_kind() -> None:
    result = read_html(
        "<h1>Linwood jeans</h1><table><tr><th rowspan=2>Measurement</th><th rowspan=2>Leg</th>"
        "<th colspan=2>UK size (cm)</th></tr><tr><th>8</th><th>10</th></tr>"
        "<tr><td>Waist circumference</td><td>All</td><td>70</td><td>74</td></tr>"
        "<tr><td rowspan=2>Inside leg</td><td>Short</td><td colspan=2>74</td></tr>"
        "<tr><td>Long</td><td colspan=2>84</td></tr></table>"
    )
    assert show(result.figures) == want("waist 8=70cm 10=74cm | inseam */short=74cm */long=84cm")
    assert {figure.size_system for figure in result.figures if figure.size} == {"UK"}


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


def test_facts_in_the_first_rows_of_a_wide_file() -> None:
    result = read_csv(
        """款号,JX-8842,,,,
        款名,女装喇叭牛仔裤,,,,
        单位,CM,,日期,2025/3/18,
        ,,,,,
        部位 POM,XS,S,M,L,
        前浪(连腰) FRONT RISE,26,26.5,27,27.5,
        内长 INSEAM,81,81,82,82,"""
    )
    assert attributes(result, "style", "style_code", "silhouette") == [("女装喇叭牛仔裤", "JX-8842", "flare")]
    assert {figure.status for figure in result.figures} == {"accepted"}


def test_sizes_named_under_a_table_of_base_and_grade() -> None:
    result = read_sheet(
        [
            ["All in inches", "", ""],
            ["POM", "Base (12)", "Grade"],
            ["Front rise", "12.5", "1/4"],
            ["Inseam", "29", "0"],
            ["Sizes", "10-14", ""],
        ]
    )
    assert show(result.figures) == want("front_rise 10=12.25+~ 12=12.5 14=12.75+~ | inseam 10=29+~ 12=29 14=29+~")


def test_a_letter_with_commas_is_no_table() -> None:
    text = """Hello Bea,

Please find the measurements of the sample (style 3390-B "Rosalind" barrel jean, size 27):

- waistband, edge to edge: 14 3/8"
- hip, 7" below top: 19 3/4" flat
- front rise incl. band: 12"
- inseam: 27 1/2"

Price for 300+ is $27.80 FOB, 12 oz rigid. 2nd sample ships Thursday 6/12.
"""
    assert show(read_text(text, "letter.txt").figures) == want(
        "waist 27=28.75 | hip 27=39.5 | front_rise 27=12 | inseam 27=27.5"
    )


def test_taille_beside_the_sizes_own_heading_is_the_waist() -> None:
    result = read_html(
        "<h1>Broek Marijke (cm, plat gemeten)</h1>"
        + table(["Maat", "Taille", "Binnenbeenlengte"], ["36", "36", "80"], ["38", "38", "80"], ["40", "40", "81"])
    )
    assert show(result.figures)["waist"] == want("waist 36=72cm 38=76cm 40=80cm")["waist"]


def test_a_title_row_of_key_and_code_names_no_column() -> None:
    result = read_sheet(
        [
            ["Modell: Wiebke Schlaghose", "", "", "Art.-Nr. 77-120"],
            ["Größe", "36", "38", "40"],
            ["Innenbeinlänge", "82", "82", "82"],
            ["Leibhöhe vorne", "26", "26,5", "27"],
            ["Alle Maße in cm", "", "", ""],
        ]
    )
    assert attributes(result, "style", "style_code") == [("Wiebke Schlaghose", "77-120")]
    assert {figure.size for figure in result.figures} == {"36", "38", "40"}


def test_a_catalogue_page_of_styles_in_prose() -> None:
    result = read_html(
        "<h2>Hose Birkenau, weites Bein</h2><p>Maße bei Größe 38 (rundum gemessen):</p>"
        "<p>Bund 76 cm, Leibhöhe vorne 31 cm, Innenbeinlänge 76 cm</p>"
        "<h2>Jeans Seeruh, gerades Bein</h2><p>Maße bei Größe 38 (rundum gemessen):</p>"
        "<p>Bund 74 cm, Leibhöhe vorne 27 cm, Innenbeinlänge 80 cm</p>"
    )
    assert attributes(result, "style") == [("Hose Birkenau",), ("Jeans Seeruh",)]
    assert {figure.status for figure in result.figures} == {"accepted"}


def test_lines_that_begin_with_their_size() -> None:
    text = "와이드 슬랙스\n단위 cm / 단면 기준\nS - 허리 32, 엉덩이 47, 밑위 31.5\nM - 허리 34.5, 엉덩이 49.5, 밑위 32"
    assert show(read_text(text, "lines.txt").figures) == want(
        "waist S=64cm M=69cm | hip S=94cm M=99cm | front_rise S=31.5cm M=32cm"
    )


def test_a_table_of_blanks_among_other_lines() -> None:
    text = """高腰阔腿牛仔裤 货号 K7781
尺码 腰围 臀围 裤长 （单位cm）
S 66 90 100
M 70 94 101
售价 ¥139
"""
    result = read_text(text, "lines.txt")
    assert show(result.figures) == want("waist S=66cm M=70cm | hip S=90cm M=94cm | outseam S=100cm M=101cm")
    assert attributes(result, "price", "currency") == [(Decimal(139), "CNY")]


def test_a_waist_relaxed_to_stretched_in_one_cell() -> None:
    result = read_html(
        "<h1>Vetch pull-on trousers (inches)</h1>"
        + table(["Size", "Waist round", "Rise"], ["1 (8-10)", "26–36", "12½"], ["2 (12-14)", "29–40", "13"])
    )
    assert show(result.figures) == want("waist 1=26 2=29 | front_rise 1=12.5 2=13")


def test_a_row_of_a_code_and_a_name() -> None:
    result = read_sheet(
        [
            ["Brand", "Moss & Ferrule", ""],
            ["Style", "MF-3301", "Greta Tapered Trouser"],
            ["Size (cm)", "Front rise", "Inseam"],
            ["34", "29", "70"],
            ["36", "29.5", "70"],
        ]
    )
    assert attributes(result, "merchant", "style", "style_code") == [
        ("Moss & Ferrule", "Greta Tapered Trouser", "MF-3301")
    ]


def test_codes_of_rows_are_no_codes_of_styles() -> None:
    head = ["Ref", "Description", "6", "8"]
    rows = [head, ["T01", "1/2 waist (cm)", "36", "38"], ["LOWER"], ["L02", "Thigh (cm)", "29", "30"],
            ["L03", "Knee (cm)", "21", "22"], ["L04", "Inseam (cm)", "76", "76"]]  # fmt: skip
    result = read_sheet("# Alma jeans", rows)
    assert {one.style_code for one in result.garments} == {""}
    assert show(result.figures)["thigh"] == {"6=58cm~", "8=60cm~"}
