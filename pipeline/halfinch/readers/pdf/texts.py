"""What stands outside tables: headings, paragraphs, single lines; and the order in which a page is read."""

from __future__ import annotations

import itertools
import re
from collections import Counter, defaultdict
from collections.abc import Sequence

from halfinch.readers.pdf.bound import Bound, in_rows
from halfinch.readers.pdf.ink import union_box
from halfinch.readers.pdf.lines import BULLETS, UNSPACED, Chunk, Line, make_chunk, typed_blank, whole
from halfinch.readers.pdf.model import TableBlock, TextBlock
from halfinch.sheet import EMPHASIS

PARAGRAPH_STEP = 1.75  # base line to base line within a paragraph, in letter sizes
CELL_LINES = 5  # lines of prose that a table's cell may hold
HEADING_SIZE = 1.13  # of the body's letter size
HEADING_WORDS = 16
BESIDE = 0.25  # of the lower column's blocks: so much of them stands at the height of blocks of its neighbour
MARGIN = 2.0  # points by which blocks may overlap and still be told apart

NEARLY = 4.0  # letter sizes: lines broken between words end within this of each other
SLACK = 0.02  # of a line's length: so far may its end be from the margin although the next word seems to have room
LONG_LINE = 7  # words: a line of so many may be part of a text whatever its words

ROW_FIGURES = 4  # numbers that a line has, and the line above too: rows of a table

_NUMBER = re.compile(r"\d+(?:[.,]\d+|(?:[ -]\d+)?[/⁄]\d+)?\s?[½¼¾⅛⅜⅝⅞]?")
_BULLETED = re.compile(r"[•·*▪◦●]|[-–](?!\s*\d)")
_UNFINISHED = re.compile(r"([,(\[/&+]|\s[-–—])$")
_ENUMERATOR = re.compile(r"^(\(?\d{1,2}[.)]|\(?[a-zA-Z][.)])(?=$|\s)")
_LABELLED = re.compile(r"^[^\d:]{2,40}:\s*\S")

Block = TableBlock | TextBlock


def body_size(lines: list[Line]) -> float:
    """The letter size that most letters of these lines have."""
    sizes: Counter[float] = Counter()
    for line in lines:
        for chunk in line.chunks:
            sizes[round(chunk.size * 2) / 2] += len(chunk.text)
    return sizes.most_common(1)[0][0] if sizes else 10.0


def find_prose(lines: list[Line], cells: set[int]) -> set[int]:
    """Ids of chunks that make up paragraphs: three lines or more of running words, one under the other.

    `cells`: ids of chunks that are known to stand in a table's cell.
    """
    chains: list[list[Chunk]] = []
    open_chains: list[list[Chunk]] = []
    company: dict[int, list[Chunk]] = {}
    for line in lines:
        open_chains = [chain for chain in open_chains if line.base - chain[-1].base <= PARAGRAPH_STEP * line.size]
        for chunk in line.chunks:
            company[id(chunk)] = [other for other in line.chunks if other is not chunk]
            home = next((chain for chain in open_chains if _goes_on(chain[-1], chunk)), None)
            if home is None:
                home = []
                chains.append(home)
                open_chains.append(home)
            home.append(chunk)
    paragraphs = [chain for chain in chains if _is_paragraph(chain)]
    ids = {id(chunk) for chain in paragraphs for chunk in chain}
    found: set[int] = set()
    for chain in paragraphs:
        if any(id(chunk) in cells for chunk in chain):
            continue
        if _runs_on(chain):
            found.update(id(chunk) for chunk in chain)
            continue
        labels = (o for chunk in chain for o in company[id(chunk)] if o.x1 < chain[0].x0 and id(o) not in ids)
        if len(chain) <= CELL_LINES and any(labels):
            continue  # a note of some lines beside a label
        beside = sum(any(id(other) not in ids for other in company[id(chunk)]) for chunk in chain)
        if beside <= 0.4 * len(chain):
            found.update(id(chunk) for chunk in chain)
    return found


def _runs_on(chain: list[Chunk]) -> bool:
    """Four lines or more that plainly run on, whatever stands beside them: long, most begun within a sentence."""
    after = len(chain) - 1
    within = sum(chunk.text[:1].islower() for chunk in chain[1:])
    return after >= 3 and sum(chunk.prose for chunk in chain) >= 0.8 * after and within >= 0.6 * after


def _goes_on(above: Chunk, chunk: Chunk) -> bool:
    step = chunk.base - above.base
    return (
        0.8 * chunk.size < step <= PARAGRAPH_STEP * chunk.size
        and abs(above.x0 - chunk.x0) < 0.6 * chunk.size
        and abs(above.size - chunk.size) < 0.08 * chunk.size
    )


