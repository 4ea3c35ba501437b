"""Seconds and peak memory of an import, beside the bare library on the same files in the same run.

    make bench                 prints the tables and writes build/bench.json
    python -m tests.bench.bench --only pages --repeats 1

The files are made by `corpora.py`. Four steps are timed for each corpus, each in a process of its own (so that peak
memory is its own):

    bare     the library alone, told nothing: pdfplumber `extract_tables`, `pandas.read_html`, `pandas.read_excel`,
             `pandas.read_csv` (with a melt to figures for the long file); what it cannot read it skips
    reader   bytes to grids and texts: what the bare library does, for every layout and encoding
    figures  bytes to judged figures (reader, interpretation, judging)
    import   files to a catalogue on disk, in one process

Seconds of the processor, so that a busy machine tells the same. Imports of modules and the loading of `schemas/` are
not counted (one small sheet is read beforehand, and a new catalogue made); the best of the repeats counts. Then:
10,000 files imported again that are known, beside hashing them; two processes beside one, by the clock; and whole
commands from a cold start, by the clock.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.bench.corpora import MAKERS, ROOT, files_of, print_sheets

GOALS = {
    "packs": ("pdfplumber extract_tables", 0.5),
    "catalogue": ("pdfplumber extract_tables", 0.1),
    "pages": ("pandas.read_html", 1.0),
    "books": ("pandas.read_excel", 0.5),
    "small": ("pandas.read_csv", None),
    "long": ("pandas.read_csv and melt", 5.0),
}
"""What stands beside each corpus, and how many times its seconds an import may take."""
STEPS = ("bare", "reader", "figures", "import")
MANY = 10_000


def read_bare(corpus: str, files: list[Path]) -> int:
    """The bare library over the files; how many it could not read."""
    import pandas as pd
    import pdfplumber

    failed = 0
    for path in files:
        try:
            if path.suffix == ".pdf":
                with pdfplumber.open(path) as pdf:
                    for page in pdf.pages:
                        page.extract_tables()
            elif path.suffix == ".html":
                pd.read_html(path)
            elif path.suffix == ".xlsx":
                pd.read_excel(path, sheet_name=None, header=None)
            elif corpus == "long":
                pd.read_csv(path).melt(id_vars=["style", "size"], var_name="point", value_name="inches")
            else:
                pd.read_csv(path, header=None)
        except Exception:  # noqa: BLE001 - a bare library may fail in any way on an untidy sheet
            failed += 1
    return failed


def read_grids(files: list[Path]) -> int:
    """Bytes to grids and texts; how many files could not be read."""
    from halfinch.readers import read_bytes
    from halfinch.sheet import Sheet

    return sum(
        any(not isinstance(sheet, Sheet) for _, sheet in read_bytes(path.read_bytes(), path.name)) for path in files
    )


def read_figures(files: list[Path]) -> int:
    """Bytes to judged figures, nothing stored; how many files failed."""
    import halfinch

    results = [halfinch.read_sheet(path.read_bytes(), path.name) for path in files]
    return sum(any(one.outcome == "failed" for one in result) for result in results)


def import_files(files: list[Path]) -> int:
    """The whole way into a catalogue, one process; how many sheets failed."""
    import halfinch

    with tempfile.TemporaryDirectory() as folder:
        report = halfinch.open_catalogue(Path(folder) / "bench.duckdb").add(files, jobs=0)
    return sum(line.outcome == "failed" for line in report.lines)


WORK: dict[str, Callable[[str, list[Path]], int]] = {
    "bare": read_bare,
    "reader": lambda _, files: read_grids(files),
    "figures": lambda _, files: read_figures(files),
    "import": lambda _, files: import_files(files),
}


def warm_up(step: str, corpus: str) -> None:
    """Modules imported, knowledge loaded, one small file of the kind read."""
    suffix = files_of(corpus)[0].suffix.lstrip(".")
    name, data = next(print_sheets(suffix, 1))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        WORK[step](corpus, [path])


def measure(step: str, corpus: str) -> dict[str, float]:
    """Runs in a process of its own: processor seconds (and by the clock), peak memory in MB, files that failed."""
    files = files_of(corpus)
    warm_up(step, corpus)
    start, began = time.perf_counter(), time.process_time()
    failed = WORK[step](corpus, files)
    cpu, wall = time.process_time() - began, time.perf_counter() - start
    return {"seconds": cpu, "wall": wall, "peak_mb": peak_memory(), "failed": failed}


def peak_memory() -> float:
    """MB of this process at its largest; 0 where the system does not tell."""
    try:
        import resource
    except ImportError:  # Windows
        return 0.0
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1024 * 1024 if sys.platform == "darwin" else 1024)


def run_apart(step: str, corpus: str, repeats: int) -> dict[str, float]:
    """The best of some repeats, each in a fresh process."""
    results: list[dict[str, float]] = []
    for _ in range(repeats):
        command = [sys.executable, "-m", "tests.bench.bench", "--step", step, "--corpus", corpus]
        done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
        results.append(json.loads(done.stdout.splitlines()[-1]))
    return min(results, key=lambda one: one["seconds"])


def time_command(command: list[str], repeats: int = 1) -> float:
    """Seconds of a whole command by the clock, the best of the repeats."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        subprocess.run(command, capture_output=True, check=False)
        times.append(time.perf_counter() - start)
    return min(times)


