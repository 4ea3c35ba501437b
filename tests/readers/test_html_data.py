"""Data behind the page: JSON-LD, microdata, RDFa, state scripts, attributes, markup inside strings."""

from __future__ import annotations

import json

import pytest
from html_views import matrix, page, words

from halfinch.readers.html.data import prune
from halfinch.readers.html.scripts import read_literal, values_in_script
from halfinch.sheet import DATA


def data_rows(markup: str) -> list[list[str]]:
    sheet = page(markup)
    assert all(DATA in grid.marks for grid in sheet.grids)
    assert all(grid.place.startswith(("json=/", "attr=")) for grid in sheet.grids)
    return [row for grid in sheet.grids for row in matrix(grid)]


@pytest.mark.parametrize(
    ("markup", "row"),
    [
        pytest.param(
            ""
            '<script type="application/ld+json">{"@type":"Product","name":"Ada",'
            '"hasMeasurement":[{"@type":"QuantitativeValue",'
            '"name":"Inseam","value":30,"unitCode":"INH"}]}</script>',
            ["Inseam", "30 in"],
            id="json-ld",
        ),
        pytest.param(
            '<script type="application/ld+json">//<![CDATA[\n{"a":{"inseam":30,},\n}//]]></script>',
            ["inseam", "30"],
            id="slips",
        ),
        pytest.param(
            '<div itemscope itemtype="https://schema.org/Product"><div itemprop=hasMeasurement itemscope itemtype='
            '"https://schema.org/QuantitativeValue"><span itemprop=name>Inseam</span> <b itemprop=value>30</b>'
            "<meta itemprop=unitCode content=INH></div></div>",
            ["Inseam", "30 in"],
            id="microdata",
        ),
        pytest.param(
            '<div vocab="https://schema.org/" typeof=Product><div property=hasMeasurement typeof=QuantitativeValue>'
            "<span property=name>Inseam</span> <b property=value>30</b><meta property=unitCode content=INH>"
            "</div></div>",
            ["Inseam", "30 in"],
            id="rdfa",
        ),
        pytest.param(
            '<script>window.__STATE__ = {"p":{"Inseam (cm)":"76 cm"}};</script>', ["Inseam (cm)", "76 cm"], id="labels"
        ),
        pytest.param(
            '<script>window.__STATE__ = {"p":{"股下の長さ":"76 cm"}};</script>',
            ["股下の長さ", "76 cm"],
            id="other-letters",
        ),
        pytest.param('<script>window.__STATE__ = {"p":{"inseam":"30 in"}};</script>', ["inseam", "30 in"], id="state"),
        pytest.param('<script type="application/json">{"p":{"inseam":30.5}}</script>', ["inseam", "30.5"], id="json"),
        pytest.param(
            "<script>var p = {inseam: '30', /* c */ rise: .5, a: undefined,};</script>", ["rise", "0.5"], id="literal"
        ),
        pytest.param(
            r"""<script>x = JSON.parse('{"inseam":"9\u00bd"}')</script>""", ["inseam", "9½"], id="parse-of-a-string"
        ),
        pytest.param(
            r"""<script>q.push([1,"3:{\"a\":{\"inseam\":30}}"])</script>""", ["inseam", "30"], id="streamed-lines"
        ),
        pytest.param("""<div data-spec='{"inseam": 30, "rise": 10}'></div>""", ["rise", "10"], id="json-attribute"),
        pytest.param("<p data-front-rise=10.5 data-id=77>x</p>", ["front rise", "10.5"], id="plain-attribute"),
        pytest.param(
            "<select><option data-waist=28 data-inseam=30>8<option data-waist=29 data-inseam=30>10</select>",
            ["10", "29", "30"],
            id="attributes-of-options",
        ),
        pytest.param(
            "<b data-waist=70 data-uom=cm>8</b><b data-waist=75 data-uom=cm>10</b>",
            ["10", "75", "cm"],
            id="unit-beside-figures",
        ),
        pytest.param("<p data-inseam=30 data-size-unit=inches>x</p>", ["unit", "inches"], id="unit-of-one-element"),
        pytest.param(
            "<ul data-units=cm><li data-waist=70>8<li data-waist=75>10</ul>", ["10", "75", "cm"], id="unit-of-the-list"
        ),
        pytest.param(
            "<b data-waist=28 data-units=2>8</b><b data-waist=29 data-units=2>10</b>",
            ["8", "28", "2"],
            id="units-in-stock-are-no-unit",
        ),
    ],
)
def test_figures_behind_the_page(markup: str, row: list[str]) -> None:
    assert row in data_rows(markup)


def test_markup_inside_a_string_is_read_as_a_page() -> None:
    state = {
        "p": {"name": "Ada", "body": "<ul><li>Inseam 30</li></ul><table><tr><td>Rise<td>10<tr><td>Hem<td>17</table>"}
    }
    sheet = page(f"<script>s={json.dumps(state)}</script>")
    assert words(sheet) == ["Ada", "Inseam 30"]
    assert [["Rise", "10"], ["Hem", "17"]] in [matrix(grid) for grid in sheet.grids]
    assert all(DATA in block.marks for block in sheet.blocks())
    assert not any("<" in cell.text for grid in sheet.grids for cell in grid.cells)


def test_escaped_markup_inside_a_string() -> None:
    sheet = page(
        '<script type="application/json">{"d": "&lt;ul&gt;&lt;li&gt;Inseam 30&lt;/li&gt;&lt;/ul&gt;"}</script>'
    )
    assert words(sheet) == ["Inseam 30"]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        pytest.param("{a:1,'b':\"x\",c:[!0,null,],}", {"a": 1, "b": "x", "c": [True, None]}, id="plain"),
        pytest.param("{8:{w:28},10:{w:29}}", {"8": {"w": 28}, "10": {"w": 29}}, id="number-keys"),
        pytest.param("{a:0x10,b:-.5,c:1.}", {"a": 16, "b": -0.5, "c": 1}, id="numbers"),
        pytest.param("{a:f(1)}", None, id="call"),
        pytest.param("{a:b}", None, id="name"),
        pytest.param("{a:`x${1}`}", None, id="template"),
        pytest.param("{a:1", None, id="cut-short"),
    ],
)
def test_object_literals(text: str, value: object) -> None:
    assert read_literal(text, 0)[0] == value


def test_programs_give_no_values() -> None:
    program = "function f(a){if(a[0]){return{x:g(1)}}var b=[a,2].map(function(c){return c*2})}"
    assert list(values_in_script(program, "")) == []


def test_large_state_keeps_what_has_figures() -> None:
    menu = [{"label": f"entry {'x' * (i % 7)}", "link": "/path/of/a/page"} for i in range(4_000)]
    state = {"menu": {"entries": menu}, "sizes": [{"size": "8", "inseam": '30"'}, {"size": "M", "inseam": "30 in"}]}
    assert prune(state) == {"sizes": state["sizes"]}
