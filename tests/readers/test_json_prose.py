"""Running text and markup inside JSON: what is taken as text, and what stays a table."""

from __future__ import annotations

import json

import pytest
from grids import as_rows

from halfinch.readers.json_text import read
from halfinch.sheet import Grid


def told(value: object) -> list[object]:
    """Texts and tables in reading order."""
    sheet = read(json.dumps(value).encode(), "product.json")
    return [as_rows(block) if isinstance(block, Grid) else block.text for block in sheet.blocks()]


NAME = {"title": "Alma jeans"}
FACTS = [["title", "Alma jeans"]]

CASES = [
    pytest.param(
        {**NAME, "details": ["Front rise: 11 in", "Inseam: 30 in"]},
        ["Alma jeans", "Front rise: 11 in", "Inseam: 30 in", FACTS],
        id="a-list-of-lines",
    ),
    pytest.param(
        {**NAME, "keys": ["A) Waist across", "B) Hip"], "columns": ["Size", "A", "B"], "rows": [["8", "14", "19"]]},
        ["Alma jeans", "A) Waist across", "B) Hip", FACTS, [["Size", "A", "B"], ["8", "14", "19"]]],
        id="a-key-beside-a-table",
    ),
    pytest.param({"keys": ["A - Waist", "B - Hip"], **NAME}, ["Alma jeans", "A - Waist", "B - Hip", FACTS], id="key"),
    pytest.param(
        {**NAME, "chart": "Size | Waist\nS | 28"}, ["Alma jeans", "Size | Waist", "S | 28", FACTS], id="several-lines"
    ),
    pytest.param({"sizes": ["US 8", "US 10"]}, [[["sizes", "US 8", "US 10"]]], id="sizes"),
    pytest.param(
        {"labels": ["Waist around top (cm)", "Hip around seat (cm)"], "values": [70, 94]},
        [[["labels", "Waist around top (cm)", "Hip around seat (cm)"], ["values", "70", "94"]]],
        id="lists-side-by-side",
    ),
    pytest.param(
        {**NAME, "body_html": "<p>Inseam 30 in</p><table><tr><td>Size<td>Hip<tr><td>8<td>38</table>"},
        [FACTS, "Alma jeans", "Inseam 30 in", [["Size", "Hip"], ["8", "38"]]],
        id="markup",
    ),
    pytest.param(
        [{**NAME, "notes": ["Inseam: 30 in"]}, {"title": "Berta", "notes": ["Inseam: 28 in"]}],
        [[["title"], ["Alma jeans"], ["Berta"]], "Alma jeans", "Inseam: 30 in", "Berta", "Inseam: 28 in"],
        id="each-under-its-name",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("value", "expected"), CASES)
def test_text_within_json(value: object, expected: list[object]) -> None:
    assert told(value) == expected
