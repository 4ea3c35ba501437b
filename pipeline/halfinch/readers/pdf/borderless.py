"""Tables told by the eye alone: lines whose chunks stand under each other, with or without a few drawn lines."""

from __future__ import annotations

import re

from halfinch.readers.pdf.bound import Bound, held_together, merge_bound
from halfinch.readers.pdf.columns import FULL_ROW, Placed, Strip, find_strips, place_row
from halfinch.readers.pdf.heads import mark_double_head, span_heads
from halfinch.readers.pdf.ink import union_box
from halfinch.readers.pdf.lines import Chunk, Line
from halfinch.readers.pdf.model import TableBlock
from halfinch.readers.pdf.rows import RowLine, build_cells, join_rows
from halfinch.readers.pdf.runs import Hints, find_pieces
from halfinch.sheet import Box

_BULLET = re.compile(r"^([•·◦▪■●○‣–—*-]|\(?\d{1,2}[.)]|\(?[a-zA-Z][.)]|\([ivx]+\))$")


def find_tables(lines: list[Line], hints: Hints, bound: Bound) -> list[tuple[TableBlock, list[Chunk]]]:
    """Tables among the lines of a page, each with the chunks it takes."""
    found = []
    for piece in find_pieces(lines, hints, bound):
        table = _make_table(piece, hints, bound)
        if table is not None:
            found.append((table, [chunk for line in piece for chunk in line.chunks]))
    return found


def _make_table(lines: list[Line], hints: Hints, bound: Bound) -> TableBlock | None:
    if len(lines) < 2:
        return None
    box = union_box(chunk.box for line in lines for chunk in line.chunks)
    strips = find_strips(merge_bound(lines, bound), hints.walls(box))
    if not strips:
        return None
    if _led(lines):
        strips = [max(strips, key=lambda strip: strip[1] - strip[0])]
        rows = [[Placed(k, k, chunk) for k, chunk in enumerate(line.chunks)] for line in lines]
    else:
        rows = [place_row(line.chunks, strips) for line in lines]
    row_lines = []
    together = held_together(lines, bound)
    opens = {first for first, last in together if last > first}
    held = {i for first, last in together for i in range(first + 1, last + 1)}
    for i, (line, placed) in enumerate(zip(lines, rows, strict=True)):
        before = lines[i - 1] if i else None
        ruled = before is not None and hints.between(
            before.base - 0.1 * before.size, line.base - 0.5 * line.size, box[0], box[2]
        )
        row_lines.append(RowLine(placed, line.base, line.top, line.bottom, line.size, ruled, i in opens, i in held))
    framed = _framed(box, lines, hints)
    in_turn = sum(id(chunk) in bound.in_turn for line in lines for chunk in line.chunks if len(line.chunks) > 1)
    by_cells = len(strips) >= 2 and in_turn >= 0.5 * sum(len(line.chunks) for line in lines if len(line.chunks) > 1)
    if not looks_like_table(row_lines, strips, framed, by_cells):
        return None
    span_heads(row_lines, strips, hints)
    mark_double_head(row_lines)
    cells, boxes = build_cells(join_rows(row_lines), {})
    return TableBlock(union_box(boxes), cells, column_ends(box, strips))


def _led(lines: list[Line]) -> bool:
    """Every line is a label and a value with leader dots between, wherever the value stands."""
    return all(len(line.chunks) == 2 and line.chunks[1].words[0].led for line in lines)


def column_ends(box: Box, strips: list[Strip]) -> list[tuple[float, float]]:
    """Left and right end of every column."""
    lefts = [box[0], *(right for _, right in strips)]
    rights = [*(left for left, _ in strips), box[2]]
    return list(zip(lefts, rights, strict=True))


def _framed(box: Box, lines: list[Line], hints: Hints) -> bool:
    """True when drawn level lines belong to these rows: above the first, between some, under the last."""
    size = lines[0].size
    inside = sum(
        box[1] - 1.5 * size <= rule.top <= box[3] + 1.5 * size
        and min(rule.x1, box[2]) - max(rule.x0, box[0]) > 0.6 * (box[2] - box[0])
        for rule in hints.level
    )
    return inside >= 2


def looks_like_table(rows: list[RowLine], strips: list[Strip], framed: bool, by_cells: bool = False) -> bool:
    """Refuse what only happens to stand in columns: two columns of prose, bullet lists, a line or two of chance.

    `by_cells`: three columns or more, drawn from the left to the right row by row; then its cells may hold any text.
    """
    full = [row for row in rows if len(row.placed) >= 2]
    if len(full) < 2:
        return False
    chunks = [item.chunk for row in full for item in row.placed]
    figures = sum(chunk.figure for chunk in chunks) / len(chunks)
    prose = sum(chunk.prose for chunk in chunks) / len(chunks)
    words = sum(len(chunk.words) for chunk in chunks) / len(chunks)
    columns = len(strips) + 1
    bullets = sum(bool(_BULLET.match(row.placed[0].chunk.text)) for row in full) / len(full)
    if bullets > 0.6 and columns == 2:
        return False
    if framed or figures >= 0.3:
        return prose < 0.45
    filled = sum(len(row.placed) for row in full) / (len(full) * columns)
    if by_cells and len([row for row in rows if len(row.placed) >= FULL_ROW * columns]) >= 3:
        return True
    if prose > 0.25 or words > 4.5 or filled < 0.6:
        return False
    if columns == 2:
        return len(full) >= 3 and len(full) >= 0.6 * len(rows) and _left_aligned(full)
    return len(full) >= 3 or len(full) == len(rows)


def _left_aligned(rows: list[RowLine]) -> bool:
    """The second column begins (or ends) at one place."""
    starts = [row.placed[-1].chunk.x0 for row in rows]
    ends = [row.placed[-1].chunk.x1 for row in rows]
    size = rows[0].size
    near = max(_most_together(starts, 0.3 * size), _most_together(ends, 0.3 * size))
    return near >= 0.7 * len(rows)


def _most_together(values: list[float], reach: float) -> int:
    return max(sum(abs(other - value) <= reach for other in values) for value in values)
