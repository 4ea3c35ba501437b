"""Words become lines, and lines become chunks: stretches of words that no column gap divides."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from halfinch.readers.pdf.words import Word
from halfinch.sheet import EMPHASIS, HIDDEN, STRUCK, Box

SAME_LINE = 0.3  # of the letter size: bases that differ less stand on one line
CHUNK_GAP = 0.52  # of the letter size: a wider gap may divide two columns
BLANK_GAP = 1.05  # of the letter size: even one typed blank that is wider than this divides
SURE_GAP = 1.0  # of the letter size: such a gap is hardly a blank between words

RUNNING = 6  # words: a line of a cell with so many goes on in the next

SPACED = 3  # letters one by one that make a letter-spaced word

UNSPACED = 0x2E80  # signs from here on stand without blanks between words

BULLETS = frozenset("•·◦▪■●○‣")

_NUMBER = re.compile(r"[-+±]?\d+")
_FRACTION = re.compile(r"(\d+[/⁄]\d+|[¼½¾⅛⅜⅝⅞⅓⅔])[\"”″]?")
_FINISHED = re.compile(r"\d+[/⁄]\d+|\d*[¼½¾⅛⅜⅝⅞⅓⅔]|\d+[.,]\d{1,2}|\(?\d{1,3}(?:[.,]\d{3})+\)?")
_SIGNED = re.compile(r"[+−–-]\d|\(\d+[.,\d]*\)")
_UNIT = re.compile(r"(in|cm|mm|m|\"|”|″|inch|inches|zoll|pouces?|%)[.)]?", re.IGNORECASE)
_LABEL = re.compile(r"(?!inch|zoll|pouce)[^\W\d_]{4}", re.IGNORECASE)
_JOINT = re.compile(r"\s[/|–-]\s|\s?\((?=\d)")
_SIDE = re.compile(r"^[-+±≈~]?\d[^A-Za-z]*(?:[A-Za-z]{1,6}\.?)?[^A-Za-z]*$")
_FIGURE = re.compile(r"^[^\w]*(?:[A-Z$€£¥]{0,3}\s?)?[-+±(≈~<>≤≥]*\d[^A-Za-z]*(?:[A-Za-z°%]{1,4}\.?)?[^A-Za-z]*$")


@dataclass(slots=True)
class Chunk:
    """Words of one line with no column gap between them."""

    words: list[Word]
    x0: float
    top: float
    x1: float
    bottom: float
    base: float
    size: float
    text: str = ""

    @property
    def box(self) -> Box:
        return (self.x0, self.top, self.x1, self.bottom)

    @property
    def middle(self) -> float:
        return (self.x0 + self.x1) / 2

    @property
    def bold(self) -> bool:
        return all(word.bold for word in self.words)

    @property
    def figure(self) -> bool:
        """Looks like a number with at most a short unit, or like two; what the number means is no matter here."""
        if len(self.text) > 40:
            return False
        if _FIGURE.match(self.text) is not None:
            return True
        sides = _JOINT.split(self.text)
        return len(sides) == 2 and all(map(_SIDE.match, sides))

    @property
    def prose(self) -> bool:
        """Five words or more, mostly letters; not a figure in two units (``31 1/2 in (80 cm)``)."""
        if len(self.words) < 5 or self.figure:
            return False
        return sum(w.text[0].isalpha() or w.text[0] in "(\"'“‘" for w in self.words) >= 0.6 * len(self.words)

    def marks(self) -> frozenset[str]:
        found = set()
        if self.bold:
            found.add(EMPHASIS)
        if any(word.struck for word in self.words) and all(word.struck or word.hidden for word in self.words):
            found.add(STRUCK)
        if all(word.hidden for word in self.words):
            found.add(HIDDEN)
        return frozenset(found)


@dataclass(slots=True)
class Line:
    """Chunks that stand on one base line, from left to right."""

    chunks: list[Chunk]
    base: float
    size: float

    @property
    def top(self) -> float:
        return min(chunk.top for chunk in self.chunks)

    @property
    def bottom(self) -> float:
        return max(chunk.bottom for chunk in self.chunks)

    @property
    def text(self) -> str:
        return " ".join(chunk.text for chunk in self.chunks)


def make_chunk(words: list[Word]) -> Chunk:
    """One chunk of words that are in order."""
    if len(words) == 1:
        word = words[0]
        return Chunk(words, word.x0, word.top, word.x1, word.bottom, word.base, word.size, word.text)
    return Chunk(
        words,
        min(w.x0 for w in words),
        min(w.top for w in words),
        max(w.x1 for w in words),
        max(w.bottom for w in words),
        sorted(w.base for w in words)[len(words) // 2],
        max(w.size for w in words),
        " ".join(w.text for w in words),
    )


def whole(upper: str, lower: str) -> bool:
    """True when a line broken here stands without a blank: between two signs of a script that has none."""
    return ord(upper[-1]) > UNSPACED and ord(lower[0]) > UNSPACED


def unstruck(chunks: list[Chunk]) -> list[Chunk]:
    """Without the words struck through, where others stand beside them: ``15`` struck out before ``15 1/2``."""
    words = [word for chunk in chunks for word in chunk.words]
    if not any(word.struck for word in words) or all(word.struck for word in words):
        return chunks
    left = ([word for word in chunk.words if not word.struck] for chunk in chunks)
    return [make_chunk(part) for part in left if part]


def cell_text(chunks: list[Chunk]) -> str:
    """The lines of one cell, from the top: a line break stays, but for running text and a broken mixed number."""
    if len(chunks) > 1 and _spaced_over_lines(chunks):
        return "".join(word.text for chunk in chunks for word in chunk.words)
    text = chunks[0].text
    for upper, lower in itertools.pairwise(chunks):
        if upper.words[-1].spacing > 0 and _spaced(lower.words[0]):
            text += _letters_joined(lower)  # a letter-spaced word broken anywhere by its narrow cell
            continue
        mixed = _NUMBER.fullmatch(upper.words[-1].text) and _FRACTION.fullmatch(lower.words[0].text)
        running = len(upper.words) >= RUNNING and any(char.isalpha() for char in upper.text)
        text += ("" if whole(text, lower.text) else " " if mixed or running else "\n") + lower.text
    return text


def _spaced_over_lines(chunks: list[Chunk]) -> bool:
    """True for a letter-spaced word that its narrow cell breaks anywhere: ``B A N`` over ``D``."""
    words = [word for chunk in chunks for word in chunk.words]
    single = [len(word.text) == 1 and word.text.isalpha() for word in words]
    if not all(alone or word.spacing > 0 for alone, word in zip(single, words, strict=True)):
        return False
    return sum(single) >= SPACED or (any(single) and not all(single))


def _spaced(word: Word) -> bool:
    return word.spacing > 0 or (len(word.text) == 1 and word.text.isalpha())


def _letters_joined(chunk: Chunk) -> str:
    """The text of a chunk whose first letters stand one by one: ``O S O ) (cm)`` -> ``OSO) (cm)``."""
    alone = list(itertools.takewhile(lambda word: len(word.text) == 1, chunk.words))
    rest = " ".join(word.text for word in chunk.words[len(alone) :])
    return " ".join(filter(None, ("".join(word.text for word in alone), rest)))


def group_lines(words: Iterable[Word]) -> list[list[Word]]:
    """Words by base line, from the top; each line from left to right."""
    lines: list[list[Word]] = []
    base = size = 0.0
    for word in sorted(words, key=lambda w: (w.base, w.x0)):
        if lines and abs(word.base - base) <= SAME_LINE * min(size, word.size):
            lines[-1].append(word)
        else:
            lines.append([word])
            base, size = word.base, word.size
    return [_in_order(line) for line in lines]


def _in_order(line: list[Word]) -> list[Word]:
    line.sort(key=lambda w: w.x0)
    return line


def make_lines(words: Iterable[Word]) -> list[Line]:
    """Lines of chunks from the top of the page."""
    lines = []
    for group in group_lines(words):
        chunks = make_chunks(group)
        lines.append(Line(chunks, min(c.base for c in chunks), max(c.size for c in chunks)))
    return lines


def make_chunks(words: list[Word]) -> list[Chunk]:
    """Cut one line where a gap is wider than between words."""
    labelled = words[0].text[0].isalpha() or any(_LABEL.match(word.text) for word in words)
    if labelled and not any(map(_parts, words, words[1:])):
        return [make_chunk(words)]  # a label and its figures typed with one blank between all of them
    chunks: list[list[Word]] = [[words[0]]]
    for left, right in itertools.pairwise(words):
        if _divides(left, right):
            chunks.append([right])
        else:
            chunks[-1].append(right)
    return [make_chunk(chunk) for chunk in chunks]


def _divides(left: Word, right: Word) -> bool:
    finished = _FINISHED.fullmatch(left.text) is not None
    figures = right.text[0].isdigit() or (_SIGNED.match(right.text) and not typed_blank(left, right))
    # After a fraction, decimals or thousands comes another figure, even one blank further.
    return _parts(left, right) or bool(finished and figures)


def _parts(left: Word, right: Word) -> bool:
    """True when the white between two words is no blank."""
    size = max(left.size, right.size)
    gap = right.x0 - left.x1 - 2 * max(min(left.spacing, right.spacing), 0.0)
    if right.led:
        return right.style is not left.style or (not right.text[0].isalpha() and right.text[0] not in "([")
    if left.text in BULLETS:
        return gap > 5 * size
    if typed_blank(left, right):
        return gap > max(BLANK_GAP, 1.6 * right.style.space) * size
    limit = max(CHUNK_GAP, 1.3 * right.style.space) * size
    if gap <= limit:
        return False
    if _NUMBER.fullmatch(left.text) and _FRACTION.fullmatch(right.text):
        return gap > limit + 0.12 * size
    if left.text[-1].isdigit() and _UNIT.fullmatch(right.text):
        return gap > limit + 0.3 * size
    return True


def typed_blank(left: Word, right: Word) -> bool:
    """True when the file itself puts one blank between the two: they belong together."""
    return right.blanks == 1 and right.before is left


def join_spaced(words: list[Word]) -> list[Word]:
    """Words with letter-spaced ones made whole, by lines: ``S I Z E   C H A R T`` -> ``SIZE CHART``.

    Changes the words; to be called once for a page.
    """
    single = sum(len(word.text) == 1 and word.text.isalpha() for word in words)
    if single < 4:
        return words
    return [word for line in group_lines(words) for word in _join_spaced_line(line)]


def _join_spaced_line(words: list[Word]) -> list[Word]:
    """Four or more single letters with even, narrow gaps are one text."""
    if len(words) < 4:
        return words
    out: list[Word] = []
    i = 0
    while i < len(words):
        end = _spaced_run(words, i)
        if end - i >= 4:
            out.extend(_merge_spaced(words[i:end]))
            i = end
        else:
            out.append(words[i])
            i += 1
    return out


def _spaced_run(words: list[Word], start: int) -> int:
    typed = _typed_run(words, start)
    if typed > start:
        return typed
    end = start
    while end < len(words) and len(words[end].text) == 1 and (words[end].text.isalpha() or words[end].text in "&-'/"):
        if words[end].size != words[start].size and abs(words[end].size - words[start].size) > 0.5:
            break
        if end > start and words[end].x0 - words[end - 1].x1 > 1.8 * words[end].size:
            break
        if end > start + 1 and words[end - 2].style is words[end - 1].style is not words[end].style:
            break  # several letters were drawn in one go, and here the next text begins
        end += 1
    if end - start < 4 or not any(word.text.isalpha() for word in words[start:end]):
        return start
    gaps = [right.x0 - left.x1 for left, right in zip(words[start:end], words[start + 1 : end], strict=False)]
    return end if median(gaps) <= 0.75 * words[start].size and min(gaps) >= -0.1 * words[start].size else start


def _typed_run(words: list[Word], start: int) -> int:
    """End of a text typed with blanks between all its signs, figures too: ``K N E E   @   1 3 "``."""
    end = start
    while end < len(words) and len(words[end].text) == 1 and words[end].style is words[start].style:
        if end > start and (words[end].before is not words[end - 1] or words[end].blanks < 1):
            break
        end += 1
    run = words[start:end]
    letters = sum(word.text.isalpha() for word in run)
    whole = end == len(words) or words[end].style is not words[start].style
    close = sum(word.blanks == 1 for word in run[1:])
    return end if whole and letters >= max(3, 0.5 * len(run)) and close >= 0.5 * (len(run) - 1) else start


def _merge_spaced(words: list[Word]) -> list[Word]:
    gaps = [right.x0 - left.x1 for left, right in itertools.pairwise(words)]
    usual = sorted(gaps)[len(gaps) // 3]
    merged = [words[0]]
    for word in words:
        word.spacing = max(usual, 0.0)
    steps = [right.x0 - left.x0 for left, right in itertools.pairwise(words)]
    stride = median(steps)
    for gap, step, word in zip(gaps, steps, words[1:], strict=True):
        head = merged[-1]
        if gap > 1.45 * usual + 0.05 * word.size and step > 1.15 * stride:
            word.before, word.blanks = head, 1
            if gap > 1.3 * word.size + usual:
                word.blanks = 0
            merged.append(word)
            continue
        head.text += word.text
        head.x1 = max(head.x1, word.x1)
        head.bold = head.bold and word.bold
    return merged