def time_commands(repeats: int) -> dict[str, float]:
    """Whole commands from a cold start."""
    halfinch = [sys.executable, "-m", "halfinch"]
    with tempfile.TemporaryDirectory() as folder:
        shop, demo = str(Path(folder) / "shop.duckdb"), ROOT / "fixtures" / "demo"
        name, data = next(print_sheets("csv", 1))
        small = Path(folder) / name
        small.write_bytes(data)
        return {
            "python -c pass": time_command([sys.executable, "-c", "pass"], repeats),
            "halfinch --help": time_command([*halfinch, "--help"], repeats),
            "halfinch import, one small CSV": time_command([*halfinch, "import", str(small), "-c", f"{shop}.1"]),
            "halfinch import fixtures/demo": time_command([*halfinch, "import", str(demo), "-c", shop]),
            "halfinch match": time_command(
                [*halfinch, "match", str(demo / "bodies" / "ottilie.toml"), "-c", shop], repeats
            ),
            "halfinch audit": time_command([*halfinch, "audit", "-c", shop]),
        }


def time_again(repeats: int, count: int = MANY) -> dict[str, float]:
    """So many known files imported again, beside reading and hashing them; seconds by the clock."""
    from halfinch import open_catalogue

    with tempfile.TemporaryDirectory() as folder:
        sheets = Path(folder) / "sheets"
        sheets.mkdir()
        _, data = next(print_sheets("csv", 1))
        for index in range(count):
            (sheets / f"{index}.csv").write_bytes(data + f"\nno,{index}\n".encode())
        files = sorted(sheets.iterdir())
        shop = open_catalogue(Path(folder) / "shop.duckdb")
        first = time.perf_counter()
        shop.add(files, jobs=2)
        taken = time.perf_counter() - first
        again, hashing = [], []
        for _ in range(repeats):
            start = time.perf_counter()
            shop.add(files, jobs=2)
            again.append(time.perf_counter() - start)
            start = time.perf_counter()
            for path in files:
                hashlib.sha256(path.read_bytes()).hexdigest()
            hashing.append(time.perf_counter() - start)
    return {"files": count, "first": taken, "again": min(again), "hashing": min(hashing)}


def time_processes(repeats: int) -> dict[str, float]:
    """One corpus imported by one process and by two; seconds by the clock."""
    from halfinch import open_catalogue

    files = files_of("packs") + files_of("pages")
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        for jobs in (1, 2):
            times = []
            for repeat in range(repeats):
                start = time.perf_counter()
                open_catalogue(Path(folder) / f"{jobs}-{repeat}.duckdb").add(files, jobs=jobs)
                times.append(time.perf_counter() - start)
            found[str(jobs)] = min(times)
    return found


def print_row(corpus: str, files: int, steps: dict[str, dict[str, float]]) -> None:
    bare = steps["bare"]
    cells = [f"{corpus:<10} {files:>5}  {bare['seconds']:>7.3f} {bare['failed']:>6.0f}"]
    for step in STEPS[1:]:
        seconds = steps[step]["seconds"]
        cells.append(f"{seconds:>7.3f} {'x' + format(seconds / bare['seconds'], '.2f'):>7}")
    goal = GOALS[corpus][1]
    cells.append(f"{bare['peak_mb']:>5.0f} {steps['import']['peak_mb']:>6.0f}  {f'x{goal:g}' if goal else '':>5}")
    print("  ".join(cells), flush=True)


def run_all(corpora: list[str], repeats: int) -> dict[str, Any]:
    """Measures everything, prints as it goes, gives the record that is kept."""
    print("processor seconds, beside each how many times the bare library; peak memory in MB; the goal of the import\n")
    heads = f"{'corpus':<10} {'files':>5}  {'bare':>7} {'failed':>6}"
    print("  ".join([heads, *(f"{step:>7} {'':>7}" for step in STEPS[1:]), f"{'bare':>5} {'import':>6}   goal"]))
    rows = []
    for corpus in corpora:
        files = len(files_of(corpus))
        steps = {step: run_apart(step, corpus, repeats) for step in STEPS}
        rows.append({"corpus": corpus, "files": files, "beside": GOALS[corpus][0], "goal": GOALS[corpus][1], **steps})
        print_row(corpus, files, steps)
    return {"work": rows}


def run_rest(repeats: int) -> dict[str, Any]:
    """What is measured by the clock: known files, processes, commands."""
    again = time_again(repeats)
    print(f"\n{MANY:,} known files again: {again['again']:.2f} s, hashing them {again['hashing']:.2f} s", end="")
    print(f" (x{again['again'] / again['hashing']:.2f}, goal x1.5)", flush=True)
    processes = time_processes(repeats)
    times = processes["1"] / processes["2"]
    print(f"one process {processes['1']:.2f} s, two {processes['2']:.2f} s (x{times:.2f}, goal x1.8)", flush=True)
    print("\nfrom a cold start, seconds by the clock\n")
    commands = time_commands(repeats)
    for name, seconds in commands.items():
        print(f"{name:<32} {seconds:>7.3f}")
    return {"again": again, "processes": processes, "commands": commands}


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--step", choices=STEPS)
    parser.add_argument("--corpus", choices=tuple(MAKERS))
    parser.add_argument("--only", choices=tuple(MAKERS), action="append", help="these corpora alone")
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--output", type=Path, default=ROOT / "build" / "bench.json")
    options = parser.parse_args()
    if options.step:
        print(json.dumps(measure(options.step, options.corpus)))
        return
    machine = {"system": platform.platform(), "python": platform.python_version(), "cores": os.cpu_count()}
    record = {"machine": machine, **run_all(options.only or list(MAKERS), options.repeats)}
    if not options.only:
        record |= run_rest(options.repeats)
    options.output.parent.mkdir(exist_ok=True)
    options.output.write_text(json.dumps(record, indent=2))


if __name__ == "__main__":
    main()
