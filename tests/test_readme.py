"""README.md and the pages of the reference do not lie: what they show is what the program prints.

Fenced blocks of kind `console` (commands after `$ `) and `python` (`>>> `) are run in the order of the pages, in a
temporary folder that has a copy of `fixtures/demo`, and must print what stands there. After a wanted change:

    python tests/test_readme.py        writes what is printed now into README.md and pipeline/docs
"""

from __future__ import annotations

import contextlib
import doctest
import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import pytest

from halfinch.fit import read_body

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
DOCS = tuple(ROOT / "pipeline" / "docs" / f"{name}.md" for name in ("index", "python", "sql", "questions"))
BOOKS = {"README": (README,), "reference": DOCS}
"""Pages whose examples are run in one folder, one after the other."""
FENCE = re.compile(r"^```(console|python(?=\n>>>))\n(.*?)^```$", re.DOTALL | re.MULTILINE)
WIDTH = "100"
"""Columns of the terminal."""


def run_console(block: str, folder: Path) -> str:
    """The block as it would look if it were typed now: every command, then all that it prints."""
    commands = [line[2:] for line in block.splitlines() if line.startswith("$ ")]
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])
    shown = []
    for command in commands:
        done = subprocess.run(
            command, shell=True, cwd=folder, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False,
            env={**os.environ, "PATH": path, "COLUMNS": WIDTH, "TERM": "dumb", "HOME": str(folder)},
        )  # fmt: skip
        shown.append(f"$ {command}\n{trimmed(done.stdout)}")
    return "".join(shown)


def run_python(block: str, folder: Path, names: dict[str, Any]) -> str:
    """The examples of a block with what they print now; names last from block to block."""
    shown = []
    before = Path.cwd()
    os.chdir(folder)
    try:
        for example in doctest.DocTestParser().get_examples(block):
            printed = io.StringIO()
            with contextlib.redirect_stdout(printed):
                exec(compile(example.source, "README.md", "single"), names)
            first, *rest = example.source.splitlines()
            shown.append("".join(f"{line}\n" for line in [f">>> {first}", *(f"... {line}" for line in rest)]))
            shown.append(trimmed(printed.getvalue()))
    finally:
        os.chdir(before)
    return "".join(shown)


def trimmed(text: str) -> str:
    return "".join(f"{line.rstrip()}\n" for line in text.strip("\n").splitlines())


def run_examples(pages: tuple[Path, ...], folder: Path) -> list[tuple[Path, str, str]]:
    """(page, as it stands, as it is now) for every block of the pages, in order."""
    shutil.copytree(ROOT / "fixtures" / "demo", folder / "fixtures" / "demo")
    names: dict[str, Any] = {"__name__": "__examples__"}
    found = []
    for page in pages:
        for kind, block in FENCE.findall(page.read_text(encoding="utf-8")):
            now = run_console(block, folder) if kind == "console" else run_python(block, folder, names)
            found.append((page, block, now))
    return found


@pytest.mark.skipif(os.name == "nt", reason="the examples are typed into a POSIX shell")
@pytest.mark.parametrize("book", BOOKS)
def test_examples_print_what_the_page_shows(book: str, tmp_path: Path) -> None:
    examples = run_examples(BOOKS[book], tmp_path)
    assert len(examples) >= 6
    for page, stands, now in examples:
        assert now == stands, f"{page.name}: run `python tests/test_readme.py` if the change is wanted"


@pytest.mark.parametrize("block", re.findall(r"^```toml\n(.*?)^```$", README.read_text(encoding="utf-8"), re.S | re.M))
def test_body_files_of_the_page_are_body_files(block: str) -> None:
    body = read_body(block, "README.md")
    assert body.shoes
    assert not body.warnings


def test_demo_of_the_makefile_is_the_demo_of_the_page() -> None:
    """`make demo` runs the same three commands, on the same sheets and the same body."""
    recipe = (ROOT / "Makefile").read_text(encoding="utf-8").split("\ndemo:")[1].split("\n\n")[0]
    shop = "build/demo/shop.duckdb"
    demo = [
        line.split("halfinch ")[1].split(" ||")[0] for line in recipe.splitlines() if "bin/halfinch " in line.lower()
    ]
    page = README.read_text(encoding="utf-8")
    for command in demo:
        typed = command.replace(shop, "shop.duckdb").replace("build/demo/", "")
        assert f"$ halfinch {typed}" in page


def test_the_two_commands_stand_at_the_top() -> None:
    head = README.read_text(encoding="utf-8").split("\n## ")[1]
    assert "make demo" in head
    assert "make test" in head


def remake() -> None:
    for pages in BOOKS.values():
        with tempfile.TemporaryDirectory() as folder:
            for page, stands, now in run_examples(pages, Path(folder)):
                text = page.read_text(encoding="utf-8")
                page.write_text(text.replace(stands, now, 1), encoding="utf-8")


if __name__ == "__main__":
    remake()
