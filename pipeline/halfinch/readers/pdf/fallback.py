"""pdfplumber as the second engine: for pages whose text PDFium cannot tell, and for files it cannot open."""

from __future__ import annotations

import io
import math
from collections import defaultdict
from dataclasses import replace
from typing import Any

from halfinch.readers.pdf.ink import Area, Glyph, PageInk, Rule, Style
from halfinch.readers.pdf.paths import STRAIGHT, THIN


def open_plumber(data: bytes) -> Any | None:
    """The document as pdfplumber opens it, or None when it cannot either."""
    import pdfplumber
    from pdfminer.pdfdocument import PDFEncryptionError, PDFNoValidXRef, PDFPasswordIncorrect
    from pdfminer.pdfexceptions import PDFException
    from pdfminer.psexceptions import PSException
    from pdfplumber.utils.exceptions import MalformedPDFException, PdfminerException

    failures = (
        PDFException, PSException, PdfminerException, MalformedPDFException, PDFEncryptionError, PDFNoValidXRef,
        PDFPasswordIncorrect, ValueError, KeyError, TypeError, IndexError, AttributeError, RecursionError,
    )  # fmt: skip  # pdfminer raises these on broken files
    try:
        document = pdfplumber.open(io.BytesIO(data))
        return document if document.pages else None
    except failures:
        return None


def read_plumber_ink(document: Any, index: int) -> PageInk | None:
    """One page's ink by pdfplumber, or None when it fails too."""
    from pdfminer.pdfexceptions import PDFException
    from pdfminer.psexceptions import PSException
    from pdfplumber.utils.exceptions import MalformedPDFException, PdfminerException

    if index >= len(document.pages):
        return None
    page = document.pages[index]
    try:
        return _ink_of(page, index)
    except (
        PDFException, PSException, PdfminerException, MalformedPDFException, ValueError, KeyError, TypeError,
        IndexError, AttributeError,
    ):  # fmt: skip
        return None  # pdfminer raises these on broken pages
    finally:
        page.close()


def fill_blind(ink: PageInk, second: PageInk) -> None:
    """Adds the runs that the first engine passed over (`ink.blind`), as the second engine tells their letters."""
    used: set[int] = set()
    known: dict[str, list[Glyph]] = defaultdict(list)
    for glyph in ink.glyphs:
        known[glyph.text].append(glyph)
    for x, base, layer in ink.blind:
        start = next((i for i, glyph in enumerate(second.glyphs) if _stands(glyph, x, base)), None)
        if start is None or start in used or second.glyphs[start].text == " ":
            continue
        style = replace(second.glyphs[start].style, layer=layer)
        for i in range(start, len(second.glyphs)):
            glyph = second.glyphs[i]
            if i in used or (i > start and not _adjoins(second.glyphs[i - 1], glyph)):
                break
            if any(_same_spot(glyph, other) for other in known[glyph.text]):
                break  # the first engine has it: here the next run begins
            used.add(i)
            level = style.turn in (0, 180)
            x, base = (glyph.origin_x, base) if level else (x, glyph.origin_y)
            ink.glyphs.append(glyph._replace(origin_x=x, origin_y=base, style=style))
    ink.blind.clear()


def _same_spot(one: Glyph, two: Glyph) -> bool:
    near = 0.5 * one.style.size
    return abs(one.x0 - two.x0) < near and abs(one.bottom - two.bottom) < near


def _adjoins(one: Glyph, two: Glyph) -> bool:
    """True when a letter was drawn right behind another of the same face and size."""
    ends = {
        0: (two.x0 - one.x1, two.top - one.top),
        90: (two.bottom - one.top, two.x0 - one.x0),
        180: (two.x1 - one.x0, two.top - one.top),
        270: (two.top - one.bottom, two.x0 - one.x0),
    }
    near = 0.1 * one.style.size
    return two.style is one.style and two.text != " " and all(abs(d) < near for d in ends[one.style.turn])


def _stands(glyph: Glyph, x: float, base: float) -> bool:
    """True when this letter is the one drawn from that point of a base line."""
    near = 0.1 * glyph.style.size
    if glyph.style.turn in (0, 180):
        return (
            abs((glyph.x1 if glyph.style.turn else glyph.x0) - x) < near
            and glyph.top - near < base < glyph.bottom + near
        )
    return (
        abs((glyph.bottom if glyph.style.turn == 90 else glyph.top) - base) < near
        and glyph.x0 - near < x < glyph.x1 + near
    )


def _ink_of(page: Any, index: int) -> PageInk:
    left, top = float(page.bbox[0]), float(page.bbox[1])
    ink = PageInk(index + 1, float(page.width), float(page.height))
    styles: dict[tuple[Any, ...], Style] = {}
    for char in page.chars:
        if str(char["text"]).startswith("(cid:"):
            ink.broken += 1
            continue
        a, b, c, d, _, _ = char["matrix"]
        turn = round(math.degrees(math.atan2(b, a)) / 90) * 90 % 360
        key = (char["fontname"], round(char["size"], 2), turn)
        style = styles.setdefault(
            key, Style(abs(char["size"]) or math.hypot(c, d), turn, bold="bold" in char["fontname"].lower())
        )
        x0, x1, y0, y1 = char["x0"] - left, char["x1"] - left, char["top"] - top, char["bottom"] - top
        base = y1 - 0.21 * (y1 - y0)
        origin = (x0, base) if turn == 0 else (x1 - 0.21 * (x1 - x0), y1)
        text = str(char["text"])
        ink.glyphs.append(Glyph(" " if text.isspace() else text, x0, y0, x1, y1, *origin, style))
    for shape in [*page.lines, *page.rects, *page.curves]:
        _add_shape(ink, shape, left, top)
    for picture in page.images:
        box = (picture["x0"] - left, picture["top"] - top, picture["x1"] - left, picture["bottom"] - top)
        ink.pictures.append(Area(*box, (255, 255, 255), 0))
    return ink


def _add_shape(ink: PageInk, shape: dict[str, Any], left: float, top: float) -> None:
    x0, x1 = shape["x0"] - left, shape["x1"] - left
    y0, y1 = shape["top"] - top, shape["bottom"] - top
    if y1 - y0 <= max(STRAIGHT, THIN if shape.get("fill") else 0) and x1 - x0 > y1 - y0:
        ink.rules.append(Rule(x0, (y0 + y1) / 2, x1, (y0 + y1) / 2))
    elif x1 - x0 <= max(STRAIGHT, THIN if shape.get("fill") else 0):
        ink.rules.append(Rule((x0 + x1) / 2, y0, (x0 + x1) / 2, y1))
    elif shape["object_type"] == "rect":
        edge = not shape.get("stroke")
        for rule in ((x0, y0, x1, y0), (x0, y1, x1, y1), (x0, y0, x0, y1), (x1, y0, x1, y1)):
            ink.rules.append(Rule(*rule, edge))
