"""What a grid is about: a garment of ours, the body a size is meant for, or something else altogether."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from halfinch.interpret.belonging import CLEAR, DOUBTFUL, belongs, said_subject
from halfinch.interpret.evidence import USUAL, inch_factor, suits_somehow
from halfinch.interpret.facets import Reader
from halfinch.interpret.raw import RawFigure, Reading
from halfinch.interpret.surroundings import Surroundings
from halfinch.interpret.words import Phrasebook, fold, phrasebook
from halfinch.knowledge import Knowledge

_ITS_NUMBER = re.compile(r"[\s:;=.#|]{0,4}\d[\d.,]*\s*(?:[;|,]|$|pcs|pieces|stk|st\b)")
_BRACKETED = re.compile(r"[(（\[]([^()（）\[\]]+)[)）\]]")
GARMENT, BODY, UNCLEAR, DOUBTED, OTHER = "garment", "body", "unclear", "doubted", "other"
BODY_POINT = {"waist": "body_waist", "hip": "body_hip", "inseam": "body_inseam"}
GIRTHS = frozenset({"waist", "hip", "thigh", "knee", "leg_opening"})
SURE_POINTS = frozenset({"front_rise", "back_rise", "inseam", "outseam"})
LEG_GIRTHS = frozenset({"thigh", "knee", "leg_opening"})
OWN_POINTS = frozenset({"front_rise", "back_rise", "outseam", "thigh", "knee", "leg_opening"})
SIZE_KEYS = frozenset({"size", "base_size", "length", "point_column"})
SENTENCE = (".", "!", "?", "。")
"""A sentence about the model over a table ("Le mannequin mesure 1,77 m.") makes no survey of it."""
LONGEST_WEARER = 24
"""A heading of so many characters is about nothing but who wears it ("Men", "Kids sizes")."""
_AROUND = " .:()[]0123456789★*-–—|"
SHORTEST_LEG = 14
"""Inches; a table whose every inseam is shorter is one of shorts."""


@dataclass(slots=True)
class Subject:
    """The answer with its evidence, for the findings."""

    kind: str
    evidence: list[str] = field(default_factory=list)


def decide_subject(reading: Reading, around: Surroundings, named: bool, beside: bool, reader: Reader) -> Subject:
    """Garment, body, unclear or other. `named`: the sheet names trousers; `beside`: another table of it is ours."""
    if is_foreign(reading, around, reader):
        return Subject(OTHER)
    points = {figure.point for figure in reading.figures}
    garment, body, evidence = weigh_evidence(reading, around, reader)
    if body - garment >= 2:
        sure = named or around.facets.body or around.body or around.chart
        return Subject(BODY if sure else OTHER, evidence)
    worth, told = belongs(reading, around, named, beside, reader)
    upper = {label.not_ours for label in reading.labels} & set(reader.knowledge.reading.body.upper_rows)
    if worth < DOUBTFUL or (upper and not points & (SURE_POINTS - {"outseam"}) and len(points & LEG_GIRTHS) < 2):
        return Subject(OTHER, told)
    if worth < CLEAR:
        return Subject(DOUBTED, told)
    return Subject(UNCLEAR if body - garment >= 1 else GARMENT, evidence)


def is_foreign(reading: Reading, around: Surroundings, reader: Reader) -> bool:
    """Another garment by its name or its legs; persons, counts or statistics."""
    book = phrasebook(reader.knowledge)
    said = said_subject(reading, around, reader)
    if said == "others":
        return True
    heads = [fold(text).strip() for text in reading.heads]
    if sum(book.statistics.fullmatch(text) is not None for text in heads) >= 2:
        return True
    if any(book.persons.fullmatch(text) for text in heads):
        return True
    if is_paper_over(reading, around, said, reader) or is_of_others(reading, around, book):
        return True
    if is_list_of_labels(reading, reader):
        return True
    inseams = [
        figure
        for figure in reading.figures
        if figure.point == "inseam" and not figure.body and figure.printed.kind != "difference"
    ]
    if any(rise_is_long(figure, reader.knowledge) for figure in reading.figures):
        return False  # rise and inseam stand exchanged: trousers all the same
    return bool(inseams) and all(leg_is_short(figure, reader.knowledge) for figure in inseams)


def is_of_others(reading: Reading, around: Surroundings, book: Phrasebook) -> bool:
    """Whether the nearest heading is of men or children and nothing else, or of a person who wears the garment."""
    nearest = [fold(text).strip(_AROUND) for text in (*reading.titles[:1], *around.titles[:1])][:1]
    if any(len(text) <= LONGEST_WEARER and book.is_worn_by_others(text) for text in nearest):
        return True
    own = {figure.point for figure in reading.figures} - set(BODY_POINT)
    return not own and any(book.asides.fullmatch(text) for text in nearest)


def is_paper_over(reading: Reading, around: Surroundings, said: str, reader: Reader) -> bool:
    """Whether a text over the table says that it counts, prices or times something, or measures persons."""
    book = phrasebook(reader.knowledge)
    folded = [fold(text).strip() for text in [*reading.titles[:3], *around.near[:3]]]
    over = [text for text in folded if not (text.endswith(SENTENCE) and book.talk.search(text))]
    if any(tells_tally(text, book) or book.surveys.search(text) for text in over):
        return True
    measured = any(figure.printed.unit or figure.facets.unit for figure in reading.figures)
    return not (measured and said == "ours") and any(counts_something(text, reader) for text in over)


def counts_something(folded: str, reader: Reader) -> bool:
    """Whether a text says that what follows is counted or priced. "Qty: 1,200" is a fact of the order and no heading;
    "Rechnung 4471" is one."""

    def is_fact(match: re.Match[str]) -> bool:
        word = reader.read(match.group()).word
        return word is not None and word.role == "quantity" and _ITS_NUMBER.match(folded, match.end()) is not None

    return any(not is_fact(match) for match in phrasebook(reader.knowledge).counts.finditer(folded))


def tells_tally(folded: str, book: Phrasebook) -> bool:
    """Whether a text, or its part in brackets, is a measure that is no length: "pieces", "Retouren (Anzahl)"."""
    parts = [folded.strip(" .:()[]"), *_BRACKETED.findall(folded)]
    return any(book.tallies.fullmatch(part.strip(" .:")) for part in parts)


def is_list_of_labels(reading: Reading, reader: Reader) -> bool:
    """Waist and inseam in whole inches, by anything but a size or beside quantities: which sizes, and no measures."""
    if {figure.point for figure in reading.figures} - {"waist", "inseam"}:
        return False
    if any(figure.printed.value.denominator != 1 or figure.printed.upper is not None for figure in reading.figures):
        return False
    if any(figure.printed.unit or figure.facets.unit for figure in reading.figures):
        return False
    roles = {read.word.role for text in reading.heads if (read := reader.read(text)).word is not None}
    keys = [read.word.role if read.word is not None else "" for read in map(reader.read, reading.corners)]
    waists = any(figure.point == "waist" for figure in reading.figures)
    return "quantity" in roles or (waists and ("price" in roles or bool(keys and not set(keys) & SIZE_KEYS)))


def rise_is_long(figure: RawFigure, knowledge: Knowledge) -> bool:
    """A rise that is none in its unit and would be a long leg's inseam."""
    value, unit = figure.printed.value, figure.printed.unit or figure.facets.unit
    as_rise, as_leg = (suits_somehow(knowledge, point, value, unit) for point in ("front_rise", "inseam"))
    return figure.point == "front_rise" and as_rise == 0 and as_leg == USUAL


