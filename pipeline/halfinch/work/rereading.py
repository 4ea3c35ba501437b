"""Stale readings are made anew from the kept bytes; what differs is shown, the old readings stay."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from halfinch import knowledge
from halfinch.catalogue import store, summary, tables
from halfinch.catalogue.for_analysts import create_for_analysts
from halfinch.catalogue.frames import arrow_table, registered
from halfinch.catalogue.habits import load_habits
from halfinch.catalogue.kept_sheets import fetch
from halfinch.catalogue.lake.objects import is_lake
from halfinch.catalogue.lake.opening import refuse_writing
from halfinch.catalogue.landing import Arrival, land
from halfinch.catalogue.summary import StaleReading
from halfinch.figure import SheetResult
from halfinch.work.importing import Options, Progress, Report, make_stamp, with_trouble
from halfinch.work.kept import bytes_at_source, file_source
from halfinch.work.pool import Setting, Task, read_all


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure that another reading of the same sheet tells otherwise."""

    sheet: str
    place: str
    point: str
    size: str
    length: str
    raw: str
    what: str
    """changed | gone | new"""
    before: str
    """Inches and status, '' where the figure is new."""
    after: str


@dataclass(frozen=True, slots=True)
class Rereading:
    """What came of it."""

    report: Report
    differences: tuple[Difference, ...]
    missing: tuple[str, ...]
    """Sheets whose bytes are neither kept nor at their source any more."""


def reread(
    catalogue: Path, options: Options | None = None, *, everything: bool = False, progress: Progress | None = None
) -> Rereading:
    """Reads every sheet with a stale reading again (with `everything`: every sheet in force). Raises CatalogueError."""
    if is_lake(catalogue):
        refuse_writing(catalogue)
    options = options or Options()
    habits = load_habits(catalogue)
    stamp = make_stamp(options.schemas, habits)
    stale = summary.stale_readings(catalogue, stamp, everything=everything, wait=options.wait)
    by_file: dict[str, list[StaleReading]] = defaultdict(list)
    for reading in stale:
        by_file[reading.file_id].append(reading)
    ids = {reading.sheet_id for reading in stale}
    before = _figures(catalogue, ids, options.wait)
    missing: list[str] = []
    files = list(by_file.items())
    tasks = _tasks(catalogue, files, missing)
    arrivals: list[Arrival] = []
    troubled: dict[str, SheetResult] = {}
    read = read_all(tasks, Setting(options.schemas, habits, options.memory), jobs=options.jobs, limit=options.limit)
    for done, (task, results) in enumerate(read, start=1):
        file_id, readings = files[task.number]
        arrivals.append(
            Arrival(
                file_source(readings[0].source, readings[0].inner),
                task.name,
                file_id,
                readings[0].merchant,
                tuple(results),
            )
        )
        troubled |= {result.sheet_id: result for result in results if result.outcome == "failed"}
        if progress is not None:
            progress(done, len(files), task.name)
        if len(arrivals) >= 64:
            land(catalogue, arrivals, stamp, wait=options.wait)
            arrivals = []
    if arrivals:
        land(catalogue, arrivals, stamp, wait=options.wait)
    if stale:  # the knowledge in the macros may have changed too
        with store.writing(catalogue, "reread", options.wait) as connection:
            create_for_analysts(connection, knowledge.load(options.schemas))
    after = _figures(catalogue, ids, options.wait)
    told, held = summary.summarise(catalogue, ids, options.wait)
    lines = [with_trouble(line, troubled) for line in told]
    left = len(summary.stale_readings(catalogue, stamp, wait=options.wait))
    return Rereading(Report(tuple(lines), tuple(held), 0, left), tuple(_differ(before, after)), tuple(missing))


def _tasks(catalogue: Path, files: list[tuple[str, list[StaleReading]]], missing: list[str]) -> Iterator[Task]:
    for number, (file_id, readings) in enumerate(files):
        first = readings[0]
        data = fetch(catalogue, file_id)
        if data is None:
            data = bytes_at_source(catalogue, file_source(first.source, first.inner), file_id)
        if data is None:
            missing.extend(reading.sheet for reading in readings)
            continue
        name = first.sheet.removesuffix(f"/{first.inner}") if first.inner else first.sheet
        yield Task(data, name, first.merchant, number)


Key = tuple[str, str, str, str, str]
Told = tuple[str, str, Decimal, str]


def _figures(catalogue: Path, sheet_ids: set[str], wait: float) -> dict[Key, Told]:
    names = tables.Table("names", "", (tables.Column("name", tables.TEXT, ""),))
    with (
        store.reading(catalogue, wait) as connection,
        registered(connection, wanted=arrow_table(names, [(name,) for name in sheet_ids])),
    ):
        rows = connection.execute("""
            SELECT sheet_id, place, point, size, length, sheet, raw, inches, status FROM current_figures
            WHERE sheet_id IN (SELECT name FROM wanted)""").fetchall()
    return {row[:5]: row[5:] for row in rows}


def _differ(before: dict[Key, Told], after: dict[Key, Told]) -> Iterator[Difference]:
    for key in sorted(before.keys() | after.keys()):
        old, new = before.get(key), after.get(key)
        if old is None or new is None:
            sheet, raw, _, _ = new or old or ("", "", Decimal(), "")
            what = "gone" if new is None else "new"
        elif old[2:] == new[2:]:
            continue
        else:
            sheet, raw, what = new[0], new[1], "changed"
        _, place, point, size, length = key
        yield Difference(sheet, place, point, size, length, raw, what, _shown(old), _shown(new))


def _shown(told: Told | None) -> str:
    if told is None:
        return ""
    text = f"{told[2]:f}"
    return f"{text.rstrip('0').rstrip('.')} in, {told[3]}"
