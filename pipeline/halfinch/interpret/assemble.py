"""All raw figures of a sheet: grid by grid and text by text, each with its subject decided."""

from __future__ import annotations

import re
from collections import Counter

from halfinch.interpret.context import text_facets
from halfinch.interpret.evidence import suits_somehow
from halfinch.interpret.facets import Facets, Reader, with_attribute
from halfinch.interpret.grids import GridReading, read_grid
from halfinch.interpret.legend import apply_legend
from halfinch.interpret.names import find_attributes, heading_name
from halfinch.interpret.prose import read_prose
from halfinch.interpret.raw import RawFigure, Reading
from halfinch.interpret.shape import join_cards, trust_weak_names
from halfinch.interpret.subject import (
    BODY,
    BODY_POINT,
    DOUBTED,
    GARMENT,
    OTHER,
    SENTENCE,
    SURE_POINTS,
    UNCLEAR,
    Subject,
    decide_subject,
    tells_tally,
)
from halfinch.interpret.surroundings import (
    Surroundings,
    holds_figures,
    is_preamble,
    preamble_texts,
    sheet_facets,
    surround,
)
from halfinch.interpret.text_tables import tables_from_texts
from halfinch.interpret.variants import unify_variants
from halfinch.interpret.words import Phrasebook, fold, phrasebook
from halfinch.sheet import HIDDEN, STRUCK, Grid, Sheet, Text

PASSED = {"chrome": "page furniture: running heads, menus, watermarks", "meta": "from the file's head"}
LEAST_OFFERS, MOST_OFFER = 3, 400
_MONEY = re.compile(r"[$€£¥₩₽]\s?\d|\d\s?(?:[$€£¥₩₽]|EUR|USD|GBP|CHF|PLN|SEK|kr|zł|TL|元|円|원|руб)(?!\w)")
_GOES_ON = re.compile(r"[:：]\s*[^\W\d_].*[^\W\d_]{3}[.。!]?$")
"""A line that says behind its colon what it has to say ("How to measure: lay it flat") heads nothing."""
_FIRST_DIGIT = re.compile(r"[\d½¼¾]")
_PART = re.compile(r"\s*([^:：]*[^\W\d_][^:：\d]*?)\s*[:：]?\s*([\d½¼¾].*?)\s*")
PROSE_BLOCK = 1_000_000
"""Blocks of texts are numbered from here, so that they never meet a grid's."""


def collect(sheet: Sheet, reader: Reader) -> list[RawFigure]:
    """The raw figures of grids and texts, those of other garments and old tables left out."""
    sheet = tables_from_texts(apply_legend(sheet, reader), reader)
    reader.trace.begins(sheet, reader)
    around = surround(sheet, reader)
    named = sheet_names_ours(sheet, reader)
    grids = read_grids(sheet, around, reader)
    prose = read_texts(sheet, around, reader)
    parts = [(one, where) for reading, where in grids for one in reading.readings]
    ours = [decide_subject(one, where, named, False, reader).kind in (GARMENT, UNCLEAR) for one, where in parts]
    told = Reading("prose", figures=prose, labels=[one.label for one in prose if one.label is not None])
    told.heads = [text.text.split(":")[0] for text in sheet.texts if ":" in text.text[:40]]
    parts.append((told, Surroundings()))
    ours.append(bool(prose) and decide_subject(told, Surroundings(), named, False, reader).kind == GARMENT)
    raws: list[RawFigure] = []
    count = sum(ours)
    for index, (one, where) in enumerate(parts):
        beside = count > ours[index]
        kept = settle_subject(one, where, named, beside, reader) if one.figures else []
        raws.extend(drop_stray(kept, raws, reader) if one is told else kept)
    return doubt_lengths(split_by_heading(unify_variants(raws)))


def read_grids(sheet: Sheet, around: dict[int, Surroundings], reader: Reader) -> list[tuple[GridReading, Surroundings]]:
    """Every grid once; a grid that continues the one before takes over its head when it has none of its own."""
    found: list[tuple[GridReading, Surroundings]] = []
    for grid in sheet.grids:
        if grid.marks & {HIDDEN, STRUCK}:
            reader.trace.passes_grid(grid, "hidden or struck through")
    shown = [grid for grid in sheet.grids if not grid.marks & {HIDDEN, STRUCK}]
    trust_weak_names(join_cards(shown), "", reader)
    for grid in join_continued(shown):
        where = around.get(grid.order, Surroundings())
        if where.facets.old:
            reader.trace.passes_grid(grid, "headed as an old state")
            continue
        found.append((read_grid(grid, where, reader), where))
    return found


