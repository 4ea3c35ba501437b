"""A log that a power cut tore: the catalogue opens at the last whole entry, says so, and keeps what it put aside."""

from __future__ import annotations

import os
import shutil
import time
import warnings
from pathlib import Path

import duckdb
import pytest
from invented import Shop, figure, sheet

from halfinch.catalogue import store
from halfinch.catalogue.files import sweep_parts, write_whole
from halfinch.catalogue.kept_sheets import keep, kept_path, sweep
from halfinch.errors import CatalogueError, RecoveredWarning

ROWS = 400


@pytest.fixture(scope="module")
def killed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue with one sheet in the file and two more entries in the log: one whole, one to be torn."""
    folder = tmp_path_factory.mktemp("killed")
    shop = Shop(folder)
    shop.land(sheet("a.csv", figure("inseam", 30)))
    connection = duckdb.connect(str(shop.path), config=store.CONFIG)
    connection.execute("PRAGMA disable_checkpoint_on_shutdown")
    connection.execute("PRAGMA wal_autocheckpoint='1TB'")
    for name in ("whole", "torn"):
        connection.execute("BEGIN")
        connection.execute(f"CREATE TABLE {name} AS SELECT i, repeat('x', 100) AS x FROM range({ROWS}) t(i)")
        connection.execute("COMMIT")
    connection.close()
    assert Path(f"{shop.path}.wal").stat().st_size > 20_000
    return folder


def tables_in(shop: Path) -> set[str]:
    with store.reading(shop) as connection:
        rows = connection.execute("SELECT table_name FROM duckdb_tables()").fetchall()
        found = {str(name) for (name,) in rows} & {"whole", "torn"}
        assert all(connection.execute(f"SELECT count(*) FROM {name}").fetchone() == (ROWS,) for name in found)
        assert connection.execute("SELECT count(*) FROM figures").fetchone() == (1,)
    return found


@pytest.mark.parametrize("share", [0.02, 0.3, 0.55, 0.7, 0.9, 0.99])
@pytest.mark.parametrize("writes", [False, True], ids=["a-reader-opens-it", "a-writer-opens-it"])
def test_a_hole_in_the_log_costs_what_was_being_written(
    killed: Path, tmp_path: Path, share: float, writes: bool
) -> None:
    for path in killed.iterdir():
        if path.is_file():
            shutil.copy(path, tmp_path)
    (shop,) = tmp_path.glob("*.duckdb")
    log = Path(f"{shop}.wal")
    data = bytearray(log.read_bytes())
    at = int(len(data) * share) // 512 * 512
    data[at : at + 512] = bytes(len(data[at : at + 512]))
    log.write_bytes(data)
    with warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always")
        if writes:
            with store.writing(shop, "test"):
                pass
        found = tables_in(shop)
    assert found in (set(), {"whole"})
    assert ("whole" in found) or share < 0.5, "a whole entry before the hole stays"
    assert [one.category for one in told if one.category is RecoveredWarning] == [RecoveredWarning]
    (kept,) = tmp_path.glob("*.wal.torn-*")
    assert kept.read_bytes() == data
    assert kept.name in str(told[0].message)


def test_a_damaged_file_is_no_torn_log(killed: Path, tmp_path: Path) -> None:
    """Where the file itself is damaged, nothing is put aside."""
    for path in killed.iterdir():
        if path.is_file():
            shutil.copy(path, tmp_path)
    (shop,) = tmp_path.glob("*.duckdb")
    data = bytearray(shop.read_bytes())
    data[12_288 : 12_288 + 64] = bytes(64)
    shop.write_bytes(data)
    log = Path(f"{shop}.wal").read_bytes()
    with pytest.raises(CatalogueError, match="backup"), store.reading(shop):
        pass
    assert Path(f"{shop}.wal").read_bytes() == log
    assert not list(tmp_path.glob("*.torn-*"))


def test_parts_of_kept_sheets_are_swept_but_not_those_being_written(tmp_path: Path) -> None:
    shop, digest = tmp_path / "shop.duckdb", "ab" * 32
    keep(shop, digest, b"kept")
    folder = kept_path(shop, digest).parent
    import socket

    host = socket.gethostname()[:20]
    orphan = folder / f".{digest[:40]}.{host}-999999999-abc_1234"
    mine = folder / f".{digest[:40]}.{host}-{os.getpid()}-abc_1234"
    elsewhere = folder / f".{digest[:40]}.elsewhere-999999999-abc_1234"
    old = folder / f".{digest}.abc12345"
    begun, making = (tmp_path / f".shop.duckdb.new-{process}" for process in (999999999, os.getpid()))
    for part in (orphan, mine, elsewhere, old, begun, Path(f"{begun}.wal"), making):
        part.write_bytes(b"half")
    os.utime(old, (time.time() - 100_000,) * 2)
    assert sweep(shop) == 4
    assert [path.name for path in tmp_path.glob(".*")] == [making.name]
    assert sorted(folder.iterdir()) == sorted([mine, elsewhere, kept_path(shop, digest)])
    assert sweep(tmp_path / "none.duckdb") == 0


def test_the_part_of_a_file_is_named_for_its_writer(tmp_path: Path) -> None:
    """What a killed process leaves can be told from what a living one writes: by its name alone."""
    seen: list[str] = []

    from halfinch.catalogue import files

    with files.opened_whole(tmp_path / ("n" * 200)) as file:
        seen += [path.name for path in tmp_path.iterdir()]
        file.write(b"x")
    assert [f"-{os.getpid()}-" in name for name in seen] == [True]
    assert sweep_parts(tmp_path) == 0
    write_whole(tmp_path / "a", "x")
    assert {path.name for path in tmp_path.iterdir()} == {"a", "n" * 200}
