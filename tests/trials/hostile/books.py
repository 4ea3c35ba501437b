"""Workbooks whose XML laughs, reaches out or unpacks to more than they hold."""

from __future__ import annotations

import io
import os
import struct

from .corpus import FIGURES, HONEST, trick, zipped

_TYPES = "http://schemas.openxmlformats.org/package/2006"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"
PARTS = {
    "[Content_Types].xml": f'<?xml version="1.0"?><Types xmlns="{_TYPES}/content-types"><Default Extension="xml" '
    'ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.'
    f'relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="{_KIND}.sheet.main+xml"/><Override '
    f'PartName="/xl/worksheets/sheet1.xml" ContentType="{_KIND}.worksheet+xml"/></Types>',
    "_rels/.rels": f'<?xml version="1.0"?><Relationships xmlns="{_TYPES}/relationships"><Relationship Id="rId1" '
    f'Type="{_OFFICE}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
    "xl/workbook.xml": f'<?xml version="1.0"?><workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><sheets><sheet name="S" '
    'sheetId="1" r:id="rId1"/></sheets></workbook>',
    "xl/_rels/workbook.xml.rels": f'<?xml version="1.0"?><Relationships xmlns="{_TYPES}/relationships"><Relationship '
    f'Id="rId1" Type="{_OFFICE}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>',
}
LAUGHS = '<!ENTITY a0 "ha">' + "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10))


def text_cell(at: str, text: str) -> str:
    return f'<c r="{at}" t="inlineStr"><is><t>{text}</t></is></c>'


def row(number: int, *texts: str) -> str:
    cells = "".join(text_cell(f"{'ABCDEFG'[at]}{number}", text) for at, text in enumerate(texts))
    return f'<row r="{number}">{cells}</row>'


ROWS = "".join(row(number, *line.split(",")) for number, line in enumerate(HONEST.splitlines(), 1))


def xlsx(rows: str = ROWS, before: str = "", after: str = "", **parts: str) -> bytes:
    sheet = f'<?xml version="1.0"?>{before}<worksheet xmlns="{_MAIN}"><sheetData>{rows}</sheetData>{after}</worksheet>'
    return zipped({**PARTS, "xl/worksheets/sheet1.xml": sheet, **parts}.items())


@trick("xlsx", "read", figures=FIGURES)
def a_plain_workbook(count: int) -> bytes:
    return xlsx()


@trick("xlsx", "failed", says="broken|tight|unpacks", full=190_000_000, short=30_000_000)
def blanks_in_a_row(count: int) -> bytes:
    return xlsx(f'<row r="1">{" " * count}</row>')


@trick("xlsx", "failed", says="entities|broken")
def a_billion_laughs(count: int) -> bytes:
    return xlsx(f'<row r="1">{text_cell("A1", "&a9;")}</row>', f"<!DOCTYPE x [{LAUGHS}]>")


@trick("xlsx", "failed", says="entities|broken")
def a_foreign_entity(count: int) -> bytes:
    return xlsx(
        f'<row r="1">{text_cell("A1", "&a0;")}</row>', '<!DOCTYPE x [<!ENTITY a0 SYSTEM "file:///etc/passwd">]>'
    )


@trick("xlsx", "failed", "read", "nothing", says="")
def laughs_in_the_shared_strings(count: int) -> bytes:
    strings = f'<?xml version="1.0"?><!DOCTYPE x [{LAUGHS}]><sst xmlns="{_MAIN}"><si><t>&a9;</t></si></sst>'
    rels = PARTS["xl/_rels/workbook.xml.rels"].replace(
        "</Relationships>",
        f'<Relationship Id="rId2" Type="{_OFFICE}/sharedStrings" Target="sharedStrings.xml"/></Relationships>',
    )
    parts = {"xl/sharedStrings.xml": strings, "xl/_rels/workbook.xml.rels": rels}
    return xlsx('<row r="1"><c r="A1" t="s"><v>0</v></c></row>', **parts)


@trick("xlsx", "failed", "nothing", "read")
def a_worksheet_out_of_the_workbook(count: int) -> bytes:
    rels = PARTS["xl/_rels/workbook.xml.rels"].replace("worksheets/sheet1.xml", "../../../../../etc/passwd")
    return xlsx(**{"xl/_rels/workbook.xml.rels": rels})


@trick("xlsx", "nothing")
def a_cell_far_away(count: int) -> bytes:
    far = '<row r="1048576"><c r="XFD1048576"><v>2</v></c></row>'
    return xlsx(f'<row r="1"><c r="A1"><v>1</v></c></row>{far}')


@trick("xlsx", "nothing", "failed", full=20_000, short=500)
def many_cells_far_away(count: int) -> bytes:
    return xlsx(
        "".join(f'<row r="{r}"><c r="A{r}"><v>1</v></c><c r="XFD{r}"><v>2</v></c></row>' for r in range(1, count))
    )


@trick("xlsx", "read", "partly", figures=FIGURES, full=20_000, short=500)
def cells_merged_over_everything(count: int) -> bytes:
    merged = "".join(f'<mergeCell ref="A{row}:XFD{row + 1}"/>' for row in range(10, count, 2))
    return xlsx(after=f'<mergeCells>{merged}<mergeCell ref="F1:XFD1048576"/></mergeCells>')


@trick("xlsx", "partly", "nothing", "failed", says="characters", full=15_000_000, short=300_000)
def a_cell_of_megabytes(count: int) -> bytes:
    return xlsx(f'<row r="1">{text_cell("A1", os.urandom(count).hex())}</row>')


