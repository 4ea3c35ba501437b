"""Which lines of a page belong to one table: stretches of lines in columns, cut where the next table begins."""

from __future__ import annotations

import itertools
import re
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median

from halfinch.readers.pdf.bound import Bound, held_together, in_rows, merge_bound
from halfinch.readers.pdf.columns import Strip, find_strips
from halfinch.readers.pdf.ink import Rule
from halfinch.readers.pdf.lines import UNSPACED, Chunk, Line, whole
from halfinch.sheet import Box

FAR = 3.4  # base line to base line, in letter sizes: lines further apart are hardly one table
FAR_ROWS = 2.3  # the same, in the table's usual distance between rows
APART = 1.6  # of the usual distance between rows: white that divides two tables of other widths
FARTHEST = 7.0  # the same, of rows of many chunks at even distances
EVEN_CHUNKS = 3
TWIN_FACTS = 4  # facts of a head that begin alike: two heads side by side
REST = 8  # signs of an Asian label that a narrow column leaves for its second line
TWIN_HEADS = 3  # heads after the first that are words and the same on both sides
HEAD_AGAIN = 0.6  # of a head's cells: as many said before make it the same head again
ALONE = 3  # single-chunk lines in a row that a table may hold (title rows, wrapped labels)


_FACT = re.compile(r"[^\W\d][^:]{1,30}:\s*\S")


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

    def divide(self, upper: Chunk, lower: Chunk) -> bool:
        """True when a line lies between two chunks."""
        x0, x1 = min(upper.x0, lower.x0), max(upper.x1, lower.x1)
        return self.between(upper.base - 0.1 * upper.size, lower.base - 0.5 * lower.size, x0, x1)

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


def find_pieces(lines: list[Line], hints: Hints, bound: Bound) -> Iterator[list[Line]]:
    """Lines that may be one table each."""
    at = {id(line): i for i, line in enumerate(lines)}
    for run in _runs(lines, hints, bound):
        i = at[id(run[0])]
        for part in _split_run(run, bound, lines[i - 1] if i else None):
            yield from _split_sides(part, bound)


def _wide_prose(line: Line) -> bool:
    return len(line.chunks) == 1 and line.chunks[0].prose and len(line.chunks[0].words) >= 8


def _runs(lines: list[Line], hints: Hints, bound: Bound) -> list[list[Line]]:
    """Stretches of lines that may be a table: many chunks a line, with few single ones between."""
    runs: list[list[Line]] = []
    run: list[Line] = []
    singles = 0
    beside = in_rows(lines, bound)
    for i, line in enumerate(lines):
        in_cell = id(line.chunks[0]) in beside
        single = len(line.chunks) < 2 and not in_cell
        prose = _wide_prose(line) and not in_cell
        if run:
            step = line.base - run[-1].base
            steps = [b.base - a.base for a, b in itertools.pairwise(run) if b.base - a.base > 0.85 * b.size]
            usual = median(steps) if len(steps) >= 2 else 0.0
            ruled = hints.between(run[-1].base, line.base - 0.6 * line.size, line.chunks[0].x0, line.chunks[-1].x1)
            far = step > max(FAR * line.size, FAR_ROWS * usual) * (1.4 if ruled else 1.0) and not _even(lines, i)
            if far or singles >= ALONE or prose:
                runs.append(run)
                run, singles = [], 0
        if prose:
            continue
        singles = singles + 1 if single else 0
        run.append(line)
    runs.append(run)
    return [trimmed for trimmed in (_trim(run, bound) for run in runs) if len(trimmed) >= 2]


def _even(lines: list[Line], i: int) -> bool:
    """True when line `i` is one of several rows of many chunks at an even distance, however far from each other."""
    for a in (i - 2, i - 1):
        three = lines[a : a + 3] if a >= 0 else []
        if len(three) < 3 or min(len(line.chunks) for line in three) < EVEN_CHUNKS:
            continue
        one, two = (lower.base - upper.base for upper, lower in itertools.pairwise(three))
        if abs(one - two) <= 0.05 * one and one <= FARTHEST * three[0].size:
            return True
    return False


