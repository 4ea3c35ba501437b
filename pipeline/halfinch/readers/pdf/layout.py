"""One page from ink to blocks: words, drawn tables, borderless tables, texts, in reading order."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field, replace

from halfinch.readers.pdf.borderless import find_tables
from halfinch.readers.pdf.bound import find_bound, in_rows
from halfinch.readers.pdf.drawn import fill_lattice, is_layout, make_drawn_table
from halfinch.readers.pdf.ink import Frame, Glyph, PageInk, Rule
from halfinch.readers.pdf.lines import Chunk, Line, join_spaced, make_lines
from halfinch.readers.pdf.marks import mark_struck, part_hidden
from halfinch.readers.pdf.model import PageBlocks, TableBlock, TextBlock
from halfinch.readers.pdf.ruled import SNAP, Lattice, find_lattices, merge_rules
from halfinch.readers.pdf.runs import Hints, make_hints
from halfinch.readers.pdf.texts import body_size, find_prose, make_texts, reading_order
from halfinch.readers.pdf.titles import name_titles
from halfinch.readers.pdf.words import Word, make_words
from halfinch.sheet import Box

_PAGE_COUNT = re.compile(r"^\W*(?:[^\W\d]{1,8}\.?\s*)?\d{1,4}(?:\s*\D{1,4}\s*\d{1,4})?\W*$")

MOST_WORDS = 12_000  # words on one page; more is not a page a person reads


@dataclass(slots=True)
class Turned:
    """A page in the frame of its main reading direction."""

    number: int
    frame: Frame
    words: list[Word]
    rules: list[Rule]
    lines: list[Line]
    others: list[tuple[Frame, list[Word]]]
    """Words that read in other directions."""
    hidden: list[tuple[Frame, list[Word]]]
    """Words that nobody sees."""
    slanting: str = ""
    warnings: list[str] = field(default_factory=list)

    @property
    def wide(self) -> float:
        return self.frame.height if self.frame.turn in (90, 270) else self.frame.width

    @property
    def high(self) -> float:
        return self.frame.width if self.frame.turn in (90, 270) else self.frame.height


def turn_page(ink: PageInk) -> Turned:
    """Words of the page, grouped by reading direction; most letters decide which is the main one."""
    seen, hidden = part_hidden(ink)
    counts = Counter(glyph.style.turn for glyph in seen if glyph.text != " ")
    slanting = "".join(glyph.text for glyph in seen if glyph.style.turn == -1)
    turns = [turn for turn, _ in counts.most_common() if turn >= 0]
    main = turns[0] if turns else 0
    words: dict[int, list[Word]] = {}
    warnings = list(ink.warnings)
    rules = ink.rules
    for turn in turns or [0]:
        frame = Frame(turn, ink.width, ink.height)
        found = join_spaced(_on_page(make_words(seen, frame), ink, frame, warnings))
        if len(found) > MOST_WORDS:
            warnings.append(f"page {ink.number} has {len(found)} words; only the first {MOST_WORDS} were read")
            found = found[:MOST_WORDS]
        if turn == main:
            kept = mark_struck(found, [frame.rule(rule) for rule in rules])
            rules = kept
        words[turn] = found
    frame = Frame(main, ink.width, ink.height)
    others = [(Frame(turn, ink.width, ink.height), words[turn]) for turn in turns[1:]]
    main_words = words[main]
    merged = merge_rules(rules)
    return Turned(ink.number, frame, main_words, merged, make_lines(main_words) if main_words else [], others,
                  _hidden_words(hidden, ink), slanting.strip(), warnings)  # fmt: skip


def _hidden_words(glyphs: list[Glyph], ink: PageInk) -> list[tuple[Frame, list[Word]]]:
    found = []
    for turn in sorted({glyph.style.turn for glyph in glyphs} - {-1}):
        frame = Frame(turn, ink.width, ink.height)
        words = _on_page(make_words(glyphs, frame), ink, frame, [])[:MOST_WORDS]
        for word in words:
            word.hidden = True
        found.append((frame, words))
    return found


def _on_page(words: list[Word], ink: PageInk, frame: Frame, warnings: list[str]) -> list[Word]:
    """Words that a person sees at least a part of; what the page's edge cuts is kept whole, with a warning."""
    _, _, wide, high = frame.box(0, 0, ink.width, ink.height)
    seen: list[Word] = []
    kept: set[int] = set()
    for word in words:
        on = word.x1 > 0 and word.x0 < wide and word.bottom > 0 and word.top < high
        if on or (word.blanks == 1 and id(word.before) in kept):  # "42 1/2" must not become 42
            seen.append(word)
            kept.add(id(word))
    if any(w.x0 < -0.3 * w.size or w.x1 > wide + 0.3 * w.size for w in seen):
        warnings.append(f"page {ink.number}: text runs over the edge of the page")
    return seen


