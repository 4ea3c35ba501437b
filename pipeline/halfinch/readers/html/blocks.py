"""Tables that are none by tag: rows of boxes, label and value pairs, definition lists, aligned text in <pre>.

Found by structure alone: at least two neighbouring boxes that hold the same number (two or more) of short texts, with
nothing loose between them. Menus and cards are refused by their links, prose by its length.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from halfinch.readers.html.annotate import says_table
from halfinch.readers.html.output import Slot, gather_within
from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.words import HEADINGS, SILENT_TAGS

_LONG_TEXT, _LONGEST_TEXT = 80, 1_200
"""Characters of a cell, and of a description in a box whose classes say that it is a cell."""
_MAX_COLUMNS = 60
_DECOR = frozenset({"br", "hr", "wbr", "input", "img", "svg", "i"}) | SILENT_TAGS
_UNFIT = frozenset({"p", "a", "button", "select", "form", "label"})
"""Tags that are no row by themselves unless their class says so (a paragraph with two bold words is prose)."""


_INLINE_BOXES = frozenset(
    {"p", "span", "a", "b", "strong", "em", "i", "label", "math", "mrow", "sup", "sub", "small", *HEADINGS}
)


@dataclass(slots=True)
class Run:
    """Neighbouring elements that are one grid: from the event `start` up to and with `stop`."""

    start: int
    stop: int
    slots: list[Slot]


def find_runs(tree: Tree, box: Node) -> list[Run]:
    """Grids among the children of `box`; empty where its structure does not repeat."""
    if box.tag in _INLINE_BOXES and not says_table(box):
        return []
    if box.chrome or box.size < 4 or box.shapes or len(box.kids) < 2:
        return _runs_beside_tables(tree, box) if box.shapes and not box.chrome and len(box.kids) > 2 else []
    kids = _solid(box)
    if len(kids) < 2:
        return []
    if flat := _flat_grid(box, kids):
        return [_make_run(kids, flat)]
    return _row_runs(box, kids)


def _runs_beside_tables(tree: Tree, box: Node) -> list[Run]:
    return _row_runs(box, _solid(box))


def _solid(box: Node) -> list[Node]:
    """Children that take up room: no breaks, icons or scripts; an empty box counts, it may be an empty cell."""
    return [kid for kid in box.kids if kid.size or (kid.tag not in _DECOR and not kid.kids)]


def _row_runs(box: Node, kids: Sequence[Node]) -> list[Run]:
    """Neighbouring rows of one width. A group of several rows ends its grid: what follows may be another table."""
    rows: list[tuple[Node, list[list[Node]]]] = [(kid, _rows_of(kid)) for kid in kids]
    runs: list[Run] = []
    i = 0
    while i < len(rows):
        j = i
        while j < len(rows) and rows[j][1] and len(rows[j][1][0]) == len(rows[i][1][0]):
            j += 1
            if len(rows[j - 1][1]) > 1:
                break
        group = [kid for kid, _ in rows[i:j]]
        found = [cells for _, several in rows[i:j] for cells in several]
        if len(found) >= 2 and _is_grid(box, group, found):
            runs.append(_make_run(group, found))
        i = max(j, i + 1)
    return runs


def _rows_of(kid: Node) -> list[list[Node]]:
    """The rows one child stands for: itself, or all of its children where it is a group of rows; [] for neither."""
    if kid.shapes or kid.shape or kid.label or kid.tag == "dl" or kid.links > 8:
        return []
    cells = _cells_of(kid)
    if cells and not _mostly_rows(cells):
        return [cells]
    inner = [_cells_of(row) for row in _solid(kid)] if not kid.loose else []
    if inner and all(inner) and len({len(row) for row in inner}) == 1 and not any(map(_mostly_rows, inner)):
        return inner
    return []


def _cells_of(row: Node) -> list[Node]:
    """The cells of a box that could be a row, [] for any other box."""
    for _ in range(3):
        if row.loose > 3 or row.tag in HEADINGS:
            return []
        kids = _solid(row)
        if len(kids) != 1:
            break
        row = kids[0]
    if not 2 <= len(kids) <= _MAX_COLUMNS:
        return []
    long = [kid for kid in kids if kid.size > _LONG_TEXT]
    if long and not (len(kids) > 2 and len(long) == 1 and long[0].size <= _LONGEST_TEXT and says_table(row, kids[0])):
        return []
    if row.tag in ("ul", "ol") and not says_table(row) and not _holds_bare_figures(kids):
        return []
    if row.tag in _UNFIT and not ("class" in row.attrs and says_table(row)) and not (row.tag == "p" and row.digits):
        return []
    if any(kid.shapes or kid.tag in ("br", "ul", "ol", "dl", "form") for kid in kids):
        return []
    return kids


def _holds_bare_figures(items: Sequence[Node]) -> bool:
    """True where a list is a row (Waist, 29, 30) and not a list of statements (Inseam: 30", Rise: 10")."""
    figures = [item for item in items[1:] if item.digits]
    return bool(figures) and sum(item.size for item in figures) <= 7 * len(figures)


def _mostly_rows(cells: Sequence[Node]) -> bool:
    """True where most of the cells hold several boxes themselves, so that the rows lie one level deeper."""
    filled = [cell for cell in cells if cell.size]
    return 5 * sum(map(_is_compound, filled)) > 3 * len(filled)


def _is_compound(cell: Node) -> bool:
    inner = _solid(cell) if not cell.loose else []
    if len(inner) < 2:
        return False
    return cell.blocks > 1 or len(inner) > 2 or (inner[-1].digits and not inner[0].digits)


def _is_grid(box: Node, group: Sequence[Node], rows: Sequence[Sequence[Node]]) -> bool:
    cells = [cell for row in rows for cell in row if cell.size]
    if len(cells) < 3 or sum(1 for cell in cells if cell.links or cell.tag == "a") * 3 > len(cells):
        return False
    short = [cell.size for cell in cells if cell.size <= _LONG_TEXT]
    if sum(short) > 40 * len(short) or any(sum(kid.links for kid in row) * 2 > len(row) for row in rows[:1]):
        return False
    later = [cell for row in rows for cell in row[1:] if cell.size]
    digits = sum(cell.digits for cell in later)
    if 3 * digits >= len(later) and digits:
        return True
    return digits > 0 and says_table(box, group[0], rows[0][0], rows[0][-1])


def _make_run(group: Sequence[Node], rows: Sequence[Sequence[Node]]) -> Run:
    slots = [
        Slot(cell, r, c, header=cell.tag in HEADINGS or cell.tag in ("th", "dt"))
        for r, row in enumerate(rows, 1)
        for c, cell in enumerate(row, 1)
    ]
    return Run(group[0].start, group[-1].stop, slots)


# ---- boxes in one line after another: a CSS grid, or label value label value -----------------------------------


def _flat_grid(box: Node, kids: Sequence[Node]) -> list[list[Node]] | None:
    if box.loose > 3 or len(kids) < 4 or len(kids) > 5_000:
        return None
    if any(kid.size > _LONG_TEXT or kid.links or kid.shapes for kid in kids):
        return None
    if any(len(_solid(kid)) > 1 and kid.blocks for kid in kids):
        return None
    width = box.tracks if box.tracks >= 2 and len(kids) >= 2 * box.tracks else _period(kids)
    if not width:
        return None
    rows = [list(kids[i : i + width]) for i in range(0, len(kids), width)]
    if box.tracks != width and not _is_grid(box, kids, rows):
        return None
    return rows if any(kid.digits for kid in kids) else None


def _period(kids: Sequence[Node]) -> int:
    """After how many boxes the kinds of box repeat (2 for label, value, label, value); 0 where they do not."""
    kinds = [(kid.tag, kid.attrs.get("class", "").split()[:1]) for kid in kids]
    for width in range(2, min(16, len(kids) // 2) + 1):
        if len(kids) % width:
            continue
        first = kinds[:width]
        if first[0] in first[1:]:
            continue
        if all(kinds[i] == first[i % width] for i in range(width, len(kinds))):
            return width
    lead = next((i for i, kind in enumerate(kinds) if kind != kinds[0]), 0)
    rest = kinds[lead:]
    if 2 <= lead <= 16 and len(kids) % lead == 0 and len(rest) >= lead and all(kind == rest[0] for kind in rest):
        return lead
    return 0


# ---- definition lists --------------------------------------------------------------------------------------------


def definition_slots(tree: Tree, box: Node) -> list[Slot] | None:
    """A <dl> as label and value rows; None where its definitions are long texts or hold tables (then it is prose)."""
    items: list[Node] = []
    waiting = list(reversed(box.kids))
    while waiting:
        kid = waiting.pop()
        if kid.tag in ("dt", "dd"):
            items.append(kid)
        elif kid.size and kid.tag not in SILENT_TAGS:
            if kid.tag not in ("div", "section", "li", "span", "p"):
                return None
            waiting += reversed(kid.kids)
    if not any(i.tag == "dt" for i in items) or not any(i.tag == "dd" for i in items) or box.links > len(items):
        return None
    if any(item.size > 400 or item.shapes or item.blocks > 10 or _holds_list(item) for item in items):
        return None
    slots: list[Slot] = []
    row, column = 0, 1
    labels: list[Slot] = []
    for item in items:
        if item.tag == "dt":
            if column > 1:
                labels = []
            row, column = row + 1, 1
            labels.append(Slot(item, row, 1, header=True))
            slots.append(labels[-1])
        else:
            column += 1
            top = labels[0].row if labels else max(row, 1)
            row = max(row, 1)
            slots.append(Slot(item, top, column, row_span=row - top + 1))
    return slots


def _holds_list(item: Node) -> bool:
    return any(kid.tag in ("dl", "h1", "h2", "h3", "h4") for kid in item.kids)


# ---- text set in columns by blanks -------------------------------------------------------------------------------


_GAPS = re.compile(r"\t+|\s{2,}|\s*\|\s*")


def pre_rows(text: str) -> list[list[str]] | None:
    """Lines of <pre> as rows where at least three of them in a row split alike at tabs, bars or wide gaps."""
    lines = [line.strip().strip("|").strip() for line in text.split("\n")]
    rows = [_GAPS.split(line) for line in lines if line.strip("-=+ |")]
    if len(rows) < 3 or len(rows) > 5_000:
        return None
    width = max((len(row) for row in rows), default=0)
    full = [row for row in rows if len(row) == width]
    if width < 2 or len(full) < 3 or 3 * len(full) < 2 * len(rows) or rows[-1:][0] not in full:
        return None
    first = next(i for i, row in enumerate(rows) if len(row) == width)
    return rows if all(len(row) == width for row in rows[first:]) and first == 0 else None


def fill_slots(tree: Tree, slots: Sequence[Slot]) -> list[Node]:
    """Gathers the slots' texts; returns nested tables, still to be read."""
    nested: list[Node] = []
    for slot in slots:
        slot.pieces, inner = gather_within(tree, slot.node)
        nested += inner
    return nested
