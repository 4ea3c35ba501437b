"""Letters become words, in one frame: gaps, doubled letters, raised fractions, leader dots, letter-spaced headings."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from halfinch.readers.pdf.ink import Frame, Glyph, Style
from halfinch.sheet import Box

WORD_GAP = 0.17  # of the letter size: a wider gap ends a word (a narrow blank is 0.2, kerning moves by 0.1 at most)
DOUBLE_SHIFT = 0.16  # of the letter size: the same letter again within this is painted twice to look bold
SMALL = 0.86  # of its neighbour's size: small enough to be a raised or lowered sign
LEADER_DOTS = 4  # that many dots in a row lead from a label to its value
LEADERS = frozenset(".·․…_‥•")
RAISED = str.maketrans("0123456789+-()ab", "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁽⁾ᵃᵇ")
SLASHES = frozenset("/⁄∕")
_FINISHED = re.compile(r"\d{1,3}[.,]\d{1,2}|\d/\d{1,2}|\d*[¼½¾⅛⅜⅝⅞]")
"""A figure that is complete: what comes right behind it is the next, though columns are set without white."""


@dataclass(slots=True)
class Word:
    """A word in frame coordinates; `base` is the line its letters stand on."""

    text: str
    x0: float
    top: float
    x1: float
    bottom: float
    base: float
    size: float
    style: Style
    blanks: int = 0
    """Blanks the file itself holds between this word and the one before it in the same drawn run."""
    led: bool = False
    """A row of leader dots stands before this word."""
    bold: bool = False
    struck: bool = False
    hidden: bool = False
    stacked: bool = False
    """A fraction with one figure over the other: the line through it is its bar."""
    spacing: float = 0.0
    """Points of white between the letters of a letter-spaced word."""
    before: Word | None = field(default=None, repr=False)
    """The word that `blanks` counts from."""

    @property
    def box(self) -> Box:
        return (self.x0, self.top, self.x1, self.bottom)


@dataclass(slots=True)
class _Growing:
    letters: list[str]
    x0: float
    x1: float
    top: float
    bottom: float
    base: float
    style: Style
    blanks: int
    led: bool
    before: Word | None
    bold: bool = False
    last_x0: float = 0.0
    last_style: Style | None = None

    def ends_figure(self, text: str, style: Style) -> bool:
        """True when a figure drawn in one go is complete, and the next run begins with a digit of its own."""
        if self.last_style is style or self.last_style is not self.style or not text.isdigit():
            return False
        return _FINISHED.fullmatch("".join(self.letters)) is not None

    def finish(self) -> Word:
        text = unicodedata.normalize("NFC", _fold_ligatures("".join(self.letters)))
        style = self.style
        return Word(
            text, self.x0, self.top, self.x1, self.bottom, self.base, style.size, style, self.blanks, self.led,
            self.bold or style.bold, before=self.before,
        )  # fmt: skip


def _fold_ligatures(text: str) -> str:
    """ﬁ -> fi and soft hyphen -> hyphen; fraction signs stay as printed."""
    if text.isascii():
        return text
    folded = "".join(unicodedata.normalize("NFKC", c) if "\ufb00" <= c <= "\ufb06" else c for c in text)
    return folded.replace("\u00ad", "-").replace("\u200b", "").replace("\ufeff", "")


def make_words(glyphs: Iterable[Glyph], frame: Frame) -> list[Word]:
    """Words of all letters that read in this frame's direction, in the order of the content stream."""
    words = _split_runs(glyphs, frame)
    words = _drop_doubles(words)
    _join_pieces(words)
    return [word for word in words if word.text]


