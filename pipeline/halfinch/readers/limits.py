"""What is more than any measurement sheet holds is left out, and said: the rest is read in time.

In: a Sheet as its reader made it. Out: the same, with long texts in pieces, and a warning for what was left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from halfinch.sheet import DATA, Grid, Sheet, Text

LONGEST_TEXT = 20_000
"""Characters read together: six printed pages. Longer texts are read in pieces that end with a line or sentence."""
LONGEST_CELL = 32_767
"""Characters: what a cell of a spreadsheet can hold."""
MOST_TEXT = 3_000_000
"""Characters of a sheet's texts together: a thousand printed pages."""
MOST_COLUMNS = 1_000
"""Of one table. The widest honest ones (sizes by lengths, two units) have about a hundred."""
MOST_GRIDS = 10_000
"""Tables of one sheet: ten a page in a thousand pages."""
MOST_TOLD = 5
_ENDS = re.compile(r"\n+|(?<=[.!?。！？;；])\s+")


def within_limits(sheet: Sheet) -> Sheet:
    """The sheet without what is more than `LONGEST_TEXT` and the others above; itself where nothing is."""
    wide = any(grid.columns > MOST_COLUMNS for grid in sheet.grids)
    long = any(len(text.text) > LONGEST_TEXT for text in sheet.texts)
    full = any(len(cell.text) > LONGEST_CELL for grid in sheet.grids for cell in grid.cells)
    much = sum(len(text.text) for text in sheet.texts) > MOST_TEXT
    if not (wide or long or full or much or len(sheet.grids) > MOST_GRIDS):
        return sheet
    told: list[str] = []
    grids = tuple(_narrow(grid, told) for grid in sheet.grids[:MOST_GRIDS])
    texts = tuple(_read_on(sheet.texts, told))
    if len(sheet.grids) > MOST_GRIDS:
        told.append(f"It holds {len(sheet.grids):,} tables; those behind the first {MOST_GRIDS:,} were left out.")
    if len(told) > MOST_TOLD:
        told[MOST_TOLD:] = [f"{len(told) - MOST_TOLD:,} more such parts were left out."]
    return replace(sheet, grids=grids, texts=texts, warnings=(*sheet.warnings, *told))


def _narrow(grid: Grid, told: list[str]) -> Grid:
    cells = grid.cells
    if grid.columns > MOST_COLUMNS:
        wide = (
            f"A table has {grid.columns:,} columns ({grid.place}); those behind column {MOST_COLUMNS:,} were left out."
        )
        told += [] if DATA in grid.marks else [wide]  # lists behind a page that nobody sees
        cells = tuple(cell for cell in cells if cell.column + cell.column_span - 1 <= MOST_COLUMNS)
    for cell in cells:
        if len(cell.text) > LONGEST_CELL:
            told.append(
                f"A cell of {len(cell.text):,} characters ({cell.place}) was left out: no figure needs so many."
            )
    cells = tuple(cell for cell in cells if len(cell.text) <= LONGEST_CELL)
    return grid if len(cells) == len(grid.cells) else replace(grid, cells=cells)


def _read_on(texts: tuple[Text, ...], told: list[str]) -> Iterator[Text]:
    """The texts, long ones in pieces of the same order and place."""
    left = MOST_TEXT
    for text in texts:
        for piece in _pieces(text.text) if len(text.text) > LONGEST_TEXT else (text.text,):
            if len(piece) > LONGEST_TEXT:
                much = f"A text of {len(piece):,} characters without an end of line or sentence"
                told.append(f"{much} ({text.place}) was left out.")
                continue
            left -= len(piece)
            if left < 0:
                told.append(
                    f"It holds more than {MOST_TEXT:,} characters of text; the rest was left out ({text.place})."
                )
                return
            yield replace(text, text=piece) if piece is not text.text else text


def _pieces(text: str) -> Iterator[str]:
    """A text cut where a line or a sentence ends, as long as may be; a sentence may be longer."""
    begin = end = after = 0
    for cut in [*(match.span() for match in _ENDS.finditer(text)), (len(text), len(text))]:
        if cut[0] - begin > LONGEST_TEXT and end > begin:
            yield text[begin:end].strip()
            begin = after
        end, after = cut
        if end - begin > LONGEST_TEXT:
            yield text[begin:end].strip()
            begin = end = after
    if end > begin:
        yield text[begin:end].strip()
