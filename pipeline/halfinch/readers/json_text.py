"""JSON files as a Sheet: product feeds, exports of shop platforms, size charts kept as data. See `json_grids`."""

from __future__ import annotations

import json
from decimal import Decimal

from halfinch.errors import SheetError
from halfinch.readers.encodings import decode_text
from halfinch.readers.json_blocks import Blocks, read_blocks, take_blocks
from halfinch.readers.json_grids import json_grids
from halfinch.readers.json_prose import Passage, take_passages
from halfinch.sheet import Grid, Sheet, Text

MAX_FRAGMENTS = 2_000
"""Descriptions in HTML of one file."""


def suits(data: bytes, name: str) -> float:
    """High for bytes that begin as a JSON object or array does (or for one object a line)."""
    head = data[:65_536].replace(b"\x00", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    if head[:1] == b"{" and head[1:].lstrip()[:1] in (b'"', b"}"):
        return 0.95
    if head[:1] == b"[" and head[1:].lstrip()[:1] in (b"{", b"[", b'"', b"]", *(b"%d" % k for k in range(10))):
        return 0.9 if name.casefold().endswith(".json") or head[1:].lstrip()[:1] in (b"{", b"[") else 0.6
    return 0.0


def read(data: bytes, name: str) -> Sheet:
    """The JSON file as a Sheet. Raises SheetError where it is no text, cut short or no JSON."""
    decoded = decode_text(data)
    if decoded is None:
        raise SheetError(f"{name} begins like JSON but is not text: ask for the file again.")
    grids: list[Grid] = []
    texts: list[Text] = []
    order = 0
    for value, path in _values(decoded.text, name):
        rest, pages = take_blocks(value, path)
        told = _read_told(rest, path, order)
        grids, texts, order = grids + told.grids, texts + told.texts, told.order
        for page_path, page in pages:
            blocks = read_blocks(page, page_path, order)
            grids, texts, order = grids + blocks.grids, texts + blocks.texts, blocks.order
    if not grids and not texts:
        raise SheetError(f"{name} is JSON without any value in it: ask for the file again.")
    meta = {"encoding": decoded.encoding}
    return Sheet(
        name, "delimited", "delimited (json)", tuple(grids), tuple(texts), meta=meta, warnings=decoded.warnings
    )


def _read_told(value: object, path: str, order: int) -> Blocks:
    """A value that is no page: its running text, then its grids, then its markup. Where several objects have text of
    their own, each comes under its name behind the grids of all."""
    from halfinch.readers.html.fragments import read_fragment, take_markup
    from halfinch.readers.html.output import Output

    fragments = list(take_markup(value, path))[:MAX_FRAGMENTS]
    rest, passages = take_passages(value, path)
    blocks = Blocks(order)
    first, later = ([], passages) if len({one.path for one in passages}) > 1 else (passages, [])
    _add_passages(first, blocks)
    blocks.add_grids(json_grids(rest, order=blocks.order, path=path))
    _add_passages(later, blocks)
    out = Output(order=blocks.order)
    for fragment in fragments:
        read_fragment(fragment, out)
    return Blocks(out.order, blocks.texts + out.texts, blocks.grids + out.grids)


def _add_passages(passages: list[Passage], blocks: Blocks) -> None:
    for number, passage in enumerate(passages):
        if passage.name and (number == 0 or passages[number - 1].path != passage.path):
            blocks.add_text(passage.name, "heading", passage.path, level=2)
        for line, path in passage.lines:
            blocks.add_text(line, "item" if len(passage.lines) > 1 else "paragraph", path)


def _values(text: str, name: str) -> list[tuple[object, str]]:
    """One value, or one a line (JSON Lines)."""
    try:
        return [(_parse(text), "")]
    except RecursionError:
        raise SheetError(f"{name} is JSON nested too deep to read: ask for a plainer export.") from None
    except ValueError as error:
        lines = [(number, line) for number, line in enumerate(text.splitlines()) if line.strip()]
        try:
            values = [_parse(line) for _, line in lines]
        except (ValueError, RecursionError):
            raise SheetError(
                f"{name} is broken JSON ({error}): it may be cut short; ask for the file again."
            ) from error
    if all(isinstance(value, dict) for value in values) and len(values) > 1:
        return [(values, "")]
    return [(value, f"/{number}") for (number, _), value in zip(lines, values, strict=True)]


def _parse(text: str) -> object:
    value: object = json.loads(text.lstrip("\ufeff"), parse_float=Decimal)
    return value
