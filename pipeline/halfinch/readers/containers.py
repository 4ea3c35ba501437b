"""Archives unpacked: ZIP, GZIP, BZIP2, XZ, TAR, also within each other. Each inner file is a sheet of its own.

A PDF is a sheet, and so is each file attached to it (a portfolio is a cover page with such files).

A member that is encrypted, broken, too large or packed suspiciously tight becomes a SheetError in its place; the
others are still handed out. Nothing is written to disk, and a member's name is only ever a label.
"""

from __future__ import annotations

import bz2
import gzip
import io
import lzma
import re
import tarfile
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from halfinch.errors import SheetError
from halfinch.readers.signatures import CONTAINERS, kind_of

MAX_SHEET = 100_000_000
"""Bytes of one sheet. The largest honest sheets met are some megabytes of PDF."""
MAX_TOTAL = 1_000_000_000
"""Bytes unpacked from one file, all its members together."""
MAX_MEMBERS = 5_000
MAX_DEPTH = 4
MAX_RATIO = 250
"""Unpacked to packed. Text of figures reaches about 30, an archive made to harm a thousand and more."""
RATIO_FROM = 5_000_000

_IGNORED = re.compile(
    r"(^|/)(__MACOSX/|\.DS_Store$|Thumbs\.db$|desktop\.ini$|\._[^/]*$|~\$[^/]*$|\.[^/]+\.sw[po]$)", re.IGNORECASE
)
# Parts of a saved page that hold no figures of their own.
_PAGE_PARTS = re.compile(
    r"\.(css|js|mjs|map|png|jpe?g|gif|svg|webp|avif|ico|bmp|woff2?|ttf|otf|eot|mp4|webm|download)$", re.IGNORECASE
)
_PAGES = re.compile(r"\.(x?html?|mhtml?|xht|php|aspx?)$", re.IGNORECASE)
_ATTACHED = re.compile(r"\.(pdf|csv|tsv|txt|xlsx?|xlsm|ods|html?|mhtml?|zip)$", re.IGNORECASE)
_CHUNK = 1 << 20

Member = tuple[str, "bytes | SheetError"]


@dataclass(slots=True)
class _Budget:
    """What may still be unpacked from the outermost file."""

    left: int = MAX_TOTAL
    members: int = MAX_MEMBERS


def iter_members(data: bytes, name: str) -> Iterator[Member]:
    """The sheets in a file as (name, bytes), one after the other; a file that is no archive gives itself.

    Inner names read ``outer.zip/folder/inner.csv``. Where a member cannot be unpacked its bytes are a SheetError.
    """
    yield from _unpack(data, name, 0, _Budget())


def _unpack(data: bytes, name: str, depth: int, budget: _Budget) -> Iterator[Member]:
    if len(data) > MAX_SHEET:
        yield name, _too_large(name, len(data))
        return
    kind = kind_of(data)
    if kind not in CONTAINERS:
        yield name, data
        if kind == "pdf" and b"/EmbeddedFile" in data:
            for inner, content in _attached(data, name, budget):
                if isinstance(content, SheetError):
                    yield inner, content
                elif depth >= MAX_DEPTH:
                    yield inner, SheetError(f"{inner} is attached {depth} deep: save it by itself and import it.")
                else:
                    yield from _unpack(content, inner, depth + 1, budget)
        return
    if depth >= MAX_DEPTH:
        yield name, SheetError(f"{name} is an archive packed {depth} deep: unpack it and import what is in it.")
        return
    if kind == "zip":
        members = _zip_members(data, name, budget)
    elif kind == "tar":
        members = _tar_members(data, name, budget)
    else:
        members = _single_member(data, name, kind, budget)
    for inner, content in members:
        if isinstance(content, SheetError):
            yield inner, content
        else:
            yield from _unpack(content, inner, depth + 1, budget)


def _too_large(name: str, size: int) -> SheetError:
    return SheetError(
        f"{name} holds {size / 1e6:,.0f} MB, more than any measurement sheet ({MAX_SHEET // 1_000_000} MB): "
        "import only the pages or rows with measurements."
    )


