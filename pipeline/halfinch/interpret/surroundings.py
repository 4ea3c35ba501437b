"""The surroundings of each grid, from the sheet's title down to the caption.

In: a sheet. Out: `Surroundings` by the grid's order: what its headings, captions and notes say.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from itertools import pairwise

from halfinch.interpret.clauses import make_clause
from halfinch.interpret.context import named_size, text_facets
from halfinch.interpret.facets import ATTRIBUTE_ROLES, GOOD_LABEL, Facets, Reader
from halfinch.interpret.fact_rows import row_lines
from halfinch.interpret.names import (
    clean_style,
    find_attributes,
    heading_name,
    is_remark,
    key_role,
    take_value,
    whole_heading,
)
from halfinch.interpret.prices import find_price
from halfinch.interpret.product_data import find_lineage, find_product, read_objects
from halfinch.interpret.statements import find_convention, find_tolerance, find_unit
from halfinch.interpret.words import fold, phrasebook, silhouette_in
from halfinch.normalise.numbers import find_numbers
from halfinch.normalise.size_labels import SizeLabel
from halfinch.sheet import DATA, HIDDEN, STRUCK, Grid, Sheet, Text

_WORD = re.compile(r"[^\W\d_]{4}|[\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]")
CLOSE, LONGEST_CLOSE = 3, 60
"""So many texts over a grid, none of them longer, may say that it is of the body."""


@dataclass(slots=True)
class Surroundings:
    """What stands around one grid."""

    facets: Facets = field(default_factory=Facets)
    near: list[str] = field(default_factory=list)
    """Caption and headings right over the grid, nearest first: they decide which garment it is about."""
    titles: list[str] = field(default_factory=list)
    """Caption and headings only, nearest first."""
    notes: list[str] = field(default_factory=list)
    chart: bool = False
    garment: bool = False
    body: bool = False
    """Whether a heading or short text right over the grid speaks of the body, and none of them of the garment."""


def surround(sheet: Sheet, reader: Reader) -> dict[int, Surroundings]:
    """The surroundings of every grid by its order in the sheet."""
    base = sheet_facets(sheet, reader)
    found: dict[int, Surroundings] = {}
    stack: list[Text] = []
    near: list[Text] = []
    last: Surroundings | None = None
    objects = read_objects(sheet)
    carried = Facets()
    for block in titles_first(list(sheet.blocks()), reader):
        if isinstance(block, Text):
            if block.kind in ("chrome", "meta") or block.marks & {HIDDEN, STRUCK}:
                continue
            if block.kind in ("title", "heading"):
                stack = [one for one in stack if block.level and one.level and one.level < block.level]
                stack.append(block)
            near.append(block)
            if last is not None and block.kind not in ("title", "heading"):
                last.notes.append(block.text)
                if not any(one.kind in ("title", "heading") for one in near):
                    last.facets = last.facets.under(Facets(size=sampled_size(block.text, reader)))
            continue
        one = surround_grid(named_grid(block, sheet, reader), base, carried, stack, near, reader)
        say_of_what(one, reader)
        found[block.order] = one
        if is_preamble(block, reader):
            near.extend(preamble_texts(block, reader))
            continue
        if DATA in block.marks:
            lineage = find_lineage(block, objects, reader)
            one.facets = lineage.facets.under(one.facets)
            one.near, one.titles = [*lineage.names, *one.near], [*lineage.names, *one.titles]
            say_of_what(one, reader)
        last = one
        carried = Facets(
            attributes={k: v for k, v in one.facets.attributes.items() if k in ("style", "style_code", "merchant")}
        )
        near = []
    for one in found.values():
        for note in one.notes:
            said = text_facets(note, reader, heading=False)
            statement = Facets(unit=said.unit, convention=said.convention, attributes=said.attributes)
            one.facets = one.facets.under(statement)
    return found


def sampled_size(note: str, reader: Reader) -> SizeLabel | None:
    """The size of "measured from a size 32" under a table; any other size named there heads what follows."""
    sampled = phrasebook(reader.knowledge).sample.search(fold(note)) is not None
    return named_size(note, reader) if sampled else None


def titles_first(blocks: list[Text | Grid], reader: Reader) -> list[Text | Grid]:
    """The blocks of a sheet with the titles over their tables, where each of several tables has its own under it and
    none over the first. Grids that tell no points (facts about the file or the page) stand between at will."""
    starts = [index for index, block in enumerate(blocks) if isinstance(block, Grid) and tells_points(block, reader)]
    if len(starts) < 2 or any(names_garment(block, reader) for block in blocks[: starts[0]]):
        return blocks
    parts = [blocks[start:end] for start, end in pairwise([*starts, len(blocks)])]
    titles = [next((one for one in part[1:] if not is_choice(one)), None) for part in parts]
    if not all(title is not None and names_garment(title, reader) for title in titles):
        return blocks
    moved: list[Text | Grid] = blocks[: starts[0]]
    for part, title in zip(parts, titles, strict=True):
        assert isinstance(title, Text)
        others = [one for one in part if one is not title]
        moved += [replace(title, kind="heading", level=title.level or 2), *others]
    return moved


def is_choice(block: Text | Grid) -> bool:
    """Sizes to choose from ("24 25 26", "S M L"): no word, so no title and nothing that parts one from its table."""
    return isinstance(block, Text) and _WORD.search(block.text) is None


def tells_points(grid: Grid, reader: Reader) -> bool:
    """Whether two points at least are named in the first row or the first column of a grid."""
    heads = [cell.text for cell in grid.cells if cell.text and (cell.row == 1 or cell.column == 1)]
    return sum(reader.read(text).is_ours for text in heads) > 1


def names_garment(block: Text | Grid, reader: Reader) -> bool:
    """Whether a block is a short text that names one of our garments."""
    if not isinstance(block, Text) or block.kind in ("chrome", "meta") or len(block.text) > 60:
        return False
    if ">" in block.text or "›" in block.text:
        return False  # the way to a page names what else lies beside it
    return phrasebook(reader.knowledge).subject_of(block.text) == "ours"


def say_of_what(one: Surroundings, reader: Reader) -> None:
    """Notes whether the texts over a grid call it a size chart, a garment's or a body's measures."""
    book = phrasebook(reader.knowledge)
    folded = fold(" ".join(one.near))
    one.chart = book.chart.search(folded) is not None
    one.garment = book.garment.search(folded) is not None
    close = fold(" ".join(text for text in one.near[:CLOSE] if len(text) <= LONGEST_CLOSE))
    one.body = not one.garment and book.body.search(close) is not None


def is_preamble(grid: Grid, reader: Reader) -> bool:
    """A small grid without a point of ours: facts about the tables that follow ("Style; Alma", "sizes in cm")."""
    cells = [cell for cell in grid.cells if cell.text]
    widest = max(Counter(cell.row for cell in cells).values(), default=0)
    if grid.rows > 12 or widest > 6 or grid.marks & {HIDDEN, STRUCK, DATA}:
        return False
    keys = {(cell.row, cell.column + cell.column_span) for cell in cells if key_role(cell.text, reader)}
    reads = [reader.read(cell.text) for cell in cells if (cell.row, cell.column) not in keys]
    if any(read.is_label and read.point is not None and read.point.score >= GOOD_LABEL for read in reads):
        return False
    if any(holds_figures(cell.text, reader) for cell in cells):
        return False
    return any(read.word is not None and read.word.role for read in reads) or any(
        find_unit(r.text, reader) for r in reads
    )


def holds_figures(text: str, reader: Reader) -> bool:
    """A cell with labels and their figures together ("Inseam: 30"), which is to be read itself."""
    if len(text) < 6 or not any(c.isdigit() for c in text) or not any(c.isalpha() for c in text):
        return False
    if not find_numbers(text, decimal=reader.decimal):
        return False
    clause = make_clause(text, reader)
    return bool(clause.numbers) and any(one.label.point and one.label.score >= GOOD_LABEL for one in clause.labels)


def preamble_texts(grid: Grid, reader: Reader) -> list[Text]:
    """The rows of such a grid as texts."""
    rows: dict[int, list[str]] = {}
    for cell in grid.cells:
        if cell.text and not cell.marks & {HIDDEN, STRUCK}:
            rows.setdefault(cell.row, []).append(cell.text)
    lines = [line for cells in rows.values() for line in row_lines(cells, reader)]
    return [Text(text=line, order=grid.order, page=grid.page) for line in lines]


def named_grid(grid: Grid, sheet: Sheet, reader: Reader) -> Grid:
    """The grid, without a caption of a letter or two that has no sibling and is no unit: a lone worksheet "T" is no
    length, "S" no size, "PO" (an order, a hip, inches) nothing at all; "P" beside "R" and "T" may well be lengths."""
    if not 0 < len(grid.caption) <= SHORT_CAPTION or not grid.caption.isascii():
        return grid
    read = reader.read(grid.caption)
    siblings = {one.caption for one in sheet.grids if 0 < len(one.caption) <= SHORT_CAPTION}
    known = len(siblings) > 1 or (read.unit != "" and read.point is None)
    return grid if known else replace(grid, caption="")


SHORT_CAPTION = 2


def surround_grid(
    grid: Grid, base: Facets, carried: Facets, stack: list[Text], near: list[Text], reader: Reader
) -> Surroundings:
    """One grid's surroundings: sheet, then active headings, then texts since the last grid, then its caption."""
    facets = carried.under(base)
    texts = [text for text in stack if text not in near] + near
    for text in texts:
        said = text_facets(text.text, reader, heading=text.kind in ("title", "heading"))
        if text.kind not in ("title", "heading") and len(text.text) > 60:
            said = replace(said, length="", body=False, old=False, point=None)
        facets = _step_into(said, facets)
        name = heading_name(text, reader)
        if name and "style" not in said.attributes:
            facets = replace(facets, attributes={**facets.attributes, "style": name})
    # A worksheet's name is the caption of all its tables: a heading right over one of them comes first.
    over, above = ([one.text for one in many if one.kind in ("title", "heading")] for many in (near, texts))
    heads = [*over[-1:], grid.caption if DATA not in grid.marks else "", *above[-1:]]
    name = next((whole_heading(head, reader) for head in heads if head and not is_remark(head, reader)), "")
    if name:
        facets = replace(facets, attributes={**facets.attributes, "heading": name})
    headings = [text.text for text in reversed(texts) if text.kind in ("title", "heading") or len(text.text) < 60]
    if grid.caption:
        facets = _step_into(text_facets(grid.caption, reader), facets)
    titles = [text.text for text in reversed(texts) if text.kind in ("title", "heading")]
    own = [grid.caption] if grid.caption and DATA not in grid.marks else []
    return Surroundings(facets, [*own, *headings], [*own, *titles])


