"""ODS and flat ODS: the text that OpenDocument keeps beside every value is what a person sees, so it is taken as is."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import Any

from halfinch.errors import SheetError
from halfinch.readers.folding import fold
from halfinch.readers.worksheets import MAX_CELLS, Filled, Found, Worksheet, superscript
from halfinch.sheet import DATE, EMPHASIS, FORMULA_ERROR, HIDDEN, NUMBER, STRUCK

MAX_XML = 200_000_000
_MAX_REPEATS = 100
"""A filled cell or row repeated more often than this is a background, not data, and is taken once."""

_OASIS = "urn:oasis:names:tc:opendocument:xmlns:"
_TABLE, _TEXT = f"{{{_OASIS}table:1.0}}", f"{{{_OASIS}text:1.0}}"
_OFFICE, _STYLE = f"{{{_OASIS}office:1.0}}", f"{{{_OASIS}style:1.0}}"
_FO = f"{{{_OASIS}xsl-fo-compatible:1.0}}"
_CALC = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}"
_DC = "{http://purl.org/dc/elements/1.1/}"


def read_worksheets(data: bytes, name: str) -> Found:
    """All worksheets' filled cells. Raises SheetError where the workbook is encrypted, cut short or broken."""
    from lxml import etree

    content = data if not data.startswith(b"PK") else _content(data, name)
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, huge_tree=len(content) > 10_000_000
    )
    try:
        root = etree.fromstring(content, parser)
    except etree.XMLSyntaxError as error:
        raise SheetError(f"{name} is a workbook that is broken or cut short: ask for it again.") from error
    if b"<!DOCTYPE" in content[:8_192].replace(b"\x00", b"") or etree.ElementTree(root).docinfo.internalDTD is not None:
        raise SheetError(f"{name} declares XML entities, which no workbook may: it was not read.")
    reading = _Reading(_Styles(root))
    worksheets: list[Worksheet] = []
    for number, table in enumerate(root.iter(f"{_TABLE}table"), 1):
        if table.getparent().tag == f"{_OFFICE}spreadsheet":
            worksheets.append(reading.worksheet(table, number))
    if reading.count > MAX_CELLS:
        raise SheetError(f"{name} has more than {MAX_CELLS:,} filled cells: import only the rows with measurements.")
    if reading.uncached:
        cells = ", ".join(reading.uncached[:8])
        reading.warnings.append(f"Formulas without a stored value were left empty ({cells}): open and save it again.")
    titles = [title.text for title in root.iter(f"{_DC}title") if title.text]
    meta = {"title": titles[0]} if titles else {}
    return Found("workbook (lxml)", tuple(worksheets), tuple(reading.warnings), meta)


def _content(data: bytes, name: str) -> bytes:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = archive.namelist()
            if "META-INF/manifest.xml" in names and b"encryption-data" in archive.read("META-INF/manifest.xml"):
                raise SheetError(f"{name} is protected by a password: save it without one and import it again.")
            info = archive.getinfo("content.xml")
            if info.file_size > MAX_XML or info.file_size > max(20_000_000, 250 * info.compress_size):
                raise SheetError(f"{name} unpacks to {info.file_size / 1e6:,.0f} MB, which no measurement sheet does.")
            return archive.read(info)
    except (zipfile.BadZipFile, zlib.error, KeyError, EOFError, OSError, RuntimeError, ValueError) as error:
        raise SheetError(f"{name} is a workbook that is broken or cut short: ask for it again.") from error


class _Styles:
    """What the styles by name say about struck, bold, filled and raised text, and about hidden tables."""

    def __init__(self, root: Any) -> None:
        self.marks: dict[str, frozenset[str]] = {}
        self.raised: set[str] = set()
        self.hidden_tables: set[str] = set()
        for style in root.iter(f"{_STYLE}style"):
            self._read(style, style.get(f"{_STYLE}name", ""))

    def _read(self, style: Any, name: str) -> None:
        marks = set(self.marks.get(style.get(f"{_STYLE}parent-style-name", ""), ()))
        for part in style:
            if part.tag == f"{_STYLE}text-properties":
                struck = part.get(f"{_STYLE}text-line-through-style") or part.get(f"{_STYLE}text-line-through-type")
                marks |= {STRUCK} if struck not in (None, "none") else set()
                marks |= {EMPHASIS} if part.get(f"{_FO}font-weight") in ("bold", "700", "800", "900") else set()
                marks |= {HIDDEN} if (part.get(f"{_FO}color") or "").lower() == "#ffffff" else set()
                if str(part.get(f"{_STYLE}text-position", "")).startswith("super"):
                    self.raised.add(name)
            elif part.tag == f"{_STYLE}table-cell-properties":
                fill = part.get(f"{_FO}background-color", "transparent").lower()
                marks |= {EMPHASIS} if fill not in ("transparent", "#ffffff") else set()
            elif part.tag == f"{_STYLE}table-properties" and part.get(f"{_TABLE}display") == "false":
                self.hidden_tables.add(name)
        if EMPHASIS in marks:
            marks.discard(HIDDEN)  # white on a filled background is a header
        self.marks[name] = frozenset(marks)


