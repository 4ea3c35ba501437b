"""Workbooks: what a person sees at the screen, with the number behind it and the way back to the cell."""

from __future__ import annotations

import contextlib
import io
import struct
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal

import openpyxl
import pandas as pd
import pytest
import python_calamine
import xlwt
from grids import as_rows, marks_of, place_of, texts_of
from hypothesis import given
from hypothesis import strategies as st
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style, TableProperties, TextProperties
from odf.table import CoveredTableCell, Table, TableCell, TableColumn, TableRow
from odf.text import P, Span
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.styles import Font, PatternFill
from openpyxl.worksheet.table import Table as TableObject

from halfinch.errors import SheetError
from halfinch.readers.number_formats import format_date, format_number
from halfinch.readers.workbook import read, suits
from halfinch.sheet import Cell, Grid, Sheet


def save(book: openpyxl.Workbook) -> bytes:
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def read_rows(
    rows: list[list[object]], change: Callable[[openpyxl.worksheet.worksheet.Worksheet], None] | None = None
) -> Sheet:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Tall"
    for row in rows:
        sheet.append(row)
    if change:
        change(sheet)
    return read(save(book), "specs.xlsx")


def cell_at(grid: Grid, row: int, column: int) -> Cell:
    return next(cell for cell in grid.cells if (cell.row, cell.column) == (row, column))


# ---- number formats ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "code", "shown"),
    [
        pytest.param("27.5", "# ?/?", "27 1/2", id="fraction"),
        pytest.param("27.5", "# ??/16", "27 8/16", id="sixteenths-not-reduced"),
        pytest.param("27.4375", "# ??/??", "27 7/16", id="two-digits"),
        pytest.param("27.4375", "# ?/?", "27 4/9", id="one-digit-shows-what-it-shows"),
        pytest.param("27", "# ?/?", "27 ", id="whole"),
        pytest.param("0.75", "# ?/?", " 3/4", id="under-one"),
        pytest.param("0", "# ?/?", "0 ", id="nought"),
        pytest.param("27.999", "# ?/?", "28 ", id="carries"),
        pytest.param("1.5", "?/?", "3/2", id="improper"),
        pytest.param("27.5", '# ?/?"″"', "27 1/2″", id="fraction-with-inch-mark"),
        pytest.param("0.5", "+# ?/?;-# ?/?", "+ 1/2", id="signed"),
        pytest.param("27.5", "General", "27.5", id="general"),
        pytest.param("27.499999999999996", "General", "27.5", id="general-hides-binary-dust"),
        pytest.param("32.08661417322834", "General", "32.08661417", id="general-eleven-signs"),
        pytest.param("70", '0" cm"', "70 cm", id="unit-in-format"),
        pytest.param("70", "0 \\c\\m", "70 cm", id="unit-escaped"),
        pytest.param("27.5", '0.00"""', "27.50", id="broken-quote"),
        pytest.param("27.5", '0.00\\"', '27.50"', id="escaped-quote"),
        pytest.param("0.025", "0.0%", "2.5%", id="percent"),
        pytest.param("1234.5", "#,##0.00", "1,234.50", id="thousands"),
        pytest.param("0.25", "0.0", "0.3", id="half-away-from-nought"),
        pytest.param("-0.25", "0.0", "-0.3", id="half-away-from-nought-below"),
        pytest.param("-27.5", "0.0_);(0.0)", "(27.5)", id="accountants"),
        pytest.param("15", "[<10]0.0;0", "15", id="condition"),
        pytest.param("8", "00", "08", id="leading-nought"),
        pytest.param("5", ";;;", "", id="hidden"),
        pytest.param("10.5", "[$$-409]#,##0.00", "$10.50", id="currency"),
        pytest.param("-0.001", "0.0", "0.0", id="no-minus-nought"),
    ],
)
def test_numbers_are_shown_as_their_format_says(value: str, code: str, shown: str) -> None:
    """Expected: what spreadsheets show for these codes (ECMA-376 part 1, 18.8.31); from memory, common practice."""
    assert format_number(Decimal(value), code) == shown


@given(st.integers(0, 60 * 64))
def test_a_sixty_fourth_shown_as_a_fraction_is_itself(sixty_fourths: int) -> None:
    value = Decimal(sixty_fourths) / 64
    whole, _, part = format_number(value, "# ??/??").strip().rpartition(" ") if value % 1 else (str(value), "", "0/1")
    top, bottom = part.split("/")
    assert Decimal(whole or 0) + Decimal(top) / Decimal(bottom) == value


