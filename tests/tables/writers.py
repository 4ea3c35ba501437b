"""Three writers print the reports: letters and lines placed by hand, reportlab's tables, fpdf2's tables.

Looks: ``grid`` (ruled), ``head`` and ``level`` (half ruled: some level lines), ``columns`` (half ruled: upright lines),
``zebra`` (shaded rows) and ``none`` (borderless).
"""

from __future__ import annotations

import io
import random
from dataclasses import dataclass, field, replace
from typing import Any

from tests.tables.reports import KINDS, Rows, Table

LOOKS = ("grid", "head", "level", "columns", "zebra", "none", "none")
WRITERS = ("canvas", "platypus", "fpdf")
RULINGS = ("ruled", "half ruled", "borderless")
LEFT, TOP, WIDE, HIGH = 45.0, 60.0, 595.0, 842.0
PROSE = (
    "The figures on this page were gathered by the offices named in the annex and brought together once a year. Where "
    "an office did not answer in time its figures of the year before were taken. Small differences come from rounding."
)


@dataclass(slots=True)
class Document:
    """A printed document with the tables that stand on its pages (a broken table is one on each page)."""

    name: str
    data: bytes
    truth: list[Rows] = field(default_factory=list)
    ruling: str = ""
    """ruled | half ruled | borderless"""


@dataclass(frozen=True, slots=True)
class Placed:
    """A table at its place on a page."""

    table: Table
    x: float
    widths: tuple[float, ...]
    page: int
    beside: bool = False
    """Right of the table before it, at the same height."""


def make_document(seed: int) -> Document:
    """The document of a seed: kinds of table, look, writer, letters and company are drawn."""
    dice = random.Random(seed)
    writer, look = WRITERS[seed % 3], dice.choice(LOOKS)
    size = dice.choice([8.0, 9.0, 10.0])
    tables = [dice.choice(KINDS)(dice) for _ in range(dice.choice([1, 1, 1, 2, 2]))]
    placed = place_tables(tables, size, dice)
    prose = dice.random() < 0.5
    data = {"canvas": by_canvas, "platypus": by_platypus, "fpdf": by_fpdf}[writer](placed, look, size, prose)
    ruling = {"grid": "ruled", "none": "borderless", "zebra": "borderless"}.get(look, "half ruled")
    return Document(f"{seed}/{writer}/{look}", data, [as_seen(one.table, look) for one in placed], ruling)


def as_seen(table: Table, look: str) -> Rows:
    """The truth that the page shows: only a frame tells that a cell goes on below, or a section title to the right.

    A heading over several columns is seen by where it stands, framed or not.
    """
    if look == "grid":
        return table.rows
    return [
        ["" if text == "^" or (text == "<" and r >= table.heads) else text for text in row]
        for r, row in enumerate(table.rows)
    ]


def place_tables(tables: list[Table], size: float, dice: random.Random) -> list[Placed]:
    """One below another, side by side where two have room, or the first broken over two pages."""
    sized = [(table, column_widths(table.rows, size, dice.uniform(5, 12))) for table in tables]
    if len(sized) == 2 and sum(sum(widths) for _, widths in sized) + 30 <= WIDE - 2 * LEFT:
        (one, first), (two, second) = sized
        right = LEFT + sum(first) + 30
        return [Placed(replace(one, notes=()), LEFT, first, 0), Placed(replace(two, notes=()), right, second, 0, True)]
    placed = []
    for page, (table, widths) in enumerate(sized):
        cut = dice.randint(table.heads + 2, len(table.rows) - 2) if len(table.rows) > table.heads + 5 else 0
        if page == 0 and len(sized) == 1 and cut and "^" not in table.rows[cut] and dice.random() < 0.3:
            again = table.rows[: table.heads] if dice.random() < 0.6 else []
            rest = replace(table, rows=[*again, *table.rows[cut:]], heads=len(again), title="")
            placed += [
                Placed(replace(table, rows=table.rows[:cut], notes=()), LEFT, widths, 0),
                Placed(rest, LEFT, widths, 1),
            ]
        else:
            placed.append(Placed(table, LEFT, widths, 0))
    return placed


