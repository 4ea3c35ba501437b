"""The shipped schemas: they load, agree with the code, and admit what is true."""

from __future__ import annotations

import csv
import pickle
import re
import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from halfinch import figure
from halfinch.errors import KnowledgeError
from halfinch.knowledge import AFTER_READING, find_schemas, load
from halfinch.knowledge.folding import write_out
from halfinch.knowledge.spec_words import LANGUAGES

SUMMARY = Path(__file__).parents[1] / "data" / "ansur2_women_summary.csv"


def test_loads_once_and_crosses_to_another_process() -> None:
    knowledge = load()
    assert load() is knowledge
    assert pickle.loads(pickle.dumps(knowledge)) is knowledge
    assert len(knowledge.digest) == 64


READING_ROOMS = ("readers", "normalise", "interpret", "plausibility")


@pytest.mark.parametrize("file", sorted(AFTER_READING))
def test_a_file_that_reading_does_not_use_makes_no_reading_stale(file: str, tmp_path: Path) -> None:
    folder = tmp_path / "schemas"
    shutil.copytree(find_schemas(), folder)
    with (folder / file).open("a") as end:
        end.write("\n# a remark\n")
    changed, known = load(folder), load()
    assert changed.digest != known.digest
    assert changed.reading_digest == known.reading_digest
    used = re.compile(rf"knowledge\.{file.removesuffix('.toml')}\b")
    rooms = Path(figure.__file__).parent
    assert not [
        path for room in READING_ROOMS for path in (rooms / room).rglob("*.py") if used.search(path.read_text())
    ]


def test_a_file_that_reading_uses_makes_readings_stale(tmp_path: Path) -> None:
    folder = tmp_path / "schemas"
    shutil.copytree(find_schemas(), folder)
    with (folder / "reading.toml").open("a") as end:
        end.write("\n# a remark\n")
    assert load(folder).reading_digest != load().reading_digest


def test_every_language_names_every_garment_point() -> None:
    knowledge = load()
    assert set(knowledge.terms) == set(LANGUAGES)
    garment = {name for name, point in knowledge.points.items() if point.of == "garment"}
    for language, terms in knowledge.terms.items():
        assert garment <= set(terms.point), language


def test_enumerations_are_the_words_of_the_code() -> None:
    sets = load().enumerations.set
    assert tuple(sets["status"].words) == figure.STATUSES
    assert tuple(sets["basis"].words) == figure.BASES
    assert set(sets["convention"].words) == set(figure.CONVENTIONS)
    assert tuple(sets["severity"].words) == figure.SEVERITIES


def test_no_word_of_flat_or_round_is_a_number_that_may_stand_beside_a_label() -> None:
    """A slip in a list of alternatives ("乘二|2") would make every 2 beside a label a word for flat."""
    for phrases in load().modifiers.convention.values():
        for _, phrase in phrases.all():
            assert not any(len(words) == 1 and re.fullmatch(r"\d\d?", words[0]) for words in write_out(phrase)), phrase


def test_things_left_alone_name_points() -> None:
    knowledge = load()
    for name, thing in knowledge.read_over.thing.items():
        assert set(thing.beside) <= set(knowledge.points), name


@pytest.mark.parametrize(
    ("point", "inches"),
    [
        pytest.param("front_rise", ("6", "13.25"), id="front-rise-met"),
        pytest.param("back_rise", ("18",), id="back-rise-met"),
        pytest.param("inseam", ("17", "24", "37.5", "38"), id="petite-crop-to-tall"),
        pytest.param("outseam", ("49",), id="outseam-met"),
    ],
)
def test_limits_admit_what_was_met_on_published_sheets(point: str, inches: tuple[str, ...]) -> None:
    known = load().points[point]
    for value in inches:
        assert known.low <= Fraction(value) <= known.high


