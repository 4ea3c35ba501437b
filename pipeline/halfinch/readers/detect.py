"""Which reader reads a file: each says by its bytes how well it suits, the best one wins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from halfinch.errors import SheetError
from halfinch.readers.signatures import UNREADABLE, kind_of
from halfinch.sheet import ChoosePages, Sheet


@dataclass(frozen=True, slots=True)
class Reader:
    name: str
    suits: Callable[[bytes, str], float]
    read: Callable[[bytes, str], Sheet]
    read_chosen: Callable[[bytes, str, ChoosePages], Sheet] | None = None
    """The same of chosen pages, for formats with pages."""


def readers() -> tuple[Reader, ...]:
    """All readers; a new format is one more line here and its own module."""
    from halfinch.readers import delimited, html, json_text, pdf, workbook

    return (
        Reader("pdf", pdf.suits, pdf.read, pdf.read),
        *(
            Reader(module.__name__.rsplit(".", 1)[-1], module.suits, module.read)
            for module in (workbook, html, json_text, delimited)
        ),
    )


def choose_reader(data: bytes, name: str) -> Reader:
    """The reader that suits the bytes best. Raises SheetError where none does: empty, or of a kind that has none."""
    if not data or not data.strip(b"\x00 \t\r\n"):
        raise SheetError(f"{name} is empty: ask for the file again.")
    kind = kind_of(data)
    if kind in UNREADABLE:
        what, advice = UNREADABLE[kind]
        raise SheetError(f"{name} is {what}, which cannot be read: {advice}.")
    best = max(readers(), key=lambda reader: reader.suits(data, name))
    if best.suits(data, name) <= 0:
        raise SheetError(
            f"{name} is neither PDF, web page, text nor workbook (no reader knows its bytes): "
            "ask for the figures in one of these."
        )
    return best
