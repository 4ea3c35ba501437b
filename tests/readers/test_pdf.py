"""The PDF reader as a whole: grids, texts, order, places, warnings and errors, on PDFs printed here."""

from __future__ import annotations

import io
import random
import time
from pathlib import Path

import pdf_press as press
import pytest
from pdf_press import Look, draw_prose, draw_table, finish, new_canvas

from halfinch.errors import SheetError
from halfinch.readers.pdf import SCANNED, read, suits
from halfinch.readers.pdf.fallback import open_plumber
from halfinch.sheet import HIDDEN, MARKS, STRUCK, Grid, Sheet


def rows_of(grid: Grid) -> list[list[str]]:
    """The grid as plain rows, line breaks as blanks, empty cells as ''."""
    table = [[""] * grid.columns for _ in range(grid.rows)]
    for cell in grid.cells:
        table[cell.row - 1][cell.column - 1] = cell.text.replace("\n", " ")
    return table


def only_grid(data: bytes) -> list[list[str]]:
    sheet = read(data, "made.pdf")
    assert len(sheet.grids) == 1, [rows_of(grid) for grid in sheet.grids]
    return rows_of(sheet.grids[0])


def texts_of(sheet: Sheet, kind: str = "") -> list[str]:
    return [text.text for text in sheet.texts if not kind or text.kind == kind]


@pytest.mark.parametrize("look", press.LOOKS)
@pytest.mark.parametrize("table", list(press.TABLES))
def test_every_look_gives_the_same_cells(table: str, look: str) -> None:
    rows = press.TABLES[table]
    assert only_grid(press.print_one(look, rows, "A title above", prose=True)) == [[c or "" for c in r] for r in rows]


@pytest.mark.parametrize(
    "make",
    [
        pytest.param(lambda rows: press.print_fpdf(rows), id="cells-boxed-one-by-one"),
        pytest.param(lambda rows: press.print_fpdf(rows, 0), id="no-lines"),
        pytest.param(lambda rows: press.print_fpdf(rows, 0, True), id="white-on-dark-head"),
    ],
)
@pytest.mark.parametrize("table", ["spec", "gaps", "invoice"])
def test_second_writer(table: str, make: object) -> None:
    rows = press.TABLES[table]
    data = make(rows)  # type: ignore[operator]
    assert only_grid(data) == [[c or "" for c in r] for r in rows]
    assert not any(HIDDEN in cell.marks for cell in read(data, "x.pdf").grids[0].cells)


def test_merged_cells_and_title_row_inside() -> None:
    from reportlab.platypus import SimpleDocTemplate, Table, TableStyle

    out = io.BytesIO()
    rows = [
        ["POM", "Petite", "", "Regular", ""], ["", "8", "10", "8", "10"], ["Waist", "29", "30", "29", "30"],
        ["LEG", "", "", "", ""], ["Inseam", "28", "28", "30", "30"],
    ]  # fmt: skip
    style = [("GRID", (0, 0), (-1, -1), 0.5, (0, 0, 0)), ("SPAN", (0, 0), (0, 1)), ("SPAN", (1, 0), (2, 0)),
             ("SPAN", (3, 0), (4, 0)), ("SPAN", (0, 3), (-1, 3))]  # fmt: skip
    SimpleDocTemplate(out).build([Table(rows, colWidths=[90, 50, 50, 50, 50], style=TableStyle(style))])
    grid = read(out.getvalue(), "merged.pdf").grids[0]
    spans = {(c.text, c.row, c.column, c.row_span, c.column_span) for c in grid.cells if c.row_span + c.column_span > 2}
    assert spans == {
        ("POM", 1, 1, 2, 1),
        ("Petite", 1, 2, 1, 2),
        ("Regular", 1, 4, 1, 2),
        ("LEG", 4, 1, 1, 5),
    }
    assert grid.cells[0].place == "page=1;table=1;row=1;col=1"


