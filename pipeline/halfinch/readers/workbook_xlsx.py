"""XLSX and XLSM through openpyxl, XLSB and workbooks too large or too odd for it through calamine.

openpyxl is loaded in full, for only so are merged cells, number formats, fonts and hidden rows known.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Any
from xml.etree.ElementTree import ParseError

from halfinch.errors import SheetError
from halfinch.readers.folding import fold, paused_collection
from halfinch.readers.number_formats import format_date, format_number, hides_value, is_date_format, show_general
from halfinch.readers.worksheets import MAX_CELLS, Filled, Found, Worksheet, superscript
from halfinch.sheet import DATE, EMPHASIS, FORMULA_ERROR, HEADER, HIDDEN, NUMBER, STRUCK

MAX_XML = 400_000_000
"""Bytes of a workbook once unpacked; more is no measurement sheet."""
MAX_FORMATTED_XML = 60_000_000
"""Beyond this a worksheet is read without its formats, which is some twenty times faster."""
MAX_RATIO = 250
_MAX_MERGED = 2_000_000

_WORKSHEET_PART = re.compile(r"^xl/worksheets/[^/]+\.xml$", re.IGNORECASE)
_MERGE = re.compile(rb'<(?:\w+:)?mergeCell\s[^>]*?ref="\$?([A-Z]+)\$?(\d+):\$?([A-Z]+)\$?(\d+)"')
_UNCACHED = re.compile(
    rb"<(?:\w+:)?c\b(?P<attributes>[^>]*)>\s*<(?:\w+:)?f\b(?:[^>]*/>|[^>]*>[^<]*</(?:\w+:)?f>)\s*"
    rb"(?:<(?:\w+:)?v\s*/>|<(?:\w+:)?v>\s*</(?:\w+:)?v>)?\s*</(?:\w+:)?c>"
)


def read_worksheets(data: bytes, name: str) -> Found:
    """All worksheets' filled cells. Raises SheetError where the workbook is cut short, broken or packed to harm."""
    try:
        return _read_checked(data, name)
    except (zipfile.BadZipFile, zlib.error, EOFError) as error:
        raise SheetError(f"{name} is a workbook that is broken or cut short: ask for it again.") from error


def _read_checked(data: bytes, name: str) -> Found:
    parts = _check_parts(data, name)
    is_binary = any(part.casefold() == "xl/workbook.bin" for part in parts)
    too_large = (
        max((size for part, size in parts.items() if _WORKSHEET_PART.match(part)), default=0) > MAX_FORMATTED_XML
    )
    if is_binary or too_large or _merges_too_much(data):
        why = () if is_binary else ("The workbook is so large that its number formats and merged cells were not read.",)
        return _read_plainly(data, name, why)
    import openpyxl
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        with paused_collection():
            book = openpyxl.load_workbook(io.BytesIO(data), data_only=True, rich_text=True, keep_links=False)
    except (InvalidFileException, KeyError, ValueError, TypeError, AttributeError, IndexError, ParseError, OSError):
        # openpyxl trips over styles and drawings that other programs overlook; the cells may still be sound.
        return _read_plainly(data, name, ("Number formats and merged cells could not be read: the styles are broken.",))
    with paused_collection():
        return _read_book(book, _uncached_formulas(data), name)


# ---- checks before anything is parsed --------------------------------------------------------------------------------


