"""How files of schemas/ become dataclasses, and how they are refused: with file, line and key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfinch.errors import KnowledgeError
from halfinch.knowledge.reading import Span, read_file, read_text
from halfinch.knowledge.toml_lines import find_line, index_lines


@dataclass(frozen=True, slots=True)
class Shoe:
    name: str
    lift: Span
    low: Fraction
    high: Fraction
    kind: Literal["flat", "heel"] = "flat"
    toes: tuple[str, ...] = ()
    price: Decimal | None = None
    worn: bool = False
    count: int = 1

    def check(self) -> str:
        return "count: a shoe comes at least once" if self.count < 1 else ""


@dataclass(frozen=True, slots=True)
class Shoes:
    shoe: Mapping[str, Shoe]
    row: tuple[Shoe, ...] = ()


GOOD = """\
# a comment
[shoe.pump]
lift = [1, "2 1/2"]
low = "3/8"
high = 0.5
kind = "heel"
toes = [
  "almond",
  "pointed",
]
price = 19.90
worn = true
"""


def test_reads_exact_numbers_names_and_lists() -> None:
    pump = read_text(GOOD, Shoes, "shoes.toml").shoe["pump"]
    assert pump.name == "pump"
    assert pump.lift == Span(Fraction(1), Fraction(5, 2))
    assert (pump.low, pump.high) == (Fraction(3, 8), Fraction(1, 2))
    assert pump.toes == ("almond", "pointed")
    assert pump.price == Decimal("19.9")
    assert pump.worn is True


@pytest.mark.parametrize(
    ("old", "new", "line", "key", "says"),
    [
        pytest.param("worn = true", "wron = true", 12, "shoe.pump.wron", "unknown key", id="unknown-key"),
        pytest.param("worn = true", "worn = 1", 12, "shoe.pump.worn", "true or false", id="wrong-type"),
        pytest.param('low = "3/8"\n', "", 2, "shoe.pump", "'low' is missing", id="missing-key-names-the-table"),
        pytest.param('"2 1/2"', '"1/2"', 3, "shoe.pump.lift", "upside down", id="span-upside-down"),
        pytest.param("high = 0.5", "high = 0.25", 4, "shoe.pump.low", "upside down", id="pair-upside-down"),
        pytest.param('"heel"', '"wedge"', 6, "shoe.pump.kind", "not one of flat, heel", id="word-outside-the-set"),
        pytest.param('"pointed"', '"almond"', 7, "shoe.pump.toes", "twice", id="twice-in-one-list"),
        pytest.param('"3/8"', '"3/0"', 4, "shoe.pump.low", "should be a number", id="division-by-zero"),
        pytest.param('"3/8"', '"about 3"', 4, "shoe.pump.low", "should be a number", id="words-for-a-number"),
        pytest.param("[1, ", "[1, 2, ", 3, "shoe.pump.lift", "range [low, high]", id="three-ends"),
        pytest.param("worn = true", "count = 0", 12, "shoe.pump.count", "at least once", id="own-check"),
        pytest.param("worn = true", "count = true", 12, "shoe.pump.count", "a whole number", id="bool-is-no-number"),
        pytest.param("[shoe.pump]", "[shoes.pump]", 2, "shoes", "unknown key", id="unknown-table"),
        pytest.param(
            'toes = [\n  "almond",\n  "pointed",\n]',
            'toes = "almond"',
            7,
            "shoe.pump.toes",
            "a list",
            id="text-for-a-list",
        ),
    ],
)
def test_refuses_with_file_line_and_key(old: str, new: str, line: int, key: str, says: str) -> None:
    assert old in GOOD
    with pytest.raises(KnowledgeError) as refused:
        read_text(GOOD.replace(old, new, 1), Shoes, "shoes.toml")
    message = str(refused.value)
    assert message.startswith(f"shoes.toml, line {line}, {key}: ")
    assert says in message


def test_refuses_what_is_no_toml_with_its_line() -> None:
    with pytest.raises(KnowledgeError, match=r"shoes\.toml: not valid TOML: .*line 2"):
        read_text("a = 1\nb = = 2\n", Shoes, "shoes.toml")


def test_refuses_an_absent_file_and_one_in_another_encoding(tmp_path) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(KnowledgeError, match=r"gone\.toml: the file is missing"):
        read_file(tmp_path / "gone.toml", Shoes)
    (tmp_path / "latin.toml").write_bytes("a = 'Größe'".encode("latin-1"))
    with pytest.raises(KnowledgeError, match=r"latin\.toml: cannot be read as UTF-8"):
        read_file(tmp_path / "latin.toml", Shoes)


def test_finds_lines_in_arrays_of_tables_inline_tables_and_past_long_strings() -> None:
    text = (
        '[[row]]\nlow = 1\n[[row]]\nlow = 2\ntext = """\nlow = 9\n"""\n'
        "[a.b]\nc = { d = 1, e = 2 }\nlist = [\n  1, # low = 3\n]\n'q.r'.s = 1\n"
    )
    lines = index_lines(text)
    assert lines["row", 0, "low"] == 2
    assert lines["row", 1, "low"] == 4
    assert lines["a", "b", "c", "e"] == 9
    assert lines["a", "b", "q.r", "s"] == 13
    assert find_line(lines, ("a", "b", "list", 3)) == 10
    assert find_line(lines, ("nowhere",)) == 1


@given(st.integers(0, 60), st.integers(0, 63))
def test_every_sixty_fourth_is_read_exactly(whole: int, part: int) -> None:
    text = GOOD.replace('"3/8"', f'"{whole} {part}/64"').replace("0.5", "1000")
    assert read_text(text, Shoes, "shoes.toml").shoe["pump"].low == whole + Fraction(part, 64)


@given(st.fractions(), st.fractions(), st.fractions())
def test_a_span_misses_by_its_distance(low: Fraction, high: Fraction, value: Fraction) -> None:
    span = Span(min(low, high), max(low, high))
    miss = span.miss(value)
    assert (miss == 0) == (value in span)
    assert value - miss in span
