"""Pages of a PDF with what was seen drawn over them: one PNG a page, readable without colours.

In: the file's bytes, its sheet and its marks. Out: (page number, PNG). What labels and texts were taken for stands in
the gutter at the left, at their height; the key, the ways of reading and the numbered notes at the right.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

from halfinch.present.seen import marks as kinds
from halfinch.present.seen.marks import LEGEND, Mark, Marks
from halfinch.sheet import Box, Grid, Sheet, Text

if TYPE_CHECKING:
    from PIL.Image import Image

SCALE = 2.0
"""Pixels a point."""
GUTTER, PANEL, EDGE = 190, 250, 12
"""Points beside the page: for tags, for the key and the notes, and around them."""
LETTERS, STEP = 8.0, 10.5
"""Size of the letters beside the page and from line to line, points."""
LARGEST = 4000
"""Pixels of a page's longer side; a poster is drawn smaller."""

COLOURS = {
    kinds.ACCEPTED: "#15616d", kinds.ASSUMED: "#8a5a00", kinds.HELD: "#a11d33", kinds.NAMED: "#4b3b8f",
    kinds.OVER: "#5c6670", kinds.STRANGE: "#a11d33", kinds.UNUSED: "#5c6670", kinds.TELLS: "#4b3b8f",
    kinds.SILENT: "#8b949c", kinds.PASSED: "#8b949c",
}  # fmt: skip
INK, QUIET, PAPER = "#1b2126", "#5c6670", "#f6f4ee"


def draw_pages(data: bytes, sheet: Sheet, marks: Marks) -> Iterator[tuple[int, bytes]]:
    """Every page that could be read, in order. Pages are rendered one by one."""
    from halfinch.readers.pdf.engine import open_document

    document = open_document(data, sheet.name)
    try:
        for number in range(1, len(document) + 1):
            page = document[number - 1]
            scale = min(SCALE, LARGEST / max(*page.get_size(), 1))
            image = page.render(scale=scale).to_pil().convert("RGB")
            yield number, _finish(_Drawing(image, scale, number), sheet, marks)
            page.close()
    finally:
        document.close()


def _finish(drawing: _Drawing, sheet: Sheet, marks: Marks) -> bytes:
    grids = [grid for grid in sheet.grids if grid.page == drawing.page]
    texts = [text for text in sheet.texts if text.page == drawing.page]
    drawing.draw_texts(texts, marks)
    drawing.draw_grids(grids, marks)
    drawing.draw_tags()
    drawing.draw_panel(marks, grids, texts, sheet.pages)
    out = io.BytesIO()
    drawing.image.save(out, "PNG", optimize=True)
    return out.getvalue()


