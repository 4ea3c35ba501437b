"""Breaks a sheet as people do. Which of it a careful reader could notice is said by `notice`, before reading."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from .doc import Doc, Para
from .notice import NM, Board, board_of, find_noticeable
from .truth import GIRTHS


@dataclass(slots=True)
class Broken:
    """What was done: figures (places in the truth) that are no longer true, and all that the fixed rule points at."""

    kind: str
    touched: set[int]
    pointed: set[int]

    @property
    def noticeable(self) -> set[int]:
        return self.touched & self.pointed


Fault = Callable[[Board, random.Random], "tuple[set[int], dict[int, float]] | None"]


def inches_of(board: Board) -> dict[int, float]:
    return {n: e.nm[0] / NM for n, e in enumerate(board.truth)}


def swap_points(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """Two rows (or columns) exchanged under their labels."""
    lines = board.lines()
    if len(lines) < 2:
        return None
    one, two = rng.sample(sorted(lines), 2)
    values = inches_of(board)
    for a, b in zip(lines[one], lines[two], strict=True):
        first, second = board.cell(a), board.cell(b)
        board.write(a, second)
        board.write(b, first)
        i, j = board.index[a], board.index[b]
        values[i], values[j] = _as(board, j, i), _as(board, i, j)
    both = lines[one] + lines[two]
    return {board.index[p] for p in both if board.cell(p).text != board.truth[board.index[p]].printed}, values


def _as(board: Board, source: int, target: int) -> float:
    """What the printed number of `source` would mean at `target`: the same where both are doubled or neither is."""
    return board.truth[source].nm[0] / NM * _factor(board, target) / _factor(board, source)


def _factor(board: Board, number: int) -> float:
    return 2.0 if board.truth[number].flat else 1.0


def slip_digit(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """A digit doubled or dropped in one cell."""
    place = rng.choice(sorted(board.index))
    text = board.cell(place).text
    if len(text) < 2 or not text[:2].isdigit():
        return None
    new = text[0] + text if rng.random() < 0.5 else text[1:]
    return _rewrite(board, place, new, float(new_whole(new)) / float(new_whole(text)))


def new_whole(text: str) -> Fraction:
    digits = "".join(ch for ch in text.split()[0] if ch.isdigit()) or "0"
    return Fraction(int(digits) or 1)


def _rewrite(board: Board, place: tuple[int, int], text: str, ratio: float) -> tuple[set[int], dict[int, float]]:
    number = board.index[place]
    values = inches_of(board)
    values[number] *= ratio
    board.write(place, replace(board.cell(place), text=text, value=None))
    return {number}, values


def slip_comma(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """The decimal comma lost or moved by one: 81,5 becomes 815 or 8,15."""
    places = [p for p in sorted(board.index) if any(mark in board.cell(p).text for mark in ",.")]
    places = [p for p in places if board.cell(p).value is not None]
    if not places:
        return None
    place = rng.choice(places)
    text = board.cell(place).text
    mark = "," if "," in text else "."
    whole, _, part = text.partition(mark)
    if rng.random() < 0.5:
        return _rewrite(board, place, whole + part, float(10 ** len(part)))
    if len(whole) < 2:
        return None
    return _rewrite(board, place, f"{whole[0]}{mark}{whole[1:]}{part}", 1 / 10 ** (len(whole) - 1))


def other_unit(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """One cell in the other unit, without a word."""
    place = rng.choice(sorted(board.index))
    cell = board.cell(place)
    if cell.value is None:
        return None
    ratio = {"in": 2.54, "cm": 1 / 2.54, "mm": 1 / 25.4}[board.truth[board.index[place]].unit]
    value = round(float(cell.value) * ratio, 1)
    return _rewrite(board, place, f"{value:g}", value / float(cell.value))


def shift_sizes(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """One point's figures shifted by one size."""
    places = board.lines()[rng.choice(sorted(board.lines()))]
    if len(places) < 3:
        return None
    cells = [board.cell(place) for place in places]
    values = inches_of(board)
    old = [values[board.index[place]] for place in places]
    for n, place in enumerate(places[1:], 1):
        board.write(place, cells[n - 1])
        values[board.index[place]] = old[n - 1]
    touched = {board.index[p] for n, p in enumerate(places) if board.cell(p).text != cells[n].text}
    return touched, values


