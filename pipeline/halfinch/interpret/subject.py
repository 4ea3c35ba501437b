"""What a grid is about: a garment of ours, the body a size is meant for, or something else altogether."""

from __future__ import annotations

from dataclasses import dataclass, field

from halfinch.interpret.raw import Reading
from halfinch.interpret.surroundings import Surroundings
from halfinch.interpret.words import Phrasebook
from halfinch.knowledge import Knowledge

GARMENT, BODY, UNCLEAR, OTHER = "garment", "body", "unclear", "other"
BODY_POINT = {"waist": "body_waist", "hip": "body_hip", "inseam": "body_inseam"}
LEG_POINTS = frozenset({"front_rise", "back_rise", "inseam", "outseam", "thigh", "knee", "leg_opening"})
SURE_POINTS = frozenset({"front_rise", "back_rise", "inseam", "outseam"})
LEG_GIRTHS = frozenset({"thigh", "knee", "leg_opening"})
OWN_POINTS = frozenset({"front_rise", "back_rise", "outseam", "thigh", "knee", "leg_opening"})


@dataclass(slots=True)
class Subject:
    """The answer with its evidence, for the findings."""

    kind: str
    evidence: list[str] = field(default_factory=list)


def decide_subject(
    reading: Reading, around: Surroundings, sheet_is_ours: bool, book: Phrasebook, knowledge: Knowledge
) -> Subject:
    """Garment, body, unclear or other, by rows, headings and the form of the figures."""
    words = knowledge.reading.body
    points = {figure.point for figure in reading.figures}
    others = {label.not_ours for label in reading.labels if label.not_ours}
    garment, body = 0.0, 0.0
    evidence: list[str] = []

    def weigh(side: str, amount: float, why: str) -> None:
        nonlocal garment, body
        if side == BODY:
            body += amount
        else:
            garment += amount
        evidence.append(f"{why} ({side} +{amount:g})")

    if around.facets.body:
        weigh(BODY, 6, "the heading speaks of the body")
    if around.garment:
        weigh(GARMENT, 4, "the heading speaks of the garment")
    body_rows = others & set(words.body_rows)
    if body_rows:
        weigh(BODY, 3, f"rows of the body: {', '.join(sorted(body_rows))}")
    if len(body_rows) > 1:
        weigh(BODY, 1, "several rows of the body")
    garment_rows = others & set(words.garment_rows)
    if garment_rows:
        weigh(GARMENT, 2, f"rows that only a garment has: {', '.join(sorted(garment_rows))}")
    own = {figure.point for figure in reading.figures if figure.size_scope != "all"} & OWN_POINTS
    if own:
        weigh(GARMENT, 2.0 * len(own), f"points of a garment: {', '.join(sorted(own))}")
    if any(figure.tolerance_minus is not None for figure in reading.figures):
        weigh(GARMENT, 3, "tolerances")
    if any(figure.label is not None and figure.label.convention == "flat" for figure in reading.figures):
        weigh(GARMENT, 4, "flat figures")
    ranges = sum(figure.printed.upper is not None for figure in reading.figures)
    if reading.figures and ranges * 10 >= len(reading.figures) * 7:
        weigh(BODY, 2, "ranges in most cells")
    if around.chart:
        weigh(BODY, 1.5, "headed as a size chart")
    if points <= set(BODY_POINT) and len(points) > 1:
        weigh(BODY, 0.5, "only waist, hip and inside leg")
    attributes = around.facets.attributes
    if attributes.get("style_code") or any(f.facets.attributes.get("style") for f in reading.figures):
        weigh(GARMENT, 1, "a style is named")
    return Subject(_judge(garment, body, points, others, around, sheet_is_ours, book, words.upper_rows), evidence)


def _judge(
    garment: float,
    body: float,
    points: set[str],
    others: set[str],
    around: Surroundings,
    sheet_is_ours: bool,
    book: Phrasebook,
    upper_rows: tuple[str, ...],
) -> str:
    named = next((found for text in around.near[:3] if (found := book.subject_of(text))), "")
    if named == "others":
        return OTHER
    named_ours = named == "ours" or around.garment
    if body - garment >= 2:
        return BODY
    upper = others & set(upper_rows)
    sure = bool(points & SURE_POINTS) or len(points & LEG_GIRTHS) >= 2
    if upper and not sure:
        return OTHER
    if not sure and not sheet_is_ours and not named_ours:
        return OTHER
    return UNCLEAR if body - garment >= 1 else GARMENT
