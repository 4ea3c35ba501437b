"""Whether a table is of trousers at all: nothing where there is nothing, and all of a table that nobody titled."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from small_sheets import read_sheet, rules, show, want

Blocks = Sequence[Sequence[Sequence[str]] | str]
ORDER = [["Style", "Waist", "Inseam", "Qty"], ["J-101", "28", "30", "14"], ["J-101", "29", "30", "12"]]
FITTED = [["", "4", "6", "8"], ["Waist", "28", "29", "30"], ["Hip", "38", "39", "40"], ["Inseam", "30", "30", "30"]]
GIRTHS = [
    ["Waist", "28", "29", "30"],
    ["Hip", "38", "39", "40"],
    ["Thigh", "22", "23", "24"],
    ["Knee", "15", "15", "16"],
]
BOUGHT = [
    ["Pos", "Artikel", "Größe", "Menge", "Preis"],
    ["1", "Jeans Bundweite 29 Schrittlänge 32", "29/32", "10", "29,50"],
    ["2", "Jeans Bundweite 30 Schrittlänge 32", "30/32", "12", "29,50"],
]

FOREIGN = [
    pytest.param(
        ["# Rafters", [["Run", "Rise", "Hip", "Waist"], ["28", "10", "38", "28"], ["30", "10.5", "40", "30"]]],
        id="a roof has a rise, a hip and a waist; its lines are no sizes",
    ),
    pytest.param(
        ["# Oven", [["Dish", "Minutes", "Rise"], ["Bread", "35", "10"], ["Rolls", "20", "11"]]], id="dough rises"
    ),
    pytest.param(["# Jeans", "Clients", [["Client", "1", "2", "3"], *GIRTHS]], id="clients, under a word for trousers"),
    pytest.param(["# Body scan of the jeans model", [["", "4", "6", "8"], *GIRTHS]], id="a survey of bodies"),
    pytest.param(["# Jeans on stock", ORDER], id="which sizes lie on stock: no measures"),
    pytest.param(["# Faults in jeans", "pieces", FITTED], id="the caption counts"),
    pytest.param(["# Rechnung 4471", FITTED], id="an invoice"),
    pytest.param(["# Rechnung 4471", BOUGHT], id="an invoice whose articles name their sizes"),
    pytest.param(["# By day", [["Day", "Mon", "Tue", "Wed"], *GIRTHS]], id="keyed by days"),
    pytest.param(
        ["# Support", [["Size", "S", "M"], ["Thigh", "15-18", "18-21"], ["Knee", "13-14", "14-15"]]],
        id="ranges of a leg are of a body",
    ),
    pytest.param(
        [
            "# Ilse",
            [["Größe", "34", "36"], ["Bundweite", "66", "70"], ["Saumweite", "96", "100"], ["Rocklänge", "60", "60"]],
        ],
        id="a row tells another garment",
    ),
]


@pytest.mark.parametrize("blocks", FOREIGN)
def test_nothing_where_there_is_nothing(blocks: Blocks) -> None:
    assert not [one for one in read_sheet(*blocks).figures if one.status != "held"]


OURS = [
    pytest.param([FITTED], "waist 4=28 6=29 8=30 | hip 4=38 6=39 8=40 | inseam 4=30 6=30 8=30", id="no title at all"),
    pytest.param(
        ["# Alma trousers", "Le mannequin mesure 1,77 m et porte une taille 36.", FITTED],
        "waist 4=28 6=29 8=30 | hip 4=38 6=39 8=40 | inseam 4=30 6=30 8=30",
        id="a sentence about the model over the table",
    ),
    pytest.param(
        ["# Alma trousers (inches)", [["Size", "Waist round", "Qty"], ["4", "28", "3"], ["6", "29", "1"]]],
        "waist 4=28 6=29",
        id="a stock column beside a measure",
    ),
]


@pytest.mark.parametrize(("blocks", "expected"), OURS)
def test_ours_is_read(blocks: Blocks, expected: str) -> None:
    found = show(read_sheet(*blocks).figures)
    bare = {point: {figure.rstrip("~") for figure in figures} for point, figures in found.items()}
    assert {point: bare[point] for point in want(expected)} == want(expected)


def test_little_evidence_asks() -> None:
    result = read_sheet("# Oddwick", [["Size", "4", "6"], ["Waist (in)", "28", "29"], ["Hip (in)", "38", "39"]])
    assert {one.status for one in result.figures} == {"held"}
    assert "trousers-unsaid" in rules(result)


def test_a_label_alone_is_no_evidence() -> None:
    rows = [["Size", "W28 L30", "W29 L30"], ["Hip (in)", "88", "89"]]
    assert not [one for one in read_sheet("# Jeans", rows).figures if one.point.startswith("label_")]
