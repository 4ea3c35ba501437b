"""JSON as grids: the shapes in which shops and feeds keep tables, each scalar with its way back."""

from __future__ import annotations

from decimal import Decimal

import pytest
from grids import as_rows, place_of
from hypothesis import given
from hypothesis import strategies as st

from halfinch.errors import SheetError
from halfinch.readers.json_grids import json_grids
from halfinch.readers.json_text import read
from halfinch.sheet import MARKS


def rows(value: object) -> list[list[list[str]]]:
    return [as_rows(grid) for grid in json_grids(value, order=0)]


INSEAM = {"@type": "QuantitativeValue", "valueReference": "https://schema.org/WearableMeasurementInseam", "value": 30}


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        pytest.param(
            [{"size": "8", "waist": 28}, {"size": "10", "waist": 29.5}],
            [[["size", "waist"], ["8", "28"], ["10", "29.5"]]],
            id="list-of-objects",
        ),
        pytest.param(
            {"8": {"waist": 28}, "10": {"waist": 29}}, [[["", "waist"], ["8", "28"], ["10", "29"]]], id="sizes-as-keys"
        ),
        pytest.param(
            {"sizes": ["8", "10"], "waist": [28, 29]}, [[["sizes", "8", "10"], ["waist", "28", "29"]]], id="lists"
        ),
        pytest.param([["Size", "8"], ["Waist", "28"]], [[["Size", "8"], ["Waist", "28"]]], id="rows"),
        pytest.param(
            {"headers": ["Size", "Waist"], "rows": [["8", 28]]},
            [[["Size", "Waist"], ["8", "28"]]],
            id="rows-under-columns",
        ),
        pytest.param(
            {"columns": ["", "8", "10"], "rows": [["Waist", 28, 29]]},
            [[["", "8", "10"], ["Waist", "28", "29"]]],
            id="an-empty-corner",
        ),
        pytest.param(
            {"columns": [{"title": "Size"}, {"title": "Waist"}], "data": [["8", 28]]},
            [[["Size", "Waist"], ["8", "28"]]],
            id="columns-as-objects",
        ),
        pytest.param(
            [{"size": "8", "measures": [{"label": "Waist", "in": 28}, {"label": "Hip", "in": 38}]}] * 2,
            [[["size", "label", "in"], *[["8", "Waist", "28"], ["8", "Hip", "38"]] * 2]],
            id="a-list-of-measures-in-each-size",
        ),
        pytest.param(
            {unit: {"columns": ["Size", "Hip"], "rows": [["8", hip]]} for unit, hip in (("in", 38), ("cm", 97))},
            [[["Size", "Hip"], ["8", "38"]], [["Size", "Hip"], ["8", "97"]]],
            id="a-table-a-unit",
        ),
        pytest.param(
            {kind: {"waist": {"S": 26, "M": 28}, "hip": {"S": 36, "M": 38}} for kind in ("body", "garment")},
            [[["", "S", "M"], ["waist", "26", "28"], ["hip", "36", "38"]]] * 2,
            id="two-tables-by-name",
        ),
        pytest.param(
            {"size": "8", "measurements": [{"name": "Inseam", "value": 30, "unitCode": "INH"}]},
            [[["size", "8"], ["Inseam", "30 in"]]],
            id="own-scalars-above-the-pairs",
        ),
        pytest.param(
            {"product": {"size": "8", "dims": [{"label": "Waist", "minValue": 28, "maxValue": 29, "unitText": "cm"}]}},
            [[["size", "8"], ["Waist", "28 - 29 cm"]]],
            id="pairs-within-an-object",
        ),
        pytest.param(
            {"name": "Flora", "meta": '{"waist": {"value": "28", "unit": "in"}}'},
            [[["name", "Flora"], ["waist", "28 in"]]],
            id="json-within-a-string",
        ),
        pytest.param(
            {
                "size": {"@type": "SizeSpecification", "name": "8", "hasMeasurement": [{"name": "Waist", "value": 70}]},
                "color": "ink",
            },
            [[["size", "8"], ["color", "ink"]], [["@type", "SizeSpecification"], ["name", "8"], ["Waist", "70"]]],
            id="a-bodys-measures-stay-apart",
        ),
        pytest.param({"a": {"a": {}}, "b": [], "c": None, "d": ""}, [], id="nothing"),
        pytest.param("text", [], id="a-bare-scalar"),
    ],
)
def test_shapes(value: object, expected: list[list[list[str]]]) -> None:
    assert rows(value) == expected


