"""Every screen by axe-core: no violation, dark and light, phone and desktop; keyboard, languages, units."""

from __future__ import annotations

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

from halfinch.workbench.screens import SCREENS, Screen

from .conftest import VIEWPORTS, Look, Server, keep_picture

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


THEMES = ("light", "dark")
TABLET = (820, 1180)


def find_barriers(page: Page) -> list[str]:
    """What axe-core objects to; the page has its script already."""
    found = page.evaluate("options => axe.run(options)", RULES)["violations"]
    return [f"{one['id']}: {node['html'][:160]} {node['any'][:1]}" for one in found for node in one["nodes"]]


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_no_screen_has_a_barrier(demo: Server, look: Look, screen: Screen) -> None:
    check_everywhere(look(demo), screen.path, screen.name)


def check_everywhere(page: Page, path: str, name: str) -> None:
    """Checks a page dark and light, on phone and desktop, and a tablet's width besides; keeps the pictures."""
    page.goto(path)
    page.evaluate(AXE_SCRIPT)
    for viewport, (width, height) in {"tablet": TABLET, **VIEWPORTS}.items():
        page.set_viewport_size({"width": width, "height": height})
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, f"{path} is {wide} pixels wider than the {viewport}"
        for theme in THEMES if viewport in VIEWPORTS else ():
            page.emulate_media(color_scheme=theme)
            keep_picture(page, f"{name}-{viewport}-{theme}")
            assert find_barriers(page) == [], f"{path} on the {viewport}, {theme}"


def test_the_keyboard_skips_to_the_page_and_reaches_every_station(server: Server, look: Look) -> None:
    page = look(server)
    page.goto("/help")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.goto("/help")
    reached = []
    for _ in range(len(SCREENS) + 3):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.getAttribute('href')"))
    assert [screen.path for screen in SCREENS] == [href for href in reached if href in {s.path for s in SCREENS}]


def test_preferences_are_kept_and_lead_back(server: Server, look: Look) -> None:
    page = look(server)
    page.goto("/match?by=hem")
    page.locator(".preferences > summary").click()
    with page.expect_navigation():
        page.get_by_label("Deutsch").check()
    assert page.url.endswith("/match?by=hem")
    assert page.locator("html").get_attribute("lang") == "de"
    page.locator(".preferences > summary").click()
    with page.expect_navigation():
        page.get_by_label("Zentimetern").check()
    assert page.locator(".preferences > summary").inner_text().endswith("cm · de")
