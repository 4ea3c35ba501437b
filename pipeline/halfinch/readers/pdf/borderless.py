"""Tables told by the eye alone: lines whose chunks stand under each other, with or without a few drawn lines."""

from __future__ import annotations

import itertools
import re
from bisect import bisect_left
from dataclasses import dataclass
from statistics import median

from halfinch.readers.pdf.columns import Placed, Strip, find_strips, place_row
from halfinch.readers.pdf.ink import Rule, union_box
from halfinch.readers.pdf.lines import Chunk, Line
from halfinch.readers.pdf.model import TableBlock
from halfinch.readers.pdf.rows import RowLine, build_cells, join_rows
from halfinch.sheet import Box

FAR = 3.4  # base line to base line, in letter sizes: lines further apart are hardly one table
FAR_ROWS = 2.3  # the same, in the table's usual distance between rows
ALONE = 3  # single-chunk lines in a row that a table may hold (title rows, wrapped labels)

_BULLET = re.compile(r"^([•·◦▪■●○‣–—*-]|\(?\d{1,2}[.)]|\(?[a-zA-Z][.)]|\([ivx]+\))$")


@dataclass(slots=True)
class Hints:
    """Drawn lines of the page that may divide rows or columns, in frame coordinates."""

    level: list[Rule]
    upright: list[Rule]
    tops: list[float]

    def between(self, upper: float, lower: float, x0: float, x1: float) -> bool:
        """True when a line lies between two heights over at least half of the width."""
        i = bisect_left(self.tops, upper)
        while i < len(self.level) and self.tops[i] <= lower:
            rule = self.level[i]
            if min(rule.x1, x1) - max(rule.x0, x0) > 0.5 * (x1 - x0):
                return True
            i += 1
        return False

    def walls(self, box: Box) -> list[float]:
        """Upright lines through at least half of a box's height."""
        x0, top, x1, bottom = box
        high = max(bottom - top, 1.0)
        return [
            rule.x0
            for rule in self.upright
            if x0 < rule.x0 < x1 and min(rule.bottom, bottom) - max(rule.top, top) > 0.5 * high
        ]


def make_hints(rules: list[Rule]) -> Hints:
    level = sorted((rule for rule in rules if rule.level), key=lambda rule: rule.top)
    return Hints(level, [rule for rule in rules if not rule.level], [rule.top for rule in level])


def find_tables(lines: list[Line], hints: Hints) -> list[tuple[TableBlock, list[Chunk]]]:
    """Tables among the lines of a page, each with the chunks it takes."""
    found = []
    for run in _runs(lines, hints):
        for part in _split_run(run, hints):
            for piece in _split_sides(part, hints):
                table = _make_table(piece, hints)
                if table is not None:
                    found.append((table, [chunk for line in piece for chunk in line.chunks]))
    return found


def _wide_prose(line: Line) -> bool:
    return len(line.chunks) == 1 and line.chunks[0].prose and len(line.chunks[0].words) >= 8


def _runs(lines: list[Line], hints: Hints) -> list[list[Line]]:
    """Stretches of lines that may be a table: many chunks a line, with few single ones between."""
    runs: list[list[Line]] = []
    run: list[Line] = []
    singles = 0
    for line in lines:
        single = len(line.chunks) < 2
        if run:
            step = line.base - run[-1].base
            steps = [b.base - a.base for a, b in itertools.pairwise(run) if b.base - a.base > 0.85 * b.size]
            usual = median(steps) if len(steps) >= 2 else 0.0
            ruled = hints.between(run[-1].base, line.base - 0.6 * line.size, line.chunks[0].x0, line.chunks[-1].x1)
            far = step > max(FAR * line.size, FAR_ROWS * usual) * (1.4 if ruled else 1.0)
            if far or singles >= ALONE or _wide_prose(line):
                runs.append(run)
                run, singles = [], 0
        if _wide_prose(line):
            continue
        singles = singles + 1 if single else 0
        run.append(line)
    runs.append(run)
    return [trimmed for trimmed in (_trim(run) for run in runs) if len(trimmed) >= 2]


def _trim(run: list[Line]) -> list[Line]:
    """Without single-chunk lines at the start, and at the end but for what wraps in the last row's label."""
    many = [i for i, line in enumerate(run) if len(line.chunks) >= 2]
    if not many:
        return []
    first, last = many[0], many[-1]
    if first > 0 and (_wraps(run[first - 1], run[first], above=True) or _heads(run[first - 1], run[first])):
        first -= 1
    row = run[last]
    while last + 1 < len(run) and (
        _wraps(run[last + 1], run[last], above=False) or _note(run[last + 1], run[last], row)
    ):
        last += 1
    return run[first : last + 1]


def _note(single: Line, above: Line, row: Line) -> bool:
    """True when a lone chunk goes on under a column of the last row other than its first."""
    chunk = single.chunks[0]
    near = len(single.chunks) == 1 and single.base - above.base <= 1.34 * row.size
    return near and any(abs(chunk.x0 - c.x0) < 0.6 * chunk.size for c in row.chunks[1:])


