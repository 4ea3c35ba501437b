"""What one printed text can mean, and what a set of headings says together.

In: the text of a cell. Out: a `CellReading` with every sense the text could have (a point, a header's role, a size, a
number ...), and `Facets`: the senses that were chosen, which add up from the sheet's headings down to the cell.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import wraps
from types import MappingProxyType
from typing import Any, TypeVar

from halfinch.interpret.trace import SILENT, Trace
from halfinch.interpret.words import phrasebook, silhouette_in
from halfinch.knowledge import Knowledge
from halfinch.normalise.numbers import Printed, read_number
from halfinch.normalise.point_labels import (
    HeaderWord,
    PointLabel,
    read_convention_word,
    read_header_word,
    read_length_word,
    read_point_label,
    read_unit_word,
)
from halfinch.normalise.size_labels import SizeLabel, read_size_label

GOOD_LABEL = 0.55
"""Below this share of understood words a label is no evidence of a point by itself."""

KEY_ROLES = frozenset(
    [
        "size",
        "length",
        "style",
        "style_code",
        "block",
        "colour",
        "price",
        "currency",
        "merchant",
        "fabric",
        "stretch",
        "silhouette",
        "unit",
        "convention",
        "base_size",
        "url",
    ]
)
"""Roles whose values describe the garment or the size rather than measure it."""

ATTRIBUTE_ROLES = frozenset(
    [
        "style",
        "style_code",
        "block",
        "colour",
        "price",
        "currency",
        "merchant",
        "fabric",
        "stretch",
        "silhouette",
        "url",
    ]
)

SURE_SCORE = Fraction(9, 10)

LABEL_ROLES = {"label_waist": "size", "label_hip": "size", "label_inseam": "length"}

_EMPTY: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class CellReading:
    """Every sense of one text; the layout decides which of them counts."""

    text: str
    point: PointLabel | None = None
    word: HeaderWord | None = None
    size: SizeLabel | None = None
    length: str = ""
    unit: str = ""
    convention: str = ""
    number: Printed | None = None
    length_named: str = ""
    """The length that a point's label names ("Inseam (Tall)")."""
    rest_size: SizeLabel | None = None
    """The size named behind a header word ("Base size 12")."""

    @property
    def is_ours(self) -> bool:
        """A label of one of our points."""
        return self.point is not None and bool(self.point.point) and self.point.score >= GOOD_LABEL

    @property
    def is_label(self) -> bool:
        """A label of a point, ours or one to be read over."""
        return self.point is not None and (self.is_ours or bool(self.point.not_ours))


@dataclass(frozen=True, slots=True)
class Facets:
    """What the headings above, beside and around a value say. '' and None are: not said."""

    point: PointLabel | None = None
    size: SizeLabel | None = None
    length: str = ""
    unit: str = ""
    convention: str = ""
    role: str = ""
    body: bool = False
    old: bool = False
    qualifiers: frozenset[str] = frozenset()
    """What a heading adds to the point: before_wash, stretched, without_band ..."""
    attributes: Mapping[str, str] = field(default_factory=lambda: _EMPTY)

    def under(self, outer: Facets) -> Facets:
        """These facets inside `outer`: what is said nearer to the value wins."""
        return Facets(
            point=self.point or outer.point,
            size=self.size or outer.size,
            length=self.length or outer.length,
            unit=self.unit or outer.unit,
            convention=self.convention or outer.convention,
            role=self.role or outer.role,
            body=self.body or outer.body,
            old=self.old or outer.old,
            qualifiers=self.qualifiers | outer.qualifiers,
            attributes={**outer.attributes, **self.attributes} if self.attributes else outer.attributes,
        )


T = TypeVar("T")


