"""How tech packs come: filled forms, corrections, spreadsheets printed to PDF, pages two on a sheet, attached files."""

from __future__ import annotations

import pytest
from pdf_press import finish, new_canvas
from test_pdf_cells import Texts, draw, rows_of

from halfinch.readers import iter_members
from halfinch.readers.pdf import read
from halfinch.sheet import HIDDEN, Text

ROWS = [["Point", "8", "10", "12"], ["Waist", "30", "31", "32"], ["Hip", "40", "41", "42"], ["Hem", "15", "15.5", "16"]]
AT = (50.0, 150.0, 200.0, 250.0)


def lay(rows: list[list[str]], xs: tuple[float, ...] = AT, top: float = 700, step: float = 14) -> Texts:
    return [(x, top - step * k, text) for k, row in enumerate(rows) for x, text in zip(xs, row, strict=True) if text]


def grids_of(data: bytes) -> list[list[list[str]]]:
    return [rows_of(grid) for grid in read(data, "made.pdf").grids]


@pytest.mark.parametrize("pictures", [True, False], ids=["each field with its picture", "values alone"])
def test_what_is_typed_into_a_form_is_in_its_table(pictures: bool) -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    for x, y, text in lay([row[:1] + [""] * 3 if k else row for k, row in enumerate(ROWS)]):
        canvas.drawString(x, y, text)
    for k, row in enumerate(ROWS[1:], start=1):
        for x, text in zip(AT[1:], row[1:], strict=True):
            canvas.acroForm.textfield(name=f"{text}/{x}", value=text, x=x - 2, y=698 - 14 * k, width=40, height=12,
                                      fontSize=8, borderWidth=0)  # fmt: skip
    data = finish(canvas, out)
    if not pictures:
        data = data.replace(b"/AP", b"/XP").replace(b"/NeedAppearances false", b"/NeedAppearances true ")
    assert grids_of(data) == [ROWS]


def test_letters_of_a_scan_are_seen_in_its_picture() -> None:
    from PIL import Image
    from reportlab.lib.utils import ImageReader

    canvas, out = new_canvas()
    canvas.drawImage(ImageReader(Image.new("L", (60, 80), 240)), 0, 0, 595, 842)
    for x, y, text in lay(ROWS):
        unseen = canvas.beginText(x, y)
        unseen.setTextRenderMode(3)
        unseen.textOut(text)
        canvas.drawText(unseen)
    sheet = read(finish(canvas, out), "scan.pdf")
    assert rows_of(sheet.grids[0]) == ROWS
    assert not any(HIDDEN in cell.marks for cell in sheet.grids[0].cells)
    assert sheet.warnings == ("page 1 is a scanned image; the text laid under it may be misread",)


