"""XML spreadsheets of 2003, which many shop systems still write and call ``.xls``."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from halfinch.errors import SheetError
from halfinch.readers.folding import fold
from halfinch.readers.number_formats import format_date, hides_value
from halfinch.readers.workbook_xlsx import show_typed
from halfinch.readers.worksheets import MAX_CELLS, Filled, Found, Worksheet
from halfinch.sheet import DATE, EMPHASIS, FORMULA_ERROR, HIDDEN, STRUCK

_SS = "{urn:schemas-microsoft-com:office:spreadsheet}"
_X = "{urn:schemas-microsoft-com:office:excel}"
# The format names that stand for codes in this dialect.
_NAMED = {
    "General Number": "General",
    "Fixed": "0.00",
    "Standard": "#,##0.00",
    "Percent": "0.00%",
    "Scientific": "0.00E+00",
    "Short Date": "yyyy-mm-dd",
    "Medium Date": "d-mmm-yy",
    "Long Date": "d mmmm yyyy",
    "General Date": "yyyy-mm-dd h:mm",
    "Short Time": "h:mm",
}


@dataclass(frozen=True, slots=True)
class _Style:
    code: str = "General"
    marks: frozenset[str] = frozenset()


def read_worksheets(data: bytes, name: str) -> Found:
    """All worksheets' filled cells. Raises SheetError where the XML is broken or declares entities."""
    from lxml import etree

    if b"<!DOCTYPE" in data[:8_192].replace(b"\x00", b""):
        raise SheetError(f"{name} declares XML entities, which no workbook may: it was not read.")
    try:
        root = etree.fromstring(data, etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False))
    except etree.XMLSyntaxError as error:
        raise SheetError(f"{name} is a workbook that is broken or cut short: ask for it again.") from error
    styles = _styles(root)
    worksheets: list[Worksheet] = []
    for number, node in enumerate(root.iter(f"{_SS}Worksheet"), 1):
        visible = node.findtext(f"{_X}WorksheetOptions/{_X}Visible", "SheetVisible")
        worksheet = Worksheet(node.get(f"{_SS}Name") or f"Sheet{number}", number, hidden=visible != "SheetVisible")
        for table in node.iter(f"{_SS}Table"):
            _fill(worksheet, table, styles)
        worksheets.append(worksheet)
    if sum(len(worksheet.cells) for worksheet in worksheets) > MAX_CELLS:
        raise SheetError(f"{name} has more than {MAX_CELLS:,} filled cells: import only the rows with measurements.")
    return Found("workbook (lxml)", tuple(worksheets))


def _styles(root: Any) -> dict[str, _Style]:
    found: dict[str, _Style] = {}
    for node in root.iter(f"{_SS}Style"):
        parent = found.get(node.get(f"{_SS}Parent", ""), _Style())
        code, marks = parent.code, set(parent.marks)
        form, font, fill = (node.find(f"{_SS}{part}") for part in ("NumberFormat", "Font", "Interior"))
        if form is not None:
            code = form.get(f"{_SS}Format", code)
            code = _NAMED.get(code, code)
        if font is not None and font.get(f"{_SS}StrikeThrough") == "1":
            marks.add(STRUCK)
        filled = fill is not None and fill.get(f"{_SS}Pattern") == "Solid" and fill.get(f"{_SS}Color") != "#FFFFFF"
        if filled or (font is not None and font.get(f"{_SS}Bold") == "1"):
            marks.add(EMPHASIS)
        if hides_value(code):
            marks.add(HIDDEN)
        found[node.get(f"{_SS}ID", "")] = _Style(code, frozenset(marks))
    return found


def _fill(worksheet: Worksheet, table: Any, styles: dict[str, _Style]) -> None:
    hidden_columns: set[int] = set()
    column = 0
    for node in table.iterchildren(f"{_SS}Column"):
        first = _number(node, "Index", column + 1)
        column = first + _number(node, "Span", 0)
        if node.get(f"{_SS}Hidden") == "1":
            hidden_columns.update(range(first, min(column, 16_384) + 1))
    row = 0
    for line in table.iterchildren(f"{_SS}Row"):
        row = _number(line, "Index", row + 1)
        column = 0
        for node in line.iterchildren(f"{_SS}Cell"):
            column = _number(node, "Index", column + 1)
            style = styles.get(node.get(f"{_SS}StyleID") or line.get(f"{_SS}StyleID") or "Default", _Style())
            text, value, marks = _show(node.find(f"{_SS}Data"), style.code)
            across, down = _number(node, "MergeAcross", 0), _number(node, "MergeDown", 0)
            if text:
                hidden = line.get(f"{_SS}Hidden") == "1" or column in hidden_columns
                marks = marks | style.marks | ({HIDDEN} if hidden else set())
                worksheet.cells[row, column] = Filled(text, value, marks, down + 1, across + 1)
            column += across
        row += _number(line, "Span", 0)


def _show(data: Any, code: str) -> tuple[str, Decimal | None, frozenset[str]]:
    if data is None:
        return "", None, frozenset()
    kind, text = data.get(f"{_SS}Type", "String"), "".join(data.itertext())
    if kind == "Number":
        try:
            return show_typed(Decimal(text.strip()), code)
        except InvalidOperation:
            return fold(text), None, frozenset()
    if kind == "DateTime":
        try:
            return (
                fold(format_date(datetime.fromisoformat(text.strip().removesuffix("Z")), code)),
                None,
                frozenset({DATE}),
            )
        except ValueError:
            return fold(text), None, frozenset({DATE})
    if kind == "Error":
        return fold(text) or "#ERROR!", None, frozenset({FORMULA_ERROR})
    if kind == "Boolean":
        return ("TRUE" if text.strip() == "1" else "FALSE"), None, frozenset()
    return fold(text), None, frozenset()


def _number(node: Any, attribute: str, default: int) -> int:
    text = node.get(f"{_SS}{attribute}", "")
    return int(text) if text.isdigit() and len(text) < 8 else default
