"""Tables put into shape: joined cells, labels in several cells, "Taille", keys beside a drawing, variants by code."""

from __future__ import annotations

import pytest
from small_sheets import by_style, read_sheet, show, want, xfail

from halfinch import knowledge
from halfinch.interpret.facets import Reader
from halfinch.interpret.legend import find_legend
from halfinch.interpret.shape import is_sure_run

SHAPES = [
    pytest.param(
        [["Size", "4 | 6 | 8"], ["Inseam (in)", "30 | 30 | 31"], ["Front rise (in)", "9 | 9.25 | 9.5"]],
        "inseam 4=30 6=30 8=31 | front_rise 4=9 6=9.25 8=9.5",
        id="figures joined by bars",
    ),
    pytest.param(
        [["Size", "4 || 6 || 8"], ["Inseam (in)", "30 || 30 || 31"], ["Front rise (in)", "9 || 9.25 || 9.5"]],
        "inseam 4=30 6=30 8=31 | front_rise 4=9 6=9.25 8=9.5",
        id="double bars",
    ),
    pytest.param(
        [["Size", "S / M / L"], ["Inseam (in)", "30 / 30.5 / 31"], ["Front rise (in)", "9 / 9.25 / 9.5"]],
        "inseam S=30 M=30.5 L=31 | front_rise S=9 M=9.25 L=9.5",
        id="strokes between three",
    ),
    pytest.param(
        [
            ["Maß (cm)", "", "36", "38"],
            ["Leibhöhe", "vorne", "25", "25,5"],
            ["", "hinten", "36", "36,5"],
            ["Beinlänge", "innen", "76", "76"],
        ],
        "front_rise 36=25cm 38=25.5cm | back_rise 36=36cm 38=36.5cm | inseam 36=76cm 38=76cm",
        id="a label in two cells",
        marks=xfail("the first part of a label printed once for two rows is lost for the second"),
    ),
    pytest.param(
        [
            ["Taille", "34", "36", "38"],
            ["Tour de taille (cm)", "66", "70", "74"],
            ["Entrejambe (cm)", "76", "76", "76"],
        ],
        "waist 34=66cm 36=70cm 38=74cm | inseam 34=76cm 36=76cm 38=76cm",
        id="Taille over sizes is the size",
    ),
    pytest.param(
        [
            ["Taille", "Entrejambe (cm)", "Tour de cuisse (cm)"],
            ["34", "76", "54"],
            ["36", "76", "56"],
            ["38", "76", "58"],
        ],
        "inseam 34=76cm 36=76cm 38=76cm | thigh 34=54cm 36=56cm 38=58cm",
        id="Taille over a column of sizes",
    ),
    pytest.param(
        [
            ["TAILLE", "Libellé 1", "Valeur 1", "Libellé 2", "Valeur 2"],
            ["EU 34", "Entrejambe (cm)", "76", "Montant devant (cm)", "25"],
            ["EU 36", "Entrejambe (cm)", "76", "Montant devant (cm)", "26"],
        ],
        "inseam 34=76cm 36=76cm | front_rise 34=25cm 36=26cm",
        id="Taille over the sizes of pairs",
    ),
    pytest.param(
        [
            ["style", "Inseam (in)-S", "Inseam (in)-M", "Rise (front) (in)-S", "Rise (front) (in)-M"],
            ["Alma", "30", "30.5", "10", "10.5"],
        ],
        "inseam S=30 M=30.5 | front_rise S=10 M=10.5",
        id="a size behind brackets",
    ),
    pytest.param(
        [["style", "股下-S", "股下-M", "腰-S", "腰-M"], ["Alma", "70cm", "71cm", "66cm", "70cm"]],
        "inseam S=70cm M=71cm | waist S=66cm~ M=70cm~",
        id="a size behind one sign",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), SHAPES)
def test_shapes(rows: list[list[str]], expected: str) -> None:
    assert show(read_sheet("# Jean Alma", rows).figures) == want(expected)


