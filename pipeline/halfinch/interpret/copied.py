"""One row printed under two names: found before unit and convention, for which such rows are no evidence.

Two points of one table whose printed numbers are the same in every size: one of them is a copy, and nothing tells
which. Knee and opening of a straight leg may be equal, thigh and knee of a leg that bulges; a girth and a length agree
by chance now and then where they hardly change.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction
from itertools import combinations

from halfinch.interpret.evidence import is_girth
from halfinch.interpret.raw import RawFigure
from halfinch.knowledge import Knowledge

COPIED = "copied-row"
MAY_BE_EQUAL = ({"knee", "leg_opening"}, {"thigh", "knee"})
LEAST_SIZES = 3
MANY_SIZES, MANY_VALUES = 5, 3
"""Over 2,500 invented garments no girth and length were printed with the same numbers in so many sizes or values."""
Row = dict[str, tuple[Fraction, str]]


def doubt_copied_rows(raws: Iterable[RawFigure], knowledge: Knowledge) -> None:
    """Holds both rows of each two that are printed alike, size by size."""
    for table in tables_of(raws, knowledge).values():
        rows = {point: row_of(figures) for point, figures in table.items()}
        for one, other in combinations(rows, 2):
            alike = is_girth(knowledge, one) == is_girth(knowledge, other)
            if {one, other} not in MAY_BE_EQUAL and are_copies(rows[one], rows[other], alike=alike):
                for figure in (*table[one], *table[other]):
                    figure.hold(
                        COPIED, f"{one} and {other} are printed with the same figures in every size; ask which it is"
                    )


def is_copy(raw: RawFigure) -> bool:
    """Whether a figure stands in one of two rows that are printed alike."""
    return any(rule == COPIED for rule, _ in raw.holds)


def tables_of(raws: Iterable[RawFigure], knowledge: Knowledge) -> dict[tuple[str, ...], dict[str, list[RawFigure]]]:
    """The sized figures of each table, garment and length, by point."""
    tables: dict[tuple[str, ...], dict[str, list[RawFigure]]] = defaultdict(lambda: defaultdict(list))
    for raw in raws:
        point = knowledge.points.get(raw.point)
        if raw.size is not None and not raw.body and point is not None and point.of == "garment":
            told = raw.facets.attributes
            key = (str(raw.block), told.get("style", ""), told.get("style_code", ""), raw.length)
            tables[key][raw.point].append(raw)
    return tables


def row_of(figures: list[RawFigure]) -> Row:
    """What is printed for each size, the first where a size is printed twice."""
    row: Row = {}
    for figure in figures:
        if figure.size is not None and figure.basis == "declared":
            row.setdefault(figure.size.size, (figure.printed.value, figure.printed.unit))
    return row


def are_copies(one: Row, other: Row, *, alike: bool) -> bool:
    """The same in three sizes and more, and not the same throughout. `alike`: both girths, or both lengths."""
    values = len(set(one.values()))
    if one != other or len(one) < LEAST_SIZES or values < 2:
        return False
    return alike or values >= MANY_VALUES or len(one) >= MANY_SIZES
