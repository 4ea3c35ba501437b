"""PDF by fpdf2: its own table layout, or cells of fixed width one after the other."""

from __future__ import annotations

import random

from .doc import Doc, Heading, Items, Pairs, Para, Table
from .pdf_page import Face, fit, wrap


def print_fpdf(doc: Doc, rng: random.Random, face: Face) -> tuple[bytes, str]:
    from fpdf import FPDF

    wide = max((block.width() for block in doc.blocks if isinstance(block, Table)), default=0) > 8
    paper = FPDF(orientation="landscape" if wide else "portrait", unit="pt", format=rng.choice(["A4", "letter"]))
    paper.set_margin(36)
    paper.set_auto_page_break(True, 40)
    paper.add_page()
    family = {"Helvetica": "helvetica", "Times-Roman": "times"}.get(face.name, face.name)
    if face.file:
        paper.add_font(family, "", face.file)
    else:
        paper.core_fonts_encoding = "cp1252"
    look, size = (
        rng.choice(["ALL", "ALL", "HORIZONTAL_LINES", "MINIMAL", "NONE", "SINGLE_TOP_LINE"]),
        rng.choice([7.0, 8.0, 9.0]),
    )
    cells = rng.random() < 0.35

    def measure(text: str, points: float) -> float:
        paper.set_font(family, "", points)
        return float(paper.get_string_width(text))

    def line(text: str, points: float) -> None:
        paper.set_font(family, "", points)
        paper.multi_cell(0, points * 1.4, text, align="L", new_x="LMARGIN", new_y="NEXT")

    for block in doc.blocks:
        if isinstance(block, Heading | Para):
            line(block.text, 9 if isinstance(block, Para) else 14 if block.level == 1 else 11)
        elif isinstance(block, Items):
            for item in block.lines:
                line(item, 9)
        elif isinstance(block, Pairs):
            line(block.title, 9)
            for label, value in block.rows:
                line(f"{label}  {value}", 9)
        elif isinstance(block, Table):
            if block.caption:
                line(block.caption, 9)
            rows = block.spread()
            points, widths = fit(rows, paper.epw - 2, size, measure, 4.0)
            paper.set_font(family, "", points)
            (_cells if cells else _table)(paper, block, widths, points, look, measure)
            paper.ln(10)
    return bytes(paper.output()), "fpdf cells" if cells else f"fpdf table, {look}"


def _table(paper: object, block: Table, widths: list[float], size: float, look: str, measure: object) -> None:
    rows = block.spread()
    with paper.table(
        borders_layout=look, col_widths=tuple(widths), width=sum(widths), line_height=size * 1.3,
        text_align="LEFT", first_row_as_headings=False, align="LEFT", padding=1,
    ) as table:  # fmt: skip
        for row in rows:
            line = table.row()
            for cell, width in zip(row, widths, strict=True):
                line.cell("\n".join(wrap(cell.text, width - 7.9, size, measure)))


def _cells(paper: object, block: Table, widths: list[float], size: float, look: str, measure: object) -> None:
    border = 1 if look == "ALL" else 0
    for row in block.spread():
        texts = [wrap(cell.text, width - 7.9, size, measure) for cell, width in zip(row, widths, strict=True)]
        paper.set_font_size(size)
        deep = max(len(lines) for lines in texts)
        if paper.will_page_break(deep * size * 1.3):
            paper.add_page(same=True)
        top = paper.get_y()
        x = paper.l_margin
        for lines, width in zip(texts, widths, strict=True):
            if border:
                paper.rect(x, top, width, deep * size * 1.3)
            for depth, text in enumerate(lines):
                paper.set_xy(x, top + depth * size * 1.3)
                paper.cell(width, size * 1.3, text)
            x += width
        paper.set_xy(paper.l_margin, top + deep * size * 1.3)