def _heads(single: Line, row: Line) -> bool:
    """True when a lone chunk above a row is the head of a column other than the first: ``|      | 30 |``."""
    chunk = single.chunks[0]
    if len(single.chunks) > 1 or chunk.prose or row.base - single.base > 2.4 * row.size:
        return False
    under = any(min(c.x1, chunk.x1) - max(c.x0, chunk.x0) > 0 for c in row.chunks[1:])
    return under and chunk.x0 > row.chunks[0].x1 and chunk.size < 1.15 * row.size


def _wraps(single: Line, row: Line, above: bool) -> bool:
    """True when a lone chunk beside a row is part of its label: as near as lines of one text, same left end."""
    chunk, step = single.chunks[0], abs(single.base - row.base)
    if len(single.chunks) > 1 or chunk.prose:
        return False
    if step < 0.85 * row.size:
        return True
    if above:
        return False
    near = step <= 1.34 * row.size and abs(chunk.x0 - row.chunks[0].x0) < 1.5 * row.size
    return (near and chunk.text[:1] in "([") or (near and chunk.text[:1].islower())


def _rows_of(lines: list[Line]) -> list[list[Chunk]]:
    return [line.chunks for line in lines]


def _split_run(run: list[Line], hints: Hints) -> list[list[Line]]:
    """Cut a run where one table ends and the next, with other columns or a title of its own, begins."""
    steps = [b.base - a.base for a, b in itertools.pairwise(run)]
    usual = median(steps) if steps else 0.0
    for i in range(1, len(run) - 1):
        line = run[i]
        single = len(line.chunks) < 2
        gap = line.base - run[i - 1].base
        if not single and gap < 1.25 * usual:
            continue
        upper, lower = _trim(run[:i]), _trim(run[i:])
        if len(upper) < 2 or len(lower) < 2:
            continue
        if _other_columns(upper, lower) or (single and _new_title(line, gap, usual, upper, lower)):
            return [upper, *_split_run(lower, hints)]
    return [run]


def _other_columns(upper: list[Line], lower: list[Line]) -> bool:
    """True when two stacks of rows do not fit into one set of columns."""
    many = [line for line in lower if len(line.chunks) >= 2], [line for line in upper if len(line.chunks) >= 2]
    if len(many[0]) < 2 or len(many[1]) < 2:
        return False
    one, two = len(find_strips(_rows_of(upper))), len(find_strips(_rows_of(lower)))
    both = find_strips(_rows_of([*upper, *lower]))
    if len(both) < max(one, two):
        return True
    crossings = sum(c.x0 < left - 1 and c.x1 > right + 1 for line in lower for c in line.chunks for left, right in both)
    return crossings > len(lower) and one != two


def _new_title(line: Line, gap: float, usual: float, upper: list[Line], lower: list[Line]) -> bool:
    """A title that stands off the table above, with a new head under it."""
    chunk = line.chunks[0]
    body = median([other.size for other in upper])
    head = lower[0]
    repeated = [c.text for c in head.chunks] == [c.text for c in upper[0].chunks] and len(head.chunks) > 1
    fresh = repeated or not any(c.figure for c in head.chunks)
    outstanding = chunk.size > 1.12 * body or (chunk.bold and gap > 1.25 * usual)
    return fresh and (gap > 1.6 * usual or outstanding) and (repeated or outstanding or gap > 1.9 * usual)


def _split_sides(lines: list[Line], hints: Hints) -> list[list[Line]]:
    """Cut side-by-side tables apart."""
    gutters = _gutters(lines)
    for left, right in gutters:
        one, two = _half(lines, left, right, True), _half(lines, left, right, False)
        if min(len(one), len(two)) >= 2 and _independent(one, two):
            return [*_split_sides(_trim(one), hints), *_split_sides(_trim(two), hints)]
    strips = find_strips(_rows_of(lines))
    if len(strips) < 2:
        return [lines]
    widths = sorted(right - left for left, right in strips)
    for i, (left, right) in enumerate(strips):
        one, two = _half(lines, left, right, True), _half(lines, left, right, False)
        if min(len(one), len(two)) < 2:
            continue
        if i in (0, len(strips) - 1):
            continue
        wide = right - left >= max(1.5 * median(widths), 1.8 * lines[0].size)
        if _twins(one, two) or (wide and _labels_again(one, two)):
            return [*_split_sides(_trim(one), hints), *_split_sides(_trim(two), hints)]
    return [lines]


def _gutters(lines: list[Line]) -> list[Strip]:
    """Strips of white that no chunk enters, the widest first."""
    chunks = sorted((chunk for line in lines for chunk in line.chunks), key=lambda chunk: chunk.x0)
    gutters: list[Strip] = []
    end = chunks[0].x1
    for chunk in chunks[1:]:
        if chunk.x0 - end > 0.8 * chunk.size:
            gutters.append((end, chunk.x0))
        end = max(end, chunk.x1)
    return sorted(gutters, key=lambda strip: strip[0] - strip[1])


def _half(lines: list[Line], left: float, right: float, first: bool) -> list[Line]:
    middle = (left + right) / 2
    halves = []
    for line in lines:
        chunks = [chunk for chunk in line.chunks if (chunk.middle < middle) == first]
        if chunks:
            halves.append(Line(chunks, min(c.base for c in chunks), max(c.size for c in chunks)))
    return halves