def _split_runs(glyphs: Iterable[Glyph], frame: Frame) -> list[Word]:
    words: list[Word] = []
    now: _Growing | None = None
    blanks, led, dots = 0, False, 0
    turn = frame.turn
    upright = turn == 0
    for text, x0, top, x1, bottom, origin_x, base, style in glyphs:
        if style.turn != turn:
            continue
        if text == " ":
            if now is not None:
                words.append(now.finish())
                now = None
            blanks += 1
            continue
        if not upright:
            x0, top, x1, bottom = frame.box(x0, top, x1, bottom)
            base = frame.box(origin_x, base, origin_x, base)[1]
        if now is not None:
            size = style.size
            same_line = abs(base - now.base) < 0.12 * size and 0.95 < size / now.style.size < 1.05
            if same_line and text == now.letters[-1] and abs(x0 - now.last_x0) < DOUBLE_SHIFT * size:
                now.bold = True
                continue
            if same_line and -0.6 * size < x0 - now.x1 <= WORD_GAP * size and not now.ends_figure(text, style):
                if text in LEADERS and now.letters[-1] == text:
                    dots += 1
                elif dots + 1 >= LEADER_DOTS:
                    words.append(_cut_leader(now, dots + 1))
                    now, blanks, led, dots = None, 0, True, 0
                else:
                    dots = 0
                if now is not None:
                    now.letters.append(text)
                    now.x1, now.last_x0, now.last_style = max(now.x1, x1), x0, style
                    now.top, now.bottom = min(now.top, top), max(now.bottom, bottom)
                    continue
            else:
                words.append(_cut_leader(now, dots + 1) if dots + 1 >= LEADER_DOTS else now.finish())
                led, blanks = dots + 1 >= LEADER_DOTS, 0
        dots = 0
        before = words[-1] if words else None
        joined = before is not None and blanks > 0 and before.style is style
        now = _Growing([text], x0, x1, top, bottom, base, style, blanks if joined else 0, led, before)
        now.last_x0, now.last_style = x0, style
        blanks, led = 0, False
    if now is not None:
        words.append(_cut_leader(now, dots + 1) if dots + 1 >= LEADER_DOTS else now.finish())
    return words


def _cut_leader(now: _Growing, dots: int) -> Word:
    """The word without the leader dots at its end; a word of dots alone becomes empty and is dropped later."""
    word = now.finish()
    kept = word.text[: len(word.text) - dots]
    share = len(kept) / max(len(word.text), 1)
    word.text, word.x1 = kept, word.x0 + (word.x1 - word.x0) * share
    return word


def _drop_doubles(words: list[Word]) -> list[Word]:
    """Leave out a word painted a second time at nearly the same place; the first becomes bold. Leaders are noted."""
    kept: list[Word] = []
    places: dict[tuple[str, int, int], Word] = {}
    led = False
    for word in words:
        if not word.text or (len(word.text) >= LEADER_DOTS - 1 and set(word.text) <= LEADERS):
            led = True
            continue
        if set(word.text) <= {"."} and kept and set(kept[-1].text) <= {"."}:
            led = True  # ". . . ." typed with blanks
            continue
        word.led, led = word.led or led, False
        cell = max(word.size, 1.0)
        across, down = round(word.x0 / cell), round(word.base / cell)
        twin = None
        for dx in (-1, 0, 1):
            for dy in (-1, 0, 1):
                other = places.get((word.text, across + dx, down + dy))
                if other is not None and _same_place(word, other):
                    twin = other
        if twin is not None:
            twin.bold = True
            if twin.style.unseen:
                twin.style = word.style
            continue
        places[(word.text, across, down)] = word
        kept.append(word)
    return kept


def _same_place(one: Word, other: Word) -> bool:
    near = DOUBLE_SHIFT * one.size + 0.3
    return abs(one.x0 - other.x0) < near and abs(one.base - other.base) < near and abs(one.x1 - other.x1) < near * 2


def _join_pieces(words: list[Word]) -> None:
    """Join raised and lowered small signs to the word they stand at, and pieces of one word drawn apart."""
    rows: dict[int, list[Word]] = defaultdict(list)
    for word in words:
        rows[round(word.base / 6)].append(word)
    near = {key: sorted((w for k in (key - 1, key, key + 1) for w in rows.get(k, ())), key=lambda w: w.x0)
            for key in rows}  # fmt: skip
    _attach_small(words, near)
    for row in near.values():
        _glue(row)


def _attach_small(words: list[Word], near: dict[int, list[Word]]) -> None:
    sizes = sorted(word.size for word in words)
    if not sizes or sizes[0] > sizes[-1] * SMALL:
        return
    largest = sizes[-1]
    for word in words:
        if not word.text or word.size <= 0 or word.size > largest * SMALL:
            continue
        if not all(c.isdigit() or c in SLASHES or c in "*+-()ab–—" for c in word.text):
            continue
        key = round(word.base / 6)
        hosts = {id(w): w for k in (key - 1, key, key + 1) for w in near.get(k, ())}
        host = _host_of(word, hosts.values())
        if host is not None:
            _compose(word, host, sorted(hosts.values(), key=lambda w: w.x0))


