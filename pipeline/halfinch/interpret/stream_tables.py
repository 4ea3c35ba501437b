"""The tables in a stream of text: sizes first, then rows; or a record a size; or labels first, then a line a size.

In: neighbouring texts. Out: grids, and what of the texts is left.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from halfinch.interpret.facets import Reader
from halfinch.interpret.stream_headings import labels_first
from halfinch.interpret.stream_lines import lined_table
from halfinch.interpret.stream_rows import Row, cut_rows, figures_in
from halfinch.interpret.streams import EDGE, Found, Head, Piece, Stream, find_heads
from halfinch.knowledge.folding import fold
from halfinch.normalise.numbers import FoundNumber, read_number
from halfinch.sheet import Cell, Grid, Text

_OPENS = re.compile(r"\d{1,2}[.)]|(?:1/2|1⁄2|½)\s|[A-Z]{1,2}\d{1,3}\s")
"""What may stand between the last size and the first label: the number or code of the row, half of a girth."""
_BARS = re.compile(r"\|\|?|\t")
_TOLD = re.compile(r"\s*\)?\s*(?:[:：]|[-–—=]\s|[,.]\s)")
_TOLD_BARE = re.compile(r"\s*(?::|：|[-–—=]\s)")
"""What stands behind a size that is the head of a record, and behind one without a word for it."""
LEAST_SHARED = 0.5
"""Share of labels that the records of one table have in common."""


def find_tables(stream: Stream, reader: Reader) -> list[Found]:
    """Tables in the order they stand in; they do not overlap."""
    if sum(char.isdigit() for char in stream.text) < 4 or not _letters_in(stream.text):
        return []
    heads = find_heads(stream, reader)
    lined = {one.start: one for line in stream.lines if (one := lined_table(stream, line, reader)) is not None}
    kinds = [figures_in(stream, reader)] if heads else []
    if heads and _BARS.search(stream.text):
        kinds.append(figures_in(stream, reader, _BARS))
    barriers = [one.start for one in heads if one.word and one.sure and _begins_another(stream, one)]
    found: list[Found] = []
    at = 0
    for start in sorted({*lined, *(head.start for head in heads)}):
        if start < at:
            continue
        ways = [lined[start]] if start in lined else []
        later = heads[bisect_left(heads, start, key=lambda head: head.start) :]
        if later and later[0].start == start:
            others = barriers[bisect_right(barriers, start) :]
            ways += [way for numbers in kinds for way in _ways(stream, later, numbers, others, reader)]
            ways += labels_first(stream, later[0], kinds[0], reader)
        best = max(ways, key=lambda one: one.worth, default=None)
        if best is not None:
            found.append(best)
            at = best.end
    return found


def _ways(
    stream: Stream, heads: list[Head], numbers: list[FoundNumber], barriers: list[int], reader: Reader
) -> Iterator[Found]:
    yield from sizes_first(stream, heads[0], numbers, barriers, reader)
    records = a_record_a_size(stream, heads, numbers, reader)
    if records is not None:
        yield records


def sizes_first(
    stream: Stream, head: Head, numbers: list[FoundNumber], barriers: list[int], reader: Reader
) -> Iterator[Found]:
    """ "Size S M L Waist 28 29 30 Inseam 30 30 30": every number of sizes that the run may have. `barriers`: where
    another table or record begins behind this head."""
    text = stream.text
    for run in head.runs:
        for count in range(len(run), 1, -1):
            if count < len(run) and not _OPENS.match(text, run[count].start):
                continue  # "Size 4 6 8 1. Waist": the last number is the number of the first row
            sizes = run[:count]
            rows = _usable(cut_rows(stream, sizes[-1].end, len(text), count, numbers, reader, barriers), reader)
            good = [row for row in rows if row.good]
            if len(good) * 2 <= len(rows) or not _is_enough(good, stream, head, reader):
                continue
            top = ((head.word or "", head.start), *((size.text, size.start) for size in sizes))
            lines = [(_label(row), *_texts(stream, row, count)) for row in rows]
            worth = sum(row.worth for row in rows) * count
            yield Found(head.start, rows[-1].end, (top, *lines), worth)


def _begins_another(stream: Stream, head: Head) -> bool:
    """Whether a word for sizes opens a line or a record of its own."""
    return bool(head.runs) and (stream.opens_line(head.start) or _told_size(stream, head) is not None)


def _is_enough(good: list[Row], stream: Stream, head: Head, reader: Reader) -> bool:
    """Two points of ours, or one under a word for sizes whose figures grow: a shop's filter ("Waist 24 25 26, Inseam
    28 30") tells less."""
    ours = [
        (read.point.point, row) for row in good if (read := reader.read(row.label)).is_ours and read.point is not None
    ]
    if len({point for point, _ in ours}) > 1:
        return True
    return bool(ours) and bool(head.word) and head.sure and _grows(stream.text, ours[0][1])


def _grows(text: str, row: Row) -> bool:
    values = [read_number(text[start:end]) for start, end in row.figures]
    known = [one.value for one in values if one is not None and one.value is not None]
    return len(known) == len(row.figures) and all(a < b for a, b in pairwise(known))


