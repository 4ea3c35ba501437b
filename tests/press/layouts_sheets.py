"""Shapes of real workbooks and exports: factory tables, blocks a size, several points a row, heads over groups."""

from __future__ import annotations

from dataclasses import replace

from .columns import Column
from .doc import Cell, Heading, Para, Table
from .job import Job
from .layouts import TOLERANCES, size_cell, table_across, value_word
from .layouts_text import bare
from .truth import GIRTHS, Garment

FLAT_GROUP = {"en": "Width, laid flat", "de": "Halbe Weite", "fr": "Largeur à plat", "es": "Ancho en plano"}
FLAT_GROUP |= {"it": "Larghezza in piano", "pt": "Largura plana", "nl": "Breedte plat", "sv": "Bredd, platt mått"}
FLAT_GROUP |= {"pl": "Szerokość na płasko", "tr": "En (düz)", "zh": "平铺宽", "ja": "平置き幅"}
ROUND_GROUP = {"en": "Circumference", "de": "Umfang", "fr": "Circonférence", "es": "Contorno", "pt": "Contorno"}
ROUND_GROUP |= {"it": "Circonferenza", "nl": "Omtrek", "pl": "Obwód", "sv": "Omkrets", "tr": "Çevre", "zh": "周长"}
ROUND_GROUP |= {"ja": "周り"}
LENGTH_GROUP = {"en": "Lengths", "de": "Längen", "fr": "Longueurs", "es": "Largos", "it": "Lunghezze"}
LENGTH_GROUP |= {"pt": "Comprimentos", "nl": "Lengtes", "pl": "Długości", "sv": "Längder", "tr": "Boylar"}
LENGTH_GROUP |= {"zh": "长度", "ja": "丈"}
SECTIONS = {
    "top": ["WAIST & HIP", "Top block", "UPPER"],
    "leg": ["LEG", "Leg", "LOWER"],
    "rise": ["RISE & LENGTH", "Lengths"],
}
REMARKS = ["measure straight", "along the edge", "see sketch", "relaxed", "new", "ok", "tbc with buyer"]


def print_pairs(job: Job) -> None:
    """Size, then several pairs of point and value in each row."""
    wide = job.rng.choice([2, 2, 3])
    point, value = job.word("pom") or "Point", value_word(job)
    head = [Cell(job.word("size"), head=True)]
    for number in range(1, wide + 1):
        head += [Cell(f"{point} {number}", head=True), Cell(f"{value} {number}", head=True)]
    rows = [head]
    for size in job.garment.sizes:
        pairs = [[Cell(job.label(c)), job.cell(c, job.garment, size.token)] for c in job.columns]
        for first in range(0, len(pairs), wide):
            cells = [cell for pair in pairs[first : first + wide] for cell in pair]
            rows.append([size_cell(size, False), *cells, *[Cell("")] * (2 * wide - len(cells))])
    job.add(job.title(), *job.say_units(), Table(rows))


def print_point_and_size(job: Job) -> None:
    """One row a style; a column for each point and size: waist_26, waist_27, hip_26 ..."""
    joint = job.rng.choice(["_", " ", "-", " - "])
    head, row = [Cell("style", head=True)], [Cell(job.garment.style)]
    for column in job.columns:
        for size in job.garment.sizes:
            label = column.label if joint != "_" else column.label.replace(" ", "_")
            head.append(Cell(f"{bare(label)}{joint}{size.token}", head=True))
            row.append(job.cell(column, job.garment, size.token))
    job.add(job.title(), *job.say_units(), Table([head, row]))


def print_size_blocks(job: Job) -> None:
    """A small table of label and figure for each size, under the size's own heading."""
    job.add(job.title(), *job.say_units())
    word = next(word for word in job.words["size"] if word[-1].isalpha() and " " not in word)
    for size in job.garment.sizes:
        rows = [[Cell(job.label(c), head=True), job.cell(c, job.garment, size.token)] for c in job.columns]
        job.add(Heading(f"{word} {size.shown}", 3), Table(rows, heads=0))
    job.doc.facts["blocks"] = "sizes"


def print_facts_over(job: Job) -> None:
    """Points down under rows of facts in the same table: style and unit, season, a merged title."""
    table = table_across(job, job.garment)
    width = table.width()
    style = Cell(f"STYLE: {job.doc.title}", head=True)
    facts = [[style, *[Cell("")] * (width - 2), Cell(f"UNIT: {job.manner.unit.upper()}", head=True)]]
    if job.rng.random() < 0.5:
        facts.append([Cell("SEASON: AW26", head=True), *[Cell("")] * (width - 2), Cell("REV: B", head=True)])
    if job.rng.random() < 0.4:
        facts.insert(0, [Cell(f"{job.doc.merchant.upper()} - SPEC SHEET", head=True, span=width)])
    notes = [note for note in job.say_units() if job.manner.mode.endswith("by note")]
    job.add(Table([*facts, *table.rows], heads=len(facts) + 1), *notes[-1:])


