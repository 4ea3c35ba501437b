"""The charts say what they are given: parsed back out of the SVG."""

from __future__ import annotations

from lxml import etree

from halfinch.present.charts import Apart, Parts, Rail, draw_apart, draw_parts, draw_rails, draw_share

SVG = "{http://www.w3.org/2000/svg}"


def rects(svg: str, kind: str) -> list[tuple[float, float]]:
    """Left and right of every rectangle of a kind."""
    found = etree.fromstring(svg).iter(f"{SVG}rect")
    return [
        (float(one.get("x", 0)), float(one.get("x", 0)) + float(one.get("width")))
        for one in found
        if one.get("class") == kind
    ]


def test_parts_are_as_long_as_they_are_many() -> None:
    svg = draw_parts([Parts("a & b", {"accepted": 60, "held": 20}), Parts("c", {"accepted": 40})], "told")
    (long, short), (held,) = rects(svg, "accepted"), rects(svg, "held")
    assert round((long[1] - long[0]) / (short[1] - short[0]), 2) == 1.5
    assert held[0] == long[1]
    assert [text.text for text in etree.fromstring(svg).iter(f"{SVG}text")] == ["a & b", "80", "c", "40"]


def test_bars_and_bands_stand_on_one_tape() -> None:
    svg = draw_rails([Rail("wide", {28.0: 1, 30.0: 4}, (27.5, 30.0))], str, "told")
    (low, high), (band,) = rects(svg, "told"), rects(svg, "wanted")
    middle = [(left + right) / 2 for left, right in (low, high)]
    assert round((middle[1] - middle[0]) / (band[1] - band[0]), 1) == 0.8
    assert abs(band[1] - middle[1]) < 0.2
    assert draw_rails([], str, "told") == ""


def test_taped_pairs_lie_right_of_the_middle_where_they_are_longer() -> None:
    svg = etree.fromstring(draw_apart([Apart("m", (0.5, -0.25), 0.1, 0.5)], str, "told"))
    right, left = (float(one.get("cx")) for one in svg.iter(f"{SVG}circle"))
    middle = float(next(one for one in svg.iter(f"{SVG}path") if one.get("class") == "rail").get("d")[1:].split()[0])
    assert round((right - middle) / (middle - left), 1) == 2.0


def test_a_share_fills_its_strip() -> None:
    assert rects(draw_share(0.25, "told"), "told") == [(0, 15)]
    assert rects(draw_share(0, "told"), "told") == []