def _usable(rows: tuple[Row, ...], reader: Reader) -> tuple[Row, ...]:
    """The rows up to the last that is surely one (a point of ours, or a known label with as many figures as sizes), and
    before any label comes again."""

    def is_sure(row: Row) -> bool:
        read = reader.read(row.label)
        return read.is_ours or (row.good and read.is_label)

    labels = [fold(row.label) for row in rows]
    rows = rows[: next((at for at, label in enumerate(labels) if label in labels[:at]), len(rows))]
    last = max((at for at, row in enumerate(rows) if is_sure(row)), default=-1)
    return rows[: last + 1]


def _label(row: Row) -> tuple[str, int]:
    return row.label, row.start


def _texts(stream: Stream, row: Row, count: int) -> list[tuple[str, int]]:
    """The figures of a row as printed; too many stand in one cell, where nobody takes them for figures."""
    texts = [(stream.text[start:end], start) for start, end in row.figures]
    if row.doubt:
        last, start = texts[-1]
        texts[-1] = (f"{last.rsplit(None, 1)[0]} / {last}", start)  # two figures in one cell: a person says which
    return texts if len(texts) <= count else [(" ".join(text for text, _ in texts), texts[0][1])]


def a_record_a_size(stream: Stream, heads: list[Head], numbers: list[FoundNumber], reader: Reader) -> Found | None:
    """ "Size S: waist 28, hip 38. Size M: waist 29, hip 39": label and figure after each size."""
    records: list[tuple[Piece, tuple[Row, ...]]] = []
    seen: set[str] = set()
    known: set[str] = set()
    if _told_size(stream, heads[0]) is None:
        return None
    leads = ((head, size) for head in heads if (size := _told_size(stream, head)) is not None)
    lead, following = next(leads), next(leads, None)
    while True:
        head, size = lead
        stop = following[0].start if following else len(stream.text)
        rows = _usable(cut_rows(stream, head.after if head.told else size.end, stop, 1, numbers, reader), reader)
        if records and following is None:
            # What follows the last record may look like more of it: "Low rise: 7 - 9 in".
            end = next((at for at, row in enumerate(rows) if fold(row.label) not in known), len(rows))
            rows = rows[:end]
        labels = {fold(row.label) for row in rows}
        if not rows or not all(row.good for row in rows) or len(labels) < len(rows) or fold(size.text) in seen:
            break
        first = {fold(row.label) for row in records[0][1]} if records else labels
        if len(first & labels) < LEAST_SHARED * max(len(first), len(labels)):
            break
        seen.add(fold(size.text))
        known |= labels
        records.append((size, rows))
        if following is None or _letters_in(stream.text[rows[-1].end : stop]) > 0:
            break  # a remark behind the figures ends the table
        lead, following = following, next(leads, None)
    if len(records) < 2 or not any(reader.read(row.label).is_ours for row in records[0][1]):
        return None
    columns = list({fold(row.label): _label(row) for _, rows in reversed(records) for row in rows}.values())
    keys = [fold(label) for label, _ in columns]
    word = heads[0].word if heads[0].sure or not heads[0].word else "Size"  # "Taille 34:" before each record
    lines = [((word, heads[0].start), *columns)]
    for size, rows in records:
        cells = {fold(row.label): _texts(stream, row, 1)[0] for row in rows}
        lines.append(((size.text, size.start), *(cells.get(key, ("", size.start)) for key in keys)))
    worth = sum(row.worth for _, rows in records for row in rows)
    return Found(heads[0].start, records[-1][1][-1].end, tuple(tuple(line) for line in lines), worth)


def _letters_in(text: str) -> int:
    return sum(char.isalpha() for char in text)


def _told_size(stream: Stream, head: Head) -> Piece | None:
    """The one size at the head of a record, the longest way to read it that a colon, a dash or the line's end ends."""
    if head.told:
        return head.runs[0][0]
    mark = _TOLD if head.word and head.sure else _TOLD_BARE
    alone = stream.opens_line(head.start)
    for run in reversed(head.runs):
        end = run[0].end
        if mark.match(stream.text, end) or (alone and not stream.text[end : stream.end_of_line(end)].strip(EDGE)):
            return run[0]
    return None


def make_grids(stream: Stream, found: list[Found]) -> list[Grid | Text]:
    """The stream as grids and the texts that are left, in reading order; a cell keeps the place of its text."""
    blocks: list[Grid | Text] = []
    at = 0
    for one in [*found, None]:
        blocks.extend(_left_over(stream, at, one.start if one else len(stream.text)))
        if one is not None:
            blocks.append(_grid(stream, one))
            at = one.end
    return blocks


def _grid(stream: Stream, found: Found) -> Grid:
    cells = tuple(
        Cell(text=text, row=row, column=column, place=_at(stream, start).place, marks=_at(stream, start).marks)
        for row, line in enumerate(found.lines, start=1)
        for column, (text, start) in enumerate(line, start=1)
        if text
    )
    first = _at(stream, found.start)
    return Grid(cells=cells, order=first.order, page=first.page)


def _at(stream: Stream, position: int) -> Text:
    return stream.texts[max(i for i, start in enumerate(stream.starts) if start <= position)]


def _left_over(stream: Stream, start: int, end: int) -> Iterator[Text]:
    """The texts between two places of the stream, the first and the last of them perhaps in part."""
    for text, begin in zip(stream.texts, stream.starts, strict=True):
        low, high = max(start, begin), min(end, begin + len(text.text))
        if low < high and (part := text.text[low - begin : high - begin].strip(" ,;.|·")):
            yield replace(text, text=part if (low, high) != (begin, begin + len(text.text)) else text.text)
