"""A doc as plain rows of cells: what delimited text and workbooks print."""

from __future__ import annotations

from .doc import Cell, Doc, Heading, Items, Pairs, Para, Table


def rows_of(doc: Doc) -> list[list[Cell]]:
    """Blocks one under the other, an empty row between them; spans are spread."""
    rows: list[list[Cell]] = []
    for block in doc.blocks:
        if isinstance(block, Heading | Para):
            rows.append([Cell(block.text)])
            if isinstance(block, Para):
                continue
        elif isinstance(block, Items):
            rows += [[Cell(line)] for line in block.lines]
        elif isinstance(block, Pairs):
            rows.append([Cell(block.title)])
            rows += [[Cell(label), Cell(value)] for label, value in block.rows]
        elif isinstance(block, Table):
            if block.caption:
                rows.append([Cell(block.caption)])
            rows += block.spread()
        rows.append([])
    while rows and not rows[-1]:
        rows.pop()
    return rows
