"""Keys beside a drawing: "A Waist, laid flat" in the text, A to G as headings of the table.

In: a sheet. Out: code -> label text, for codes that the sheet itself explains.
"""

from __future__ import annotations

import re

from halfinch.interpret.facets import Reader
from halfinch.sheet import Grid, Sheet

LEAST_KEYS = 3
_ENTRY = re.compile(r"\s*\(?([A-Z]{1,2}|[A-Z]?\d{1,2}[a-z]?|[①-⑳])\)?\s*(?:[.:=)–—-]\s*|\s+)((?:1/2|½|\D).{2,80})")
_SPLIT = re.compile(r"[;\n|]|\s+(?=[A-Z]\s*[-–=:]\s)|(?<=[a-z)]),\s+(?=[A-Z]\s*[=:])")
_LEAD = re.compile(r"^[^\W\d_]+\s*:\s+(?=[A-Z]\s*[=:])")


def find_legend(sheet: Sheet, reader: Reader) -> dict[str, str]:
    """The keys that the sheet explains, at least three of them and each once; {} where there are none."""
    found: dict[str, str] = {}
    doubled: set[str] = set()
    for text in [one.text for one in sheet.texts if one.kind != "chrome"] + [
        line for grid in sheet.grids for line in grid_lines(grid)
    ]:
        for part in _SPLIT.split(_LEAD.sub("", text)):
            match = _ENTRY.fullmatch(part.strip())
            if match is None:
                continue
            code, label = match.group(1), match.group(2).strip(" .,;")
            if not reader.read(label).is_label or (label[:1].isdigit() and not label.startswith("1/2")):
                continue
            if found.get(code, label) != label:
                doubled.add(code)
            found[code] = label
    keys = {code: label for code, label in found.items() if code not in doubled}
    return keys if len(keys) >= LEAST_KEYS else {}


def grid_lines(grid: Grid) -> list[str]:
    """Rows of two cells as "key label": a legend is often a small table of its own."""
    rows: dict[int, list[str]] = {}
    for cell in grid.cells:
        if cell.text:
            rows.setdefault(cell.row, []).append(cell.text)
    return [f"{cells[0]} {cells[1]}" for cells in rows.values() if len(cells) == 2]
