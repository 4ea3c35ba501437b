"""A few hundred mutated fixtures; `make mutate` makes 20,000. And any text whatever, as hypothesis thinks of it."""

from __future__ import annotations

import random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from halfinch.knowledge import load
from halfinch.work.reading import read_sheet

from .mutate import mutated, run

KNOWLEDGE = load()
PIECES = st.sampled_from(
    ["Size", "8", "10", "12", "Waist", "Inseam", "Hip (in)", "28", "29 1/2", "81,5 cm", "-", "½", "", "\n", "\n\n", ";",
     ",", "\t", "|", '"', "<td>", "</table>", "&frac12;", "{", "}", "[", "Women's jeans", "\x00", "\u202e", "\ufeff",
     "尺码", "é"]
)  # fmt: skip


def test_mutated_fixtures_neither_crash_nor_hang_nor_invent() -> None:
    counts = run(40, 20_261_125, 1, limit=60.0, most=20_000)
    assert counts.faults == []
    assert sum(counts.outcomes.values()) >= 40


def test_a_mutation_is_the_same_for_the_same_seed() -> None:
    made = {mutated(b"Size,8\nWaist,28\n", b"other", random.Random(7)) for _ in range(3)}
    assert len(made) == 1


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(pieces=st.lists(PIECES | st.text(max_size=6), max_size=40), joint=st.sampled_from(["", " ", ",", ";", "\t"]),
       name=st.sampled_from(["a.csv", "a.txt", "a.html", "a.json", "a"]))  # fmt: skip
def test_any_text_is_read_or_refused(pieces: list[str], joint: str, name: str) -> None:
    for result in read_sheet(joint.join(pieces).encode("utf-8", "surrogatepass"), name, KNOWLEDGE):
        assert result.log == ""
        assert "\n" not in result.message


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rows=st.lists(st.lists(PIECES | st.integers(-9, 999).map(str), min_size=1, max_size=6), min_size=1, max_size=8))
def test_a_figure_of_any_grid_is_printed_in_it(rows: list[list[str]]) -> None:
    text = "\n".join(",".join(f'"{cell.replace(chr(34), chr(34) * 2)}"' for cell in row) for row in rows)
    (result, *_) = read_sheet(text.encode("utf-8"), "a.csv", KNOWLEDGE)
    assert result.log == ""
    bare = "".join(text.split())
    for figure in result.figures:
        if figure.status in ("accepted", "assumed") and figure.basis != "derived":
            assert "".join(figure.raw.split()) in bare
