"""Workbooks (XLSX, XLSM, XLSB, XLS, XML, ODS, FODS) as a Sheet: every filled cell with the text a person sees.

`workbook_xlsx`, `workbook_xls`, `workbook_xml` and `workbook_ods` read the cells; where tables lie is found by
`tables_in_rows`. A title directly above a table becomes a heading text, a title between its rows stays in the grid as
a section row. Comments, drawings and charts are left out.
"""

from __future__ import annotations

from halfinch.errors import SheetError
from halfinch.readers.signatures import kind_of
from halfinch.readers.worksheets import build_sheet
from halfinch.sheet import Sheet


def suits(data: bytes, name: str) -> float:
    """1 for the bytes of a workbook, whatever the file is called, else 0."""
    return 1.0 if kind_of(data) in ("xlsx", "xlsb", "xls", "ods", "fods", "xml-workbook", "encrypted-office") else 0.0


def read(data: bytes, name: str) -> Sheet:
    """The workbook as a Sheet. Raises SheetError where it is encrypted, cut short, broken or has no filled cell."""
    from halfinch.readers import workbook_ods, workbook_xls, workbook_xlsx, workbook_xml

    kind = kind_of(data)
    if kind == "encrypted-office":
        raise SheetError(f"{name} is protected by a password: save it without one and import it again.")
    if kind == "xls":
        found = workbook_xls.read_worksheets(data, name)
    elif kind in ("ods", "fods"):
        found = workbook_ods.read_worksheets(data, name)
    elif kind == "xml-workbook":
        found = workbook_xml.read_worksheets(data, name)
    elif kind in ("xlsx", "xlsb"):
        found = workbook_xlsx.read_worksheets(data, name)
    else:
        raise SheetError(f"{name} is no workbook that can be read: save it as XLSX and import it again.")
    if not any(worksheet.cells for worksheet in found.worksheets):
        raise SheetError(f"{name} is empty: none of its worksheets has a filled cell; ask for the file again.")
    return build_sheet(name, found.reader, found.worksheets, found.warnings, found.meta)
