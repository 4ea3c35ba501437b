"""Heads over several columns, and heads of two rows."""

from __future__ import annotations

from halfinch.readers.pdf.columns import Placed, Strip
from halfinch.readers.pdf.lines import Chunk
from halfinch.readers.pdf.rows import RowLine
from halfinch.readers.pdf.runs import Hints

TOP_LINES = 6  # lines at a table's top among which a head of two rows stands


def mark_double_head(rows: list[RowLine]) -> None:
    """A head of two rows whose lower row repeats itself: ``38 | 40`` over ``Short | Long | Short | Long``.

    Each upper head spans its part of the lower row, wherever within it stands.
    """
    for i, upper in enumerate(rows[:TOP_LINES]):
        lower = next((row for row in rows[i + 1 : TOP_LINES] if not row.label_only), None)
        heads = [item for item in upper.placed if item.first > 0]
        parts = [item for item in lower.placed if item.first > 0] if lower is not None else []
        step, over = divmod(len(parts), max(len(heads), 1))
        if lower is None or len(heads) < 2 or step < 2 or over:
            continue
        texts = [item.chunk.text for item in parts]
        groups = [parts[k : k + step] for k in range(0, len(parts), step)]
        same = texts == texts[:step] * len(heads) and len(set(texts[:step])) == step
        if not same or not all(_over(head.chunk, group) for head, group in zip(heads, groups, strict=True)):
            continue
        for head, group in zip(heads, groups, strict=True):
            head.first, head.last = group[0].first, group[-1].last
        lower.apart = True
        return


def _over(head: Chunk, group: list[Placed]) -> bool:
    """True when a head stands over its part of the lower row."""
    left, right = group[0].chunk.x0 - head.size, group[-1].chunk.x1 + head.size
    return left <= head.middle <= right


def span_heads(rows: list[RowLine], strips: list[Strip], hints: Hints) -> None:
    """Widen heads over several columns: by the short line drawn under them, or because they sit over a gap."""
    count = len(strips) + 1
    for row in rows[:3]:
        if row.figures >= 2 or len(row.placed) >= count:
            continue
        for i, item in enumerate(row.placed):
            room = (
                row.placed[i - 1].last + 1 if i else 0,
                row.placed[i + 1].first - 1 if i + 1 < len(row.placed) else count - 1,
            )
            under = _line_under(item.chunk, row, hints, strips)
            if under is not None:
                item.first, item.last = max(under[0], room[0]), min(under[1], room[1])
                continue
            for k, (left, right) in enumerate(strips):
                if _in_column(item, rows):
                    break
                if left - 0.2 * item.chunk.size <= item.chunk.middle <= right + 0.2 * item.chunk.size and k > 0:
                    item.first, item.last = min(item.first, max(k, room[0])), max(item.last, min(k + 1, room[1]))
            item.last = max(item.first, item.last)


def _in_column(head: Placed, rows: list[RowLine]) -> bool:
    """True when a head begins or ends where its own column does and is wider than it: no head of two columns."""
    below = [item.chunk for row in rows for item in row.placed if item.first == item.last == head.first]
    for side in ("x0", "x1"):
        edge = getattr(head.chunk, side)
        same = [c for c in below if c is not head.chunk and abs(getattr(c, side) - edge) < 0.3 * c.size]
        wider = same and head.chunk.x1 - head.chunk.x0 > max(c.x1 - c.x0 for c in same)
        if wider and len(same) >= 2 and len(same) >= 0.6 * (len(below) - 1):
            return True
    return False


def _line_under(chunk: Chunk, row: RowLine, hints: Hints, strips: list[Strip]) -> tuple[int, int] | None:
    """Columns over which a short drawn line right under a head runs."""
    for rule in hints.level:
        if not row.base < rule.top < row.base + 1.1 * row.size or not rule.x0 - 2 <= chunk.middle <= rule.x1 + 2:
            continue
        first = sum(rule.x0 > (left + right) / 2 for left, right in strips)
        last = sum(rule.x1 > (left + right) / 2 for left, right in strips)
        if last > first and not (first == 0 and last == len(strips)):
            return first, last
    return None
