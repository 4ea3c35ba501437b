"""What `units.toml` and `size_systems.toml` hold. Fields are the files' keys; see `halfinch.knowledge.reading`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from halfinch.knowledge.reading import Span


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of length."""

    name: str
    """The unit's name in the catalogue: in | cm | mm | m | ft."""
    means: str
    pint: str
    """Its name in `definitions`."""
    words: tuple[str, ...]
    """As printed after a number, any case; a full stop after it is always allowed."""
    signs: tuple[str, ...] = ()
    """Marks that may stand glued to a number."""
    doubtful: tuple[str, ...] = ()
    """Words that most likely mean this unit and may mean another."""
    doubt: str = ""
    """Why the doubtful words are doubtful: a plain sentence for the finding."""


@dataclass(frozen=True, slots=True)
class Beside:
    """Words that may stand beside a number and change how it is taken."""

    name: str
    means: str
    words: tuple[str, ...]
    signs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FractionWord:
    """A fraction said in words."""

    value: Fraction
    words: tuple[str, ...]
    """In front of a unit: half an inch."""
    joined: tuple[str, ...]
    """Behind a whole number and a joining word: 10 and a half. Not "half" in English: 28 and half elastic."""
    glued: tuple[str, ...] = ()
    """Behind a whole number: 10 buçuk."""


@dataclass(frozen=True, slots=True)
class Prose:
    """What tells, in running text, that a number is no length."""

    counted: tuple[str, ...]
    """A number in front of one of these counts or weighs something."""
    labels: tuple[str, ...]
    """A number without unit behind one of these is a size, an age, a model ..., no length."""
    inch_follows: tuple[str, ...]
    """Words that follow the abbreviation "in"; before any other word "in" may be the preposition."""
    currencies: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Units:
    """`units.toml`."""

    definitions: tuple[str, ...]
    unit: Mapping[str, Unit]
    beside: Mapping[str, Beside]
    fraction: tuple[FractionWord, ...]
    prose: Prose
    usual_denominators: tuple[int, ...]
    """Of fractions read without doubt; those of known_denominators are read with doubt."""
    known_denominators: tuple[int, ...]

    def check(self) -> str:
        """A word stands under one unit only."""
        seen: dict[str, str] = {}
        for name, unit in self.unit.items():
            for word in (*unit.words, *unit.signs, *unit.doubtful):
                if seen.setdefault(word.casefold(), name) != name:
                    return f"unit.{name}: {word!r} stands under {seen[word.casefold()]} too"
        return ""


@dataclass(frozen=True, slots=True)
class SizeSystem:
    """One country's or trade's sizes."""

    name: str
    means: str
    words: tuple[str, ...]
    """What names the system beside a size: UK 12, 12 (UK)."""
    sizes: tuple[str, ...]
    """In their order, as printed."""
    because: str
    marks: tuple[str, ...] = ()
    """Short names that count only where several systems stand in one label: D 38 F 40."""
    seldom: tuple[str, ...] = ()
    """Sizes that exist but prove nothing of the system by themselves."""


@dataclass(frozen=True, slots=True)
class Alpha:
    """Letter sizes."""

    order: tuple[str, ...]
    plus: tuple[str, ...]
    words: tuple[str, ...]
    spellings: Mapping[str, tuple[str, ...]]
    portuguese: Mapping[str, str]

    def check(self) -> str:
        """Every spelling belongs to a size of the order, and to one only."""
        seen: dict[str, str] = {}
        for size, spellings in self.spellings.items():
            if size not in self.order:
                return f"spellings.{size}: no size of the order"
            for spelling in (size, *spellings):
                if seen.setdefault(spelling.casefold(), size) != size:
                    return f"spellings.{size}: {spelling!r} stands under {seen[spelling.casefold()]} too"
        return ""


@dataclass(frozen=True, slots=True)
class LengthWords:
    """What a length is called."""

    name: str
    means: str
    marks: tuple[str, ...]
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LengthRuns:
    """Words that name a length only among other lengths."""

    medium: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BodyRow:
    """The body one size is meant for."""

    size: str
    waist: Span | None = None
    hip: Span | None = None


@dataclass(frozen=True, slots=True)
class BodyTable:
    """One published table of bodies, in `unit`."""

    system: str
    table: str
    source: str
    unit: Literal["in", "cm"]
    step: Fraction
    """From one size to the next; tables further apart than this are not believed."""
    row: tuple[BodyRow, ...]


@dataclass(frozen=True, slots=True)
class SelfLabelled:
    """A system whose labels print the body's own waist."""

    system: str
    table: str
    source: str


@dataclass(frozen=True, slots=True)
class SizeSystems:
    """`size_systems.toml`."""

    label_words: tuple[str, ...]
    one_size: tuple[str, ...]
    inseam_words: tuple[str, ...]
    waist_words: tuple[str, ...]
    system: Mapping[str, SizeSystem]
    alpha: Alpha
    length: Mapping[str, LengthWords]
    length_runs: LengthRuns
    body_table: tuple[BodyTable, ...]
    self_labelled: SelfLabelled

    def check(self) -> str:
        """A word names one length and one system; a table belongs to a known system."""
        for kind, rows in (("length", self.length), ("system", self.system)):
            seen: dict[str, str] = {}
            for name, row in rows.items():
                for word in row.words:
                    if seen.setdefault(word.casefold(), f"{kind}.{name}") != f"{kind}.{name}":
                        return f"{kind}.{name}: {word!r} stands under {seen[word.casefold()]} too"
        unknown = next((table.system for table in self.body_table if table.system not in self.system), "")
        return f"body_table: {unknown!r} is no system of this file" if unknown else ""
