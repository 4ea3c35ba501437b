"""Imports into a lake, disturbed at random: the importing program, workers and the whole cluster killed, disks filled.

    python -m tests.wide.trials                  as part of `make trials`
    python -m tests.wide.trials --rounds 5 --seed 7

Every round imports the same sheets into a new lake on a cluster of two workers, with several importers at once now and
then; each is killed (`kill -9`) or its cluster disturbed at a random moment, and run again until it ends well. Then the
lake has to say what an undisturbed catalogue says, and no object may lie there twice.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from halfinch.catalogue.lake import commits, compacting
from halfinch.catalogue.lake.objects import open_objects
from halfinch.work.importing import Options, import_paths

from .dask_processes import ROOT, Dask
from .ground import differences, lay

SHEETS = 24
LONGEST = 25.0
"""Seconds within which something happens."""
MOST = 12
"""Runs after which an import has to have ended well."""


def importer(folder: Path, lake: Path, dask: Dask) -> subprocess.Popen[bytes]:
    """The command as a person runs it."""
    paths = os.pathsep.join([str(ROOT / "pipeline"), str(ROOT)])
    return subprocess.Popen(
        [sys.executable, "-m", "halfinch", "import", str(folder), "--to", str(lake), "--on", dask.address, "-q"],
        env={**os.environ, "PYTHONPATH": paths},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def one_round(rng: random.Random, folder: Path, catalogue: Path, dask: Dask) -> Counter[str]:
    """What happened in one round. Raises AssertionError where the lake says something else in the end."""
    lake, happened = catalogue.with_name("lake"), Counter[str]()
    shutil.rmtree(lake, ignore_errors=True)
    count = rng.choice((1, 1, 2))
    running = [importer(folder, lake, dask) for _ in range(count)]
    for _ in range(MOST):
        time.sleep(rng.uniform(0.5, LONGEST / 3))
        what = rng.choice(("importer", "importer", "worker", "cluster", "nothing"))
        if all(one.poll() is not None for one in running):
            break
        happened[what] += 1
        if what == "importer":
            victim = rng.choice(running)
            victim.send_signal(signal.SIGKILL)
            victim.wait()
        elif what == "worker":
            dask.kill_worker()
        elif what == "cluster":
            dask.restart()
        for number, one in enumerate(running):
            if one.poll() not in (None, 0, 3, 4):
                happened["run again"] += 1
                running[number] = importer(folder, lake, dask)
    for one in running:
        if one.wait(600) not in (0, 3, 4):
            assert importer(folder, lake, dask).wait(600) in (0, 3, 4)
    assert differences(catalogue, lake) == {}
    objects = open_objects(lake)
    compacting.compact(objects, 0)
    assert differences(catalogue, lake) == {}
    assert {entry.name for entry in objects.entries("data")} == commits.listed([commits.newest(objects)])
    happened["commits"] += commits.newest(objects).number
    return happened


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        ground = Path(place) / "ground"
        (Path(place) / "scheduler").mkdir()
        folder = lay(ground / "sheets", SHEETS)
        import_paths(ground / "shop.duckdb", [folder], Options(jobs=0))
        total: Counter[str] = Counter()
        with Dask(2, Path(place) / "scheduler") as dask:
            for number in range(asked.rounds):
                happened = one_round(random.Random(asked.seed + number), folder, ground / "shop.duckdb", dask)
                total += happened
                print(f"round {asked.seed + number}: {dict(happened)}", flush=True)
    print(f"{asked.rounds} imports on a disturbed cluster: {dict(total)}; every lake says what the catalogue says.")


if __name__ == "__main__":
    main()
