"""Every phrase of `schemas/` by its words, for looking up; unknown words taken apart, unbent or left unknown.

In: Knowledge. Out: one `Lexicon`, made once per knowledge.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

from halfinch.knowledge import Knowledge
from halfinch.knowledge.folding import write_out
from halfinch.knowledge.spec_words import Phrases
from halfinch.normalise.label_tokens import EASTERN, Token

Key = tuple[str, ...]
"""The words of a phrase, sorted: the order of words is free."""

POINT, OVER = "point", "over"
_EASTERN_WORD = re.compile(f"[{EASTERN}]+")
_STEMS = {"s": 3, "es": 4, "n": 4, "en": 4, "et": 5}
"""How much of a word must stay before an ending."""
_LINKS = ("", "s", "n", "en", "es", "e")
_UMLAUTS = (("ae", "a"), ("oe", "o"), ("ue", "u"))
SOLID_FROM = 8
"""Within phrases only a word of so many letters is taken apart."""
_COMPOUNDING = frozenset({"de", "nl", "sv"})
_SMALL = frozenset({"filler", "to", "at"})
MOST_COMPLETIONS = 40
"""An abbreviation that so many words begin with says nothing."""
COMPOUND_FROM = 6
"""A word of fewer letters is never taken apart."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What one phrase means."""

    kind: str
    """point | over | convention | unit | qualifier | whose | reference | filler | style | where | ..."""
    name: str
    convention: str = ""
    weak: bool = False
    alone: bool = False
    """Counts only as the whole label."""


