"""PDFium's words against pdfplumber's on the same pages, and our tables against pdfplumber's by cell adjacency."""

from __future__ import annotations

import io

import adjacency
import pdf_press as press
import pdfplumber
import pytest
from pdf_random import random_page

from halfinch.readers.pdf import read
from halfinch.readers.pdf.engine import open_document, read_page_ink
from halfinch.readers.pdf.fallback import open_plumber, read_plumber_ink
from halfinch.readers.pdf.layout import turn_page

SAMPLE = ["spec/grid", "gaps/none", "invoice/zebra", "statistics/level", "timetable/fpdf-boxed", "roster/fpdf-open"]


@pytest.fixture(scope="module")
def documents() -> dict[str, tuple[bytes, list[press.Rows]]]:
    return press.documents()


@pytest.mark.parametrize("name", SAMPLE)
def test_same_words_at_the_same_places(name: str, documents: dict[str, tuple[bytes, list[press.Rows]]]) -> None:
    data = documents[name][0]
    ours = turn_page(read_page_ink(open_document(data, name), 0)).words
    with pdfplumber.open(io.BytesIO(data)) as document:
        theirs = document.pages[0].extract_words(x_tolerance_ratio=0.17, y_tolerance=1)
    assert sorted(word.text for word in ours) == sorted(word["text"] for word in theirs)
    places = {(word["text"], round(word["x0"]), round((word["top"] + word["bottom"]) / 2)) for word in theirs}
    for word in ours:
        middle = (word.top + word.bottom) / 2
        assert any(
            (word.text, round(word.x0) + dx, round(middle) + dy) in places
            for dx in (-1, 0, 1)
            for dy in (-2, -1, 0, 1, 2)
        ), word


@pytest.mark.parametrize("name", SAMPLE)
def test_second_engine_gives_the_same_words(name: str, documents: dict[str, tuple[bytes, list[press.Rows]]]) -> None:
    data = documents[name][0]
    first = turn_page(read_page_ink(open_document(data, name), 0)).lines
    ink = read_plumber_ink(open_plumber(data), 0)
    assert ink is not None
    assert [line.text for line in turn_page(ink).lines] == [line.text for line in first]


def test_tables_agree_with_the_truth_better_than_pdfplumber(
    documents: dict[str, tuple[bytes, list[press.Rows]]],
) -> None:
    scores: dict[str, list[float]] = {"ours": [], "lines": [], "text": []}
    for name, (data, tables) in documents.items():
        truth = [adjacency.table_relations(table) for table in tables]
        ours = [adjacency.grid_relations(grid) for grid in read(data, name).grids]
        scores["ours"].append(adjacency.f1(ours, truth))
        with pdfplumber.open(io.BytesIO(data)) as document:
            for strategy in ("lines", "text"):
                settings = {"vertical_strategy": strategy, "horizontal_strategy": strategy}
                found = document.pages[0].extract_tables(settings)
                scores[strategy].append(adjacency.f1([adjacency.table_relations(t) for t in found], truth))
    mean = {who: sum(values) / len(values) for who, values in scores.items()}
    assert mean["ours"] >= max(mean["lines"], mean["text"])
    assert mean["ours"] > 0.98
    assert min(scores["ours"]) > 0.9


@pytest.mark.parametrize(
    ("found", "truth", "score"),
    [
        pytest.param([["a", "b"], ["c", "d"]], [["a", "b"], ["c", "d"]], 1.0, id="same"),
        pytest.param([["a b"], ["c d"]], [["a", "b"], ["c", "d"]], 0.0, id="columns-merged"),
        pytest.param([["a", None], [None, "d"]], [["a", "b"], ["c", "d"]], 0.0, id="half-lost"),
        pytest.param([["a", "b", ""], ["c", "d", ""]], [["a", "b"], ["c", "d"]], 1.0, id="empty-column-no-harm"),
        pytest.param([["h", "<"], ["c", "d"]], [["h", ""], ["c", "d"]], 0.8, id="span-lost"),
    ],
)
def test_measure(found: adjacency.Table, truth: adjacency.Table, score: float) -> None:
    assert adjacency.f1([adjacency.table_relations(found)], [adjacency.table_relations(truth)]) == pytest.approx(score)


def test_random_tables_without_upright_lines() -> None:
    scores = []
    for seed in range(150):
        made = random_page(seed)
        if made is not None:
            data, rows = made
            found = [adjacency.grid_relations(grid) for grid in read(data, "random.pdf").grids]
            scores.append((adjacency.f1(found, [adjacency.table_relations(rows)]), seed))
    assert sum(score for score, _ in scores) / len(scores) > 0.995, sorted(scores)[:10]
    assert min(scores)[0] > 0.85, sorted(scores)[:10]
