"""Files become rows of a catalogue: found, read by workers, landed whole, told of in a report."""

from __future__ import annotations

import time
import traceback
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from halfinch import __version__, knowledge
from halfinch.catalogue import store, summary
from halfinch.catalogue.habits import AllHabits, load_habits
from halfinch.catalogue.identity import Stamp, habits_digest, sheet_digest
from halfinch.catalogue.kept_sheets import keep, sweep
from halfinch.catalogue.lake.objects import is_lake
from halfinch.catalogue.lake.opening import refuse_writing
from halfinch.catalogue.landing import Arrival, land
from halfinch.errors import CatalogueError, HalfinchError
from halfinch.figure import SheetResult
from halfinch.work.files import Found, find_files
from halfinch.work.pool import MEMORY_LIMIT, TIME_LIMIT, Setting, Task, read_all
from halfinch.work.reading import failed, usual_tolerances

Progress = Callable[[int, int, str], None]
"""Called with files done, files in all, and the name of the one just done. What it raises ends the import: what has
arrived by then still lands."""

Watch = Callable[[str, tuple[SheetResult, ...] | None], None]
"""Called with the name of a file and what its sheets became, None where the catalogue knows them; before they land."""

FLUSH_FILES = 256
FLUSH_KNOWN = 20_000
FLUSH_FIGURES = 50_000
FLUSH_SECONDS = 2.0
"""Files land together as far as these go (read ones, those with the known ones): fewer, larger transactions."""
FLUSH_SHARE = 10
"""They wait so many times as long as the last landing took, so that landings take a tenth of an import's time."""


@dataclass(frozen=True, slots=True)
class Options:
    """How to import."""

    merchant: str = ""
    """Whose sheets these are, where they do not say so."""
    named: str = ""
    """Name of the source instead of its path."""
    keep: bool = True
    """Keep the bytes of the files beside the catalogue."""
    jobs: int | None = None
    """Worker processes; None: one a core; 0: in this process."""
    limit: float = TIME_LIMIT
    """Seconds a file may take."""
    memory: int = MEMORY_LIMIT
    """Megabytes a worker may take."""
    wait: float = store.DEFAULT_WAIT
    """Seconds to wait for another program that writes the catalogue."""
    schemas: Path | None = None
    on: str = ""
    """Address of the Dask cluster that reads; '': processes of this machine."""


@dataclass(frozen=True, slots=True)
class Report:
    """What came of an import or a rereading."""

    lines: tuple[summary.SheetLine, ...] = ()
    held: tuple[summary.HeldFigure, ...] = ()
    unchanged: int = 0
    """Files that the catalogue knew already, or whose bytes came under another name in the same import."""
    stale: int = 0
    """Readings in force that another program, other knowledge or other habits made."""
    differing: tuple[tuple[str, str, str], ...] = ()
    """(sheet, rule, message): what a sheet of this import and another sheet in force tell differently."""

    @property
    def exit_status(self) -> int:
        if any(line.outcome in ("failed", "scanned", "partly") for line in self.lines):
            return 3
        return 4 if self.held else 0


def make_stamp(schemas: Path | None, habits: AllHabits | None) -> Stamp:
    """What readings are made with now."""
    known = knowledge.load(schemas)
    return Stamp(__version__, known.reading_digest, habits_digest(habits), usual_tolerances(known))


def import_paths(
    catalogue: Path,
    paths: Sequence[Path],
    options: Options | None = None,
    progress: Progress | None = None,
    watch: Watch | None = None,
) -> Report:
    """Imports files, folders and containers; a catalogue is made where there is none.

    Files that the catalogue knows are not read again. A sheet lands whole or not at all. Raises UsageError,
    CatalogueError, KnowledgeError; what is wrong with a sheet stands in the report.
    """
    if is_lake(catalogue):
        refuse_writing(catalogue)
    options = options or Options()
    found = list(find_files(paths, catalogue, merchant=options.merchant, named=options.named))
    habits = load_habits(catalogue)
    stamp = make_stamp(options.schemas, habits)
    known = _known(catalogue, options)
    sweep(catalogue)
    run = _Run(catalogue, options, stamp, known, total=len(found), progress=progress, watch=watch)
    setting = Setting(options.schemas, habits, options.memory)
    if options.on:
        from halfinch.work.cluster import read_all_on

        read = read_all_on(options.on, run.tasks(found), stamp, setting, limit=options.limit)
    else:
        read = read_all(run.tasks(found), setting, jobs=options.jobs, limit=options.limit)
    try:
        for task, results in read:
            run.arrived(task, results)
    finally:
        run.flush()
    return run.report()


def _known(catalogue: Path, options: Options) -> dict[str, set[str]]:
    if catalogue.exists():
        return summary.known_files(catalogue, options.wait)
    if not catalogue.parent.is_dir():
        raise CatalogueError(
            f"{catalogue}: the folder {catalogue.parent} does not exist; make it, or name another place."
        )
    return {}


