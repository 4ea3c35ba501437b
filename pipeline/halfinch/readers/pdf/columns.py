"""Columns of a table without upright lines: strips of white that run down between the chunks of many rows."""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import dataclass

from halfinch.readers.pdf.lines import Chunk, make_chunk, typed_blank

CROSSED = 0.25  # part of the rows that may cross a strip (long titles, overflowing labels)
FULL_ROW = 0.6  # of the fullest row's chunks: rows with fewer say nothing about where columns are

SIDEWAYS = 2  # columns whose heads stand beside their figures: one alone may be a column that is empty

Strip = tuple[float, float]


@dataclass(slots=True)
class Placed:
    """A chunk and the columns it stands in, 0-based, both ends included."""

    first: int
    last: int
    chunk: Chunk


def find_strips(rows: list[list[Chunk]], walls: list[float] | None = None) -> list[Strip]:
    """White strips between columns, from left to right. `walls` are upright lines that divide in any case."""
    full = _full_rows(_without_spans(rows))
    strips = _sweep(full) if full else []
    strips = _drop_empty_columns(strips, rows)
    strips = _add_head_columns(strips, rows)
    for wall in walls or []:
        crossing = any(left - 1 <= wall <= right + 1 for left, right in strips)
        left_side = any(chunk.x1 < wall + 1 for row in rows for chunk in row)
        right_side = any(chunk.x0 > wall - 1 for row in rows for chunk in row)
        if not crossing and left_side and right_side:
            strips.append((wall - 0.1, wall + 0.1))
    return _join_complements(sorted(_add_stray_columns(strips, rows)), rows)


def _join_complements(strips: list[Strip], rows: list[list[Chunk]]) -> list[Strip]:
    """Columns whose heads stand at one side and whose figures at the other: a head without any, figures without a head.

    Spreadsheets set texts to the left of a column and numbers to its right.
    """
    filled: dict[int, set[int]] = {}
    for r, row in enumerate(rows):
        for chunk in row:
            first, last = _span(chunk, strips)
            for column in range(first, last + 1):
                filled.setdefault(column, set()).add(r)
    alone = Counter(min(own) for own in filled.values() if len(own) == 1)
    row_of_heads = alone.most_common(1)[0][0] if alone else 0
    heads = {column for column, own in filled.items() if own == {row_of_heads}}
    loose: list[int] = []
    column = 1
    while column < len(strips):
        pair = column, column + 1
        one_head = (pair[0] in heads) != (pair[1] in heads)
        if one_head and not filled.get(pair[0], set()) & filled.get(pair[1], set()):
            loose.append(column)  # the strip between the two
            column += 1
        column += 1
    if len(loose) < SIDEWAYS:
        return strips
    return [strip for k, strip in enumerate(strips) if k not in loose]


def _without_spans(rows: list[list[Chunk]]) -> list[list[Chunk]]:
    """Rows without a first one whose heads stand over several columns each: it does not tell where columns are."""
    fullest = max(rows[1:], key=len, default=[])
    if len(rows) < 3 or len(rows[0]) >= len(fullest) or any(chunk.figure for chunk in rows[0]):
        return rows
    over = [sum(c.x0 < head.x1 and c.x1 > head.x0 for c in fullest) for head in rows[0]]
    return rows[1:] if any(count > 1 for count in over) else rows


def _full_rows(rows: list[list[Chunk]]) -> list[list[Chunk]]:
    counts = sorted((len(row) for row in rows if len(row) >= 2), reverse=True)
    if not counts:
        return []
    most = counts[1] if len(counts) >= 3 else counts[0]
    return [row for row in rows if len(row) >= max(2, FULL_ROW * most)]


def _sweep(rows: list[list[Chunk]]) -> list[Strip]:
    """Stretches of x that lie between two chunks in enough rows and inside a chunk in hardly any."""
    events: dict[float, list[int]] = {}
    for row in rows:
        for chunk in row:
            events.setdefault(chunk.x0, [0, 0])[0] += 1
            events.setdefault(chunk.x1, [0, 0])[0] -= 1
        for left, right in itertools.pairwise(row):
            if right.x0 > left.x1:
                events.setdefault(left.x1, [0, 0])[1] += 1
                events.setdefault(right.x0, [0, 0])[1] -= 1
    need = 1 if len(rows) <= 3 else 2
    strips: list[list[tuple[float, float, int]]] = []
    inside = between = 0
    points = sorted(events)
    for x, after in itertools.pairwise(points):
        inside += events[x][0]
        between += events[x][1]
        if between >= need and inside <= CROSSED * (between + inside) and after - x > 0.05:
            if strips and abs(strips[-1][-1][1] - x) < 0.05:
                strips[-1].append((x, after, inside))
            else:
                strips.append([(x, after, inside)])
    return [stretch for strip in strips for stretch in _clearest(strip)]


