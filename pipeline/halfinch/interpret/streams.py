"""A table told as words and numbers in a row: "Size S M L waist 28 30 32 hip 38 40 42", broken into lines or not.

In: lines of text. Out: rows of cells, the first of them the sizes. Strict: every label is followed by exactly as many
figures as there are sizes; where a figure could belong to the label before or behind it the labels decide, and where
they do not the whole stream is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from halfinch.interpret.facets import Reader
from halfinch.interpret.paired import BOTH
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.numbers import FoundNumber, find_numbers
from halfinch.normalise.size_labels import read_size_run

LEAST_SIZES, MOST_SIZES = 2, 24
LEAST_ROWS = 2
MOST_EXTRA = 2
"""Numbers of a label's own ("knee 14 in below crotch", "1/2 waist") that may stand beside its figures."""
SURE_SIZES = 0.45
_BETWEEN = " \t\n,;|/·•"
_HALF = re.compile(r"\s+(?:1\s?[/⁄]\s?2|½)$")
_WORD_BEHIND = re.compile(r"(?<![^\W_])(?!cms?\b|mms?\b|in\b|inch|zoll|pouce|pulg|poll)[^\W\d_]{3,}", re.IGNORECASE)
_DECIMAL_HALF = re.compile(r"\d[.,][25]")
_CODE_BEHIND = re.compile(r"\s+[A-Z]{1,2}[-.]?\d{1,3}$")
_LOOSE = re.compile(r"\s*(?:1/2|½)\s+[^\W\d_]")
_HEAD_ROLES = ("size", "base_size", "point_column")


@dataclass(frozen=True, slots=True)
class Head:
    """The heading of the sizes, the sizes as printed, and where the rest of the text begins."""

    word: str
    sizes: tuple[str, ...]
    end: int


def numbers_of(text: str, reader: Reader) -> list[FoundNumber]:
    """The numbers of a text without the words behind them that begin the next label ("34.5, ACROSS hips")."""
    found = find_numbers(text, decimal=reader.decimal)
    kept = []
    for at, number in enumerate(found):
        code = _CODE_BEHIND.search(text, number.start, number.end)
        if code is not None:
            number = FoundNumber(number.start, code.start(), number.printed)
        word = _WORD_BEHIND.search(text, number.start, number.end)
        if word is not None:
            after = found[at + 1].start if at + 1 < len(found) else len(text)
            apart = "," in text[number.start : word.start()] or ";" in text[number.start : word.start()]
            if apart or reader.read(_name(text[word.start() : after])).is_label:
                end = number.start + len(text[number.start : word.start()].rstrip(" ,;"))
                number = FoundNumber(number.start, end, replace(number.printed, convention="", qualifier=""))
        kept.append(number)
    return kept


def read_head(text: str, reader: Reader) -> Head | None:
    """ "Size 18W 20W 22W ..." at the beginning of a text; None where it does not begin with sizes."""
    tokens = _tokens(text)
    sizes, used = _leading_sizes(tokens, reader)
    if len(sizes) > 2 and not reader.read(text).is_label:
        return Head("Size", tuple(sizes), tokens[used - 1][2])
    for count in range(1, min(5, len(tokens))):
        word = " ".join(token for token, _, _ in tokens[:count])
        role = reader.read(word.strip(" :(")).word
        twofold = phrasebook(reader.knowledge).ambiguous.fullmatch(fold(word.strip(" :"))) is not None
        if not twofold and (role is None or role.role not in _HEAD_ROLES):
            continue
        sizes, used = _leading_sizes(tokens[count:], reader)
        if len(sizes) > 2 or (sizes and not twofold):  # "Taille 36 38 40" names sizes, "Taille 66" a waist
            return Head("Size" if twofold else word.strip(" :"), tuple(sizes), tokens[count + used - 1][2])
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


