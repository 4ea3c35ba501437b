"""Where each point of measure is taken, on a pair laid out from the front (the back rise: from behind)."""

from __future__ import annotations

from collections.abc import Sequence

from halfinch.present.drawing.svg import Point, curve, frame, path

TOP, BAND, HIP, CROTCH, THIGH, KNEE, HEM = 40.0, 38.3, 33.0, 30.0, 28.6, 16.0, 0.0
"""Heights of a usual straight pair, inches; only the drawing's own, nobody is judged by them."""
OUTER: tuple[Point, ...] = ((7.3, TOP), (7.7, BAND), (9.8, HIP), (10.1, THIGH), (9.6, KNEE), (10.4, HEM))
INNER: tuple[Point, ...] = ((0.0, CROTCH), (0.9, KNEE), (1.4, HEM))
BACK_TOP = 41.6
"""The back is cut higher."""
ROUND = {"waist": (TOP, 7.3, -7.3), "hip": (HIP, 9.8, -9.8), "thigh": (THIGH, 10.1, 0.1), "knee": (KNEE, 9.6, 0.9),
         "leg_opening": (HEM, 10.4, 1.4)}  # fmt: skip
"""Girths: height, and from where to where in front."""
ALONG: dict[str, tuple[Point, ...]] = {
    "front_rise": ((0.0, CROTCH), (0.0, TOP)),
    "back_rise": ((0.0, CROTCH), (0.0, BACK_TOP)),
    "inseam": INNER,
    "outseam": OUTER,
}
DRAWN = (*ALONG, *ROUND)
"""The points that there is a drawing of."""


def draw_point(point: str, title: str, told: str, name: str) -> str:
    """SVG of one of DRAWN. `told`: the alternative text; `name` keeps ids of one page apart."""
    behind = point == "back_rise"
    parts = [*_pair(behind), *(_girth(*ROUND[point]) if point in ROUND else _length(ALONG[point]))]
    return frame(parts, (-12.5, 43.5, 12.5, -2.5), title, told, name)


def draw_points(title: str, told: str, name: str) -> str:
    """SVG of one pair with every point of DRAWN upon it, each in a group of the class `point NAME`, so that a style can
    show some of them and not the others."""
    taken = [
        f'<g class="point {point}">{"".join(_girth(*ROUND[point]) if point in ROUND else _length(ALONG[point]))}</g>'
        for point in DRAWN
    ]
    return frame([*_pair(False), *taken], (-12.5, 43.5, 12.5, -2.5), title, told, name)


def _pair(behind: bool) -> list[str]:
    left, left_inner = [(-x, y) for x, y in OUTER], [(-x, y) for x, y in INNER]
    top = [(0.0, BACK_TOP if behind else TOP - 0.4)]
    outline = [*OUTER, *reversed(INNER), *left_inner[1:], *reversed(left), *top]
    band = [(-7.7, BAND), (0.0, BAND + (1.2 if behind else -0.5)), (7.7, BAND)]
    parts = [path(outline, "cloth", closed=True), curve(band, "dim")]
    if behind:
        yoke = [(-8.7, 36.0), (0.0, 34.6), (8.7, 36.0)]
        pockets = [
            [(s * 2.2, 34.0), (s * 6.6, 34.6), (s * 6.6, 30.6), (s * 4.4, 29.7), (s * 2.2, 30.4)] for s in (-1, 1)
        ]
        return [*parts, curve(yoke, "dim"), *(path(pocket, "dim", closed=True) for pocket in pockets)]
    pockets = [[(s * 4.6, BAND), (s * 5.6, 35.8), (s * 8.6, 35.0)] for s in (-1, 1)]
    fly = [(1.5, BAND - 0.3), (1.5, 33.2), (0.0, 32.0)]
    return [
        *parts,
        *(curve(pocket, "dim") for pocket in pockets),
        curve(fly, "sold"),
        path([(0.0, CROTCH), (0.0, TOP - 0.4)], "dim"),
    ]


def _girth(height: float, start: float, end: float) -> list[str]:
    """In front, and on round behind."""
    middle, sag = (start + end) / 2, abs(start - end) * 0.07
    front = [(start, height), (middle, height - sag), (end, height)]
    back = [(start, height), (middle, height + sag), (end, height)]
    return [curve(front, "band"), curve(front, "warn"), curve(back, "sold")]


def _length(along: Sequence[Point]) -> list[str]:
    ends = [path([(x - 1.0, y), (x + 1.0, y)], "warn") for x, y in (along[0], along[-1])]
    return [path(along, "band"), path(along, "warn"), *ends]
