"""A page as a flat list of events: the one tree that all of the HTML reader works on.

lxml's parser (libxml2, which recovers from nearly anything) calls the builder element by element, so that no second
tree is made. A flat list needs no recursion: a page nested 100,000 deep is a long list like any other. BeautifulSoup
builds the same list where lxml gives up on a page, and for fragments found inside strings.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, cast

from halfinch.readers.html.quiet import find_quiet, words_of
from halfinch.readers.html.words import RAW_TAGS, class_tokens

if TYPE_CHECKING:
    from lxml import etree


class Node:
    """One element. `start` and `stop` are the places of its opening and closing events in `Tree.events`.

    Fields with a value here are set on few nodes only; the class keeps the common value, which makes nodes cheap.
    """

    loose: int = 0
    """Characters of text directly inside, blanks at the ends not counted."""
    digits: bool = False
    """Any digit in its text or in that of its descendants."""
    quiet: bool = False
    """Taken as one text: its children were not made into nodes."""
    # ---- set by annotate.py ----
    size: int = 0
    """Characters of text in the whole element."""
    blocks: int = 0
    links: int = 0
    shapes: int = 0
    """Tables, rows and the like among its descendants."""
    hidden: bool = False
    struck: bool = False
    chrome: bool = False
    shape: str = ""
    """'' | table | row | cell: what part of a table it is, by tag, role or style."""
    display: str = ""
    tracks: int = 0
    """Columns of a CSS grid, as far as the page's own styles say."""
    panel: Node | None = None
    """The nearest element at or around this one that has a label of its own (tab panel, details, figure)."""
    label: str = ""
    """That label, on the labelled element itself."""
    own_table: Node | None = None
    own_row: Node | None = None
    own_cell: Node | None = None
    rows: Sequence[Node] = ()
    cells: Sequence[Node] = ()
    captions: Sequence[Node] = ()

    def __init__(self, tag: str, attrs: Mapping[str, str], parent: Node | None, start: int) -> None:
        self.tag = tag
        self.attrs = attrs
        self.parent = parent
        self.start = start
        self.stop = -1
        self.kids: list[Node] = []

    def add_row(self, row: Node) -> None:
        self.rows = [*self.rows, row] if not self.rows else _grown(self.rows, row)

    def add_cell(self, cell: Node) -> None:
        self.cells = [*self.cells, cell] if not self.cells else _grown(self.cells, cell)

    @property
    def classes(self) -> list[str]:
        return self.attrs.get("class", "").split()

    @property
    def words(self) -> frozenset[str]:
        """Lower-case words of class and id: ``size-chart__Row`` gives size, chart, row."""
        return class_tokens(self.attrs.get("class", ""), self.attrs.get("id", ""))


def _grown(nodes: Sequence[Node], node: Node) -> Sequence[Node]:
    """`nodes`, which is a list once it is not empty, with one more."""
    if isinstance(nodes, list):
        nodes.append(node)
    return nodes


Event = Node | str | int
"""An opening element, a text, or the closing of the element opened at that place."""


@dataclass(slots=True)
class Tree:
    events: list[Event] = field(default_factory=list)
    nodes: list[Node] = field(default_factory=list)
    comments: list[str] = field(default_factory=list)

    def text_within(self, node: Node, limit: int = 600) -> str:
        """Text of an element as it stands in the source, blanks folded; for labels and titles, cut after `limit`."""
        parts: list[str] = []
        length = 0
        for part in self.raw_texts(node):
            parts.append(part[: 4 * limit])
            length += len(part)
            if length > 4 * limit:
                break
        return " ".join("".join(parts).split())[:limit]

    def nodes_within(self, node: Node) -> Iterator[Node]:
        for event in self.events[node.start + 1 : node.stop]:
            if isinstance(event, Node):
                yield event

    def raw_texts(self, node: Node) -> Iterator[str]:
        stop = node.stop if node.stop >= 0 else len(self.events)
        for i in range(node.start + 1, stop):
            event = self.events[i]
            if isinstance(event, str):
                yield event