def column_widths(rows: Rows, size: float, room: float) -> tuple[float, ...]:
    """What the widest line of each column needs, spans not counted, and `room` beside it."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    def wide(row: list[str], c: int) -> float:
        alone = row[c] not in ("<", "^") and (c + 1 == len(row) or row[c + 1] != "<")
        return max(stringWidth(line, "Helvetica-Bold", size) for line in row[c].split("\n")) if alone else 0.0

    return tuple(max(wide(row, c) for row in rows) + room for c in range(len(rows[0])))


def spans(rows: Rows) -> dict[tuple[int, int], tuple[int, int]]:
    """(row, column) of every cell to its rows and columns."""
    found: dict[tuple[int, int], tuple[int, int]] = {}
    for r, row in enumerate(rows):
        for c, text in enumerate(row):
            if text in ("<", "^"):
                continue
            wide = next((k for k in range(1, len(row) - c) if row[c + k] != "<"), len(row) - c)
            high = next((k for k in range(1, len(rows) - r) if rows[r + k][c] != "^"), len(rows) - r)
            found[r, c] = (high, wide)
    return found


def is_figure(text: str) -> bool:
    return sum(char.isdigit() for char in text) * 2 >= len(text.replace(" ", "")) > 0 or text in ("-", "n.d.", "< 0.01")


def by_canvas(placed: list[Placed], look: str, size: float, prose: bool) -> bytes:
    """Letters and lines placed one by one."""
    from reportlab.lib.utils import simpleSplit
    from reportlab.pdfgen.canvas import Canvas

    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(WIDE, HIGH), invariant=1)
    page, y, before = 0, TOP, TOP
    for number, one in enumerate(placed):
        if one.page != page:
            canvas.showPage()
            page, y = one.page, TOP
        y = before if one.beside else y
        if number == 0 and prose:
            canvas.setFont("Times-Roman", 10)
            for line in simpleSplit(PROSE, "Times-Roman", 10, WIDE - 2 * LEFT):
                canvas.drawString(LEFT, HIGH - y, line)
                y += 12
            y += 10
        before = y
        if one.table.title:
            canvas.setFont("Helvetica-Bold", size + 2)
            canvas.drawString(one.x, HIGH - y, one.table.title)
        y = _draw(canvas, one, look, size, y + 14)
        canvas.setFont("Helvetica", size - 2)
        for note in one.table.notes:
            canvas.drawString(one.x, HIGH - y - 10, note)
            y += 12
        y += 40
    canvas.save()
    return out.getvalue()


def _draw(canvas: Any, one: Placed, look: str, size: float, top: float) -> float:
    rows, pad = one.table.rows, 2.5
    xs = [one.x]
    for width in one.widths:
        xs.append(xs[-1] + width)
    ys = [top]
    for row in rows:
        deep = max(len(text.split("\n")) for text in row)
        ys.append(ys[-1] + deep * 1.2 * size + 2 * pad)
    cells = spans(rows)
    canvas.setLineWidth(0.5)
    if look == "zebra":
        canvas.setFillGray(0.91)
        for r in range(0, len(rows), 2):
            canvas.rect(xs[0], HIGH - ys[r + 1], xs[-1] - xs[0], ys[r + 1] - ys[r], stroke=0, fill=1)
        canvas.setFillGray(0)
    level = {"head": (0, one.table.heads, len(rows)), "level": range(len(rows) + 1)}.get(look, ())
    for r in level:
        canvas.line(xs[0], HIGH - ys[r], xs[-1], HIGH - ys[r])
    if look == "columns":
        for x in xs[1:-1]:
            canvas.line(x, HIGH - ys[one.table.heads - 1 if one.table.heads else 0], x, HIGH - ys[-1])
    for (r, c), (high, wide) in cells.items():
        if look == "grid":
            canvas.rect(xs[c], HIGH - ys[r + high], xs[c + wide] - xs[c], ys[r + high] - ys[r], stroke=1, fill=0)
        canvas.setFont("Helvetica-Bold" if r < one.table.heads else "Helvetica", size)
        for k, line in enumerate(rows[r][c].split("\n")):
            base = HIGH - ys[r] - pad - (k + 0.8) * 1.2 * size
            if wide > 1 and c > 0:
                canvas.drawCentredString((xs[c] + xs[c + wide]) / 2, base, line)
            elif c > 0 and (is_figure(rows[-1][c]) or is_figure(rows[r][c])):
                canvas.drawRightString(xs[c + wide] - pad, base, line)
            else:
                canvas.drawString(xs[c] + pad, base, line)
    return ys[-1]


def by_platypus(placed: list[Placed], look: str, size: float, prose: bool) -> bytes:
    """reportlab's own tables in a flow; two side by side stand in a table without lines."""
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import PageBreak, Paragraph, SimpleDocTemplate, Spacer
    from reportlab.platypus import Table as Flow

    styles = getSampleStyleSheet()
    story: list[Any] = [Paragraph(PROSE, styles["BodyText"]), Spacer(1, 10)] if prose else []
    page = 0
    for i, one in enumerate(placed):
        if one.page != page:
            story.append(PageBreak())
            page = one.page
        flow = _flow(one, look, size)
        if one.beside:
            continue
        if one.table.title:
            story.append(Paragraph(one.table.title, styles["Heading3"]))
        if i + 1 < len(placed) and placed[i + 1].beside:
            other = _flow(placed[i + 1], look, size)
            flow = Flow([[flow, "", other]], colWidths=[sum(one.widths), 30, sum(placed[i + 1].widths)], hAlign="LEFT")
            flow.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])
        story += [flow, *(Paragraph(note, styles["Italic"]) for note in one.table.notes), Spacer(1, 30)]
    out = io.BytesIO()
    SimpleDocTemplate(out, pagesize=(WIDE, HIGH), leftMargin=LEFT, rightMargin=LEFT, invariant=1).build(story)
    return out.getvalue()


