"""Sizes that slipped by one against the figures are held; "Taille" beside a waist named otherwise is the size."""

from __future__ import annotations

import pytest

import halfinch

RUN = "Waist cm;66;70;74;78\nHip cm;92;96;100;104\nInseam cm;79;79;80;80\n"
NO_WAIST = "Size;Hip cm;Thigh cm;Inseam cm\n34;66;92;54;79\n36;70;96;56;79\n38;74;100;58;80\n40;78;104;60;80\n"
LAST = "Waist cm;66;70;74;78;+/- 1\nHip cm;92;96;100;104;+/- 1\nInseam cm;79;79;80;80;+/- 1\n"
HEADS = "Waist cm;Hip cm;Inseam cm\n34;66;92;79\n36;70;96;79\n38;74;100;80\n40;78;104;80\n"
DOWN = "Size;Waist cm;Hip cm;Inseam cm\n34;66;92;79\n36;70;96;79\n38;74;100;80\n;78;104;80\n"


def read(text: str) -> list[tuple[str, str, str, str]]:
    results = halfinch.read_sheet(text.encode(), "sheet.csv")
    return [(one.size, one.point, one.status, one.raw) for result in results for one in result.figures]


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("Size;34;36;38\n" + RUN, id="one size missing at the end or the start"),
        pytest.param("Size;;34;36;38\n" + RUN, id="empty cell before the sizes, the last one lost"),
        pytest.param("Size;;34;36;38;40\n" + RUN, id="empty cell pushed in"),
        pytest.param("34;36;38;40\n" + RUN, id="corner cell missing"),
        pytest.param(NO_WAIST, id="the first label missing"),
        pytest.param("Size;36;38;40;Tolerance\n" + LAST, id="a size missing, its figures under the tolerances"),
        pytest.param(DOWN, id="sizes down the page, the last one empty"),
    ],
)
def test_slipped_sizes_are_held(text: str) -> None:
    found = read(text)
    assert len(found) == 12
    assert {status for _, _, status, _ in found} == {"held"}


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("Size;34;36;38;40\n" + RUN, id="every figure has its size"),
        pytest.param(
            "Size;34;36;38;40;\nWaist cm;66;70;74;78;1\nHip cm;92;96;100;104;1\nInseam cm;79;79;80;80;0.6\n",
            id="tolerances in a column without a heading",
        ),
        pytest.param(
            "Size;Waist cm;Hip cm;Inseam cm;\n34;66;92;79;129\n36;70;96;79;129\n38;74;100;80;129\n40;78;104;80;129\n",
            id="prices without a heading behind the figures",
        ),
    ],
)
def test_sizes_in_place_stay_clean(text: str) -> None:
    clean = [one for one in read(text) if one[2] != "held"]
    assert [(size, raw) for size, point, _, raw in clean if point == "waist"] == [
        ("34", "66"),
        ("36", "70"),
        ("38", "74"),
        ("40", "78"),
    ]


def test_taille_beside_a_named_waist_is_the_size() -> None:
    found = read("Taille;Tour de taille cm;Tour de hanches cm;Entrejambe cm\n38;72;98;78,5\n")
    assert [(size, point) for size, point, status, _ in found if status != "held"] == [
        ("38", "waist"),
        ("38", "hip"),
        ("38", "inseam"),
    ]


def test_a_page_cut_before_its_figures_is_partly_read() -> None:
    page = b"<html><body><h1>Jeans</h1><table><tr><th>Size<th>Wai"
    assert [result.outcome for result in halfinch.read_sheet(page, "cut.html")] == ["partly"]


def test_a_tolerance_that_moved_into_the_last_size_marks_no_empty_cell() -> None:
    rows = "Waist cm;66;70;78;+/- 1\nHip cm;92;96;100;104;+/- 1\nInseam cm;79;79;80;80;+/- 1\n"
    found = read("Size;34;36;38;40;Tol.\n" + rows)
    assert {point for _, point, status, _ in found if status == "held"} == {"waist"}
