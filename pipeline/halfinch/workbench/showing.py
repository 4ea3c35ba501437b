"""What of a sheet is shown beside its figures: pages, tables or texts, with marks where the figures stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from halfinch.catalogue.held import Case, Seen
from halfinch.present.papers.render import say_place
from halfinch.present.seen.marks import ACCEPTED, ASSUMED, HELD, Mark, Marks
from halfinch.present.wording import Wording
from halfinch.sheet import Box, Grid, Sheet, Text
from halfinch.work.kept import KeptSheet
from halfinch.workbench.harmless import harmless_page
from halfinch.workbench.pictures import (
    PageView,
    Pictures,
    Spot,
    TableView,
    find_spot,
    split_at,
    texts_around,
    view_page,
    view_table,
)

MOST_ROWS = 400
"""Rows of one table of a whole sheet that are shown."""


@dataclass(frozen=True, slots=True)
class ShownText:
    """A text, the printed figure in it apart."""

    before: str
    printed: str = ""
    after: str = ""
    kind: str = "paragraph"


@dataclass(frozen=True, slots=True)
class MarkedPage:
    """A page and the boxes of the figures on it, each with its status and words."""

    number: int
    view: PageView
    boxes: tuple[tuple[Box, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Shown:
    """One figure's surroundings, or a whole sheet. `spot` is the place of the cell that is marked."""

    where: str = ""
    spot: str = ""
    spot_row: int = 0
    spot_column: int = 0
    framed: bool = False
    """A web page, shown as `harmless_page` makes it."""
    page: PageView | None = None
    table: TableView | None = None
    texts: tuple[ShownText, ...] = ()
    pages: tuple[MarkedPage, ...] = ()
    blocks: tuple[TableView | ShownText, ...] = field(default=())

    @property
    def is_nothing(self) -> bool:
        return not (self.framed or self.page or self.table or self.texts or self.pages or self.blocks)


def show_figure(pictures: Pictures, kept: KeptSheet, case: Case, *, whole: bool, say: Wording) -> Shown:
    """The surroundings of one figure. Raises SheetError where the sheet cannot be had."""
    place = case.figure.place
    spot = find_spot(kept.sheet, place)
    where = say_place(place, say)
    if kept.sheet.kind == "pdf" and spot.page:
        _, width, height = pictures.page(kept.sheet_id, spot.page)
        return Shown(where, place, page=view_page(spot, width, height, whole=whole))
    if kept.sheet.kind == "html" and not whole and harmless_page(kept, place) is not None:
        return Shown(where, place, framed=True)
    if spot.grid is not None and spot.cell is not None:
        marks = mark_figures([*case.row, *case.size, case.figure])
        table = view_table(spot.grid, marks, kept.sheet.kind, None if whole else spot.cell)
        return Shown(where, place, spot.cell.row, spot.cell.column, table=table)
    if spot.text is not None:
        around = texts_around(kept.sheet, spot.text)
        texts = tuple(_text(one, case.figure.raw if one is spot.text else "") for one in around)
        return Shown(where, place, texts=texts)
    return Shown(where, place)


def show_sheet(pictures: Pictures, kept: KeptSheet, figures: Sequence[Seen]) -> Shown:
    """All of a sheet, its figures marked."""
    marks = mark_figures(figures)
    if kept.sheet.kind == "pdf":
        return Shown(pages=tuple(_mark_page(pictures, kept, number, figures) for number in _pages(kept.sheet, figures)))
    blocks = [
        view_table(block, marks, kept.sheet.kind, None) if isinstance(block, Grid) else _text(block, "")
        for block in kept.sheet.blocks()
    ]
    return Shown(blocks=tuple(blocks))


def _pages(sheet: Sheet, figures: Sequence[Seen]) -> list[int]:
    """The pages with figures; the first one where there is none."""
    spots = {find_spot(sheet, one.place).page for one in figures}
    return sorted(spots - {0}) or [1]


def _mark_page(pictures: Pictures, kept: KeptSheet, number: int, figures: Sequence[Seen]) -> MarkedPage:
    _, width, height = pictures.page(kept.sheet_id, number)
    boxes = []
    for one in figures:
        spot = find_spot(kept.sheet, one.place)
        if spot.page == number and spot.box is not None:
            boxes.append((spot.box, one.status, one.figure_id))
    return MarkedPage(number, view_page(Spot(), width, height, whole=True), tuple(dict.fromkeys(boxes)))


def mark_figures(figures: Sequence[Seen]) -> Marks:
    """Cells by what became of their figures; the one that most needs a look counts."""
    rank = {HELD: 0, ASSUMED: 1, ACCEPTED: 2}
    by_place: dict[str, Mark] = {}
    for one in sorted(figures, key=lambda one: rank.get(one.status, 3), reverse=True):
        if one.status in rank:
            by_place[one.place] = Mark(one.status)
    return Marks(by_place, (), (), "")


def _text(text: Text, printed: str) -> ShownText:
    return ShownText(*split_at(text.text, printed), kind=text.kind)
