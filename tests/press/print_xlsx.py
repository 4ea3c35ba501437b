"""Workbooks: numbers typed or as text, fraction formats, merged heads, a second worksheet, blank rows and columns."""

from __future__ import annotations

import io
import random
import re
from typing import Any

from .doc import Cell, Doc, Heading, Items, Pairs, Para, Table
from .untidy import Untidy, add_old_worksheet, draw_untidy, hide_old, merge_title, store_values


def print_xlsx(doc: Doc, rng: random.Random) -> tuple[bytes, str]:
    """One worksheet (or one a garment's block), figures typed where a person would type them."""
    from openpyxl import Workbook

    book = Workbook()
    page = book.active
    page.title = rng.choice(
        ["Sheet1", "Specs", "Measurements", "Tabelle1", re.sub(r"[\\/*?:\[\]]", " ", doc.title[:20])]
    )
    typed = rng.random() < 0.7
    untidy = draw_untidy(doc, random.Random(f"{doc.title}/{rng.random()}/untidy"), typed)
    row, left = 1 + rng.choice([0, 0, 1, 2]), 1 + rng.choice([0, 0, 0, 1])
    for block in doc.blocks:
        if isinstance(block, Heading | Para):
            page.cell(row, left, block.text)
            if isinstance(block, Heading) and "merged title" in untidy.kinds:
                merge_title(page, row, left, doc)
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
            row = _table(page, block, row, left, typed, untidy) + rng.choice([1, 1, 2])
    if rng.random() < 0.15:
        book.create_sheet("Lists")["A1"] = "do not edit"
    if "old worksheet" in untidy.kinds:
        add_old_worksheet(book, doc)
    out = io.BytesIO()
    book.save(out)
    doc.facts["untidy"] = "+".join(sorted(untidy.kinds)) or "none"
    return store_values(out.getvalue(), untidy.cached), "typed" if typed else "text"


def _table(page: Any, block: Table, row: int, left: int, typed: bool, untidy: Untidy) -> int:
    if block.caption:
        page.cell(row, left, block.caption)
        row += 1
    top = row
    taken: set[tuple[int, int]] = set()
    for line in block.rows:
        column, before = left, None
        for cell in line:
            while (row, column) in taken:
                column += 1
            _put(page.cell(row, column), cell, typed, untidy, before)
            before = float(cell.value) if cell.value is not None and not cell.head and typed else None
            if cell.span > 1 or cell.down > 1:
                bottom, right = row + cell.down - 1, column + cell.span - 1
                page.merge_cells(start_row=row, start_column=column, end_row=bottom, end_column=right)
                taken |= {(r, c) for r in range(row, bottom + 1) for c in range(column, right + 1)}
            column += cell.span
        row += 1
    hide_old(page, block, top, left, untidy)
    if "hidden row" in untidy.kinds and block.heads and len(block.rows) > 2:
        row = _hidden_row(page, block, row, left)
    return row


def _hidden_row(page: Any, block: Table, row: int, left: int) -> int:
    """The first row of figures once more with others, hidden."""
    for column, cell in enumerate(block.spread()[block.heads], left):
        page.cell(row, column, float(cell.value) + 2 if cell.value is not None and not cell.head else cell.text)
    page.row_dimensions[row].hidden = True
    return row + 1


def _put(target: Any, cell: Cell, typed: bool, untidy: Untidy, before: float | None) -> None:
    if cell.value is None or not typed:
        target.value = untidy.kept_as_text(cell.text) if cell.value is not None else cell.text
        if cell.text.startswith("="):
            target.data_type = "s"
        return
    target.number_format = untidy.unit_format(cell, number_format(cell))
    if not untidy.formula(target, before, cell):
        target.value = int(cell.value) if cell.value.denominator == 1 else float(cell.value)


def number_format(cell: Cell) -> str:
    """A format that shows the number as printed."""
    if any(sign in cell.text for sign in "/⁄¼½¾⅛⅜⅝⅞"):
        return "# ?/?"
    text = cell.text.replace(",", ".")
    return "0." + "0" * len(text.partition(".")[2]) if "." in text else "General"
