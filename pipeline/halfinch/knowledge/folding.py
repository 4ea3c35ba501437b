"""Words in the one form in which terms and printed labels are compared, and phrases written out."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from itertools import product

_LETTERS = str.maketrans({"ł": "l", "ı": "i", "ø": "o", "æ": "ae", "œ": "oe", "đ": "d", "ð": "d", "þ": "th", "’": "'"})
_MARKS = re.compile("[\u0300-\u036f]")
MOST_FORMS = 400
"""A phrase that writes out to more forms is a mistake."""


@lru_cache(maxsize=65536)
def fold(text: str) -> str:
    """Width, case, accents away: "Länge" is "lange", "ＷＡＩＳＴ" is "waist", "½" is "1⁄2"; kana keep theirs."""
    wide = unicodedata.normalize("NFKC", text).casefold().translate(_LETTERS)
    bare = _MARKS.sub("", unicodedata.normalize("NFD", wide))
    return unicodedata.normalize("NFC", bare)


def write_out(phrase: str) -> Iterator[tuple[str, ...]]:
    """Every form of a phrase of `schemas/`: "front|fr rise seam?" gives four. Words are folded.

    Raises ValueError when the phrase is empty or has more than MOST_FORMS forms.
    """
    choices: list[tuple[str, ...]] = []
    count = 1
    for word in phrase.split():
        bare = word[:-1] if word.endswith("?") and len(word) > 1 else word
        options = tuple(_join_letters(fold(one)) for one in bare.split("|") if one) or (bare,)
        choices.append(("", *options) if bare is not word else options)
        count *= len(choices[-1])
    if not choices or count > MOST_FORMS:
        raise ValueError(f"{phrase!r} is empty or has more than {MOST_FORMS} forms")
    for form in product(*choices):
        words = tuple(word for word in form if word)
        if words:
            yield words


def _join_letters(word: str) -> str:
    """ "l.o." and "w/b" are one word: lo, wb; "f/r" is fr; an apostrophe goes ("women's" is womens)."""
    if len(word) > 1 and re.fullmatch(r"[^\W\d_](?:[./][^\W\d_])+\.?", word):
        return re.sub(r"[./]", "", word)
    if word == "1⁄2":
        return "½"
    return word.replace("'", "") if len(word) > 2 else word
