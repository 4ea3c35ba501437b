"""Bytes to text. A file's own word on its encoding is never trusted; what the decoded text looks like is.

Sheets are short and full of digits, which starves statistical guessers, so candidates are first scored by plain
signs: a fraction sign stands after a figure, a closing quote does not stand inside a word, the accented letters of a
text belong to one language, capitals do not follow small letters, Chinese characters are mostly the common ones. Only
where no candidate looks right is charset-normalizer asked.
"""

from __future__ import annotations

import codecs
import unicodedata
from dataclasses import dataclass

SAMPLE = 20_000
"""Bytes of lines with anything beyond ASCII that are looked at."""

_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)

# Letters beyond a-z that a language writes; a text's letters should all fit one row.
_ALPHABETS = (
    "äöüß",
    "àâæçéèêëîïôùûüœÿ",
    "áéíóúüñ",
    "àáâãçéêíóôõúü",
    "àèéìíîòóù",
    "åäöé",
    "åæøéö",
    "ąćęłńóśźż",
    "áčďéěíňóřšťúůýž",
    "áäčďéíĺľňóôŕšťúýž",
    "áéíóöőúüű",
    "ăâîșşțţ",
    "çğıİöşüâî",
    "абвгдежзийклмнопрстуфхцчшщъыьэюяёіїєґў",
    "αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώϊϋΐΰ",
)
_SINGLE_BYTE = (
    "cp1252",
    "cp1250",
    "iso8859_2",
    "cp1254",
    "cp1251",
    "koi8_r",
    "cp1253",
    "mac_roman",
    "cp850",
    "cp852",
    "cp437",
    "cp866",
)
# encoding -> (charset whose first byte tells common characters, lowest, highest first byte)
_MULTI_BYTE = {
    "cp932": ("euc_jp", 0xB0, 0xCF),
    "euc_jp": ("euc_jp", 0xB0, 0xCF),
    "cp949": ("euc_kr", 0xFF, 0x00),
    "gb18030": ("gb2312", 0xB0, 0xD7),
    "big5hkscs": ("big5", 0xA4, 0xC6),
}
_FRACTIONS = frozenset("¼½¾⅓⅔⅛⅜⅝⅞")
_AFTER_FIGURES = frozenset("”’″′°²³¹%×±–—“„")
_BETWEEN_WORDS = frozenset("“”„‚–—•…°±×®©™€£«»¿¡§·\xa0№")
_GOOD_ENOUGH = 0.35


@dataclass(frozen=True, slots=True)
class Decoded:
    """`encoding` is the Python codec; `warnings` one sentence each where bytes could not be read for certain."""

    text: str
    encoding: str
    warnings: tuple[str, ...] = ()


def decode_text(data: bytes) -> Decoded | None:
    """The text in `data`, or None where it is no text (control bytes that no encoding explains)."""
    for bom, encoding in _BOMS:
        if data.startswith(bom):
            return _decode_with_bom(data[len(bom) :], encoding)
    if b"\x00" in data:
        return _decode_wide(data)
    if _has_controls(data[:SAMPLE]) and not _is_iso2022(data):
        return None
    try:
        return Decoded(data.decode("utf-8"), "utf-8") if not _is_iso2022(data) else _decode_iso2022(data)
    except UnicodeDecodeError as error:
        if error.reason == "unexpected end of data" and len(data) > 200 and not data[: error.start].isascii():
            cut = "The last character is cut short: the file may have been cut off."
            return Decoded(data.decode("utf-8", "ignore"), "utf-8", (cut,))
    return _decode_mixed(data) or _decode_legacy(data)


def _decode_with_bom(data: bytes, encoding: str) -> Decoded | None:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        if encoding == "utf-8":  # a mark that lies: some tools put it before any text
            found = decode_text(data) if data else None
            lie = "The file declares UTF-8 but is not: its encoding was found by its characters."
            return Decoded(found.text, found.encoding, (*found.warnings, lie)) if found else None
        text = data.decode(encoding, "replace")
        return Decoded(text, encoding, ("Some characters could not be decoded: the file may have been cut off.",))
    return None if "\x00" in text else Decoded(text, encoding)


