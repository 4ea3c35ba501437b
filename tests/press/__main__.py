"""The press from the command line: `python -m tests.press --seeds 400 --start RANDOM --jobs 2`.

`--show SEED` writes that sheet to build/press/ and prints the differences; `--format`, `--layout`, `--language`,
`--noise` fix a dimension. Fresh seeds are drawn each time unless `--start` says where to begin.
"""

from __future__ import annotations

import argparse
import secrets
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from .fault_run import fault_report, print_broken, run_fault
from .foreign import carried, draw_foreign, foreign_report, run_carried, run_foreign
from .plan import Printed, Wish, print_doc, print_sheet
from .same import compare_variants, same_report
from .score import Score, compare, table_of

FACTS = (
    "format",
    "writer",
    "layout",
    "language",
    "unit",
    "unit said",
    "convention",
    "number",
    "system",
    "labels",
    "noise",
    "untidy",
)
BAD = ("not held", "wrong", "invented")


def read(printed: Printed) -> Score:
    """Reads one printed sheet and compares."""
    from halfinch import knowledge, work

    return compare(printed.doc, work.read_sheet(printed.data, printed.name, knowledge.load()))


def run_seed(task: tuple[int, Wish]) -> tuple[int, dict[str, str], Score, float]:
    seed, wish = task
    printed = print_sheet(seed, wish)
    began = time.perf_counter()
    return seed, printed.doc.facts, read(printed), time.perf_counter() - began


def main() -> int:
    options = _parse()
    wish = Wish(options.format, options.layout, options.language, options.noise, options.fault)
    if options.same:
        return same(options, wish)
    if options.foreign:
        return foreign(options, wish)
    if options.faults:
        return faults(options, wish)
    if options.show is not None:
        return show(options.show, wish, Path(options.folder))
    start = secrets.randbelow(10**9) if options.start == "RANDOM" else int(options.start)
    tasks = [(seed, wish) for seed in range(start, start + options.seeds)]
    with ProcessPoolExecutor(options.jobs) as pool:
        done = list(pool.map(run_seed, tasks, chunksize=8))
    sys.stdout.write(report(done, start, wish, options.worst) + "\n")
    return 1 if any(score.silent for _, _, score, _ in done) else 0


def _parse() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.press", description=__doc__)
    parser.add_argument("--seeds", type=int, default=400, help="how many sheets")
    parser.add_argument("--start", default="RANDOM", help="first seed, or RANDOM")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--worst", type=int, default=25, help="how many of the worst sheets to list")
    parser.add_argument("--show", type=int, help="print one seed's sheet again and its differences")
    parser.add_argument("--folder", default="build/press")
    parser.add_argument("--faults", action="store_true", help="break the sheets and count what was caught")
    parser.add_argument("--same", action="store_true", help="one truth printed in several ways: the same figures?")
    parser.add_argument("--foreign", action="store_true", help="documents with nothing of ours in them")
    parser.add_argument("--carried", action="store_true", help="with --foreign: also those that packages carry")
    for name in ("format", "layout", "language", "noise", "fault"):
        parser.add_argument(f"--{name}", default="")
    return parser.parse_args()


def report(done: list[tuple[int, dict[str, str], Score, float]], start: int, wish: Wish, worst: int) -> str:
    """The tables, every seed that failed, and the worst of them with the command that prints one again."""
    lines = [
        f"seeds {start}..{start + len(done) - 1}",
        table_of([(facts, score) for _, facts, score, _ in done], FACTS),
    ]
    slowest = max(done, key=lambda row: row[3])
    crashed = [str(row[0]) for row in done if "itself failed" in row[2].failed]
    lines.append(f"\ncrashed: {len(crashed)} {' '.join(crashed[:20])}")
    right, printed = sum(row[2].tolerances_right for row in done), sum(row[2].tolerances for row in done)
    lines.append(f"tolerances read as printed: {right} of {printed}")
    lines.append(f"slowest: seed {slowest[0]} {slowest[3]:.2f} s; mean {sum(row[3] for row in done) / len(done):.3f} s")
    ranked = sorted(done, key=lambda row: (-row[2].silent, -(row[2].held + row[2].missed)))
    fixed = "".join(f" --{name} {value!r}" for name, value in _wishes(wish))
    lines += failing_seeds(done)
    for seed, facts, score, _ in ranked[:worst]:
        if not (score.silent or score.held or score.missed or score.failed):
            continue
        told = ", ".join(
            f"{facts[name]}" for name in ("writer", "layout", "language", "unit", "unit said", "convention")
        )
        kinds = dict(Counter(slip.kind for slip in score.slips))
        lines.append(f"python -m tests.press --show {seed}{fixed}   # {kinds} of {score.must} | {told} {score.failed}")
        bad = sorted(score.slips, key=lambda slip: slip.kind not in BAD)
        lines += [f"      {slip.kind}: {slip.text}" for slip in bad[:2]]
    return "\n".join(lines)


