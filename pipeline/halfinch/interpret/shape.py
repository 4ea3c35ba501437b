"""A table put into shape before it is read: joined cells taken apart, split labels put together, "Taille" settled."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from halfinch.interpret.evidence import USUAL, suits
from halfinch.interpret.facets import KEY_ROLES, CellReading, Reader
from halfinch.interpret.matrix import Line, Table, distinct, make_table
from halfinch.interpret.repeated import unfold
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.numbers import read_number
from halfinch.normalise.point_labels import settle_letters
from halfinch.normalise.size_labels import read_size_run
from halfinch.sheet import Cell, Grid

SURE_RUN = 0.8
LONGEST_LABEL = 80
"""Letters; no label is longer, in however many cells it stands."""
MOST_LEADING = 5
"""More columns of words before the first figure are no parts of one label."""
_BARS = re.compile(r"\s*\|{1,2}\s*|\s*;\s*")
_ROW_LETTER = re.compile(r"^\s*\(?[A-Za-z]\b[.):\s-]*")
_UNIT_BEHIND = re.compile(r"\s*[\[(（]([^()\[\]（）]{1,20})[\])）]\s*$")
_SLASHES = re.compile(r"\s+/\s+")


def shape_table(table: Table, reader: Reader, convention: str = "") -> Table:
    """All steps that hold whichever way the table lies. `convention`: what is said around it, flat or round."""
    table = settle_taille(split_joined(unfold(unpair(drop_types(table), reader), reader)), reader)
    trust_weak_names(table, convention, reader)
    return table


def trust_weak_names(table: Table, convention: str, reader: Reader) -> None:
    """ "Band" may be the waistband's height and "Opening" a pocket's: where all figures beside or below are usual ones
    of the point as they are said to be taken, and no other label names the point, the name is believed. Where nothing
    says how they are taken, flat is believed only beside at least two points that are ours beyond doubt."""
    cells = [cell for row in table.rows for cell in distinct(row)]
    reads = {cell.text: reader.read(cell.text) for cell in cells}
    named = {read.point.point for read in reads.values() if read.is_ours and read.point is not None}
    weak = {text for text, read in reads.items() if is_weak_name(read) and read.point and read.point.point not in named}
    if not weak:
        return
    ways = (convention,) if convention else ("round", "flat") if len(named) > 1 else ("round",)
    trusted = set()
    for lines in (table.rows, table.turned().rows):
        behind: dict[str, list[Cell]] = {}
        for line in lines:
            for index, cell in enumerate(line):
                if cell is not None and cell.text in weak:
                    behind.setdefault(cell.text, []).extend(distinct(line[index + 1 :]))
        trusted |= {text for text, figures in behind.items() if figures_suit(text, figures, ways, reader)}
    if trusted:
        reader.trust(trusted)


def join_cards(grids: Iterable[Grid]) -> Table:
    """Cards of label and figure, one a size or garment, as one table: a row a label that several of them have."""
    rows: dict[str, list[Cell]] = {}
    for grid in grids:
        table, _ = make_table(grid)
        if table.width == 2:
            for label, value in table.rows:
                if label is not None and value is not None:
                    rows.setdefault(fold(label.text), [label]).append(value)
    shared = [row for row in rows.values() if len(row) > 2]
    width = max(map(len, shared), default=0)
    return Table(tuple((*row, *[None] * (width - len(row))) for row in shared))


def is_weak_name(read: CellReading) -> bool:
    """A name that often means another thing; "Length" is asked of the inseam beside it instead (layout.keep_weak)."""
    return read.point is not None and bool(read.point.point) and not read.is_ours and read.point.point != "outseam"


def figures_suit(label: str, cells: list[Cell], ways: tuple[str, ...], reader: Reader) -> bool:
    """Whether figures follow, all of them usual for the label's point in a unit that is said (or in any) and in one
    of the `ways`, flat or round."""
    point = reader.read(label).point
    assert point is not None
    numbers = [read.number for cell in cells if (read := reader.read(cell.text)).number is not None]
    values = [number for number in numbers if number is not None and number.kind in ("single", "range")]
    most = max((one.value for one in values), default=Fraction(0))
    values = [one for one in values if one.value * 4 > most]  # a tolerance or a step among them is no girth
    if len(values) < 2:
        return False
    for unit, way in itertools.product(
        (point.unit,) if point.unit else ("in", "cm", "mm"), (point.convention,) if point.convention else ways
    ):
        if all(suits(reader.knowledge, point.point, one.value, one.unit or unit, way) == USUAL for one in values):
            return True
    return False


def unpair(table: Table, reader: Reader) -> Table:
    """Rows of label, value, label, value (a record a row, or two cards beside each other) become an ordinary table."""
    if has_constant_heads(table):
        return Table((table.rows[0][::2], *(row[1::2] for row in table.rows)))
    pairs = [row_pairs(row, reader) for row in table.rows]
    full = [one for one in pairs if one]
    if len(full) * 5 < len(pairs) * 4 or max((len(one) for one in full), default=0) < 2:
        return table
    names = [tuple(label.text for label, _ in one) for one in full]
    if len(full) > 1 and len(set(names)) == 1:
        return Table((tuple(label for label, _ in full[0]), *(tuple(value for _, value in one) for one in full)))
    return Table(tuple((label, value) for one in full for label, value in one))


def has_constant_heads(table: Table) -> bool:
    """Whether every other column says the same in all rows, from the first one on ("Point | Hip | 36 | 92 | 38 | 96"
    over "Point | Thigh | 36 | 56 | 38 | 58"): records whose heads, sizes too, are printed in each of them."""
    if len(table.rows) < 2 or table.width < 4 or table.width % 2:
        return False
    columns = [[None if cell is None else cell.text for cell in table.column(index)] for index in range(table.width)]
    heads = [set(column) for column in columns[::2]]
    names = {next(iter(head)) for head in heads}
    moving = sum(len(set(column)) > 1 for column in columns[1::2])
    return all(len(head) == 1 for head in heads) and None not in names and len(names) == len(heads) and moving > 1


def row_pairs(row: Line, reader: Reader) -> list[tuple[Cell, Cell]]:
    """(label, value) pairs of a row in which labels of points or keys alternate with figures; [] for any other row."""
    cells = distinct(row)
    if len(cells) < 4 or len(cells) % 2:
        return []
    found: list[tuple[Cell, Cell]] = []
    for label, value in zip(cells[::2], cells[1::2], strict=True):
        read, said = reader.read(label.text), reader.read(value.text)
        named = read.is_label or (read.word is not None and read.word.role in KEY_ROLES)
        if read.number is not None or not named or said.is_label:
            return []
        if said.number is None and said.size is None and read.is_label:
            return []
        found.append((label, value))
    return found if any(reader.read(label.text).is_ours for label, _ in found) else []


def drop_types(table: Table) -> Table:
    """Machine-readable data name the kind of each record ("@type: Product"): no part of the table."""
    if not table.rows:
        return table
    keep = [i for i, cell in enumerate(table.rows[0]) if cell is None or not cell.text.startswith("@")]
    if len(keep) > 1:
        return Table(tuple(tuple(row[i] for i in keep) for row in table.rows))
    return Table(tuple(row for row in table.rows if row[0] is None or not row[0].text.startswith("@")))


def settle_taille(table: Table, reader: Reader) -> Table:
    """ "Taille" over 34 36 38 is the size, over 66 70 74 the waist: where a size run stands there, it reads "Size"."""
    pattern = phrasebook(reader.knowledge).ambiguous
    for row_index, row in enumerate(table.rows):
        for column_index, cell in enumerate(row):
            if cell is None:
                continue
            if len(cell.text) > LONGEST_LABEL:
                continue
            read = reader.read(cell.text)
            bare, behind = cut_unit(cell.text, reader)
            if not pattern.fullmatch(fold(bare)):
                strong = distinct(table.column(column_index)[row_index + 1 :]) if read.is_ours else []
                sizes = [reader.read(one.text).size for one in strong]
                if len(sizes) > 1 and all(size is not None and size.strength >= 0.8 and size.waist for size in sizes):
                    return settle_taille(replace_cell(table, cell, replace(cell, text="Size")), reader)
                continue
            if any(is_size_name(one, reader) for one in [*distinct(row), *distinct(table.column(column_index))]):
                continue  # "Maat | Taille": the sizes have a heading of their own
            below = list(dict.fromkeys(one.text for one in distinct(table.column(column_index)[row_index + 1 :])))
            beside = list(dict.fromkeys(one.text for one in distinct(row[column_index + 1 :])))
            twin = heads_points(row, reader) or has_plain_waist(
                distinct(row) + distinct(table.column(column_index)), pattern, reader
            )
            if not twin and stands_under_sizes(table, row_index, pattern, reader):
                continue
            if any(is_sure_run(texts, reader) or (twin and all_sizes(texts, reader)) for texts in (below, beside)):
                return replace_cell(table, cell, replace(cell, text=f"Size{behind}"))
    return table


def cut_unit(text: str, reader: Reader) -> tuple[str, str]:
    """A heading without the unit in brackets behind it ("Taille (cm)"), and that ending."""
    match = _UNIT_BEHIND.search(text)
    if match is None or not reader.read(match.group(1)).unit:
        return text.strip(), ""
    return text[: match.start()].strip(), f" ({match.group(1).strip()})"


def is_size_name(cell: Cell, reader: Reader) -> bool:
    """A heading that is the size beyond doubt."""
    read = reader.read(cell.text)
    return read.word is not None and read.word.role == "size" and not read.is_label and read.size is None


def stands_under_sizes(table: Table, row: int, pattern: re.Pattern[str], reader: Reader) -> bool:
    """Whether a row above holds the sizes of the table, under another word ("Mesure | 34 | 36 | 38"): "Taille" below
    it is then what is measured, however much its figures look like sizes. "Taille US" below "Taille" is none."""
    for line in table.rows[:row]:
        cells = distinct(line)
        if len(cells) < 3 or line[0] is None or pattern.search(fold(line[0].text)):
            continue
        word = reader.read(line[0].text).word
        if (
            word is not None
            and word.role in ("point_column", "size")
            and is_sure_run([one.text for one in cells[1:] if reader.read(one.text).size is not None], reader)
        ):
            return True
    return False


def heads_points(row: Line, reader: Reader) -> bool:
    """Whether a heading of the row stands over the names of points: what is measured is then no heading beside it."""
    words = (reader.read(one.text).word for one in distinct(row))
    return any(word is not None and word.role == "point_column" for word in words)


def has_plain_waist(labels: list[Cell], pattern: re.Pattern[str], reader: Reader) -> bool:
    """Whether another label of the same line says waist in words that mean nothing else."""
    reads = (reader.read(one.text) for one in labels if not pattern.fullmatch(fold(cut_unit(one.text, reader)[0])))
    return any(read.is_ours and read.point is not None and read.point.point == "waist" for read in reads)


def all_sizes(texts: list[str], reader: Reader) -> bool:
    """Whether every text can be a size: enough where the waist is named elsewhere."""
    return bool(texts) and all(reader.read(text).size is not None for text in texts)


def is_sure_run(texts: list[str], reader: Reader) -> bool:
    """Whether texts are sizes beyond doubt: a known run, at least two of them, none a measure with a decimal."""
    run = read_size_run(texts, reader.knowledge, "") if len(texts) >= 2 else None
    if run is None or not all(run.labels):
        return False
    return run.score >= SURE_RUN or all(one is not None and one.strength >= 0.6 for one in run.labels)


def replace_cell(table: Table, old: Cell, new: Cell) -> Table:
    """The table with one cell exchanged wherever it stands."""
    return Table(tuple(tuple(new if cell is old else cell for cell in row) for row in table.rows))


def split_joined(table: Table) -> Table:
    """Figures joined by bars in one cell become columns, where rows agree on how many there are."""
    for index in range(table.width):
        counts = [len(parts) for cell in table.column(index) if (parts := joined_parts(cell))]
        if len(counts) < 2 or len(set(counts)) != 1:
            continue
        rows = tuple(expand_row(row, index, counts[0]) for row in table.rows)
        return split_joined(Table(rows))
    return table


def joined_parts(cell: Cell | None) -> list[str]:
    """The figures (or sizes) of one cell with bars between, [] for any other cell."""
    if cell is None:
        return []
    for pattern, least in ((_BARS, 2), (_SLASHES, 3)):
        parts = [part for part in pattern.split(cell.text) if part]
        if len(parts) >= least and all(len(part) <= 12 for part in parts):
            numbers = sum(read_number(part) is not None for part in parts)
            if numbers == len(parts) or (numbers == 0 and all(part.isalnum() and len(part) <= 4 for part in parts)):
                return parts
    return []


def expand_row(row: Line, index: int, count: int) -> Line:
    """The row with its cell at `index` spread over `count` columns."""
    cell = row[index]
    parts = joined_parts(cell)
    spread: Line = (cell,) * count
    if cell is not None and len(parts) == count:
        spread = tuple(replace(cell, text=part, value=None) for part in parts)
    return (*row[:index], *spread, *row[index + 1 :])


MOST_UNNAMED = 150
"""Rows of which hardly one names a point by a cell of its own: no table of garments, too long to try all joinings."""


def join_labels(table: Table, reader: Reader) -> Table:
    """Labels told in several cells ("Leibhöhe" over "vorne", "innen") put together where that names more points."""
    leading = leading_text_columns(table, reader)
    if not 2 <= len(leading) <= MOST_LEADING:
        return table
    single = max(count_ours(table, index, reader) for index in leading)
    if single * 20 < len(table.rows) > MOST_UNNAMED:
        return table
    target = leading[-1]
    joined = [best_label(row, leading, reader) for row in table.rows]
    named = sum(1 for cell in joined if cell is not None and reader.read(cell.text).is_ours)
    if named <= single:
        return table
    rows = tuple((*row[:target], cell, *row[target + 1 :]) for row, cell in zip(table.rows, joined, strict=True))
    return Table(rows)


def settle_row_letters(table: Table, label: int, reader: Reader) -> Table:
    """ "B. Rise" below "A. Waist" is the front rise with the letter of its row, alone it is the back rise."""
    cells = distinct(table.column(label))
    labels = [reader.read(cell.text).point for cell in cells]
    for cell, own, settled in zip(cells, labels, settle_letters(labels), strict=True):
        if settled is not own:
            table = replace_cell(table, cell, replace(cell, text=_ROW_LETTER.sub("", cell.text)))
    return table


def leading_text_columns(table: Table, reader: Reader) -> list[int]:
    """The columns before the first one that holds mostly numbers."""
    found = []
    for index in range(table.width):
        cells = distinct(table.column(index))
        numbers = sum(1 for cell in cells if reader.read(cell.text).number is not None)
        if cells and numbers * 2 >= len(cells):
            break
        found.append(index)
    return found


def count_ours(table: Table, index: int, reader: Reader) -> int:
    """Rows whose cell in this column names a point of ours."""
    return sum(1 for cell in table.column(index) if cell is not None and reader.read(cell.text).is_ours)


def best_label(row: Line, leading: list[int], reader: Reader) -> Cell | None:
    """The joining of the row's leading texts that names a point most surely, the longer one where two are equal."""
    cells = distinct(tuple(row[index] for index in leading))
    best: Cell | None = cells[-1] if cells else None
    best_score = -1.0
    for count in range(1, len(cells) + 1):
        part = cells[-count:]
        if sum(len(cell.text) for cell in part) > LONGEST_LABEL:
            break
        for order in (part, part[::-1]):
            text = " ".join(cell.text for cell in order)
            read = reader.read(text)
            if read.is_ours and read.point is not None and float(read.point.score) + count / 100 > best_score:
                best, best_score = replace(part[-1], text=text), float(read.point.score) + count / 100
    return best
