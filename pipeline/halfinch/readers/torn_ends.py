"""Files that were cut short: what stands at the break is left out, for half a cell reads like a whole figure.

``25.5`` cut after the point is 25, and nothing that comes later can tell. So the row (of a table) or the block (of a
text) at the break is dropped, and one sentence says so.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

_CLOSED = re.compile(r"</(?:html|body)\b", re.IGNORECASE)
_OPENED = re.compile(r"<(?:html|body)\b", re.IGNORECASE)
_BLOCK = re.compile(
    r"<(?:p|li|dd|dt|tr|td|th|div|section|article|main|h[1-6]|ul|ol|dl|table|pre|label|figcaption|blockquote|body)\b",
    re.IGNORECASE,
)
_IN_TAG = re.compile(r"<[/!]?[a-z][^<>]*\Z|<[/!]?\Z", re.IGNORECASE)
_RAW = re.compile(r"<(/?)(script|style|!--|table|tr)\b|-->", re.IGNORECASE)
_FIGURE_OR_NONE = re.compile(r"[^A-Za-z]*\d.*|[\s\-–—./]*")
_CUT_FIGURE = re.compile(r"\d+(?: \d+)?[.,/⁄]")
_LEAST_ROWS = 2
"""Rows of one width before a shorter last one is taken for torn."""

PAGE_TORN = "The page breaks off in the middle; what stood at the break was left out. Save the page again."


def drop_torn_end(text: str) -> tuple[str, str]:
    """A page without what stands at its break, and a sentence about it ('' where the page is whole).

    A page is cut short where its last tag, script or table is never closed, or where words follow the last tag of a
    page that opens <html> or <body> and closes neither. Other ends that HTML lets a writer leave out say nothing.
    """
    if _CLOSED.search(text, max(0, len(text) - 4_000)):
        return text, ""
    in_raw, table, row, row_ended = _open_at_end(text)
    if table >= 0:
        return text[: row_ended if row_ended > row else max(row, table)], PAGE_TORN
    tail_in_tag = not in_raw and _IN_TAG.search(text, max(0, len(text) - 2_000)) is not None
    words_after = text[-1:] not in (">", "\n", "\r", "") and _OPENED.search(text) and not _CLOSED.search(text)
    if in_raw:
        return text, PAGE_TORN
    if tail_in_tag or words_after:
        starts = [found.start() for found in _BLOCK.finditer(text)]
        return (text[: starts[-1]] if starts else text), PAGE_TORN
    return text, ""


def _open_at_end(text: str) -> tuple[bool, int, int, int]:
    """Whether a script, style or comment is open at the end; where the open table, its last row's start and end are."""
    raw, tables, row, row_ended = "", [], -1, -1
    for found in _RAW.finditer(text):
        closing, tag = found[1] == "/", (found[2] or "-->").lower()
        if raw:
            raw = "" if (raw == "!--" and tag == "-->") or (closing and tag == raw) else raw
        elif tag in ("script", "style", "!--") and not closing:
            raw = tag
        elif tag == "table" and not closing:
            tables.append(found.start())
        elif tag == "table" and tables:
            tables.pop()
        elif tag == "tr" and not closing:
            row = found.start()
        elif tag == "tr":
            row_ended = text.find(">", found.end()) + 1
    table = tables[0] if tables else -1
    return bool(raw), table, row, row_ended


def is_torn_row(rows: Sequence[Sequence[str]]) -> bool:
    """Whether the last record of a file that ends without a line end breaks off before its table's width.

    The two records before it are as wide as each other and wider than it, and what follows its first field are
    figures or nothing. A last figure that ends in its decimal mark is torn at any width. A last cell that lost its
    end and still looks whole (98 of 98,5 in the last column) cannot be told.
    """
    *before, last = [row for row in rows if any(field.strip() for field in row)] or [[]]
    if len(last) < 2:
        return False
    if _CUT_FIGURE.fullmatch(last[-1].strip()):
        return True
    widths = {len(row) for row in before[-_LEAST_ROWS:]}
    if len(before) < _LEAST_ROWS or len(widths) > 1 or max(widths) <= len(last):
        return False
    return all(_FIGURE_OR_NONE.fullmatch(field.strip()) for field in last[1:])