class _Drawing:
    """One page on its larger paper. Boxes are in points of the page, tags gather until the end."""

    def __init__(self, page: Image, scale: float, number: int) -> None:
        from PIL import Image as Images
        from PIL import ImageDraw, ImageFont

        self.scale, self.page = scale, number
        self.width, self.height = page.width / scale, page.height / scale
        size = (round((GUTTER + self.width + PANEL) * scale), page.height)
        self.image = Images.new("RGB", size, PAPER)
        self.image.paste(page, (round(GUTTER * scale), 0))
        self.draw = ImageDraw.Draw(self.image)
        self.font: Any = ImageFont.load_default(LETTERS * scale)
        self.small: Any = ImageFont.load_default(0.85 * LETTERS * scale)
        self.tags: dict[int, tuple[float, float, list[str], str]] = {}

    def on_paper(self, box: Box, grow: float = 1.5) -> tuple[float, float, float, float]:
        x0, top, x1, bottom = box
        s = self.scale
        return ((GUTTER + x0 - grow) * s, (top - grow) * s, (GUTTER + x1 + grow) * s, (bottom + grow) * s)

    def draw_texts(self, texts: list[Text], marks: Marks) -> None:
        for text in texts:
            mark = marks.by_place.get(text.place)
            if text.box is None or mark is None:
                continue
            self.mark_box(text.box, mark)
            if mark.kind == kinds.TELLS:
                self.add_tag(text.box, mark.says, mark.kind)

    def draw_grids(self, grids: list[Grid], marks: Marks) -> None:
        for grid in grids:
            if grid.box is not None:
                x0, top, x1, bottom = self.on_paper(grid.box, 5)
                arm = 9 * self.scale
                for x, y, right, down in ((x0, top, 1, 1), (x1, top, -1, 1), (x0, bottom, 1, -1), (x1, bottom, -1, -1)):
                    self.line((x, y, x + right * arm, y), INK, 1.2)
                    self.line((x, y, x, y + down * arm), INK, 1.2)
            for cell in grid.cells:
                mark = marks.by_place.get(cell.place) or marks.by_place.get(grid.place)
                if cell.box is None or mark is None:
                    continue
                self.mark_box(cell.box, mark)
                if mark.kind in (kinds.NAMED, kinds.OVER, kinds.STRANGE):
                    self.add_tag(cell.box, mark.says or "?", mark.kind)

    def mark_box(self, box: Box, mark: Mark) -> None:
        """The line of its kind; held figures carry their notes' numbers."""
        x0, top, x1, bottom = self.on_paper(box)
        _STROKES[mark.kind](self, x0, top, x1, bottom, COLOURS[mark.kind])
        if mark.kind == kinds.HELD and mark.notes:
            self.badge(x1 + 3.5 * self.scale, (top + bottom) / 2, ",".join(str(number) for number in mark.notes))

    def badge(self, x: float, y: float, text: str) -> None:
        wide = self.small.getlength(text) + 4 * self.scale
        high = 8.5 * self.scale
        self.draw.rectangle((x - 1, y - high / 2, x + wide, y + high / 2), fill=INK)
        self.draw.text((x + wide / 2, y), text, fill="white", font=self.small, anchor="mm")

    def line(self, ends: tuple[float, float, float, float], colour: str, wide: float, dash: float = 0) -> None:
        """A straight line; `dash` points of it drawn, as many left out."""
        x0, y0, x1, y1 = ends
        thick = max(1, round(wide * self.scale))
        if not dash:
            self.draw.line(ends, fill=colour, width=thick)
            return
        long = max(abs(x1 - x0), abs(y1 - y0))
        step = dash * self.scale
        for i in range(int(long / (2 * step)) + 1):
            a, b = min(2 * i * step, long) / (long or 1), min((2 * i + 1) * step, long) / (long or 1)
            piece = (x0 + a * (x1 - x0), y0 + a * (y1 - y0), x0 + b * (x1 - x0), y0 + b * (y1 - y0))
            self.draw.line(piece, fill=colour, width=thick)

    def frame(self, x0: float, top: float, x1: float, bottom: float, colour: str, wide: float, dash: float = 0) -> None:
        for ends in ((x0, top, x1, top), (x0, bottom, x1, bottom), (x0, top, x0, bottom), (x1, top, x1, bottom)):
            self.line(ends, colour, wide, dash)

    def add_tag(self, box: Box, says: str, kind: str) -> None:
        """Remembers what is to be said at this height; tags of one line of the page are joined."""
        middle = (box[1] + box[3]) / 2
        key = next((near for near in self.tags if abs(near - middle) <= 4), None)
        if key is None:
            self.tags[key := round(middle)] = (middle, box[0], [], kind)
        middle, left, said, first = self.tags[key]
        self.tags[key] = (middle, min(left, box[0]), [*said, says], first)

    def draw_tags(self) -> None:
        """Tags in the gutter, none upon another, each with a thin line to what it speaks of."""
        free = 0.0
        for middle, left, said, kind in sorted(self.tags.values()):
            y = max(middle, free)
            free = y + STEP
            text = self.fit(join_tags(said), GUTTER - 2 * EDGE)
            colour = COLOURS[kind]
            x = (GUTTER - EDGE) * self.scale
            self.draw.text((x, y * self.scale), text, fill=colour, font=self.font, anchor="rm")
            start, end = x + 2 * self.scale, (GUTTER + left - 3) * self.scale
            self.line((start, y * self.scale, end, middle * self.scale), colour, 0.4)

    def fit(self, text: str, room: float) -> str:
        """`text`, shortened to `room` points."""
        if self.font.getlength(text) <= room * self.scale:
            return text
        while text and self.font.getlength(text + "…") > room * self.scale:
            text = text[:-1]
        return text.rstrip() + "…"

    def draw_panel(self, marks: Marks, grids: list[Grid], texts: list[Text], pages: int) -> None:
        """Title, the kinds of this page with their lines, the bands, and the notes that its figures carry."""
        places = [cell.place for grid in grids for cell in grid.cells] + [text.place for text in texts]
        here = [marks.by_place[place] for place in places if place in marks.by_place]
        numbers = sorted({number for mark in here for number in mark.notes})
        y = self.write(f"{marks.title} · page {self.page} of {pages}", EDGE + STEP / 2, INK)
        y += STEP / 2
        for kind, means in LEGEND.items():
            if any(mark.kind == kind for mark in here):
                y = self.key(kind, means, y)
        wanted = [line for line in marks.bands if line.startswith(f"page={self.page};")]
        for line in wanted:
            y = self.write(line, y + STEP / 2, INK)
        for number in numbers:
            y = self.write(f"{number}  {marks.notes[number - 1]}", y + STEP / 2, COLOURS[kinds.HELD])

    def key(self, kind: str, means: str, y: float) -> float:
        left = GUTTER + self.width + EDGE
        box = (left - GUTTER, y - 4, left - GUTTER + 22, y + 4)
        x0, top, x1, bottom = self.on_paper(box, 0)
        _STROKES[kind](self, x0, top, x1, bottom, COLOURS[kind])
        return self.write(means, y, INK, 30) + 2.5

    def write(self, text: str, y: float, colour: str, indent: float = 0) -> float:
        """Wrapped text in the panel; gives the height of the next line. What has no room is left out with a mark."""
        x = (GUTTER + self.width + EDGE + indent) * self.scale
        for line in wrap(text, self.font.getlength, (PANEL - 2 * EDGE - indent) * self.scale):
            if y > self.height - EDGE:
                break
            last = y + STEP > self.height - EDGE
            shown = f"{line} … (more in --why)" if last else line
            self.draw.text((x, y * self.scale), shown, fill=colour, font=self.font, anchor="lm")
            y += STEP
        return y


