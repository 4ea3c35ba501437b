"""Saved pages: MHTML, web archives, mails, data addresses. What was saved with the page is used, nothing is fetched."""

from __future__ import annotations

import base64
import plistlib

import pytest
from html_views import printed, words

from halfinch.errors import SheetError
from halfinch.readers.html import read, suits

TABLE = "<table><tr><th>Größe<th>8<tr><td>Bund<td>28½</table>"
ROWS = [["Größe", "8"], ["Bund", "28½"]]


def mhtml(*parts: tuple[str, str, bytes]) -> bytes:
    """Parts are (content type, address, body)."""
    head = (
        b"From: <Saved by a browser>\r\nSnapshot-Content-Location: https://kestrel.example/ada\r\n"
        b"Subject: =?utf-8?Q?Gr=C3=B6=C3=9Fen?=\r\nMIME-Version: 1.0\r\n"
        b'Content-Type: multipart/related; type="text/html"; boundary="==b=="\r\n\r\n'
    )
    for kind, where, body in parts:
        head += f"--==b==\r\nContent-Type: {kind}\r\n".encode()
        head += f"Content-Transfer-Encoding: base64\r\nContent-Location: {where}\r\n\r\n".encode()
        head += base64.encodebytes(body)
    return head + b"--==b==--\r\n"


def test_mhtml_with_frame_and_style() -> None:
    page = "<style>i{}</style><p>Ada</p><p class=old>31</p><iframe src='https://kestrel.example/chart'></iframe>"
    data = mhtml(
        ("text/html", "https://kestrel.example/ada", page.encode()),
        ("text/css", "https://kestrel.example/a.css", b".old{display:none}"),
        ("text/html; charset=iso-8859-1", "https://kestrel.example/chart", TABLE.encode("cp1252")),
        ("image/png", "https://kestrel.example/a.png", b"\x89PNG"),
    )
    assert suits(data, "page.mhtml") > 0.9
    sheet = read(data, "page.mhtml")
    assert printed(sheet) == [ROWS]
    assert [text.text for text in sheet.texts if not text.marks] == ["Größen", "Ada"]
    assert sheet.meta["url"] == "https://kestrel.example/ada"
    assert sheet.meta["title"] == "Größen"
    assert sheet.warnings == ()


@pytest.mark.parametrize("form", [plistlib.FMT_BINARY, plistlib.FMT_XML], ids=["binary", "xml"])
def test_web_archive(form: plistlib.PlistFormat) -> None:
    main = {
        "WebResourceData": TABLE.encode("cp1252"),
        "WebResourceTextEncodingName": "iso-8859-1",
        "WebResourceURL": "https://kestrel.example/ada",
        "WebResourceMIMEType": "text/html",
    }
    data = plistlib.dumps({"WebMainResource": main, "WebSubresources": []}, fmt=form)
    assert suits(data, "x.webarchive") > 0.9
    sheet = read(data, "x.webarchive")
    assert printed(sheet) == [ROWS]
    assert sheet.meta["url"] == "https://kestrel.example/ada"


def test_data_address() -> None:
    data = b"data:text/html;charset=utf-8;base64," + base64.b64encode(TABLE.encode())
    assert suits(data, "x") > 0.9
    assert printed(read(data, "x.html")) == [ROWS]


def test_mail_takes_the_page_before_the_plain_text() -> None:
    data = (
        "From: mill@weft.example\nSubject: Specs\n"
        "MIME-Version: 1.0\nContent-Type: multipart/alternative; boundary=b\n\n"
        "--b\nContent-Type: text/plain\n\nWaist 28\n--b\nContent-Type: text/html; charset=utf-8\n"
        f"Content-Transfer-Encoding: 8bit\n\n{TABLE}\n--b--\n"
    ).encode()
    assert printed(read(data, "specs.eml")) == [ROWS]


def test_mail_of_plain_text_keeps_its_lines() -> None:
    data = (
        b"From: a@weft.example\nSubject: Specs\nContent-Type: text/plain\nMIME-Version: 1.0\n\nWaist 28\nInseam <30\n"
    )
    assert words(read(data, "specs.eml"), "paragraph") == ["Waist 28\nInseam <30"]


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"bplist00WebMainResource-cut", id="binary-plist"),
        pytest.param(b'<?xml version="1.0"?><plist><dict><key>WebMainResource</key>', id="xml-plist"),
        pytest.param(b"data:text/html;base64,@@@", id="base64"),
        pytest.param(mhtml(("image/png", "x", b"1")), id="no-page-inside"),
    ],
)
def test_broken_archive_is_refused(data: bytes) -> None:
    with pytest.raises(SheetError, match="save"):
        read(data, "x")


def test_frame_that_was_not_saved_is_told() -> None:
    sheet = read(b"<p>a</p><iframe src='https://kestrel.example/chart'></iframe>", "x.html")
    assert len(sheet.warnings) == 1


def test_frame_that_carries_its_page() -> None:
    inner = TABLE.replace('"', "&quot;")
    assert printed(read(f'<p>a</p><iframe srcdoc="{inner}"></iframe>'.encode(), "x.html")) == [ROWS]