def _names_sizes(word: str, reader: Reader) -> bool:
    """A heading of sizes, or a word with digits: neither is the first half of a size ("EU 36")."""
    read = reader.read(word).word
    return (
        any(char.isdigit() for char in word)
        or (read is not None and read.role in _HEAD_ROLES)
        or phrasebook(reader.knowledge).ambiguous.fullmatch(fold(word)) is not None
    )


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
        elif two and not _names_sizes(one, reader) and reader.read(two).size is not None:
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
    numbers = numbers_of(line, reader)
    groups = _groups(line, 0, numbers)
    if not groups or line[groups[-1][-1].end :].strip(" .;,"):
        return None
    tail = groups[-1]
    label = line[: tail[-count].start if len(tail) > count else tail[0].start].strip(" :=-–")
    if len(tail) >= count and reader.read(label).is_label:
        return [label, *(line[one.start : one.end] for one in tail[-count:])]
    named = reader.read(line[: tail[0].start].strip(" :=-–"))
    known = named.is_label or (named.point is not None and len(tail) > 1)
    return [] if known or (len(tail) == count and len(line.split()) <= count + 6) else None


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
    numbers = [one for one in numbers_of(text, reader) if one.start >= start]
    groups = _groups(text, start, join_units(text, numbers))
    rows: list[list[str]] = []
    begins = start
    for at, found in enumerate(groups):
        label = text[begins : found[0].start]
        after = groups[at + 1][0].start if at + 1 < len(groups) else len(text)
        following = text[found[-1].end : after]
        if not label.strip(_BETWEEN):
            return []  # figures without a label: the stream is not what it seems
        group = join_pairs(text, found, label, count, reader)
        if len(group) < count:
            if _is_row(label, reader) and (len(group) > 1 or count == LEAST_SIZES):
                begins = group[-1].end  # a row of another length
            continue
        split = _share(label, group, following, count, text, reader) if len(group) - count <= MOST_EXTRA else None
        if split is None:
            return []
        first, last = split
        kept = [*group[first : last - 1], give_back(group[last - 1], group[first : last - 1], following, reader)]
        cells = [text[one.start : one.end] for one in kept]
        begins = kept[-1].end
        half = whose_half(cells[-1], following, numbers, text, reader)
        if half == "label":
            cells[-1] = _HALF.sub("", cells[-1])
            begins = kept[-1].start + len(cells[-1])
        elif half == "doubt":
            cells[-1] = f"{_HALF.sub('', cells[-1])} / {cells[-1]}"  # two figures in one cell: a person says which
        name = _name(text[found[0].start - len(label) : group[first].start])
        if reader.read(name).point is not None:
            rows.append([name, *cells])
    ours = sum(reader.read(row[0]).is_ours for row in rows)
    return rows if len(rows) >= LEAST_ROWS and ours else []


def _name(label: str) -> str:
    return label.strip(_BETWEEN + ":=-–.")


def _is_row(label: str, reader: Reader) -> bool:
    return reader.read(_name(label)).is_label


def _share(
    label: str, group: Sequence[FoundNumber], following: str, count: int, text: str, reader: Reader
) -> tuple[int, int] | None:
    """Which `count` numbers of a longer group are the row's: those before them say where the label's point is measured
    ("knee 14"), those behind them are the next label's ("1/2 waist"). None where the labels do not decide."""
    extra = len(group) - count
    if not extra:
        return 0, count
    ways = []
    for front in range(extra + 1):
        before = reader.read(_name(f"{label}{text[group[0].start : group[front].start]}")).point if front else None
        behind = text[group[front + count].start : group[-1].end] if front < extra else ""
        if front and (before is None or before.at is None):
            continue
        if behind and not (_is_half(behind) and _is_row(f"{behind}{following}", reader)):
            continue
        ways.append(front)
    return (ways[0], ways[0] + count) if len(ways) == 1 else None


def _is_half(text: str) -> bool:
    return text.strip() in ("1/2", "½", "1⁄2")


def whose_half(last: str, following: str, numbers: Sequence[FoundNumber], text: str, reader: Reader) -> str:
    """ "... 16 1/2 waist 15": the half may be the figure's or say that the next label is flat. figure | label | doubt.

    It can be the label's only where that may begin so. Written as no other figure's half, in a stream in which other
    labels begin with a half or in which halves are decimals, it is the label's.
    """
    half = _HALF.search(last)
    if half is None or not following.strip() or not _is_row(f"1/2 {following}", reader):
        return "figure"
    others = [text[one.start : one.end] for one in numbers]
    usual = sum(1 for other in others if other != last and (one := _HALF.search(other)) and one.group() == half.group())
    flat = any(_LOOSE.match(text[one.end :]) for one in numbers)
    decimal = any(_DECIMAL_HALF.search(other) for other in others)
    if (flat or decimal) and not usual:
        return "label"
    return "doubt" if flat or usual < 2 else "figure"


def join_pairs(
    text: str, group: Sequence[FoundNumber], label: str, count: int, reader: Reader
) -> Sequence[FoundNumber]:
    """Waists relaxed and stretched ("74 / 96 76 / 98") are one cell each, where the label says both."""
    point = reader.read(_name(label)).point
    if len(group) != 2 * count or point is None or not point.qualifiers >= BOTH:
        return group
    pairs = list(zip(group[::2], group[1::2], strict=True))
    if any(not text[one.end : other.start].strip() for one, other in pairs):
        return group
    return [FoundNumber(one.start, other.end, one.printed) for one, other in pairs]


def give_back(last: FoundNumber, others: Sequence[FoundNumber], following: str, reader: Reader) -> FoundNumber:
    """ "16.0 In-seam": the unit that no other figure of the row has is the beginning of the next label."""
    if last.printed.unit != "in" or any(one.printed.unit for one in others) or not following.strip():
        return last
    if reader.read(_name(f"in{following}")).is_ours:
        return FoundNumber(last.start, last.end - 2, replace(last.printed, unit=""))
    return last


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
