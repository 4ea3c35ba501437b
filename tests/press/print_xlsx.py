"""Workbooks: numbers typed or as text, fraction formats, merged heads, a second worksheet, blank rows and columns."""

from __future__ import annotations

import io
import random
import re

from .doc import Cell, Doc, Heading, Items, Pairs, Para, Table


def print_xlsx(doc: Doc, rng: random.Random) -> tuple[bytes, str]:
    """One worksheet (or one a garment's block), figures typed where a person would type them."""
    from openpyxl import Workbook

    book = Workbook()
    page = book.active
    page.title = rng.choice(
        ["Sheet1", "Specs", "Measurements", "Tabelle1", re.sub(r"[\\/*?:\[\]]", " ", doc.title[:20])]
    )
    typed = rng.random() < 0.7
    row, left = 1 + rng.choice([0, 0, 1, 2]), 1 + rng.choice([0, 0, 0, 1])
    for block in doc.blocks:
        if isinstance(block, Heading | Para):
            page.cell(row, left, block.text)
            row += 1 if isinstance(block, Para) else rng.choice([1, 2])
        elif isinstance(block, Items):
            for line in block.lines:
                page.cell(row, left, line)
                row += 1
        elif isinstance(block, Pairs):
            page.cell(row, left, block.title)
            for label, value in block.rows:
                row += 1
                page.cell(row, left, label)
                page.cell(row, left + 1, value)
            row += 2
        elif isinstance(block, Table):
            row = _table(page, block, row, left, typed) + rng.choice([1, 1, 2])
    if rng.random() < 0.15:
        book.create_sheet("Lists")["A1"] = "do not edit"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue(), "typed" if typed else "text"


def _table(page: object, block: Table, row: int, left: int, typed: bool) -> int:
    if block.caption:
        page.cell(row, left, block.caption)
        row += 1
    taken: set[tuple[int, int]] = set()
    for line in block.rows:
        column = left
        for cell in line:
            while (row, column) in taken:
                column += 1
            _put(page.cell(row, column), cell, typed)
            if cell.span > 1 or cell.down > 1:
                bottom, right = row + cell.down - 1, column + cell.span - 1
                page.merge_cells(start_row=row, start_column=column, end_row=bottom, end_column=right)
                taken |= {(r, c) for r in range(row, bottom + 1) for c in range(column, right + 1)}
            column += cell.span
        row += 1
    return row


def _put(target: object, cell: Cell, typed: bool) -> None:
    if cell.value is None or not typed:
        target.value = cell.text
        if cell.text.startswith("="):
            target.data_type = "s"
        return
    target.value = int(cell.value) if cell.value.denominator == 1 else float(cell.value)
    target.number_format = number_format(cell)


def number_format(cell: Cell) -> str:
    """A format that shows the number as printed."""
    if any(sign in cell.text for sign in "/⁄¼½¾⅛⅜⅝⅞"):
        return "# ?/?"
    text = cell.text.replace(",", ".")
    return "0." + "0" * len(text.partition(".")[2]) if "." in text else "General"
