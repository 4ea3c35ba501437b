"""One file, several users at once: two browser windows, the command line and an analyst's own DuckDB client.

Nothing that anybody did is lost, nobody sees half a sheet, and who has to wait is told for whom.
"""

from __future__ import annotations

import contextlib
import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page

from halfinch.catalogue import store
from halfinch.catalogue.rulings import list_rulings
from halfinch.work.importing import Options, import_paths
from halfinch.workbench.settings import Settings

from .conftest import DEMO, ROOT, Look, running

HELD = ("querfelder-hosenwerk/zoll-als-zentimeter-beschriftet.csv", "hollin-and-thrupp/two-hems-for-one-size.html")
RULED = 3
"""By each window."""

ANALYST = """
import json, sys, time
from pathlib import Path
import duckdb
path, stop = sys.argv[1], Path(sys.argv[2])
seen, looks, waited = set(), 0, 0
while not stop.exists():
    try:
        with duckdb.connect(path, read_only=True) as connection:
            seen |= set(connection.execute("SELECT sheet, count(*) FROM current_figures GROUP BY ALL").fetchall())
            time.sleep(0.05)
        looks += 1
    except duckdb.IOException:
        waited += 1
    time.sleep(0.05)
print(json.dumps({"seen": sorted(seen), "looks": looks, "waited": waited}))
"""
"""Looks at the catalogue again and again with DuckDB alone, knowing nothing of us."""

HOLDER = """
import sys, time
import duckdb
connection = duckdb.connect(sys.argv[1], read_only=True)
print("open", flush=True)
sys.stdin.readline()
"""
"""Opens the catalogue and keeps it."""


@pytest.fixture(scope="module")
def imported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("held") / "shop.duckdb"
    import_paths(path, [ROOT / "fixtures" / name for name in HELD], Options(jobs=0))
    return path


@pytest.fixture
def shop(settings: Settings, imported: Path) -> Settings:
    shutil.copy(imported, settings.catalogue)
    shutil.copytree(Path(f"{imported}.sheets"), Path(f"{settings.catalogue}.sheets"))
    return settings


def python(code: str, *arguments: object) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", code, *(str(one) for one in arguments)]
    return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def halfinch(*arguments: object) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "halfinch", *(str(one) for one in arguments)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def test_four_at_once_lose_nothing(shop: Settings, look: Look, tmp_path: Path) -> None:
    (sheets,) = store.read_frames(shop.catalogue, "current_sheets")
    names = sheets["sheet"].str.rsplit("/", n=1).str[-1]
    by_name = dict(zip(names, sheets["sheet_id"], strict=True))
    with running(replace(shop, wait=60)) as server:
        windows = [look(server), look(server, "phone")]
        for window, name in zip(windows, HELD, strict=True):
            window.set_default_timeout(60_000)
            window.goto(f"/held?sheet={by_name[name.rsplit('/', 1)[-1]]}")
        analyst = python(ANALYST, shop.catalogue, tmp_path / "stop")
        commands = [
            halfinch("import", DEMO / "oddwick-petites", "--catalogue", shop.catalogue, "--jobs", 0),
            halfinch("rule", "--sheet", HELD[0].rsplit("/", 1)[-1], "--size", 44, "--not-ours", "--by", "Ben",
                     "--catalogue", shop.catalogue),
        ]  # fmt: skip
        for _ in range(RULED):
            rule_in_each(windows)
        said = [command.communicate(timeout=120) for command in commands]
        (tmp_path / "stop").touch()
        told, complaint = analyst.communicate(timeout=30)
    assert [command.returncode for command in commands] == [0, 0], said
    assert complaint == ""
    by = [one.ruling.by for one in list_rulings(shop.catalogue)]
    assert by.count("Ada") == 2 * RULED
    assert by.count("Ben") == 4
    seen = json.loads(told)
    (figures,) = store.read_frames(shop.catalogue, "current_figures")
    whole = figures.groupby("sheet").size().to_dict()
    assert len(whole) == 2 + 3
    assert seen["looks"] >= 3
    assert {(sheet, count) for sheet, count in seen["seen"]} <= set(whole.items()), "half a sheet was seen"


def rule_in_each(windows: list[Page]) -> None:
    """A key in every window before any of them has answered."""
    with contextlib.ExitStack() as answers:
        for window in windows:
            answers.enter_context(window.expect_navigation())
        for window in windows:
            window.keyboard.press("r")


@contextlib.contextmanager
def kept_open(catalogue: Path) -> Iterator[None]:
    """While an analyst's client has the file open."""
    holder = python(HOLDER, catalogue)
    assert holder.stdout is not None
    assert holder.stdout.readline() == "open\n"
    try:
        yield
    finally:
        holder.communicate("done\n", timeout=20)


def test_who_has_to_wait_for_an_open_client_is_told_and_can_go_on(shop: Settings, look: Look) -> None:
    with running(replace(shop, wait=1)) as server:
        page = look(server)
        page.goto("/held")
        page.keyboard.press("Enter")
        page.wait_for_selector(".deciding")
        figure = page.url
        with kept_open(shop.catalogue), look.expecting("503"):
            assert server.client.get("/sheets").status_code == 200, "who reads need not wait for who reads"
            with page.expect_navigation():
                page.keyboard.press("r")
            assert "is open in another program; waited 1 s. Close it there." in page.locator("main").inner_text()
            assert list_rulings(shop.catalogue) == []
        with page.expect_navigation():
            page.get_by_role("link", name="Try again").click()
        assert page.url == figure
        with page.expect_navigation():
            page.keyboard.press("r")
        assert len(list_rulings(shop.catalogue)) == 1


def test_who_has_to_wait_for_the_command_line_is_told_what_it_does(shop: Settings) -> None:
    with running(replace(shop, wait=1)) as server:
        figure = server.client.get("/held").text.split("/held/")[1].split('"')[0]
        with store.locked(shop.catalogue, "import"):
            answer = server.post(f"/held/{figure}", data={"decision": "right"})
        assert answer.status_code == 503
        assert "is being written by" in answer.text
        assert "import, since" in answer.text
        json_too = server.client.get("/sheets", headers={"accept": "application/json"})
        assert json_too.status_code == 200
