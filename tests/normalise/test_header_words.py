"""Headings that are no points: roles, units, conventions, lengths, in many languages."""

from __future__ import annotations

import pytest

from halfinch.knowledge import load
from halfinch.normalise.point_labels import (
    find_convention_said,
    read_convention_word,
    read_header_word,
    read_length_word,
    read_point_label,
    read_unit_word,
)

KNOWLEDGE = load()

ROLES = """
point_column: POM|Points of Measure|Measurement|Measurements (inches)|Description|How to measure|Measurments
point_column: Messpunkt|Beschreibung|Mesure|Medida|Misure|Meetpunt|Wymiary|Mått|Ölçü|部位|採寸箇所|Мерка
size: Size|SIZE|Sizes|US Size|Size (US)|Größe|Gr.|Taille FR|Talla|Taglia|Tamanho|Maat|Rozmiar|Storlek
size: Beden|尺码|サイズ|사이즈|Размер|Waist size
style: Style|Style name|Product|Product title|Modell|Modèle|Modelo|Modello|Model|Ürün adı|款式|商品名
style_code: Style No.|Style #|SKU|Article number|Artikel-Nr.|Artikelnummer|Référence|Código|款号|品番|Артикул
merchant: Brand|Vendor|Supplier|Marke|Hersteller|Marque|Marca|Merk|Märke|品牌|ブランド
colour: Color|Colour|Farbe|Couleur|Colore|Kleur|Kolor|Färg|Renk|颜色|カラー
price: Price|Price (USD)|RRP|Preis|Prix|Precio|Prezzo|Preço|Prijs|Cena|Pris|Fiyat|价格|価格
currency: Currency|Währung|Devise|Moneda
fabric: Fabric|Composition|Material|Stoff|Tissu|Tejido|面料|素材
stretch: Stretch %|Elasticity|Dehnbarkeit|弹力
unit: Unit|UOM|Einheit|Unité|单位|単位
tolerance: TOL|Tol (+/-)|Tolerance|+/-|Toleranz|Toleranz +/- cm|Tolérance|公差|許容差
tolerance_plus: Tol +|Tol. (+)|Tolerance plus
tolerance_minus: Tol -|Tolerance (-)|Tol minus
grade: Grade|Grade rule|Grading|Sprungwert|跳码
code: No.|#|Letter|序号
note: Notes|Remarks|Comments|Bemerkung|Remarques|备注|備考
old_value: Previous|Old spec|Bisher|旧
date: Date|Season|Datum|Saison
quantity: Qty|Stock|Menge|数量
base_size: Base size|Sample size|Mustergröße|基码
block: Fit|Passform|版型
silhouette: Silhouette|Leg shape
url: URL|Link
value: Value|Wert|Valeur|数值
"""


def rows(text: str) -> list[tuple[str, str]]:
    pairs = (line.split(": ", 1) for line in text.strip().splitlines())
    return [(word, role) for role, words in pairs for word in words.split("|")]


@pytest.mark.parametrize(("text", "role"), rows(ROLES))
def test_roles_of_headings(text: str, role: str) -> None:
    word = read_header_word(text, KNOWLEDGE)
    assert word is not None
    assert word.role == role


@pytest.mark.parametrize(
    "text", ["Hello world", "28", "Waist", "Inseam", "Front", "The waist of this style is high", "", "A" * 80]
)
def test_no_heading(text: str) -> None:
    assert read_header_word(text, KNOWLEDGE) is None


def test_a_heading_carries_its_unit() -> None:
    word = read_header_word("Measurements (cm)", KNOWLEDGE)
    assert word is not None
    assert word.unit == "cm"


@pytest.mark.parametrize("text", ["Size", "Style", "Price", "Tol +", "POM", "Color", "Qty", "Fabric", "Unit"])
def test_headings_are_no_points(text: str) -> None:
    label = read_point_label(text, KNOWLEDGE)
    assert label is None or not label.point


LENGTHS = """
petite: Petite|PETITE|(Petite)|P|Petite length
short: Short|Kurz|court|corto|curto|kort|krótki|kısa|短|ショート
regular: Regular|Reg.|R|Standard|Normal|Average|normaal|标准|レギュラー
long: Long|Lang|longue|lungo|comprido|długi|uzun|ロング
tall: Tall|T
extra short: extra short|X-Short|extra kurz
extra long: Extra Long|x-long|extra lang
"""


