"""From a seed to a sheet: truth, manner, layout, noise and format are drawn each from its own stream."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace

from . import layouts, layouts_odd, layouts_sheets, layouts_text, noise
from .columns import MODES, Column, Manner, decide, draw_columns
from .doc import Doc
from .job import Job, load_job
from .numbers import draw_style
from .printers import PRINTERS
from .truth import Garment, draw_garment, draw_sizes
from .words import LANGUAGES, choose_way, load_words

Layout = Callable[[Job], None]
LAYOUTS: dict[str, tuple[Layout, int]] = {
    "across": (layouts.print_across, 8), "down": (layouts.print_down, 8), "long": (layouts.print_long, 2),
    "cards": (layouts_text.print_cards, 2), "sample": (layouts_text.print_sample, 6),
    "prose": (layouts_text.print_prose, 2),
    "blocks by length": (layouts.print_blocks_length, 3), "length column": (layouts.print_length_column, 2),
    "blocks by unit": (layouts.print_blocks_unit, 2), "two heads": (layouts.print_two_heads, 2),
    "several": (layouts.print_several, 3), "w x l": (layouts.print_waist_length, 2), "grade": (layouts.print_grade, 1),
    "keys": (layouts.print_keys, 2), "run": (layouts_text.print_run, 2),
}  # fmt: skip
LAYOUTS |= {
    "side by side": (layouts_odd.print_side_by_side, 1), "inseam by length": (layouts_odd.print_inseam_by_length, 2),
    "units under points": (layouts_odd.print_units_under_points, 2), "joined": (layouts_odd.print_joined, 1),
    "description cell": (layouts_odd.print_description_cell, 1),
}  # fmt: skip
LAYOUTS |= {
    "factory": (layouts_sheets.print_factory, 3), "size blocks": (layouts_sheets.print_size_blocks, 2),
    "pairs": (layouts_sheets.print_pairs, 1), "point and size": (layouts_sheets.print_point_and_size, 1),
    "facts over": (layouts_sheets.print_facts_over, 2), "style groups": (layouts_sheets.print_style_groups, 1),
    "groups": (layouts_sheets.print_groups, 2), "footnotes": (layouts_sheets.print_footnotes, 2),
}  # fmt: skip
SEVERAL = {"several", "side by side", "style groups"}
ONLY_ENGLISH = {"grade", "inseam by length", "description cell"}
TWO_UNITS = {"blocks by unit", "units under points"}
WITHOUT_CORNER = {
    "cards",
    "sample",
    "prose",
    "run",
    "blocks by unit",
    "joined",
    "description cell",
    "units under points",
    "size blocks",
    "point and size",
    "facts over",
}
FORMATS = {"csv": 3, "html": 5, "xlsx": 3, "ods": 1, "json": 1, "pdf": 6}


@dataclass(frozen=True, slots=True)
class Wish:
    """Dimensions fixed by hand; '' leaves them to the seed."""

    format: str = ""
    layout: str = ""
    language: str = ""
    noise: str = ""
    fault: str = ""
    labels: str = ""
    said: str = ""
    """Where the unit stands: note | label | cell | corner | unsaid | rows | both."""


@dataclass(frozen=True, slots=True)
class Printed:
    name: str
    data: bytes
    doc: Doc


def print_sheet(seed: int, wish: Wish | None = None) -> Printed:
    """The same seed and wish print the same bytes' content again."""
    wish = wish or Wish()
    return print_doc(draw_doc(seed, wish), seed, wish)


def print_doc(doc: Doc, seed: int, wish: Wish) -> Printed:
    """The bytes of a doc in the format that the seed or the wish asks for."""
    rng = random.Random(f"{seed}/format")
    kind = rng.choices(list(FORMATS), list(FORMATS.values()))[0]
    kind = wish.format or kind
    data, writer = PRINTERS[kind](doc, random.Random(f"{seed}/{kind}"))
    kind = "pdf" if data.startswith(b"%PDF") else "html" if kind == "pdf" else kind
    doc.facts |= {"format": kind, "writer": f"{kind}: {writer.split(',')[0]}", "look": writer}
    return Printed(f"{doc.merchant.lower().replace(' ', '-')}-{seed}.{kind}", data, doc)


def draw_doc(seed: int, wish: Wish) -> Doc:
    """The sheet before any format."""
    truth, shape = random.Random(f"{seed}/truth"), random.Random(f"{seed}/shape")
    layout = shape.choices(list(LAYOUTS), [weight for _, weight in LAYOUTS.values()])[0]
    language = shape.choices(LANGUAGES, [12 if language == "en" else 2 for language in LANGUAGES])[0]
    layout, language = wish.layout or layout, wish.language or language
    if layout in ONLY_ENGLISH and language != "en":
        layout = "across"
    garments = _draw_garments(truth, layout, language)
    manner = _draw_manner(shape, layout, language, wish.said)
    way = choose_way(shape, layout != "keys")
    way = wish.labels or way
    columns = draw_columns(random.Random(f"{seed}/columns"), manner, way)
    if layout == "groups":  # the head over them says it
        columns = [replace(column, said=True) for column in columns]
    columns = decide(columns, garments[0], manner)
    if layout in SEVERAL:
        for garment in garments[1:]:
            again = decide(columns, garment, replace(manner, named=False))
            # One garment's open hem is no open question beside another's that is plain: held or read, either is fair.
            columns = [_stricter(a, b) for a, b in zip(columns, again, strict=True)]
    doc = Doc(_title(shape, garments[0], manner), language, merchant=_merchant(truth))
    doc.facts |= {"layout": layout, "language": language, "unit": manner.unit, "unit said": manner.unit_said}
    doc.facts |= {"convention": manner.mode, "number": manner.styles[manner.unit].way, "system": garments[0].system}
    doc.facts["labels"] = way
    doc.facts["joint"] = shape.choice([" / ", " (", " | "])
    job = load_job(random.Random(f"{seed}/layout"), manner, garments, columns, doc)
    _draw_noise(job, random.Random(f"{seed}/noise"), layout, wish.noise)
    return doc


