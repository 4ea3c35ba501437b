"""Sheets are read in worker processes: one that dies or hangs costs its sheet, never the batch.

Every worker is a pool of one, so that a dead one takes no other sheet with it.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from pathlib import Path

from halfinch.catalogue.habits import AllHabits
from halfinch.catalogue.identity import sheet_digest
from halfinch.figure import SheetResult
from halfinch.work.reading import failed

TIME_LIMIT = 120.0
"""Seconds that one file may take."""

MEMORY_LIMIT = 1500
"""Megabytes of address space that a worker may take; it starts with about 250."""

START_LIMIT = 60.0
"""Seconds that a worker may take to start."""


@dataclass(frozen=True, slots=True)
class Task:
    """A file to be read."""

    data: bytes
    name: str
    merchant: str = ""
    """By --merchant or by folder, to know whose habits count."""
    number: int = 0
    """Whatever the caller knows it by."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What workers read with."""

    schemas: Path | None = None
    """Folder of the knowledge, None for the one shipped with the program."""
    habits: AllHabits | None = None
    """Merchant to habits, of all merchants."""
    memory: int = MEMORY_LIMIT
    """Megabytes that a worker may take, where the system can hold it to that."""


Reader = Callable[[Task, Setting], list[SheetResult]]

_setting = Setting()


def read_all(
    tasks: Iterable[Task],
    setting: Setting,
    *,
    jobs: int | None = None,
    limit: float = TIME_LIMIT,
    read: Reader | None = None,
) -> Iterator[tuple[Task, list[SheetResult]]]:
    """Results of every task, as they are done. `jobs` workers; None: one a core; 0: here, without time limit.

    Tasks are taken from `tasks` only when a worker is free. `read` is what reads one (a function of a module).
    """
    read = read or read_task
    if jobs == 0:
        for task in tasks:
            yield task, _read(read, task, setting)
        return
    workers = [Worker(setting, limit, read) for _ in range(jobs or os.cpu_count() or 1)]
    waiting = iter(tasks)
    try:
        yield from _run(workers, waiting)
    finally:
        for worker in workers:
            worker.stop()


def _run(workers: list[Worker], waiting: Iterator[Task]) -> Iterator[tuple[Task, list[SheetResult]]]:
    exhausted = False
    while True:
        for worker in workers:
            if worker.task is None and not exhausted:
                task = next(waiting, None)
                exhausted = task is None
                if task is not None:
                    worker.start(task)
        busy = [worker for worker in workers if worker.task is not None]
        if not busy:
            return
        futures = [worker.future for worker in busy if worker.future is not None]
        wait(futures, timeout=max(0.0, min(worker.time_left() for worker in busy)), return_when=FIRST_COMPLETED)
        for worker in busy:
            done = worker.collect()
            if done is not None:
                yield done


@dataclass(slots=True)
class Worker:
    """A process that reads one task after the other; it is started with the first one, and anew after a death."""

    setting: Setting
    limit: float
    read: Reader
    task: Task | None = None
    future: Future[list[SheetResult]] | None = None
    _pool: ProcessPoolExecutor | None = None
    _process: int = 0
    _until: float = field(default=0.0)

    def start(self, task: Task) -> None:
        self.task = task
        if self._pool is None:
            context = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(1, mp_context=context, initializer=_set, initargs=(self.setting,))
            try:
                self._process = self._pool.submit(os.getpid).result(START_LIMIT)
            except (BrokenProcessPool, TimeoutError):
                self._process = 0  # the task itself will tell
        self._until = time.monotonic() + self.limit
        self.future = self._submit(task)

    def _submit(self, task: Task) -> Future[list[SheetResult]]:
        assert self._pool is not None
        try:
            return self._pool.submit(_read_in_worker, self.read, task)
        except BrokenProcessPool as error:
            broken: Future[list[SheetResult]] = Future()
            broken.set_exception(error)
            return broken

    def time_left(self) -> float:
        return self._until - time.monotonic()

    def collect(self) -> tuple[Task, list[SheetResult]] | None:
        """What became of the task, None while it is being read."""
        if self.task is None or self.future is None:
            return None
        task = self.task
        if self.future.done():
            try:
                results = self.future.result()
            except BrokenProcessPool:
                message = "The process that read this sheet died (out of memory, or a fault in a library)."
                results = [_lost(task, message)]
                self.stop()
        elif self.time_left() <= 0:
            message = f"Reading took longer than {self.limit:g} s and was stopped; --time-limit allows more."
            results = [_lost(task, message)]
            self.stop()
        else:
            return None
        self.task = self.future = None
        return task, results

    def read_one(self, task: Task) -> list[SheetResult]:
        """Starts a task and waits for what becomes of it."""
        self.start(task)
        while True:
            if self.future is not None:
                wait([self.future], timeout=max(0.0, self.time_left()))
            done = self.collect()
            if done is not None:
                return done[1]

    def stop(self) -> None:
        """Ends the process, whatever it does."""
        if self._pool is None:
            return
        if self._process and self.future is not None:
            _kill(self._process)
        self._pool.shutdown(wait=True, cancel_futures=True)
        self._pool, self._process = None, 0


def _kill(process: int) -> None:
    try:
        os.kill(process, getattr(signal, "SIGKILL", signal.SIGTERM))
    except (ProcessLookupError, PermissionError):  # gone already
        return


def _lost(task: Task, message: str) -> SheetResult:
    return failed(task.name, sheet_digest(task.data), len(task.data), message)


def _set(setting: Setting) -> None:
    global _setting
    _setting = setting
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent ends its workers
    threading.Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    _limit_memory(setting.memory)


def _end_with(parent: int) -> None:
    """A worker whose parent was killed would wait for ever."""
    while os.getppid() == parent:
        time.sleep(2)
    os._exit(1)


def _limit_memory(megabytes: int) -> None:
    """What asks for more gets a MemoryError: the sheet fails, and the machine does not begin to swap."""
    try:
        import resource
    except ImportError:  # not on Windows
        return
    most, hard = megabytes * 1_000_000, resource.getrlimit(resource.RLIMIT_AS)[1]
    if hard == resource.RLIM_INFINITY or most <= hard:
        with contextlib.suppress(ValueError, OSError):  # some systems know the limit and do not set it
            resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def _read_in_worker(read: Reader, task: Task) -> list[SheetResult]:
    return _read(read, task, _setting)


def _read(read: Reader, task: Task, setting: Setting) -> list[SheetResult]:
    try:
        return read(task, setting)
    except MemoryError:
        told = f"Reading needs more than {setting.memory:,} MB of memory and was stopped; --memory-limit allows more."
    return [_lost(task, told)]  # behind the handler, when the traceback no longer holds what filled the memory


def read_task(task: Task, setting: Setting) -> list[SheetResult]:
    """Reads a task with the habits of its merchant, and again where the sheet names another merchant with habits."""
    from halfinch import knowledge
    from halfinch.catalogue.habits import habits_of
    from halfinch.work import reading

    known = knowledge.load(setting.schemas)
    habits = habits_of(setting.habits, task.merchant)
    results = reading.read_sheet(task.data, task.name, known, habits)
    said = next((result.merchant for result in results if result.merchant), task.merchant)
    own = habits_of(setting.habits, said)
    return results if own == habits else reading.read_sheet(task.data, task.name, known, own)
