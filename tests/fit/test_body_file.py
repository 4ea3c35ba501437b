"""Body files: read strictly, refused in one sentence with file, line and key, and never a measure in any message."""

from __future__ import annotations

import logging
import re
from pathlib import Path

import pytest
from bodies import KNOWLEDGE, PETITE, body, garment

from halfinch.errors import BodyError
from halfinch.fit import Body, load_body, make_plan, read_body
from halfinch.fit.body import Band
from halfinch.knowledge import find_schemas

DEMO = find_schemas().parent / "fixtures" / "demo" / "bodies"

BAD = [
    pytest.param('inseem = "27 3/8 in"', "line 1, inseem", "did you mean inseam?", id="misspelt-key"),
    pytest.param('height = "61 in"\ninseam = "-27.375 in"', "line 2, inseam", "negative", id="negative"),
    pytest.param("inseam = -27.375", "line 1, inseam", "negative", id="negative-number"),
    pytest.param("inseam = 27.375", "line 1, inseam", "no unit", id="number-without-unit"),
    pytest.param('inseam = "27 3/8"', "line 1, inseam", "no unit", id="text-without-unit"),
    pytest.param('inseam = "27.375 parsecs"', "line 1, inseam", "not one plain measure", id="unit-of-no-kind"),
    pytest.param('inseam = { value = 27.375, unit = "ell" }', "line 1, inseam", "unit that is not", id="unknown-unit"),
    pytest.param(
        'inseam = { value = 27.375, unti = "in" }', "line 1, inseam.unti", "did you mean unit", id="in-a-table"
    ),
    pytest.param('inseam = "27.375 cm"', "line 1, inseam", "cannot be the measure of an adult", id="wrong-unit"),
    pytest.param('inseam = "0 in"', "line 1, inseam", "cannot be the measure", id="nothing"),
    pytest.param('inseam = "27 to 28.375 in"', "line 1, inseam", "is a range", id="a-range-for-a-measure"),
    pytest.param('inseam = "27 3/8 in or so"', "line 1, inseam", "not one plain measure", id="words-left-over"),
    pytest.param('inseam = ["27.375 in"]', "line 1, inseam", "should be a text", id="a-list"),
    pytest.param('inseam = "27.375 in', "line 1", "not valid TOML", id="not-toml"),
    pytest.param(
        'knee_height = "25 in"\ninseam = "24.375 in"', "line 1, knee_height", "not below inseam", id="impossible"
    ),
    pytest.param('front_rise = ["11 in", "9.375 in"]', "line 1, front_rise", "upside down", id="band-upside-down"),
    pytest.param('[shoes]\nlift = "2.375 in"', "line 1, shoes", "[[shoes]]", id="one-table-for-a-list"),
    pytest.param('[[shoes]]\nlift = "2.375 in"', "line 1, shoes.name", "missing", id="shoes-without-name"),
    pytest.param(
        '[[shoes]]\nname = "a"\nlift = "60.375 in"', "line 3, shoes.lift", "check the unit", id="lift-too-high"
    ),
    pytest.param('[[shoes]]\nname = "a"\n[[shoes]]\nname = "A"', "line 4, shoes.name", "twice", id="name-twice"),
    pytest.param('[[shoes]]\nname = "a"\nkind = "blok heel"', "line 3, shoes.kind", "block heel", id="unknown-kind"),
    pytest.param('[[shoes]]\nname = "a"\ntoe = "pointy"', "line 3, shoes.toe", "pointed", id="unknown-toe"),
    pytest.param(
        '[[pairs]]\nworn_with = "heels"', "line 2, pairs.worn_with", "no shoes of this file", id="no-such-shoes"
    ),
    pytest.param('[[pairs]]\ninseam = "67.375 in"', "line 2, pairs.inseam", "no such measure", id="pair-in-wrong-unit"),
    pytest.param('[taste]\nsilhouettes = ["wyde"]', "line 2, taste.silhouettes", "did you mean wide", id="silhouette"),
    pytest.param('[taste]\nclearance = { wiide = "1 in" }', "line 2, taste.clearance.wiide", "wide", id="clearance-of"),
    pytest.param('[budget]\nmost = "180 XYZ"', "line 2, budget.most", "does not know", id="budget-in-no-currency"),
    pytest.param('[budget]\nmost = "180.375"', "line 2, budget.most", "currency", id="budget-without-currency"),
    pytest.param('[budget]\nmost = "a lot"', "line 2, budget.most", "no amount", id="budget-without-number"),
    pytest.param('[budget]\nrates = ["regulars"]', "line 2, budget.rates", "did you mean regular", id="unknown-rate"),
    pytest.param('[ease]\nthy = "1 in"', "line 2, ease.thy", "known: hip, knee, thigh, waist", id="ease-of-no-point"),
]


@pytest.mark.parametrize(("text", "where", "says"), BAD)
def test_refused_in_one_sentence_without_a_measure(text: str, where: str, says: str, tmp_path: Path) -> None:
    file = tmp_path / "ana.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(BodyError) as refusal:
        load_body(file, KNOWLEDGE)
    message = str(refusal.value)
    assert f"{file}, {where}" in message
    assert says in message
    assert "\n" not in message
    told = message.replace(str(file), "")
    assert not re.search(r"375|3/8|2[4-9](?!\s*(3/8|in\"))", told.replace('"27 1/2 in"', "")), told
    assert refusal.value.__cause__ is None
    assert refusal.value.__suppress_context__, "a traceback must not bring the measure back"


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("27 1/2 in", 27.5), ("27½\"", 27.5), ("27.5 inches", 27.5), ("69.85 cm", 27.5), ("69,85 cm", 27.5),
        ("698.5 mm", 27.5), ("0.6985 m", 27.5), ("2 ft 3 1/2 in", 27.5),
    ],
)  # fmt: skip
def test_units(written: str, inches: float) -> None:
    assert read_body(f"inseam = '{written}'", "b.toml", KNOWLEDGE).inseam == pytest.approx(inches, abs=1e-12)
    assert read_body('inseam = { value = 69.85, unit = "cm" }', "b", KNOWLEDGE).inseam == pytest.approx(27.5)


