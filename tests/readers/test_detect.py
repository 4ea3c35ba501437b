"""The reader is chosen by the bytes; what no reader reads is named for what it is."""

from __future__ import annotations

import io
import zipfile

import openpyxl
import pytest

from halfinch.errors import SheetError
from halfinch.readers import read_bytes
from halfinch.readers.detect import choose_reader
from halfinch.readers.signatures import UNREADABLE, kind_of
from halfinch.sheet import Sheet


def _xlsx() -> bytes:
    book = openpyxl.Workbook()
    assert book.active is not None
    book.active.append(["Waist", 28])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _zip(*names: str, mime: str = "") -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        if mime:
            archive.writestr("mimetype", mime)
        for name in names:
            archive.writestr(name, "x")
    return stream.getvalue()


PAGE = b"<!doctype html><html><body><table><tr><th>Size<td>8<tr><th>Waist<td>28</table></body></html>"


@pytest.mark.parametrize("name", ["a.csv", "a.pdf", "a.xlsx", "a.html", "noname", "a.zip.txt"])
@pytest.mark.parametrize(
    ("data", "reader"),
    [
        pytest.param(b"%PDF-1.7\n%...", "pdf", id="pdf"),
        pytest.param(PAGE, "html", id="page"),
        pytest.param(PAGE.decode().encode("utf-16"), "html", id="page-utf16"),
        pytest.param(b"P;8;10\nWaist;28;29\nHip;38;39\n", "delimited", id="semicolons"),
        pytest.param("P\t8\t10\nWaist\t28\t29\n".encode("utf-16"), "delimited", id="tabs-utf16"),
        pytest.param(b"Lovely jeans with a high rise.\n", "delimited", id="prose"),
        pytest.param(b'P,8\n"waist <b>",28\n"a < b",1\nhip,38\n', "delimited", id="tags-in-cells"),
        pytest.param(_xlsx(), "workbook", id="xlsx"),
        pytest.param(b'{"size": "8", "inseam": 30}', "json_text", id="json-object"),
        pytest.param(b'[{"size": "8"}]', "json_text", id="json-array"),
    ],
)
def test_bytes_choose_the_reader_whatever_the_name(data: bytes, name: str, reader: str) -> None:
    assert choose_reader(data, name).name == reader


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        pytest.param(_zip("word/document.xml", "[Content_Types].xml"), "docx", id="docx"),
        pytest.param(_zip("ppt/presentation.xml"), "pptx", id="pptx"),
        pytest.param(_zip("content.xml", mime="application/vnd.oasis.opendocument.text"), "odt", id="odt"),
        pytest.param(_zip("content.xml", mime="application/vnd.oasis.opendocument.spreadsheet"), "ods", id="ods"),
        pytest.param(_zip("xl/workbook.bin"), "xlsb", id="xlsb"),
        pytest.param(_zip("a.csv"), "zip", id="zip"),
        pytest.param(_zip("xl/a.csv", "other/b.csv"), "zip", id="a-folder-called-xl"),
        pytest.param(b"\x89PNG\r\n\x1a\n", "png", id="png"),
        pytest.param(b"\xff\xd8\xff\xe0", "jpeg", id="jpeg"),
        pytest.param(b"BMI chart,8\n", "", id="text-that-begins-like-a-bitmap"),
        pytest.param(b"MZ,8\n", "", id="text-that-begins-like-a-program"),
        pytest.param(b"{\\rtf1 x}", "rtf", id="rtf"),
        pytest.param(b"", "", id="nothing"),
    ],
)
def test_kinds(data: bytes, kind: str) -> None:
    assert kind_of(data) == kind


@pytest.mark.parametrize(
    ("data", "says"),
    [
        pytest.param(b"", "is empty", id="empty"),
        pytest.param(bytes(100), "is empty", id="noughts"),
        pytest.param(b"\x89PNG\r\n\x1a\n" + bytes(50), "a picture (PNG)", id="picture"),
        pytest.param(_zip("word/document.xml"), "a text document (DOCX)", id="docx"),
        pytest.param(bytes(range(256)) * 50, "no reader knows its bytes", id="junk"),
        pytest.param(b'<?xml version="1.0"?><a><b>1</b></a>', "no reader knows its bytes", id="any-xml"),
        pytest.param(b'{"size": "8", ', "broken JSON", id="json-cut"),
    ],
)
def test_what_cannot_be_read_comes_back_as_one_sentence(data: bytes, says: str) -> None:
    [(name, content)] = read_bytes(data, "folder/sheet.csv")
    assert name == "folder/sheet.csv"
    assert isinstance(content, SheetError)
    assert says in str(content)
    assert str(content).startswith("folder/sheet.csv")
    assert str(content).endswith(".")
    assert "\n" not in str(content)


def test_a_workbook_that_is_really_a_page() -> None:
    [(_, content)] = read_bytes(PAGE, "prices.xls")
    assert isinstance(content, Sheet)
    assert content.kind == "html"


def test_every_unreadable_kind_says_what_to_do() -> None:
    for what, advice in UNREADABLE.values():
        assert what[0] in "as"
        assert len(advice) > 10
