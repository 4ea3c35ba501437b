"""Where grids and texts are collected in reading order, with their places."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, field

from halfinch.readers.html.lines import Gatherer, see_text
from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.words import BLOCK_TAGS, BOLD_TAGS, SILENT_TAGS
from halfinch.sheet import DATA, EMPHASIS, HEADER, HIDDEN, STRUCK, Cell, Grid, Text, place

NO_MARKS: frozenset[str] = frozenset()
MAX_TEXTS = 200_000
MAX_CELLS = 1_000_000
Pieces = Sequence[tuple[str, frozenset[str]]]


@dataclass(slots=True)
class Slot:
    """A cell that has found its row and column, before its text is settled."""

    node: Node
    row: int
    column: int
    row_span: int = 1
    column_span: int = 1
    header: bool = False
    pieces: Pieces = ()

    @property
    def text(self) -> str:
        return self.pieces[0][0] if self.pieces else ""


@dataclass(slots=True)
class Output:
    grids: list[Grid] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    order: int = 0
    tables: int = 0
    cells: int = 0

    def add_text(self, text: str, kind: str, marks: frozenset[str] = NO_MARKS, *, level: int = 0, at: str = "") -> None:
        if len(self.texts) >= MAX_TEXTS:
            self.warn(f"The page has more than {MAX_TEXTS:,} blocks of text; the rest was left out.")
            return
        where = at or place(text=len(self.texts) + 1)
        self.texts.append(Text(text, self.order, kind, level, place=where, marks=marks))
        self.order += 1

    def warn(self, sentence: str) -> None:
        if sentence not in self.warnings:
            self.warnings.append(sentence)

    def add_slots(self, slots: Sequence[Slot], caption: str, marks: frozenset[str] = NO_MARKS) -> int:
        """A grid of printed cells; returns its number. Old and hidden words beside a cell's text become texts."""
        self.tables += 1
        cells: list[Cell] = []
        asides: list[tuple[str, frozenset[str], str]] = []
        for slot in slots:
            if not slot.pieces:
                continue
            where = f"table={self.tables};row={slot.row};col={slot.column}"
            text, own = slot.pieces[0]
            more = {HEADER} if slot.header else set()
            if is_bold(slot.node):
                more.add(EMPHASIS)
            cells.append(
                Cell(text, slot.row, slot.column, slot.row_span, slot.column_span, where, own | more if more else own)
            )
            asides += [(old, old_marks, where) for old, old_marks in slot.pieces[1:]]
        self.add_grid(cells, caption, marks, place(table=self.tables))
        for old, old_marks, where in asides:
            self.add_text(old, "paragraph", old_marks, at=where)
        return self.tables

    def add_grid(self, cells: Iterable[Cell], caption: str, marks: frozenset[str], where: str) -> None:
        cells = tuple(cells)
        if not cells:
            return
        self.cells += len(cells)
        if self.cells > MAX_CELLS:
            self.warn(f"The page has more than {MAX_CELLS:,} cells; the rest was left out.")
            return
        common = frozenset.intersection(*(cell.marks for cell in cells)) & {HIDDEN, STRUCK, DATA}
        self.grids.append(Grid(cells, self.order, caption=caption, place=where, marks=marks | common))
        self.order += 1


def is_bold(node: Node) -> bool:
    """True where all text of a cell stands in bold type."""
    if not node.kids and not node.attrs:
        return False
    for _ in range(6):
        if (
            node.tag in BOLD_TAGS
            or "bold" in node.attrs.get("style", "")
            or "font-weight:700" in node.attrs.get("style", "")
        ):
            return True
        if node.loose or len(node.kids) != 1:
            return False
        node = node.kids[0]
    return False


def gather_within(tree: Tree, node: Node, without: Container[int] = ()) -> tuple[Pieces, list[Node]]:
    """An element's text (plain first, then struck and hidden pieces) and the tables inside it, which are left out.

    `without`: elements to leave out too, by `Node.start`.
    """
    if node.stop == node.start + 2 and not node.hidden and not node.struck:
        only = tree.events[node.start + 1]
        if isinstance(only, str) and (seen := see_text(only)):
            return [(seen, NO_MARKS)], []
    gatherer = Gatherer()
    nested: list[Node] = []
    events, i = tree.events, node.start + 1
    inside = node
    while i < node.stop:
        event = events[i]
        i += 1
        if isinstance(event, str):
            gatherer.text(event, inside, keep_lines=inside.tag == "pre")
        elif isinstance(event, int):
            closed = events[event]
            if isinstance(closed, Node):
                gatherer.close(closed)
                inside = closed.parent or node
        elif event.shape == "table" or event.tag in SILENT_TAGS or event.start in without:
            if event.shape == "table":
                nested.append(event)
                gatherer.line_break(event)
            i = event.stop + 1
        elif event.tag in FIELD_TAGS:
            i = gather_field(tree, event, gatherer)
        else:
            gatherer.open(event)
            inside = event
    pieces: Pieces = gatherer.take()
    if not pieces and not nested:
        pieces = _alternative(tree, node)
    return pieces, nested


FIELD_TAGS = frozenset({"input", "select", "textarea", "br", "hr", "img", "wbr"})
_SHOWN_INPUTS = frozenset({"text", "number", "tel", "search", ""})


def gather_field(tree: Tree, node: Node, gatherer: Gatherer) -> int:
    """The words a form field, a break or a picture shows in its line; returns where to go on in the events."""
    if node.tag in ("br", "hr"):
        gatherer.line_break(node)
    elif node.tag == "input":
        if node.attrs.get("type", "").lower() in _SHOWN_INPUTS and (value := node.attrs.get("value", "")):
            gatherer.text(f" {value} ", node)
    elif node.tag == "textarea":
        gatherer.text("".join(tree.raw_texts(node)), node, keep_lines=True)
    elif node.tag == "select":
        options = [kid for kid in node.kids if kid.tag == "option"]
        chosen = next((o for o in options if "selected" in o.attrs), options[0] if options else None)
        if chosen is not None:
            gatherer.text(f" {tree.text_within(chosen)} ", node)
    return max(node.stop, node.start) + 1


def _alternative(tree: Tree, node: Node) -> Pieces:
    """What a cell without text shows: the words for its only picture."""
    if node.stop - node.start > 20:
        return ()
    within = [n for n in tree.events[node.start + 1 : node.stop] if isinstance(n, Node)]
    words = [n.attrs.get("alt", "").strip() for n in within if n.tag == "img"]
    return [(" ".join(words[0].split()), NO_MARKS)] if len(words) == 1 and words[0] else ()


def caption_of(node: Node, own: str = "") -> str:
    """Labels of the panels around a grid, outermost first, then its own caption; one a line."""
    labels: list[str] = []
    panel = node.panel
    for _ in range(6):
        if panel is None:
            break
        labels.append(panel.label)
        panel = panel.parent.panel if panel.parent is not None else None
    lines = dict.fromkeys([*reversed(labels), *own.split("\n")])
    return "\n".join(line for line in lines if line)


def is_block(node: Node) -> bool:
    return node.tag in BLOCK_TAGS or node.display in ("block", "flex", "grid", "table", "table-row", "list-item")