def print_style_groups(job: Job) -> None:
    """Two garments in one table, each over its own group of sizes."""
    job.doc.several = True
    pair = job.garments[:2]
    top: list[Cell] = [Cell("", head=True)]
    heads = [job.corner("pom")]
    for garment in pair:
        top.append(Cell(garment.style, head=True, span=len(garment.sizes)))
        heads += [size_cell(size) for size in garment.sizes]
    rows = [top, heads]
    for column in job.columns:
        cells = [job.cell(column, garment, size.token) for garment in pair for size in garment.sizes]
        rows.append([Cell(job.label(column), head=True), *cells])
    job.add(Heading(job.doc.merchant, 1), *job.say_units(), Table(rows, heads=2))


def print_groups(job: Job) -> None:
    """Sizes down; heads over groups of points say all round, flat, or that they are lengths."""
    groups: list[tuple[str, list[Column]]] = [
        (ROUND_GROUP[job.manner.language], [c for c in job.columns if c.point in GIRTHS and not c.flat]),
        (FLAT_GROUP[job.manner.language], [c for c in job.columns if c.point in GIRTHS and c.flat]),
        (LENGTH_GROUP[job.manner.language], [c for c in job.columns if c.point not in GIRTHS]),
    ]
    groups = [(name, columns) for name, columns in groups if columns]
    top = [Cell(job.corner("size").text, head=True, down=2)]
    top += [Cell(name, head=True, span=len(columns)) for name, columns in groups]
    below = [Cell(job.label(column), head=True) for _, columns in groups for column in columns]
    rows = [top, below]
    for size in job.garment.sizes:
        cells = [job.cell(column, job.garment, size.token) for _, columns in groups for column in columns]
        rows.append([size_cell(size), *cells])
    job.add(job.title(), *[n for n in job.say_units() if job.manner.unit_said == "note"][:1], Table(rows, heads=2))


def print_factory(job: Job) -> None:
    """Points down with codes, sections, a tolerance before a blank column, grades and remarks behind the sizes."""
    garment, rng = job.garment, job.rng
    graded, remarks, blank = rng.random() < 0.4, rng.random() < 0.5, rng.random() < 0.6
    head = [Cell("Ref", head=True), job.corner("pom"), Cell(job.word("tolerance"), head=True)]
    head += [Cell("")] * blank + [size_cell(size) for size in garment.sizes]
    head += [Cell(job.word("grade"), head=True)] * graded + [Cell("Comments", head=True)] * remarks
    rows, section = [head], ""
    for number, column in enumerate(job.columns, 1):
        kind = "top" if column.point in ("waist", "hip") else "leg" if column.point in GIRTHS else "rise"
        if rng.random() < 0.5 and kind != section and column.other is None:
            rows.append([Cell(rng.choice(SECTIONS[kind]), head=True, span=len(head))])
        section = kind
        figures = [job.cell(column, garment, size.token) for size in garment.sizes]
        row = [Cell(f"{kind[0].upper()}{number:02d}"), Cell(job.label(column), head=True), _tolerance(job, column)]
        row += [Cell("")] * blank + figures
        row += [Cell(job.text(TOLERANCES[column.unit] * 2, column.unit))] * graded
        rows.append([*row, *[Cell(rng.choice(REMARKS) if rng.random() < 0.3 else "")] * remarks])
    if rng.random() < 0.3:
        total = [Cell("", head=True), Cell("Total pcs", head=True), Cell(""), *[Cell("")] * blank]
        rows.append([*total, *[Cell(str(rng.randrange(6, 40) * 10)) for _ in garment.sizes]])
        rows[-1] += [Cell("")] * (len(head) - len(rows[-1]))
    job.add(job.title(), *job.say_units(), Table(rows))


def _tolerance(job: Job, column: Column) -> Cell:
    return Cell(job.rng.choice(["+/- ", "±", ""]) + job.text(TOLERANCES[column.unit], column.unit))


def print_footnotes(job: Job) -> None:
    """Marks behind labels; the notes under the table say flat, round or the unit."""
    mark = job.rng.choice(["*", "¹", " *", "†", " (1)"])
    job.columns = [
        replace(column, label=column.label.rstrip(":") + mark) if column.point in GIRTHS else column
        for column in job.columns
    ]
    notes = [Para(f"{mark.strip()} {note.text}") for note in job.say_units()]
    job.add(job.title(), table_across(job, job.garment) if job.rng.random() < 0.5 else _down(job, job.garment), *notes)


def _down(job: Job, garment: Garment) -> Table:
    rows = [[job.corner("size"), *[Cell(job.label(column), head=True) for column in job.columns]]]
    for size in garment.sizes:
        rows.append([size_cell(size), *[job.cell(column, garment, size.token) for column in job.columns]])
    return Table(rows)