def test_how_well_a_measure_was_taken() -> None:
    for text in ('inseam = { value = "27 1/2", unit = "in", within = "1/8 in" }', 'inseam = "27 1/2 +/- 1/8 in"',
                 'inseam = { value = 27.5, unit = "in", within = 0.125 }'):  # fmt: skip
        assert read_body(text, "b", KNOWLEDGE).within == {"inseam": 0.125}


def test_bands() -> None:
    for text in ('front_rise = "9 to 10 1/4 in"', 'front_rise = ["9 in", "10 1/4 in"]', 'front_rise = "9-10.25 in"'):
        assert read_body(text, "b", KNOWLEDGE).front_rise == Band(9, 10.25)


def test_same_body_in_inches_and_centimetres_gives_the_same_plan() -> None:
    inches = 'inseam = "30 in"\nwaist = "29 in"\nhip = "40 in"\nfront_rise = "9 to 11 in"\n'
    metric = 'inseam = "76.2 cm"\nwaist = "736.6 mm"\nhip = "101,6 cm"\nfront_rise = "22.86 to 27.94 cm"\n'
    shoes = '[[shoes]]\nname = "a"\nlift = "1 in"\n[taste]\nclearance = "1 in"\n'
    sizes = [
        garment(inseam=inseam, front_rise=11, waist=29, hip=40, silhouette="skinny", fabric="100% wool")
        for inseam in (29.5, 30, 30.5, 31)
    ]
    for size in sizes:
        first, second = (
            make_plan(size, read_body(text + shoes, "b", KNOWLEDGE), KNOWLEDGE) for text in (inches, metric)
        )
        assert first.verdict == second.verdict
        assert first.leg.cut == pytest.approx(second.leg.cut, abs=1e-9)
        assert [point.state for point in first.points] == [point.state for point in second.points]


def test_everything_is_optional_and_missing_is_not_known() -> None:
    empty = read_body("", "b", KNOWLEDGE)
    assert empty == Body()
    assert empty.inseam is None
    assert make_plan(garment(inseam=30, waist=29), empty, KNOWLEDGE).verdict == "not known"


def test_a_kind_of_shoe_gives_its_usual_lift_marked() -> None:
    shoe = read_body('[[shoes]]\nname = "my loafers"\nkind = "loafer"', "b", KNOWLEDGE).shoes[0]
    assert (shoe.lift, shoe.estimated, shoe.kind) == (Band(0.5, 1.0), True, "flat")
    by_name = read_body('[[shoes]]\nname = "Block heel"', "b", KNOWLEDGE).shoes[0]
    assert (by_name.lift, by_name.estimated) == (Band(2.0, 3.0), True)
    unknown = read_body('[[shoes]]\nname = "the red ones"', "b", KNOWLEDGE).shoes[0]
    assert unknown.lift is None


def test_a_file_that_others_may_read_is_told_unless_invented(tmp_path: Path) -> None:
    file = tmp_path / "ana.toml"
    file.write_text('inseam = "28 in"\n', encoding="utf-8")
    file.chmod(0o644)
    (warning,) = load_body(file, KNOWLEDGE).warnings
    assert "chmod 600" in warning
    file.chmod(0o600)
    assert load_body(file, KNOWLEDGE).warnings == ()
    file.write_text('invented = true\ninseam = "28 in"\n', encoding="utf-8")
    file.chmod(0o644)
    assert load_body(file, KNOWLEDGE).warnings == ()


@pytest.mark.parametrize("name", ["ottilie", "wilhelmina"])
def test_demo_bodies_load_without_a_word(name: str) -> None:
    wearer = load_body(DEMO / f"{name}.toml", KNOWLEDGE)
    assert wearer.invented
    assert wearer.warnings == ()


@pytest.mark.parametrize(
    ("make", "says"),
    [
        pytest.param(lambda path: None, "no such file", id="missing"),
        pytest.param(lambda path: path.mkdir(), "is a folder", id="folder"),
        pytest.param(lambda path: path.write_bytes(b"\xff\xfe\x00inseam"), "not a text file", id="binary"),
    ],
)
def test_files_that_are_none(make: object, says: str, tmp_path: Path) -> None:
    path = tmp_path / "ana.toml"
    make(path)  # type: ignore[operator]
    with pytest.raises(BodyError, match=says):
        load_body(path, KNOWLEDGE)


def test_a_body_never_shows_itself(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    wearer = body(PETITE + '[[pairs]]\nname = "old"\ninseam = "28.8125 in"\n')
    shown = f"{wearer!r} {wearer} {wearer.pairs} {wearer.shoes} {wearer.taste} {wearer.budget}"
    assert not re.search(r"27\.25|28\.8125|2\.5|11\.0|40", re.sub(r"0x[0-9a-f]+", "", shown))
    make_plan(garment(inseam=31, waist=30), wearer, KNOWLEDGE)
    assert caplog.text == ""
