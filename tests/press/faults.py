"""Breaks a sheet as people do. Which of it a careful reader could notice is said by `notice`, before reading."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from .doc import Doc, Para
from .notice import NM, Board, Spot, board_of, find_noticeable
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
    """What the printed number of `source` would mean at `target`: doubled or not as that one, and in its unit.

    A unit printed in the cell comes along.
    """
    unit = 1.0
    if board.doc.facts["unit said"] not in ("cell", "both"):
        unit = UNITS[board.truth[target].unit] / UNITS[board.truth[source].unit]
    return board.truth[source].nm[0] / NM * unit * _factor(board, target) / _factor(board, source)


UNITS = {"in": 1.0, "cm": 1 / 2.54, "mm": 1 / 25.4}


def _factor(board: Board, number: int) -> float:
    return 2.0 if board.truth[number].flat else 1.0


def swap_sizes(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """The figures of two sizes exchanged, whole columns (or rows)."""
    count = len({e.size for e in board.truth})
    if count < 4:
        return None
    at = rng.randrange(count - 2)
    to = at + rng.choice((1, 2))
    values, touched = inches_of(board), set()
    for places in board.lines().values():
        one, two = places[at], places[to]
        first, second = board.cell(one), board.cell(two)
        board.write(one, second)
        board.write(two, first)
        i, j = board.index[one], board.index[two]
        values[i], values[j] = values[j], values[i]
        touched |= {i, j} if first.text != second.text else set()
    return touched, values


def row_in_other_unit(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """One point's figures in the other unit, without a word."""
    places = board.lines()[rng.choice(sorted(board.lines()))]
    ratio = {"in": 2.54, "cm": 1 / 2.54, "mm": 1 / 25.4}[board.truth[board.index[places[0]]].unit]
    return _rewrite_row(board, places, ratio, 2)


def half_row(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """One girth laid flat among round ones, or round among flat ones, under an unchanged label."""
    girths = [places for (point, _), places in sorted(board.lines().items()) if point in GIRTHS]
    if not girths:
        return None
    places = rng.choice(girths)
    return _rewrite_row(board, places, 2.0 if board.truth[board.index[places[0]]].flat else 0.5, 8)


def _rewrite_row(
    board: Board, places: list[Spot], ratio: float, parts: int
) -> tuple[set[int], dict[int, float]] | None:
    values = inches_of(board)
    cells = [board.cell(place) for place in places]
    if any(cell.value is None or cell.text != f"{float(cell.value):g}" for cell in cells):
        return None
    for place, cell in zip(places, cells, strict=True):
        new = round(float(cell.value or 0) * ratio * parts) / parts
        values[board.index[place]] *= new / float(cell.value or 1)
        board.write(place, replace(cell, text=f"{new:g}", value=None))
    return {board.index[place] for place in places}, values


def copy_point(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """The figures of one point printed under the name of another too."""
    lines = board.lines()
    if len(lines) < 2:
        return None
    source, target = rng.sample(sorted(lines), 2)
    values, touched = inches_of(board), set()
    for a, b in zip(lines[source], lines[target], strict=True):
        i, j = board.index[a], board.index[b]
        touched |= {j} if board.cell(a).text != board.cell(b).text else set()
        board.write(b, board.cell(a))
        values[j] = _as(board, i, j)
    return touched, values


def lose_cell(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """A row one cell short: what stands right of the lost cell moves left. Sizes across; anyone can count the cells."""
    lines = {key: places for key, places in board.lines().items() if len({place[:2] for place in places}) == 1}
    lines = {key: places for key, places in lines.items() if len(places) >= 4}
    if not lines or any(cell.span > 1 or cell.down > 1 for table in board.tables for row in table.rows for cell in row):
        return None
    places = lines[rng.choice(sorted(lines))]
    values, at = inches_of(board), rng.randrange(len(places) - 1)
    texts = [board.cell(place).text for place in places]
    table, row, column = places[at]
    del board.tables[table].rows[row][column]
    touched = {board.index[places[n]] for n in range(at, len(places) - 1) if texts[n] != texts[n + 1]}
    return touched, values | dict.fromkeys((board.index[place] for place in places), -1.0)


def lose_heading(board: Board, rng: random.Random) -> tuple[set[int], dict[int, float]] | None:
    """A heading one cell short: the sizes (or the names of the points) stand one column too early. Anyone can count."""
    if len(board.tables) != 1 or board.tables[0].heads != 1 or len(board.tables[0].rows[0]) < 4:
        return None
    if any(cell.span > 1 or cell.down > 1 for row in board.tables[0].rows for cell in row):
        return None
    del board.tables[0].rows[0][rng.choice((0, 1))]
    return set(range(len(board.truth))), dict.fromkeys(range(len(board.truth)), -1.0)


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
    "two sizes swapped": swap_sizes, "a row in the other unit": row_in_other_unit, "a half row among whole": half_row,
    "one row under two names": copy_point, "a row one cell short": lose_cell, "a heading one cell short": lose_heading,
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
