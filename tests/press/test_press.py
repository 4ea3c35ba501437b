"""A small fixed slice, and checks of the press itself. Floors come from measurement; raise, never lower."""

from __future__ import annotations

from fractions import Fraction

import pytest

from .__main__ import read, report
from .columns import SURE
from .fault_run import run_fault
from .notice import RANGES
from .numbers import NumberStyle, nanometres, write
from .plan import FORMATS, LAYOUTS, Wish, draw_doc, print_sheet
from .score import Score, interval
from .truth import POINTS
from .words import LANGUAGES, load_words

SLICE = range(1, 41)
RECALL_FLOOR, SILENT_CEILING, HELD_CEILING = 0.99, 0.0, 0.01


def test_a_fixed_slice_is_read_about_as_well_as_measured() -> None:
    scores = [read(print_sheet(seed)) for seed in SLICE]
    must, clean = sum(s.must for s in scores), sum(s.clean for s in scores)
    assert must > 1000
    assert sum(s.read for s in scores) / must >= RECALL_FLOOR
    assert sum(s.silent for s in scores) / clean <= SILENT_CEILING
    assert sum(s.held for s in scores) / must <= HELD_CEILING
    assert not [s.failed for s in scores if s.failed]


def test_figures_that_a_digit_made_impossible_are_caught() -> None:
    outcomes = [run_fault((seed, Wish(fault="digit doubled or dropped", format="csv"))) for seed in range(1, 25)]
    noticed = [outcome for outcome in outcomes if outcome is not None and outcome.noticeable]
    assert len(noticed) >= 8
    assert sum(bool(outcome.slipped) for outcome in noticed) <= 1


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_same_seed_prints_the_same_doc_again(layout: str) -> None:
    wish = Wish(layout=layout)
    assert draw_doc(7, wish) == draw_doc(7, wish)
    assert draw_doc(7, wish).truth


@pytest.mark.parametrize("kind", FORMATS)
def test_the_format_changes_no_truth(kind: str) -> None:
    assert print_sheet(11, Wish(format=kind)).doc.truth == print_sheet(11, Wish(format="csv")).doc.truth


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_labels_for_every_point(language: str) -> None:
    words = load_words(language)
    assert tuple(words["points"]) == POINTS
    for point in SURE:
        assert words["points"][point]["flat"]
        assert words["points"][point]["round"]


@pytest.mark.parametrize("seed", range(50, 70))
def test_the_truth_lies_where_garments_lie(seed: int) -> None:
    for expected in draw_doc(seed, Wish(noise="none")).truth:
        low, high = RANGES[expected.point]
        assert all(low <= nm / 25_400_000 <= high for nm in expected.nm), expected


@pytest.mark.parametrize(
    ("value", "way", "printed"),
    [
        pytest.param(Fraction(39, 4), "space", "9 3/4", id="space"),
        pytest.param(Fraction(39, 4), "hyphen", "9-3/4", id="hyphen"),
        pytest.param(Fraction(39, 4), "glued", "9¾", id="glued"),
        pytest.param(Fraction(39, 4), "slash", "9 3⁄4", id="fraction-slash"),
        pytest.param(Fraction(39, 4), "decimal", "9.75", id="decimal"),
        pytest.param(Fraction(10), "space", "10", id="whole"),
    ],
)
def test_numbers_are_printed_exactly(value: Fraction, way: str, printed: str) -> None:
    assert write(value, NumberStyle(way)) == printed


def test_flat_figures_mean_twice_their_number() -> None:
    assert nanometres(Fraction(81, 2), "cm", flat=True) == 810_000_000


def test_an_interval_counts_sheets_not_figures() -> None:
    share, low, high = interval([(100, 100), (0, 100), (100, 100), (100, 100)])
    assert share == 0.75
    assert high - low > 0.5


def test_the_report_counts_by_sheet_and_names_every_seed_that_failed() -> None:
    facts = {"format": "csv", "layout": "across"}
    scores = [Score(must=40, read=40, clean=40), Score(must=10, read=8, clean=9, silent=1, held=1, missed=1)]
    told = report([(seed, facts, score, 0.1) for seed, score in enumerate(scores, 7)], 7, Wish(), 0)
    assert "-- format\n  csv" in told
    assert "silent: 1 of 2 sheets: 8 (1 of 10)" in told
    assert "held: 1 of 2 sheets: 8 (1 of 10)" in told
    assert interval([(0, 40), (0, 40)])[2] > 0.5  # two sheets prove little, however many figures they have
