"""A line a size: "Size S: waist 28", hip 38", in the same words for every size, becomes a table.

In: lines. Out: rows of cells, the labels first, and how many lines they take. A number that stands in the same place of
every line and is the label's own ("knee 14 in below crotch") goes with the label.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from halfinch.interpret.clauses import find_size, is_about_something_else
from halfinch.interpret.facets import Reader
from halfinch.normalise.numbers import FoundNumber, find_numbers

LEAST_LINES, LEAST_LABELS = 2, 2
_EDGE = " \t,;:=|/-–—.·•()"
_BLANKS = re.compile(r"\s+")


@dataclass(frozen=True, slots=True)
class SizedLine:
    """One line: its size, the words before each number, the numbers, the words behind the last."""

    size: str
    words: tuple[str, ...]
    numbers: tuple[FoundNumber, ...]
    text: str

    @property
    def skeleton(self) -> tuple[str, ...]:
        return tuple(_BLANKS.sub(" ", word).strip(_EDGE).casefold() for word in self.words)


def read_sized_lines(lines: Sequence[str], reader: Reader) -> tuple[list[list[str]], int]:
    """The table of the lines that begin here; ([], 0) where there is none."""
    sized: list[SizedLine] = []
    used = 0
    for line in lines:
        parts = [one for part in split_sizes(line, reader) if (one := read_sized_line(part, reader)) is not None]
        if not parts or any(part.skeleton != (sized or parts)[0].skeleton for part in parts):
            break
        sized.extend(parts)
        used += 1
    if len(sized) < LEAST_LINES:
        return [], 0
    labels, places = name_numbers(sized, reader)
    if len(labels) < LEAST_LABELS or sum(reader.read(label).is_ours for label in labels) < 1:
        return [], 0
    rows = [["Size", *labels]]
    for one in sized:
        rows.append([one.size, *(one.text[one.numbers[at].start : one.numbers[at].end] for at in places)])
    return rows, used


def split_sizes(line: str, reader: Reader) -> list[str]:
    """One line that tells several sizes one after the other, cut before each of them."""
    mention = find_size(line, reader)
    if mention is None:
        return [line]
    head = line[: mention.start].strip(_EDGE)
    if not head or head not in line[mention.end :]:
        return [line]
    cuts = [match.start() for match in re.finditer(rf"(?<![^\W_]){re.escape(head)}(?![^\W_])", line)]
    return [line[a:b].strip(" ;,.|") for a, b in zip(cuts, [*cuts[1:], len(line)], strict=True)]


def read_sized_line(line: str, reader: Reader) -> SizedLine | None:
    """A line that begins with its size and goes on with labels and figures; None for any other."""
    if is_about_something_else(line, reader):
        return None
    mention = find_size(line, reader)
    if mention is None or len(line[: mention.start].split()) > 3:
        return None
    rest = line[mention.end :]
    numbers = tuple(find_numbers(rest, decimal=reader.decimal))
    if len(numbers) < LEAST_LABELS:
        return None
    words, at = [], 0
    for number in numbers:
        words.append(rest[at : number.start])
        at = number.end
    return SizedLine(line[mention.start : mention.end].strip(" .:;()[]"), (*words, rest[at:]), numbers, rest)


def name_numbers(sized: Sequence[SizedLine], reader: Reader) -> tuple[list[str], list[int]]:
    """The label of each figure and which number it is; numbers that are a label's own are joined to it."""
    first = sized[0]
    labels: list[str] = []
    places: list[int] = []
    begun = ""
    for at, number in enumerate(first.numbers):
        word = f"{begun}{first.words[at]}"
        name = _BLANKS.sub(" ", word).strip(_EDGE.replace("(", "").replace(")", ""))
        same = len({one.text[one.numbers[at].start : one.numbers[at].end] for one in sized}) == 1
        longer = f"{word}{first.text[number.start : number.end]}{first.words[at + 1]}"
        following = first.words[at + 1].strip(_EDGE)
        own = same and at + 1 < len(first.numbers) and following and not reader.read(following).is_label
        if own and reader.read(longer.strip(_EDGE)).is_label:
            begun = f"{word}{first.text[number.start : number.end]}"
            continue
        begun = ""
        if name and reader.read(name).point is not None:
            labels.append(name)
            places.append(at)
        elif not name:
            return [], []
    return labels, places
