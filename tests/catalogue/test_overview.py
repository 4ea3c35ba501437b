"""The catalogue in a few numbers: who lacks what, how sheets and figures fared."""

from __future__ import annotations

from dataclasses import replace

from invented import WIDE, Shop, figure, sheet

from halfinch.catalogue.overview import count_outcomes, count_told
from halfinch.figure import Finding

OTHER = replace(WIDE, key="o", merchant="Brambling", style="Flare", style_code="B-1")


def fill(shop: Shop) -> None:
    held = figure("waist", 9, "10", status="held")
    shop.land(
        sheet(
            "a.csv", figure("inseam", 29), figure("waist", 30), figure("inseam", 29, "10"), held,
            findings=(Finding("range", "error", "outside", figures=(3,)),),
        ),
        sheet("b.csv", figure("inseam", 31, garment="o", status="assumed"), garments=(OTHER,)),
        sheet("c.csv", outcome="nothing"),
    )  # fmt: skip


def test_who_lacks_most_stands_first(shop: Shop) -> None:
    fill(shop)
    told = count_told(shop.path, ["inseam", "waist", "hip"])
    assert [(one.merchant, one.garments, one.sizes, dict(one.points)) for one in told] == [
        ("Aldersgate", 1, 2, {"inseam": 2, "waist": 1, "hip": 0}),
        ("Brambling", 1, 1, {"inseam": 1, "waist": 0, "hip": 0}),
    ]
    assert told[0].lacks("waist") == 1


def test_how_sheets_and_figures_fared(shop: Shop) -> None:
    fill(shop)
    fared = count_outcomes(shop.path)
    assert fared.sheets == {"read": 2, "partly": 0, "nothing": 1, "scanned": 0, "failed": 0}
    assert fared.all_figures == {"accepted": 3, "assumed": 1, "held": 1, "set_aside": 0}
    assert fared.reasons == (("range", 1),)
