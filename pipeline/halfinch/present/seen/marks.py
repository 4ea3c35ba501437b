"""What each cell and text of a sheet is marked as in its picture, and the numbered notes beside it.

In: sheet, result, account. Out: `Marks`: kind and words by place. A place that holds several figures gets the mark of
the one that most needs a look.
"""

from __future__ import annotations

from dataclasses import dataclass

from halfinch.figure import Figure, SheetResult
from halfinch.interpret.account import Account, Band
from halfinch.sheet import Sheet

HELD, ASSUMED, ACCEPTED = "held", "assumed", "accepted"
NAMED, OVER, STRANGE, UNUSED = "named", "over", "strange", "unused"
TELLS, SILENT, PASSED = "tells", "silent", "passed"

LEGEND: dict[str, str] = {
    ACCEPTED: "a figure, accepted",
    ASSUMED: "a figure, something about it assumed",
    HELD: "a figure that is held; the number is its note",
    NAMED: "a label or heading that was understood",
    OVER: "understood, and none of our points: read over",
    STRANGE: "not understood",
    UNUSED: "a number that no figure came of",
    TELLS: "a text that says something of the tables",
    SILENT: "a text that says nothing that counts",
    PASSED: "left out on purpose",
}
"""Kind to what it means, in the order of the key beside a picture."""

_URGENT = (HELD, ASSUMED, ACCEPTED)


@dataclass(frozen=True, slots=True)
class Mark:
    """One cell or text."""

    kind: str
    says: str = ""
    """What it was taken for: "waist, flat", "inseam of 12", "unit: cm"."""
    notes: tuple[int, ...] = ()
    """Numbers of the notes that concern it, from 1."""


@dataclass(frozen=True, slots=True)
class Marks:
    """All of a sheet."""

    by_place: dict[str, Mark]
    notes: tuple[str, ...]
    """Why figures are held, with what would settle it; note 1 is the first."""
    bands: tuple[str, ...]
    """A line for each band: which way it was read, by how much that won, what it is about."""
    title: str


def mark_sheet(sheet: Sheet, result: SheetResult, account: Account) -> Marks:
    """Every place that has anything to say."""
    notes, numbers = number_notes(result)
    by_place: dict[str, Mark] = {}
    for told in account.told:
        by_place[told.place] = Mark(TELLS if told.says else SILENT, "; ".join(told.says))
    for passed in account.passed_over:
        by_place[passed.place] = Mark(PASSED, passed.why)
    for band in account.bands:
        dropped = bool(band.ways) and not band.kept
        for sense in band.senses:
            if sense.taken_as and sense.taken_as != "figure":
                by_place[sense.place] = Mark(OVER if sense.read_over else NAMED, sense.taken_as)
            elif dropped and sense.taken_as == "figure":
                by_place[sense.place] = Mark(PASSED, "of something that is not ours")
            elif any(char.isalpha() for char in sense.text):
                by_place.setdefault(sense.place, Mark(STRANGE))
            elif any(char.isdigit() for char in sense.text):
                by_place.setdefault(sense.place, Mark(UNUSED))
    at: dict[str, list[int]] = {}
    for index, figure in enumerate(result.figures):
        at.setdefault(figure.place, []).append(index)
    for place, indices in at.items():
        by_place[place] = _mark_figures([result.figures[index] for index in indices], indices, numbers)
    clean = sum(figure.status in (ACCEPTED, ASSUMED) for figure in result.figures)
    held = sum(figure.status == HELD for figure in result.figures)
    title = f"{sheet.name}: {clean} figures read, {held} held"
    return Marks(by_place, notes, tuple(band_in_words(band) for band in account.bands), title)


def number_notes(result: SheetResult) -> tuple[tuple[str, ...], dict[int, tuple[int, ...]]]:
    """The reasons of all holds, each once, and the numbers of the notes of each figure by its index."""
    notes: dict[str, int] = {}
    numbers: dict[int, list[int]] = {}
    for finding in result.findings:
        if finding.severity != "error":
            continue
        settle = f" ({finding.suggestion})" if finding.suggestion else ""
        number = notes.setdefault(f"{finding.rule}: {finding.message}{settle}", len(notes) + 1)
        for index in finding.figures:
            if number not in numbers.setdefault(index, []):
                numbers[index].append(number)
    return tuple(notes), {index: tuple(found) for index, found in numbers.items()}


def _mark_figures(figures: list[Figure], indices: list[int], numbers: dict[int, tuple[int, ...]]) -> Mark:
    kind = next((status for status in _URGENT if any(figure.status == status for figure in figures)), ACCEPTED)
    printed = [figure for figure in figures if figure.basis != "derived"] or figures
    says = dict.fromkeys(name_figure(figure) for figure in printed)
    notes = dict.fromkeys(number for index in indices for number in numbers.get(index, ()))
    return Mark(kind, "; ".join(list(says)[:4]) + (" …" if len(says) > 4 else ""), tuple(notes))


def name_figure(figure: Figure) -> str:
    """ "inseam of 12 tall"."""
    point = figure.point.replace("_", " ")
    whose = " ".join(part for part in (figure.size, figure.length) if part)
    return f"{point} of {whose}" if whose else point


def band_in_words(band: Band) -> str:
    """One line: "page=1;table=1: points down, 189 times its rival; the garment; 48 of 48 figures"."""
    where = band.place or "table told in text"
    if not band.ways:
        return f"{where}: nothing of ours was found in it"
    lead = "no rival" if band.margin is None else f"{band.margin:.1f} times “{band.ways[1].way}”"
    about = f"; {band.subject}" if band.subject else ""
    return f"{where}: read “{band.ways[0].way}”, {lead}{about}; {band.kept} of {band.ways[0].figures} figures stay"