def test_heads_over_two_columns_told_by_the_line_under_them() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 9)
    for x, text in ((215, "Petite"), (315, "Regular")):
        canvas.drawCentredString(x, 700, text)
        canvas.line(x - 45, 696, x + 45, 696)
    for i, row in enumerate(
        [["POM", "8", "10", "8", "10"], ["Waist", "29", "30", "29", "30"], ["Hem", "7", "8", "7", "8"]]
    ):
        for x, text in zip((60, 190, 240, 290, 340), row, strict=True):
            canvas.drawCentredString(x, 685 - 14 * i, text)
    grid = read(finish(canvas, out), "x.pdf").grids[0]
    heads = {(c.text, c.column, c.column_span) for c in grid.cells if c.row == 1}
    assert heads == {("Petite", 2, 2), ("Regular", 4, 2)}


LABELS = [["Waist, along the edge"], ["Front rise", "(incl. waistband)"], ["Thigh, all round,", "1 in below crotch,", "relaxed"], ["Inseam"]]  # fmt: skip  # noqa: E501


@pytest.mark.parametrize("figures_at", ["top", "middle", "bottom", "top, rows no looser than lines"])
def test_wrapped_labels_stay_with_their_figures(figures_at: str) -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 9)
    y = 700.0
    for number, label in enumerate(LABELS):
        for i, line in enumerate(label):
            canvas.drawString(50, y - 11 * i, line)
        at = {"middle": y - 5.5 * (len(label) - 1), "bottom": y - 11 * (len(label) - 1)}.get(figures_at, y)
        for k in range(3):
            canvas.drawRightString(220 + 50 * k, at, f"{20 + number + k} 1/2")
        y -= 11 * len(label) + (0 if "no looser" in figures_at else 8)
    expected = [[" ".join(label), *(f"{20 + n + k} 1/2" for k in range(3))] for n, label in enumerate(LABELS)]
    assert only_grid(finish(canvas, out)) == expected


@pytest.mark.parametrize("shift", [0, 7], ids=["same-heights", "other-heights"])
@pytest.mark.parametrize("lines", ["none", "grid"])
def test_side_by_side_garments_are_two_grids(shift: int, lines: str) -> None:
    one = [
        ["POM", "8", "10", "12"],
        ["Waist", "29", "30", "31"],
        ["Inseam", "30", "30", "30"],
        ["Hem", "15", "15 1/2", "16"],
    ]
    two = [
        ["POM", "8", "10", "12"],
        ["Waist", "28", "29", "30"],
        ["Inseam", "32", "32", "32"],
        ["Hem", "19", "19 1/2", "20"],
        ["Hip", "39", "40", "41"],
    ]
    canvas, out = new_canvas()
    canvas.setFont("Helvetica-Bold", 12)
    canvas.drawString(40, 780, "Mabel straight")
    canvas.drawString(310, 780, "Nora bootcut")
    draw_table(canvas, 40, 770, one, Look(lines, pad=6))
    draw_table(canvas, 310, 770 - shift, two, Look(lines, pad=6))
    sheet = read(finish(canvas, out), "side.pdf")
    assert [rows_of(grid) for grid in sheet.grids] == [one, two]
    order = [block.text if not isinstance(block, Grid) else "grid" for block in sheet.blocks()]
    assert order == ["Mabel straight", "grid", "Nora bootcut", "grid"]


def test_tables_under_one_another_with_other_columns() -> None:
    body = [["Size", "Bust", "Waist"], ["S", "32-34", "26-28"], ["M", "36-38", "29-31"], ["L", "40-42", "32-34"]]
    canvas, out = new_canvas()
    y = draw_table(canvas, 40, 770, press.SPEC, Look("none", pad=6))
    canvas.setFont("Helvetica-Bold", 11)
    canvas.drawString(40, y - 20, "To fit body")
    draw_table(canvas, 40, y - 28, body, Look("none", pad=14))
    sheet = read(finish(canvas, out), "two.pdf")
    assert [rows_of(grid) for grid in sheet.grids] == [[list(r) for r in press.SPEC], body]