def _clearest(parts: list[tuple[float, float, int]]) -> list[Strip]:
    """The stretches of a strip that fewest chunks cross; a head alone over an empty column stands between two."""
    least = min(inside for _, _, inside in parts)
    stretches: list[Strip] = []
    for x, after, inside in parts:
        if inside > least:
            continue
        if stretches and abs(stretches[-1][1] - x) < 0.05:
            stretches[-1] = (stretches[-1][0], after)
        else:
            stretches.append((x, after))
    return stretches


def _drop_empty_columns(strips: list[Strip], rows: list[list[Chunk]]) -> list[Strip]:
    """Join two strips with nothing of their own between them."""
    kept: list[Strip] = []
    for strip in strips:
        if kept:
            left, right = kept[-1][1], strip[0]
            room = 0.5 * (kept[-1][1] - kept[-1][0]), 0.5 * (strip[1] - strip[0])
            own = any(left - room[0] <= c.x0 and c.x1 <= right + room[1] for row in rows for c in row)
            if not own:
                wider = max(kept[-1], strip, key=lambda s: s[1] - s[0])
                kept[-1] = wider
                continue
        kept.append(strip)
    return kept


def _add_head_columns(strips: list[Strip], rows: list[list[Chunk]]) -> list[Strip]:
    """A wide gap in the first row that no other row enters divides columns even if one of them is empty below."""
    out = list(strips)
    for left, right in itertools.pairwise(rows[0]):
        if right.x0 - left.x1 < left.size or any(s1 > left.x1 and s0 < right.x0 for s0, s1 in strips):
            continue
        if any(c.x0 < right.x0 and c.x1 > left.x1 for row in rows[1:] for c in row):
            continue
        out.append((left.x1, right.x0))
    return sorted(out)


def _add_stray_columns(strips: list[Strip], rows: list[list[Chunk]]) -> list[Strip]:
    """Chunks that stand free inside one wide strip, one over the other, or as a head alone, are a column."""
    out: list[Strip] = []
    for left, right in strips:
        stray = [c for row in rows for c in row if c.x0 > left + 0.4 * c.size and c.x1 < right - 0.4 * c.size]
        if len(stray) >= 2 or (stray and len(rows[0]) > 2 and any(c is stray[0] for c in rows[0])):
            x0, x1 = min(c.x0 for c in stray), max(c.x1 for c in stray)
            if min(c.x1 for c in stray) > max(c.x0 for c in stray):
                out.extend([(left, x0), (x1, right)])
                continue
        out.append((left, right))
    return out


def place_row(row: list[Chunk], strips: list[Strip]) -> list[Placed]:
    """The columns of each chunk of a row; a chunk that only loosely joins two columns is cut."""
    pieces = [piece for chunk in row for piece in _cut_at_strips(chunk, strips)]
    placed: list[Placed] = []
    for piece in pieces:
        first, last = _span(piece, strips)
        placed.append(Placed(first, last, piece))
    return _without_overlap(placed, strips)


def _cut_at_strips(chunk: Chunk, strips: list[Strip]) -> list[Chunk]:
    if len(chunk.words) < 2:
        return [chunk]
    parts = [[chunk.words[0]]]
    for left, right in zip(chunk.words, chunk.words[1:], strict=False):
        gap = right.x0 - left.x1
        cut = not typed_blank(left, right) and any(
            min(right.x0, s1) - max(left.x1, s0) > 0.6 * min(gap, s1 - s0)
            and left.x1 < s1
            and right.x0 > s0
            and gap > 0.6 * min(s1 - s0, 0.6 * right.size)
            for s0, s1 in strips
        )
        if cut:
            parts.append([right])
        else:
            parts[-1].append(right)
    return [make_chunk(part) for part in parts] if len(parts) > 1 else [chunk]


def _span(chunk: Chunk, strips: list[Strip]) -> tuple[int, int]:
    first = last = 0
    for left, right in strips:
        middle = (left + right) / 2
        slack = min(0.3 * chunk.size, 0.5 * (right - left))
        if chunk.x0 >= middle - slack and chunk.x1 > right - slack:
            first += 1
            last += 1
        elif chunk.x1 > right + slack and chunk.x0 < left - slack:
            last += 1
        elif chunk.middle > middle:
            first += 1
            last += 1
    return first, max(first, last)


def _without_overlap(placed: list[Placed], strips: list[Strip]) -> list[Placed]:
    """No two chunks of one row in one column, unless they truly stand together there."""
    for left, right in itertools.pairwise(placed):
        if left.last >= right.first and left.last > left.first:
            left.last = max(left.first, right.first - 1)
        if left.last >= right.first and right.last > right.first:
            right.first = min(right.last, left.last + 1)
    merged: list[Placed] = []
    for item in placed:
        if merged and merged[-1].last >= item.first:
            head = merged[-1]
            head.chunk = make_chunk([*head.chunk.words, *item.chunk.words])
            head.last = max(head.last, item.last)
        else:
            merged.append(item)
    return merged
