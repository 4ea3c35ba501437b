"""A table told as words and numbers in a row: "Size S M L waist 28 30 32 hip 38 40 42", broken into lines or not.

In: lines of text. Out: rows of cells, the first of them the sizes. Strict: every label is followed by exactly as many
figures as there are sizes; where a figure could belong to the label before or behind it the labels decide, and where
they do not the whole stream is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from halfinch.interpret.facets import Reader
from halfinch.normalise.numbers import FoundNumber, find_numbers
from halfinch.normalise.size_labels import read_size_run

LEAST_SIZES, MOST_SIZES = 2, 24
LEAST_ROWS = 2
MOST_EXTRA = 2
"""Numbers of a label's own ("knee 14 in below crotch", "1/2 waist") that may stand beside its figures."""
SURE_SIZES = 0.45
_BETWEEN = " \t\n,;|/·•"
_HALF = re.compile(r"\s+(?:1\s?[/⁄]\s?2|½)$")
_LOOSE = re.compile(r"\s*(?:1/2|½)\s+[^\W\d_]")
_HEAD_ROLES = ("size", "base_size", "point_column")


@dataclass(frozen=True, slots=True)
class Head:
    """The heading of the sizes, the sizes as printed, and where the rest of the text begins."""

    word: str
    sizes: tuple[str, ...]
    end: int


def read_head(text: str, reader: Reader) -> Head | None:
    """ "Size 18W 20W 22W ..." at the beginning of a text; None where it does not begin with sizes."""
    tokens = _tokens(text)
    for count in range(1, min(5, len(tokens))):
        word = " ".join(token for token, _, _ in tokens[:count])
        role = reader.read(word.strip(" :(")).word
        if role is None or role.role not in _HEAD_ROLES:
            continue
        sizes, used = _leading_sizes(tokens[count:], reader)
        if sizes:
            return Head(word.strip(" :"), tuple(sizes), tokens[count + used - 1][2])
    return None


def _tokens(text: str) -> list[tuple[str, int, int]]:
    """Words between blanks with their places; a comma or semicolon behind one is no part of it."""
    found, at = [], 0
    for word in text.split():
        start = text.index(word, at)
        at = start + len(word)
        kept = word.rstrip(",;|/")
        if kept:
            found.append((kept, start, start + len(kept)))
    return found


def _leading_sizes(tokens: Sequence[tuple[str, int, int]], reader: Reader) -> tuple[list[str], int]:
    """The longest run of sizes that the tokens begin with, and how many tokens it takes ("EU 36" is one size)."""
    sizes: list[str] = []
    at = 0
    ends = []
    while at < len(tokens) and len(sizes) < MOST_SIZES:
        one = tokens[at][0]
        two = f"{one} {tokens[at + 1][0]}" if at + 1 < len(tokens) else ""
        if reader.read(one).size is not None and not reader.read(one).is_label:
            sizes.append(one)
            at += 1
        elif two and not any(c.isdigit() for c in one) and reader.read(two).size is not None:
            sizes.append(two)
            at += 2
        else:
            break
        ends.append(at)
    while len(sizes) >= LEAST_SIZES:
        run = read_size_run(sizes, reader.knowledge, "")
        if run is not None and run.score >= SURE_SIZES and all(run.labels):
            return sizes, ends[len(sizes) - 1]
        sizes.pop()
    return [], 0


def read_stream(text: str, reader: Reader) -> list[list[str]]:
    """The rows of a whole text, sizes first; [] where it is no such stream or can be divided in two ways."""
    head = read_head(text, reader)
    while head is not None:
        rows = _read_rows(text, head.end, len(head.sizes), reader)
        if rows:
            return [[head.word, *head.sizes], *rows]
        head = (
            Head(head.word, head.sizes[:-1], text.rindex(head.sizes[-1], 0, head.end)) if len(head.sizes) > 2 else None
        )
    return []


def read_lines(lines: Sequence[str], reader: Reader) -> tuple[list[list[str]], int]:
    """Rows of lines that each hold a label and its figures, under a line of sizes; and how many lines they take."""
    head = read_head(lines[0], reader) if lines else None
    if head is None or lines[0][head.end :].strip(" .:"):
        return [], 0
    count, rows, used = len(head.sizes), [], 1
    for line in lines[1:]:
        row = read_line(line, count, reader)
        if row is None:
            break
        used += 1
        if row:
            rows.append(row)
    return ([[head.word, *head.sizes], *rows], used) if len(rows) >= LEAST_ROWS else ([], 0)