def _decode_wide(data: bytes) -> Decoded | None:
    """UTF-16 or UTF-32 without its mark: the blanks, digits and line ends give it away."""
    best: tuple[float, str] = (0.0, "")
    for encoding in ("utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be"):
        width = 4 if "32" in encoding else 2
        text = data[: SAMPLE // 4 * 4].decode(encoding, "ignore")
        common = sum(c.isascii() and (c.isprintable() or c in "\r\n\t") for c in text)
        strange = sum(unicodedata.category(c) in ("Cn", "Co", "Cc", "Cs") and c not in "\r\n\t" for c in text)
        share = (common - 4 * strange) / max(1, min(len(data), SAMPLE) // width)
        best = max(best, (share, encoding))
    if best[0] < 0.2:
        return None
    text = data.decode(best[1], "replace").removesuffix("\ufffd")
    if text.count("\x00") > 0 or text.count("\ufffd") > len(text) // 100:
        return None
    return Decoded(text, best[1])


def _has_controls(sample: bytes) -> bool:
    odd = sum(byte < 32 and byte not in b"\t\n\r\x0b\x0c\x1a\x1c\x1d\x1e\x1f\x01\x02" for byte in sample)
    return odd > max(1, len(sample) // 200)


def _is_iso2022(data: bytes) -> bool:
    return b"\x1b$" in data and b"\x1b(" in data


def _decode_iso2022(data: bytes) -> Decoded | None:
    for encoding in ("iso2022_jp_ext", "iso2022_kr"):
        try:
            return Decoded(data.decode(encoding), encoding)
        except UnicodeDecodeError:
            continue
    return None


def _decode_mixed(data: bytes) -> Decoded | None:
    """UTF-8 with a few lines of Windows text pasted in: each line is taken for what it is."""
    lines = [line for line in data.splitlines(keepends=True) if not line.isascii()]
    broken = [line for line in lines if not _decodes(line, "utf-8")]
    if not lines or len(broken) > len(lines) / 2 or len(lines) - len(broken) < 2:
        return None
    encoding = _best_encoding(b"".join(broken)[:SAMPLE])[0]
    text = "".join(
        line.decode("utf-8") if _decodes(line, "utf-8") else line.decode(encoding, "replace")
        for line in data.splitlines(keepends=True)
    )
    return Decoded(text, "utf-8", (f"{len(broken)} lines are not UTF-8 like the rest and were read as {encoding}.",))


def _decodes(data: bytes, encoding: str) -> bool:
    try:
        data.decode(encoding)
    except UnicodeDecodeError:
        return False
    return True


def _decode_legacy(data: bytes) -> Decoded | None:
    lines: list[bytes] = []
    size = 0
    for line in data.split(b"\n"):
        if not line.isascii():
            lines.append(line)
            size += len(line)
            if size > SAMPLE:
                break
    sample = b"\n".join(lines)[:SAMPLE]
    encoding, score = _best_encoding(sample)
    if score < _GOOD_ENOUGH:
        encoding = _ask_library(sample) or encoding
    text = data.decode(encoding, "replace")
    lost = text.count("\ufffd")
    if lost > len(text) // 50:
        return None
    unclear = f"{lost} characters could not be decoded as {encoding}." if lost else ""
    return Decoded(text, encoding, (unclear,) if unclear else ())


def _ask_library(sample: bytes) -> str:
    from charset_normalizer import from_bytes

    best = from_bytes(sample, cp_isolation=[*_SINGLE_BYTE, *_MULTI_BYTE]).best()
    return best.encoding if best else ""


def _best_encoding(sample: bytes) -> tuple[str, float]:
    """The candidate whose text looks best; the earlier one where two look alike."""
    best = ("cp1252", -1.0)
    for encoding in (*_SINGLE_BYTE, *_MULTI_BYTE):
        try:
            text = sample.decode(encoding)
        except UnicodeDecodeError as error:
            if error.start < len(sample) - 4:
                continue
            text = sample.decode(encoding, "ignore")
        score = _score_ideographs(text, encoding) if encoding in _MULTI_BYTE else _score_letters(text)
        if score > best[1] + 0.01:
            best = (encoding, score)
    return best


def _score_letters(text: str) -> float:
    """-1 .. 1: how much the characters beyond ASCII look like one language's letters and a typist's signs."""
    padded = f"\n{text}\n"
    places = [i for i, c in enumerate(padded) if not c.isascii()]
    if not places:
        return 0.0
    letters = {c for i in places if (c := padded[i].casefold()).isalpha()}
    alphabet = max((set(row) for row in _ALPHABETS), key=lambda row: (len(letters & row), -len(row)))
    scores = (_score_sign(padded[i - 1], padded[i], padded[i + 1], alphabet) for i in places)
    return sum(scores) / len(places)


def _score_sign(before: str, sign: str, after: str, alphabet: set[str]) -> float:
    if sign in _FRACTIONS:
        return 1.0 if not before.isalpha() and not after.isalnum() else -1.0
    if sign.isalpha():
        if before.isdigit() or after.isdigit() or (before.islower() and sign.isupper()):
            return -0.8
        if _is_foreign(sign) and (_is_plain_letter(before) or _is_plain_letter(after)):
            return -0.8
        return 1.0 if sign.casefold() in alphabet or sign in alphabet else -0.4
    if sign in _AFTER_FIGURES and before.isdigit():
        return 1.0
    if sign in _BETWEEN_WORDS:
        return 0.8 if not (before.isalpha() and after.isalpha()) else -0.8
    if sign == "’":
        return 0.9
    return -1.0


def _is_foreign(sign: str) -> bool:
    """A letter of Cyrillic or Greek, which never stands within a word of Latin letters."""
    return "\u0370" <= sign <= "\u052f"


def _is_plain_letter(sign: str) -> bool:
    return sign.isascii() and sign.isalpha()


def _score_ideographs(text: str, encoding: str) -> float:
    """As `_score_letters`, for the encodings of East Asia. Japanese without any kana is too rare to be believed."""
    signs = [c for c in text if not c.isascii()]
    if len(signs) >= 12 and all("\uff66" <= c <= "\uff9f" for c in signs):
        return 1.0
    if encoding == "cp949" and len(signs) >= 8 and all(_is_common_hangul(c) for c in signs):
        return 1.0  # of Chinese characters about every third would not fall among the syllables
    score = sum(_score_ideograph(c, encoding) for c in signs) / max(1, len(signs)) - 0.02
    japanese = encoding in ("cp932", "euc_jp")
    return score * 0.7 if japanese and not any(_is_kana(c) for c in signs) else score


def _is_common_hangul(sign: str) -> bool:
    """One of the 2,350 syllables of KS X 1001; the other 8,822 are hardly ever written."""
    return "\uac00" <= sign <= "\ud7a3" and len(sign.encode("euc_kr", "ignore")) == 2


def _is_kana(sign: str) -> bool:
    return "\u3040" <= sign <= "\u30ff" or "\uff66" <= sign <= "\uff9f"


def _score_ideograph(sign: str, encoding: str) -> float:
    if _is_kana(sign):
        full_width = sign < "\uff00"
        return {"cp932": 1.0 if full_width else 0.75, "euc_jp": 1.0 if full_width else 0.0}.get(encoding, -0.2)
    if "\uac00" <= sign <= "\ud7a3":
        return _score_hangul(ord(sign) - 0xAC00) if encoding == "cp949" and _is_common_hangul(sign) else -1.0
    if "\u4e00" <= sign <= "\u9fff":
        charset, low, high = _MULTI_BYTE[encoding]
        try:
            first = sign.encode(charset)[0]
        except UnicodeEncodeError:
            return -0.8
        return 1.0 if low <= first <= high else -0.6
    if "\u3000" <= sign <= "\u303f" or "\uff01" <= sign <= "\uff5e" or sign in "×±°℃″′“”‘’…—～½¼¾":
        return 0.6
    return -1.0


def _score_hangul(index: int) -> float:
    """A syllable with a doubled initial or a rare final is seldom met; Chinese text read as Korean is full of them."""
    initial, final = index // (21 * 28), index % 28
    doubled = initial in (1, 4, 8, 10, 13)
    return 1.0 if final in (0, 1, 4, 8, 16, 17, 19, 21) and not doubled else 0.1
