"""Neighbouring texts as one stream of words and numbers, with the places where sizes may begin.

In: texts. Out: a `Stream`, which remembers where its texts and lines begin, and its `Head`s: words for sizes and
beginnings of lines, each with every way to read sizes behind it.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from halfinch.interpret.facets import Reader
from halfinch.interpret.words import fold, phrasebook
from halfinch.normalise.size_labels import read_size_label
from halfinch.normalise.unit_words import load_words
from halfinch.sheet import Text

MOST_SIZES, LONGEST_SIZE = 40, 16
_JOINED = re.compile(r"[:=,;|]|\s[-–—/]\s")
"""Never within a size of several words."""
_TWOFOLD = re.compile(r"(?:\d+\w? [/|] [^\W\d_]+|[^\W\d_]+ [/|] \d+\w?)")
"""A size in figures and in letters: "00 / XXS"."""
_EASTERN = r"\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af"
WORDS = re.compile(rf"[{_EASTERN}]+|[^\W\d_{_EASTERN}]+")
_GLUED = re.compile(rf"(?<![\w.,])(\d{{2}}|[0-5]?X{{0,4}}[SML])\s?([{_EASTERN}]{{1,3}})(?=[\s:：\d(（]|[{_EASTERN}])")
"""A size before its word, as the East writes it: "M码", "27사이즈"."""
_OPENING = re.compile(r"(\d{2}|[0-5]?X{0,4}[SML])\s*[/／]\s*(?=[^\W\d_])")
"""A line that begins with its size and a stroke: "S/ウエスト66"."""
_APART = re.compile(r"[/;；|]\s*(\d{2}|[0-5]?X{0,4}[SML])\s+(?=[^\W\d_]{2})")
"""A size right behind what ends a record: "... 98 / M 허리 34"."""
_GAP = re.compile(r"(?:\s*\([^()\d]{1,20}\))?[\s:：=#.)\]|–—-]*")
EDGE = " \n\t,;:|·•=~–—-/、，；：…*"
ENUMERATOR = re.compile(r"\d{1,2}[.)]\s*[^\W\d]")
"""The number of a line: "2. Hip"."""
_FIRST_LABEL = re.compile(r"0?1[.)]\s*[^\W\d]")
"""The number of the first label right behind the sizes: "22 24 26 1. Waist"."""
_TOKEN = re.compile(r"\S+")


@dataclass(frozen=True, slots=True)
class Stream:
    """Neighbouring texts as one; `starts[i]` is where `texts[i]` begins, `lines` are where printed lines do."""

    text: str
    texts: tuple[Text, ...]
    starts: tuple[int, ...]
    lines: tuple[int, ...]

    def line_of(self, at: int) -> int:
        """Which line `at` stands in."""
        return bisect_right(self.lines, at) - 1

    def end_of_line(self, at: int) -> int:
        """Where the line of `at` ends."""
        line = self.line_of(at) + 1
        return self.lines[line] - 1 if line < len(self.lines) else len(self.text)

    def opens_line(self, at: int) -> bool:
        """Whether nothing but marks stands before `at` in its line."""
        return not self.text[self.lines[self.line_of(at)] : at].strip(EDGE)


def join_texts(texts: Sequence[Text]) -> Stream:
    """The texts with a blank between."""
    parts, starts, lines, at = [], [], [], 0
    for text in texts:
        starts.append(at)
        broken = split_lines(text.text)
        for line in broken:
            lines.append(at)
            at += len(line) + 1
        at += not broken
        parts.append(replace(text, text=" ".join(broken)))
    return Stream(" ".join(text.text for text in parts), tuple(parts), tuple(starts), tuple(lines) or (0,))


def split_lines(text: str) -> list[str]:
    """The printed lines of a text that say something."""
    return [line.strip() for line in re.split(r"[\n\r]+", text) if line.strip(' \t"')]


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the stream."""

    text: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Head:
    """A word for sizes, or the beginning of a text, and what may follow: every way to read sizes there."""

    start: int
    word: str
    after: int
    """Where the sizes begin."""
    runs: tuple[tuple[Piece, ...], ...]
    sure: bool = True
    """False where the word may be something else ("taille")."""
    told: bool = False
    """Whether its form alone says that it is the size of what follows: "M码"."""


@dataclass(frozen=True, slots=True)
class Found:
    """A table: the part of the stream it stands in, and its rows of (text, where it stands)."""

    start: int
    end: int
    lines: tuple[tuple[tuple[str, int], ...], ...]
    worth: float