def read_line(line: str, count: int, reader: Reader) -> list[str] | None:
    """One label and its `count` figures; [] for a row of another length (nobody knows whose its figures are); None for
    a line that is no row."""
    numbers = find_numbers(line, decimal=reader.decimal)
    groups = _groups(line, 0, numbers)
    if not groups or line[groups[-1][-1].end :].strip(" .;,"):
        return None
    tail = groups[-1]
    label = line[: tail[-count].start if len(tail) > count else tail[0].start].strip(" :=-–")
    if len(tail) >= count and reader.read(label).is_label:
        return [label, *(line[one.start : one.end] for one in tail[-count:])]
    named = reader.read(line[: tail[0].start].strip(" :=-–"))
    return [] if named.is_label or (named.point is not None and len(tail) > 1) else None


def _groups(text: str, start: int, numbers: Sequence[FoundNumber]) -> list[list[FoundNumber]]:
    """Numbers that follow one another with nothing but blanks or separators between."""
    groups: list[list[FoundNumber]] = []
    before = start
    for number in numbers:
        if groups and not text[before : number.start].strip(_BETWEEN):
            groups[-1].append(number)
        else:
            groups.append([number])
        before = number.end
    return groups


def _read_rows(text: str, start: int, count: int, reader: Reader) -> list[list[str]]:
    numbers = [one for one in find_numbers(text, decimal=reader.decimal) if one.start >= start]
    groups = _groups(text, start, join_units(text, numbers))
    rows: list[list[str]] = []
    begins = start
    for at, group in enumerate(groups):
        label = text[begins : group[0].start]
        after = groups[at + 1][0].start if at + 1 < len(groups) else len(text)
        following = text[group[-1].end : after]
        if not label.strip(_BETWEEN):
            return []  # figures without a label: the stream is not what it seems
        if len(group) < count:
            if _is_row(label, reader) and (len(group) > 1 or count == LEAST_SIZES):
                begins = group[-1].end  # a row of another length
            continue
        if len(group) - count > MOST_EXTRA:
            return []
        split = _share(label, group, following, count, text, reader)
        if split is None:
            return []
        first, last = split
        name = text[begins : group[first].start].strip(_BETWEEN + ":=-–.")
        cells = [text[one.start : one.end] for one in group[first:last]]
        if is_loose_half(cells[-1], following, numbers, text, reader):
            bare = _HALF.sub("", cells[-1])
            cells[-1] = f"{bare} / {cells[-1]}"  # two figures in one cell: a person says which
        if reader.read(name).point is not None or reader.read(name).is_label:
            rows.append([name, *cells])
        begins = group[last - 1].end
    ours = sum(reader.read(row[0]).is_ours for row in rows)
    return rows if len(rows) >= LEAST_ROWS and ours else []


def _is_row(label: str, reader: Reader) -> bool:
    return reader.read(label.strip(_BETWEEN + ":=-–.")).is_label


def _share(
    label: str, group: Sequence[FoundNumber], following: str, count: int, text: str, reader: Reader
) -> tuple[int, int] | None:
    """Which `count` numbers of a longer group are the row's: the ones before are its label's, the ones behind the
    next label's. The labels decide; None where they do not."""
    extra = len(group) - count
    if not extra:
        return 0, count
    found = []
    for front in range(extra + 1):
        name = f"{label}{text[group[0].start : group[front].start]}" if front else label
        behind = text[group[front + count].start : group[-1].end] if front < extra else ""
        score = _is_row(name, reader) + (_is_row(f"{behind}{following}", reader) if following.strip() else not behind)
        found.append((score, front))
    found.sort(reverse=True)
    if found[0][0] < 2 or (len(found) > 1 and found[1][0] == found[0][0]):
        return None
    front = found[0][1]
    return front, front + count


def is_loose_half(last: str, following: str, numbers: Sequence[FoundNumber], text: str, reader: Reader) -> bool:
    """ "... 16 1/2 waist 15": the half may be the figure's or say that the next label is flat. It is doubtful where
    the next label may begin so; a half written as no other figure writes it is doubtful too."""
    half = _HALF.search(last)
    if half is None or not following.strip() or not _is_row(f"1/2 {following}", reader):
        return False
    others = [text[one.start : one.end] for one in numbers]
    usual = sum(1 for other in others if other != last and (one := _HALF.search(other)) and one.group() == half.group())
    flat = any(_LOOSE.match(text[one.end :]) for one in numbers)
    return usual < 2 or flat


def join_units(text: str, numbers: Sequence[FoundNumber]) -> list[FoundNumber]:
    """A figure and the same one in the other unit behind a bar ("27 cm | 10 5/8 in") are one number."""
    joined: list[FoundNumber] = []
    for number in numbers:
        before = joined[-1] if joined else None
        gap = text[before.end : number.start] if before is not None else ""
        units = (before.printed.unit if before is not None else "", number.printed.unit)
        if before is not None and gap.strip() in ("|", "/") and units in (("cm", "in"), ("in", "cm")):
            joined[-1] = FoundNumber(before.start, number.end, before.printed)
        else:
            joined.append(number)
    return joined