@pytest.mark.parametrize(
    ("entry", "label"),
    [
        pytest.param(INSEAM, "WearableMeasurementInseam", id="reference"),
        pytest.param({**INSEAM, "name": "Petite inseam"}, "Petite inseam", id="a-name-that-says-the-same-and-more"),
        pytest.param({**INSEAM, "name": "Measure 1"}, "WearableMeasurementInseam", id="a-name-that-says-nothing"),
        pytest.param(
            {"name": "Waist", "valueReference": "BodyMeasurementWaist", "value": 70},
            "BodyMeasurementWaist",
            id="a-bodys",
        ),
        pytest.param(
            {"valueReference": {"@id": "https://schema.org/WearableMeasurementRise"}, "value": 9},
            "WearableMeasurementRise",
            id="reference-as-object",
        ),
    ],
)
def test_labels_of_schema_org_measurements(entry: dict[str, object], label: str) -> None:
    assert rows({"hasMeasurement": [entry]})[0][0][0] == label


def test_a_group_of_variants_is_one_table() -> None:
    variant = {"@type": "Product", "offers": {"price": 80, "priceCurrency": "USD"}}
    value = {
        "@type": "ProductGroup",
        "name": "Flora",
        "hasVariant": [
            {**variant, "size": "8", "hasMeasurement": [{**INSEAM, "unitCode": "INH"}]},
            {**variant, "size": "10", "hasMeasurement": [{**INSEAM, "value": 31, "unitCode": "INH"}]},
        ],
    }
    assert rows(value)[1] == [
        ["@type", "price", "priceCurrency", "size", "WearableMeasurementInseam"],
        ["Product", "80", "USD", "8", "30 in"],
        ["Product", "80", "USD", "10", "31 in"],
    ]


def test_places_are_json_pointers_and_numbers_carry_their_value() -> None:
    [grid] = json_grids({"a/b": [{"x": Decimal("1.50"), "y": 2}, {"x": 3, "y": 4}]}, order=7, path="/top")
    cell = next(cell for cell in grid.cells if cell.text == "1.50")
    assert (cell.place, cell.value) == ("json=/top/a~1b/0/x", Decimal("1.50"))
    assert cell.marks == {"data", "number"}
    assert grid.order == 7
    assert place_of(grid, "4") == "json=/top/a~1b/1/y"


def test_a_deep_nest_ends() -> None:
    value: object = {"waist": 28}
    for _ in range(500):
        value = {"in": [value]}
    assert json_grids(value, order=0) == []


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-99, 99) | st.text("ab1", max_size=3),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from(["name", "value", "unit", "size", "rows", "x"]), inner)
    ),
    max_leaves=20,
)


@given(_JSON)
def test_any_json_gives_well_made_grids(value: object) -> None:
    for grid in json_grids(value, order=0):
        as_rows(grid)  # fails where two cells share a place
        assert all(cell.text and cell.marks <= MARKS and cell.place.startswith("json=/") for cell in grid.cells)


def test_json_files_and_lines_of_json() -> None:
    assert as_rows(read(b'{"size": "8", "inseam": 30.5}', "a.json").grids[0]) == [["size", "8"], ["inseam", "30.5"]]
    lines = read(b'{"size": "8", "inseam": 30}\n{"size": "10", "inseam": 31}\n', "a.jsonl")
    assert as_rows(lines.grids[0]) == [["size", "inseam"], ["8", "30"], ["10", "31"]]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        pytest.param(b'{"size": "8", ', "broken JSON", id="cut-short"),
        pytest.param(b'{"a": {}}', "without any value", id="nothing-in-it"),
        pytest.param(b"[" * 100_000, "nested too deep|broken JSON", id="nest"),
    ],
)
def test_bad_json_is_refused_in_one_sentence(data: bytes, says: str) -> None:
    with pytest.raises(SheetError, match=says):
        read(data, "a.json")
