"""Which line of a table is which: the column of labels, the row of sizes, rows of attributes, keys beside the figures.

Everything here works on a table whose points stand in its rows; a table with points across is turned first.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field, replace

from halfinch.interpret.facets import (
    ATTRIBUTE_ROLES,
    KEY_ROLES,
    CellReading,
    Facets,
    Reader,
    facets_of_header,
    with_attribute,
)
from halfinch.interpret.groups import name_groups, over_a_group, spread_heads
from halfinch.interpret.matrix import Line, Table, distinct
from halfinch.interpret.passed_columns import are_codes_of_points, carries_on, is_count, mark_trials
from halfinch.interpret.statements import find_convention, find_size_range, find_unit
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.size_labels import SizeLabel, read_size_label, read_size_run
from halfinch.normalise.size_runs import SizeRun
from halfinch.sheet import DATE, Cell

SURE_RUN = 0.8
SURE_LABEL = 0.9
FIRST_ROW = 0.3
"""The first row of sizes is the size, a later one must be this much surer; others are kept beside it."""
STATES = frozenset({"before_wash", "after_wash", "relaxed", "stretched", "without_band"})
"""Qualifiers that may stand over a column instead of beside the point."""
UNKNOWN = Facets(role="unknown")
SPECIAL_ROLES = frozenset({"tolerance", "tolerance_minus", "tolerance_plus", "grade"})


@dataclass(slots=True)
class Columns:
    """What each column of a region is, once its points are known to stand in rows."""

    label: int
    facets: list[Facets]
    kinds: list[str]
    """label | key | value | tolerance | tolerance_minus | tolerance_plus | grade | skip"""
    size_row: int | None = None
    size_score: float = 0.0
    body_rows: list[int] = field(default_factory=list)
    """Rows with figures or unknown labels, in order."""
    table: Facets = field(default_factory=Facets)
    """What the corner says of the whole table: "Maße in cm / Größe"."""
    sized: int = 0
    """How many value columns stand under a size."""
    size_names: dict[str, SizeLabel] = field(default_factory=dict)
    """Texts of size columns, read as one run: 27 beside 28 and 29 is a waist size."""


def find_label_column(table: Table, reader: Reader) -> int | None:
    """The column with the most labels of points; ours count more than those to be read over, left before right."""
    best, best_score = None, 0.0
    for index in range(table.width):
        score = 0.0
        for cell in distinct(table.column(index)):
            reading = reader.read(cell.text)
            if reading.is_ours and reading.point is not None:
                score += float(reading.point.score)
            elif reading.is_label:
                score += 0.4
        if score > best_score + 1e-9:
            best, best_score = index, score
    if best is None:
        return None
    ours = any(reader.read(cell.text).is_ours for cell in distinct(table.column(best)))
    return best if ours else None


def is_point_row(table: Table, row: int, label: int, reader: Reader) -> bool:
    cell = table.rows[row][label]
    return cell is not None and reader.read(cell.text).is_label


def row_role(table: Table, row: int, label: int, reader: Reader) -> str:
    """The role that a row's label gives to its cells (size, style, length ...), '' when it is no attribute row."""
    cell = table.rows[row][label]
    if cell is None:
        return ""
    reading = reader.read(cell.text)
    if reading.is_ours or reading.word is None:
        return ""
    return reading.word.role if reading.word.role in KEY_ROLES | SPECIAL_ROLES else ""


def is_corner_row(table: Table, row: int, label: int, reader: Reader) -> bool:
    """A first row under a word that is to be read over, with nothing but sizes beside it: "Maatvoering | 34 | 36"."""
    cell = table.rows[row][label]
    if cell is None or not reader.read(cell.text).is_label or reader.read(cell.text).is_ours:
        return False
    texts = [one.text for one in distinct(table.rows[row]) if one is not cell]
    run = read_size_run(texts, reader.knowledge, "") if len(texts) > 1 else None
    return run is not None and run.score >= SURE_RUN and all(run.labels)


