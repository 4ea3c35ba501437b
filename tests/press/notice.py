"""The fixed rule that says, before anything is read, whether a fault can be noticed, and by which figures.

A broken figure is noticeable when it leaves its point's range, breaks a relation between points by two tolerances, or
the evenness of a run by two tolerances. The limits are the trade's own spread: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from .doc import Cell, Doc, Table
from .truth import GIRTHS, Expected

# Full girths and lengths that a pair of women's trousers may have, inches; as wide as design allows.
RANGES = {
    "waist": (21.0, 60.0), "hip": (29.0, 70.0), "thigh": (16.0, 42.0), "knee": (10.0, 36.0), "leg_opening": (8.0, 40.0),
    "front_rise": (5.5, 16.0), "back_rise": (8.5, 22.0), "inseam": (8.0, 38.0), "outseam": (14.0, 52.0),
}  # fmt: skip
TOLERANCE = {"waist": 1.0, "hip": 1.0, "thigh": 0.5, "knee": 0.5, "leg_opening": 0.5, "front_rise": 0.25}
TOLERANCE |= {"back_rise": 0.25, "inseam": 0.5, "outseam": 0.5}
NM = 25_400_000


Spot = tuple[int, int, int]
"""Table, row and cell of a figure."""


@dataclass(slots=True)
class Board:
    """Plain tables with the truth index of each figure cell; `index` keeps the order of the truth."""

    doc: Doc
    tables: list[Table]
    truth: list[Expected]
    index: dict[Spot, int]

    def cell(self, spot: Spot) -> Cell:
        return self.tables[spot[0]].rows[spot[1]][spot[2]]

    def has(self, spot: Spot) -> bool:
        rows = self.tables[spot[0]].rows
        return spot[1] < len(rows) and spot[2] < len(rows[spot[1]])

    def write(self, spot: Spot, cell: Cell) -> None:
        self.tables[spot[0]].rows[spot[1]][spot[2]] = cell

    def lines(self) -> dict[tuple[str, str], list[Spot]]:
        """Places of the figures of each point and length, in the order of sizes."""
        found: dict[tuple[str, str], list[Spot]] = {}
        for spot, number in sorted(self.index.items(), key=lambda item: item[1]):
            found.setdefault((self.truth[number].point, self.truth[number].length), []).append(spot)
        return found


def board_of(doc: Doc) -> Board | None:
    """The sheet's tables, their figure cells matched with the truth by printed text, in order."""
    if not doc.truth or any(entry.expect != "value" for entry in doc.truth):
        return None
    board, at = Board(doc, [block for block in doc.blocks if isinstance(block, Table)], doc.truth, {}), 0
    for t, table in enumerate(board.tables):
        for r, row in enumerate(table.rows):
            for c, cell in enumerate(row):
                if at < len(doc.truth) and not cell.head and cell.text == doc.truth[at].printed and r and c:
                    board.index[(t, r, c)] = at
                    at += 1
    return board if at == len(doc.truth) else None


def find_noticeable(board: Board, values: dict[int, float]) -> set[int]:
    """Figures that take part in a broken rule. `values` are inches by truth index as the broken sheet says them."""
    truth = board.truth
    found = {n for n, value in values.items() if not RANGES[truth[n].point][0] <= value <= RANGES[truth[n].point][1]}
    for key in {(e.size, e.length) for e in truth}:
        numbers = {e.point: n for n, e in enumerate(truth) if (e.size, e.length) == key}
        for points in _broken_relations({point: values[n] for point, n in numbers.items()}):
            found |= {numbers[point] for point in points}
    for (point, _), places in board.lines().items():
        numbers = [board.index[place] for place in places]
        found |= {numbers[at] for at in _uneven([values[n] for n in numbers], point)}
        found |= {numbers[at] for at in _standing([values[n] for n in numbers], point)}
    return (
        found | _copied_rows(board) | _copied(board, values) | _all_alike(board, values) | _lengths_alike(board, values)
    )


def _lengths_alike(board: Board, values: dict[int, float]) -> set[int]:
    """Legs of one size that are equal under two lengths, and rises equal beside them: one block is the other's copy."""
    found: set[int] = set()
    pairs = [
        (number, other)
        for number, entry in enumerate(board.truth)
        for other, beside in enumerate(board.truth[:number])
        if (entry.point, entry.size) == (beside.point, beside.size) and entry.length != beside.length
        if values[number] == values[other]
    ]
    legs = {
        (board.truth[a].size, board.truth[a].length, board.truth[b].length) for a, b in pairs if _is(board, a, LEGS)
    }
    for a, b in pairs:
        if _is(board, a, LEGS + RISES) and (board.truth[a].size, board.truth[a].length, board.truth[b].length) in legs:
            found |= {a, b}
    return found


