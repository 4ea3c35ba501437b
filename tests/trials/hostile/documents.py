"""PDFs that refer to themselves, hold a million things, or do not say which letters they show."""

from __future__ import annotations

import zlib

from .corpus import FIGURES, trick

FONT = b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>"
CATALOG = b"<< /Type /Catalog /Pages 2 0 R >>"
PAGES = b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>"
SHOWN = (
    ("Women's jeans Lagune", "", "", ""),
    ("Size", "8", "10", "12"),
    ("Waist (in)", "28", "29", "30"),
    ("Hip (in)", "38", "39", "40"),
    ("Inseam (in)", "30", "30", "30"),
)
TABLE = b"BT /A 10 Tf " + b" ".join(
    b"1 0 0 1 %d %d Tm (%s) Tj" % (50 + 90 * at, 700 - 20 * line, text.encode())
    for line, row in enumerate(SHOWN)
    for at, text in enumerate(row)
    if text
) + b" ET"  # fmt: skip


def stream(data: bytes, more: bytes = b"") -> bytes:
    return b"<< /Length %d %s >>\nstream\n" % (len(data), more) + data + b"\nendstream"


def page(more: bytes = b"", resources: bytes = b"", font: bytes = FONT) -> bytes:
    """The page 3 0 R with its content in 4 0 R."""
    return (
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 600 800] /Contents 4 0 R "
        b"/Resources << /Font << /A " + font + b" >> " + resources + b" >> " + more + b" >>"
    )


def pdf(*objects: bytes, trailer: bytes = b"") -> bytes:
    """Numbered from 1; the first is the catalogue."""
    out = bytearray(b"%PDF-1.5\n")
    offsets = []
    for number, one in enumerate(objects, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n" % number + one + b"\nendobj\n"
    start = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % offset for offset in offsets)
    out += b"trailer << /Size %d /Root 1 0 R %s >>\nstartxref\n%d\n%%%%EOF" % (len(objects) + 1, trailer, start)
    return bytes(out)


def honest(*more: bytes, trailer: bytes = b"") -> bytes:
    return pdf(CATALOG, PAGES, page(), stream(TABLE), *more, trailer=trailer)


@trick("pdf", "read", figures=FIGURES)
def as_it_should_be(count: int) -> bytes:
    return honest()


@trick("pdf", "failed", "nothing", full=1_000_000_000, short=1_000_000_000)
def pages_in_a_ring(count: int) -> bytes:
    return pdf(CATALOG, b"<< /Type /Pages /Kids [2 0 R 2 0 R] /Count %d >>" % count)


@trick("pdf", "read", "partly", figures=FIGURES)
def pages_and_a_ring(count: int) -> bytes:
    ring = b"<< /Type /Pages /Kids [3 0 R 2 0 R] /Count 2 >>"
    return pdf(CATALOG, ring, page(), stream(TABLE))


@trick("pdf", "read", figures=FIGURES)
def tables_of_objects_in_a_ring(count: int) -> bytes:
    data = honest()
    at = data.rindex(b"xref\n0")
    return data.replace(b"/Root 1 0 R", b"/Root 1 0 R /Prev %d" % at)


@trick("pdf", "read", figures=FIGURES, full=20_000, short=2_000)
def many_old_tables_of_objects(count: int) -> bytes:
    """Each update of the file refers to the one before."""
    data = honest()
    before = data.rindex(b"xref\n0")
    out = bytearray(data)
    for _ in range(count):
        at = len(out) + 1
        out += b"\nxref\n0 0\ntrailer << /Size 5 /Root 1 0 R /Prev %d >>\nstartxref\n%d\n%%%%EOF" % (before, at)
        before = at
    return bytes(out)


@trick("pdf", "failed", says="process .* died")
def a_form_that_draws_itself(count: int) -> bytes:
    """Twice: the engine goes round until its memory ends."""
    form = b"/Type /XObject /Subtype /Form /BBox [0 0 600 800] /Resources << /XObject << /F 5 0 R >> >>"
    content = TABLE + b" /F Do"
    return pdf(
        CATALOG, PAGES, page(resources=b"/XObject << /F 5 0 R >>"), stream(content), stream(b"/F Do /F Do", form)
    )