def is_length_row(table: Table, row: int, label: int, reader: Reader) -> bool:
    """A row of figures under the bare name of a length ("Length | 40 | 41"), longer than any inseam that a size names:
    no second heading, but an outseam or nothing (see layout.keep_weak)."""
    cell = table.rows[row][label]
    point = reader.read(cell.text).point if cell is not None else None
    if point is None or point.point != "outseam":
        return False
    numbers = [reader.read(one.text).number for one in distinct(table.rows[row]) if one is not cell]
    return bool(numbers) and all(one is not None and one.value > LONGEST_INSEAM for one in numbers)


LONGEST_INSEAM = 38
"""Inches: labelled inseams end here ("L38")."""


def find_header_rows(table: Table, label: int, reader: Reader) -> list[int]:
    """Rows that describe the columns: all before the first row with a point and a number, and attribute rows."""
    header: list[int] = []
    before = True
    for index, row in enumerate(table.rows):
        role = row_role(table, index, label, reader)
        if before and is_corner_row(table, index, label, reader):
            header.append(index)
            continue
        if header and is_length_row(table, index, label, reader):
            before = False
            continue
        if is_point_row(table, index, label, reader):
            if any(has_number(cell, reader) for column, cell in enumerate(row) if column != label):
                before = False
            continue
        if role or before:
            header.append(index)
    return header


def has_number(cell: Cell | None, reader: Reader) -> bool:
    if cell is None:
        return False
    return reader.read(cell.text).number is not None or DATE in cell.marks


def read_header_row(
    table: Table, row: int, label: int, reader: Reader, system: str
) -> tuple[list[Facets], SizeRun | None]:
    """The facets that one header row gives to each column, and the size run it forms, if any."""
    role = row_role(table, row, label, reader)
    line = table.rows[row]
    columns = [index for index in range(len(line)) if index != label]
    run = None
    if role in ("", "size", "base_size", "length"):
        texts = ["" if line[i] is None or _is_word(reader.read(line[i].text)) else line[i].text for i in columns]  # type: ignore[union-attr]
        run = read_size_run(texts, reader.knowledge, system) if any(texts) else None
    elif role in ("style", "style_code", "code", "block"):
        # "Garment (in) | 2 | 4 | 6": a heading over sizes, not the names of styles.
        texts = ["" if line[i] is None or _is_word(reader.read(line[i].text)) else line[i].text for i in columns]  # type: ignore[union-attr]
        run = read_size_run(texts, reader.knowledge, system) if any(texts) else None
        if run is not None and run.score >= (SURE_RUN if role == "style" else 0.6):
            role = ""
        else:
            run = None
    facets: list[Facets] = []
    if role in ATTRIBUTE_ROLES or role == "length":
        line = fill_forward(line)
    slots = Counter(id(cell) for cell in line)
    for index, cell in enumerate(line):
        if cell is None or (index == label and role):
            facets.append(Facets())
        else:
            one = _header_facets(reader.read(cell.text), role, reader)
            facets.append(over_a_group(one, reader.read(cell.text)) if slots[id(cell)] > 1 else one)
    if run is not None:
        for index, size in zip(columns, run.labels, strict=True):
            if size is not None and _may_be_size(facets[index]) and role != "length":
                named = size if size.size else None
                facets[index] = replace(facets[index], size=named, length=size.length or facets[index].length, role="")
    return facets, run


def fill_forward(line: Line) -> Line:
    """A style or length printed once over several columns (or beside several rows) holds until the next one."""
    filled: list[Cell | None] = []
    for cell in line:
        filled.append(cell if cell is not None or not filled else filled[-1])
    return tuple(filled)


def _is_word(reading: CellReading) -> bool:
    if reading.is_ours or reading.word is None:
        return reading.is_ours
    return reading.word.role not in ("size", "") or (reading.word.role == "size" and reading.size is None)


def _may_be_size(facets: Facets) -> bool:
    return facets.point is None and facets.role in ("", "size")


