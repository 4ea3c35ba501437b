"""What a report counts: by merchant and point, from size to size, held and unusual ones with their cells."""

from __future__ import annotations

from fractions import Fraction

from invented import Shop, figure, sheet

from halfinch.catalogue.report import Report, read_report
from halfinch.figure import Finding, Garment
from halfinch.knowledge import load

SLIM = Garment("s", merchant="Maison", style="Slim", silhouette="straight")


def report_of(shop: Shop) -> Report:
    waists = [figure("waist", 28 + at, size, size_system="US") for at, size in enumerate(("10", "8", "12"))]
    finding = Finding("range", "error", "3 in is no hip", figures=(0,))
    held = figure("hip", 3, "8", garment="s", status="held", raw="3", place="row=9")
    short = figure("inseam", Fraction(41, 2), "8", garment="s", raw="20 1/2", place="row=2")
    shop.land(sheet("a.csv", *waists))
    shop.land(sheet("b.csv", held, short, garments=(SLIM,), findings=(finding,)))
    shop.land(sheet("c.csv", outcome="nothing", garments=()))
    return read_report(shop.path, load())


def test_everything_is_counted_once(shop: Shop) -> None:
    report = report_of(shop)
    assert report.counts == {"sheets": 3, "garments": 2, "sizes": 4, "figures": 5}
    assert report.sheets.groupby("outcome")["sheets"].sum().to_dict() == {"nothing": 1, "read": 2}
    shares = report.complete.set_index(["merchant", "point"])["share"]
    assert (shares["Aldersgate", "waist"], shares["Aldersgate", "hip"], shares["Maison", "inseam"]) == (1.0, 0.0, 1.0)
    assert dict(zip(report.halves["half_inch"], report.halves["figures"], strict=True))[20.5] == 1
    assert set(report.shapes["silhouette"]) == {"not said", "straight"}


def test_growth_follows_the_sizes_and_not_the_columns(shop: Shop) -> None:
    growth = report_of(shop).growth
    assert list(growth.sort_values("at")["grown"]) == [0.0, -1.0, 1.0], "8, 10, 12 printed as 10, 8, 12"


def test_held_and_unusual_ones_come_with_their_cells(shop: Shop) -> None:
    report = report_of(shop)
    (held,) = report.held.to_dict("records")
    assert (held["raw"], held["place"], held["because"]) == ("3", "row=9", "3 in is no hip")
    (odd,) = report.unusual.to_dict("records")
    assert (odd["point"], odd["raw"], odd["inches"]) == ("inseam", "20 1/2", 20.5)
    assert not odd["low"] <= odd["inches"] <= odd["high"]


def test_an_empty_catalogue_has_an_empty_report(shop: Shop) -> None:
    shop.land(sheet("c.csv", outcome="nothing", garments=()))
    report = read_report(shop.path, load())
    assert report.counts["sizes"] == 0
    assert [len(frame) for frame in (report.complete, report.growth, report.held, report.unusual)] == [0] * 4