# End tags that HTML lets authors leave out (HTML standard, section 13.1.2.4): what a tag closes, and what stops it from
# closing anything further up. libxml2 does most of it, html.parser none.
_CELLS = frozenset({"td", "th"})
_SECTIONS = frozenset({"thead", "tbody", "tfoot"})
_CLOSED_BY: Mapping[str, tuple[frozenset[str], frozenset[str]]] = {
    "dd": (frozenset({"dd", "dt"}), frozenset({"dl", "table"})),
    "dt": (frozenset({"dd", "dt"}), frozenset({"dl", "table"})),
    "option": (frozenset({"option"}), frozenset({"select", "datalist"})),
    "li": (frozenset({"li"}), frozenset({"ul", "ol", "menu", "table"})),
    "td": (_CELLS, frozenset({"table", "tr"})),
    "th": (_CELLS, frozenset({"table", "tr"})),
    "tr": (frozenset({"tr"}), frozenset({"table"})),
    **dict.fromkeys(_SECTIONS, (_SECTIONS, frozenset({"table"}))),
}
_HEAD_TAGS = frozenset(
    {"title", "meta", "link", "style", "script", "base", "noscript", "template", "object", "bgsound"}
)
_KEPT_COMMENTS = 20


class Builder:
    """A parser target: start, end, data, comment, pi, close, as lxml calls them."""

    def __init__(self) -> None:
        self.tree = Tree()
        self._open: list[Node] = []
        """As the parser sees it; a node may have been closed by us already (stop >= 0)."""
        self._top: Node | None = None

    def start(self, tag: str, attrs: Mapping[str, str]) -> None:
        tag = tag.lower().rpartition(":")[2] if ":" in tag else tag.lower()
        if tag in _CLOSED_BY:
            self._close_before(*_CLOSED_BY[tag])
        elif self._top is not None and self._top.tag == "head" and tag not in _HEAD_TAGS:
            self._close(self._top)  # libxml2 leaves tags it does not know (<section>) in the head
        tree = self.tree
        node = Node(tag, attrs, self._top, len(tree.events))
        if self._top is not None:
            self._top.kids.append(node)
        tree.events.append(node)
        tree.nodes.append(node)
        self._open.append(node)
        self._top = node

    def _close_before(self, tags: frozenset[str], limit: frozenset[str]) -> None:
        """Closes the nearest open element of `tags`, if none of `limit` stands between."""
        node = self._top
        for _ in range(12):
            if node is None or node.tag in limit:
                return
            if node.tag in tags:
                self._close(node)
                return
            node = node.parent

    def _close(self, node: Node) -> None:
        """Closes `node` and whatever is still open inside it."""
        while self._top is not None:
            top, self._top = self._top, self._top.parent
            if top.stop < 0:
                top.stop = len(self.tree.events)
                self.tree.events.append(top.start)
            if top is node:
                return

    def end(self, _tag: str) -> None:
        if self._open:
            node = self._open.pop()
            if node.stop < 0:
                self._close(node)

    def data(self, text: str) -> None:
        if self._top is None:
            self.start("body", {})
        top = self._top
        events = self.tree.events
        events.append(text)
        if top is not None and top.tag not in RAW_TAGS:
            bare = text.strip()
            if bare:
                top.loose += len(bare)
                if not top.digits and _DIGIT.search(bare):
                    top.digits = True

    def quiet_words(self, words: str) -> None:
        """The text of a quiet part, which has been told apart into lines already."""
        if words and self._top is not None:
            self._top.quiet = True
            self._top.loose = len(words)
            self.tree.events.append(words)

    def comment(self, text: str) -> None:
        if len(self.tree.comments) < _KEPT_COMMENTS:
            self.tree.comments.append(text[:500])

    def pi(self, *_args: Any) -> None:
        """Processing instructions are nothing a person reads."""

    def close(self) -> Tree:
        while self._top is not None:
            self._close(self._top)
        return self.tree


_DIGIT = re.compile(r"[\d½¼¾⅓⅔⅛⅜⅝⅞]")
_CELL_TAG = re.compile(r"<t[dh][\s>]", re.IGNORECASE)
_NOT_MARKUP = re.compile(r"<!--.*?-->|<(script|style|textarea)\b.*?</\1\s*>", re.IGNORECASE | re.DOTALL)
_SOUP_LIMIT = 2_000_000
"""Characters up to which a page that lxml lost is parsed a second time; html.parser needs about 1 s per 2 MB."""


def parse_page(markup: str) -> Tree:
    """The page's tree from lxml; from BeautifulSoup where lxml lost more than half of the page's table cells."""
    tree = parse_with_lxml(markup)
    if tree is None:
        return parse_with_soup(markup)
    got = sum(1 for node in tree.nodes if node.tag in ("td", "th"))
    rough = markup.count("<td") + markup.count("<th") + markup.count("<TD") + markup.count("<TH")
    if 2 * got < rough and len(markup) <= _SOUP_LIMIT:
        said = len(_CELL_TAG.findall(_NOT_MARKUP.sub("", markup)))
        if 2 * got < said:
            second = parse_with_soup(markup)
            if sum(1 for node in second.nodes if node.tag in ("td", "th")) > got:
                return second
    return tree


def parse_with_lxml(markup: str) -> Tree | None:
    """None where libxml2 refuses the markup altogether."""
    from lxml import etree

    parser = etree.HTMLParser(huge_tree=True, recover=True)
    try:
        parser.feed(markup)
        root = parser.close()
    except etree.LxmlError:
        return _parse_event_by_event(markup)
    last = parser.error_log.last_error
    cut_short = last is not None and last.type_name == "ERR_RESOURCE_LIMIT"
    if root is None or cut_short or root.getnext() is not None:
        return _parse_event_by_event(markup)
    return _flatten(root)


def _parse_event_by_event(markup: str) -> Tree | None:
    """For pages nested deeper than libxml2's own trees may be (2,048), or with text after their end."""
    from lxml import etree

    target = Builder()
    parser = etree.HTMLParser(target=cast(Any, target), huge_tree=True, recover=True)
    try:
        parser.feed(markup)
        parser.close()
    except etree.LxmlError:
        return None if not target.tree.nodes else target.close()
    return target.tree


def _flatten(root: etree._Element) -> Tree:
    """The flat tree of a parsed page, quiet parts as one text each."""
    from lxml import etree

    builder = Builder()
    for before in root.itersiblings(etree.Comment, preceding=True):
        builder.comment(before.text or "")
    quiet = find_quiet(root)
    walk = etree.iterwalk(root, events=("start", "end", "comment"))
    for event, element in walk:
        if event == "start":
            builder.start(str(element.tag), dict(element.attrib.items()))
            if element in quiet:
                builder.quiet_words(words_of(element))
                walk.skip_subtree()
            elif element.text:
                builder.data(element.text)
        elif event == "end":
            builder.end("")
            if element.tail and element is not root:
                builder.data(element.tail)
        else:
            builder.comment(element.text or "")
            if element.tail:
                builder.data(element.tail)
    return builder.close()


def parse_with_soup(markup: str) -> Tree:
    """The same flat tree made by BeautifulSoup's html.parser: slower, but it never drops or moves a tag."""
    from bs4 import BeautifulSoup
    from bs4.element import Comment, NavigableString, PreformattedString, Tag
    from bs4.exceptions import ParserRejectedMarkup

    target = Builder()
    try:
        soup = BeautifulSoup(markup, "html.parser", multi_valued_attributes=None)
    except ParserRejectedMarkup:
        return target.close()
    open_tags: list[Tag] = []
    for element in soup.descendants:
        while open_tags and element.parent is not open_tags[-1]:
            target.end(open_tags.pop().name)
        if isinstance(element, Tag):
            target.start(element.name, {k: v for k, v in element.attrs.items() if isinstance(v, str)})
            open_tags.append(element)
        elif isinstance(element, Comment):
            target.comment(str(element))
        elif isinstance(element, NavigableString) and not isinstance(element, PreformattedString):
            target.data(str(element))
    while open_tags:
        target.end(open_tags.pop().name)
    return target.close()
