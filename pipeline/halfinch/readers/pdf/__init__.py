"""PDF sheets: bytes come in, a Sheet of grids and texts goes out.

The way of a page: `engine` and `paths` take letters and drawn lines from PDFium (`fallback` from pdfplumber where
PDFium fails); `words` and `lines` make words, lines and chunks; `ruled` and `drawn` make tables that are drawn with
lines (with pdfplumber's table tools); `borderless`, `runs`, `bound`, `columns`, `heads` and `rows` those told by the
eye alone; `texts` and `titles` make headings and paragraphs and the reading order; `pages`, `breaks` and `sideways`
see what shows only across pages. Begin with `layout`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from halfinch.errors import SheetError
from halfinch.readers.pdf.breaks import mend_break
from halfinch.readers.pdf.engine import open_document, picture_share, read_page_ink
from halfinch.readers.pdf.fallback import fill_blind, open_plumber, read_plumber_ink
from halfinch.readers.pdf.glance import page_texts
from halfinch.readers.pdf.ink import PageInk
from halfinch.readers.pdf.layout import Turned, page_blocks, turn_page
from halfinch.readers.pdf.model import PageBlocks
from halfinch.readers.pdf.pages import Assembly, find_chrome, signatures
from halfinch.readers.pdf.sideways import join_sideways
from halfinch.sheet import ChoosePages, Sheet

__all__ = ["SCANNED", "read", "suits"]

BROKEN_SHARE = 0.2  # of a page's letters: more without a meaning and the page is read by the second engine
UNSAID = frozenset(("", "untitled", "anonymous", "unspecified", "unknown"))  # what writers put where nobody said it
SCANNED = "scanned: no text. Let a text recognition (OCR) go over it and import what it makes, or type the figures off."
PASSED_OVER = "pages passed over"
"""The metadata that tells which pages were only glanced at."""
SCAN_SHARE = 0.6  # of the page: a picture this large over invisible letters is a scan


def suits(data: bytes, name: str) -> float:
    """How well this reader suits the bytes, 0..1: a PDF begins with ``%PDF-``, perhaps after some junk."""
    head = data[:1100]
    if head.startswith(b"%PDF-"):
        return 1.0
    return 0.9 if b"%PDF-" in head else 0.0


def read(data: bytes, name: str, choose: ChoosePages | None = None) -> Sheet:
    """All grids and texts of a PDF. SheetError when it is no PDF, has a password or cannot be opened at all.

    `choose` sees the plain text of all pages first and says which of them are worth reading.
    """
    document = open_document(data, name)
    try:
        pages = len(document)
        chosen = choose(page_texts(document)) if choose is not None else [True] * pages
        assembly = Assembly()
        reader = _Pages(document, data)
        told: set[str] = set()
        before: PageBlocks | None = None
        for turned, chrome in _with_chrome(reader.turned([index for index in range(pages) if chosen[index]])):
            page = page_blocks(turned, chrome, told)
            if before is not None:
                follows = page.number == before.number + 1
                if follows and join_sideways(before, page):
                    continue
                if follows:
                    mend_break(before, page)
                assembly.add(before)
            before = page
        if before is not None:
            assembly.add(before)
        said = {key: document.get_metadata_value(key) for key in ("Title", "Author", "Subject", "Keywords")}
        passed = page_ranges([index + 1 for index in range(pages) if not chosen[index]])
        meta = {key.lower(): value for key, value in said.items() if value.strip("()").lower() not in UNSAID}
        meta |= {PASSED_OVER: passed} if passed else {}
        language = _language(data)
    finally:
        document.close()
    warnings = tuple(dict.fromkeys([*reader.warnings, *assembly.warnings]))
    if reader.pictures and not assembly.grids and not assembly.texts:
        warnings = (SCANNED,)
    if reader.failed == pages:
        raise SheetError(f"{name}: no page of the PDF could be read; it is damaged or cut short, fetch it again")
    engine = "pdf (pdfium, pdfplumber)"
    return Sheet(name, "pdf", engine, tuple(assembly.grids), tuple(assembly.texts), pages, language, meta, warnings)


def page_ranges(numbers: Sequence[int]) -> str:
    """ "4-28, 33": page numbers in order, told shortly."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1][1:] = [number]
        else:
            runs.append([number])
    return ", ".join("-".join(map(str, run)) for run in runs)


class _Pages:
    """Pages of a document one by one, each closed before the next is opened."""

    def __init__(self, document: Any, data: bytes) -> None:
        self.document = document
        self.data = data
        self.plumber: Any | None = None
        self.tried = False
        self.warnings: list[str] = []
        self.failed = 0
        self.pictures = 0
        """Pages with something on them, and no letter."""

    def turned(self, indices: Sequence[int]) -> Iterator[Turned]:
        """The pages of these indices, 0-based."""
        try:
            for index in indices:
                ink = self._ink(index)
                if ink is None:
                    self.failed += 1
                    self.warnings.append(f"page {index + 1} could not be read: it is damaged")
                    continue
                self._warn_of_pictures(ink)
                yield turn_page(ink)
        finally:
            if self.plumber is not None:
                self.plumber.close()

    def _ink(self, index: int) -> PageInk | None:
        import pypdfium2

        try:
            ink: PageInk | None = read_page_ink(self.document, index)
        except pypdfium2.PdfiumError:
            ink = None
        sound = ink is not None and ink.broken <= BROKEN_SHARE * max(len(ink.glyphs), 1)
        if ink is not None and sound and not ink.blind:
            return ink
        if not self.tried:
            self.tried, self.plumber = True, open_plumber(self.data)
        second = read_plumber_ink(self.plumber, index) if self.plumber is not None else None
        if ink is not None and sound:
            if second is not None:
                fill_blind(ink, second)
            return ink
        if second is not None and (ink is None or second.broken < ink.broken):
            return second
        if ink is not None:
            self.warnings.append(f"page {index + 1}: the file does not tell which letters stand there; check its text")
        return ink

    def _warn_of_pictures(self, ink: PageInk) -> None:
        if not ink.glyphs and not ink.warnings:
            seen = bool(ink.pictures or ink.rules or ink.areas)
            self.pictures += seen
            self.warnings.append(f"page {ink.number} {'has no text (an image?)' if seen else 'is empty'}")
        elif ink.glyphs and picture_share(ink) > SCAN_SHARE and all(glyph.style.unseen for glyph in ink.glyphs):
            self.warnings.append(f"page {ink.number} is a scanned image; the text laid under it may be misread")


def _with_chrome(pages: Iterator[Turned]) -> Iterator[tuple[Turned, set[int]]]:
    """Each page with its running heads and feet, which only the neighbouring pages give away."""
    before: set[tuple[str, int]] = set()
    held: Turned | None = None
    mine: set[tuple[str, int]] = set()
    for page in pages:
        own = signatures(page)
        if held is not None:
            yield held, find_chrome(held, before, own)
            before = mine
        held, mine = page, own
    if held is not None:
        yield held, find_chrome(held, before, set())


def _language(data: bytes) -> str:
    """The document's /Lang, where it stands in the open."""
    import re

    found = re.search(rb"/Lang\s*\(\s*([A-Za-z]{2,3})(?:[-_][A-Za-z0-9]+)*\s*\)", data)
    return found.group(1).decode("ascii").lower() if found else ""