def _step_into(said: Facets, outer: Facets) -> Facets:
    """A nearer text: a new style ends the length, size and flags of the one before."""
    if said.attributes.get("style") or said.attributes.get("style_code"):
        outer = replace(outer, length="", size=None, point=None, body=False, old=False)
    joined = said.under(outer)
    return replace(joined, body=said.body, old=said.old, point=said.point)


def sheet_title(sheet: Sheet, reader: Reader) -> str:
    """What the sheet calls its garment: a heading that names one, else its title, else its first heading."""
    book = phrasebook(reader.knowledge)
    heads = [one.text for one in sheet.texts if one.kind in ("title", "heading") and not one.marks & {HIDDEN, STRUCK}]
    named = [*heads, sheet.meta.get("title", "")]
    kept = [
        text
        for text in named
        if text
        and len(text) <= 90
        and not book.guide.search(fold(text))
        and book.subject_of(text) != "others"
        and not is_remark(text, reader)
        and clean_style(text, reader)
        and not is_remark(clean_style(text, reader), reader)
    ]
    for text in kept:
        name = clean_style(text, reader)
        if book.subject_of(name) == "ours" or silhouette_in(name, reader.knowledge):
            return text
    plain = [text for text in kept if len(text.split()) <= 8 and not re.search(r"[€$£¥%>]|\d{3}", text)]
    return plain[0] if plain else ""