def test_a_figure_painted_over_and_written_anew() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    for x, y, text in lay(ROWS):
        canvas.drawString(x, y, text)
    canvas.setFillGray(1)
    canvas.rect(148, 697 - 28, 40, 11, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.drawString(150, 700 - 28, "40 1/2")
    assert grids_of(finish(canvas, out)) == [[*ROWS[:2], ["Hip", "40 1/2", "41", "42"], ROWS[3]]]


def test_a_figure_struck_out_beside_the_new_one() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    for x, y, text in lay(ROWS, (50, 160, 210, 260)):
        canvas.drawString(x, y, text)
    canvas.drawString(148, 700 - 28, "39")
    canvas.line(147, 700 - 25.5, 158, 700 - 25.5)
    assert grids_of(finish(canvas, out)) == [ROWS]


def test_figures_without_white_between_them_are_two() -> None:
    rows = [["Point", "8", "10", "12"], ["Waist", "82.0", "84.5", "87.0"], ["Hip", "101.5", "104.0", "106.5"]]
    rows += [["Thigh", "61.0", "62.5", "64.0"], ["Knee", "45.0", "46.0", "47.0"], ["Hem", "38.0", "39.0", "40.0"]]
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    for k, (label, *row) in enumerate(rows):
        canvas.drawString(50, 700 - 14 * k, label)
        for i, text in enumerate(row):
            canvas.drawCentredString(150 + 19.5 * i, 700 - 14 * k, text)
    assert grids_of(finish(canvas, out)) == [rows]


def test_heads_to_the_left_and_figures_to_the_right_of_their_columns() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    for k, row in enumerate(ROWS):
        canvas.drawString(50, 700 - 14 * k, row[0])
        for x, text in zip((150, 220, 290), row[1:], strict=True):
            (canvas.drawRightString if k else canvas.drawString)(x + (60 if k else 0), 700 - 14 * k, text)
    assert grids_of(finish(canvas, out)) == [ROWS]


def test_rows_far_from_each_other_at_an_even_distance() -> None:
    assert grids_of(draw(lay(ROWS, step=44))) == [ROWS]


WIDE = [[*row, *more] for row, more in zip(ROWS, (["14", "16"], ["33", "34"], ["43", "44"], ["17", "18"]), strict=True)]


def test_columns_too_many_for_a_page_stand_on_the_next() -> None:
    further = lay([row[4:] for row in WIDE], (50, 100))
    sheet = read(draw(lay(ROWS), further), "made.pdf")
    assert [rows_of(grid) for grid in sheet.grids] == [WIDE]
    assert {cell.place for cell in sheet.grids[0].cells if cell.text == "43"} == {"page=2;table=1;row=3;col=1"}


@pytest.mark.parametrize(
    "texts",
    [
        pytest.param(lay([row[4:] for row in WIDE], (50, 100), top=600), id="other heights"),
        pytest.param(lay([row[4:] for row in WIDE], (50, 100), step=20), id="rows at another distance"),
        pytest.param(lay([[row[0], *row[4:]] for row in WIDE], (50, 100, 150)), id="labels of its own"),
        pytest.param([*lay([row[4:] for row in WIDE], (50, 100)), (50, 730, "Petite")], id="a title over it"),
    ],
)
def test_another_table_on_the_next_page_stays_one(texts: Texts) -> None:
    assert len(read(draw(lay(ROWS), texts), "made.pdf").grids) == 2


def test_two_pages_on_one_sheet_are_read_one_after_the_other() -> None:
    canvas, out = new_canvas((1190, 842))
    for k, style in enumerate(("Marlow", "Pippa")):
        canvas.setFont("Helvetica", 8)
        facts = [["STYLE " + style, "NAME Jean", "SEASON FW27", f"PAGE {k}"], ["UNIT: INCHES", "SIZE 6", "11 OZ", ""]]
        for x, y, text in lay(facts, (50, 150, 250, 350), top=742):
            canvas.drawString(595 * k + x, y, text)
        for x, y, text in lay(ROWS):
            canvas.drawString(595 * k + x, y, text)
    sheet = read(finish(canvas, out), "made.pdf")
    assert [rows_of(grid) for grid in sheet.grids if grid.rows == len(ROWS)] == [ROWS, ROWS]
    blocks = sorted([*sheet.texts, *sheet.grids], key=lambda block: block.order)
    said = [block.text if isinstance(block, Text) else " ".join(cell.text for cell in block.cells) for block in blocks]
    order = [word for text in said for word in ("Marlow", "Pippa", "Waist") if word in text]
    assert order == ["Marlow", "Waist", "Pippa", "Waist"]


def test_facts_over_a_table_are_not_its_head() -> None:
    facts: Texts = [(50, 714, "Style: B3036"), (150, 714, "Season: FW27"), (250, 714, "Page: 4 of 9")]
    assert grids_of(draw([*facts, *lay(ROWS)]))[-1] == ROWS


def test_a_cell_over_two_columns_that_are_parted_below_it() -> None:
    """Its middle line is missing, and nothing else says that it spans."""
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    xs, ys = (40, 140, 190, 240), (720, 704, 688, 672, 656)
    for y in ys:
        canvas.line(xs[0], y, xs[-1], y)
    for x in xs:
        canvas.line(x, ys[1] if x == 190 else ys[0], x, ys[-1])
    canvas.drawCentredString(190, 709, "Regular")
    for k, row in enumerate(ROWS[:3]):
        for x, text in zip((45, 150, 200), row, strict=False):
            canvas.drawString(x, 692 - 16 * k, text)
    grid = read(finish(canvas, out), "x.pdf").grids[0]
    assert [(c.text, c.column, c.column_span) for c in grid.cells if c.row == 1 and c.text] == [("Regular", 2, 2)]


@pytest.mark.parametrize(
    ("name", "names"),
    [
        pytest.param("spec.csv", ["pack.pdf", "pack.pdf/spec.csv"], id="a table"),
        pytest.param("factur-x.xml", ["pack.pdf"], id="data of the page itself"),
        pytest.param("../../spec.csv", ["pack.pdf", "pack.pdf/spec.csv"], id="a name that climbs"),
    ],
)
def test_files_attached_to_a_pdf_are_sheets(name: str, names: list[str]) -> None:
    from fpdf import FPDF

    pdf = FPDF()
    pdf.add_page()
    pdf.embed_file(basename=name, bytes=b"Point,8,10\nWaist,30,31\n")
    assert [inner for inner, _ in iter_members(bytes(pdf.output()), "pack.pdf")] == names
