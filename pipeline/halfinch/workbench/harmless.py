"""A web page beside its figures as its merchant laid it out: without scripts, addresses, frames, pictures or fields.

Two fences stand around it. What could act or fetch is taken out here; and the answer's own policy (`POLICY`) lets
nothing run or load whatever is left, in a frame that may do nothing.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import lxml.html
from lxml import etree
from lxml.html import HtmlElement

from halfinch.readers.html.archives import open_archive
from halfinch.readers.html.decode import decode_page
from halfinch.sheet import Cell, Grid, Sheet, Text
from halfinch.work.kept import KeptSheet

POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'self'; form-action 'none'; base-uri 'none'; "
    "sandbox"
)
SPOT = "halfinch-spot"
"""The id of the marked element: the frame's address ends with it, so that it is in view."""

_OUT = (
    "script", "iframe", "frame", "frameset", "object", "embed", "applet", "link", "meta", "base", "template", "img",
    "picture", "svg", "math", "audio", "video", "source", "track", "canvas", "input", "button", "select", "textarea",
    "dialog", "portal", "noembed", "noframes", "plaintext", "xmp", "title",
)  # fmt: skip
_KEPT = frozenset({
    "colspan", "rowspan", "class", "id", "style", "dir", "lang", "align", "valign", "width", "height", "border",
    "cellpadding", "cellspacing", "bgcolor", "color", "face", "size", "start", "scope", "span", "nowrap", "open",
})  # fmt: skip
_MARKS = """
html { color-scheme: light; background: #fff; color: #1b1b1b; font-family: sans-serif; }
body { margin: 12px !important; }
[data-halfinch=row] { background: #fff0b8 !important; }
[data-halfinch=spot] { outline: 4px double #a11d33 !important; outline-offset: 1px; font-weight: bold;
  background: #fff !important; color: #1b1b1b !important; }
"""
_BLANKS = re.compile(r"\s+")
_FETCHES = re.compile(r"(?i)@import[^;]*;?|(?:url|image-set)\s*\([^)]*\)?")


def harmless_page(kept: KeptSheet, place: str) -> str | None:
    """The page with the element of a figure marked, a document of its own. None where the figure's place cannot be
    told in it: it stands in data behind the page, or is drawn otherwise than it is written."""
    page = _parse(kept)
    spot = _find(page, kept.sheet, place) if page is not None else None
    if page is None or spot is None:
        return None
    spot.set("data-halfinch", "spot")
    row = spot.getparent() if spot.tag in ("td", "th") else None
    if row is not None and row.tag == "tr":
        row.set("data-halfinch", "row")
    _clean(page)
    for closed in spot.iterancestors("details"):
        closed.set("open", "")
    spot.set("id", SPOT)
    style = etree.SubElement(page.find("head"), "style")
    style.text = _MARKS
    written: str = lxml.html.tostring(page, encoding="unicode", doctype="<!doctype html>")
    return written


def _parse(kept: KeptSheet) -> HtmlElement | None:
    saved = open_archive(kept.data, kept.sheet.name)
    text, _ = decode_page(saved.page, saved.charset)
    if saved.is_text or not text.strip():
        return None
    parser = lxml.html.HTMLParser(encoding="utf-8", remove_comments=True, remove_pis=True, no_network=True)
    page: HtmlElement = lxml.html.document_fromstring(text.encode("utf-8", "replace"), parser=parser)
    if page.find("head") is None:
        page.insert(0, page.makeelement("head"))
    return page


def _clean(page: HtmlElement) -> None:
    for one in list(page.iter(*_OUT)):
        if one.getparent() is not None:
            one.drop_tree()
    for one in page.iter():
        if not isinstance(one.tag, str):
            continue
        for name in list(one.attrib):
            if name not in _KEPT and name != "data-halfinch":
                del one.attrib[name]
        if one.get("style"):
            one.set("style", _FETCHES.sub("none", one.get("style")))
        if one.tag == "style":
            one.text = _FETCHES.sub("none", one.text or "")
        if one.get("id") == SPOT:
            del one.attrib["id"]


def _find(page: HtmlElement, sheet: Sheet, place: str) -> HtmlElement | None:
    """The element that says what stands at the place: the so-and-so-many-th of those that say the same."""
    written, number, many = "", 0, Counter[str]()
    for told_at, text in _told(sheet):
        many[text] += 1
        if told_at == place:
            written, number = text, many[text]
    if not written:
        return None
    saying = [one for one in page.iter() if isinstance(one.tag, str) and _says(one, written)]
    return saying[number - 1] if len(saying) == many[written] else None


def _told(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Place and text of every cell and text, in reading order."""
    for block in sheet.blocks():
        parts: tuple[Cell | Text, ...] = block.cells if isinstance(block, Grid) else (block,)
        for part in parts:
            if text := _plain(part.text):
                yield part.place, text


def _says(element: HtmlElement, text: str) -> bool:
    """Whether it says just that, and no element in it does."""
    if element.tag in _OUT or element.tag in ("head", "style", "html"):
        return False
    if _plain("".join(element.itertext())) != text:
        return False
    return not any(isinstance(one.tag, str) and _says(one, text) for one in element)


def _plain(text: str) -> str:
    return _BLANKS.sub("", text)
