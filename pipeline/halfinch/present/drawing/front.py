"""The pair from the front: the left leg as sold, the right leg as worn, the wearer dotted inside, on the floor."""

from __future__ import annotations

from collections.abc import Sequence

from halfinch.fit.body import Band
from halfinch.fit.scene import Edge, LegShape, Scene
from halfinch.present.drawing.svg import Point, curve, frame, labels, measure, path, text
from halfinch.present.wording import Wording

LEFT, RIGHT = 9.5, 22.5
LETTER = 0.7
"""Width of a small letter, so that a long word beside the leg finds room."""
"""Room beside the pair for the words, inches."""


def draw_front(
    scene: Scene, say: Wording, title: str, shoe: str = "", name: str = "front", *, bare: bool = False
) -> str:
    """SVG of one scene. `shoe`: the shoes it stands in, for the words; `name` keeps drawings of one page apart;
    `bare`: without words and dimension lines, for where it stands small (the alternative text says all of it)."""
    parts: list[str] = []
    axis = _axis(scene)
    wide = max(axis * 2, *(edge.half_width for edge in (*scene.top, *scene.body)), 6.0)
    word = say.word("inseam").replace("\u00ad", "")
    left, right = (1.5, 1.5) if bare else (max(LEFT, 2.0 + LETTER * len(word)), RIGHT)
    parts.append(path([(-wide - left + 1.0, 0.0), (wide + (1.0 if bare else RIGHT - 8.0), 0.0)], "floor"))
    parts += _wearer(scene)
    hemmed = scene.worn is not scene.sold
    parts += _leg(scene.sold, axis, -1, "sold" if hemmed else "cloth", scene)
    parts += _leg(scene.worn, axis, 1, "cloth", scene)
    parts += _cut_away(scene, axis, name)
    parts += _top(scene)
    top = max([edge.height for edge in (*scene.top, *scene.body)] + [scene.crotch]) + (1.0 if bare else 4.5)
    low = min(0.0, scene.sold.hem, scene.worn.hem) - (1.0 if bare else 6.6)
    if not bare:
        parts += _knees(scene, axis, wide, say)
        parts += _rise(scene, wide, say)
        parts += _measures(scene, axis, wide, hemmed, say)
    return frame(parts, (-wide - left, top, wide + right, low), title, tell_scene(scene, say, shoe), name)


def _axis(scene: Scene) -> float:
    """How far a leg's middle stands from the middle of the body."""
    return max([edge.half_width for edge in (*scene.sold.edges, *scene.worn.edges)] + [_body_axis(scene)]) + 0.1


def _body_axis(scene: Scene) -> float:
    below = [edge.half_width for edge in scene.body if edge.height <= scene.crotch + 0.01]
    return max([*below, 2.0]) + 0.1


def _sides(edges: Sequence[Edge], axis: float, side: int) -> tuple[list[Point], list[Point]]:
    outer = [(side * (axis + edge.half_width), edge.height) for edge in edges]
    inner = [(side * (axis - edge.half_width), edge.height) for edge in edges]
    return outer, inner


def _leg(leg: LegShape, axis: float, side: int, style: str, scene: Scene) -> list[str]:
    if not leg.edges:
        return [path([(0.0, leg.hem), (0.0, scene.crotch)], style)]
    outer, inner = _sides(leg.edges, axis, side)
    # The inner line leaves the crotch seam at the middle; the thigh's width counts a little below it.
    inner[0] = (inner[0][0], inner[0][1] - 1.2)
    above = [(side * edge.half_width, edge.height) for edge in reversed(scene.top)]
    middle = [(0.0, above[0][1])] if above else []
    outline = [*middle, *above, *outer, *reversed(inner), (0.0, scene.crotch)]
    parts = [path(outline, style, closed=bool(above))]
    if not all(edge.known for edge in leg.edges):
        parts.append(path([outer[-1], inner[-1]], "guess"))
    return parts


def _cut_away(scene: Scene, axis: float, name: str) -> list[str]:
    """Hatched on the right leg: what the hem takes off or lets down, or what is missing down to the hem wanted."""
    if not scene.sold.edges or not scene.worn.edges:
        return []
    one, other = scene.sold.edges[-1], scene.worn.edges[-1]
    if scene.wanted is not None:
        other = Edge(scene.wanted, one.half_width)
    elif one.height == other.height:
        return []
    shape = [
        (axis - one.half_width, one.height), (axis + one.half_width, one.height),
        (axis + other.half_width, other.height), (axis - other.half_width, other.height),
    ]  # fmt: skip
    return [path(shape, "sold", closed=True).replace("<path ", f'<path fill="url(#{name}-cut)" ')]


def _top(scene: Scene) -> list[str]:
    if not scene.top:
        return []
    edge = scene.top[-1]
    return [path([(-edge.half_width, edge.height), (edge.half_width, edge.height)], "cloth" if edge.known else "guess")]


def _wearer(scene: Scene) -> list[str]:
    parts = []
    axis = _body_axis(scene)
    below = [edge for edge in scene.body if edge.height <= scene.crotch + 0.01]
    above = [edge for edge in scene.body if edge.height > scene.crotch + 0.01]
    for side in (-1, 1):
        if below:
            outer, inner = _sides(below, axis, side)
            upper = [(side * edge.half_width, edge.height) for edge in above]
            parts.append(curve([*upper, *outer], "wearer"))
            parts.append(curve([(0.0, scene.crotch + 0.4), *inner], "wearer"))
        parts += _foot(scene.lift, axis, side)
    return parts


