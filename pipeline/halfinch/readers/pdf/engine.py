"""Letters and drawn shapes of a PDF, page by page, as PDFium sees them."""

from __future__ import annotations

import ctypes
import math
from functools import cache
from typing import Any

from halfinch.errors import SheetError
from halfinch.readers.pdf.ink import Area, Glyph, PageInk, Style
from halfinch.readers.pdf.paths import Runs, find_blind, read_paths

MOST_GLYPHS = 60_000  # a page of a newspaper has 30,000; beyond this a page is a drawing, and is cut with a warning
LARGEST_SIDE = 20_000.0  # points; PDF itself allows 14,400
BESIDE = 60.0  # points beside the page: letters there may be the rest of a word that the edge cuts
MOST_NOTES = 2_000  # links of a page of contents are some hundreds; what comes after so many is not looked for
INVISIBLE_MODES = (3, 7)  # text render modes that paint nothing (ISO 32000-1, table 106)
BOLD_WEIGHT = 600
FLAG_FORCE_BOLD = 1 << 18  # font descriptor flag (ISO 32000-1, table 123)
BREAKS = frozenset((0, 2, 9, 10, 13, 32, 0xA0, 0xFFFD, 0xFFFE, 0xFFFF))


def open_document(data: bytes, name: str) -> Any:
    """The opened document. SheetError when it has a password, is cut short past mending, or is no PDF."""
    import pypdfium2
    import pypdfium2.raw as raw

    if b"%PDF-" not in data[:1100]:
        raise SheetError(f"{name}: this is not a PDF (it does not begin with %PDF); check the file's kind")
    try:
        document = pypdfium2.PdfDocument(data)
        pages = len(document)
    except pypdfium2.PdfiumError as error:
        if "password" in str(error).lower() or "security" in str(error).lower():
            raise SheetError(f"{name}: the PDF is encrypted; save a copy without a password and import that") from error
        raise SheetError(f"{name}: the PDF is damaged or cut short and cannot be opened; fetch it again") from error
    if pages == 0:
        document.close()
        raise SheetError(f"{name}: the PDF has no pages; fetch it again")
    if document.get_formtype() != raw.FORMTYPE_NONE:
        document.init_forms()  # draws the values of fields that the file gives without their picture
    return document


def open_page(document: Any, index: int) -> Any:
    """One page (0-based index) with its filled fields, typed notes and stamps as part of the page, as they are seen."""
    import pypdfium2.raw as raw

    page = document[index]
    if _has_notes(page) and raw.FPDFPage_Flatten(page, raw.FLAT_NORMALDISPLAY) == raw.FLATTEN_SUCCESS:
        page.close()
        page = document[index]
    return page


def _has_notes(page: Any) -> bool:
    """True when something other than links and the windows of notes lies on the page."""
    import pypdfium2.raw as raw

    for i in range(min(raw.FPDFPage_GetAnnotCount(page), MOST_NOTES)):
        note = raw.FPDFPage_GetAnnot(page, i)
        kind = raw.FPDFAnnot_GetSubtype(note)
        raw.FPDFPage_CloseAnnot(note)
        if kind not in (raw.FPDF_ANNOT_LINK, raw.FPDF_ANNOT_POPUP):
            return True
    return False


class View:
    """From a page's own coordinates to the page as a person sees it."""

    def __init__(self, bounds: tuple[float, float, float, float], rotation: int) -> None:
        left, bottom, right, top = bounds
        wide, high = right - left, top - bottom
        self.turn = rotation % 360
        self.width, self.height = (high, wide) if self.turn in (90, 270) else (wide, high)
        a, b, c, d, e, f = {
            0: (1, 0, 0, -1, -left, top),
            90: (0, 1, 1, 0, -bottom, -left),
            180: (-1, 0, 0, 1, right, -bottom),
            270: (0, -1, -1, 0, top, right),
        }[self.turn]
        self.matrix: tuple[float, float, float, float, float, float] = (a, b, c, d, e, f)

    def point(self, x: float, y: float) -> tuple[float, float]:
        a, b, c, d, e, f = self.matrix
        return (a * x + c * y + e, b * x + d * y + f)

    def box(self, left: float, bottom: float, right: float, top: float) -> tuple[float, float, float, float]:
        x0, y0 = self.point(left, bottom)
        x1, y1 = self.point(right, top)
        return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def page_view(page: Any) -> View:
    """How the page is seen: its crop box inside its media box, and its rotation."""
    bounds = page.get_bbox()  # unlike get_mediabox and get_cropbox, this one follows boxes set for all pages at once
    return View(bounds, page.get_rotation())


