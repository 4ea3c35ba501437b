"""`units.toml` and `size_systems.toml` prove themselves when they are loaded."""

from __future__ import annotations

import pytest

from halfinch.errors import KnowledgeError
from halfinch.knowledge import find_schemas, load
from halfinch.knowledge.reading import read_text
from halfinch.knowledge.spec_sizes import SizeSystems, Units
from halfinch.normalise.numbers import read_number
from halfinch.normalise.size_labels import read_length_mark, read_size_label

KNOWLEDGE = load()


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        pytest.param('"cm", "cms",', '"cm", "zoll",', "stands under in too", id="one-word-for-two-units"),
        pytest.param("[unit.ft]", "[unit.ft]\nfactor = 12", "unknown key", id="unknown-key"),
        pytest.param('pint = "foot"', "", "'pint' is missing", id="missing-key"),
    ],
)
def test_units_are_refused(old: str, new: str, message: str) -> None:
    text = (find_schemas() / "units.toml").read_text(encoding="utf-8")
    assert old in text
    with pytest.raises(KnowledgeError, match=message):
        read_text(text.replace(old, new, 1), Units, "units.toml")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        pytest.param('"short", "short length"', '"short", "petite length"', "too", id="one-word-for-two-lengths"),
        pytest.param('"UK", "U.K."', '"UK", "USA"', "too", id="one-word-for-two-systems"),
        pytest.param("XXL = [", "QQ = [", "no size of the order", id="unknown-letter-size"),
        pytest.param("waist = [62, 66]", "waist = [66, 62]", "upside down", id="range-upside-down"),
        pytest.param('system = "JP"', 'system = "Mars"', "no system", id="table-of-an-unknown-system"),
    ],
)
def test_size_systems_are_refused(old: str, new: str, message: str) -> None:
    text = (find_schemas() / "size_systems.toml").read_text(encoding="utf-8")
    assert old in text
    with pytest.raises(KnowledgeError, match=message):
        read_text(text.replace(old, new, 1), SizeSystems, "size_systems.toml")


def test_every_unit_word_is_read_behind_a_number() -> None:
    for name, unit in KNOWLEDGE.units.unit.items():
        number = "1,5" if name == "m" else "28"
        for word in (*unit.words, *unit.signs, *unit.doubtful):
            printed = read_number(f"{number} {word}")
            assert printed is not None, word
            assert (printed.unit, bool(printed.doubt)) == (name, word in unit.doubtful), word


def test_every_word_beside_a_number_is_read() -> None:
    words = KNOWLEDGE.units.beside
    for name, attribute in (
        ("flat", "convention"),
        ("round", "convention"),
        ("approx", "qualifier"),
        ("max", "qualifier"),
    ):
        for word in words[name].words:
            printed = read_number(f"28 {word}")
            assert printed is not None, word
            assert getattr(printed, attribute) == name, word


def test_every_length_word_and_letter_size_is_read() -> None:
    for name, length in KNOWLEDGE.size_systems.length.items():
        for word in (word for word in length.words if len(word) > 1):
            label = read_size_label(f"8 {word}", KNOWLEDGE)
            assert label is not None, word
            assert (label.size, label.length, read_length_mark(word, KNOWLEDGE)) == ("8", name, name), word
    alpha = KNOWLEDGE.size_systems.alpha
    for spelling in [word for words in alpha.spellings.values() for word in words] + [*alpha.order, *alpha.plus]:
        label = read_size_label(spelling, KNOWLEDGE)
        assert label is not None, spelling
        assert (label.size, label.system) == (spelling, "alpha")


def test_every_size_of_every_system_is_read_with_its_system() -> None:
    for name, system in KNOWLEDGE.size_systems.system.items():
        for size in (*system.sizes, *system.seldom):
            label = read_size_label(f"{name} {size}", KNOWLEDGE)
            assert label is not None, (name, size)
            assert (label.size, label.system) == (size, name)