def broken(lines: str, repeat: bool) -> bytes:
    rows = [["POM", "8", "10", "12"], *([f"Point {i}", str(20 + i), f"{21 + i} 1/2", str(23 + i)] for i in range(30))]
    canvas, out = new_canvas()
    widths = press.widths_of(rows, Look(pad=6))
    for page, part in enumerate((rows[:16], rows[16:])):
        canvas.setFont("Helvetica", 8)
        canvas.drawString(50, 815, "Oddwick spec book, all in inches")
        canvas.drawCentredString(297, 25, f"Page {page + 1} of 2")
        draw_table(canvas, 50, 780, [rows[0], *part] if page and repeat else part, Look(lines, pad=6), widths)
        canvas.showPage()
    return finish(canvas, out)


@pytest.mark.parametrize("repeat", [False, True], ids=["head-once", "head-repeated"])
@pytest.mark.parametrize("lines", ["grid", "none", "level"])
def test_table_broken_over_pages_goes_on(lines: str, repeat: bool) -> None:
    sheet = read(broken(lines, repeat), "broken.pdf")
    assert [(g.page, g.rows, g.continues) for g in sheet.grids] == [(1, 16, False), (2, 15 + repeat, True)]
    assert texts_of(sheet).count("Oddwick spec book, all in inches") == 2
    assert texts_of(sheet, "chrome") == ["Page 1 of 2", "Oddwick spec book, all in inches", "Page 2 of 2"]


def test_other_table_on_the_next_page_does_not_go_on() -> None:
    canvas, out = new_canvas()
    draw_table(canvas, 50, 780, press.SPEC, Look("grid"))
    canvas.showPage()
    canvas.setFont("Helvetica-Bold", 14)
    canvas.drawString(50, 800, "Another garment")
    draw_table(canvas, 50, 780, press.SPEC, Look("grid"))
    assert [grid.continues for grid in read(finish(canvas, out), "x.pdf").grids] == [False, False]


@pytest.mark.parametrize("turn", [0, 90, 180, 270, "text"])
def test_turned_pages_read_as_seen(turn: int | str) -> None:
    canvas, out = new_canvas((842, 842))
    if turn == "text":
        canvas.translate(842, 0)
        canvas.rotate(90)
    else:
        canvas.setPageRotation(turn)
    draw_table(canvas, 50, 800, press.SPEC, Look("grid"))
    draw_table(canvas, 50, 400, press.GAPS, Look("none", pad=7))
    sheet = read(finish(canvas, out), "turned.pdf")
    assert [rows_of(grid) for grid in sheet.grids] == [[list(r) for r in press.SPEC], [list(r) for r in press.GAPS]]
    x0, top, x1, bottom = sheet.grids[0].box or (0, 0, 0, 0)
    wide, high = x1 - x0, bottom - top
    assert (wide > high) == (turn in (0, 180))
    corner = {0: (50, 42), 90: (672, 50), 180: (541, 672), 270: (42, 541), "text": (42, 541)}[turn]
    assert (x0, top) == pytest.approx(corner, abs=4)


def test_crop_box_moves_the_boxes() -> None:
    canvas, out = new_canvas()
    canvas.setCropBox((40, 100, 500, 800))
    draw_table(canvas, 50, 780, press.SPEC, Look("grid"))
    box = read(finish(canvas, out), "crop.pdf").grids[0].box or (0, 0, 0, 0)
    assert box[:2] == pytest.approx((10, 20), abs=0.6)


def test_cards_with_leader_dots_and_in_two_columns() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 10)
    figures = [("Inseam", "30"), ("Front rise", "10 1/2"), ("Leg opening", "15 3/4"), ("Size", "29")]
    for i, (label, value) in enumerate(figures):
        canvas.drawString(50, 700 - 14 * i, f"{label} {'.' * (40 - len(label))} {value}")
        canvas.drawString(50, 500 - 14 * i, f"{label}:")
        canvas.drawString(150, 500 - 14 * i, value)
        canvas.drawString(300, 500 - 14 * i, f"{label}:")
        canvas.drawString(400, 500 - 14 * i, value)
    dots, left, right = (rows_of(grid) for grid in read(finish(canvas, out), "cards.pdf").grids)
    assert dots == [list(pair) for pair in figures]
    assert left == right == [[f"{label}:", value] for label, value in figures]