def _independent(one: list[Line], two: list[Line]) -> bool:
    """Both sides have rows of their own, at their own heights."""
    if min(_widest(one), _widest(two)) < 2:
        return False
    bases = [line.base for line in one]
    shared = sum(any(abs(line.base - base) < 0.15 * line.size for base in bases) for line in two)
    rows = min(sum(len(x.chunks) >= 2 for x in one), sum(len(x.chunks) >= 2 for x in two))
    return rows >= 2 and shared <= 0.5 * min(len(one), len(two))


def _widest(lines: list[Line]) -> int:
    return max(len(line.chunks) for line in lines)


def _twins(one: list[Line], two: list[Line]) -> bool:
    """The same labels stand down the left of both sides."""
    left, right = _labels(one), _labels(two)
    return len(left & right) >= max(2, 0.5 * min(len(left), len(right)))


def _labels(lines: list[Line]) -> set[str]:
    edge = min(line.chunks[0].x0 for line in lines)
    firsts = [line.chunks[0] for line in lines if len(line.chunks) > 1]
    return {chunk.text.casefold() for chunk in firsts if not chunk.figure and chunk.x0 - edge < 4 * chunk.size}


def _labels_again(one: list[Line], two: list[Line]) -> bool:
    """After figures a column of labels begins again, with figures after it."""
    if min(_widest(one), _widest(two)) < 2:
        return False
    ends = [line.chunks[-1].figure for line in one if len(line.chunks) > 1]
    begins = [line.chunks[0].figure for line in two if len(line.chunks) > 1]
    after = [line.chunks[-1].figure for line in two if len(line.chunks) > 1]
    starts = [line.chunks[0].figure for line in one if len(line.chunks) > 1]
    if min(len(ends), len(begins)) < 2:
        return False
    return _share(ends) >= 0.6 and _share(begins) <= 0.34 and _share(after) >= 0.6 and _share(starts) <= 0.34


def _share(flags: list[bool]) -> float:
    return sum(flags) / max(len(flags), 1)


def _make_table(lines: list[Line], hints: Hints) -> TableBlock | None:
    if len(lines) < 2:
        return None
    box = union_box(chunk.box for line in lines for chunk in line.chunks)
    strips = find_strips(_rows_of(lines), hints.walls(box))
    if not strips:
        return None
    if _led(lines):
        strips = [max(strips, key=lambda strip: strip[1] - strip[0])]
        rows = [[Placed(k, k, chunk) for k, chunk in enumerate(line.chunks)] for line in lines]
    else:
        rows = [place_row(line.chunks, strips) for line in lines]
    row_lines = []
    for i, (line, placed) in enumerate(zip(lines, rows, strict=True)):
        before = lines[i - 1] if i else None
        ruled = before is not None and hints.between(
            before.base - 0.1 * before.size, line.base - 0.5 * line.size, box[0], box[2]
        )
        row_lines.append(RowLine(placed, line.base, line.top, line.bottom, line.size, ruled))
    framed = _framed(box, lines, hints)
    if not looks_like_table(row_lines, strips, framed):
        return None
    _span_heads(row_lines, strips, hints)
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


def looks_like_table(rows: list[RowLine], strips: list[Strip], framed: bool) -> bool:
    """Refuse what only happens to stand in columns: two columns of prose, bullet lists, a line or two of chance."""
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


def _span_heads(rows: list[RowLine], strips: list[Strip], hints: Hints) -> None:
    """Widen heads over several columns: by the short line drawn under them, or because they sit over a gap."""
    count = len(strips) + 1
    for row in rows[:3]:
        if row.figures >= 2 or len(row.placed) >= count:
            continue
        for i, item in enumerate(row.placed):
            room = (
                row.placed[i - 1].last + 1 if i else 0,
                row.placed[i + 1].first - 1 if i + 1 < len(row.placed) else count - 1,
            )
            under = _line_under(item.chunk, row, hints, strips)
            if under is not None:
                item.first, item.last = max(under[0], room[0]), min(under[1], room[1])
                continue
            for k, (left, right) in enumerate(strips):
                if left - 0.2 * item.chunk.size <= item.chunk.middle <= right + 0.2 * item.chunk.size and k > 0:
                    item.first, item.last = min(item.first, max(k, room[0])), max(item.last, min(k + 1, room[1]))
            item.last = max(item.first, item.last)


def _line_under(chunk: Chunk, row: RowLine, hints: Hints, strips: list[Strip]) -> tuple[int, int] | None:
    """Columns over which a short drawn line right under a head runs."""
    for rule in hints.level:
        if not row.base < rule.top < row.base + 1.1 * row.size or not rule.x0 - 2 <= chunk.middle <= rule.x1 + 2:
            continue
        first = sum(rule.x0 > (left + right) / 2 for left, right in strips)
        last = sum(rule.x1 > (left + right) / 2 for left, right in strips)
        if last > first and not (first == 0 and last == len(strips)):
            return first, last
    return None
