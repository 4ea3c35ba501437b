"""merchants.toml: read, refused with file and line, found by merchant."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from halfinch.catalogue.habits import habits_of, load_habits, strangers
from halfinch.errors import KnowledgeError

ALL = """\
# what we know
[maison-elan]
unit = "cm"
rise = "back"
rise_band = "without"
knee = "13 1/2"
convention = { thigh = "flat", waist = "round" }
tolerance.waist = "1/2"
"""


def shop(folder: Path, text: str) -> Path:
    (folder / "merchants.toml").write_text(text, encoding="utf-8")
    return folder / "shop.duckdb"


def test_every_habit_is_read_and_found_however_the_name_is_written(tmp_path: Path) -> None:
    habits = load_habits(shop(tmp_path, ALL))
    found = habits_of(habits, "Maison Élan")
    assert found is not None
    assert (found.unit, found.rise, found.rise_band, found.knee) == ("cm", "back", "without", Fraction(27, 2))
    assert (found.convention.of("thigh"), found.convention.of("hip")) == ("flat", "")
    assert found.tolerance.of("waist") == Fraction(1, 2)
    assert habits_of(habits, "Another") is None
    assert habits_of(habits, "") is None
    assert load_habits(tmp_path / "elsewhere" / "shop.duckdb") is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param("[a]\n\nunti = 'cm'\n", r"line 3, a\.unti: unknown key; known here: .*unit", id="mistyped-key"),
        pytest.param("[a]\nunit = 'furlong'\n", r"line 2, a\.unit: 'furlong' is not one of in, cm, mm", id="no-unit"),
        pytest.param("[a.convention]\nthigh = 'folded'\n", r"line 2, a\.convention\.thigh: 'folded'", id="no-way"),
        pytest.param("[a.convention]\ninseam = 'flat'\n", r"line 2, a\.convention\.inseam: unknown", id="no-girth"),
        pytest.param("[a]\nknee = 130\n", r"line 2, a\.knee: the knee line lies 8 to 18", id="knee-in-centimetres"),
        pytest.param("[a]\nknee = true\n", r"line 2, a\.knee: should be a number", id="no-number"),
        pytest.param("[a.tolerance]\nwaist = 0\n", r"line 2, a\.tolerance\.waist: a tolerance is above 0", id="none"),
        pytest.param("[a.tolerance]\nwaist = 'nan'\n", r"line 2, a\.tolerance\.waist: should be a number", id="nan"),
        pytest.param("unit = 'cm'\n", r"line 1, unit: should be a table", id="of-no-merchant"),
        pytest.param("[a\n", "not valid TOML", id="no-toml"),
        pytest.param("[Maison-Elan]\n['maison élan']\n", "the same merchant as", id="twice"),
        pytest.param("['--']\nunit = 'cm'\n", "names no merchant", id="nameless"),
    ],
)
def test_what_makes_no_sense_is_refused_with_its_line(tmp_path: Path, text: str, says: str) -> None:
    with pytest.raises(KnowledgeError, match=says) as refused:
        load_habits(shop(tmp_path, text))
    assert "merchants.toml" in str(refused.value)


def test_a_merchant_that_the_catalogue_does_not_know_is_told_with_the_nearest(tmp_path: Path) -> None:
    path = shop(tmp_path, "[maison-elam]\nunit = 'cm'\n['maison élan']\n")
    (said,) = strangers(path, load_habits(path), ["Maison Élan", ""])
    assert "line 1" in said
    assert "did you mean [maison-elan]?" in said
