"""Figures in running text: lines of a listing, bullets, a sentence with one sample size, a table pasted as one run.

In: one text and what its surroundings say. Out: raw figures. Strict on purpose: a number is taken only where a label
of one point stands directly before or behind it and nothing in the sentence says that it belongs to a person, a price
or a washing instruction.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from halfinch.interpret.clauses import (
    PARTS,
    WORD,
    Clause,
    SizeMention,
    digits,
    find_size,
    find_size_mention,
    is_about_something_else,
    make_clause,
    split_clauses,
)
from halfinch.interpret.facets import GOOD_LABEL, Facets, Reader
from halfinch.interpret.listings import numbers_of, read_part, split_parts
from halfinch.interpret.pairing import pair_up
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.numbers import FoundNumber, Printed, read_number
from halfinch.normalise.point_labels import (
    FoundLabel,
    read_length_word,
    read_unit_word,
)
from halfinch.normalise.size_labels import SizeLabel, read_size_label
from halfinch.normalise.unit_words import load_words

MAX_TEXT = 20_000
LEAST_LISTED = 3
LARGEST_SIZE = 60
MOST_UNKNOWN = 4
"""Words of a label that is not known."""
BOUNDS = ("max", "min")
"""What makes a number the end of something, and no measure."""
_SENTENCE = re.compile(r"[.:]\s")
_GAP = re.compile(r"[\s:=~≈\-–—−.…()\[\]：＝は為为,]*", re.UNICODE)
_SPLIT_PARTS = re.compile(r"\s*(?:[,;&|，、；]|\s/\s)\s*")


def read_prose(
    text: str, place: str, reader: Reader, context: Facets, block: int, *, listed: bool = False
) -> tuple[list[RawFigure], Facets]:
    """The figures of one text, and the facets it leaves for the texts after it (a size named in a line of its own).

    `listed`: the text is a line of a list or a cell, where a bare number behind a label is enough.
    """
    figures: list[RawFigure] = []
    facets = context
    named: list[SizeLabel] = []
    for line in split_clauses(text[:MAX_TEXT], reader):
        if is_about_something_else(line, reader):
            continue
        size = find_size_mention(line, reader)
        made: list[Pair] = []
        for part in PARTS.split(line):
            clause = make_clause(part, reader)
            if clause.labels and clause.numbers:
                told = listed or ":" in part or "：" in part or is_listing(clause, find_size(part, reader))
                made += read_clause(clause, reader, facets, told)
        mine = facets
        if size is not None:
            # "Size M: waist 28" speaks of its own line, "measured from a size 32" of all the lines around it.
            mine = replace(facets, size=size, length=size.length or facets.length)
            facets = facets if made else mine
            named.append(size)
        worn = names_body(line, made, reader)
        for order, pair in enumerate(made):
            around = replace(mine, size=None, length=context.length) if pair.facets.size is not None else mine
            figures.append(_make(pair, place, pair.facets.under(around), block, order))
            figures[-1].body |= worn
    # A paragraph that names one size speaks of it throughout.
    only = named[0] if named and all(one.size == named[0].size for one in named) else None
    size = facets.size or only
    if size is not None:
        for figure in figures:
            if figure.size is None and figure.size_scope == "one":
                figure.size = size
    return figures, facets


def names_body(line: str, pairs: Sequence[Pair], reader: Reader) -> bool:
    """ "To fit waist 28, hips 38": words for the body right before the first label, or within it."""
    first = min((pair.label.start for pair in pairs), default=0)
    said = list(phrasebook(reader.knowledge).body.finditer(fold(line)))
    return bool(pairs) and any(one.start() <= first <= one.end() + 2 for one in said)


def is_listing(clause: Clause, size: SizeMention | None) -> bool:
    """A line of nothing but labels and their figures, and a size: "S - waist 36, hip 46, rise 24"."""
    spans = [(one.start, one.end) for one in clause.labels] + [(digits(clause.text, n), n.end) for n in clause.numbers]
    spans += [(size.start, size.end)] if size is not None else []
    rest, at = "", 0
    for start, end in sorted(spans):
        rest, at = rest + clause.text[at:start], max(at, end)
    return not any(c.isalnum() for c in load_words().about.sub("", rest + clause.text[at:]))


_UNIT_GAP = re.compile(r"\(([^\W\d_]{2,12})\.?\)")


@dataclass(frozen=True, slots=True)
class Pair:
    """A label, its number, what is said between them, the number as printed, and another label it may belong to."""

    label: FoundLabel
    printed: Printed
    facets: Facets
    text: str
    rival: str = ""


def read_clause(clause: Clause, reader: Reader, context: Facets, listed: bool) -> Iterator[Pair]:
    """(label, number, facets, printed text) of one clause."""
    listing = read_listing(clause.text, reader)
    if listing:
        yield from listing
        return
    ours = [one for one in clause.labels if one.label.point and one.label.score >= GOOD_LABEL]
    if len(ours) == 1 and len(clause.numbers) > 1:
        several = list(_read_several(clause, ours[0], reader))
        if several:
            yield from several
            return
    yield from _read_pairs(clause, listed, reader)


def read_listing(text: str, reader: Reader) -> list[Pair]:
    """ "Waist (laid flat) 37, hips 51, thigh 33": parts that are each a label and its figure, told by the commas
    between; [] where fewer than three are."""
    pairs: list[Pair] = []
    parts = split_parts(text, reader)
    for part in parts:
        pair = read_part(part, reader)
        if pair is None:
            if any(char.isdigit() for char in part):
                return []
            continue
        name = pair[0] if reader.read(pair[0]).is_label else _SENTENCE.split(pair[0])[-1].strip()
        read, printed = reader.read(name), read_number(pair[1], decimal=reader.decimal)
        label = read.point
        if label is None or printed is None or not read.is_label:
            if len(name.split()) > MOST_UNKNOWN:
                return []
            continue  # a part that nobody knows, by itself between its commas
        if printed.qualifier in BOUNDS or any(one.printed.qualifier in BOUNDS for one in numbers_of(part, reader)):
            continue  # "hip up to 40": an end, no measure
        start = text.find(pair[0])
        pairs.append(Pair(FoundLabel(start, start + len(pair[0]), label), printed, Facets(), pair[1]))
    if len(pairs) < LEAST_LISTED or len(pairs) * 3 < len(parts) * 2:
        return []
    return [pair for pair in pairs if pair.label.label.point and pair.label.label.score >= GOOD_LABEL]


def _read_pairs(clause: Clause, listed: bool, reader: Reader) -> Iterator[Pair]:
    """Each number with its label, whichever of them comes first."""
    for link in pair_up(clause):
        found, number = clause.labels[link.label], clause.numbers[link.number]
        first = digits(clause.text, number)
        before = found.start < first
        gap = clause.text[found.end : first] if before else clause.text[number.end : found.start]
        said = _UNIT_GAP.search(gap) if before else None
        unit = read_unit_word(said.group(1), reader.knowledge) if said else ""
        gap = _UNIT_GAP.sub("", gap) if unit else gap
        if not found.label.point or found.label.score < GOOD_LABEL:
            continue
        if may_be_size(clause.text[found.start : found.end], number.printed, reader):
            continue
        if not _may_take(number.printed, gap, listed or bool(unit)):
            continue
        if before and is_list(clause, link.number):
            continue  # several figures behind one label and nothing says whose they are
        refined = refine_label(clause, found, number, reader) if before else found
        rival = clause.labels[link.rival] if link.rival is not None else None
        doubt = clause.text[rival.start : rival.end] if rival is not None else ""
        yield Pair(refined, number.printed, Facets(unit=unit), clause.text[first : number.end], doubt)


def may_be_size(label: str, printed: Printed, reader: Reader) -> bool:
    """ "Taille 58", "Taille mesurée : 34": a whole number without a unit behind a word that names size and waist."""
    twofold = phrasebook(reader.knowledge).ambiguous.search(fold(label.split()[0])) if label.split() else None
    whole = printed.value.denominator == 1 and printed.value <= LARGEST_SIZE
    return twofold is not None and len(label.split()) == 1 and whole and not printed.unit


def is_list(clause: Clause, index: int) -> bool:
    """Whether the number at `index` begins a list in one unit: nothing but blanks and marks before the next."""
    if index + 1 == len(clause.numbers):
        return False
    number, later = clause.numbers[index : index + 2]
    gap = clause.text[number.end : digits(clause.text, later)]
    return not gap.strip(" ,;/|·") and number.printed.unit == later.printed.unit


def refine_label(clause: Clause, found: FoundLabel, number: FoundNumber, reader: Reader) -> FoundLabel:
    """The label with what is said behind its number: "Rise 9" (excluding waistband)", "Hem 17" all round"."""
    later = [label.start for label in clause.labels if label.start >= number.end]
    tail = re.split(r"[,;]", clause.text[number.end : min(later, default=len(clause.text))])[0].strip(" .")
    if not tail or len(tail) > 60 or any(c.isdigit() for c in tail):
        return found
    again = reader.read(f"{clause.text[found.start : found.end]} {tail}").point
    return replace(found, label=again) if again is not None and again.point == found.label.point else found


def _may_take(printed: Printed, gap: str, listed: bool) -> bool:
    """Whether a number this far from a label is its figure."""
    if printed.qualifier in BOUNDS or printed.kind not in ("single", "range"):
        return False
    if printed.kind == "range" and not listed:
        return False
    if _GAP.fullmatch(load_words().about.sub("", gap)):
        return bool(printed.unit) or listed
    words = WORD.findall(gap)
    return bool(printed.unit) and len(words) <= 3 and not any(c.isdigit() for c in gap) and len(gap) <= 30


def _read_several(clause: Clause, found: FoundLabel, reader: Reader) -> Iterator[Pair]:
    """One label, then several lengths or sizes each with its number: "Inseam: Short 27", Regular 29"."""
    tail = load_words().joins.sub(",", clause.text[found.end :].lstrip(" :=-–"))
    parts = [part for part in _SPLIT_PARTS.split(tail) if part.strip()]
    pairs: list[Pair] = []
    for part in parts:
        one = _split_part(part.strip(" ()."), reader)
        if one is None:
            return
        facets, printed, raw = one
        pairs.append(Pair(found, printed, facets, raw))
    if len(pairs) >= 2:
        yield from pairs


