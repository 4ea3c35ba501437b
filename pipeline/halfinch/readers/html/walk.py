"""The walk through a page in reading order: every element becomes part of a grid or of a text, once."""

from __future__ import annotations

from halfinch.readers.html.blocks import Run, definition_slots, fill_slots, find_runs, pre_rows
from halfinch.readers.html.lines import Gatherer, drop_unseen
from halfinch.readers.html.output import FIELD_TAGS, Output, caption_of, gather_field, is_block
from halfinch.readers.html.tables import add_table, is_data_table
from halfinch.readers.html.ties import Ties
from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.variants import add_variants
from halfinch.readers.html.words import HEADINGS, SILENT_TAGS
from halfinch.sheet import HIDDEN, Cell, place


class Walk:
    """One reading of a tree into an `Output`. Grids in grids wait on a stack, so no depth is too deep."""

    def __init__(self, tree: Tree, ties: Ties, out: Output) -> None:
        self.tree, self.ties, self.out = tree, ties, out
        self.gatherer = Gatherer()
        self.block: Node | None = None
        self.runs: dict[int, Run] = {}
        self.frames: list[Node] = []

    def read(self) -> None:
        """Reads all of the tree."""
        ranges: list[tuple[int, int, Node | None]] = [(0, len(self.tree.events), None)]
        while ranges:
            i, stop, self.block = ranges.pop()
            while i < stop:
                event = self.tree.events[i]
                if isinstance(event, str):
                    self._read_text(event)
                    i += 1
                elif isinstance(event, int):
                    self._close(event)
                    i += 1
                else:
                    i, nested = self._open(event)
                    if nested:
                        ranges.append((i, stop, self.block))
                        ranges += [(table.start, table.stop + 1, table.parent) for table in reversed(nested)]
                        break
            self._flush()

    def _read_text(self, text: str) -> None:
        inside = self.block
        if inside is not None:
            self.gatherer.text(text, inside, keep_lines=inside.tag == "pre")

    def _close(self, start: int) -> None:
        node = self.tree.events[start]
        if not isinstance(node, Node):
            return
        if is_block(node):
            self._flush()
        else:
            self.gatherer.close(node)
        self.block = node.parent

    def _open(self, node: Node) -> tuple[int, list[Node]]:
        """Begins one element; returns where to go on and the tables that were found inside what was taken whole."""
        if node.tag in SILENT_TAGS:
            return node.stop + 1, []
        if node.quiet:
            return self._take_quiet(node), []
        if node.start in self.runs:
            return self._take_run(self.runs[node.start])
        if node.shape == "table" and is_data_table(node):
            self._flush()
            return node.stop + 1, add_table(self.tree, node, self.ties, self.out)
        if node.tag == "dl" and (slots := definition_slots(self.tree, node)):
            return self._take_run(Run(node.start, node.stop, slots))
        if node.tag == "pre" and self._take_pre(node):
            return node.stop + 1, []
        if node.tag == "iframe":
            self.frames.append(node)
            return node.stop + 1, []
        if node.tag == "select":
            self._flush()
            self._add_options(node)
            return node.stop + 1, []
        if node.tag == "hr":
            self._flush()
        if node.tag in FIELD_TAGS:
            return gather_field(self.tree, node, self.gatherer), []
        if len(node.kids) >= 2:
            for run in find_runs(self.tree, node):
                self.runs[run.start] = run
        if is_block(node):
            self._flush()
        else:
            self.gatherer.open(node)
        self.block = node
        return node.start + 1, []

    def _take_quiet(self, node: Node) -> int:
        self._flush()
        words = self.tree.events[node.start + 1]
        if isinstance(words, str) and (seen := drop_unseen(words)):
            self.out.add_text(seen, "chrome", frozenset({HIDDEN}) if node.hidden else frozenset())
        return node.stop + 1

    def _take_run(self, run: Run) -> tuple[int, list[Node]]:
        self._flush()
        nested = fill_slots(self.tree, run.slots)
        add_variants(self.tree, run.slots, caption_of(run.slots[0].node), self.out)
        return run.stop + 1, nested

    def _take_pre(self, node: Node) -> bool:
        gatherer = Gatherer()
        for text in self.tree.raw_texts(node):
            gatherer.text(text, node, keep_lines=True)
        pieces = gatherer.take(keep_blanks=True)
        rows = pre_rows(pieces[0][0]) if pieces else None
        if rows is None:
            return False
        self._flush()
        number = self.out.tables = self.out.tables + 1
        cells = [
            Cell(text, r, c, place=place(table=number, row=r, col=c), marks=pieces[0][1])
            for r, row in enumerate(rows, 1)
            for c, text in enumerate(row, 1)
            if text
        ]
        self.out.add_grid(cells, caption_of(node), frozenset(), place(table=number))
        return True

    def _add_options(self, node: Node) -> None:
        words = [
            text for kid in self.tree.nodes_within(node) if kid.tag == "option" and (text := self.tree.text_within(kid))
        ]
        if words:
            marks = frozenset({HIDDEN}) if node.hidden else frozenset[str]()
            self.out.add_text("\n".join(words[:500]), "chrome" if node.chrome else "item", marks)

    def _flush(self) -> None:
        """Ends the block that is being gathered and emits its text."""
        node = self.block
        for text, marks in self.gatherer.take():
            kind, level = _kind_of(node)
            self.out.add_text(text, kind, marks, level=level)


def _kind_of(node: Node | None) -> tuple[str, int]:
    """What kind of text a block's is, by the elements around it (a <b> in a <li> in a <ul> is an item)."""
    if node is not None and node.chrome:
        return "chrome", 0
    for _ in range(8):
        if node is None or node.tag in _KIND_LIMIT:
            break
        role = node.attrs.get("role", "")
        if node.tag in HEADINGS:
            return "heading", HEADINGS[node.tag]
        if role == "heading":
            level = node.attrs.get("aria-level", "2")
            return "heading", int(level) if level in ("1", "2", "3", "4", "5", "6") else 2
        if node.tag == "li" or role == "listitem":
            return "item", 0
        node = node.parent
    return "paragraph", 0


_KIND_LIMIT = frozenset({"td", "th", "section", "article", "main", "body", "dd", "dt", "table"})
