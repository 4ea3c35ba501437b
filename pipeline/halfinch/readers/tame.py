"""Signs that steer a terminal or turn the reading order are no part of what a sheet says: a text is what a person sees.

In: a Sheet as its reader made it. Out: the same with blanks where control signs stood, and without marks of direction.
"""

from __future__ import annotations

import re
from dataclasses import replace

from halfinch.sheet import Cell, Grid, Sheet, Text

_CONTROLS = re.compile("[\x00-\x08\x0e-\x1f\x7f-\x84\x86-\x9f]")
"""C0 and C1 without tabs and the ends of lines (Unicode 16, table 23-1 and UAX 14)."""
_TURNS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Bidirectional controls (UAX 9): with them "30" may be shown as "03"."""


def tame_text(text: str) -> str:
    """The text without signs that steer; itself where it has none."""
    if text.isprintable():
        return text
    return _TURNS.sub("", _CONTROLS.sub(" ", text))


def tame(sheet: Sheet) -> Sheet:
    """The sheet with every text, cell, caption and place in it tamed; itself where there is nothing to tame."""
    grids = tuple(_tame_grid(grid) for grid in sheet.grids)
    texts = tuple(_tame_block(text) for text in sheet.texts)
    meta = {key: tame_text(value) for key, value in sheet.meta.items()}
    same = all(a is b for a, b in zip((*grids, *texts), (*sheet.grids, *sheet.texts), strict=True))
    return sheet if same and meta == sheet.meta else replace(sheet, grids=grids, texts=texts, meta=meta)


def _tame_block(text: Text) -> Text:
    said, place = tame_text(text.text), tame_text(text.place)
    return text if said == text.text and place == text.place else replace(text, text=said.strip(), place=place)


def _tame_cell(cell: Cell) -> Cell:
    said, place = tame_text(cell.text), tame_text(cell.place)
    if said == cell.text and place == cell.place:
        return cell
    return replace(cell, text=said.strip(), place=place)


def _tame_grid(grid: Grid) -> Grid:
    cells = tuple(_tame_cell(cell) for cell in grid.cells)
    caption, place = tame_text(grid.caption), tame_text(grid.place)
    if caption == grid.caption and place == grid.place and all(a is b for a, b in zip(cells, grid.cells, strict=True)):
        return grid
    return replace(grid, cells=cells, caption=caption, place=place)
