"""Invented PDF documents with known tables, printed by two writers, for the tests of the PDF reader."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

Rows = Sequence[Sequence[str | None]]

SPEC: Rows = [
    ["Point of measure", "8", "10", "12", "14", "Tol"],
    ["Waist relaxed", "29 1/2", "30 1/2", "31 1/2", "33", "1/2"],
    ["Hip 7 in below band", "39", "40", "41", "42 1/2", "1/2"],
    ["Front rise", "10 1/4", "10 1/2", "10 3/4", "11", "1/4"],
    ["Back rise", "14", "14 1/4", "14 1/2", "14 3/4", "1/4"],
    ["Thigh 1 in below crotch", "23 1/2", "24", "24 3/4", "25 1/2", "1/4"],
    ["Inseam", "30", "30", "30", "30", "3/8"],
    ["Leg opening", "15", "15 1/4", "15 1/2", "16", "1/4"],
]
GAPS: Rows = [
    ["POM", "S", "M", "L", "XL"],
    ["Bund 1/2", "36,5", "38,5", "", "43,0"],
    ["Hüfte 1/2", "", "50,0", "52,5", "55,0"],
    ["Innenbeinlänge", "78", "78", "79", ""],
    ["Saumweite", "", "", "21,0", "21,5"],
    ["Leibhöhe vorn", "26,5", "27,0", "27,5", "28,0"],
]
TIMETABLE: Rows = [
    ["Stop", "101", "103", "105", "107", "109"],
    ["Harbour Gate", "06:02", "06:32", "07:02", "07:32", "08:02"],
    ["Old Mill Lane", "06:09", "06:39", "07:09", "", "08:09"],
    ["Hospital", "06:15", "06:45", "07:15", "07:44", "08:15"],
    ["University North", "06:21", "", "07:21", "07:50", "08:21"],
    ["Terminus", "06:30", "07:00", "07:30", "07:58", "08:30"],
]
INVOICE: Rows = [
    ["No", "Description", "Qty", "Unit price", "Amount"],
    ["1", "Copper pipe 15 mm, length of three metres", "12", "8.40", "100.80"],
    ["2", "Elbow fitting", "40", "1.15", "46.00"],
    ["3", "Soldering paste", "2", "6.90", "13.80"],
    ["4", "Call-out", "1", "55.00", "55.00"],
    ["", "Sum before tax", "", "", "215.60"],
]
STATISTICS: Rows = [
    ["Region", "2019", "2020", "2021", "Change (%)"],
    ["Northern valleys", "1,204,332", "1,198,440", "1,211,093", "+0.6"],
    ["Coast", "982,120", "990,455", "1,002,871", "+2.1"],
    ["Islands", "88,410", "87,992", "86,540", "-2.1"],
    ["Total", "2,274,862", "2,276,887", "2,300,504", "+1.1"],
]
ROSTER: Rows = [
    ["Name", "Duty", "Room", "From"],
    ["Ida Morrow", "Front desk", "Hall", "Monday"],
    ["Tom Quill", "Archive", "Cellar", "Tuesday"],
    ["Ann Birch", "Reading room", "First floor", "Monday"],
    ["Per Lund", "Repairs", "Workshop", "Friday"],
]
TABLES: dict[str, Rows] = {
    "spec": SPEC, "gaps": GAPS, "timetable": TIMETABLE, "invoice": INVOICE, "statistics": STATISTICS, "roster": ROSTER,
}  # fmt: skip
LOOKS = ("grid", "level", "head-rule", "zebra", "box", "columns", "open-sides", "none", "none-right", "none-tight")


def new_canvas(size: tuple[float, float] = (595, 842)) -> tuple[Any, io.BytesIO]:
    from reportlab.pdfgen import canvas

    out = io.BytesIO()
    return canvas.Canvas(out, pagesize=size, invariant=1), out


def finish(canvas: Any, out: io.BytesIO) -> bytes:
    canvas.save()
    return out.getvalue()


@dataclass
class Look:
    """How a table is drawn: its lines, its row height, its letters, where the columns stand."""

    lines: str = "grid"
    size: float = 9.0
    high: float = 16.0
    pad: float = 4.0
    right: bool = False
    font: str = "Helvetica"


def widths_of(rows: Rows, look: Look, room: float = 0.0) -> list[float]:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    count = max(len(row) for row in rows)
    return [
        max(stringWidth(row[c] or "", look.font, look.size) for row in rows) + 2 * look.pad + room for c in range(count)
    ]


def draw_table(canvas: Any, x: float, y: float, rows: Rows, look: Look, widths: list[float] | None = None) -> float:
    """Draw rows with their upper left corner at (x, y) from the page's lower left; gives the y under the table."""
    widths = widths or widths_of(rows, look)
    xs = [x]
    for width in widths:
        xs.append(xs[-1] + width)
    ys = [y - look.high * i for i in range(len(rows) + 1)]
    if look.lines == "zebra":
        canvas.setFillGray(0.9)
        for i in range(0, len(rows), 2):
            canvas.rect(x, ys[i + 1], xs[-1] - x, look.high, stroke=0, fill=1)
        canvas.setFillGray(0)
    canvas.setLineWidth(0.5)
    level = {
        "grid": ys, "level": ys, "head-rule": [ys[0], ys[1], ys[-1]], "box": [ys[0], ys[-1]],
        "columns": [ys[0], ys[1], ys[-1]], "open-sides": ys,
    }.get(look.lines, [])  # fmt: skip
    upright = {"grid": xs, "box": [xs[0], xs[-1]], "columns": xs, "open-sides": xs[1:-1]}.get(look.lines, [])
    for at in level:
        canvas.line(x, at, xs[-1], at)
    for at in upright:
        canvas.line(at, ys[0], at, ys[-1])
    canvas.setFont(look.font, look.size)
    for i, row in enumerate(rows):
        base = ys[i + 1] + (look.high - look.size) / 2 + 0.2 * look.size
        for c, text in enumerate(row):
            if not text:
                continue
            if look.right and c > 0:
                canvas.drawRightString(xs[c + 1] - look.pad, base, text)
            else:
                canvas.drawString(xs[c] + look.pad, base, text)
    return ys[-1]


