"""Figures in running text: lines of a listing, bullets, a sentence with one sample size, a table pasted as one run.

In: one text and what its surroundings say. Out: raw figures. Strict on purpose: a number is taken only where a label
of one point stands directly before or behind it and nothing in the sentence says that it belongs to a person, a price
or a washing instruction.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from halfinch.interpret.facets import GOOD_LABEL, Facets, Reader
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.numbers import FoundNumber, Printed, find_numbers, read_number
from halfinch.normalise.point_labels import (
    FoundLabel,
    find_point_labels,
    read_header_word,
    read_length_word,
    read_unit_word,
    settle_letters,
)
from halfinch.normalise.size_labels import SizeLabel, read_size_label

MAX_TEXT = 20_000
_LINES = re.compile(r"[\n\r•·▪●]+|(?<=[!?。])\s*|(?<=[^\W\d_]{5}\.)\s+|(?<=[\d\"”″')cmn]\.)\s+(?=[^\W\d_])")
_PARTS = re.compile(r"[;；]\s+")
_GAP = re.compile(r"[\s:=~≈\-–—−.…()\[\]：＝は為为,]*", re.UNICODE)
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?", re.UNICODE)
_SPLIT_PARTS = re.compile(
    r"\s*(?:[,;&|，、；]|\s/\s|\band\b|\bund\b|\bet\b|\by\b|\be\b|\ben\b|\boch\b|\bve\b|\bi\b)\s*"
)


@dataclass(frozen=True, slots=True)
class Clause:
    """One line or sentence: its text, its labels and its numbers in order."""

    text: str
    labels: tuple[FoundLabel, ...]
    numbers: tuple[FoundNumber, ...]


def read_prose(
    text: str, place: str, reader: Reader, context: Facets, block: int, *, listed: bool = False
) -> tuple[list[RawFigure], Facets]:
    """The figures of one text, and the facets it leaves for the texts after it (a size named in a line of its own).

    `listed`: the text is a line of a list or a cell, where a bare number behind a label is enough.
    """
    figures: list[RawFigure] = []
    facets = context
    for line in split_clauses(text[:MAX_TEXT]):
        if is_about_something_else(line, reader):
            continue
        size = find_size_mention(line, reader)
        made: list[Pair] = []
        for part in _PARTS.split(line):
            clause = make_clause(part, reader)
            if clause.labels and clause.numbers:
                made += read_clause(clause, reader, facets, listed or ":" in part or "：" in part)
        mine = facets
        if size is not None:
            # "Size M: waist 28" speaks of its own line, "measured from a size 32" of all the lines around it.
            mine = replace(facets, size=size, length=size.length or facets.length)
            facets = facets if made else mine
        for order, (label, printed, extra, raw) in enumerate(made):
            around = replace(mine, size=None, length=context.length) if extra.size is not None else mine
            figures.append(_make(label, printed, raw, place, extra.under(around), block, order))
    if facets.size is not None:
        for figure in figures:
            if figure.size is None and figure.size_scope == "one":
                figure.size = facets.size
    return figures, facets


def split_clauses(text: str) -> Iterator[str]:
    """Lines and sentences; a full stop inside a number does not end one."""
    for part in _LINES.split(text):
        stripped = part.strip()
        if len(stripped) > 2 and stripped[0] == '"' == stripped[-1] and stripped.replace('""', "").count('"') in (0, 2):
            # A line quoted as delimited text quotes: the marks at its ends are no inches, a doubled one is one.
            stripped = stripped[1:-1].replace('""', '"').strip()
        if stripped:
            yield stripped


def is_about_something_else(line: str, reader: Reader) -> bool:
    """A sentence about the model, a price, washing or advice: its numbers are no figures of the garment."""
    book = phrasebook(reader.knowledge)
    folded = fold(line)
    return book.talk.search(folded) is not None and book.sample.search(folded) is None


def make_clause(line: str, reader: Reader) -> Clause:
    """Labels and numbers of a line; numbers inside a label ("14 in below crotch") belong to the label."""
    labels = tuple(find_point_labels(line, reader.knowledge))
    settled = settle_letters([found.label for found in labels])
    labels = tuple(replace(found, label=one) for found, one in zip(labels, settled, strict=True) if one is not None)
    labels = tuple(label for label in labels if not _UN.search(line[: label.start]))
    mention = find_size(line, reader)
    numbers = tuple(
        one
        for one in (trim_number(line, found, labels) for found in find_numbers(line, decimal=reader.decimal))
        if not any(label.start <= _digits(line, one) < label.end for label in labels)
        and not (_ENUMERATOR.match(line) and _digits(line, one) < 4)
        and not _is_size_number(line, one, reader)
        and (mention is None or not mention.start <= _digits(line, one) < mention.end)
    )
    return Clause(line, labels, numbers)


_ENUMERATOR = re.compile(r"\s*\(?\d{1,2}[.)]\s")
_UNIT_GAP = re.compile(r"\(([^\W\d_]{2,12})\.?\)")
_SIZE_BEHIND = re.compile(r"\((\d{2}|[XSML]{1,4})\s+([^\W\d_]{3,12})\)")
"""A size before its word: "(38 beden)"."""
_BARE_SIZE = re.compile(r"\s+(?:3[0-9]|4[0-9]|5[0-8]|X{0,3}[SML])(?![\w.,½]| ?cm)")
"""A number that is a size behind "taille", not the waist in centimetres."""
_LEADING_SIZE = re.compile(r"\s*([\w/ ]{1,8}?)\s*(?::|\s[-–—]\s)")
"""A line that begins with its size: "S - waist 28", "XS: Waist 26"."""
_UN = re.compile(r"(?i)(?<!\w)(?:un|not|non)[- ]$")


def trim_number(line: str, number: FoundNumber, labels: tuple[FoundLabel, ...]) -> FoundNumber:
    """A number whose span runs into the next label ("28 cm, contorno da boca") ends before it."""
    first = _digits(line, number)
    cut = next((label.start for label in labels if first < label.start < number.end), None)
    if cut is None:
        return number
    printed = read_number(line[first:cut].strip(" ,;:-–"))
    return FoundNumber(first, cut, printed) if printed is not None else number


def _digits(line: str, number: FoundNumber) -> int:
    """Where the number itself begins; its span may begin with a word such as "around"."""
    found = re.search(r"[\d½¼¾⅛⅜⅝⅞]", line[number.start : number.end])
    return number.start + (found.start() if found else 0)


def _is_size_number(line: str, number: FoundNumber, reader: Reader) -> bool:
    if number.printed.unit:
        return False
    words = _WORD.findall(line[: number.start])
    before = line[: number.start].rstrip(" :(")
    return bool(words) and before.endswith(words[-1]) and _role(words[-1], reader) == "size"


def _role(word: str, reader: Reader) -> str:
    found = read_header_word(word, reader.knowledge)
    return found.role if found is not None else ""


@dataclass(frozen=True, slots=True)
class SizeMention:
    """A size named in a line, and where it stands."""

    size: SizeLabel
    start: int
    end: int


def find_size_mention(line: str, reader: Reader) -> SizeLabel | None:
    """A size named in the line: "measured from a size 32", "Größe 38", "size M"."""
    found = find_size(line, reader)
    return found.size if found is not None else None


def find_size(line: str, reader: Reader) -> SizeMention | None:
    """The same with its place; "(label)" and the like between the word and the size are passed over."""
    lead = _LEADING_SIZE.match(line)
    if lead is not None and not read_number(lead.group(1)):
        size = read_size_label(lead.group(1), reader.knowledge)
        if size is not None and size.strength >= 0.4:
            return SizeMention(size, 0, lead.end(1))
    behind = _SIZE_BEHIND.search(line)
    size = read_size_label(behind.group(1), reader.knowledge) if behind is not None else None
    if behind is not None and size is not None and _role(behind.group(2), reader) == "size":
        return SizeMention(size, behind.start(1), behind.end(1))
    ambiguous = phrasebook(reader.knowledge).ambiguous
    for match in _WORD.finditer(line):
        known = _role(match.group(), reader) in ("size", "base_size")
        if not known and not (ambiguous.fullmatch(fold(match.group())) and _BARE_SIZE.match(line, match.end())):
            continue
        gap = re.match(r"[\s:：=#.–-]*(?:\([^()\d]*\)[\s:：=#.–-]*)?", line[match.end() :])
        start = match.end() + (gap.end() if gap else 0)
        rest = re.split(r"[,;|]|:\s", line[start:])[0]
        tokens = rest.split()
        for count in (3, 2, 1):
            if len(tokens) < count:
                continue
            candidate = " ".join(tokens[:count]).strip(" .:;()[]")
            size = read_size_label(candidate, reader.knowledge)
            pair = [token.strip(" .:;()[]") for token in tokens[:2]]
            if count > 1 and size is not None and all(read_size_label(one, reader.knowledge) for one in pair):
                continue  # two sizes of a run, not one size in two words
            if size is not None and (candidate[:1].isdigit() or len(candidate) < 12):
                return SizeMention(size, start, start + len(" ".join(tokens[:count])))
    return None


Pair = tuple[FoundLabel, Printed, Facets, str]


def read_clause(clause: Clause, reader: Reader, context: Facets, listed: bool) -> Iterator[Pair]:
    """(label, number, facets, printed text) of one clause."""
    run = list(_read_run(clause, reader))
    if run:
        yield from run
        return
    ours = [one for one in clause.labels if one.label.point and one.label.score >= GOOD_LABEL]
    if len(ours) == 1 and len(clause.numbers) > 1:
        several = list(_read_several(clause, ours[0], reader))
        if several:
            yield from several
            return
    yield from _read_pairs(clause, listed, reader)


def _read_pairs(clause: Clause, listed: bool, reader: Reader) -> Iterator[Pair]:
    """Each number with the label beside it: the one after it when nothing stands between, else the one before."""
    taken: set[int] = set()
    for index, number in enumerate(clause.numbers):
        found = _label_of(clause, index)
        if found is None or id(found) in taken:
            continue
        first = _digits(clause.text, number)
        before = found.start < first
        gap = clause.text[found.end : first] if before else clause.text[number.end : found.start]
        said = _UNIT_GAP.search(gap) if before else None
        unit = read_unit_word(said.group(1), reader.knowledge) if said else ""
        gap = _UNIT_GAP.sub("", gap) if unit else gap
        if not found.label.point or found.label.score < GOOD_LABEL:
            continue
        if not _may_take(number.printed, gap, listed or bool(unit)):
            continue
        taken.add(id(found))
        if before and index + 1 < len(clause.numbers) and _is_list(clause, number, clause.numbers[index + 1]):
            continue  # several figures behind one label and nothing says whose they are
        refined = refine_label(clause, found, number, reader) if before else found
        yield refined, number.printed, Facets(unit=unit), clause.text[first : number.end]


def _is_list(clause: Clause, number: FoundNumber, later: FoundNumber) -> bool:
    """Whether two numbers follow each other with nothing but blanks or commas between, in one unit."""
    gap = clause.text[number.end : _digits(clause.text, later)]
    return not gap.strip(" ,;") and number.printed.unit == later.printed.unit


def _label_of(clause: Clause, index: int) -> FoundLabel | None:
    """The label of the number at `index`: tight behind it ("27" inseam"), else the nearest before it."""
    number = clause.numbers[index]
    first = _digits(clause.text, number)
    later = clause.numbers[index + 1].start if index + 1 < len(clause.numbers) else len(clause.text) + 1
    earlier = clause.numbers[index - 1].end if index else 0
    behind = next((one for one in clause.labels if number.end <= one.start < later), None)
    before = next(
        (one for one in reversed(clause.labels) if earlier <= one.start and one.end <= max(first, number.start)), None
    )
    told = clause.text[:first].rstrip().endswith((":", "=", "："))
    if behind is not None and not told and not clause.text[number.end : behind.start].strip():
        loose = before is None or _WORD.search(clause.text[before.end : first]) is not None
        if loose or clause.numbers[0].start < clause.labels[0].start:
            return behind
    return before if before is not None else behind


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
    if printed.qualifier in ("max", "min") or printed.kind not in ("single", "range"):
        return False
    if printed.kind == "range" and not listed:
        return False
    if _GAP.fullmatch(gap):
        return bool(printed.unit) or listed
    words = _WORD.findall(gap)
    return bool(printed.unit) and len(words) <= 3 and not any(c.isdigit() for c in gap) and len(gap) <= 30


def _read_several(clause: Clause, found: FoundLabel, reader: Reader) -> Iterator[Pair]:
    """One label, then several lengths or sizes each with its number: "Inseam: Short 27", Regular 29"."""
    parts = [part for part in _SPLIT_PARTS.split(clause.text[found.end :].lstrip(" :=-–")) if part.strip()]
    pairs: list[Pair] = []
    for part in parts:
        one = _split_part(part.strip(" ()."), reader)
        if one is None:
            return
        facets, printed, raw = one
        pairs.append((found, printed, facets, raw))
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


def _read_run(clause: Clause, reader: Reader) -> Iterator[Pair]:
    """A table pasted as one run of text: label, n figures, label, n figures, sizes first."""
    if len(clause.labels) < 2 or len(clause.numbers) < 4:
        return
    counts: dict[int, list[FoundNumber]] = {}
    for index, found in enumerate(clause.labels):
        limit = clause.labels[index + 1].start if index + 1 < len(clause.labels) else len(clause.text) + 1
        counts[index] = [one for one in clause.numbers if found.end <= _digits(clause.text, one) < limit]
    lengths = [len(numbers) for numbers in counts.values() if numbers]
    size = max(set(lengths), key=lengths.count, default=0)
    sizes = _leading_sizes(clause, size, reader) if size >= 2 and lengths.count(size) * 2 > len(lengths) else None
    if sizes is None:
        return
    for index, numbers in counts.items():
        found = clause.labels[index]
        if not found.label.point or found.label.score < GOOD_LABEL or len(numbers) != size:
            continue  # a row of another length: nobody knows which size its figures are of
        for label, number in zip(sizes, numbers, strict=True):
            text = clause.text[_digits(clause.text, number) : number.end]
            yield found, number.printed, Facets(size=label, length=label.length), text


def _leading_sizes(clause: Clause, count: int, reader: Reader) -> list[SizeLabel] | None:
    tokens = clause.text[: clause.labels[0].start].replace(",", " ").split()
    if len(tokens) < count:
        return None
    sizes = [read_size_label(token, reader.knowledge) for token in tokens[-count:]]
    return [one for one in sizes if one is not None] if all(sizes) else None


def _make(
    found: FoundLabel, printed: Printed, raw: str, place: str, facets: Facets, block: int, order: int
) -> RawFigure:
    label = found.label
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
    if facets.length and facets.size is None:
        figure.size_scope = "all"
    return figure
