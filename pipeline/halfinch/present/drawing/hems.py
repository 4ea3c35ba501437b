"""One hem in each pair of shoes, side by side: the floor, the lift, where the hem hangs."""

from __future__ import annotations

from halfinch.fit.scene import Scene, ShoeView
from halfinch.present.drawing.svg import frame, measure, path, text
from halfinch.present.wording import Wording

STEP = 15.5
TOP = 7.0


def draw_hems(scene: Scene, say: Wording, title: str, name: str = "hems") -> str:
    """SVG; shoes without a known lift are named under an empty place. Barefoot stands last."""
    top = max([TOP] + [view.hem + 2.5 for view in scene.shoes if view.hem is not None])
    parts = [path([(0.0, 0.0), (STEP * len(scene.shoes), 0.0)], "floor")]
    for number, view in enumerate(scene.shoes):
        parts += _one(view, STEP * (number + 0.5), top, scene, say)
    lowest = min([view.hem for view in scene.shoes if view.hem is not None] + [0.0])
    told = "; ".join(tell_hem(view, say) for view in scene.shoes) + "."
    return frame(parts, (0.0, top, STEP * len(scene.shoes), lowest - 4.6), title, told, name)


def _one(view: ShoeView, x: float, top: float, scene: Scene, say: Wording) -> list[str]:
    named = view.name or say.word("barefoot")
    lowest = min(0.0, view.hem or 0.0)
    parts = [text((x, lowest - 2.0), named, "head", "middle")]
    if view.hem is None or view.lift is None:
        return [*parts, text((x, lowest - 3.5), say.word("lift not known"), "small", "middle")]
    lift = view.lift.middle
    parts += _shoe(x, lift)
    half = scene.worn.edges[-1].half_width if scene.worn.edges else 2.5
    up = top - 0.3
    parts.append(path([(x - half, up), (x - half, view.hem), (x + half, view.hem), (x + half, up)], "cloth"))
    parts.append(path([(x - half, view.hem), (x + half, view.hem)], "warn" if view.caution else "cloth"))
    beside = x + half + 0.9
    if view.hem > 0.6:
        parts += measure((beside, 0.0), (beside, view.hem), "")[:-1]
    parts.append(
        text(
            (x, lowest - 3.5),
            (say.show(view.hem) if view.hem >= 0 else say_hang(view.hem, say)) + (" (!)" if view.caution else ""),
            "",
            "middle",
        )
    )
    return parts


def _shoe(x: float, lift: float) -> list[str]:
    """A foot from the side: heel left at its lift, the ball of the foot on the sole at the right."""
    sole = min(lift, 0.5)
    foot = [(x - 2.2, lift + 4.2), (x - 2.4, lift + 0.6), (x - 2.3, lift), (x - 0.9, lift), (x + 1.6, sole),
            (x + 3.4, sole), (x + 3.7, sole + 0.5), (x + 2.0, sole + 1.6), (x + 0.2, lift + 2.9),
            (x - 0.2, lift + 4.2)]  # fmt: skip
    parts = [path(foot, "dim")]
    if lift > 0:
        parts.append(path([(x - 2.3, lift), (x - 2.2, 0.0), (x - 1.1, 0.0), (x - 0.9, lift)], "dim"))
    if sole > 0:
        parts.append(path([(x + 1.5, 0.0), (x + 1.6, sole)], "dim"))
    return parts


def tell_hem(view: ShoeView, say: Wording) -> str:
    named = view.name or say.word("barefoot")
    if view.hem is None:
        return f"{named}: {say.word('lift not known')}"
    return f"{named}: {say_hang(view.hem, say)}" + (f", {say.word('caution')}" if view.caution else "")


def say_hang(hem: float, say: Wording) -> str:
    """ "1/2 in off the floor", "drags by 1 3/4 in"."""
    if hem < 0:
        return f"{say.word('drags by')} {say.show(-hem)}"
    return f"{say.show(hem)} {say.word('off the floor')}"
