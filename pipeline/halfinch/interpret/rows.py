"""What stands in one row beside its figures (keys, tolerances, grade, remarks), and one value cell as a raw figure."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from halfinch.interpret.facets import ATTRIBUTE_ROLES, GOOD_LABEL, Facets, Reader, facets_of_header
from halfinch.interpret.lines import Columns
from halfinch.interpret.matrix import Table
from halfinch.interpret.names import is_code
from halfinch.interpret.paired import split_pair
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.special import BAND
from halfinch.interpret.words import phrasebook
from halfinch.normalise.numbers import Printed, find_numbers
from halfinch.normalise.point_labels import PointLabel
from halfinch.normalise.size_labels import SizeLabel
from halfinch.sheet import DATA, DATE, Cell

_ZERO = Fraction(0)


def point_of(label: PointLabel) -> str:
    """The point that a label names; the waistband's height counts here because a rise may need it."""
    return label.point or (BAND if label.not_ours == BAND else "")


def remark_qualifiers(
    line: tuple[Cell | None, ...], columns: Columns, label: PointLabel, reader: Reader
) -> frozenset[str]:
    """What a remark in the row adds to its point ("without WB", "stretched")."""
    found: frozenset[str] = frozenset()
    for index, kind in enumerate(columns.kinds):
        cell = line[index]
        if kind not in ("key", "skip") or cell is None or len(cell.text) > 40 or not label.point:
            continue
        again = reader.read(f"{label.point.replace('_', ' ')} {cell.text}").point
        if again is not None and again.point == label.point and again.score >= GOOD_LABEL:
            found |= again.qualifiers & {"without_band", "before_wash", "after_wash"}
    return found


def row_facets(table: Table, row: int, columns: Columns, reader: Reader) -> tuple[Facets, dict[str, bool]]:
    """What the keys beside a row say: size, length, style, unit, convention."""
    found = Facets()
    extra: dict[str, bool] = {}
    for index, kind in enumerate(columns.kinds):
        role = columns.facets[index].role
        cell = table.rows[row][index]
        if kind == "key" and cell is None and role in HELD_DOWN:
            cell = cell_above(table, row, index, columns)
        if kind != "key" or cell is None:
            continue
        named = role in ("", "unknown") and phrasebook(reader.knowledge).subject_of(cell.text) == "ours"
        role = "style" if named and not reader.read(cell.text).is_label else role
        if role in ("", "unknown") and table.rows[row][index] is None:
            continue
        one = key_facets(cell, role, reader, columns.size_names)
        own = reader.read(cell.text).point
        main = table.rows[row][columns.label]
        main_point = reader.read(main.text).point if main is not None else None
        if own is not None and own.point and main_point is not None and not role:
            if own.score >= 0.8 and main_point.point and own.point != main_point.point and main_point.score < 0.9:
                extra["point_conflict"] = True
            one = replace(one, point=None)
        if one.length and not role and not is_column_of_lengths(table, index, columns, reader):
            one = replace(one, length="")  # "Largo" beside "Cintura" and "Tiro": an area, and no length
        found = replace(one, point=None).under(found)
    return found, extra


HELD_DOWN = frozenset({"style", "style_code", "block", "merchant", "", "unknown"})
"""A name printed once beside several rows holds until the next one; a length beside an inseam is not the hip's."""


def cell_above(table: Table, row: int, index: int, columns: Columns) -> Cell | None:
    """The nearest cell over an empty one among the rows with figures, where the first of them is filled."""
    above = [table.rows[one][index] for one in columns.body_rows if one < row]
    return next((cell for cell in reversed(above) if cell is not None), None) if above and above[0] else None


def is_column_of_lengths(table: Table, index: int, columns: Columns, reader: Reader) -> bool:
    """Whether at least half of what a column without a heading says are lengths: "Short", "Regular", "Tall"."""
    texts = {cell.text for row in columns.body_rows if (cell := table.rows[row][index]) is not None}
    return sum(bool(reader.read(text).length) for text in texts) * 2 >= len(texts)


