"""Long documents: which pages are worth reading, and that nothing is lost with the others."""

from __future__ import annotations

import io
from functools import partial
from pathlib import Path

import pypdfium2
import pytest
from reportlab.pdfgen import canvas

from halfinch import knowledge
from halfinch.interpret import choose_pages, interpret
from halfinch.interpret.glance import LONG
from halfinch.readers import read_plain
from halfinch.readers.pdf import page_ranges
from halfinch.sheet import Sheet

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
PROSE = (
    "Look 7: the washed story\r\nA relaxed leg and a wide hem, stitched by hands that know the cloth,\r\n"
    "with a waistband that holds its shape from season to season.\r\nThe long coat   EUR 129.00\r\npage 7"
)
KNOWN = knowledge.load()


def chosen(page: str, at: int = 20) -> bool:
    """Whether one page among many of prose is read."""
    texts = [PROSE] * 40
    texts[at] = page
    return choose_pages(texts, KNOWN)[at]


@pytest.mark.parametrize(
    "page",
    [
        pytest.param("Look 9\r\nInseam: 30\r\nLeg opening: 15", id="bare numbers behind labels"),
        pytest.param("Look 9\r\nIt sits high, with an inseam of about 76 cm.", id="a sentence with its unit"),
        pytest.param("Inseam\r\nHem\r\n30\r\n15", id="labels, then numbers"),
        pytest.param("15 1/2 leg opening", id="the number before its label"),
        pytest.param("All garments are laid flat and measured.", id="how the house measures"),
        pytest.param("Alle Angaben in Zentimetern.", id="a unit for other pages"),
        pytest.param("A B C D\r\n24 29 38 10\r\n25 30 39 10\r\n26 31 40 10", id="keys and numbers alone"),
        pytest.param("股下 76", id="writing without blanks"),
        pytest.param("", id="no text: a picture, of which a person is told"),
        pytest.param("\ufffd\ufffd\ufffd", id="letters that the file does not tell"),
    ],
)
def test_pages_worth_reading(page: str) -> None:
    assert chosen(page)


@pytest.mark.parametrize(
    "page",
    [
        pytest.param(PROSE, id="prose with a price and a page number"),
        pytest.param("Founded in 1954, our mill has 120 looms.\r\nCall 555 0199.", id="years and counts"),
        pytest.param("The story of the hem, told on page 12.", id="a name of a point, and no figure of it"),
    ],
)
def test_pages_passed_over(page: str) -> None:
    assert not chosen(page)


def test_first_pages_and_neighbours_of_tables_are_read() -> None:
    texts = [PROSE] * 40
    texts[20] = "\r\n".join(f"{size} 29 38 10 30" for size in range(24, 33))
    read = choose_pages(texts, KNOWN)
    assert [at for at, one in enumerate(read) if one] == [0, 1, 2, 19, 20, 21]


def test_short_documents_are_read_whole() -> None:
    assert choose_pages([PROSE] * (LONG - 1), KNOWN) == [True] * (LONG - 1)


def test_page_ranges() -> None:
    assert page_ranges([4, 5, 6, 9, 11, 12]) == "4-6, 9, 11-12"
    assert page_ranges([]) == ""


def bind(sheet: bytes) -> bytes:
    """A sheet's pages in the middle of a long catalogue."""
    made = io.BytesIO()
    paper = canvas.Canvas(made)
    for _ in range(30):
        for at, line in enumerate(PROSE.split("\r\n")):
            paper.drawString(60, 700 - 20 * at, line)
        paper.showPage()
    paper.save()
    book, inner = pypdfium2.PdfDocument(made.getvalue()), pypdfium2.PdfDocument(sheet)
    book.import_pages(inner, index=15)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    "sheet",
    [
        "copperlatch-supply/keys-a-to-g-beside-a-drawing.pdf",
        "copperlatch-supply/label-value-cards.pdf",
        "copperlatch-supply/opening-ten-inches-alone.pdf",
        "copperlatch-supply/borderless-columns.pdf",
        "aikuriya/shiyousho.pdf",
        "bjorkhalla-byxor/kort-och-lang.pdf",
        "atelier-brumelune/pouces-et-cm-dans-une-cellule.pdf",
    ],
)
def test_nothing_is_lost_with_the_pages_passed_over(sheet: str) -> None:
    data = bind((FIXTURES / sheet).read_bytes())
    whole = read_plain(data, "book.pdf")
    picked = read_plain(data, "book.pdf", partial(choose_pages, knowledge=KNOWN))
    assert isinstance(whole, Sheet)
    assert isinstance(picked, Sheet)
    assert picked.meta["pages passed over"]
    assert picked.pages == whole.pages
    told = [
        {(one.point, one.size, one.length, one.raw, one.length_nm, one.status) for one in interpret(of, KNOWN).figures}
        for of in (whole, picked)
    ]
    assert told[0] == told[1]
    assert told[0]
