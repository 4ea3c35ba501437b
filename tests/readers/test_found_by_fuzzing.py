"""Bytes that a fuzzer thought of and a reader tripped over: each is read or refused now."""

from __future__ import annotations

import io

import pytest
import xlwt

from halfinch.readers import read_plain
from halfinch.readers.html.decode import decode_page
from halfinch.sheet import Sheet


@pytest.mark.parametrize(
    "charset",
    [
        pytest.param(b"lat\x00in-1", id="a-name-with-a-zero"),
        pytest.param(b"iso-2022-none", id="a-name-of-a-family-and-of-nothing"),
        pytest.param(b"hex", id="a-codec-that-is-no-charset"),
    ],
)
def test_a_charset_that_is_none(charset: bytes) -> None:
    text, _ = decode_page(b'<meta charset="' + charset + b'"><p>Gr\xf6\xdfe 30 \x1b$B</p>')
    assert "30" in text


def test_a_format_of_an_old_workbook_that_is_nothing() -> None:
    book = xlwt.Workbook()
    worksheet = book.add_sheet("a")
    worksheet.write(0, 0, "Inseam")
    worksheet.write(0, 1, 30, xlwt.easyxf(num_format_str="0.0"))
    saved = io.BytesIO()
    book.save(saved)
    sheet = read_plain(saved.getvalue().replace(b"0.0", b"\x00\x00\x00"), "a.xls")
    assert isinstance(sheet, Sheet)
