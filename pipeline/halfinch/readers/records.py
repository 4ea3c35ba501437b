"""Delimited text as records: which delimiter, and fields that survive stray inch marks.

A quote sign in a measurement sheet is an inch mark as often as a quote. So a record is first read by the book
(RFC 4180); where that swallows a neighbour, breaks off, or gives another number of fields than the rest of the file,
readings that take the sign for an inch mark are tried, and the one that fits the file's width wins.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from _csv import Reader

DELIMITERS = ("\t", ";", "|", "^", ",", "¦", "~", "\x1f", "\x01")
"""Tried in this order; the earlier one wins where two split a file equally well."""
TAB_RUN = "\t+"
"""Several tabs that only line up columns count as one."""
GOOD_ENOUGH = 0.4
_SAMPLE_LINES = 300
_LONGEST_QUOTED = 60
_LINE_END = re.compile(r"\r\n|\r|\n")
_FIGURE = re.compile(r"^[\s+\-–±~<>≈]*\d")


@dataclass(frozen=True, slots=True)
class Dialect:
    """`delimiter` is empty where the text has no columns; `score` 0..1 says how well it splits the text."""

    delimiter: str
    score: float


def split_lines(text: str) -> list[str]:
    """Physical lines, without the empty one after a last line end."""
    lines = _LINE_END.split(text)
    if lines and not lines[-1]:
        lines.pop()
    return lines


def find_dialect(lines: Sequence[str]) -> Dialect:
    """The delimiter that splits the lines most evenly into clean cells."""
    sample = [line for line in _join_quoted(lines[: 4 * _SAMPLE_LINES]) if line.strip()][:_SAMPLE_LINES]
    best = Dialect("", 0.0)
    for delimiter in DELIMITERS:
        if any(delimiter in line for line in sample):
            score = _score_delimiter(sample, delimiter)
            if score > best.score + 0.05:
                best = Dialect(delimiter, score)
    if best.delimiter in ("\t", "") and any("\t\t" in line for line in sample):
        collapsed = [re.sub("\t+", "\t", line) for line in sample]
        score = _score_delimiter(collapsed, "\t")
        if score > best.score + 0.1:
            best = Dialect(TAB_RUN, score)
    return best


def _join_quoted(lines: Sequence[str]) -> Sequence[str]:
    """Records whose fields are all quoted, each as one line although a field of it holds line ends.

    The lines as they are where that does not come out even: then the quote signs are inch marks.
    """
    if not any(line[:1] == '"' and line.count('"') % 2 for line in lines):
        return lines
    joined: list[str] = []
    parts: list[str] = []
    for line in lines:
        parts.append(line)
        record = "\n".join(parts)
        if record.count('"') % 2:
            if record[:1] != '"' or len(parts) > _LONGEST_QUOTED:
                return lines
            continue
        if len(parts) > 1 and not record.rstrip().endswith('"'):
            return lines
        joined.append(record)
        parts = []
    return joined if not parts else lines


def _score_delimiter(lines: Sequence[str], delimiter: str) -> float:
    rows = [
        [line] if delimiter == "," and _has_only_decimal_commas(line) else _split_quickly(line, delimiter)
        for line in lines
    ]
    widths = [len(row) for row in rows]
    split = [row for row in rows if len(row) > 1]
    if not split or (len(rows) > 1 and len(split) == 1 and len(split[0]) < 3):
        return 0.0
    if sum(len(row) == 1 and delimiter in row[0] for row in rows) > len(split) and delimiter != ",":
        return 0.0  # most lines that hold it stand in quotes: another delimiter needs these
    coverage = len(split) / len(rows)
    pairs = [(a, b) for a, b in pairwise(widths) if a > 1 and b > 1]
    even = (sum(a == b for a, b in pairs) + 0.5) / (len(pairs) + 1)  # one pair alone proves little
    cells = [cell for row in split for cell in row if cell.strip()]
    if not cells:
        return 0.0
    unclean = sum(_holds_other_delimiter(cell, delimiter) for cell in cells) / len(cells)
    prose = sum(_goes_on_as_prose(row) for row in split) / len(split) if delimiter in ",;" else 0.0
    quoted = f'"{delimiter}"'  # between quotes it is no sign of a sentence
    loose = [row for line, row in zip(lines, rows, strict=True) if len(row) > 1 and quoted not in line]
    joints = [pair for row in loose for pair in pairwise(row)]
    if joints and sum(_parts_of_one_figure(left, right, delimiter) for left, right in joints) * 3 > len(joints):
        return 0.0
    if delimiter == "," and sum(_has_only_decimal_commas(line) for line in lines) > len(split):
        return 0.0  # most commas are decimal ones
    width = Counter(widths).most_common(1)[0][0]
    return (0.35 * coverage + 0.55 * even + 0.1 * min(width, 6) / 6) * (1 - unclean) * (1 - 0.8 * prose)


_BULLET = re.compile(r"\s*[-*•·–]\s+[^\W\d_]")
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d{1,2}(?!\d|,\S)|\d{3}[^\W\d_])")


def _has_only_decimal_commas(line: str) -> bool:
    """Words with figures such as "58,5" and no other comma, unless a blank follows every other one: a line of prose,
    not a record."""
    if "," not in line or not any(c.isalpha() for c in line) or not any(c in " :：=" for c in line.strip()):
        return False
    rest, decimal = _DECIMAL_COMMA.subn("", line)
    return "," not in rest or (decimal > 0 and rest.count(",") == rest.count(", "))


_ENDS_IN_CM = re.compile(r"\d\s*[cm]m\s*$", re.IGNORECASE)
_BEGINS_IN_INCHES = re.compile(r"^\s*\d[\d\s./⁄½¼¾⅛⅜⅝⅞-]*\s*(?:in\b|inch|[\"″”“]|'')", re.IGNORECASE)
_WORDS_AND_DIGIT = re.compile(r"[^\W\d_]{2}.*\d$", re.DOTALL)
_TOLD = re.compile(r"[^\W\d_]{2}.*[:=]\s*\d{1,3}$", re.DOTALL)
_MARKED_AHEAD, _MARKED_BEHIND = re.compile(r"\s[-–/|]\s+\d{1,3}$"), re.compile(r"\d{1,2}(?:\s+[-–/|]\s|$)")
_TENTHS = re.compile(r"\d{1,2}\s*(?:[cm]m)?\s*", re.IGNORECASE)
_DIGITS_AND_WORDS = re.compile(r"^\d{1,2}(?!\d).*[^\W\d_]{3}", re.DOTALL)


def _parts_of_one_figure(left: str, right: str, delimiter: str) -> bool:
    """Whether two cells were one figure: "Bund 34" and "5; Hüfte 46", "44 - 108" and "0 - 81",
    or "25 cm" and "9 7/8 in" around a bar."""
    if delimiter == ",":
        told = _TOLD.search(left) and _TENTHS.fullmatch(right)
        told = told or (_MARKED_AHEAD.search(left) and _MARKED_BEHIND.match(right))
        return bool(told or (_WORDS_AND_DIGIT.search(left) and _DIGITS_AND_WORDS.match(right)))
    if delimiter == "|" and "|" not in left:
        return bool(_ENDS_IN_CM.search(left) and _BEGINS_IN_INCHES.match(right))
    return False


def _split_quickly(line: str, delimiter: str) -> list[str]:
    if '"' not in line:
        return line.split(delimiter)
    try:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error:
        return line.split(delimiter)


def _holds_other_delimiter(cell: str, delimiter: str) -> bool:
    """A tab, semicolon, bar or comma left inside a cell, unless it is prose or a decimal comma."""
    for other in "\t;|^":
        if other != delimiter and other in cell and cell.count(other) != cell.count(other + " "):
            return True
    if delimiter == "," or "," not in cell:
        return False
    return len(re.findall(r",(?=\S)", cell)) - len(re.findall(r"\d,\d{1,3}(?!\d)", cell)) > 0 or bool(
        re.search(r"\d,\d+,\d", cell)
    )


def _goes_on_as_prose(row: Sequence[str]) -> bool:
    """True where the cells are parts of one sentence: words go on in small letters after a blank."""
    if any(cell.count("(") > cell.count(")") for cell in row[:-1]):
        return True  # "size (flat, cm)"
    if _BULLET.match(row[0]):
        return True
    later = [cell for cell in row[1:] if cell.strip()]
    going_on = sum(
        cell[0] == " "
        and (not _FIGURE.match(cell) or len(cell.split()) > 3)
        and (len(cell.split()) > 1 or cell.strip()[0].islower())
        for cell in later
    )
    if not later:
        return len(row) == 2 and bool(re.fullmatch(r"[^\W\d_]+(?: [^\W\d_]+){0,3}", row[0].strip()))  # "Hello Bea,"
    return going_on * 2 > len(later)


# ---- records ----------------------------------------------------------------------------------------------------


def split_records(lines: Sequence[str], delimiter: str) -> Iterator[tuple[list[str], int]]:
    """Fields and number of physical lines of each record in turn; a blank line is a record without fields."""
    if delimiter == TAB_RUN:
        lines, delimiter = [re.sub("\t+", "\t", line) for line in lines], "\t"
    if not delimiter:
        yield from (([line] if line.strip() else [], 1) for line in lines)
    elif not any('"' in line for line in lines):
        yield from ((line.split(delimiter) if line.strip() else [], 1) for line in lines)
    else:
        by_the_book = _read_by_the_book(lines, delimiter)
        yield from by_the_book if by_the_book is not None else _read_tolerantly(lines, delimiter)


def _read_by_the_book(lines: Sequence[str], delimiter: str) -> list[tuple[list[str], int]] | None:
    """All records as RFC 4180 has them, or None where any of it looks like a stray quote sign."""
    reader = _open_reader(lines, delimiter, strict=True)
    records: list[tuple[list[str], int]] = []
    done = 0
    doubtful = swallowed = False
    wrapped = True
    before, after = delimiter + '"', '"' + delimiter
    try:
        for fields in reader:
            spans, first = reader.line_num - done, done
            done = reader.line_num
            doubtful = doubtful or any('"' in f and (before in f or after in f) for f in fields)
            swallowed = swallowed or (spans > 1 and _swallowed_lines(fields, delimiter))
            wrapped = wrapped and (not fields or (lines[first][:1] == '"' == lines[done - 1].rstrip()[-1:]))
            records.append((fields, spans))
    except csv.Error:
        return None
    even = len({len(fields) for fields, _ in records if len(fields) > 1}) == 1 and len(records) > 2
    if even and wrapped:  # a program that quotes every field does not forget to double
        return records
    return None if swallowed or (doubtful and not even) else records


def _open_reader(lines: Sequence[str], delimiter: str, *, strict: bool) -> Reader:
    csv.field_size_limit(10_000_000)
    stream = io.StringIO("\n".join(lines) + "\n", newline="")
    return csv.reader(stream, delimiter=delimiter, strict=strict, skipinitialspace=delimiter != "\t")


def _swallowed_lines(fields: Sequence[str], delimiter: str) -> bool:
    """True where a field with line breaks looks like whole records.

    A stray quote is closed by the next stray one, often in the same column: so the last line of what it swallowed
    begins with a label and holds as many delimiters as stand before the field.
    """
    for column, text in enumerate(fields):
        if "\n" not in text:
            continue
        parts = text.split("\n")
        if len(parts) > _LONGEST_QUOTED:
            return True
        last = parts[-1].split(delimiter)
        if len(last) > 1 and last[0].strip() and (len(last) - 1 == column or len(last) >= len(fields)):
            return True
    return False


def _read_tolerantly(lines: Sequence[str], delimiter: str) -> Iterator[tuple[list[str], int]]:
    width = _usual_width(lines, delimiter)
    number = 0
    while number < len(lines):
        line = lines[number]
        if '"' not in line:
            yield (line.split(delimiter) if line.strip() else []), 1
            number += 1
            continue
        fields, spans = _best_reading(lines, number, delimiter, width)
        yield fields, spans
        number += spans


def _usual_width(lines: Sequence[str], delimiter: str) -> int:
    """The commonest number of fields: of lines without quote signs where there are enough, else of all readings."""
    plain = Counter(line.count(delimiter) + 1 for line in lines if '"' not in line and delimiter in line)
    if plain.total() >= 2:
        return plain.most_common(1)[0][0]
    loose = plain + Counter(len(_split_loosely(line, delimiter)) for line in lines if '"' in line)
    return loose.most_common(1)[0][0] if loose else 1


def _best_reading(lines: Sequence[str], number: int, delimiter: str, width: int) -> tuple[list[str], int]:
    """The first reading of the record at `number` that has the file's width; else the one that comes nearest."""
    readings: list[tuple[int, int, list[str], int]] = []
    book = _read_one_by_the_book(lines, number, delimiter)
    ways: tuple[Callable[[str, str], list[str]], ...] = (_split_loosely, _split_plainly)
    tries = [*([book] if book else []), *((way(lines[number], delimiter), 1) for way in ways)]
    for rank, (fields, spans) in enumerate(tries):
        swallowed = any('"' in f and (delimiter + '"' in f or '"' + delimiter in f) for f in fields)
        swallowed = swallowed or (spans > 1 and _swallowed_lines(fields, delimiter))
        readings.append((abs(len(fields) - width) + (1 if swallowed else 0), rank, fields, spans))
    _, _, fields, spans = min(readings, key=lambda reading: reading[:2])
    return fields, spans


