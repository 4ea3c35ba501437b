"""A grid cut into bands: the headings and the rows that belong together, and the section titles over them.

Repeated headings (a table broken over pages), a second heading further down, section rows ("PETITE"), several tables
in one grid and garments side by side all become bands that are then read one by one.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

from halfinch.interpret.facets import KEY_ROLES, Reader
from halfinch.interpret.matrix import Line, Table, distinct
from halfinch.interpret.names import find_attributes
from halfinch.interpret.statements import find_unit
from halfinch.interpret.words import phrasebook
from halfinch.normalise.size_labels import read_size_run
from halfinch.sheet import Cell

SECTION, HEAD, DATA_ROW = "section", "head", "data"
MIN_RUN = 0.5
"""A line is a size header by itself from this score of its run on."""


@dataclass(slots=True)
class Band:
    """Head rows and data rows as one table, with the section titles that stand over them, outermost first."""

    table: Table
    sections: list[Cell] = field(default_factory=list)
    fresh: bool = True
    """False where the head was inherited from the band above."""


def cut_bands(table: Table, reader: Reader) -> list[Band]:
    """Every band of a table, from top to bottom, side-by-side halves one after the other."""
    halves = split_side_by_side(table, reader)
    if len(halves) > 1:
        return [band for half in halves for band in cut_bands(half, reader)]
    kinds = classify_rows(table, reader)
    bands: list[Band] = []
    head: list[int] = []
    body: list[int] = []
    sections: list[Cell] = []
    pending: list[Cell] = []
    fresh = True

    def close() -> None:
        nonlocal body, fresh
        if body:
            bands.append(Band(table.cut_rows(head + body), list(sections), fresh))
        body = []
        fresh = False

    for index, kind in enumerate(kinds):
        if kind == DATA_ROW:
            if pending:
                sections, pending = pending, []
            body.append(index)
            continue
        if body:
            close()
            if kind == HEAD:
                head = []
        if kind == SECTION:
            pending.extend(distinct(table.rows[index]))
        else:
            if fresh is False and (index == 0 or kinds[index - 1] != HEAD):
                head, fresh = [], True
                if not pending:
                    sections = []
            head.append(index)
    close()
    if not bands and head:
        bands.append(Band(table.cut_rows(head), sections or pending))
    trailing = pending if bands else []
    if trailing:
        bands[-1].sections.extend([])
    return bands


def trailing_notes(table: Table, reader: Reader) -> list[str]:
    """Rows under the last row of data as lines: notes that hold for the whole grid ("in cm", "Sizes: 8-16")."""
    kinds = classify_rows(table, reader)
    notes: list[str] = []
    for index in range(len(kinds) - 1, -1, -1):
        cells = distinct(table.rows[index])
        if kinds[index] == DATA_ROW or (kinds[index] == HEAD and len(cells) != 2):
            break
        notes.append(": ".join(cell.text for cell in cells))
    return notes if len(notes) < len(kinds) else []


def classify_rows(table: Table, reader: Reader) -> list[str]:
    """section | head | data for each row; group headings beside a head row belong to it."""
    kinds = [_row_kind(table, index, reader) for index in range(len(table.rows))]
    for index in range(len(kinds) - 2, -1, -1):
        if kinds[index] == DATA_ROW and kinds[index + 1] == HEAD and _is_group_heading(table.rows[index], reader):
            kinds[index] = HEAD
    for index in range(1, len(kinds)):
        if kinds[index] == DATA_ROW and kinds[index - 1] == HEAD and _is_group_heading(table.rows[index], reader):
            kinds[index] = HEAD
    return kinds


def _row_kind(table: Table, index: int, reader: Reader) -> str:
    line = table.rows[index]
    cells = distinct(line)
    if len(cells) == 1 and table.width > 1 and _is_section(table, index, cells[0], reader):
        return SECTION
    if len(cells) > 1 and is_title_row(cells, reader):
        return SECTION
    return HEAD if is_head(table, line, reader) else DATA_ROW


def is_title_row(cells: list[Cell], reader: Reader) -> bool:
    """A garment's name with facts beside it over its own rows: "Bramble boot jean | Style no. FB-310 | MSRP $112",
    "Style: Alma | Unit: cm"; or nothing but how the table below was taken: "inches | rev. C"."""
    if any(reader.read(cell.text).is_label for cell in cells):
        return False
    name, *facts = cells
    if sum(phrasebook(reader.knowledge).names_ours(cell.text) for cell in cells) > 1:
        return False  # names over groups of sizes, or over tables side by side
    if phrasebook(reader.knowledge).names_ours(name.text) or find_attributes(name.text, reader):
        return all(find_attributes(one.text, reader) or is_remark_cell(one, reader) for one in facts)
    units = sum(bool(reader.read(cell.text).unit) for cell in cells)
    return units < 2 and len(cells) <= MOST_REMARKS and all(is_remark_cell(cell, reader) for cell in cells)


MOST_REMARKS = 3


def is_remark_cell(cell: Cell, reader: Reader) -> bool:
    """A cell that speaks of the table: its unit, flat or round, a date, a note; no heading of one column."""
    read = reader.read(cell.text)
    if read.size is not None or read.number is not None or read.length:
        return False
    key, colon, value = cell.text.partition(":")
    if colon and value.strip():
        return bool(find_unit(value, reader)) or read_role(key, reader) in ("date", "note", "unit", "convention")
    if read.word is not None:
        return read.word.role in ("date", "note") and len(cell.text.split()) > 1  # "Date" alone heads a column
    return bool(read.unit or read.convention)


def read_role(text: str, reader: Reader) -> str:
    word = reader.read(text.strip()).word
    return word.role if word is not None else ""


def _is_section(table: Table, index: int, cell: Cell, reader: Reader) -> bool:
    read = reader.read(cell.text)
    if read.number is not None and not read.length and read.point is None:
        return False
    spans = sum(1 for slot in table.rows[index] if slot is cell) > 1
    if spans:
        return True
    if read.word is not None and read.word.role in KEY_ROLES and table.width == 2:
        return False
    if not read.is_label:
        return True
    below = table.rows[index + 1] if index + 1 < len(table.rows) else ()
    return bool(below) and not any(reader.read(one.text).is_label for one in distinct(below)) and table.width > 2


def is_head(table: Table, line: Line, reader: Reader) -> bool:
    """A row of headings: several points without numbers, or a size run without a point."""
    cells = distinct(line)
    if not cells:
        return False
    reads = [reader.read(cell.text) for cell in cells]
    labels = sum(1 for read in reads if read.is_label)
    numbers = sum(1 for read in reads if read.number is not None)
    words = sum(1 for read in reads if read.word is not None and read.word.role)
    if labels >= 2 and numbers == 0:
        return True
    if labels == 1 and numbers == 0 and words >= 1 and len(cells) >= 2:
        first = next(read for read in reads if read.is_label or (read.word is not None and read.word.role))
        return bool(first.word is not None and first.word.role in ("size", "length", "style", "style_code"))
    if labels:
        return False
    if words >= 2 and numbers == 0:
        return True
    roles = {read.word.role for read in reads if read.word is not None}
    if words >= 2 and roles & {"point_column", "size"} and all(read.number is None or read.size for read in reads):
        return True  # "Ref | Measure | Tol. | 6 | 8 | 10"
    first_read = reads[0]
    if words and first_read.word is not None and first_read.word.role in ("point_column", "size", "code"):
        return True
    if first_read.number is not None and line[0] is not None:
        return False
    if first_read.size is not None and heads_sizes(table, reader):
        return False  # "L | 116 | 38 | 30 | 22" in a column of sizes: figures, however much like sizes they fall
    texts = ["" if cell is None else cell.text for cell in line[1:]]
    run = read_size_run(texts, reader.knowledge, "") if any(texts) else None
    sized = sum(1 for one in run.labels if one is not None) if run is not None else 0
    return run is not None and run.score >= MIN_RUN and sized >= 2


def heads_sizes(table: Table, reader: Reader) -> bool:
    """Whether a heading of the first column says that sizes stand in it."""
    words = (reader.read(cell.text).word for cell in distinct(table.column(0)))
    return any(word is not None and word.role == "size" for word in words)


def _is_group_heading(line: Line, reader: Reader) -> bool:
    """Lengths, units or names over groups of columns: words only, at least one spanning or of a known kind."""
    cells = distinct(line)
    if not cells:
        return False
    reads = [reader.read(cell.text) for cell in cells]
    if any(read.is_ours for read in reads) or any(read.number is not None and read.size is None for read in reads):
        return False
    if sum(phrasebook(reader.knowledge).names_ours(cell.text) for cell in cells) > 1:
        return True
    first = reads[0].word
    if first is not None and first.role in KEY_ROLES and not any(read.number is not None for read in reads[1:]):
        return True  # "Style | Alma | Alma | Berta" over or under a row of sizes
    known = sum(1 for read in reads if read.length or read.unit or read.convention or read.word is not None)
    spanning = any(sum(1 for slot in line if slot is cell) > 1 for cell in cells)
    return spanning or known * 2 >= len(cells)


def split_side_by_side(table: Table, reader: Reader) -> list[Table]:
    """Garments set side by side: a second column of labels (or of sizes) begins after columns of numbers."""
    starts = _label_starts(table, reader) or _size_starts(table, reader)
    if len(starts) < 2:
        return [table]
    edges = [0, *starts[1:], table.width]
    return [table.cut_columns(first, last) for first, last in itertools.pairwise(edges)]


def _label_starts(table: Table, reader: Reader) -> list[int]:
    starts: list[int] = []
    numbers_since = True
    for index in range(table.width):
        cells = distinct(table.column(index))
        labels = sum(1 for cell in cells if reader.read(cell.text).is_ours)
        numbers = sum(1 for cell in cells if reader.read(cell.text).number is not None)
        if labels >= 2 and labels > numbers and numbers_since:
            starts.append(index)
            numbers_since = False
        elif numbers > labels:
            numbers_since = True
    return starts if len(starts) > 1 else []


def _size_starts(table: Table, reader: Reader) -> list[int]:
    for line in table.rows[:4]:
        starts: list[int] = []
        labels_between = True
        for index, cell in enumerate(line):
            if cell is None:
                continue
            read = reader.read(cell.text)
            if read.word is not None and read.word.role == "size" and labels_between:
                if not starts or cell is not line[starts[-1]]:
                    starts.append(index)
                    labels_between = False
            elif read.is_ours:
                labels_between = True
        if len(starts) > 1 and labels_between:
            return starts
    return []