def _is_paragraph(chain: list[Chunk]) -> bool:
    if len(chain) < 3:
        return False
    prose = sum(chunk.prose for chunk in chain)
    return prose >= 2 and prose >= 0.6 * (len(chain) - 1)


def make_texts(lines: list[Line], taken: set[int], body: float, edge: float, bound: Bound) -> list[TextBlock]:
    """Text blocks of all chunks that no table took. `edge`: how far to the right the page is written on."""
    blocks: list[TextBlock] = []
    cells = in_rows(lines, bound) if bound.above else set()
    titles = {key: upper for key, upper in bound.above.items() if key in cells}
    margins = _Margins(lines, edge)
    for line in lines:
        left = [chunk for chunk in line.chunks if id(chunk) not in taken]
        for chunk in _pairs(left):
            upper = titles.get(id(chunk))  # titles side by side, each broken in its cell
            home = next((block for block in reversed(blocks[-8:])
                         if block.chunks[-1] is upper or _same_text(block, chunk, margins)), None)  # fmt: skip
            if home is None:
                kind = "item" if chunk.text[:1] in BULLETS or _ENUMERATOR.match(chunk.text) else "paragraph"
                blocks.append(TextBlock(chunk.box, [chunk], kind, size=chunk.size, marks=chunk.marks()))
            else:
                home.chunks.append(chunk)
                home.box = union_box([home.box, chunk.box])
                home.marks &= chunk.marks()
    plain = Counter(round(block.size, 1) for block in blocks if not block.chunks[0].bold)
    running = {round(block.size, 1) for block in blocks if any(chunk.prose for chunk in block.chunks)}
    body = max([body, *(size for size, count in plain.items() if count >= 3 and size in running)])
    sizes = sorted({round(b.size, 1) for b in blocks if b.size >= HEADING_SIZE * body}, reverse=True)
    for block in blocks:
        _name_kind(block, body, sizes)
    return blocks


def _pairs(chunks: list[Chunk]) -> list[Chunk]:
    """A lone label with its figure on one line is one text: ``Inseam ...... 30``; so is what was typed in one go."""
    out: list[Chunk] = []
    for chunk in chunks:
        if out and typed_blank(out[-1].words[-1], chunk.words[0]):
            out[-1] = make_chunk([*out[-1].words, *chunk.words])
            continue
        item = len(out) == 1 and _ENUMERATOR.match(out[0].text) and not chunk.figure
        if item or (out and chunk.figure and not out[-1].figure and not out[-1].prose):
            out[-1] = make_chunk([*out[-1].words, *chunk.words])
        else:
            out.append(chunk)
    return out


class _Margins:
    """Where lines that begin at one place end: at the page's margin, or where three long ones end nearly together.

    The latter only where one of the lines there begins within a sentence, else they are alike by chance.
    """

    def __init__(self, lines: list[Line], edge: float) -> None:
        self.edge = edge
        self.ends: dict[tuple[int, int], list[float]] = defaultdict(list)
        self.running: set[tuple[int, int]] = set()
        for line in lines:
            for chunk in line.chunks:
                if _is_long(chunk):
                    self.ends[self._key(chunk)].append(chunk.x1)
                if chunk.text[0].islower():
                    self.running.add(self._key(chunk))

    @staticmethod
    def _key(chunk: Chunk) -> tuple[int, int]:
        return round(chunk.x0 / 3), round(2 * chunk.size)

    def room(self, chunk: Chunk) -> float:
        """White between the chunk's end and its margin."""
        ends = self.ends.get(self._key(chunk), [])
        last = max(ends, default=0.0)
        together = sum(end > last - NEARLY * chunk.size for end in ends)
        narrow = together >= 3 and self._key(chunk) in self.running
        return (last if narrow else max(last, self.edge)) - chunk.x1


