"""Keys beside a drawing: "A Waist, laid flat" in the text, A to G as headings of the table.

In: a sheet. Out: code -> label text, for codes that the sheet itself explains.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from halfinch.interpret.facets import Reader
from halfinch.sheet import Cell, Grid, Sheet

LEAST_KEYS = 3
_ENTRY = re.compile(
    r"\s*\(?([A-Z]{1,2}|[A-Z]?\d{1,2}[a-z]?|[①-⑳])\)?\s*(?:[.:=)–—-]\s*|\s+)((?:1/2|½|\D).{2,80}|[\u3040-\u30ff\u4e00-\u9fff\uac00-\ud7a3]{1,2})"
)
_SPLIT = re.compile(r"[;\n|]|\s+(?=[A-Z]\s*[-–=:]\s)|(?<=[a-z)]),\s+(?=[A-Z]\s*[=:])")
_NUMBER = re.compile(r"\d[\d.,]*")
"""Several of them behind a label are the figures of its row: "1. Waist 73 75 78"."""
_FIGURE = re.compile(r"[:=：]\s*[\d½¼¾⅛⅜⅝⅞][\d\s.,/⁄½¼¾⅛⅜⅝⅞]*(?:[^\W\d_]{1,6}\.?|[\"”″'’]+)?(?:\s*[/|(].*)?$")
"""A figure at the end, behind a colon: a row under a code, and no key."""
_LEAD = re.compile(r"^[^\W\d_]+\s*:\s+(?=[A-Z]\s*[=:])")


def find_legend(sheet: Sheet, reader: Reader) -> dict[str, str]:
    """The keys that the sheet explains, each once: three of them or more, or the first two; {} where there are none."""
    found: dict[str, str] = {}
    doubled: set[str] = set()
    for text in [one.text for one in sheet.texts if one.kind != "chrome"] + [
        line for grid in sheet.grids for line in grid_lines(grid)
    ]:
        for code, label in (one for part in _split(text) if (one := _entry(part, reader)) is not None):
            if found.get(code, label) != label:
                doubled.add(code)
            found[code] = label
    keys = {code: label for code, label in found.items() if code not in doubled}
    return keys if len(keys) >= LEAST_KEYS or set(keys) in ({"A", "B"}, {"1", "2"}) else {}


def apply_legend(sheet: Sheet, reader: Reader) -> Sheet:
    """The sheet with the labels in its tables in place of the keys, and without the texts that only explain these:
    they are no names, no notes and no figures."""
    legend = find_legend(sheet, reader)
    if not legend:
        return sheet

    def is_key(text: str) -> bool:
        entries = [_entry(part, reader) for part in _split(text) if part.strip()]
        return bool(entries) and all(one is not None and one[0] in legend for one in entries)

    return replace(
        sheet,
        grids=tuple(spell_keys(grid, legend, reader) for grid in sheet.grids),
        texts=tuple(text for text in sheet.texts if not is_key(text.text)),
    )


def spell_keys(grid: Grid, legend: Mapping[str, str], reader: Reader) -> Grid:
    """Labels for keys, in lines that hold at least three of them and are no run of sizes: S, M and L may be both."""
    lines: dict[tuple[str, int], list[Cell]] = {}
    for cell in grid.cells:
        if cell.text.strip():
            lines.setdefault(("row", cell.row), []).append(cell)
            lines.setdefault(("column", cell.column), []).append(cell)
    spelled: dict[int, Cell] = {}
    for cells in lines.values():
        keyed = [cell for cell in cells if cell.text.strip(" .:()") in legend]
        sizes = sum(reader.read(cell.text).size is not None for cell in cells)
        if len(keyed) >= min(LEAST_KEYS, len(legend)) and sizes * 2 < len(cells):
            spelled |= {id(cell): replace(cell, text=legend[cell.text.strip(" .:()")]) for cell in keyed}
    if not spelled:
        return grid
    return replace(grid, cells=tuple(spelled.get(id(cell), cell) for cell in grid.cells))


def _split(text: str) -> list[str]:
    return [part for part in _SPLIT.split(_LEAD.sub("", text)) if part is not None]


def _entry(part: str, reader: Reader) -> tuple[str, str] | None:
    """Key and label of one entry, None for any other text."""
    match = _ENTRY.fullmatch(part.strip())
    if match is None:
        return None
    code, label = match.group(1), match.group(2).strip(" .,;")
    told = part.strip()[: match.start(2) - match.start()].strip(" ()") != code
    if not told and not reader.read(label).is_ours and any(char.isdigit() for char in label):
        return None  # "A model of 1,76 m"
    point = reader.read(label).point
    if _FIGURE.search(label):
        return None  # "T03 Waistband (half): 36.5 cm"
    if point is None or len(_NUMBER.findall(point.rest)) > 1 or (label[:1].isdigit() and not label.startswith("1/2")):
        return None
    return code, label


def grid_lines(grid: Grid) -> list[str]:
    """Rows of two cells as "key label": a legend is often a small table of its own."""
    rows: dict[int, list[str]] = {}
    for cell in grid.cells:
        if cell.text:
            rows.setdefault(cell.row, []).append(cell.text)
    return [f"{cells[0]} {cells[1]}" for cells in rows.values() if len(cells) == 2]
