"""Feeds: blocks of an editor, a product with its table as records, or as columns and rows."""

from __future__ import annotations

import json
import random
from typing import Any

from .doc import Doc, Heading, Items, Pairs, Table
from .print_html import flat_tables, records


def print_json(doc: Doc, rng: random.Random) -> tuple[bytes, str]:
    """One JSON document; the shape is drawn among those that this doc fits in."""
    shape = rng.choice(["blocks", "records", "columns"]) if flat_tables(doc) and not doc.several else "blocks"
    if shape == "records" and len({cell.text for cell in _table(doc).rows[0]}) < len(_table(doc).rows[0]):
        shape = "columns"
    if shape == "blocks":
        data: Any = {"time": 1770000000000, "blocks": [_block(block) for block in doc.blocks], "version": "2.28.2"}
    else:
        data = _product(doc, shape, rng)
    text = json.dumps(data, ensure_ascii=rng.random() < 0.5, indent=rng.choice([None, 1, 2]))
    return text.encode("utf-8"), shape


def _table(doc: Doc) -> Table:
    return next(block for block in doc.blocks if isinstance(block, Table))


def _product(doc: Doc, shape: str, rng: random.Random) -> dict[str, Any]:
    """A product of a shop's feed; texts around the table are its description."""
    texts = [line for block in doc.blocks[1:] for line in _lines(block)]
    head, *rows = _table(doc).spread()
    table: dict[str, Any] = {"rows": records(_table(doc))}
    if shape == "columns":
        table = {"columns": [cell.text for cell in head], "rows": [[cell.text for cell in row] for row in rows]}
    product = {"id": rng.randrange(10**9), "title": doc.title, "vendor": doc.merchant, "description": texts}
    return {"product": {**product, "size_table": table}}


def _lines(block: object) -> list[str]:
    if isinstance(block, Table):
        return [block.caption] if block.caption else []
    if isinstance(block, Items):
        return block.lines
    if isinstance(block, Pairs):
        return [block.title, *[f"{label}: {value}" for label, value in block.rows]]
    return [block.text]  # type: ignore[attr-defined]


def _block(block: object) -> dict[str, Any]:
    if isinstance(block, Heading):
        return {"type": "header", "data": {"text": block.text, "level": block.level}}
    if isinstance(block, Items):
        return {"type": "list", "data": {"style": "unordered", "items": block.lines}}
    if isinstance(block, Pairs):
        content = [[label, value] for label, value in block.rows]
        return {"type": "table", "data": {"caption": block.title, "content": content}}
    if isinstance(block, Table):
        content = [[cell.text for cell in row] for row in block.spread()]
        data: dict[str, Any] = {"content": content, "withHeadings": block.heads > 0}
        return {"type": "table", "data": {"caption": block.caption, **data} if block.caption else data}
    return {"type": "paragraph", "data": {"text": block.text}}  # type: ignore[attr-defined]
