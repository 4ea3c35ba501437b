"""One day at the workbench in Chromium, from an empty start to papers, on a phone and at a desk; pictures are kept."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from playwright.sync_api import Page, expect

from halfinch.api import open_catalogue
from halfinch.catalogue.rulings import list_rulings
from halfinch.workbench.settings import Settings

from .conftest import ROOT, Look, Server, keep_picture, running

TROUBLED = ROOT / "fixtures" / "querfelder-hosenwerk" / "zoll-als-zentimeter-beschriftet.csv"
"""A sheet whose 24 figures are held: its heading says centimetres, its figures are inches."""


@pytest.mark.parametrize("viewport", ["phone", "desktop"])
def test_a_day_at_the_workbench(settings: Settings, look: Look, viewport: str) -> None:
    with running(replace(settings, jobs=1)) as server:
        page = look(server, viewport)
        page.set_default_timeout(30_000)
        day = _Day(server, page, viewport)
        day.begins_empty()
        day.brings_the_demo()
        day.brings_a_sheet_of_her_own()
        day.rules_by_keyboard()


class _Day:
    def __init__(self, server: Server, page: Page, viewport: str) -> None:
        self.server, self.page, self.viewport, self.pictures = server, page, viewport, 0

    def keep(self, name: str) -> None:
        self.pictures += 1
        keep_picture(self.page, f"walk-{self.viewport}-{self.pictures:02}-{name}")

    def begins_empty(self) -> None:
        self.page.goto("/")
        expect(self.page.get_by_role("heading", name="Sheets", exact=True)).to_be_visible()
        self.keep("empty")

    def brings_the_demo(self) -> None:
        self.page.get_by_role("button", name="Read the demo sheets").click()
        self.page.wait_for_selector("[data-over=yes]", timeout=90_000)
        expect(self.page.locator(".lines li")).to_have_count(9)
        self.page.reload()
        expect(self.page.get_by_role("heading", name="9 sheets")).to_be_visible()
        self.keep("demo-read")
        figures = open_catalogue(self.server.settings.catalogue).figures()
        assert len(figures) > 500

    def brings_a_sheet_of_her_own(self) -> None:
        self.page.locator("input[name=files]").set_input_files(str(TROUBLED))
        expect(self.page.get_by_role("heading", name="10 sheets")).to_be_visible(timeout=90_000)
        self.keep("own-sheet-read")

    def rules_by_keyboard(self) -> None:
        """Ten rulings of every kind, one taken back, without touching the mouse."""
        page = self.page
        page.goto("/held")
        self.keep("held")
        page.keyboard.press("Enter")
        page.wait_for_selector(".deciding")
        self.keep("held-one")
        for presses in ("1", "1", "r", "n", "s 30.25 Enter", "1", "u", "1", "1", "1", "w 1"):
            self._decide(presses.split())
        self.keep("held-eleven-later")
        rulings = list_rulings(self.server.settings.catalogue)
        assert len({one.ruling.figure_key for one in rulings}) >= 10
        assert [one.state for one in rulings].count("taken back") == 1

    def _decide(self, presses: list[str]) -> None:
        """Presses keys and waits for the page that follows."""
        with self.page.expect_navigation(url=re.compile("/held")):
            for press in presses:
                one_key = len(press) == 1 or press == "Enter"
                (self.page.keyboard.press if one_key else self.page.keyboard.type)(press)
        self.page.wait_for_selector(".said")
