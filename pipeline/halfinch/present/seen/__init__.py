"""Pictures of what was seen in a sheet: its tables, cells and texts, and what each was taken for.

In: the bytes of a sheet, its `Sheet`, `SheetResult` and `Account`. Out: a PNG a page of a PDF (`pages.draw_pages`), one
HTML page for everything else (`tables.render_tables`). `marks.mark_sheet` decides what is drawn; every kind of mark has
a line of its own, so that nothing hangs on colour. Begin at `draw_sheet`.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from halfinch.figure import SheetResult
from halfinch.interpret.account import Account
from halfinch.present.seen.marks import mark_sheet
from halfinch.present.seen.pages import draw_pages
from halfinch.present.seen.tables import render_tables
from halfinch.sheet import Sheet

__all__ = ["draw_sheet"]


def draw_sheet(data: bytes, sheet: Sheet, result: SheetResult, account: Account) -> Iterator[tuple[str, bytes]]:
    """(file name, its bytes): ``arden-page-1.png`` for each page of a PDF, ``chart.html`` for all else."""
    marks = mark_sheet(sheet, result, account)
    parts = PurePosixPath(sheet.name).parts[1:] or (PurePosixPath(sheet.name).name,)
    stem = "_".join(parts).replace("\\", "_").replace(":", "_") if sheet.name != "-" else "sheet"
    if sheet.kind == "pdf":
        for number, picture in draw_pages(data, sheet, marks):
            yield f"{stem}-page-{number}.png", picture
    else:
        yield f"{stem}.html", render_tables(sheet, marks).encode()