def read_page_ink(document: Any, index: int) -> PageInk:
    """Everything drawn on one page (0-based index). Raises pypdfium2.PdfiumError when the page cannot be loaded."""
    page = open_page(document, index)
    try:
        view = page_view(page)
        ink = PageInk(index + 1, view.width, view.height)
        if max(view.width, view.height) > LARGEST_SIDE:
            ink.warnings.append(f"page {index + 1} is {max(view.width, view.height):.0f} points long; it was not read")
            return ink
        runs = read_paths(page, view, ink)
        text_page = page.get_textpage()
        try:
            ink.glyphs.extend(_read_glyphs(text_page, view, ink, runs))
        finally:
            text_page.close()
        return ink
    finally:
        page.close()


def _read_glyphs(text_page: Any, view: View, ink: PageInk, runs: Runs) -> list[Glyph]:
    import pypdfium2.raw as raw

    count = raw.FPDFText_CountChars(text_page)
    if count > MOST_GLYPHS:
        ink.warnings.append(f"page {ink.number} has {count} letters; only the first {MOST_GLYPHS} were read")
        count = MOST_GLYPHS
    styles = _Styles(text_page, view, runs.layers)
    box, origin = (ctypes.c_float * 4)(), (ctypes.c_double * 2)()  # an FS_RECTF is left, top, right, bottom
    rect, px, py = ctypes.byref(box), ctypes.byref(origin), ctypes.byref(origin, ctypes.sizeof(ctypes.c_double))
    page, calls, known = styles.page, styles.calls, styles.known
    get_unicode, get_box, get_origin, get_run = calls.unicode, calls.box, calls.origin, calls.run
    far_x, far_y = view.width + BESIDE, view.height + BESIDE
    a, b, c, d, e, f = view.matrix
    upright = view.turn == 0
    glyphs: list[Glyph] = []
    for i in range(count):
        code = get_unicode(page, i)
        if code in BREAKS:
            if code in (0, 0xFFFD, 0xFFFE, 0xFFFF) and not raw.FPDFText_IsGenerated(text_page, i):
                ink.broken += 1
            if code not in (2, 32, 0xA0) or raw.FPDFText_IsGenerated(text_page, i):
                continue  # line breaks and blanks that PDFium guessed; we find words by geometry
        get_box(page, i, rect)
        get_origin(page, i, px, py)
        left, top, right, bottom = box[:]
        ox, oy = origin[:]
        if upright:
            x0, x1, y0, y1, ox, oy = left + e, right + e, f - top, f - bottom, ox + e, f - oy
        else:
            x0, x1 = a * left + c * bottom + e, a * right + c * top + e
            y0, y1 = b * left + d * bottom + f, b * right + d * top + f
            x0, x1, y0, y1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
            ox, oy = a * ox + c * oy + e, b * ox + d * oy + f
        if not (x0 <= far_x and y0 <= far_y and x1 >= -BESIDE and y1 >= -BESIDE):
            continue  # far off the page
        run = get_run(page, i) or 0
        style = known.get(run) or styles.describe(i, run)
        if 0xE000 <= code <= 0xF8FF:
            ink.broken += 1
        text = chr(code) if code > 2 and code != 0xA0 else _letter(code)
        glyphs.append(Glyph(text, x0, y0, x1, y1, ox, oy, style))
    ink.blind = find_blind(runs, known, view)
    return glyphs


class _Calls:
    """PDFium's functions for letters with bare pointers: checking the type of each handle for every letter is dear."""

    def __init__(self) -> None:
        import pypdfium2.raw as raw

        whole, pointer = ctypes.c_int, ctypes.c_void_p

        def direct(name: str, *types: Any) -> Any:
            return ctypes.CFUNCTYPE(*types)(ctypes.cast(getattr(raw, name), pointer).value or 0)

        self.unicode = direct("FPDFText_GetUnicode", ctypes.c_uint, pointer, whole)
        self.box = direct("FPDFText_GetLooseCharBox", whole, pointer, whole, pointer)
        self.origin = direct("FPDFText_GetCharOrigin", whole, pointer, whole, pointer, pointer)
        self.run = direct("FPDFText_GetTextObject", pointer, pointer, whole)
        self.matrix = direct("FPDFText_GetMatrix", whole, pointer, whole, pointer)
        self.size = direct("FPDFText_GetFontSize", ctypes.c_double, pointer, whole)
        self.font = direct("FPDFTextObj_GetFont", pointer, pointer)
        self.mode = direct("FPDFTextObj_GetTextRenderMode", whole, pointer)
        self.colour = direct("FPDFPageObj_GetFillColor", whole, *[pointer] * 5)


