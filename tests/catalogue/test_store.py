"""The file: locked, shared, refused when it is not ours, whole after a kill, upgraded after a backup."""

from __future__ import annotations

import contextlib
import gzip
import json
import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import duckdb
import pytest
from invented import Shop, figure, sheet

from halfinch.catalogue import sharing, store, tables
from halfinch.catalogue.backup import back_up
from halfinch.catalogue.kept_sheets import fetch, keep
from halfinch.errors import CatalogueError, HalfinchError

HERE = Path(__file__).parent


def refusal(path: Path) -> str:
    """The one sentence with which reading and writing refuse a file; the file is left as it was."""
    before = path.read_bytes() if path.is_file() else None
    sentences = []
    for opened in (store.reading(path, 0.1), store.writing(path, "test", 0.1, create=True)):
        with pytest.raises(CatalogueError) as caught, opened:
            pass
        sentences.append(str(caught.value))
    assert sentences[0] == sentences[1]
    assert "\n" not in sentences[0]
    assert path.name in sentences[0]
    assert (path.read_bytes() if path.is_file() else None) == before
    return sentences[0]


def test_a_file_that_is_no_duckdb_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.duckdb"
    path.write_bytes(b"style,size\n" * 50)
    assert "no catalogue" in refusal(path)
    path.write_bytes(b"")
    assert "is empty" in refusal(path)


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    lite = tmp_path / "lite.db"
    with sqlite3.connect(lite) as connection:
        connection.execute("CREATE TABLE meta (schema_version INTEGER)")
    connection.close()
    assert "no catalogue" in refusal(lite)
    foreign = tmp_path / "foreign.duckdb"
    with duckdb.connect(str(foreign)) as other:
        other.execute("CREATE TABLE t (a INTEGER)")
    assert "no halfinch catalogue" in refusal(foreign)


def test_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "shop.duckdb").mkdir()
    assert "is a folder" in refusal(tmp_path / "shop.duckdb")


def test_a_newer_catalogue_is_refused(shop: Shop) -> None:
    with store.writing(shop.path) as connection:
        connection.execute("UPDATE meta SET schema_version = 99")
    assert "newer" in refusal(shop.path)


@pytest.mark.parametrize("kept", [5_000, 50_000])
def test_a_catalogue_cut_short_is_refused(shop: Shop, kept: int) -> None:
    shop.path.write_bytes(shop.path.read_bytes()[:kept])
    assert "damaged or cut short" in refusal(shop.path)


def test_a_missing_catalogue_is_named_and_not_made_by_reading(tmp_path: Path) -> None:
    with pytest.raises(CatalogueError, match="no catalogue at"), store.reading(tmp_path / "shop.duckdb"):
        pass
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    path = tmp_path / "no" / "shop.duckdb"
    with pytest.raises(CatalogueError, match="does not exist"), store.writing(path, create=True):
        pass


def test_what_fails_in_the_middle_leaves_nothing(shop: Shop) -> None:
    with pytest.raises(duckdb.CatalogException), store.writing(shop.path) as connection:
        connection.execute("INSERT INTO sources VALUES ('a', 'b'); INSERT INTO no_such VALUES (1)")
    assert shop.ask("FROM sources") == []


def test_who_waits_too_long_is_told_who_holds_the_lock(shop: Shop) -> None:
    opened = store.writing(shop.path, "test", 0.1)
    with store.locked(shop.path, "import"), pytest.raises(CatalogueError) as caught, opened:
        pass
    assert f"process {os.getpid()}, import" in str(caught.value)
    with store.writing(shop.path, "test", 0.1):
        pass


def test_readers_and_writers_of_one_program_wait_for_each_other(shop: Shop) -> None:
    with store.reading(shop.path):
        writer = threading.Thread(target=shop.land, args=(sheet("a.csv", figure("inseam", 29)),))
        writer.start()
        time.sleep(0.1)
    writer.join(20)
    assert shop.sizes("inseam") == {("8", ""): (29.0,)}


def test_readers_by_turns_leave_a_writer_its_gap(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    over = threading.Event()

    def read_on() -> None:
        while not over.is_set():
            with store.reading(shop.path, 20):
                time.sleep(0.02)

    readers = [threading.Thread(target=read_on) for _ in range(8)]
    for reader in readers:
        reader.start()
    try:
        for number in range(5):
            with store.writing(shop.path, "test", 5) as connection:
                connection.execute("INSERT INTO sources VALUES (?, '')", [str(number)])
    finally:
        over.set()
        for reader in readers:
            reader.join(20)
    assert shop.ask("SELECT count(*) FROM sources WHERE length(source) = 1") == [(5,)]


def _python(code: str, *arguments: object) -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(HERE), *filter(None, sys.path)])}
    command = [sys.executable, "-c", code, *map(str, arguments)]
    return subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)


HOLDER = """
import sys, duckdb
connection = duckdb.connect(sys.argv[1])
print("open", flush=True)
sys.stdin.readline()
"""


