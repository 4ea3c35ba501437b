"""Where tables, titles and notes lie in rows of cells: shared by delimited text and workbooks.

What comes in is a plain list of rows of texts; what goes out says which rectangle is a table and which row is a line
of text, every filled cell exactly once. The signs used are shape only: blank rows, single cells, figures against
words, a header that comes again. Where the signs are weak, rows stay together in one table.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

COVERED = "\ufdd0"
"""Stands in a cell that a merged cell covers: not blank, but no text of its own."""

Rows = Sequence[Sequence[str]]

_FIGURE = re.compile(r"^[\s+\-–±~<>≈('\"½¼¾]*[\d½¼¾]")
_WORD = re.compile(r"[^\W\d_]{4,}")
_NAMES = re.compile(r"(?i)(?<![^\W\d_])(?!inch)[^\W\d_]{3,}")
"""A word behind a figure makes a label of it: "1/2 Hip", "2. Knee"."""
_LONG = 60
_SENTENCE = re.compile(r"[.!?。]\s*$")


@dataclass(frozen=True, slots=True)
class Table:
    """A rectangle of rows and columns, 0-based, ends included."""

    first_row: int
    last_row: int
    first_column: int
    last_column: int


@dataclass(frozen=True, slots=True)
class Line:
    """A row whose only text (at `column`) stands outside the tables; `kind` as in sheet.Text."""

    row: int
    column: int
    kind: str


Block = Table | Line


def find_blocks(
    rows: Rows, *, narrow: frozenset[int] = frozenset(), whole: frozenset[int] = frozenset()
) -> list[Block]:
    """Tables and lines of `rows` in reading order.

    `narrow` are rows that end after their only cell, without the delimiters that pad the others (a sign that the
    row is a title or a note); `whole` are rows of text that a table can never hold.
    """
    finder = _Finder(rows, narrow, whole)
    blocks: list[Block] = []
    for first, last in _chunks(finder):
        blocks += finder.split_chunk(first, last)
    blocks = _titles_to_tables(finder.join_continued(blocks), finder.texts)
    return list(finder.name_lines(blocks))


def _is_label(text: str) -> bool:
    return not _FIGURE.match(text) or _NAMES.search(text) is not None


def _letters(text: str) -> str:
    """What a text says without its figures."""
    return " ".join(re.findall(r"[^\W\d_]+", text)).casefold()


def _titles_to_tables(blocks: Sequence[Block], texts: Sequence[Sequence[int]]) -> list[Block]:
    """Titles that stand in one row over tables set side by side: each right before the table under it."""
    ordered: list[Block] = []
    at = 0
    while at < len(blocks):
        tables = list(_leading_tables(blocks[at:])) or []
        title = ordered[-1] if ordered and len(tables) > 1 else None
        titles: list[Line] = []
        if isinstance(title, Table) and title.first_row == title.last_row:
            titles = [Line(title.first_row, column, "paragraph") for column in texts[title.first_row]]
        if [
            one for line in titles for one in tables if line.column in range(one.first_column, one.last_column + 1)
        ] != (tables[: len(titles)]):
            titles = []
        if titles:
            ordered.pop()
        for number, table in enumerate(tables):
            ordered += [*titles[number : number + 1], table]
        if not tables:
            ordered.append(blocks[at])
        at += len(tables) or 1
    return ordered


def _leading_tables(blocks: Sequence[Block]) -> Iterator[Table]:
    """The tables at the head of `blocks` that stand side by side: in the same rows, each right of the one before."""
    before: Table | None = None
    for block in blocks:
        if not isinstance(block, Table) or (before is not None and not _beside(before, block)):
            return
        yield block
        before = block


def _beside(left: Table, right: Table) -> bool:
    return (
        left.last_column < right.first_column and right.first_row <= left.last_row and left.first_row <= right.last_row
    )


def _chunks(finder: _Finder) -> Iterator[tuple[int, int]]:
    """Runs of rows without a blank row between them."""
    for blank, run in groupby(range(len(finder.rows)), key=lambda i: not finder.filled[i]):
        if not blank:
            numbers = list(run)
            yield numbers[0], numbers[-1]


class _Finder:
    def __init__(self, rows: Rows, narrow: frozenset[int], whole: frozenset[int]) -> None:
        self.rows = rows
        self.narrow = narrow
        self.whole = whole
        self.filled = [[j for j, text in enumerate(row) if text] for row in rows]
        self.texts = [
            [j for j in columns if row[j] is not COVERED] for row, columns in zip(rows, self.filled, strict=True)
        ]

    # -- one chunk ------------------------------------------------------------------------------------------------

    def split_chunk(self, first: int, last: int) -> Iterator[Block]:
        """Lines above, the table or tables, lines below."""
        for start, end in self._between_whole_lines(first, last):
            if start in self.whole:
                yield Line(start, self.texts[start][0] if self.texts[start] else 0, "paragraph")
            else:
                for part_start, part_end in self._between_repeated_headers(start, end):
                    yield from self._split_rows(part_start, part_end)

    def _between_whole_lines(self, first: int, last: int) -> Iterator[tuple[int, int]]:
        start = first
        for row in [*(r for r in range(first, last + 1) if r in self.whole), last + 1]:
            if row > start:
                yield start, row - 1
            if row <= last:
                yield row, row
            start = row + 1

    def _split_rows(self, first: int, last: int) -> Iterator[Block]:
        body = [row for row in range(first, last + 1) if len(self.texts[row]) > 1]
        if not body:
            yield from (Line(row, column, "paragraph") for row in range(first, last + 1) for column in self.texts[row])
            return
        left = min(self.filled[row][0] for row in range(first, last + 1))
        top = self._end_of_titles(first, last, left)
        bottom = self._start_of_notes(top, last, left)
        yield from (Line(row, self.texts[row][0], "paragraph") for row in range(first, top) if self.texts[row])
        card_end = self._end_of_card(top, bottom)
        if card_end > top:
            yield self._table(top, card_end - 1)
        pieces = self._side_by_side(self._table(card_end, bottom))
        for piece in pieces:
            yield from self._trim_piece(piece) if len(pieces) > 1 else (piece,)
        yield from (
            Line(row, self.texts[row][0], "paragraph") for row in range(bottom + 1, last + 1) if self.texts[row]
        )

    def _is_lone(self, row: int, left: int) -> bool:
        """One text alone at the left edge, perhaps merged over the columns beside it."""
        return len(self.texts[row]) == 1 and self.texts[row][0] == left

    def _end_of_titles(self, first: int, last: int, left: int) -> int:
        """First row that is not a title. Where the table has section rows, the nearest title is one of them."""
        top = first
        while top < last and self._is_lone(top, left):
            top += 1
        while top > first and not self.texts[top]:
            top -= 1
        sections = any(self._is_lone(row, left) and not self._is_note(row, left) for row in range(top + 1, last))
        return top - 1 if top > first and sections and not self._is_note(top - 1, left) else top

    def _is_note(self, row: int, left: int) -> bool:
        text = self.rows[row][left]
        return len(text) > _LONG or bool(_SENTENCE.search(text))

    def _start_of_notes(self, first: int, last: int, left: int) -> int:
        """Last row of the table: what follows are lone texts that are long, or that end without padding."""
        bottom = last
        while bottom > first and len(self.texts[bottom]) == 1:
            column = self.texts[bottom][0]
            words = len(self.rows[bottom][column].split())
            if not (self._is_note(bottom, column) or (column == left and (bottom in self.narrow or words > 3))):
                break
            bottom -= 1
        return bottom

    def _end_of_card(self, first: int, last: int) -> int:
        """Rows of label and value above a wider table ("Style, Flora") are a card of their own."""
        if last - first < 3:
            return first
        counts = sorted(len(self.texts[row]) for row in range(first, last + 1))
        usual = counts[len(counts) // 2]
        end = first
        while usual > 3 and end < last and self.texts[end][:3] == [0, 1] == self.texts[end]:
            end += 1
        unpadded = all(len(self.rows[row]) < usual for row in range(first, end))
        labelled = all(self.rows[row][0].rstrip().endswith((":", "：")) for row in range(first, end))
        return end if unpadded or labelled or end - first > 1 else first

    def _table(self, first: int, last: int) -> Table:
        filled = [self.filled[row] for row in range(first, last + 1) if self.filled[row]]
        return Table(first, last, min(columns[0] for columns in filled), max(columns[-1] for columns in filled))

    # -- tables below each other ------------------------------------------------------------------------------------

    def _between_repeated_headers(self, first: int, last: int) -> Iterator[tuple[int, int]]:
        """Cut before a title whose next row is a header again, or has quite another width."""
        start = first
        header: int | None = None
        for row in range(first, last + 1):
            if header is None:
                header = row if len(self.texts[row]) > 1 else None
                continue
            if len(self.texts[row]) == 1 and row < last and self._opens_table(row + 1, header, first, row - 1):
                yield start, row - 1
                start, header = row, None
        yield start, last

    def _opens_table(self, row: int, header: int, first: int, last: int) -> bool:
        if len(self.texts[row]) < 2 or last <= header:
            return False
        if len(self.texts[row]) > 2 and self._repeats(row, header):
            return True
        body = max(len(self.texts[r]) for r in range(header, last + 1))
        return row - 1 in self.narrow and len(self.texts[row]) > body

    def _repeats(self, row: int, header: int) -> bool:
        """True where the row says the header again, all of it or its first cell, or shares a word of that cell."""
        mine, theirs = self.rows[row], self.rows[header]
        left = min((line[0] for line in (self.filled[row], self.filled[header]) if line), default=0)
        a, b = (line[left].casefold() if left < len(line) else "" for line in (mine, theirs))
        if a == b or set(_WORD.findall(a)) & set(_WORD.findall(b)):
            return True
        others = [j for j in self.texts[row] if j]
        same = sum(j < len(theirs) and mine[j].casefold() == theirs[j].casefold() for j in others)
        return not a or (len(others) > 1 and same * 2 >= len(others))

    def join_continued(self, blocks: list[Block]) -> list[Block]:
        """Parts of one table that only blank rows or a section's title keep apart become one table again."""
        joined: list[Block] = []
        for block in blocks:
            if isinstance(block, Table):
                before = next((k for k in reversed(range(len(joined))) if isinstance(joined[k], Table)), -1)
                between = joined[before + 1 :] if before >= 0 else []
                table = joined[before] if before >= 0 else None
                if isinstance(table, Table) and self._goes_on(table, block, between):
                    joined[before:] = [replace(table, last_row=block.last_row)]
                    continue
            joined.append(block)
        return joined

    def _goes_on(self, table: Table, part: Table, between: Sequence[Block]) -> bool:
        if len(between) > 1 or any(self._is_note(b.row, b.column) for b in between if isinstance(b, Line)):
            return False
        width = table.last_column - table.first_column
        if width < 2 or part.first_column != table.first_column or part.last_column != table.last_column:
            return False
        header, first = self._header_of(table), part.first_row
        if header is None or len(self.texts[first]) < 2 or self._repeats(first, header):
            return False
        if header == table.last_row:  # a header that a blank row parts from its body
            return not between and table.first_row == header
        body = range(header + 1, table.last_row + 1)
        labels = {self._label(row, table).casefold() for row in body}
        mine = [self._label(row, table).casefold() for row in range(first, part.last_row + 1)]
        met_again = any(label in labels for label in mine)
        # Under a title the same labels may come again; without one, or behind a new first row, that is a new table.
        if met_again and (not between or mine[0] not in labels) and self._label_column_is_words(table, body):
            return False
        return self._alike(first, [row for row in body if len(self.texts[row]) > 1])

    def _label(self, row: int, table: Table) -> str:
        return self.rows[row][table.first_column] if table.first_column < len(self.rows[row]) else ""

    def _label_column_is_words(self, table: Table, body: Sequence[int]) -> bool:
        labels = [label for row in body if (label := self._label(row, table))]
        return len(set(labels)) * 2 > len(labels) and sum(map(_is_label, labels)) * 2 > len(labels)

    def _header_of(self, table: Table) -> int | None:
        return next((row for row in range(table.first_row, table.last_row + 1) if len(self.texts[row]) > 1), None)

    def _alike(self, row: int, body: Sequence[int]) -> bool:
        """True where the row has figures where the body's rows have figures, and words where they have words."""
        if not body:
            return False
        sample = body[-5:]
        matches = 0
        columns = self.texts[row]
        for column in columns:
            figures = [bool(_FIGURE.match(self.rows[r][column])) for r in sample if column in self.texts[r]]
            here = bool(_FIGURE.match(self.rows[row][column]))
            matches += bool(figures) and (sum(figures) * 2 >= len(figures)) == here
        return matches >= 0.7 * len(columns)

    # -- tables beside each other ----------------------------------------------------------------------------------

    def _side_by_side(self, table: Table) -> list[Table]:
        """Split at blank columns, but only where the right part has labels and figures of its own."""
        used = {column for row in range(table.first_row, table.last_row + 1) for column in self.filled[row]}
        pieces: list[Table] = []
        start = table.first_column
        for column in range(table.first_column + 1, table.last_column + 1):
            if column not in used and column + 1 in used:
                left, right = (
                    replace(table, first_column=start, last_column=column - 1),
                    replace(table, first_column=column + 1),
                )
                if self._stands_alone(left, right, column not in used and column - 1 not in used):
                    pieces.append(left)
                    start = column + 1
        pieces.append(replace(table, first_column=start))
        return [self._shrink(piece) for piece in pieces]

    def _stands_alone(self, left: Table, right: Table, wide_gap: bool) -> bool:
        mine, other = self._column(right, right.first_column), self._column(left, left.first_column)
        if not mine or not other or right.first_column == right.last_column or left.first_column == left.last_column:
            return False
        words = [text for text in mine.values() if _is_label(text)]
        other_words = [text for text in other.values() if _is_label(text)]
        if len({_letters(text) for text in words}) < 2:
            return False  # the same word behind every figure is a unit: "70 cm / 27 3/4 Zoll"
        if len(words) < 0.6 * len(mine) or len(other_words) < 0.6 * len(other):
            return False
        right_figures = sum(
            bool(_FIGURE.match(self.rows[row][column]))
            for row in mine
            for column in self.texts[row]
            if column > right.first_column
        )
        if right_figures < 2:
            return False
        shared = {text.casefold() for text in words} & {text.casefold() for text in other_words}
        return wide_gap or len(shared) * 2 >= len(words) or max(mine) != max(other) or min(mine) != min(other)

    def _column(self, table: Table, column: int) -> dict[int, str]:
        return {
            row: self.rows[row][column]
            for row in range(table.first_row, table.last_row + 1)
            if column in self.texts[row]
        }

    def _shrink(self, table: Table) -> Table:
        columns = range(table.first_column, table.last_column + 1)
        inside = [
            (row, j) for row in range(table.first_row, table.last_row + 1) for j in self.filled[row] if j in columns
        ]
        rows, used = [row for row, _ in inside], [column for _, column in inside]
        return Table(min(rows), max(rows), min(used), max(used))

    def _trim_piece(self, table: Table) -> Iterator[Block]:
        """A lone title on top of one of several tables side by side is that table's heading."""
        first = table.first_row
        while first < table.last_row:
            inside = [j for j in self.texts[first] if table.first_column <= j <= table.last_column]
            if inside != [table.first_column]:
                break
            yield Line(first, table.first_column, "paragraph")
            first += 1
        yield self._shrink(replace(table, first_row=first))

    # -- lines ------------------------------------------------------------------------------------------------------

    def name_lines(self, blocks: Sequence[Block]) -> Iterator[Block]:
        """A short line that leads to a table is its heading; any other line is a paragraph."""
        leads = False
        named: list[Block] = []
        for block in reversed(blocks):
            if isinstance(block, Line):
                heading = leads and block.row not in self.whole and not self._is_note(block.row, block.column)
                named.append(replace(block, kind="heading" if heading else block.kind))
                leads = leads and heading
            else:
                named.append(block)
                leads = True
        return reversed(named)