def page_blocks(page: Turned, chrome: set[int], told: set[str]) -> PageBlocks:
    """Blocks of a turned page. `chrome`: ids of words that are running heads and feet; `told`: those met before.

    A running line may say the unit of every table, so it is told as text once, and only then as chrome.
    """
    out = PageBlocks(page.number, page.frame.width, page.frame.height, warnings=list(page.warnings))
    words = [word for word in page.words if id(word) not in chrome]
    lattices, crowded = find_lattices(page.rules)
    if crowded:
        out.warnings.append(f"page {page.number} has too many drawn lines; its tables were read without them")
    turned = _turned_words(page)
    tables, used = _drawn_tables(page, lattices, words, turned)
    rest = [word for word in words if id(word) not in used]
    lines = make_lines(rest) if rest and (used or chrome) else (page.lines if rest else [])
    hints = make_hints(page.rules)
    blocks: list[TableBlock | TextBlock] = [
        *tables,
        *_open_blocks(lines, hints, [t.box for t in tables], page.lines, page.wide),
    ]
    name_titles([b for b in blocks if isinstance(b, TableBlock)], [b for b in blocks if isinstance(b, TextBlock)])
    blocks = reading_order(blocks)
    head, foot = _chrome_blocks(page, chrome, told)
    out.blocks = [*head, *blocks, *foot]
    for block in out.blocks:
        _turn_back(block, page.frame)
    for frame, other in page.others:
        out.blocks.extend(_other_blocks(frame, [word for word in other if id(word) not in used]))
    for frame, away in page.hidden:
        out.blocks.extend(_other_blocks(frame, away))
    if page.slanting:
        box = (0.0, 0.0, page.frame.width, page.frame.height)
        out.blocks.append(TextBlock(box, [], kind="chrome", slanting=page.slanting))
    return out


def _turned_words(page: Turned) -> list[tuple[Word, Word]]:
    """Words of other directions with their boxes in the main frame, beside the word they stand for."""
    pairs = []
    for frame, words in page.others:
        for line in make_lines(words) if words else []:
            for chunk in line.chunks:
                x0, top, x1, bottom = page.frame.box(*frame.back(chunk.box))
                for i, word in enumerate(chunk.words):
                    text = chunk.text if i == 0 else ""
                    pairs.append((word, replace(word, text=text, x0=x0, top=top, x1=x1, bottom=bottom, base=bottom)))
    return pairs


def _drawn_tables(
    page: Turned, lattices: list[Lattice], words: list[Word], turned: list[tuple[Word, Word]]
) -> tuple[list[TableBlock], set[int]]:
    tables: list[TableBlock] = []
    used: set[int] = set()
    for lattice in _stack(lattices):
        inside = [w for w in words if id(w) not in used and _inside(lattice.box, w)]
        stood = [(real, copy) for real, copy in turned if id(real) not in used and _inside(lattice.box, copy)]
        if not inside or _head_of_open_table(lattice, page.lines, inside):
            continue
        filled = fill_lattice(lattice, inside, [copy for _, copy in stood if copy.text])
        if is_layout(lattice, filled):
            continue
        table = make_drawn_table(lattice, filled)
        if table is not None:
            tables.append(table)
            used.update(id(word) for word in inside)
            used.update(id(real) for real, _ in stood)
    return tables, used


def _inside(box: Box, word: Word) -> bool:
    x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
    return box[0] <= x <= box[2] and box[1] <= y <= box[3]


def _stack(lattices: list[Lattice]) -> list[Lattice]:
    """Join lattices of the same columns that nearly touch: rows boxed one by one."""
    out: list[Lattice] = []
    for lattice in lattices:
        near = (o for o in reversed(out) if 0 <= lattice.ys[0] - o.ys[-1] <= 2.5 * SNAP)
        above = next((o for o in near if _same(o.xs, lattice.xs)), None)
        if above is None:
            out.append(lattice)
            continue
        shift = len(above.ys) - 1
        above.ys.extend(lattice.ys[1:])
        above.spots.extend((r + shift, c, h, w) for r, c, h, w in lattice.spots)
    return out


