"""Markup within strings of JSON (a description in HTML): taken out of the value, and read like a page of its own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from html import unescape
from typing import Any

from halfinch.readers.html.annotate import annotate
from halfinch.readers.html.output import Output
from halfinch.readers.html.style import read_styles
from halfinch.readers.html.ties import find_ties
from halfinch.readers.html.tree import parse_with_lxml, parse_with_soup
from halfinch.readers.html.walk import Walk
from halfinch.sheet import DATA

MAX_FRAGMENT = 200_000
"""Characters; what is longer is left to the quicker parser."""
_MARKUP = re.compile(r"<(table|li|p|dl|br|div|td|h\d|ul|b|strong|span)\b[^<>]*>", re.IGNORECASE)
_DIGIT = re.compile(r"[\d½¼¾]")
_ESCAPED = re.compile(r"&lt;(table|li|p|dl|br|div|td|ul)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Fragment:
    """Markup within a string of a JSON value. `name`: of the object that it stands in, '' if it has none."""

    markup: str
    pointer: str
    name: str = ""


def take_markup(value: object, path: str) -> Iterator[Fragment]:
    """Takes the strings that are markup (a description in HTML) out of a JSON value; the value is changed."""
    waiting: list[tuple[Any, str]] = [(value, path)]
    seen = 0
    while waiting and seen < 400_000:
        one, where = waiting.pop()
        if not isinstance(one, (dict, list)):
            continue
        inner: list[tuple[Any, str]] = []
        for key, part in list(one.items() if isinstance(one, dict) else enumerate(one)):
            seen += 1
            if isinstance(part, str):
                if markup := _as_markup(part):
                    yield Fragment(markup, f"{where}/{_escape(key)}", _name_in(one))
                    one[key] = ""
            elif part:
                inner.append((part, f"{where}/{_escape(key)}"))
        waiting += reversed(inner)


def _as_markup(text: str) -> str:
    if not 12 <= len(text) <= 500_000 or ("<" not in text and "&lt;" not in text) or not _DIGIT.search(text):
        return ""
    if _ESCAPED.search(text) and not _MARKUP.search(text):
        text = unescape(text)
    return text if _MARKUP.search(text) else ""


def _name_in(holder: object) -> str:
    if isinstance(holder, dict):
        for key in ("name", "title", "label", "heading"):
            if isinstance(holder.get(key), str) and 0 < len(holder[key]) <= 200:
                return " ".join(str(holder[key]).split())
    return ""


def _escape(key: object) -> str:
    return str(key).replace("~", "~0").replace("/", "~1")


def read_fragment(fragment: Fragment, out: Output) -> None:
    """Markup found inside a JSON string, read like a page of its own; its parts carry the mark ``data``."""
    markup, pointer = fragment.markup, fragment.pointer
    small = len(markup) <= MAX_FRAGMENT
    tree = parse_with_soup(markup) if small else parse_with_lxml(markup)
    if tree is None:
        return
    inner = Output(order=out.order)
    if fragment.name:
        inner.add_text(fragment.name, "heading", level=2)
    ties = find_ties(tree)
    annotate(tree, read_styles(()), ties)
    Walk(tree, ties, inner).read()
    mark = frozenset({DATA})
    for grid in inner.grids:
        cells = tuple(replace(c, place=f"json={pointer};{c.place}", marks=c.marks | mark) for c in grid.cells)
        out.grids.append(replace(grid, cells=cells, place=f"json={pointer};{grid.place}", marks=grid.marks | mark))
    for text in inner.texts:
        out.texts.append(replace(text, place=f"json={pointer};{text.place}", marks=text.marks | mark))
    out.order = inner.order
