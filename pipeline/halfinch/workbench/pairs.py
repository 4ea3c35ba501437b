"""One size of one garment, as pages name it, and its plan for a wearer; what a wearer's shortlist holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

from fastapi import HTTPException
from markupsafe import Markup

from halfinch.errors import UsageError
from halfinch.fit.body import Body
from halfinch.fit.garment import GarmentSize
from halfinch.fit.matching import choose_size
from halfinch.fit.plan import Plan
from halfinch.fit.planning import make_plan
from halfinch.fit.scene import Scene, make_scene
from halfinch.fit.sizes import Sizes, open_sizes
from halfinch.present.drawing import draw_front
from halfinch.present.drawing.svg import STYLE
from halfinch.present.papers import client_entry
from halfinch.workbench.view import View

VERDICT_LOOKS = {
    "fits as bought": "good", "fits with a hem": "good", "near miss": "warn", "not known": "", "no": "bad",
}  # fmt: skip
"""Verdict to the class of its mark on a page."""


class PairKey(NamedTuple):
    """Names one size of one garment."""

    garment: str
    size: str
    length: str

    def __str__(self) -> str:
        return "~".join(self)


def read_key(text: str) -> PairKey:
    """HTTPException 404 for what is no key."""
    parts = text.split("~")
    if len(parts) != 3 or not parts[0]:
        raise HTTPException(404)
    return PairKey(*parts)


def key_of(plan: Plan) -> PairKey:
    garment = plan.garment
    return PairKey(garment.garment_id, garment.size, garment.length)


@contextmanager
def open_pairs(view: View) -> Iterator[Sizes]:
    """The clean sizes of the catalogue. Raises CatalogueError; UsageError where there are none."""
    desk = view.desk
    with open_sizes(desk.catalogue, desk.knowledge, wait=desk.settings.wait, kept=desk.classes) as sizes:
        if not sizes.count():
            raise UsageError(view.say("match.no_sizes"))
        yield sizes


def find_pairs(view: View, keys: Sequence[PairKey]) -> list[GarmentSize]:
    """Those sizes, in this order. HTTPException 404 where one is gone."""
    with open_pairs(view) as sizes:
        found = [choose_size(sizes, *key) for key in keys]
    pairs = [pair for pair in found if pair is not None]
    if len(pairs) < len(keys):
        raise HTTPException(404)
    return pairs


def plan_pair(size: GarmentSize, body: Body, view: View, shoe: str = "", finished: float | None = None) -> Plan:
    """The plan of one pair. `finished`: a hem to try."""
    trying = finished is not None
    return make_plan(size, body, view.desk.knowledge, shoe=shoe, finished=finished, weigh=not trying, ask=not trying)


class Shown(NamedTuple):
    """A plan as a page shows it."""

    key: str
    plan: Plan
    scene: Scene | None
    entry: dict[str, object]
    """As on the client's paper: name, verdict, price, chance, front, hems, facts, cautions, lists."""
    looks: str


def show_plans(plans: Sequence[Plan], body: Body, view: View) -> list[Shown]:
    """Plans with their drawings, in the language and unit of the page."""
    shown = []
    for number, plan in enumerate(plans, start=1):
        scene = make_scene(plan, body, view.desk.knowledge)
        entry = client_entry(plan, scene, view.wording, number)
        title = str(entry["name"])
        small = "" if scene is None else draw_front(scene, view.wording, title, name=f"small{number}", bare=True)
        for name, drawn in (("front", entry["front"]), ("hems", entry["hems"]), ("small", small)):
            entry[name] = Markup(str(drawn).replace(f"<style>{STYLE}</style>", ""))  # what we drew, escaped there
        shown.append(Shown(str(key_of(plan)), plan, scene, entry, VERDICT_LOOKS[plan.verdict]))
    return shown
