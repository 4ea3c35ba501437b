"""A size named in a line of text, and where it stands.

In: one line. Out: the size: by its own form, before its word, or behind it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from halfinch.interpret.facets import Reader, kept
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.label_tokens import EASTERN
from halfinch.normalise.numbers import read_number
from halfinch.normalise.point_labels import read_header_word
from halfinch.normalise.size_labels import SizeLabel, read_size_label

_SCRIPTS = re.compile(rf"[{EASTERN}]+|[^\W\d_{EASTERN}]+(?:['’][^\W\d_{EASTERN}]+)?")
"""Words, those of the East apart from the letters beside them: "サイズM"."""
_SIZE_BEHIND = re.compile(r"\((\d{2}|[XSML]{1,4})\s+([^\W\d_]{3,12})\)")
"""A size before its word: "(38 beden)"."""
_SIZE_GLUED = re.compile(rf"(?<![\w.,])(\d{{2}}|[XSML]{{1,4}})\s?([{EASTERN}]{{1,4}})")
"""A size before its word without a bracket, as the East writes it: "27사이즈", "Mサイズ"."""
_WAIST_AND_LENGTH = re.compile(r"\b(W\s?\d{2}\s*[/x,]?\s*L\s?\d{2})\b")
_SYSTEM_IN_BRACKETS = re.compile(r"\(((?:UK|US|EU|FR|IT|DE|ES|AU|JP)\s?\d{1,2}W?)\)")
"""These are sizes wherever they stand."""
_SIZE_AHEAD = re.compile(r"(?<![\w.,½¼¾/])([\dXSML/]{1,7})\s+([^\W\d_]+)")
_BARE_SIZE = re.compile(r"\s+(?:3[0-9]|4[0-9]|5[0-8]|X{0,3}[SML])(?![\w½]|[.,]\d| ?cm)")
"""A number that is a size behind "taille", not the waist in centimetres."""
_NEXT_WORD = re.compile(r"\s+([^\W\d_]+)(?=[\s:：])")
_SIZE_GAP = re.compile(r"[\s:：=#.–-]*(?:\([^()\d]*\)[\s:：=#.–-]*)?")
_CODED = re.compile(r"\d{1,3}\s+[^\W\d_]")
_ALONE = re.compile(r"\s+\d{1,2}\s*")
"""A heading of nothing but "Taille 28": a waist would have its unit, or a colon before it."""
_LEADING_SIZE = re.compile(r"\s*([\w/ ]{1,8}?)\s*(?::|\s[-–—]\s)")
"""A line that begins with its size: "S - waist 28", "XS: Waist 26"."""
_FRENCH = re.compile(r"(?<=[\s(])T(\d{2})\b(?!\s+[^\W\d_])")
"""Before a word it is the code of a row: "T18 Low hip"."""


@dataclass(frozen=True, slots=True)
class SizeMention:
    """A size named in a line, and where it stands."""

    size: SizeLabel
    start: int
    end: int


def find_size_mention(line: str, reader: Reader) -> SizeLabel | None:
    """A size named in the line: "measured from a size 32", "Größe 38", "size M"."""
    found = find_size(line, reader)
    return found.size if found is not None else None


@kept
def find_size(line: str, reader: Reader) -> SizeMention | None:
    """The same with its place; "(label)" and the like between the word and the size are passed over."""
    lead = _LEADING_SIZE.match(line)
    if lead is not None and not read_number(lead.group(1)):
        size = read_size_label(lead.group(1), reader.knowledge)
        if size is not None and size.strength >= 0.4:
            return SizeMention(size, 0, lead.end(1))
    return _size_by_form(line, reader) or _size_behind_word(line, reader)


def _size_by_form(line: str, reader: Reader) -> SizeMention | None:
    """A size that its form tells: "(UK 10)", "W28 L30", "T38", or one before its word, "M beden", "27사이즈"."""
    behind = phrasebook(reader.knowledge).behind
    for form in (_WAIST_AND_LENGTH, _SYSTEM_IN_BRACKETS, _FRENCH):
        for match in form.finditer(line):
            size = read_size_label(match.group(1), reader.knowledge)
            if size is not None:
                return SizeMention(size, match.start(1), match.end(1))
    for form in (_SIZE_BEHIND, _SIZE_AHEAD, _SIZE_GLUED):
        for match in form.finditer(line):
            size = read_size_label(match.group(1), reader.knowledge)
            known = (
                behind.fullmatch(fold(match.group(2))) if form is _SIZE_AHEAD else _names_size(match.group(2), reader)
            )
            if size is not None and known:
                return SizeMention(size, match.start(1), match.end(1))
    return None


def _size_behind_word(line: str, reader: Reader) -> SizeMention | None:
    """A size behind a word for it: "size 32", "Taille mesurée : 34"."""
    book = phrasebook(reader.knowledge)
    for match in _SCRIPTS.finditer(line):
        short = line[match.end() : match.end() + 1] == "." and len(match.group()) < 3
        word = match.group() + ("." if short else "")
        if not line[: match.start()].strip() and _CODED.match(line, match.end()):
            continue  # "T18 Low hip": the code of a row, no size
        known = _names_size(word, reader)
        behind_word = _NEXT_WORD.match(line, match.end())
        measured = behind_word is not None and book.measured.fullmatch(fold(behind_word.group(1))) is not None
        after = behind_word.end() if behind_word is not None and measured else match.end()
        if not known and not (
            book.ambiguous.fullmatch(fold(word))
            and (measured or _BARE_SIZE.match(line, match.end() + short) or _ALONE.fullmatch(line[match.end() :]))
        ):
            continue
        gap = _SIZE_GAP.match(line, after)
        start = gap.end() if gap else after
        rest = re.split(r"[,;|、，；：]|:\s", line[start:])[0]
        tokens = rest.split()
        for count in (3, 2, 1):
            if len(tokens) < count:
                continue
            candidate = " ".join(tokens[:count]).strip(" .:;()[]")
            size = read_size_label(candidate, reader.knowledge)
            pair = [token.strip(" .:;()[]") for token in tokens[:2]]
            if count > 1 and size is not None and all(read_size_label(one, reader.knowledge) for one in pair):
                continue  # two sizes of a run, not one size in two words
            if size is not None and (candidate[:1].isdigit() or len(candidate) < 12):
                return SizeMention(size, start, start + len(" ".join(tokens[:count])))
    return None


def _names_size(word: str, reader: Reader) -> bool:
    found = read_header_word(word, reader.knowledge)
    return found is not None and found.role in ("size", "base_size")