_SCRIPTS = (("ja", "\u3040-\u30ff"), ("ko", "\uac00-\ud7a3"), ("th", "\u0e01-\u0e4e"), ("zh", "\u4e00-\u9fff"))


def language_of(sheet: Sheet) -> str:
    """The language that a sheet's script tells (kana, Hangul, Thai, Han alone), '' for any other script."""
    words = " ".join(
        [*(text.text for text in sheet.texts), *(cell.text for grid in sheet.grids for cell in grid.cells)]
    )
    return next((name for name, signs in _SCRIPTS if re.search(f"[{signs}]", words)), "")


def sheet_facets(sheet: Sheet, reader: Reader) -> Facets:
    """What holds for the whole sheet: its title and metadata, and statements on which all its texts agree."""
    attributes: dict[str, str] = {}
    if sheet.meta.get("site_name"):
        attributes["merchant"] = sheet.meta["site_name"]
    if sheet.meta.get("url"):
        attributes["url"] = sheet.meta["url"]
    language = sheet.language or language_of(sheet)
    if language:
        attributes["language"] = language
    title = sheet_title(sheet, reader)
    if title:
        take_value(attributes, "style", title, reader)
    units, conventions, tolerances = set(), set(), set()
    book, price = phrasebook(reader.knowledge), ""
    for text in sheet.texts:
        if text.kind in ("chrome", "meta") or text.marks & {HIDDEN, STRUCK}:
            continue
        if text.kind == "heading" and book.guide.search(fold(text.text)):
            price = price or "other products'"
        price = price or find_price(text.text, reader, language)
        for role, value in find_attributes(text.text, reader).items():
            if role in ATTRIBUTE_ROLES:
                attributes.setdefault(role, value)
        units.add(find_unit(text.text, reader))
        conventions.add(find_convention(text.text, reader))
        tolerances.add(find_tolerance(text.text, reader))
    units.discard("")
    conventions.discard("")
    tolerances.discard("")
    product = find_product(sheet, reader)
    if "style" in attributes:
        product.pop("style", None)
    attributes = {**({"price": price} if price else {}), **product, **attributes}
    if len(tolerances) == 1:
        attributes["tolerance"] = tolerances.pop()
    return Facets(
        unit=units.pop() if len(units) == 1 else "",
        convention=conventions.pop() if len(conventions) == 1 else "",
        attributes=attributes,
    )