@dataclass(slots=True)
class Lexicon:
    """Phrases by their sorted words. Filled once, then only read."""

    entries: dict[Key, tuple[Entry, ...]] = field(default_factory=dict)
    headers: dict[Key, tuple[str, ...]] = field(default_factory=dict)
    lengths: dict[Key, str] = field(default_factory=dict)
    words: set[str] = field(default_factory=set)
    """Every word of every phrase."""
    joinable: set[str] = field(default_factory=set)
    """Words that compounds are made of."""
    solid: dict[str, Key] = field(default_factory=dict)
    """Compounds that stand in a phrase as one word, with their parts: found whichever way either is written."""
    in_phrases: frozenset[str] = frozenset()
    """Every word of a phrase that is no heading alone: a run of words with another one in it is none."""
    in_names: frozenset[str] = frozenset()
    """Every word of a name of a point, or of a thing that is read over."""
    in_conventions: frozenset[str] = frozenset()
    """Every word of a phrase for flat or round."""
    in_midway: frozenset[str] = frozenset()
    """Every word of a phrase for the middle between two places."""
    signs: frozenset[str] = frozenset()
    """Signs that belong to a phrase ("+", "@")."""
    bendable: tuple[str, ...] = ()
    """Words that a misspelling may be bent to."""
    straight: frozenset[str] = frozenset()
    """Words that are never bent."""
    longest: int = 1
    longest_header: int = 1
    longest_eastern: int = 1
    header_parts: frozenset[str] = frozenset()
    """Every word of every heading."""
    particles: frozenset[str] = frozenset()
    """Small words that link the words of a heading: "punto de medida"."""
    roles: dict[str, frozenset[str]] = field(default_factory=dict)
    """For a single word: the kinds of grammar it serves (filler, below, at, to, length_noun ...)."""
    beside: frozenset[Key] = frozenset()
    """Convention words that say nothing without a point beside them ("full", "half")."""
    names: tuple[str, ...] = ()
    """Every word of an alphabet that stands in a phrase, in order: what an abbreviation may be cut from."""
    front: frozenset[str] = frozenset()
    """Words of a front rise that no back rise has: a "rise" without one of them does not say which it is."""
    _found: dict[str, tuple[tuple[str, ...], bool]] = field(default_factory=dict)

    def is_filler(self, word: str) -> bool:
        return bool(self.roles.get(word, frozenset()) & _SMALL)

    def complete(self, start: str) -> tuple[str, ...]:
        """The words that an abbreviation may stand for: "saumw" is saumweite; () for none or too many."""
        first = bisect_left(self.names, start)
        found: list[str] = []
        for word in self.names[first : first + MOST_COMPLETIONS + 1]:
            if not word.startswith(start):
                break
            found.append(word)
        return tuple(found) if len(found) <= MOST_COMPLETIONS else ()

    def cut_short(self, word: str) -> tuple[str, ...]:
        """The compounds that a word without a dot may be cut from: known parts and a letter or two of the last."""
        if len(word) < COMPOUND_FROM - 1 or word in self.words or word in self.straight:
            return ()
        whole = [one for one in self.complete(word) if one in self.solid and len(one) - len(word) >= 3]
        heads = {word[:-1], word[:-2], word[:-3]} & self.joinable
        return tuple(whole) if heads else ()

    def find_words(self, word: str, bend: bool) -> tuple[tuple[str, ...], bool]:
        """The known words behind a printed one, and whether it had to be bent. Unknown words come back as they are."""
        if word in self.solid:
            return self.solid[word], False
        if word in self.words:
            return (word,), False
        key = word if bend else "\0" + word
        known = self._found.get(key)
        if known is None:
            known = self._found[key] = self._unfold(word, bend)
        return known

    def _unfold(self, word: str, bend: bool) -> tuple[tuple[str, ...], bool]:
        for ending in _STEMS:
            stem = len(word) - len(ending)
            if word.endswith(ending) and stem >= _STEMS[ending] and word[:stem] in self.words:
                return self.solid.get(word[:stem], (word[:stem],)), False  # "innerbenslängden"
        plain = word
        for long, short in _UMLAUTS:
            plain = plain.replace(long, short)
        if plain != word and plain in self.words:
            return self.solid.get(plain, (plain,)), False
        for form in (word, plain):
            if parts := take_apart(form, self.joinable):
                return _open(parts, self.solid), False
        if bend and (bent := self._bend(word)):
            return (bent,), True
        return (word,), False

    def _bend(self, word: str) -> str:
        """The one known word that `word` misspells, '' for none or several."""
        if len(word) < 5 or word in self.straight or not word.isalpha():
            return ""
        from rapidfuzz.distance import OSA
        from rapidfuzz.process import extract

        most = 1 if len(word) < 8 else 2
        near = extract(word, self.bendable, scorer=OSA.distance, score_cutoff=most, limit=6)
        near = [one for one in near if one[0][0] == word[0] and abs(len(one[0]) - len(word)) <= 1]
        if not near:
            return ""
        least = min(distance for _, distance, _ in near)
        close = [one for one, distance, _ in near if distance == least]
        return close[0] if len(close) == 1 else ""

    def part_letters(self, letters: str) -> Key:
        """The known words that a run of letters is made of, the fewest; the run itself where some stay over."""
        best: dict[int, tuple[float, Key]] = {0: (0, ())}
        for start in range(len(letters)):
            for stop in range(start + 1, len(letters) + 1) if start in best else ():
                word = letters[start:stop]
                if word not in self.words or (len(word) == 1 and not self.is_filler(word)):
                    continue
                cost = best[start][0] + (2 if len(word) == 1 else 1 if (word,) in self.entries else 1.5)
                if stop not in best or cost < best[stop][0]:
                    best[stop] = (cost, (*best[start][1], word))
        return best.get(len(letters), (0, (letters,)))[1]

    def cut_eastern(self, token: Token) -> list[Token]:
        """A run of Chinese, Japanese or Korean cut into known words; letters of no known word stay together."""
        text = token.text
        best: list[tuple[int, int, int]] = [(0, 0, 0)]
        for end in range(1, len(text) + 1):
            options = [(best[end - 1][0] + 3, best[end - 1][1] + 1, 1 - end)]
            for start in range(max(0, end - self.longest_eastern), end):
                if text[start:end] in self.words:
                    options.append((best[start][0] + 1, best[start][1], -start))
            best.append(min(options))
        cuts = [len(text)]
        while cuts[-1]:
            cuts.append(-best[cuts[-1]][2])
        return _place_pieces(token, list(reversed(cuts)), self.words)


def take_apart(word: str, joinable: set[str]) -> Key:
    """ "oberschenkelweite" is ober, schenkel, weite; () when some letters stay over. Fewest parts, fewest links."""
    if len(word) < COMPOUND_FROM or not word.isalpha():
        return ()
    best: dict[int, tuple[int, int, Key]] = {0: (0, 0, ())}
    for start in range(len(word)):
        if start not in best:
            continue
        count, linked, parts = best[start]
        for end in range(start + 3, len(word) + 1):
            if word[start:end] not in joinable or word[start:end] == word:
                continue
            for link in _LINKS:
                stop = end + len(link)
                if word[end:stop] != link or (link and stop == len(word)):
                    continue
                candidate = (count + 1, linked + bool(link), (*parts, word[start:end]))
                if stop not in best or candidate[:2] < best[stop][:2]:
                    best[stop] = candidate
    return best[len(word)][2] if len(word) in best else ()


def _place_pieces(token: Token, cuts: list[int], words: set[str]) -> list[Token]:
    same = len(token.text) == token.end - token.start
    pieces: list[Token] = []
    for start, end in pairwise(cuts):
        text = token.text[start:end]
        begin, stop = (token.start + start, token.start + end) if same else (token.start, token.end)
        if pieces and text not in words and pieces[-1].text not in words:
            last = pieces.pop()
            text, begin = last.text + text, last.start
        pieces.append(Token(text, "eastern", begin, stop, text))
    return pieces