def test_plain_lines_and_bullets_stay_texts() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 10)
    lines = ["Inseam: 30 in", "Front rise: 10 1/2 in", "Leg opening: 15 3/4 in, measured along the hem"]
    for i, line in enumerate(lines):
        canvas.drawString(50, 700 - 14 * i, line)
        canvas.drawString(50, 600 - 14 * i, "•")
        canvas.drawString(62, 600 - 14 * i, line)
    sheet = read(finish(canvas, out), "lines.pdf")
    assert not sheet.grids
    assert texts_of(sheet, "paragraph") == lines
    assert texts_of(sheet, "item") == [f"• {line}" for line in lines]


def test_small_raised_fractions_are_read_as_fractions() -> None:
    canvas, out = new_canvas()
    for row, (label, over, under) in enumerate([("Waist", 3, 4), ("Inseam", 1, 2), ("Hem", 7, 8)]):
        y = 700 - 18 * row
        canvas.setFont("Helvetica", 10)
        canvas.drawString(50, y, label)
        for x in (150, 210, 270, 330):
            canvas.drawString(x, y, "29")
        end = 150 + canvas.stringWidth("29", "Helvetica", 10)
        canvas.setFont("Helvetica", 6)
        canvas.drawString(end + 0.5, y + 3.5, str(over))  # three pieces: raised, slash, lowered
        canvas.drawString(end + 6.8, y, str(under))
        canvas.drawString(end + 60.5, y + 2.5, f"{over}/{under}")  # one raised piece
        canvas.drawString(end + 121, y + 4.5, str(over))  # one over the other
        canvas.drawString(end + 121, y - 1, str(under))
        canvas.line(end + 121, y + 3.7, end + 125, y + 3.7)
        canvas.drawString(end + 180.3, y + 4, "1")  # a footnote's mark
        canvas.setFont("Helvetica", 10)
        canvas.drawString(end + 4, y, "/")
    grid = only_grid(finish(canvas, out))
    for row, fraction in zip(grid, ("3/4", "1/2", "7/8"), strict=True):
        assert row[1:] == [f"29 {fraction}"] * 3 + ["29¹"]


def test_struck_hidden_and_doubled_words() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 10)
    for i, row in enumerate(press.SPEC[:4]):
        for c, text in enumerate(row):
            canvas.drawString(50 + (0, 130, 190, 250, 310, 370)[c], 700 - 20 * i, text or "")
    canvas.line(179, 683.2, 211, 683.2)  # through 29 1/2
    canvas.setFillGray(1)
    canvas.drawString(50, 500, "white on white")
    canvas.setFillGray(0.2)
    canvas.rect(50, 460, 200, 20, fill=1, stroke=0)
    canvas.setFillGray(1)
    canvas.drawString(55, 466, "white on dark")
    canvas.setFillGray(0)
    canvas.drawString(50, 440, "covered over")
    canvas.setFillGray(1)
    canvas.rect(45, 435, 100, 15, fill=1, stroke=0)
    canvas.setFillGray(0)
    canvas.drawString(50, 400, "Twice for bold 27 1/2")
    canvas.drawString(50.4, 400, "Twice for bold 27 1/2")
    unseen = canvas.beginText(50, 360)
    unseen.setTextRenderMode(3)
    unseen.textOut("no ink at all")
    canvas.drawText(unseen)
    sheet = read(finish(canvas, out), "marks.pdf")
    struck = [cell.text for cell in sheet.grids[0].cells if STRUCK in cell.marks]
    assert struck == ["29 1/2"]
    hidden = {text.text: HIDDEN in text.marks for text in sheet.texts}
    assert hidden == {
        "white on white": True,
        "white on dark": False,
        "covered over": True,
        "Twice for bold 27 1/2": False,
        "no ink at all": True,
    }
    assert all(block.marks <= MARKS for block in [*sheet.texts, *sheet.grids])


