"""The drawing says what the scene says: parsed back out of the SVG."""

from __future__ import annotations

import re
import sys
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

sys.path.insert(0, str(Path(__file__).parents[1] / "fit"))
from bodies import KNOWLEDGE, LEGS, PETITE, TALL, body, garment

from halfinch.fit import make_plan
from halfinch.fit.scene import Scene, make_scene
from halfinch.present.drawing import draw_front, draw_hems
from halfinch.present.drawing.svg import SCALE, spread
from halfinch.present.wording import Wording, languages, load_wording

WIDE: dict[str, Any] = {
    "inseam": 31.0, "front_rise": 10.0, "waist": 30.0, "hip": 42.0, "thigh": 27.0, "silhouette": "wide", **LEGS["wide"],
}  # fmt: skip
SVG = "{http://www.w3.org/2000/svg}"


def scene_of(who: str = PETITE, **change: Any) -> Scene:
    wearer = body(who)
    scene = make_scene(make_plan(garment(**{**WIDE, **change}), wearer, KNOWLEDGE), wearer, KNOWLEDGE)
    assert scene is not None
    return scene


def texts(svg: str) -> list[str]:
    return ["".join(node.itertext()) for node in etree.fromstring(svg.encode()).iter(f"{SVG}text")]


def test_figures_stand_on_the_drawing() -> None:
    shown = texts(draw_front(scene_of(), Wording(), "Alder"))
    assert "31 in" in shown
    assert "finished 29 3/8 in" in shown
    assert "22 in" in shown
    assert "rise 10 in" in shown
    assert "rise wanted 9 1/4 to 11 in" in shown


def test_in_centimetres() -> None:
    shown = texts(draw_front(scene_of(), load_wording("de", "cm"), "Alder"))
    assert "78,7 cm" in shown
    assert "fertig 74,6 cm" in shown


def test_it_is_to_scale() -> None:
    """The dimension line of the inseam as sold is as long as the inseam."""
    svg = etree.fromstring(draw_front(scene_of(), Wording(), "Alder").encode())
    lines = [node.get("d") for node in svg.iter(f"{SVG}path") if node.get("class") == "dim"]
    lengths = set()
    for line in lines:
        numbers = [float(number) for number in re.findall(r"-?\d+\.\d", line or "")]
        if len(numbers) == 4 and numbers[0] == numbers[2]:
            lengths.add(round(abs(numbers[1] - numbers[3]) / SCALE, 2))
    assert 31.0 in lengths
    assert any(abs(length - 29.375) < 0.02 for length in lengths)


def test_a_text_stands_for_the_picture() -> None:
    svg = etree.fromstring(draw_front(scene_of(), Wording(), "Alder", "block heel").encode())
    told = svg.find(f"{SVG}desc")
    assert svg.get("role") == "img"
    assert told is not None
    assert "hem over the floor 3/8 in (block heel)" in str(told.text)


def test_too_short_is_said() -> None:
    assert any(
        text.startswith("short by ") for text in texts(draw_front(scene_of(TALL, inseam=28.0), Wording(), "Alder"))
    )


def test_each_shoe_has_its_hem() -> None:
    assert {"trainers", "tall boots", "barefoot"} <= set(texts(draw_hems(scene_of(TALL), Wording(), "hems")))
    shown = texts(draw_hems(scene_of(PETITE), Wording(), "hems"))
    assert "3/8 in" in shown
    assert any(text.startswith("drags by") for text in shown)


def test_markup_in_a_name_stays_text() -> None:
    svg = draw_front(scene_of(), Wording(), "<script>alert(1)</script>", 'a"b')
    assert "<script" not in svg
    etree.fromstring(svg.encode())


@pytest.mark.parametrize(
    "heights", [[10.0, 10.1, 10.2], [3.0], [], [5.0, 1.0, 5.0, 1.0]], ids=["close", "one", "none", "pairs"]
)
def test_labels_stand_apart(heights: list[float]) -> None:
    placed = sorted(spread(heights, 1.5))
    assert all(upper - lower >= 1.5 - 1e-3 for lower, upper in pairwise(placed))


@pytest.mark.parametrize("language", languages())
def test_messages_keep_what_is_filled_in(language: str) -> None:
    for english, phrase in load_wording(language).words.items():
        assert sorted(re.findall(r"{\w+}", english)) == sorted(re.findall(r"{\w+}", phrase)), english


def test_every_language_has_every_phrase() -> None:
    keys = {language: set(load_wording(language).words) for language in languages() if language != "en"}
    everything = set.union(*keys.values())
    assert {language: sorted(everything - found) for language, found in keys.items()} == {name: [] for name in keys}


def test_phrases_of_the_program_are_in_the_messages() -> None:
    package = Path(__file__).parents[2] / "pipeline" / "halfinch" / "present"
    used = set()
    for path in [*package.rglob("*.py"), *package.rglob("*.html"), *package.rglob("*.txt")]:
        if path.name in ("lists.py", "audit.html"):  # the terminal speaks English
            continue
        used |= set(re.findall(r'say\.word\(\s*"((?:[^"\\]|\\.)+)"', path.read_text("utf-8")))
    assert not used - set(load_wording("de").words)
