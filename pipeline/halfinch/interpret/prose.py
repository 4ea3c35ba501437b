"""Figures in running text: lines of a listing, bullets, a sentence with one sample size, a table pasted as one run.

In: one text and what its surroundings say. Out: raw figures. Strict on purpose: a number is taken only where a label
of one point stands directly before or behind it and nothing in the sentence says that it belongs to a person, a price
or a washing instruction.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from halfinch.interpret.clauses import (
    NEAR,
    PARTS,
    WORD,
    Clause,
    digits,
    is_about_something_else,
    just_before,
    make_clause,
    split_clauses,
)
from halfinch.interpret.facets import GOOD_LABEL, Facets, Reader
from halfinch.interpret.listings import numbers_of, read_part, split_parts
from halfinch.interpret.paired import split_pair
from halfinch.interpret.pairing import Link, pair_up
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.size_mentions import SizeMention, find_size, find_size_mention
from halfinch.interpret.statements import GIRTHS
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.numbers import FoundNumber, Printed, find_numbers, read_number
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
_OWNER = re.compile(r"(?<![\w-])(?!Women|Woman|Ladies|Lady|Today|It)[A-Z][^\W\d_]+['’]s\s+(?:[^\W\d_]+\s+)?$")
"""The figure of another garment: "the Tia's inseam"."""
_NAMED = re.compile(r"[^\W\d_]+\W*$(?<![,;/|])(?<![,;/|] )")
_GAP = re.compile(r"[\s:=~≈\-–—−.…()\[\]：＝は為为,]*", re.UNICODE)
_WORDS_APART = re.compile(r"[\s,;:=&/()|\"“”，、；：.–—-]+")


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
            if not find_numbers(part, decimal=reader.decimal):
                continue
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


_IN_BRACKETS = re.compile(r"\(([^\W\d_]{2,12})\.?\)")
"""A unit or a length between a label and its figure: "Inseam (petite): 28 in"."""


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
    pulled = read_stretched(clause.text, reader)
    if pulled is not None:
        yield pulled
        return
    ours = [one for one in clause.labels if one.label.point and one.label.score >= GOOD_LABEL]
    if len(ours) == 1 and len(clause.numbers) > 1:
        several = _read_several(clause, ours[0], reader)
        if several:
            yield from several
            return
    yield from _read_pairs(clause, listed, reader)


def read_stretched(text: str, reader: Reader) -> Pair | None:
    """ "Waist relaxed/stretched: 28 / 36 in": the relaxed figure of a line that is one label and such a pair."""
    first = re.search(r"[\d½¼¾⅛⅜⅝⅞]", text)
    name = text[: first.start()].rstrip(" :=.…–—-") if first is not None else ""
    label = reader.read(name).point if 0 < len(name) < NEAR else None
    if first is None or label is None or not label.point:
        return None
    told = text[first.start() :].strip(" .")
    pair = split_pair(told, label, reader)
    relaxed = replace(label, qualifiers=label.qualifiers - {"stretched"})
    return None if pair is None else Pair(FoundLabel(0, len(name), relaxed), pair[0], Facets(), told)


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
    links = pair_up(clause)
    linked = {link.number for link in links}
    for link in links:
        found, number = clause.labels[link.label], clause.numbers[link.number]
        first = digits(clause.text, number)
        before = found.start < first
        gap = clause.text[found.end : first] if before else clause.text[number.end : found.start]
        said = _IN_BRACKETS.search(clause.text, found.start, first) if before else None
        unit = read_unit_word(said.group(1), reader.knowledge) if said else ""
        length = read_length_word(said.group(1), reader.knowledge) if said else ""
        gap = _IN_BRACKETS.sub("", gap) if unit or length else gap
        if not found.label.point or found.label.score < GOOD_LABEL:
            continue
        if may_be_size(clause.text[found.start : found.end], number.printed, reader):
            continue
        if not _may_take(number.printed, gap, listed or bool(unit)) or is_of_part(clause, link, reader):
            continue
        if before and is_list(clause, link.number):
            continue  # several figures behind one label and nothing says whose they are
        refined = refine_label(clause, found, number, reader) if before else found
        rival = clause.labels[link.rival] if link.rival is not None else None
        doubt = clause.text[rival.start : rival.end] if rival is not None else ""
        facets = Facets(unit=unit, length=length)
        yield Pair(
            refined, number.printed, facets, clause.text[first : number.end], doubt or _another(clause, link, linked)
        )


def is_of_part(clause: Clause, link: Link, reader: Reader) -> bool:
    """ "The waistband is 4 cm high", "the Tia's inseam is 32 in": the figure of a part, or of another garment."""
    label, number = clause.labels[link.label], clause.numbers[link.number]
    upright = phrasebook(reader.knowledge).upright.match(fold(clause.text[number.end : number.end + NEAR].lstrip()))
    girth = label.label.point in GIRTHS and label.start < number.start
    owner = _OWNER.search(just_before(clause.text, label.start))
    return (girth and upright is not None) or owner is not None


def _another(clause: Clause, link: Link, linked: set[int]) -> str:
    """A second figure in the same unit that nothing accounts for: "30 in for some sizes and 31 in for others"."""
    if link.number + 1 >= len(clause.numbers) or link.number + 1 in linked:
        return ""
    number, later = clause.numbers[link.number : link.number + 2]
    gap = clause.text[number.end : digits(clause.text, later)]
    apart = any(number.end <= one.start < later.start for one in clause.labels) or "(" in gap
    alike = number.printed.unit == later.printed.unit != ""
    named = _NAMED.search(load_words().joins.sub(",", gap)) is not None  # "78 cm, devant 31 cm"
    return "" if apart or named or not alike else clause.text[digits(clause.text, later) : later.end]


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
    return not gap.strip(" ,;|·") and number.printed.unit == later.printed.unit


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


def _read_several(clause: Clause, found: FoundLabel, reader: Reader) -> list[Pair]:
    """One label, then several numbers each with its length or size, before all of them or behind all of them:
    "Inseam: Short 27 in, Regular 29 in", "entrejambe 81 cm en T38, 82 cm en T40"."""
    numbers = [one for one in clause.numbers if one.start >= found.end]
    if len(numbers) < 2 or len(numbers) < len(clause.numbers):
        return []
    edges = [found.end, *(edge for one in numbers for edge in (digits(clause.text, one), one.end)), len(clause.text)]
    keys = [read_key(clause.text[start:end], reader) for start, end in zip(edges[::2], edges[1::2], strict=True)]
    for told in (keys[:-1], keys[1:]):
        whose = [key for key in told if key is not None]
        if len(whose) == len(numbers) == len({(key.length, key.size.size if key.size else "") for key in whose}):
            return [
                Pair(found, one.printed, key, clause.text[digits(clause.text, one) : one.end])
                for one, key in zip(numbers, whose, strict=True)
            ]
    return []


def read_key(gap: str, reader: Reader) -> Facets | None:
    """The one length or size that the words between two figures name; None for none or two."""
    words = [word for word in _WORDS_APART.split(gap) if word]
    lengths = {length for word in words if (length := read_length_word(word, reader.knowledge))}
    pairs = {length for two in pairwise(words) if (length := read_length_word(" ".join(two), reader.knowledge))}
    lengths = pairs or lengths
    size = find_size_mention(gap, reader)
    if size is None and len(words) == 1 and not lengths and read_number(words[0]) is None:
        size = read_size_label(words[0], reader.knowledge)
    if len(lengths) > 1 or (size is None and not lengths):
        return None
    return Facets(size=size, length=next(iter(lengths), size.length if size else ""))


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
        figure.hold("two-readings", f"{pair.text!r} is told beside {pair.rival!r}: which of them is this?")
    if facets.length and facets.size is None:
        figure.size_scope = "all"
    return figure