@dataclass(slots=True)
class _Run:
    catalogue: Path
    options: Options
    stamp: Stamp
    known: dict[str, set[str]]
    total: int
    progress: Progress | None
    watch: Watch | None
    found: dict[int, tuple[Found, str]] = field(default_factory=dict)
    waiting: list[Arrival] = field(default_factory=list)
    twins: list[Arrival] = field(default_factory=list)
    same: list[Arrival] = field(default_factory=list)
    """Twins that have landed."""
    sheet_ids: set[str] = field(default_factory=set)
    old_files: set[str] = field(default_factory=set)
    troubled: dict[str, SheetResult] = field(default_factory=dict)
    done: int = 0
    unchanged: int = 0
    flushed: float = field(default_factory=time.monotonic)
    fresh: int = 0
    """Files that wait and were read, and their figures."""
    figures: int = 0
    landing: float = 0.0
    """Seconds that the last landing took."""

    def tasks(self, found: Sequence[Found]) -> Iterator[Task]:
        """Files that have to be read; the others arrive at once."""
        begun: set[str] = set()
        for number, file in enumerate(found):
            trouble, data = file.trouble, b""
            if not trouble:
                try:
                    data = file.path.read_bytes()
                except OSError as error:
                    trouble = f"It cannot be read ({error.strerror})."
            if trouble:
                digest = sheet_digest(f"unread {file.source}".encode())
                self._wait(file, digest, (failed(file.name, digest, _size(file.path), trouble),))
                continue
            digest = sheet_digest(data)
            if self._is_known(digest):
                self.unchanged += 1
                self._wait(file, digest, None)
            elif digest in begun:  # the same bytes twice in one import: the second waits for the first
                self.twins.append(_arrival(file, digest, None))
                self.unchanged += 1
                self._count(file.name, None)
            else:
                begun.add(digest)
                self.found[number] = (file, digest)
                yield Task(data, file.name, file.merchant, number)

    def _is_known(self, digest: str) -> bool:
        if digest not in self.known:
            return False
        return not self.options.merchant or self.known[digest] == {self.options.merchant}

    def arrived(self, task: Task, results: list[SheetResult]) -> None:
        file, digest = self.found.pop(task.number)
        if self.options.keep:
            keep(self.catalogue, digest, task.data)
        self._wait(file, digest, tuple(results))

    def _wait(self, file: Found, digest: str, results: tuple[SheetResult, ...] | None) -> None:
        self.waiting.append(_arrival(file, digest, results))
        self._count(file.name, results)
        if results is None and len(self.waiting) < FLUSH_KNOWN:
            return
        self.fresh += 1
        self.figures += sum(len(result.figures) for result in results or ())
        late = time.monotonic() - self.flushed > max(FLUSH_SECONDS, FLUSH_SHARE * self.landing)
        if self.fresh >= FLUSH_FILES or self.figures >= FLUSH_FIGURES or late or results is None:
            self._land()

    def _count(self, name: str, results: tuple[SheetResult, ...] | None) -> None:
        self.done += 1
        if self.watch is not None:
            self.watch(name, results)
        if self.progress is not None:
            self.progress(self.done, self.total, name)

    def flush(self) -> None:
        self._land()
        self.same += self.twins
        self.waiting, self.twins = self.twins, []
        self._land()

    def _land(self) -> None:
        """Writes what waits; where that fails, one file after the other, so that only the culprit is lost."""
        arrivals, self.waiting = self.waiting, []
        self.fresh = self.figures = 0
        if not arrivals:
            return
        began = time.monotonic()
        try:
            land(self.catalogue, arrivals, self.stamp, wait=self.options.wait)
        except HalfinchError:
            raise
        except Exception:  # noqa: BLE001 - a bug in one sheet's rows must not cost its neighbours
            arrivals = [self._land_alone(arrival) for arrival in arrivals]
        for arrival in arrivals:
            if arrival.results is None:
                self.old_files.add(arrival.file_id)
            for result in arrival.results or ():
                self.sheet_ids.add(result.sheet_id)
                if result.outcome == "failed":
                    self.troubled[result.sheet_id] = result
        self.flushed = time.monotonic()
        self.landing = self.flushed - began

    def _land_alone(self, arrival: Arrival) -> Arrival:
        try:
            land(self.catalogue, [arrival], self.stamp, wait=self.options.wait)
        except HalfinchError:
            raise
        except Exception as error:  # noqa: BLE001 - as above: this sheet fails loudly
            log = "".join(traceback.format_exception(error))
            message = f"halfinch itself failed when storing this sheet ({type(error).__name__}: {error})."
            result = failed(arrival.name, arrival.file_id, 0, message, log)
            arrival = replace(arrival, results=(result,))
            land(self.catalogue, [arrival], self.stamp, wait=self.options.wait)
        return arrival

    def report(self) -> Report:
        if not self.catalogue.exists():  # nothing was found, nothing was written
            return Report()
        wait = self.options.wait
        ids = self.sheet_ids | summary.sheets_in(self.catalogue, self.old_files, wait)
        lines, held = summary.summarise(self.catalogue, ids, wait)
        lines = [with_trouble(line, self.troubled) for line in lines]
        lines += self._broken_twins(lines)
        stale = len(summary.stale_readings(self.catalogue, self.stamp, wait=wait))
        differing = summary.find_differing(self.catalogue, ids, wait)
        return Report(tuple(lines), tuple(held), self.unchanged, stale, tuple(differing))

    def _broken_twins(self, lines: Sequence[summary.SheetLine]) -> list[summary.SheetLine]:
        """Every file that failed is listed, also where another one holds the same bytes (two empty files)."""
        failures = {line.sheet_id: line for line in lines if line.outcome == "failed"}
        told = [(twin.name, failures[twin.file_id]) for twin in self.same if twin.file_id in failures]
        return [
            replace(line, sheet=name, message=f"{line.message} (the same bytes as {line.sheet})")
            for name, line in told
            if name != line.sheet
        ]


def with_trouble(line: summary.SheetLine, troubled: dict[str, SheetResult]) -> summary.SheetLine:
    """The line of a sheet that failed now, though an earlier reading of it stays in force."""
    if line.sheet_id not in troubled:
        return line
    return replace(line, outcome="failed", message=troubled[line.sheet_id].message)


def _arrival(file: Found, digest: str, results: tuple[SheetResult, ...] | None) -> Arrival:
    return Arrival(file.source, file.name, digest, file.merchant, results)


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError:
        return 0