def test_letter_spaced_headings_are_whole() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 12)
    canvas.drawString(50, 760, "S I Z E  C H A R T")
    for i, letter in enumerate("FLARE FIT"):
        canvas.drawString(50 + 13 * i, 720, letter)
    text = canvas.beginText(50, 680)
    text.setCharSpace(4)
    text.textOut("SLIM FIT")
    canvas.drawText(text)
    assert texts_of(read(finish(canvas, out), "spaced.pdf")) == ["SIZE CHART", "FLARE FIT", "SLIM FIT"]


def test_columns_drawn_one_after_the_other() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 9)
    for c, x in enumerate((50, 180, 240, 300, 360, 420)):
        for r, row in enumerate(press.SPEC):
            canvas.drawString(x, 700 - 15 * r, row[c] or "")
    assert only_grid(finish(canvas, out)) == [list(row) for row in press.SPEC]


def test_two_columns_of_prose_are_no_table() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica-Bold", 16)
    canvas.drawString(50, 790, "A report in two columns")
    for x in (50, 310):
        y = 765.0
        for _ in range(3):
            y = draw_prose(canvas, x, y - 6, 235)
    sheet = read(finish(canvas, out), "prose.pdf")
    assert not sheet.grids
    boxes = [text.box for text in sheet.texts if text.kind == "paragraph" and text.box]
    assert len(boxes) == 6
    assert [box[0] > 300 for box in boxes] == [False] * 3 + [True] * 3
    assert texts_of(sheet)[1] == press.PROSE


def draw_lines(canvas: object, lines: list[tuple[float, float, str]]) -> None:
    for x, y, text in lines:
        canvas.drawString(x, y, text)  # type: ignore[attr-defined]


def test_prose_beside_figures_on_the_same_heights_is_no_column() -> None:
    canvas, out = new_canvas()
    draw_prose(canvas, 50, 760, 230)
    pairs = [("Waist", "29 in"), ("Inseam", "32 in"), ("Front rise", "10 1/2 in"), ("Hip", "39 in"), ("Knee", "17 in")]
    for i, (label, value) in enumerate(pairs):
        draw_lines(canvas, [(330, 760 - 12 * i, label), (480, 760 - 12 * i, value)])
    assert only_grid(finish(canvas, out)) == [list(pair) for pair in pairs]


def test_notes_of_several_lines_stay_in_their_row() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 9)
    rows = [
        ("POM", "8", "10", ["How to measure"]),
        ("Waist", "29", "30", ["Along the top edge with the band", "closed and relaxed, doubled"]),
        ("Inseam", "30", "30", ["From crotch seam to hem along", "the inner leg seam, both legs", "must be equal"]),
    ]
    y = 760.0
    for label, one, two, notes in rows:
        draw_lines(canvas, [(50, y, label), (150, y, one), (200, y, two)])
        draw_lines(canvas, [(260, y - 10.5 * i, note) for i, note in enumerate(notes)])
        y -= 10.5 * len(notes) + 7
    assert only_grid(finish(canvas, out)) == [[a, b, c, " ".join(notes)] for a, b, c, notes in rows]


def test_columns_made_with_blanks() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Courier", 9)
    lines = [
        "POM              8      10     12",
        "Waist            29     30     31 1/2",
        "Front rise       10 1/2 10 3/4 11",
        "Inseam           30     30     30",
        "Leg opening      15     15 1/4 15 1/2",
    ]
    draw_lines(canvas, [(50, 760 - 12 * i, line) for i, line in enumerate(lines)])
    grid = only_grid(finish(canvas, out))
    assert [row[1:] for row in grid[1:3]] == [["29", "30", "31 1/2"], ["10 1/2", "10 3/4", "11"]]
    assert {len(row) for row in grid} == {4}


