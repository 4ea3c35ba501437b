"""Which lines are one row, and where one table ends and the next begins: small PDFs drawn here, text by text."""

from __future__ import annotations

import pytest
from pdf_press import finish, new_canvas
from test_pdf_cells import Texts, draw, rows_of
from test_pdf_packs import ROWS, grids_of, lay

from halfinch.readers.pdf import read


def test_figures_in_two_units_are_no_prose() -> None:
    rows = [["Size", "Hem", "Inseam"]]
    rows += [[str(8 + 2 * k), f"{7 + k} 1/4 in ({18 + k},4 cm)", "31 1/2 in (80 cm)"] for k in range(4)]
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    for x, y, text in lay(rows, (50, 120, 220)):
        canvas.drawString(x, y, text)
    for k in range(5):
        canvas.line(45, 696 - 14 * k, 300, 696 - 14 * k)
    assert grids_of(finish(canvas, out)) == [rows]


def test_a_label_of_two_lines_that_begins_with_a_small_letter_is_a_row_of_its_own() -> None:
    """Drawn cell by cell, so it shows that a cell begins there."""
    rows = [["point", "8", "10"], ["waist", "30", "31"], ["back rise with band", "14", "15"]]
    texts = lay(rows, (50, 150, 200), step=16)
    texts += [(50, 652, "full length with"), (50, 643, "band"), (150, 647.5, "40"), (200, 647.5, "41")]
    assert grids_of(draw(texts)) == [[*rows, ["full length with band", "40", "41"]]]


def test_a_line_left_out_under_a_head_does_not_join_it_with_the_first_row() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    for x, y, text in lay(ROWS + ROWS[1:]):
        canvas.drawString(x, y, text)
    for k in range(1, 7):
        canvas.line(45, 696 - 14 * k, 300, 696 - 14 * k)
    assert grids_of(finish(canvas, out)) == [ROWS + ROWS[1:]]


def test_rows_of_three_lines_with_white_between_them() -> None:
    texts: Texts = [(x, 700, text) for x, text in ((50, "Code"), (110, "Size"), (150, "Notes"), (300, "Price"))]
    for k in range(3):
        y = 682.0 - 36 * k
        texts += [(150, y, f"waist {30 + k}; hip {40 + k}; thigh"), (150, y - 18, f"{25 + k}; inseam {31 + k}; all in")]
        texts += [(x, y - 9, text) for x, text in ((50, f"A{k}"), (110, str(8 + 2 * k)), (300, "118.00"))]
        texts += [(150, y - 9, f"at crotch {24 + k}; knee {16 + k}; hem")]
    [rows] = grids_of(draw(sorted(texts, key=lambda t: (-t[1], t[0]))))
    assert [row[0] for row in rows] == ["Code", "A0", "A1", "A2"]
    assert rows[2][2] == "waist 31; hip 41; thigh at crotch 25; knee 17; hem 26; inseam 32; all in"


def test_two_tables_of_other_columns_are_cut_at_the_widest_white() -> None:
    upper = [
        ["", "16", "18", "20"],
        ["Waist", "90", "93", "97"],
        ["(top)", "", "", ""],
        ["Hips", "122", "125", "129"],
    ]
    lower = [["Size", "Bust (cm)", "Waist (cm)", "Height (cm)"], ["16", "108-111", "88-91", "168"],
             ["18", "111-114", "91-94", "168"], ["20", "115-118", "95-98", "168"]]  # fmt: skip
    texts = [*lay(upper, (50, 150, 185, 220)), (50.0, 625.0, "Body measurements")]
    grids = grids_of(draw(texts + lay(lower, (50, 80, 160, 240), top=608)))
    assert [grid[0] for grid in grids] == [upper[0], lower[0]]
    assert [grid[-1] for grid in grids] == [upper[-1], lower[-1]]


def test_a_wide_head_that_ends_with_its_column_is_over_that_column_alone() -> None:
    canvas, out = new_canvas()
    canvas.setFont("Helvetica", 8)
    heads = [(180, "Waist"), (240, "Pocket"), (340, "FRONT RISE INCL."), (340, "BAND"), (400, "Inseam")]
    for (x, text), y in zip(heads, (700, 700, 711, 700, 700), strict=True):
        canvas.drawRightString(x, y, text)
    canvas.drawString(50, 700, "Size")
    for k in range(3):
        canvas.drawString(50, 684 - 14 * k, str(44 + 2 * k))
        for x, text in ((180, "84,5"), (240, "16,0"), (340, "27,0"), (400, "78,0")):
            canvas.drawRightString(x, 684 - 14 * k, text)
    grid = read(finish(canvas, out), "made.pdf").grids[0]
    assert {cell.column for cell in grid.cells if "RISE" in cell.text or "BAND" in cell.text} == {4}
    assert all(cell.column_span == 1 for cell in grid.cells)


