"""The demo's papers, made by the command line, and printed by headless Chromium as a person would print them."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).parents[2]
BODY = ROOT / "fixtures" / "demo" / "bodies" / "ottilie.toml"
PAPERS = {
    "client": ["client", str(BODY), "--top", "4"],
    "tailor": [
        "tailor",
        str(BODY),
        "--garment",
        "Larkrise Straight",
        "--garment",
        "Kestle bootcut",
        "--date",
        "2026-03-02",
    ],
    "merchant": ["merchant", "tarnmoor-denim-works", "--date", "2026-03-02"],
    "garment": ["garment", "Larkrise Straight"],
}
"""Name to the arguments of `halfinch paper`."""
SIZES = {"A4": (595, 842), "Letter": (612, 792)}
"""Points, to the nearest one."""


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "halfinch", *arguments], capture_output=True, text=True, check=False)


def make_catalogue(folder: Path) -> Path:
    catalogue = folder / "shop.duckdb"
    if not catalogue.exists():
        done = run("import", str(ROOT / "fixtures" / "demo"), "--catalogue", str(catalogue), "--quiet")
        assert done.returncode == 4, done.stderr
    return catalogue


def write_papers(folder: Path, language: str = "en", ending: str = "html", names: Iterable[str] = PAPERS) -> None:
    catalogue = make_catalogue(folder)
    for name in names:
        arguments = PAPERS[name]
        done = run(
            "paper", *arguments, "--catalogue", str(catalogue), "--language", language, "--output",
            str(folder / f"{name}.{ending}"),
        )  # fmt: skip
        assert done.returncode == 0, done.stderr


NO_BROWSER = "no Chromium here to print and look at pages: apt-get install chromium"


def find_browser() -> str:
    """Debian's Chromium, or another one of that name; '' where there is none."""
    return next((found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), "")


def need_browser() -> str:
    """For a test: where there is none it is skipped, or fails with HALFINCH_BROWSER=required."""
    import pytest

    browser = find_browser()
    if not browser and os.environ.get("HALFINCH_BROWSER") == "required":
        pytest.fail(NO_BROWSER)
    if not browser:
        pytest.skip(NO_BROWSER)
    return browser


def print_pdf(browser: str, page: Path, target: Path, size: str = "A4") -> None:
    """The page printed on A4 or Letter. The browser has no option for the paper; a rule in a copy of the page has."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "page.html"
        copy.write_text(page.read_text("utf-8").replace("@page {", f"@page {{ size: {size};", 1), "utf-8")
        browse(browser, folder, f"--print-to-pdf={target.resolve()}", "--no-pdf-header-footer", copy.as_uri())


def take_picture(browser: str, page: Path, target: Path, width: int = 900, height: int = 1400) -> None:
    with tempfile.TemporaryDirectory() as folder:
        size = f"--window-size={width},{height}"
        browse(browser, folder, f"--screenshot={target.resolve()}", size, page.resolve().as_uri())


def browse(browser: str, profile: str, *arguments: str) -> None:
    fixed = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        f"--user-data-dir={profile}/user",
    ]
    subprocess.run([browser, *fixed, *arguments], capture_output=True, check=True, timeout=120)
