"""One cell, two figures: alternatives for a unit switch (two spans, data attributes) become grids of their own.

``<td><span class="in">30</span><span class="cm">76.2</span></td>`` gives two grids of the same make, captioned "in"
and "cm"; never a cell that reads "3076.2". What a style hides is marked hidden, attributes are marked data.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from halfinch.readers.html.output import NO_MARKS, Output, Pieces, Slot, gather_within
from halfinch.readers.html.ties import words_of_key
from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.words import class_tokens
from halfinch.sheet import DATA, HEADER, HIDDEN, Cell, place

FIGURE = re.compile(
    r"""[~<>±+-]?\s*[\d½¼¾⅛⅜⅝⅞][\d\s.,/⁄½¼¾⅛⅜⅝⅞–-]{0,24}\s*(?:in|inch|inches|cm|mm|["'”″’′]{1,2})?\.?""", re.IGNORECASE
)
_PART_OF_NUMBER = re.compile(r"[.,½¼¾⅓⅔⅛⅜⅝⅞]|\d{1,3}\s*[/⁄∕]\s*\d{1,3}$")
_SEPARATORS = frozenset(" /|·•()[]-–—,;:")
Alternatives = dict[str, tuple[str, bool]]
"""Name of the alternative -> its text and whether it is hidden."""


def add_variants(tree: Tree, slots: Sequence[Slot], caption: str, out: Output) -> None:
    """The grid as printed, then one more grid for each further alternative that its cells hold."""
    told = {id(slot): found for slot in slots if (found := _alternatives(tree, slot))}
    names = Counter(name for found in told.values() for name in found)
    shown = [name for name in names if not _always_hidden(told.values(), name)]
    unseen = [name for name in names if name not in shown]
    if len(shown) >= 2:
        for name in shown:
            marks = NO_MARKS
            out.add_slots(_with_variant(tree, slots, told, name), _named(caption, name), marks)
    else:
        stripped = _with_variant(tree, slots, told, shown[0] if shown else "") if told else slots
        out.add_slots(stripped, caption)
    for name in unseen:
        out.add_slots(_with_variant(tree, slots, told, name), _named(caption, name), frozenset({HIDDEN}))
    _add_attribute_grids(slots, caption, out)


def _named(caption: str, name: str) -> str:
    return f"{caption}\n{name}" if caption else name


def _always_hidden(cells: object, name: str) -> bool:
    found = [cell[name][1] for cell in cells if name in cell]  # type: ignore[attr-defined]
    return all(found)


def _with_variant(tree: Tree, slots: Sequence[Slot], told: dict[int, Alternatives], name: str) -> list[Slot]:
    """A copy of the slots in which every cell with alternatives shows the one of that name."""
    others = {other for found in told.values() for other in found} - {name}
    chosen: list[Slot] = []
    for slot in slots:
        pieces: Pieces = slot.pieces
        found = told.get(id(slot))
        if found is not None:
            text, hidden = found.get(name) or next(iter(found.values()))
            pieces = [(text, frozenset({HIDDEN}) if hidden else NO_MARKS)]
        elif others and name and len(slot.node.kids) >= 2 and not slot.node.digits:
            pieces = _label_of(tree, slot.node, name, others) or pieces
        chosen.append(Slot(slot.node, slot.row, slot.column, slot.row_span, slot.column_span, slot.header, pieces))
    return chosen


def _label_of(tree: Tree, node: Node, name: str, others: set[str]) -> Pieces:
    """A label's text without the words that belong to the other alternatives: Waist (in/cm) as Waist (in)."""
    named = [n for n in tree.nodes_within(node) if name in n.words or name in n.attrs.values()]
    foreign = {n.start for n in tree.nodes_within(node) if others & {*n.words, *n.attrs.values()}}
    return gather_within(tree, node, foreign - {n.start for n in named})[0] if named and foreign else ()


def _alternatives(tree: Tree, slot: Slot) -> Alternatives | None:
    """Two or more elements of one cell that say the same thing in two ways, by name; None for any other cell."""
    node = slot.node
    if not node.kids:
        return None
    for _ in range(3):
        if len(node.kids) != 1 or node.loose:
            break
        node = node.kids[0]
    kids = [kid for kid in node.kids if kid.size]
    if not 2 <= len(kids) <= 4 or node.loose > 3 or len({kid.tag for kid in kids}) > 1:
        return None
    if not all(kid.digits for kid in kids) or any(kid.struck or kid.shapes for kid in kids):
        return None
    if node.loose and not _only_separators(tree, node):
        return None
    names = _names_apart(kids)
    if names is None:
        return None
    texts = [gather_within(tree, kid)[0] for kid in kids]
    if any(not pieces or _PART_OF_NUMBER.match(pieces[0][0]) for pieces in texts[1:]) or not texts[0]:
        return None
    if node.loose and not any(kid.hidden for kid in kids):
        return None
    return {name: (pieces[0][0], kid.hidden) for name, pieces, kid in zip(names, texts, kids, strict=True)}


def _only_separators(tree: Tree, node: Node) -> bool:
    own = [
        e
        for i, e in enumerate(tree.events[node.start + 1 : node.stop], node.start + 1)
        if isinstance(e, str) and not any(kid.start < i < kid.stop for kid in node.kids)
    ]
    return set("".join(own)) - set("\n\t\xa0") <= _SEPARATORS


def _names_apart(kids: Sequence[Node]) -> list[str] | None:
    """What tells the elements apart: ``data-unit``'s value, or the class words that only one of them has."""
    for key in kids[0].attrs:
        if key.startswith("data-") and not FIGURE.fullmatch(kids[0].attrs[key]):
            values = [kid.attrs.get(key, "") for kid in kids]
            if all(values) and len(set(values)) == len(values):
                return [value[:40] for value in values]
    words = [class_tokens(kid.attrs.get("class", "")) for kid in kids]
    names: list[str] = []
    for i, own in enumerate(words):
        others = frozenset[str]().union(*(other for j, other in enumerate(words) if j != i))
        mine = [word for word in own - others if word.isalpha()]
        if not mine:
            return None
        names.append(min(mine, key=lambda word: (len(word), word)))
    return names


def _add_attribute_grids(slots: Sequence[Slot], caption: str, out: Output) -> None:
    """Figures in the cells' data attributes: one grid each, with the printed labels around them."""
    counts: Counter[str] = Counter()
    for slot in slots:
        counts.update(key for key, value in slot.node.attrs.items() if key.startswith("data-") and is_figure(value))
    for key, count in counts.items():
        if count < 2 or count < len(slots) / 4 or _repeats_text(slots, key):
            continue
        cells: list[Cell] = []
        for slot in slots:
            value = slot.node.attrs.get(key, "")
            text = value.strip() if is_figure(value) else slot.text
            if not text:
                continue
            marks = {DATA} | ({HEADER} if slot.header else set())
            where = place(
                table=out.tables, row=slot.row, col=slot.column, attr=f"@{key}" if text != slot.text else None
            )
            cells.append(Cell(text, slot.row, slot.column, slot.row_span, slot.column_span, where, frozenset(marks)))
        out.add_grid(
            cells, _named(caption, words_of_key(key)), frozenset({DATA}), place(table=out.tables, attr=f"@{key}")
        )


def _repeats_text(slots: Sequence[Slot], key: str) -> bool:
    """True where the attribute says what is printed anyway, or only counts rows and columns."""
    told = [(slot, slot.node.attrs[key].strip()) for slot in slots if is_figure(slot.node.attrs.get(key, ""))]
    if all(value == slot.text for slot, value in told):
        return True
    shifts = {(int(value) - slot.row, int(value) - slot.column) for slot, value in told if value.isdigit()}
    return len(told) == sum(value.isdigit() for _, value in told) and (
        len({row for row, _ in shifts}) == 1 or len({column for _, column in shifts}) == 1
    )


def is_figure(value: str) -> bool:
    return 0 < len(value) <= 24 and FIGURE.fullmatch(value.strip()) is not None