def test_a_file_that_another_program_keeps_open_is_waited_for(shop: Shop) -> None:
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(shop.path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert holder.stdout is not None
    assert holder.stdin is not None
    assert holder.stdout.readline() == "open\n"
    for opened in (store.reading(shop.path, 0.1), store.writing(shop.path, "test", 0.1)):
        with pytest.raises(CatalogueError, match="open in another program"), opened:
            pass
    threading.Timer(0.2, lambda: holder.communicate("\n", timeout=20)).start()
    with store.reading(shop.path, 20):
        pass
    assert holder.wait(20) == 0


WRITER = """
import sys
from pathlib import Path
from invented import Shop, figure, sheet
shop = Shop(Path(sys.argv[1]))
for number in range(int(sys.argv[3])):
    name = f"{sys.argv[2]}-{number}.csv"
    shop.land(sheet(name, *(figure("inseam", 20 + i / 8, str(i)) for i in range(40))))
    print(name, flush=True)
"""


def test_two_writers_at_once_both_land(shop: Shop) -> None:
    writers = [_python(WRITER, shop.path.parent, name, 4) for name in ("a", "b")]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    for writer in writers:
        assert writer.stdout is not None
        writer.stdout.close()
    assert shop.ask("SELECT count(*) FROM current_sheets") == [(8,)]
    assert shop.ask("SELECT DISTINCT count(*) FROM figures GROUP BY sheet") == [(40,)]


def test_a_kill_in_the_middle_leaves_whole_sheets_only(shop: Shop) -> None:
    writer = _python(WRITER, shop.path.parent, "a", 10_000)
    assert writer.stdout is not None
    landed = [writer.stdout.readline().strip() for _ in range(3)]
    time.sleep(0.05)
    os.kill(writer.pid, signal.SIGKILL)
    writer.wait(20)
    writer.stdout.close()
    assert shop.ask("SELECT DISTINCT count(*) FROM figures GROUP BY sheet") == [(40,)]
    sheets = {row[0] for row in shop.ask("SELECT sheet FROM current_sheets")}
    assert set(landed) <= sheets
    shop.land(sheet("after.csv", figure("inseam", 29)))
    assert len(shop.ask("FROM current_sheets")) == len(sheets) + 1


SCHEMA_1 = HERE.parent / "data" / "catalogue-schema-1.duckdb.gz"
"""The demo, imported by the program that wrote schema version 1."""


def test_a_catalogue_of_schema_1_is_upgraded_and_says_the_same(tmp_path: Path) -> None:
    path = tmp_path / "old.duckdb"
    path.write_bytes(gzip.decompress(SCHEMA_1.read_bytes()))
    every = "SELECT * FROM sizes ORDER BY ALL"
    with duckdb.connect(str(path), read_only=True) as old:
        before = old.execute(every).fetchall()
    with store.reading(path) as connection:
        assert connection.execute("SELECT schema_version FROM meta").fetchall() == [(tables.SCHEMA_VERSION,)]
        assert connection.execute(every).fetchall() == before
        assert connection.execute("SELECT kept, count(*) FROM kept_or_told GROUP BY kept").fetchall() == [(True, 77)]
    assert path.with_name(f"old.duckdb.before-schema-{tables.SCHEMA_VERSION}").exists()


NEXT = tables.SCHEMA_VERSION + 1


def test_an_older_catalogue_is_upgraded_after_a_backup(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    monkeypatch.setattr(tables, "SCHEMA_VERSION", NEXT)
    with pytest.raises(CatalogueError, match="too old"), store.reading(shop.path):
        pass
    step = {NEXT - 1: lambda connection: connection.execute("CREATE TABLE more (a INTEGER)")}
    monkeypatch.setattr(store, "UPGRADES", step)
    with store.reading(shop.path) as connection:
        assert connection.execute("SELECT schema_version FROM meta").fetchall() == [(NEXT,)]
        assert connection.execute("SELECT count(*) FROM more").fetchall() == [(0,)]
    kept = shop.path.with_name(f"shop.duckdb.before-schema-{NEXT}")
    with duckdb.connect(str(kept), read_only=True) as before:
        assert before.execute("SELECT schema_version FROM meta").fetchall() == [(NEXT - 1,)]
        assert before.execute("SELECT count(*) FROM figures").fetchall() == [(1,)]


def test_an_upgrade_that_fails_changes_nothing(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    def step(connection: duckdb.DuckDBPyConnection) -> None:
        connection.execute("DROP TABLE taped")
        raise ZeroDivisionError

    with monkeypatch.context() as changed:
        changed.setattr(tables, "SCHEMA_VERSION", NEXT)
        changed.setattr(store, "UPGRADES", {NEXT - 1: step})
        with pytest.raises(ZeroDivisionError), store.reading(shop.path):
            pass
    assert shop.ask("FROM taped") == []


def test_a_backup_reads_back_the_same_and_brings_the_kept_sheets(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    digest = "ab" + "0" * 62
    keep(shop.path, digest, b"bytes")
    target = back_up(shop.path, shop.path.with_name("copy.duckdb"))
    assert Shop(target.parent, target.name).sizes("inseam") == {("8", ""): (29.0,)}
    assert (target.with_name("copy.duckdb.sheets") / "ab" / digest).read_bytes() == b"bytes"
    with pytest.raises(CatalogueError, match="exists already"):
        back_up(shop.path, target)
    named = back_up(shop.path)
    assert named.parent == shop.path.parent
    assert back_up(shop.path) != named
    with pytest.raises(CatalogueError, match="does not exist"):
        back_up(shop.path, shop.path.parent / "no" / "x.duckdb")


def test_kept_bytes_that_changed_are_not_trusted(tmp_path: Path) -> None:
    from halfinch.catalogue.identity import sheet_digest

    catalogue = tmp_path / "shop.duckdb"
    digest = sheet_digest(b"one")
    keep(catalogue, digest, b"one")
    keep(catalogue, digest, b"one")
    assert fetch(catalogue, digest) == b"one"
    (tmp_path / "shop.duckdb.sheets" / digest[:2] / digest).write_bytes(b"two")
    assert fetch(catalogue, digest) is None
    assert fetch(catalogue, "ff" * 32) is None


def test_frames_of_one_moment(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    figures, sizes = store.read_frames(shop.path, "current_figures", "sizes")
    assert list(figures["inches"]) == [29.0]
    assert list(sizes["inseam"]) == [29.0]
    with pytest.raises(HalfinchError, match="no table"):
        store.read_frames(shop.path, "figures; DROP TABLE figures")


def test_readers_do_not_wait_for_a_writer_of_their_program(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    for _ in range(3):
        with store.writing(shop.path, "test", 5) as connection:
            connection.execute("INSERT INTO sources VALUES ('b', '')")
            begun = time.monotonic()
            before = shop.ask("SELECT count(*) FROM sources")
            assert time.monotonic() - begun < 1
        assert shop.ask("SELECT count(*) FROM sources") == [(before[0][0] + 1,)]


def test_a_reader_sees_one_moment_whatever_is_written_beside_it(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    count = "SELECT count(*) FROM sources"
    with contextlib.ExitStack() as later:
        with store.writing(shop.path, "test", 5) as connection:
            reader = later.enter_context(store.reading(shop.path))
            before = reader.execute(count).fetchall()
            connection.execute("INSERT INTO sources VALUES ('b', '')")
        assert reader.execute(count).fetchall() == before
        with pytest.raises(duckdb.TransactionException, match="read-only"):
            reader.execute("INSERT INTO sources VALUES ('c', '')")
    assert shop.ask(count) == [(before[0][0] + 1,)]


def test_who_reads_already_does_not_stand_aside_for_another_program(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    holder = {"user": "Ben", "host": "elsewhere", "process": 1, "doing": "import", "since": "now"}
    with store.reading(shop.path):
        Path(f"{shop.path}.lock.holder").write_text(json.dumps(holder), encoding="utf-8")
        begun = time.monotonic()
        assert shop.ask("SELECT count(*) FROM current_sheets") == [(1,)]
        assert time.monotonic() - begun < store.POLITE


def test_who_reads_already_reads_on_while_a_writer_waits(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    with store.reading(shop.path):
        writer = Visit(shop, write=True)
        until(lambda: sharing.shared(shop.path).writers_wait == 1)
        begun = time.monotonic()
        with store.reading(shop.path, 20) as again:
            assert again.execute("SELECT count(*) FROM current_sheets").fetchall() == [(1,)]
        assert time.monotonic() - begun < 5
        assert not writer.inside.is_set()
    assert writer.inside.wait(30)
    writer.leave()


class Visit(threading.Thread):
    """Has the catalogue open until it is told to go."""

    def __init__(self, shop: Shop, *, write: bool = False) -> None:
        super().__init__(daemon=True)
        self.shop, self.write = shop, write
        self.inside, self.go = threading.Event(), threading.Event()
        self.start()

    def run(self) -> None:
        path = self.shop.path
        with store.writing(path, "test", 30) if self.write else store.reading(path, 30):
            self.inside.set()
            self.go.wait(30)

    def leave(self) -> None:
        self.go.set()
        self.join(30)


def until(what: Callable[[], bool]) -> None:
    end = time.monotonic() + 30
    while not what():
        assert time.monotonic() < end
        time.sleep(0.005)


def test_readers_wait_for_one_writer_at_most(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reader who was there before keeps a writer waiting; who comes then reads beside that writer, and another one
    who comes after the writers' turn reads before the next of them."""
    monkeypatch.setattr(sharing, "TURN", 0.0)
    open_now = sharing.shared(shop.path)
    early = Visit(shop)
    assert early.inside.wait(30)
    first = Visit(shop, write=True)
    until(lambda: open_now.writers_wait == 1)
    beside = Visit(shop)
    until(lambda: open_now.readers_wait == 1)
    early.leave()
    assert first.inside.wait(30)
    assert beside.inside.wait(30)
    second = Visit(shop, write=True)
    first.leave()
    until(lambda: open_now.writers_wait == 1)
    late = Visit(shop)
    until(lambda: open_now.readers_wait == 1)
    beside.leave()
    assert late.inside.wait(30)
    assert not second.inside.is_set()
    late.leave()
    assert second.inside.wait(30)
    second.leave()