def _header_facets(reading: CellReading, role: str, reader: Reader) -> Facets:
    if role in ATTRIBUTE_ROLES and reading.length:
        return Facets(length=reading.length)
    if role in ATTRIBUTE_ROLES:
        return Facets(attributes={role: reading.text.strip()})
    if role == "length":
        return Facets(length=reading.length or (reading.size.size if reading.size else reading.text.strip()))
    if role in ("unit", "convention"):
        return Facets(unit=reading.unit, convention=reading.convention)
    if role in ("size", "base_size"):
        if reading.size is None:
            special = reading.word is not None and reading.word.role in SPECIAL_ROLES
            return Facets(role=reading.word.role) if special and reading.word else Facets()
        return Facets(size=reading.size, length=reading.size.length)
    if role in SPECIAL_ROLES:
        return Facets()
    facets = facets_of_header(reading)
    if facets == Facets():
        return unknown_heading(reading, reader)
    if reading.number is not None and facets.size is not None and facets.role != "base_size":
        return replace(facets, size=None)
    return facets


def beside(size: SizeLabel, other: SizeLabel) -> SizeLabel:
    """The size with the same size of another system kept beside it."""
    name = f"{other.system} {other.size}".strip()
    return size if name in size.also or other.size == size.size else replace(size, also=(*size.also, name))


def unknown_heading(reading: CellReading, reader: Reader) -> Facets:
    """A heading that is no known word: an old value, a base with its size ("Sample 8"), or what it is nobody knows."""
    book = phrasebook(reader.knowledge)
    folded = fold(reading.text)
    words = reading.text.split()
    sized = next((reader.read(word).size for word in (words[0], words[-1]) if reader.read(word).size), None)
    if book.old.search(folded):
        return Facets(old=True)
    if sized is not None and book.current.search(folded):
        return Facets(size=sized, length=sized.length)
    if sized is not None and book.base.search(folded):
        return Facets(role="base_size", size=sized)
    again = reader.read(f"waist {reading.text}").point
    if again is not None and again.point == "waist" and again.qualifiers & STATES and again.score >= SURE_LABEL:
        return Facets(qualifiers=again.qualifiers)
    if sized is not None and len(words) > 1:
        return Facets(role="unread")  # "4 min": a size and a word that nobody knows
    if book.trial.search(folded):
        return Facets(role="trial", size=reading.rest_size)
    return Facets(role="unknown") if any(c.isalpha() for c in reading.text) else Facets()


def describe_columns(table: Table, label: int, reader: Reader, system: str = "") -> Columns:
    """Adds up the header rows over each column and says what each column is."""
    header = find_header_rows(table, label, reader)
    table = spread_heads(table, header, label)
    heads = [cell for row in header for cell in distinct(table.rows[row])]
    system = system or next((found for cell in heads if (found := system_named(cell, reader))), "")
    facets = [Facets() for _ in range(table.width)]
    size_row, size_score = None, 0.0
    readings = [(row, *read_header_row(table, row, label, reader, system)) for row in header]
    for row, _, run in readings:
        sized = run is not None and any(one is not None and one.size for one in run.labels)
        score = (
            0.0
            if run is None or not sized
            else run.score + (0.5 if row_role(table, row, label, reader) == "size" else 0.0)
        )
        corner = table.rows[row][label]
        if run is not None and corner is not None:
            word = reader.read(corner.text).word
            score += 0.3 if word is not None and word.role in ("size", "point_column") else 0.0
        if score > size_score + (FIRST_ROW if size_row is not None else 0.0):
            size_row, size_score = row, score
    for row, line, run in readings:
        lengths = any(one.length for index, one in enumerate(line) if index != label)
        for index, one in enumerate(line):
            if lengths and one.role == "unknown" and index != label:
                one = replace(one, role="unread")
            if run is not None and row != size_row and one.size is not None and size_row is not None and not one.role:
                also = one.size
                one = replace(one, size=None)
                first = facets[index].size
                if first is not None and also is not None and row_role(table, row, label, reader) in ("size", ""):
                    facets[index] = replace(facets[index], size=beside(first, also))
            if one.size is not None and not one.role and facets[index].role == "size":
                facets[index] = replace(facets[index], role="")  # "Sizes" over the middle of 0, 2, 4 heads them all
            facets[index] = one.under(facets[index])
    facets = mark_trials(table, header, label, facets, reader)
    for row in header if size_row is not None else []:
        if row != size_row:
            over = distinct(table.rows[row])
            unknown = {id(one) for one in over if _header_facets(reader.read(one.text), "", reader) == UNKNOWN}
            name_groups(table.rows[row], facets, label, unknown, reader)
    body = [row for row in range(len(table.rows)) if row not in set(header)]
    for index, one in enumerate(facets):
        if one.role in SPECIAL_ROLES and facets[index - 1].size is not None and carries_on(table, index, body, reader):
            facets[index] = Facets()  # figures of a size under the heading of tolerances: `slipped` holds them
    kinds = [_column_kind(table, index, label, facets[index], body, reader) for index in range(table.width)]
    columns = Columns(label, facets, kinds, size_row, size_score, body)
    columns.sized = sum(kind == "value" and one.size is not None for kind, one in zip(kinds, facets, strict=True))
    for row in header:
        corner = table.rows[row][label]
        if corner is not None and not row_values_own(table, row, label, reader):
            said = Facets(unit=find_unit(corner.text, reader), convention=find_convention(corner.text, reader))
            cells = [cell.text for cell in distinct(table.rows[row]) if cell is not corner]
            sizes = find_size_range(f"{corner.text}: {cells[0]}", reader) if len(cells) == 1 else ""
            said = with_attribute(said, "size_range", sizes) if sizes else said
            columns.table = said.under(columns.table)
    for index, kind in enumerate(kinds):
        if kind == "key" and facets[index].role in ("size", "base_size"):
            columns.size_names.update(read_size_column(table, index, body, reader, system))
    return columns