def _foot(lift: float, axis: float, side: int) -> list[str]:
    """The shoe from the front: a toe box on the floor, the lift as a post behind it."""
    x = side * axis
    ankle, toe = lift + 2.6, 1.5
    foot = [(x - 1.1, ankle), (x - 1.5, lift + 1.2), (x - 1.7, 0.25), (x - 1.4, 0.0), (x + 1.4, 0.0), (x + 1.7, 0.25),
            (x + 1.5, lift + 1.2), (x + 1.1, ankle)]  # fmt: skip
    parts = [path(foot, "dim")]
    if lift > 0:
        parts.append(path([(x - toe, lift), (x + toe, lift)], "wearer"))
    return parts


def _knees(scene: Scene, axis: float, wide: float, say: Wording) -> list[str]:
    marks = []
    parts = []
    if scene.knee_garment is not None:
        band = scene.knee_garment
        for height in {band.low, band.high}:
            parts.append(path([(0.6, height), (wide, height)], "knee"))
        marks.append((band.middle, say.word("knee of the pair")))
    if scene.knee_wearer is not None:
        parts.append(path([(0.6, scene.knee_wearer), (wide, scene.knee_wearer)], "wearer"))
        marks.append((scene.knee_wearer, say.word("knee of the wearer") + (" ≈" if scene.knee_estimated else "")))
    return [*parts, *labels(marks, wide, wide + 1.6)]


def _rise(scene: Scene, wide: float, say: Wording) -> list[str]:
    parts, marks = [], []
    if scene.rise_band is not None:
        band = scene.rise_band
        parts.append(path([(wide + 0.4, band.low), (wide + 0.4, band.high)], "band"))
        wanted = f" {say.show_band(scene.rise_wanted)}" if scene.rise_wanted is not None else ""
        marks.append((band.middle, say.word("rise wanted") + wanted))
    if scene.top and scene.rise is not None:
        edge = scene.top[-1]
        parts.append(path([(edge.half_width, edge.height), (wide + 1.0, edge.height)], "tie"))
        marks.append((edge.height, f"{say.word('rise')} {say.show(scene.rise)}"))
    return [*parts, *labels(marks, wide + 1.0, wide + 1.6)]


def _measures(scene: Scene, axis: float, wide: float, hemmed: bool, say: Wording) -> list[str]:
    left, right = -wide - 1.2, wide + 1.2
    sold, worn = scene.sold, scene.worn
    parts = measure((left, scene.crotch), (left, sold.hem), say.show(sold.inseam), side=-1)
    parts.append(text((left - 0.7, (scene.crotch + sold.hem) / 2 - 2.0), say.word("inseam"), "small", "end"))
    low = min(0.0, sold.hem, worn.hem)
    parts += _opening(sold, -axis, low - 2.0, say)
    parts += _opening(worn, axis, low - 2.0, say)
    if scene.wanted is not None:
        missing = f"{say.word('short by')} {say.show(sold.hem - scene.wanted)}"
        parts += measure((right, sold.hem), (right, scene.wanted), missing, side=1)
    if not hemmed:
        parts.append(text((0.0, low - 5.6), say.word("as bought"), "head", "middle"))
    else:
        parts.append(text((-axis, low - 5.6), say.word("sold"), "head", "middle"))
        parts.append(text((axis, low - 5.6), say.word("worn"), "head", "middle"))
        words = f"{say.word('finished')} {say.show(worn.inseam)}"
        knees = [scene.knee_wearer] if scene.knee_wearer is not None else []
        knees += [scene.knee_garment.middle] if scene.knee_garment is not None else []
        spot = (min([*knees, scene.crotch]) + worn.hem) / 2
        parts += measure((right, scene.crotch), (right, worn.hem), "", side=1)
        parts.append(text((right + 0.7, spot - 0.4), words, "dims"))
    return parts


def _opening(leg: LegShape, middle: float, height: float, say: Wording) -> list[str]:
    if leg.opening is None or not leg.edges:
        return []
    half = leg.edges[-1].half_width
    return [
        path([(middle - half, leg.hem), (middle - half, height)], "tie"),
        path([(middle + half, leg.hem), (middle + half, height)], "tie"),
        *measure((middle - half, height), (middle + half, height), "")[:-1],
        text((middle, height - 1.8), say.show(leg.opening), "dims", "middle"),
    ]


def tell_scene(scene: Scene, say: Wording, shoe: str = "") -> str:
    """The picture in words, for who cannot see it."""
    said = [f"{say.word('inseam')} {say.show(scene.sold.inseam)}"]
    if scene.worn is not scene.sold:
        said.append(f"{say.word('finished')} {say.show(scene.worn.inseam)}")
    if scene.wanted is not None:
        said.append(f"{say.word('short by')} {say.show(scene.sold.hem - scene.wanted)}")
    for leg, word in ((scene.sold, "as sold"), (scene.worn, "as worn")):
        if leg.opening is not None:
            said.append(f"{say.word('opening')} {say.word(word)} {say.show(leg.opening)}")
    said.append(f"{say.word('hem over the floor')} {say.show(scene.worn.hem)}{f' ({shoe})' if shoe else ''}")
    if scene.knee_garment is not None and scene.knee_wearer is not None:
        gap = Band(scene.knee_garment.low - scene.knee_wearer, scene.knee_garment.high - scene.knee_wearer)
        said.append(f"{say.word('knee of the pair against the knee of the wearer')} {say.show_band(gap)}")
    if scene.rise_band is not None and scene.top:
        inside = scene.rise_band.miss(scene.top[-1].height) == 0
        said.append(say.word("top edge where she likes it" if inside else "top edge not where she likes it"))
    return "; ".join(said) + "."