@pytest.mark.parametrize(
    ("point", "quantity"),
    [
        ("body_waist", "waistcircumference"),
        ("body_hip", "buttockcircumference"),
        ("body_inseam", "crotchheight"),
        ("body_height", "stature"),
        ("waist", "waistcircumference"),
        ("hip", "buttockcircumference"),
        ("thigh", "thighcircumference"),
        ("knee", "lowerthighcircumference"),
    ],
)
def test_limits_admit_every_body_of_the_survey(point: str, quantity: str) -> None:
    """ANSUR II women, public working database, 1,986 rows: least and most, in mm."""
    with SUMMARY.open(encoding="utf-8", newline="") as file:
        row = next(row for row in csv.DictReader(file) if row["quantity"] == quantity)
    known = load().points[point]
    for bound in ("min", "max"):
        assert known.low <= Fraction(row[bound]) / Fraction("25.4") <= known.high


@pytest.mark.parametrize(
    "point", ["front_rise", "back_rise", "inseam", "outseam", "waist", "hip", "thigh", "knee", "leg_opening"]
)
def test_most_centimetres_read_as_inches_fall_outside(point: str) -> None:
    """The least and the middle usual figure, printed in cm and read as inches, must look wrong."""
    known = load().points[point]
    middle = (known.usual_low + known.usual_high) / 2 * Fraction("2.54")
    assert middle > known.usual_high
    if known.kind == "length":
        assert known.usual_low * Fraction("2.54") > known.usual_high


@pytest.mark.parametrize("point", ["waist", "hip", "thigh", "knee", "leg_opening"])
def test_small_and_middling_girths_lying_flat_fall_outside(point: str) -> None:
    known = load().points[point]
    small = known.usual_low + (known.usual_high - known.usual_low) / 3
    assert small / 2 < known.usual_low


def spoilt(tmp_path: Path, file: str, old: str, new: str) -> Path:
    """A copy of schemas/ with one change."""
    folder = tmp_path / "schemas"
    shutil.copytree(find_schemas(), folder)
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        pytest.param(
            "terms/de.toml",
            '"leib höhe",',
            '"leib höhe", "innen naht",',
            r"terms/de\.toml, line \d+, point\.\w+\.names: .*'innen naht' also means .*terms/de\.toml, line",
            id="one-name-two-points",
        ),
        pytest.param(
            "read_over.toml",
            '"saddle",',
            '"saddle", "inseam",',
            r"read_over\.toml, line \d+, thing\.total_rise\.en: 'inseam' also means inseam \(terms/en\.toml, line \d+",
            id="a-point-to-be-read-over",
        ),
        pytest.param(
            "prices.toml",
            'currency = "EUR"',
            'currency = "XYZ"',
            r"prices\.toml, line \d+, currency: is not one of currencies\.toml",
            id="a-price-list-in-no-currency",
        ),
        pytest.param(
            "prices.toml",
            'price = "14.00"',
            'price = "-14.00"',
            r"prices\.toml, line \d+, .*below 0",
            id="a-price-below-0",
        ),
        pytest.param(
            "terms/fr.toml",
            "[point.knee]",
            "[point.shin]",
            r"terms/fr\.toml, line \d+, point\.shin: no such",
            id="no-point",
        ),
        pytest.param(
            "terms/fr.toml",
            'language = "fr"',
            'language = "it"',
            r"terms/fr\.toml, line 1, language",
            id="wrong-language",
        ),
        pytest.param("points.toml", "limits = [16, 40]", "limits = [40, 16]", "upside down", id="limits-upside-down"),
        pytest.param(
            "points.toml", "usual = [22, 37.5]", "usual = [2, 37.5]", r"inseam\.usual: .*inside", id="usual-outside"
        ),
        pytest.param("tolerances.toml", "[tolerance.knee]", "[tolerance.nee]", "nee", id="points-of-two-files-differ"),
        pytest.param(
            "modifiers.toml",
            '"flat", "½"',
            '"flat", "a|b c|d e|f g|h i|j k|l m|n o|p q|r", "½"',
            r"modifiers\.toml, line \d+, convention\.flat\.en: the phrase .* more than",
            id="a-phrase-of-too-many-forms",
        ),
    ],
)
def test_a_wrong_schema_is_refused(tmp_path: Path, file: str, old: str, new: str, says: str) -> None:
    folder = spoilt(tmp_path, file, old, new)
    with pytest.raises(KnowledgeError, match=says):
        load(folder)


def test_any_change_changes_the_digest(tmp_path: Path) -> None:
    folder = spoilt(tmp_path, "terms/nl.toml", "# Dutch", "# The Dutch")
    assert load(folder).digest != load().digest
