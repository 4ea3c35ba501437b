"""What people do to a workbook: merged titles, hidden old figures, formulas, numbers kept as text, units in formats.

Nothing here changes what a reader sees of the sheet's own figures.
"""

from __future__ import annotations

import io
import random
import re
import zipfile
from dataclasses import dataclass, field
from typing import Any

from .doc import Cell, Doc, Heading, Table

PLAIN = {"across", "down", "blocks by length", "factory", "footnotes"}
"""Layouts whose sizes stand in heads, so that every other number in one unit is a measure."""


@dataclass(slots=True)
class Untidy:
    """What is done to one workbook."""

    kinds: frozenset[str]
    doc: Doc
    rng: random.Random
    cached: dict[str, str] = field(default_factory=dict)
    """Formula cells with the value that the program computed."""

    def unit_format(self, cell: Cell, shown: str) -> str:
        """A number format that shows the unit behind the number: 0.0" cm"."""
        if "unit format" not in self.kinds or cell.head or shown == "# ?/?":
            return shown
        return f'{"0" if shown == "General" else shown}" {self.doc.facts["unit"]}"'

    def kept_as_text(self, text: str) -> str:
        return text + self.rng.choice(["", "\u00a0", " ", ""]) if "text numbers" in self.kinds else text

    def formula(self, target: Any, before: Any, cell: Cell) -> bool:
        """The figure as the one left of it and a step, with its value stored."""
        if "formulas" not in self.kinds or cell.head or cell.value is None or before is None or self.rng.random() < 0.3:
            return False
        step = float(cell.value) - before
        if abs(step) > 10 or (target.number_format == "General" and step != int(step)):
            return False
        target.value = f"={target.offset(0, -1).coordinate}+{step:g}"
        self.cached[target.coordinate] = f"{float(cell.value):.10g}"
        return True


def draw_untidy(doc: Doc, rng: random.Random, typed: bool) -> Untidy:
    kinds = {kind for kind in ("merged title", "hidden row", "hidden column", "old worksheet") if rng.random() < 0.12}
    if typed:
        kinds |= {kind for kind in ("formulas",) if rng.random() < 0.15}
    else:
        kinds |= {kind for kind in ("text numbers",) if rng.random() < 0.3}
    known = doc.facts.get("unit said") in ("note", "label", "corner", "unsaid") and doc.facts.get("layout") in PLAIN
    if typed and known and "extra" not in doc.facts and rng.random() < 0.12:
        kinds |= {"unit format"}
    return Untidy(frozenset(kinds), doc, rng)


def merge_title(page: Any, row: int, left: int, doc: Doc) -> None:
    width = max((block.width() for block in doc.blocks if isinstance(block, Table)), default=1)
    if width > 1:
        page.merge_cells(start_row=row, start_column=left, end_row=row, end_column=left + width - 1)


def hide_old(page: Any, block: Table, top: int, left: int, untidy: Untidy) -> None:
    """A hidden column of old figures right of the table."""
    if "hidden column" not in untidy.kinds or any(cell.span > 1 or cell.down > 1 for row in block.rows for cell in row):
        return
    column = left + block.width()
    for number, row in enumerate(block.rows):
        last = row[-1]
        page.cell(top + number, column, last.text if number < block.heads else f"{number + 20}.5")
    from openpyxl.utils import get_column_letter

    page.column_dimensions[get_column_letter(column)].hidden = True


def add_old_worksheet(book: Any, doc: Doc) -> None:
    """A hidden worksheet with the first table as it once was: every figure is another."""
    page = book.create_sheet("old")
    page.sheet_state = "hidden"
    table = next((block for block in doc.blocks if isinstance(block, Table)), None)
    rows = table.spread() if table is not None else []
    for number, row in enumerate(rows, 3):
        for column, cell in enumerate(row, 1):
            page.cell(number, column, float(cell.value) + 1 if cell.value is not None and not cell.head else cell.text)
    title = next((block.text for block in doc.blocks if isinstance(block, Heading)), "")
    page.cell(1, 1, title)


def store_values(data: bytes, cached: dict[str, str]) -> bytes:
    """The workbook with the values of its formulas, which openpyxl leaves out."""
    if not cached:
        return data
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for item in source.infolist():
            blob = source.read(item.filename)
            if item.filename == "xl/worksheets/sheet1.xml":
                text = blob.decode()
                for cell, value in cached.items():
                    text = re.sub(rf'(<c r="{cell}"[^>]*><f>[^<]*</f>)<v\s*/?>(?:</v>)?', rf"\g<1><v>{value}</v>", text)
                blob = text.encode()
            target.writestr(item, blob)
    return out.getvalue()