@lru_cache(maxsize=4)
def make_lexicon(knowledge: Knowledge) -> Lexicon:
    """Write out every phrase."""
    lexicon = Lexicon()
    raw: dict[Key, list[Entry]] = {}
    modifiers = knowledge.modifiers
    nouns: set[str] = set()
    for phrases in (modifiers.grammar["length_noun"], modifiers.grammar["girth_noun"], *modifiers.convention.values()):
        nouns.update(words[0] for words in _forms(phrases) if len(words) == 1)
    _add_terms(knowledge, raw)
    for name, thing in knowledge.read_over.thing.items():
        for words in _forms(thing):
            noun_only = all(word in nouns for word in words)
            _claim(raw, words, Entry(OVER, name, weak=noun_only))
    for kind, groups in (
        ("convention", modifiers.convention), ("unit", modifiers.unit), ("qualifier", modifiers.qualifier),
        ("whose", modifiers.whose), ("reference", modifiers.reference),
    ):  # fmt: skip
        for name, phrases in groups.items():
            for words in _forms(phrases):
                _join(raw, words, Entry(kind, name))
    roles: dict[str, set[str]] = {}
    for kind, phrases in modifiers.grammar.items():
        for words in _forms(phrases):
            if len(words) == 1:
                roles.setdefault(words[0], set()).add(kind)
            if kind in ("style", "where", "midway", "filler", "soft"):
                _join(raw, words, Entry(kind, kind))
    lexicon.roles = {word: frozenset(kinds) for word, kinds in roles.items()}
    lexicon.entries = {key: tuple(entries) for key, entries in raw.items()}
    lexicon.beside = frozenset(tuple(sorted(words)) for words in _forms(modifiers.grammar["only_beside"]))
    lexicon.front = _words_of(lexicon, "front_rise") - _words_of(lexicon, "back_rise")
    _add_headers(knowledge, lexicon)
    _collect_words(lexicon)
    _open_compounds(knowledge, lexicon)
    return lexicon


def _words_of(lexicon: Lexicon, point: str) -> frozenset[str]:
    keys = (
        key for key, entries in lexicon.entries.items() if any(e.kind == POINT and e.name == point for e in entries)
    )
    return frozenset(word for key in keys for word in key)


def _words_for(lexicon: Lexicon, kinds: set[str] | None) -> frozenset[str]:
    """Every word of the phrases of some kinds, of all kinds for None."""
    return frozenset(
        word
        for key, entries in lexicon.entries.items()
        if kinds is None or any(entry.kind in kinds for entry in entries)
        for word in key
    )


def _open_compounds(knowledge: Knowledge, lexicon: Lexicon) -> None:
    """Enter every phrase with a German, Dutch or Swedish compound also under the compound's parts."""
    germanic: set[str] = set()
    other: set[str] = set()
    for language, words in _words_by_language(knowledge):
        (germanic if language in _COMPOUNDING else other).add(words)
    joinable = {word for word in germanic & lexicon.joinable if len(word) >= 3}
    simple = {
        key[0] for key, entries in lexicon.entries.items() if len(key) == 1 and entries[0].kind not in (POINT, OVER)
    }
    for word in germanic - other - simple - set(lexicon.roles):
        if len(word) >= SOLID_FROM and (parts := take_apart(word, joinable)):
            lexicon.solid[word] = parts
    for word, parts in lexicon.solid.items():
        lexicon.solid[word] = _open(parts, lexicon.solid)
    for key, entries in list(lexicon.entries.items()):
        opened = _open(key, lexicon.solid)
        if opened != key:
            known = lexicon.entries.get(opened, ())
            lexicon.entries[opened] = (*known, *(entry for entry in entries if entry not in known))
    for key, roles in list(lexicon.headers.items()):
        lexicon.headers.setdefault(_open(key, lexicon.solid), roles)
    for key, length in list(lexicon.lengths.items()):
        lexicon.lengths.setdefault(_open(key, lexicon.solid), length)
    lexicon.longest = max(map(len, lexicon.entries), default=1)
    lexicon.in_phrases = _words_for(lexicon, None)
    lexicon.in_names = _words_for(lexicon, {POINT, OVER})
    lexicon.in_midway = _words_for(lexicon, {"midway"})
    lexicon.in_conventions = _words_for(lexicon, {"convention"})
    lexicon.names = tuple(sorted({*lexicon.bendable, *lexicon.solid}))


