"""What may stand around a figure: tolerances, signs, words of flat and round, qualifiers, notes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from halfinch.normalise.numbers import Printed, read_number

F = Fraction


def read(text: str, **hints: str) -> Printed:
    printed = read_number(text, **hints)
    assert printed is not None, f"{text!r} was not read"
    return printed


@pytest.mark.parametrize(
    ("text", "value", "minus", "plus"),
    [
        pytest.param("10 +/- 1/4", 10, F(1, 4), F(1, 4), id="plus-slash-minus"),
        pytest.param("10 ± 0,5", 10, F(1, 2), F(1, 2), id="sign"),
        pytest.param("10±½", 10, F(1, 2), F(1, 2), id="glued"),
        pytest.param("10 1/2 +/- 1/4", F(21, 2), F(1, 4), F(1, 4), id="mixed"),
        pytest.param("10 +1/2 -1/4", 10, F(1, 4), F(1, 2), id="two-sides"),
        pytest.param("10 -1/4 +1/2", 10, F(1, 4), F(1, 2), id="minus-first"),
        pytest.param("10 +0.5/-0.25", 10, F(1, 4), F(1, 2), id="slash"),
        pytest.param("10 (± 0,5 cm)", 10, F(1, 2), F(1, 2), id="brackets"),
        pytest.param("27.5cm ±0.5cm", F(55, 2), F(1, 2), F(1, 2), id="unit-twice"),
        pytest.param("10 +/-\n1/4", 10, F(1, 4), F(1, 4), id="wrapped"),
    ],
)
def test_tolerance_beside_the_figure(text: str, value: int, minus: Fraction, plus: Fraction) -> None:
    printed = read(text)
    assert (printed.value, printed.minus, printed.plus, printed.kind, printed.doubt) == (
        value,
        minus,
        plus,
        "single",
        "",
    )


@pytest.mark.parametrize(
    ("text", "minus", "plus"),
    [
        ("±½", F(1, 2), F(1, 2)),
        ("+/- 1/4", F(1, 4), F(1, 4)),
        ("+/-0.5", F(1, 2), F(1, 2)),
        ("± 0,5 cm", F(1, 2), F(1, 2)),
        ('+/-1/4"', F(1, 4), F(1, 4)),
        ("+-1/4", F(1, 4), F(1, 4)),
        ("-/+ 1/4", F(1, 4), F(1, 4)),
        ("+1/2 -1/4", F(1, 4), F(1, 2)),
        ("+1 -1", F(1), F(1)),
        ("+1/-1", F(1), F(1)),
        ("+1/2/-1/4", F(1, 4), F(1, 2)),
        ("-1/4 +1/2", F(1, 4), F(1, 2)),
        ("(+/- 1/4)", F(1, 4), F(1, 4)),
        ("'+/- 1/4", F(1, 4), F(1, 4)),
        ("＋／－１／４", F(1, 4), F(1, 4)),
    ],
)
def test_tolerance_alone(text: str, minus: Fraction, plus: Fraction) -> None:
    printed = read(text)
    assert (printed.kind, printed.minus, printed.plus, printed.doubt) == ("tolerance", minus, plus, "")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("+1/2", F(1, 2)),
        ("+0,5", F(1, 2)),
        ("-1/4", F(-1, 4)),
        ("−1/4", F(-1, 4)),
        ("- 5", F(-5)),
        ("+5 cm", F(5)),
        ("Tall + 5", F(5)),
        ("Tall +5", F(5)),
    ],
)
def test_difference(text: str, value: Fraction) -> None:
    assert (read(text).kind, read(text).value) == ("difference", value)


@pytest.mark.parametrize(
    ("text", "value", "convention"),
    [
        ("37 flat", 37, "flat"),
        ('15" across', 15, "flat"),
        ("15 (flat)", 15, "flat"),
        ("30 cm x2", 30, "flat"),
        ("30 cm x 2", 30, "flat"),
        ("15×2", 15, "flat"),
        ("15 (x2)", 15, "flat"),
        ("2 x 38", 38, "flat"),
        ("2 x 38 cm", 38, "flat"),
        ("15 * 2", 15, "flat"),
        ("15 x 2 = 30", 15, "flat"),
        ("15 1/2 x 2", F(31, 2), "flat"),
        ("15 laid flat", 15, "flat"),
        ("flat: 15", 15, "flat"),
        ("33 cm (halbe Weite)", 33, "flat"),
        ("平铺37", 37, "flat"),
        ("37 à plat", 37, "flat"),
        ('30" round', 30, "round"),
        ("30 all around", 30, "round"),
        ("Umfang 76 cm", 76, "round"),
        ('15" flat / 30" round', 15, "flat"),
    ],
)
def test_flat_or_round_said_beside_the_number(text: str, value: int, convention: str) -> None:
    printed = read(text)
    assert (printed.value, printed.convention, printed.doubt) == (value, convention, "")


@pytest.mark.parametrize(
    ("text", "qualifier"),
    [
        ("approx. 10", "approx"),
        ("approx 10", "approx"),
        ("ca. 10", "approx"),
        ("ca.10", "approx"),
        ("~10", "approx"),
        ("~ 10", "approx"),
        ("≈10", "approx"),
        ("about 10", "approx"),
        ("约10", "approx"),
        ("10左右", "approx"),
        ("10 (approx.)", "approx"),
        ("env. 10", "approx"),
        ("etwa 10", "approx"),
        ("max 10", "max"),
        ("max. 10", "max"),
        ("10 max", "max"),
        ("10 max.", "max"),
        ("≤ 10", "max"),
        ("<10", "max"),
        ("up to 10", "max"),
        ("min 10", "min"),
        (">= 10", "min"),
        ("mindestens 10", "min"),
    ],
)
def test_qualifier(text: str, qualifier: str) -> None:
    assert (read(text).value, read(text).qualifier, read(text).doubt) == (10, qualifier, "")


@pytest.mark.parametrize(
    ("text", "value", "rest"),
    [
        ("27*", 27, "*"),
        ("27 **", 27, "**"),
        ("27†", 27, "†"),
        ("30 (without band)", 30, "(without band)"),
        ("30 [see note]*", 30, "[see note] *"),
        ("27,5 cm (Größe 38!)", F(55, 2), "(Größe 38!)"),
    ],
)
def test_notes_are_kept_as_rest(text: str, value: int, rest: str) -> None:
    printed = read(text)
    assert (printed.value, printed.rest, printed.doubt) == (value, rest, "")