def _host_of(word: Word, hosts: Iterable[Word]) -> Word | None:
    """The larger word that this small one is raised at, if any."""
    for host in hosts:
        if host is word or not host.text or word.size > host.size * SMALL:
            continue
        gap, rise = word.x0 - host.x1, host.base - word.base
        if -0.25 * host.size < gap <= 0.4 * host.size and -0.35 * host.size < rise < 0.75 * host.size:
            return host
    return None


def _compose(word: Word, host: Word, row: list[Word]) -> None:
    """Read the small signs at `host` as one: a fraction (3 / 4, one over the other) or a raised mark."""
    signs, end = [word], word.x1
    for other in row:
        if other is word or not other.text or other is host:
            continue
        small = other.size <= host.size * SMALL or other.text in SLASHES
        fits = all(c.isdigit() or c in SLASHES for c in other.text)
        close = other.x0 - end <= 0.2 * word.size and other.x1 > word.x0 - 0.5
        if small and fits and close and abs(other.base - host.base) < 0.8 * host.size and other.x0 >= host.x1 - 1:
            signs.append(other)
            end = max(end, other.x1)
    text = _fraction_text(signs, host)
    raised = host.base - word.base > 0.12 * host.size
    if text is None and not raised:
        return
    if text is None:
        host.x1 = max(host.x1, word.x1)
        host.text += word.text.translate(RAISED)
        word.text = ""
        return
    word.stacked = not any(sign in SLASHES for other in signs for sign in other.text)
    word.text, word.x0, word.x1 = text, min(s.x0 for s in signs), end
    word.base, word.size, word.top, word.bottom = host.base, host.size, host.top, host.bottom
    word.before, word.blanks, word.style = host, 1, host.style
    for sign in signs[1:]:
        sign.text = ""


def _fraction_text(signs: list[Word], host: Word) -> str | None:
    letters = "".join(sign.text for sign in sorted(signs, key=lambda s: s.x0))
    if any(c in SLASHES for c in letters):
        over, _, under = letters.translate(str.maketrans("⁄∕", "//")).partition("/")
        if over.isdigit() and under.isdigit():
            return f"{over}/{under}"
        upper = "".join(s.text for s in signs if s.text.isdigit() and s.base < host.base - 0.15 * host.size)
        lower = "".join(s.text for s in signs if s.text.isdigit() and s.base >= host.base - 0.15 * host.size)
        return f"{upper}/{lower}" if upper and lower else None
    upper = "".join(s.text for s in signs if host.base - s.base > 0.3 * host.size)
    lower_signs = [s for s in signs if host.base - s.base <= 0.12 * host.size]
    lower = "".join(s.text for s in lower_signs)
    if len(signs) >= 2 and upper.isdigit() and lower.isdigit():
        return f"{upper}/{lower}"
    return None


def _glue(row: list[Word]) -> None:
    """Join words without a gap that stand on one line: pieces of one word in two fonts or out of order."""
    for i, right in enumerate(row):
        if not right.text:
            continue
        for left in reversed(row[max(0, i - 6) : i]):
            if left.text and left is not right and _one_word(left, right):
                left.text += right.text
                left.x1 = max(left.x1, right.x1)
                left.top, left.bottom = min(left.top, right.top), max(left.bottom, right.bottom)
                left.bold = left.bold and right.bold
                right.text = ""
                row[i] = left  # what follows joins the whole
                break


def _one_word(left: Word, right: Word) -> bool:
    size = max(left.size, right.size)
    gap = right.x0 - left.x1
    if right.led or (right.before is left and right.blanks) or abs(left.base - right.base) > 0.12 * size:
        return False
    if not -0.3 * size < gap <= WORD_GAP * min(left.size, right.size):
        return False
    digits = left.text[-1].isdigit() and right.text[0].isdigit()
    if digits and right.style is not left.style and _FINISHED.fullmatch(left.text):
        return False
    return not (
        digits and (min(left.size, right.size) < SMALL * size or (right.style is not left.style and gap > 0.08))
    )
