"""What a note says of a whole table: its unit, flat or round, its length, its tolerance, its run of sizes.

In: one text. Out: the word for it, '' where the text does not say it.
"""

from __future__ import annotations

import re

from halfinch.interpret.facets import Reader, kept
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.header_words import find_convention_said
from halfinch.normalise.numbers import find_numbers
from halfinch.normalise.point_labels import (
    find_point_labels,
    read_convention_word,
    read_header_word,
    read_length_word,
    read_unit_word,
)

GIRTHS = ("waist", "hip", "thigh", "knee", "leg_opening")
SURE_UNITS = frozenset({"cm", "mm", "cms"})
"""Short unit words that are nothing else in any language."""
MAX_NOTE = 400
"""Longer texts are prose about other things; only their statements of unit and convention are looked for."""
_WORDS = re.compile(r"[^\W\d_]+(?:[-/][^\W\d_]+)*|\(\s*[^\W\d_]+\.?\s*\)", re.UNICODE)
_GLUED = re.compile(r"(?<=[\u3040-\u30ff\u4e00-\u9fff\uac00-\ud7af])(cm|mm|CM|MM)(?![A-Za-z])")
"""A unit written onto Eastern words: 单位为CM."""
_TITLE_SPLIT = re.compile(r"\s+[|–—·:-]\s+|\s*\|\s*")
_SIZES = re.compile(
    r"((?:\d{1,2}|[XSML0-4]{1,4}W?)(?:\s*(?:-|–|—|,|/|\bto\b|\bbis\b|\bà\b|至|~|〜|\s)\s*(?:\d{1,2}|[XSML0-4]{1,4}W?)(?![\w\"”.½¼¾]))+)"
)
_PLUS_MINUS = re.compile(
    r"(?:±|\+\s*/\s*-|\+\s*-|\+/−)\s*(\d[\d\s.,/½¼¾⅛⅜⅝⅞]*(?:\s*(?:cm|mm|in|inch|inches|\"|”|厘米|インチ|センチ)\b)?)",
    re.IGNORECASE,
)


def blank_numbers(text: str) -> str:
    """The text with every figure (and its unit) replaced by 0."""
    rest = text
    for found in reversed(find_numbers(text)):
        rest = rest[: found.start] + " 0 " + rest[found.end :]
    return rest


@kept
def find_unit(text: str, reader: Reader) -> str:
    """The unit that a text states for a table ("all measurements in inches"), '' for none or for two.

    A unit behind a number is that number's own ("model is 178 cm") and says nothing of the table.
    """
    whole = read_unit_word(text.strip(" .:;()[]"), reader.knowledge)
    if whole:
        return whole
    key, colon, value = text.partition(":")
    head = read_header_word(key.strip(), reader.knowledge) if colon and len(key) <= 20 else None
    if head is not None and head.role == "unit" and (said := read_unit_word(value.strip(" .()"), reader.knowledge)):
        return said  # "Unit: in"
    rest = _GLUED.sub(r" \1 ", blank_numbers(text))
    units = set()
    for match in _WORDS.finditer(rest):
        word = match.group().strip("() ")
        bracketed = match.group().startswith("(")
        if not bracketed and len(word) < 4 and word.casefold() not in SURE_UNITS:
            continue  # "in", "po", "cal" and the like are ordinary words in running text
        if rest[: match.start()].rstrip().endswith("0"):
            continue
        unit = read_unit_word(word, reader.knowledge)
        if unit:
            units.add(unit)
    for mark, unit in (
        ("厘米", "cm"),
        ("公分", "cm"),
        ("センチ", "cm"),
        ("英寸", "in"),
        ("インチ", "in"),
        ("毫米", "mm"),
        ("นิ้ว", "in"),
        ("เซนติเมตร", "cm"),
        ("ซม.", "cm"),
    ):
        if mark in rest:
            units.add(unit)
    return units.pop() if len(units) == 1 else ""


@kept
def find_convention(text: str, reader: Reader) -> str:
    """Flat or round as a text states it for a table ("laid flat, not doubled"), '' for none or both.

    "How to measure: lay your trousers flat" tells a reader what to do, not how these figures were taken.
    """
    folded = fold(text)
    if phrasebook(reader.knowledge).guide.search(folded) and not _OWN_WAY.search(folded):
        return ""
    said = find_convention_said(_OWN_WORD.sub(" 0 ", blank_numbers(text)), reader.knowledge)
    if not said:
        return way_behind_unit(text, reader)
    if not any(char.isdigit() for char in text):
        return said
    # A word in the label of a figure is said of that figure: "bottom width 26 cm".
    rest = _OWN_WORD.sub(" 0 ", blank_numbers(blank_told_labels(text, reader)))
    return find_convention_said(rest, reader.knowledge)