def look_named(name: str) -> Look:
    if name == "none-right":
        return Look("none", right=True, pad=6)
    if name == "none-tight":
        return Look("none", high=11.5, pad=4, right=True)
    if name.startswith("none"):
        return Look("none", pad=7)
    return Look(name)


def print_one(name: str, rows: Rows, title: str = "", prose: bool = False) -> bytes:
    """A page with one table in a named look."""
    canvas, out = new_canvas()
    y = 780.0
    if title:
        canvas.setFont("Helvetica-Bold", 15)
        canvas.drawString(50, y, title)
        y -= 30
    if prose:
        y = draw_prose(canvas, 50, y, 480) - 12
    y = draw_table(canvas, 50, y, rows, look_named(name))
    if prose:
        draw_prose(canvas, 50, y - 24, 480)
    return finish(canvas, out)


PROSE = (
    "All figures were taken by two people on three samples laid out flat on a table after resting for a day, and the "
    "mean of the readings is printed here. Small differences between single pieces come from the cloth and from the "
    "making and are no fault. Please ask before the order is placed if anything about these figures is not clear, and "
    "send back the signed sheet with the date of the day on which it was read."
)


def draw_prose(canvas: Any, x: float, y: float, width: float, size: float = 10, text: str = PROSE) -> float:
    from reportlab.lib.utils import simpleSplit

    canvas.setFont("Times-Roman", size)
    for line in simpleSplit(text, "Times-Roman", size, width):
        canvas.drawString(x, y, line)
        y -= 1.2 * size
    return y


def print_fpdf(rows: Rows, border: int = 1, fill_head: bool = False, size: float = 9) -> bytes:
    """The same by the second writer: cells boxed one by one, or no lines; head filled cell by cell."""
    from fpdf import FPDF

    pdf = FPDF(unit="pt", format="A4")
    pdf.set_compression(True)
    pdf.add_page()
    pdf.set_font("helvetica", size=size)
    look = Look(size=size, pad=6)
    widths = widths_of(rows, look, 4)
    for i, row in enumerate(rows):
        pdf.set_fill_color(40, 60, 90)
        head = fill_head and i == 0
        pdf.set_text_color(*((255, 255, 255) if head else (0, 0, 0)))
        for c, text in enumerate(row):
            pdf.cell(widths[c], 16, text or "", border=border, fill=head, align="L" if c == 0 else "C")
        pdf.ln(16)
    return bytes(pdf.output())


def documents() -> dict[str, tuple[bytes, list[Rows]]]:
    """Invented documents, garment and foreign, over all looks: name -> (PDF, its tables)."""
    made: dict[str, tuple[bytes, list[Rows]]] = {}
    for table, rows in TABLES.items():
        for look in LOOKS:
            made[f"{table}/{look}"] = (print_one(look, rows, f"{table.title()} sheet", table in ("spec", "statistics")),
                                       [rows])  # fmt: skip
        made[f"{table}/fpdf-boxed"] = (print_fpdf(rows), [rows])
        made[f"{table}/fpdf-open"] = (print_fpdf(rows, 0), [rows])
        made[f"{table}/fpdf-filled-head"] = (print_fpdf(rows, 0, True), [rows])
    return made