def clean_member_name(name: str) -> str:
    """A member's name as a label: no control signs, no drive, no way out of the archive, folders parted by ``/``."""
    plain = "".join(c if c.isprintable() else "_" for c in name)
    parts = [
        part for part in re.sub(r"^[A-Za-z]:", "", plain.replace("\\", "/")).split("/") if part not in ("", ".", "..")
    ]
    return "/".join(parts)[-300:] or "unnamed"


# ---- ZIP --------------------------------------------------------------------------------------------------------


def _zip_members(data: bytes, name: str, budget: _Budget) -> Iterator[Member]:
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, OSError, EOFError, ValueError, NotImplementedError, UnicodeDecodeError):
        yield name, SheetError(f"{name} is a ZIP archive that is broken or cut short: ask for it again.")
        return
    with archive:
        infos = [
            info
            for info in archive.infolist()
            if not info.filename.endswith("/") and not _IGNORED.search(info.filename)
        ]
        has_page = any(_PAGES.search(info.filename) for info in infos)
        wanted = [info for info in infos if not (has_page and _PAGE_PARTS.search(info.filename))]
        if not wanted:
            yield name, SheetError(f"{name} is a ZIP archive without any file in it: ask for it again.")
        seen: dict[str, int] = {}
        if len({info.header_offset for info in wanted}) < len(wanted):
            yield (
                name,
                SheetError(f"{name} is a ZIP archive whose members overlap, which none does by chance: not read."),
            )
            return
        for info in wanted:
            inner = _unique(f"{name}/{clean_member_name(_decode_zip_name(info))}", seen)
            if budget.members <= 0:
                yield name, SheetError(f"{name} holds more than {MAX_MEMBERS} files: import it in parts.")
                return
            budget.members -= 1
            yield inner, _read_zip_member(archive, info, inner, budget)


def _unique(name: str, seen: dict[str, int]) -> str:
    """Two members of one name would pass for one sheet."""
    seen[name] = seen.get(name, 0) + 1
    return name if seen[name] == 1 else f"{name} ({seen[name]})"


def _decode_zip_name(info: zipfile.ZipInfo) -> str:
    """Names without the UTF-8 flag are read as cp437 by the library; they are often UTF-8 or an East Asian encoding."""
    if info.flag_bits & 0x800 or info.filename.isascii():
        return info.filename
    raw = info.filename.encode("cp437", "replace")
    for encoding in ("utf-8", "cp932", "gb18030"):
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    return info.filename


def _read_zip_member(
    archive: zipfile.ZipFile, info: zipfile.ZipInfo, inner: str, budget: _Budget
) -> bytes | SheetError:
    if info.flag_bits & 0x1:
        return SheetError(f"{inner} is encrypted: unpack it with its password and import the file itself.")
    problem = _check_size(inner, info.file_size, info.compress_size, budget)
    if problem:
        return problem
    try:
        with archive.open(info) as stream:
            content = stream.read(info.file_size + 1)
    except NotImplementedError:
        return SheetError(f"{inner} is packed in a way that cannot be read here: unpack it and import the file itself.")
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError, RuntimeError, ValueError):
        return SheetError(f"{inner} is broken or cut short within its archive: ask for the archive again.")
    budget.left -= len(content)
    return content


def _check_size(inner: str, size: int, packed: int, budget: _Budget) -> SheetError | None:
    if size > MAX_SHEET:
        return _too_large(inner, size)
    if size > RATIO_FROM and size > MAX_RATIO * max(packed, 1):
        return SheetError(f"{inner} is packed {size // max(packed, 1)} times smaller than it is: it was not unpacked.")
    if size > budget.left:
        return SheetError(f"{inner} was not unpacked: its archive holds more than {MAX_TOTAL // 1_000_000} MB in all.")
    return None


# ---- PDF --------------------------------------------------------------------------------------------------------


