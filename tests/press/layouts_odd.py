"""Less common shapes: side by side, inseams once a length, units under points, descriptions, joined lines."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from .columns import Column
from .doc import Cell, Para, Table
from .job import Job
from .layouts import size_cell, table_across, table_down
from .layouts_text import bare
from .numbers import PER_NM, nanometres
from .truth import LENGTH_SHIFTS


def print_side_by_side(job: Job) -> None:
    """Two garments beside each other in one sheet, an empty column between them."""
    job.doc.several = True
    job.add(*job.say_units())
    one, two = (table_down(job, garment).rows for garment in job.garments[:2])
    width = [len(rows[0]) for rows in (one, two)]
    rows = [[Cell(job.garments[0].style, head=True), *[Cell("")] * width[0], Cell(job.garments[1].style, head=True)]]
    rows[0] += [Cell("")] * (width[1] - 1)
    rows += [[*left, Cell(""), *right] for left, right in zip(one, two, strict=True)]
    job.add(Table(rows, heads=2))


def print_inseam_by_length(job: Job) -> None:
    """Girths by size in a table; the inseam once a length, in a sentence."""
    lengths = [("short", "Short"), ("regular", "Regular"), ("long", "Long")]
    garment, columns = job.garment, [c for c in job.columns if c.point not in ("inseam", "outseam")]
    unit = job.manner.unit
    inseam = Column("inseam", "Inseam", False, True, unit, Fraction(1, 2) if unit != "mm" else Fraction(5))
    size = garment.sizes[0].token
    base = garment.values[("inseam", size, "")]
    parts = []
    for length, word in lengths:
        garment.values[("inseam", size, length)] = base + LENGTH_SHIFTS[length]
        cell = job.cell(inseam, garment, size, length, told=("*", length))
        parts.append(f"{word} {cell.text}")
    said = {"in": '"', "cm": " cm", "mm": " mm"}[unit] if not job.manner.styles[unit].suffix else ""
    sentence = f"{parts[0]}{said}, {parts[1]}{said}, & {parts[2]}{said}"
    table = (
        table_down(job, garment, columns=columns) if job.rng.random() < 0.5 else table_across(job, garment, "", columns)
    )
    lines = [Para(job.rng.choice(["Inseam: ", "Inseams: ", "Available inseam lengths: ", "Inside leg: "]) + sentence)]
    before = job.rng.random() < 0.4
    job.add(job.title(), *job.say_units(), *(lines if before else []), table, *([] if before else lines))


def print_units_under_points(job: Job) -> None:
    """Each point spans two columns, inches and centimetres under it."""
    first = job.manner.unit
    second = "cm" if first == "in" else "in"
    step = Fraction(1, 10) if second == "cm" else Fraction(1, 8)
    top, below = [Cell(job.word("size"), head=True, down=2)], []
    for column in job.columns:
        top.append(Cell(column.label, head=True, span=2))
        below += [Cell(first, head=True), Cell(second, head=True)]
    rows = [top, below]
    for size in job.garment.sizes:
        row = [size_cell(size, False)]
        for column in job.columns:
            cell = job.cell(column, job.garment, size.token)
            value = column.printed(job.garment, size.token, "")
            beside = round(value * PER_NM[first] / PER_NM[second] / step) * step
            row += [cell, Cell(job.text(beside, second), beside)]
            truth = job.doc.truth[-1]
            job.doc.truth[-1] = replace(truth, nm=(*truth.nm, nanometres(beside, second, column.flat)))
        rows.append(row)
    job.add(
        job.title(), *[note for note in job.say_units() if job.manner.mode.endswith("by note")], Table(rows, heads=2)
    )


def print_description_cell(job: Job) -> None:
    """One row a variant, the measurements inside its description."""
    rows = [[Cell(head, head=True) for head in ("SKU", "Title", "Size", "Description", "Price")]]
    joint, between = job.rng.choice([": ", " "]), job.rng.choice(["; ", ", ", " / "])
    notes = " ".join(note.text for note in job.say_units())
    for number, size in enumerate(job.garment.sizes):
        cells = [(bare(job.label(c)), job.cell(c, job.garment, size.token).text) for c in job.columns]
        text = f"{notes} {between.join(label + joint + figure for label, figure in cells)}".strip()
        rows.append([Cell(f"{job.garment.code}-{number:02d}"), Cell(job.doc.title), size_cell(size, False)])
        rows[-1] += [Cell(text), Cell("118.00")]
    job.add(Table(rows))


def print_joined(job: Job) -> None:
    """A table whose columns are joined by bars inside one line of text."""
    bar = job.rng.choice([" || ", " | ", " / ", "  -  "])
    job.add(job.title(), *job.say_units())
    job.add(Para(bar.join([job.words["size"][0], *[bare(job.label(column)) for column in job.columns]])))
    for size in job.garment.sizes:
        texts = [job.cell(column, job.garment, size.token).text for column in job.columns]
        job.add(Para(bar.join([size.shown, *texts])))
