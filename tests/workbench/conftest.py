"""A real server on loopback for every test that asks for one, and Chromium to look at it."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

import httpx
import pytest
from tests.papers.printing import need_browser

from halfinch.workbench.desk import Desk
from halfinch.workbench.serving import bind, make_server
from halfinch.workbench.settings import Settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "fixtures" / "demo"
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--force-color-profile=srgb",
]  # fmt: skip
PICTURES = ROOT / "build" / "workbench"
"""Where the screenshots are kept."""
VIEWPORTS = {"phone": (390, 844), "desktop": (1360, 900)}


@dataclass
class Server:
    """A running workbench and a client of its own, with cookies."""

    settings: Settings
    desk: Desk
    url: str
    client: httpx.Client = field(repr=False)

    def token(self) -> str:
        """The CSRF token of the client's session."""
        page = self.client.get("/help").text
        return page.split('name="csrf" content="')[1].split('"')[0]

    def post(self, path: str, **more: object) -> httpx.Response:
        """As a page of ours would send it."""
        headers = {"origin": self.url, "x-csrf-token": self.token(), **(more.pop("headers", None) or {})}  # type: ignore[dict-item]
        return self.client.post(path, headers=headers, **more)  # type: ignore[arg-type]


@contextmanager
def running(settings: Settings) -> Iterator[Server]:
    """A server in a thread of its own until the `with` ends."""
    place = bind(settings.host, 0)
    settings = replace(settings, port=place.getsockname()[1])
    server = make_server(settings)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [place]}, daemon=True)
    thread.start()
    until = time.monotonic() + 20
    while not server.started:
        assert thread.is_alive()
        assert time.monotonic() < until, "the server did not start"
        time.sleep(0.01)
    url = f"http://127.0.0.1:{settings.port}"
    try:
        with httpx.Client(base_url=url, timeout=60) as client:
            yield Server(settings, server.config.app.desk, url, client)  # type: ignore[union-attr]
    finally:
        server.should_exit = True
        thread.join(20)
        place.close()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(tmp_path / "shop.duckdb", tmp_path / "bodies", by="Ada", jobs=0)


@pytest.fixture
def server(settings: Settings) -> Iterator[Server]:
    """An empty workbench."""
    with running(settings) as one:
        yield one


@pytest.fixture(scope="session")
def demo_catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's sheets, imported once; copy it before writing."""
    from halfinch.work.importing import Options, import_paths

    path = tmp_path_factory.mktemp("demo") / "shop.duckdb"
    import_paths(path, [DEMO], Options(jobs=0))
    return path


@pytest.fixture
def demo(settings: Settings, demo_catalogue: Path) -> Iterator[Server]:
    """A workbench over a copy of the demo's catalogue, with the demo's bodies."""
    shutil.copy(demo_catalogue, settings.catalogue)
    shutil.copytree(Path(f"{demo_catalogue}.sheets"), Path(f"{settings.catalogue}.sheets"))
    shutil.copytree(DEMO / "bodies", settings.bodies)
    with running(settings) as one:
        yield one


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Debian's Chromium, headless."""
    chromium = need_browser()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        yield found
        found.close()


class Look:
    """`look(server, "phone", "dark")` gives a page in a fresh context; what it complains of fails the test."""

    def __init__(self, browser: Browser) -> None:
        self._browser = browser
        self._contexts: list[BrowserContext] = []
        self.complaints: list[str] = []

    def __call__(
        self, server: Server, viewport: str = "desktop", theme: str = "light", language: str = "en-GB"
    ) -> Page:
        width, height = VIEWPORTS[viewport]
        context = self._browser.new_context(
            base_url=server.url, viewport={"width": width, "height": height}, locale=language,
            color_scheme="dark" if theme == "dark" else "light", has_touch=viewport == "phone",
            reduced_motion="reduce",
        )  # fmt: skip
        self._contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("console", lambda said: self.complaints.append(said.text) if said.type == "error" else None)
        page.on("request", lambda one: self._asked(one.url, server.url))
        return page

    def _asked(self, address: str, home: str) -> None:
        if not address.startswith(home):
            self.complaints.append(address)

    @contextmanager
    def expecting(self, words: str) -> Iterator[None]:
        """Complaints with these words are meant to come."""
        yield
        assert any(words in one for one in self.complaints)
        self.complaints = [one for one in self.complaints if words not in one]

    def close(self) -> None:
        for context in self._contexts:
            context.close()
        assert self.complaints == []


@pytest.fixture
def look(browser: Browser) -> Iterator[Look]:
    looking = Look(browser)
    yield looking
    looking.close()


def keep_picture(page: Page, name: str) -> None:
    """Keeps what the page looks like as the test's output."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=PICTURES / f"{name}.png", full_page=True)