def row_values_own(table: Table, row: int, label: int, reader: Reader) -> bool:
    """Whether a row's label speaks of that row's own values (a tolerance in mm) and not of the table."""
    return row_role(table, row, label, reader) in SPECIAL_ROLES


def system_named(cell: Cell | None, reader: Reader) -> str:
    """The size system that a heading names ("UK size", "Größe EU"), '' for none."""
    if cell is None or reader.read(cell.text).word is None:
        return ""
    for word in re.findall(r"[^\W\d_]+", cell.text):
        label = read_size_label(f"{word} 10", reader.knowledge)
        if label is not None and label.system and label.size == "10":
            return label.system
    return ""


def read_size_column(table: Table, index: int, body: list[int], reader: Reader, system: str) -> dict[str, SizeLabel]:
    """The sizes of a key column, each text once, read together as a run."""
    texts = list(dict.fromkeys(cell.text for row in body if (cell := table.rows[row][index]) is not None))
    run = read_size_run(texts, reader.knowledge, system)
    if run is None:
        return {}
    return {text: size for text, size in zip(texts, run.labels, strict=True) if size is not None}


def _column_kind(table: Table, index: int, label: int, facets: Facets, body: list[int], reader: Reader) -> str:
    """What a column holds, by its heading first and by its cells where the heading is silent."""
    if index == label:
        return "label"
    if facets.role in SPECIAL_ROLES:
        return facets.role
    if facets.old or facets.role in ("trial", "note", "code", "quantity", "date", "old_value", "url"):
        return "skip"
    cells = [table.rows[row][index] for row in body]
    readings = [reader.read(cell.text) for cell in cells if cell is not None]
    if facets.size is not None and facets.role not in KEY_ROLES:
        return "value"
    if facets.role == "style_code" and are_codes_of_points(table, index, label, body, reader):
        return "skip"
    if facets.role in KEY_ROLES | {"point_column"}:
        numbers = sum(1 for one in readings if one.number is not None)
        measures = sum(1 for one in readings if one.number is not None and one.size is None)
        if facets.role == "point_column" and is_count(cells, reader):
            return "skip"
        if facets.role == "point_column":
            return "value" if numbers * 2 > len(readings) else "key"
        if facets.role == "base_size" and facets.size is not None:
            return "value" if numbers * 2 > len(readings) else "key"  # the heading names the size, the cells measure it
        return "value" if facets.role in ("unit", "base_size", "convention") and measures else "key"
    if facets.role == "price":
        return "skip"
    kinds = [one.number.kind for one in readings if one.number is not None]
    if not kinds:
        return "key" if readings else "skip"
    if facets.role in ("", "unknown") and not facets.unit and not facets.length and is_count(cells, reader):
        return "skip"
    if all(kind == "tolerance" for kind in kinds):
        return "tolerance"
    if len(kinds) > 1 and all(kind == "difference" for kind in kinds):
        return "grade"
    return "value" if len(kinds) * 2 >= len(readings) else "key"
