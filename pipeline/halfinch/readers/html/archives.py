"""Saved pages: MHTML (a browser's single-file archive), web archives (property lists), mails, ``data:`` addresses.

Each gives the bytes of its main page and, by address, what was saved with it: frames and style sheets. Nothing is
ever fetched.
"""

from __future__ import annotations

import base64
import binascii
import re
from dataclasses import dataclass, field
from urllib.parse import unquote_to_bytes, urljoin

from halfinch.errors import SheetError

_MAIL_HEAD = re.compile(rb"(?im)^(mime-version|content-type|from|snapshot-content-location|received|subject|date)\s*:")
_MAX_PARTS = 2_000
_MAX_PART = 50_000_000


@dataclass(slots=True)
class SavedPage:
    """`charset`: as the archive says it; `styles`: stored style sheets; `frames`: stored pages by their address."""

    page: bytes
    charset: str = ""
    url: str = ""
    title: str = ""
    is_text: bool = False
    styles: list[bytes] = field(default_factory=list)
    frames: dict[str, bytes] = field(default_factory=dict)

    def frame(self, address: str) -> bytes | None:
        """The stored page that a frame shows, if it was saved with the page."""
        if address.startswith("data:"):
            return read_data_address(address)
        return self.frames.get(address) or self.frames.get(urljoin(self.url, address))


def archive_kind(data: bytes) -> str:
    """'' | mhtml | webarchive | data: what kind of saved page the first bytes show."""
    head = data[:4_096].lstrip()
    if head.startswith(b"bplist00"):
        return "webarchive" if b"WebMainResource" in data else ""
    if head.startswith(b"<?xml") and b"<plist" in head and b"WebMainResource" in head:
        return "webarchive"
    if head[:14].lower().startswith(b"data:text/html"):
        return "data"
    first = head.split(b"\n\n", 1)[0].split(b"\r\n\r\n", 1)[0]
    if not first.startswith(b"<") and len(_MAIL_HEAD.findall(first)) >= 2 and b"content-type" in first.lower():
        return "mhtml"
    return ""


def open_archive(data: bytes, name: str) -> SavedPage:
    """Raises SheetError where the archive is broken or holds no page."""
    kind = archive_kind(data)
    if kind == "webarchive":
        return _open_webarchive(data, name)
    if kind == "mhtml":
        return _open_mail(data, name)
    if kind == "data":
        page = read_data_address(data.decode("latin-1").strip())
        if page is None:
            raise SheetError(f"{name}: the saved page is cut short or not base64; save it again as a plain HTML file")
        return SavedPage(page)
    return SavedPage(data)


def read_data_address(address: str) -> bytes | None:
    """The bytes of ``data:text/html;charset=utf-8;base64,...``; None for other kinds and broken ones."""
    head, comma, body = address.partition(",")
    if not comma or not head.lower().startswith("data:text/html"):
        return None
    raw = unquote_to_bytes(body)
    if not head.lower().rstrip().endswith(";base64"):
        return raw
    try:
        return base64.b64decode(b"".join(raw.split()))
    except (binascii.Error, ValueError):
        return None


def _open_mail(data: bytes, name: str) -> SavedPage:
    import email
    import email.policy

    message = email.message_from_bytes(data.lstrip(), policy=email.policy.compat32)
    url = _plain(message.get("Snapshot-Content-Location"))
    saved: SavedPage | None = None
    text: SavedPage | None = None
    styles: list[bytes] = []
    frames: dict[str, bytes] = {}
    for count, part in enumerate(message.walk()):
        kind = part.get_content_type()
        if count > _MAX_PARTS or kind not in ("text/html", "application/xhtml+xml", "text/css", "text/plain"):
            continue
        body = part.get_payload(decode=True)
        if (
            not isinstance(body, bytes)
            or len(body) > _MAX_PART
            or _plain(part.get("Content-Disposition")).startswith("attachment")
        ):
            continue
        charset, where = _plain(part.get_content_charset()), _plain(part.get("Content-Location"))
        if kind == "text/css":
            styles.append(body)
        elif kind == "text/plain":
            text = text or SavedPage(body, charset, where, is_text=True)
        elif saved is None or (url and where == url and saved.url != url):
            if saved is not None:
                frames[saved.url] = saved.page
            saved = SavedPage(body, charset, where or url)
        if kind.endswith("html"):
            for address in (where, _plain(part.get("Content-ID")).strip("<> ")):
                if address:
                    frames[address] = frames[f"cid:{address}"] = body
    saved = saved or text
    if saved is None:
        raise SheetError(f"{name}: the archive holds no page; save the page again, or as plain HTML")
    saved.title, saved.styles, saved.frames = _plain(message.get("Subject")), styles, frames
    return saved


def _plain(value: object) -> str:
    """A mail header's words, with its encoded words (=?utf-8?Q?...?=) decoded."""
    from email.errors import HeaderParseError
    from email.header import decode_header, make_header

    if value is None:
        return ""
    try:
        return " ".join(str(make_header(decode_header(str(value)))).split())
    except (HeaderParseError, LookupError, UnicodeDecodeError, ValueError):
        return " ".join(str(value).split())


def _open_webarchive(data: bytes, name: str) -> SavedPage:
    import plistlib
    from xml.parsers.expat import ExpatError

    broken = f"{name}: the web archive is broken; save the page again, or as plain HTML"
    try:
        archive = plistlib.loads(data.lstrip())
    except (plistlib.InvalidFileException, ExpatError, ValueError, RecursionError, OverflowError) as error:
        raise SheetError(broken) from error
    main = archive.get("WebMainResource") if isinstance(archive, dict) else None
    page = main.get("WebResourceData") if isinstance(main, dict) else None
    if not isinstance(main, dict) or not isinstance(page, bytes):
        raise SheetError(broken)
    saved = SavedPage(page, str(main.get("WebResourceTextEncodingName", "")), str(main.get("WebResourceURL", "")))
    for frame in _list_of(archive, "WebSubframeArchives"):
        inner = frame.get("WebMainResource")
        if isinstance(inner, dict) and isinstance(inner.get("WebResourceData"), bytes):
            saved.frames[str(inner.get("WebResourceURL", ""))] = inner["WebResourceData"]
    for resource in _list_of(archive, "WebSubresources"):
        body = resource.get("WebResourceData")
        if resource.get("WebResourceMIMEType") == "text/css" and isinstance(body, bytes):
            saved.styles.append(body)
    return saved


def _list_of(archive: dict[str, object], key: str) -> list[dict[str, object]]:
    found = archive.get(key)
    return [item for item in found if isinstance(item, dict)] if isinstance(found, list) else []
