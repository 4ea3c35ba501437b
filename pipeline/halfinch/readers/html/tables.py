"""Tables: <table>, ARIA tables and tables made by style, with spans resolved; layout tables told from data."""

from __future__ import annotations

from collections.abc import Iterator

from halfinch.readers.html.output import Output, Slot, caption_of, gather_within
from halfinch.readers.html.ties import Ties
from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.variants import add_variants
from halfinch.readers.html.words import HEADER_ROLES

MAX_COLUMNS = 2_000
_SECTIONS = {"thead": 0, "tbody": 1, "tfoot": 2}
_LONG_CELL = 250


def is_data_table(table: Node) -> bool:
    """False for a table that only lays out a page: it holds tables or long texts, or has one column."""
    cells = [cell for row in table.rows for cell in row.cells]
    filled = [cell for cell in cells if cell.size or cell.shapes or cell.kids]
    if not filled:
        return False
    headed = any(_is_header(cell) for cell in filled)
    total = sum(cell.size for cell in filled)
    holders = [cell for cell in filled if cell.shapes]
    if holders and (not headed or 2 * sum(cell.size for cell in holders) >= total or len(holders) == len(filled)):
        return False
    if holders and 2 * len({id(cell.own_row) for cell in holders}) >= len(table.rows):
        return False
    if max(len(row.cells) for row in table.rows) == 1:
        return headed and any(not _is_header(cell) for cell in filled) and len(filled) >= 2 and not holders
    if headed and (table.captions or not holders):
        return True
    if sum(cell.links > 0 for cell in filled) >= 0.8 * len(filled) and not table.digits:
        return False
    long = [cell for cell in filled if cell.size > _LONG_CELL or cell.blocks > 12]
    if len(table.rows) == 1 and long:
        return False
    return 2 * len(long) <= len(filled)


def add_table(tree: Tree, table: Node, ties: Ties, out: Output) -> list[Node]:
    """Emits a data table; returns the tables nested in its cells, still to be read."""
    slots = resolve_spans(table, out)
    nested: list[Node] = []
    for slot in slots:
        slot.pieces, inner = gather_within(tree, slot.node)
        nested += inner
    _add_spoken_header(slots)
    own = "\n".join(tree.text_within(caption) for caption in table.captions)
    if not own:
        own = ties.words_of_ids(table.attrs.get("aria-labelledby", ""), tree)
        own = own or table.attrs.get("aria-label", "").strip() or table.attrs.get("summary", "").strip()
    add_variants(tree, slots, caption_of(table, own), out)
    return nested


def resolve_spans(table: Node, out: Output) -> list[Slot]:
    """Every cell with its row and column, by the HTML standard's way of forming a table (section 4.9.12).

    The head's rows come first and the foot's last, as on screen. A span ends where its row group ends; columns in
    which no cell begins are left out of spans, as nothing is seen of them.
    """
    slots: list[Slot] = []
    busy: dict[int, int] = {}
    number = 0
    for group in _row_groups(table):
        busy.clear()
        last = number + len(group)
        for row in group:
            number += 1
            column = 1
            for cell in row.cells:
                while busy.get(column, 0) >= number:
                    column += 1
                column = max(column, _count(cell, "aria-colindex", 0, MAX_COLUMNS))
                if column > MAX_COLUMNS:
                    out.warn(f"A table has more than {MAX_COLUMNS:,} columns; the rest was left out.")
                    break
                wide = min(_span(cell, "colspan"), MAX_COLUMNS - column + 1)
                high = _span(cell, "rowspan")
                high = min(high or last, last - number + 1)
                slots.append(Slot(cell, number, column, high, wide, _is_header(cell)))
                for taken in range(column, column + wide):
                    busy[taken] = max(busy.get(taken, 0), number + high - 1)
                column += wide
    real = max((slot.column for slot in slots), default=1)
    for slot in slots:
        slot.column_span = min(slot.column_span, real - slot.column + 1)
    return slots


def _row_groups(table: Node) -> Iterator[list[Node]]:
    """Rows by thead, tbody and tfoot; rows in none of them belong to a body."""
    groups: list[tuple[int, int, list[Node]]] = []
    for row in table.rows:
        section = row.parent
        while section is not None and section is not table and section.tag not in _SECTIONS:
            section = section.parent
        rank = _SECTIONS.get(section.tag, 1) if section is not None else 1
        key = section.start if section is not None else -1
        if not groups or groups[-1][:2] != (rank, key):
            groups.append((rank, key, []))
        groups[-1][2].append(row)
    for _, _, rows in sorted(groups, key=lambda group: group[0]):
        yield rows


def _span(cell: Node, name: str) -> int:
    if not cell.attrs:
        return 1
    limit = 1_000 if name == "colspan" else 65_534
    found = _count(cell, name, -1, limit)
    if found < 0:
        found = _count(cell, f"aria-{name}", 1, limit)
    return found if name == "rowspan" else max(1, found)


def _count(cell: Node, name: str, default: int, limit: int) -> int:
    text = cell.attrs.get(name, "").strip() if cell.attrs else ""
    if not text:
        return default
    digits = text[: len(text) - len(text.lstrip("0123456789"))]
    return min(int(digits[:6]), limit) if digits.isascii() and digits else default


def _is_header(cell: Node) -> bool:
    if cell.tag == "th" or cell.attrs.get("role") in HEADER_ROLES or cell.attrs.get("scope"):
        return True
    parent = cell.own_row.parent if cell.own_row is not None else None
    return parent is not None and parent.tag == "thead"


_SPOKEN = ("data-label", "data-title", "data-th", "data-header", "data-column", "aria-label")


def _add_spoken_header(slots: list[Slot]) -> None:
    """Narrow-screen tables say a column's name in an attribute of every cell; it stands in where no header does."""
    if not slots or any(slot.header for slot in slots):
        return
    names: dict[int, str] = {}
    for slot in slots:
        name = next((slot.node.attrs[key].strip() for key in _SPOKEN if slot.node.attrs.get(key, "").strip()), "")
        if not name or names.setdefault(slot.column, name) != name or slot.column_span > 1:
            return
    if len(names) < 2 or any(slot.text in names.values() for slot in slots):
        return
    for slot in slots:
        slot.row += 1
    first = slots[0].node
    slots[:0] = [
        Slot(first, 1, column, header=True, pieces=[(name, frozenset())]) for column, name in sorted(names.items())
    ]
