"""Drawn lines, boxes, filled areas and pictures of a page, read from PDFium's page objects."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from halfinch.readers.pdf.ink import Area, Blind, PageInk, Rule

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

MOST_OBJECTS = 60_000  # objects looked at on one page
MOST_SEGMENTS = 120_000  # path points looked at on one page
MOST_RULES = 6_000  # beyond this the page is a drawing (a pattern, a map), not a table
BESIDE = 60.0  # points: lines are cut this far beside the page
THIN = 3.2  # points: a filled strip thinner than this is a line
STRAIGHT = 0.6  # points that the ends of a line may differ and still be level or upright
DEEPEST = 6  # forms within forms
NO_WIDTH = 0.01  # points: PDFium passes over text runs narrower than this
AT_HAND = (b"helvetica", b"times", b"courier", b"arial", b"symbol", b"zapf")  # faces that PDFium brings along

Matrix = tuple[float, float, float, float, float, float]
Point = tuple[float, float]
WHITE = (255, 255, 255)


class _View(Protocol):
    matrix: Matrix
    width: float
    height: float


def multiply(first: Matrix, then: Matrix) -> Matrix:
    """The matrix that applies `first`, and `then` after it."""
    a, b, c, d, e, f = first
    g, h, i, j, k, m = then
    return (
        a * g + b * i,
        a * h + b * j,
        c * g + d * i,
        c * h + d * j,
        e * g + f * i + k,
        e * h + f * j + m,
    )


class _Reader:
    def __init__(self, view: _View, ink: PageInk) -> None:
        import pypdfium2.raw as raw

        self.raw = raw
        self.view = view
        self.ink = ink
        self.layers: dict[int, int] = {}
        self.inner: dict[int, Matrix] = {}
        self.objects = 0
        self.segments = 0
        self.colour = tuple(ctypes.c_uint() for _ in range(4))
        self.sides = tuple(ctypes.c_float() for _ in range(4))

    def full(self) -> bool:
        return self.objects > MOST_OBJECTS or self.segments > MOST_SEGMENTS or len(self.ink.rules) > MOST_RULES

    def read(self, holder: Any, count: int, get: Any, matrix: Matrix, depth: int) -> None:
        raw = self.raw
        for i in range(count):
            if self.full():
                return
            self.objects += 1
            item = get(holder, i)
            kind = raw.FPDFPageObj_GetType(item)
            if kind == raw.FPDF_PAGEOBJ_TEXT:
                address = ctypes.cast(item, ctypes.c_void_p).value or 0
                self.layers[address] = self.objects
                if depth:
                    self.inner[address] = matrix
            elif kind == raw.FPDF_PAGEOBJ_PATH:
                self.read_path(item, multiply(self.own_matrix(item), matrix))
            elif kind == raw.FPDF_PAGEOBJ_IMAGE:
                box = self.bounds(item, matrix)
                self.ink.pictures.append(Area(*box, WHITE, self.objects))
            elif kind == raw.FPDF_PAGEOBJ_FORM and depth < DEEPEST:
                inner = raw.FPDFFormObj_CountObjects(item)
                self.read(item, inner, raw.FPDFFormObj_GetObject, multiply(self.own_matrix(item), matrix), depth + 1)

    def own_matrix(self, item: Any) -> Matrix:
        m = self.raw.FS_MATRIX()
        if not self.raw.FPDFPageObj_GetMatrix(item, m):
            return (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        return (m.a, m.b, m.c, m.d, m.e, m.f)

    def bounds(self, item: Any, matrix: Matrix) -> tuple[float, float, float, float]:
        left, bottom, right, top = self.sides
        self.raw.FPDFPageObj_GetBounds(item, left, bottom, right, top)
        a, b, c, d, e, f = matrix
        corners = [(x, y) for x in (left.value, right.value) for y in (bottom.value, top.value)]
        xs = [a * x + c * y + e for x, y in corners]
        ys = [b * x + d * y + f for x, y in corners]
        return (min(xs), min(ys), max(xs), max(ys))

    def read_path(self, item: Any, matrix: Matrix) -> None:
        raw = self.raw
        mode, stroke = ctypes.c_int(), ctypes.c_int()
        raw.FPDFPath_GetDrawMode(item, mode, stroke)
        filled, stroked = mode.value != 0, bool(stroke.value)
        if stroked and self.clear(raw.FPDFPageObj_GetStrokeColor, item):
            stroked = False
        if filled and self.clear(raw.FPDFPageObj_GetFillColor, item):
            filled = False
        if not (filled or stroked):
            return
        for points, closed in self.outlines(item, matrix):
            if filled:
                self.add_fill(item, points, stroked)
            if stroked:
                self.add_stroke(points, closed)

    def clear(self, ask: Any, item: Any) -> bool:
        """True when the colour asked for is fully transparent."""
        return bool(ask(item, *self.colour)) and self.colour[3].value == 0

    def outlines(self, item: Any, matrix: Matrix) -> Iterator[tuple[list[Point], bool]]:
        raw = self.raw
        a, b, c, d, e, f = matrix
        x, y = ctypes.c_float(), ctypes.c_float()
        points: list[Point] = []
        closed = False
        for k in range(raw.FPDFPath_CountSegments(item)):
            self.segments += 1
            if self.segments > MOST_SEGMENTS:
                return
            segment = raw.FPDFPath_GetPathSegment(item, k)
            if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_MOVETO and points:
                yield points, closed
                points, closed = [], False
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            points.append((a * x.value + c * y.value + e, b * x.value + d * y.value + f))
            closed = bool(raw.FPDFPathSegment_GetClose(segment)) or closed
        if len(points) > 1:
            yield points, closed

    def add_stroke(self, points: list[Point], closed: bool) -> None:
        ends = [*points[1:], points[0]] if closed else points[1:]
        for (x0, y0), (x1, y1) in zip(points, ends, strict=False):
            self.add_rule(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1), fill=False)

    def add_rule(self, x0: float, top: float, x1: float, bottom: float, fill: bool) -> None:
        """Add a line when it is level or upright, cut to the page."""
        x0, x1 = max(x0, -BESIDE), min(x1, self.view.width + BESIDE)
        top, bottom = max(top, -BESIDE), min(bottom, self.view.height + BESIDE)
        if x1 - x0 < -0.01 or bottom - top < -0.01:
            return
        if bottom - top <= STRAIGHT and x1 - x0 > STRAIGHT:
            middle = (top + bottom) / 2
            self.ink.rules.append(Rule(x0, middle, x1, middle, fill))
        elif x1 - x0 <= STRAIGHT and bottom - top > STRAIGHT:
            middle = (x0 + x1) / 2
            self.ink.rules.append(Rule(middle, top, middle, bottom, fill))

    def add_fill(self, item: Any, points: list[Point], stroked: bool) -> None:
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        x0, top = max(min(xs), -BESIDE), max(min(ys), -BESIDE)
        x1, bottom = min(max(xs), self.view.width + BESIDE), min(max(ys), self.view.height + BESIDE)
        wide, high = x1 - x0, bottom - top
        if wide < 0 or high < 0 or (wide < STRAIGHT and high < STRAIGHT):
            return
        if min(wide, high) <= THIN and max(wide, high) > min(wide, high) * 2:
            middle_x, middle_y = (x0 + x1) / 2, (top + bottom) / 2
            if wide >= high:
                self.ink.rules.append(Rule(x0, middle_y, x1, middle_y))
            else:
                self.ink.rules.append(Rule(middle_x, top, middle_x, bottom))
            return
        colour, opaque = WHITE, True
        if self.raw.FPDFPageObj_GetFillColor(item, *self.colour):
            red, green, blue, alpha = (part.value for part in self.colour)
            colour, opaque = (red, green, blue), alpha >= 250
        if self.raw.FPDFPageObj_HasTransparency(item):
            opaque = False
        self.ink.areas.append(Area(x0, top, x1, bottom, colour, self.objects, opaque))
        if not stroked and colour != WHITE and wide * high < 0.8 * self.view.width * self.view.height:
            for rule in ((x0, top, x1, top), (x0, bottom, x1, bottom), (x0, top, x0, bottom), (x1, top, x1, bottom)):
                self.add_rule(*rule, fill=True)


@dataclass(frozen=True, slots=True)
class Runs:
    """Text runs of a page by the address of their page object."""

    layers: dict[int, int]
    """Drawing order."""
    inner: dict[int, Matrix]
    """The way from a form's coordinates to the page, for the runs that stand in a form."""


