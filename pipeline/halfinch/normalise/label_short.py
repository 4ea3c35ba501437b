"""Words cut short ("Saumw.", "Tiro del.", "szer. pasa") and what they may stand for.

In: the words of a label. Out: the label as it reads with the words written out. A cut word stands for every known
word that begins with it; the label is read with each, and the best reading counts where all best ones name one thing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product

from halfinch.knowledge import Knowledge
from halfinch.normalise.label_lexicon import Lexicon
from halfinch.normalise.label_match import Word, find_matches, know_words
from halfinch.normalise.label_reading import PointLabel, read_words

MOST_READINGS = 120
"""More ways than these to write out one label are not tried."""
SHORTEST = 2
SHORT = 5
"""A known word of so few letters with a stop behind it may also be cut from another: "ext." and exterior."""


def spell_out(
    words: Sequence[Word], text: str, knowledge: Knowledge, lexicon: Lexicon, code: str = ""
) -> PointLabel | None:
    """The label with its cut words written out; None where none is cut or the ways to write it out disagree."""
    chosen = choose_words(words, text, knowledge, lexicon)
    return read_words(chosen, knowledge, lexicon, code) if chosen is not None else None


def choose_words(words: Sequence[Word], text: str, knowledge: Knowledge, lexicon: Lexicon) -> list[Word] | None:
    """The words of the best reading with every cut word written out; None for none, or for readings that disagree."""
    options = [_options(word, text, lexicon) for word in words]
    ways = 1
    for option in options:
        ways *= len(option)
    if not words or ways > MOST_READINGS or options == [[[word]] for word in words]:
        return None
    read: list[tuple[tuple[Fraction, int, bool], PointLabel, list[Word]]] = []
    for way in product(*options):
        spelt = [word for part in way for word in part]
        label = read_words(spelt, knowledge, lexicon)
        if label is not None:
            name = max((len(match.at) for match in find_matches(spelt, lexicon)), default=0)
            read.append(((label.score, name, not label.convention), label, spelt))
    if not read:
        return None
    most = max(rank for rank, _, _ in read)
    best = [(label, spelt) for rank, label, spelt in read if rank == most]
    if len({(label.point, label.not_ours) for label, _ in best}) != 1:
        return None
    return min(best, key=lambda one: len(one[1]))[1]


def may_be_cut(word: Word, text: str, lexicon: Lexicon) -> bool:
    """A word that nothing knows or a short one, with a stop behind it; or a compound that breaks off."""
    token = word.token
    if token.kind != "word" or (word.text != token.text and not word.bent):
        return False
    if text[token.end : token.end + 1] == "." and len(token.text) >= SHORTEST:
        return token.text not in lexicon.words or len(token.text) <= SHORT
    return token.text not in lexicon.words and not word.bent and bool(lexicon.cut_short(token.text))


def _options(word: Word, text: str, lexicon: Lexicon) -> list[list[Word]]:
    """What one word may stand for: itself, or the known words that begin with it."""
    token = word.token
    if not may_be_cut(word, text, lexicon):
        return [[word]]
    dotted = text[token.end : token.end + 1] == "."
    whole = lexicon.complete(token.text) if dotted else lexicon.cut_short(token.text)
    spelt = [know_words([replace(token, text=one)], lexicon, bend=False) for one in whole]
    return [[word], *spelt] if token.text in lexicon.words or not spelt else spelt