class Reader:
    """Reads texts with one body of knowledge and remembers them: tables repeat themselves."""

    def __init__(self, knowledge: Knowledge, decimal: str = "", trace: Trace = SILENT) -> None:
        self.knowledge = knowledge
        self.trace = trace
        self.decimal = decimal
        self.sure: frozenset[str] = frozenset()
        """Labels whose names often mean another thing, and whose figures say that here they do not."""
        self._seen: dict[str, CellReading] = {}
        self.kept: dict[str, dict[str, Any]] = {}
        """What functions marked `kept` found, by function and text."""

    def trust(self, texts: Iterable[str]) -> None:
        """From now on these labels are names of their points beyond doubt."""
        self.sure |= {text.strip().replace(DOTTED, "i") for text in texts}
        self._seen.clear()
        self.kept.clear()

    def read(self, text: str) -> CellReading:
        """Every sense of `text`; numbers are tried first because most cells are numbers."""
        known = self._seen.get(text)
        if known is None:
            known = self._seen[text] = self._read(text)
        return known

    def _read(self, text: str) -> CellReading:
        stripped = _FOOTNOTE.sub("", text.strip().replace(DOTTED, "i"))
        if not stripped or _OF_MACHINES.fullmatch(stripped):
            return CellReading(text)
        number = (
            read_number(stripped, decimal=self.decimal)
            if any(c.isdigit() for c in stripped) or (any(c in "½¼¾⅛⅜⅝⅞" for c in stripped))
            else None
        )
        size = read_size_label(stripped, self.knowledge)
        if number is not None and not number.rest and _plain(stripped):
            return CellReading(text, size=size, number=number)
        point: PointLabel | None = read_point_label(stripped, self.knowledge)
        word: HeaderWord | None = read_header_word(stripped, self.knowledge)
        if point is not None and point.point in LABEL_ROLES:
            # "Waist size" and "labelled inseam" are names of the size, not figures of the garment.
            word = HeaderWord(role=LABEL_ROLES[point.point])
            point = None
        elif (
            point is not None and word is not None and word.role in ("size", "base_size") and word.score >= point.score
        ):
            point = None
        headed = word is None or word.role in ("size", "base_size")
        based = _BASED.fullmatch(stripped) if headed and size is None and point is None else None
        remark = read_header_word(based["remark"], self.knowledge) if based else None
        if based and remark is not None and remark.role == "base_size":  # "Size 6 (base)", "6 (sample)"
            size = read_size_label(based["size"], self.knowledge)
            word = remark if size is not None or word is not None else None
        if (
            word is not None
            and word.role == "size"
            and size is not None
            and size.strength < 0.9
            and not stripped.isupper()
        ):
            size = None  # "Mt." is the heading of the sizes, "MT" a size
        if point is not None and names_a_style(stripped, point, self.knowledge):
            point = None
        length = read_length_word(_REMARK.sub("", stripped).strip() or stripped, self.knowledge)
        if length and word is not None and word.role == "length":
            word = None  # "Langgröße" is a length; only "Länge" heads a column of them
        labelled = _LABELLED.fullmatch(stripped)
        length = length or (labelled.group(1) if labelled else "")
        if point is not None and not point.point and (length or (word is not None and said_surer(word, point))):
            # "Tall" is a length and "Modell" a style where they stand alone, not the height of a model.
            point = None
        if point is not None and point.point and not point.not_ours and stripped in self.sure:
            point = replace(point, score=max(point.score, SURE_SCORE))
        convention = read_convention_word(stripped, self.knowledge)
        if convention and point is not None and not point.point:
            point = None  # "Width, laid flat" over a group of girths
        rest = re.search(r"\S+$", stripped) if any(c.isalpha() for c in stripped) else None
        named = length_in_label(stripped, point, self.knowledge) if point is not None else ""
        if named and point is not None and point.point:
            point = replace(point, score=max(point.score, Fraction(9, 10)))
        return CellReading(
            text,
            length_named=named,
            rest_size=read_size_label(rest.group(), self.knowledge) if rest and rest.group() != stripped else None,
            point=point,
            word=word,
            size=size,
            length=length,
            unit=read_unit_word(stripped, self.knowledge),
            convention=convention,
            number=number,
        )


def kept(work: Callable[[str, Reader], T]) -> Callable[[str, Reader], T]:
    """`work(text, reader)`, done once for each text of a sheet: several readings ask the same of one line."""
    name = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def ask(text: str, reader: Reader) -> T:
        known = reader.kept.setdefault(name, {})
        if text not in known:
            known[text] = work(text, reader)
        found: T = known[text]
        return found

    return ask


DOTTED = "i\u0307"
"""What is left of the Turkish capital İ where a program made it small."""
_RISES = ("front_rise", "back_rise")


def names_a_style(text: str, point: PointLabel, knowledge: Knowledge) -> bool:
    """ "Mid rise boot-cut jean", "The Alma High-Rise Straight": the rise in a style's name measures nothing."""
    if point.point not in _RISES or not point.rest:
        return False
    return bool(silhouette_in(text, knowledge)) or phrasebook(knowledge).names_ours(text)