@trick("pdf", "failed", "partly", says="died|longer than|MB of memory|letters", full=20, short=4)
def forms_by_the_tenfold(count: int) -> bytes:
    """Ten times the next form, twenty deep: 10^20 texts."""
    kind = b"/Type /XObject /Subtype /Form /BBox [0 0 600 800] /Resources << /XObject << /F %d 0 R >> >>"
    forms = [stream(b"/F Do " * 10, kind % number) for number in range(6, 6 + count)]
    last = b"/Type /XObject /Subtype /Form /BBox [0 0 600 800] /Resources << /Font << /A " + FONT + b" >> >>"
    content = stream(b"/F Do")
    first = page(resources=b"/XObject << /F 5 0 R >>")
    return pdf(CATALOG, PAGES, first, content, *forms, stream(b"BT /A 12 Tf 50 600 Td (Inseam 30 in) Tj ET", last))


@trick("pdf", "nothing", "failed", says="empty|process .* died", full=1_000_000_000, short=50_000_000)
def a_page_of_blanks(count: int) -> bytes:
    return pdf(CATALOG, PAGES, page(), stream(zlib.compress(b" " * count, 9), b"/Filter /FlateDecode"))


@trick("pdf", "read", "partly", "nothing", "failed", full=8, short=5, figures=FIGURES)
def packed_again_and_again(count: int) -> bytes:
    data = TABLE + b" " * 20_000_000
    for _ in range(count):
        data = zlib.compress(data, 9)
    return pdf(CATALOG, PAGES, page(), stream(data, b"/Filter [" + b"/FlateDecode " * count + b"]"))


@trick("pdf", "read", figures=FIGURES, full=1_000_000, short=50_000)
def a_million_objects(count: int) -> bytes:
    return honest(*[b"<< /A 1 >>"] * count)


@trick("pdf", full=300_000, short=4_000, figures=None)
def a_text_upon_itself(count: int) -> bytes:
    content = b"BT /A 4 Tf " + b"1 0 0 1 50 700 Tm (Inseam 30) Tj " * count + b"ET"
    return pdf(CATALOG, PAGES, page(), stream(content))


@trick("pdf", full=500_000, short=10_000, figures=FIGURES)
def lines_across_the_page(count: int) -> bytes:
    lines = b"".join(b"%d %d m %d %d l S " % (n % 600, n * 7 % 800, n * 13 % 600, n * 11 % 800) for n in range(count))
    return pdf(CATALOG, PAGES, page(), stream(lines + TABLE))


@trick("pdf", full=1_500, short=150, figures=FIGURES)
def a_grid_of_hairlines(count: int) -> bytes:
    step = 600 / count
    lines = b"".join(
        b"%f 0 m %f 800 l S 0 %f m 600 %f l S " % (n * step, n * step, n * step, n * step) for n in range(count)
    )
    return pdf(CATALOG, PAGES, page(), stream(lines + TABLE))


@trick("pdf", full=20_000, short=300)
def one_page_many_times(count: int) -> bytes:
    pages = b"<< /Type /Pages /Kids [" + b"3 0 R " * count + b"] /Count %d >>" % count
    return pdf(CATALOG, pages, page(), stream(b"BT /A 12 Tf 50 700 Td (Shipping and returns) Tj ET"))


@trick("pdf", "read", "partly", "nothing", "failed", full=200_000, short=50_000, figures=FIGURES)
def arrays_nested_deep(count: int) -> bytes:
    return pdf(
        b"<< /Type /Catalog /Pages 2 0 R /X " + b"[" * count + b"]" * count + b" >>", PAGES, page(), stream(TABLE)
    )


@trick("pdf", "read", "partly", "nothing", "failed", full=200_000, short=20_000, figures=FIGURES)
def states_never_restored(count: int) -> bytes:
    return pdf(CATALOG, PAGES, page(), stream(b"q " * count + TABLE))


@trick("pdf", "read", "partly", "nothing", "failed", figures=FIGURES)
def a_page_of_the_size_of_a_country(count: int) -> bytes:
    return honest().replace(b"[0 0 600 800]", b"[-1e9 -1e9 1e9 1e9]")


@trick("pdf", "failed", says="password|encrypt|protected|read")
def an_encryption_that_nobody_knows(count: int) -> bytes:
    return honest(trailer=b"/Encrypt << /Filter /Standard /V 99 /R 99 >>")


