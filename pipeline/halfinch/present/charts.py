"""Charts as plain SVG, made where the page is made: shares of a whole, half inches on a rail, tapes beside statements.

Each says the same without colour (filled, hatched, hollow) and has its figures as alternative text; a page puts the
table beside it. The colours are those of the page around it (`--ink`, `--good` ...) or, standing alone, those of STYLE.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from html import escape
from math import ceil, floor
from typing import NamedTuple

WIDTH = 440.0
LABEL, LONG_LABEL = 142.0, 162.0
"""Room for the words on the left: of silhouettes, of merchants."""
ROW = 40.0
AXIS = 30.0
Number = Callable[[float], str]
"""Says inches in the reader's unit."""


class Parts(NamedTuple):
    """One bar: its words, and how much of each kind; kinds are classes of STYLE."""

    label: str
    parts: Mapping[str, int]


class Rail(NamedTuple):
    """One row of half inches. `counts`: place to how many; `band`: least and most of what is wanted."""

    label: str
    counts: Mapping[float, int]
    band: tuple[float, float] | None = None


class Apart(NamedTuple):
    """Differences on one row, their mean as believed, and how far is usual."""

    label: str
    values: Sequence[float]
    mean: float
    usual: float


def draw_share(share: float, told: str) -> str:
    """A short strip, filled as far as the share (0 to 1) goes."""
    filled = f'<rect class="told" width="{60 * share:.1f}" height="8"/>' if share > 0 else ""
    return _frame(60, 8, ['<rect class="hollow" width="60" height="8"/>', filled], told, "share")


def draw_parts(rows: Sequence[Parts], told: str) -> str:
    """A bar a row, all as long as the longest is, each kind drawn its own way."""
    most = max((sum(row.parts.values()) for row in rows), default=0) or 1
    room, out = WIDTH - LONG_LABEL - 64, []
    for at, row in enumerate(rows):
        y, x = at * ROW * 0.75, LONG_LABEL
        out.append(_text(LONG_LABEL - 8, y + 19, row.label, "end"))
        for kind, count in row.parts.items():
            wide = room * count / most
            if count:
                out.append(
                    f'<rect class="{kind}" x="{x:.1f}" y="{y + 5:.1f}" width="{max(wide, 1.5):.1f}" height="20"/>'
                )
            x += wide
        out.append(
            _text(
                x + 6,
                y + 19,
                f"{sum(row.parts.values()):,}".replace(",", "\N{NARROW NO-BREAK SPACE}"),
                "start",
                "count",
            )
        )
    return _frame(WIDTH, len(rows) * ROW * 0.75 + 4, out, told, "parts")


def draw_rails(rows: Sequence[Rail], number: Number, told: str, unit: float = 1.0) -> str:
    """Rows over one tape, each as high as its own fullest half inch; a band stands behind its row. `unit`: inches from
    stroke to stroke of the tape."""
    values = [value for row in rows for value in row.counts]
    ends = [end for row in rows if row.band is not None for end in row.band]
    if not values:
        return ""
    low, high = floor(min(values) - 0.5), ceil(max(values) + 0.5)
    low, high = max(low, floor(_quantile(rows, 0.005)) - 1), min(high, ceil(_quantile(rows, 0.995)) + 1)
    low, high = min([low, *(floor(end) for end in ends)]), max([high, *(ceil(end) for end in ends)])
    scale = (WIDTH - LABEL - 16) / (high - low)

    def x(value: float) -> float:
        return LABEL + (min(max(value, low), high) - low) * scale

    out = []
    for at, row in enumerate(rows):
        base = (at + 1) * ROW
        if row.band is not None:
            left, right = x(row.band[0]), x(row.band[1])
            out.append(
                f'<rect class="wanted" x="{left:.1f}" y="{base - ROW + 5:.1f}" width="{max(right - left, 2):.1f}" '
                f'height="{ROW - 5:.1f}"/>'
            )
        out.append(_text(LABEL - 8, base - 6, row.label, "end"))
        out.append(f'<path class="rail" d="M{LABEL:.1f} {base:.1f}H{WIDTH - 16:.1f}"/>')
        fullest = max(row.counts.values())
        for value, count in row.counts.items():
            if low <= value <= high:
                tall = max((ROW - 9) * count / fullest, 1.5)
                out.append(
                    f'<rect class="told" x="{x(value) - scale * 0.2:.1f}" y="{base - tall:.1f}" '
                    f'width="{max(scale * 0.4, 1.2):.1f}" height="{tall:.1f}"/>'
                )
    return _frame(
        WIDTH, len(rows) * ROW + AXIS, [*out, *_tape(low, high, len(rows) * ROW, x, number, unit)], told, "rails"
    )