@trick("xlsx", "partly", "nothing", "failed", full=1_000_000_000, short=30_000_000)
def a_cell_of_a_gigabyte(count: int) -> bytes:
    return xlsx(f'<row r="1">{text_cell("A1", "0" * count)}</row>')


@trick("xlsx", "read", "partly", figures=FIGURES, full=500_000, short=20_000)
def styles_by_the_thousand(count: int) -> bytes:
    styles = f'<?xml version="1.0"?><styleSheet xmlns="{_MAIN}"><cellXfs>{"<xf/>" * count}</cellXfs></styleSheet>'
    return xlsx(**{"xl/styles.xml": styles})


@trick("xlsx", "failed", "nothing", full=100_000, short=20_000)
def xml_nested_deep(count: int) -> bytes:
    return xlsx("<row>" * count + "</row>" * count)


# ---- OpenDocument ---------------------------------------------------------------------------------------------------

_OASIS = "urn:oasis:names:tc:opendocument:xmlns"


def ods(rows: str, before: str = "") -> bytes:
    content = (
        f'<?xml version="1.0"?>{before}<office:document-content xmlns:office="{_OASIS}:office:1.0" '
        f'xmlns:table="{_OASIS}:table:1.0" xmlns:text="{_OASIS}:text:1.0" office:version="1.2"><office:body>'
        f'<office:spreadsheet><table:table table:name="a">{rows}</table:table></office:spreadsheet></office:body>'
        "</office:document-content>"
    )
    return zipped([("mimetype", "application/vnd.oasis.opendocument.spreadsheet"), ("content.xml", content)])


def ods_cell(text: str, more: str = "") -> str:
    return f'<table:table-cell office:value-type="string" {more}><text:p>{text}</text:p></table:table-cell>'


ODS_ROWS = "".join(
    f"<table:table-row>{''.join(ods_cell(text) for text in line.split(','))}</table:table-row>"
    for line in HONEST.splitlines()
)


@trick("ods", "read", figures=FIGURES, full=1_048_576, short=1_048_576)
def cells_repeated_to_the_edge(count: int) -> bytes:
    edge = ods_cell("x", 'table:number-columns-repeated="16384"')
    blank = '<table:table-cell table:number-columns-repeated="16384"/>'
    back = f'<table:table-row table:number-rows-repeated="{count}">{edge}</table:table-row>'
    return ods(f"{ODS_ROWS}<table:table-row>{blank}</table:table-row>{back}")


@trick("ods", "read", "partly", "nothing", full=3_000, short=300)
def rows_repeated_many_times(count: int) -> bytes:
    cell = ods_cell("Inseam 30", 'table:number-columns-repeated="999"')
    return ods(f'<table:table-row table:number-rows-repeated="999">{cell}</table:table-row>' * count)


@trick("ods", "failed", says="entities|broken")
def laughs_in_a_document(count: int) -> bytes:
    return ods(f"<table:table-row>{ods_cell('&a9;')}</table:table-row>", f"<!DOCTYPE x [{LAUGHS}]>")


@trick("ods", "failed", says="entities")
def a_foreign_entity_in_a_document(count: int) -> bytes:
    foreign = '<!DOCTYPE x [<!ENTITY a0 SYSTEM "file:///etc/passwd">]>'
    return ods(f"<table:table-row>{ods_cell('&a0;')}</table:table-row>", foreign)


@trick("xml", "failed", says="entities")
def laughs_in_an_xml_spreadsheet(count: int) -> bytes:
    space = "urn:schemas-microsoft-com:office:spreadsheet"
    cell = '<ss:Cell><ss:Data ss:Type="String">&a9;</ss:Data></ss:Cell>'
    return (
        f'<?xml version="1.0"?><!DOCTYPE x [{LAUGHS}]>'
        f'<ss:Workbook xmlns:ss="{space}"><ss:Worksheet ss:Name="a"><ss:Table>'
        f"<ss:Row>{cell}</ss:Row></ss:Table></ss:Worksheet></ss:Workbook>"
    ).encode()


@trick("xml", "read", "partly", "nothing", full=1_000_000_000, short=1_000_000_000)
def an_index_of_a_billion(count: int) -> bytes:
    space = "urn:schemas-microsoft-com:office:spreadsheet"
    cell = f'<ss:Cell ss:Index="{count}" ss:MergeAcross="{count}"><ss:Data ss:Type="String">x</ss:Data></ss:Cell>'
    return (
        f'<?xml version="1.0"?><ss:Workbook xmlns:ss="{space}"><ss:Worksheet ss:Name="a"><ss:Table>'
        f'<ss:Row ss:Index="{count}" ss:Span="{count}">{cell}</ss:Row></ss:Table></ss:Worksheet></ss:Workbook>'
    ).encode()


@trick("xls", "failed", "nothing", says="")
def sectors_in_a_ring(count: int) -> bytes:
    import xlwt

    book = xlwt.Workbook()
    worksheet = book.add_sheet("a")
    worksheet.write(0, 0, "Inseam")
    worksheet.write(0, 1, 30)
    saved = io.BytesIO()
    book.save(saved)
    data = bytearray(saved.getvalue())
    table = 512 + struct.unpack_from("<I", data, 76)[0] * 512
    for sector in range(128):
        struct.pack_into("<I", data, table + 4 * sector, sector)
    return bytes(data)