def find_heads(stream: Stream, reader: Reader) -> list[Head]:
    """Every place where sizes begin, in order: behind a word for them, or where a line begins with one."""
    heads: list[Head] = []
    ambiguous = phrasebook(reader.knowledge).ambiguous
    begun = set(stream.lines)
    for match in WORDS.finditer(stream.text):
        word = reader.read(match.group()).word
        doubtful = ambiguous.fullmatch(fold(match.group())) is not None
        if not doubtful and (word is None or not {word.role, *word.also} & {"size", "base_size"}):
            continue
        gap = _GAP.match(stream.text, match.end())
        after = gap.end() if gap else match.end()
        runs = read_sizes(stream, after, reader)
        start = match.start()
        sure = not doubtful and not reader.read(match.group()).is_label
        heads.append(Head(start, stream.text[start:after].strip(EDGE + "."), after, runs, sure))
        begun.discard(start)
    known = [head.after for head in heads]
    for told in _told_heads(stream, begun, reader):
        heads.append(told)
        begun.discard(told.start)
    for start in begun:
        runs = read_sizes(stream, start, reader)
        if runs and start not in known:
            heads.append(Head(start, "", start, runs))
    return sorted(heads, key=lambda head: head.start)


def _told_heads(stream: Stream, begun: set[int], reader: Reader) -> Iterator[Head]:
    """Sizes whose form alone says that they head what follows: "M码", and "S/ウエスト66" where a line begins."""
    for glued in _GLUED.finditer(stream.text):
        word = glued.group(2)
        if stream.line_of(glued.start()) != stream.line_of(glued.start(2)):
            continue  # "... 40" and a line that begins with the word: a figure and the next size
        cut = next((end for end in range(len(word), 0, -1) if _names_size(word[:end], reader)), 0)
        if cut:
            piece = Piece(glued.group(1), glued.start(), glued.end(1))
            yield Head(glued.start(), word[:cut], glued.start(2) + cut, ((piece,),), told=True)
    units = load_words().unit
    for behind in _APART.finditer(stream.text):
        word = WORDS.match(stream.text, behind.end())
        if word is not None and units.fullmatch(word.group()):
            continue  # "33cm | 13 inches": the figure again
        piece = Piece(behind.group(1), behind.start(1), behind.end(1))
        if read_size_label(piece.text, reader.knowledge) is not None:
            yield Head(piece.start, "", behind.end(1), ((piece,),), told=True)
    for start in sorted(begun):
        if opening := _OPENING.match(stream.text, start):
            piece = Piece(opening.group(1), start, opening.end(1))
            yield Head(start, "", opening.end(), ((piece,),), told=True)


def _names_size(word: str, reader: Reader) -> bool:
    role = reader.read(word).word
    return role is not None and role.role == "size"


def read_sizes(stream: Stream, at: int, reader: Reader) -> tuple[tuple[Piece, ...], ...]:
    """The runs of sizes that may begin at `at`: of one word each, of two ("US 4", "XS (2)"), of three; and the rest of
    the line as one size ("00 / XXS")."""
    text = stream.text
    tokens: list[tuple[int, int]] = []
    for match in _TOKEN.finditer(text, at):
        if ENUMERATOR.match(text, match.start()) and stream.opens_line(match.start()):
            break
        if tokens and _FIRST_LABEL.match(text, match.start()):
            break
        if match.group().strip(EDGE):
            tokens.append(match.span())
        if len(tokens) == 3 * MOST_SIZES or not (match.group()[0].isdigit() or len(match.group()) < 12):
            break
    runs = []
    for width in (1, 2, 3):
        run: list[Piece] = []
        for first in range(0, len(tokens) - width + 1, width):
            start, end = tokens[first][0], tokens[first + width - 1][1]
            piece = text[start:end]
            bare = piece.strip(EDGE)
            size = read_size_label(bare, reader.knowledge)
            if size is None or not size.size or (width > 1 and not _is_one(bare, reader)):
                break
            shift = piece.index(bare)
            run.append(Piece(bare, start + shift, start + shift + len(bare)))
        if run:
            runs.append(tuple(run))
    rest = text[at : stream.end_of_line(at)].strip(EDGE)
    if len(rest) <= LONGEST_SIZE and _JOINED.search(rest) and read_size_label(rest, reader.knowledge) is not None:
        start = text.index(rest, at)
        runs.append((Piece(rest, start, start + len(rest)),))
    return tuple(runs)


def _is_one(piece: str, reader: Reader) -> bool:
    """Two bare sizes one after the other are no size in two words; "XS (2)", "US 4" and "00 / XXS" are one."""
    if _TWOFOLD.fullmatch(piece):
        return True
    parts = piece.split()
    several = "(" not in piece and all(read_size_label(part, reader.knowledge) is not None for part in parts)
    return not several and _JOINED.search(piece) is None
