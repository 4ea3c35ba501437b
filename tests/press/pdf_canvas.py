"""PDF drawn by hand on reportlab's canvas: each text at its place, rules or none, broken over pages."""

from __future__ import annotations

import random

from .doc import Cell, Doc, Heading, Items, Pairs, Para, Table
from .pdf_page import Face, fit, wrap
from .pdf_pen import Pen


def print_canvas(doc: Doc, rng: random.Random, face: Face) -> tuple[bytes, str]:
    pen = Pen(doc, rng, face)
    if pen.mark:
        _watermark(pen)
    for block in doc.blocks:
        if isinstance(block, Heading):
            pen.y -= 6
            pen.line(block.text, 15 if block.level == 1 else 11, True)
        elif isinstance(block, Para):
            pen.line(block.text, 8.5)
        elif isinstance(block, Items):
            for item in block.lines:
                pen.line(item, 8.5)
        elif isinstance(block, Pairs):
            _pairs(pen, block)
        elif isinstance(block, Table):
            if block.caption:
                pen.line(block.caption, 9, True)
            _table(pen, block)
    pen.finish()
    pen.canvas.save()
    return pen.out.getvalue(), pen.look


def _watermark(pen: Pen) -> None:
    pen.canvas.saveState()
    pen.canvas.setFillGray(0.85)
    pen.canvas.translate(pen.page[0] / 3, pen.page[1] / 3)
    pen.canvas.rotate(40)
    pen.canvas.setFont("Helvetica-Bold", 60)
    pen.canvas.drawString(0, 0, "SAMPLE")
    pen.canvas.restoreState()


def _pairs(pen: Pen, block: Pairs) -> None:
    pen.room(20)
    pen.line(block.title, 9, True)
    gap = max(pen.measure(label, 8.5) for label, _ in block.rows) + 18
    for label, value in block.rows:
        pen.room(12)
        pen.text(pen.left, pen.y, label, 8.5)
        pen.text(pen.left + gap, pen.y, value, 8.5)
        pen.y -= 12
    pen.y -= 6


def _table(pen: Pen, block: Table) -> None:
    rows = block.spread()
    pad = 5.0
    size, widths = fit(rows, pen.page[0] - 2 * pen.left, pen.size, pen.measure, pad)
    for number, row in enumerate(rows):
        height = _height(pen, row, widths, size, pad)
        if pen.room(height) and pen.repeat and number > block.heads:
            for head in range(block.heads):
                _row(pen, block, rows, head, widths, size, pad)
        _row(pen, block, rows, number, widths, size, pad)
    pen.y -= 14


def _height(pen: Pen, row: list[Cell], widths: list[float], size: float, pad: float) -> float:
    deepest = max(len(wrap(c.text, w - 2 * pad + 0.1, size, pen.measure)) for c, w in zip(row, widths, strict=True))
    return deepest * size * 1.2 + 5


def _row(
    pen: Pen, block: Table, rows: list[list[Cell]], number: int, widths: list[float], size: float, pad: float
) -> None:
    row = rows[number]
    height = _height(pen, row, widths, size, pad)
    spans = _span_widths(block, number, widths) if number < block.heads else {}
    x = pen.left
    if pen.zebra and number % 2:
        pen.canvas.setFillGray(0.93)
        pen.canvas.rect(x, pen.y - height + size, sum(widths), height, stroke=0, fill=1)
        pen.canvas.setFillGray(0)
    for column, (cell, width) in enumerate(zip(row, widths, strict=True)):
        over = spans.get(column, width)
        if pen.rules == "box" and (not spans or column in spans):
            pen.canvas.rect(x, pen.y - height + size, over, height)
        parts = wrap(cell.text, over - 2 * pad + 0.1, size, pen.measure)
        above = (height - 5) / size / 1.2 - len(parts)  # lines of the row that this cell leaves free
        above *= {"top": 0.0, "middle": 0.5, "bottom": 1.0}[pen.down]
        for depth, part in enumerate(parts):
            free = over - 2 * pad - pen.width(part, size, number < block.heads)
            shift = 0.0 if column == 0 or pen.align == "left" else free if pen.align == "right" else free / 2
            shift = free / 2 if over > width else shift
            pen.text(x + pad + shift, pen.y - (above + depth) * size * 1.2, part, size, number < block.heads)
        x += width
    if pen.rules == "lines":
        pen.canvas.line(pen.left, pen.y - height + size, x, pen.y - height + size)
    pen.y -= height


def _span_widths(block: Table, number: int, widths: list[float]) -> dict[int, float]:
    """Column to the width it spans, in a head row."""
    spans: dict[int, float] = {}
    column = sum(1 for cell in block.rows[0] if cell.down > 1) if number else 0
    for cell in block.rows[number]:
        spans[column] = sum(widths[column : column + cell.span])
        column += cell.span
    return spans
