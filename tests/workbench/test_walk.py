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
        day.measures_somebody()
        day.finds_a_pair()
        day.tries_a_hem()
        day.prints_three_papers()


class _Day:
    def __init__(self, server: Server, page: Page, viewport: str) -> None:
        self.server, self.page, self.viewport, self.pictures = server, page, viewport, 0

    def keep(self, name: str, page: Page | None = None) -> None:
        self.pictures += 1
        keep_picture(page or self.page, f"walk-{self.viewport}-{self.pictures:02}-{name}")

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

    def measures_somebody(self) -> None:
        """A petite wearer, typed in as she says it; the file is hers alone."""
        page = self.page
        page.goto("/bodies")
        page.get_by_role("link", name="Measure somebody").click()
        typed = {
            "name": "Perpetua Vane", "height": "158 cm", "waist": "30 in", "hip": "41 1/2 in", "thigh": "24 in",
            "inseam": "72 cm",
        }  # fmt: skip
        for name, answer in typed.items():
            page.locator(f"input[name={name}]").fill(answer)
        page.locator("input[name=shoe]").first.fill("loafers")
        page.locator("input[name=lift]").first.fill("3/4 in")
        page.locator("input[name=shoe]").nth(1).fill("wedges")
        page.locator("input[name=lift]").nth(1).fill("6 cm")
        self.keep("body-typed")
        page.locator("button.main").click()
        expect(page.get_by_role("heading", name="Perpetua Vane")).to_be_visible()
        self.keep("body-written")
        (file,) = self.server.settings.bodies.glob("*.toml")
        assert file.stat().st_mode & 0o077 == 0

    def finds_a_pair(self) -> None:
        page = self.page
        page.goto("/match")
        page.get_by_role("link", name="Perpetua Vane").click()
        expect(page.locator("ol.cards > li").first).to_be_visible()
        self.keep("matches")
        page.get_by_role("link", name="wedges").click()
        self.keep("matches-in-wedges")

    def tries_a_hem(self) -> None:
        page = self.page
        page.locator("ol.cards h2 a").first.click()
        before = page.locator("#hem dd").first.inner_text()
        page.get_by_label("Finished inseam").focus()
        for _ in range(6):
            page.keyboard.press("ArrowLeft")
        expect(page.locator("#hem dd").first).not_to_have_text(before)
        self.keep("hem-tried")
        page.get_by_role("button", name="Put on the shortlist").click()

    def prints_three_papers(self) -> None:
        """Client, tailor, merchant: each a document of its own."""
        page = self.page
        page.goto("/papers")
        self.keep("papers")
        for name, what in (("client", "the shortlist"), ("tailor", "the ticket"), ("merchant", "the questions")):
            with page.context.expect_page() as opened:
                page.get_by_role("button", name=f"Open {what}").click()
            paper = opened.value
            paper.wait_for_load_state()
            assert len(paper.locator("body").inner_text()) > 200
            assert "Perpetua" not in paper.locator("body").inner_text(), "no name that nobody typed there"
            self.keep(f"paper-{name}", paper)
            paper.close()

    def _decide(self, presses: list[str]) -> None:
        """Presses keys and waits for the page that follows."""
        with self.page.expect_navigation(url=re.compile("/held")):
            for press in presses:
                one_key = len(press) == 1 or press == "Enter"
                (self.page.keyboard.press if one_key else self.page.keyboard.type)(press)
        self.page.wait_for_selector(".said")
