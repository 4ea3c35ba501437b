"""What the files of words hold: terms, names to read over, modifiers, header words.

A phrase is words with blanks between. `word?` may be missing, `one|other` is a choice, and the order of the words is
free: "front rise" also means "rise, front". German, Dutch and Swedish compounds are written with a blank where they
are joined ("fuß weite" is Fußweite too). Case, accents and width do not matter. Small words of the filler list may
stand between.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

Language = Literal[
    "en", "de", "fr", "es", "it", "pt", "nl", "pl", "sv", "tr", "zh", "ja", "ko", "ru",
    "da", "no", "fi", "cs", "hu", "ro", "el", "uk", "th", "vi",
]  # fmt: skip
LANGUAGES: tuple[Language, ...] = get_args(Language)


@dataclass(frozen=True, slots=True)
class Phrases:
    """Phrases that mean one thing, by language."""

    name: str = ""
    means: str = ""
    en: tuple[str, ...] = ()
    de: tuple[str, ...] = ()
    fr: tuple[str, ...] = ()
    es: tuple[str, ...] = ()
    it: tuple[str, ...] = ()
    pt: tuple[str, ...] = ()
    nl: tuple[str, ...] = ()
    pl: tuple[str, ...] = ()
    sv: tuple[str, ...] = ()
    tr: tuple[str, ...] = ()
    zh: tuple[str, ...] = ()
    ja: tuple[str, ...] = ()
    ko: tuple[str, ...] = ()
    ru: tuple[str, ...] = ()
    da: tuple[str, ...] = ()
    no: tuple[str, ...] = ()
    fi: tuple[str, ...] = ()
    cs: tuple[str, ...] = ()
    hu: tuple[str, ...] = ()
    ro: tuple[str, ...] = ()
    el: tuple[str, ...] = ()
    uk: tuple[str, ...] = ()
    th: tuple[str, ...] = ()
    vi: tuple[str, ...] = ()

    def all(self) -> Iterator[tuple[str, str]]:
        """(language, phrase) of every phrase."""
        for language in LANGUAGES:
            for phrase in getattr(self, language):
                yield language, phrase


@dataclass(frozen=True, slots=True)
class Thing(Phrases):
    """A thing to be read over."""

    beside: tuple[str, ...] = ()
    """Points that this thing's name leaves alone: "thigh at crotch" is a thigh, "leg opening (ankle)" an opening."""
    always: bool = False
    """The label is about this thing even where the thing only says where: "length from shoulder"."""


@dataclass(frozen=True, slots=True)
class PointTerms:
    """What one language calls one point."""

    name: str
    names: tuple[str, ...] = ()
    """Certain names."""
    flat: tuple[str, ...] = ()
    """Names that also say: flat."""
    round: tuple[str, ...] = ()
    """Names that also say: all the way round."""
    weak: tuple[str, ...] = ()
    """Names that often mean this point and sometimes another thing."""
    alone: tuple[str, ...] = ()
    """Short codes that count only when they are the whole label."""


@dataclass(frozen=True, slots=True)
class Terms:
    """One file of `terms/`."""

    language: Language
    point: Mapping[str, PointTerms]


@dataclass(frozen=True, slots=True)
class ReadOver:
    """`read_over.toml`: names of things that are none of our points."""

    thing: Mapping[str, Thing]


@dataclass(frozen=True, slots=True)
class Modifiers:
    """`modifiers.toml`: words around a point's name."""

    convention: Mapping[str, Phrases]
    """flat, round"""
    unit: Mapping[str, Phrases]
    """in, cm, mm"""
    qualifier: Mapping[str, Phrases]
    """relaxed, stretched, without_band ... : said of the figure"""
    whose: Mapping[str, Phrases]
    """body, label: whose waist it is"""
    reference: Mapping[str, Phrases]
    """crotch, top edge, band: from where a place on the garment is measured"""
    grammar: Mapping[str, Phrases]
    """filler, soft, below, at, to, and, length_noun, girth_noun, where, style, only_beside, in_name, piece ..."""


@dataclass(frozen=True, slots=True)
class HeaderWords:
    """`header_words.toml`: words over columns and before values that are no points; words for lengths."""

    role: Mapping[str, Phrases]