def _read_one_by_the_book(lines: Sequence[str], number: int, delimiter: str) -> tuple[list[str], int] | None:
    reader = _open_reader(lines[number : number + _LONGEST_QUOTED], delimiter, strict=True)
    try:
        return next(reader), reader.line_num
    except (csv.Error, StopIteration):
        return None


def _split_loosely(line: str, delimiter: str) -> list[str]:
    """A quote opens only at a field's start and closes only before a delimiter; ``"30""`` is 30 and an inch mark."""
    closing = re.compile(r'("+)[ ]*(?=' + re.escape(delimiter) + r"|$)")
    fields: list[str] = []
    start = 0
    while True:
        opening = len(line) - len(line[start:].lstrip(" "))
        close = closing.search(line, opening + 1) if line[opening : opening + 1] == '"' else None
        if close:
            inside = line[opening + 1 : close.start()] + '"' * (len(close[1]) // 2)
            fields.append(inside.replace('""', '"') if '""' in line[opening + 1 : close.start()] else inside)
            end = close.end()
        else:
            end = line.find(delimiter, start)
            end = len(line) if end < 0 else end
            fields.append(line[start:end])
        if end >= len(line):
            return fields
        start = end + len(delimiter)


def _split_plainly(line: str, delimiter: str) -> list[str]:
    """Every delimiter counts; a field wrapped in quotes on both ends loses them."""
    fields = []
    for field in line.split(delimiter):
        bare = field.strip()
        wrapped = len(bare) > 1 and bare[0] == bare[-1] == '"'
        fields.append(bare[1:-1].replace('""', '"') if wrapped else field)
    return fields
