"""The pen of the hand-drawn PDF: what a page is drawn with, in which order, and how it lies."""

from __future__ import annotations

import io
import random
from dataclasses import dataclass

from .doc import Doc, Table
from .pdf_page import Face, wrap

ORDERS = ("cells", "cells", "cells", "cells", "lines", "lines", "columns", "shuffled")


@dataclass(frozen=True, slots=True)
class Stroke:
    """One text at its place."""

    x: float
    y: float
    text: str
    font: str
    size: float


class Pen:
    """Where the next line goes, and the page's size. Texts are drawn when a page is full, in the pen's own order."""

    def __init__(self, doc: Doc, rng: random.Random, face: Face) -> None:
        from reportlab.lib.pagesizes import A4, landscape
        from reportlab.pdfgen.canvas import Canvas

        wide = max((block.width() for block in doc.blocks if isinstance(block, Table)), default=0) > 8
        self.page = landscape(A4) if wide else A4
        self.out = io.BytesIO()
        self.rules, self.align = (
            rng.choice(["none", "none", "lines", "box"]),
            rng.choice(["left", "left", "right", "centre"]),
        )
        self.size, self.repeat = rng.choice([7.0, 8.0, 9.0]), rng.random() < 0.6
        self.face, self.y, self.left = face, self.page[1] - 50.0, 42.0
        self.mark = rng.random() < 0.15
        if rng.random() < 0.15:
            self.y = rng.uniform(120, 260)  # the sheet goes on from other matter: tables break over pages
        self.rng = random.Random(rng.random())
        self.order = self.rng.choice(ORDERS)
        self.kerned, self.turned = self.rng.random() < 0.1, self.rng.random() < 0.07
        self.zebra, self.down = self.rng.random() < 0.15, self.rng.choice(["top", "top", "middle", "bottom"])
        self.foot = f"{doc.merchant} - {doc.title[:30]}" if self.rng.random() < 0.2 else ""
        self.number = 0
        self.strokes: list[Stroke] = []
        self.canvas = Canvas(self.out, pagesize=self.page, lang=doc.language)
        self.begin()

    @property
    def look(self) -> str:
        """The choices that count for reading."""
        extra = [self.order] if self.order != "cells" else []
        extra += [name for name in ("kerned", "turned", "zebra") if getattr(self, name)]
        return f"canvas {self.rules}, {self.align}" + "".join(f", {name}" for name in extra)

    def width(self, text: str, size: float, bold: bool = True) -> float:
        from reportlab.pdfbase.pdfmetrics import stringWidth

        return float(stringWidth(text, self.face.bold if bold else self.face.name, size))

    def measure(self, text: str, size: float) -> float:
        """Width in the heavier face."""
        return self.width(text, size)

    def begin(self) -> None:
        self.number += 1
        if self.turned:  # the page is stored lying down and shown upright; reportlab swaps its sides itself
            self.canvas.setPageRotation(90)
            self.canvas.transform(0, 1, -1, 0, self.page[1], 0)

    def finish(self) -> None:
        """Draws what was written on this page."""
        if self.foot:
            self.strokes.append(Stroke(self.left, 22, self.foot, self.face.name, 7))
            self.strokes.append(Stroke(self.page[0] - 80, 22, str(self.number), self.face.name, 7))
        keys = {"lines": lambda s: (-round(s.y), s.x), "columns": lambda s: (round(s.x / 8), -s.y)}
        if self.order == "shuffled":
            self.rng.shuffle(self.strokes)
        elif self.order in keys:
            self.strokes.sort(key=keys[self.order])
        for stroke in self.strokes:
            self.canvas.setFont(stroke.font, stroke.size)
            if self.kerned:
                self._letters(stroke)
            else:
                self.canvas.drawString(stroke.x, stroke.y, stroke.text)
        self.strokes.clear()
        self.canvas.showPage()

    def _letters(self, stroke: Stroke) -> None:
        """Each letter on its own, as programs do that space letters themselves; blanks are left out."""
        from reportlab.pdfbase.pdfmetrics import stringWidth

        x = stroke.x
        for letter in stroke.text:
            if letter != " ":
                self.canvas.drawString(x, stroke.y, letter)
            x += float(stringWidth(letter, stroke.font, stroke.size))

    def line(self, text: str, size: float, bold: bool = False) -> None:
        for part in wrap(text, self.page[0] - 2 * self.left, size, lambda t, s: self.width(t, s, bold)):
            self.room(size * 1.4)
            self.text(self.left, self.y, part, size, bold)
            self.y -= size * 1.4

    def room(self, height: float) -> bool:
        """Starts a page where the rest is too short; True when it did."""
        if self.y - height > 40:
            return False
        self.finish()
        self.begin()
        self.y = self.page[1] - 50.0
        return True

    def text(self, x: float, y: float, text: str, size: float, bold: bool = False) -> None:
        self.strokes.append(Stroke(x, y, text, self.face.bold if bold else self.face.name, size))
