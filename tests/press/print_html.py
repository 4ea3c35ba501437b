"""Pages: tables with spans, ARIA roles, grids of divs, definition lists, bullets, data behind the page."""

from __future__ import annotations

import json
import random
from html import escape as plain

from . import print_data
from .doc import Block, Cell, Doc, Heading, Items, Pairs, Para, Table

SHAPES = {"table": 6, "bare table": 3, "aria": 2, "divs": 2, "layout table": 1, "state": 1, "records as dl": 1}
SHAPES |= {"json-ld": 1, "attributes": 1, "twice": 1, "columns": 1, "list rows": 1, "panels": 1}


def escape(text: str, quote: bool = False) -> str:
    return plain(text, quote).replace("\n", " " if quote else "<br>")


def print_html(doc: Doc, rng: random.Random) -> tuple[bytes, str]:
    shape = rng.choices(list(SHAPES), list(SHAPES.values()))[0]
    if shape in ("json-ld", "attributes") and not print_data.fits(doc):
        shape = "table"
    if shape in ("state", "records as dl") and (doc.several or not flat_tables(doc)):
        shape = "table"
    if shape == "twice" and not _fits_cards(doc):
        shape = "table"
    if shape in ("json-ld", "attributes"):
        return print_data.print_page(doc, shape, rng), shape
    body: list[str] = []
    for block in doc.blocks:
        body.append(_block(block, shape, rng))
    if shape == "panels":
        body = _panels(doc.blocks, body)
    if rng.random() < 0.15:
        body.insert(1, _selector(doc))
    if rng.random() < 0.1:
        body.insert(0, _product_data(doc, rng))
    text = "\n".join(body)
    if shape == "layout table":
        menu = "<td><a href='#'>Women</a><br><a href='#'>Men</a></td>"
        text = f"<table><tr>{menu}<td>{text}</td></tr></table>"
    charset = rng.choice(["utf-8", "utf-8", "utf-8", "utf-16"])
    head = f"<meta charset='{charset}'><title>{escape(doc.title)} | {escape(doc.merchant)}</title>"
    lang = f" lang='{doc.language}'" if rng.random() < 0.8 else ""
    page = f"<!DOCTYPE html><html{lang}><head>{head}</head><body>{text}</body></html>"
    return page.encode(charset), shape


def flat_tables(doc: Doc) -> bool:
    tables = [block for block in doc.blocks if isinstance(block, Table)]
    return len(tables) == 1 and all(cell.span == cell.down == 1 for row in tables[0].rows for cell in row)


def _block(block: object, shape: str, rng: random.Random) -> str:
    if isinstance(block, Heading):
        return f"<h{block.level}>{escape(block.text)}</h{block.level}>"
    if isinstance(block, Para):
        wrap = {"chrome": "<nav><a href='#'>{}</a></nav>", "foot": "<footer><p>{}</p></footer>"}.get(
            block.kind, "<p>{}</p>"
        )
        return wrap.format(escape(block.text))
    if isinstance(block, Items):
        return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in block.lines) + "</ul>"
    if isinstance(block, Pairs):
        return _pairs(block, rng)
    assert isinstance(block, Table)
    return {"aria": _aria, "divs": _divs, "state": _state, "records as dl": _record_lists, "twice": _twice}.get(
        shape, {"columns": _columns, "list rows": _list_rows}.get(shape, _table)
    )(block, shape)


def _pairs(block: Pairs, rng: random.Random) -> str:
    title = f"<h3>{escape(block.title)}</h3>"
    if rng.random() < 0.5:
        return title + "<dl>" + "".join(f"<dt>{escape(a)}</dt><dd>{escape(b)}</dd>" for a, b in block.rows) + "</dl>"
    if rng.random() < 0.5:
        return title + "<ul>" + "".join(f"<li><b>{escape(a)}</b> {escape(b)}</li>" for a, b in block.rows) + "</ul>"
    return (
        title
        + "<table>"
        + "".join(f"<tr><td>{escape(a)}</td><td>{escape(b)}</td></tr>" for a, b in block.rows)
        + "</table>"
    )


def _table(block: Table, shape: str) -> str:
    lines = []
    rng = random.Random(f"{block.rows[0][-1].text}{len(block.rows)}{block.rows[-1][-1].text}")
    for row in block.rows:
        cells = []
        for cell in row:
            tag = "th" if cell.head and shape == "table" else "td"
            span = (f" colspan='{cell.span}'" if cell.span > 1 else "") + (
                f" rowspan='{cell.down}'" if cell.down > 1 else ""
            )
            cells.append(f"<{tag}{span}>{_old(cell, rng)}{escape(cell.text)}</{tag}>")
        lines.append("<tr>" + "".join(cells) + "</tr>")
    caption = f"<caption>{escape(block.caption)}</caption>" if block.caption else ""
    return "<table>" + caption + "\n".join(lines) + "</table>"


def _old(cell: Cell, rng: random.Random) -> str:
    """Now and then the old figure stands before the new one, struck out."""
    if cell.value is None or cell.head or rng.random() > 0.004:
        return ""
    tag = rng.choice(["s", "del", "strike"])
    return f"<{tag}>{float(cell.value) + 1:g}</{tag}> "