def test_numbered_steps_are_items() -> None:
    canvas, out = new_canvas()
    steps = ["Lay the garment flat", "Measure along the top edge", "Do not stretch", "Write down every figure"]
    for i, step in enumerate(steps):
        draw_lines(canvas, [(50, 760 - 14 * i, f"{i + 1}."), (70, 760 - 14 * i, step)])
    sheet = read(finish(canvas, out), "steps.pdf")
    assert not sheet.grids
    assert texts_of(sheet, "item") == [f"{i + 1}. {step}" for i, step in enumerate(steps)]


def test_heads_that_stand_upright_in_drawn_cells() -> None:
    canvas, out = new_canvas()
    xs, ys = (50, 150, 190, 230, 270), (760, 700, 680, 660)
    for x in xs:
        canvas.line(x, 760, x, 660)
    for y in ys:
        canvas.line(50, y, 270, y)
    canvas.setFont("Helvetica", 9)
    for x, head in zip(xs[1:], ("Size 8", "Size 10", "Size 12"), strict=False):
        canvas.saveState()
        canvas.translate(x + 22, 705)
        canvas.rotate(90)
        canvas.drawString(0, 0, head)
        canvas.restoreState()
    rows = [["Waist", "29", "30", "31"], ["Hem", "15", "16", "17"]]
    for i, row in enumerate(rows):
        draw_lines(canvas, [(xs[c] + 4, 686 - 20 * i, text) for c, text in enumerate(row)])
    assert only_grid(finish(canvas, out)) == [["", "Size 8", "Size 10", "Size 12"], *rows]


def test_letters_drawn_in_any_order() -> None:
    letters = []
    canvas, out = new_canvas()
    for r, row in enumerate(press.SPEC):
        for x, text in zip((50, 180, 240, 300, 360, 420), row, strict=True):
            at = float(x)
            for letter in text or "":
                letters.append((at, 700.0 - 15 * r, letter))
                at += canvas.stringWidth(letter, "Helvetica", 9)
    random.Random(3).shuffle(letters)
    canvas.setFont("Helvetica", 9)
    draw_lines(canvas, [letter for letter in letters if letter[2] != " "])
    assert only_grid(finish(canvas, out)) == [list(row) for row in press.SPEC]


def test_chinese_table() -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.cidfonts import UnicodeCIDFont

    pdfmetrics.registerFont(UnicodeCIDFont("STSong-Light"))
    rows = [
        ["部位", "S", "M", "L"],
        ["腰围(平量)", "34", "36", "38"],
        ["裤长", "98", "99", "100"],
        ["脚口", "21", "21.5", "22"],
    ]
    canvas, out = new_canvas()
    draw_table(canvas, 50, 700, rows, Look("none", pad=9, font="STSong-Light"), [110, 40, 40, 40])
    assert only_grid(finish(canvas, out)) == rows


def test_word_cut_by_the_page_edge_stays_whole() -> None:
    canvas, out = new_canvas((300, 300))
    draw_table(canvas, 84, 280, press.SPEC[:4], Look("none", pad=7, size=8), [110, 30, 30, 30, 25, 40])
    sheet = read(finish(canvas, out), "cut.pdf")
    assert all(cell.text in [text for row in press.SPEC for text in row] for cell in sheet.grids[0].cells)


# ---- bad input


def test_picture_only_page_is_told_and_other_pages_go_on() -> None:
    from PIL import Image
    from reportlab.lib.utils import ImageReader

    canvas, out = new_canvas()
    draw_table(canvas, 50, 780, press.SPEC, Look("grid"))
    canvas.showPage()
    canvas.drawImage(ImageReader(Image.new("RGB", (60, 80), (200, 10, 10))), 0, 0, 595, 842)
    canvas.showPage()
    sheet = read(finish(canvas, out), "scan.pdf")
    assert sheet.warnings == ("page 2 has no text (an image?)",)
    assert sheet.pages == 2
    assert len(sheet.grids) == 1


