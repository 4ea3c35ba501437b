"""Kill -9 at any moment: the import and its workers are gone between one instruction and the next."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from .ground import ROOT, Ground, command, environment, faults_after, faults_of, figures_by_sheet, run_import


@dataclass(frozen=True, slots=True)
class Kill:
    """One trial."""

    number: int
    after: float
    """Seconds from the start to the kill."""
    killed: bool
    """False where the import was done before."""
    sheets: int
    """Sheets that the catalogue held then."""
    faults: tuple[str, ...]


def time_of(ground: Ground, folder: Path) -> float:
    """Seconds that the import takes undisturbed, by the clock."""
    (folder / "timed").mkdir()
    began = time.monotonic()
    run_import(ground.sheets, folder / "timed" / "shop.duckdb", "--jobs", "0")
    return time.monotonic() - began


def kill_one(ground: Ground, folder: Path, number: int, longest: float, rng: random.Random) -> Kill:
    """Starts the import, kills it after a random time, and looks at what it left; then lets it finish."""
    place = folder / f"kill-{number}"
    place.mkdir()
    catalogue = place / "shop.duckdb"
    after = rng.uniform(0.0, longest)
    process = subprocess.Popen(
        command(ground.sheets, catalogue, "--jobs", str(rng.choice((0, 1, 2)))),
        cwd=ROOT, env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    try:
        process.wait(after)
        killed = False
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        killed = True
    faults = faults_of(ground, catalogue)
    held = len(figures_by_sheet(catalogue)) if catalogue.exists() and not faults else 0
    faults = faults or faults_after(ground, catalogue)
    if not faults:
        shutil.rmtree(place)
    return Kill(number, after, killed, held, tuple(faults))
