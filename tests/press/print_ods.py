"""OpenDocument workbooks: figures typed or as text, spans, one table a worksheet or all below each other."""

from __future__ import annotations

import io
import random

from .doc import Cell, Doc, Heading
from .flow import rows_of


def print_ods(doc: Doc, rng: random.Random) -> tuple[bytes, str]:
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table as Sheet

    book = OpenDocumentSpreadsheet()
    typed, apart = rng.random() < 0.6, rng.random() < 0.3 and doc.several
    page = Sheet(name=rng.choice(["Sheet1", "Tabelle1", "Feuille1", "Specs"]))
    book.spreadsheet.addElement(page)
    if not apart:
        for row in rows_of(doc):
            _row(page, row, typed)
    else:
        for number, block in enumerate(doc.blocks):
            if isinstance(block, Heading) and block.level == 2 and number:
                page = Sheet(name=f"{number} {block.text[:20]}")
                book.spreadsheet.addElement(page)
            for row in rows_of(Doc("", "", [block])):
                _row(page, row, typed)
    out = io.BytesIO()
    book.write(out)
    return out.getvalue(), f"{'typed' if typed else 'text'}{' apart' if apart else ''}"


def _row(page: object, cells: list[Cell], typed: bool) -> None:
    from odf.table import TableCell, TableRow
    from odf.text import P

    row = TableRow()
    page.addElement(row)
    for cell in cells:
        if cell.value is not None and typed and not any(sign in cell.text for sign in "/⁄¼½¾⅛⅜⅝⅞"):
            item = TableCell(valuetype="float", value=str(float(cell.value)))
        else:
            item = TableCell(valuetype="string")
        if cell.text:
            for line in cell.text.split("\n"):
                item.addElement(P(text=line))
        row.addElement(item)
