"""Pages kept as JSON blocks: headings, paragraphs, lists and tables in the order in which a person reads them.

Editors keep a text as a list of blocks that each say what they are ({"type": "header", "data": {"text": ...}}), or as
a tree of nodes ({"type": "tableRow", "content": [...]}). Both become texts and grids; all else of the file is left to
`json_grids`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html import unescape

from halfinch.readers.json_grids import json_grids
from halfinch.readers.json_values import Item, Row, escape, is_scalar, pointer_place, scalar, scalar_text
from halfinch.sheet import HEADER, NUMBER, Cell, Grid, Text

MAX_DEPTH = 24
TYPE_KEYS = ("type", "_type", "blockType", "nodeType", "kind", "component", "__component")
KINDS = {
    "row": r"row",
    "cell": r"cell|table_?-?(?:header|data)$|^t[dh]$",
    "table": r"table|grid$",
    "heading": r"head|title|^h[1-6]$",
    "item": r"list|item|bullet",
    "paragraph": r"paragraph|text|^p$|quote|rich|callout|note",
}
_KINDS = {kind: re.compile(pattern, re.IGNORECASE) for kind, pattern in KINDS.items()}
INNER_KEYS = ("content", "children", "data", "value", "fields", "attrs", "items", "rows", "cells", "body", "nodes")
TEXT_KEYS = ("text", "html", "caption", "title", "content", "value", "body", "label")
CAPTION_KEYS = ("caption", "title", "heading", "name")
HEAD_KEYS = ("withHeadings", "withHeader", "hasHeader", "hasHeaderRow", "headerRow", "has_column_header", "header")
_TAG = re.compile(r"<(?:br|/p|/li|/div)\b[^>]*>|<[^<>]+>", re.IGNORECASE)


@dataclass(slots=True)
class Blocks:
    """The texts and grids of a page, in reading order."""

    order: int
    texts: list[Text] = field(default_factory=list)
    grids: list[Grid] = field(default_factory=list)

    def add_text(self, text: str, kind: str, path: str, level: int = 0) -> None:
        if text:
            self.texts.append(Text(text, self.order, kind, level, place=pointer_place(path)))
            self.order += 1

    def add_grids(self, grids: list[Grid]) -> None:
        self.grids += grids
        self.order += len(grids)


def take_blocks(value: object, path: str, depth: int = 0) -> tuple[object, list[tuple[str, list[dict[str, object]]]]]:
    """The value without its lists of blocks, and these with their JSON pointers."""
    if isinstance(value, list) and is_page(value):
        return None, [(path, [one for one in value if isinstance(one, dict)])]
    if not isinstance(value, dict) or depth > MAX_DEPTH:
        return value, []
    rest: dict[str, object] = {}
    found: list[tuple[str, list[dict[str, object]]]] = []
    for key, item in value.items():
        rest[key], more = take_blocks(item, f"{path}/{escape(key)}", depth + 1)
        found += more
    return ({key: item for key, item in rest.items() if key not in TYPE_KEYS}, found) if found else (value, [])


def is_page(value: list[object]) -> bool:
    """A list of two blocks and more, most of them of kinds that a page has, headings or tables among them."""
    if len(value) < 2:
        return False
    kinds = [kind_of(item) for item in value if isinstance(item, dict)]
    known = [kind for kind in kinds if kind in ("table", "heading", "item", "paragraph")]
    return len(kinds) == len(value) and len(known) * 2 > len(kinds) and bool({"table", "heading"} & set(known))


def kind_of(value: object) -> str:
    """row | cell | table | heading | item | paragraph, '' for anything else."""
    if not isinstance(value, dict):
        return ""
    said = next((value[key] for key in TYPE_KEYS if isinstance(value.get(key), str)), "")
    return next((kind for kind, pattern in _KINDS.items() if said and pattern.search(said)), "")


def read_blocks(items: list[dict[str, object]], path: str, order: int) -> Blocks:
    """Texts and grids of a list of blocks. Places are JSON pointers; orders count on from `order`."""
    blocks = Blocks(order)
    for number, item in enumerate(items):
        read_block(item, f"{path}/{number}", blocks)
    return blocks


def read_block(item: dict[str, object], path: str, blocks: Blocks) -> None:
    kind = kind_of(item)
    if kind == "table":
        read_table(item, path, blocks)
    elif kind == "heading":
        blocks.add_text(" ".join(words_of(item)), "heading", path, level_of(item))
    elif kind in ("item", "paragraph"):
        for line in words_of(item):
            blocks.add_text(line, "item" if kind == "item" else "paragraph", path)
    else:
        blocks.add_grids(json_grids(item, order=blocks.order, path=path))


def read_table(item: dict[str, object], path: str, blocks: Blocks) -> None:
    """The first matrix of the block, or its rows of cells; a table in another shape is read as any object is."""
    rows = find_rows(item, path)
    if not rows:
        blocks.add_grids(json_grids(item, order=blocks.order, path=path))
        return
    parts = [item, *(inner for key in INNER_KEYS if isinstance(inner := item.get(key), dict))]
    caption = next((plain(part[key]) for part in parts for key in CAPTION_KEYS if isinstance(part.get(key), str)), "")
    headed = any(part.get(key) is True for part in parts for key in HEAD_KEYS)
    cells = tuple(
        Cell(
            text=one.text,
            row=number,
            column=column,
            place=pointer_place(one.path),
            marks=frozenset(
                {
                    *([HEADER] if one.header or (headed and number == 1) else []),
                    *([NUMBER] if one.value is not None else []),
                }
            ),
            value=one.value,
        )
        for number, row in enumerate(rows, 1)
        for column, one in enumerate(row, 1)
        if one.text
    )
    if cells:
        blocks.add_grids([Grid(cells, blocks.order, caption=caption, place=pointer_place(path))])


def find_rows(value: object, path: str, depth: int = 0) -> list[Row]:
    """A list of lists of scalars or of cells somewhere in a table's block; [] for none."""
    if depth > MAX_DEPTH:
        return []
    if isinstance(value, list):
        rows = [row_of(item, f"{path}/{number}") for number, item in enumerate(value)]
        if rows and all(rows):
            return [row for row in rows if row]
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in inner:
        if isinstance(item, dict | list) and (found := find_rows(item, f"{path}/{escape(str(key))}", depth + 1)):
            return found
    return []


