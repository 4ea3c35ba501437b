"""Random tables without upright lines, printed from a seed: fonts, gaps, alignments, gaps in the rows, prose around."""

from __future__ import annotations

import random

from pdf_press import Rows, draw_prose, finish, new_canvas
from reportlab.pdfbase.pdfmetrics import stringWidth

LABELS = [
    "Waist", "Front rise", "Back rise incl. waistband", "Thigh 1 in below crotch", "Inseam", "Leg opening", "Knee",
    "Hip at widest point", "Outseam", "A", "B12 Waist relaxed", "Hüftumfang", "Innenbeinlänge", "1/2 Saumweite",
    "Low hip, 3 in up",
]  # fmt: skip
HEADS = ["8", "10", "12", "S", "M", "XL", "Petite", "UK 12", "Regular", "34", "W29 L30", "Tol +/-", "8 Petite", "2019"]


def _figure(dice: random.Random) -> str:
    kind = dice.random()
    if kind < 0.3:
        return str(dice.randint(5, 60))
    if kind < 0.6:
        return f"{dice.randint(5, 60)} {dice.choice(['1/2', '1/4', '3/4', '7/8'])}"
    if kind < 0.75:
        return f"{dice.randint(20, 110)},{dice.randint(0, 9)}"
    if kind < 0.85:
        return f"{dice.randint(5, 60)} 1/2 in"
    if kind < 0.93:
        return f"{dice.randint(20, 40)}-{dice.randint(41, 60)}"
    return dice.choice(["n/a", "-", "+ 1/2", "1,204,330"])


def random_rows(dice: random.Random) -> list[list[str]]:
    columns, missing = dice.randint(2, 9), dice.choice([0, 0, 0.1, 0.25])
    rows = [[dice.choice(["POM", "Measurement", "Size"]), *dice.sample(HEADS, columns - 1)]]
    for label in dice.sample(LABELS, dice.randint(3, 12)):
        figures = ["" if dice.random() < missing else _figure(dice) for _ in range(columns - 1)]
        rows.append([label, *(figures if any(figures) else [_figure(dice), *figures[1:]])])
    return rows


def random_page(seed: int) -> tuple[bytes, Rows] | None:
    """A page with one table; None where the seed's table is wider than the paper."""
    dice = random.Random(seed)
    rows = random_rows(dice)
    size, font = dice.choice([7, 8, 9, 10, 11]), dice.choice(["Helvetica", "Times-Roman", "Courier"])
    gap = size * dice.uniform(1.0 if font == "Courier" else 0.75, 2.5)
    pitch, side = size * dice.uniform(1.2, 2.2), dice.choice("lrc")
    widths = [max(stringWidth(row[c], font, size) for row in rows) for c in range(len(rows[0]))]
    wide = sum(widths) + gap * (len(widths) - 1)
    if wide > 540:
        return None
    lines = dice.choice(["none"] * 5 + ["head", "level", "zebra"])
    canvas, out = new_canvas()
    top = 760.0
    if dice.random() < 0.5:
        top = draw_prose(canvas, 40, top, 500) - dice.uniform(4, 16)
    for i, row in enumerate(rows):
        upper = top - pitch * i
        if lines == "zebra" and i % 2 == 0:
            canvas.setFillGray(0.9)
            canvas.rect(37, upper - pitch, wide + 6, pitch, stroke=0, fill=1)
            canvas.setFillGray(0)
        if lines == "level" or (lines == "head" and i < 2):
            canvas.line(37, upper, 43 + wide, upper)
        canvas.setFont(font, size)
        x = 40.0
        for c, text in enumerate(row):
            free = widths[c] - stringWidth(text, font, size) if c else 0
            shift = {"l": 0.0, "r": free, "c": free / 2}[side]
            if text:
                canvas.drawString(x + shift, upper - pitch + (pitch - size) / 2 + 0.2 * size, text)
            x += widths[c] + gap
    foot = top - pitch * len(rows)
    if lines != "none":
        canvas.line(37, foot, 43 + wide, foot)
    if dice.random() < 0.5:
        draw_prose(canvas, 40, foot - 20, 500)
    return finish(canvas, out), rows
