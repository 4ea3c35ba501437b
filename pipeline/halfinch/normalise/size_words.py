"""`schemas/size_systems.toml` as look-ups and patterns, made once for each knowledge."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from halfinch.knowledge import Knowledge
from halfinch.normalise.number_text import canonicalise

_LETTER = r"[^\W\d_]"
_LETTERS = re.compile(r"[^\W\d_]+")
_GLUED_MARK = re.compile(r"(?:\d|x{1,3})?x?[sl][ptr]|m[ptr]|p(?:x{0,3}[sl]|m)")
"""A letter size with a length's letter: MP, XLT."""


@dataclass(frozen=True, slots=True)
class SizeWords:
    """Everything that `size_labels` looks up. Keys are folded (see `fold_label`)."""

    label_before: re.Pattern[str]
    """ "size 8", "gr. 38", "t40": group 1 is what follows."""
    label_behind: re.Pattern[str]
    system_before: re.Pattern[str]
    """Groups: the system's word, what follows it."""
    system_behind: re.Pattern[str]
    marked: re.Pattern[str]
    """One "D 38" of a label that names several systems."""
    systems: dict[str, str]
    """Word or mark -> system."""
    one_size: frozenset[str]
    alpha: dict[str, str]
    """Spelling -> letter size; the plus letters (1X) stand for themselves."""
    alpha_order: dict[str, int]
    portuguese: dict[str, str]
    lengths: dict[str, str]
    """Word -> length."""
    length_before: re.Pattern[str]
    length_behind: re.Pattern[str]
    marks: dict[str, str]
    """P -> petite."""
    medium: frozenset[str]
    inseams: tuple[re.Pattern[str], ...]
    """An inseam before its word, and behind it: group 1."""
    inseam_cuts: tuple[re.Pattern[str], ...]
    """The same behind something else: group 1 is that, group 2 the inseam."""
    spelt: frozenset[str]
    """Every word of an alphabet that letter sizes and "one size" are spelt with."""
    numbers: frozenset[str]
    """Every size of every system that is not letters."""
    seldom: frozenset[str]


@lru_cache(maxsize=16384)
def fold_label(text: str) -> str:
    """One spelling: the marks and blanks of `number_text`, full-width letters narrowed, case folded, blanks folded."""
    plain = unicodedata.normalize("NFKC", canonicalise(text).text.replace("\n", " ")).casefold()
    return " ".join(plain.split())


def may_be_size(body: str, words: SizeWords) -> bool:
    """False where a folded label has no figure, no Eastern or accented letter and no word that sizes are spelt with."""
    if not body.isascii() or any(char.isdigit() for char in body):
        return True
    return any(part in words.spelt or _GLUED_MARK.fullmatch(part) for part in _LETTERS.findall(body))


@lru_cache(maxsize=4)
def load_size_words(knowledge: Knowledge) -> SizeWords:
    """Compile the patterns of `knowledge` (about 5 ms)."""
    known = knowledge.size_systems
    named = {fold_label(w): name for name, system in known.system.items() for w in (*system.words, name)}
    marked = {fold_label(m): name for name, system in known.system.items() for m in system.marks}
    lengths = {fold_label(w): name for name, length in known.length.items() for w in (*length.words, name)}
    alpha = {fold_label(w): size for size, words in known.alpha.spellings.items() for w in (size, *words)}
    alpha |= {fold_label(size): size for size in (*known.alpha.order, *known.alpha.plus)}
    longer = [word for word in lengths if len(word) > 1]
    systems = _choose(named)
    alpha_words = _choose(known.alpha.words)
    one_size = frozenset(map(fold_label, known.one_size))
    inseam_words = _choose(known.inseam_words)
    inseam_before = re.compile(rf"{inseam_words} ?[:=]? ?(\d{{2}}(?:[.,]5)?) ?(?:\"|in\.?|inch)?")
    inseam_behind = re.compile(rf"(\d{{2}}(?:[.,]5)?) ?(?:\"|in\.?|inch)?[ -]?{inseam_words}")
    return SizeWords(
        label_before=re.compile(rf"{_choose(known.label_words)} ?[:#]? ?(.+)"),
        label_behind=re.compile(rf"(.+?) ?{_choose([w for w in known.label_words if len(w) > 2 or not w.isascii()])}"),
        system_before=re.compile(rf"\(?({systems}|{alpha_words})\)? ?[:-]? ?((?<=[ :)-])[^\W_].*|\d.*)"),
        system_behind=re.compile(rf"(.+?)(?:(?<=\d)| )[ -]?\(?({systems})\)?"),
        marked=re.compile(rf"({_choose({**named, **marked})})[ :]?(\d{{1,3}}(?:[/-]\d{{1,2}})?)[ ,;/|]*"),
        systems={**marked, **named, **{fold_label(w): "alpha" for w in known.alpha.words}},
        one_size=one_size,
        alpha=alpha,
        alpha_order={size: at for at, size in enumerate((*known.alpha.order, *known.alpha.plus))},
        portuguese={fold_label(p): size for p, size in known.alpha.portuguese.items()},
        lengths=lengths,
        length_before=re.compile(rf"({_choose(longer)})[ :/_-]*\(?([^\W_].*?)\)?"),
        length_behind=re.compile(rf"(.*?[^\W_])[ :/_,-]*\(?({_choose(longer)})\)?"),
        marks={fold_label(m): name for name, length in known.length.items() for m in length.marks},
        medium=frozenset(map(fold_label, known.length_runs.medium)),
        inseams=(inseam_behind, inseam_before),
        inseam_cuts=tuple(re.compile(rf"(.+?)[ /,-]+{inseam.pattern}") for inseam in (inseam_behind, inseam_before)),
        spelt=frozenset(part for word in (*alpha, *one_size) for part in _LETTERS.findall(word)),
        numbers=frozenset(s for system in known.system.values() for s in system.sizes),
        seldom=frozenset(s for system in known.system.values() for s in system.seldom),
    )


def _choose(words: Iterable[str]) -> str:
    """Longest first; a word that begins or ends in a letter of an alphabet begins or ends a word."""
    parts = []
    for word in sorted({fold_label(w) for w in words}, key=len, reverse=True):
        before = rf"(?<!{_LETTER})" if word[0].isascii() and word[0].isalpha() else ""
        behind = rf"(?!{_LETTER})" if word[-1].isalpha() and (word[-1].isascii() or word[-1] < "\u2000") else ""
        parts.append(before + re.escape(word) + behind)
    return f"(?:{'|'.join(parts)})"