def _same_text(block: TextBlock, chunk: Chunk, margins: _Margins) -> bool:
    last = block.chunks[-1]
    step = chunk.base - last.base
    if not 0.8 * chunk.size < step <= PARAGRAPH_STEP * chunk.size or abs(last.size - chunk.size) > 0.08 * chunk.size:
        return False
    if chunk.bold != last.bold or chunk.marks() != last.marks():
        return False
    if abs(last.x0 - chunk.x0) > 2.5 * chunk.size or _BULLETED.match(chunk.text) or _ENUMERATOR.match(chunk.text):
        return False
    asian = whole(last.text, chunk.text)
    if not (last.prose or _is_long(last) or block.kind == "item"):
        return False
    opening = block.chunks[0].words[0].text
    if len(opening) > 2 and opening[0].isalpha() and chunk.words[0].text == opening:
        return False  # ``Size 8: ...`` under ``Size 6: ...``
    if any(last.text.count(sign) == chunk.text.count(sign) >= 3 for sign in ("|", "/", ";", " - ", " – ")):
        return False  # rows of a table typed as text
    if chunk.text[0].isalpha() and len(_NUMBER.findall(last.text)) == len(_NUMBER.findall(chunk.text)) >= ROW_FIGURES:
        return False  # the same, with blanks between the figures
    first = chunk.size if asian else chunk.words[0].x1 - chunk.words[0].x0 + 0.25 * chunk.size
    if first > margins.room(last) - max(0.5, SLACK * (last.x1 - last.x0)):
        return True  # the line was broken because the next word had no room
    if last.text.endswith((".", ":", "!", "?")) or (_LABELLED.match(chunk.text) and _LABELLED.match(last.text)):
        return False
    within = chunk.text[0].islower() and last.text[-1].isalpha()
    return within or _UNFINISHED.search(last.text) is not None


def _is_long(chunk: Chunk) -> bool:
    return len(chunk.words) >= LONG_LINE or (ord(chunk.text[-1]) > UNSPACED and len(chunk.text) >= 2 * LONG_LINE)


def _name_kind(block: TextBlock, body: float, sizes: list[float]) -> None:
    words = sum(len(chunk.words) for chunk in block.chunks)
    if block.kind == "item":
        return
    if block.size >= HEADING_SIZE * body and words <= HEADING_WORDS:
        block.kind, block.level = "heading", min(6, sizes.index(round(block.size, 1)) + 1)
    elif EMPHASIS in block.marks and words <= HEADING_WORDS and not block.text.endswith((".", ",")):
        block.kind, block.level = "heading", min(6, len(sizes) + 1)


def reading_order(blocks: Sequence[Block]) -> list[Block]:
    """Blocks as a person reads them: columns from left to right, and within each from the top."""
    return _order(list(blocks), 0)


def _order(blocks: list[Block], depth: int) -> list[Block]:
    if len(blocks) <= 1 or depth > 40:
        return sorted(blocks, key=lambda b: (b.box[1], b.box[0]))
    columns = _cut(blocks, 0)
    if len(columns) > 1 and _side_by_side(columns):
        return [block for column in columns for block in _order(column, depth + 1)]
    slabs = _cut(blocks, 1)
    if len(slabs) == 1:
        if len(columns) > 1:
            return [block for column in columns for block in _order(column, depth + 1)]
        return sorted(blocks, key=lambda b: (b.box[1], b.box[0]))
    ordered: list[Block] = []
    for group in _gather(slabs):
        ordered.extend(_order(group, depth + 1) if len(group) < len(blocks) else sorted(group, key=lambda b: b.box[1]))
    return ordered


def _gather(slabs: list[list[Block]]) -> list[list[Block]]:
    """Slabs one under the other that share a gutter belong to one stretch of columns."""
    groups: list[list[Block]] = []
    for slab in slabs:
        if groups:
            joined = [*groups[-1], *slab]
            columns = _cut(joined, 0)
            if len(columns) > 1 and _side_by_side(columns) and (len(_cut(groups[-1], 0)) > 1 or len(_cut(slab, 0)) > 1):
                groups[-1] = joined
                continue
        groups.append(slab)
    return groups


def _side_by_side(columns: list[list[Block]]) -> bool:
    """True when columns run beside each other over some height, so that they are read one after the other.

    Titles at the margin and tables in the middle, one below the other by turns, are no columns.
    """
    spans = [(min(b.box[1] for b in c), max(b.box[3] for b in c)) for c in columns]
    shared = min(s[1] for s in spans) - max(s[0] for s in spans)
    if shared <= 0.5 * max(s[1] - s[0] for s in spans) or max(len(c) for c in columns) < 2:
        return False
    heights = [sum(b.box[3] - b.box[1] for b in c) for c in columns]
    beside = sum(max(0.0, min(a.box[3], b.box[3]) - max(a.box[1], b.box[1]))
                 for one, two in itertools.pairwise(columns) for a in one for b in two)  # fmt: skip
    return beside > BESIDE * (len(columns) - 1) * min(heights)


def _cut(blocks: list[Block], axis: int) -> list[list[Block]]:
    """Groups of blocks divided by clear white along one axis (0: columns, 1: slabs)."""
    groups: list[list[Block]] = []
    end = 0.0
    for block in sorted(blocks, key=lambda b: b.box[axis]):
        if groups and block.box[axis] < end - MARGIN:
            groups[-1].append(block)
        else:
            groups.append([block])
        end = max(end, block.box[axis + 2]) if len(groups[-1]) > 1 or len(groups) > 1 else block.box[axis + 2]
    return groups
