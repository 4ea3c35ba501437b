"""What the words around a grid say of it: garment, length, unit, flat or round, body or garment, old or current.

In: one text (a heading, a caption, a note, a section row). Out: `Facets`; and for a whole sheet the `Surroundings` of
each grid, from the sheet's title down to the caption.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from halfinch.interpret.facets import ATTRIBUTE_ROLES, GOOD_LABEL, Facets, Reader
from halfinch.interpret.prose import find_size_mention, make_clause
from halfinch.interpret.words import first_kind, fold, phrasebook, silhouette_in
from halfinch.normalise.numbers import find_numbers
from halfinch.normalise.point_labels import read_convention_word, read_header_word, read_length_word, read_unit_word
from halfinch.sheet import DATA, HIDDEN, STRUCK, Grid, Sheet, Text

MAX_NOTE = 400
"""Longer texts are prose about other things; only their statements of unit and convention are looked for."""
_PAIR_SPLIT = re.compile(r"\s{2,}|\s*[|;·•\t\n]\s*|,\s+(?=[^\W\d][^:：,]{1,30}[:：])")
_WORDS = re.compile(r"[^\W\d_]+(?:[-/][^\W\d_]+)*|\(\s*[^\W\d_]+\.?\s*\)", re.UNICODE)
_TITLE_SPLIT = re.compile(r"\s+[|–—·:-]\s+|\s*\|\s*")


@dataclass(slots=True)
class Surroundings:
    """What stands around one grid."""

    facets: Facets = field(default_factory=Facets)
    near: list[str] = field(default_factory=list)
    """Caption and headings right over the grid, nearest first: they decide which garment it is about."""
    notes: list[str] = field(default_factory=list)
    chart: bool = False
    garment: bool = False


def blank_numbers(text: str) -> str:
    """The text with every figure (and its unit) replaced by 0."""
    rest = text
    for found in reversed(find_numbers(text)):
        rest = rest[: found.start] + " 0 " + rest[found.end :]
    return rest


def find_unit(text: str, reader: Reader) -> str:
    """The unit that a text states for a table ("all measurements in inches"), '' for none or for two.

    A unit behind a number is that number's own ("model is 178 cm") and says nothing of the table.
    """
    rest = blank_numbers(text)
    units = set()
    for match in _WORDS.finditer(rest):
        word = match.group().strip("() ")
        if match.group() == "in" or rest[: match.start()].rstrip().endswith("0"):
            continue
        unit = read_unit_word(word, reader.knowledge)
        if unit:
            units.add(unit)
    for mark, unit in (
        ("厘米", "cm"),
        ("公分", "cm"),
        ("センチ", "cm"),
        ("英寸", "in"),
        ("インチ", "in"),
        ("毫米", "mm"),
    ):
        if mark in rest:
            units.add(unit)
    return units.pop() if len(units) == 1 else ""


def find_convention(text: str, reader: Reader) -> str:
    """Flat or round as a text states it for a table ("laid flat, not doubled"), '' for none or both."""
    tokens = _WORDS.findall(blank_numbers(text))
    found: set[str] = set()
    for size in (4, 3, 2, 1):
        for start in range(len(tokens) - size + 1):
            said = read_convention_word(" ".join(tokens[start : start + size]).strip("()"), reader.knowledge)
            if said:
                found.add(said)
    return found.pop() if len(found) == 1 else ""


def find_length(text: str, reader: Reader) -> str:
    """The one length word in a short heading ("Alma Wide Leg – Petite")."""
    whole = read_length_word(text.strip(), reader.knowledge)
    if whole:
        return whole
    text = re.sub(r"\b[Rr]egular (?:fit|waist|rise)\b", " ", text)
    if len(text) > 80:
        return ""
    found = set()
    for part in [*_TITLE_SPLIT.split(text), *re.findall(r"[^\W\d_]{4,}|\(\s*[^()]{1,20}\s*\)", text)]:
        length = read_length_word(part.strip("() "), reader.knowledge)
        if length:
            found.add(length)
    return found.pop() if len(found) == 1 else ""


def find_attributes(text: str, reader: Reader) -> dict[str, str]:
    """ "Style: Alma", "Artikel-Nr.: 4711", "Style TM-2304 Rigg  Base size: 12": values by role."""
    found: dict[str, str] = {}
    for line in re.split(r"[\n|;·•\t]", text[:MAX_NOTE]):
        keys = find_keys(line, reader)
        for (_, start, role), (end, _, _) in zip(keys, [*keys[1:], (len(line), 0, "")], strict=False):
            value = line[start:end].strip(" ,;:–—-")
            if value:
                take_value(found, role, value, reader)
    return found


def find_keys(line: str, reader: Reader) -> list[tuple[int, int, str]]:
    """(start of the key, start of its value, role) of every key in a line: known words before a colon, or at its head."""
    keys: list[tuple[int, int, str]] = []
    for colon in re.finditer(r"[:：=]", line):
        words = list(_KEY_WORD.finditer(line, 0, colon.start()))
        for count in (4, 3, 2, 1):
            if len(words) < count or line[words[-1].end() : colon.start()].strip(" .)("):
                continue
            start = words[-count].start()
            role = key_role(line[start : colon.start()], reader)
            if not role and read_length_word(line[colon.end() :].strip().split("  ")[0], reader.knowledge):
                read = reader.read(line[start : colon.start()])
                role = "length" if read.point is not None and read.point.point == "outseam" else ""
            if role and not any(start < value for _, value, _ in keys):
                keys.append((start, colon.end(), role))
                break
    head = _KEY_WORD.match(line.lstrip())
    if head and not keys[:1] == [(0, 0, "")] and (not keys or keys[0][0] > 0):
        role = key_role(head.group(), reader)
        rest = line.lstrip()[head.end() :]
        if (
            role in ("style", "style_code")
            and rest[:1] == " "
            and head.end() > 3
            and is_name(rest, head.group(), reader)
        ):
            offset = len(line) - len(line.lstrip())
            keys.insert(0, (offset, offset + head.end(), role))
    return keys


def is_name(rest: str, head: str, reader: Reader) -> bool:
    """Whether the words behind "Style" or "Modell" are a name: capital or code first, no figure of a point."""
    first = rest.split()[0] if rest.split() else ""
    named = first[:1].isupper() or any(c.isdigit() for c in first)
    return named and head[:1].isupper() and len(rest) <= 80 and not reader.read(f"{head}{rest}").is_ours


def key_role(text: str, reader: Reader) -> str:
    """The role of a key that is known word by word, '' otherwise."""
    word = read_header_word(text.strip(" .()"), reader.knowledge)
    known = ATTRIBUTE_ROLES | {"size", "length", "base_size"}
    return word.role if word is not None and word.role in known and word.score == 1 else ""


def take_value(found: dict[str, str], role: str, value: str, reader: Reader) -> None:
    """Keeps one value; "TM-2304 Rigg straight" is a code and a name, ", misure in cm" is no part of a name."""
    if role == "style":
        code = re.match(r"((?=[\w-]*\d)[A-Z0-9][\w.-]{2,})\s+(?=[^\W\d])", value)
        if code:
            found.setdefault("style_code", code.group(1))
            value = value[code.end() :]
        value = clean_style(value, reader)
    found.setdefault(role, value[:120])


_KEY_WORD = re.compile(r"[^\W\d_]+(?:[-'’./][^\W\d_]+)*\.?", re.UNICODE)


def text_facets(text: str, reader: Reader, heading: bool = True) -> Facets:
    """Everything that one text says. A length in passing counts only in a heading, caption or section row."""
    book = phrasebook(reader.knowledge)
    folded = fold(text)
    attributes = find_attributes(text, reader)
    facets = Facets(unit=find_unit(text, reader), convention=find_convention(text, reader))
    short = len(text) <= 120
    title = heading or read_length_word(text.strip(), reader.knowledge) != ""
    clause = make_clause(text, reader) if short else None
    figures = clause is not None and bool(clause.labels) and bool(clause.numbers)
    if short and not figures:
        read = reader.read(text)
        facets = replace(
            facets,
            length=find_length(attributes.get("length", text if title else ""), reader),
            size=read.size if read.size is not None and read.number is None else find_size_mention(text, reader),
            point=read.point if read.is_ours else _point_within(text, reader),
        )
    sizes = find_size_range(text, reader) if short else ""
    if sizes:
        attributes["size_range"] = sizes
        facets = replace(facets, size=None)
    block = first_kind(book.blocks, text) if short else ""
    if block:
        attributes["block"] = block
    state = first_kind(book.states, text)
    if state:
        attributes["state"] = state
    tolerance = find_tolerance(text, reader)
    if tolerance:
        attributes["tolerance"] = tolerance
    return replace(
        facets,
        body=short and book.body.search(folded) is not None and book.garment.search(folded) is None,
        old=short and book.old.search(folded) is not None,
        attributes={role: value for role, value in attributes.items() if role not in ("size", "length", "base_size")},
    )


_SIZES = re.compile(
    r"((?:\d{1,2}|[XSML0-4]{1,4}W?)(?:\s*(?:-|–|—|,|/|\bto\b|\bbis\b|\bà\b|至|~|〜|\s)\s*(?:\d{1,2}|[XSML0-4]{1,4}W?)(?![\w\"”.½¼¾]))+)"
)


def find_size_range(text: str, reader: Reader) -> str:
    """The run in "Sizes: 4-16" or "Size range: 34, 36, 38 (even)", as printed; '' where none stands."""
    for match in re.finditer(r"([^\W\d_]+)(?:\s+[^\W\d_]+)?\s*[:=]?\s*(?=[\dXSML])", text):
        word = read_header_word(match.group(1), reader.knowledge)
        sizes = _SIZES.match(text, match.end())
        if word is not None and word.role == "size" and sizes:
            return sizes.group(1)
    return ""


_PLUS_MINUS = re.compile(
    r"(?:±|\+\s*/\s*-|\+\s*-|\+/−)\s*(\d[\d\s.,/½¼¾⅛⅜⅝⅞]*(?:\s*(?:cm|mm|in|inch|inches|\"|”|厘米|インチ|センチ)\b)?)",
    re.IGNORECASE,
)


def find_tolerance(text: str, reader: Reader) -> str:
    """The tolerance that a note states for all points ("tolerance +/- 0.5 cm"), as printed; '' where none stands."""
    if len(text) > MAX_NOTE:
        return ""
    match = _PLUS_MINUS.search(text)
    if match:
        return match.group(1).strip(" .,")
    for found in find_numbers(text):
        words = re.findall(r"[^\W\d_]+", text[: found.start])
        role = read_header_word(words[-1], reader.knowledge) if words else None
        if role is not None and role.role == "tolerance" and found.printed.value < 4:
            return text[found.start : found.end]
    return ""


def _point_within(text: str, reader: Reader):  # type: ignore[no-untyped-def]
    """The one point of ours that a heading names ("Inside leg by size and length"), None for none or several."""
    labels = [one.label for one in make_clause(text, reader).labels]
    if len(labels) == 1 and labels[0].point and labels[0].score >= GOOD_LABEL and len(text) <= 60:
        return labels[0]
    return None


def surround(sheet: Sheet, reader: Reader) -> dict[int, Surroundings]:
    """The surroundings of every grid by its order in the sheet."""
    base = sheet_facets(sheet, reader)
    book = phrasebook(reader.knowledge)
    found: dict[int, Surroundings] = {}
    stack: list[Text] = []
    near: list[Text] = []
    last: Surroundings | None = None
    carried = Facets()
    for block in sheet.blocks():
        if isinstance(block, Text):
            if block.kind in ("chrome", "meta") or block.marks & {HIDDEN, STRUCK}:
                continue
            if block.kind in ("title", "heading"):
                stack = [one for one in stack if block.level and one.level and one.level < block.level]
                stack.append(block)
            near.append(block)
            if last is not None and block.kind not in ("title", "heading"):
                last.notes.append(block.text)
            continue
        if is_preamble(block, reader):
            near.extend(preamble_texts(block))
            continue
        one = surround_grid(block, base, carried, stack, near, reader)
        folded = fold(" ".join(one.near))
        one.chart = book.chart.search(folded) is not None
        one.garment = book.garment.search(folded) is not None
        found[block.order] = last = one
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


def is_preamble(grid: Grid, reader: Reader) -> bool:
    """A small grid without a point of ours: facts about the tables that follow ("Style; Alma", "sizes in cm")."""
    if grid.rows > 12 or grid.columns > 6 or grid.marks & {HIDDEN, STRUCK, DATA}:
        return False
    reads = [reader.read(cell.text) for cell in grid.cells if cell.text]
    if any(read.is_label for read in reads):
        return False
    return any(read.word is not None and read.word.role for read in reads) or any(
        find_unit(r.text, reader) for r in reads
    )


def preamble_texts(grid: Grid) -> list[Text]:
    """The rows of such a grid as texts."""
    rows: dict[int, list[str]] = {}
    for cell in grid.cells:
        if cell.text and not cell.marks & {HIDDEN, STRUCK}:
            rows.setdefault(cell.row, []).append(cell.text)
    lines = [f"{cells[0]}: {cells[1]}" if len(cells) == 2 else "; ".join(cells) for cells in rows.values()]
    return [Text(text=line, order=grid.order, page=grid.page) for line in lines]


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
    label = next((text.text for text in reversed(texts) if text.kind in ("title", "heading")), "")
    name = clean_style(grid.caption, reader) if grid.caption and not _is_remark(grid.caption, reader) else ""
    name = name or (clean_style(label, reader) if label and not _is_remark(label, reader) else "")
    if name:
        facets = replace(facets, attributes={**facets.attributes, "heading": name})
    headings = [text.text for text in reversed(texts) if text.kind in ("title", "heading") or len(text.text) < 60]
    if grid.caption:
        facets = _step_into(text_facets(grid.caption, reader), facets)
    return Surroundings(facets, [grid.caption, *headings] if grid.caption else headings)


def _step_into(said: Facets, outer: Facets) -> Facets:
    """A nearer text: a new style ends the length, size and flags of the one before."""
    if said.attributes.get("style") or said.attributes.get("style_code"):
        outer = replace(outer, length="", size=None, point=None, body=False, old=False)
    joined = said.under(outer)
    return replace(joined, body=said.body, old=said.old, point=said.point)


def heading_name(text: Text, reader: Reader) -> str:
    """A heading that names a style by naming its garment ("Alma wide-leg jeans"), '' otherwise."""
    if text.kind not in ("title", "heading") or len(text.text) > 90:
        return ""
    book = phrasebook(reader.knowledge)
    folded = fold(text.text)
    if not book.ours.search(folded) or book.chart.search(folded) or book.garment.search(folded):
        return ""
    return clean_style(text.text, reader)


def clean_style(text: str, reader: Reader) -> str:
    """A style's name without its length, units and chart words: "Alma – Petite (inches)" is "Alma".

    Of several parts the one that names a garment or a silhouette counts: "Maribou Curve - Celestine pant".
    """
    book = phrasebook(reader.knowledge)
    parts = [part.strip() for part in re.split(r"\s+[|–—-]\s+|\s*[|(]\s*|\)\s*|,\s+", text) if part.strip()]
    kept = [part for part in parts if not _is_remark(part, reader)] or parts
    named = [part for part in kept if book.ours.search(fold(part)) or silhouette_in(part, reader.knowledge)]
    return " ".join((named or kept or [""])[0].split())


def _is_remark(part: str, reader: Reader) -> bool:
    """A part of a heading that is no name: a length, a unit, a size, chart words, "misure in cm"."""
    book = phrasebook(reader.knowledge)
    folded = fold(part)
    if read_length_word(part, reader.knowledge) or read_unit_word(part, reader.knowledge):
        return True
    if any(pattern.search(folded) for pattern in (book.chart, book.garment, book.body, book.guide)):
        return True
    read = reader.read(part)
    if read.is_ours or _point_within(part, reader) is not None:
        return True
    return find_unit(part, reader) != "" or (read.size is not None and read.point is None)


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
        and not _is_remark(text, reader)
        and clean_style(text, reader)
        and not _is_remark(clean_style(text, reader), reader)
    ]
    for text in kept:
        name = clean_style(text, reader)
        if book.subject_of(name) == "ours" or silhouette_in(name, reader.knowledge):
            return text
    return kept[0] if kept else ""


def sheet_facets(sheet: Sheet, reader: Reader) -> Facets:
    """What holds for the whole sheet: its title and metadata, and statements on which all its texts agree."""
    attributes: dict[str, str] = {}
    if sheet.meta.get("site_name"):
        attributes["merchant"] = sheet.meta["site_name"]
    if sheet.meta.get("url"):
        attributes["url"] = sheet.meta["url"]
    title = sheet_title(sheet, reader)
    if title:
        take_value(attributes, "style", title, reader)
    units, conventions, tolerances = set(), set(), set()
    for text in sheet.texts:
        if text.kind in ("chrome", "meta") or text.marks & {HIDDEN, STRUCK}:
            continue
        for role, value in find_attributes(text.text, reader).items():
            if role in ATTRIBUTE_ROLES:
                attributes.setdefault(role, value)
        units.add(find_unit(text.text, reader))
        conventions.add(find_convention(text.text, reader))
        tolerances.add(find_tolerance(text.text, reader))
    units.discard("")
    conventions.discard("")
    tolerances.discard("")
    if len(tolerances) == 1:
        attributes["tolerance"] = tolerances.pop()
    return Facets(
        unit=units.pop() if len(units) == 1 else "",
        convention=conventions.pop() if len(conventions) == 1 else "",
        attributes=attributes,
    )
