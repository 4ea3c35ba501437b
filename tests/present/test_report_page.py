"""The report's page: stands alone, every chart in it, hostile names shown as text."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pandas as pd
import pytest

import halfinch
from halfinch import cli
from halfinch.catalogue.report import Report, read_report
from halfinch.fit import load_body
from halfinch.fit.coverage import Covered, cover
from halfinch.fit.matching import load_bodies
from halfinch.fit.rank import Judging, judge_rows
from halfinch.fit.sizes import open_sizes
from halfinch.knowledge import load
from halfinch.present import plots
from halfinch.present.report_page import render_report

ROOT = Path(__file__).parents[2]
HOSTILE = '</text><script>alert(1)</script>"&'


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("report") / "shop.duckdb"
    halfinch.open_catalogue(path).add(ROOT / "fixtures" / "demo")
    return path


@pytest.fixture(scope="module")
def report(shop: Path) -> Report:
    return read_report(shop, load())


@pytest.fixture(scope="module")
def covered(shop: Path) -> list[Covered]:
    bodies = load_bodies(ROOT / "fixtures" / "demo" / "bodies", load())
    with open_sizes(shop, load()) as sizes:
        return cover(sizes, bodies, load())


def test_a_body_is_covered_as_each_size_is_judged(shop: Path, covered: list[Covered]) -> None:
    body = load_body(ROOT / "fixtures" / "demo" / "bodies" / "ottilie.toml", load())
    with open_sizes(shop, load()) as sizes:
        verdicts = judge_rows(Judging(sizes, body, load()))["verdict"].value_counts()
        garments = len(sizes.garments())
    told = [one for one in covered if one.body == "ottilie"]
    assert {one.verdict: one.sizes for one in told if one.sizes} == verdicts.to_dict()
    assert sum(one.garments for one in told) == garments
    assert [one.verdict for one in told] == list(load().verdict.ranking)


def test_the_page_stands_alone_and_has_every_chart(report: Report, covered: list[Covered]) -> None:
    page = render_report("shop.duckdb", report, pd.DataFrame(covered))
    for loads in ("src=", "<script", "<link", "@import", "<image"):
        assert loads not in page
    assert set(re.findall(r'(?:https?:)//[^"\s]+', page)) <= {
        "http://www.w3.org/2000/svg",
        "http://www.w3.org/1999/xlink",
    }
    charts = re.findall(r"<svg.*?</svg>", page, flags=re.DOTALL)
    assert len(charts) == 7
    for chart in charts:
        ElementTree.fromstring(chart)
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids)), "charts keep out of each other's clips"
    assert set(re.findall(r"url\(#([^)]+)\)", page)) <= set(ids)
    assert "inseam 2.76 in lies outside 16 to 40 in" in page
    assert "No bodies were given" in render_report("shop.duckdb", report)


def test_each_panel_draws_its_own_point(report: Report) -> None:
    svg = plots.draw_growth(report.growth)
    points = {point.replace("_", " ") for point in report.growth["point"]}
    assert points <= set(re.findall(r">([a-z ]+)</text>", svg))
    lines = re.findall(r'<path[^>]* d="(M[^"]+L[^"]+)"[^>]*stroke="#4c78a8"', svg)
    assert len(set(lines)) > len(points)
    bars = plots.draw_halves(report.halves)
    assert bars.count('fill="#4c78a8"') == len(report.halves)


def test_hostile_names_are_shown_as_text(report: Report) -> None:
    complete = report.complete.assign(merchant=HOSTILE)
    svg = plots.draw_completeness(complete.drop_duplicates("point"))
    assert "<script" not in svg
    assert "alert(1)" in "".join(ElementTree.fromstring(svg).itertext())


def test_many_merchants_are_cut_to_the_largest() -> None:
    rows = [(f"m{at}", "accepted", at + 1) for at in range(plots.MOST_ROWS + 5)]
    svg = plots.draw_figures(pd.DataFrame(rows, columns=["merchant", "status", "figures"]))
    assert ">m34<" in svg
    assert ">m4<" not in svg


def test_an_empty_catalogue_has_a_page_without_charts(report: Report) -> None:
    empty = Report(
        counts=dict.fromkeys(report.counts, 0),
        **{name: getattr(report, name).iloc[:0] for name in Report.__slots__ if name != "counts"},
    )
    page = render_report("new.duckdb", empty)
    assert "<svg" not in page
    assert "Nothing is held." in page


def test_the_command_keeps_a_page_made_for_bodies_private(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    body = ROOT / "fixtures" / "demo" / "bodies" / "ottilie.toml"
    with pytest.raises(SystemExit) as ended:
        cli.main(["report", "-c", str(shop), "--bodies", str(body)])
    assert ended.value.code == 0
    page = shop.with_name("shop.report.html")
    assert page.stat().st_mode & 0o077 == 0
    assert "reveals them" in capsys.readouterr().err
    with pytest.raises(SystemExit) as ended:
        cli.main(["report", "-c", str(shop), "--output", str(shop / "no" / "x.html")])
    assert ended.value.code == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
