"""One grid from cells to raw figures: bands, competing readings, sections, text inside cells."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from halfinch.interpret.bands import cut_bands, trailing_notes
from halfinch.interpret.context import text_facets
from halfinch.interpret.facets import KEY_ROLES, Facets, Reader, with_attribute
from halfinch.interpret.fact_rows import take_facts
from halfinch.interpret.layout import read_region
from halfinch.interpret.matrix import Table, distinct, make_table, pieces
from halfinch.interpret.names import clean_style, is_remark, whole_heading
from halfinch.interpret.prose import read_prose
from halfinch.interpret.raw import RawFigure, Reading
from halfinch.interpret.rows import key_facets
from halfinch.interpret.shape import shape_table
from halfinch.interpret.surroundings import Surroundings, holds_figures
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.label_tokens import EASTERN
from halfinch.sheet import Cell, Grid

HEAD_ROWS, HEAD_COLUMNS, MOST_ROWS = 40, 120, 2000
"""Where the quick look goes: a table of ours names a point within its first rows or at its sides."""
MOST_CELLS, LONGEST_LABEL = 6_000, 80
"""A larger table has to name a point of ours by a label of its own, no longer than this."""
CLEARLY = 1.25
"""A reading is taken when it scores this many times its best rival that says something else."""


@dataclass(slots=True)
class GridReading:
    """All that one grid gave: one Reading a band, and the readings that lost."""

    grid: Grid
    readings: list[Reading] = field(default_factory=list)
    rivals: list[list[Reading]] = field(default_factory=list)

    @property
    def figures(self) -> list[RawFigure]:
        return [figure for reading in self.readings for figure in reading.figures]


def read_grid(grid: Grid, around: Surroundings, reader: Reader, inherited: Grid | None = None) -> GridReading:
    """Every band of the grid, each by its best reading. `inherited`: the grid that this one continues."""
    result = GridReading(grid)
    table, _ = make_table(grid)
    if not table.rows:
        return result
    if not may_be_ours(table, around, reader):
        reader.trace.passes_grid(grid, "names no point of a garment")
        return result
    facts, table = take_facts(table, reader)
    table = shape_table(table, reader, around.facets.convention)
    notes = Facets()
    for line in facts:
        notes = replace(text_facets(line, reader), point=None, size=None, length="").under(notes)
    for line in trailing_notes(table, reader):
        said = text_facets(line, reader)
        kept = {role: value for role, value in said.attributes.items() if role in ("size_range", "tolerance", "state")}
        notes = Facets(unit=said.unit, convention=said.convention, attributes=kept).under(notes)
    outer = notes.under(around.facets) if facts else around.facets.under(notes)
    sections = Facets()
    for band in cut_bands(table, reader):
        said = Facets()
        titles = [*band.sections, *name_beside(band.table, reader)]
        for cell in titles:
            said = section_facets(cell.text, reader).under(said)
        if titles:
            sections = replace(said.under(sections), body=said.body, old=said.old, point=said.point)
        readings = read_region(band.table, reader, sections.under(outer), grid.order)
        cells = read_cell_texts(band.table, reader, sections.under(outer), grid.order)
        if cells.figures and (not readings or len(cells.figures) > 1.5 * len(readings[0].figures)):
            readings.insert(0, cells)
        reader.trace.compares(grid, band.table, sections.under(outer), readings)
        if not readings:
            outer = preamble_facets(band.table, reader).under(outer)
            continue
        readings[0].titles = [cell.text for cell in reversed(titles)]
        result.readings.append(readings[0])
        result.rivals.append(readings[1:])
        hold_if_close(readings)
    return result


def name_beside(table: Table, reader: Reader) -> list[Cell]:
    """The name of a garment that stands alone in the first column, beside the head of its rows or along all of them."""
    cells = distinct(table.column(0))
    if len(cells) != 1 or cells[0] is not table.rows[0][0] or table.width < 3:
        return []
    return cells if phrasebook(reader.knowledge).subject_of(cells[0].text) == "ours" else []


def may_be_ours(table: Table, around: Surroundings, reader: Reader) -> bool:
    """A quick look: whether any heading, first cell or longer text could name a point. Saves the rest on big tables."""
    if around.facets.point is not None:
        return True
    heads = [cell for row in table.rows[:HEAD_ROWS] for cell in distinct(row[:HEAD_COLUMNS])]
    sides = [cell for row in table.rows[HEAD_ROWS:MOST_ROWS] for cell in row[:3] if cell is not None]
    if len(table.rows) * table.width > MOST_CELLS:
        return any(len(cell.text) <= LONGEST_LABEL and reader.read(cell.text).is_ours for cell in [*heads, *sides])
    return any(
        (len(cell.text) > 24 and any(c.isdigit() for c in cell.text)) or reader.read(cell.text).is_label
        for cell in [*heads, *sides]
    )


def section_facets(text: str, reader: Reader) -> Facets:
    """What a section row says; a text that is nothing else may be the name of a style ("Brindle jeans")."""
    said = text_facets(text, reader)
    name = clean_style(text, reader)
    if said.attributes.get("style"):
        return with_attribute(said, "heading", whole_heading(text, reader))
    if not name or is_remark(name, reader) or len(name) > 60:
        return said
    role = "style" if phrasebook(reader.knowledge).subject_of(name) == "ours" else "heading"
    return with_attribute(said, role, name)


def preamble_facets(table: Table, reader: Reader) -> Facets:
    """What rows without figures say of the rows below: "Base size | 6", "Style | Alma"."""
    said = Facets()
    for row in table.rows:
        cells = [cell.text for cell in distinct(row)]
        text = f"{cells[0]}: {cells[1]}" if len(cells) == 2 else "; ".join(cells)
        said = text_facets(text, reader).under(said)
    return replace(said, point=None)


_WORDS = re.compile(rf"[^\W\d_]{{2}}|[{EASTERN}]")
"""Letters enough for a label; there are none in 1.2e-05."""


def read_cell_texts(table: Table, reader: Reader, context: Facets, block: int) -> Reading:
    """Cells that hold label and figure together ("Inseam: 30", a description): each read as prose."""
    reading = Reading("text in cells")
    bare = not any(reader.read(cell.text).word for cell in distinct(table.rows[0]))  # cards have no heading row
    reading.heads = [] if bare else [cell.text for cell in distinct(table.rows[0])]
    told: dict[str, Facets] = {}
    pairs = told_in_pairs(table, reader)
    context = pairs.under(context) if pairs is not None else context
    for row, _, cell in pieces(table):
        if len(cell.text) < 6 or not any(c.isdigit() for c in cell.text) or reader.read(cell.text).number is not None:
            continue
        if not _WORDS.search(cell.text):
            continue
        figures, _ = read_prose(cell.text, cell.place, reader, context, block, listed=True)
        if not figures:
            continue
        facets = context
        for column, other in enumerate(table.rows[row]):
            if other is None or other is cell:
                continue
            head = table.rows[0][column]
            if pairs is not None:
                continue
            word = reader.read(head.text).word if head is not None and row > 0 else None
            said = key_facets(other, word.role if word is not None else "", reader, {})
            if bare and said == Facets():
                said = told[other.text] = told.get(other.text) or card_facets(other.text, reader)
            facets = replace(said, point=None).under(facets)
        figures, _ = read_prose(cell.text, cell.place, reader, facets, block, listed=True)
        reading.figures.extend(figures)
    reading.score = 0.8 * len(reading.figures)
    return reading


def told_in_pairs(table: Table, reader: Reader) -> Facets | None:
    """What a table of two columns, names and values ("Size | XS", "Price | 118"), says of the texts in it; None for
    any other table."""
    cells = [cell for row in table.rows for cell in row if cell is not None]
    if table.width != 2 or len(cells) < 2 * len(table.rows):
        return None
    said: Facets | None = None
    for name, value in zip(cells[::2], cells[1::2], strict=True):
        read, told = reader.read(name.text), reader.read(value.text)
        if read.number is not None or (read.size is not None and read.word is None):
            return None  # a size beside each of its texts
        role = read.word.role if read.word is not None else ""
        if role in KEY_ROLES and told.word is None and (role != "size" or told.size is not None):
            said = replace(key_facets(value, role, reader, {}), point=None).under(said or Facets())
    return said


def card_facets(text: str, reader: Reader) -> Facets:
    """What a part of a card says of the figures in its other parts: "Alma, wide jeans", "measured in size 38"."""
    if len(text) > 60 or reader.read(text).number is not None or holds_figures(text, reader):
        return Facets()
    said = text_facets(text, reader)
    name = clean_style(text, reader)
    if not phrasebook(reader.knowledge).ours.sub("", fold(name)).strip():
        return said  # "Jeans" is what it is, not what it is called
    if "style" in said.attributes or is_remark(name, reader) or phrasebook(reader.knowledge).subject_of(name) != "ours":
        return said
    return with_attribute(said, "style", name)


def hold_if_close(readings: list[Reading]) -> None:
    """Two readings that score alike and say different things: nothing of the band can be believed."""
    best = readings[0]
    for rival in readings[1:]:
        if rival.score <= 0 or best.score >= CLEARLY * rival.score:
            continue
        mine = {(one.place, one.point, one.size.size if one.size else "", one.length) for one in best.figures}
        theirs = {(one.place, one.point, one.size.size if one.size else "", one.length) for one in rival.figures}
        if mine != theirs:
            for figure in best.figures:
                figure.hold("two-readings", f"the table can be read as “{best.way}” and as “{rival.way}” alike")
