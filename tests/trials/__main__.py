"""Counts what kills and power cuts leave: `python -m tests.trials --kills 200 --cuts 600`."""

from __future__ import annotations

import argparse
import random
import shutil
import sys

from .ground import ROOT, lay_ground
from .kills import kill_one, time_of
from .power import cut_one, record


def main() -> int:
    """Prints the counts and every trial that went wrong; 1 where there is one."""
    parser = argparse.ArgumentParser(prog="python -m tests.trials", description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--cuts", type=int, default=600)
    parser.add_argument(
        "--finish", type=int, default=10, help="after every how many cuts the same command is run again"
    )
    parser.add_argument("--torn", action="store_true", help="what was not synced lands in pieces, in any order")
    parser.add_argument("--sheets", type=int, default=24)
    parser.add_argument("--seed", type=int, default=random.randrange(10**9))
    options = parser.parse_args()
    folder = ROOT / "build" / "trials"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    rng = random.Random(options.seed)
    ground = lay_ground(folder, options.sheets, options.seed)
    figures = len(ground.whole["figures"])
    sys.stdout.write(f"{options.sheets} sheets, {figures} figures, seed {options.seed}\n")
    bad = 0
    if options.kills:
        longest = 1.1 * time_of(ground, folder)
        kills = [kill_one(ground, folder, number, longest, rng) for number in range(options.kills)]
        wrong = [kill for kill in kills if kill.faults]
        half = sum(0 < kill.sheets < options.sheets for kill in kills)
        sys.stdout.write(
            f"{sum(kill.killed for kill in kills)} of {len(kills)} imports killed before their end, "
            f"{half} of them with some sheets landed and some not: {len(wrong)} left something wrong\n"
        )
        sys.stdout.writelines(f"  kill {kill.number} after {kill.after:.2f} s: {kill.faults[0]}\n" for kill in wrong)
        bad += len(wrong)
    if options.cuts and shutil.which("strace") is None:
        sys.stdout.write("no power cuts: strace is not installed (Debian: apt install strace)\n")
    elif options.cuts:
        place = folder / "recorded"
        changes = record(ground, place)
        cuts = [
            cut_one(ground, changes, place, folder, number, rng, number % options.finish == 0, options.torn)
            for number in range(options.cuts)
        ]
        torn = [cut for cut in cuts if cut.faults]
        sys.stdout.write(
            f"{len(cuts)} power cuts in {len(changes)} changes of files, {sum(cut.finished for cut in cuts)} of them "
            f"with the import run again: {len(torn)} left something wrong\n"
        )
        sys.stdout.writelines(f"  cut {cut.number} after change {cut.at}: {cut.faults[0]}\n" for cut in torn)
        bad += len(torn)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
