"""Imports that run beside the pages: one after the other, watched from any page, going on when the page is closed."""

from __future__ import annotations

import contextlib
import logging
import secrets
import shutil
import tempfile
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

from halfinch.catalogue.identity import slug
from halfinch.catalogue.summary import sources_below
from halfinch.errors import HalfinchError
from halfinch.figure import SheetResult
from halfinch.work.importing import Options, Report, import_paths
from halfinch.workbench.pictures import PDFIUM
from halfinch.workbench.settings import Settings

log = logging.getLogger("halfinch.workbench")
GATHERING, WAITING, READING, STOPPING = "gathering", "waiting", "reading", "stopping"
DONE, CANCELLED, FAILED = "done", "cancelled", "failed"
OVER = frozenset({DONE, CANCELLED, FAILED})
LONG_WAIT = 60.0
"""Seconds an import waits for another program; nobody sits before it."""
DROPPED = "dropped"
"""Under what name uploaded sheets are known as a source."""
KEPT = 20
"""Jobs that are remembered."""


@dataclass(frozen=True, slots=True)
class Line:
    """One sheet as it was just read; it lands a moment later."""

    sheet: str
    outcome: str
    """read | partly | nothing | scanned | failed | known"""
    message: str = ""
    accepted: int = 0
    assumed: int = 0
    held: int = 0


class _CancelledError(Exception):
    pass


@dataclass(eq=False)
class Job:
    """One import. Its fields are written by one thread and read by others; each is replaced whole."""

    handle: str
    folder: Path | None
    """Where uploaded files gather; removed when the job is over. None for files that are here already."""
    paths: tuple[Path, ...]
    options: Options
    state: str = GATHERING
    done: int = 0
    total: int = 0
    at: str = ""
    lines: list[Line] = field(default_factory=list)
    report: Report | None = None
    trouble: str = ""
    taken: dict[str, str] = field(default_factory=dict)
    """Paths below the folder that mean a file of the catalogue already, with its digest."""
    _cancel: threading.Event = field(default_factory=threading.Event)

    @property
    def over(self) -> bool:
        return self.state in OVER

    def cancel(self) -> None:
        """The sheet in hand is still read to its end; what has arrived lands, whole sheets only."""
        self._cancel.set()
        if not self.over:
            self.state = STOPPING

    def run(self, catalogue: Path) -> None:
        try:
            self._step(self.done, self.total, "")
            self.state = READING
            with PDFIUM if self.options.jobs == 0 else contextlib.nullcontext():
                self.report = import_paths(catalogue, self.paths, self.options, self._step, self._watch)
            self.state = DONE
        except _CancelledError:
            self.state = CANCELLED
        except HalfinchError as error:
            self.trouble, self.state = str(error), FAILED
        except Exception:
            self.state = FAILED
            log.exception("an import failed")
        finally:
            if self.folder is not None:
                shutil.rmtree(self.folder, ignore_errors=True)

    def _step(self, done: int, total: int, name: str) -> None:
        self.done, self.total, self.at = done, total, name
        if self._cancel.is_set():
            raise _CancelledError

    def _watch(self, name: str, results: tuple[SheetResult, ...] | None) -> None:
        self.lines += [Line(name, "known")] if results is None else [line_of(result) for result in results]


def line_of(result: SheetResult) -> Line:
    counts = {status: sum(one.status == status for one in result.figures) for status in ("accepted", "assumed", "held")}
    return Line(result.sheet, result.outcome, result.message, **counts)


class Jobs:
    """All jobs of a server; one runs at a time, as the catalogue is written by one at a time."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._jobs: dict[str, Job] = {}
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="import")
        self._lock = threading.Lock()

    def gather(self, merchant: str = "", *, newer: bool = False) -> Job:
        """A new job whose files are still to come. Without `newer`, none takes the place of a sheet that is there."""
        settings = self._settings
        whole = Path(tempfile.mkdtemp(prefix="halfinch-"))
        (folder := whole / "incoming").mkdir()
        named = f"{DROPPED}/{slug(merchant)}" if merchant else DROPPED
        job = self._add(named, merchant, whole, (folder,))
        if not newer and settings.catalogue.exists():
            job.taken = sources_below(settings.catalogue, named, settings.wait)
        return job

    def of_folder(self, folder: Path, named: str) -> Job:
        """A new job over sheets that lie on this machine."""
        return self._add(named, "", None, (folder,))

    def _add(self, named: str, merchant: str, folder: Path | None, paths: tuple[Path, ...]) -> Job:
        settings = self._settings
        options = Options(
            merchant, named, jobs=settings.jobs, wait=max(settings.wait, LONG_WAIT), schemas=settings.schemas
        )
        job = Job(secrets.token_urlsafe(9), folder, paths, options)
        with self._lock:
            self._jobs[job.handle] = job
            for old in [one for one in self._jobs.values() if one.over][:-KEPT]:
                del self._jobs[old.handle]
        return job

    def start(self, job: Job, after: Callable[[], None] | None = None) -> None:
        job.state = WAITING

        def run() -> None:
            job.run(self._settings.catalogue)
            if after is not None:
                after()

        self._pool.submit(run)

    def get(self, handle: str) -> Job | None:
        return self._jobs.get(handle)

    def latest(self) -> list[Job]:
        """Those begun, newest first."""
        return [job for job in reversed(self._jobs.values()) if job.state != GATHERING]

    def stop(self) -> None:
        """At the end of the server: what is being read is read to its end and lands; nothing new begins."""
        for job in list(self._jobs.values()):
            if not job.over:
                job.cancel()
            if job.state == GATHERING and job.folder is not None:
                shutil.rmtree(job.folder, ignore_errors=True)
        self._pool.shutdown(wait=True, cancel_futures=True)
