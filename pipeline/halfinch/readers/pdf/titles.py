"""Titles of tables that stand side by side: texts over them at one height, one over each."""

from __future__ import annotations

from collections.abc import Sequence

from halfinch.readers.pdf.model import TableBlock, TextBlock

SAME_HEIGHT = 3.0  # points that tops, or base lines, may differ
NEAR = 3.5  # letter sizes between a title's foot and its table
TITLE_WORDS = 10
LEVEL = 6  # of a heading that its letters do not tell from the rest


def name_titles(tables: Sequence[TableBlock], texts: Sequence[TextBlock]) -> None:
    """Makes headings of plain texts that can only be the titles of tables side by side."""
    for row in _beside(tables):
        ends = [*(table.box[0] for table in row[1:]), float("inf")]
        over = [_nearest(table, end, texts) for table, end in zip(row, ends, strict=True)]
        titles = [text for text in over if text is not None]
        tops = [text.box[1] for text in titles]
        if len(titles) == len(row) and max(tops) - min(tops) <= SAME_HEIGHT and len({t.text for t in titles}) > 1:
            for text in titles:
                if text.kind == "paragraph":
                    text.kind, text.level = "heading", LEVEL


def _beside(tables: Sequence[TableBlock]) -> list[list[TableBlock]]:
    """Tables that begin at one height, from the left; only rows of two or more."""
    rows: list[list[TableBlock]] = []
    for table in sorted(tables, key=lambda table: table.box[1]):
        if rows and table.box[1] - rows[-1][0].box[1] <= SAME_HEIGHT:
            rows[-1].append(table)
        else:
            rows.append([table])
    return [sorted(row, key=lambda table: table.box[0]) for row in rows if len(row) > 1]


def _nearest(table: TableBlock, end: float, texts: Sequence[TextBlock]) -> TextBlock | None:
    """The short text right over a table and within its width, or up to where the next one begins."""
    found = [
        text
        for text in texts
        if text.chunks
        and 0 <= table.box[1] - text.box[3] <= NEAR * text.size
        and text.box[0] >= table.box[0] - text.size
        and text.box[2] < end
        and sum(len(chunk.words) for chunk in text.chunks) <= TITLE_WORDS
    ]
    return max(found, key=lambda text: text.box[3], default=None)