@trick("pdf", "read", "partly", "nothing", "failed", figures=FIGURES)
def a_length_that_is_its_own(count: int) -> bytes:
    return pdf(CATALOG, PAGES, page(), b"<< /Length 4 0 R >>\nstream\n" + TABLE + b"\nendstream")


@trick("pdf", "read", "partly", "nothing")
def a_font_without_letters(count: int) -> bytes:
    """Glyphs by number and no word which letters they are: nothing is guessed."""
    font = (
        b"<< /Type /Font /Subtype /Type0 /BaseFont /X /Encoding /Identity-H /DescendantFonts [<< /Type /Font "
        b"/Subtype /CIDFontType2 /BaseFont /X /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >>"
        b" /FontDescriptor << /Type /FontDescriptor /FontName /X /Flags 4 /FontBBox [0 0 1000 1000] /ItalicAngle 0"
        b" /Ascent 800 /Descent -200 /CapHeight 700 /StemV 80 >> >>] >>"
    )
    codes = b" ".join(
        b"1 0 0 1 %d %d Tm <%04x%04x> Tj" % (50 + 90 * (n % 4), 700 - 20 * (n // 4), 3 + n, 9 + n) for n in range(20)
    )
    return pdf(CATALOG, PAGES, page(font=font), stream(b"BT /A 10 Tf " + codes + b" ET"))


@trick("pdf", "read", "partly", "nothing")
def a_font_of_drawings(count: int) -> bytes:
    """A font whose letters are drawings, one of which draws with the font itself."""
    font = (
        b"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 10 10] /FontMatrix [0.1 0 0 0.1 0 0] /FirstChar 48 /LastChar 57"
        b" /Widths [6 6 6 6 6 6 6 6 6 6] /Encoding << /Type /Encoding /Differences [48 /g0 /g1 /g2 /g3] >>"
        b" /CharProcs << /g0 5 0 R /g1 5 0 R /g2 5 0 R /g3 5 0 R >> /Resources << /Font << /A 6 0 R >> >> >>"
    )
    drawn = stream(b"6 0 0 0 6 6 d1 BT /A 1 Tf (0123) Tj ET 0 0 5 5 re f")
    return pdf(CATALOG, PAGES, page(font=b"6 0 R"), stream(TABLE), drawn, font)


@trick("pdf", "read", "partly", "nothing")
def a_font_that_lies(count: int) -> bytes:
    """Every letter is said to be the same digit: no figure comes of it."""
    lie = b"/CIDInit /ProcSet findresource begin 1 begincodespacerange <00> <ff> endcodespacerange\n"
    lie += b"256 beginbfchar\n" + b"".join(b"<%02x> <0033>\n" % code for code in range(256)) + b"endbfchar end"
    return pdf(CATALOG, PAGES, page(font=FONT[:-2] + b"/ToUnicode 5 0 R >>"), stream(TABLE), stream(lie))


@trick("pdf", "read", "partly", "nothing", "failed", figures=FIGURES)
def outlines_and_annotations_in_a_ring(count: int) -> bytes:
    catalog = b"<< /Type /Catalog /Pages 2 0 R /Outlines 5 0 R /AcroForm << /Fields [6 0 R] >> /Names 7 0 R >>"
    outline = b"<< /Type /Outlines /First 5 0 R /Last 5 0 R /Next 5 0 R /Parent 5 0 R /Title (x) >>"
    form = b"<< /Type /Annot /Subtype /Widget /FT /Tx /T (a) /V (30) /Rect [0 0 9 9] /Kids [6 0 R] /Parent 6 0 R >>"
    names = b"<< /EmbeddedFiles << /Kids [7 0 R] >> /Kids [7 0 R] >>"
    return pdf(catalog, PAGES, page(b"/Annots [6 0 R 6 0 R]"), stream(TABLE), outline, form, names)


@trick("pdf", "read", "failed", says="deep", figures=5 * FIGURES)
def a_document_that_holds_itself(count: int) -> bytes:
    """Files attached to a file attached to a file."""
    data = honest()
    for _ in range(8):
        catalog = b"<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles << /Names [(a.pdf) 5 0 R] >> >> >>"
        file = b"<< /Type /Filespec /F (a.pdf) /EF << /F 6 0 R >> >>"
        data = pdf(catalog, PAGES, page(), stream(TABLE), file, stream(data, b"/Type /EmbeddedFile"))
    return data
