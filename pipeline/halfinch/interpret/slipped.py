"""Doubt where figures and the sizes over them may have slipped against each other."""

from __future__ import annotations

import itertools
from statistics import median

from halfinch.interpret.evidence import USUAL, suits_somehow
from halfinch.interpret.facets import Reader
from halfinch.interpret.lines import SPECIAL_ROLES, Columns
from halfinch.interpret.matrix import Table
from halfinch.interpret.passed_columns import ONE_STEP
from halfinch.interpret.raw import RawFigure
from halfinch.sheet import Cell


def doubt_displaced(figures: list[RawFigure], columns: Columns, table: Table, reader: Reader) -> None:
    """Figures under no size at one end of the run: the sizes may have slipped by a column, and nobody can tell."""
    sized = set(sized_columns(columns))
    used = {figure.position for figure in figures}
    if len(sized) < 2 or not used - sized or columns.size_row is None:
        return
    heads = table.rows[columns.size_row]
    corner = heads[columns.label]
    in_corner = corner is not None and reader.read(corner.text).size is not None
    loose = bool(sized - used or in_corner) and all(columns.facets[i].role in ("", "unknown") for i in used - sized)
    ends = [(min(used), min(used & sized, default=-1)), (max(used), max(used & sized, default=-1))]
    if not loose and not any(
        end not in sized and is_no_size(heads[end], reader) and goes_on(figures, end, beside) for end, beside in ends
    ):
        return
    for figure in figures:
        figure.hold(
            "sizes-displaced", "the sizes seem to have slipped by a column against the figures; which is whose?"
        )


def doubt_lost_label(figures: list[RawFigure], columns: Columns, table: Table, reader: Reader) -> None:
    """The last row has figures for every size, of the kind of the label before it, and no label: one may be lost.

    Then every label from the lost one on stands a row too early.
    """
    sized = sized_columns(columns) or [i for i, kind in enumerate(columns.kinds) if kind == "value"]
    unnamed = [row for row in columns.body_rows if is_blank(table.rows[row][columns.label])]
    if not figures or not sized or unnamed != columns.body_rows[-1:]:
        return
    last = figures[-1]
    for index in sized:
        cell = table.rows[unnamed[0]][index]
        number = reader.read(cell.text).number if cell is not None else None
        if number is None or suits_somehow(reader.knowledge, last.point, number.value, last.unit) < USUAL:
            return
    for figure in figures:
        figure.hold("labels-displaced", "the last figures have no label; the labels may have slipped: which is whose?")


def sized_columns(columns: Columns) -> list[int]:
    """The columns of figures that stand under a size, in order."""
    return [i for i, kind in enumerate(columns.kinds) if kind == "value" and columns.facets[i].size is not None]


def is_blank(cell: Cell | None) -> bool:
    """Whether nothing is printed there."""
    return cell is None or not cell.text.strip()


def is_no_size(cell: Cell | None, reader: Reader) -> bool:
    """Nothing, or the heading of tolerances or grades, under which no figure of a size can stand."""
    if cell is None or is_blank(cell):
        return True
    word = reader.read(cell.text).word
    return word is not None and word.role in SPECIAL_ROLES


def is_mark(cell: Cell) -> bool:
    """What stands for a figure that is not given: "-", "n/a"."""
    return bool(cell.text.strip()) and not any(letter.isdigit() for letter in cell.text)


def goes_on(figures: list[RawFigure], end: int, beside: int) -> bool:
    """Whether the column at `end` carries on the run of the column `beside`, for two points or more."""
    here = {figure.series: figure.printed.value for figure in figures if figure.position == end}
    there = {figure.series: figure.printed.value for figure in figures if figure.position == beside}
    pairs = [(value, there[series]) for series, value in here.items() if there.get(series)]
    return len(pairs) > 1 and all(ONE_STEP[0] <= one / other <= ONE_STEP[1] for one, other in pairs)


def doubt_short_rows(rows: list[list[RawFigure]], columns: Columns, table: Table, *, across: bool) -> None:
    """A row one cell short: a cell may be lost further up, so that its figures stand under the wrong sizes.

    A row whose figures are all equal loses nothing by it; a cell that is marked as empty ("-") is meant, a tolerance
    that moved into it is not. Where sizes
    run down the page (not `across`) only an uneven step tells it: there the last size may well lack a figure.
    """
    sized = sized_columns(columns)
    full = sum(1 for figures in rows if len(figures) == len(sized))
    if len(sized) < 4 or full < (1 if across else 2):
        return
    lasts = [(row[sized[0]], row[sized[-1]]) for row in table.rows]
    marked = {first.place for first, last in lasts if first is not None and last is not None and is_mark(last)}
    for figures in rows:
        if [figure.position for figure in figures] != sized[:-1] or figures[0].place in marked:
            continue
        values = [figure.printed.value for figure in figures]
        steps = [abs(b - a) for a, b in itertools.pairwise(values)]
        if max(steps) > (0 if across else median(steps) * 7 / 5):
            for figure in figures:
                figure.hold(
                    "row-short",
                    f"{len(sized) - 1} figures for {len(sized)} sizes: which one is missing, the last or one before?",
                )
