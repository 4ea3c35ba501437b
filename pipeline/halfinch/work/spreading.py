"""One function over many items on a Dask cluster that may lose workers, and its scheduler, at any moment."""

from __future__ import annotations

import contextlib
import logging
import pickle
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, TypeVar

from halfinch import __version__, knowledge
from halfinch.errors import CatalogueError, UsageError
from halfinch.work.cluster_worker import Errand, Mismatch, Trouble, make_plugin, other_version, shipped

SCHEME = "dask://"
ANSWER = 10.0
"""Seconds in which a scheduler answers."""
PATIENCE = 120.0
"""Seconds that a scheduler may be away, or without a worker, before an import gives up."""
TRIES = 3
"""Workers on which an item is tried when it cannot be written."""
AHEAD = 2
"""Items that a thread of a worker has waiting."""
PAUSE = 0.02

Item = TypeVar("Item")
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class Died:
    """Instead of an answer: the workers that had the item died, one after the other."""


@dataclass(slots=True)
class _Job(Generic[Item]):
    item: Item
    attempt: int = 0
    avoid: tuple[str, ...] = ()


class _Lost(Exception):
    """The scheduler does not know our items any more."""


@dataclass(slots=True)
class Spread(Generic[Item, Answer]):
    """`function` runs on the workers; `key` names an item by its content."""

    address: str
    errand: Errand
    schemas: Path | None
    function: Callable[[Errand, Item], Answer | Trouble | Mismatch]
    key: Callable[[Item], str]

    def over(self, items: Iterable[Item]) -> Iterator[tuple[Item, Answer | Died]]:
        """Answers as they come. Items are taken only when a worker is nearly free.

        Raises UsageError for an address that is none, CatalogueError for a cluster that does not answer, that has
        another halfinch, or on which an item cannot be written.
        """
        waiting = iter(items)
        first = next(waiting, None)
        if first is None:
            return
        waiting = _again(first, waiting)
        client = self._connect(ANSWER)
        jobs: dict[Any, _Job[Item]] = {}
        try:
            while True:
                try:
                    room = AHEAD * sum(client.nthreads().values()) + 1
                    while len(jobs) < room and (item := next(waiting, None)) is not None:
                        self._send(client, jobs, _Job(item))
                    if not jobs:
                        return
                    for future in self._done(client, jobs):
                        answer = self._answer(future)
                        job = jobs.pop(future)
                        if isinstance(answer, Trouble):
                            self._send(client, jobs, self._elsewhere(job, answer))
                        else:
                            yield job.item, answer
                except (_Lost, OSError, TimeoutError):
                    _close(client)
                    client, left = self._connect(PATIENCE), list(jobs.values())
                    jobs = {}
                    for job in left:
                        self._send(client, jobs, job)
        finally:
            _close(client)

    def _send(self, client: Any, jobs: dict[Any, _Job[Item]], job: _Job[Item]) -> None:
        others = [worker for worker in client.nthreads() if worker not in job.avoid] if job.avoid else []
        key = f"halfinch-{self.key(job.item)}-{job.attempt}"
        payload = pickle.dumps((self.function, self.errand, job.item))

        def run(payload: bytes) -> Any:  # sent as it is, and the rest as bytes: a scheduler may have no halfinch
            import pickle

            function, errand, item = pickle.loads(payload)
            return function(errand, item)

        jobs[client.submit(run, payload, key=key, workers=others or None, pure=False)] = job

    def _done(self, client: Any, jobs: dict[Any, _Job[Item]]) -> list[Any]:
        """Waits for one of them. Raises _Lost, CatalogueError."""
        alone_since: float | None = None
        looked = time.monotonic()
        while True:
            states = {future: future.status for future in jobs}
            done = [future for future, status in states.items() if status in ("finished", "error")]
            if done:
                return done
            if client.status != "running" or any(status in ("lost", "cancelled") for status in states.values()):
                raise _Lost
            if time.monotonic() - looked > 1:
                looked = time.monotonic()
                alone_since = None if client.nthreads() else alone_since or looked
                if alone_since is not None and looked - alone_since > PATIENCE:
                    raise CatalogueError(f"The cluster at {self.address} has lost all its workers. {_KEPT}")
            time.sleep(PAUSE)

    def _answer(self, future: Any) -> Answer | Died | Trouble:
        from concurrent.futures import CancelledError

        from distributed.scheduler import KilledWorker

        try:
            answer = future.result(timeout=PATIENCE)
        except KilledWorker:
            return Died()
        except CancelledError:
            raise _Lost from None
        if isinstance(answer, Mismatch):
            raise CatalogueError(answer.message)
        told: Answer | Trouble = answer
        return told

    def _elsewhere(self, job: _Job[Item], trouble: Trouble) -> _Job[Item]:
        if job.attempt + 1 >= TRIES:
            raise CatalogueError(f"{trouble.message} (on the worker {trouble.worker}) {_KEPT}")
        return _Job(job.item, job.attempt + 1, (*job.avoid, trouble.worker))

    # ---- the cluster ------------------------------------------------------------------------------------------------

    def _connect(self, patience: float) -> Any:
        try:
            from distributed import Client
        except ImportError:
            raise UsageError("--on needs the extra `cluster`: pip install 'halfinch[cluster]'.") from None
        if not self.address.startswith(SCHEME):
            raise UsageError(f"{self.address!r} is no cluster; say dask://HOST:PORT, the address of its scheduler.")
        logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what matters of it is told in our words
        until = time.monotonic() + patience
        while True:
            try:
                where = f"tcp://{self.address.removeprefix(SCHEME)}"
                client: Any = Client(where, timeout=ANSWER, set_as_default=False)  # type: ignore[no-untyped-call]
                self._check(client)
                return client
            except (OSError, TimeoutError, _Lost) as error:
                if time.monotonic() >= until:
                    raise CatalogueError(f"No Dask scheduler answers at {self.address}. {_KEPT}") from error
                time.sleep(1)

    def _check(self, client: Any) -> None:
        """Every worker has this halfinch, and this knowledge: where it has another one, ours is shipped."""
        until = time.monotonic() + PATIENCE
        while not client.nthreads():
            if time.monotonic() >= until:
                raise CatalogueError(f"The cluster at {self.address} has no workers. {_KEPT}")
            time.sleep(PAUSE)

        def have() -> tuple[str, str]:  # sent as it is: a worker may have no halfinch
            try:
                import halfinch
                from halfinch import knowledge
            except ImportError:
                return "", ""
            return halfinch.__version__, knowledge.load().reading_digest

        found = client.run(have, on_error="return")
        for worker, told in sorted(found.items()):
            if isinstance(told, BaseException):
                raise _Lost
            if told[0] != __version__:
                raise CatalogueError(other_version(worker, told[0]))
        if any(told[1] != self.errand.knowledge for told in found.values()):
            folder = knowledge.load(self.schemas).folder
            client.register_plugin(make_plugin(self.errand.knowledge, shipped(folder)))


_KEPT = "What was read is kept: the same command goes on when it is run again."


def _again(first: Item, rest: Iterator[Item]) -> Iterator[Item]:
    yield first
    yield from rest


def _close(client: Any) -> None:
    with contextlib.suppress(Exception):  # it may have gone; it is not ours
        client.close(timeout=5)
