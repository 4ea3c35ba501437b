"""How figures come to the rows of `sizes`, rule by rule."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from invented import WIDE, Shop, figure, sheet

from halfinch.catalogue.views import SAME_NM
from halfinch.figure import NM_PER_INCH, Figure

Rows = dict[tuple[str, str], tuple[Any, ...]]


def inseam(inches: float, size: str = "8", **more: Any) -> Figure:
    return figure("inseam", inches, size, **more)


def waist(inches: float, size: str = "8", **more: Any) -> Figure:
    return figure("waist", inches, size, **more)


ALL_LENGTHS = {"length_scope": "all"}
ALL_SIZES = {"size": "", "size_scope": "all"}

CASES: list[Any] = [
    pytest.param([inseam(29), waist(30)], {("8", ""): (29, 30)}, id="plain"),
    pytest.param([inseam(29, status="assumed")], {("8", ""): (29, None)}, id="assumed-counts"),
    pytest.param([inseam(29), waist(9, status="held")], {("8", ""): (29, None)}, id="held-never"),
    pytest.param([inseam(29), waist(9, status="set_aside")], {("8", ""): (29, None)}, id="set-aside-never"),
    pytest.param([waist(9, status="held")], {}, id="only-held-gives-no-row"),
    pytest.param(
        [inseam(27, length="petite"), inseam(30, length="regular"), waist(30, **ALL_LENGTHS)],
        {("8", "petite"): (27, 30), ("8", "regular"): (30, 30)},
        id="girth-once-for-all-lengths",
    ),
    pytest.param(
        [waist(30), waist(32, "10"), inseam(29, **ALL_SIZES)],
        {("8", ""): (29, 30), ("10", ""): (29, 32)},
        id="inseam-once-for-all-sizes-and-no-lengths",
    ),
    pytest.param(
        [
            waist(30, **ALL_LENGTHS), waist(32, "10", **ALL_LENGTHS),
            inseam(27, **ALL_SIZES, length="short"), inseam(30, **ALL_SIZES, length="long"),
        ],
        {("8", "short"): (27, 30), ("8", "long"): (30, 30), ("10", "short"): (27, 32), ("10", "long"): (30, 32)},
        id="waists-times-lengths",
    ),
    pytest.param(
        [
            inseam(30, "29", length="30"), inseam(32, "29", length="32"), inseam(32, "30", length="32"),
            waist(29, "29", **ALL_LENGTHS), waist(30, "30", **ALL_LENGTHS),
        ],
        {("29", "30"): (30, 29), ("29", "32"): (32, 29), ("30", "32"): (32, 30)},
        id="a-matrix-keeps-its-holes",
    ),
    pytest.param(
        [inseam(27, length="petite"), waist(30)],
        {("8", "petite"): (27, 30)},
        id="unsaid-joins-the-one-length",
    ),
    pytest.param(
        [inseam(27, length="petite"), inseam(30, length="regular"), waist(30)],
        {("8", "petite"): (27, None), ("8", "regular"): (30, None), ("8", ""): (None, 30)},
        id="unsaid-joins-none-of-two",
    ),
    pytest.param(
        [inseam(27, length="petite"), inseam(30, length="regular", status="held"), waist(30)],
        {("8", "petite"): (27, None), ("8", ""): (None, 30)},
        id="a-held-length-still-counts",
    ),
    pytest.param(
        [inseam(27, length="petite"), inseam(30), waist(30, length="petite"), waist(31)],
        {("8", "petite"): (27, 30), ("8", ""): (30, 31)},
        id="an-unnamed-block-beside-petite-is-a-length-of-its-own",
    ),
    pytest.param(
        [inseam(27, length="petite"), inseam(30, length="regular"), waist(30, length="regular")],
        {("8", "petite"): (27, None), ("8", "regular"): (30, 30)},
        id="regular-never-spreads-to-petite",
    ),
    pytest.param(
        [inseam(27, length="petite"), waist(30, length="regular", length_scope="all")],
        {("8", "petite"): (27, None), ("8", "regular"): (None, 30)},
        id="not-even-with-scope-all",
    ),
    pytest.param(
        [inseam(29), inseam(30, "10"), waist(31, **{**ALL_SIZES, "size_scope": "unsaid"})],
        {("8", ""): (29, None), ("10", ""): (30, None), ("", ""): (None, 31)},
        id="unsaid-size-joins-none-of-two",
    ),
    pytest.param(
        [inseam(29), waist(31, **{**ALL_SIZES, "size_scope": "unsaid"})],
        {("8", ""): (29, 31)},
        id="unsaid-size-joins-the-one-size",
    ),
    pytest.param(
        [inseam(29, **ALL_SIZES, length_scope="all"), waist(30, **ALL_SIZES, length_scope="all")],
        {("", ""): (29, 30)},
        id="no-size-at-all",
    ),
    pytest.param(
        [inseam(27, **ALL_SIZES, length="short"), waist(30, **ALL_SIZES, length_scope="all")],
        {("", "short"): (27, 30)},
        id="lengths-without-sizes",
    ),
    pytest.param(
        [inseam(30, **ALL_SIZES), inseam(29.5), waist(30), waist(32, "10")],
        {("8", ""): (29.5, 30), ("10", ""): (30, 32)},
        id="told-for-that-size-before-told-for-all",
    ),
    pytest.param(
        [inseam(29), inseam(30, place="row=9")],
        {("8", ""): (None, None)},
        id="two-figures-on-one-sheet-are-none",
    ),
    pytest.param(
        [inseam(27, length="petite"), waist(30, **ALL_LENGTHS), waist(32, "10", **ALL_LENGTHS)],
        {("8", "petite"): (27, 30), ("10", "petite"): (None, 32)},
        id="a-size-without-a-length-of-its-own-takes-the-only-one",
    ),
]  # fmt: skip


def rows_by_case(shop: Shop, *, reverse: bool) -> dict[str, Rows]:
    """All cases as garments of one sheet: none touches another, and the order of the figures is nothing."""
    garments = tuple(replace(WIDE, key=case.id, style_code=case.id) for case in CASES)
    told = [(case.id, figure) for case in CASES for figure in case.values[0]]
    figures = [replace(figure, garment=key, place=f"{key};{figure.place}") for key, figure in told]
    shop.land(sheet("a.csv", *(reversed(figures) if reverse else figures), garments=garments))
    found: dict[str, Rows] = {case.id: {} for case in CASES}
    for style, size, length, *values in shop.ask("SELECT style_code, size, length, inseam, waist FROM sizes"):
        assert (size, length) not in found[style], "one row a garment, size and length"
        found[style][(size, length)] = tuple(None if value is None else float(value) for value in values)
    return found


@pytest.fixture(scope="module", params=[False, True], ids=["in-order", "turned-round"])
def found(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Rows]:
    return rows_by_case(Shop(tmp_path_factory.mktemp("sizes")), reverse=request.param)


@pytest.mark.parametrize("case", [pytest.param(case, id=case.id) for case in CASES])
def test_rows_of_sizes(found: dict[str, Rows], case: Any) -> None:
    assert found[case.id] == case.values[1]


def test_a_regular_block_never_spreads_to_petite(shop: Shop) -> None:
    regular = replace(WIDE, block="regular")
    shop.land(sheet("a.csv", inseam(27, length="petite"), waist(30, **ALL_LENGTHS), garments=(regular,)))
    assert shop.sizes("inseam", "waist") == {("8", "petite"): (27, None)}


def test_each_point_has_its_five_columns(shop: Shop) -> None:
    ranged = inseam(29.25, length_to_nm=30 * NM_PER_INCH, status="assumed")
    shop.land(sheet("a.csv", ranged))
    sql = "SELECT inseam, inseam_half_inch, inseam_to, inseam_status, inseam_figure, waist, waist_status FROM sizes"
    ((inches, half, to, status, figure_id, other, other_status),) = shop.ask(sql)
    assert (float(inches), float(half), float(to), status, other, other_status) == (
        29.25,
        29.0,
        30,
        "assumed",
        None,
        "",
    )
    assert shop.ask(f"SELECT point FROM figures WHERE figure_id = '{figure_id}'") == [("inseam",)]


def test_sheets_that_differ_leave_the_point_empty_with_a_finding_on_both(shop: Shop) -> None:
    shop.land(sheet("a.csv", inseam(29), waist(30)))
    shop.land(sheet("b.csv", inseam(30.5), waist(30)))
    assert shop.sizes("inseam", "waist") == {("8", ""): (None, 30)}
    found = shop.ask("""SELECT f.sheet, n.message FROM current_findings n JOIN figures f USING (figure_id)
                        WHERE rule = 'sheets_differ' ORDER BY f.sheet""")
    assert [row[0] for row in found] == ["a.csv", "b.csv"]
    assert all("29 in (a.csv" in row[1] and "30.5 in (b.csv" in row[1] for row in found)


def test_a_difference_that_ends_takes_its_findings_along(shop: Shop) -> None:
    shop.land(sheet("a.csv", inseam(29)), sheet("b.csv", inseam(30.5)))
    shop.land(sheet("b.csv", inseam(29), waist(30)))
    assert shop.sizes("inseam") == {("8", ""): (29,)}
    assert shop.ask("SELECT count(*) FROM findings WHERE rule = 'sheets_differ'") == [(0,)]


@pytest.mark.parametrize(("apart", "same"), [(0, True), (SAME_NM, True), (SAME_NM + 1, False)])
def test_one_measure_in_inches_and_in_rounded_centimetres_is_one(shop: Shop, apart: int, same: bool) -> None:
    shop.land(sheet("a.csv", inseam(29)), sheet("b.csv", replace(inseam(29), length_nm=29 * NM_PER_INCH + apart)))
    ((value,),) = shop.ask("SELECT inseam FROM sizes")
    assert (value is not None) == same


def test_accepted_stands_before_assumed(shop: Shop) -> None:
    near = replace(inseam(29, status="assumed"), length_nm=29 * NM_PER_INCH + 1_000_000)
    shop.land(sheet("a.csv", near), sheet("b.csv", inseam(29)))
    assert shop.ask("SELECT inseam, inseam_status FROM sizes") == [(29, "accepted")]


def test_two_sheets_that_tell_of_other_sizes_make_one_garment(shop: Shop) -> None:
    shop.land(sheet("a.csv", inseam(29), waist(30)), sheet("b.csv", inseam(29.5, "10")))
    assert shop.sizes("inseam", "waist") == {("8", ""): (29, 30), ("10", ""): (29.5, None)}


def test_label_and_body_points_have_columns_of_their_own(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("label_waist", 29, "29"), figure("body_hip", 38, "29"), waist(31, "29")))
    assert shop.sizes("waist", "label_waist", "hip", "body_hip") == {("29", ""): (31, 29, None, 38)}