class _Reading:
    def __init__(self, styles: _Styles) -> None:
        self.styles = styles
        self.warnings: list[str] = []
        self.uncached: list[str] = []
        self.count = 0

    def worksheet(self, table: Any, number: int) -> Worksheet:
        hidden = table.get(f"{_TABLE}style-name") in self.styles.hidden_tables
        worksheet = Worksheet(table.get(f"{_TABLE}name") or f"Sheet{number}", number, hidden=hidden)
        hidden_columns = _hidden_columns(table)
        row = 1
        for line in _rows(table):
            repeats = _number(line, "number-rows-repeated")
            cells = list(self._cells(line, hidden_columns))
            if line.get(f"{_TABLE}visibility", "visible") != "visible":
                cells = [(column, replace(cell, marks=cell.marks | {HIDDEN})) for column, cell in cells]
            for again in range(_times(repeats) if cells else 0):
                worksheet.cells.update(((row + again, column), cell) for column, cell in cells)
            self.count += len(cells) * _times(repeats)
            row += repeats
            if self.count > MAX_CELLS:
                break
        return worksheet

    def _cells(self, line: Any, hidden_columns: set[int]) -> Iterator[tuple[int, Filled]]:
        column = 1
        for cell in line:
            if cell.tag not in (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"):
                continue
            repeats = _number(cell, "number-columns-repeated")
            filled = self._show(cell) if cell.tag == f"{_TABLE}table-cell" else None
            if filled:
                unseen = replace(filled, marks=filled.marks | {HIDDEN})
                for again in range(_times(repeats)):
                    yield column + again, unseen if column + again in hidden_columns else filled
            column += repeats

    def _show(self, cell: Any) -> Filled | None:
        kind = cell.get(f"{_OFFICE}value-type", "")
        marks = set(self.styles.marks.get(cell.get(f"{_TABLE}style-name", ""), ()))
        text, all_struck = self._text(cell)
        if all_struck:
            marks.add(STRUCK)
        value = None
        if kind in ("float", "percentage", "currency"):
            value = _decimal(cell.get(f"{_OFFICE}value"))
            text = text or (format(value, "f") if value is not None else "")
            marks |= {NUMBER} if value is not None else set()
        elif kind in ("date", "time"):
            text = text or cell.get(f"{_OFFICE}{kind}-value", "")
            marks.add(DATE)
        elif kind == "string":
            text = text or fold(cell.get(f"{_OFFICE}string-value", ""))
        if cell.get(f"{_CALC}value-type") == "error" or text in (
            "#REF!",
            "#DIV/0!",
            "#N/A",
            "#VALUE!",
            "#NAME?",
            "#NUM!",
        ):
            marks, value = (marks | {FORMULA_ERROR}) - {NUMBER}, None
        if not text:
            if cell.get(f"{_TABLE}formula") and kind != "string":
                self.uncached.append(cell.get(f"{_TABLE}formula"))
            return None
        spans = _number(cell, "number-rows-spanned"), _number(cell, "number-columns-spanned")
        return Filled(text, value, frozenset(marks), *spans)

    def _text(self, cell: Any) -> tuple[str, bool]:
        """The cell's paragraphs; parts that are struck through are left out, unless all is struck."""
        runs = [list(self._runs(part)) for part in cell if part.tag == f"{_TEXT}p"]
        struck = [text for line in runs for text, style in line if STRUCK in self.styles.marks.get(style, ())]
        plain = [text for line in runs for text, style in line if STRUCK not in self.styles.marks.get(style, ())]
        all_struck = bool(struck) and not any(text.strip() for text in plain)
        lines: list[str] = []
        for line in runs:
            shown = ""
            for k, (text, style) in enumerate(line):
                if not all_struck and STRUCK in self.styles.marks.get(style, ()):
                    continue
                after = line[k + 1][0] if k + 1 < len(line) else ""
                shown += superscript(text, shown, after) if style in self.styles.raised else text
            lines.append(shown)
        if struck and not all_struck:
            self.warnings.append(f"A struck-through part of a cell ({' '.join(struck)!r}) was left out.")
        return fold("\n".join(lines)), all_struck

    def _runs(self, node: Any, style: str = "") -> Iterator[tuple[str, str]]:
        if node.text:
            yield node.text, style
        for part in node:
            if part.tag == f"{_TEXT}s":
                yield " " * min(_number(part, "c", _TEXT), 100), style
            elif part.tag == f"{_TEXT}tab":
                yield " ", style
            elif part.tag == f"{_TEXT}line-break":
                yield "\n", style
            elif part.tag in (f"{_TEXT}span", f"{_TEXT}a"):
                yield from self._runs(part, part.get(f"{_TEXT}style-name", style))
            if part.tail:
                yield part.tail, style


def _rows(table: Any) -> Iterator[Any]:
    """Rows in order, also those in header rows and in groups; rows of a table within a cell are not this table's."""
    for part in table:
        if part.tag == f"{_TABLE}table-row":
            yield part
        elif part.tag in (f"{_TABLE}table-header-rows", f"{_TABLE}table-row-group", f"{_TABLE}table-rows"):
            yield from _rows(part)


def _hidden_columns(table: Any) -> set[int]:
    found: set[int] = set()
    column = 1
    for part in table.iter(f"{_TABLE}table-column"):
        repeats = _number(part, "number-columns-repeated")
        if part.get(f"{_TABLE}visibility", "visible") != "visible":
            found.update(range(column, column + min(repeats, 16_384)))
        column += repeats
    return found


def _number(node: Any, attribute: str, space: str = _TABLE) -> int:
    text = node.get(f"{space}{attribute}", "1")
    return max(1, int(text)) if text.isdigit() else 1


def _times(repeats: int) -> int:
    return repeats if repeats <= _MAX_REPEATS else 1


def _decimal(text: str | None) -> Decimal | None:
    try:
        value = Decimal(text or "")
    except InvalidOperation:
        return None
    return value if value.is_finite() else None
