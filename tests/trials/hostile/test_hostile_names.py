"""Names that are commands somewhere else, and links that lead out of the folder or in a ring."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from halfinch.catalogue import store
from halfinch.work.importing import Options, import_paths

from .corpus import FIGURES, HONEST

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="names of any bytes, and links")

NAMES = {
    "newline": b"a\nb.csv",
    "carriage-return": b"over\rwritten.csv",
    "escape": b"\x1b[2J\x1b]0;title\x07.csv",
    "c1-escape": "\x9b31m.csv".encode(),
    "no-utf8": b"\xff\xfe\xe9.csv",
    "longest": b"n" * 251 + b".csv",
    "an-option": b"--help.csv",
    "an-option-of-rm": b"-rf",
    "sql": b"'; DROP TABLE figures; --.csv",
    "shell": b"$(touch pwned) `id` | id ; id.csv",
    "format": b"%s%n%x{0}{name!r}.csv",
    "markup": b"<script>alert(1)<&#47;script>.csv",
    "rich-markup": b"[red]x[bold] [link=http:].csv",
    "workflow-command": b"::error file=x::y.csv",
    "backwards": "\u202egnp.exe\u2066.csv".encode(),
    "blanks": b"  .csv",
    "dots": b"...csv",
    "a-formula": b"=1+1.csv",
    "nobody-sees-it": "\u200b\u2060.csv".encode(),
    "a-device": b"CON.csv",
    "a-glob": b"*?[a].csv",
    "a-backslash": b"C:\\..\\etc\\passwd.csv",
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("names")
    inside, outside = place / "in", place / "out"
    for each in (inside, outside):
        each.mkdir()
    for number, name in enumerate(NAMES.values()):
        path = os.path.join(os.fsencode(inside), name)
        Path(os.fsdecode(path)).write_text(HONEST.replace("Lagune", f"Lagune {'abcdefghijklmnopqrstuvwxyz'[number]}"))
    (outside / "secret.csv").write_text(HONEST.replace("Lagune", "Secret"))
    (inside / "out.csv").symlink_to(outside / "secret.csv")
    (inside / "outside").symlink_to(outside)
    (inside / "up").symlink_to("..")
    (inside / "ring").symlink_to("ring")
    (inside / "a-ring").symlink_to("b-ring")
    (inside / "b-ring").symlink_to("a-ring")
    (inside / "nowhere.csv").symlink_to("/nonexistent/sheet.csv")
    (inside / "passwd.csv").symlink_to("/etc/passwd")
    (inside / "zero.csv").symlink_to("/dev/zero")
    return place


def test_every_name_is_a_name_and_no_link_leads_out(folder: Path) -> None:
    catalogue = folder / "shop.duckdb"
    report = import_paths(catalogue, [folder / "in"], Options(jobs=0))
    assert sorted({line.outcome for line in report.lines}) == ["read"]
    told = (name.decode("utf-8", "replace") for name in NAMES.values())
    names = {"".join(sign if sign.isprintable() else f"\\x{ord(sign):02x}" for sign in name) for name in told}
    assert names - {line.sheet for line in report.lines} == {"...csv"}, "which is a hidden file"
    assert {line.accepted + line.assumed for line in report.lines} == {FIGURES}
    with store.reading(catalogue) as connection:
        styles = connection.execute("SELECT DISTINCT style FROM current_garments").fetchall()
        sources = [source for (source,) in connection.execute("SELECT source FROM receipts").fetchall()]
    assert len(styles) == len(NAMES) - 1
    assert not any("Secret" in style for (style,) in styles)
    assert len(set(sources)) == len(sources)
    assert sorted(path.name for path in folder.iterdir()) == [
        "in", "out", "shop.duckdb", "shop.duckdb.lock", "shop.duckdb.sheets",
    ]  # fmt: skip


def test_a_link_given_by_name_is_followed(folder: Path) -> None:
    """Whoever names a link means what lies behind it; only a folder's content is not trusted to lead elsewhere."""
    report = import_paths(folder / "other.duckdb", [folder / "in" / "out.csv"], Options(jobs=0))
    assert [line.outcome for line in report.lines] == ["read"]
    (folder / "other.duckdb").unlink()