def _copied_rows(board: Board) -> set[int]:
    """Both of two rows that are printed alike in three sizes and more under two names: which is the copy?

    A straight leg's knee and opening may be alike, and what hardly changes: so many values or sizes tell it.
    """
    found: set[int] = set()
    lines = sorted(board.lines().items())
    for (one, length), places in lines:
        for (other, beside), twins in lines:
            if one >= other or length != beside or {one, other} == {"knee", "leg_opening"} or len(places) != len(twins):
                continue
            if not all(board.has(place) for place in (*places, *twins)):
                continue  # cells were lost
            texts = [board.cell(place).text for place in places]
            same = texts == [board.cell(place).text for place in twins]
            enough = len(set(texts)) >= 3 or (len(texts) >= 5 and len(set(texts)) == 2)
            if same and enough:
                found |= {board.index[place] for place in (*places, *twins)}
    return found


LEGS, RISES = ("inseam", "outseam"), ("front_rise", "back_rise")


def _is(board: Board, number: int, points: tuple[str, ...]) -> bool:
    return board.truth[number].point in points


def _copied(board: Board, values: dict[int, float]) -> set[int]:
    """Both of two sizes beside each other whose girths are all equal, the waist among them: which is the copy?

    Lengths that are equal in both are pointed at too.
    """
    truth, found = board.truth, set()
    sizes = list(dict.fromkeys(e.size for e in truth))
    for before, after in pairwise(sizes):
        one = {(e.point, e.length): n for n, e in enumerate(truth) if e.size == before}
        two = {(e.point, e.length): n for n, e in enumerate(truth) if e.size == after}
        girths = [key for key in one.keys() & two.keys() if key[0] in GIRTHS]
        points = {point for point, _ in girths}
        if "waist" in points and len(points) > 1 and all(values[one[key]] == values[two[key]] for key in girths):
            same = [key for key in one.keys() & two.keys() if values[one[key]] == values[two[key]]]
            found |= {n for key in same for n in (one[key], two[key])}
    return found


def _all_alike(board: Board, values: dict[int, float]) -> set[int]:
    """All figures of three sizes or more of which no girth grows: one size's figures, and nobody knows whose."""
    girths = [places for (point, _), places in board.lines().items() if point in GIRTHS]
    alike = [len({values[board.index[place]] for place in places}) == 1 for places in girths]
    enough = len(girths) > 1 and min(len(places) for places in girths) >= 3
    return set(values) if enough and all(alike) else set()


def _standing(run: list[float], point: str) -> set[int]:
    """A waist or hip that stands still in one step of a run that grows by an inch in all the others.

    At an end the whole row may have slipped by a size; inside one of the two is a copy.
    """
    steps = [abs(b - a) for a, b in pairwise(run)]
    if point not in ("waist", "hip") or len(steps) < 3 or steps.count(0) != 1 or sorted(steps)[1] < 0.9:
        return set()
    at = steps.index(0)
    return set(range(len(run))) if at in (0, len(steps) - 1) else {at, at + 1}


def _broken_relations(by: dict[str, float]) -> list[tuple[str, ...]]:
    """Points of one size that cannot stand together."""
    broken: list[tuple[str, ...]] = []

    def check(points: tuple[str, ...], low: float, high: float, value: float) -> None:
        if not low <= value <= high:
            broken.append(points)

    if {"outseam", "inseam", "front_rise"} <= by.keys():
        slack = 1.5 + 2 * TOLERANCE["outseam"]
        check(("outseam", "inseam", "front_rise"), -slack, slack, by["outseam"] - by["inseam"] - by["front_rise"])
    elif {"outseam", "inseam"} <= by.keys():
        check(("outseam", "inseam"), 5.0, 18.0, by["outseam"] - by["inseam"])
    if {"front_rise", "back_rise"} <= by.keys():
        check(("front_rise", "back_rise"), -2 * TOLERANCE["back_rise"], 8.0, by["back_rise"] - by["front_rise"])
    if {"waist", "hip"} <= by.keys():
        check(("waist", "hip"), -2 * TOLERANCE["hip"], 18.0, by["hip"] - by["waist"])
    if {"thigh", "hip"} <= by.keys():
        check(("thigh", "hip"), 0.47, 0.80, by["thigh"] / by["hip"])
    if {"knee", "thigh"} <= by.keys():
        check(("knee", "thigh"), 0.50, 1.25, by["knee"] / by["thigh"])
    return broken


def _uneven(run: list[float], point: str) -> set[int]:
    """Positions that stand off the line between their neighbours, or at an end of the line on from the two before."""
    found = set()
    for n in range(1, len(run) - 1):
        if abs(run[n] - (run[n - 1] + run[n + 1]) / 2) > 2 * TOLERANCE[point]:
            found.add(n)
    ends = [(0, run[:3]), (len(run) - 1, run[:-4:-1])] if len(run) >= 4 else []
    return found | {n for n, (a, b, c) in ends if abs(a - 2 * b + c) > 2 * TOLERANCE[point]}
