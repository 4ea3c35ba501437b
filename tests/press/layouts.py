"""Tables: sizes down or across, long form, blocks per length or unit, two header rows, several garments, grades."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from .columns import Column
from .doc import Cell, Heading, Para, Table
from .job import Job
from .numbers import STEPS, nanometres
from .truth import POINTS, Expected, Garment, Size, quantise

TOLERANCES = {"in": Fraction(1, 4), "cm": Fraction(1, 2), "mm": Fraction(5)}


def size_cell(size: Size, head: bool = True) -> Cell:
    plain = size.shown.isdigit() and str(int(size.shown)) == size.shown  # a number would lose the zero of "00"
    return Cell(size.shown, Fraction(int(size.shown)) if plain else None, head)


def table_across(job: Job, garment: Garment, length: str = "", columns: list[Column] | None = None) -> Table:
    """Points down, sizes across; with a tolerance or grade column where the sheet carries one."""
    rows = [[job.corner("pom"), *[size_cell(size) for size in garment.sizes]]]
    extra = job.doc.facts.get("extra", "")
    if extra:
        rows[0].insert(1 if extra == "tolerance first" else len(rows[0]), Cell(job.word("tolerance"), head=True))
    for column in columns or job.columns:
        row = [Cell(job.label(column), head=True)]
        row += [job.cell(column, garment, size.token, length) for size in garment.sizes]
        if extra:
            row.insert(1 if extra == "tolerance first" else len(row), _tolerance(job, column))
            _note_tolerance(job, column, len(garment.sizes))
        rows.append(row)
    return Table(rows)


def _tolerance(job: Job, column: Column) -> Cell:
    return Cell(job.rng.choice(["+/- ", "±", ""]) + job.text(TOLERANCES[column.unit], column.unit))


def _note_tolerance(job: Job, column: Column, count: int) -> None:
    """The last `count` figures carry the tolerance printed beside them."""
    if column.other is not None:
        return
    nm = nanometres(TOLERANCES[column.unit], column.unit, column.flat)
    job.doc.truth[-count:] = [replace(entry, tolerance_nm=nm) for entry in job.doc.truth[-count:]]


def table_down(job: Job, garment: Garment, length: str = "", columns: list[Column] | None = None) -> Table:
    """Sizes down, points across."""
    columns = columns or job.columns
    rows = [[job.corner("size"), *[Cell(job.label(column), head=True) for column in columns]]]
    if job.doc.facts.get("unit row"):
        rows = [[Cell(job.word("size"), head=True), *rows[0][1:]]]
        rows.append([Cell("", head=True), *[Cell(job.manner.unit, head=True) for _ in columns]])
    heads = len(rows)
    for size in garment.sizes:
        rows.append([size_cell(size), *[job.cell(column, garment, size.token, length) for column in columns]])
    return Table(rows, heads=heads)


def either_way(job: Job, garment: Garment, length: str = "", columns: list[Column] | None = None) -> Table:
    table = table_across if job.doc.facts["way"] == "across" else table_down
    return table(job, garment, length, columns)


def print_across(job: Job) -> None:
    job.doc.facts["way"] = "across"
    _one_table(job)


def print_down(job: Job) -> None:
    job.doc.facts["way"] = "down"
    _one_table(job)


def _one_table(job: Job) -> None:
    job.add(job.title())
    notes = job.say_units()
    before = job.rng.random() < 0.5
    job.add(*notes if before else [])
    table = either_way(job, job.garment)
    if notes and job.rng.random() < 0.2:
        table.caption = notes[-1].text
    job.add(table, *([] if before else notes))


def print_long(job: Job) -> None:
    """One row a figure."""
    job.add(job.title(), *job.say_units())
    head = [
        Cell(job.word("size"), head=True),
        Cell(job.word("pom") or "Point", head=True),
        Cell(value_word(job), head=True),
    ]
    rows = [head]
    for size in job.garment.sizes:
        for column in job.columns:
            rows.append([size_cell(size, False), Cell(job.label(column)), job.cell(column, job.garment, size.token)])
    job.add(Table(rows))


def value_word(job: Job) -> str:
    words = {"en": "Value", "de": "Wert", "fr": "Valeur", "es": "Valor", "it": "Valore", "pt": "Valor", "nl": "Waarde"}
    words |= {"pl": "Wartość", "sv": "Värde", "tr": "Değer", "zh": "数值", "ja": "値"}
    unit = f" ({job.unit_word(job.manner.unit)})" if job.manner.unit_said == "corner" else ""
    return words[job.manner.language] + unit


def print_blocks_length(job: Job) -> None:
    """A table for each length under its own heading."""
    job.doc.facts["way"] = job.rng.choice(["across", "down"])
    job.add(job.title(), *job.say_units())
    for length in job.garment.lengths:
        table = either_way(job, job.garment, length)
        if job.rng.random() < 0.25:
            table.caption = job.word(length)
            job.add(table)
        else:
            job.add(Heading(job.word(length), 2), table)


def print_length_column(job: Job) -> None:
    """Sizes down with a second column that says the length."""
    job.add(job.title(), *job.say_units())
    word = {"en": "Length", "de": "Länge", "fr": "Longueur", "es": "Largo", "it": "Lunghezza", "pt": "Comprimento"}
    word |= {"nl": "Lengte", "pl": "Długość", "sv": "Längd", "tr": "Boy", "zh": "版型", "ja": "丈"}
    rows = [[job.corner("size"), Cell(word[job.manner.language], head=True)]]
    rows[0] += [Cell(job.label(column), head=True) for column in job.columns]
    words = {length: job.word(length) for length in job.garment.lengths}
    for length in job.garment.lengths:
        for size in job.garment.sizes:
            cells = [job.cell(column, job.garment, size.token, length) for column in job.columns]
            rows.append([size_cell(size, False), Cell(words[length]), *cells])
    job.add(Table(rows))


def print_blocks_unit(job: Job) -> None:
    """The same table twice, once for each unit, rounded each for itself."""
    job.doc.facts["way"] = job.rng.choice(["across", "down"])
    job.add(job.title(), *job.say_units())
    first = job.manner.unit
    second = "cm" if first == "in" else "in"
    job.add(Heading(job.unit_word(first), 2), either_way(job, job.garment))
    kept, job.doc.truth = job.doc.truth, []
    step = Fraction(1, 10) if second == "cm" else Fraction(1, 8)
    columns = [replace(column, unit=second, step=step) for column in job.columns]
    job.add(Heading(job.unit_word(second), 2), either_way(job, job.garment, columns=columns))
    twins = {(e.point, e.size): e.nm for e in job.doc.truth}
    job.doc.truth = [replace(e, nm=e.nm + twins[(e.point, e.size)]) for e in kept]


def print_two_heads(job: Job) -> None:
    """Sizes spanning lengths over two header rows, points down."""
    job.add(job.title(), *job.say_units())
    lengths, sizes = job.garment.lengths, job.garment.sizes
    words = {length: job.word(length) for length in lengths}
    top = [Cell(job.corner("pom").text, head=True, down=2)]
    top += [replace(size_cell(size), span=len(lengths)) for size in sizes]
    below = [Cell(words[length], head=True) for _ in sizes for length in lengths]
    rows = [top, below]
    for column in job.columns:
        cells = [job.cell(column, job.garment, size.token, length) for size in sizes for length in lengths]
        rows.append([Cell(job.label(column), head=True), *cells])
    job.add(Table(rows, heads=2))


def print_several(job: Job) -> None:
    """Several garments, each under its own name, or one table with the style in the first column."""
    job.doc.several = True
    job.doc.facts["way"] = job.rng.choice(["across", "down"])
    apart, under = job.rng.random() < 0.6, job.rng.random() < 0.15
    # With a heading over the first table and a title under each, nothing tells which title is whose; nor is a line
    # about denim surely a title.
    under = under and "denim" not in job.garment.style.lower()
    job.add(*([] if apart and under else [Heading(job.doc.merchant, 1)]), *job.say_units())
    if apart:
        for garment in job.garments:
            title, table = Heading(garment.style, 2), either_way(job, garment)
            job.add(*([table, title] if under else [title, table]))
        return
    word = {
        "en": "Style",
        "de": "Modell",
        "fr": "Modèle",
        "es": "Modelo",
        "it": "Modello",
        "pt": "Modelo",
        "nl": "Model",
    }
    word |= {"pl": "Model", "sv": "Modell", "tr": "Model", "zh": "款式", "ja": "商品名"}
    head = [Cell(word[job.manner.language], head=True), job.corner("size")]
    rows = [head + [Cell(job.label(column), head=True) for column in job.columns]]
    for garment in job.garments:
        for size in garment.sizes:
            cells = [job.cell(column, garment, size.token) for column in job.columns]
            rows.append([Cell(garment.style), size_cell(size, False), *cells])
    job.add(Table(rows))


def print_waist_length(job: Job) -> None:
    """Rows named W x L: the inseam is of the label's length, girths of its waist."""
    job.add(job.title(), *job.say_units())
    form = job.rng.choice(["W{w} L{l}", "{w}x{l}", "{w}/{l}", "W{w}/L{l}", "{w} x {l}", "{w}W {l}L"])
    legs = job.rng.sample([28, 30, 32, 34], job.rng.choice([1, 2, 3]))
    rows = [[job.corner("size"), *[Cell(job.label(column), head=True) for column in job.columns]]]
    garment = job.garment
    for size in garment.sizes:
        for leg in sorted(legs):
            shift = leg - garment.values[("inseam", size.token, "")]
            for point, move in (("inseam", shift), ("outseam", shift)):
                garment.values[(point, size.token, str(leg))] = garment.values[(point, size.token, "")] + move
            for point in POINTS:
                garment.values.setdefault((point, size.token, str(leg)), garment.values[(point, size.token, "")])
            row = [Cell(form.format(w=size.token, l=leg))]
            row += [job.cell(column, garment, size.token, str(leg)) for column in job.columns]
            rows.append(row)
    job.add(Table(rows))


