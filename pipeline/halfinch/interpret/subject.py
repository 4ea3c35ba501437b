"""What a grid is about: a garment of ours, the body a size is meant for, or something else altogether."""

from __future__ import annotations

from dataclasses import dataclass, field

from halfinch.interpret.evidence import USUAL, inch_factor, suits_somehow
from halfinch.interpret.raw import RawFigure, Reading
from halfinch.interpret.surroundings import Surroundings
from halfinch.interpret.words import Phrasebook, fold
from halfinch.knowledge import Knowledge

GARMENT, BODY, UNCLEAR, OTHER = "garment", "body", "unclear", "other"
BODY_POINT = {"waist": "body_waist", "hip": "body_hip", "inseam": "body_inseam"}
GIRTHS = frozenset({"waist", "hip", "thigh", "knee", "leg_opening"})
SURE_POINTS = frozenset({"front_rise", "back_rise", "inseam", "outseam"})
LEG_GIRTHS = frozenset({"thigh", "knee", "leg_opening"})
OWN_POINTS = frozenset({"front_rise", "back_rise", "outseam", "thigh", "knee", "leg_opening"})
SHORTEST_LEG = 14
"""Inches; a table whose every inseam is shorter is one of shorts."""


@dataclass(slots=True)
class Subject:
    """The answer with its evidence, for the findings."""

    kind: str
    evidence: list[str] = field(default_factory=list)


def sheet_is_about_trousers(figures: list[RawFigure], labels: set[str], named: bool) -> bool:
    """Whether a sheet's figures alone tell trousers: a length of the leg or a rise beside a girth, or waist sizes.

    A lone "Rise" is a stair's, a lone "Knee" a brace's: one point says nothing. "Inseam" alone is a word of trousers
    where it stands single by sizes or lengths; a range of it is a rider's or a wader's leg.
    """
    if named:
        return True
    points = {figure.point for figure in figures if not figure.body} | labels
    if points & SURE_POINTS and (points & GIRTHS or len(points & SURE_POINTS) >= 2):
        return True
    if len(points & LEG_GIRTHS) >= 2 and points & {"waist", "hip"}:
        return True
    return any(is_sure_alone(figure) for figure in figures)


def is_sure_alone(figure: RawFigure) -> bool:
    """A figure by a waist size, or one inseam by a size or a length."""
    if figure.size is not None and figure.size.waist is not None:
        return True
    return figure.point == "inseam" and not figure.printed.upper and bool(figure.size or figure.length)


def decide_subject(
    reading: Reading, around: Surroundings, sheet_is_ours: bool, named: bool, book: Phrasebook, knowledge: Knowledge
) -> Subject:
    """Garment, body, unclear or other. `sheet_is_ours`: its figures tell trousers; `named`: its words name them."""
    if is_foreign(reading, around, book, knowledge):
        return Subject(OTHER)
    points = {figure.point for figure in reading.figures}
    said = next((found for text in around.titles[:3] if (found := book.subject_of(text))), "")
    garment, body, evidence = weigh_evidence(reading, around, knowledge)
    if body - garment >= 2:
        sure = named or around.facets.body or around.chart
        return Subject(BODY if sure else OTHER, evidence)
    if not (sheet_is_ours or said == "ours" or around.garment):
        return Subject(OTHER, evidence)
    upper = {label.not_ours for label in reading.labels} & set(knowledge.reading.body.upper_rows)
    if upper and not points & (SURE_POINTS - {"outseam"}) and len(points & LEG_GIRTHS) < 2:
        return Subject(OTHER, evidence)
    return Subject(UNCLEAR if body - garment >= 1 else GARMENT, evidence)


def is_foreign(reading: Reading, around: Surroundings, book: Phrasebook, knowledge: Knowledge) -> bool:
    """Another garment by its name or its legs, a table of counts or of statistics."""
    named = next((found for text in around.titles[:3] if (found := book.subject_of(text))), "")
    if named == "others":
        return True
    heads = [fold(text) for text in reading.heads]
    if sum(book.statistics.fullmatch(text.strip()) is not None for text in heads) >= 2:
        return True
    near = " ".join(fold(text) for text in [*around.near[:3], *around.notes[:3]])
    measured = any(figure.printed.unit or figure.facets.unit for figure in reading.figures)
    if book.counts.search(near) and not (measured and named == "ours"):
        return True
    inseams = [
        figure
        for figure in reading.figures
        if figure.point == "inseam" and not figure.body and figure.printed.kind != "difference"
    ]
    if any(rise_is_long(figure, knowledge) for figure in reading.figures):
        return False  # rise and inseam stand exchanged: trousers all the same
    return bool(inseams) and all(leg_is_short(figure, knowledge) for figure in inseams)


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


def weigh_evidence(reading: Reading, around: Surroundings, knowledge: Knowledge) -> tuple[float, float, list[str]]:
    """(for a garment, for a body, in words)."""
    words = knowledge.reading.body
    points = {figure.point for figure in reading.figures}
    others = {label.not_ours for label in reading.labels if label.not_ours}
    body_rows, garment_rows = others & set(words.body_rows), others & set(words.garment_rows)
    own = {figure.point for figure in reading.figures if figure.size_scope != "all"} & OWN_POINTS
    girths = [figure for figure in reading.figures if figure.point in GIRTHS]
    ranges = sum(figure.printed.upper is not None for figure in girths)
    named = any(figure.facets.attributes.get("style") for figure in reading.figures)
    flat = any(figure.label is not None and figure.label.convention == "flat" for figure in reading.figures)
    bodies = (
        (6.0, around.facets.body, "the heading speaks of the body"),
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
