"""One line or sentence: its labels and its numbers, the size it names, and whether it is about a garment at all."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from halfinch.interpret.facets import Reader, kept
from halfinch.interpret.size_mentions import find_size
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.numbers import FoundNumber, find_numbers, read_number
from halfinch.normalise.point_labels import (
    FoundLabel,
    cuts_label,
    find_point_labels,
    read_header_word,
    settle_letters,
)
from halfinch.normalise.unit_words import load_words

_LINES = re.compile(r"[\n\r•·▪●※【】]+|(?<=[!?。])\s*")
_BROKEN_LABEL = re.compile(r"\s*\n\s*(?=[(（])")
"""A label that goes on in brackets on the next line."""
_STOP = re.compile(r"(?<=[^\s.])\.\s+(?=\S)")
_LAST_WORD = re.compile(r"[^\W\d_]+$")
SURELY_WORD = 5
"""A word of so many letters before a stop is seldom cut short."""
NEAR = 80
"""Characters beside a label or number in which words about it stand; a line may be very long."""
PARTS = re.compile(r"[;；]\s+")
WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?", re.UNICODE)
_STRETCH = re.compile(
    r"(?<!\w)(?:stretch\w*|dehn\w*|étir\w*|estira\w*|up)\s+(?:to|up to|bis|à|hasta)?\s*$", re.IGNORECASE
)
_ENUMERATOR = re.compile(r"\s*\(?\d{1,2}[.)]\s")
_CODE = re.compile(r"^\s*(?:[A-Z]{1,2}\d{1,3}|\d{1,2}[.)])\s")
"""The code or number of a row."""
_TOLD_LABEL = re.compile(r"[\s,;/|·•]*([^\W_][^:=：＝]{1,58}?)\s*[:=：＝]\s*")
"""All that stands between a figure and the next one that a colon tells."""
_BARE_LABEL = re.compile(r"\s*([^\W_][^:=：＝]{1,58}?)[\s.…·–—-]*")
_BRACKETS = re.compile(r"\s?[(（][^()（）\d]{1,20}[)）]")
_UN = re.compile(r"(?i)(?<!\w)(?:un|not|non)[- ]$")


@dataclass(frozen=True, slots=True)
class Clause:
    """One line or sentence: its text, its labels and its numbers in order."""

    text: str
    labels: tuple[FoundLabel, ...]
    numbers: tuple[FoundNumber, ...]


def split_clauses(text: str, reader: Reader) -> Iterator[str]:
    """Lines and sentences; a full stop inside a number or behind a word cut short does not end one."""
    for line in _LINES.split(_BROKEN_LABEL.sub(" ", text)):
        at = 0
        for stop in _STOP.finditer(line):
            if _ends_sentence(line, at, stop, reader):
                if part := line[at : stop.end()].strip():
                    yield part
                at = stop.end()
        if part := line[at:].strip():
            yield part


def _ends_sentence(line: str, at: int, stop: re.Match[str], reader: Reader) -> bool:
    """Whether a full stop ends the sentence that began at `at`: behind a figure where a letter follows, behind a word
    where it is none cut short."""
    after = line[stop.end()]
    last = _LAST_WORD.search(line, at, stop.start())
    words = load_words()
    if last is None or (words.unit.fullmatch(last.group()) and line[: last.start()].rstrip()[-1:].isdigit()):
        return after.isalpha()  # "30.", "76 cm."
    word = last.group()
    if words.about.fullmatch(word):
        return after.isupper()  # not "approx. 30", but "107 cm environ. Se porte"
    if words.besides.get(word.casefold()) in ("max", "min") or (len(word) < 4 and _role(word, reader) == "size"):
        return False  # "40 max. Inseam": an end of either; "Gr. 38"
    if len(word) >= SURELY_WORD:
        return True
    begun = _CODE.sub("", line[at : last.start()])
    spoken = any(char.isdigit() for char in begun) and not cuts_label(word, reader.knowledge)
    return spoken and len(word) > 2 and word.islower() and (after.isupper() or not after.isalpha())


@kept
def is_about_something_else(line: str, reader: Reader) -> bool:
    """A sentence about the model, a price, washing or advice: its numbers are no figures of the garment."""
    book = phrasebook(reader.knowledge)
    folded = fold(line)
    return book.talk.search(folded) is not None and book.sample.search(folded) is None


@kept
def make_clause(line: str, reader: Reader) -> Clause:
    """Labels and numbers of a line; numbers inside a label ("14 in below crotch") belong to the label."""
    labels = tuple(find_point_labels(line, reader.knowledge))
    settled = settle_letters([found.label for found in labels])
    labels = tuple(replace(found, label=one) for found, one in zip(labels, settled, strict=True) if one is not None)
    labels = tuple(with_brackets(line, one, reader) for one in labels)
    if len(labels) == 1 and len(find_numbers(line, decimal=reader.decimal)) == 1:
        labels = (without_figure(line, labels[0], reader),)
    labels = tuple(label for label in labels if not _UN.search(just_before(line, label.start)))
    mention = find_size(line, reader)
    if mention is not None:  # "Taille 38" names no waist
        labels = tuple(one for one in labels if not _heads_size(line, one, mention.start))
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
    return Clause(line, with_told_labels(line, labels, numbers, reader), numbers)


def _heads_size(line: str, label: FoundLabel, size: int) -> bool:
    """Whether a label is the word before a size and nothing else: "Taille 38"."""
    return label.start < size and not line[label.end : size].strip(" :：=.(")


def with_told_labels(
    line: str, labels: tuple[FoundLabel, ...], numbers: tuple[FoundNumber, ...], reader: Reader
) -> tuple[FoundLabel, ...]:
    """The labels, where all that stands before a colon and its figure is one, read as a cell of a table is: "BR: 13",
    "Waist - relaxed, buttoned: 28". A line of one figure needs no colon ("O/S 40 in"), if all words are understood."""
    at = 0
    alone = len(numbers) == 1 and not line[numbers[0].end :].strip(" .,;")
    for number in numbers:
        begin, told = at, _TOLD_LABEL.fullmatch(line, at, digits(line, number))
        bare = told is None and alone
        told = _BARE_LABEL.fullmatch(line, at, digits(line, number)) if bare else told
        at = number.end
        if told is None:
            continue
        start, end = told.start(1), told.end()
        inside = [one for one in labels if begin <= one.start and one.end <= end]
        whole = reader.read(told.group(1)).point
        if whole is None or not reader.read(told.group(1)).is_ours or any(c.isdigit() for c in whole.rest):
            continue
        if bare and whole.rest:
            continue
        same = {one.label.point for one in inside} <= {whole.point}
        if not whole.rest or (same and not any(one.end == end for one in inside)):
            kept_labels = [one for one in labels if one not in inside]
            labels = tuple(sorted([*kept_labels, FoundLabel(start, end, whole)], key=lambda one: one.start))
    return labels


def with_brackets(line: str, label: FoundLabel, reader: Reader) -> FoundLabel:
    """A label with the brackets behind it, where they make it another point: "股上(後)"."""
    behind = _BRACKETS.match(line, label.end)
    whole = reader.read(line[label.start : behind.end()]).point if behind is not None else None
    if behind is None or whole is None or whole.rest or whole.point in ("", label.label.point):
        return label
    return FoundLabel(label.start, behind.end(), whole)


def without_figure(line: str, label: FoundLabel, reader: Reader) -> FoundLabel:
    """A label at the end of a line without its last number, which is the figure if no other is: "Thigh W 13 in"."""
    found = find_numbers(line[label.start : label.end], decimal=reader.decimal)
    if not found or label.label.at is None or line[label.end :].strip(" .,;"):
        return label
    end = len(line[: label.start + digits(line[label.start : label.end], found[-1])].rstrip())
    whole = reader.read(line[label.start : end]).point
    return label if whole is None or label.start + found[-1].end < label.end else FoundLabel(label.start, end, whole)


def is_aside(line: str, number: FoundNumber, before: FoundNumber | None) -> bool:
    """A second figure in brackets behind the first ("29 in (14.5 flat)"), or what a waist stretches to."""
    first = digits(line, number)
    if _STRETCH.search(just_before(line, first)):
        return True
    return before is not None and line[before.end : first].strip() == "("


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


def just_before(line: str, at: int) -> str:
    """The end of what stands before a place: as much as may be said of what stands there."""
    return line[max(0, at - NEAR) : at]


def digits(line: str, number: FoundNumber) -> int:
    """Where the number itself begins; its span may begin with a word such as "around"."""
    found = re.search(r"[\d½¼¾⅛⅜⅝⅞]", line[number.start : number.end])
    return number.start + (found.start() if found else 0)


def _is_size_number(line: str, number: FoundNumber, reader: Reader) -> bool:
    if number.printed.unit:
        return False
    words = WORD.findall(just_before(line, number.start))
    before = just_before(line, number.start).rstrip(" :(")
    return bool(words) and before.endswith(words[-1]) and _role(words[-1], reader) == "size"


def _role(word: str, reader: Reader) -> str:
    found = read_header_word(word, reader.knowledge)
    return found.role if found is not None else ""
