"""The HTML reader: web pages, saved-page archives and HTML mails become a Sheet.

In: bytes of a page. Out: grids (tables, ARIA tables, rows of boxes, definition lists, data behind the page) and texts
in reading order. Begin reading at `read`; then tree.py (the page as a flat list), annotate.py (what is seen, what is a
table), walk.py (reading order), tables.py and blocks.py (grids), lines.py (text), data.py (JSON-LD, state, attributes).

lxml parses the page once, and finds the chrome that needs no closer look without leaving C (quiet.py). BeautifulSoup
sniffs the encoding, and parses markup found inside strings and pages of which lxml lost the tables.
"""

from __future__ import annotations

import re

from halfinch.errors import SheetError
from halfinch.readers.html.annotate import annotate
from halfinch.readers.html.archives import SavedPage, archive_kind, open_archive
from halfinch.readers.html.data import DataCollector, collect_data
from halfinch.readers.html.decode import decode_page
from halfinch.readers.html.fragments import read_fragment
from halfinch.readers.html.head import add_head_texts, read_head
from halfinch.readers.html.output import Output
from halfinch.readers.html.style import read_styles
from halfinch.readers.html.ties import find_ties
from halfinch.readers.html.tree import Tree, parse_page
from halfinch.readers.html.walk import Walk
from halfinch.readers.torn_ends import drop_torn_end
from halfinch.sheet import Sheet

_HEAD = 8_192
_OPENINGS = re.compile(r"\s*(?:<!--.*?-->\s*|<\?xml[^>]*\?>\s*)*", re.DOTALL)
_OTHER_ROOT = re.compile(
    r"<(?:rss|feed|svg|rdf:RDF|urlset|sitemapindex|plist|Workbook|office:|w:|kml|math)\b", re.IGNORECASE
)
_KNOWN = re.compile(
    r"</?(?:html|head|body|div|table|tbody|thead|tr|td|th|p|ul|ol|li|dl|dt|dd|h[1-6]|span|section|article|main|meta|title|"
    r"br|strong|b|em|a|img|script|style|form|font|center|details|figure|nav|header|pre|blockquote)\b[^<>]*>",
    re.IGNORECASE,
)
_BLOCKISH = re.compile(
    r"<(?:div|table|tr|td|p|ul|ol|dl|dt|h[1-6]|section|article|main|body|pre|details)\b", re.IGNORECASE
)
_MAX_FRAMES = 20


def suits(data: bytes, name: str) -> float:
    """How surely the bytes are a web page or a saved one: 0 (no) to 1; judged by the first kilobytes, not the name."""
    kind = archive_kind(data)
    if kind == "mhtml":
        return 0.95 if re.search(rb"(?i)text/html|multipart/related", data[:200_000]) else 0.3
    if kind:
        return 0.97
    if data[:4] in (b"%PDF", b"PK\x03\x04", b"\xd0\xcf\x11\xe0") or data[:2] == b"\x1f\x8b":
        return 0.0
    head = decode_page(data[:_HEAD])[0]
    opening = _OPENINGS.match(head)
    rest = head[opening.end() if opening else 0 :]
    if re.match(r"<!doctype\s+html|<html\b", rest, re.IGNORECASE):
        return 1.0
    if _OTHER_ROOT.match(re.sub(r"^<!DOCTYPE[^>]*>\s*", "", rest, flags=re.IGNORECASE)):
        return 0.0
    if re.search(r"<html\b[^<>]*>|<!doctype html", rest[:4_000], re.IGNORECASE):
        return 0.9
    return _fragment_score(rest, name)


def _fragment_score(rest: str, name: str) -> float:
    tags = _KNOWN.findall(rest)
    blocks = _BLOCKISH.findall(rest)
    named = name.lower().endswith((".html", ".htm", ".xhtml"))
    if rest.startswith("<") and _KNOWN.match(rest) and blocks:
        return 0.85
    if not tags or (not blocks and not named):
        return 0.3 if named and rest.strip() and "\ufffd" not in rest else 0.0
    lines = [line for line in rest.split("\n") if line.strip()]
    if rest[:1] in "{[" or _is_delimited(lines):
        return 0.05
    tagged = sum(1 for line in lines if _BLOCKISH.search(line) or line.lstrip().startswith("<"))
    share = tagged / max(1, len(lines))
    return min(0.8, 0.2 + 0.6 * share) if (share > 0.4 or named) else 0.1


def _is_delimited(lines: list[str]) -> bool:
    """True where a first line without tags and the line after it are parted by the same sign."""
    if len(lines) < 2 or "<" in lines[0]:
        return False
    return any(lines[0].count(sign) and lines[1].count(sign) >= lines[0].count(sign) for sign in ",;\t|")


def read(data: bytes, name: str) -> Sheet:
    """The sheet of a page, a saved page or an HTML mail. Raises SheetError for an empty file or a broken archive."""
    if not data.strip():
        raise SheetError(f"{name}: the file is empty; save the page again")
    saved = open_archive(data, name)
    text, encoding = decode_page(saved.page, saved.charset)
    if not text.strip():
        raise SheetError(f"{name}: the page is empty; save it again")
    if saved.is_text:
        text = _as_preformatted(text)
    text, torn = drop_torn_end(text)
    out = Output()
    if torn:
        out.warn(torn)
    tree = parse_page(text)
    meta = _read_meta(tree, saved, encoding)
    add_head_texts(meta, out)
    _read_tree(tree, saved, out, depth=0)
    grids = _read_data(tree, out)
    if not out.texts and not out.grids and not grids:
        out.warn(
            "The page holds no text; its content may be drawn by a script after loading. Save it from the browser."
        )
    return Sheet(
        name=name,
        kind="html",
        reader="html (lxml)",
        grids=tuple(out.grids),
        texts=tuple(out.texts),
        language=meta.pop("language", ""),
        meta=meta,
        warnings=tuple(out.warnings),
    )


def _as_preformatted(text: str) -> str:
    from html import escape

    return f"<pre>{escape(text)}</pre>"


def _read_meta(tree: Tree, saved: SavedPage, encoding: str) -> dict[str, str]:
    meta = read_head(tree)
    if saved.url:
        meta.setdefault("url", saved.url)
    if saved.title:
        meta.setdefault("title", saved.title)
    meta["encoding"] = encoding
    return meta


def _read_tree(tree: Tree, saved: SavedPage, out: Output, depth: int) -> None:
    """Reads a tree and then the frames that were saved with it (two levels)."""
    sheets = ["".join(tree.raw_texts(node)) for node in tree.nodes if node.tag == "style"]
    sheets += [decode_page(style)[0] for style in saved.styles]
    ties = find_ties(tree)
    annotate(tree, read_styles(sheets), ties)
    walk = Walk(tree, ties, out)
    walk.read()
    for frame in walk.frames[:_MAX_FRAMES]:
        inner = frame.attrs.get("srcdoc", "")
        if not inner and (stored := saved.frame(frame.attrs.get("src", ""))):
            inner = decode_page(stored)[0]
        if inner.strip() and depth < 2:
            _read_tree(parse_page(inner), saved, out, depth + 1)
        elif frame.attrs.get("src") and not frame.hidden:
            out.warn("The page shows another page in a frame, which was not saved with it and is never fetched.")


def _read_data(tree: Tree, out: Output) -> int:
    """Adds the grids of the data behind the page; returns how many."""
    collector = DataCollector(out.order)
    collect_data(tree, collector)
    before = len(out.grids)
    out.grids += collector.grids
    out.order += len(collector.grids)
    for fragment in collector.fragments:
        read_fragment(fragment, out)
    return len(out.grids) - before
