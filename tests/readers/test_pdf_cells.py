"""Cells of several lines, heads over columns, breaks over pages: small PDFs drawn here, text by text."""

from __future__ import annotations

import pytest
from pdf_press import finish, new_canvas

from halfinch.readers.pdf import read
from halfinch.sheet import Grid

Texts = list[tuple[float, float, str]]


def rows_of(grid: Grid) -> list[list[str]]:
    table = [[""] * grid.columns for _ in range(grid.rows)]
    for cell in grid.cells:
        table[cell.row - 1][cell.column - 1] = cell.text.replace("\n", " ")
    return table


def draw(*pages: Texts, font: str = "Helvetica") -> bytes:
    canvas, out = new_canvas()
    for number, page in enumerate(pages):
        if number:
            canvas.showPage()
        canvas.setFont(font, 8)
        for x, y, text in page:
            canvas.drawString(x, y, text)
    return finish(canvas, out)


BODY: Texts = [(50, 674, "8"), (100, 674, "30"), (160, 674, "40"), (50, 662, "10"), (100, 662, "31"), (160, 662, "41")]
HEAD = [["Tagged size", "Waist flat", "Hip"], ["8", "30", "40"], ["10", "31", "41"]]
CELLS: Texts = [(50, 698, "Tagged"), (50, 686, "size"), (100, 698, "Waist"), (100, 686, "flat"), (160, 698, "Hip")]
MIDDLE: Texts = [(50, 698, "Tagged"), (50, 689, "size"), (100, 698, "Waist"), (100, 689, "flat"), (160, 693.5, "Hip")]


@pytest.mark.parametrize(
    "texts",
    [
        pytest.param([*CELLS, *BODY], id="drawn cell by cell: the order alone tells that two lines are one head"),
        pytest.param([*MIDDLE, *BODY], id="in the middle of its row a head stands between the lines of the others"),
        pytest.param(sorted([*MIDDLE, *BODY], key=lambda t: (-t[1], t[0])), id="drawn line by line: distance tells"),
    ],
)
def test_a_head_of_two_lines_is_one_row(texts: Texts) -> None:
    assert rows_of(read(draw(texts), "made.pdf").grids[0]) == HEAD


def test_a_head_of_two_rows_stays_two() -> None:
    texts: Texts = [(100, 698, "30"), (220, 698, "32"), (50, 694, "Point")]
    texts += [(x, 689, text) for x, text in ((100, "Short"), (160, "Long"), (220, "Short"), (280, "Long"))]
    texts += [(x, 677, text) for x, text in ((50, "Inseam"), (100, "28"), (160, "32"), (220, "29"), (280, "33"))]
    texts += [(x, 665, text) for x, text in ((50, "Hem"), (100, "14"), (160, "15"), (220, "16"), (280, "17"))]
    grid = read(draw(texts), "made.pdf").grids[0]
    spans = [(cell.text, cell.column, cell.column_span) for cell in grid.cells if cell.row == 1]
    assert spans == [("Point", 1, 1), ("30", 2, 2), ("32", 4, 2)]
    assert rows_of(grid)[1] == ["", "Short", "Long", "Short", "Long"]


FOOT: Texts = [(50, 110, "Point"), (150, 110, "8"), (190, 110, "10"), (230, 110, "12")]
FOOT += [(50, 98, "Waist"), (150, 98, "30"), (190, 98, "31"), (230, 98, "32")]
ALONE: Texts = [(50, 800, "Knee"), (150, 800, "16"), (190, 800, "17"), (230, 800, "18"), (50, 760, "Care: wash cold.")]


def test_a_row_alone_on_the_next_page_belongs_to_the_table() -> None:
    grids = read(draw(FOOT, ALONE), "made.pdf").grids
    assert [rows_of(grid) for grid in grids][1] == [["Knee", "16", "17", "18"]]
    assert grids[1].continues


def test_a_head_alone_before_the_break_belongs_to_the_table() -> None:
    rows = (("Waist", "30", "31", "32"), ("Knee", "16", "17", "18"))
    below = [
        (x, 800.0 - 12 * k, t) for k, row in enumerate(rows) for x, t in zip((50, 150, 190, 230), row, strict=True)
    ]
    grids = read(draw(FOOT[:4], below), "made.pdf").grids
    assert [len(rows_of(grid)) for grid in grids] == [1, 2]
    assert grids[1].continues


def test_lone_signs_of_a_face_that_is_not_in_the_file_are_read() -> None:
    from reportlab.pdfbase.cidfonts import UnicodeCIDFont
    from reportlab.pdfbase.pdfmetrics import registerFont

    registerFont(UnicodeCIDFont("STSong-Light"))
    texts: Texts = [(50, 700, "尺码"), (100, 700, "腰"), (160, 700, "臀")]
    texts += [(50, 688, "S"), (100, 688, "70"), (160, 688, "92"), (50, 676, "M"), (100, 676, "74"), (160, 676, "96")]
    data = draw(texts, font="STSong-Light")
    assert rows_of(read(data, "made.pdf").grids[0])[0] == ["尺码", "腰", "臀"]


def test_titles_at_the_margin_and_tables_in_the_middle_are_read_from_the_top() -> None:
    texts: Texts = []
    for top, title in ((700, "Petite"), (600, "Tall")):
        texts.append((50, top, title))
        for k, row in enumerate((("Point", "8", "10"), ("Waist", "30", "31"), ("Hip", "40", "41"))):
            texts += [(x, top - 20 - 14 * k, text) for x, text in zip((200, 280, 330), row, strict=True)]
    sheet = read(draw(texts), "made.pdf")
    assert [type(block).__name__ for block in sheet.blocks()] == ["Text", "Grid", "Text", "Grid"]


def test_figures_a_blank_apart_are_two_where_the_first_is_whole() -> None:
    texts: Texts = [(50, 698, "Item"), (150, 698, "2022"), (185, 698, "Change")]
    for y, (name, amount, change) in enumerate([("Staff", "73,504", "+21.9 %"), ("Rent", "33,554", "(28.2) %")]):
        texts += [(50, 686 - 12 * y, name), (150, 686 - 12 * y, amount), (178.5, 686 - 12 * y, change)]
    rows = rows_of(read(draw(texts), "made.pdf").grids[0])
    assert rows[1:] == [["Staff", "73,504", "+21.9 %"], ["Rent", "33,554", "(28.2) %"]]
