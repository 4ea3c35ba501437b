"""One line or sentence: its labels and its numbers, the size it names, and whether it is about a garment at all."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from halfinch.interpret.facets import Reader
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.label_tokens import EASTERN
from halfinch.normalise.numbers import FoundNumber, find_numbers, read_number
from halfinch.normalise.point_labels import (
    FoundLabel,
    find_point_labels,
    read_header_word,
    settle_letters,
)
from halfinch.normalise.size_labels import SizeLabel, read_size_label
from halfinch.normalise.unit_words import load_words

_LINES = re.compile(r"[\n\r•·▪●]+|(?<=[!?。])\s*")
_STOP = re.compile(r"(?<=[^\s.])\.\s+(?=\S)")
_LAST_WORD = re.compile(r"[^\W\d_]+$")
SURELY_WORD = 5
"""A word of so many letters before a stop is seldom cut short."""
PARTS = re.compile(r"[;；]\s+")
WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?", re.UNICODE)
_SCRIPTS = re.compile(rf"[{EASTERN}]+|[^\W\d_{EASTERN}]+(?:['’][^\W\d_{EASTERN}]+)?")
"""Words, those of the East apart from the letters beside them: "サイズM"."""
_STRETCH = re.compile(r"(?:stretch\w*|dehn\w*|étir\w*|estira\w*|up)\s+(?:to|up to|bis|à|hasta)?\s*$", re.IGNORECASE)
_ENUMERATOR = re.compile(r"\s*\(?\d{1,2}[.)]\s")
_UN = re.compile(r"(?i)(?<!\w)(?:un|not|non)[- ]$")
_SIZE_BEHIND = re.compile(r"\((\d{2}|[XSML]{1,4})\s+([^\W\d_]{3,12})\)")
"""A size before its word: "(38 beden)"."""
_SIZE_GLUED = re.compile(rf"(?<![\w.,])(\d{{2}}|[XSML]{{1,4}})\s?([{EASTERN}]{{1,4}})")
"""A size before its word without a bracket, as the East writes it: "27사이즈", "Mサイズ"."""
_WAIST_AND_LENGTH = re.compile(r"\bW\s?\d{2}\s*[/x,]?\s*L\s?\d{2}\b")
"""Is a size wherever it stands."""
_BARE_SIZE = re.compile(r"\s+(?:3[0-9]|4[0-9]|5[0-8]|X{0,3}[SML])(?![\w½]|[.,]\d| ?cm)")
"""A number that is a size behind "taille", not the waist in centimetres."""
_NEXT_WORD = re.compile(r"\s+([^\W\d_]+)(?=[\s:：])")
_SIZE_GAP = re.compile(r"[\s:：=#.–-]*(?:\([^()\d]*\)[\s:：=#.–-]*)?")
_CODED = re.compile(r"\d{1,3}\s+[^\W\d_]")
_ALONE = re.compile(r"\s+\d{1,2}\s*")
"""A heading of nothing but "Taille 28": a waist would have its unit, or a colon before it."""
_LEADING_SIZE = re.compile(r"\s*([\w/ ]{1,8}?)\s*(?::|\s[-–—]\s)")
"""A line that begins with its size: "S - waist 28", "XS: Waist 26"."""


@dataclass(frozen=True, slots=True)
class Clause:
    """One line or sentence: its text, its labels and its numbers in order."""

    text: str
    labels: tuple[FoundLabel, ...]
    numbers: tuple[FoundNumber, ...]


def split_clauses(text: str, reader: Reader) -> Iterator[str]:
    """Lines and sentences; a full stop inside a number or behind a word cut short does not end one."""
    for line in _LINES.split(text):
        at = 0
        for stop in _STOP.finditer(line):
            if _ends_sentence(line, stop, reader):
                if part := line[at : stop.end()].strip():
                    yield part
                at = stop.end()
        if part := line[at:].strip():
            yield part


def _ends_sentence(line: str, stop: re.Match[str], reader: Reader) -> bool:
    """Whether a full stop does: behind a figure where a letter follows, behind a word where it is none cut short."""
    after = line[stop.end()]
    last = _LAST_WORD.search(line, 0, stop.start())
    if last is None or (len(last.group()) < 3 and line[: last.start()].rstrip()[-1:].isdigit()):
        return after.isalpha()  # "30.", "76 cm."
    word = last.group()
    if load_words().about.fullmatch(word):
        return after.isupper()  # not "approx. 30", but "107 cm environ. Se porte"
    if len(word) < 4 and _role(word, reader) == "size":
        return False  # "Gr. 38"
    if len(word) >= SURELY_WORD:
        return True
    return len(word) > 2 and word.islower() and (after.isupper() or not after.isalpha())


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
        if not any(label.start <= digits(line, one) < label.end for label in labels)
        and not (_ENUMERATOR.match(line) and digits(line, one) < 4)
        and not _is_size_number(line, one, reader)
        and (mention is None or not mention.start <= digits(line, one) < mention.end)
    )
    numbers = tuple(one for at, one in enumerate(numbers) if not is_aside(line, one, numbers[at - 1] if at else None))
    labels = tuple(label for one in labels if (label := push_behind(line, one, numbers)).start < label.end)
    return Clause(line, labels, numbers)


def is_aside(line: str, number: FoundNumber, before: FoundNumber | None) -> bool:
    """A second figure in brackets behind the first ("29 in (14.5 flat)"), or what a waist stretches to."""
    lead = line[: digits(line, number)]
    if _STRETCH.search(lead):
        return True
    return before is not None and lead[before.end :].strip() == "("


def push_behind(line: str, label: FoundLabel, numbers: tuple[FoundNumber, ...]) -> FoundLabel:
    """A label that seems to begin within a figure begins behind it."""
    over = next((one for one in numbers if digits(line, one) < label.start < one.end), None)
    return replace(label, start=min(over.end, label.end)) if over is not None else label


def trim_number(line: str, number: FoundNumber, labels: tuple[FoundLabel, ...]) -> FoundNumber:
    """A number whose span runs into the next label ("28 cm, contorno da boca") ends before it."""
    first = digits(line, number)
    cut = next((label.start for label in labels if first < label.start < number.end), None)
    if cut is None:
        return number
    printed = read_number(line[first:cut].strip(" ,;:-–"))
    # Never another number: a label that seems to begin within the digits is not trusted with them.
    same = printed is not None and printed.value == number.printed.value and printed.unit == number.printed.unit
    # "hip 40 max. Inseam 30": whichever of the two the end belongs to, the number is no measure.
    kept = replace(printed, qualifier=number.printed.qualifier) if printed is not None else printed
    return FoundNumber(first, cut, kept) if kept is not None and same else number


def digits(line: str, number: FoundNumber) -> int:
    """Where the number itself begins; its span may begin with a word such as "around"."""
    found = re.search(r"[\d½¼¾⅛⅜⅝⅞]", line[number.start : number.end])
    return number.start + (found.start() if found else 0)


def _is_size_number(line: str, number: FoundNumber, reader: Reader) -> bool:
    if number.printed.unit:
        return False
    words = WORD.findall(line[: number.start])
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
    both = _WAIST_AND_LENGTH.search(line)
    size = read_size_label(both.group(), reader.knowledge) if both is not None else None
    if both is not None and size is not None:
        return SizeMention(size, both.start(), both.end())
    for match in _SIZE_GLUED.finditer(line):
        size = read_size_label(match.group(1), reader.knowledge)
        if size is not None and _role(match.group(2), reader) == "size":
            return SizeMention(size, match.start(1), match.end(1))
    book = phrasebook(reader.knowledge)
    for match in _SCRIPTS.finditer(line):
        short = line[match.end() : match.end() + 1] == "." and len(match.group()) < 3
        word = match.group() + ("." if short else "")
        if not line[: match.start()].strip() and _CODED.match(line, match.end()):
            continue  # "T18 Low hip": the code of a row, no size
        known = _role(word, reader) in ("size", "base_size")
        behind_word = _NEXT_WORD.match(line, match.end())
        measured = behind_word is not None and book.measured.fullmatch(fold(behind_word.group(1))) is not None
        after = behind_word.end() if behind_word is not None and measured else match.end()
        if not known and not (
            book.ambiguous.fullmatch(fold(word))
            and (measured or _BARE_SIZE.match(line, match.end() + short) or _ALONE.fullmatch(line[match.end() :]))
        ):
            continue
        gap = _SIZE_GAP.match(line, after)
        start = gap.end() if gap else after
        rest = re.split(r"[,;|、，；：]|:\s", line[start:])[0]
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
