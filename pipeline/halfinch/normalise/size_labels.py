"""Size labels: one label (`read_size_label`), a header line (`read_size_run`), the bodies meant (`body_for_label`).

A label is the WHOLE text. A bare number is a weak label (its `strength` says so); "8P", "W29 L30", "UK 12" are strong.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from functools import lru_cache

from halfinch.knowledge import Knowledge
from halfinch.normalise.number_text import canonicalise
from halfinch.normalise.size_bodies import body_for_label
from halfinch.normalise.size_parts import SizeLabel, read_part, tidy
from halfinch.normalise.size_runs import SizeRun, read_run
from halfinch.normalise.size_words import SizeWords, fold_label, load_size_words, may_be_size

__all__ = ["SizeLabel", "SizeRun", "body_for_label", "read_length_mark", "read_size_label", "read_size_run"]

LONGEST_LABEL = 60
_BETWEEN = re.compile(r" ?(?:\|\||[/|=;·•、]|,(?!\d)|\() ?| - ")
_HOUSE_SIZE = re.compile(r"(\d|[XSML]{1,4}(?:/[XSML]{1,4})?)\s*\((\d{1,2})\s*[-–/]\s*(\d{1,2})\)", re.IGNORECASE)
_BLANK_BETWEEN = re.compile(r" (?=[^\W\d_]{2,4}\.? ?\d)")


def read_size_label(text: str, knowledge: Knowledge, system: str = "") -> SizeLabel | None:
    """Read the whole text as a size; None when it is none. system: the system that a heading names, '' for none."""
    return _read_label(text, knowledge, system)


@lru_cache(maxsize=20_000)
def _read_label(text: str, knowledge: Knowledge, system: str) -> SizeLabel | None:
    if not text or len(text) > LONGEST_LABEL:
        return None
    words = load_size_words(knowledge)
    plain = unicodedata.normalize("NFKC", canonicalise(text).text.replace("\n", " "))
    printed = tidy(" ".join(plain.split()))
    whole = fold_label(printed)
    if not may_be_size(whole, words):
        return None
    if whole in words.one_size or whole in words.alpha:
        return read_part(printed, words, system)
    return _read_said(printed, words, system) or _read_unsaid(printed, words, system)


def _read_unsaid(printed: str, words: SizeWords, system: str) -> SizeLabel | None:
    return (
        read_part(printed, words, system)
        or _read_marked_list(printed, words)
        or _read_list(printed, words, system)
        or _read_house_size(printed, words, system)
    )


def _read_house_size(printed: str, words: SizeWords, system: str) -> SizeLabel | None:
    """A house's own size with the dress sizes it stands for: "1 (8-10)", "M (10/12)"."""
    found = _HOUSE_SIZE.fullmatch(printed)
    if found is None or not int(found[2]) < int(found[3]) <= int(found[2]) + 4:
        return None
    if found[1].isdigit():
        return (
            SizeLabel(found[1], also=(f"{found[2]}-{found[3]}",), strength=0.8)
            if int(found[2]) > int(found[1])
            else None
        )
    own = read_part(found[1], words, system)
    return replace(own, also=(*own.also, f"{found[2]}-{found[3]}"), strength=0.8) if own is not None else None


_ROW_CODE = re.compile(r"[a-z]0\d")
"""T01, T02: the code of a row, no size 01."""


def _read_said(printed: str, words: SizeWords, system: str) -> SizeLabel | None:
    """ "Size 8", "Gr. 38", "38码": the word takes the doubt away."""
    body = fold_label(printed)
    if _ROW_CODE.fullmatch(body):
        return None
    for pattern in (words.label_before, words.label_behind):
        found = pattern.fullmatch(body)
        if not found:
            continue
        rest = found[1]
        start = body.find(rest, found.start(1))
        inner = tidy(printed[start : start + len(rest)] if len(printed) == len(body) else _match_case(printed, rest))
        label = _read_unsaid(inner, words, system) or _read_said(inner, words, system)
        if label and (label.size or label.length):
            return replace(label, strength=1.0)
    return None


def _match_case(printed: str, folded: str) -> str:
    """The end (or the beginning) of `printed` that folds to `folded`; folding ß makes texts longer."""
    for start in range(len(printed)):
        if fold_label(printed[start:]) == folded:
            return printed[start:]
    for end in range(len(printed), 0, -1):
        if fold_label(printed[:end]) == folded:
            return printed[:end]
    return folded


