"""What is more than any sheet holds is left out and told; all else is read as it stands."""

from __future__ import annotations

import pytest

from halfinch.readers.limits import LONGEST_CELL, LONGEST_TEXT, MOST_COLUMNS, MOST_GRIDS, MOST_TEXT, within_limits
from halfinch.sheet import Cell, Grid, Sheet, Text


def sheet_of(*texts: str, grids: tuple[Grid, ...] = ()) -> Sheet:
    return Sheet("a.csv", "delimited", "toy", grids, tuple(Text(text, order) for order, text in enumerate(texts)))


def test_an_honest_sheet_is_itself() -> None:
    sheet = sheet_of("x" * LONGEST_TEXT, grids=(Grid((Cell("30", 1, 1),), 1),))
    assert within_limits(sheet) is sheet


@pytest.mark.parametrize("end", [pytest.param("\n", id="lines"), pytest.param(". ", id="sentences")])
def test_a_long_text_is_read_in_pieces(end: str) -> None:
    said = [f"Inseam {number} in" for number in range(5_000)]
    after = within_limits(sheet_of(end.join(said)))
    assert after.warnings == ()
    assert len(after.texts) > 1
    assert all(len(text.text) <= LONGEST_TEXT for text in after.texts)
    assert end.join(text.text.removesuffix(".") for text in after.texts).split(end) == said


def test_what_no_person_reads_is_left_out_and_told() -> None:
    after = within_limits(
        sheet_of("x" * (LONGEST_TEXT + 1), "Inseam 30", *["y" * LONGEST_TEXT] * (MOST_TEXT // LONGEST_TEXT))
    )
    assert after.texts[0].text == "Inseam 30"
    assert sum(len(text.text) for text in after.texts) <= MOST_TEXT
    assert ["left out" in one for one in after.warnings] == [True, True]


def test_a_table_of_many_columns_is_cut_and_a_cell_of_a_book_left_out() -> None:
    cells = (*(Cell("30", 1, column) for column in range(1, MOST_COLUMNS + 9)), Cell("x" * (LONGEST_CELL + 1), 2, 1))
    after = within_limits(sheet_of(grids=(Grid(cells, 0, place="row=1"),)))
    assert (after.grids[0].columns, after.grids[0].rows) == (MOST_COLUMNS, 1)
    assert len(after.warnings) == 2


def test_many_tables_and_warnings_are_few_sentences() -> None:
    wide = Grid((Cell("30", 1, MOST_COLUMNS + 1),), 0)
    after = within_limits(sheet_of(grids=(wide,) * (MOST_GRIDS + 1)))
    assert len(after.grids) == MOST_GRIDS
    assert len(after.warnings) <= 7
