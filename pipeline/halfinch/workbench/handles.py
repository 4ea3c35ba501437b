"""Opaque names of the running server for things that must not show in a URL or a log: bodies, drafts, uploads."""

from __future__ import annotations

import secrets
import threading
from typing import Generic, TypeVar

Thing = TypeVar("Thing")


class Handles(Generic[Thing]):
    """Handle to thing; the same (hashable) thing keeps its handle until the server stops or it is dropped."""

    def __init__(self) -> None:
        self._things: dict[str, Thing] = {}
        self._handles: dict[Thing, str] = {}
        self._lock = threading.Lock()

    def give(self, thing: Thing) -> str:
        with self._lock:
            if thing not in self._handles:
                handle = secrets.token_urlsafe(9)
                self._handles[thing], self._things[handle] = handle, thing
            return self._handles[thing]

    def get(self, handle: str) -> Thing | None:
        with self._lock:
            return self._things.get(handle)

    def drop(self, handle: str) -> None:
        with self._lock:
            thing = self._things.pop(handle, None)
            if thing is not None:
                del self._handles[thing]