_BASED = re.compile(r"(?P<size>.+?)\s*[(\[](?P<remark>[^()\[\]]+)[)\]]")
_OF_MACHINES = re.compile(r"0x[0-9a-f]{4,}|[-+]?\d*[.,]\d+e[-+]?\d+", re.IGNORECASE)
"""Numbers as programs write them (0x3ee82930, 4.31e-05): no length, no label, and there are many of them."""
_FOOTNOTE = re.compile(r"(?<=[^\W\d_]{2})\s?(?:\[\d\]|\(\d\)|\s\d\)|\^\d|\(\*+\))$")
"""A footnote's mark behind words: "Waist (1)", "Knee [2]"."""
_REMARK = re.compile(r"\([^()]*\d[^()]*\)")
"""A figure in brackets behind a length: "Short (28")"."""
_PLAIN = re.compile(r"[\d\s.,/½¼¾⅛⅜⅝⅞⁄\-–]+")


def said_surer(word: HeaderWord, point: PointLabel) -> bool:
    """Whether a heading is rather this word over a column than a name of something that is read over."""
    return word.role in KEY_ROLES or (bool(word.role) and word.score >= point.score and not word.rest)


def _plain(text: str) -> bool:
    return _PLAIN.fullmatch(text) is not None


def facets_of_header(reading: CellReading) -> Facets:
    """The facets of a heading cell, the strongest sense first: a point, a role, a size, a length, a unit."""
    label, word = reading.point, reading.word
    if (
        label is not None
        and reading.is_label
        and not (word and word.role in ("size", "length") and not reading.is_ours)
    ):
        return Facets(
            point=label,
            unit=label.unit,
            length=reading.length_named,
            body="body" in label.qualifiers,
            old="old" in label.qualifiers,
            role=_role_of_label(label),
        )
    if word is not None and word.role == "base_size":
        return Facets(role="base_size", size=reading.size or reading.rest_size)
    if word is not None and word.role:
        return Facets(
            role=word.role, unit=reading.unit or word.unit, convention=reading.convention,
            old=word.role == "old_value",
        )  # fmt: skip
    if reading.size is not None and reading.number is None:
        return Facets(size=reading.size, length=reading.size.length, unit=reading.unit)
    if reading.length:
        return Facets(length=reading.length, unit=reading.unit)
    if reading.unit or reading.convention:
        return Facets(unit=reading.unit, convention=reading.convention)
    if reading.size is not None:
        return Facets(size=reading.size, length=reading.size.length)
    return Facets()


_NUMBERED = re.compile(r"(?<![^\W_])[Ll]\s?(\d{2}(?:\.5)?)(?![^\W_])")
_TAIL = re.compile(r"\s*\((?:in|ins|inch|inches|cm|mm|zoll|pouces|pulg|pol|厘米|インチ)\.?\)\s*$", re.IGNORECASE)
_LABELLED = re.compile(r"L\s?(2[2-9]|3\d|40|[6-9]\d)", re.IGNORECASE)
"""Inches or centimetres of a leg; L03 and L12 are codes of rows."""
_LAST = re.compile(r"(?:^|[\s\-–—/,])([^\W\d_]{4,})\)?\s*$")
_FIRST = re.compile(r"^\s*([^\W\d_]{4,})\s+(?=in-?seam|inside|inner|in-?leg)", re.IGNORECASE)
_BRACKETED = re.compile(r"\(([^()]{1,20})\)|[-–—,/]\s*([^\W\d_]{4,})\s*$")
LEG = ("inseam", "outseam")


def length_in_label(text: str, label: PointLabel, knowledge: Knowledge) -> str:
    """The length named in a point's label: "Inseam (Tall)", "Schrittlänge kurz", "Seitenlänge L28"."""
    text = _TAIL.sub("", text)
    numbered = _NUMBERED.search(text)
    if numbered and label.point in LEG:
        return numbered.group(1)
    bracketed = [part for match in _BRACKETED.finditer(text) for part in match.groups() if part]
    # "Long. côté" is an abbreviation of the point's own name: only a word at the end names a length.
    words = [match.group(1) for match in _LAST.finditer(text) if label.point in LEG]
    words += [match.group(1) for match in _FIRST.finditer(text)]
    parts = [part.strip() for part in (*bracketed, *words) if len(part.strip()) > 3]
    found = {length for part in parts if (length := read_length_word(part, knowledge))}
    return found.pop() if len(found) == 1 else ""


def _role_of_label(label: PointLabel) -> str:
    if "tolerance" in label.qualifiers:
        return "tolerance"
    if "grade" in label.qualifiers:
        return "grade"
    return ""


def with_attribute(facets: Facets, role: str, value: str) -> Facets:
    """`facets` with one more thing known of the garment, e.g. ("style_code", "HW-204")."""
    return replace(facets, attributes={**facets.attributes, role: value})