def failing_seeds(done: list[tuple[int, dict[str, str], Score, float]]) -> list[str]:
    """A line each for silent errors, needless holds and figures missed: all seeds, with how many of their figures."""
    lines = []
    for kind in ("silent", "held", "missed"):
        failed = [(seed, getattr(score, kind), score.must) for seed, _, score, _ in done if getattr(score, kind)]
        told = ", ".join(f"{seed} ({count} of {must})" for seed, count, must in failed)
        lines.append(f"{kind}: {len(failed)} of {len(done)} sheets{': ' if told else ''}{told}")
    return lines


def faults(options: argparse.Namespace, wish: Wish) -> int:
    """Breaks sheets and prints what was caught."""
    start = secrets.randbelow(10**9) if options.start == "RANDOM" else int(options.start)
    if options.show is not None:
        return show_fault(options.show, wish, Path(options.folder))
    with ProcessPoolExecutor(options.jobs) as pool:
        tasks = [(seed, wish) for seed in range(start, start + options.seeds)]
        outcomes = [outcome for outcome in pool.map(run_fault, tasks, chunksize=8) if outcome is not None]
    sys.stdout.write(fault_report(outcomes) + "\n")
    return 1 if any(outcome.slipped for outcome in outcomes) else 0


def foreign(options: argparse.Namespace, wish: Wish) -> int:
    """Reads documents that are none of ours and prints which gave a clean figure."""
    start = secrets.randbelow(10**9) if options.start == "RANDOM" else int(options.start)
    if options.show is not None:
        _, doc = draw_foreign(options.show)
        printed = print_doc(doc, options.show, wish)
        Path(options.folder).mkdir(parents=True, exist_ok=True)
        (Path(options.folder) / printed.name).write_bytes(printed.data)
        sys.stdout.write(f"{Path(options.folder) / printed.name}\n{run_foreign((options.show, wish))}\n")
        return 0
    with ProcessPoolExecutor(options.jobs) as pool:
        rows = list(pool.map(run_foreign, [(seed, wish) for seed in range(start, start + options.seeds)], chunksize=8))
        rows += pool.map(run_carried, carried() if options.carried else [], chunksize=4)
    sys.stdout.write(foreign_report(rows) + "\n")
    return 1 if any(row.clean or row.failed for row in rows) else 0


def same(options: argparse.Namespace, wish: Wish) -> int:
    """One truth in several printings."""
    start = secrets.randbelow(10**9) if options.start == "RANDOM" else int(options.start)
    with ProcessPoolExecutor(options.jobs) as pool:
        tasks = [(seed, wish) for seed in range(start, start + options.seeds)]
        rows = [row for found in pool.map(compare_variants, tasks, chunksize=4) for row in found]
    sys.stdout.write(same_report(rows) + "\n")
    return 1 if any(row.other for row in rows) else 0


def show_fault(seed: int, wish: Wish, folder: Path) -> int:
    printed = print_broken(seed, wish)
    if printed is None:
        sys.stdout.write("this seed gives no sheet for its fault\n")
        return 2
    folder.mkdir(parents=True, exist_ok=True)
    (folder / printed.name).write_bytes(printed.data)
    sys.stdout.write(f"{folder / printed.name}\n{run_fault((seed, wish))}\n")
    return 0


def _wishes(wish: Wish) -> list[tuple[str, str]]:
    return [(name, getattr(wish, name)) for name in ("format", "layout", "language", "noise") if getattr(wish, name)]


def show(seed: int, wish: Wish, folder: Path) -> int:
    printed = print_sheet(seed, wish)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / printed.name
    path.write_bytes(printed.data)
    score = read(printed)
    facts = ", ".join(f"{key}={value}" for key, value in printed.doc.facts.items())
    lines = [
        f"{path}",
        facts,
        f"must {score.must}, read {score.read}, silent {score.silent}, held {score.held}, missed {score.missed}",
    ]
    lines += [f"  {slip.kind}: {slip.text}" for slip in score.slips]
    sys.stdout.write("\n".join([*lines, score.failed]) + "\n")
    return 1 if score.silent else 0


if __name__ == "__main__":
    sys.exit(main())
