"""Cell adjacency: how well found tables agree with the truth, told by which texts stand beside and under each other.

The measure of the ICDAR 2013 table competition (M. Göbel, T. Hassan, E. Oro, G. Orsi, "ICDAR 2013 Table Competition",
2013): every non-empty cell with its next non-empty neighbour to the right and below is one relation; precision and
recall are taken over relations of all tables of a document.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from halfinch.sheet import Grid

Relation = tuple[str, str, str]
Table = Sequence[Sequence[str | None]]


def fold(text: str | None) -> str:
    """Text for comparison: blanks and line breaks do not count."""
    return "".join((text or "").split())


def relations(matrix: Sequence[Sequence[int]], texts: dict[int, str]) -> Counter[Relation]:
    """Neighbours in a matrix of cell numbers (0: nothing there); a spanning cell is one neighbour, not several."""
    found: set[tuple[int, int, str]] = set()
    rows = len(matrix)
    columns = max((len(row) for row in matrix), default=0)
    for r in range(rows):
        for c in range(columns):
            here = matrix[r][c]
            if not here:
                continue
            for way, steps in (
                ("right", [(r, k) for k in range(c + 1, columns)]),
                ("below", [(k, c) for k in range(r + 1, rows)]),
            ):
                other = next((matrix[y][x] for y, x in steps if matrix[y][x] not in (0, here)), 0)
                if other:
                    found.add((here, other, way))
    return Counter((texts[a], texts[b], way) for a, b, way in found)


def grid_relations(grid: Grid) -> Counter[Relation]:
    matrix = [[0] * grid.columns for _ in range(grid.rows)]
    texts = {}
    for number, cell in enumerate(grid.cells, start=1):
        if fold(cell.text):
            texts[number] = fold(cell.text)
            for r in range(cell.row - 1, cell.row - 1 + cell.row_span):
                for c in range(cell.column - 1, cell.column - 1 + cell.column_span):
                    matrix[r][c] = number
    return relations(matrix, texts)


def table_relations(table: Table) -> Counter[Relation]:
    """Relations of a plain list of rows; ``<`` and ``^`` stand for "goes on from the left" and "from above"."""
    width = max((len(row) for row in table), default=0)
    matrix = [[0] * width for _ in table]
    texts: dict[int, str] = {}
    for r, row in enumerate(table):
        for c, text in enumerate(row):
            if text == "<" and c:
                matrix[r][c] = matrix[r][c - 1]
            elif text == "^" and r:
                matrix[r][c] = matrix[r - 1][c]
            elif fold(text):
                number = len(texts) + 1
                texts[number] = fold(text)
                matrix[r][c] = number
    return relations(matrix, texts)


def f1(found: Iterable[Counter[Relation]], truth: Iterable[Counter[Relation]]) -> float:
    """Harmonic mean of precision and recall over all tables of a document."""
    ours: Counter[Relation] = Counter()
    true: Counter[Relation] = Counter()
    for table in found:
        ours += table
    for table in truth:
        true += table
    if not ours and not true:
        return 1.0
    right = sum((ours & true).values())
    return 2 * right / (sum(ours.values()) + sum(true.values()))
