"""The folder that is imported in the trials, and what a catalogue may hold of it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ENDED = (0, 3, 4)
"""Exit statuses of an import that went to its end."""

CONTENT = {
    "readings": "reading_id, sheet_id",
    "figures": "figure_id, sheet_id, point, size, raw, length_nm, place",
    "garments": "garment_id, style",
    "receipts": "source, sheet_id, seen_to IS NULL",
}
"""Tables and what of them is the same however often the import was interrupted (moments are not)."""


@dataclass(frozen=True, slots=True)
class Ground:
    """A folder of sheets, and what the catalogue of an undisturbed import says."""

    sheets: Path
    whole: dict[str, list[tuple[object, ...]]]
    by_sheet: dict[str, set[tuple[object, ...]]]
    """Sheet id to the rows of its figures."""


def command(sheets: Path, catalogue: Path, *more: str) -> list[str]:
    """The import that is disturbed."""
    return [sys.executable, "-m", "halfinch", "import", str(sheets), "--catalogue", str(catalogue), "--quiet", *more]


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT / "pipeline")}


def run_import(sheets: Path, catalogue: Path, *more: str) -> int:
    """Runs it to its end; its exit status."""
    done = subprocess.run(command(sheets, catalogue, *more), env=environment(), capture_output=True, check=False)
    return done.returncode


def lay_ground(folder: Path, count: int, seed: int) -> Ground:
    """Prints `count` sheets and imports them once, undisturbed."""
    from tests.press.plan import Wish, print_sheet

    sheets = folder / "sheets"
    sheets.mkdir(parents=True)
    for number in range(count):
        printed = print_sheet(seed + number, Wish(format=("csv", "html", "xlsx")[number % 3]))
        (sheets / f"{number:03}-{printed.name}").write_bytes(printed.data)
    (folder / "undisturbed").mkdir()  # as deep as every trial: garments without a name are known by their source
    catalogue = folder / "undisturbed" / "shop.duckdb"
    status = run_import(sheets, catalogue, "--jobs", "1")
    if status not in ENDED:
        raise RuntimeError(f"the undisturbed import ended with {status}")
    return Ground(sheets, content(catalogue), figures_by_sheet(catalogue))


def content(catalogue: Path) -> dict[str, list[tuple[object, ...]]]:
    """The rows of the tables, in an order of their own."""
    from halfinch.catalogue import store

    with store.reading(catalogue) as connection:
        return {
            table: sorted(connection.execute(f"SELECT {columns} FROM {table}").fetchall(), key=repr)
            for table, columns in CONTENT.items()
        }


def figures_by_sheet(catalogue: Path) -> dict[str, set[tuple[object, ...]]]:
    """Every sheet that the catalogue knows with the rows of its figures."""
    from halfinch.catalogue import store

    found: dict[str, set[tuple[object, ...]]] = defaultdict(set)
    with store.reading(catalogue) as connection:
        for (sheet,) in connection.execute("SELECT sheet_id FROM sheets").fetchall():
            found[sheet] = set()
        for row in connection.execute(f"SELECT {CONTENT['figures']} FROM figures").fetchall():
            found[str(row[1])].add(row)
    return dict(found)


def faults_of(ground: Ground, catalogue: Path) -> list[str]:
    """What is wrong with a catalogue whose import was cut short: nothing, if it holds whole sheets only."""
    if not catalogue.exists():
        return []
    try:
        found = figures_by_sheet(catalogue)
    except Exception as error:  # noqa: BLE001 - whatever keeps it from opening is the fault
        return [f"does not open: {error}"]
    return [
        f"sheet {sheet[:12]}: {len(rows)} of {len(ground.by_sheet.get(sheet, ()))} figures"
        for sheet, rows in found.items()
        if rows != ground.by_sheet.get(sheet)
    ]


def faults_after(ground: Ground, catalogue: Path) -> list[str]:
    """What is wrong when the same command has finished the job: nothing, if all is as if undisturbed."""
    status = run_import(ground.sheets, catalogue, "--jobs", "1")
    if status not in ENDED:
        return [f"the same command ended with {status}"]
    now = content(catalogue)
    faults = [f"{table} differs" for table, rows in ground.whole.items() if now[table] != rows]
    kept = catalogue.with_name(f"{catalogue.name}.sheets")
    faults += [f"left behind: {path.name}" for path in kept.rglob(".*")]
    faults += [f"left behind: {path.name}" for path in catalogue.parent.glob(".*.new-*")]
    return faults + [f"not kept: {path.name}" for path in ground.sheets.iterdir() if not _is_kept(kept, path)]


def _is_kept(kept: Path, sheet: Path) -> bool:
    from halfinch.catalogue.identity import sheet_digest

    data = sheet.read_bytes()
    digest = sheet_digest(data)
    place = kept / digest[:2] / digest
    return place.is_file() and place.read_bytes() == data