@pytest.mark.parametrize(("text", "length"), rows(LENGTHS))
def test_lengths(text: str, length: str) -> None:
    assert read_length_word(text, KNOWLEDGE) == length


@pytest.mark.parametrize("text", ["S", "M", "L", "长", "30", "Short 30", "Plus", "Petite Short", "short sleeve", ""])
def test_no_length(text: str) -> None:
    assert read_length_word(text, KNOWLEDGE) == ""


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("cm", "cm"),
        ("(cm)", "cm"),
        ("CM", "cm"),
        ("in cm", "cm"),
        ("Unit: cm", "cm"),
        ("Maße in cm", "cm"),
        ("厘米", "cm"),
        ("in", "in"),
        ("(in)", "in"),
        ("inches", "in"),
        ("in inches", "in"),
        ('"', "in"),
        ("Zoll", "in"),
        ("英寸", "in"),
        ("All measurements are in inches", "in"),
        ("mm", "mm"),
        ("inch/cm", ""),
        ("in the", ""),
        ("M", ""),
        ("28 cm", ""),
    ],
)
def test_units(text: str, unit: str) -> None:
    assert read_unit_word(text, KNOWLEDGE) == unit


@pytest.mark.parametrize(
    ("text", "convention"),
    [
        ("flat", "flat"),
        ("laid flat", "flat"),
        ("measured flat", "flat"),
        ("edge to edge", "flat"),
        ("½", "flat"),
        ("1/2", "flat"),
        ("à plat", "flat"),
        ("na płasko", "flat"),
        ("平铺", "flat"),
        ("平置き", "flat"),
        ("단면", "flat"),
        ("ширина", "flat"),
        ("circumference", "round"),
        ("all around", "round"),
        ("Umfang", "round"),
        ("周り", "round"),
        ("обхват", "round"),
        ("flat/round", ""),
        ("half price", ""),
        ("full", ""),
        ("total", ""),
        ("flat rate", ""),
        ("Full length", ""),
        ("not flat", ""),
    ],
)
def test_conventions(text: str, convention: str) -> None:
    assert read_convention_word(text, KNOWLEDGE) == convention