def _solid(d: _Drawing, x0: float, top: float, x1: float, bottom: float, colour: str) -> None:
    d.frame(x0, top, x1, bottom, colour, 0.7)


def _dashed(d: _Drawing, x0: float, top: float, x1: float, bottom: float, colour: str) -> None:
    d.frame(x0, top, x1, bottom, colour, 0.8, 2.5)


def _heavy(d: _Drawing, x0: float, top: float, x1: float, bottom: float, colour: str) -> None:
    d.frame(x0, top, x1, bottom, colour, 1.6)
    gap = 2.2 * d.scale
    d.frame(x0 - gap, top - gap, x1 + gap, bottom + gap, colour, 0.5)


def _underlined(d: _Drawing, x0: float, _top: float, x1: float, bottom: float, colour: str) -> None:
    d.line((x0, bottom, x1, bottom), colour, 1.2)


def _crossed(d: _Drawing, x0: float, top: float, x1: float, bottom: float, colour: str) -> None:
    d.line((x0, (top + bottom) / 2, x1, (top + bottom) / 2), colour, 0.7)


def _dotted(d: _Drawing, x0: float, top: float, x1: float, bottom: float, colour: str) -> None:
    d.frame(x0, top, x1, bottom, colour, 0.9, 1.0)


def _cornered(d: _Drawing, x0: float, top: float, x1: float, bottom: float, colour: str) -> None:
    d.line((x0, bottom, x0 + 4 * d.scale, bottom), colour, 0.8)
    d.line((x0, bottom - 4 * d.scale, x0, bottom), colour, 0.8)


def _barred(d: _Drawing, x0: float, top: float, _x1: float, bottom: float, colour: str) -> None:
    d.line((x0 - 2 * d.scale, top, x0 - 2 * d.scale, bottom), colour, 2.2)


def _barred_thinly(d: _Drawing, x0: float, top: float, _x1: float, bottom: float, colour: str) -> None:
    d.line((x0 - 2 * d.scale, top, x0 - 2 * d.scale, bottom), colour, 1, 1.5)


def _hatched(d: _Drawing, x0: float, top: float, x1: float, bottom: float, colour: str) -> None:
    high, step = bottom - top, 6 * d.scale
    for i in range(int((x1 - x0 - high) / step) + 1):
        d.line((x0 + i * step, bottom, x0 + i * step + high, top), colour, 0.4)


Stroke = Callable[[_Drawing, float, float, float, float, str], None]
_STROKES: dict[str, Stroke] = {
    kinds.ACCEPTED: _solid, kinds.ASSUMED: _dashed, kinds.HELD: _heavy, kinds.NAMED: _underlined,
    kinds.OVER: _crossed, kinds.STRANGE: _dotted, kinds.UNUSED: _cornered, kinds.TELLS: _barred,
    kinds.SILENT: _barred_thinly, kinds.PASSED: _hatched,
}  # fmt: skip


def join_tags(said: list[str]) -> str:
    """Tags of one line: sizes gathered ("sizes 8, 10, 12"), the same said once."""
    sizes = [one.removeprefix("size ") for one in said if one.startswith("size ")]
    others = list(dict.fromkeys(one for one in said if not one.startswith("size ")))
    if len(sizes) > 1:
        return " · ".join([f"sizes {', '.join(dict.fromkeys(sizes))}", *others])
    return " · ".join([*others, *(f"size {size}" for size in sizes)])


def wrap(text: str, measure: Callable[[str], float], room: float) -> list[str]:
    """`text` in lines no longer than `room`; a single long word keeps its line."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and measure(longer) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines
