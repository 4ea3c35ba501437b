"""One pass down and one pass up a page's nodes: what is hidden, struck, chrome; which cells make which table."""

from __future__ import annotations

from halfinch.readers.html.style import Look, Styles
from halfinch.readers.html.ties import Ties
from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.words import (
    BLOCK_TAGS,
    CELL_ROLES,
    CHROME_ROLES,
    CHROME_TAGS,
    CHROME_WORDS,
    SILENT_TAGS,
    STRUCK_TAGS,
    TABLE_ROLES,
    TABLE_WORDS,
)

_SHAPES_OF_TAGS = {"table": "table", "tr": "row", "td": "cell", "th": "cell"}
_SHAPES_OF_DISPLAY = {
    "table": "table",
    "inline-table": "table",
    "table-row": "row",
    "table-cell": "cell",
}
_MAIN_TAGS = frozenset({"main", "article", "section", "dialog"})


def annotate(tree: Tree, styles: Styles, ties: Ties) -> None:
    """Fills in the fields of all nodes. Needs no recursion: nodes stand in document order, parents first."""
    for node in reversed(tree.nodes):
        _sum_up(node)
    total = max((node.size for node in tree.nodes[:1]), default=0)
    for node in tree.nodes:
        look = styles.look_of(node) if (styles.count or "style" in node.attrs) else _PLAIN
        _set_sight(node, look, styles, ties, total)
        node.chrome = _is_chrome(node) or node.start in ties.switches
        if node.tag == "label" and node.chrome:
            node.display = "block"
        _set_panel(node, tree, ties)
        _set_shape(node, look)
    for node in reversed(tree.nodes):
        if node.parent is not None:
            node.parent.shapes += node.shapes + (node.shape != "")


_PLAIN = Look()


def _sum_up(node: Node) -> None:
    node.size += node.loose
    if node.quiet:
        node.links = 3
    parent = node.parent
    if parent is None or node.tag in SILENT_TAGS:
        return
    parent.size += node.size
    parent.blocks += node.blocks + (node.tag in BLOCK_TAGS)
    parent.links += node.links or (node.tag in ("a", "button"))
    parent.digits = parent.digits or node.digits


def _set_sight(node: Node, look: Look, styles: Styles, ties: Ties, total: int) -> None:
    parent, attrs = node.parent, node.attrs
    node.display, node.tracks = look.display, look.tracks
    if parent is not None:
        node.hidden, node.struck = parent.hidden, parent.struck
    node.struck = node.struck or look.struck or node.tag in STRUCK_TAGS
    if node.hidden or node.tag in ("html", "body"):
        return
    if node.tag == "noscript" or (node.tag == "template" and "shadowrootmode" not in attrs):
        node.hidden = True
        return
    veiled = look.hides == "yes" or (
        "hidden" in attrs and look.hides != "no" and attrs["hidden"] not in ("false", "until-found")
    )
    # A page saved while a window was open in front of it carries aria-hidden on all that lies behind.
    veiled = veiled or (attrs.get("aria-hidden", "").lower() == "true" and 2 * node.size <= total)
    node.hidden = veiled and not ties.is_reached(node) and not styles.can_be_shown(node)


def _is_chrome(node: Node) -> bool:
    if node.quiet or (node.parent is not None and node.parent.chrome):
        return True
    if node.tag in ("html", "body", "main"):
        return False
    if node.tag in CHROME_TAGS:
        return node.tag != "header" or not _heads_content(node)
    attrs = node.attrs
    if not attrs:
        return False
    if attrs.get("role", "").lower() in CHROME_ROLES:
        return True
    return bool(("class" in attrs or "id" in attrs) and not CHROME_WORDS.isdisjoint(node.words) and node.size < 5_000)


def _heads_content(header: Node) -> bool:
    """A <header> inside an article, or with the page's h1 and no menu, names the content."""
    parent = header.parent
    for _ in range(12):
        if parent is None:
            break
        if parent.tag in _MAIN_TAGS:
            return True
        parent = parent.parent
    return header.links <= 1 and any(kid.tag in ("h1", "hgroup") for kid in header.kids)


def _set_panel(node: Node, tree: Tree, ties: Ties) -> None:
    node.panel = node.parent.panel if node.parent is not None else None
    if node.size and node.tag not in SILENT_TAGS and (label := ties.label_for(node, tree)):
        node.label, node.panel = label, node


def _set_shape(node: Node, look: Look) -> None:
    role = node.attrs.get("role", "").lower()
    shape = _SHAPES_OF_TAGS.get(node.tag, "")
    if not shape and role:
        shape = "table" if role in TABLE_ROLES else "row" if role == "row" else "cell" if role in CELL_ROLES else ""
    if not shape and look.display:
        shape = _SHAPES_OF_DISPLAY.get(look.display, "")
    parent = node.parent
    if parent is not None:
        inside = parent.shape
        node.own_table = parent if inside == "table" else parent.own_table
        node.own_row = None if inside == "table" else parent if inside == "row" else parent.own_row
        node.own_cell = None if inside == "table" else parent if inside == "cell" else parent.own_cell
    if shape and shape != "table" and parent is not None:
        shape = _join_table(node, parent, shape)
    elif node.tag == "caption" and node.own_table is not None:
        node.own_table.captions = [*node.own_table.captions, node]
    node.shape = shape


def _join_table(node: Node, parent: Node, shape: str) -> str:
    """Hangs a row or a cell into its table; a stray <tr> or <td> (a fragment) makes its parent the table."""
    if node.own_cell is not None:
        return ""
    if node.own_table is None:
        if node.tag not in ("tr", "td", "th") and shape == "cell":
            return ""
        parent.shape = "table"
        node.own_table = parent
    table = node.own_table
    if shape == "row":
        table.add_row(node)
    else:
        row = node.own_row
        if row is None:
            row = _implied_row(node, table)
        row.add_cell(node)
    return shape


def _implied_row(cell: Node, table: Node) -> Node:
    """Cells without a row of their own share one, until a real row comes between."""
    last = table.rows[-1] if table.rows else None
    if last is not None and last.tag == "implied" and last.parent is cell.parent:
        return last
    row = Node("implied", {}, cell.parent, cell.start)
    row.stop, row.shape, row.own_table = cell.start, "row", table
    table.add_row(row)
    return row


def says_table(*nodes: Node) -> bool:
    """True where class or id words, or a grid display, say that these boxes are a table's parts."""
    return any(n.display in ("grid", "table", "inline-grid") or not TABLE_WORDS.isdisjoint(n.words) for n in nodes)
