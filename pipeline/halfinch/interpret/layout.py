"""A region of a grid read in each way it could lie; the readings compete by score.

In: a table (one band: headings and rows that belong together) and the facets of its surroundings. Out: `Reading`s.
Ways: points in rows, points in columns (the same on the turned table), and a matrix of sizes by lengths whose one
point is named outside the rows.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from halfinch.interpret.evidence import USUAL, suits_somehow
from halfinch.interpret.facets import LEG, Facets, Reader, facets_of_header
from halfinch.interpret.lines import Columns, describe_columns, find_label_column, has_number, row_role
from halfinch.interpret.matrix import Table, distinct
from halfinch.interpret.raw import RawFigure, Reading
from halfinch.interpret.rows import (
    hold_wordy,
    make_figure,
    remark_qualifiers,
    row_facets,
    row_grade,
    row_tolerance,
)
from halfinch.interpret.shape import join_labels, settle_row_letters
from halfinch.interpret.slipped import doubt_displaced, doubt_lost_label, doubt_short_rows
from halfinch.interpret.special import BAND
from halfinch.knowledge import Knowledge
from halfinch.normalise.point_labels import PointLabel
from halfinch.normalise.size_labels import read_size_label, read_size_run
from halfinch.sheet import Cell

UNREAD_COST = 0.3
"""What each number that a reading cannot account for takes off its score."""


def read_region(table: Table, reader: Reader, context: Facets, block: int) -> list[Reading]:
    """Every reading of one region that found a figure, best first."""
    readings = [
        read_points_down(table, reader, context, block, "points down"),
        read_points_down(table.turned(), reader, context, block, "points across"),
        read_matrix(table, reader, context, block),
    ]
    for reading in readings:
        reading.score = score_reading(reading, reader)
    found = [reading for reading in readings if reading.figures or reading.labels]
    return sorted(found, key=lambda one: -one.score)


def read_points_down(table: Table, reader: Reader, context: Facets, block: int, way: str) -> Reading:
    """Points in rows: one label column, sizes (or whatever the headings say) over the other columns."""
    reading = Reading(way)
    table = join_labels(table, reader)
    label = find_label_column(table, reader)
    if label is None:
        return reading
    table = settle_row_letters(table, label, reader)
    columns = describe_columns(table, label, reader, context.attributes.get("size_system", ""))
    name_unknown_columns(table, columns, reader)
    body = set(columns.body_rows)
    heads = [cell for row, line in enumerate(table.rows) if row not in body for cell in distinct(line)]
    labels = distinct(table.column(label))
    reading.heads = [cell.text for cell in [*heads[:MOST_HEADS], *labels[:MOST_HEADS]]]
    corners = [table.rows[row][label] for row in range(len(table.rows)) if row not in body]
    reading.corners = [cell.text for cell in corners if cell is not None]
    for order, row in enumerate(columns.body_rows):
        read_row(table, row, order, columns, reader, context, block, reading)
    series: dict[str, list[RawFigure]] = {}
    for figure in reading.figures:
        series.setdefault(figure.series, []).append(figure)
    reading.figures = keep_weak(reading.figures, reader.knowledge)
    name_numbered_legs(reading.figures)
    doubt_displaced(reading.figures, columns, table, reader)
    doubt_lost_label(reading.figures, columns, table, reader)
    doubt_short_rows(list(series.values()), columns, table, across=way == "points down")
    drop_repeated_scope(reading)
    return reading


def name_numbered_legs(figures: list[RawFigure]) -> None:
    """ "Inseam 28" over "Inseam 30": what several rows of one leg differ by is the length that they are of."""
    for point in LEG:
        legs = [one for one in figures if one.point == point and not one.length and one.label is not None]
        named = {one.series: one.label.rest.strip() for one in legs if one.label is not None}
        if len(set(named.values())) < max(2, len(named)) or not all(map(_LEG_LENGTH.fullmatch, named.values())):
            continue
        for one in legs:
            one.length = named[one.series]


_LEG_LENGTH = re.compile(r"2[2-9]|3\d|40|[6-9]\d|10\d")
"""A length in inches, or in centimetres."""


def is_too_long_for_a_leg(figure: RawFigure, knowledge: Knowledge) -> bool:
    """Whether a length can be an outseam and is past every usual inseam, in the unit that is said."""
    value, unit = figure.printed.value, figure.printed.unit or figure.facets.unit
    if not unit or suits_somehow(knowledge, "outseam", value, unit) < USUAL:
        return False
    return suits_somehow(knowledge, "inseam", value, unit) < USUAL


def keep_weak(figures: list[RawFigure], knowledge: Knowledge) -> list[RawFigure]:
    """ "Length" alone is the outseam where it is longer than the inseam beside it by a rise, or than any inseam; else
    it is read over."""
    inseams = {figure.size.size if figure.size else "": figure for figure in figures if figure.point == "inseam"}
    weak = [figure for figure in figures if figure.weak]
    if not weak:
        return figures
    if not inseams and all(is_too_long_for_a_leg(figure, knowledge) for figure in weak):
        return figures
    sure = True
    for figure in weak:
        inseam = inseams.get(figure.size.size if figure.size else "")
        if inseam is None or not inseam.printed.value:
            sure = False
            break
        sure = sure and Fraction(115, 100) <= figure.printed.value / inseam.printed.value <= Fraction(175, 100)
    return figures if sure else [figure for figure in figures if not figure.weak]


def name_unknown_columns(table: Table, columns: Columns, reader: Reader) -> None:
    """Several value columns without sizes: words over them are names of styles set side by side."""
    values = [index for index, kind in enumerate(columns.kinds) if kind == "value"]
    if len(values) < 2 or any(columns.facets[index].size for index in values):
        return
    first = columns.body_rows[0] if columns.body_rows else len(table.rows)
    for index in values:
        facets = columns.facets[index]
        if facets.unit or facets.length or facets.attributes or facets.role not in ("", "unknown"):
            continue
        for row in range(first):
            if row_role(table, row, columns.label, reader) in ("size", "length", "base_size"):
                continue
            cell = table.rows[row][index]
            if cell is None or cell is table.rows[row][columns.label] or not any(c.isalpha() for c in cell.text):
                continue
            if any(reader.read(word).size is not None for word in (cell.text.split()[0], cell.text.split()[-1])):
                columns.facets[index] = replace(facets, role="unread")  # "4 min" is a size and a word, no style
            else:
                columns.facets[index] = replace(facets, role="", attributes={"style": cell.text.strip()})


def read_row(
    table: Table, row: int, order: int, columns: Columns, reader: Reader, context: Facets, block: int, reading: Reading
) -> None:
    """All figures of one row into `reading`; a row that is no point of ours is read over, or listed as unread."""
    line = table.rows[row]
    cell = line[columns.label]
    label = None if cell is None else reader.read(cell.text).point
    if label is not None:
        reading.labels.append(label)
    weak = label is not None and label.point == "outseam" and not reader.read(cell.text).is_ours if cell else False
    if cell is None or label is None or not (reader.read(cell.text).is_ours or label.not_ours == BAND or weak):
        if label is None or not label.not_ours:
            numbers = [one for i, one in enumerate(line) if columns.kinds[i] == "value" and has_number(one, reader)]
            reading.unread.extend(one for one in numbers if one is not None)
        return
    facets, extra = row_facets(table, row, columns, reader)
    facets = facets.under(facets_of_header(reader.read(cell.text)))
    facets = replace(facets, point=label, unit=facets.unit or label.unit) if weak else facets
    facets = replace(facets, qualifiers=facets.qualifiers | remark_qualifiers(line, columns, label, reader))
    if extra.get("point_conflict"):
        return
    tolerance = row_tolerance(table, row, columns, reader)
    grade = row_grade(table, row, columns, reader)
    run = tuple(
        one.size for one, kind in zip(columns.facets, columns.kinds, strict=True) if kind == "value" and one.size
    )
    base = facets.under(columns.table).under(context)
    made: list[RawFigure] = []
    for index, kind in enumerate(columns.kinds):
        value = line[index]
        if kind != "value" or value is None:
            continue
        figure = make_figure(value, columns.facets[index].under(base), reader, block)
        if figure is None:
            figure = hold_wordy(value, columns.facets[index].under(base), reader, block)
            if figure is None:
                continue
        if columns.facets[index].role == "unread":
            figure.hold("length-unknown", "the heading over it stands among lengths and is none that can be read")
        if columns.sized > 1 and figure.size is None and columns.facets[index].role in ("", "unknown"):
            figure.hold("size-unknown", "the heading over it is no size that can be read; look at the printed table")
        figure.position = index
        figure.series = (
            f"{block}:{order}:{figure.length}:{figure.facets.unit}:{figure.facets.attributes.get('style', '')}"
        )
        if tolerance is not None and figure.tolerance_minus is None:
            figure.tolerance_minus, figure.tolerance_plus = tolerance
        figure.weak = weak
        figure.grade, figure.run = grade, run if len(run) > 1 else ()
        made.append(figure)
    reading.figures.extend(share_spans(made, line, columns))


LEAST_LABELLED_INSEAM = 24
MOST_HEADS = 60


def share_spans(made: list[RawFigure], line: tuple[Cell | None, ...], columns: Columns) -> list[RawFigure]:
    """A cell over all sizes is one figure of scope `all`; over some of them, one figure for each."""
    values = [index for index, kind in enumerate(columns.kinds) if kind == "value"]
    sized = [index for index in values if columns.facets[index].size is not None]
    shared: list[RawFigure] = []
    seen: set[int] = set()
    places: dict[int, list[int]] = {}
    for index in values:
        places.setdefault(id(line[index]), []).append(index)
    for figure in made:
        cell = line[figure.position]
        same = places[id(cell)]
        if len(same) < 2:
            shared.append(figure)
        elif len(sized) > 1 and set(sized) <= set(same):
            if id(cell) not in seen:
                seen.add(id(cell))
                figure.size, figure.size_scope = None, "all"
                shared.append(figure)
        else:
            shared.append(figure)
    return shared


def drop_repeated_scope(reading: Reading) -> None:
    """Numbers positions within each series from 0, in the order of the size run."""
    counts: dict[str, int] = {}
    for figure in reading.figures:
        figure.position = counts.get(figure.series, 0)
        counts[figure.series] = figure.position + 1


def read_matrix(table: Table, reader: Reader, context: Facets, block: int) -> Reading:
    """Sizes down by lengths across (or the other way round) for one point that stands in the corner or above."""
    reading = Reading("matrix")
    if len(table.rows) < 2 or table.width < 2:
        return reading
    corner = table.rows[0][0]
    label = reader.read(corner.text).point if corner is not None else None
    if label is None or not label.point:
        label = context.point
    if label is None or not label.point:
        return reading
    for turned in (False, True):
        one = _read_matrix_once(table.turned() if turned else table, reader, context, block, label, corner)
        if len(one.figures) > len(reading.figures):
            reading = one
    return reading


def _read_matrix_once(
    table: Table, reader: Reader, context: Facets, block: int, label: PointLabel, corner: Cell | None
) -> Reading:
    reading = Reading("matrix")
    downs = ["" if row[0] is None else row[0].text for row in table.rows[1:]]
    run = read_size_run(downs, reader.knowledge, "")
    if run is None or run.score < 0.4:
        return reading
    across = [_length_facets(cell, reader) for cell in table.rows[0][1:]]
    if not any(one is not None for one in across):
        return reading
    reading.labels.append(label)
    for row_index, size in enumerate(run.labels):
        if size is None:
            continue
        for column_index, facets in enumerate(across):
            cell = table.rows[row_index + 1][column_index + 1]
            if cell is None or facets is None:
                continue
            said = Facets(point=label, unit=label.unit, size=size, length=size.length)
            base = facets.under(said).under(context)  # type: ignore[arg-type]
            figure = make_figure(cell, base, reader, block)
            if figure is None:
                reading.unread.append(cell)
                continue
            figure.series = f"{block}:matrix:{column_index}"
            reading.figures.append(figure)
    drop_repeated_scope(reading)
    return reading


def _length_facets(cell: Cell | None, reader: Reader) -> Facets | None:
    """A heading over a matrix column: a length word, a labelled inseam, a unit; None for anything else."""
    if cell is None:
        return None
    read = reader.read(cell.text)
    if read.is_ours:
        return None
    if read.length:
        return Facets(length=read.length)
    if read.size is not None and read.number is not None:
        # A bare number is a labelled inseam only where it can be one; 4, 6, 8 are sizes.
        return Facets(length=read.size.size) if read.number.value >= LEAST_LABELLED_INSEAM else None
    if read.size is not None and read.size.inseam is not None and read.size.waist is None:
        return Facets(length=read.size.length or read.size.size)
    if read.unit:
        return Facets(unit=read.unit)
    label = read_size_label(cell.text, reader.knowledge)
    return Facets(length=label.size) if label is not None and label.length else None


def score_reading(reading: Reading, reader: Reader) -> float:
    """Figures count by how surely their label, size and value were understood; unread numbers count against."""
    total = 0.0
    for figure in reading.figures:
        worth = float(figure.label.score) if figure.label is not None else 0.5
        if figure.size is None and figure.size_scope == "one":
            worth *= 0.6
        suit = suits_somehow(
            reader.knowledge, figure.point, figure.printed.value, figure.printed.unit or figure.facets.unit
        )
        total += worth * (0.25, 0.9, 1.0)[suit]
    return total - UNREAD_COST * len(reading.unread)
