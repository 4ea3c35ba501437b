"""How a paper says lengths and words: inches as the trade writes them or centimetres, and the words of its language.

The words stand in `messages/LANGUAGE.toml`, English phrase to phrase; a new language is a new file. A phrase that is
missing there stays English.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Literal

from halfinch.errors import UsageError
from halfinch.fit.body import Band
from halfinch.fit.words import say_number

Unit = Literal["in", "cm"]
CM = 2.54


@dataclass(frozen=True, slots=True)
class Wording:
    """One language and one unit of length."""

    unit: Unit = "in"
    language: str = "en"
    words: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    decimal: str = "."

    def word(self, english: str, **values: object) -> str:
        """The phrase in this language, `{name}` in it filled in."""
        phrase = self.words.get(english, english)
        return phrase.format(**values) if values else phrase

    def point(self, name: str) -> str:
        """A point of measure by its name in the catalogue."""
        return self.word(name.replace("_", " "))

    def number(self, inches: float) -> str:
        """ "28 5/8", or "72.7" in centimetres with the language's decimal mark."""
        if self.unit == "in":
            return say_number(inches)
        tenths = round(inches * CM, 1) + 0.0
        return f"{tenths:.1f}".removesuffix(".0").replace(".", self.decimal)

    def money(self, amount: Decimal | float) -> str:
        """ "129.00" with the language's decimal mark."""
        return f"{amount:.2f}".replace(".", self.decimal)

    def show(self, inches: float) -> str:
        return f"{self.number(inches)} {self.unit}"

    def show_band(self, band: Band) -> str:
        """ "1/4 to 1/2 in", one figure where both ends are said alike."""
        low, high = self.number(band.low), self.number(band.high)
        return f"{low} {self.unit}" if low == high else f"{low} {self.word('to')} {high} {self.unit}"


def languages() -> tuple[str, ...]:
    """The languages there are messages in, English first."""
    found = sorted(entry.name.removesuffix(".toml") for entry in _folder().iterdir() if entry.name.endswith(".toml"))
    return ("en", *(name for name in found if name != "en"))


def load_wording(language: str = "en", unit: Unit = "in") -> Wording:
    """Raises UsageError for a language without messages."""
    if language not in languages():
        raise UsageError(f"{language!r}: no messages in this language; there are: {', '.join(languages())}.")
    if language == "en":
        return Wording(unit)
    data = tomllib.loads((_folder() / f"{language}.toml").read_text("utf-8"))
    return Wording(unit, language, MappingProxyType(data["words"]), data.get("decimal", "."))


def _folder() -> Traversable:
    return files("halfinch.present") / "messages"
