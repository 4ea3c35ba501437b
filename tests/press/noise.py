"""What stands around the figures: page chrome, other points, prices, care, how to measure; body charts."""

from __future__ import annotations

from dataclasses import replace

from .columns import Column
from .doc import Block, Cell, Heading, Items, Para, Table
from .job import Job
from .layouts import size_cell

BODY = {
    "en": ("Body measurements - to fit", "Bust", "Waist", "Hips", "Height"),
    "de": ("Körpermaße", "Brustumfang", "Taille", "Hüfte", "Körpergröße"),
}
BODY |= {"fr": ("Mensurations du corps", "Tour de poitrine", "Tour de taille", "Tour de hanches", "Stature")}
BODY |= {
    "es": ("Medidas corporales", "Pecho", "Cintura", "Cadera", "Estatura"),
    "it": ("Misure del corpo", "Torace", "Vita", "Fianchi", "Statura"),
}
BODY |= {
    "pt": ("Medidas do corpo", "Busto", "Cintura", "Quadril", "Altura"),
    "nl": ("Lichaamsmaten", "Borst", "Taille", "Heup", "Lengte"),
}
BODY |= {
    "pl": ("Wymiary ciała", "Biust", "Talia", "Biodra", "Wzrost"),
    "sv": ("Kroppsmått", "Byst", "Midja", "Höft", "Längd"),
}
BODY |= {"tr": ("Vücut ölçüleri", "Göğüs", "Bel", "Kalça", "Boy"), "zh": ("人体尺寸", "胸围", "腰围", "臀围", "身高")}
BODY |= {"ja": ("ヌード寸法", "バスト", "ウエスト", "ヒップ", "身長")}


def add_other_points(job: Job) -> None:
    """Mixes in points that are none of ours, and a rise without its waistband."""
    rng, columns = job.rng, job.columns
    unit, step = job.manner.unit, columns[0].step
    for label, (low, high) in rng.sample(sorted(job.words["others"].items()), rng.choice([1, 2, 3])):
        other = Column("", label, False, True, unit, step, other=(low, high))
        columns.insert(rng.randrange(len(columns) + 1), other)
    if rng.random() < 0.3 and not any(column.point == "front_rise" for column in columns):
        label = rng.choice(job.words["without_band"]["labels"])
        columns.append(
            Column("front_rise", label, False, True, unit, step, (0.0, 0.0), "hold", "rise without the band")
        )


def leave_out_band(job: Job) -> None:
    """The front rise is printed without its waistband, and its label says so."""
    for number, column in enumerate(job.columns):
        if column.point == "front_rise" and column.other is None:
            label = job.rng.choice(job.words["without_band"]["labels"])
            job.columns[number] = replace(
                column, label=label, said=True, other=(0.0, 0.0), expect="hold", why="rise without the band"
            )


def pair_waist(job: Job) -> None:
    """Relaxed and stretched waist in one cell, the label says so: English sheets with one unit."""
    if job.manner.language != "en" or job.manner.unit_said == "both":
        return
    said = job.rng.choice(["Waist (relaxed / stretched)", "Waist relaxed/stretched", "Waist unstretched / stretched"])
    for number, column in enumerate(job.columns):
        if column.point == "waist" and column.other is None:
            label = said + (", flat" if column.said and column.flat else "")
            job.columns[number] = replace(column, label=label, pair=True)


def add_chrome(job: Job) -> None:
    """A page's head and foot, notes, a price, how to measure."""
    rng, words = job.rng, job.words
    blocks: list[Block] = job.doc.blocks
    head = [Para(text, "chrome") for text in rng.sample(words["chrome"], rng.choice([1, 2, 3]))]
    notes: list[Block] = [Para(text) for text in rng.sample(words["notes"], rng.choice([1, 2, 3]))]
    if rng.random() < 0.5:
        notes.append(Para(rng.choice(["$128.00", "89,95 €", "£75", "Art. {0}", "EUR 119.-"]).format(job.garment.code)))
    if rng.random() < 0.4:
        notes.append(Items([*words["howto"]]) if rng.random() < 0.5 else Para(" ".join(words["howto"])))
    where = rng.choice(["after title", "end", "end", "both"])
    if where == "end":
        blocks += notes
    else:
        at = 1 if isinstance(blocks[0], Heading) else 0
        cut = len(notes) if where == "after title" else 1
        blocks[at:at] = notes[:cut]
        blocks += notes[cut:]
    job.doc.blocks = [*head[:2], *blocks, *[replace_kind(block) for block in head[2:]]]


def replace_kind(block: Para) -> Para:
    return replace(block, kind="foot")


def add_body_chart(job: Job) -> None:
    """A chart of the body beside the garment's table; says that it is one."""
    rng = job.rng
    title, *labels = BODY[job.manner.language]
    cm = job.manner.unit != "in"
    rows = [[job_size_head(job), *[Cell(f"{label} (cm)" if cm else f"{label} (in)", head=True) for label in labels]]]
    for size in job.garment.sizes:
        waist = round(size.body_waist * (2.54 if cm else 1))
        values = [waist + (20 if cm else 8), waist, waist + (25 if cm else 10), 168 if cm else 66]
        texts = [
            str(value) if number == 3 else f"{value}-{value + (3 if cm else 1)}" for number, value in enumerate(values)
        ]
        rows.append([size_cell(size, head=False), *map(Cell, texts)])
    blocks: list[Block] = [Heading(title, 2), Table(rows)]
    if rng.random() < 0.7:
        job.doc.blocks += blocks
    else:
        heading = {
            "en": "Garment measurements",
            "de": "Maße der Hose",
            "fr": "Mesures du vêtement",
            "es": "Medidas de la prenda",
        }
        heading |= {
            "it": "Misure del capo",
            "pt": "Medidas da peça",
            "nl": "Maten van het kledingstuk",
            "pl": "Wymiary odzieży",
        }
        heading |= {"sv": "Plaggmått", "tr": "Ürün ölçüleri", "zh": "成衣尺寸", "ja": "製品寸法"}
        job.doc.blocks[1:1] = [*blocks, Heading(heading[job.manner.language], 2)]


def job_size_head(job: Job) -> Cell:
    return Cell(job.word("size"), head=True)
