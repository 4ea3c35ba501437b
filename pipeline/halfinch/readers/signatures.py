"""What a file is by its bytes alone: names lie. One row a kind, so that an unreadable file is told by name."""

from __future__ import annotations

import io
import re
import zipfile
import zlib

# (offset, bytes, kind)
_SIGNATURES: tuple[tuple[int, bytes, str], ...] = (
    (0, b"%PDF-", "pdf"),
    (0, b"PK\x03\x04", "zip"),
    (0, b"PK\x05\x06", "zip"),
    (0, b"PK\x07\x08", "zip"),
    (0, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "ole2"),
    (0, b"\x1f\x8b", "gzip"),
    (0, b"BZh", "bzip2"),
    (0, b"\xfd7zXZ\x00", "xz"),
    (257, b"ustar", "tar"),
    (0, b"7z\xbc\xaf\x27\x1c", "7z"),
    (0, b"Rar!\x1a\x07", "rar"),
    (0, b"\x28\xb5\x2f\xfd", "zstd"),
    (0, b"\x89PNG\r\n\x1a\n", "png"),
    (0, b"\xff\xd8\xff", "jpeg"),
    (0, b"GIF8", "gif"),
    (0, b"BM", "bmp"),
    (0, b"II*\x00", "tiff"),
    (0, b"MM\x00*", "tiff"),
    (8, b"WEBP", "webp"),
    (4, b"ftyp", "heic"),
    (0, b"8BPS", "photoshop"),
    (0, b"{\\rtf", "rtf"),
    (0, b"%!PS", "postscript"),
    (0, b"SQLite format 3\x00", "sqlite"),
    (8, b"DUCK", "duckdb"),
    (0, b"PAR1", "parquet"),
    (0, b"\x7fELF", "program"),
    (0, b"MZ", "program"),
    (0, b"ID3", "sound"),
    (0, b"OggS", "sound"),
    (0, b"RIFF", "sound"),
    (0, b"\x1aE\xdf\xa3", "film"),
    (0, b"wOFF", "font"),
    (0, b"wOF2", "font"),
    (0, b"OTTO", "font"),
    (0, b"\x00\x01\x00\x00\x00", "font"),
)

# kind -> what it is called and what to do; kinds that can be read are not here
UNREADABLE: dict[str, tuple[str, str]] = {
    "png": ("a picture (PNG)", "ask for the figures as PDF, web page, CSV or workbook"),
    "jpeg": ("a picture (JPEG)", "ask for the figures as PDF, web page, CSV or workbook"),
    "gif": ("a picture (GIF)", "ask for the figures as PDF, web page, CSV or workbook"),
    "bmp": ("a picture (BMP)", "ask for the figures as PDF, web page, CSV or workbook"),
    "tiff": ("a picture (TIFF)", "ask for the figures as PDF, web page, CSV or workbook"),
    "webp": ("a picture (WebP)", "ask for the figures as PDF, web page, CSV or workbook"),
    "heic": ("a picture or film (ISO media)", "ask for the figures as PDF, web page, CSV or workbook"),
    "photoshop": ("a layered picture", "export it as PDF"),
    "docx": ("a text document (DOCX)", "save it as PDF or as a web page and import that"),
    "pptx": ("a slide show (PPTX)", "save it as PDF and import that"),
    "odt": ("a text document (ODT)", "save it as PDF or as a web page and import that"),
    "odp": ("a slide show (ODP)", "save it as PDF and import that"),
    "numbers": ("a Numbers workbook", "export it as XLSX and import that"),
    "epub": ("an electronic book", "save its page as PDF or HTML and import that"),
    "doc": ("a text document (DOC)", "save it as PDF or as a web page and import that"),
    "ppt": ("a slide show (PPT)", "save it as PDF and import that"),
    "msg": ("a saved mail (MSG)", "save its attachments and import those"),
    "ole2": (
        "an old Office file in which no workbook can be found",
        "it may be cut short; ask for it again, or for XLSX",
    ),
    "rtf": ("a rich text document (RTF)", "save it as PDF or as a web page and import that"),
    "postscript": ("a PostScript file", "turn it into a PDF and import that"),
    "sqlite": ("a database (SQLite)", "export its table as CSV and import that"),
    "duckdb": ("a database (DuckDB)", "if it is a catalogue, name it with --catalogue; else export its table as CSV"),
    "parquet": ("a Parquet file", "export it as CSV and import that"),
    "program": ("a program", "remove it from the folder"),
    "sound": ("a sound or film file", "remove it from the folder"),
    "film": ("a film", "remove it from the folder"),
    "font": ("a font", "remove it from the folder"),
    "7z": ("a 7-Zip archive", "unpack it or pack it as ZIP"),
    "rar": ("a RAR archive", "unpack it or pack it as ZIP"),
    "zstd": ("a Zstandard archive", "unpack it or pack it as ZIP"),
}