def leg_is_short(figure: RawFigure, knowledge: Knowledge) -> bool:
    """An inseam of shorts: short in the unit that is said, and no long leg in any other."""
    unit = figure.printed.unit or figure.facets.unit or "in"
    value = figure.printed.value
    return value * inch_factor(unit) < SHORTEST_LEG and suits_somehow(knowledge, "inseam", value, "") == 0


def weigh_evidence(reading: Reading, around: Surroundings, reader: Reader) -> tuple[float, float, list[str]]:
    """(for a garment, for a body, in words)."""
    words = reader.knowledge.reading.body
    points = {figure.point for figure in reading.figures}
    others = {label.not_ours for label in reading.labels if label.not_ours}
    heads = [label for text in reading.heads if (label := reader.read(text).point) is not None]
    others |= {label.not_ours for label in heads if label.not_ours}
    body_rows, garment_rows = others & set(words.body_rows), others & set(words.garment_rows)
    single = [one for one in reading.figures if one.size_scope != "all" and one.printed.upper is None]
    own = {figure.point for figure in single} & OWN_POINTS
    girths = [figure for figure in reading.figures if figure.point in GIRTHS]
    ranges = sum(figure.printed.upper is not None for figure in girths)
    named = any(figure.facets.attributes.get("style") for figure in reading.figures)
    flat = any(figure.label is not None and figure.label.convention == "flat" for figure in reading.figures)
    bodies = (
        (6.0, around.facets.body, "the heading speaks of the body"),
        (4.0, around.body and not around.facets.body, "a text over it speaks of the body"),
        (3.0, bool(body_rows), f"rows of the body: {', '.join(sorted(body_rows))}"),
        (1.0, len(body_rows) > 1, "several rows of the body"),
        (2.0, bool(girths) and ranges * 10 >= len(girths) * 7, "ranges in most cells"),
        (1.5, around.chart, "headed as a size chart"),
        (0.5, points <= set(BODY_POINT) and len(points) > 1, "only waist, hip and inside leg"),
    )
    garments = (
        (4.0, around.garment, "the heading speaks of the garment"),
        (2.0, bool(garment_rows), f"rows that only a garment has: {', '.join(sorted(garment_rows))}"),
        (2.0 * len(own), bool(own), f"points of a garment: {', '.join(sorted(own))}"),
        (3.0, any(figure.tolerance_minus is not None for figure in reading.figures), "tolerances"),
        (4.0, flat, "flat figures"),
        (1.0, named or bool(around.facets.attributes.get("style_code")), "a style is named"),
    )
    evidence = [f"{why} (body +{much:g})" for much, true, why in bodies if true]
    evidence += [f"{why} (garment +{much:g})" for much, true, why in garments if true]
    body = sum(much for much, true, _ in bodies if true)
    garment = sum(much for much, true, _ in garments if true)
    return garment, body, evidence