def copy_row(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """The figures of one size copied over the next one."""
    sizes = list(dict.fromkeys(e.size for e in board.truth))
    if len(sizes) < 3:
        return None
    at = rng.randrange(len(sizes) - 1)
    values, touched = inches_of(board), set()
    for places in board.lines().values():
        source, target = places[at], places[at + 1]
        if board.cell(source).text != board.cell(target).text:
            touched.add(board.index[target])
        board.write(target, board.cell(source))
        values[board.index[target]] = values[board.index[source]]
    return touched, values


def one_size_for_all(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """The sample size's figures under every size."""
    values, touched = inches_of(board), set()
    for places in board.lines().values():
        for place in places[1:]:
            if board.cell(place).text != board.cell(places[0]).text:
                touched.add(board.index[place])
            board.write(place, board.cell(places[0]))
            values[board.index[place]] = values[board.index[places[0]]]
    return touched, values


def impossible_outseam(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """An outseam shorter than the inseam, in one size."""
    lines = board.lines()
    if ("outseam", "") not in lines or ("inseam", "") not in lines:
        return None
    at = rng.randrange(len(lines[("outseam", "")]))
    place, source = lines[("outseam", "")][at], lines[("inseam", "")][at]
    if board.cell(source).value is None:
        return None
    values = inches_of(board)
    values[board.index[place]] = values[board.index[source]]
    board.write(place, board.cell(source))
    return {board.index[place]}, values


def turn_into_date(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """A fraction that a spreadsheet turned into a date: 10 1/2 became 10-Jan."""
    places = [p for p in sorted(board.index) if "/" in board.cell(p).text or "-" in board.cell(p).text]
    if not places:
        return None
    place = rng.choice(places)
    text = rng.choice(["01-Feb", "2024-01-04", "3-Apr", "2001-10-02"])
    number = board.index[place]
    board.write(place, replace(board.cell(place), text=text, value=None))
    return {number}, inches_of(board) | {number: -1.0}


def mix_half(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """One size of a girth printed half among whole ones, or whole among half ones."""
    places = [p for (point, _), line in board.lines().items() if point in GIRTHS for p in line]
    places = [p for p in places if board.cell(p).value is not None]
    if not places:
        return None
    place = rng.choice(places)
    value = board.cell(place).value or Fraction(0)
    ratio = 2.0 if board.truth[board.index[place]].flat else 0.5
    new = value * Fraction(ratio)
    return _rewrite(board, place, f"{float(new):g}", ratio)


def paste_petite(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """The block of the first length pasted under the second one's heading."""
    lengths = list(dict.fromkeys(entry.length for entry in board.truth))
    if len(lengths) < 2:
        return None
    lines, values, touched = board.lines(), inches_of(board), set()
    for point in dict.fromkeys(entry.point for entry in board.truth):
        for source, target in zip(lines[(point, lengths[0])], lines[(point, lengths[1])], strict=True):
            if board.cell(source).text != board.cell(target).text:
                touched.add(board.index[target])
            board.write(target, board.cell(source))
            values[board.index[target]] = values[board.index[source]]
    return touched, values


def contradict_unit(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """A note says centimetres over inches, or inches over centimetres, against the labels."""
    unit = board.truth[0].unit
    if board.doc.facts["unit said"] != "label" or unit == "mm":
        return None
    board.doc.blocks.insert(1, Para(f"All measurements in {'cm' if unit == 'in' else 'inches'}."))
    ratio = 1 / 2.54 if unit == "in" else 2.54
    return set(range(len(board.truth))), {n: value * ratio for n, value in inches_of(board).items()}


FAULTS: dict[str, Fault] = {
    "two points swapped": swap_points, "digit doubled or dropped": slip_digit, "decimal mark slipped": slip_comma,
    "one cell in the other unit": other_unit, "sizes shifted by one": shift_sizes, "a row copied": copy_row,
    "sample size under every size": one_size_for_all, "outseam that cannot be": impossible_outseam,
    "fraction turned into a date": turn_into_date, "half among whole": mix_half,
    "petite pasted under regular": paste_petite, "note against labels": contradict_unit,
}  # fmt: skip


def break_sheet(doc: Doc, kind: str, rng: random.Random) -> Broken | None:
    """Applies one fault to the doc; None where this sheet has no place for it."""
    board = board_of(doc)
    if board is None:
        return None
    done = FAULTS[kind](board, rng)
    if done is None or not done[0]:
        return None
    touched, values = done
    return Broken(kind, touched, find_noticeable(board, values))