def _same(one: list[float], two: list[float]) -> bool:
    return len(one) == len(two) and all(abs(a - b) <= SNAP for a, b in zip(one, two, strict=True))


def _head_of_open_table(lattice: Lattice, lines: list[Line], inside: list[Word]) -> bool:
    """True when one drawn row is but the head, or a shaded row, of rows without lines around it."""
    if len(lattice.ys) > 2:
        return False
    x0, top, x1, bottom = lattice.box
    size = max(word.size for word in inside)
    for line in lines:
        near = bottom < line.base < bottom + 2.6 * size or top - 1.8 * size < line.base < top
        beside = [c for c in line.chunks if x0 - size < c.middle < x1 + size]
        if near and len(beside) >= 2 and len(beside) >= 0.5 * (len(lattice.xs) - 1):
            return True
    return False


def _open_blocks(
    lines: list[Line], hints: Hints, barriers: list[Box], all_lines: list[Line], wide: float
) -> list[TableBlock | TextBlock]:
    body = body_size(all_lines)
    bound = find_bound(lines, hints.divide)
    prose = find_prose(lines, in_rows(lines, bound) | bound.in_turn)
    blocks: list[TableBlock | TextBlock] = []
    taken: set[int] = set()
    for stretch in _stretches(_without(lines, prose), barriers):
        for table, chunks in find_tables(stretch, hints, bound):
            blocks.append(table)
            taken.update(id(chunk) for chunk in chunks)
    blocks.extend(make_texts(lines, taken, body, _edge(all_lines, wide), bound))
    return blocks


def _edge(lines: list[Line], wide: float) -> float:
    """How far to the right a page `wide` points wide is written on: as far from its edge as on the left, or further."""
    chunks = [chunk for line in lines for chunk in line.chunks]
    return max([wide - min((chunk.x0 for chunk in chunks), default=0.0), *(chunk.x1 for chunk in chunks)])


def _without(lines: list[Line], prose: set[int]) -> list[Line]:
    left = []
    for line in lines:
        chunks = [chunk for chunk in line.chunks if id(chunk) not in prose]
        if len(chunks) == len(line.chunks):
            left.append(line)
        elif chunks:
            left.append(Line(chunks, min(c.base for c in chunks), max(c.size for c in chunks)))
    return left


def _stretches(lines: list[Line], barriers: list[Box]) -> list[list[Line]]:
    """Lines cut where a drawn table lies between two of them."""
    stretches: list[list[Line]] = [[]]
    for line in lines:
        if stretches[-1]:
            upper = stretches[-1][-1].base
            if any(upper < (box[1] + box[3]) / 2 < line.base for box in barriers):
                stretches.append([])
        stretches[-1].append(line)
    return [stretch for stretch in stretches if stretch]


def _chrome_blocks(page: Turned, chrome: set[int], told: set[str]) -> tuple[list[TextBlock], list[TextBlock]]:
    words = [word for word in page.words if id(word) in chrome]
    head: list[TextBlock] = []
    foot: list[TextBlock] = []
    for line in make_lines(words) if words else []:
        for chunk in line.chunks:
            side = head if chunk.base < page.high / 2 else foot
            again = chunk.text in told or _PAGE_COUNT.match(chunk.text) is not None
            told.add(chunk.text)
            kind = "chrome" if again else "heading" if chunk.bold else "paragraph"
            side.append(TextBlock(chunk.box, [chunk], kind, size=chunk.size, marks=chunk.marks(), running=True))
    return head, foot


def _other_blocks(frame: Frame, words: list[Word]) -> list[TableBlock | TextBlock]:
    """Blocks of text that reads in another direction than the page."""
    if not words:
        return []
    lines = make_lines(words)
    blocks = reading_order(
        _open_blocks(lines, make_hints([]), [], lines, frame.box(0, 0, frame.width, frame.height)[2])
    )
    for block in blocks:
        _turn_back(block, frame)
    return blocks


def _turn_back(block: TableBlock | TextBlock, frame: Frame) -> None:
    """The block's boxes on the page as a person sees it."""
    block.box = frame.back(block.box)
    if isinstance(block, TableBlock):
        block.cells = [replace(cell, box=frame.back(cell.box)) if cell.box else cell for cell in block.cells]


def line_words(line: Line) -> list[Word]:
    """All words of a line."""
    chunks: list[Chunk] = line.chunks
    return [word for chunk in chunks for word in chunk.words]
