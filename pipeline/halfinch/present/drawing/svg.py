"""A few SVG elements with everything escaped; say are inches, `SCALE` units of the drawing to one inch."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from itertools import pairwise

SCALE = 10.0
Point = tuple[float, float]
"""x to the right of the middle, height above the floor, inches."""


def at(point: Point) -> str:
    """A point in drawing units: the height turned down, as SVG counts."""
    x, height = point
    return f"{x * SCALE:.1f} {-height * SCALE:.1f}"


def path(points: Sequence[Point], style: str, *, closed: bool = False) -> str:
    """Straight lines through the points."""
    steps = "M" + " L".join(at(point) for point in points)
    return f'<path class="{style}" d="{steps}{" Z" if closed else ""}"/>'


def curve(points: Sequence[Point], style: str) -> str:
    """A smooth line through all points (Catmull-Rom as cubic curves)."""
    if len(points) < 3:
        return path(points, style)
    ends = [points[0], *points, points[-1]]
    steps = [f"M{at(points[0])}"]
    for before, start, end, after in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        first = (start[0] + (end[0] - before[0]) / 6, start[1] + (end[1] - before[1]) / 6)
        second = (end[0] - (after[0] - start[0]) / 6, end[1] - (after[1] - start[1]) / 6)
        steps.append(f"C{at(first)}, {at(second)}, {at(end)}")
    return f'<path class="{style}" d="{" ".join(steps)}"/>'


def text(point: Point, words: str, style: str = "", anchor: str = "start") -> str:
    x, y = at(point).split()
    named = f' class="{style}"' if style else ""
    return f'<text{named} x="{x}" y="{y}" text-anchor="{anchor}">{escape(words)}</text>'


def measure(start: Point, end: Point, words: str, *, side: float = 1.0) -> list[str]:
    """A dimension line with a stroke across each end; the words beside its middle (`side` +1 right, -1 left; a level
    line has them above it)."""
    level = start[1] == end[1]
    tick = 0.45
    out = [path([start, end], "dim")]
    for x, height in (start, end):
        across = [(x, height - tick), (x, height + tick)] if level else [(x - tick, height), (x + tick, height)]
        out.append(path(across, "dim"))
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    if level:
        return [*out, text((middle[0], middle[1] + 0.45), words, "dims", "middle")]
    return [*out, text((middle[0] + side * 0.7, middle[1] - 0.4), words, "dims", "start" if side > 0 else "end")]


def spread(heights: Iterable[float], apart: float) -> list[float]:
    """Heights for labels that belong at `heights` (any order), moved no more than needed to stand `apart`."""
    wanted = list(heights)
    order = sorted(range(len(wanted)), key=lambda n: -wanted[n])
    placed = dict(zip(order, (wanted[n] for n in order), strict=True))
    for _ in range(len(wanted) * 4):
        moved = False
        for upper, lower in pairwise(order):
            overlap = apart - (placed[upper] - placed[lower])
            if overlap > 1e-6:
                placed[upper] += overlap / 2
                placed[lower] -= overlap / 2
                moved = True
        if not moved:
            break
    return [placed[n] for n in range(len(wanted))]


def labels(marks: Sequence[tuple[float, str]], x_mark: float, x_text: float, anchor: str = "start") -> list[str]:
    """Words for heights along one side, each tied by a thin line from `x_mark`; none upon another."""
    out = []
    for (height, words), place in zip(marks, spread((height for height, _ in marks), 1.8), strict=True):
        inner = x_text - 0.4 if anchor == "start" else x_text + 0.4
        out.append(path([(x_mark, height), (inner, place)], "tie"))
        out.append(text((x_text, place - 0.5), words, "dims", anchor))
    return out


def frame(parts: Iterable[str], box: tuple[float, float, float, float], title: str, told: str, name: str) -> str:
    """The whole picture. `box`: left, top, right, bottom in inches (heights); `told` is the alternative text; `name`
    keeps ids apart where several drawings stand on one page."""
    left, top, right, bottom = box
    view = f"{left * SCALE:.0f} {-top * SCALE:.0f} {(right - left) * SCALE:.0f} {(top - bottom) * SCALE:.0f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view}" role="img" '
        f'aria-labelledby="{name}-title {name}-told" class="drawing">'
        f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-told">{escape(told)}</desc>'
        f"<style>{STYLE}</style>{_hatch(name)}{''.join(parts)}</svg>"
    )


def _hatch(name: str) -> str:
    return (
        f'<defs><pattern id="{name}-cut" width="6" height="6" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path d="M0 0V6" class="hatch"/></pattern></defs>'
    )


# Told apart by line and hatching alone, so that a copy in black and white says the same.
STYLE = """
.drawing text{font:14px system-ui,'DejaVu Sans',sans-serif;fill:currentColor}.drawing .small{font-size:12px}
.drawing .head{font-weight:600}.drawing path{stroke:currentColor;stroke-linejoin:round;stroke-linecap:round}
.drawing path:not([fill]){fill:none}
.drawing path.cloth{stroke-width:2.1;fill:#8a97a6;fill-opacity:.13}
.drawing .sold{stroke-width:1.5;stroke-dasharray:7 3.5}
.drawing .guess{stroke-width:1.5;stroke-dasharray:2.5 2.5}.drawing .wearer{stroke-width:1.1;stroke-dasharray:.2 3.4}
.drawing .floor{stroke-width:2.6}.drawing .dim{stroke-width:.9}.drawing .tie{stroke-width:.5;stroke-opacity:.7}
.drawing .knee{stroke-width:1.2;stroke-dasharray:9 3 2 3}
.drawing .band{stroke-width:5;stroke-opacity:.35;stroke-linecap:butt}
.drawing .hatch{stroke-width:1.2}.drawing path.solid{fill:currentColor;stroke:none}.drawing .warn{stroke-width:2.6}
""".replace("\n", "")  # fmt: skip
