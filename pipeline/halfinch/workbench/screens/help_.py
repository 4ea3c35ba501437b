"""The screen "help": how a day's work goes, and every word that is explained anywhere."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from fastapi import APIRouter, Query
from markupsafe import Markup
from starlette.responses import HTMLResponse, Response

from halfinch.workbench.view import View, ViewDep

router = APIRouter(prefix="/help", tags=["help"])

GROUPS = {
    "measures": ("front_rise", "back_rise", "waist", "hip", "thigh", "knee", "leg_opening", "inseam", "outseam"),
    "printing": ("sheet", "flat", "round", "half_inch", "tolerance", "grade", "knee_line", "waistband"),
    "garment": ("silhouette", "size_system", "length", "stretch", "washed"),
    "standing": ("accepted", "assumed", "held", "set_aside", "finding", "ruling", "habit", "taped"),
    "wearing": ("hem", "ease", "clearance", "lift", "near_miss"),
}
"""Where a word stands on the page; one that is in no group stands under the last heading."""


class Word(NamedTuple):
    """A word of the trade. `drawing` is '' where there is none."""

    key: str
    name: str
    told: str
    drawing: Markup


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep, find: Annotated[str, Query(max_length=60)] = "") -> Response:
    """The page; with `find` only the words in which it occurs."""
    groups = {name: found for name, keys in _groups(view).items() if (found := _words(view, keys, find))}
    return view.page("help/show.html", groups=groups, find=find)


def _groups(view: View) -> dict[str, list[str]]:
    known = [key.split(".")[1] for key in view.texts.texts if key.startswith("words.") and key.endswith(".name")]
    placed = {key for keys in GROUPS.values() for key in keys}
    rest = [key for key in known if key not in placed]
    return {**{name: list(keys) for name, keys in GROUPS.items()}, "more": rest}


def _words(view: View, keys: list[str], find: str) -> list[Word]:
    words = [
        Word(key, view.say(f"words.{key}.name"), view.say(f"words.{key}.is"), view.drawing(key)) for key in keys
    ]  # fmt: skip
    wanted = find.strip().casefold()
    return [word for word in words if wanted in f"{word.name} {word.told}".casefold()]
