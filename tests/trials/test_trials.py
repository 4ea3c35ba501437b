"""A few kills and power cuts; `python -m tests.trials` makes hundreds."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from .ground import Ground, lay_ground
from .kills import kill_one, time_of
from .power import Change, Disk, cut_one, record


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("trials")


@pytest.fixture(scope="module")
def ground(folder: Path) -> Ground:
    ground = lay_ground(folder, 6, 4_100_000)
    assert len(ground.whole["figures"]) > 100
    return ground


def test_a_killed_import_leaves_whole_sheets_and_can_be_finished(ground: Ground, folder: Path) -> None:
    rng, longest = random.Random(41), time_of(ground, folder)
    kills = [kill_one(ground, folder, number, longest, rng) for number in range(3)]
    assert any(kill.killed for kill in kills)
    assert not [kill for kill in kills if kill.faults]


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not installed (Debian: apt install strace)")
def test_a_power_cut_leaves_whole_sheets_and_can_be_finished(ground: Ground, folder: Path) -> None:
    rng, place = random.Random(42), folder / "recorded"
    changes = record(ground, place)
    assert {"make", "write", "sync", "rename", "remove"} <= {change.kind for change in changes}
    cuts = [cut_one(ground, changes, place, folder, number, rng, number == 20) for number in range(40)]
    assert not [cut for cut in cuts if cut.faults]


def disk_of(*changes: Change) -> Disk:
    disk = Disk()
    for change in changes:
        disk.take(change)
    return disk


def test_what_was_not_synced_may_be_lost() -> None:
    made = (
        Change("make", "/a"),
        Change("write", "/a", 0, b"one"),
        Change("sync", "/a"),
        Change("write", "/a", 3, b"two"),
    )
    found = {disk_of(*made).after_the_cut(random.Random(seed))["/a"] for seed in range(50)}
    assert found == {b"one", b"onetwo"}


def test_a_replaced_file_is_the_old_one_or_the_new() -> None:
    made = (
        Change("make", "/a"), Change("write", "/a", 0, b"old"), Change("sync", "/a"),
        Change("make", "/.a"), Change("write", "/.a", 0, b"new"), Change("sync", "/.a"),
        Change("rename", "/.a", to="/a"),
    )  # fmt: skip
    found = {disk_of(*made).after_the_cut(random.Random(seed))["/a"] for seed in range(50)}
    assert found == {b"old", b"new"}


def test_a_file_replaced_without_a_sync_may_be_empty() -> None:
    made = (
        Change("make", "/.a"), Change("write", "/.a", 0, b"new"), Change("rename", "/.a", to="/a"),
        Change("make", "/b"), Change("sync", "/b"),
    )  # fmt: skip
    found = {disk_of(*made).after_the_cut(random.Random(seed))["/a"] for seed in range(50)}
    assert found == {b"", b"new"}