def _open(key: Key, solid: dict[str, Key]) -> Key:
    parts: list[str] = []
    for word in key:
        parts.extend(_open(solid[word], solid) if word in solid else (word,))
    return tuple(sorted(parts))


def _words_by_language(knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    for language, terms in knowledge.terms.items():
        for names in terms.point.values():
            for phrase in (*names.names, *names.flat, *names.round, *names.weak, *names.alone):
                for words in write_out(phrase):
                    yield from ((language, word) for word in words)
    modifiers = knowledge.modifiers
    groups: tuple[Mapping[str, Phrases], ...] = (
        knowledge.read_over.thing, modifiers.convention, modifiers.qualifier, modifiers.whose, modifiers.reference,
        modifiers.grammar, knowledge.header_words.role,
    )  # fmt: skip
    for group in groups:
        for phrases in group.values():
            for language, phrase in phrases.all():
                for words in write_out(phrase):
                    yield from ((language, word) for word in words)


def _add_terms(knowledge: Knowledge, raw: dict[Key, list[Entry]]) -> None:
    for terms in knowledge.terms.values():
        for point, names in terms.point.items():
            for attribute in ("names", "flat", "round", "weak", "alone"):
                convention = attribute if attribute in ("flat", "round") else ""
                entry = Entry(POINT, point, convention, attribute == "weak", attribute == "alone")
                for phrase in getattr(names, attribute):
                    for words in write_out(phrase):
                        _claim(raw, words, entry)


def _claim(raw: dict[Key, list[Entry]], words: Key, entry: Entry) -> None:
    """Enter the name of a point or a thing, certain names first; what two claim was refused when it was loaded."""
    mine = raw.setdefault(tuple(sorted(words)), [])
    if any(other.kind == entry.kind and other.name == entry.name for other in mine):
        return
    if entry.alone or entry.weak:
        mine.append(entry)
    else:
        mine.insert(0, entry)


def _join(raw: dict[Key, list[Entry]], words: Key, entry: Entry) -> None:
    mine = raw.setdefault(tuple(sorted(words)), [])
    if entry not in mine:
        mine.append(entry)


def _forms(phrases: Phrases) -> Iterator[Key]:
    for _, phrase in phrases.all():
        yield from write_out(phrase)


def _add_headers(knowledge: Knowledge, lexicon: Lexicon) -> None:
    headers: dict[Key, list[str]] = {}
    for role, phrases in knowledge.header_words.role.items():
        for words in _forms(phrases):
            mine = headers.setdefault(tuple(sorted(words)), [])
            if role not in mine:
                mine.append(role)
    lexicon.headers = {key: tuple(roles) for key, roles in headers.items()}
    for name, length in knowledge.size_systems.length.items():
        for word in length.words:
            for words in write_out(word.replace("-", " ")):
                if not _names_a_point(words, lexicon):
                    lexicon.lengths.setdefault(tuple(sorted(words)), name)
    lexicon.header_parts = frozenset(word for key in headers for word in key)
    lexicon.particles = frozenset(words[0] for words in _forms(knowledge.modifiers.grammar["particle"]))
    lexicon.longest_header = max(map(len, lexicon.headers), default=1)


def _names_a_point(words: Key, lexicon: Lexicon) -> bool:
    """ "Largo" over a column is the length that was measured, not a long pair."""
    return any(entry.kind == POINT for entry in lexicon.entries.get(tuple(sorted(words)), ()))


def _collect_words(lexicon: Lexicon) -> None:
    ours: set[str] = set()
    for key, entries in lexicon.entries.items():
        lexicon.words.update(key)
        if any(entry.kind != "unit" for entry in entries):
            ours.update(key)
    lexicon.words.update(word for word, kinds in lexicon.roles.items() if kinds not in ({"cut"}, {"never_bend"}))
    for words in (*lexicon.headers, *lexicon.lengths):
        lexicon.words.update(words)
    lexicon.signs = frozenset(word for word in lexicon.words if not any(c.isalnum() for c in word) and word in ours)
    plain = {word for word in ours if word.isalpha() and not _EASTERN_WORD.search(word)}
    lexicon.joinable = {word for word in plain if len(word) >= 3} - {"der", "die", "das", "des", "den", "ein", "eine"}
    lexicon.straight = frozenset(word for word, kinds in lexicon.roles.items() if "never_bend" in kinds)
    lexicon.bendable = tuple(sorted(word for word in plain if len(word) >= 5))
    lexicon.longest = max(map(len, lexicon.entries), default=1)
    eastern = [word for word in lexicon.words if _EASTERN_WORD.fullmatch(word)]
    lexicon.longest_eastern = max(map(len, eastern), default=1)