def _attached(data: bytes, name: str, budget: _Budget) -> Iterator[Member]:
    """Files attached to a PDF, without those that hold data of the PDF itself (an invoice as XML, settings)."""
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError:
        return  # the reader of the PDF itself says what is the matter
    seen: dict[str, int] = {}
    try:
        for index in range(min(document.count_attachments(), budget.members)):
            attachment = document.get_attachment(index)
            label = clean_member_name(attachment.get_name())
            if not _ATTACHED.search(label):
                continue
            budget.members -= 1
            inner = _unique(f"{name}/{label}", seen)
            content = bytes(attachment.get_data())
            problem = _check_size(inner, len(content), len(data), budget)
            budget.left -= len(content)
            yield inner, problem or content
    except pypdfium2.PdfiumError:
        yield name, SheetError(f"{name} has an attached file that is broken: open it and save the file by itself.")
    finally:
        document.close()


# ---- TAR and single packed files ----------------------------------------------------------------------------------


def _tar_members(data: bytes, name: str, budget: _Budget) -> Iterator[Member]:
    seen: dict[str, int] = {}
    try:
        with tarfile.open(fileobj=io.BytesIO(data), mode="r:") as archive:
            for info in archive:
                if not info.isfile() or _IGNORED.search(info.name):
                    continue
                inner = _unique(f"{name}/{clean_member_name(info.name)}", seen)
                if budget.members <= 0:
                    yield name, SheetError(f"{name} holds more than {MAX_MEMBERS} files: import it in parts.")
                    return
                budget.members -= 1
                problem = _check_size(inner, info.size, info.size, budget)
                stream = None if problem else archive.extractfile(info)
                content = stream.read() if stream else b""
                budget.left -= len(content)
                yield inner, problem or content
    except (tarfile.TarError, OSError, EOFError, ValueError):
        yield name, SheetError(f"{name} is a TAR archive that is broken or cut short: ask for it again.")
        return
    if not seen:
        yield name, SheetError(f"{name} is a TAR archive without any file in it: ask for it again.")


def _single_member(data: bytes, name: str, kind: str, budget: _Budget) -> Iterator[Member]:
    """A file packed alone: its inner name is the outer one without the ending, or the one kept in the packing."""
    inner = f"{name}/{_inner_name(data, name, kind)}"
    pieces: list[bytes] = []
    size = 0
    limit = min(MAX_SHEET, budget.left)
    try:
        with _open_packed(data, kind) as stream:
            while piece := stream.read(_CHUNK):
                pieces.append(piece)
                size += len(piece)
                if size > limit or (size > RATIO_FROM and size > MAX_RATIO * len(data)):
                    yield inner, _check_size(inner, size, len(data), budget) or _too_large(inner, size)
                    return
    except (OSError, EOFError, zlib.error, lzma.LZMAError, ValueError):
        yield name, SheetError(f"{name} is a {kind} file that is broken or cut short: ask for it again.")
        return
    budget.left -= size
    budget.members -= 1
    yield inner, b"".join(pieces)


def _open_packed(data: bytes, kind: str) -> gzip.GzipFile | bz2.BZ2File | lzma.LZMAFile:
    packed = io.BytesIO(data)
    if kind == "gzip":
        return gzip.GzipFile(fileobj=packed)
    return bz2.BZ2File(packed) if kind == "bzip2" else lzma.LZMAFile(packed)


def _inner_name(data: bytes, name: str, kind: str) -> str:
    base = name.rsplit("/", 1)[-1]
    shorter = re.sub(r"\.(gz|gzip|bz2|xz)$", "", re.sub(r"\.(tgz|tbz2?|txz)$", ".tar", base, flags=re.I), flags=re.I)
    if shorter == base and kind == "gzip" and data[3:4] and data[3] & 0x08 and not data[3] & 0x04:
        kept = data[10 : data.find(b"\x00", 10)].decode("latin-1")
        return clean_member_name(kept) if kept else base
    return clean_member_name(shorter)
