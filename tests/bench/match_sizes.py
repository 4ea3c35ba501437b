"""Matching and browsing catalogues of 10^4 to 10^7 invented sizes, beside a bare scan of the same columns.

    python tests/bench/match_sizes.py            all of it, as part of `make bench`; writes build/bench-match.json
    python tests/bench/match_sizes.py --sizes 1000000

    scan     DuckDB adds up every column that a judgement can ask for (judge_sql.READ), nothing else
    match    `find_matches`: the 100 best for one body with their whole plans, from opening the file on
    pages    `browse_sizes`: median of a first page, a filtered one, and one of what fits the body

Seconds of the processor and by the clock; the best of three, peak memory of the process in MB. The catalogues are kept
in build/ for the next time.
"""

from __future__ import annotations

import argparse
import json
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from many_sizes import make_sizes

ROOT = Path(__file__).resolve().parents[2]
BODY = ROOT / "fixtures" / "demo" / "bodies" / "ottilie.toml"
SIZES = (10_000, 100_000, 1_000_000, 10_000_000)
TOP = 100


def catalogue_of(count: int) -> Path:
    path = ROOT / "build" / f"bench-sizes-{count}.duckdb"
    if not path.exists():
        path.parent.mkdir(exist_ok=True)
        unfinished = path.with_suffix(".part")
        unfinished.unlink(missing_ok=True)
        make_sizes(unfinished, count)
        unfinished.rename(path)
    return path


def clock(work: Callable[[], object], repeats: int = 3) -> dict[str, float]:
    """Best seconds of the processor and by the clock, and the median by the clock."""
    cpu, wall = [], []
    for _ in range(repeats):
        start, began = time.perf_counter(), time.process_time()
        work()
        cpu.append(time.process_time() - began)
        wall.append(time.perf_counter() - start)
    return {"cpu": min(cpu), "wall": min(wall), "median_cpu": statistics.median(cpu), "median": statistics.median(wall)}


def measure(path: Path) -> dict[str, Any]:
    """One catalogue, in this process."""
    from halfinch.fit import find_matches, load_body, open_sizes
    from halfinch.fit.browse import FITS, Wanted, browse_sizes
    from halfinch.fit.judge_sql import READ
    from halfinch.knowledge import load

    knowledge = load()
    body = load_body(BODY, knowledge)

    def scan() -> None:
        with open_sizes(path, knowledge) as sizes:
            added = ", ".join(f"sum({name})" for name in READ if name in sizes.columns)
            sizes.connection.execute(f"SELECT {added} FROM {sizes.relation}").fetchall()

    def match() -> None:
        with open_sizes(path, knowledge) as sizes:
            assert len(find_matches(sizes, body, knowledge, top=TOP).plans) == TOP

    few = Wanted(ranges={"inseam": (28, 30), "hip": (40, 44)}, words={"length": ["petite"]})
    told: dict[str, Any] = {"scan": clock(scan), "match": clock(match)}
    told["peak_mb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    told["pages"] = {
        "first page": clock(lambda: browse_sizes(path, Wanted(), knowledge), 7),
        "filtered": clock(lambda: browse_sizes(path, few, knowledge), 7),
        "fits a body": clock(lambda: browse_sizes(path, Wanted(verdicts=FITS), knowledge, body=body), 7),
    }
    return told


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--sizes", type=int, nargs="+", default=list(SIZES))
    parser.add_argument("--measure", type=int, help=argparse.SUPPRESS)
    parser.add_argument("--output", type=Path, default=ROOT / "build" / "bench-match.json")
    options = parser.parse_args()
    if options.measure:
        print(json.dumps(measure(catalogue_of(options.measure))))
        return
    print(f"the {TOP} best for one body, seconds of the processor (by the clock); pages in milliseconds\n")
    print(f"{'sizes':>10}  {'scan':>15}  {'match':>15}  {'times':>11}  {'MB':>5}   first   filtered   fits a body")
    rows = []
    for count in options.sizes:
        catalogue_of(count)
        command = [sys.executable, __file__, "--measure", str(count)]
        done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
        row = {"sizes": count, **json.loads(done.stdout.splitlines()[-1])}
        rows.append(row)
        both = [f"{row[name]['cpu']:.2f} ({row[name]['wall']:.2f})" for name in ("scan", "match")]
        times = [row["match"][way] / row["scan"][way] for way in ("cpu", "wall")]
        pages = [f"{of['median_cpu'] * 1000:.0f} ({of['median'] * 1000:.0f})" for of in row["pages"].values()]
        print(f"{count:>10,}  {both[0]:>15}  {both[1]:>15}  {f'x{times[0]:.1f} (x{times[1]:.1f})':>11}  "
              f"{row['peak_mb']:>5.0f}   {'   '.join(pages)}", flush=True)  # fmt: skip
    options.output.parent.mkdir(parents=True, exist_ok=True)
    options.output.write_text(json.dumps(rows, indent=2) + "\n", encoding="utf-8")
    print(f"\nwritten to {options.output}")


if __name__ == "__main__":
    main()
