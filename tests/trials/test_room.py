"""A disk that fills up, and one that may not be written: one sentence, whole sheets only, the same command ends it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from .ground import ENDED, Ground, command, content, environment, faults_after, faults_of, lay_ground


def mounted(place: Path, options: str) -> bool:
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place)], capture_output=True, check=False
    )
    return done.returncode == 0


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Ground:
    return lay_ground(tmp_path_factory.mktemp("room"), 4, 4_200_000)


@pytest.fixture
def small_disk(ground: Ground) -> Iterator[Path]:
    """A disk of its own, beside the sheets: garments without a name are known by their source, seen from here."""
    place = ground.sheets.parent / "disk"
    place.mkdir(exist_ok=True)
    if sys.platform != "linux" or os.geteuid() != 0 or shutil.which("mount") is None or not mounted(place, "size=1m"):
        pytest.skip("a disk that fills up needs the right to mount one")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=False)


def remount(place: Path, options: str) -> None:
    subprocess.run(["mount", "-o", f"remount,{options}", str(place)], check=True)


def told(ground: Ground, catalogue: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command(ground.sheets, catalogue, "--jobs", "0"), env=environment(), capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("kilobytes", [40, 2_800, 3_300])
def test_a_disk_that_fills_up(ground: Ground, small_disk: Path, kilobytes: int) -> None:
    remount(small_disk, f"size={kilobytes}k")
    catalogue = small_disk / "shop.duckdb"
    done = told(ground, catalogue)
    assert done.returncode in (2, *ENDED), done.stderr
    assert "Traceback" not in done.stderr
    if done.returncode == 2:
        assert done.stderr.startswith("halfinch: ")
        assert len(done.stderr.strip().splitlines()) == 1
    remount(small_disk, "size=100m")
    assert faults_of(ground, catalogue) == []
    assert faults_after(ground, catalogue) == []


def test_a_folder_that_may_not_be_written(ground: Ground, small_disk: Path) -> None:
    remount(small_disk, "size=100m")
    catalogue = small_disk / "shop.duckdb"
    assert told(ground, catalogue).returncode in ENDED
    remount(small_disk, "ro")
    assert content(catalogue) == ground.whole, "it is read as ever"
    (ground.sheets / "new.csv").write_text("Women's jeans\nSize,8,10\nInseam (in),30,30\nWaist (in),28,29\n")
    try:
        done = told(ground, catalogue)
    finally:
        (ground.sheets / "new.csv").unlink()
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("halfinch: ")
    assert "Read-only file system" in done.stderr or "writable" in done.stderr
