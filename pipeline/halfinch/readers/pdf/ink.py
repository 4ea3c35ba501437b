"""What is drawn on one page, whichever engine delivered it: letters, rules and filled areas.

All boxes are in points with the origin at the upper left of the page as a person sees it (after /Rotate, inside the
crop box). `Frame` turns the page so that text of one direction stands upright; tables are found in that frame.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from halfinch.sheet import Box


@dataclass(slots=True)
class Style:
    """How a run of letters is drawn; one object per drawn run, so identity tells runs apart."""

    size: float
    """Effective letter size in points, after every transformation."""
    turn: int = 0
    """Reading direction as seen: 0 to the right, 90 upwards, 180 to the left, 270 downwards, -1 slanting."""
    bold: bool = False
    unseen: bool = False
    """Drawn with an invisible pen or fully transparent."""
    colour: tuple[int, int, int] | None = None
    space: float = 0.28
    """Width of a blank of this font, in parts of the letter size."""
    layer: int = 0
    """Drawing order on the page; a later area may cover it."""


class Glyph(NamedTuple):
    """One letter, in page coordinates."""

    text: str
    x0: float
    top: float
    x1: float
    bottom: float
    origin_x: float
    origin_y: float
    style: Style


class Rule(NamedTuple):
    """A thin straight line, horizontal (top == bottom) or vertical (x0 == x1). `fill`: edge of a filled area."""

    x0: float
    top: float
    x1: float
    bottom: float
    fill: bool = False

    @property
    def level(self) -> bool:
        return self.top == self.bottom


class Area(NamedTuple):
    """A filled area that is no line."""

    x0: float
    top: float
    x1: float
    bottom: float
    colour: tuple[int, int, int]
    layer: int
    opaque: bool = True


class Blind(NamedTuple):
    """A lone letter that the engine passes over, for it has no shape of the letter: where it stands and its layer."""

    x: float
    base: float
    layer: int


@dataclass(slots=True)
class PageInk:
    """All that one page shows."""

    number: int
    width: float
    height: float
    glyphs: list[Glyph] = field(default_factory=list)
    rules: list[Rule] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    pictures: list[Area] = field(default_factory=list)
    broken: int = 0
    """Letters whose meaning the file does not tell."""
    blind: list[Blind] = field(default_factory=list)
    """Runs whose letter is still to be had from the second engine."""
    warnings: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Frame:
    """The page turned so that text of direction `turn` reads from left to right."""

    turn: int
    width: float
    height: float

    def box(self, x0: float, y0: float, x1: float, y1: float) -> Box:
        """A page box in this frame."""
        w, h = self.width, self.height
        if self.turn == 90:
            return (h - y1, x0, h - y0, x1)
        if self.turn == 180:
            return (w - x1, h - y1, w - x0, h - y0)
        if self.turn == 270:
            return (y0, w - x1, y1, w - x0)
        return (x0, y0, x1, y1)

    def back(self, box: Box) -> Box:
        """A box of this frame on the page as seen, rounded to a hundredth of a point."""
        x0, y0, x1, y1 = box
        w, h = self.width, self.height
        if self.turn == 90:
            seen = (y0, h - x1, y1, h - x0)
        elif self.turn == 180:
            seen = (w - x1, h - y1, w - x0, h - y0)
        elif self.turn == 270:
            seen = (w - y1, x0, w - y0, x1)
        else:
            seen = (x0, y0, x1, y1)
        return (round(seen[0], 2), round(seen[1], 2), round(seen[2], 2), round(seen[3], 2))

    def rule(self, rule: Rule) -> Rule:
        return rule if self.turn == 0 else Rule(*self.box(*rule[:4]), rule.fill)

    def area(self, area: Area) -> Area:
        return area if self.turn == 0 else Area(*self.box(*area[:4]), area.colour, area.layer, area.opaque)


def union_box(boxes: Iterable[Box]) -> Box:
    """The smallest box around all."""
    xs0, ys0, xs1, ys1 = zip(*boxes, strict=True)
    return (min(xs0), min(ys0), max(xs1), max(ys1))
