"""What one browser has done at the held figures: what may be undone, what was just said, which habits are offered."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass, field

from halfinch.catalogue.habit_offers import Offer

KEPT = 200
STEPS = 100


@dataclass(frozen=True, slots=True)
class Step:
    """One decision."""

    ruling_ids: tuple[str, ...]
    figure_id: str
    """The figure that was looked at."""


@dataclass(eq=False)
class Sitting:
    """Of one session."""

    steps: list[Step] = field(default_factory=list)
    said: tuple[str, int] | None = None
    """Key of the text about the last step, and how many figures it was about; told once."""
    offers: tuple[Offer, ...] = ()
    declined: set[tuple[str, str]] = field(default_factory=set)

    def tell(self) -> tuple[str, int] | None:
        said, self.said = self.said, None
        return said

    def did(self, step: Step) -> None:
        self.steps = [*self.steps[-STEPS + 1 :], step]


class Sittings:
    """By session; the oldest ones are forgotten, their rulings are in the catalogue."""

    def __init__(self) -> None:
        self._by_session: OrderedDict[str, Sitting] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, session: str) -> Sitting:
        with self._lock:
            sitting = self._by_session.setdefault(session, Sitting())
            self._by_session.move_to_end(session)
            while len(self._by_session) > KEPT:
                self._by_session.popitem(last=False)
            return sitting
