"""Tables that go on to the right where others go on below: pairs of label and figure, heads of point and size.

In: a table. Out: the same figures as a table that every reading knows: a row a pair, or a row a size.
"""

from __future__ import annotations

import re
from dataclasses import replace

from halfinch.interpret.facets import KEY_ROLES, Reader
from halfinch.interpret.matrix import Line, Table, distinct
from halfinch.normalise.label_tokens import EASTERN
from halfinch.normalise.size_labels import read_size_run
from halfinch.sheet import Cell

MOST_ROWS = 400
SURE_RUN = 0.6
_NUMBER = re.compile(r"[\s_#.-]*\d+(?=\s*(?:\(|$))")
_POINT_AND_SIZE = re.compile(
    rf"(?P<point>.*(?:[^\W\d_]{{2}}|[{EASTERN}]).*?)"
    r"(?:\s*(?:_+|[/|(@:])\s*|\s+-\s*|(?<=[\w)\].½])-|\s+)(?P<size>\w{1,4})\)?\s*"
)


def unfold(table: Table, reader: Reader) -> Table:
    """Both kinds; any other table comes back as it is."""
    if not 2 <= len(table.rows) <= MOST_ROWS:
        return table
    stacked = stack_pairs(table, reader)
    unfolded = unfold_sizes(stacked, reader)
    if unfolded is stacked and table.width == 2:  # "waist_26 | 28", a row each
        turned = table.turned()
        return down if (down := unfold_sizes(turned, reader)) is not turned else table
    return unfolded


def stack_pairs(table: Table, reader: Reader) -> Table:
    """ "Size | Point 1 | Value 1 | Point 2 | Value 2": the pairs of a row one below the other, each behind its keys."""
    pairs = [index for index in range(1, table.width - 1) if is_pair(table, index, reader)]
    if len(pairs) < 2 or pairs != list(range(pairs[0], table.width - 1, 2)) or pairs[-1] + 2 != table.width:
        return table
    keys = pairs[0]
    if not any(is_key(table.rows[0][index], reader) or holds_sizes(table, index, reader) for index in range(keys)):
        return table
    heads = [bare(cell) for cell in table.rows[0][keys : keys + 2]]
    rows: list[Line] = [(*table.rows[0][:keys], *heads)]
    for row in table.rows[1:]:
        filled = [(row[index], row[index + 1]) for index in pairs if row[index] is not None]
        rows.extend((*row[:keys], *pair) for pair in filled)
        if not filled:
            rows.append((*row[:keys], None, None))
    return Table(tuple(rows))


def bare(cell: Cell | None) -> Cell | None:
    """A head without the number of its pair: "Value 1" is "Value"."""
    return None if cell is None else named(cell, _NUMBER.sub("", cell.text) or cell.text)


def is_pair(table: Table, index: int, reader: Reader) -> bool:
    """A column of labels under a head that is none, and beside it a column of numbers under no size."""
    head, beside = bare(table.rows[0][index]), table.rows[0][index + 1]
    if head is None or reader.read(head.text).is_label or (beside is not None and reader.read(beside.text).size):
        return False
    labels = [cell for row in table.rows[1:] if (cell := row[index]) is not None]
    figures = [cell for row in table.rows[1:] if (cell := row[index + 1]) is not None]
    named = sum(reader.read(cell.text).is_label for cell in labels)
    numbers = sum(reader.read(cell.text).number is not None for cell in figures)
    return bool(labels and figures) and named * 5 >= len(labels) * 3 and numbers * 5 >= len(figures) * 4


def is_key(cell: Cell | None, reader: Reader) -> bool:
    word = reader.read(cell.text).word if cell is not None else None
    return word is not None and word.role in KEY_ROLES


def holds_sizes(table: Table, index: int, reader: Reader) -> bool:
    """Whether a run of sizes stands in a column, whatever is over it ("Taille")."""
    texts = list(dict.fromkeys(cell.text for row in table.rows[1:] if (cell := row[index]) is not None))
    run = read_size_run(texts, reader.knowledge, "") if len(texts) > 1 else None
    return run is not None and run.score >= SURE_RUN and all(run.labels)


def unfold_sizes(table: Table, reader: Reader) -> Table:
    """ "style | waist_26 | waist_27 | hip_26 | hip_27": a row for each size, a column for each point."""
    found = {index: pair for index in range(table.width) if (pair := point_and_size(table.rows[0][index], reader))}
    by_point: dict[str, dict[str, int]] = {}
    for index, (point, size) in found.items():
        by_point.setdefault(point, {})[size] = index
    sizes = list(dict.fromkeys(size for _, size in found.values()))
    run = read_size_run(sizes, reader.knowledge, "") if len(sizes) > 1 and len(by_point) > 1 else None
    if run is None or run.score < SURE_RUN or not all(run.labels):
        return table
    if len(found) < len(by_point) * len(sizes) or len(found) != sum(map(len, by_point.values())):
        return table
    keys = [index for index in range(table.width) if index not in found]
    heads: list[Cell | None] = [table.rows[0][index] for index in keys]
    first = table.rows[0][min(found)]
    assert first is not None
    heads.append(replace(first, text="Size"))
    heads += [named(table.rows[0][min(columns.values())], point) for point, columns in by_point.items()]
    rows: list[Line] = [tuple(heads)]
    for row in table.rows[1:]:
        for size in sizes if len(distinct(row)) > 1 else []:
            cells = [row[columns[size]] for columns in by_point.values()]
            rows.append((*(row[index] for index in keys), named(table.rows[0][by_size(found, size)], size), *cells))
    return Table(tuple(rows))


def by_size(found: dict[int, tuple[str, str]], size: str) -> int:
    return next(index for index, (_, one) in found.items() if one == size)


def named(cell: Cell | None, text: str) -> Cell | None:
    return replace(cell, text=text) if cell is not None else None


def point_and_size(cell: Cell | None, reader: Reader) -> tuple[str, str] | None:
    """ "waist_26" as ("waist", "26"); None for a head that is a label or a size by itself."""
    match = _POINT_AND_SIZE.fullmatch(cell.text.strip()) if cell is not None else None
    if match is None or cell is None or reader.read(match.group("size")).size is None:
        return None
    point = " ".join(match.group("point").replace("_", " ").split())
    return (point, match.group("size")) if reader.read(point).is_ours else None