def _quantile(rows: Sequence[Rail], share: float) -> float:
    """Over all rows; single oddities must not press the others together."""
    total: dict[float, int] = {}
    for row in rows:
        for value, count in row.counts.items():
            total[value] = total.get(value, 0) + count
    wanted, passed = share * sum(total.values()), 0
    for value, count in sorted(total.items()):
        passed += count
        if passed >= wanted:
            return value
    return max(total)


def _tape(low: int, high: int, y: float, x: Callable[[float], float], number: Number, unit: float) -> list[str]:
    """The tape under the rails: a stroke a unit, longer and named where there is room."""
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100) if (high - low) / unit / step <= 9)
    out = [f'<path class="edge" d="M{x(low):.1f} {y:.1f}H{x(high):.1f}"/>']
    for stroke in range(ceil(low / unit), floor(high / unit) + 1):
        named, at = stroke % step == 0, x(stroke * unit)
        out.append(f'<path class="edge" d="M{at:.1f} {y:.1f}v{9 if named else 5}"/>')
        if named:
            out.append(_text(at, y + 23, number(stroke * unit), "middle", "count"))
    return out


def draw_apart(rows: Sequence[Apart], number: Number, told: str) -> str:
    """Taped less stated: a ring a pair, a stroke where their mean is believed to be, the usual tolerance behind."""
    if not rows:
        return ""
    widest = max(max(map(abs, [*row.values, row.usual]), default=0.5) for row in rows)
    reach = max(0.5, ceil(widest * 2) / 2)
    middle, room = LONG_LABEL + (WIDTH - LONG_LABEL - 24) / 2, (WIDTH - LONG_LABEL - 40) / 2

    def x(value: float) -> float:
        return middle + value / reach * room

    out = []
    for at, row in enumerate(rows):
        base = at * ROW + ROW / 2
        out.append(_text(LONG_LABEL - 8, base + 5, row.label, "end"))
        out.append(
            f'<rect class="usual" x="{x(-row.usual):.1f}" y="{base - 12:.1f}" '
            f'width="{x(row.usual) - x(-row.usual):.1f}" height="24"/>'
        )
        out += [f'<circle class="pair" cx="{x(value):.1f}" cy="{base:.1f}" r="5"/>' for value in row.values]
        out.append(f'<path class="mean" d="M{x(row.mean):.1f} {base - 15:.1f}v30"/>')
    high = len(rows) * ROW
    out.append(f'<path class="rail" d="M{x(0):.1f} 0V{high:.1f}"/>')
    for end in (-reach, 0.0, reach):
        sign = "+" if end > 0 else "\N{MINUS SIGN}" if end < 0 else ""
        out.append(_text(x(end), high + 20, f"{sign}{number(abs(end))}", "middle", "count"))
    return _frame(WIDTH, high + AXIS, out, told, "apart")


def _text(x: float, y: float, words: str, anchor: str, style: str = "") -> str:
    named = f' class="{style}"' if style else ""
    return f'<text{named} x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'


def _frame(width: float, height: float, parts: Sequence[str], told: str, kind: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="chart {kind}" viewBox="0 0 {width:.0f} {height:.0f}" '
        f'role="img" aria-label="{escape(told)}">{"".join(parts)}</svg>'
    )


STYLE = """
.chart text{font:14px system-ui,'DejaVu Sans',sans-serif;fill:var(--ink,#1c2440)}
.chart .count{fill:var(--quiet,#565d73)}
.chart .told,.chart .accepted,.chart .read{fill:var(--ink,#1c2440)}
.chart .assumed,.chart .partly{fill:var(--ink,#1c2440);fill-opacity:.45}
.chart .held,.chart .failed{fill:none;stroke:var(--bad,#a11d33);stroke-width:2}
.chart .set_aside,.chart .nothing{fill:none;stroke:var(--quiet,#565d73);stroke-dasharray:2 2}
.chart .hollow{fill:none;stroke:var(--edge,#7d7a70)}.chart .rail{stroke:var(--line,#cfc8b6)}
.chart .edge{stroke:var(--edge,#7d7a70);fill:none}
.chart .wanted{fill:var(--mark,#ffe9b8);stroke:var(--stitch,#9a5411);stroke-width:1.5;stroke-dasharray:5 3}
.chart .usual{fill:var(--mark,#ffe9b8)}.chart .pair{fill:none;stroke:var(--ink,#1c2440);stroke-width:1.6}
.chart .mean{stroke:var(--stitch,#9a5411);stroke-width:4}
""".replace("\n", "")  # fmt: skip