def test_a_file_of_pictures_alone_is_told_as_scanned() -> None:
    from PIL import Image
    from reportlab.lib.utils import ImageReader

    canvas, out = new_canvas()
    for _ in range(2):
        canvas.drawImage(ImageReader(Image.new("L", (60, 80), 90)), 0, 0, 595, 842)
        canvas.showPage()
    assert read(finish(canvas, out), "scan.pdf").warnings == (SCANNED,)


def test_empty_pages_are_no_scan() -> None:
    canvas, out = new_canvas()
    canvas.showPage()
    assert read(finish(canvas, out), "empty.pdf").warnings == ("page 1 is empty",)


def locked() -> bytes:
    from fpdf import FPDF

    pdf = FPDF()
    pdf.set_encryption(owner_password="owner", user_password="secret")
    pdf.add_page()
    pdf.set_font("helvetica", size=10)
    pdf.cell(40, 10, "Inseam 30")
    return bytes(pdf.output())


@pytest.mark.parametrize(
    ("data", "says"),
    [
        pytest.param(locked(), "encrypted", id="password"),
        pytest.param(b"%PDF-1.7\n" + b"\x00\xff" * 500, "damaged", id="junk-behind-the-head"),
        pytest.param(b"%PDF-1.4", "damaged", id="head-alone"),
        pytest.param(b"POM,8,10\nWaist,29,30\n", "not a PDF", id="csv-named-pdf"),
        pytest.param(b"", "not a PDF", id="empty"),
    ],
)
def test_bad_files_are_one_sentence(data: bytes, says: str) -> None:
    with pytest.raises(SheetError, match=says) as error:
        read(data, "folder/bad.pdf")
    assert str(error.value).startswith("folder/bad.pdf: ")
    assert "\n" not in str(error.value)


def test_a_page_whose_size_is_no_number_cannot_be_opened_by_the_second_engine() -> None:
    whole = (Path(__file__).parents[2] / "fixtures/aikuriya/shiyousho.pdf").read_bytes()
    assert b"595.28" in whole
    assert open_plumber(whole.replace(b"595.28", b"5/p.28")) is None


@pytest.mark.parametrize("share", [0.3, 0.6, 0.8, 0.9, 0.97, 0.999])
def test_file_cut_short_gives_what_is_left_or_a_sentence(share: float) -> None:
    whole = press.print_one("grid", press.SPEC)
    cut = whole[: int(len(whole) * share)]
    try:
        grids = [rows_of(grid) for grid in read(cut, "cut.pdf").grids]
    except SheetError:
        with pytest.raises(SheetError, match="damaged"):
            read(cut, "cut.pdf")
        grids = []
    assert grids in ([], [[list(row) for row in press.SPEC]])


def test_page_of_a_thousand_lines_does_not_hang() -> None:
    canvas, out = new_canvas()
    for i in range(4000):
        canvas.line(i * 0.14, 0, i * 0.14, 842)
        canvas.line(0, i * 0.2, 595, i * 0.2)
    draw_table(canvas, 50, 780, press.SPEC, Look("none", pad=7))
    start = time.process_time()
    sheet = read(finish(canvas, out), "pattern.pdf")
    assert time.process_time() - start < 8
    assert any("lines" in warning for warning in sheet.warnings)


def test_suits() -> None:
    assert suits(b"%PDF-1.4 ...", "a.pdf") == 1.0
    assert 0 < suits(b"\r\n junk before %PDF-1.4", "a.bin") < 1
    assert suits(b"<html>", "a.pdf") == 0


def test_meta_language_and_order() -> None:
    from fpdf import FPDF

    pdf = FPDF()
    pdf.set_lang("de-DE")
    pdf.set_title("Maßtabelle")
    pdf.add_page()
    pdf.set_font("helvetica", size=10)
    pdf.cell(40, 10, "Innenbeinlänge: 78 cm")
    sheet = read(bytes(pdf.output()), "de.pdf")
    assert (sheet.language, sheet.meta["title"], sheet.kind) == ("de", "Maßtabelle", "pdf")
    orders = [block.order for block in read(broken("grid", True), "b.pdf").blocks()]
    assert orders == sorted(set(orders))
