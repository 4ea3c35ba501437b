"""Sheet, Grid, Cell, Text: the one shape that every reader makes. Nothing here knows about garments.

A reader returns text and places; it never guesses what a number means. Places are 1-based strings that do not depend
on the parser: ``page=2;table=1;row=7;col=4``, ``text=12``, ``sheet=Tall;cell=C14``, ``row=7;col=4``, ``json=/a/b/0``,
``attr=div[3]/@data-inseam``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

# Marks a reader may put on a cell, a text or a grid. A closed set: a test refuses others.
HEADER = "header"  # the format itself says so: <th>, ARIA columnheader, a table's header row, a JSON key
STRUCK = "struck"  # struck through (<s>, <del>, strike font): an old value
HIDDEN = "hidden"  # a person does not see it: hidden row, column, worksheet, display:none, aria-hidden, white text
DATE = "date"  # the file holds a date where a number or a fraction may have been meant
NUMBER = "number"  # the file holds a number (a workbook's typed cell), `value` carries it
FORMULA_ERROR = "formula-error"  # #REF!, #DIV/0! and the like
EMPHASIS = "emphasis"  # bold, or filled background
DATA = "data"  # machine-readable data behind the page (JSON-LD, microdata, state script, attributes), not printed text
MARKS = frozenset({HEADER, STRUCK, HIDDEN, DATE, NUMBER, FORMULA_ERROR, EMPHASIS, DATA})

ChoosePages = Callable[[Sequence[str]], Sequence[bool]]
"""From the plain text of every page of a document: which of them are worth reading."""

Box = tuple[float, float, float, float]
"""x0, top, x1, bottom on the page, in points, top-left origin, the page as a person sees it (after rotation)."""


def place(**parts: str | int | None) -> str:
    """``place(page=2, table=1, row=7, col=4)`` -> ``"page=2;table=1;row=7;col=4"``; None is left out."""
    return ";".join(f"{key}={value}" for key, value in parts.items() if value is not None)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as printed. `row` and `column` are 1-based within the grid, of the span's upper left corner."""

    text: str
    """What a person sees, number formats applied; ends stripped, runs of blanks folded, line breaks kept as \\n."""
    row: int
    column: int
    row_span: int = 1
    column_span: int = 1
    place: str = ""
    marks: frozenset[str] = frozenset()
    value: Decimal | None = None
    """The typed number behind the text (workbooks only); the text shows it as formatted."""
    box: Box | None = field(default=None, compare=False)
    """Where its letters stand on the page (PDF only): for pictures; no meaning is taken from it."""


@dataclass(frozen=True, slots=True)
class Grid:
    """One table or key-value block. Cells in reading order (row by row); empty cells may be left out."""

    cells: tuple[Cell, ...]
    order: int
    """Where it stands in the sheet's reading order, counted together with the texts."""
    page: int = 0
    """1-based page (PDF) or worksheet number; 0 where the format has none."""
    box: Box | None = None
    caption: str = ""
    """Text that belongs to this grid alone: <caption>, figcaption, aria-label, the worksheet's name, a tab's label."""
    place: str = ""
    marks: frozenset[str] = frozenset()
    continues: bool = False
    """True where the reader saw that this grid goes on from the grid before it (broken over pages, same columns)."""

    @property
    def rows(self) -> int:
        return max((c.row + c.row_span - 1 for c in self.cells), default=0)

    @property
    def columns(self) -> int:
        return max((c.column + c.column_span - 1 for c in self.cells), default=0)


@dataclass(frozen=True, slots=True)
class Text:
    """One block of text outside any grid: a heading, a paragraph, a list item, a line of a page."""

    text: str
    order: int
    kind: str = "paragraph"
    """title | heading | paragraph | item | meta | chrome. `meta`: from the file's head (document title, description);
    `chrome`: navigation, cookie banners, running heads and feet."""
    level: int = 0
    """Heading level 1..6 where the format says it, else 0."""
    page: int = 0
    box: Box | None = None
    place: str = ""
    marks: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that a reader saw in one file."""

    name: str
    """The sheet's name as imported: ``folder/specs.xlsx`` or ``outer.zip/inner.csv``."""
    kind: str
    """pdf | html | delimited | workbook"""
    reader: str
    """Reader and engine, e.g. ``pdf (pdfplumber)``; kept in the catalogue."""
    grids: tuple[Grid, ...] = ()
    texts: tuple[Text, ...] = ()
    pages: int = 0
    language: str = ""
    """BCP 47 primary tag where the file declares one (html lang, PDF /Lang), else empty."""
    meta: dict[str, str] = field(default_factory=dict)
    """title, author, site_name, url, description, encoding, delimiter ... as far as the file says them."""
    warnings: tuple[str, ...] = ()
    """One sentence each: what could not be read (a page without text, a sheet that is an image ...)."""

    def blocks(self) -> Iterator[Grid | Text]:
        """Grids and texts in reading order."""
        every: list[Grid | Text] = [*self.grids, *self.texts]
        yield from sorted(every, key=lambda block: block.order)
