"""Tables of reports that are not about garments: ours against pdfplumber's strategies, and against the truth."""

from __future__ import annotations

from statistics import mean

import pytest
from tests.tables.reports import KINDS
from tests.tables.writers import RULINGS, WRITERS, Document, make_document
from tests.tables.yardsticks import ours, plumber, score

SEEDS = range(8_000, 8_036)


@pytest.fixture(scope="module")
def documents() -> list[Document]:
    return [make_document(seed) for seed in SEEDS]


def test_the_slice_has_every_writer_and_ruling(documents: list[Document]) -> None:
    assert {one.name.split("/")[1] for one in documents} == set(WRITERS)
    assert {one.ruling for one in documents} == set(RULINGS)
    assert len(KINDS) >= 9


def test_the_same_seed_gives_the_same_document() -> None:
    assert [make_document(seed).truth for seed in (1, 2, 3)] == [make_document(seed).truth for seed in (1, 2, 3)]


def test_reports_are_read_well_and_better_than_by_either_strategy(documents: list[Document]) -> None:
    scores = {
        name: [score(read, one.data, one.truth) for one in documents]
        for name, read in (("ours", ours), ("lines", plumber("lines")), ("text", plumber("text")))
    }
    told = sorted(zip(scores["ours"], (one.name for one in documents), strict=True))[:8]
    assert mean(scores["ours"]) > 0.96, told
    for ruling in RULINGS:
        mine, lines, text = (
            mean(value for value, one in zip(scores[who], documents, strict=True) if one.ruling == ruling)
            for who in ("ours", "lines", "text")
        )
        assert mine >= max(lines, text), ruling


def test_rows_between_shaded_ones_keep_to_their_columns() -> None:
    """Their cells have no frames of their own, and lack the day that the row before tells."""
    roster = make_document(930_000_065)
    assert roster.name.endswith("zebra")
    assert score(ours, roster.data, roster.truth) > 0.8