def _aria(block: Table, shape: str) -> str:
    lines = []
    for number, row in enumerate(block.spread()):
        role = "columnheader" if number < block.heads else "cell"
        lines.append(
            "<div role='row'>" + "".join(f"<span role='{role}'>{escape(c.text)}</span>" for c in row) + "</div>"
        )
    label = f" aria-label='{escape(block.caption, quote=True)}'" if block.caption else ""
    return f"<div role='table'{label}>" + "".join(lines) + "</div>"


def _divs(block: Table, shape: str) -> str:
    caption = f"<p>{escape(block.caption)}</p>" if block.caption else ""
    rows = [
        "<div class='row'>" + "".join(f"<div class='cell'>{escape(c.text)}</div>" for c in row) + "</div>"
        for row in block.spread()
    ]
    return caption + "<div class='grid'>" + "".join(rows) + "</div>"


def records(block: Table) -> list[dict[str, str]]:
    head, *rows = block.spread()
    return [{a.text or "label": b.text for a, b in zip(head, row, strict=True)} for row in rows]


def _state(block: Table, shape: str) -> str:
    if len({cell.text for cell in block.rows[0]}) < len(block.rows[0]):
        return _table(block, "table")
    data = {"product": {"sizeTable": {"rows": records(block), "note": block.caption}}}
    return f"<script>window.__STATE__ = {json.dumps(data, ensure_ascii=False)};</script><div id='app'></div>"


def _record_lists(block: Table, shape: str) -> str:
    head, *rows = block.spread()
    lines = [_attribute_row(head, row) for row in rows]
    return "<div>" + "".join(lines) + "</div>"


def _attribute_row(head: list[Cell], row: list[Cell]) -> str:
    cells = [f"<dt>{escape(a.text or 'label')}</dt><dd>{escape(b.text)}</dd>" for a, b in zip(head, row, strict=True)]
    return "<dl class='size-row'>" + "".join(cells) + "</dl>"


def _fits_cards(doc: Doc) -> bool:
    """A plain table whose sizes are its first row or column, each printed once."""
    table = next((block for block in doc.blocks if isinstance(block, Table)), None)
    return (
        table is not None
        and doc.facts.get("layout") in ("across", "down")
        and flat_tables(doc)
        and table.heads == 1
        and "extra" not in doc.facts
        and len({cell.text for cell in table.rows[0]}) == len(table.rows[0])
    )


def _twice(block: Table, shape: str) -> str:
    """The table for wide screens, and a card a size (or a point) for narrow ones."""
    head, *rows = block.spread()
    cards = []
    for row in rows:
        lines = [
            f"<li><span>{escape(a.text)}</span> <b>{escape(b.text)}</b></li>"
            for a, b in zip(head[1:], row[1:], strict=True)
        ]
        cards.append(f"<div class='card'><h4>{escape(row[0].text)}</h4><ul>{''.join(lines)}</ul></div>")
    small = "".join(cards)
    return f"<div class='wide'>{_table(block, 'table')}</div><div class='narrow' style='display:none'>{small}</div>"


def _columns(block: Table, shape: str) -> str:
    """A flex box of columns, each with its cells one under the other."""
    caption = f"<p>{escape(block.caption)}</p>" if block.caption else ""
    columns = [
        "<div class='col'>" + "".join(f"<div class='cell'>{escape(c.text)}</div>" for c in column) + "</div>"
        for column in zip(*block.spread(), strict=True)
    ]
    return caption + "<div class='cols' style='display:flex'>" + "".join(columns) + "</div>"


def _list_rows(block: Table, shape: str) -> str:
    """Rows as items of a list, cells as spans."""
    caption = f"<p>{escape(block.caption)}</p>" if block.caption else ""
    rows = [
        "<li class='row'>" + "".join(f"<span class='cell'>{escape(c.text)}</span>" for c in row) + "</li>"
        for row in block.spread()
    ]
    return caption + "<ul class='size-table'>" + "".join(rows) + "</ul>"


def _panels(blocks: list[Block], body: list[str]) -> list[str]:
    """Each heading of a lower level and what follows it as a tab's panel, all but the first out of sight."""
    parts: list[str] = []
    opened = 0
    for block, text in zip(blocks, body, strict=True):
        if isinstance(block, Heading) and block.level > 1:
            parts.append(("</div>" if opened else "") + f"<div role='tabpanel'{' hidden' if opened else ''}>")
            opened += 1
        parts.append(text)
    return [*parts, "</div>"] if opened else body


def _selector(doc: Doc) -> str:
    """The sizes to choose from, as a page prints them beside its title."""
    sizes = list(dict.fromkeys(entry.size for entry in doc.truth if entry.size not in ("", "*")))
    return "<select name='size'>" + "".join(f"<option>{escape(size)}</option>" for size in sizes) + "</select>"


def _product_data(doc: Doc, rng: random.Random) -> str:
    """What a shop tells search engines: the product, its price and stock; no measures."""
    offer = {"@type": "Offer", "price": f"{rng.randrange(40, 160)}.00", "priceCurrency": rng.choice(["USD", "EUR"])}
    product = {"@context": "https://schema.org", "@type": "Product", "name": doc.title, "offers": offer}
    product["brand"] = {"@type": "Brand", "name": doc.merchant}
    return f"<script type='application/ld+json'>{json.dumps(product, ensure_ascii=False)}</script>"