def _stricter(one: Column, other: Column) -> Column:
    if {one.expect, other.expect} == {"hold", "value"}:
        return replace(other, expect="either")
    return other if other.expect != "value" else one


def _draw_noise(job: Job, rng: random.Random, layout: str, wish: str) -> None:
    kinds = (
        set(wish.split("+"))
        if wish
        else {kind for kind, p in (("others", 0.4), ("chrome", 0.55), ("body", 0.1)) if rng.random() < p}
    )
    if layout in ("grade", *TWO_UNITS):
        kinds -= {"others"}
    if layout in ("sample", *SEVERAL, *TWO_UNITS):
        kinds -= {"body"}
    if "others" in kinds:
        noise.add_other_points(job)
    if wish != "none" and layout not in TWO_UNITS and random.Random(f"{job.doc.title}/band").random() < 0.15:
        noise.leave_out_band(job)
    if layout not in TWO_UNITS and random.Random(f"{job.doc.title}/pair").random() < 0.08:
        noise.pair_waist(job)
    if layout == "down" and job.manner.unit_said == "corner" and random.Random(f"{job.doc.title}/row").random() < 0.4:
        job.doc.facts["unit row"] = "yes"
    if layout == "across" and rng.random() < 0.3:
        job.doc.facts["extra"] = rng.choice(["tolerance first", "tolerance last"])
    LAYOUTS[layout][0](job)
    if "body" in kinds:
        noise.add_body_chart(job)
    if "chrome" in kinds:
        noise.add_chrome(job)
    job.doc.facts["noise"] = "+".join(sorted(kinds - {"none"})) or "none"


def _draw_garments(rng: random.Random, layout: str, language: str) -> list[Garment]:
    word = rng.choice(load_words(language)["garment"])
    lengths = [""]
    if layout in ("blocks by length", "two heads", "length column"):
        lengths = rng.choice(
            [["petite", "regular"], ["petite", "regular", "tall"], ["short", "regular", "long"], ["regular", "tall"]]
        )
    count = {
        "sample": 1,
        "grade": rng.randrange(3, 7),
        "two heads": rng.randrange(2, 5),
        "run": rng.randrange(3, 8),
    }.get(layout)
    sizes = draw_sizes(rng, count)
    while layout == "w x l" and sizes[0] != "waist":
        sizes = draw_sizes(rng)
    garments: list[Garment] = []
    while len(garments) < ({"several": rng.choice([2, 3]), "side by side": 2, "style groups": 2}.get(layout, 1)):
        garment = draw_garment(rng, word, sizes, lengths)
        if all(garment.style != other.style for other in garments):
            garments.append(garment)
    return garments


def _draw_manner(rng: random.Random, layout: str, language: str, wish: str) -> Manner:
    unit = rng.choices(["in", "cm", "mm"], [8, 3, 0.3] if language == "en" else [1, 9, 0.4])[0]
    said = rng.choices(["note", "label", "cell", "corner", "unsaid", "rows", "both"], [6, 4, 6, 3, 2, 1, 3])[0]
    said = wish or said
    if said == "corner" and layout in WITHOUT_CORNER:
        said = "note"
    if layout in TWO_UNITS:
        unit, said = "cm" if unit == "mm" else unit, "heading"
    if layout in ("facts over", "point and size"):
        said = "note" if said in ("label", "rows", "corner") else said
    if layout == "joined" and said == "both":
        said = "cell"
    if unit == "mm" and said in ("rows", "both"):
        said = "note"
    if layout in ("grade", "inseam by length") and said in ("both", "cell", "rows"):
        said = "note"
    mark = load_words(language)["decimal"]
    cell = said in ("cell", "both")
    styles = {u: draw_style(rng, u, mark, cell) for u in ("in", "cm", "mm")}
    if language in ("zh", "ja") and rng.random() < 0.12:
        styles = {u: replace(style, full_width=True) for u, style in styles.items()}
    mode = rng.choices(list(MODES), list(MODES.values()))[0]
    mode = "mixed unsaid" if layout == "groups" else mode
    return Manner(language, unit, said, mode, styles, rng.random() < 0.5)


SHAPES = {"skinny": "Skinny", "slim": "Slim", "tapered": "Tapered", "straight": "Straight Leg", "bootcut": "Bootcut"}
SHAPES |= {"flare": "Flare", "wide": "Wide Leg", "barrel": "Barrel Leg"}


def _title(rng: random.Random, garment: Garment, manner: Manner) -> str:
    text = garment.style
    if manner.named:
        text = f"{text} {SHAPES[garment.silhouette]}" if rng.random() < 0.5 else f"{SHAPES[garment.silhouette]} {text}"
    return f"{text} - {garment.code}" if rng.random() < 0.3 else text


def _merchant(rng: random.Random) -> str:
    place = rng.choice(["Marrowby", "Oddlane", "Tarnfield", "Quillstead", "Brackwater", "Hennock", "Sallowfield"])
    return f"{place} {rng.choice(['Mill', 'Denim', 'Studio', 'Trousers', 'Works'])}"
