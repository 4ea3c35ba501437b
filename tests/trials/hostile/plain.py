"""Text that is too long, too wide or not what it says, and encodings that lie."""

from __future__ import annotations

import codecs

from .corpus import FIGURES, HONEST, trick

GERMAN = (
    "Damenhose Lagüne;;;\nGröße;36;38;40\nTaillenumfang (cm);70;74;78\nHüftumfang (cm);96;100;104\n"
    "Innenbeinlänge (cm);78;78;78\n"
)
"""Nine figures under labels with letters beyond ASCII."""


@trick("csv", full=10_000, short=2_000)
def numbers_without_end(count: int) -> bytes:
    nines, strokes = b"9" * count, b"1/" * count
    return (
        b"size,inseam in,waist in\n8,"
        + nines
        + b",29\n10,1e999999999,30\n12,1/0,31\n14,0/0,30\n16,"
        + strokes
        + b"2,30\n"
    )


@trick("csv", says="columns|cells|MB of memory", full=10_000_000, short=20_000)
def one_line(count: int) -> bytes:
    return b"Inseam," + b"30," * count


@trick("csv", "partly", "nothing", says="columns", full=100_000, short=1_050, figures=None)
def many_columns(count: int) -> bytes:
    sizes, figures = b",".join(b"%d" % n for n in range(count)), b",".join([b"30"] * count)
    return b"size," + sizes + b"\ninseam," + figures + b"\n"


@trick("csv", full=3_000_000, short=100_000)
def empty_rows(count: int) -> bytes:
    return b"size;inseam\n" + b";\n" * count


@trick("csv", full=5_000_000, short=1_500)
def a_quote_that_does_not_end(count: int) -> bytes:
    return b'size,inseam\n"8,' + b"30\n" * count


@trick("csv", full=500_000, short=10_000)
def brackets(count: int) -> bytes:
    return b"size,inseam\n8," + b"(" * count + b"\n"


@trick("csv", "failed", says="text", full=10_000_000, short=100_000)
def zeros_behind(count: int) -> bytes:
    return b"size,inseam\n8,\x0030\n" * 10 + bytes(count)


@trick("txt", says="left out", full=3_000_000, short=30_000)
def one_word(count: int) -> bytes:
    return b"inseam " * count


@trick("txt", says="left out", full=5_000_000, short=30_000)
def ones(count: int) -> bytes:
    return b"1 " * count


@trick("txt", full=9_000, short=1_000)
def ones_in_one_text(count: int) -> bytes:
    return b"1 " * count


@trick("txt", full=625, short=150)
def labels_and_numbers(count: int) -> bytes:
    """Every number has labels on both sides: many ways to pair them."""
    return b"inseam 30 1/2 - 31 1/2 in / 32 " * count


@trick("txt", full=5_000, short=200, figures=None)
def short_lines(count: int) -> bytes:
    return b"Size 8: inseam 30 in\n" * count


@trick("csv", full=3_000, short=100)
def rows_of_strokes(count: int) -> bytes:
    return b"\n".join(b"|".join([b"-" * (number % 40)] * 8) for number in range(count))


@trick("json", full=500_000, short=100_000)
def json_that_only_opens(count: int) -> bytes:
    return b"[" * count


@trick("json", full=100_000, short=50_000)
def json_nested(count: int) -> bytes:
    return b'{"a":' * count + b"1" + b"}" * count


@trick("json", full=100_000, short=20_000)
def json_numbers(count: int) -> bytes:
    return b'[{"size":"8","inseam":' + b"9" * count + b',"waist":NaN,"hip":1e9999}]'


# ---- encodings that lie: a person who opens the file sees the figures, so they are read -----------------------------


@trick("csv", "read", "partly", figures=FIGURES)
def utf8_mark_before_latin1(count: int) -> bytes:
    return codecs.BOM_UTF8 + GERMAN.encode("cp1252")


@trick("csv", "failed", "nothing", "partly")
def utf16_mark_before_ascii(count: int) -> bytes:
    return codecs.BOM_UTF16_LE + HONEST.encode() + b"x"


@trick("csv", "read", figures=FIGURES)
def utf16_without_a_mark(count: int) -> bytes:
    return GERMAN.encode("utf-16-le")


@trick("csv", "read", "partly", figures=FIGURES)
def utf8_cut_in_a_letter(count: int) -> bytes:
    return (GERMAN + "größ").encode()[:-1]


@trick("html", "read", "partly", figures=FIGURES)
def says_utf8_is_utf16(count: int) -> bytes:
    return _page("utf-8").encode("utf-16")


@trick("html", "read", "partly", figures=FIGURES)
def says_utf8_is_latin1(count: int) -> bytes:
    return _page("utf-8").encode("cp1252")


@trick("html", "read", "partly", figures=FIGURES)
def says_utf16_is_utf8(count: int) -> bytes:
    return _page("utf-16").encode("utf-8")


@trick("html", "read", "partly", figures=FIGURES)
def says_what_nobody_knows(count: int) -> bytes:
    return _page("x-\x1b[2J-klingon").encode("utf-8")


@trick("csv", full=20_000, short=200)
def utf7(count: int) -> bytes:
    return b"+AHM-ize,inseam\n8,30\n" * count


def _page(charset: str) -> str:
    rows = "".join(
        f"<tr>{''.join(f'<td>{cell}</td>' for cell in line.split(';'))}</tr>" for line in GERMAN.splitlines()[1:]
    )
    head = f'<head><meta charset="{charset}"><title>Damenhose Lagüne</title></head>'
    return f"<html>{head}<body><table>{rows}</table></body>"
