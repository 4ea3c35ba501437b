"""A lattice of drawn cells, filled with its words, becomes a table.

Rows and columns inside a drawn cell, with no lines between them, are told apart as in a table without lines.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from halfinch.readers.pdf.columns import Placed, Strip, find_strips, place_row
from halfinch.readers.pdf.ink import union_box
from halfinch.readers.pdf.lines import Chunk, cell_text, group_lines, make_chunk, make_chunks, typed_blank, unstruck
from halfinch.readers.pdf.model import TableBlock
from halfinch.readers.pdf.rows import RowLine, TableRow, split_lines
from halfinch.readers.pdf.ruled import SNAP, Lattice
from halfinch.readers.pdf.words import Word
from halfinch.sheet import Cell

LAYOUT_WORDS = 40  # words in a cell, on average: more is a page's layout, not a table
MANY_BANDS = 4  # drawn rows from which on the lines themselves tell the rows

Spot = tuple[int, int, int, int]


@dataclass(slots=True)
class Filled:
    """One drawn cell with its lines of words."""

    spot: Spot
    lines: list[list[Word]] = field(default_factory=list)

    @property
    def words(self) -> list[Word]:
        return [word for line in self.lines for word in line]


def fill_lattice(lattice: Lattice, words: list[Word], turned: list[Word]) -> list[Filled]:
    """The cells of a lattice with the words that lie in them. `turned`: words of other directions, in this frame."""
    owner = {(r + i, c + j): spot for spot in lattice.spots for r, c, h, w in [spot]
             for i in range(h) for j in range(w)}  # fmt: skip
    homes: dict[Spot, list[Word]] = defaultdict(list)
    at: dict[int, Spot] = {}
    for word in words:
        spot = owner.get(_where(lattice, word))
        if spot is not None:
            at[id(word)] = spot
            homes[spot].append(word)
    for word in words:  # a label drawn as one run may overflow into an empty neighbour
        before = word.before
        if before is None or not typed_blank(before, word) or id(before) not in at or id(word) not in at:
            continue
        home, here = at[id(before)], at[id(word)]
        if home != here and home[0] == here[0] and all(_follows(other, before) for other in homes[here]):
            for moved in homes.pop(here):
                at[id(moved)] = home
                homes[home].append(moved)
    filled = [Filled(spot, group_lines(homes[spot]) if homes.get(spot) else [])
              for spot in lattice.spots]  # fmt: skip
    places = {cell.spot: cell for cell in filled}
    for word in turned:
        spot = owner.get(_where(lattice, word))
        if spot is not None:
            places[spot].lines.append([word])
    return [part for cell in filled for part in _divided(cell, filled, lattice)]


def _divided(cell: Filled, filled: list[Filled], lattice: Lattice) -> list[Filled]:
    """A cell over several columns whose words keep to them, each in line with the words of its column elsewhere.

    Where only every other row is shaded, the rows between have no frames of their own, and are no titles for that.
    """
    row, first, high, wide = cell.spot
    if wide < 2 or len(cell.lines) != 1 or len(cell.words) < 2:
        return [cell]
    words = cell.lines[0]
    columns = [_slot(lattice.xs, (word.x0 + word.x1) / 2) for word in words]
    for left, right, a, b in zip(words, words[1:], columns, columns[1:], strict=False):
        if a != b and (typed_blank(left, right) or left.x1 > lattice.xs[a + 1] or right.x0 < lattice.xs[b]):
            return [cell]
    parts = {
        c: [word for word, own in zip(words, columns, strict=True) if own == c] for c in range(first, first + wide)
    }
    if sum(map(bool, parts.values())) < 2 or not all(_in_line(own, c, filled) for c, own in parts.items() if own):
        return [cell]
    return [Filled((row, c, high, 1), [own] if own else []) for c, own in parts.items()]


def _in_line(words: list[Word], column: int, filled: list[Filled]) -> bool:
    """Whether the words begin or end where those of another cell of the column do."""
    others = [line for one in filled if one.spot[1] == column and one.spot[3] == 1 for line in one.lines]
    return any(abs(line[0].x0 - words[0].x0) <= 1 or abs(line[-1].x1 - words[-1].x1) <= 1 for line in others)


def _follows(word: Word, before: Word) -> bool:
    """True when `word` is joined to `before` by typed blanks."""
    steps = 0
    now: Word | None = word
    while now is not None and steps < 12:
        if now is before:
            return True
        now = now.before if now.blanks == 1 else None
        steps += 1
    return False


def _where(lattice: Lattice, word: Word) -> tuple[int, int]:
    x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
    return _slot(lattice.ys, y), _slot(lattice.xs, x)


def _slot(steps: list[float], value: float) -> int:
    if value < steps[0] or value > steps[-1]:
        return -1
    for i, step in enumerate(steps[1:]):
        if value <= step:
            return i
    return -1


def is_layout(lattice: Lattice, filled: list[Filled]) -> bool:
    """True when the lines frame parts of the page, each with text or tables of its own, and make no table."""
    full = [cell for cell in filled if cell.lines]
    if len(full) < 2:
        return True
    words = sum(len(cell.words) for cell in full)
    if len(full) <= 6 and words / len(full) > LAYOUT_WORDS:
        return True
    nested = sum(sum(len(make_chunks(line)) >= 2 for line in cell.lines) >= 3 for cell in full)
    return nested > 0 and (len(full) <= 3 or len({cell.spot[1] for cell in full}) == 1)


def make_drawn_table(lattice: Lattice, filled: list[Filled]) -> TableBlock | None:
    """The table of a filled lattice, or None when it has but one column or row of text."""
    inner = {c: _inner_strips(filled, c) for c in range(len(lattice.xs) - 1)}
    inner = _used_columns(lattice, filled, inner)
    starts = _offsets([len(inner[c]) + 1 if c in inner else 0 for c in range(len(lattice.xs) - 1)])
    cells: list[Cell] = []
    row_starts = [0]
    bands: dict[int, list[TableRow]] = {}
    tops = [cell.spot[0] for cell in filled]
    for r in range(len(lattice.ys) - 1):
        rows = _split_band([f for f in filled if f.spot[0] == r], inner, starts, _text_bands(filled))
        if rows:
            bands[r] = rows
        used = any(f.lines for f in filled if f.spot[0] <= r < f.spot[0] + f.spot[2]) or r in tops
        has_text = any(f.lines for f in filled if f.spot[0] == r)
        spanned = any(f.lines and f.spot[0] < r < f.spot[0] + f.spot[2] for f in filled)
        row_starts.append(row_starts[-1] + (len(rows) if rows else int(used and (has_text or spanned))))
    for filled_cell in filled:
        if filled_cell.lines:
            cells.extend(_cells_of(filled_cell, inner, starts, row_starts, bands))
    cells.sort(key=lambda cell: (cell.row, cell.column))
    if len(cells) < 2 or starts[-1] < 2:
        return None
    ends = [(lattice.xs[c], lattice.xs[c + 1]) for c in range(len(lattice.xs) - 1)]
    return TableBlock(lattice.box, cells, ends, drawn=True)


def _offsets(counts: list[int]) -> list[int]:
    starts = [0]
    for count in counts:
        starts.append(starts[-1] + count)
    return starts


def _text_bands(filled: list[Filled]) -> int:
    return len({cell.spot[0] for cell in filled if cell.lines})


def _used_columns(lattice: Lattice, filled: list[Filled], inner: dict[int, list[Strip]]) -> dict[int, list[Strip]]:
    """Leave out slivers: columns narrower than any letter that hold nothing of their own."""
    own = {cell.spot[1] for cell in filled if cell.lines and cell.spot[3] == 1}
    return {c: s for c, s in inner.items() if c in own or lattice.xs[c + 1] - lattice.xs[c] > 2 * SNAP}


def _inner_strips(filled: list[Filled], column: int) -> list[Strip]:
    """White strips that divide one drawn column in most of its lines."""
    rows = [make_chunks(line) for cell in filled if cell.spot[1] == column and cell.spot[3] == 1 for line in cell.lines]
    many = [row for row in rows if len(row) >= 2]
    if len(many) < 2 or len(many) < 0.5 * len(rows):
        return []
    if sum(chunk.prose for row in rows for chunk in row) > 0.2 * len(rows):
        return []
    strips = find_strips(rows)
    size = many[0][0].size
    return [strip for strip in strips if strip[1] - strip[0] > 0.5 * size]


def _chunks_in(line: list[Word], strips: list[Strip]) -> list[Placed]:
    if not strips:
        return [Placed(0, 0, make_chunk(line))]
    return place_row(make_chunks(line), strips)


def _split_band(band: list[Filled], inner: dict[int, list[Strip]], starts: list[int], bands: int) -> list[TableRow]:
    """Rows of a drawn row whose cells hold several rows without lines between; empty when it is one row."""
    full = [cell for cell in band if cell.lines and cell.spot[2] == 1]
    tall = [cell for cell in full if len(cell.lines) >= 2]
    deepest = max((len(cell.lines) for cell in full), default=0)
    if len(tall) < 2 or (deepest < 3 and bands >= MANY_BANDS):
        return []
    figures = [make_chunk(line).figure for cell in full if cell.spot[1] > full[0].spot[1] for line in cell.lines]
    worded = not figures or sum(figures) < 0.5 * len(figures)
    if worded and (deepest < 3 or bands >= MANY_BANDS):
        return []
    placed: list[tuple[Chunk, Placed]] = []
    for cell in full:
        c = cell.spot[1]
        last = starts[c + cell.spot[3]] - 1
        for line in cell.lines:
            for item in _chunks_in(line, inner.get(c, []) if cell.spot[3] == 1 else []):
                first = starts[c] + item.first
                end = starts[c] + item.last if cell.spot[3] == 1 else last
                placed.append((item.chunk, Placed(first, max(first, end), item.chunk)))
    lines: list[list[Placed]] = []
    for chunk, item in sorted(placed, key=lambda pair: (pair[0].base, pair[0].x0)):
        if lines and abs(lines[-1][0].chunk.base - chunk.base) < 0.3 * chunk.size:
            lines[-1].append(item)
        else:
            lines.append([item])
    if len(lines) * len(full) * (0.9 if worded else 0.5) > len(placed):  # words alone: only where all rows are full
        return []
    rows = split_lines([_row_line(items) for items in lines])
    return rows if len(rows) > 1 else []


def _row_line(items: list[Placed]) -> RowLine:
    chunks = [item.chunk for item in items]
    items.sort(key=lambda item: item.first)
    return RowLine(
        items, chunks[0].base, min(c.top for c in chunks), max(c.bottom for c in chunks), max(c.size for c in chunks)
    )


def _cells_of(
    cell: Filled,
    inner: dict[int, list[Strip]],
    starts: list[int],
    row_starts: list[int],
    bands: dict[int, list[TableRow]],
) -> list[Cell]:
    r, c, high, wide = cell.spot
    first_row, last_row = row_starts[r] + 1, max(row_starts[r + high], row_starts[r] + 1)
    strips = inner.get(c, []) if wide == 1 else []
    groups: dict[tuple[int, int, int], list[Chunk]] = defaultdict(list)
    rows = bands.get(r) if high == 1 else None
    for line in cell.lines:
        for item in _chunks_in(line, strips):
            at = first_row
            if rows:
                at += next((k for k, row in enumerate(rows) for other in row.lines
                            if abs(other.base - item.chunk.base) < 0.3 * item.chunk.size), 0)  # fmt: skip
            groups[(at, item.first, item.last)].append(item.chunk)
    out = []
    for (at, first, last), chunks in groups.items():
        column = starts[c] + first + 1
        span = last - first + 1 if strips else max(starts[c + wide] - starts[c], 1)
        chunks = unstruck(chunks)
        text = cell_text(chunks)
        marks = frozenset.intersection(*(chunk.marks() for chunk in chunks))
        box = union_box(chunk.box for chunk in chunks)
        out.append(Cell(text, at, column, 1 if rows else last_row - first_row + 1, span, "", marks, box=box))
    return out
