"""A trick: how to make its file at any size, and what must come of it."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from halfinch.figure import SheetResult

HONEST = "Women's jeans Lagune\nSize,8,10,12\nWaist (in),28,29,30\nHip (in),38,39,40\nInseam (in),30,30,30\n"
"""A sheet that anybody can read: nine figures."""
FIGURES = 9

ANY = ("read", "partly", "nothing", "failed")


@dataclass(frozen=True, slots=True)
class Trick:
    """`make(count)` gives the file; `full` and `short` are counts. `outcomes`: those that may come of it; `says` stands
    in the message of one; `figures` is how many clean ones come of it, None where that is not the matter."""

    name: str
    make: Callable[[int], bytes]
    full: int
    short: int
    outcomes: tuple[str, ...]
    says: str
    figures: int | None


_STOPPED = re.compile(r"longer than .* s and was stopped|MB of memory and was|process .* died|halfinch itself")
"""A limit of the worker, or a fault of ours: only where the trick says so."""

TRICKS: dict[str, Trick] = {}


def trick(
    ending: str, *outcomes: str, says: str = "", full: int = 1, short: int = 1, figures: int | None = 0
) -> Callable[[Callable[[int], bytes]], Callable[[int], bytes]]:
    """Enters a maker under its function's name."""

    def enter(make: Callable[[int], bytes]) -> Callable[[int], bytes]:
        name = f"{make.__name__}.{ending}"
        TRICKS[name] = Trick(name, make, full, short, outcomes or ANY, says, figures)
        return make

    return enter


def faults(trick: Trick, outcomes: Iterable[tuple[str, str, int]]) -> list[str]:
    """What is wrong with what came of it: (outcome, message, clean figures) of each of its sheets."""
    found: list[str] = []
    told = list(outcomes)
    for outcome, message, _ in told:
        if outcome not in trick.outcomes:
            found.append(f"{outcome}: {message}")
        if _STOPPED.search(message) and not (trick.says and re.search(trick.says, message)):
            found.append(message)
        if "\n" in message:
            found.append("more than one line")
    if trick.says and not any(re.search(trick.says, message) for _, message, _ in told):
        found.append(f"nothing says {trick.says!r}: {[message for _, message, _ in told][:3]}")
    figures = sum(count for _, _, count in told)
    if trick.figures is not None and figures != trick.figures:
        found.append(f"{figures} clean figures, not {trick.figures}")
    return found


def zipped(members: Iterable[tuple[str, bytes | str]], level: int = 9) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=level) as archive:
        for name, data in members:
            archive.writestr(name, data)
    return packed.getvalue()


def told_of(results: Iterable[SheetResult]) -> list[tuple[str, str, int]]:
    """(outcome, message, clean figures) of each sheet."""
    return [
        (one.outcome, one.message, sum(figure.status in ("accepted", "assumed") for figure in one.figures))
        for one in results
    ]
