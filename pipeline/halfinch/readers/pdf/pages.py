"""What only shows across pages: running heads and feet, page numbers, tables that go on."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from halfinch.readers.pdf.layout import Turned, line_words
from halfinch.readers.pdf.lines import Line
from halfinch.readers.pdf.model import PageBlocks, TableBlock, TextBlock
from halfinch.sheet import Cell, Grid, Text, place

EDGE = 0.13  # part of the page's height at either end where running heads and feet stand
EDGE_LINES = 4
SAME_HEIGHT = 4.0  # points that a running line may move between pages
SAME_COLUMN = 6.0  # points that a column's side may move between pages of one drawn table

_DIGITS = re.compile(r"\d+")
_PAGE_NUMBER = re.compile(
    r"^\W*(?:[^\W\d]{1,8}\.?\s*)?(\d{1,4})(?:\s*(?:/|of|von|de|di|sur|av|z|van|-|–)\s*\d{1,4})?\W*$", re.I
)

Signature = tuple[str, int]


def edge_lines(page: Turned) -> list[Line]:
    """Lines near the upper and lower end of a page that stand off from the rest, outermost first."""
    found: list[Line] = []
    for lines, down in ((page.lines, True), (page.lines[::-1], False)):
        near = [line for line in lines[: EDGE_LINES + 2] if (line.base / max(page.high, 1)) % 1 < EDGE or not down]
        if not down:
            near = [line for line in lines[: EDGE_LINES + 2] if line.base > (1 - EDGE) * page.high]
        best = 0
        for i in range(min(EDGE_LINES, len(near))):
            after = lines[i + 1] if i + 1 < len(lines) else None
            beyond = lines[i + 2] if i + 2 < len(lines) else None
            gap = abs(after.base - near[i].base) if after is not None else 1e9
            step = abs(beyond.base - after.base) if after is not None and beyond is not None else 0.0
            if gap >= 1.7 * near[i].size and gap >= 1.25 * min(step, 3 * near[i].size):
                best = i + 1
        found.extend(near[:best])
    return found


def signatures(page: Turned) -> set[Signature]:
    """What the edge lines look like, digits masked, with their height."""
    return {(_mask(line), round(line.base / SAME_HEIGHT)) for line in edge_lines(page)}


def _mask(line: Line) -> str:
    return _DIGITS.sub("#", line.text)


def find_chrome(page: Turned, before: set[Signature], after: set[Signature]) -> set[int]:
    """Ids of words of running heads, feet and page numbers, by comparison with the pages before and after."""
    chrome: set[int] = set()
    for line in edge_lines(page):
        text, height = _mask(line), round(line.base / SAME_HEIGHT)
        repeated = any((text, height + d) in side for side in (before, after) for d in (-1, 0, 1))
        number = _PAGE_NUMBER.match(line.text)
        is_number = number is not None and int(number.group(1)) == page.number
        if repeated or (is_number and (line is page.lines[-1] or line is page.lines[0])):
            chrome.update(id(word) for word in line_words(line))
    return chrome


@dataclass(slots=True)
class Assembly:
    """Grids and texts of the pages so far."""

    grids: list[Grid] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    order: int = 0
    last: TableBlock | None = None
    """The table that ends the page before, if nothing but chrome follows it."""
    caption: str = ""
    """The text right above that table."""

    def add(self, page: PageBlocks) -> None:
        """Append one page's blocks."""
        self.warnings.extend(page.warnings)
        open_end, above, first, table_number = self.last, "", True, 0
        self.last = None
        for block in page.blocks:
            self.order += 1
            if isinstance(block, TextBlock):
                self._add_text(block, page.number)
                if not block.running and block.kind != "chrome":
                    if first and open_end is not None and block.text == self.caption:
                        continue
                    first, above, self.last = False, block.text, None
                continue
            table_number += 1
            goes_on = first and open_end is not None and same_columns(open_end, block)
            self._add_table(block, page.number, table_number, goes_on)
            self.last, first = block, False
            self.caption = self.caption if goes_on else above

    def _add_text(self, block: TextBlock, page: int) -> None:
        spot = place(text=len(self.texts) + 1)
        self.texts.append(
            Text(block.text, self.order, block.kind, block.level, page, block.box, spot, frozenset(block.marks))
        )

    def _add_table(self, block: TableBlock, page: int, number: int, goes_on: bool) -> None:
        cells = tuple(
            Cell(c.text, c.row, c.column, c.row_span, c.column_span,
                 c.place if "page=" in c.place else place(page=page, table=number, row=c.row, col=c.column),
                 c.marks, box=c.box)
            for c in block.cells
        )  # fmt: skip
        spot = place(page=page, table=number)
        self.grids.append(Grid(cells, self.order, page, block.box, "", spot, block.marks, goes_on))


def same_columns(one: TableBlock, two: TableBlock) -> bool:
    """True when two tables have the same columns at the same places."""
    if len(one.columns) != len(two.columns):
        return False
    if one.drawn and two.drawn:
        pairs = zip(one.columns, two.columns, strict=True)
        return all(abs(a[0] - b[0]) <= SAME_COLUMN and abs(a[1] - b[1]) <= SAME_COLUMN for a, b in pairs)
    overlaps = (min(a[1], b[1]) - max(a[0], b[0]) for a, b in zip(one.columns, two.columns, strict=True))
    left = abs(one.columns[0][0] - two.columns[0][0])
    return all(overlap > 0 for overlap in overlaps) and left <= 2 * SAME_COLUMN