def print_grade(job: Job) -> None:
    """A base size and a grade a size: the run's other figures follow from it."""
    job.add(job.title(), *job.say_units())
    garment, base = job.garment, job.garment.sizes[len(job.garment.sizes) // 2]
    note = {"en": "Size range: {0}. Base size {1}. Grade per size."}.get("en", "")
    job.add(Para(note.format(" ".join(size.token for size in garment.sizes), base.token)))
    rows = [[job.corner("pom"), size_cell(base), Cell("Grade", head=True), Cell("Tol +/-", head=True)]]
    for column in job.columns:
        step = quantise(1.0 if column.unit == "in" else 2.0, STEPS[column.unit][0]) / (2 if column.flat else 1)
        step = (
            step
            if column.point in ("waist", "hip")
            else step / 4
            if column.point in ("inseam", "outseam")
            else step / 2
        )
        if column.point == "inseam":
            step = Fraction(0)
        cell = job.cell(column, garment, base.token)
        value = column.printed(garment, base.token, "")
        at = garment.sizes.index(base)
        for number, size in enumerate(garment.sizes):
            if size is not base:
                nm = nanometres(value + step * (number - at), column.unit, column.flat)
                job.doc.truth.append(
                    Expected(garment.style, column.point, size.token, "", (nm,), "either", "", "derived")
                )
        grade = Cell(job.text(step, column.unit), step)
        rows.append([Cell(job.label(column), head=True), cell, grade, _tolerance(job, column)])
    job.add(Table(rows))


def print_keys(job: Job) -> None:
    """Columns named A, B, C; the key stands beside a drawing or under the table."""
    job.add(job.title())
    letters = "ABCDEFGHJKLMNOPQRSTUVW"[: len(job.columns)]
    joint = job.rng.choice([" = ", ": ", " - ", ") "])
    key = [Para(f"{letter}{joint}{job.label(column)}") for letter, column in zip(letters, job.columns, strict=True)]
    if job.rng.random() < 0.3:
        key = [Para("; ".join(line.text for line in key))]
    before = job.rng.random() < 0.5
    job.add(*(key if before else []))
    rows = [[job.corner("size"), *[Cell(letter, head=True) for letter in letters]]]
    for size in job.garment.sizes:
        rows.append([size_cell(size), *[job.cell(column, job.garment, size.token) for column in job.columns]])
    job.add(Table(rows), *([] if before else key), *job.say_units())
