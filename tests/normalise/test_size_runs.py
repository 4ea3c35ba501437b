"""Header lines of sizes: what is a run, what is a line of figures, and what a run decides about its labels."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfinch.knowledge import load
from halfinch.normalise.size_labels import SizeRun, read_size_run

KNOWLEDGE = load()


def read(line: str) -> SizeRun:
    run = read_size_run([text.replace("_", " ") for text in line.split("|")], KNOWLEDGE)
    assert run is not None, f"{line!r} was not read"
    return run


@pytest.mark.parametrize(
    ("line", "system"),
    [
        pytest.param("0|2|4|6", "US", id="only-the-us-begins-at-0"),
        pytest.param("00|0|2|4|6|8|10|12", "US", id="double-zero"),
        pytest.param("000|00|0|2|4", "US", id="triple-zero"),
        pytest.param("14W|16W|18W", "US", id="plus"),
        pytest.param("6|8|10", "", id="us-or-uk"),
        pytest.param("34|36|38", "", id="continental-somewhere"),
        pytest.param("24|25|26|27|28|29|30|31|32|34", "waist", id="jeans"),
        pytest.param("25|26|27", "waist", id="jeans-short"),
        pytest.param("XS|S|M|L|XL", "alpha", id="letters"),
        pytest.param("XXS|XS|S|M|L|XL|XXL|3XL|4XL", "alpha", id="many-letters"),
        pytest.param("Small|Medium|Large", "alpha", id="words"),
        pytest.param("XL|1X|2X|3X", "alpha", id="plus-letters"),
        pytest.param("PP|P|M|G|GG", "alpha", id="portuguese-letters"),
        pytest.param("W28_L30|W29_L30|W30_L32", "waist", id="waist-and-inseam"),
        pytest.param("28/30|28/32|29/30", "waist", id="slashes"),
        pytest.param("44|55|66|77", "KR", id="korean"),
        pytest.param("5|7|9|11", "", id="japanese-or-junior"),
        pytest.param("UK_8|UK_10|UK_12", "UK", id="named-system"),
        pytest.param("XS/0|S/2-4|M/6-8", "alpha", id="two-systems"),
        pytest.param("8P|10P|12P", "", id="petites"),
        pytest.param("0|2|4|0|2|4", "US", id="two-blocks-side-by-side"),
        pytest.param("0|0|2|2|4|4", "US", id="two-columns-each"),
        pytest.param("16|14|12|10", "", id="falling"),
        pytest.param("|0|2|4|", "US", id="empty-corners"),
        pytest.param("Gr._36|Gr._38|Gr._40", "", id="label-words"),
        pytest.param("160/84A|165/88A|170/92A", "CN", id="chinese"),
        pytest.param("1|3|5|7|9", "", id="juniors"),
    ],
)
def test_a_run(line: str, system: str) -> None:
    run = read(line)
    assert run.score >= 0.7
    assert (run.system, run.kind) == (system, "size")
    assert len(run.labels) == len(line.split("|"))


@pytest.mark.parametrize(
    "line",
    [
        pytest.param("27_1/2|28_1/4|29", id="fractions"),
        pytest.param("9.5|10|10.5", id="decimals"),
        pytest.param("30|30.5|31|31.5", id="every-other-whole"),
        pytest.param("30|30|30|30", id="constant-inseam"),
        pytest.param("84|88|92|96", id="hips-in-cm"),
        pytest.param("263|268|273", id="millimetres"),
        pytest.param("10|11|12|13", id="rises"),
        pytest.param("61|66|71|76", id="waists-in-cm"),
        pytest.param("31|30|33|29", id="no-order"),
        pytest.param("8", id="one-number"),
        pytest.param("+/-_1/4|1/2|1", id="tolerances"),
        pytest.param("Waist|Hip|8", id="mostly-words"),
    ],
)
def test_no_run(line: str) -> None:
    run = read_size_run(line.replace("_", " ").split("|"), KNOWLEDGE)
    assert run is None or run.score < 0.5


def test_nothing_of_sizes_is_none() -> None:
    assert read_size_run(["Waist", "Hip", "", "10.25"], KNOWLEDGE) is None
    assert read_size_run([], KNOWLEDGE) is None
    assert read_size_run(["", ""], KNOWLEDGE) is None


def test_odd_sizes_between_even_ones_are_allowed_with_less_confidence() -> None:
    assert 0.5 <= read("00|0|1|3").score < read("00|0|2|4").score


def test_a_gap_or_a_foreign_column_costs_confidence() -> None:
    assert read("0|2|4|6").score > read("0|2|4|TOL").score > read("0|TOL|GRADE|POM").score
    assert [label.size if label else None for label in read("0|2|TOL").labels] == ["0", "2", None]


@pytest.mark.parametrize(
    ("line", "lengths"),
    [
        pytest.param("Petite|Regular|Tall", ["petite", "regular", "tall"], id="words"),
        pytest.param("Short|Medium|Long", ["short", "regular", "long"], id="medium-is-regular"),
        pytest.param("S|R|L", ["short", "regular", "long"], id="r-tells"),
        pytest.param("P|R|T", ["petite", "regular", "tall"], id="letters"),
        pytest.param("K|N|L", ["short", "regular", "long"], id="german-letters"),
        pytest.param("kurz|normal|lang", ["short", "regular", "long"], id="german"),
        pytest.param("L28|L30|L32", ["28", "30", "32"], id="numbers"),
        pytest.param("|Short|Regular||Long", ["short", "regular", "long"], id="with-gaps"),
    ],
)
def test_a_run_of_lengths(line: str, lengths: list[str]) -> None:
    run = read(line)
    assert run.kind == "length"
    assert run.score >= 0.9
    assert [label.length for label in run.labels if label] == lengths
    assert all(label.size == "" for label in run.labels if label)


def test_letters_alone_stay_sizes() -> None:
    for line in ("S|M|L", "XS|S|M|L", "P|M|G"):
        assert read(line).kind == "size"


def test_a_repeated_number_tells_lengths_from_letters() -> None:
    """27(S) 27(R) 27(L) are lengths; 27(S) 29(M) 31(L) is one size in two systems."""
    lengths = [label.length for label in read("27(S)|27(R)|27(L)").labels if label]
    assert lengths == ["short", "regular", "long"]
    also = [label.also for label in read("27(S)|29(M)|31(L)").labels if label]
    assert also == [("S",), ("M",), ("L",)]


def test_one_size_printed_twice_is_no_length() -> None:
    """Two garments in one column of sizes: 37(XL) 38(XXL) 37(XL) 38(XXL)."""
    assert [label.length for label in read("37(XL)|38(XXL)|37(XL)|38(XXL)").labels if label] == ["", "", "", ""]


def test_the_run_names_the_system_of_its_labels() -> None:
    labels = [label for label in read("24|26|27|28").labels if label]
    assert {label.system for label in labels} == {"waist"}
    assert [label.waist for label in labels] == [24, 26, 27, 28]
    assert {label.system for label in read("4|6|8").labels if label} == {""}


def test_the_heading_names_the_system() -> None:
    run = read_size_run(["8", "10", "12"], KNOWLEDGE, "UK")
    assert run is not None
    assert (run.system, [label.system for label in run.labels if label]) == ("UK", ["UK"] * 3)


@given(st.integers(0, 10), st.integers(3, 8))
def test_pieces_of_the_us_order_are_runs_either_way_round(start: int, count: int) -> None:
    sizes = [str(2 * n) for n in range(start, start + count)]
    forth, back = (read_size_run(line, KNOWLEDGE) for line in (sizes, sizes[::-1]))
    assert forth is not None
    assert back is not None
    assert forth.score >= 0.7
    assert back.score >= 0.7


@given(st.lists(st.text(alphabet="0123456789WLXSMPRT/ .½", max_size=6), max_size=8))
def test_any_line_is_read_or_refused_without_an_error(texts: list[str]) -> None:
    run = read_size_run(texts, KNOWLEDGE)
    assert run is None or (len(run.labels) == len(texts) and 0 <= run.score <= 1)


def test_a_mark_behind_a_size_is_no_part_of_it() -> None:
    run = read_size_run(["25", "26", "27*", "28†"], KNOWLEDGE)
    assert run is not None
    assert [one and one.size for one in run.labels] == ["25", "26", "27", "28"]