CONTAINERS = frozenset({"zip", "gzip", "bzip2", "xz", "tar"})

_OLE2_STREAMS: tuple[tuple[str, str], ...] = (
    ("EncryptedPackage", "encrypted-office"),
    ("Workbook", "xls"),
    ("Book", "xls"),
    ("WordDocument", "doc"),
    ("PowerPoint Document", "ppt"),
    ("__substg1.0_", "msg"),
    ("__properties_version1.0", "msg"),
)
# BIFF 2 to 4 workbooks have no container around them.
_BARE_BIFF = re.compile(rb"^\x09[\x00\x02\x04][\x04\x06\x08]\x00")


def kind_of(data: bytes) -> str:
    """One word for what the bytes are: pdf, xlsx, xls, ods, zip, png ...; '' for text or anything unknown."""
    head = data[:512]
    for offset, mark, kind in _SIGNATURES:
        if head.startswith(mark, offset):
            if kind == "zip":
                return _zip_kind(data)
            if kind == "ole2":
                return _ole2_kind(data)
            if kind in ("bmp", "program", "sound") and _is_text(head):
                continue  # "BMI chart", "MZ" and "RIFF" may begin a text
            return kind
    if _BARE_BIFF.match(head):
        return "xls"
    return _xml_kind(data[:4_096])


def _is_text(head: bytes) -> bool:
    return b"\x00" not in head and not any(byte < 9 for byte in head)


def _xml_kind(head: bytes) -> str:
    if b"<" not in head:
        return ""
    plain = head.replace(b"\x00", b"")
    if b"urn:oasis:names:tc:opendocument:xmlns:office" in plain and b"office:document" in plain:
        return "fods"
    if b"urn:schemas-microsoft-com:office:spreadsheet" in plain and re.search(rb"<(?:\w+:)?Workbook\b", plain):
        return "xml-workbook"
    return ""


def _zip_kind(data: bytes) -> str:
    """ZIP is the wrapping of many formats; the members' names tell. A broken one is judged by its local headers."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = set(archive.namelist())
            mime = (
                archive.read("mimetype")[:80]
                if "mimetype" in names and archive.getinfo("mimetype").file_size < 200
                else b""
            )
    except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError, KeyError, ValueError):
        names = set(re.findall(r"(?:xl|word|ppt)/[\w/.]+|content\.xml|mimetype", data[:200_000].decode("latin-1")))
        found = re.search(rb"mimetype(application/[\w.+-]+)", data[:400])
        mime = found[1].removesuffix(b"PK") if found else b""
    if mime.startswith(b"application/vnd.oasis.opendocument."):
        family = mime.rsplit(b".", 1)[-1]
        return {b"spreadsheet": "ods", b"spreadsheet-template": "ods", b"text": "odt", b"presentation": "odp"}.get(
            family, "odt"
        )
    if mime.startswith(b"application/epub"):
        return "epub"
    lowered = {name.casefold().replace("\\", "/").lstrip("/") for name in names}
    for member, kind in (
        ("xl/workbook.bin", "xlsb"),
        ("xl/workbook.xml", "xlsx"),
        ("word/document.xml", "docx"),
        ("ppt/presentation.xml", "pptx"),
        ("index/document.iwa", "numbers"),
    ):
        if member in lowered:
            return kind
    folders = {name.split("/")[0] for name in lowered if "/" in name}
    return (
        "xlsx" if "xl" in folders and not folders - {"xl", "docprops", "_rels", "customxml", "word", "ppt"} else "zip"
    )


def _ole2_kind(data: bytes) -> str:
    """Stream names stand in the directory in UTF-16; directory entries are 128 bytes on a sector's border."""
    for stream, kind in _OLE2_STREAMS:
        spelt = stream.encode("utf-16-le")
        start = data.find(spelt)
        while start >= 0:
            if start % 128 == 0 and (kind == "msg" or data[start + len(spelt) : start + len(spelt) + 2] == b"\x00\x00"):
                return kind
            start = data.find(spelt, start + 2)
    return "ole2"
