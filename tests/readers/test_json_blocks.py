"""Pages that editors keep as blocks or trees of nodes in JSON: read as a person reads them."""

from __future__ import annotations

import json

import pytest
from grids import as_rows

from halfinch.readers.json_text import read
from halfinch.sheet import HEADER, Grid, Sheet

TABLE = [["Size", "8", "10"], ["<b>Waist</b>", "28", "29"]]


def told(value: object) -> list[object]:
    """Texts and tables in reading order."""
    sheet = read(json.dumps(value).encode(), "page.json")
    return [as_rows(block) if isinstance(block, Grid) else (block.kind, block.text) for block in sheet.blocks()]


def cell(text: str, kind: str = "tableCell") -> dict[str, object]:
    return {"type": kind, "content": [{"type": "paragraph", "content": [{"type": "text", "text": text}]}]}


def row(*texts: str, kind: str = "tableCell") -> dict[str, object]:
    return {"type": "tableRow", "content": [cell(text, kind) for text in texts]}


BLOCKS = [
    pytest.param(
        {
            "blocks": [
                {"type": "header", "data": {"text": "Alma &amp; Berta", "level": 2}},
                {"type": "paragraph", "data": {"text": "All in <i>inches</i>"}},
                {"type": "list", "data": {"style": "unordered", "items": ["one", "two"]}},
                {"type": "table", "data": {"withHeadings": True, "content": TABLE}},
            ]
        },
        [
            ("heading", "Alma & Berta"),
            ("paragraph", "All in inches"),
            ("item", "one"),
            ("item", "two"),
            [["Size", "8", "10"], ["Waist", "28", "29"]],
        ],
        id="blocks of an editor",
    ),
    pytest.param(
        {
            "type": "doc",
            "content": [
                {"type": "heading", "attrs": {"level": 1}, "content": [{"type": "text", "text": "Alma"}]},
                {
                    "type": "table",
                    "content": [row("Size", "8", "10", kind="tableHeader"), row("Waist", "28", "29")],
                },
            ],
        },
        [("heading", "Alma"), [["Size", "8", "10"], ["Waist", "28", "29"]]],
        id="a tree of nodes",
    ),
    pytest.param(
        [
            {"kind": "h2", "text": "Alma"},
            {"kind": "table", "rows": [{"cells": [{"text": "Size"}, {"text": "8"}]}, {"cells": ["Waist", 28]}]},
        ],
        [("heading", "Alma"), [["Size", "8"], ["Waist", "28"]]],
        id="rows of cells",
    ),
    pytest.param(
        [{"type": "variant", "size": "8", "waist": "28"}, {"type": "variant", "size": "10", "waist": "29"}],
        [[["type", "size", "waist"], ["variant", "8", "28"], ["variant", "10", "29"]]],
        id="records are no page",
    ),
]


@pytest.mark.parametrize(("value", "expected"), BLOCKS)
def test_a_page_of_blocks(value: object, expected: list[object]) -> None:
    assert told(value) == expected


def test_places_and_headings_of_a_table_in_blocks() -> None:
    value = {"blocks": [{"type": "header", "data": {"text": "Alma"}}, {"type": "table", "data": {"content": TABLE}}]}
    sheet = read(json.dumps(value).encode(), "page.json")
    assert isinstance(sheet, Sheet)
    grid = sheet.grids[0]
    assert {c.place for c in grid.cells if c.text == "29"} == {"json=/blocks/1/data/content/1/2"}
    assert not any(HEADER in c.marks for c in grid.cells)
