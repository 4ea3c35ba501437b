"""Phrase lists of `schemas/reading.toml` as compiled patterns, and accents folded the same way for list and text."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from halfinch.knowledge import Knowledge

_EASTERN = re.compile(r"[\u0e01-\u0e4e\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]")


def fold(text: str) -> str:
    """Compatibility forms joined, case and accents folded: "Größe" and "grosse" meet, "日本" stays."""
    if text.isascii():
        return text.lower()
    spread = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in spread if not unicodedata.combining(c))


def compile_phrases(phrases: Iterable[str]) -> re.Pattern[str]:
    """One pattern over folded text: whole words, `*` for any ending or beginning; Eastern words anywhere."""
    parts = []
    for phrase in sorted(phrases, key=len, reverse=True):
        # Voiced kana are taken apart by folding, in the list as in the text.
        body = phrase if "\\" in phrase else re.escape(fold(phrase.strip("*"))).replace(r"\ ", r"\s+")
        if _EASTERN.search(phrase):
            parts.append(body)
            continue
        before = r"\w*" if phrase.startswith("*") else r"(?<!\w)"
        after = r"\w*" if phrase.endswith("*") else r"(?!\w)"
        parts.append(f"{before}{body}{after}")
    return re.compile("|".join(parts) or r"(?!)")


@dataclass(frozen=True, slots=True, eq=False)
class Phrasebook:
    """Every pattern of reading.toml, compiled once per knowledge. All search folded text."""

    ours: re.Pattern[str]
    others: re.Pattern[str]
    parts: re.Pattern[str]
    body: re.Pattern[str]
    chart: re.Pattern[str]
    garment: re.Pattern[str]
    old: re.Pattern[str]
    talk: re.Pattern[str]
    sample: re.Pattern[str]
    measured: re.Pattern[str]
    upright: re.Pattern[str]
    behind: re.Pattern[str]
    guide: re.Pattern[str]
    ambiguous: re.Pattern[str]
    base: re.Pattern[str]
    current: re.Pattern[str]
    trial: re.Pattern[str]
    asked: re.Pattern[str]
    tried: re.Pattern[str]
    statistics: re.Pattern[str]
    counts: re.Pattern[str]
    part: re.Pattern[str]
    rest: re.Pattern[str]
    company: re.Pattern[str]
    tallies: re.Pattern[str]
    persons: re.Pattern[str]
    asides: re.Pattern[str]
    wearers: re.Pattern[str]
    styled: re.Pattern[str]
    women: re.Pattern[str]
    surveys: re.Pattern[str]
    blocks: tuple[tuple[str, re.Pattern[str]], ...]
    states: tuple[tuple[str, re.Pattern[str]], ...]

    @lru_cache(maxsize=8192)  # noqa: B019 - a book lives as long as the program
    def names_ours(self, text: str) -> bool:
        """Whether a text names long trousers of any kind."""
        return self.ours.search(fold(text)) is not None

    def names_others(self, text: str) -> bool:
        """Whether a text names another garment or thing, phrases that only look so left aside."""
        return self.others.search(self.parts.sub(" ", fold(text))) is not None

    @lru_cache(maxsize=8192)  # noqa: B019 - as above
    def subject_of(self, text: str) -> str:
        """ours | others | '': the last noun decides ("denim shorts"); "jeans and shorts" are ours, men's are not."""
        folded = self.parts.sub(" ", fold(text))
        ours = list(self.ours.finditer(folded))
        if ours and self.is_worn_by_others(folded):
            return "others"
        others = list(self.others.finditer(folded))
        if len({match.group() for match in others}) > 2:
            return "ours" if ours else ""  # a list of several garments is a menu
        if not ours or not others:
            return "ours" if ours else "others" if others else ""
        last, mine = others[-1], ours[-1]
        covers = last.start() <= mine.start() and last.end() >= mine.end()  # ショートパンツ, spódnica
        follows = last.end() > mine.end() and last.start() - mine.end() <= 1
        return "others" if covers or follows else "ours"

    def is_worn_by_others(self, folded: str) -> bool:
        """Whether a text names men or children, other than as a cut, and no women."""
        rest = self.styled.sub(" ", folded)
        return self.wearers.search(rest) is not None and self.women.search(folded) is None


def first_kind(kinds: tuple[tuple[str, re.Pattern[str]], ...], text: str) -> str:
    """The first kind that a text names, '' for none."""
    folded = fold(text)
    return next((name for name, pattern in kinds if pattern.search(folded)), "")


_books: dict[str, Phrasebook] = {}


def phrasebook(knowledge: Knowledge) -> Phrasebook:
    """The compiled phrases of this knowledge (kept by its digest)."""
    book = _books.get(knowledge.digest)
    if book is None:
        words = knowledge.reading
        book = _books[knowledge.digest] = Phrasebook(
            ours=compile_phrases(words.garments.ours),
            others=compile_phrases(words.garments.others),
            parts=compile_phrases(words.garments.parts),
            body=compile_phrases(words.body.says),
            chart=compile_phrases(words.body.chart),
            garment=compile_phrases(words.body.garment),
            old=compile_phrases(words.old.says),
            talk=compile_phrases(words.talk.says),
            sample=compile_phrases(words.sample.says),
            measured=compile_phrases(words.measured.says),
            upright=compile_phrases(words.upright.says),
            behind=compile_phrases(words.behind.says),
            guide=compile_phrases(words.guide.says),
            ambiguous=compile_phrases(words.ambiguous.says),
            base=compile_phrases(words.base.says),
            current=compile_phrases(words.current.says),
            trial=compile_phrases(words.trial.says),
            asked=compile_phrases(words.asked.says),
            tried=compile_phrases(words.tried.says),
            statistics=compile_phrases(words.statistics.says),
            counts=compile_phrases(words.counts.says),
            rest=compile_phrases(words.others.says),
            part=compile_phrases(words.part.says),
            company=re.compile(rf"(?:{compile_phrases(words.part.companies).pattern})\W*$"),
            tallies=compile_phrases(words.tallies.says),
            persons=compile_phrases(words.persons.says),
            asides=compile_phrases(words.asides.says),
            wearers=compile_phrases(words.wearers.others),
            styled=compile_phrases(words.wearers.styled),
            women=compile_phrases(words.wearers.ours),
            surveys=compile_phrases(words.surveys.says),
            blocks=tuple((kind.name, compile_phrases(kind.says)) for kind in words.block.values()),
            states=tuple((kind.name, compile_phrases(kind.says)) for kind in words.state.values()),
        )
    return book


def silhouette_in(text: str, knowledge: Knowledge) -> str:
    """The silhouette that a style's name speaks of ("Alma wide leg"), the longest word first; '' for none."""
    pattern, names = _silhouettes(knowledge.digest, knowledge)
    match = pattern.search(fold(text)) if text else None
    return names[match.group()] if match else ""


_patterns: dict[str, tuple[re.Pattern[str], dict[str, str]]] = {}


def _silhouettes(digest: str, knowledge: Knowledge) -> tuple[re.Pattern[str], dict[str, str]]:
    known = _patterns.get(digest)
    if known is None:
        names = {
            fold(word): name for name, one in knowledge.silhouettes.silhouette.items() for word in (name, *one.also)
        }
        parts = [
            re.escape(word) if _EASTERN.search(word) else rf"(?<!\w){re.escape(word)}(?!\w)"
            for word in sorted(names, key=len, reverse=True)
        ]
        known = _patterns[digest] = (re.compile("|".join(parts)), names)
    return known