def _check_parts(data: bytes, name: str) -> dict[str, int]:
    """The parts and their unpacked sizes; refuses bombs, broken ZIPs and document type declarations (entities)."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            if any(info.flag_bits & 0x1 for info in infos):
                raise SheetError(f"{name} is protected by a password: save it without one and import it again.")
            total = sum(info.file_size for info in infos)
            if total > MAX_XML or any(
                i.file_size > 20_000_000 and i.file_size > MAX_RATIO * i.compress_size for i in infos
            ):
                raise SheetError(f"{name} unpacks to {total / 1e6:,.0f} MB, which no measurement sheet does: not read.")
            for info in infos:
                if info.filename.casefold().endswith((".xml", ".rels")) and _declares_type(archive, info):
                    raise SheetError(
                        f"{name} declares XML entities in {info.filename}, which no workbook may: not read."
                    )
            return {info.filename: info.file_size for info in infos}
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, ValueError) as error:
        raise SheetError(f"{name} is a workbook that is broken or cut short: ask for it again.") from error


def _declares_type(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bool:
    with archive.open(info) as stream:
        head = stream.read(8_192).replace(b"\x00", b"")
    return b"<!DOCTYPE" in head or b"<!ENTITY" in head


def _worksheet_xml(data: bytes) -> Iterator[tuple[str, bytes]]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for part in archive.namelist():
            if _WORKSHEET_PART.match(part):
                yield part, archive.read(part)


def _merges_too_much(data: bytes) -> bool:
    """openpyxl makes an object for every cell that a merge covers; a merge over whole columns would never end."""
    area = 0
    try:
        for _, xml in _worksheet_xml(data):
            for first, top, last, bottom in _MERGE.findall(xml):
                area += (_column_number(last) - _column_number(first) + 1) * (int(bottom) - int(top) + 1)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError):
        return False
    return area > _MAX_MERGED


def _column_number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def _uncached_formulas(data: bytes) -> list[str]:
    """Cells whose formula has no value kept beside it, as programs write that never calculated it."""
    found: list[str] = []
    for _, xml in _worksheet_xml(data):
        if b"<f" not in xml and b":f" not in xml:
            continue
        for match in _UNCACHED.finditer(xml):
            attributes = match["attributes"]
            where = re.search(rb'\br="([A-Z]+\d+)"', attributes)
            if where and b't="str"' not in attributes:
                found.append(where[1].decode())
    return found


# ---- openpyxl --------------------------------------------------------------------------------------------------------


def _read_book(book: Any, uncached: list[str], name: str) -> Found:
    warnings: list[str] = []
    if uncached:
        cells = ", ".join(uncached[:8]) + (" and more" if len(uncached) > 8 else "")
        warnings.append(
            f"Formulas without a stored value were left empty ({cells}): open and save it in a spreadsheet."
        )
    worksheets: list[Worksheet] = []
    count = 0
    for number, sheet in enumerate(book.worksheets, 1):
        worksheet = Worksheet(sheet.title, number, hidden=sheet.sheet_state != "visible")
        _fill(worksheet, sheet, warnings)
        count += len(worksheet.cells)
        if count > MAX_CELLS:
            raise SheetError(
                f"{name} has more than {MAX_CELLS:,} filled cells: import only the rows with measurements."
            )
        worksheets.append(worksheet)
    properties = book.properties
    meta = {
        "title": properties.title or "",
        "author": properties.creator or "",
        "description": properties.description or "",
    }
    said = {key: str(value) for key, value in meta.items() if value and value != "openpyxl"}
    return Found("workbook (openpyxl)", tuple(worksheets), tuple(warnings), said)


def _fill(worksheet: Worksheet, sheet: Any, warnings: list[str]) -> None:
    spans = {(m.min_row, m.min_col): (m.max_row - m.min_row + 1, m.max_col - m.min_col + 1) for m in sheet.merged_cells}
    hidden_rows = {row for row, d in sheet.row_dimensions.items() if d.hidden or d.height == 0}
    hidden_columns = _hidden_columns(sheet)
    headers = _table_headers(sheet)
    styles = _Styles()
    # Not iter_rows: it would create every cell between the first and a stray one at the far end.
    for (row, column), cell in sorted(sheet._cells.items()):
        if cell.value is None:
            continue
        style = styles.of(cell)
        text, value, marks = _show(cell, style, worksheet.name, warnings)
        if not text:
            continue
        marks = marks | style.marks
        if row in hidden_rows or column in hidden_columns:
            marks |= {HIDDEN}
        if (row, column) in headers:
            marks |= {HEADER}
        worksheet.cells[row, column] = Filled(text, value, marks, *spans.get((row, column), (1, 1)))


def _hidden_columns(sheet: Any) -> set[int]:
    found: set[int] = set()
    for dimension in sheet.column_dimensions.values():
        if dimension.hidden or dimension.width == 0:
            first, last = dimension.min or 0, dimension.max or 0
            found.update(range(first, min(last, 16_384) + 1))
    return found


def _table_headers(sheet: Any) -> set[tuple[int, int]]:
    """Cells that a table object of the workbook itself calls its header."""
    from openpyxl.utils.cell import range_boundaries

    found: set[tuple[int, int]] = set()
    for table in sheet.tables.values():
        first, top, last, _ = range_boundaries(table.ref)
        if table.headerRowCount != 0 and None not in (first, top, last):
            found.update((int(top or 0), column) for column in range(int(first or 0), int(last or 0) + 1))
    return found


class _Style:
    __slots__ = ("code", "is_date", "marks")

    def __init__(self, cell: Any) -> None:
        self.code: str = cell.number_format or "General"
        self.is_date = is_date_format(self.code)
        font, fill = cell.font, cell.fill
        marks: set[str] = set()
        if font is not None and font.strike:
            marks.add(STRUCK)
        filled = fill is not None and fill.fill_type == "solid" and not _is_white(fill.fgColor)
        if filled or (font is not None and font.b):
            marks.add(EMPHASIS)
        if hides_value(self.code) or (font is not None and not filled and _is_white(font.color)):
            marks.add(HIDDEN)
        self.marks = frozenset(marks)


def _is_white(colour: Any) -> bool:
    if colour is None:
        return False
    if colour.type == "rgb":
        return str(colour.rgb).upper() in ("FFFFFFFF", "00FFFFFF")
    return bool(colour.type == "theme" and colour.theme == 0 and not colour.tint)


class _Styles:
    """Fonts and fills are slow to look up; a worksheet has few styles."""

    def __init__(self) -> None:
        self.known: dict[int, _Style] = {}

    def of(self, cell: Any) -> _Style:
        key = cell.style_id
        if key not in self.known:
            self.known[key] = _Style(cell)
        return self.known[key]


def _show(cell: Any, style: _Style, sheet: str, warnings: list[str]) -> tuple[str, Decimal | None, frozenset[str]]:
    value = cell.value
    if isinstance(value, bool):
        return ("TRUE" if value else "FALSE"), None, frozenset()
    if isinstance(value, int | float):
        return show_typed(Decimal(repr(value)), style.code)
    if isinstance(value, datetime | date | time | timedelta):
        return fold(format_date(value, style.code)), None, frozenset({DATE})
    if cell.data_type == "e":
        return str(value), None, frozenset({FORMULA_ERROR})
    if isinstance(value, str):
        return fold(str(value)), None, frozenset()
    return _show_rich(value, f"{sheet}!{cell.coordinate}", warnings)


@lru_cache(maxsize=65_536)
def show_typed(number: Decimal, code: str) -> tuple[str, Decimal | None, frozenset[str]]:
    """Text, value and marks of a typed number under a format code."""
    if not number.is_finite():
        return str(number), None, frozenset({FORMULA_ERROR})
    text = show_general(number) if hides_value(code) else fold(format_number(number, code))
    return text, number, frozenset({NUMBER})


def _show_rich(value: Any, where: str, warnings: list[str]) -> tuple[str, Decimal | None, frozenset[str]]:
    """Text whose parts have fonts of their own: struck parts are old values, raised figures are fractions or notes."""
    runs = (
        [(str(run), getattr(run, "font", None)) for run in value] if isinstance(value, list) else [(str(value), None)]
    )
    struck = [text for text, font in runs if font is not None and font.strike and text.strip()]
    kept = [(text, font) for text, font in runs if not (font is not None and font.strike)]
    if struck and not any(text.strip() for text, _ in kept):
        return fold("".join(struck)), None, frozenset({STRUCK})
    if struck:
        warnings.append(f"In {where} the struck-through part {' '.join(struck)!r} was left out.")
    pieces: list[str] = []
    for k, (text, font) in enumerate(kept):
        raised = font is not None and font.vertAlign == "superscript"
        after = kept[k + 1][0] if k + 1 < len(kept) else ""
        pieces.append(superscript(text, "".join(pieces), after) if raised else text)
    return fold("".join(pieces)), None, frozenset()


# ---- calamine --------------------------------------------------------------------------------------------------------


def _read_plainly(data: bytes, name: str, warnings: tuple[str, ...]) -> Found:
    """Values without formats: the way for binary workbooks and for those that openpyxl cannot take."""
    from python_calamine import CalamineError, CalamineWorkbook, SheetVisibleEnum

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        worksheets = []
        for number, about in enumerate(book.sheets_metadata, 1):
            worksheet = Worksheet(about.name, number, hidden=about.visible != SheetVisibleEnum.Visible)
            sheet = book.get_sheet_by_name(about.name)
            top, left = sheet.start or (0, 0)
            _fill_plainly(worksheet, sheet.to_python(skip_empty_area=True), top, left)
            worksheets.append(worksheet)
    except (CalamineError, OSError, ValueError) as error:
        raise SheetError(f"{name} is a workbook that is broken or cut short: ask for it again.") from error
    if sum(len(worksheet.cells) for worksheet in worksheets) > MAX_CELLS:
        raise SheetError(f"{name} has more than {MAX_CELLS:,} filled cells: import only the rows with measurements.")
    return Found("workbook (calamine)", tuple(worksheets), warnings)


def _fill_plainly(worksheet: Worksheet, rows: list[list[Any]], top: int, left: int) -> None:
    for row, values in enumerate(rows, top + 1):
        for column, value in enumerate(values, left + 1):
            if value is None or value == "":
                continue
            if isinstance(value, bool):
                worksheet.cells[row, column] = Filled("TRUE" if value else "FALSE")
            elif isinstance(value, int | float):
                worksheet.cells[row, column] = Filled(*show_typed(Decimal(repr(value)), "General"))
            elif isinstance(value, datetime | date | time | timedelta):
                code = "yyyy-mm-dd" if isinstance(value, date) else "h:mm"
                worksheet.cells[row, column] = Filled(format_date(value, code), None, frozenset({DATE}))
            else:
                text = fold(str(value))
                marks = frozenset({FORMULA_ERROR}) if re.match(r"^#[A-Z/0]+[!?A]$", text) else frozenset[str]()
                worksheet.cells[row, column] = Filled(text, None, marks)
