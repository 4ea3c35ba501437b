"""The same style with other figures under another merchant, or without its code: a finding on both."""

from __future__ import annotations

from dataclasses import replace

import pytest
from invented import WIDE, Shop, figure, sheet

from halfinch.figure import Figure, Garment, SheetResult

OTHER = replace(WIDE, merchant="Bexley")


def telling(name: str, garment: Garment, *figures: Figure) -> SheetResult:
    return sheet(name, *figures, garments=(garment,))


def found(shop: Shop) -> list[tuple[str, str]]:
    return shop.ask("""SELECT s.sheet, n.severity FROM findings n JOIN current_readings r USING (reading_id)
        JOIN sheets s ON s.sheet_id = r.sheet_id WHERE n.rule = 'style_differs' ORDER BY ALL""")


HERE = telling("a.csv", WIDE, figure("inseam", 29), figure("hip", 40))


@pytest.mark.parametrize(
    ("there", "severity"),
    [
        pytest.param(telling("b.csv", OTHER, figure("inseam", 31)), "warn", id="the-code-under-another-merchant"),
        pytest.param(telling("b.csv", replace(OTHER, style_code="B1"), figure("inseam", 31)), "note",
                     id="the-name-alone-under-another-merchant"),
        pytest.param(telling("b.csv", replace(WIDE, style_code=""), figure("inseam", 31)), "warn",
                     id="the-same-merchant-without-the-code"),
        pytest.param(telling("b.csv", OTHER, figure("inseam", 29)), "", id="the-same-figures"),
        pytest.param(telling("b.csv", OTHER, figure("inseam", 31, "10")), "", id="another-size"),
        pytest.param(telling("b.csv", OTHER, figure("inseam", 31, status="held")), "", id="held-says-nothing"),
        pytest.param(telling("b.csv", replace(OTHER, block="petite"), figure("inseam", 27)), "", id="another-block"),
        pytest.param(telling("b.csv", replace(OTHER, style="Slim", style_code="B1"), figure("inseam", 31)), "",
                     id="another-style"),
        pytest.param(telling("b.csv", replace(WIDE, style_code="AW-11"), figure("inseam", 31)), "",
                     id="another-code-of-the-same-merchant"),
    ],
)  # fmt: skip
def test_a_finding_on_both_sheets_and_the_figures_stay(shop: Shop, there: SheetResult, severity: str) -> None:
    shop.land(HERE)
    before = shop.ask("SELECT inches FROM figures ORDER BY ALL")
    shop.land(there)
    assert found(shop) == ([("a.csv", severity), ("b.csv", severity)] if severity else [])
    assert shop.ask("SELECT inches FROM figures WHERE sheet = 'a.csv' ORDER BY ALL") == before
    assert all(inseam for (inseam, _) in shop.ask("SELECT inseam, size FROM sizes WHERE merchant = 'Aldersgate' "
                                                  "AND style_code = 'AW-10'"))  # fmt: skip


def test_the_message_names_the_other_sheet_and_both_figures(shop: Shop) -> None:
    shop.land(HERE, telling("b.csv", OTHER, figure("inseam", 31), figure("hip", 41.5)))
    ((message,),) = shop.ask(
        "SELECT message FROM findings WHERE rule = 'style_differs' AND message LIKE '%here a.csv%'"
    )
    assert message == (
        "Wide is told otherwise on another sheet, b.csv of Bexley (here a.csv): "
        "hip 8 40 in here, 41.5 in there; inseam 8 29 in here, 31 in there."
    )


def test_a_newer_sheet_that_agrees_takes_the_finding_away_from_both(shop: Shop) -> None:
    shop.land(HERE, telling("b.csv", OTHER, figure("inseam", 31)))
    assert len(found(shop)) == 2
    shop.land(telling("b.csv", OTHER, figure("inseam", 29), figure("thigh", 22)))
    assert found(shop) == []
