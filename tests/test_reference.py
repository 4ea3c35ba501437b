"""The rendered reference: it builds without a warning, and nothing of the public face is missing from it."""

from __future__ import annotations

import subprocess
import sys
from html import unescape
from pathlib import Path

import pytest

import halfinch
from halfinch.catalogue.for_analysts import all_macros
from halfinch.catalogue.tables import TABLES

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("docs")
    command = [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", "-b", "html"]
    command += ["-d", str(folder / "trees"), str(ROOT / "pipeline" / "docs"), str(folder / "html")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder / "html"


def test_every_public_name_is_told(pages: Path) -> None:
    text = (pages / "python.html").read_text(encoding="utf-8")
    missing = [name for name in halfinch.__all__ if f'id="halfinch.{name}"' not in text]
    assert missing == ["__version__", "HalfinchError"]  # the error stands under the module it comes from
    methods = ("add", "figures", "sizes", "match", "sql", "arrow")
    assert all(f'id="halfinch.OpenCatalogue.{name}"' in text for name in methods)
    assert all(word in text for word in ("Parameters", "Returns", "Raises", "halfinch.errors.HalfinchError"))


def test_tables_and_macros_are_told_with_their_units(pages: Path) -> None:
    text = unescape((pages / "sql.html").read_text(encoding="utf-8"))
    assert "<!--" not in text.split("<article")[1].split("</article")[0]
    assert [table.name for table in TABLES if f">{table.name}</span>" not in text] == []
    assert [macro.name for macro in all_macros() if macro.means.split(",")[0] not in text] == []
    assert "inches, full girth or length, from length_nm" in text


def test_the_pages_load_nothing_from_elsewhere(pages: Path) -> None:
    """They are read from a folder, without a network."""
    for page in pages.glob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert [part for part in text.split("<script")[1:] if 'src="http' in part.split(">")[0]] == []
        assert [
            part for part in text.split("<link")[1:] if 'stylesheet"' in part and 'href="http' in part.split(">")[0]
        ] == []
