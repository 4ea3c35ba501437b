"""Whether the figures of a table are of long trousers at all: evidence for and against, added up.

A lone word of ours is no evidence: a roof has a hip and a rise, a pipe a knee, a curtain a hem. What counts is a
garment that is named, several points that go together, and a line of sizes; what speaks against is a table that is
keyed by something else (days, patients, batches), columns that nobody can account for, and numbers that no trousers
have.
"""

from __future__ import annotations

from collections.abc import Sequence

from halfinch.interpret.evidence import suits_somehow
from halfinch.interpret.facets import KEY_ROLES, Reader
from halfinch.interpret.raw import RawFigure, Reading
from halfinch.interpret.surroundings import Surroundings
from halfinch.interpret.words import fold, phrasebook, silhouette_in

CLEAR, DOUBTFUL = 3.0, 1.75
"""From CLEAR on a table is believed, from DOUBTFUL on a person is asked, below it is none of ours."""
LENGTHS = frozenset({"front_rise", "back_rise", "inseam", "outseam"})
GIRTHS = frozenset({"waist", "hip", "thigh", "knee", "leg_opening"})
WORTH = {"waist": 0.5, "hip": 0.5, "inseam": 2.0, "outseam": 1.5}
"""What a point tells, 1 where it isn't listed: waist and hip are of every body, an inseam is a word of trousers."""
WELL_NAMED = 0.75
NEAR = 3
"""So many texts over a table say what it is about."""
SHORT = 60
_KNOWN_CORNERS = KEY_ROLES | {"point_column", "value", "code", "country", "tolerance", "grade", "old_value", "note"}


def belongs(
    reading: Reading, around: Surroundings, named: bool, beside: bool, reader: Reader
) -> tuple[float, list[str]]:
    """(points of evidence, in words). `named`: the sheet names trousers; `beside`: another table of it is ours."""
    figures = [figure for figure in reading.figures if not figure.body]
    points = worth_of_points(figures)
    said = said_subject(reading, around, reader)
    shaped = any(silhouette_in(text, reader.knowledge) for text in around.titles[:NEAR])
    sized = any(figure.size is not None or figure.length for figure in figures)
    bare = all(figure.size is None or figure.size.size.isdigit() for figure in figures)
    bare = bare and not any(figure.length.isalpha() for figure in figures)  # petite, tall: of clothes and nothing else
    corners = unknown_corners(reading, reader) if bare else []
    flat = any(figure.label is not None and figure.label.convention == "flat" for figure in figures)
    unread = len(reading.unread) / max(1, len(reading.unread) + len(reading.figures))
    odd = share_odd(figures, reader)
    single = {figure.point for figure in figures if figure.printed.upper is None}
    pair = bool(single & GIRTHS and single & LENGTHS) and odd == 0
    foreign = {label.not_ours for label in reading.labels} & set(reader.knowledge.reading.body.foreign_rows)
    facts = (
        (3.0, said == "ours", "trousers are named over it"),
        (3.0 if reading.way == "prose" else 2.0, named and said != "ours", "the sheet names trousers"),
        (2.0, beside, "another table of the sheet is of trousers"),
        (1.0, around.garment, "the heading speaks of a garment"),
        (1.0, shaped and not said, "a silhouette is named over it"),
        (1.0, flat, "flat figures"),
        (sum(points.values()), bool(points), f"points: {', '.join(sorted(points))}"),
        (1.0, sized and not corners, "told by size or length"),
        (1.0, pair, "girths and lengths that go together"),
        (-2.0, bool(corners), f"keyed by something else: {', '.join(corners)}"),
        (-2.5 if corners else -1.5, not sized and is_listed(figures), "several values and no size"),
        (-3.0 * unread, unread > 0, "numbers that are none of ours"),
        (-2.0, odd > 1 / 3, "numbers that no trousers have"),
        (-3.0, bool(foreign), f"rows that no trousers have: {', '.join(sorted(foreign))}"),
    )
    told = [f"{why} ({much:+g})" for much, true, why in facts if true]
    worth = sum(much for much, true, _ in facts if true)
    spoken = said or named or beside or around.garment
    alone = not (pair or len(points) >= 4 or any(points.get(one, 0.0) >= 1 for one in ("inseam", "outseam")))
    if alone and not spoken and worth >= CLEAR:
        return CLEAR - 0.5, [*told, "words that other trades use too, and no length beside a girth"]
    return worth, told


def worth_of_points(figures: Sequence[RawFigure]) -> dict[str, float]:
    """What each point is worth by its best label; half where half of it is understood, little in ranges: of bodies."""
    worth: dict[str, float] = {}
    for figure in figures:
        score = float(figure.label.score) if figure.label is not None else 0.5
        score = score if score >= WELL_NAMED else score / 2
        score = score if figure.printed.upper is None else score / 4
        worth[figure.point] = max(worth.get(figure.point, 0.0), score * WORTH.get(figure.point, 1.0))
    return {point: much for point, much in worth.items() if point in LENGTHS | GIRTHS}


def said_subject(reading: Reading, around: Surroundings, reader: Reader) -> str:
    """ours | others | '': the nearest heading, section or caption that names a garment; else a short text over it."""
    book = phrasebook(reader.knowledge)
    for texts in ([*reading.titles, *around.titles[:NEAR]], [one for one in around.near[:NEAR] if len(one) <= SHORT]):
        for text in texts:
            if book.guide.search(fold(text)) is None and (found := book.subject_of(text)):
                return found
    return ""


def unknown_corners(reading: Reading, reader: Reader) -> list[str]:
    """Words in the corner that are neither of sizes nor of points nor of a garment: "Day", "Patient", "Run"."""
    book = phrasebook(reader.knowledge)
    found = []
    for text in reading.corners:
        read = reader.read(text)
        known = (
            read.is_label
            or read.size is not None
            or read.length
            or read.unit
            or read.convention
            or read.number is not None
            or (read.word is not None and read.word.role in _KNOWN_CORNERS)
        )
        folded = fold(text)
        spoken = any(p.search(folded) for p in (book.ours, book.chart, book.garment, book.body, book.ambiguous))
        spoken = spoken or any(reader.read(word).word is not None for word in text.split())
        if not (known or spoken or silhouette_in(text, reader.knowledge)) and any(c.isalpha() for c in text):
            found.append(text)
    return found


def is_listed(figures: Sequence[RawFigure]) -> bool:
    """Whether a point has several figures that nothing tells apart, not even the name of a style."""
    seen: set[tuple[str, str]] = set()
    for figure in figures:
        key = (figure.point, figure.facets.attributes.get("style", "") + figure.facets.unit)
        if key in seen:
            return True
        seen.add(key)
    return False


def share_odd(figures: Sequence[RawFigure], reader: Reader) -> float:
    """The share of numbers that suit their point in no unit that may be meant."""
    if not figures:
        return 0.0
    odd = sum(
        suits_somehow(reader.knowledge, one.point, one.printed.value, one.printed.unit or one.facets.unit) == 0
        for one in figures
        if one.printed.kind in ("single", "range")
    )
    return odd / len(figures)
