"""Labels: which point, which thing read over, flat or round, where measured, what else is said."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise

import label_table
import label_table_more
import label_table_shops
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfinch.knowledge import load
from halfinch.normalise.point_labels import (
    PointLabel,
    find_point_labels,
    read_convention_word,
    read_header_word,
    read_point_label,
    read_unit_word,
    settle_letters,
)

KNOWLEDGE = load()
GOOD = Fraction(55, 100)
"""Below this the callers take a label for no evidence by itself."""
TABLES = [name for name in vars(label_table) if name.isupper()]
ROWS = [
    pytest.param(*row, id=f"{name}-{row[0]}")
    for name in TABLES
    for row in label_table.read_table(getattr(label_table, name))
]


SHOPS = [
    pytest.param(table, id=name)
    for name, table in sorted({**vars(label_table_shops), **vars(label_table_more)}.items())
    if name.isupper()
]


def read(text: str) -> PointLabel:
    label = read_point_label(text, KNOWLEDGE)
    assert label is not None, text
    return label


@pytest.mark.parametrize(("text", "expected", "convention"), ROWS)
def test_labels_of_the_trade(text: str, expected: str, convention: str) -> None:
    """`*`: none of our points, whatever it is called; `-`: no term at all; `!x`: read over as x."""
    label = read_point_label(text, KNOWLEDGE)
    if expected == "*":
        assert label is None or not label.point
    elif expected == "-":
        assert label is None
    elif expected.startswith("!"):
        assert label is not None
        assert (label.point, label.not_ours) == ("", expected[1:])
    else:
        assert label is not None
        assert (label.point, label.convention) == (expected, convention)
        assert label.score >= GOOD


@pytest.mark.parametrize("table", SHOPS)
def test_labels_as_shops_print_them(table: str) -> None:
    """As a whole label, and before a colon and a figure in a line of text."""
    wrong = []
    for text, point, convention in label_table_shops.read_table(table):
        label = read_point_label(text, KNOWLEDGE)
        sure = label if label is not None and label.point and label.score >= GOOD else None
        said = (sure.point, sure.convention) if sure is not None else ()
        found = [one.label for one in find_point_labels(f"{text}: 42 cm", KNOWLEDGE) if one.label.score >= GOOD]
        lines = {(one.point, one.convention) for one in found}
        expected = () if point == "*" else (point, convention)
        if said != expected or any(point and (point, way) != expected for point, way in lines):
            wrong.append((text, said, lines))
    assert not wrong


@pytest.mark.parametrize(
    ("text", "point"),
    [
        pytest.param("Length", "outseam", id="length-may-be-anything"),
        pytest.param("Trouser length", "outseam", id="trouser-length-may-be-the-inside"),
        pytest.param("Bottom", "leg_opening", id="bottom-may-be-the-seat"),
        pytest.param("Cavallo", "inseam", id="cavallo-may-be-the-rise"),
        pytest.param("Waistband width", "waist", id="waistband-width-may-be-its-height"),
        pytest.param("Länge", "outseam", id="german-length"),
        pytest.param("着丈", "outseam", id="japanese-length-of-a-garment"),
        pytest.param("W", "waist", id="one-letter"),
    ],
)
def test_names_that_often_mean_another_thing_are_weak(text: str, point: str) -> None:
    label = read(text)
    assert label.point == point
    assert label.score < GOOD


@pytest.mark.parametrize(
    ("text", "point", "amount", "unit", "origin"),
    [
        pytest.param('Thigh (1" below crotch)', "thigh", "1", "in", "crotch", id="inches-below-crotch"),
        pytest.param("Thigh 2.5 cm below crotch", "thigh", "2.5", "cm", "crotch", id="cm-glued-to-the-name"),
        pytest.param("Thigh - one inch below crotch seam", "thigh", "1", "in", "crotch", id="spelt-out"),
        pytest.param('Knee 13 1/2" from crotch', "knee", "27/2", "in", "crotch", id="mixed-fraction"),
        pytest.param("Knee @ 14 in", "knee", "14", "in", "crotch", id="at-without-a-reference"),
        pytest.param('Knee (below crotch 14")', "knee", "14", "in", "crotch", id="reference-first"),
        pytest.param('Hip 8" below waist', "hip", "8", "in", "top edge", id="below-the-waist-is-from-the-top"),
        pytest.param('Hip 3½" above crotch', "hip", "7/2", "in", "crotch", id="above-crotch"),
        pytest.param("Hip 20 cm below waistband", "hip", "20", "cm", "band", id="below-the-band"),
        pytest.param("Oberschenkelweite 1 cm unter Schritt", "thigh", "1", "cm", "crotch", id="german"),
        pytest.param("Hüfte 20 cm unterhalb Bund", "hip", "20", "cm", "band", id="german-band"),
        pytest.param("Tour de cuisse à 2,5 cm sous l'entrejambe", "thigh", "2.5", "cm", "crotch", id="french"),
        pytest.param("臀围(腰下18cm)", "hip", "18", "cm", "top edge", id="chinese-no-blanks"),
        pytest.param("大腿围(裆下2.5cm)", "thigh", "2.5", "cm", "crotch", id="chinese-crotch"),
    ],
)
def test_where_it_is_measured(text: str, point: str, amount: str, unit: str, origin: str) -> None:
    label = read(text)
    assert label.point == point
    assert (label.at, label.at_unit, label.at_from) == (Fraction(amount), unit, origin)
    assert label.unit == ""
    assert label.rest == ""


@pytest.mark.parametrize(
    ("text", "point", "qualifiers"),
    [
        pytest.param("Waist (relaxed)", "waist", {"relaxed"}, id="relaxed"),
        pytest.param("Waist unstretched", "waist", {"relaxed"}, id="unstretched"),
        pytest.param("Waist (fully stretched)", "waist", {"stretched"}, id="stretched"),
        pytest.param("Bundweite gedehnt", "waist", {"stretched"}, id="german-stretched"),
        pytest.param("腰围(拉伸)", "waist", {"stretched"}, id="chinese-stretched"),
        pytest.param("Front rise without waistband", "front_rise", {"without_band"}, id="without"),
        pytest.param("Front Rise (excl. WB)", "front_rise", {"without_band"}, id="excluded"),
        pytest.param("Rise below waistband", "front_rise", {"without_band"}, id="below-the-band-is-without-it"),
        pytest.param("Leibhöhe vorne ohne Bund", "front_rise", {"without_band"}, id="german-without"),
        pytest.param("前浪(不连腰)", "front_rise", {"without_band"}, id="chinese-without"),
        pytest.param("Front rise incl. waistband", "front_rise", {"with_band"}, id="with"),
        pytest.param("后浪(连腰)", "back_rise", {"with_band"}, id="chinese-with"),
        pytest.param("To fit waist", "waist", {"body"}, id="to-fit"),
        pytest.param("Your hips", "hip", {"body"}, id="your"),
        pytest.param("Natural waist", "waist", {"body"}, id="natural-waist-is-of-the-body"),
        pytest.param("Waist (body)", "waist", {"body"}, id="body"),
        pytest.param("身高", "body_height", {"body"}, id="a-height-that-only-a-body-has"),
        pytest.param("Inseam after wash", "inseam", {"after_wash"}, id="washed"),
        pytest.param("Inseam before wash", "inseam", {"before_wash"}, id="unwashed"),
        pytest.param("Old waist", "waist", {"old"}, id="old"),
        pytest.param("Waist tolerance", "waist", {"tolerance"}, id="tolerance"),
        pytest.param("Waist (inside waistband)", "waist", {"inside_band"}, id="inside-the-band"),
        pytest.param("Label waist", "label_waist", set(), id="label-waist"),
        pytest.param("Tagged inseam", "label_inseam", set(), id="tagged-inseam"),
    ],
)
def test_what_is_said_of_the_figure(text: str, point: str, qualifiers: set[str]) -> None:
    label = read(text)
    assert label.point == point
    assert label.qualifiers == qualifiers


@pytest.mark.parametrize(
    ("text", "code", "point"),
    [
        ("A01 Front Rise", "A01", "front_rise"),
        ("A) Waist", "A", "waist"),
        ("(C) Hip", "C", "hip"),
        ("B: Waist", "B", "waist"),
        ("D Thigh", "D", "thigh"),
        ("12. Inseam", "12", "inseam"),
        ("POM 12 - Back rise", "12", "back_rise"),
        ("Hip (C)", "C", "hip"),
        ("F-3 Knee", "F-3", "knee"),
    ],
)
def test_codes_of_points_are_set_apart(text: str, code: str, point: str) -> None:
    label = read(text)
    assert (label.code, label.point, label.score) == (code, point, 1)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("Waist (cm)", "cm"),
        ("Waist (in)", "in"),
        ("Waist in cm", "cm"),
        ("Waist [inches]", "in"),
        ('Waist (")', "in"),
        ("Inseam_mm", "mm"),
        ("腰围(厘米)", "cm"),
        ("Waist (inch/cm)", ""),
        ("Waist in the back", ""),
    ],
)
def test_units_in_labels(text: str, unit: str) -> None:
    assert read(text).unit == unit


@pytest.mark.parametrize(
    ("text", "point"),
    [
        ("Inseem", "inseam"),
        ("Outseem", "outseam"),
        ("Thihg", "thigh"),
        ("Leg openning", "leg_opening"),
        ("Wiast", "waist"),
        ("Ouside leg", "outseam"),
    ],
)
def test_misspellings_are_bent_and_marked(text: str, point: str) -> None:
    label = read(text)
    assert label.point == point
    assert label.fuzzy
    assert GOOD <= label.score < 1


@pytest.mark.parametrize(
    "text", ["Waste", "Thing", "Waits", "Tight", "Front Raise", "Weight", "Rights", "Prise", "Insert"]
)
def test_known_words_are_never_bent(text: str) -> None:
    label = read_point_label(text, KNOWLEDGE)
    assert label is None or not label.point


def test_words_not_understood_are_told_and_cost() -> None:
    label = read("Waist blorp")
    assert (label.point, label.rest, label.score) == ("waist", "blorp", Fraction(1, 2))


@given(st.text(max_size=80))
@settings(max_examples=300)
def test_any_text_can_be_asked(text: str) -> None:
    label = read_point_label(text, KNOWLEDGE)
    assert label is None or bool(label.point) != bool(label.not_ours)
    assert label is None or 0 <= label.score <= 1
    for found in find_point_labels(text, KNOWLEDGE):
        assert 0 <= found.start < found.end <= len(text)
    read_header_word(text, KNOWLEDGE)
    assert read_unit_word(text, KNOWLEDGE) in ("", "in", "cm", "mm")
    assert read_convention_word(text, KNOWLEDGE) in ("", "flat", "round")


PLAIN = [
    row[0]
    for row in label_table.read_table(label_table.ENGLISH)
    if row[0].isascii() and row[0].replace(" ", "").isalpha()
]


@given(
    st.sampled_from(PLAIN), st.sampled_from([str.upper, str.lower, str.title]), st.sampled_from([" ", "  ", "_", "\n"])
)
def test_case_and_blanks_do_not_matter(text: str, case: object, blank: str) -> None:
    other = case(text).replace(" ", blank)  # type: ignore[operator]
    first, second = read(text), read(other)
    assert (first.point, first.convention, first.qualifiers) == (second.point, second.convention, second.qualifiers)


@given(
    st.sampled_from(["Front rise", "Leg opening", "Back rise", "Waist flat", "Inside leg", "Thigh width"]), st.randoms()
)
def test_the_order_of_words_does_not_matter(text: str, random_: random.Random) -> None:
    words = text.split()
    random_.shuffle(words)
    assert read(" ".join(words)).point == read(text).point


PROSE = [
    pytest.param(
        'Waist 28", Hip 38", Front Rise 10 1/2", Leg opening 22"',
        [("Waist", "waist"), ("Hip", "hip"), ("Front Rise", "front_rise"), ("Leg opening", "leg_opening")],
        id="a-listing",
    ),
    pytest.param(
        'Total rise 24", front rise 10", thigh (1" below crotch) 22"',
        [("Total rise", "!total_rise"), ("front rise", "front_rise"), ('thigh (1" below crotch', "thigh")],
        id="read-over-names-stand-between",
    ),
    pytest.param(
        "Waist and hips measure 28 and 38", [("Waist", "waist"), ("hips", "hip")], id="two-points-joined-by-and"
    ),
    pytest.param(
        'Front rise, crotch to top of waistband: 11"',
        [("Front rise, crotch to top of waistband", "front_rise")],
        id="an-explanation-belongs-to-its-name",
    ),
    pytest.param(
        'Thigh (at crotch) 24", leg opening (ankle): 12"',
        [("Thigh (at crotch", "thigh"), ("leg opening (ankle)", "leg_opening")],
        id="places-in-brackets-are-no-names",
    ),
    pytest.param(
        "ウエスト72cm 股上28cm 股下70cm わたり幅30cm",
        [("ウエスト", "waist"), ("股上", "front_rise"), ("股下", "inseam"), ("わたり幅", "thigh")],
        id="japanese-glued",
    ),
    pytest.param(
        'Front pocket opening 6", back yoke 2.5", waist 30"',
        [("Front pocket opening", "!pocket"), ("back yoke", "!yoke"), ("waist", "waist")],
        id="parts",
    ),
    pytest.param(
        "Inseem: 30 / Outseem: 41", [("Inseem", "inseam"), ("Outseem", "outseam")], id="misspelt-in-a-listing"
    ),
    pytest.param("We ship within two days. Returns are free.", [], id="nothing-of-ours"),
]


@pytest.mark.parametrize(("text", "expected"), PROSE)
def test_labels_in_running_text(text: str, expected: list[tuple[str, str]]) -> None:
    found = find_point_labels(text, KNOWLEDGE)
    assert [(text[one.start : one.end], one.label.point or f"!{one.label.not_ours}") for one in found] == expected
    assert all(left.end <= right.start for left, right in pairwise(found))


def test_qualifiers_and_places_in_running_text() -> None:
    text = 'Waist, relaxed: 26"; waist, stretched: 34"; waist (laid flat) 13"; knee 14" below crotch 16"'
    relaxed, stretched, flat, knee = (one.label for one in find_point_labels(text, KNOWLEDGE))
    assert relaxed.qualifiers == {"relaxed"}
    assert stretched.qualifiers == {"stretched"}
    assert flat.convention == "flat"
    assert (knee.at, knee.at_from) == (14, "crotch")


def test_a_length_keeps_its_number_in_running_text() -> None:
    """ "Inseam 30 in from crotch to hem": 30 is the figure, not where the inseam is measured."""
    (label,) = find_point_labels("Inseam 30 in", KNOWLEDGE)
    assert label.label.at is None
    found = find_point_labels("Inseam 30 in from crotch to hem", KNOWLEDGE)
    assert all(
        one.label.at is None and "30" not in "Inseam 30 in from crotch to hem"[one.start : one.end] for one in found
    )


@pytest.mark.parametrize(
    ("texts", "points"),
    [
        pytest.param(["F. Rise", "B. Rise", "Inseam"], ["front_rise", "back_rise", "inseam"], id="letters-of-names"),
        pytest.param(["A. Waist", "B. Rise", "C. Hip"], ["waist", "front_rise", "hip"], id="letters-of-rows"),
        pytest.param(["B Rise", "D Thigh"], ["back_rise", "thigh"], id="no-neighbour-in-the-alphabet"),
        pytest.param(["W12 Waist", "W17 B. Rise (cm)"], ["waist", "back_rise"], id="codes-beside-a-letter"),
    ],
)
def test_a_letter_belongs_to_the_name_or_to_the_row(texts: list[str], points: list[str]) -> None:
    settled = settle_letters([read_point_label(text, KNOWLEDGE) for text in texts])
    assert [label.point if label is not None else "" for label in settled] == points