@pytest.mark.parametrize(
    ("value", "code", "shown"),
    [
        pytest.param(datetime(2024, 3, 4), "d-mmm", "4-Mar", id="three-quarters-that-became-a-date"),
        pytest.param(datetime(2024, 3, 4), "dd/mm/yyyy", "04/03/2024", id="slashes"),
        pytest.param(datetime(2024, 3, 4, 5, 6), "h:mm AM/PM", "5:06 AM", id="minutes-after-hours"),
        pytest.param(datetime(2024, 3, 4, 5, 6, 7), "mm:ss", "06:07", id="minutes-before-seconds"),
        pytest.param(time(3, 4), "h:mm", "3:04", id="time"),
        pytest.param(date(2024, 3, 4), "mmmm yyyy", "March 2024", id="month"),
    ],
)
def test_dates_are_shown_as_their_format_says(value: datetime | date | time, code: str, shown: str) -> None:
    assert format_date(value, code) == shown


# ---- XLSX --------------------------------------------------------------------------------------------------


def test_text_value_and_place() -> None:
    def change(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
        sheet["B2"].number_format = "# ?/?"

    grid = read_rows([["Point", "8"], ["Waist", 27.5]], change).grids[0]
    cell = cell_at(grid, 2, 2)
    assert (cell.text, cell.value, cell.place) == ("27 1/2", Decimal("27.5"), "sheet=Tall;cell=B2")
    assert (grid.caption, grid.page) == ("Tall", 1)


def test_title_and_note_are_texts_each_cell_once() -> None:
    def change(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
        sheet.merge_cells("A1:C1")

    rows: list[list[object]] = [
        ["Flora"],
        ["Point", "8", "10"],
        ["Waist", 28, 29],
        ["Hip", 38, 39],
        [],
        ["Laid flat, all in inches."],
    ]
    sheet = read_rows(rows, change)
    assert [(t.kind, t.text, t.place) for t in sheet.texts] == [
        ("heading", "Flora", "sheet=Tall;cell=A1"),
        ("paragraph", "Laid flat, all in inches.", "sheet=Tall;cell=A6"),
    ]
    assert as_rows(sheet.grids[0])[0] == ["Point", "8", "10"]


def test_merged_cells_keep_their_spans() -> None:
    def change(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
        sheet.merge_cells("B1:C1")
        sheet.merge_cells("D1:E1")
        sheet.merge_cells("A1:A2")

    rows: list[list[object]] = [
        ["Point", "Petite", None, "Tall"],
        [None, "8", "10", "8", "10"],
        ["Inseam", 27, 27, 34, 34],
    ]
    grid = read_rows(rows, change).grids[0]
    assert [(c.text, c.row_span, c.column_span) for c in grid.cells if c.row == 1] == [
        ("Point", 2, 1),
        ("Petite", 1, 2),
        ("Tall", 1, 2),
    ]


def test_marks_of_hidden_struck_bold_and_white() -> None:
    def change(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
        sheet.row_dimensions[3].hidden = True
        sheet.column_dimensions["D"].hidden = True
        sheet["B2"].font = Font(strike=True)
        sheet["A1"].font = Font(bold=True)
        sheet["B1"].fill = PatternFill("solid", fgColor="FFDDEEFF")
        sheet["C2"].font = Font(color="FFFFFFFF")
        sheet["C1"].number_format = ";;;"

    grid = read_rows([["Point", "8", 10, "old"], ["Waist", 28, 29, 30], ["Hip", 38, 39, 40]], change).grids[0]
    assert marks_of(grid, "Point") == {"emphasis"}
    assert marks_of(grid, "8") == {"emphasis"}
    assert marks_of(grid, "28") == {"number", "struck"}
    assert marks_of(grid, "29") == {"number", "hidden"}
    assert marks_of(grid, "10") == {"number", "hidden"}
    assert marks_of(grid, "38") == {"number", "hidden"}
    assert marks_of(grid, "30") == {"number", "hidden"}


def test_a_hidden_worksheet_is_marked_as_a_whole() -> None:
    book = openpyxl.Workbook()
    assert book.active is not None
    book.active.append(["Waist", 28])
    old = book.create_sheet("old")
    old.append(["Waist", 31])
    old.sheet_state = "veryHidden"
    sheet = read(save(book), "a.xlsx")
    assert [grid.marks for grid in sheet.grids] == [frozenset(), {"hidden"}]
    assert marks_of(sheet.grids[1], "31") == {"number", "hidden"}


def test_a_fraction_that_became_a_date_is_marked() -> None:
    def change(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
        sheet["B2"].number_format = "d-mmm"

    cell = cell_at(read_rows([["Point", "8"], ["Rise", datetime(2024, 3, 4)]], change).grids[0], 2, 2)
    assert (cell.text, cell.value, cell.marks) == ("4-Mar", None, {"date"})


def test_formulas_give_their_stored_value_or_a_warning() -> None:
    sheet = read_rows([["Point", "8", "10"], ["Waist", 28, "=B2+1"], ["Hip", "#DIV/0!", 39]])
    assert as_rows(sheet.grids[0])[1] == ["Waist", "28", ""]
    assert "C2" in sheet.warnings[0]
    assert marks_of(sheet.grids[0], "#DIV/0!") == {"formula-error"}


@pytest.mark.parametrize(
    ("parts", "text"),
    [
        pytest.param(
            ["27", TextBlock(InlineFont(vertAlign="superscript"), "1"), "/2"], "27 1/2", id="raised-numerator"
        ),
        pytest.param(["27", TextBlock(InlineFont(vertAlign="superscript"), "1/2")], "27 1/2", id="raised-fraction"),
        pytest.param(["28", TextBlock(InlineFont(vertAlign="superscript"), "1")], "28¹", id="footnote"),
        pytest.param([TextBlock(InlineFont(strike=True), "31"), " 32"], "32", id="struck-part"),
    ],
)
def test_parts_of_a_cell_with_fonts_of_their_own(parts: list[object], text: str) -> None:
    sheet = read_rows([["Point", "8"], ["Waist", CellRichText(*parts)]])
    assert as_rows(sheet.grids[0])[1] == ["Waist", text]
    assert bool(sheet.warnings) == (text == "32")


def test_a_table_object_names_its_header() -> None:
    def change(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
        sheet.add_table(TableObject(displayName="Specs", ref="A1:B3"))

    grid = read_rows([["Point", "8"], ["Waist", 28], ["Hip", 38]], change).grids[0]
    assert marks_of(grid, "Point") == {"header"}
    assert marks_of(grid, "Hip") == set()


def test_tables_in_one_worksheet_and_a_stray_cell_far_away() -> None:
    def change(sheet: openpyxl.worksheet.worksheet.Worksheet) -> None:
        sheet["XFD1048576"] = "far"

    rows: list[list[object]] = [["P", "8", "10"], ["Waist", 28, 29], [], ["Bruno"], ["P", "8", "10"], ["Waist", 30, 31]]
    sheet = read_rows(rows, change)
    assert [as_rows(grid)[1] for grid in sheet.grids] == [["Waist", "28", "29"], ["Waist", "30", "31"]]
    assert texts_of(sheet) == ["Bruno", "far"]
    assert place_of(sheet.grids[1], "31") == "sheet=Tall;cell=C6"


def test_titles_in_one_row_over_tables_side_by_side_lead_each_to_its_own() -> None:
    table = [["P", "8", "10"], ["1/2 Waist", 14, 15], ["1/2 Hip", 18, 19], ["1/2 Knee", 8, 9]]
    rows: list[list[object]] = [["Alma", None, None, None, None, "Berta"], []]
    rows += [[*row, None, None, *row] for row in table]
    sheet = read_rows(rows)
    assert [(block.order, texts_of(sheet)) for block in sheet.grids] == [(1, ["Alma", "Berta"]), (3, ["Alma", "Berta"])]
    assert {text.text: text.order for text in sheet.texts} == {"Alma": 0, "Berta": 2}


def test_a_blank_column_within_a_table_does_not_split_it() -> None:
    grid = read_rows([["P", "8", None, "10"], ["Waist", 28, None, 29], ["Hip", 38, None, 39]]).grids
    assert [as_rows(g)[1] for g in grid] == [["Waist", "28", "", "29"]]


def test_a_blank_row_under_the_header_of_a_table_that_stands_to_the_right_does_not_split_it() -> None:
    rows: list[list[object]] = [[None, "P", "8", "10"], [], [None, "Waist", 28, 29], [None, "Hip", 38, 39]]
    (grid,) = read_rows(rows).grids
    assert as_rows(grid)[0] == ["P", "8", "10"]


def test_numbers_agree_with_two_other_readers() -> None:
    rows: list[list[object]] = [["P", "8", "10"], ["Waist", 27.5, 28.25], ["Hip", 38, 39.125]]
    book = openpyxl.Workbook()
    assert book.active is not None
    for row in rows:
        book.active.append(row)
    data = save(book)
    values = [
        [c.text if c.value is None else float(c.value) for c in read(data, "a.xlsx").grids[0].cells][k : k + 3]
        for k in (0, 3, 6)
    ]
    assert values == pd.read_excel(io.BytesIO(data), header=None, dtype=object, engine="openpyxl").to_numpy().tolist()
    assert values == python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0).to_python()


# ---- XLS -----------------------------------------------------------------------------------------------------


def test_xls() -> None:
    book = xlwt.Workbook()
    sheet = book.add_sheet("Tall")
    sheet.write_merge(0, 0, 0, 2, "Flora")
    for column, text in enumerate(["Point", 8, "10"]):
        sheet.write(1, column, text)
    sheet.write(2, 0, "Waist")
    sheet.write(2, 1, 27.5, xlwt.easyxf(num_format_str="# ?/?"))
    sheet.write(2, 2, 28.0, xlwt.easyxf("font: struck_out on"))
    sheet.write(3, 0, "Rise")
    sheet.write(3, 1, datetime(2024, 3, 4), xlwt.easyxf(num_format_str="d-mmm"))
    raised = xlwt.easyfont("escapement superscript")
    sheet.write_rich_text(3, 2, ("9", ("3", raised), "/4"))
    sheet.write(4, 0, "old")
    sheet.write(4, 1, 31)
    sheet.row(4).hidden = True
    stream = io.BytesIO()
    book.save(stream)
    found = read(stream.getvalue(), "really-old.csv")
    assert texts_of(found) == ["Flora"]
    grid = found.grids[0]
    assert as_rows(grid) == [
        ["Point", "8", "10"],
        ["Waist", "27 1/2", "28"],
        ["Rise", "4-Mar", "9 3/4"],
        ["old", "31", ""],
    ]
    assert cell_at(grid, 2, 2).value == Decimal("27.5")
    assert marks_of(grid, "28") == {"number", "struck"}
    assert marks_of(grid, "4-Mar") == {"date"}
    assert marks_of(grid, "31") == {"number", "hidden"}
    assert place_of(grid, "27 1/2") == "sheet=Tall;cell=B3"


# ---- ODS -----------------------------------------------------------------------------------------------------


def _ods(fill: Callable[[OpenDocumentSpreadsheet, Table], None]) -> bytes:
    document = OpenDocumentSpreadsheet()
    table = Table(name="Tall")
    fill(document, table)
    document.spreadsheet.addElement(table)
    stream = io.BytesIO()
    document.save(stream)
    return stream.getvalue()


def _ods_row(table: Table, *cells: object, **options: object) -> None:
    row = TableRow(**options)
    for cell in cells:
        if isinstance(cell, tuple):
            made = TableCell(valuetype="float", value=cell[0], **(cell[2] if len(cell) > 2 else {}))
            made.addElement(P(text=cell[1]))
        elif isinstance(cell, str):
            made = TableCell(valuetype="string")
            made.addElement(P(text=cell))
        else:
            made = cell
        row.addElement(made)
    table.addElement(row)


def test_ods_takes_the_text_as_displayed() -> None:
    def fill(document: OpenDocumentSpreadsheet, table: Table) -> None:
        struck = Style(name="struck", family="table-cell")
        struck.addElement(TextProperties(textlinethroughstyle="solid"))
        raised = Style(name="raised", family="text")
        raised.addElement(TextProperties(textposition="super 58%"))
        document.automaticstyles.addElement(struck)
        document.automaticstyles.addElement(raised)
        table.addElement(TableColumn(numbercolumnsrepeated=3))
        table.addElement(TableColumn(visibility="collapse"))
        title = TableCell(valuetype="string", numbercolumnsspanned=3)
        title.addElement(P(text="Flora"))
        _ods_row(table, title, CoveredTableCell(numbercolumnsrepeated=2))
        _ods_row(table, "Point", "8", "10", "old")
        _ods_row(table, "Waist", (27.5, "27 1/2"), (28, "28", {"stylename": "struck"}), (31, "31"))
        mixed = TableCell(valuetype="string")
        paragraph = P(text="9")
        paragraph.addElement(Span(text="3", stylename="raised"))
        paragraph.addText("/4")
        mixed.addElement(paragraph)
        _ods_row(table, "Rise", mixed, TableCell(numbercolumnsrepeated=1000))
        _ods_row(table, TableCell(numbercolumnsrepeated=1024), numberrowsrepeated=1_048_000)
        _ods_row(table, "Hip", (38, "38"), visibility="filter")

    sheet = read(_ods(fill), "a.ods")
    first = sheet.grids[0]
    assert texts_of(sheet) == ["Flora"]
    assert as_rows(first)[:3] == [
        ["Point", "8", "10", "old"],
        ["Waist", "27 1/2", "28", "31"],
        ["Rise", "9 3/4", "", ""],
    ]
    assert cell_at(first, 2, 2).value == Decimal("27.5")
    assert marks_of(first, "28") == {"number", "struck"}
    assert marks_of(first, "31") == {"number", "hidden"}
    hip = next(cell for grid in sheet.grids for cell in grid.cells if cell.text == "38")
    assert hip.marks == {"number", "hidden"}
    assert hip.place == "sheet=Tall;cell=B1048005"


def test_an_ods_table_that_is_not_displayed_is_hidden() -> None:
    def fill(document: OpenDocumentSpreadsheet, table: Table) -> None:
        style = Style(name="gone", family="table")
        style.addElement(TableProperties(display="false"))
        document.automaticstyles.addElement(style)
        table.setAttribute("stylename", "gone")
        _ods_row(table, "Waist", (28, "28"))

    assert read(_ods(fill), "a.ods").grids[0].marks == {"hidden"}


XML_BOOK = """<?xml version="1.0"?>
<?mso-application progid="Excel.Sheet"?>
<Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet" xmlns:ss="urn:schemas-microsoft-com:office:spreadsheet">
 <Styles>
  <Style ss:ID="half"><NumberFormat ss:Format="# ?/?"/></Style>
  <Style ss:ID="old" ss:Parent="half"><Font ss:StrikeThrough="1"/></Style>
  <Style ss:ID="day"><NumberFormat ss:Format="d-mmm"/></Style>
 </Styles>
 <Worksheet ss:Name="Tall"><Table>
  <Row><Cell ss:MergeAcross="2"><Data ss:Type="String">Flora</Data></Cell></Row>
  <Row ss:Index="3"><Cell><Data ss:Type="String">Point</Data></Cell><Cell><Data ss:Type="String">8</Data></Cell>
   <Cell><Data ss:Type="String">10</Data></Cell></Row>
  <Row><Cell><Data ss:Type="String">Waist</Data></Cell><Cell ss:StyleID="half"><Data ss:Type="Number">27.5</Data></Cell>
   <Cell ss:StyleID="old"><Data ss:Type="Number">28.5</Data></Cell></Row>
  <Row ss:Hidden="1"><Cell><Data ss:Type="String">Rise</Data></Cell>
   <Cell ss:Index="3" ss:StyleID="day"><Data ss:Type="DateTime">2024-03-04T00:00:00.000</Data></Cell></Row>
 </Table></Worksheet>
</Workbook>"""


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_xml_spreadsheet(encoding: str) -> None:
    sheet = read(XML_BOOK.encode(encoding), "export.xls")
    assert texts_of(sheet) == ["Flora"]
    grid = sheet.grids[0]
    assert as_rows(grid) == [["Point", "8", "10"], ["Waist", "27 1/2", "28 1/2"], ["Rise", "", "4-Mar"]]
    assert marks_of(grid, "28 1/2") == {"number", "struck"}
    assert marks_of(grid, "4-Mar") == {"date", "hidden"}
    assert place_of(grid, "27 1/2") == "sheet=Tall;cell=B4"


# ---- bad input -------------------------------------------------------------------------------------------------


def _with_part(data: bytes, part: str, change: Callable[[bytes], bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            content = old.read(info)
            new.writestr(info.filename, change(content) if info.filename == part else content)
    return stream.getvalue()


def _plain_book() -> bytes:
    book = openpyxl.Workbook()
    assert book.active is not None
    for row in [["Point", "8"], ["Waist", 28], ["Hip", 38]]:
        book.active.append(row)
    return save(book)


def test_a_book_with_macros_reads_like_one_without() -> None:
    plain, macros = b"spreadsheetml.sheet.main+xml", b"ms-excel.sheet.macroEnabled.main+xml"
    name = "[Content_Types].xml"
    kind = b"application/vnd.openxmlformats-officedocument." + plain
    data = _with_part(_plain_book(), name, lambda xml: xml.replace(kind, b"application/vnd." + macros))
    assert data != _with_part(_plain_book(), name, lambda xml: xml)
    assert [cell.text for cell in read(data, "a.xlsm").grids[0].cells] == ["Point", "8", "Waist", "28", "Hip", "38"]


ENTITY = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY secret SYSTEM "file:///etc/hostname">]>'


def _encrypted() -> bytes:
    """An OLE2 file whose directory names the stream of an encrypted package, as password protection makes it."""
    entry = "EncryptedPackage".encode("utf-16-le").ljust(128, b"\0")
    return b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504) + entry + bytes(1000)


@pytest.mark.parametrize(
    ("data", "name", "says"),
    [
        pytest.param(_plain_book()[:3000], "a.xlsx", "cut short", id="xlsx-cut-short"),
        pytest.param(_encrypted(), "a.xlsx", "password", id="password"),
        pytest.param(save(openpyxl.Workbook()), "a.xlsx", "is empty", id="no-filled-cell"),
        pytest.param(
            _with_part(_plain_book(), "xl/worksheets/sheet1.xml", lambda xml: ENTITY + xml),
            "a.xlsx",
            "entities",
            id="entity",
        ),
        pytest.param(
            ENTITY + XML_BOOK.partition("?>")[2].encode(), "a.xls", "entities", id="entity-in-xml-spreadsheet"
        ),
        pytest.param(
            _with_part(
                _ods(lambda _, table: _ods_row(table, "Waist")),
                "content.xml",
                lambda xml: ENTITY + xml.partition(b"?>")[2],
            ),
            "a.ods",
            "entities",
            id="entity-in-ods",
        ),
        pytest.param(
            _with_part(_plain_book(), "xl/worksheets/sheet1.xml", lambda xml: xml + b" " * 25_000_000),
            "a.xlsx",
            "unpacks to",
            id="bomb",
        ),
        pytest.param(
            _with_part(_plain_book(), "xl/worksheets/sheet1.xml", lambda xml: xml[:200]), "a.xlsx", "broken", id="xml"
        ),
    ],
)
def test_bad_workbooks_are_refused_in_one_sentence(data: bytes, name: str, says: str) -> None:
    with pytest.raises(SheetError, match=says) as caught:
        read(data, name)
    assert name in str(caught.value)
    assert "\n" not in str(caught.value)


def test_every_cut_of_a_workbook_is_refused_not_crashed() -> None:
    book = xlwt.Workbook()
    book.add_sheet("a").write(0, 0, "Waist")
    stream = io.BytesIO()
    book.save(stream)
    for data in (_plain_book(), stream.getvalue()):
        for share in range(1, 20):
            cut = data[: len(data) * share // 20]
            with contextlib.suppress(SheetError):
                assert isinstance(read(cut, "cut"), Sheet)


def test_broken_styles_lose_the_formats_not_the_figures() -> None:
    data = _with_part(
        _plain_book(),
        "xl/styles.xml",
        lambda xml: xml.replace(b"<fonts", b'<fonts count="x"><font><sz val="big"/></font></fonts><fonts', 1),
    )
    sheet = read(data, "a.xlsx")
    assert as_rows(sheet.grids[0])[1] == ["Waist", "28"]
    assert sheet.warnings


def test_a_merge_over_whole_columns_does_not_hang() -> None:
    def merge(xml: bytes) -> bytes:
        return xml.replace(
            b"</sheetData>", b'</sheetData><mergeCells count="1"><mergeCell ref="C1:XFD1048576"/></mergeCells>'
        )

    sheet = read(_with_part(_plain_book(), "xl/worksheets/sheet1.xml", merge), "a.xlsx")
    assert as_rows(sheet.grids[0])[1] == ["Waist", "28"]


def test_suits_goes_by_the_bytes() -> None:
    assert suits(_plain_book(), "a.csv") == 1
    assert suits(b"<table><tr><td>1</table>", "a.xls") == 0
    assert suits(struct.pack("<HHHH", 0x0009, 4, 2, 0x10), "a") == 1
