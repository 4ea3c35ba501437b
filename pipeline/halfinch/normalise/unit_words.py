"""The words and signs of `schemas/units.toml` as patterns. In: nothing. Out: compiled patterns, made once."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from halfinch.knowledge import find_schemas
from halfinch.knowledge.reading import read_file
from halfinch.knowledge.spec_sizes import Units

CJK = "\u3040-\u30ff\u31f0-\u31ff\u3400-\u9fff\uac00-\ud7a3\uff66-\uff9f"
_EDGE = rf"(?-i:(?=[{CJK}])|(?![^\W\d_]))"
"""Behind a word: no further letter of an alphabet. Chinese, Japanese and Korean are written without blanks."""


_BESIDES = ("flat", "round", "approx", "max", "min")


@lru_cache(maxsize=1)
def load_units() -> Units:
    """`schemas/units.toml` alone: numbers and units need no other file."""
    return read_file(find_schemas() / "units.toml", Units)


@dataclass(frozen=True, slots=True)
class Words:
    """All patterns. Each is to be matched at a position of canonical text (see `number_text`)."""

    unit: re.Pattern[str]
    units: dict[str, tuple[str, str]]
    """Folded word or sign -> (unit, doubt)."""
    beside: re.Pattern[str]
    besides: dict[str, str]
    """Folded word or sign -> flat | round | approx | max | min."""
    about: re.Pattern[str]
    """To be searched: a word for about so much."""
    joins: re.Pattern[str]
    """To be searched: an "and" or a "with"."""
    range: re.Pattern[str]
    join: re.Pattern[str]
    fraction: re.Pattern[str]
    joined: re.Pattern[str]
    glued: re.Pattern[str]
    fractions: dict[str, Fraction]
    """Word -> value, of all three."""
    counted: re.Pattern[str]
    label: re.Pattern[str]
    follows: re.Pattern[str]
    currency: re.Pattern[str]
    usual: frozenset[int]
    known: frozenset[int]
    leads: frozenset[str]
    """The first three letters, or all, of every word that a figure in running text may begin with."""

    def may_lead(self, text: str, at: int) -> bool:
        """Whether the word at `at` may begin a figure ("about 30", "half an inch"): False for most words."""
        first = text[at : at + 3].lower()
        return not first.isascii() or first in self.leads or first[:2] in self.leads or first[:1] in self.leads


def fold(text: str) -> str:
    """One spelling for looking up: NFKC and case folded."""
    return unicodedata.normalize("NFKC", text).casefold()


@lru_cache(maxsize=1)
def load_words() -> Words:
    """Compile the patterns (about 2 ms)."""
    known = load_units()
    units = {fold(w): (name, "") for name, unit in known.unit.items() for w in (*unit.words, *unit.signs)}
    units |= {fold(w): (name, unit.doubt) for name, unit in known.unit.items() for w in unit.doubtful}
    besides = {fold(w): name for name in _BESIDES for w in (*known.beside[name].words, *known.beside[name].signs)}
    fractions = {fold(w): row.value for row in known.fraction for w in (*row.words, *row.joined, *row.glued)}
    between = known.beside["range"]
    prose = known.prose
    return Words(
        unit=_compile(w for unit in known.unit.values() for w in (*unit.words, *unit.signs, *unit.doubtful)),
        units=units,
        beside=_compile(w for name in _BESIDES for w in (*known.beside[name].words, *known.beside[name].signs)),
        besides=besides,
        about=_compile_whole((*known.beside["approx"].words, *known.beside["approx"].signs)),
        joins=_compile_whole((*known.beside["and"].words, *known.beside["with"].words)),
        range=re.compile(rf"[ \n]?(?:[-~]|{_alternatives(between.words)}{_EDGE})[ \n]?|\n", re.IGNORECASE),
        join=_compile(known.beside["and"].words),
        fraction=_compile(w for row in known.fraction for w in row.words),
        joined=_compile(w for row in known.fraction for w in row.joined),
        glued=re.compile(
            rf"{_alternatives(w for row in known.fraction for w in row.glued)}(?-i:(?![{CJK}]))", re.IGNORECASE
        ),
        fractions=fractions,
        counted=re.compile(rf"[ -]?{_alternatives(prose.counted)}(?!\d)", re.IGNORECASE),
        label=_compile_labels(prose.labels),
        follows=re.compile(rf" {_alternatives(prose.inch_follows)}(?!\w)", re.IGNORECASE),
        currency=re.compile(_alternatives(prose.currencies), re.IGNORECASE),
        usual=frozenset(known.usual_denominators),
        known=frozenset(known.known_denominators),
        leads=frozenset(word[:3] for word in (*besides, *fractions, "plus/minus")),
    )


def _compile_labels(labels: Iterable[str]) -> re.Pattern[str]:
    """To be searched in the text before a number. IT and DE are labels in capitals only."""
    capitals = [word for word in labels if word.isupper() and word.isascii()]
    others = [word for word in labels if word not in capitals]
    return re.compile(rf"(?:^|[^\w])(?:(?i:{_alternatives(others)})|(?:{'|'.join(map(re.escape, capitals))}))[ :]*$")


def _compile_whole(words: Iterable[str]) -> re.Pattern[str]:
    """To be searched in running text: no letter before the word either, but in Eastern writing."""
    return re.compile(rf"(?<![^\W\d_{CJK}]){_alternatives(words)}\.?", re.IGNORECASE)


def _compile(words: Iterable[str]) -> re.Pattern[str]:
    return re.compile(_alternatives(words) + r"\.?", re.IGNORECASE)


def _alternatives(words: Iterable[str]) -> str:
    """Longest first; a word that ends in a letter must end there, a sign need not."""
    spelt = {unicodedata.normalize("NFKC", w).lower() for w in words}  # lower, not fold: "größe" is matched as printed
    longest = sorted(spelt, key=len, reverse=True)
    letters = "|".join(re.escape(word) for word in longest if word[-1].isalpha())
    signs = "|".join(re.escape(word) for word in longest if not word[-1].isalpha())
    return f"(?:{'|'.join([f'(?:{letters}){_EDGE}'] * bool(letters) + [signs] * bool(signs))})"
