"""Rows of facts: "Style | Alma | Season | AW25" over a table, or in its first rows.

In: the cells of a row, or a table. Out: the facts as lines ("Style: Alma"), and the table without them.
"""

from __future__ import annotations

import re

from halfinch.interpret.facets import Reader
from halfinch.interpret.matrix import Table, distinct
from halfinch.interpret.names import is_code, key_role
from halfinch.normalise.point_labels import read_header_word

_ATTRIBUTES = frozenset({"style", "style_code", "merchant", "fabric", "colour", "price", "stretch", "block"})
_BESIDE = frozenset({"unit", "date", "note", "country", "quantity", "currency", "silhouette"})
"""Roles of keys that stand in such a row too but make none by themselves."""
MOST_ROWS = 8


_TOLD = re.compile(r"[^\W\d][^:：]{1,30}[:：]\s*\S")
"""A key with its value in one cell: ``Season: FW27``."""


def row_lines(cells: list[str], reader: Reader) -> list[str]:
    """A row of facts as lines: "Style | Alma | Season | AW25" is two pairs of a key and its value."""
    if len(cells) == 3 and is_fact_row(cells, reader):
        return [f"{cells[0].rstrip(' :：')}: {cells[1]} {cells[2]}"]
    if len(cells) > 1 and sum(_TOLD.match(cell) is not None for cell in cells) >= max(2, 0.5 * len(cells)):
        return cells
    keys, values = cells[::2], cells[1::2]
    paired = len(keys) == len(values) and any(key_role(key, reader) for key in keys)
    if (paired and not any(key_role(value, reader) for value in values)) or is_fact_row(cells, reader):
        return [f"{key.rstrip(' :：')}: {value}" for key, value in zip(keys, values, strict=True)]
    return ["; ".join(cells) if len(cells) != 2 else f"{cells[0]}: {cells[1]}"]


def take_facts(table: Table, reader: Reader) -> tuple[list[str], Table]:
    """The facts in the first rows of a table as lines, and the table without them; titles between them stay."""
    lines: list[str] = []
    taken: set[int] = set()
    for index, row in enumerate(table.rows[:MOST_ROWS]):
        cells = [cell.text for cell in distinct(row)]
        if len(cells) > 1 and not is_fact_row(cells, reader):
            break
        if len(cells) > 1:
            taken.add(index)
            lines += row_lines(cells, reader)
    rest = tuple(row for index, row in enumerate(table.rows) if index not in taken)
    return lines, Table(rest) if taken and rest else table


def is_fact_row(cells: list[str], reader: Reader) -> bool:
    """Pairs of a known key and its value, and nothing else in the row."""
    if len(cells) == 3:  # "Style | MF-3301 | Greta trouser"
        return (
            key_role(cells[0], reader) in ("style", "style_code")
            and is_code(cells[1])
            and not key_role(cells[2], reader)
        )
    keys, values = cells[::2], cells[1::2]
    if len(keys) != len(values):
        return False
    roles = [word.role if (word := read_header_word(key.strip(" .:："), reader.knowledge)) else "" for key in keys]
    if not all(role in _ATTRIBUTES | _BESIDE for role in roles):
        return False
    reads = [reader.read(value) for value in values]
    return not any(read.is_ours or (read.word is not None and read.word.role) for read in reads)