def _flow(one: Placed, look: str, size: float) -> Any:
    from reportlab.lib.colors import black, lightgrey
    from reportlab.platypus import Table as Flow

    rows, heads = one.table.rows, one.table.heads
    style: list[tuple[Any, ...]] = [
        ("FONTSIZE", (0, 0), (-1, -1), size),
        ("LEADING", (0, 0), (-1, -1), 1.2 * size),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("RIGHTPADDING", (0, 0), (-1, -1), 2),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    lines = {
        "grid": [("GRID", (0, 0), (-1, -1), 0.5, black)],
        "head": [
            ("LINEABOVE", (0, 0), (-1, 0), 1, black),
            ("LINEBELOW", (0, heads - 1), (-1, heads - 1), 0.5, black),
            ("LINEBELOW", (0, -1), (-1, -1), 1, black),
        ],
        "level": [("LINEBELOW", (0, 0), (-1, -1), 0.5, black)],
        "columns": [("LINEAFTER", (0, 0), (-2, -1), 0.5, black)],
        "zebra": [("ROWBACKGROUNDS", (0, 0), (-1, -1), (lightgrey, None))],
    }
    style += lines.get(look, [])
    if heads:
        style.append(("FONTNAME", (0, 0), (-1, heads - 1), "Helvetica-Bold"))
    for (r, c), (high, wide) in spans(rows).items():
        if high * wide > 1:
            style.append(("SPAN", (c, r), (c + wide - 1, r + high - 1)))
        if c > 0 and is_figure(rows[r][c]):
            style.append(("ALIGN", (c, r), (c, r), "RIGHT"))
        elif wide > 1 and c > 0:
            style.append(("ALIGN", (c, r), (c, r), "CENTER"))
    plain = [["" if text in ("<", "^") else text for text in row] for row in rows]
    return Flow(plain, colWidths=[width + 2 for width in one.widths], style=style, hAlign="LEFT")


def by_fpdf(placed: list[Placed], look: str, size: float, prose: bool) -> bytes:
    """fpdf2's tables: its own lines, headings and spans."""
    from fpdf import FPDF
    from fpdf.enums import TableBordersLayout, TableCellFillMode, TableSpan, VAlign
    from fpdf.fonts import FontFace

    layout = {"grid": "ALL", "level": "HORIZONTAL_LINES", "head": "SINGLE_TOP_LINE", "columns": "MINIMAL"}.get(
        look, "NONE"
    )
    pdf = FPDF(unit="pt", format=(WIDE, HIGH))
    pdf.set_margins(LEFT, TOP, 5)
    pdf.add_page()
    page, before = 0, TOP
    for number, one in enumerate(placed):
        if one.page != page:
            pdf.add_page()
            page = one.page
        if one.beside:
            pdf.set_y(before)
        if number == 0 and prose:
            pdf.set_font("times", size=10)
            pdf.multi_cell(0, 12, PROSE, new_x="LMARGIN", new_y="NEXT")
            pdf.ln(8)
        before = pdf.get_y()
        pdf.set_left_margin(one.x)
        if one.table.title:
            pdf.set_font("helvetica", "B", size + 2)
            pdf.cell(0, 16, one.table.title, new_x="LMARGIN", new_y="NEXT")
        pdf.set_font("helvetica", size=size)
        with pdf.table(
            width=sum(one.widths),
            col_widths=one.widths,
            align="LEFT",
            borders_layout=getattr(TableBordersLayout, layout),
            line_height=1.3 * size,
            padding=2,
            v_align=VAlign.T,
            first_row_as_headings=False,
            cell_fill_color=230 if look == "zebra" else None,
            cell_fill_mode=TableCellFillMode.ROWS if look == "zebra" else TableCellFillMode.NONE,
        ) as table:
            for r, texts in enumerate(one.table.rows):
                row = table.row(style=FontFace(emphasis="BOLD" if r < one.table.heads else None))
                for c, text in enumerate(texts):
                    side = "RIGHT" if c > 0 and is_figure(text) else "LEFT"
                    span = {"<": TableSpan.COL, "^": TableSpan.ROW}.get(text)
                    row.cell(span if span else text, align=side)
        pdf.set_font("helvetica", size=size - 2)
        for note in one.table.notes:
            pdf.cell(0, 12, note, new_x="LMARGIN", new_y="NEXT")
        pdf.set_left_margin(LEFT)
        pdf.ln(30)
    return bytes(pdf.output())
