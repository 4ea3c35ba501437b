"""Seconds and peak memory to import the fixtures, beside the bare library on the same files in the same run.

    make bench                 prints a table and writes build/bench.json

Four steps are timed for each kind of sheet, each in a process of its own (so that peak memory is its own):

    bare     the library alone, told nothing: pdfplumber `extract_tables`, `pandas.read_html`, `pandas.read_excel`,
             `pandas.read_csv`; nothing is done with what it read, and what it cannot read it skips
    reader   bytes to grids and texts: what the bare library does, for every layout and encoding
    figures  bytes to judged figures (reader, interpretation, judging)
    import   files to a catalogue on disk, in one process

Seconds of the processor, so that a busy machine tells the same. Imports of modules and the loading of `schemas/` are
not counted (one sheet is read beforehand); the best of the repeats counts. Last, the commands from a cold start,
by the clock.
"""

from __future__ import annotations

import argparse
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

ROOT = Path(__file__).resolve().parents[2]
KINDS = {
    "PDF": (("*.pdf",), "pdfplumber extract_tables"),
    "HTML": (("*.html", "*.htm"), "pandas.read_html"),
    "workbook": (("*.xlsx", "*.xlsm", "*.xls", "*.ods"), "pandas.read_excel"),
    "delimited": (("*.csv", "*.tsv", "*.txt"), "pandas.read_csv"),
}
STEPS = ("bare", "reader", "figures", "import")


def find_files(kind: str) -> list[Path]:
    """Fixture sheets of one kind, without expectations."""
    found = [path for pattern in KINDS[kind][0] for path in (ROOT / "fixtures").rglob(pattern)]
    return sorted(path for path in found if not path.name.endswith(".expected.csv"))


def read_bare(kind: str, files: list[Path]) -> int:
    """The bare library over the files; how many it could not read."""
    import pandas as pd
    import pdfplumber

    failed = 0
    for path in files:
        try:
            if kind == "PDF":
                with pdfplumber.open(path) as pdf:
                    for page in pdf.pages:
                        page.extract_tables()
            elif kind == "HTML":
                pd.read_html(path)
            elif kind == "workbook":
                pd.read_excel(path, sheet_name=None, header=None)
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


def measure(step: str, kind: str) -> dict[str, float]:
    """Runs in a process of its own: processor seconds (and by the clock), peak memory in MB, files that failed."""
    work: dict[str, Callable[[list[Path]], int]] = {
        "bare": lambda files: read_bare(kind, files),
        "reader": read_grids,
        "figures": read_figures,
        "import": import_files,
    }
    files = find_files(kind)
    work[step](files[:1])
    start, began = time.perf_counter(), time.process_time()
    failed = work[step](files)
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


def run_apart(step: str, kind: str, repeats: int) -> dict[str, float]:
    """The best of some repeats, each in a fresh process."""
    results: list[dict[str, float]] = []
    for _ in range(repeats):
        command = [sys.executable, __file__, "--step", step, "--kind", kind]
        done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
        results.append(json.loads(done.stdout.splitlines()[-1]))
    return min(results, key=lambda one: one["seconds"])


def time_commands(repeats: int) -> dict[str, float]:
    """Seconds of whole commands from a cold start, the best of the repeats."""
    halfinch = [sys.executable, "-m", "halfinch"]
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        shop = str(Path(folder) / "shop.duckdb")
        body = str(ROOT / "fixtures" / "demo" / "bodies" / "ottilie.toml")
        commands = {
            "python -c pass": [sys.executable, "-c", "pass"],
            "halfinch --help": [*halfinch, "--help"],
            "halfinch import fixtures": [*halfinch, "import", str(ROOT / "fixtures"), "-c", shop],
            "the same again (all known)": [*halfinch, "import", str(ROOT / "fixtures"), "-c", shop],
            "halfinch match": [*halfinch, "match", body, "-c", shop],
            "halfinch audit": [*halfinch, "audit", "-c", shop],
        }
        for name, command in commands.items():
            times = []
            for _ in range(repeats):
                if name == "halfinch import fixtures":
                    Path(shop).unlink(missing_ok=True)
                start = time.perf_counter()
                subprocess.run(command, capture_output=True, check=False)
                times.append(time.perf_counter() - start)
            found[name] = min(times)
    return found


def print_row(kind: str, files: int, steps: dict[str, dict[str, float]]) -> None:
    bare = steps["bare"]
    cells = [f"{kind:<10} {files:>5}  {bare['seconds']:>7.3f} {bare['failed']:>6.0f}"]
    for step in STEPS[1:]:
        seconds = steps[step]["seconds"]
        cells.append(f"{seconds:>7.3f} {'x' + format(seconds / bare['seconds'], '.1f'):>6}")
    cells.append(f"{bare['peak_mb']:>5.0f} {steps['import']['peak_mb']:>6.0f}")
    print("  ".join(cells), flush=True)


def run_all(repeats: int) -> dict[str, Any]:
    """Measures everything, prints as it goes, gives the record that is kept."""
    print("processor seconds, beside each how many times the bare library; peak memory in MB\n")
    heads = f"{'kind':<10} {'files':>5}  {'bare':>7} {'failed':>6}"
    print("  ".join([heads, *(f"{step:>7} {'':>6}" for step in STEPS[1:]), f"{'bare':>5} {'import':>6}"]))
    rows = []
    for kind, (_, beside) in KINDS.items():
        files = len(find_files(kind))
        steps = {step: run_apart(step, kind, repeats) for step in STEPS}
        rows.append({"kind": kind, "files": files, "beside": beside, **steps})
        print_row(kind, files, steps)
    print("\nfrom a cold start, seconds by the clock\n")
    commands = time_commands(repeats)
    for name, seconds in commands.items():
        print(f"{name:<28} {seconds:>7.3f}")
    machine = {"system": platform.platform(), "python": platform.python_version(), "cores": os.cpu_count()}
    return {"machine": machine, "work": rows, "commands": commands}


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--step", choices=STEPS)
    parser.add_argument("--kind", choices=tuple(KINDS))
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--output", type=Path, default=ROOT / "build" / "bench.json")
    options = parser.parse_args()
    if options.step:
        print(json.dumps(measure(options.step, options.kind)))
        return
    record = run_all(options.repeats)
    options.output.parent.mkdir(parents=True, exist_ok=True)
    options.output.write_text(json.dumps(record, indent=2) + "\n", encoding="utf-8")
    print(f"\nwritten to {options.output}")


if __name__ == "__main__":
    main()