def _trim(run: list[Line], bound: Bound) -> list[Line]:
    """Without single-chunk lines at the start, and at the end but for what wraps in the last row's label."""
    many = [i for i, line in enumerate(run) if len(line.chunks) >= 2]
    if not many:
        return []
    first, last = many[0], many[-1]
    beside = in_rows(run, bound)
    while first > 0 and id(run[first - 1].chunks[0]) in beside:
        first -= 1
    if first > 0 and (_wraps(run[first - 1], run[first], above=True) or _heads(run[first - 1], run[first])):
        first -= 1
    row = run[last]
    while last + 1 < len(run) and (
        id(run[last + 1].chunks[0]) in beside
        or _wraps(run[last + 1], run[last], above=False)
        or _note(run[last + 1], run[last], row)
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
    label = row.chunks[0]
    if step > 1.34 * row.size or abs(chunk.x0 - label.x0) >= 1.5 * row.size:
        return False
    broken = whole(label.text, chunk.text) and len(chunk.text) <= REST and chunk.bold == label.bold
    return chunk.text[0] in "([" or chunk.text[0].islower() or label.text.count("(") > label.text.count(")") or broken


def _rows_of(lines: list[Line]) -> list[list[Chunk]]:
    return [line.chunks for line in lines]


def _split_run(run: list[Line], bound: Bound, title: Line | None) -> list[list[Line]]:
    """Cut a run where one table ends and the next, with other columns or a title of its own, begins.

    `title`: the line above the run; a line like it is the next title. The widest white is looked at first: of two
    tables with other columns any line between some rows divides two stacks of other columns.
    """
    head = next((i for i in range(1, len(run) - 1) if not _facts(run[i])), 0)
    if head and all(map(_facts, run[:head])):
        return [run[:head], *_split_run(run[head:], bound, None)]
    gaps = [0.0, *(b.base - a.base for a, b in itertools.pairwise(run))]
    usual = median(gaps[1:]) if len(gaps) > 1 else 0.0
    starts = {first for first, _ in held_together(run, bound)}
    inside = in_rows(run, bound)
    for i in sorted(starts & set(range(1, len(run) - 1)), key=lambda i: (-round(gaps[i] / usual, 1), i)):
        line = run[i]
        single = len(line.chunks) < 2 and id(line.chunks[0]) not in inside
        if not single and gaps[i] < 1.25 * usual:
            continue
        upper, lower = _trim(run[:i], bound), _trim(run[i:], bound)
        if len(upper) < 2 or len(lower) < 2:
            continue
        again = single and title is not None and _like(line, title, upper)
        apart = gaps[i] > APART * usual and _widest(lower) >= 2 * _widest(upper)  # some facts and the table under them
        if (
            again
            or apart
            or _other_columns(upper, lower, bound)
            or (single and _new_title(line, gaps[i], usual, upper, lower))
        ):
            return [*_split_run(upper, bound, title), *_split_run(lower, bound, line if single else None)]
    return [run]


def _facts(line: Line) -> bool:
    """True for a line of a page's head: ``Style: B3036   Season: FW27   Page 4 of 9``."""
    told = sum(_FACT.match(chunk.text) is not None for chunk in line.chunks)
    return told >= 2 and told >= 0.6 * len(line.chunks)


def _other_columns(upper: list[Line], lower: list[Line], bound: Bound) -> bool:
    """True when two stacks of rows do not fit into one set of columns."""
    above, below = merge_bound(upper, bound), merge_bound(lower, bound)
    if any(sum(len(row) >= 2 for row in rows) < 2 for rows in (above, below)):
        return False
    one, two = len(find_strips(above)), len(find_strips(below))
    both = find_strips([*above, *below])
    if len(both) < max(one, two):
        return True
    crossings = sum(c.x0 < left - 1 and c.x1 > right + 1 for row in below for c in row for left, right in both)
    return crossings > len(below) and one != two


def _like(line: Line, title: Line, rows: list[Line]) -> bool:
    """True when a lone line looks like the title above, and neither like a row's label."""
    one, two = title.chunks[0], line.chunks[0]
    if len(title.chunks) > 1 or abs(one.size - two.size) > 0.03 * one.size or abs(one.x0 - two.x0) > 0.3 * one.size:
        return False
    if rows[0].base - title.base > FAR * one.size or one.bold != two.bold:
        return False
    labels = [row.chunks[0] for row in rows if len(row.chunks) > 1]
    other = all(label.bold != one.bold or abs(label.size - one.size) > 0.03 * one.size for label in labels)
    return other or (len(one.words[0].text) > 2 and one.words[0].text == two.words[0].text)


def _new_title(line: Line, gap: float, usual: float, upper: list[Line], lower: list[Line]) -> bool:
    """A title that stands off the table above, with a new head under it."""
    chunk = line.chunks[0]
    body = median([other.size for other in upper])
    head, first = _first_row(lower), _first_row(upper)
    again = {c.text for c in head.chunks} & {c.text for c in first.chunks}
    repeated = len(again) >= max(2, HEAD_AGAIN * len(head.chunks))
    fresh = repeated or not any(c.figure for c in head.chunks)
    larger = chunk.size > 1.12 * body
    if (larger and gap > 1.25 * usual) or (repeated and gap > 1.15 * usual):
        return True
    outstanding = larger or (chunk.bold and gap > 1.25 * usual)
    return fresh and (gap > 1.6 * usual or outstanding) and (repeated or outstanding or gap > 1.9 * usual)


def _first_row(lines: list[Line]) -> Line:
    return next((line for line in lines if len(line.chunks) > 1), lines[0])


def _split_sides(lines: list[Line], bound: Bound) -> list[list[Line]]:
    """Cut side-by-side tables apart."""
    rows = [Line(row, min(c.base for c in row), max(c.size for c in row)) for row in merge_bound(lines, bound)]
    cut = _cut_between(rows)
    if cut is None:
        return [lines]
    one, two = _half(lines, *cut, True), _half(lines, *cut, False)
    return [*_split_sides(_trim(one, bound), bound), *_split_sides(_trim(two, bound), bound)]


def _cut_between(lines: list[Line]) -> Strip | None:
    """The white strip between two tables, if there are two."""
    for left, right in _gutters(lines):
        one, two = _half(lines, left, right, True), _half(lines, left, right, False)
        if _same_heads(one, two):
            return left, right
        if min(len(one), len(two)) >= 2 and _independent(one, two, len(one) + len(two) - len(lines)):
            return left, right
    strips = find_strips(_rows_of(lines))
    widths = sorted(right - left for left, right in strips)
    for left, right in strips[1:-1]:
        one, two = _half(lines, left, right, True), _half(lines, left, right, False)
        if min(len(one), len(two)) < 2:
            continue
        wide = right - left >= max(1.5 * median(widths), 1.8 * lines[0].size)
        if _twins(one, two) or _heads_again(one, two) or (wide and _labels_again(one, two)):
            return left, right
    return None


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


def _independent(one: list[Line], two: list[Line], shared: int) -> bool:
    """Both sides have rows of their own, at their own heights; `shared` rows are on both."""
    if min(_widest(one), _widest(two)) < 2:
        return False
    rows = min(sum(len(x.chunks) >= 2 for x in one), sum(len(x.chunks) >= 2 for x in two))
    return rows >= 2 and shared <= 0.5 * min(len(one), len(two))


def _widest(lines: list[Line]) -> int:
    return max(len(line.chunks) for line in lines)


def _twins(one: list[Line], two: list[Line]) -> bool:
    """The same labels stand down the left of both sides."""
    left, right = _labels(one), _labels(two)
    return len(left & right) >= max(2, 0.5 * min(len(left), len(right)))


def _same_heads(one: list[Line], two: list[Line]) -> bool:
    """Two pages on one sheet: the facts of their heads begin with the same words in the same order."""
    left, right = ([chunk.words[0].text for line in half for chunk in line.chunks] for half in (one, two))
    same = sum(a == b and a[0].isalpha() for a, b in zip(left, right, strict=False))
    return same >= TWIN_FACTS and same >= 0.8 * max(len(left), len(right))


def _heads_again(one: list[Line], two: list[Line]) -> bool:
    """The heads of both sides say the same, but for the first: ``US Size | Waist | Hip``, ``Size | Waist | Hip``."""
    left, right = ([chunk.text for chunk in _first_row(half).chunks[1:]] for half in (one, two))
    words = sum(sum(map(str.isalpha, text)) >= 3 or ord(text[0]) > UNSPACED for text in left)
    return left == right and words >= TWIN_HEADS


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
