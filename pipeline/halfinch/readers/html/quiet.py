"""Parts of a page that need no closer look: menus, feet, lists of linked cards. Found in C, kept as one text each.

Most of a shop's page is such chrome. Telling cell from row and hidden from shown in it would cost ten times what the
page's tables cost, and nothing in it is a table. Each quiet part keeps its element and all its words, one a line.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lxml import etree

_CHROME_TAGS = ("nav", "footer", "aside", "header")
_MANY = 10
_FIGURE = re.compile(
    r"""[0-9½¼¾⅛⅜⅝⅞](?:(?<=[½¼¾⅛⅜⅝⅞])|\s*(?:["“”″′’'½¼¾⅛⅜⅝⅞]|[0-9][/⁄][0-9]|in\b|ins?\.|inch|cm\b|mm\b|センチ|公分|厘米))"""
)
# Whatever holds one of these is looked at closely: tables of any make, headings that name the page, old values,
# controls of tabs, data.
_LOUD_TAGS = (
    *("table", "dl", "pre", "h1", "s", "del", "strike", "sup", "script", "style", "template", "iframe", "select"),
    *("textarea", "svg"),
)
_LOUD_SIGNS = (b" itemprop", b" property=", b" hidden", b" style=", b" aria-hidden", b' role="tab', b'="{', b'="[')
_LOUD_OTHERS = (re.compile(rb' role="(?:grid|row|table)"'), re.compile(rb' href="#[^"]'))


@lru_cache(maxsize=8)
def _path(expression: str) -> Any:
    from lxml import etree

    return etree.XPath(expression)


def find_quiet(root: etree._Element) -> set[etree._Element]:
    """Elements to be taken as one text. Costs a few passes in C over the tree, and none over small pages."""
    quiet: set[etree._Element] = set()
    for zone in root.iter(*_CHROME_TAGS):
        if len(zone) and not _is_inside(zone, quiet) and not _is_loud(zone) and not _tells_figures(zone):
            quiet.add(zone)
    for box in _path(f"//*[*[{_MANY}]]")(root):
        if box.tag not in ("tr", "table", "tbody", "dl", "select", "head") and not _is_inside(box, quiet):
            cards = _linked_cards(box)
            quiet.update([box] if cards and len(cards) == len(box) else cards)
    return quiet


def _is_inside(element: etree._Element, quiet: set[etree._Element]) -> bool:
    return bool(quiet) and any(above in quiet for above in element.iterancestors())


def _is_loud(element: etree._Element) -> bool:
    from lxml import etree

    if any(inner is not element for inner in element.iter(*_LOUD_TAGS)):
        return True
    markup = etree.tostring(element, method="html", with_tail=False)
    inside = markup[markup.find(b">") :]
    return any(sign in inside for sign in _LOUD_SIGNS) or any(sign.search(inside) for sign in _LOUD_OTHERS)


def _tells_figures(element: etree._Element) -> bool:
    """True where its words hold a number with a sign of length or a fraction: a listing's card may tell an inseam."""
    return _FIGURE.search(str(_path("string(.)")(element))) is not None


def _linked_cards(box: etree._Element) -> list[etree._Element]:
    """Children of one make that hold two boxes or more and are links or hold one: teasers of other pages."""
    children = list(box)
    if len(children) < _MANY:
        return []
    kind = _kind_of(children[len(children) // 2])
    if kind[0] in ("p", "tr", "td", "dt", "dd", "option", "script", "style", "link", "meta", "br"):
        return []
    cards = [child for child in children if len(child) and _kind_of(child) == kind]
    if len(cards) < _MANY or not all(card.tag == "a" or next(card.iter("a"), None) is not None for card in cards):
        return []
    if not _is_loud(box) and not _tells_figures(box):
        return cards
    return [card for card in cards if not _is_loud(card) and not _tells_figures(card)]


def _kind_of(element: etree._Element) -> tuple[object, str]:
    return element.tag, (element.get("class") or "").partition(" ")[0]


def words_of(element: etree._Element) -> str:
    """All text pieces of an element, blanks folded, one a line: no piece is ever joined to its neighbour."""
    return "\n".join([" ".join(str(piece).split()) for piece in element.itertext() if not piece.isspace()])