def test_taille_beside_the_size_is_the_waist() -> None:
    rows = [
        ["Size", "Taille (cm)", "Entrejambe (cm)", "Hanches (cm)"],
        ["34", "66", "76", "90"],
        ["36", "70", "76", "94"],
    ]
    found = show(read_sheet("# Jean Alma", rows).figures)
    assert {name.rstrip("~!") for name in found["waist"]} == {"34=66cm", "36=70cm"}


RUNS = [
    pytest.param("34 36 38", True, id="dress sizes"),
    pytest.param("XS S M", True, id="letters"),
    pytest.param("66 70 74", False, id="waists in cm"),
    pytest.param("9 9.25 9.5", False, id="rises"),
    pytest.param("34", False, id="one alone"),
]


@pytest.mark.parametrize(("texts", "sure"), RUNS)
def test_a_sure_run(texts: str, sure: bool) -> None:
    assert is_sure_run(texts.split(), Reader(knowledge.load())) is sure


LEGENDS = [
    pytest.param(["A: Waist, laid flat", "B: Front rise", "C: Inseam"], id="colons"),
    pytest.param(["A Waist, laid flat", "B Front rise", "C Inseam"], id="blanks"),
    pytest.param(["A) Waist, laid flat\nB) Front rise\nC) Inseam"], id="lines of one text"),
    pytest.param(["A = Waist, laid flat; B = Front rise; C = Inseam"], id="one line"),
    pytest.param([[["A", "Waist, laid flat"], ["B", "Front rise"], ["C", "Inseam"]]], id="a table of its own"),
]


@pytest.mark.parametrize("legend", LEGENDS)
@pytest.mark.parametrize("under", [False, True], ids=["over the table", "under the table"])
def test_keys_beside_a_drawing(legend: list[str], under: bool) -> None:
    rows = [["Size (in)", "A", "B", "C"], ["4", "14", "9", "30"], ["6", "14.5", "9.25", "30"]]
    blocks = [rows, *legend] if under else [*legend, rows]
    assert show(read_sheet("# Jeans", *blocks).figures) == want(
        "waist 4=28 6=29 | front_rise 4=9 6=9.25 | inseam 4=30 6=30"
    )


def test_a_key_explained_twice_is_no_key() -> None:
    from small_sheets import sheet

    page = sheet("A: Waist", "B: Front rise", "C: Inseam", "A: Hip", "D: Thigh")
    assert find_legend(page, Reader(knowledge.load())) == {"B": "Front rise", "C": "Inseam", "D": "Thigh"}


def test_letters_without_a_key_are_no_points() -> None:
    assert (
        read_sheet(
            "# Jeans", [["Size (in)", "A", "B", "C"], ["4", "14", "9", "30"], ["6", "14.5", "9.25", "30"]]
        ).figures
        == ()
    )


VARIANTS = [
    pytest.param(
        [["Style code", "Size", "Inseam (in)"], ["100-4-K", "4", "30"], ["100-6-K", "6", "30"], ["100-8-K", "8", "31"]],
        {"100": "inseam 4=30 6=30 8=31"},
        id="codes that hold the size",
    ),
    pytest.param(
        [
            ["Style", "Size", "Inseam (in)"],
            ["Flora Flare - 2", "2", "30"],
            ["Flora Flare - 4", "4", "30"],
            ["Flora Flare - 6", "6", "31"],
        ],
        {"Flora Flare": "inseam 2=30 4=30 6=31"},
        id="names that end with the size",
    ),
    pytest.param(
        [["Style code", "Size", "Inseam (in)"], ["100", "4", "30"], ["200", "4", "32"], ["300", "4", "28"]],
        {"100": "inseam 4=30", "200": "inseam 4=32", "300": "inseam 4=28"},
        id="three garments in one size stay three",
    ),
]


@pytest.mark.parametrize(("rows", "expected"), VARIANTS)
def test_variants_of_one_garment(rows: list[list[str]], expected: dict[str, str]) -> None:
    assert by_style(read_sheet(*[rows])) == {name: want(text) for name, text in expected.items()}