def read_paths(page: Any, view: _View, ink: PageInk) -> Runs:
    """Fill `ink` with rules, areas and pictures; gives the text runs met on the way."""
    import pypdfium2.raw as raw

    reader = _Reader(view, ink)
    reader.read(page, raw.FPDFPage_CountObjects(page), raw.FPDFPage_GetObject, view.matrix, 0)
    if reader.full():
        ink.rules.clear()
        ink.warnings.append(f"page {ink.number} is drawn from very many lines; its tables were read without them")
    return Runs(reader.layers, reader.inner)


def find_blind(runs: Runs, seen: Iterable[int], view: _View) -> list[Blind]:
    """Runs that gave no letter although they may hold one: PDFium passes over a run without width.

    A lone sign of a face that is neither in the file nor at hand has none (``腰`` over a column, in a standard face).
    """
    import pypdfium2.raw as raw

    found = []
    name, sides = ctypes.create_string_buffer(64), [ctypes.c_float() for _ in range(4)]
    for address in runs.layers.keys() - set(seen):
        item = ctypes.cast(address, raw.FPDF_PAGEOBJECT)
        raw.FPDFPageObj_GetBounds(item, *sides)
        left, bottom, right, _ = (side.value for side in sides)
        font = raw.FPDFTextObj_GetFont(item)
        if right - left > NO_WIDTH or not font or raw.FPDFFont_GetIsEmbedded(font):
            continue
        raw.FPDFFont_GetBaseFontName(font, name, 64)
        if name.value.lower().startswith(AT_HAND):
            continue  # PDFium has these letters itself: the run is a blank
        a, b, c, d, e, f = runs.inner.get(address, view.matrix)
        found.append(Blind(a * left + c * bottom + e, b * left + d * bottom + f, runs.layers[address]))
    return found
