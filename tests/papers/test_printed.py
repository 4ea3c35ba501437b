"""The papers as paper: printed by headless Chromium on A4 and Letter, and looked into with pdfplumber."""

from __future__ import annotations

import re
from pathlib import Path

import pdfplumber
import pytest

from .printing import PAPERS, SIZES, need_browser, print_pdf, write_papers


@pytest.fixture(scope="module")
def browser() -> str:
    return need_browser()


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("papers")
    write_papers(folder)
    return folder


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAPERS)
def test_prints_on_the_paper_and_within_it(browser: str, pages: Path, name: str, size: str) -> None:
    target = pages / f"{name}-{size}.pdf"
    print_pdf(browser, pages / f"{name}.html", target, size)
    assert_within(target, size)


@pytest.mark.parametrize("language", ["de", "fr", "es", "it"])
def test_a_table_of_long_words_stays_within_it(browser: str, pages: Path, language: str) -> None:
    write_papers(pages, language, names=["garment"])
    target = pages / f"garment-{language}.pdf"
    print_pdf(browser, pages / "garment.html", target)
    assert_within(target, "A4")
    html = (pages / "garment.html").read_text("utf-8")
    rows = [re.findall(r'<td class="n">(.*?)</td>', row) for row in html.split("</tr>") if '<td class="n">' in row]
    with pdfplumber.open(target) as pdf:
        printed = pdf.pages[0].extract_text()
    assert rows
    for row in rows:
        assert " ".join(row) in printed, "what lies beyond the paper is not printed"


def assert_within(target: Path, size: str) -> None:
    width, height = SIZES[size]
    with pdfplumber.open(target) as pdf:
        assert pdf.pages
        for page in pdf.pages:
            assert (round(page.width), round(page.height)) == (width, height)
            assert page.extract_text().strip(), "an empty page"
            for word in page.extract_words():
                assert word["x0"] > 20, word
                assert word["x1"] < width - 20, word
                assert word["bottom"] < height - 20, word


def test_words_of_a_drawing_do_not_cover_one_another(browser: str, pages: Path) -> None:
    target = pages / "overlap.pdf"
    print_pdf(browser, pages / "client.html", target)
    with pdfplumber.open(target) as pdf:
        for page in pdf.pages:
            words = page.extract_words(keep_blank_chars=True)
            for number, one in enumerate(words):
                for other in words[number + 1 :]:
                    across = min(one["x1"], other["x1"]) - max(one["x0"], other["x0"])
                    down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
                    assert across < 1 or down < 2, (one["text"], other["text"])


def test_a_page_loads_nothing(pages: Path) -> None:
    for name in PAPERS:
        text = (pages / f"{name}.html").read_text("utf-8")
        assert "<script" not in text
        assert "src=" not in text
        assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
