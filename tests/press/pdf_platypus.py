"""PDF by reportlab's flowing layout: paragraphs and tables, ruled, half ruled or bare."""

from __future__ import annotations

import io
import random

from .doc import Doc, Heading, Items, Pairs, Para, Table
from .pdf_page import Face, Measure, fit, wrap

LOOKS = ("grid", "grid", "under head", "rows", "bare", "banded")


def print_platypus(doc: Doc, rng: random.Random, face: Face) -> tuple[bytes, str]:
    from reportlab.lib.pagesizes import A4, landscape, letter
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.pdfbase.pdfmetrics import stringWidth
    from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer

    out = io.BytesIO()
    wide = max((block.width() for block in doc.blocks if isinstance(block, Table)), default=0) > 8
    page = rng.choice([A4, letter])
    page = landscape(page) if wide and rng.random() < 0.8 else page
    paper = SimpleDocTemplate(
        out, pagesize=page, leftMargin=40, rightMargin=40, topMargin=40, bottomMargin=40, lang=doc.language
    )
    size, look = rng.choice([7.0, 8.0, 9.0, 10.0]), rng.choice(LOOKS)
    words = ParagraphStyle(
        "words", fontName=face.name, fontSize=9, leading=12, wordWrap="CJK" if doc.language in ("zh", "ja") else None
    )
    heads = ParagraphStyle("heads", parent=words, fontName=face.bold, fontSize=13, leading=17)

    def measure(text: str, points: float) -> float:
        return float(stringWidth(text, face.bold, points))

    story: list[object] = []
    for block in doc.blocks:
        if isinstance(block, Heading | Para):
            story.append(Paragraph(_escape(block.text), heads if isinstance(block, Heading) else words))
        elif isinstance(block, Items):
            story += [Paragraph("• " + _escape(line), words) for line in block.lines]
        elif isinstance(block, Pairs):
            story.append(Paragraph(_escape(block.title), words))
            story += [Paragraph(f"{_escape(label)} {_escape(value)}", words) for label, value in block.rows]
            story.append(Spacer(1, 8))
        elif isinstance(block, Table):
            story += [*([Paragraph(_escape(block.caption), words)] if block.caption else [])]
            story += [_table(block, page[0] - 80, size, look, face, measure), Spacer(1, 10)]
    paper.build(story)
    return out.getvalue(), f"platypus, {look}"


def _escape(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")


def _table(block: Table, room: float, size: float, look: str, face: Face, measure: Measure) -> object:
    from reportlab.lib import colors
    from reportlab.platypus import Table as Flow
    from reportlab.platypus import TableStyle

    rows = block.spread()
    size, widths = fit(rows, room, size, measure, 4.0)
    texts = [["\n".join(wrap(cell.text, widths[c] - 7.9, size, measure)) for c, cell in enumerate(row)] for row in rows]
    style = [("FONT", (0, 0), (-1, -1), face.name, size), ("LEADING", (0, 0), (-1, -1), size * 1.25)]
    style += [("FONTNAME", (0, 0), (-1, block.heads - 1), face.bold), ("LEFTPADDING", (0, 0), (-1, -1), 4)]
    style += [("RIGHTPADDING", (0, 0), (-1, -1), 4), ("VALIGN", (0, 0), (-1, -1), "MIDDLE")]
    if look == "grid":
        style.append(("GRID", (0, 0), (-1, -1), 0.5, colors.black))
    elif look == "under head":
        style.append(("LINEBELOW", (0, block.heads - 1), (-1, block.heads - 1), 0.8, colors.black))
    elif look == "rows":
        style.append(("LINEBELOW", (0, 0), (-1, -1), 0.3, colors.grey))
    elif look == "banded":
        style.append(("ROWBACKGROUNDS", (0, 0), (-1, -1), [colors.white, colors.whitesmoke]))
    style += _spans(block)
    if look in ("grid", "banded"):
        style.append(("ALIGN", (1, 0), (-1, -1), "CENTER"))
    return Flow(texts, colWidths=widths, repeatRows=block.heads, style=TableStyle(style))


def _spans(block: Table) -> list[tuple[object, ...]]:
    spans: list[tuple[object, ...]] = []
    taken: set[tuple[int, int]] = set()
    for r, row in enumerate(block.rows):
        c = 0
        for cell in row:
            while (r, c) in taken:
                c += 1
            if cell.span > 1 or cell.down > 1:
                spans.append(("SPAN", (c, r), (c + cell.span - 1, r + cell.down - 1)))
                taken |= {(r + d, c + s) for d in range(cell.down) for s in range(cell.span) if d or s}
            c += cell.span
    return spans
