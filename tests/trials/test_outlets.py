"""A merchant's text never becomes a command: pushed through a sheet into every outlet."""

from __future__ import annotations

import csv
import json
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest

from halfinch.catalogue import store
from halfinch.catalogue.export import export_table
from halfinch.catalogue.formats.cells import RISKY
from halfinch.work.importing import Options, import_paths

from .ground import environment

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs names of any signs and a pseudo terminal")

STEERS = "\x1b[2J\x1b]0;title\x07\x9b31m\x08\r\u202e\u2066"
MARKUP = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'>{{7*7}}${7*7}"
STEERING = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
SQL = "'; DROP TABLE figures; --"
COMMAND = "::error file=a::b"
STYLES = {
    "steers.json": f"Jeans {STEERS}Lagune",
    "markup.json": f"Jeans {MARKUP}",
    "sql.json": f"Jeans {SQL}",
    "command.json": COMMAND + " jeans",
    **{f"formula-{ord(sign):x}.json": f"{sign}1+cmd|' /C calc'!A0 jeans" for sign in "=+-@\t\r"},
}
NAMED = "\x1b[2J\u202e<b>=x'; DROP TABLE sheets; --\n::error::y.json"


def sheet_of(style: str) -> str:
    sizes = [
        {
            "size": size,
            "waist": f"{28 + at} in",
            "hip": f"{38 + at} in",
            "inseam": "30 in",
            "thigh": f"9{at}9 in {style}",
        }
        for at, size in enumerate(("8", "10", "12"))
    ]
    return json.dumps({"product": {"name": style, "brand": f"Maison {style}", "sku": style, "sizes": sizes}})


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("outlets")
    (folder / "in").mkdir()
    for name, style in {**STYLES, NAMED.replace("/", ""): "Jeans Nomen"}.items():
        (folder / "in" / name).write_text(sheet_of(style), encoding="utf-8")
    (folder / "ana.toml").write_text('waist = "28 in"\nhip = "38 in"\ninseam = "30 in"\n')
    import_paths(folder / "shop.duckdb", [folder / "in"], Options(jobs=0))
    with store.reading(folder / "shop.duckdb") as connection:
        styles = {style for (style,) in connection.execute("SELECT style FROM current_garments").fetchall()}
    assert any(MARKUP in style for style in styles), "else nothing is shown here"
    assert any(SQL in style for style in styles)
    return folder / "shop.duckdb"


RUN = """
import sys
from halfinch.cli import main
for arguments in {commands!r}:
    print("$", *arguments[:1], flush=True)
    try:
        main(arguments)
    except SystemExit:
        pass
"""


def shown_on_a_terminal(folder: Path, commands: list[list[str]]) -> str:
    import pty

    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", RUN.format(commands=commands)],
        cwd=folder, env={**environment(), "COLUMNS": "200", "TERM": "xterm"},
        stdin=theirs, stdout=theirs, stderr=theirs,
    )  # fmt: skip
    os.close(theirs)
    shown = bytearray()
    while True:
        try:
            part = os.read(ours, 65_536)
        except OSError:  # the other end is closed
            break
        if not part:
            break
        shown += part
    process.wait()
    return shown.decode("utf-8", "replace")


def test_a_terminal_is_steered_by_nothing_but_our_colours(shop: Path) -> None:
    commands = [
        *(["read", str(path)] for path in sorted((shop.parent / "in").iterdir())[::3]),
        ["read", str(shop.parent / "in" / "steers.json")],
        ["read", str(shop.parent / "in" / "steers.json"), "--why"],
        ["import", str(shop.parent / "in"), "-c", "again.duckdb", "--jobs", "0", "--all"],
        ["match", "ana.toml", "-c", str(shop), "--top", "50"],
        ["query", f"SELECT '{STEERS}' AS x", "-c", str(shop)],
        ["same", "-c", str(shop)],
        ["read", NAMED],
    ]
    shown = shown_on_a_terminal(shop.parent, commands)
    assert shown.count("$ ") >= len(commands)
    assert "Lagune" in shown
    left = re.sub(r"\x1b\[[0-9;]*m|\x1b\[\?25[hl]|\x1b\[[0-9]*[KAG]|\x1b\[1A\x1b\[2K", "", shown.replace("\r\n", "\n"))
    assert [line for line in left.splitlines() if STEERING.search(line)] == []
    assert "\x1b[2J" not in shown
    assert "\x1b]" not in shown
    assert "\x1b[31m\x1b" not in shown


def test_no_cell_of_an_export_is_a_formula(shop: Path, tmp_path: Path) -> None:
    for table in ("figures", "sizes", "garments", "sheets"):
        export_table(shop, table, "csv", tmp_path / f"{table}.csv")
        with (tmp_path / f"{table}.csv").open(encoding="utf-8", newline="") as file:
            cells = [cell for row in csv.reader(file) for cell in row]
        numbers = re.compile(r"-?\d+(\.\d+)?")
        assert [cell for cell in cells if cell and cell[0] in RISKY and not numbers.fullmatch(cell)] == []


def test_no_cell_of_a_workbook_is_a_formula(shop: Path, tmp_path: Path) -> None:
    from openpyxl import load_workbook

    export_table(shop, "figures", "xlsx", tmp_path / "f.xlsx")
    kinds = {
        (cell.data_type, bool(cell.hyperlink))
        for sheet in load_workbook(tmp_path / "f.xlsx")
        for row in sheet
        for cell in row
    }
    assert "f" not in {kind for kind, _ in kinds}
    assert not any(link for _, link in kinds)


class Page(HTMLParser):
    """What a browser would run or fetch of a page, as far as a merchant could have put it there."""

    def __init__(self) -> None:
        super().__init__()
        self.odd: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name.startswith("on") or (value or "").strip().lower().startswith("javascript:") or value == "x":
                self.odd.append(f"{tag} {name}={value}")

    def handle_data(self, data: str) -> None:
        if self.cdata_elem == "script" and "alert(1)" in data:
            self.odd.append(data[:80])


def test_no_page_runs_a_merchants_markup(shop: Path, tmp_path: Path) -> None:
    commands = [
        ["report", "-c", str(shop), "--output", str(tmp_path / "report.html")],
        ["paper", "client", "ana.toml", "-c", str(shop), "--output", str(tmp_path / "client.html")],
    ]
    shown = shown_on_a_terminal(shop.parent, commands)
    pages = sorted(tmp_path.rglob("*.html"))
    assert pages, shown
    for path in pages:
        page = Page()
        page.feed(path.read_text(encoding="utf-8"))
        assert page.odd == [], path.name
        assert "<img src=x" not in path.read_text(encoding="utf-8").split("<script")[0]


def test_the_catalogue_and_the_log_hold_the_text_and_nothing_happened(shop: Path) -> None:
    with store.reading(shop) as connection:
        names = {name for (name,) in connection.execute("SELECT table_name FROM duckdb_tables()").fetchall()}
        rows = connection.execute("SELECT sheet, source FROM receipts JOIN sheets USING (sheet_id)").fetchall()
    assert {"figures", "sheets"} <= names
    assert all(text.isprintable() for row in rows for text in row)
    assert any("\\x1b" in source and "\\x0a" in source for _, source in rows), "spelt, so that names stay apart"
    assert not (shop.parent / "pwned").exists()
