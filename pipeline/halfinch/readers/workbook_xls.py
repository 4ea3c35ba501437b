"""XLS (BIFF 2 to 8) through xlrd, with formats, merged cells, fonts and hidden rows."""

from __future__ import annotations

import io
import struct
from decimal import Decimal
from typing import Any

from halfinch.errors import SheetError
from halfinch.readers.folding import fold
from halfinch.readers.number_formats import format_date, hides_value, is_date_format
from halfinch.readers.workbook_xlsx import show_typed
from halfinch.readers.worksheets import MAX_CELLS, Filled, Found, Worksheet, superscript
from halfinch.sheet import DATE, EMPHASIS, FORMULA_ERROR, HIDDEN, STRUCK

_SUPERSCRIPT = 1
_WHITE = 9
"""Index of white in the palette; 64 and 65 are the window's own colours."""


def read_worksheets(data: bytes, name: str) -> Found:
    """All worksheets' filled cells. Raises SheetError where the workbook is encrypted, cut short or broken."""
    import xlrd
    from xlrd.compdoc import CompDocError

    try:
        book = xlrd.open_workbook(file_contents=data, formatting_info=True, ragged_rows=True, logfile=io.StringIO())
    except (xlrd.XLRDError, CompDocError) as error:
        if "encrypted" in str(error).lower():
            raise SheetError(f"{name} is protected by a password: save it without one and import it again.") from error
        raise _broken(name) from error
    except NotImplementedError:  # BIFF 2 to 4 carry no formats that xlrd can read
        try:
            book = xlrd.open_workbook(file_contents=data, ragged_rows=True, logfile=io.StringIO())
        except (xlrd.XLRDError, struct.error, IndexError, AssertionError, ValueError) as error:
            raise _broken(name) from error
    except (struct.error, LookupError, AssertionError, ValueError, OverflowError, TypeError, MemoryError) as error:
        # xlrd trusts the records' own counts and offsets; in a damaged file they lead anywhere
        raise _broken(name) from error
    warnings: list[str] = []
    worksheets: list[Worksheet] = []
    for number, sheet in enumerate(book.sheets(), 1):
        worksheet = Worksheet(sheet.name, number, hidden=bool(sheet.visibility))
        try:
            _fill(worksheet, book, sheet, warnings)
        except (IndexError, KeyError) as error:  # styles or texts that the cells point at are missing
            raise _broken(name) from error
        worksheets.append(worksheet)
    if sum(len(worksheet.cells) for worksheet in worksheets) > MAX_CELLS:
        raise SheetError(f"{name} has more than {MAX_CELLS:,} filled cells: import only the rows with measurements.")
    meta = {"author": fold(book.user_name)} if book.user_name and book.user_name.strip() else {}
    return Found("workbook (xlrd)", tuple(worksheets), tuple(warnings), meta)


_EMPTY = (0, 6)
"""xlrd's numbers for a cell that is not there, and for one that has a format alone."""


def _broken(name: str) -> SheetError:
    return SheetError(f"{name} is a workbook that is broken or cut short: ask for it again.")


def _fill(worksheet: Worksheet, book: Any, sheet: Any, warnings: list[str]) -> None:
    spans = {(top, left): (bottom - top, right - left) for top, bottom, left, right in sheet.merged_cells}
    hidden_rows = {row for row, about in sheet.rowinfo_map.items() if about.hidden or about.height == 0}
    hidden_columns = {column for column, about in sheet.colinfo_map.items() if about.hidden or about.width == 0}
    for row in range(sheet.nrows):
        for column, kind in enumerate(sheet.row_types(row)):
            if kind in _EMPTY:  # a damaged record may fill millions
                continue
            cell = sheet.cell(row, column)
            code, marks = _style(book, cell)
            text, value, more = _show(book, sheet, cell, (row, column), code, warnings)
            if not text:
                continue
            if row in hidden_rows or column in hidden_columns:
                more = more | {HIDDEN}
            filled = Filled(text, value, marks | more, *spans.get((row, column), (1, 1)))
            worksheet.cells[row + 1, column + 1] = filled


def _style(book: Any, cell: Any) -> tuple[str, frozenset[str]]:
    if cell.xf_index is None or cell.xf_index >= len(book.xf_list):
        return "General", frozenset()
    xf = book.xf_list[cell.xf_index]
    found = book.format_map.get(xf.format_key)
    font = book.font_list[xf.font_index]
    code = (found.format_str if found else None) or "General"
    background = xf.background
    filled = background.fill_pattern == 1 and background.pattern_colour_index not in (_WHITE, 64, 65)
    marks: set[str] = set()
    if font.struck_out:
        marks.add(STRUCK)
    if font.bold or filled:
        marks.add(EMPHASIS)
    if hides_value(code) or (font.colour_index == _WHITE and not filled):
        marks.add(HIDDEN)
    return code, frozenset(marks)


def _show(
    book: Any, sheet: Any, cell: Any, at: tuple[int, int], code: str, warnings: list[str]
) -> tuple[str, Decimal | None, frozenset[str]]:
    import xlrd

    if cell.ctype == xlrd.XL_CELL_TEXT:
        return _show_text(book, sheet, cell.value, at, warnings)
    if cell.ctype == xlrd.XL_CELL_NUMBER and not is_date_format(code):
        number = Decimal(repr(cell.value))
        return show_typed(number.to_integral_value() if number == number.to_integral_value() else number, code)
    if cell.ctype in (xlrd.XL_CELL_DATE, xlrd.XL_CELL_NUMBER):
        try:
            moment = xlrd.xldate_as_datetime(cell.value, book.datemode)
        except (xlrd.XLDateError, ValueError, OverflowError):
            return str(cell.value), None, frozenset({DATE})
        return fold(format_date(moment.time() if 0 <= cell.value < 1 else moment, code)), None, frozenset({DATE})
    if cell.ctype == xlrd.XL_CELL_BOOLEAN:
        return ("TRUE" if cell.value else "FALSE"), None, frozenset()
    if cell.ctype == xlrd.XL_CELL_ERROR:
        return xlrd.error_text_from_code.get(cell.value, "#ERROR!"), None, frozenset({FORMULA_ERROR})
    return "", None, frozenset()


def _show_text(
    book: Any, sheet: Any, text: str, at: tuple[int, int], warnings: list[str]
) -> tuple[str, Decimal | None, frozenset[str]]:
    """Text whose parts may have fonts of their own; see the XLSX reader for struck and raised parts."""
    runs = sheet.rich_text_runlist_map.get(at)
    if not runs:
        return fold(text), None, frozenset()
    cell_font = book.font_list[book.xf_list[sheet.cell(*at).xf_index].font_index]
    edges = [0, *(start for start, _ in runs), len(text)]
    fonts = [cell_font, *(book.font_list[index] for _, index in runs)]
    parts = [(text[edges[k] : edges[k + 1]], fonts[k]) for k in range(len(fonts)) if text[edges[k] : edges[k + 1]]]
    kept = [(part, font) for part, font in parts if not font.struck_out]
    if parts and not any(part.strip() for part, _ in kept):
        return fold(text), None, frozenset({STRUCK})
    if len(kept) < len(parts):
        warnings.append(f"In {sheet.name}, row {at[0] + 1}, a struck-through part of a cell was left out.")
    shown = ""
    for k, (part, font) in enumerate(kept):
        raised = font.escapement == _SUPERSCRIPT
        shown += superscript(part, shown, kept[k + 1][0] if k + 1 < len(kept) else "") if raised else part
    return fold(shown), None, frozenset()