def row_of(value: object, path: str) -> Row:
    """The cells of a row: a list of scalars or cells, or a node of the kind row; [] for anything else."""
    if isinstance(value, dict):
        members = next(((key, one) for key in INNER_KEYS if isinstance(one := value.get(key), list)), None)
        if kind_of(value) not in ("row", "") or members is None:
            return []
        return row_of(members[1], f"{path}/{members[0]}")
    if not isinstance(value, list) or not value:
        return []
    if all(is_scalar(cell) for cell in value):
        return [cell_of(cell, f"{path}/{number}") for number, cell in enumerate(value)]
    if all(isinstance(cell, dict) and (kind_of(cell) == "cell" or set(cell) & set(TEXT_KEYS)) for cell in value):
        return [cell_of(cell, f"{path}/{number}") for number, cell in enumerate(value)]
    return []


def cell_of(value: object, path: str) -> Item:
    """One cell; tags of a rich text are taken off."""
    if isinstance(value, dict):
        head = "header" in str(next((value[key] for key in TYPE_KEYS if key in value), "")).casefold()
        return Item(" ".join(words_of(value)), path, header=head)
    return Item(plain(value), path) if isinstance(value, str) else scalar(value, path)


def level_of(item: dict[str, object]) -> int:
    parts = [item, *(inner for key in INNER_KEYS if isinstance(inner := item.get(key), dict))]
    level = next((part["level"] for part in parts if isinstance(part.get("level"), int)), 0)
    return min(6, max(0, level)) if isinstance(level, int) else 0


def words_of(value: object, depth: int = 0) -> list[str]:
    """The texts of a block, each item of a list by itself; the parts of one line are joined."""
    lines = list(parts_of(value, depth))
    return [" ".join(lines)] if is_line(value) and lines else lines


def is_line(value: object) -> bool:
    """Whether a node holds the parts of one line of text (bold here, plain there)."""
    inner = [one for key in INNER_KEYS if isinstance(one := value.get(key), list)] if isinstance(value, dict) else []
    parts = [part for one in inner for part in one]
    return bool(parts) and all(isinstance(part, dict) and isinstance(part.get("text"), str) for part in parts)


def parts_of(value: object, depth: int) -> Iterator[str]:
    if depth > MAX_DEPTH:
        return
    if isinstance(value, str):
        yield from (line for line in [plain(value)] if line)
    elif isinstance(value, list):
        for item in value:
            yield from words_of(item, depth + 1)
    elif isinstance(value, dict):
        for key in dict.fromkeys((*TEXT_KEYS, *INNER_KEYS)):
            if key in value:
                yield from parts_of(value[key], depth + 1)


def plain(value: object) -> str:
    """A text without tags."""
    return " ".join(unescape(_TAG.sub(" ", scalar_text(value))).split())
