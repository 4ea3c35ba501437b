"""Blocks of a page between reading and the finished sheet: tables and lines of text with their boxes."""

from __future__ import annotations

from dataclasses import dataclass, field

from halfinch.readers.pdf.lines import Chunk, unstruck, whole
from halfinch.sheet import Box, Cell


@dataclass(slots=True)
class TableBlock:
    """A table found on a page. `columns` are the left and right ends of its columns, in frame coordinates."""

    box: Box
    cells: list[Cell]
    columns: list[tuple[float, float]]
    drawn: bool = False
    """Made from drawn lines in both directions."""
    marks: frozenset[str] = frozenset()


@dataclass(slots=True)
class TextBlock:
    """Lines of one text: a heading, a paragraph."""

    box: Box
    chunks: list[Chunk]
    kind: str = "paragraph"
    level: int = 0
    size: float = 0.0
    marks: frozenset[str] = frozenset()
    running: bool = False
    """A running head or foot, also where it is told as text because it stands there for the first time."""
    slanting: str = ""
    """Text that runs aslant over the page (a watermark), in place of chunks."""

    @property
    def text(self) -> str:
        return self.slanting or join_wrapped([chunk.text for chunk in unstruck(self.chunks)])


@dataclass(slots=True)
class PageBlocks:
    """What one page holds, in reading order."""

    number: int
    width: float
    height: float
    blocks: list[TableBlock | TextBlock] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)


def join_wrapped(lines: list[str]) -> str:
    """Lines of a paragraph as one text; a word broken with a hyphen between two letters is joined."""
    text = ""
    for line in lines:
        if len(text) > 2 and text.endswith("-") and text[-2].isalpha() and line[:1].islower() and " " in text:
            text = text[:-1] + line
        elif text and whole(text, line):
            text += line
        else:
            text = f"{text} {line}" if text else line
    return text
