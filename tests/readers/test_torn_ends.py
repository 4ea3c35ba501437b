"""Files cut short: the row or block at the break is left out and told of; whole files are left alone."""

from __future__ import annotations

import pytest

from halfinch.readers import delimited, html

ROWS = "Size,Waist,Hip,Inseam\n8,28.5,38.5,29.5\n10,29.5,39.5,29.5\n12,30.5,40.5,29.5"
PAGE = (
    "<!doctype html><html><body><h1>Ada trousers</h1><p>Rise 10 1/2 in, sample size 8.</p><table>"
    "<tr><th>Size</th><th>Waist</th><th>Hip</th></tr><tr><td>8</td><td>28.5</td><td>38.5</td></tr>"
    "<tr><td>10</td><td>29.5</td><td>39.5</td></tr></table><p>All in inches, 9 3/4 in wide</p></body></html>"
)


@pytest.mark.parametrize(
    ("text", "torn"),
    [
        pytest.param(ROWS, False, id="whole-without-a-last-line-end"),
        pytest.param(ROWS + "\n", False, id="whole"),
        pytest.param(ROWS + "\n14,31", True, id="half-a-cell"),
        pytest.param(ROWS + "\n14,31.5,", True, id="after-a-delimiter"),
        pytest.param(ROWS + "\n14,31.5,41.5,29.", True, id="dangling-point-in-the-last-column"),
        pytest.param(ROWS + "\n14,31\n", False, id="a-short-row-that-ended"),
        pytest.param(ROWS + "\nAll figures flat, in inches", False, id="a-note-with-a-comma"),
        pytest.param("Merchant,Ada\nUnit,in\n" + ROWS + "\n14,31", True, id="below-a-narrow-preamble"),
    ],
)
def test_torn_rows_of_delimited_text(text: str, torn: bool) -> None:
    sheet = delimited.read(text.encode(), "a.csv")
    assert any("breaks off" in warning for warning in sheet.warnings) == torn
    assert ("31" in [cell.text[:2] for cell in sheet.grids[0].cells]) == (text.endswith("14,31\n"))


def test_whole_page_is_left_alone() -> None:
    assert html.read(PAGE.encode(), "a.html").warnings == ()
    fragment = PAGE[PAGE.index("<table") : PAGE.index("</body")]
    assert html.read(fragment.encode(), "a.html").warnings == ()


@pytest.mark.parametrize("end", range(PAGE.index("<h1>") + 5, PAGE.index("</body>")))
def test_page_cut_anywhere_says_nothing_that_the_whole_one_does_not(end: int) -> None:
    whole, part = html.read(PAGE.encode(), "a.html"), html.read(PAGE[:end].encode(), "a.html")
    said = {cell.text for grid in whole.grids for cell in grid.cells} | {text.text for text in whole.texts}
    assert {cell.text for grid in part.grids for cell in grid.cells} <= said
    assert {text.text for text in part.texts} <= said
    assert part.warnings or PAGE[:end].endswith(">")
