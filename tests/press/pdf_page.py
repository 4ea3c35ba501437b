"""What every PDF writer needs: faces that have the signs, line breaking, widths of columns that fit the page."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from .doc import Cell, Doc, Heading, Items, Pairs, Para, Table

Measure = Callable[[str, float], float]
"""Text and size to width in points."""


class NoFace(Exception):
    """No face at hand has all signs of this sheet."""


class NoRoom(Exception):
    """A table is too wide for a page that a person could read."""


@dataclass(frozen=True, slots=True)
class Face:
    """A font as reportlab knows it; `file` where fpdf2 can load it, '' for the standard ones."""

    name: str
    bold: str
    file: str = ""


def all_text(doc: Doc) -> str:
    parts: list[str] = [doc.title]
    for block in doc.blocks:
        if isinstance(block, Heading | Para):
            parts.append(block.text)
        elif isinstance(block, Items):
            parts += block.lines
        elif isinstance(block, Pairs):
            parts += [block.title, *[text for row in block.rows for text in row]]
        elif isinstance(block, Table):
            parts += [block.caption, *[cell.text for row in block.rows for cell in row]]
    return "".join(parts)


def choose_face(doc: Doc, rng: random.Random) -> Face:
    """A standard face where its signs suffice, else one with more signs, else one of the Asian standard faces."""
    if doc.language in ("zh", "ja"):
        return _asian(doc.language)
    text = all_text(doc)
    faces = [face for face, signs in _faces() if all(ch in signs or ch == "\n" for ch in text)]
    if not faces:
        raise NoFace
    return rng.choice(faces)


@lru_cache
def _asian(language: str) -> Face:
    from reportlab.pdfbase.cidfonts import UnicodeCIDFont
    from reportlab.pdfbase.pdfmetrics import registerFont

    name = {"zh": "STSong-Light", "ja": "HeiseiKakuGo-W5"}[language]
    registerFont(UnicodeCIDFont(name))
    return Face(name, name)


@lru_cache
def _faces() -> list[tuple[Face, frozenset[str]]]:
    """Standard faces, reportlab's own Vera, and DejaVu where the system has it."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFError, TTFont

    ansi = frozenset(bytes(n for n in range(32, 256) if n not in (127, 129, 141, 143, 144, 157)).decode("cp1252"))
    faces = [(Face("Helvetica", "Helvetica-Bold"), ansi), (Face("Times-Roman", "Times-Bold"), ansi)]
    for name, bold in (("Vera", "VeraBd"), ("DejaVuSans", "DejaVuSans-Bold")):
        try:
            fonts = [TTFont(face, f"{face}.ttf") for face in (name, bold)]
        except TTFError:
            continue
        for font in fonts:
            registerFont(font)
        faces.append((Face(name, bold, fonts[0].face.filename), frozenset(map(chr, fonts[0].face.charToGlyph))))
    return faces


def wrap(text: str, width: float, size: float, measure: Measure) -> list[str]:
    """Lines no wider than `width`; words are broken only between Asian signs."""
    lines: list[str] = []
    for part in text.split("\n"):
        line = ""
        for word in _words(part):
            if line and measure((line + word).rstrip(), size) > width:
                lines.append(line.rstrip())
                line = ""
            line += word
        lines.append(line.rstrip())
    return lines


def _words(text: str) -> list[str]:
    words: list[str] = []
    for ch in text:
        if words and not words[-1].endswith(" ") and not (ord(ch) > 0x2E80 and ord(words[-1][-1]) > 0x2E80):
            words[-1] += ch
        else:
            words.append(ch)
    return words


def fit(
    rows: Sequence[Sequence[Cell]], room: float, size: float, measure: Measure, pad: float
) -> tuple[float, list[float]]:
    """Size and column widths: figures unbroken, labels broken between words where the room asks for it."""
    columns = range(max(len(row) for row in rows))
    while True:
        whole = [max(_longest(row[c].text, size, measure) for row in rows) + 2 * pad for c in columns]
        least = [max(_least(row[c], size, measure) for row in rows) + 2 * pad for c in columns]
        if size < 4.5:
            raise NoRoom
        if sum(least) <= room:
            spare = max(0.0, room - sum(least))
            wish = sum(w - n for w, n in zip(whole, least, strict=True)) or 1.0
            share = min(1.0, spare / wish)
            return size, [n + (w - n) * share for w, n in zip(whole, least, strict=True)]
        size -= 0.5


def _longest(text: str, size: float, measure: Measure) -> float:
    return max(measure(line, size) for line in text.split("\n"))


def _least(cell: Cell, size: float, measure: Measure) -> float:
    if not cell.head and any(ch.isdigit() for ch in cell.text) and len(cell.text) < 28:
        return _longest(cell.text, size, measure)
    return max((measure(word.strip(), size) for word in _words(cell.text)), default=0.0)
