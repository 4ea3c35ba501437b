"""A sheet beside its figures: pages of a PDF as pictures, tables as tables, texts as texts, always as inert as paper.

No markup of a sheet reaches a page: what is shown is what its reader saw, escaped like any other text.
"""

from __future__ import annotations

import io
import threading
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path

from halfinch.catalogue.choosing import read_place
from halfinch.present.seen.marks import Mark, Marks
from halfinch.present.seen.tables import Drawn, draw_grid
from halfinch.sheet import Box, Cell, Grid, Sheet, Text
from halfinch.work.kept import KeptSheet, load_sheet

SHEETS_KEPT, PAGES_KEPT = 6, 24
SCALE = 2.0
"""Pixels a point."""
LARGEST = 3000
"""Pixels of a page's longer side."""
ROWS_ABOVE, ROWS_BELOW = 12, 8
"""Rows of a long table that are shown around the marked one."""
HEAD_ROWS = 3
WORDS_AROUND = 2
"""Texts shown before and after the marked one."""

PDFIUM = threading.Lock()
"""PDFium may be called by one thread at a time, whatever document it is about."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a figure stands in its sheet."""

    grid: Grid | None = None
    cell: Cell | None = None
    text: Text | None = None

    @property
    def page(self) -> int:
        found = self.grid or self.text
        return found.page if found is not None else 0

    @property
    def box(self) -> Box | None:
        return self.cell.box if self.cell is not None else self.text.box if self.text is not None else None


@dataclass(frozen=True, slots=True)
class PageView:
    """What of a page is shown, in points: the part to look at, and the bands of row and column through the spot."""

    number: int
    width: float
    height: float
    window: Box
    spot: Box | None
    row: Box | None
    column: Box | None


class Pictures:
    """Sheets that were looked at lately, and their pages."""

    def __init__(self, catalogue: Path, wait: float) -> None:
        self._catalogue, self._wait = catalogue, wait
        self._sheets: OrderedDict[str, KeptSheet] = OrderedDict()
        self._pages: OrderedDict[tuple[str, int], tuple[bytes, float, float]] = OrderedDict()
        self._lock = threading.Lock()

    def sheet(self, sheet_id: str) -> KeptSheet:
        """Raises UsageError, SheetError as `load_sheet` does."""
        with self._lock:
            if sheet_id in self._sheets:
                self._sheets.move_to_end(sheet_id)
                return self._sheets[sheet_id]
        with PDFIUM:
            found = load_sheet(self._catalogue, sheet_id, self._wait)
        with self._lock:
            self._sheets[sheet_id] = found
            while len(self._sheets) > SHEETS_KEPT:
                self._sheets.popitem(last=False)
        return found

    def page(self, sheet_id: str, number: int) -> tuple[bytes, float, float]:
        """(PNG, width and height in points) of a page of a PDF, from 1. KeyError for a page that there is not."""
        key = (sheet_id, number)
        with self._lock:
            if key in self._pages:
                self._pages.move_to_end(key)
                return self._pages[key]
        kept = self.sheet(sheet_id)
        if kept.sheet.kind != "pdf":
            raise KeyError(number)
        with PDFIUM:
            drawn = _draw_page(kept, number)
        with self._lock:
            self._pages[key] = drawn
            while len(self._pages) > PAGES_KEPT:
                self._pages.popitem(last=False)
        return drawn


def _draw_page(kept: KeptSheet, number: int) -> tuple[bytes, float, float]:
    from halfinch.readers.pdf.engine import open_document

    document = open_document(kept.data, kept.sheet.name)
    try:
        if not 1 <= number <= len(document):
            raise KeyError(number)
        page = document[number - 1]
        width, height = page.get_size()
        image = page.render(scale=min(SCALE, LARGEST / max(width, height, 1))).to_pil().convert("RGB")
        page.close()
    finally:
        document.close()
    out = io.BytesIO()
    image.quantize(64).save(out, "PNG")
    return out.getvalue(), float(width), float(height)


def find_spot(sheet: Sheet, place: str) -> Spot:
    """The cell or text at a place; an empty Spot where there is none (a value out of data behind the page)."""
    for grid in sheet.grids:
        for cell in grid.cells:
            if cell.place == place:
                return Spot(grid, cell)
    for text in sheet.texts:
        if text.place == place:
            return Spot(text=text)
    return Spot()


def view_page(spot: Spot, width: float, height: float, *, whole: bool) -> PageView:
    """The whole page, or a part of it half as high as it is wide, with the spot in its middle."""
    box, grid = spot.box, spot.grid
    part = min(height, width * 0.62)
    middle = (box[1] + box[3]) / 2 if box is not None else part / 2
    top = 0.0 if whole else max(0.0, min(height - part, middle - part / 2))
    window = (0.0, top, width, height if whole else top + part)
    row = column = None
    if box is not None and grid is not None and grid.box is not None:
        row = (grid.box[0], box[1] - 2, grid.box[2], box[3] + 2)
        column = (box[0] - 3, grid.box[1], box[2] + 3, grid.box[3])
    return PageView(spot.page, width, height, window, box, row, column)


@dataclass(frozen=True, slots=True)
class TableView:
    """Part of a table: its caption, letters or numbers over the columns, rows with their numbers."""

    drawn: Drawn
    columns: tuple[str, ...]
    names: dict[int, str]
    """What the file calls a row of the grid."""
    rows: tuple[tuple[int, tuple[tuple[Cell | None, Mark], ...]], ...]
    left_out: int
    """Rows that are not shown."""


def view_table(grid: Grid, marks: Marks, kind: str, around: Cell | None) -> TableView:
    """The table with its marks; of a long one the first rows and those around a cell."""
    drawn = draw_grid(grid, marks)
    first = around.row if around is not None else 1
    near = range(first - ROWS_ABOVE, first + ROWS_BELOW + 1)
    numbered = list(enumerate(drawn.rows, start=1))
    if around is not None and len(numbered) > ROWS_ABOVE + ROWS_BELOW + HEAD_ROWS + 4:
        numbered = [pair for pair in numbered if pair[0] <= HEAD_ROWS or pair[0] in near]
    return TableView(drawn, *_rulers(grid, kind), tuple(numbered), grid.rows - len(numbered))


def _rulers(grid: Grid, kind: str) -> tuple[tuple[str, ...], dict[int, str]]:
    """What the file itself calls the columns and rows of a grid, which need not begin at its first ones."""
    columns = {number: str(number) for number in range(1, grid.columns + 1)}
    rows = {number: str(number) for number in range(1, grid.rows + 1)}
    for cell in grid.cells:
        told = read_place(cell.place)
        rows[cell.row] = told.get("row", "") or rows[cell.row]
        columns[cell.column] = told["column"] or columns[cell.column]
    if kind == "workbook":
        columns = {number: column_letters(int(name)) if name.isdecimal() else name for number, name in columns.items()}
    return tuple(columns.values()), rows


def column_letters(number: int) -> str:
    """3 as "C", 28 as "AB"."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def texts_around(sheet: Sheet, text: Text) -> list[Text]:
    """The text with those just before and after it."""
    at = sheet.texts.index(text)
    return list(sheet.texts[max(0, at - WORDS_AROUND) : at + WORDS_AROUND + 1])


def split_at(text: str, printed: str) -> tuple[str, str, str]:
    """Before, the printed figure, after; all of it before where the figure does not stand in it as printed."""
    before, found, after = text.partition(printed) if printed else (text, "", "")
    return before, found, after