# Notes under tables: collected forms, common practice.
NOTES = [
    ("Please multiply by two for full girth", "flat"),
    ("All girths measured flat: x2", "flat"),
    ("Alle Weiten mal zwei nehmen", "flat"),
    ("Maße: Ware liegend, halbe Weite", "flat"),
    ("Mesures à plat (à doubler)", "flat"),
    ("Medidas con la prenda extendida sobre la mesa", "flat"),
    ("misure prese con capo steso, moltiplicare per due per ottenere la circonferenza", "flat"),
    ("multiplique por dois", "flat"),
    ("Peça esticada sobre a mesa, meia circunferência", "flat"),
    ("Gemeten over de halve omtrek", "flat"),
    ("Wymiary podane na płasko (połowa obwodu)", "flat"),
    ("Måtten är halva omkretsen", "flat"),
    ("Ölçüler yarım ölçüdür (1/2)", "flat"),
    ("平铺测量,围度请乘2", "flat"),
    ("平置き採寸(半周)", "flat"),
    ("단면 기준입니다", "flat"),
    ("Garment laid on a table, edge to edge", "flat"),
    ("Die Hose liegt flach; Weiten sind einfach gemessen.", "flat"),
    ("Double for circumference", "flat"),
    ("Measured flat across", "flat"),
    ("W/ are half measurements", "flat"),
    ("Размеры указаны в полуобхватах", "flat"),
    ("Alle Weiten flach liegend gemessen (halbe Weite).", "flat"),
    ("Weiten halb gemessen, Ware flach ausgelegt.", "flat"),
    ("All widths are measured flat, from edge to edge.", "flat"),
    ("Garment laid flat, not stretched; double for circumference.", "flat"),
    ("Measurements taken with the garment lying flat (half measures).", "flat"),
    ("Waist, hip, thigh, knee and hem are measured across, laid flat.", "flat"),
    ("Medidas tomadas en plano; multiplicar por dos para el contorno.", "flat"),
    ("Prenda extendida en plano (medio contorno).", "flat"),
    ("Anchos medidos en plano, de lado a lado.", "flat"),
    ("Mesures prises à plat, à doubler pour le tour.", "flat"),
    ("Largeurs mesurées à plat, d'un bord à l'autre.", "flat"),
    ("Vêtement posé à plat (demi-mesures).", "flat"),
    ("Misure prese in piano, da raddoppiare per la circonferenza.", "flat"),
    ("Capo steso in piano (mezze misure).", "flat"),
    ("Larghezze misurate da bordo a bordo, capo steso.", "flat"),
    ("平置きで採寸しています。", "flat"),
    ("すべて平置き実寸(片面)です。", "flat"),
    ("Plat gemeten, van kant tot kant; maal twee voor de omtrek.", "flat"),
    ("Breedtes zijn halve maten, broek plat neergelegd.", "flat"),
    ("Mierzone na płasko, od boku do boku; obwód to podwójna wartość.", "flat"),
    ("Szerokości mierzone na płasko (połowa obwodu).", "flat"),
    ("Medidas tiradas com a peça esticada na horizontal, meia volta.", "flat"),
    ("Larguras medidas em plano, de lado a lado.", "flat"),
    ("Peça aberta sobre a mesa: multiplique por dois para o contorno.", "flat"),
    ("Plagget mäts liggande plant, dubbla för omkrets.", "flat"),
    ("Bredder mätta plant, kant till kant (halva mått).", "flat"),
    ("Ölçüler ürün düz zeminde yatırılarak, yarım olarak alınmıştır.", "flat"),
    ("Enler düz serilmiş üründe ölçülmüştür; çevre için ikiyle çarpın.", "flat"),
    ("所有宽度为平铺测量(半围)。", "flat"),
    ("平铺单面测量,围度请乘以二。", "flat"),
    ("circumference all the way round", "round"),
    ("Alle Weiten rundum gemessen", "round"),
    ("volle Weite", "round"),
    ("Measurements are total circumference", "round"),
    ("Tour complet", "round"),
    ("Contorno completo de la prenda", "round"),
    ("Circonferenze complete", "round"),
    ("volledige omtrek", "round"),
    ("Pełne obwody", "round"),
    ("hela omkretsen", "round"),
    ("tam çevre", "round"),
    ("一周", "round"),
    ("一周の寸法", "round"),
    ("전체 둘레", "round"),
    ("полный обхват", "round"),
    ("Girths are full circumference, not flat", "round"),
    ("Not flat: full round measure", "round"),
    ("Waist is measured all around", "round"),
    ("Alle Weiten sind Umfänge.", "round"),
    ("Weiten rundum gemessen.", "round"),
    ("All widths are full circumference.", "round"),
    ("Waist, hip and leg measured all the way round.", "round"),
    ("Girths are total circumference, not flat.", "round"),
    ("Todas las medidas son contornos completos.", "round"),
    ("Les largeurs indiquées sont des tours complets.", "round"),
    ("Tours complets.", "round"),
    ("Tutte le misure sono circonferenze complete.", "round"),
    ("すべて一周の寸法です。", "round"),
    ("Alle wijdtes zijn de volledige omtrek.", "round"),
    ("Podano pełne obwody.", "round"),
    ("Todas as medidas são contornos completos.", "round"),
    ("Alla vidder är hela omkretsen.", "round"),
    ("Tüm ölçüler tam çevredir.", "round"),
    ("所有围度为一周尺寸。", "round"),
    ("Machine wash", ""),
    ("Free returns", ""),
    ("Model is 178 cm tall and wears size 8", ""),
    ("Full-length zip", ""),
    ("halber Preis", ""),
    ("Double stitched hem", ""),
    ("Flat front, straight leg", ""),
    ("half price", ""),
    ("Turn inside out", ""),
    ("Round neck", ""),
    ("Double-breasted", ""),
    ("100% cotton", ""),
    ("Flat rate shipping", ""),
    ("Buy two, get half off", ""),
]


@pytest.mark.parametrize(("text", "said"), NOTES)
def test_notes_on_how_it_was_measured(text: str, said: str) -> None:
    assert find_convention_said(text, KNOWLEDGE) == said
