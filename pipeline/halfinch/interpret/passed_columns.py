"""Columns of numbers that are no figures of the style: rows counted through, a sample's own measures beside the spec.

In: cells and headings of a table whose points stand in rows. Out: whether a column counts rows; the facets with what
was measured on samples marked as a trial.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from halfinch.interpret.facets import Facets, Reader
from halfinch.interpret.matrix import Table
from halfinch.interpret.words import fold, phrasebook
from halfinch.sheet import Cell

LEAST_ROWS = 4
"""So many rows at least are counted through; three numbers can be even by chance."""
EVEN = 0.75
"""This share of the steps has to be the same: a row may have been left out, or have a number of its own."""


def is_count(cells: Sequence[Cell | None], reader: Reader) -> bool:
    """Whether the cells number their rows: 1, 2, 3 ... or 100, 110, 120 ... Points that follow one another are never
    so alike in size and so even in step."""
    values = [number.value for cell in cells if cell is not None and (number := reader.read(cell.text).number)]
    if len(values) < LEAST_ROWS or any(value.denominator != 1 or value < 0 for value in values):
        return False
    steps = [after - before for before, after in pairwise(values)]
    step, often = Counter(steps).most_common(1)[0]
    return step > 0 and min(steps) > 0 and often >= EVEN * len(steps)


ONE_STEP = (Fraction(8, 10), Fraction(125, 100))
"""A figure of the next size over its neighbour's; tolerances, grades and sums lie far outside."""


def carries_on(table: Table, index: int, body: Sequence[int], reader: Reader) -> bool:
    """Whether a column goes on where the one before it ends, a size larger, in two rows or more."""
    pairs = [
        (one.value, other.value)
        for row in body
        if (cell := table.rows[row][index]) is not None
        and (before := table.rows[row][index - 1]) is not None
        and (one := reader.read(cell.text).number) is not None
        and (other := reader.read(before.text).number) is not None
        and one.kind == other.kind == "single"
        and other.value
    ]
    return len(pairs) > 1 and all(ONE_STEP[0] <= one / other <= ONE_STEP[1] for one, other in pairs)


def are_codes_of_points(table: Table, index: int, label: int, body: Sequence[int], reader: Reader) -> bool:
    """Whether the codes under "Ref" are of the points beside them: each row has another code and another point. A
    style's code comes again in all rows of the style."""
    pairs = [
        (code.text, point.text)
        for row in body
        if (code := table.rows[row][index]) is not None
        and (point := table.rows[row][label]) is not None
        and reader.read(point.text).is_label
    ]
    heads = [cell for row, line in enumerate(table.rows) if row not in set(body) and (cell := line[index]) is not None]
    either = any((word := reader.read(cell.text).word) is not None and "code" in word.also for cell in heads)
    if len(pairs) < (1 if either else 2):
        return False
    return all(len(set(texts)) == len(pairs) for texts in zip(*pairs, strict=True))


def mark_trials(table: Table, header: Sequence[int], label: int, facets: list[Facets], reader: Reader) -> list[Facets]:
    """Beside a column of what was asked for ("Spec", "Soll"), what was measured on a sample ("Actual", "Ist") is a
    trial, and so is how far off it was. Without such a column all stay: "actual" alone may be the garment's own."""
    book = phrasebook(reader.knowledge)
    heads = [[fold(cell.text).strip() for row in header if (cell := table.rows[row][i])] for i in range(table.width)]
    asked = [any(book.asked.fullmatch(text) for text in texts) for texts in heads]
    tried = [
        not own and one.role not in ("size", "base_size") and any(book.tried.search(text) for text in texts)
        for own, one, texts in zip(asked, facets, heads, strict=True)
    ]
    asked[label] = tried[label] = False
    if not any(asked) or not any(tried):
        return facets
    first = asked.index(True)
    marked = []
    for index, one in enumerate(facets):
        deviation = index > first and index != label and one.role == "tolerance" and any(tried[first:index])
        marked.append(replace(one, role="trial") if tried[index] or deviation else one)
    return marked