def join_continued(grids: list[Grid]) -> list[Grid]:
    """Tables broken over pages become one grid; rows go on counting, places stay as printed."""
    joined: list[Grid] = []
    for grid in sorted(grids, key=lambda one: one.order):
        if not (grid.continues and joined):
            joined.append(grid)
            continue
        first = joined[-1]
        shift = first.rows
        moved = tuple(shift_cell(cell, shift) for cell in grid.cells)
        joined[-1] = Grid(
            cells=(*first.cells, *moved),
            order=first.order,
            page=first.page,
            box=first.box,
            caption=first.caption,
            place=first.place,
            marks=first.marks,
        )
    return joined


def shift_cell(cell, rows: int):  # type: ignore[no-untyped-def]
    """The cell `rows` further down."""
    from dataclasses import replace

    return replace(cell, row=cell.row + rows)


def sheet_names_ours(sheet: Sheet, reader: Reader) -> bool:
    """Whether any heading, title or caption of the sheet names long trousers."""
    book = phrasebook(reader.knowledge)
    texts = [text.text for text in sheet.texts if text.kind != "chrome" and not is_sentence(text)]
    texts += [grid.caption for grid in sheet.grids]
    texts += [value for key, value in sheet.meta.items() if key in ("title", "description")] + [sheet.name]
    return any(
        book.subject_of(text) == "ours" and not (len(text) <= 80 and holds_figures(text, reader))  # "Trouser waist: 88"
        for text in texts
        if text
    )


def is_sentence(text: Text) -> bool:
    """A sentence of running text: that it speaks of trousers doesn't make the sheet one of trousers."""
    return text.kind not in ("title", "heading") and text.text.rstrip(' )]"”’').endswith(SENTENCE)


def settle_subject(
    reading: Reading, around: Surroundings, named: bool, beside: bool, reader: Reader
) -> list[RawFigure]:
    """The figures of one reading, marked as the body's, held, or dropped, by what the grid is about."""
    subject = decide_subject(reading, around, named, beside, reader)
    kept = apply_subject(reading, subject)
    reader.trace.judges_subject(reading, subject, len(kept))
    return kept


def apply_subject(reading: Reading, subject: Subject) -> list[RawFigure]:
    """The figures that stay: all of a garment's, waist, hip and inside leg of a body's, none of anything else's."""
    if subject.kind == OTHER:
        return []
    kept = []
    for figure in reading.figures:
        if figure.body or subject.kind == BODY:
            if figure.point not in BODY_POINT:
                continue
            figure.body = True
        elif subject.kind == UNCLEAR:
            figure.hold(
                "body-or-garment",
                f"the table may speak of the body or of the garment ({'; '.join(subject.evidence)}); ask which",
            )
        elif subject.kind == DOUBTED:
            figure.hold("trousers-unsaid", f"little says that these are trousers ({'; '.join(subject.evidence)})")
        kept.append(figure)
    body = {figure.point for figure in kept if figure.body}
    if len(body) == 1 and all(figure.body for figure in kept):
        return []
    return kept