def way_behind_unit(text: str, reader: Reader) -> str:
    """ "Unit: inches, full", "cm (half)": what says flat or round only beside a point says it beside a unit too."""
    match = _UNIT_AND_WAY.search(text)
    if match is None or not read_unit_word(match["unit"], reader.knowledge):
        return ""
    label = reader.read(f"waist {match['way']}").point
    return label.convention if label is not None and label.point == "waist" and label.score >= SURE_WAY else ""


SURE_WAY = 0.9
_UNIT_AND_WAY = re.compile(
    r"(?:^|[:：;|]|\s)\s*(?P<unit>[^\W\d_]+)\.?\s*[,(/–-]\s*(?P<way>[^\W\d_]+(?:\s[^\W\d_]+)?)\s*\)?\s*$"
)


def blank_told_labels(text: str, reader: Reader) -> str:
    """The text without the labels that a figure stands right behind."""
    rest = text
    for found in reversed(find_point_labels(text, reader.knowledge)):
        if _FIGURE_BEHIND.match(text, found.end):
            rest = f"{rest[: found.start]} {rest[found.end :]}"
    return rest


_FIGURE_BEHIND = re.compile(r"[\s:：=–-]*\d")
_OWN_WORD = re.compile(r"\b0 {1,2}\([^()]{1,40}\)\s*(?=[,;，；、])")
"""In brackets behind a figure, with more to follow: said of that figure alone."""
_OWN_WAY = re.compile(r"\b(?:we|our|wir|unsere?|nous|nos)\b")
TOLD = "convention of {}"
"""The attribute under which a note's word about one point is kept."""
_PIECES = re.compile(r"[.;]\s|\s[–—-]\s|\n")
_ENDS = re.compile(r"[,(),:，、；。]|\band\b|\bund\b|\bet\b|\by\b|\be\b|\ben\b|\bi\b|\boch\b|\bog\b|\bve\b")


def find_point_conventions(text: str, reader: Reader) -> dict[str, str]:
    """Flat or round by point where one note says both: "waist and hip full circumference, the rest flat".

    Points that nothing is said of up to the next word share that word. {} where a note speaks of all alike.
    """
    rest = phrasebook(reader.knowledge).rest
    found: dict[str, str] = {}
    for sentence in _PIECES.split(text[:MAX_NOTE]):
        waiting: list[str] = []
        for part in _ENDS.split(sentence):
            label = reader.read(part.strip()).point if part.strip() else None
            said = (label.convention if label is not None else "") or find_convention_said(part, reader.knowledge)
            if label is not None and label.point in GIRTHS:
                waiting.append(label.point)
            elif rest.search(fold(part)):
                waiting.extend(point for point in GIRTHS if point not in found and point not in waiting)
            said = said or read_convention_word(rest.sub(" ", fold(part)).strip(), reader.knowledge)
            if said:
                found.update(dict.fromkeys(waiting, said))
                waiting = []
    return found if len(set(found.values())) == 2 else {}


def find_length(text: str, reader: Reader) -> str:
    """The one length word in a short heading ("Alma Wide Leg – Petite")."""
    whole = read_length_word(text.strip(), reader.knowledge)
    if whole:
        return whole
    text = re.sub(r"\b[Rr]egular (?:fit|waist|rise)\b", " ", text)
    if len(text) > 80:
        return ""
    found = set()
    for part in [*_TITLE_SPLIT.split(text), *re.findall(r"[^\W\d_]{4,}|\(\s*[^()]{1,20}\s*\)", text)]:
        length = read_length_word(part.strip("() "), reader.knowledge)
        if length:
            found.add(length)
    return found.pop() if len(found) == 1 else ""


def find_size_range(text: str, reader: Reader) -> str:
    """The run in "Sizes: 4-16" or "Size range: 34, 36, 38 (even)", as printed; '' where none stands."""
    for match in re.finditer(r"([^\W\d_]+)(?:\s+[^\W\d_]+)?\s*[:=]?\s*(?=[\dXSML])", text):
        word = read_header_word(match.group(1), reader.knowledge)
        sizes = _SIZES.match(text, match.end())
        inside = match.end() > 0 and text[match.end() - 1].isalnum()
        if word is not None and word.role == "size" and sizes and not inside and not is_dual(sizes.group(1)):
            return sizes.group(1)
    return ""


def is_dual(sizes: str) -> bool:
    """ "XS/2": one size in two systems, no range."""
    parts = sizes.split("/")
    return len(parts) == 2 and all(part.strip().isalnum() for part in parts) and not sizes.replace("/", "").isdigit()


@kept
def find_tolerance(text: str, reader: Reader) -> str:
    """The tolerance that a note states for all points ("tolerance +/- 0.5 cm"), as printed; '' where none stands."""
    if len(text) > MAX_NOTE:
        return ""
    match = _PLUS_MINUS.search(text)
    if match:
        return match.group(1).strip(" .,")
    for found in find_numbers(text):
        words = re.findall(r"[^\W\d_]+", text[: found.start])
        role = read_header_word(words[-1], reader.knowledge) if words else None
        if role is not None and role.role == "tolerance" and found.printed.value < 4:
            return text[found.start : found.end]
    return ""
