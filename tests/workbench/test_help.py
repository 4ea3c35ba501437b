"""Help: every word with its explanation, found by a part of it, drawn where there is something to draw."""

from __future__ import annotations

import re

from halfinch.present.drawing.points import DRAWN
from halfinch.workbench.screens.help_ import GROUPS
from halfinch.workbench.texts import all_texts

from .conftest import Look, Server


def words() -> set[str]:
    return {key.split(".")[1] for key in all_texts()["en"].texts if key.startswith("words.")}


def test_every_word_is_listed_once_and_every_point_is_drawn(server: Server) -> None:
    page = server.client.get("/help").text
    listed = re.findall(r'id="word-([a-z_]+)"', page)
    assert sorted(listed) == sorted(words())
    assert {key for keys in GROUPS.values() for key in keys} <= words()
    assert set(re.findall(r'id="point-([a-z_]+)-\d+-title"', page)) == set(DRAWN) <= words()


def test_a_word_is_found_by_what_is_said_of_it(server: Server) -> None:
    page = server.client.get("/help", params={"find": "FLOOR"}).text
    assert re.findall(r'id="word-([a-z_]+)"', page) == ["clearance"]
    assert "No word is like that." in server.client.get("/help", params={"find": "zzz"}).text


def test_a_word_is_found_in_the_browser(server: Server, look: Look) -> None:
    page = look(server, "phone")
    page.goto("/help")
    page.get_by_role("searchbox").fill("crotch seam")
    page.keyboard.press("Enter")
    page.wait_for_url("**find=crotch**")
    assert page.locator(".words svg").count() >= 3
