"""`reading.toml`: what the words around a table tell, and the ratios by which flat is told from round."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from halfinch.knowledge.reading import Span


@dataclass(frozen=True, slots=True)
class GarmentNouns:
    """Nouns of our garments and of others; `parts` are phrases in which such a noun means something else."""

    because: str
    ours: tuple[str, ...]
    others: tuple[str, ...]
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BodyWords:
    """Phrases and row names that tell body charts from garment tables."""

    because: str
    says: tuple[str, ...]
    chart: tuple[str, ...]
    garment: tuple[str, ...]
    body_rows: tuple[str, ...]
    garment_rows: tuple[str, ...]
    upper_rows: tuple[str, ...]
    foreign_rows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Phrases:
    """Words with one meaning for the reading."""

    because: str
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Wearers:
    """Words for those who wear it: men and children (`others`), women (`ours`); `styled`: named after others only."""

    because: str
    others: tuple[str, ...]
    styled: tuple[str, ...]
    ours: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartWords:
    """Headings over a part of a document, each the whole of its text, and what the names of companies end with."""

    because: str
    says: tuple[str, ...]
    companies: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """One word of an enumeration with the phrases that say it."""

    name: str
    means: str
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Mixture:
    """Costs, in points of evidence, of mixed conventions."""

    leg_mixed: Fraction
    top_mixed: Fraction
    round_over_flat: Fraction
    flat_over_round: Fraction
    because: str


@dataclass(frozen=True, slots=True)
class Typical:
    """The middle of each point, inches; girths all the way round."""

    waist: Fraction
    hip: Fraction
    thigh: Fraction
    knee: Fraction
    leg_opening: Fraction
    front_rise: Fraction
    back_rise: Fraction
    inseam: Fraction
    outseam: Fraction
    because: str


@dataclass(frozen=True, slots=True)
class BareRise:
    """A rise that does not say which: `most`, inches, is where the front rises end."""

    most: Fraction
    because: str


@dataclass(frozen=True, slots=True)
class Ratio:
    """Girth `of` over girth `to`: outside `limits` no true pair was met, inside `usual` most lie."""

    of: str
    to: str
    limits: Span
    usual: Span
    because: str
    unless: tuple[str, ...] = ()
    """Points beside which this ratio is not asked."""

    def check(self) -> str:
        inside = self.usual.low in self.limits and self.usual.high in self.limits
        return "" if inside else "usual: has to lie inside the limits"


@dataclass(frozen=True, slots=True)
class ReadingWords:
    """`reading.toml`."""

    garments: GarmentNouns
    body: BodyWords
    old: Phrases
    talk: Phrases
    guide: Phrases
    base: Phrases
    current: Phrases
    trial: Phrases
    asked: Phrases
    tried: Phrases
    statistics: Phrases
    counts: Phrases
    part: PartWords
    others: Phrases
    tallies: Phrases
    persons: Phrases
    asides: Phrases
    wearers: Wearers
    surveys: Phrases
    ambiguous: Phrases
    sample: Phrases
    upright: Phrases
    behind: Phrases
    measured: Phrases
    block: Mapping[str, Kind]
    state: Mapping[str, Kind]
    mixture: Mixture
    typical: Typical
    bare_rise: BareRise
    ratio: Mapping[str, Ratio]
