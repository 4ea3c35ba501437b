"""Words over columns and before values that are no points: size, style, tolerance, unit, flat or round, petite.

In: the whole text of a heading. Out: a role, a unit, a convention, a length; None or '' when the text is none.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from halfinch.knowledge import Knowledge
from halfinch.normalise.label_lexicon import Lexicon, make_lexicon
from halfinch.normalise.label_match import Word, know_words
from halfinch.normalise.label_tokens import INCH_SIGNS, cut_tokens

LONGEST_HEADER = 60
LONGEST_PHRASE = 6
"""Words of the longest phrase for flat or round."""
LEAST_SHARE = Fraction(3, 5)
"""A heading less understood than this is none."""
BEND_FROM = 7
"""Only a word of so many letters may be a misspelling of ours."""
_LOOSE = ("filler", "soft", "at", "to")


@dataclass(frozen=True, slots=True)
class HeaderWord:
    """What a heading is for."""

    role: str
    """A key of `role` in header_words.toml: size, style_code, tolerance_minus, point_column ..."""
    score: Fraction = Fraction(1)
    rest: str = ""
    """Words that were not understood."""
    unit: str = ""
    also: tuple[str, ...] = ()
    """Other roles that the words have ("code": style_code or code; "Measurement / Size": both)."""


@lru_cache(maxsize=65536)
def read_header_word(text: str, knowledge: Knowledge) -> HeaderWord | None:
    """The role of a heading; None when too little of it is understood. Never raises."""
    if len(text) > LONGEST_HEADER:
        return None
    lexicon = make_lexicon(knowledge)
    words = [
        word for token in cut_tokens(text) for word in know_words([token], lexicon, bend=len(token.text) >= BEND_FROM)
    ]
    found = _find_role(words, lexicon)
    if found is None:
        return None
    roles, used = found
    while (more := _find_role(words, lexicon, used)) is not None:
        roles, used = (*roles, *(role for role in more[0] if role not in roles)), used | more[1]
    rest = [
        word
        for index, word in enumerate(words)
        if index not in used and word.token.kind != "sign" and not _is_loose(word, lexicon)
    ]
    unknown = [word for word in rest if not _unit_of(word, lexicon)]
    score = Fraction(len(used), len(used) + len(unknown))
    if score < LEAST_SHARE:
        return None
    units = {_unit_of(word, lexicon) for word in rest} - {""}
    if not units and any(word.text == "in" and _closes(words, index) for index, word in enumerate(words)):
        units = {"in"}
    unit = units.pop() if len(units) == 1 else ""
    return HeaderWord(roles[0], score, " ".join(word.token.raw for word in unknown), unit, roles[1:])


def _closes(words: list[Word], index: int) -> bool:
    """Whether a word stands in brackets or last, as a unit does: "Value (in)", "value_in"."""
    before, after = (words[i].text if 0 <= i < len(words) else "" for i in (index - 1, index + 1))
    return bool(before) and ((before in "([" and after in ")]") or (index + 1 == len(words) and before not in "(["))


def _find_role(
    words: list[Word], lexicon: Lexicon, taken: frozenset[int] = frozenset()
) -> tuple[tuple[str, ...], frozenset[int]] | None:
    """The longest phrase of any role outside `taken`, with the words it takes."""
    free = [(i, word) for i, word in enumerate(words) if i not in taken]
    spoken = [i for i, word in free if word.token.kind != "sign" or (word.text,) in lexicon.headers]
    spoken = [i for i in spoken if words[i].text not in "()[]:."] or spoken
    plain = [i for i in spoken if not lexicon.is_filler(words[i].text)]
    named = [i for i in spoken if not lexicon.is_filler(words[i].text) or words[i].text in lexicon.header_parts]
    bare = [i for i in named if words[i].text not in lexicon.particles]
    signless = [i for i in spoken if words[i].token.kind != "sign"]
    for size in range(min(lexicon.longest_header, len(spoken)), 0, -1):
        for indices in (spoken, plain, bare, signless):
            for start in range(len(indices) - size + 1):
                window = indices[start : start + size]
                roles = lexicon.headers.get(tuple(sorted(words[i].text for i in window)))
                if roles:
                    return roles, frozenset(window)
    return None


def _is_loose(word: Word, lexicon: Lexicon) -> bool:
    return bool(lexicon.roles.get(word.text, frozenset()) & set(_LOOSE))


def _is_about_units(word: Word, lexicon: Lexicon) -> bool:
    return _is_loose(word, lexicon) or "unit" in lexicon.headers.get((word.text,), ())


def _key(word: Word) -> str:
    return "½" if word.token.kind == "number" and word.text.replace(" ", "") in ("1⁄2", "1/2") else word.text


def _unit_of(word: Word, lexicon: Lexicon) -> str:
    if word.token.raw in INCH_SIGNS:
        return "in"
    return next((entry.name for entry in lexicon.entries.get((word.text,), ()) if entry.kind == "unit"), "")


@lru_cache(maxsize=65536)
def read_length_word(text: str, knowledge: Knowledge) -> str:
    """The length that a whole text names ("Petite", "Kurz", "R"): a key of lengths; '' for any other text."""
    if len(text) > LONGEST_HEADER:
        return ""
    lexicon = make_lexicon(knowledge)
    tokens = [token for token in cut_tokens(text) if token.kind != "sign"]
    if not tokens or any(token.kind == "number" for token in tokens):
        return ""
    found = lexicon.lengths.get(tuple(sorted(token.text for token in tokens)), "")
    if found:
        return found
    words = know_words(tokens, lexicon, bend=False)
    return lexicon.lengths.get(tuple(sorted(word.text for word in words)), "")


@lru_cache(maxsize=65536)
def read_unit_word(text: str, knowledge: Knowledge) -> str:
    """in | cm | mm where a whole text says nothing but a unit ("(cm)", "in inches"); '' otherwise or for two units."""
    if len(text) > LONGEST_HEADER:
        return ""
    lexicon = make_lexicon(knowledge)
    words = know_words(cut_tokens(text), lexicon, bend=False)
    units: list[str] = []
    for word in words:
        unit = _unit_of(word, lexicon)
        if unit:
            units.append("" if word.text == "in" else unit)
        elif word.token.kind == "number" or not (word.token.kind == "sign" or _is_about_units(word, lexicon)):
            return ""
    named = {unit for unit in units if unit}
    if not named:
        return "in" if "" in units and all(word.token.kind == "sign" or word.text == "in" for word in words) else ""
    return named.pop() if len(named) == 1 else ""


def _find_conventions(words: list[Word], lexicon: Lexicon) -> list[tuple[str, frozenset[int]]]:
    """Phrases for flat or round that say so without a point beside them, longest first, none overlapping."""
    spoken = [i for i, word in enumerate(words) if word.token.kind != "sign"]
    if not any(_key(words[i]) in lexicon.in_conventions for i in spoken):
        return []
    inner = [i for i in spoken if not lexicon.is_filler(words[i].text)]
    found: list[tuple[str, frozenset[int]]] = []
    covered: set[int] = set()
    for size in range(min(LONGEST_PHRASE, len(spoken)), 0, -1):
        for window in (many[start : start + size] for many in (spoken, inner) for start in range(len(many) - size + 1)):
            key = tuple(sorted(_key(words[i]) for i in window))
            if covered & set(window) or key in lexicon.beside:
                continue
            names = {entry.name for entry in lexicon.entries.get(key, ()) if entry.kind == "convention"}
            if len(names) == 1:
                found.append((names.pop(), frozenset(window)))
                covered |= set(window)
    return found


@lru_cache(maxsize=4096)
def find_convention_said(text: str, knowledge: Knowledge) -> str:
    """flat | round as a note says it of all its figures ("laid flat; double for the girth"); '' for neither or both.

    Where a note names the girth as what comes out of doubling, or half of it, it says flat.
    """
    lexicon = make_lexicon(knowledge)
    words = know_words(cut_tokens(text), lexicon, bend=False)
    roles = [lexicon.roles.get(word.text, frozenset()) for word in words]
    found = [one for one in _find_conventions(words, lexicon) if not _is_denied(one[1], roles)]
    covered = {i for _, window in found for i in window}
    rest = [w for i, w in enumerate(words) if i not in covered and w.token.kind != "sign" and not _is_loose(w, lexicon)]
    loose = bool(rest) and all(len(window) == 1 for _, window in found)
    if loose and not any("measuring" in kinds for kinds in roles):
        return ""  # a flat front, a round neck
    said = {name for name, _ in found}
    doubled = any("doubling" in kinds for kinds in roles) or any(
        {a.text, b.text} in ({"x", "2"}, {"×", "2"}) for a, b in pairwise(words)
    )
    if "round" in said and doubled:
        return "flat"
    return said.pop() if len(said) == 1 else ""


def _is_denied(window: frozenset[int], roles: list[frozenset[str]]) -> bool:
    """ "not flat", "pas à plat"."""
    return any("not" in roles[i] for i in range(max(0, min(window) - 2), min(window)))


@lru_cache(maxsize=65536)
def read_convention_word(text: str, knowledge: Knowledge) -> str:
    """flat | round where a whole text says so ("laid flat", "Umfang"); '' otherwise, for both, and for "half"."""
    if len(text) > LONGEST_HEADER:
        return ""
    lexicon = make_lexicon(knowledge)
    words = know_words(cut_tokens(text), lexicon, bend=False)
    spoken = [i for i, word in enumerate(words) if word.token.kind != "sign"]
    found = _find_conventions(words, lexicon)
    said = {name for name, _ in found}
    covered = {i for _, window in found for i in window}
    unknown = [i for i in spoken if i not in covered and not _is_loose(words[i], lexicon)]
    if unknown and any(not _unit_of(words[i], lexicon) and (words[i].text,) not in lexicon.beside for i in unknown):
        return ""
    return said.pop() if len(said) == 1 else ""