def key_facets(cell: Cell, role: str, reader: Reader, sizes: dict[str, SizeLabel]) -> Facets:
    """The facets of one key cell under a heading of this role."""
    read = reader.read(cell.text)
    text = cell.text.strip()
    if role in ("size", "base_size"):
        size = sizes.get(cell.text) or read.size or SizeLabel(size=text)
        return Facets(size=size, length=size.length)
    if role == "length":
        return Facets(length=read.length or (read.size.size if read.size else text))
    if role in ATTRIBUTE_ROLES and read.length:
        return Facets(length=read.length)
    if role == "style" and is_code(text):
        role = "style_code"
    if role in ATTRIBUTE_ROLES:
        return Facets(attributes={role: text})
    if role in ("unit", "convention"):
        return Facets(unit=read.unit, convention=read.convention)
    facets = facets_of_header(read)
    strong = facets.size is not None and facets.size.strength >= 0.8
    return facets if strong else replace(facets, size=None)


def row_tolerance(table: Table, row: int, columns: Columns, reader: Reader) -> tuple[Fraction, Fraction] | None:
    """(minus, plus) in the row's own unit and convention from the tolerance columns, None where there is none."""
    minus = plus = None
    for index, kind in enumerate(columns.kinds):
        cell = table.rows[row][index]
        if cell is None or not kind.startswith("tolerance"):
            continue
        number = reader.read(cell.text).number
        if number is None:
            continue
        if number.kind == "tolerance":
            below, above = number.minus, number.plus
        else:
            below = above = abs(number.value)
        if kind == "tolerance_minus":
            minus = below if below is not None else above
        elif kind == "tolerance_plus":
            plus = above if above is not None else below
        else:
            minus, plus = below, above
    low = minus if minus is not None else plus
    high = plus if plus is not None else minus
    return (low, high) if low is not None and high is not None else None


def row_grade(table: Table, row: int, columns: Columns, reader: Reader) -> Fraction | None:
    """The step per size of a row's grade column, None where there is none or several that differ."""
    grades = set()
    for index, kind in enumerate(columns.kinds):
        cell = table.rows[row][index]
        number = reader.read(cell.text).number if kind == "grade" and cell is not None else None
        if number is not None and number.upper is None:
            grades.add(number.value)
    return grades.pop() if len(grades) == 1 else None


def hold_wordy(cell: Cell, facets: Facets, reader: Reader, block: int) -> RawFigure | None:
    """A figure with words beside it ("27 cropped", "30 (was 29)"): kept to be looked at, never taken."""
    found = find_numbers(cell.text, decimal=reader.decimal)
    if not found or found[0].printed.kind not in ("single", "range") or len(cell.text) > 40:
        return None
    figure = make_figure(replace(cell, text=cell.text[found[0].start : found[0].end]), facets, reader, block)
    if figure is not None:
        figure.text = cell.text
        figure.hold("words-in-the-cell", f"the cell says “{cell.text}”; what its words mean is to be ruled")
    return figure


def make_figure(cell: Cell, facets: Facets, reader: Reader, block: int) -> RawFigure | None:
    """A raw figure from one value cell, None where it is no figure; a date is kept to be held."""
    label = facets.point
    if label is None or not point_of(label) or facets.old:
        return None
    number = reader.read(cell.text).number
    pair = split_pair(cell.text, label, reader)
    if pair is not None:
        number = pair[0]
        label = replace(label, qualifiers=label.qualifiers - {"stretched"})
        facets = replace(facets, point=label)
    if number is None and DATE not in cell.marks:
        return None
    if number is not None and any(c.isalpha() for c in number.rest):
        # "9 (excluding waistband)": what stands behind the number belongs to the label.
        again = reader.read(f"{label.point.replace('_', ' ')} {number.rest}").point
        if again is not None and again.point == label.point and again.qualifiers - label.qualifiers:
            label = replace(label, qualifiers=label.qualifiers | again.qualifiers)
            facets = replace(facets, point=label)
    if number is not None and number.kind == "tolerance":
        return None
    figure = RawFigure(
        point=point_of(label),
        printed=number if number is not None else Printed(value=_ZERO),
        text=cell.text,
        place=cell.place,
        facets=facets,
        block=block,
        series="",
        size=facets.size,
        length=facets.length or (facets.size.length if facets.size else ""),
        body=facets.body,
        data=DATA in cell.marks,
        stretched=pair[1] if pair is not None else None,
    )
    if number is None or DATE in cell.marks:
        figure.hold("date-for-number", f"the cell holds a date (“{cell.text}”), most likely a fraction turned into one")
    elif number.qualifier in ("max", "min"):
        figure.hold("words-in-the-cell", f"the cell says “{cell.text}”: an end, or the figure itself?")
    elif number.doubt:
        figure.hold("doubtful-number", number.doubt)
    if number is not None and number.minus is not None:
        figure.tolerance_minus, figure.tolerance_plus = number.minus, number.plus
    return figure
