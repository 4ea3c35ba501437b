"""The figures under judgement: what is clean, what is held and why, and the runs over the sizes."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from halfinch.figure import NM_PER_INCH, Figure, Finding
from halfinch.knowledge import Knowledge

CLEAN = ("accepted", "assumed")


class Docket:
    """The figures under judgement: holds are written down here, and turned into figures and findings at the end."""

    def __init__(self, figures: list[Figure], knowledge: Knowledge) -> None:
        self.figures = list(figures)
        self.knowledge = knowledge
        self.findings: list[Finding] = []
        self.came_clean = frozenset(index for index, figure in enumerate(figures) if figure.status in CLEAN)
        self.rules: dict[int, set[str]] = defaultdict(set)
        """Which rules of this room hold a figure, by its index."""

    def is_clean(self, index: int) -> bool:
        return self.figures[index].status in CLEAN

    def inches(self, index: int) -> Fraction:
        return Fraction(self.figures[index].length_nm, NM_PER_INCH)

    def hold(self, indices: list[int], rule: str, message: str, suggestion: str = "") -> None:
        """Holds figures and says why; those held already get the finding too."""
        for index in indices:
            figure = self.figures[index]
            self.figures[index] = replace(figure, status="held", rivals=(*figure.rivals, message))
            self.rules[index].add(rule)
        self.note(indices, rule, "error", message, suggestion)

    def note(self, indices: list[int], rule: str, severity: str, message: str, suggestion: str = "") -> None:
        first = self.figures[indices[0]]
        self.findings.append(Finding(rule, severity, message, suggestion, first.garment, tuple(indices), first.place))


def runs_of(docket: Docket, *, held_too: bool = False) -> dict[tuple[str, str, str], list[int]]:
    """Indices of the clean figures of one garment, point and length, smallest size first, one a size.

    `held_too`: also those that are held, whose printed figures are evidence for what was copied or exchanged.
    """
    runs: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    seen: set[tuple[str, str, str, str]] = set()
    for index, figure in enumerate(docket.figures):
        key = (figure.garment, figure.point, figure.length)
        if figure.size and (held_too or docket.is_clean(index)) and (*key, figure.size) not in seen:
            seen.add((*key, figure.size))
            runs[key].append(index)
    return {key: sort_by_size(docket, indices) for key, indices in runs.items()}


_LETTERS = ("xxs", "xs", "s", "m", "l", "xl", "xxl", "3xl", "4xl")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def sort_by_size(docket: Docket, indices: list[int]) -> list[int]:
    """From the smallest size to the largest where all are numbers or all letters; else as the sheet has them."""
    sizes = [docket.figures[index].size for index in indices]
    numbers = [_NUMBER.match(size) for size in sizes]
    tails = {size[match.end() :] for size, match in zip(sizes, numbers, strict=True) if match}
    if all(numbers) and len(tails) == 1:
        order = {i: (float(m.group()), -len(m.group())) for i, m in zip(indices, numbers, strict=True) if m}
        return sorted(indices, key=lambda index: order[index])
    names = [size.casefold() for size in sizes]
    if all(name in _LETTERS for name in names):
        ranks = dict(zip(indices, (_LETTERS.index(name) for name in names), strict=True))
        return sorted(indices, key=lambda index: ranks[index])
    return indices
