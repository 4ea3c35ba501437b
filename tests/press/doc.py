"""A sheet before it is printed: blocks of text and tables, the same for every format."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from .truth import Expected


@dataclass(frozen=True, slots=True)
class Cell:
    """Text as a person sees it; `value` where a workbook would hold a number."""

    text: str
    value: Fraction | None = None
    head: bool = False
    span: int = 1
    down: int = 1


@dataclass(slots=True)
class Heading:
    text: str
    level: int = 2


@dataclass(slots=True)
class Para:
    text: str
    kind: str = "note"
    """note | chrome | foot"""


@dataclass(slots=True)
class Items:
    lines: list[str]


@dataclass(slots=True)
class Pairs:
    """A card: label and value, one under the other."""

    title: str
    rows: list[tuple[str, str]]


@dataclass(slots=True)
class Table:
    """Rows of cells; a cell spanning columns stands once, the columns it covers are left out of its row."""

    rows: list[list[Cell]]
    caption: str = ""
    heads: int = 1

    def width(self) -> int:
        return max((sum(cell.span for cell in row) for row in self.rows), default=0)

    def spread(self) -> list[list[Cell]]:
        """Every row of full width, cells under a span empty."""
        full: list[list[Cell]] = []
        waiting: dict[tuple[int, int], bool] = {}
        for number, row in enumerate(self.rows):
            line: list[Cell] = []
            for cell in row:
                while (number, len(line)) in waiting:
                    line.append(Cell(""))
                waiting |= {(number + step, len(line)): True for step in range(1, cell.down)}
                line += [replace(cell, span=1, down=1), *[Cell("")] * (cell.span - 1)]
            line += [Cell("")] * (self.width() - len(line))
            full.append(line)
        return full


Block = Heading | Para | Items | Pairs | Table


@dataclass(slots=True)
class Doc:
    """Everything of one sheet: what is printed, and what it means."""

    title: str
    language: str
    blocks: list[Block] = field(default_factory=list)
    truth: list[Expected] = field(default_factory=list)
    facts: dict[str, str] = field(default_factory=dict)
    """Dimensions of this sheet (layout, language, unit ...), for counting."""
    merchant: str = ""
    several: bool = False
