"""Names of open vocabularies are read as our points; those that are something else are not.

Source: schema.org vocabulary, data/schema.ttl, members of WearableMeasurementTypeEnumeration,
BodyMeasurementTypeEnumeration and WearableSizeGroupEnumeration (release 30.0 line; the same names stand in PyPI
pydantic-schemaorg 1.0.6); GS1 web vocabulary, SizeTypeCode; UN/CEFACT Recommendation 20 codes.
"""

from __future__ import annotations

import json

import pytest

from halfinch import knowledge
from halfinch.figure import NM_PER_INCH, SheetResult
from halfinch.interpret import interpret
from halfinch.normalise.point_labels import read_length_word, read_point_label
from halfinch.readers import read_plain
from halfinch.sheet import Sheet

KNOWLEDGE = knowledge.load()

TERMS = [
    pytest.param("WearableMeasurementInseam", "inseam"),
    pytest.param("WearableMeasurementOutsideLeg", "outseam"),
    pytest.param("WearableMeasurementWaist", "waist"),
    pytest.param("WearableMeasurementHips", "hip"),
    pytest.param("https://schema.org/WearableMeasurementInseam", "inseam"),
    pytest.param("schema:WearableMeasurementOutsideLeg", "outseam"),
]


@pytest.mark.parametrize(("term", "point"), TERMS)
def test_terms_of_garments(term: str, point: str) -> None:
    label = read_point_label(term, KNOWLEDGE)
    assert label is not None
    assert (label.point, label.convention) == (point, "")


OTHERS = ["Back", "ChestOrBust", "Collar", "Cup", "Sleeve"]


@pytest.mark.parametrize("name", OTHERS)
def test_terms_of_other_garments_are_no_points(name: str) -> None:
    label = read_point_label(f"WearableMeasurement{name}", KNOWLEDGE)
    assert label is None or not label.point


GROUPS = [
    pytest.param("WearableSizeGroupPetite", "petite"),
    pytest.param("WearableSizeGroupRegular", "regular"),
    pytest.param("WearableSizeGroupShort", "short"),
    pytest.param("WearableSizeGroupTall", "tall"),
]


@pytest.mark.parametrize(("term", "length"), GROUPS)
def test_words_of_size_groups(term: str, length: str) -> None:
    assert read_length_word(term.removeprefix("WearableSizeGroup"), KNOWLEDGE) == length


def product_page(*measures: tuple[str, float, str], prop: str = "hasMeasurement") -> SheetResult:
    """A page whose only figures stand in its JSON-LD, one size 8."""
    values = [
        {"@type": "QuantitativeValue", "valueReference": f"https://schema.org/{term}", "value": value, "unitCode": code}
        for term, value, code in measures
    ]
    data = {
        "@context": "https://schema.org",
        "@type": "Product",
        "name": "Alma jeans",
        "size": {"@type": "SizeSpecification", "name": "8"} if prop == "hasMeasurement" else {
            "@type": "SizeSpecification", "name": "8", prop: values
        },
        **({prop: values} if prop == "hasMeasurement" else {}),
    }  # fmt: skip
    page = (
        f'<html><body><h1>Alma jeans</h1><script type="application/ld+json">{json.dumps(data)}</script></body></html>'
    )
    sheet = read_plain(page.encode(), "alma.html")
    assert isinstance(sheet, Sheet)
    return interpret(sheet, KNOWLEDGE)


CODES = [
    pytest.param("INH", 30, 762_000_000, id="INH: inch"),
    pytest.param("CMT", 76.5, 765_000_000, id="CMT: centimetre"),
    pytest.param("MMT", 765, 765_000_000, id="MMT: millimetre"),
    pytest.param("MTR", 0.765, 765_000_000, id="MTR: metre"),
    pytest.param("FOT", 2.5, 762_000_000, id="FOT: foot"),
]


@pytest.mark.parametrize(("code", "value", "nm"), CODES)
def test_codes_of_units(code: str, value: float, nm: int) -> None:
    result = product_page(("WearableMeasurementInseam", value, code), ("WearableMeasurementOutsideLeg", 40, "INH"))
    assert [(one.length_nm, one.status) for one in result.figures if one.point == "inseam"] == [(nm, "accepted")]


def test_measurements_of_a_product() -> None:
    result = product_page(("WearableMeasurementInseam", 30, "INH"), ("WearableMeasurementOutsideLeg", 101.6, "CMT"))
    assert {(one.point, one.length_nm, one.status) for one in result.figures} == {
        ("inseam", 30 * NM_PER_INCH, "accepted"),
        ("outseam", 40 * NM_PER_INCH, "accepted"),
    }


def test_suggested_measurements_are_of_the_body() -> None:
    """`suggestedMeasurement` is for whom a size is meant; `hasMeasurement` is the product's own."""
    result = product_page(
        ("BodyMeasurementWaist", 72, "CMT"), ("BodyMeasurementHips", 96, "CMT"), prop="suggestedMeasurement"
    )
    assert [one for one in result.figures if one.point in ("waist", "hip") and one.status != "held"] == []


SIZE_TYPES = [("INSEAM", "inseam"), ("OUTSIDE_LEG", "outseam"), ("WAIST", "waist"), ("HIPS", "hip")]


@pytest.mark.parametrize(("code", "point"), SIZE_TYPES)
def test_size_types_of_gs1(code: str, point: str) -> None:
    label = read_point_label(f"SizeTypeCode-{code}", KNOWLEDGE)
    assert label is not None
    assert label.point == point