def read_texts(sheet: Sheet, around: dict[int, Surroundings], reader: Reader) -> list[RawFigure]:
    """Figures in texts outside the grids. Lines of one area share a block, so a size named once serves them all."""
    base = sheet_facets(sheet, reader)
    context = base
    found: list[RawFigure] = []
    area: list[RawFigure] = []
    sizes: Facets = Facets()
    guide = foreign = paper = False
    page = 0
    book = phrasebook(reader.knowledge)
    offers = find_offers(sheet, reader)
    facts = facts_of_grids(sheet, reader)
    listed_facts = {id(text) for text in facts}
    for text in sorted([*sheet.texts, *facts], key=lambda one: one.order):
        if text.kind in ("chrome", "meta") or text.marks & {HIDDEN, STRUCK}:
            reader.trace.passes_text(text, PASSED.get(text.kind, "hidden or struck through"))
            continue
        if text.page != page and sheet.kind == "workbook":
            context, sizes, guide, foreign, paper = base, Facets(), False, False, False  # another worksheet
        page = text.page
        if is_heading(text, reader):
            context, sizes = text_facets(text.text, reader).under(base), Facets()
            name = heading_name(text, reader)
            if name and "style" not in text_facets(text.text, reader).attributes:
                context = with_attribute(context, "style", name)
            guide = book.guide.search(fold(text.text)) is not None
            kept = text.kind not in ("title", "heading")
            paper = is_paper(text.text, book) or (kept and paper)
            subject = book.subject_of(text.text)
            foreign = subject == "others" or (kept and foreign and subject != "ours")
            if not (guide or foreign or paper):
                found.extend(read_heading(text, reader, context))
            continue
        names = len(text.text) <= 80 and not is_sentence(text)
        told = text.text
        if names and holds_figures(text.text, reader):
            told = _FIRST_DIGIT.split(text.text)[0]  # "Shorts 7 in inseam" names shorts, "hip 7 in below top" no top
        names = names and not tells_part(text.text, reader)
        subject = book.subject_of(told) if names else ""
        foreign = subject == "others" if subject else foreign
        names = names and told is text.text
        paper = paper or (names and id(text) not in listed_facts and is_paper(text.text, book))
        passed = "tells how to measure" if guide else "speaks of another garment" if foreign else ""
        passed = passed or ("counts, prices or measures persons" if paper or id(text) in offers else "")
        if passed:
            reader.trace.passes_text(text, passed)
            continue
        facts_told = find_attributes(text.text, reader) if len(text.text) <= 80 else {}
        for role in facts_told.keys() & {"style_code", "price", "colour", "fabric"}:
            context = with_attribute(context, role, facts_told[role])
        listed = text.kind == "item" or len(text.text) <= 80
        figures, after = read_prose(text.text, text.place, reader, sizes.under(context), PROSE_BLOCK, listed=listed)
        if after.size is not None and after.size is not context.size:
            sizes = Facets(size=after.size, length=after.length)
            if not figures:
                name_sizes(area, after)
        area.extend(figures)
        found.extend(figures)
    if sizes.size is not None:
        name_sizes(found, sizes)
    return found


def tells_part(text: str, reader: Reader) -> bool:
    """A line with the figure of a part that is none of our points: "belt loop 6 cm" names no belt."""
    told = _PART.fullmatch(text)
    return told is not None and reader.read(told.group(1)).is_label and reader.read(told.group(2)).number is not None


def facts_of_grids(sheet: Sheet, reader: Reader) -> list[Text]:
    """Small tables of facts ("Size | W27 L30") as lines: what they say holds for the lines after them too."""
    return [line for grid in sheet.grids if is_preamble(grid, reader) for line in preamble_texts(grid, reader)]


def read_heading(text: Text, reader: Reader, context: Facets) -> list[RawFigure]:
    """A line of figures set as a heading ("Inseam: Short 28", Regular 30""): believed where it lists several, each
    with its length or size; a style's name with a number in it does not."""
    figures, _ = read_prose(text.text, text.place, reader, context, PROSE_BLOCK, listed=True)
    listed = [figure for figure in figures if figure.facets.length or figure.facets.size is not None]
    return listed if len(listed) > 1 and len(listed) == len(figures) else []


def is_paper(text: str, book: Phrasebook) -> bool:
    """Whether a heading names a document of counts, prices or persons."""
    folded = fold(text)
    return tells_tally(folded, book) or any(one.search(folded) for one in (book.counts, book.surveys))


def find_offers(sheet: Sheet, reader: Reader) -> set[int]:
    """Lines that each offer another product with its price: what they tell belongs to several garments."""
    short = [text for text in sheet.texts if len(text.text) <= MOST_OFFER and _MONEY.search(text.text)]
    found = [text for text in short if holds_figures(text.text, reader)]
    prices = sum(len(_MONEY.findall(text.text)) for text in found)
    return {id(text) for text in found} if prices >= LEAST_OFFERS else set()


def drop_stray(prose: list[RawFigure], grids: list[RawFigure], reader: Reader) -> list[RawFigure]:
    """A figure in passing, without size or length, beside the same point told by size: it is of something else.

    So is a number that its point cannot have beside one that it can: "can be taken in at the waist by 2 inches".
    """
    told = {raw.point for raw in [*prose, *grids] if raw.size is not None and not raw.body}
    possible = {raw.point for raw in prose if can_be(raw, reader)}
    kept = [raw for raw in prose if can_be(raw, reader) or raw.point not in possible]
    return [raw for raw in kept if raw.size is not None or raw.length or raw.point not in told]


