"""A row over its sizes as a small drawing in which the odd one stands out: by shape and place, not by colour."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from html import escape

from markupsafe import Markup

from halfinch.catalogue.held import Seen

WIDTH, HEIGHT = 460, 170
LEFT, RIGHT, TOP, BOTTOM = 52, 18, 26, 34
INSET = 22
"""Between the scale and the first size, so that its figure has room."""
MOST_LABELS = 12
CLEAN = ("accepted", "assumed")


def draw_row(
    row: Sequence[Seen], figure: Seen, expected: Fraction | None, number: Callable[[float], str], told: str
) -> Markup:
    """The SVG, '' for fewer than three sizes. `number` says inches in the reader's unit, `told` is the alternative
    text."""
    if len(row) < 3:
        return Markup()
    values = [float(one.inches) for one in row]
    trusted = [value for one, value in zip(row, values, strict=True) if one.status in CLEAN]
    frame = _Frame.around(trusted or values, len(row), None if expected is None else float(expected))
    parts = [*frame.scale(number), _line(frame, row, values)]
    step = -(-len(row) // MOST_LABELS)
    for at, (one, value) in enumerate(zip(row, values, strict=True)):
        odd = one.figure_id == figure.figure_id
        if at % step == 0 or odd:
            parts.append(_text(frame.x(at), HEIGHT - 12, one.size or "–", "odd" if odd else "", "middle"))
        if odd and expected is not None:
            parts += _expected(frame, at, float(expected), value)
        parts.append(_mark(frame, at, one, value, odd))
        if odd:
            high = frame.y(value) < TOP + 22
            words = number(value) if value else "?"
            parts.append(_text(frame.x(at), frame.y(value) + (24 if high else -13), words, "odd", "middle"))
    head = f'<svg class="curve" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{escape(told)}">'
    return Markup(f"{head}{''.join(parts)}</svg>")


class _Frame:
    """Where a size and a figure stand in the drawing."""

    def __init__(self, low: float, high: float, count: int) -> None:
        self.low, self.high, self.count = low, high, count

    @classmethod
    def around(cls, values: Sequence[float], count: int, expected: float | None) -> _Frame:
        """Room for the figures that are trusted, and a third as much beside them: what lies further off is drawn at
        the edge, so that it cannot press the others flat."""
        told = [*values, *([] if expected is None else [expected])]
        low, high = min(told), max(told)
        more = max((high - low) * 0.35, 0.75)
        return cls(low - more, high + more, count)

    def x(self, at: float) -> float:
        return LEFT + INSET + (WIDTH - LEFT - INSET - RIGHT) * (at / (self.count - 1))

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * min(1.0, max(0.0, share))

    def is_off(self, value: float) -> bool:
        return not self.low <= value <= self.high

    def scale(self, number: Callable[[float], str]) -> list[str]:
        """Three level lines with their figures."""
        parts = []
        for share in (0.15, 0.5, 0.85):
            value = self.low + (self.high - self.low) * share
            value = round(value * 2) / 2
            y = self.y(value)
            parts.append(f'<path class="level" d="M{LEFT - 4} {y:.1f}H{WIDTH - 4}"/>')
            parts.append(_text(LEFT - 8, y + 4, number(value), "", "end"))
        return list(dict.fromkeys(parts))


def _line(frame: _Frame, row: Sequence[Seen], values: Sequence[float]) -> str:
    through = [
        f"{frame.x(at):.1f} {frame.y(value):.1f}"
        for at, (one, value) in enumerate(zip(row, values, strict=True))
        if one.status in CLEAN
    ]
    return f'<path class="run" d="M{" L".join(through)}"/>' if len(through) > 1 else ""


def _mark(frame: _Frame, at: int, one: Seen, value: float, odd: bool) -> str:
    x, y = frame.x(at), frame.y(value)
    if frame.is_off(value):
        down = 1 if value < frame.low else -1
        style = "held odd" if odd else "held"
        return f'<path class="{style}" d="M{x - 7:.1f} {y - 5 * down:.1f}h14l-7 {11 * down}z"/>'
    if one.status in CLEAN:
        return f'<circle class="{one.status}" cx="{x:.1f}" cy="{y:.1f}" r="4.5"/>'
    r = 8 if odd else 5.5
    style = "held odd" if odd else "held" if one.status == "held" else "aside"
    return f'<path class="{style}" d="M{x:.1f} {y - r:.1f}l{r} {r}l{-r} {r}l{-r} {-r}z"/>'


def _expected(frame: _Frame, at: int, expected: float, value: float) -> list[str]:
    x, y = frame.x(at), frame.y(expected)
    return [
        f'<path class="gap" d="M{x:.1f} {y:.1f}V{frame.y(value):.1f}"/>',
        f'<path class="expected" d="M{x - 9:.1f} {y:.1f}h18"/>',
    ]


def _text(x: float, y: float, words: str, style: str, anchor: str) -> str:
    return f'<text class="{style}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'