def _split_part(part: str, reader: Reader) -> tuple[Facets, Printed, str] | None:
    tokens = part.replace("=", " ").replace(":", " ").replace("(", " ").replace(")", " ").split()
    for cut in range(1, len(tokens)):
        for first, second in ((tokens[:cut], tokens[cut:]), (tokens[cut:], tokens[:cut])):
            name, number = " ".join(first).strip('"“”'), " ".join(second)
            length = read_length_word(name, reader.knowledge)
            size = None if length or read_number(name) is not None else read_size_label(name, reader.knowledge)
            printed = read_number(number)
            if printed is None or not (length or size):
                continue
            facets = Facets(length=length) if length else Facets(size=size, length=size.length if size else "")
            return facets, printed, number
    return None


def _make(pair: Pair, place: str, facets: Facets, block: int, order: int) -> RawFigure:
    label, printed, raw = pair.label.label, pair.printed, pair.text
    facets = replace(facets, point=label, unit=label.unit or facets.unit)
    figure = RawFigure(
        point=label.point,
        printed=printed,
        text=raw,
        place=place,
        facets=facets,
        block=block,
        series=f"{block}:{place}:{order}:{label.point}",
        size=facets.size,
        length=facets.length,
        body=facets.body or "body" in label.qualifiers,
    )
    if printed.doubt:
        figure.hold("doubtful-number", printed.doubt)
    if pair.rival:
        figure.hold("two-readings", f"the number may belong to {pair.rival!r} as well")
    if facets.length and facets.size is None:
        figure.size_scope = "all"
    return figure