def test_a_letter_spaced_word_broken_by_its_cell_is_whole() -> None:
    texts: Texts = [(50, 711, "Size"), (100, 711, "B A N"), (100, 702, "D"), (150, 711, "Hip"), (190, 711, "Knee")]
    rows = [[str(8 + 2 * k), "30", "40", "16"] for k in range(3)]
    grid = read(draw(texts + lay(rows, (50, 100, 150, 190), top=688)), "made.pdf").grids[0]
    assert rows_of(grid)[0] == ["Size", "BAND", "Hip", "Knee"]


def test_titles_broken_in_their_cells_name_the_tables_side_by_side() -> None:
    rows = [["Size", "1. Waist", "2. Hip", "3. Knee"]] + [[f"{8 + 2 * k} / M", "30", "40", "16"] for k in range(3)]
    texts: Texts = [(50, 730, "Ottery"), (50, 721, "Slacks"), (300, 730, "Larkspur"), (300, 721, "Jeans")]
    xs = (50, 100, 150, 200, 300, 350, 400, 450)
    both = [[*row, *row] for row in rows]
    both[0][0] = "US Size"
    sheet = read(draw(texts + lay(both, xs)), "made.pdf")
    assert [len(rows_of(grid)[0]) for grid in sheet.grids] == [4, 4]
    assert [(text.text, text.kind) for text in sheet.texts] == [
        ("Ottery Slacks", "heading"),
        ("Larkspur Jeans", "heading"),
    ]


@pytest.mark.parametrize(
    "lines",
    [
        pytest.param(["Band 34,5 cm (13½ in) 36 cm (14¼ in)", "Hips 50,5 cm (19¾ in) 51,5 cm (20¼ in)"], id="units"),
        pytest.param(["38 - 16 CM - 65,5 CM - 92,5 CM - 4 CM", "40 - 16 CM - 68 CM - 95 CM - 4 CM"], id="dashes"),
        pytest.param(["Back rise with the band 14 14 1/4 14 1/2 14 3/4", "Hip 38 39 40 41"], id="fractions"),
    ],
)
def test_rows_typed_as_text_stay_lines(lines: list[str]) -> None:
    canvas, out = new_canvas((260, 842))
    canvas.setFont("Helvetica", 9)
    for k, line in enumerate(lines):
        canvas.drawString(50, 700 - 11 * k, line)
    assert [text.text for text in read(finish(canvas, out), "made.pdf").texts] == lines


def test_a_label_and_its_figures_with_one_blank_between_all_are_a_line() -> None:
    """Drawn word by word, so that only the white tells."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    lines = [
        "Front rise (excl. waistband) 10.5 10.75 11 11.5",
        "Back rise inc. WB 14.75 15.25 15.5 16",
        "Hem 8.5 9 9.5 10",
    ]
    texts: Texts = []
    for k, line in enumerate(lines):
        x = 50.0
        for word in line.split():
            texts.append((x, 700 - 12 * k, word))
            x += stringWidth(word + " ", "Helvetica", 8)
    sheet = read(draw(texts), "made.pdf")
    assert ([text.text for text in sheet.texts], sheet.grids) == (lines, ())


AT = (50.0, 120.0, 150.0, 180.0)


def test_labels_that_end_in_a_colon_are_no_titles() -> None:
    rows = [["Point", "8", "10", "12"], ["Waist:", "30", "31", "32"], ["Hip:", "40", "41", "42"]]
    rows += [["Front rise with", "10", "11", "12"], ["Hem:", "15", "16", "17"]]
    texts: Texts = [*lay(rows, AT, step=22), (50, 625, "Waistband:")]
    assert grids_of(draw(texts))[0][3:] == [["Front rise with Waistband:", *rows[3][1:]], rows[4]]


def test_the_rest_of_a_last_label_whose_bracket_is_open() -> None:
    rows = [*ROWS, ["Inseam (from", "30", "30", "30"]]
    texts: Texts = [*lay(rows), (50, 635, "Crotch)")]
    assert grids_of(draw(texts))[0][-1] == ["Inseam (from Crotch)", "30", "30", "30"]


def test_what_writers_put_where_nobody_said_it_is_not_said() -> None:
    assert read(draw(lay(ROWS)), "made.pdf").meta == {}
