"""What `units.toml` and `size_systems.toml` hold. Fields are the files' keys; see `halfinch.knowledge.reading`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction


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
class SizeSystems:
    """`size_systems.toml`."""
