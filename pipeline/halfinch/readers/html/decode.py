"""From bytes to text: byte order mark, then the bytes themselves, then what the page says of itself.

A page's own word comes after a look at its bytes: text that is valid UTF-8 beyond ASCII is hardly ever anything else,
while wrong declarations are common.
"""

from __future__ import annotations

import codecs
import contextlib
import re

# Names that the web gives another meaning than Python does (WHATWG Encoding standard, section 4.2).
_WEB_NAMES = {
    "iso-8859-1": "cp1252",
    "iso8859-1": "cp1252",
    "latin-1": "cp1252",
    "latin1": "cp1252",
    "us-ascii": "cp1252",
    "ascii": "cp1252",
    "iso-8859-9": "cp1254",
    "iso-8859-11": "cp874",
    "gb2312": "gb18030",
    "gbk": "gb18030",
    "shift_jis": "cp932",
    "shift-jis": "cp932",
    "sjis": "cp932",
    "x-sjis": "cp932",
    "euc-kr": "cp949",
    "ks_c_5601-1987": "cp949",
    "macintosh": "mac-roman",
    "x-mac-roman": "mac-roman",
    "utf-16": "utf-8",
    "utf-16le": "utf-8",
    "utf-16be": "utf-8",
}
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_SAMPLE = 60_000
_NUL_AND_LIKE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def decode_page(data: bytes, told: str = "") -> tuple[str, str]:
    """(text, name of the encoding). `told`: what came with the file, as in a saved archive. Never fails."""
    text, name = _decode(data, told)
    return _NUL_AND_LIKE.sub("", text), name


def _decode(data: bytes, told: str) -> tuple[str, str]:
    for mark, name in _MARKS:
        if data.startswith(mark):
            return data[len(mark) :].decode(name, "replace"), name
    if wide := _sixteen_bits(data[:400]):
        return data.decode(wide, "replace"), wide
    declared = _declared(data) or told.lower()
    if declared.startswith("iso-2022") and b"\x1b" in data:
        with contextlib.suppress(ValueError, LookupError):
            return data.decode(declared, "replace"), declared
    try:
        return data.decode("utf-8"), "utf-8"
    except UnicodeDecodeError as error:
        return _decode_other(data, declared, error)


def _sixteen_bits(head: bytes) -> str:
    """UTF-16 without a mark: every other byte of a page's first tags is zero."""
    if len(head) < 20 or head.count(0) * 3 < len(head):
        return ""
    return "utf-16-le" if head[1::2].count(0) >= head[::2].count(0) else "utf-16-be"


def _declared(data: bytes) -> str:
    from bs4.dammit import EncodingDetector

    found = EncodingDetector.find_declared_encoding(data[:8_192], is_html=True, search_entire_document=True)
    return (found or "").strip().lower()


def _decode_other(data: bytes, declared: str, error: UnicodeDecodeError) -> tuple[str, str]:
    name = _WEB_NAMES.get(declared, declared)
    if name not in ("", "utf-8", "utf8"):
        try:
            return data.decode(name), name
        except (ValueError, LookupError):  # a wrong name, or none (a NUL in it)
            pass
    if _share_of_utf8(data) > (0.5 if name in ("utf-8", "utf8") else 0.8):
        return data.decode("utf-8", _PASTED), "utf-8"
    guessed = _guess(data, error.start)
    return data.decode(guessed, "replace"), guessed


def _share_of_utf8(data: bytes) -> float:
    """Of what is beyond ASCII, how much is valid UTF-8: a few stray bytes, or a page that says what it is not."""
    text = data.decode("utf-8", "replace")
    wrong = text.count("\ufffd")
    right = sum(1 for char in text[:400_000] if char > "\x7f") - wrong
    return right / max(1, right + wrong)


def _as_windows(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeDecodeError)
    return error.object[error.start : error.end].decode("cp1252", "replace"), error.end


_PASTED = "halfinch-pasted"
codecs.register_error(_PASTED, _as_windows)
"""UTF-8 with windows-1252 pasted in: a lone 0xBD is a half, not a hole."""


def _guess(data: bytes, first_wide: int) -> str:
    """The likeliest encoding, by the text around the first byte beyond ASCII; windows-1252 where nothing tells."""
    from charset_normalizer import from_bytes

    sample = data[max(0, first_wide - 2_000) : first_wide + _SAMPLE]
    wide = sum(1 for byte in sample if byte > 0x7F)
    if wide < 12:
        return "cp1252"
    best = from_bytes(sample).best()
    return best.encoding if best is not None else "cp1252"
