"""Seconds and peak memory to import the fixtures, beside the bare library on the same files in the same run.

    make bench                 prints a table and writes build/bench.json

Every measurement runs in a process of its own (so that peak memory is its own), is repeated, and the best of the
repeats counts. The bare libraries read the same bytes: pdfplumber `extract_tables`, `pandas.read_html`,
`pandas.read_excel`, `pandas.read_csv`; they do nothing further with what they read.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
KINDS = {
    "PDF": (("*.pdf",), "pdfplumber extract_tables"),
    "HTML": (("*.html", "*.htm"), "pandas.read_html"),
    "workbook": (("*.xlsx", "*.xlsm", "*.xls", "*.ods"), "pandas.read_excel"),
    "delimited": (("*.csv", "*.tsv", "*.txt"), "pandas.read_csv"),
}


def find_files(kind: str) -> list[Path]:
    """Fixture sheets of one kind, without expectations."""
    found = [path for pattern in KINDS[kind][0] for path in (ROOT / "fixtures").rglob(pattern)]
    return sorted(path for path in found if not path.name.endswith(".expected.csv"))


def read_bare(kind: str, files: list[Path]) -> None:
    """The bare library over the files; what it cannot read it skips."""
    import pandas as pd

    for path in files:
        try:
            if kind == "PDF":
                import pdfplumber

                with pdfplumber.open(path) as pdf:
                    for page in pdf.pages:
                        page.extract_tables()
            elif kind == "HTML":
                pd.read_html(path)
            elif kind == "workbook":
                pd.read_excel(path, sheet_name=None, header=None)
            else:
                pd.read_csv(path, header=None)
        except (ValueError, ImportError, UnicodeError, OSError):
            continue
        except Exception as error:  # noqa: BLE001 - a bare library may fail in any way on an untidy sheet
            print(f"  {path.name}: {type(error).__name__}", file=sys.stderr)


def read_ours(files: list[Path]) -> None:
    """Read, interpret and judge, nothing stored."""
    from halfinch.knowledge import load
    from halfinch.work import read_sheet

    knowledge = load()
    for path in files:
        read_sheet(path.read_bytes(), path.name, knowledge)


def import_ours(files: list[Path]) -> None:
    """The whole way into a catalogue, one process."""
    import halfinch

    with tempfile.TemporaryDirectory() as folder:
        catalogue = halfinch.open_catalogue(Path(folder) / "bench.duckdb")
        catalogue.add(files, jobs=0)


def measure(task: str, kind: str) -> dict[str, float]:
    """Runs in a process of its own: seconds of work (imports apart) and peak memory."""
    files = find_files(kind)
    work: dict[str, Callable[[], None]] = {
        "bare": lambda: read_bare(kind, files),
        "read": lambda: read_ours(files),
        "import": lambda: import_ours(files),
    }
    work[task]()  # once to warm imports and caches of the interpreter
    start = time.perf_counter()
    work[task]()
    seconds = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return {"seconds": seconds, "peak_mb": peak / (1024 if sys.platform != "darwin" else 1024 * 1024)}


def run_apart(task: str, kind: str, repeats: int) -> dict[str, float]:
    """The best of some repeats, each in a fresh process."""
    results = []
    for _ in range(repeats):
        command = [sys.executable, __file__, "--task", task, "--kind", kind]
        done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
        results.append(json.loads(done.stdout.splitlines()[-1]))
    return min(results, key=lambda one: one["seconds"])


def time_start(repeats: int) -> dict[str, float]:
    """Seconds of `halfinch --help` and of an empty Python."""
    found = {}
    for name, command in {
        "halfinch --help": [sys.executable, "-m", "halfinch", "--help"],
        "python -c pass": [sys.executable, "-c", "pass"],
    }.items():
        times = []
        for _ in range(max(repeats, 3)):
            start = time.perf_counter()
            subprocess.run(command, capture_output=True, check=True)
            times.append(time.perf_counter() - start)
        found[name] = min(times)
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--task", choices=("bare", "read", "import"))
    parser.add_argument("--kind", choices=tuple(KINDS))
    parser.add_argument("--repeats", type=int, default=2)
    parser.add_argument("--output", type=Path, default=ROOT / "build" / "bench.json")
    options = parser.parse_args()
    if options.task:
        print(json.dumps(measure(options.task, options.kind)))
        return
    record: dict[str, object] = {
        "machine": {"system": platform.platform(), "python": platform.python_version(), "cores": os.cpu_count()},
        "start": time_start(options.repeats),
    }
    heads = f"{'kind':<10} {'files':>5}  {'bare s':>7} {'read s':>7} {'import s':>8}"
    print(heads + f"  {'read/bare':>9} {'import/bare':>11}  {'peak MB':>7}")
    rows = []
    for kind, (_, beside) in KINDS.items():
        files = len(find_files(kind))
        bare, read, whole = (run_apart(task, kind, options.repeats) for task in ("bare", "read", "import"))
        ratio, ratio_whole = read["seconds"] / bare["seconds"], whole["seconds"] / bare["seconds"]
        rows.append({"kind": kind, "files": files, "beside": beside, "bare": bare, "read": read, "import": whole})
        print(
            f"{kind:<10} {files:>5}  {bare['seconds']:>7.2f} {read['seconds']:>7.2f} {whole['seconds']:>8.2f}"
            f"  {ratio:>9.2f} {ratio_whole:>11.2f}  {whole['peak_mb']:>7.0f}"
        )
    record["work"] = rows
    for name, seconds in record["start"].items():  # type: ignore[attr-defined]
        print(f"{name:<20} {seconds:.3f} s")
    options.output.parent.mkdir(parents=True, exist_ok=True)
    options.output.write_text(json.dumps(record, indent=2) + "\n", encoding="utf-8")
    print(f"written: {options.output.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