@cache
def _calls() -> _Calls:
    return _Calls()


def _letter(code: int) -> str:
    if code == 2:
        return "-"  # PDFium's sign for a hyphen at the end of a line
    if code == 0xA0:
        return " "
    return chr(code)


class _Styles:
    """Styles of drawn runs, one lookup a run: asking PDFium for font and colour of every letter is dear."""

    def __init__(self, text_page: Any, view: View, layers: dict[int, int]) -> None:
        self.calls = _calls()
        self.page = ctypes.cast(text_page.raw, ctypes.c_void_p)
        self.view = view
        self.layers = layers
        self.known: dict[int, Style] = {}
        self.fonts: dict[int, tuple[bool, float]] = {}
        self.matrix = (ctypes.c_float * 6)()
        self.colour = (ctypes.c_uint * 4)()
        self.parts = [ctypes.byref(self.colour, 4 * i) for i in range(4)]

    def describe(self, i: int, key: int) -> Style:
        """The style of the drawn run at address `key` (0: unknown), to which letter `i` belongs."""
        calls = self.calls
        calls.matrix(self.page, i, ctypes.byref(self.matrix))
        a, b, c, d, _, _ = self.matrix[:]
        size = abs(calls.size(self.page, i) * math.hypot(c, d)) or 1.0
        style = self.known[key] = Style(size, self._turn(a, b), layer=self.layers.get(key, 0))
        if not key:
            return style
        style.bold, style.space = self._font(calls.font(key) or 0)
        if calls.colour(key, *self.parts):
            red, green, blue, alpha = self.colour[:]
            style.colour, style.unseen = (red, green, blue), alpha == 0
        mode = calls.mode(key)
        if mode in (1, 2, 5, 6):  # outlined letters: the fill alone says little
            style.colour, style.unseen, style.bold = None, False, style.bold or mode == 2
        style.unseen = style.unseen or mode in INVISIBLE_MODES
        return style

    def _turn(self, a: float, b: float) -> int:
        if b == 0 and a > 0 and not self.view.turn:
            return 0
        seen = (math.degrees(math.atan2(b, a)) - self.view.turn) % 360
        nearest = round(seen / 90) * 90
        return int(nearest % 360) if abs(seen - nearest) <= 8 else -1

    def _font(self, key: int) -> tuple[bool, float]:
        found = self.fonts.get(key)
        if found is None:
            found = self.fonts[key] = _describe_font(key) if key else (False, 0.28)
        return found


def _describe_font(key: int) -> tuple[bool, float]:
    """Whether the font at this address is bold, and the width of its blank in parts of the letter size."""
    import pypdfium2.raw as raw

    font = ctypes.cast(key, raw.FPDF_FONT)
    buffer = ctypes.create_string_buffer(256)
    raw.FPDFFont_GetBaseFontName(font, buffer, 256)
    name = buffer.value.decode("utf-8", "replace").lower()
    flags = raw.FPDFFont_GetFlags(font)
    heavy = any(word in name for word in ("bold", "black", "heavy", "demi"))
    heavy = heavy or (flags > 0 and bool(flags & FLAG_FORCE_BOLD)) or raw.FPDFFont_GetWeight(font) >= BOLD_WEIGHT
    wide = ctypes.c_float()
    known = raw.FPDFFont_GetGlyphWidth(font, 32, ctypes.c_float(1.0), wide)
    return heavy, wide.value if known and 0.1 < wide.value < 1.0 else 0.28


def picture_share(ink: PageInk) -> float:
    """Part of the page that its largest picture covers, 0..1."""
    page = max(ink.width * ink.height, 1.0)
    return max((_surface(picture) / page for picture in ink.pictures), default=0.0)


def _surface(area: Area) -> float:
    return (area.x1 - area.x0) * (area.bottom - area.top)