def _read_marked_list(printed: str, words: SizeWords) -> SizeLabel | None:
    """D 38 F 40 GB 12 I 44 USA 10."""
    body = fold_label(printed)
    found = list(words.marked.finditer(body))
    if len(found) < 2 or "".join(match[0] for match in found) != body:
        return None
    also = tuple(f"{match[1].upper()} {match[2]}" for match in found[1:])
    return SizeLabel(found[0][2], words.systems[found[0][1]], also, strength=1.0)


def _read_list(printed: str, words: SizeWords, system: str) -> SizeLabel | None:
    """The same size in several systems: XS/8, 8 / XS, XXL/44-46, US 4 / EU 36, 1X (14W-16W), UK 12 EU 40."""
    parts = [tidy(part.rstrip(" )")) for part in _BETWEEN.split(printed) if part.strip(" )")]
    if len(parts) < 2:
        parts = [part.strip() for part in _BLANK_BETWEEN.split(printed)]
        if len(parts) < 2:
            parts = _split_at_blank(printed)
    if not 2 <= len(parts) <= 6:
        return None
    labels = [read_part(part, words, system if at == 0 else "") for at, part in enumerate(parts)]
    whole = [label for label in labels if label is not None]
    if len(whole) != len(parts):
        return None
    if len({words.alpha.get(fold_label(label.size), label) for label in whole}) == 1:
        return replace(whole[0], strength=0.9)  # M (Medium)
    if not _may_be_one_size(whole):
        return None
    first = whole[0]
    lengths = {label.length for label in whole if label.length}
    also = tuple(_name_also(part, label) for part, label in zip(parts[1:], whole[1:], strict=True))
    strength = max(0.6, *(label.strength for label in whole))
    return replace(
        first, also=(*first.also, *also), length=lengths.pop() if len(lengths) == 1 else "", strength=strength
    )


def _split_at_blank(printed: str) -> list[str]:
    """ "XS 8", "M 28-29": letters and a number with nothing but a blank between."""
    head, _, tail = printed.partition(" ")
    return [head, tail] if tail and head[-1:].isalpha() != tail[:1].isalpha() else []


def _name_also(part: str, label: SizeLabel) -> str:
    return part if not label.length or label.also else (f"{label.system} {label.size}" if label.system else label.size)


def _may_be_one_size(labels: list[SizeLabel]) -> bool:
    """Systems must differ: 4/8/12 are three sizes, 8/XS is one, 26/2 is a waist and a dress size."""
    families = [label.system or ("letters" if not label.size[:1].isdigit() else "number") for label in labels]
    if len(set(families)) == len(families):
        return families.count("number") <= 1
    if len(labels) == 2 and all(label.size.isdigit() and not label.also for label in labels):
        waist, dress = (int(label.size) for label in labels)
        return 22 <= waist <= 36 and dress <= 20 and dress < waist - 6
    return False


def read_length_mark(text: str, knowledge: Knowledge) -> str:
    """The length that the whole text names ("Petite", "kurz", "R", "L30" -> "30"); '' when it names none.

    S, L and XS alone are sizes in letters rather than lengths and give ''.
    """
    words = load_size_words(knowledge)
    body = tidy(fold_label(text))
    if not body:
        return ""
    if body in words.lengths and body not in ("s", "l", "xs", "xl", "k"):
        return words.lengths[body]
    for pattern in words.inseams:
        found = pattern.fullmatch(body)
        if found and 22 <= float(found[1].replace(",", ".")) <= 40:
            return found[1]
    return ""


def read_size_run(texts: list[str] | tuple[str, ...], knowledge: Knowledge, system: str = "") -> SizeRun | None:
    """Read a header line; None when nothing in it is a size or a length. Empty texts are allowed between.

    The line decides what one label cannot: P M G GG are letters, Short Medium Long are lengths, 24 25 26 are waists,
    27(S) 27(R) 27(L) are lengths of one size.
    """
    labels = [read_size_label(text, knowledge, system) for text in texts]
    lengths = [read_length_mark(text, knowledge) for text in texts]
    return read_run([fold_label(text) for text in texts], labels, lengths, load_size_words(knowledge), knowledge)
