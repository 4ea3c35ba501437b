"""A line a size: "Size S: waist 28 in, hip 38 in", in the same words for every size, becomes a table.

In: lines. Out: rows of cells, the labels first, and how many lines they take. Each part of a line is a label and its
figure, the last number of the part; numbers before it are the label's own ("knee 14 in below crotch - 16 in").
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from halfinch.interpret.clauses import find_size, is_about_something_else
from halfinch.interpret.facets import Reader
from halfinch.interpret.streams import numbers_of
from halfinch.interpret.words import fold, phrasebook

LEAST_LINES, LEAST_LABELS = 2, 2
MOST_NUMBERS = 2
"""A label's own and its figure."""
MOST_BROKEN = 4
"""Lines that one size may be broken over."""
_EDGE = " \t,;:=|/-–—.·•"
_PARTS = re.compile(r"[;,]\s+(?!\d+\s*[/⁄]\s*\d+\s*[;,])|\s*[;•·]\s*|\s{2,}|\s+/\s+(?=[^\W\d])|\s+\|\s+(?=[^\W\d])")
_LEAD = re.compile(r"\s*([^:：=;,]{1,28}?)\s*(?:[:：]|\s[-–—]\s)")
LEAST_STRENGTH = 0.4
_BLANKS = re.compile(r"\s+")
_BESIDE = re.compile(r"\s*(?:\([^()]*\)|[.!])?\s*")


@dataclass(frozen=True, slots=True)
class SizedLine:
    """One line: its size, its labels and the figure of each, as printed."""

    size: str
    labels: tuple[str, ...]
    figures: tuple[str, ...]

    @property
    def skeleton(self) -> tuple[str, ...]:
        return tuple(label.casefold() for label in self.labels)


def read_sized_lines(lines: Sequence[str], reader: Reader) -> tuple[list[list[str]], int]:
    """The table of the lines that begin here; ([], 0) where there is none."""
    sized, used = max((follow(lines, count, reader) for count in range(1, MOST_BROKEN + 1)), key=lambda one: one[1])
    if len(sized) < LEAST_LINES or not any(reader.read(label).is_ours for label in sized[0].labels):
        return [], 0
    kept = [at for at, label in enumerate(sized[0].labels) if reader.read(label).point is not None]
    rows = [["Size", *(sized[0].labels[at] for at in kept)]]
    rows += [[one.size, *(one.figures[at] for at in kept)] for one in sized]
    return rows, used


def follow(lines: Sequence[str], first: int, reader: Reader) -> tuple[list[SizedLine], int]:
    """The sizes of the lines, the first of them told in `first` lines, and how many lines they take."""
    if first > len(lines) or not goes_on(lines[:first], [], reader):
        return [], 0
    sized, used = read_sizes(" ".join(lines[:first]), reader), first
    while used < len(lines):
        counts = range(1, min(MOST_BROKEN, len(lines) - used) + 1)
        taken = next((count for count in counts if goes_on(lines[used : used + count], sized, reader)), 0)
        if not taken:
            break
        sized = [*sized, *read_sizes(" ".join(lines[used : used + taken]), reader)]
        used += taken
    return (sized, used) if len(sized) >= LEAST_LINES else ([], 0)


def read_sizes(line: str, reader: Reader) -> list[SizedLine]:
    """Every size that a line tells; [] where a part of it is none."""
    parts = [read_sized_line(part, reader) for part in split_sizes(line, reader)]
    found = [one for one in parts if one is not None]
    return found if len(found) == len(parts) else []


def goes_on(lines: Sequence[str], sized: Sequence[SizedLine], reader: Reader) -> bool:
    """Whether these lines, one or one that was broken, tell a size in the words of the sizes before."""
    if len(lines) > 1 and leading_size(lines[-1], reader)[0]:
        return False
    found = read_sizes(" ".join(lines), reader)
    return bool(found) and all(one.skeleton == (sized or found)[0].skeleton for one in found)


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
    size, rest = leading_size(line, reader)
    if not size or not any(c.isdigit() for c in rest):
        return None
    pairs = [read_part(part, reader) for part in split_parts(rest, reader)]
    if len(pairs) < LEAST_LABELS or not all(pairs):
        return None
    labels, figures = zip(*(pair for pair in pairs if pair is not None), strict=True)
    if len(set(labels)) < len(labels):
        return None
    return SizedLine(size, labels, figures)


def leading_size(line: str, reader: Reader) -> tuple[str, str]:
    """The size that a line begins with, bare ("Taille 14: ..." is "14"), and the rest; ("", "") for none."""
    match = _LEAD.match(line)
    if match is not None:
        words = match.group(1).split()
        for cut in range(min(3, len(words) - 1), -1, -1):
            head, size = " ".join(words[:cut]), " ".join(words[cut:])
            read = reader.read(size).size
            if read is None or (not cut and (size.isdigit() or read.strength < LEAST_STRENGTH)):
                continue
            if not cut or names_sizes(head, reader):
                return size, line[match.end() :]
    mention = find_size(line, reader)
    if mention is None or len(line[: mention.start].split()) > 3:
        return "", ""
    words = line[mention.start : mention.end].strip(" .:;()[]").split()
    while len(words) > 1 and names_sizes(words[0], reader):
        words = words[1:]
    return " ".join(words), line[mention.end :]


def names_sizes(text: str, reader: Reader) -> bool:
    """A heading of sizes, "Taille" among them."""
    word = reader.read(text.strip(" .:")).word
    twofold = phrasebook(reader.knowledge).ambiguous.fullmatch(fold(text.strip(" .:"))) is not None
    return twofold or (word is not None and word.role in ("size", "base_size"))


def split_parts(text: str, reader: Reader) -> list[str]:
    """The parts between commas, semicolons and bars; one without a figure belongs to the next ("waist relaxed, buttoned
    32")."""
    parts: list[str] = []
    begun = ""
    for part in _PARTS.split(text.strip(_EDGE)):
        whole = f"{begun}, {part}" if begun else part
        if not part.strip():
            continue
        if numbers_of(part, reader) and read_part(whole, reader) is not None:
            parts.append(whole)
            begun = ""
        else:
            begun = whole
    return [*parts, begun] if begun else parts


def read_part(part: str, reader: Reader) -> tuple[str, str] | None:
    """Label and figure of one part; None where the last number is no figure behind a label."""
    numbers = numbers_of(part, reader)
    if not numbers or len(numbers) > MOST_NUMBERS:
        return None
    last = numbers[-1]
    label = _BLANKS.sub(" ", part[: last.start]).strip(_EDGE)
    if not any(c.isalpha() for c in label) or not _BESIDE.fullmatch(part[last.end :]):
        return None
    if len(numbers) > 1 and not any(c.isalpha() for c in part[numbers[-2].end : last.start]):
        named = reader.read(label).point
        if named is not None and named.at is not None:
            return label, part[last.start : last.end]  # "knee @ 13 in 8 in"
        if named is None or not re.search(r"[/|–—-]", part[numbers[-2].end : last.start]):
            return None  # two figures behind one label
        first = numbers[-2]
        return _BLANKS.sub(" ", part[: first.start]).strip(_EDGE), part[first.start : last.end]
    return label, part[last.start : last.end]
