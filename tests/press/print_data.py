"""Pages whose figures stand in data: JSON-LD with schema.org's terms, or attributes of elements that a script fills."""

from __future__ import annotations

import json
import random
import re
from html import escape

from .doc import Cell, Doc, Heading, Para, Table

CODES = {"in": "INH", "cm": "CMT", "mm": "MMT"}
"""UN/CEFACT Recommendation 20."""


def fits(doc: Doc) -> bool:
    """One plain table, sizes down, bare numbers in one said unit, labels that a name in the page's code can hold."""
    tables = [block for block in doc.blocks if isinstance(block, Table)]
    if len(tables) != 1 or doc.facts.get("layout") != "down" or doc.facts["unit said"] != "note":
        return False
    head, *rows = tables[0].rows
    bare = all(cell.value is not None for row in rows for cell in row[1:])
    return bare and all(re.fullmatch(r"[A-Za-z .:()-]+", cell.text) for cell in head[1:])


def print_page(doc: Doc, shape: str, rng: random.Random) -> bytes:
    table = next(block for block in doc.blocks if isinstance(block, Table))
    texts = [block for block in doc.blocks if isinstance(block, Heading | Para)]
    shown = "".join(f"<p>{escape(block.text)}</p>" for block in texts[1:])
    head, *rows = table.rows
    data = _linked(doc, head, rows, rng) if shape == "json-ld" else _attributes(head, rows)
    lang = f"<html lang='{doc.language}'>"
    page = f"<!DOCTYPE html>{lang}<head><meta charset='utf-8'><title>{escape(doc.title)}</title></head>"
    return f"{page}<body><h1>{escape(doc.title)}</h1>{data}{shown}</body></html>".encode()


def _linked(doc: Doc, head: list[Cell], rows: list[list[Cell]], rng: random.Random) -> str:
    code = CODES[doc.facts["unit"]]
    variants = []
    for size, *cells in rows:
        measures = [
            {"@type": "QuantitativeValue", "name": label.text, "value": float(cell.value or 0), "unitCode": code}
            for label, cell in zip(head[1:], cells, strict=True)
        ]
        variants.append({"@type": "Product", "size": size.text, "hasMeasurement": measures})
    product = {"@context": "https://schema.org", "@type": "ProductGroup", "name": doc.title, "hasVariant": variants}
    space = rng.choice([None, 1])
    return f"<script type='application/ld+json'>{json.dumps(product, ensure_ascii=False, indent=space)}</script>"


def _attributes(head: list[Cell], rows: list[list[Cell]]) -> str:
    names = [re.sub(r"[^a-z0-9]+", "-", cell.text.lower()).strip("-") for cell in head[1:]]
    buttons = []
    for size, *cells in rows:
        data = "".join(
            f" data-{name}='{escape(cell.text, quote=True)}'" for name, cell in zip(names, cells, strict=True)
        )
        buttons.append(
            f"<button class='size' data-size='{escape(size.text, quote=True)}'{data}>{escape(size.text)}</button>"
        )
    return "<div class='sizes'>" + "".join(buttons) + "</div>"
