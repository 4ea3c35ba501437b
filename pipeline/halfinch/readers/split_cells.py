"""Cells that an unquoted comma tore apart, put together again.

``Waist (relaxed, flat),14,15`` and ``Bund,27,5,28,5`` have more fields than their table has columns. Read as they
stand, every figure behind the comma would slide under the next size. So such a record is mended where that can be
done in one way only, else kept as one text that nobody can misread.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

_WHOLE = re.compile(r"^\s*\d{1,3}$")
_DECIMALS = re.compile(r"^\d{1,2}\s*$")
_FIGURE = re.compile(r"^\s*[\d½¼¾]")


def mend_split_cells(rows: Sequence[list[str]], delimiter: str) -> tuple[list[list[str]], list[int]]:
    """The records with torn cells joined, and the indexes of those that could not be mended and became one text."""
    if delimiter != ",":
        return list(rows), []
    mended: list[list[str]] = []
    lost: list[int] = []
    start = 0
    for end in [*(k for k, row in enumerate(rows) if not any(map(str.strip, row))), len(rows)]:
        block, broken = _mend_block(rows[start:end], delimiter)
        mended += [*block, *([list(rows[end])] if end < len(rows) else [])]
        lost += [start + k for k in broken]
        start = end + 1
    return mended, lost


def _mend_block(rows: Sequence[list[str]], delimiter: str) -> tuple[list[list[str]], list[int]]:
    widths = [_filled_width(row) for row in rows]
    tables = [(row, width) for row, width in zip(rows, widths, strict=True) if width > 1]
    # As many fields in every row, the empty ones at the end too: nothing is torn.
    if len(tables) < 2 or len({len(row) for row, _ in tables}) == 1:
        return [list(row) for row in rows], []
    width, decimals = _true_width(tables, delimiter)
    mended: list[list[str]] = []
    lost: list[int] = []
    for k, (row, own) in enumerate(zip(rows, widths, strict=True)):
        label = _join_label(row[:own], width, delimiter) if own > width else None
        if label is None and (own <= width or not _FIGURE.match(row[own - 1])):
            mended.append(list(row))
            continue
        joined = _join_decimals(row, own, width) if decimals and label is None else label
        if joined is None:
            joined = [delimiter.join(row[:own])]
            lost.append(k)
        mended.append(joined)
    return mended, lost


def _true_width(tables: Sequence[tuple[list[str], int]], delimiter: str) -> tuple[int, bool]:
    """How many columns the table has, and whether decimal commas tear its figures."""
    first, header = tables[0]
    usual = Counter(width for _, width in tables).most_common(1)[0][0]
    wider = [row[:width] for row, width in tables[1:] if width > header]
    if _are_decimals(first[:header], wider):
        return header, True
    if header > usual:
        return (usual if _join_label(first[:header], usual, delimiter) else header), False
    if wider and all(_join_label(row, header, delimiter) for row in wider):
        return header, False
    ends = {len(row) for row in wider if _FIGURE.match(row[-1])}
    if header > 2 and len(ends) > 1:  # no column without a header: as many fields as a row happens to have commas
        return header, False
    return usual, False


def _filled_width(row: Sequence[str]) -> int:
    return max((k + 1 for k, text in enumerate(row) if text.strip()), default=0)


def _are_decimals(header: Sequence[str], wider: Sequence[Sequence[str]]) -> bool:
    """True where every figure under the header is followed by one digit: decimal commas, not a wider table."""
    torn = [row for row in wider if len(row) == 2 * len(header) - 1]
    if len(header) < 2 or not torn or any(len(text.strip()) > 4 for text in header[1:]):
        return False
    tenths = sum(all(len(part.strip()) == 1 for part in row[2::2]) for row in torn)
    enough = tenths == len(torn) if len(header) < 4 else tenths * 2 > len(torn)
    return enough and all(_join_decimals(row, len(row), len(header)) for row in torn)


def _join_decimals(row: Sequence[str], own: int, width: int) -> list[str] | None:
    if own != 2 * width - 1:
        return None
    pairs = list(zip(row[1:own:2], row[2:own:2], strict=True))
    if not all(_WHOLE.match(whole) and _DECIMALS.match(part) for whole, part in pairs):
        return None
    return [row[0], *(f"{whole},{part}" for whole, part in pairs)]


def _join_label(row: Sequence[str], width: int, delimiter: str) -> list[str] | None:
    """The surplus commas all in the label: words only, and behind them figures, or a bracket that would stay open."""
    surplus = len(row) - width
    parts, rest = row[: surplus + 1], row[surplus + 1 :]
    if any(_FIGURE.match(part) or not part.strip() for part in parts):
        return None
    joined = (delimiter + " ").join(part.strip() for part in parts)
    bracket = parts[0].count("(") > parts[0].count(")") and joined.count("(") == joined.count(")")
    return [joined, *rest] if bracket or all(map(_FIGURE.match, rest)) else None