def can_be(raw: RawFigure, reader: Reader) -> bool:
    """Whether a number suits its point in the unit that is printed beside it, or in any."""
    return suits_somehow(reader.knowledge, raw.point, raw.printed.value, raw.printed.unit or raw.facets.unit) > 0


def is_heading(text: Text, reader: Reader) -> bool:
    """A heading, or a short line that works as one ("Garment measurements")."""
    if text.kind in ("title", "heading"):
        return True
    if len(text.text) > 60 or any(c.isdigit() for c in text.text) or _GOES_ON.search(text.text):
        return False
    book = phrasebook(reader.knowledge)
    folded = fold(text.text)
    return any(pattern.search(folded) for pattern in (book.body, book.garment, book.guide, book.chart))


def name_sizes(figures: list[RawFigure], facets: Facets) -> None:
    """A size that is named last ("measured from a size 32") serves the figures before it that have none."""
    for figure in figures:
        if figure.size is None and figure.size_scope == "one":
            figure.size = facets.size
            figure.length = figure.length or facets.length


def split_by_heading(raws: list[RawFigure]) -> list[RawFigure]:
    """Tables of one style that contradict each other under different headings are different garments.

    A heading over a table may be anything ("Details", "Millrace Straight"); it becomes the style only where the
    tables could not be of one garment otherwise.
    """
    groups: dict[tuple[str, ...], dict[tuple[int, str], list[RawFigure]]] = {}
    for raw in raws:
        attributes = raw.facets.attributes
        key = tuple(attributes.get(role, "") for role in ("merchant", "style", "style_code", "block"))
        part = (raw.block, attributes.get("heading", ""))
        groups.setdefault(key, {}).setdefault(part, []).append(raw)
    for blocks in groups.values():
        names = {part: part[1] for part in blocks}
        if len(blocks) < 2 or len(set(names.values())) < 2 or not _contradict(list(blocks.values())):
            continue
        for block, members in blocks.items():
            for raw in members:
                if names[block]:
                    raw.facets = with_attribute(raw.facets, "style", names[block])
    return raws


def doubt_lengths(raws: list[RawFigure]) -> list[RawFigure]:
    """A table without a length beside like tables with one: its own was not read, its rises and legs are held."""
    groups: dict[tuple[str, ...], dict[int, list[RawFigure]]] = {}
    for raw in raws:
        attributes = raw.facets.attributes
        key = tuple(attributes.get(role, "") for role in ("merchant", "style", "style_code", "block"))
        if raw.block < PROSE_BLOCK and not raw.body and not raw.data:
            groups.setdefault(key, {}).setdefault(raw.block, []).append(raw)
    for blocks in groups.values():
        named = [members for members in blocks.values() if all(raw.length for raw in members)]
        for members in blocks.values():
            if any(raw.length for raw in members) or not any(_is_twin(members, other) for other in named):
                continue
            for raw in members:
                if raw.point in SURE_POINTS:
                    raw.hold("length-unknown", "like tables beside it are for named lengths; which one is this for?")
    return raws


def _is_twin(one: list[RawFigure], other: list[RawFigure]) -> bool:
    """Two tables of the same points and sizes whose rises or legs differ: two lengths of one garment."""
    first = {(raw.point, raw.size.size if raw.size else ""): raw.printed.value for raw in one}
    second = {(raw.point, raw.size.size if raw.size else ""): raw.printed.value for raw in other}
    shared = first.keys() & second.keys()
    if len(shared) * 5 < len(first) * 4:
        return False
    return any(first[key] != second[key] for key in shared if key[0] in SURE_POINTS)


def _part(raw: RawFigure) -> tuple[int, str]:
    return raw.block, raw.facets.attributes.get("heading", "")


def _contradict(blocks: list[list[RawFigure]]) -> bool:
    """Whether two blocks print other numbers for a third of the figures that they share, or all along two rows."""
    seen: dict[tuple[str, str, str, str], RawFigure] = {}
    shared: Counter[str] = Counter()
    differ: Counter[str] = Counter()
    for members in blocks:
        for raw in members:
            key = (raw.point, raw.size.size if raw.size else "", raw.length, raw.printed.unit or raw.facets.unit)
            other = seen.setdefault(key, raw)
            if other is not raw and other.body == raw.body and _part(other) != _part(raw):
                shared[raw.point] += 1
                differ[raw.point] += other.printed.value != raw.printed.value
    rows = sum(shared[point] > 1 and differ[point] == shared[point] for point in shared)
    return differ.total() > 0 and (differ.total() * 3 >= shared.total() or rows > 1)
