"""One style under other spellings and codes: what is proposed and what is not, and what a person's word does."""

from __future__ import annotations

from typing import Any

import pytest
from invented import Shop, figure, sheet

from halfinch.catalogue.changes import Told, telling_at
from halfinch.catalogue.same_decisions import STYLE_GROUPS, decide, groups_of, in_force, read_decisions
from halfinch.catalogue.same_style import Proposal, find_proposals
from halfinch.catalogue.store import reading
from halfinch.errors import UsageError
from halfinch.figure import Figure, Garment
from halfinch.knowledge import load

RULES = load().same_style
RUN = (("inseam", 29.5, 0), ("waist", 28, 1), ("hip", 38, 1), ("front_rise", 10, 0.25))


def run(less: float = 0, length: str = "") -> list[Figure]:
    sizes = ("8", "10", "12")
    return [figure(p, v + s * n - less, size, length=length) for n, size in enumerate(sizes) for p, v, s in RUN]


FIRST: dict[str, Any] = {"merchant": "Aldersgate", "style": "Marnie Curvy Wide Leg Jean", "style_code": "MW-220"}


def garments(shop: Shop, *more: tuple[dict[str, Any], list[Figure]]) -> tuple[Told, ...]:
    for number, (words, figures) in enumerate([(FIRST, run()), *more]):
        shop.land(sheet(f"{number}.csv", *figures, garments=(Garment("g", **words),)))
    with reading(shop.path) as connection:
        return telling_at(connection, "").garments


def proposals(shop: Shop, words: dict[str, Any], figures: list[Figure]) -> list[Proposal]:
    return find_proposals(garments(shop, (words, figures)), RULES)


FOUND = [
    pytest.param({"style": "Marnie wide-leg curvy jeans"}, run(), "the same name", id="other order and ending"),
    pytest.param({"style": "Marny Curvy Wide Leg Jean"}, run(), "names alike", id="misspelt"),
    pytest.param({"style": "Wide 7", "style_code": "MW-22O"}, run(), "codes alike", id="O for 0"),
    pytest.param({"style_code": "MW-220P"}, run(1.5, "petite"), "codes alike", id="the petite's code"),
    pytest.param({"merchant": "Resale Rail", "style": "wide", "style_code": "mw220"}, run(), "the same code",
                 id="a reseller keeps the code"),
    pytest.param({"merchant": "Resale Rail", "style": "Bluebell", "style_code": ""}, run(), "12 of 12 figures",
                 id="another name, no code, the same figures"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "figures", "says"), FOUND)
def test_a_style_is_found_again(shop: Shop, words: dict[str, Any], figures: list[Figure], says: str) -> None:
    told = {**FIRST, "style_code": "", **words}
    (found,) = proposals(shop, told, figures)
    assert any(says in piece.says for piece in found.evidence if piece.weight > 0)


NOT_FOUND = [
    pytest.param({"style": "Roz High Flare", "style_code": "RF-300"}, run(0.5), id="another style"),
    pytest.param({"merchant": "Brackley", "style_code": "BB-1"}, run(1), id="one name at two merchants, other figures"),
    pytest.param({"style": "Marnie Curvy Wide Leg Jean 2", "style_code": "MW-221"}, run(1), id="the next code"),
    pytest.param({"style": "Marnie Straight", "block": "regular"}, run(2), id="another cut of the line"),
]


@pytest.mark.parametrize(("words", "figures"), NOT_FOUND)
def test_what_is_another_style_is_not_proposed(shop: Shop, words: dict[str, Any], figures: list[Figure]) -> None:
    assert proposals(shop, FIRST | words, figures) == []


def test_numbers_in_names_and_blocks_tell_apart(shop: Shop) -> None:
    first = {"merchant": "Aldersgate", "style": "Wide 2", "block": "regular"}
    told = garments(shop, (first, run(1)), (first | {"style": "Wide 3"}, run(2)), (first | {"block": "curvy"}, run(3)))
    assert find_proposals(told, RULES) == []


def test_what_everybody_bears_says_nothing(shop: Shop) -> None:
    many = [({"merchant": f"Merchant {n}", "style": "Straight"}, run(n / 4)) for n in range(1, 15)]
    assert find_proposals(garments(shop, *many), RULES) == []


def pairs(shop: Shop) -> tuple[str, str, str]:
    """Three garments that look alike."""
    told = garments(shop, (FIRST | {"style_code": "MW-220A"}, run()), (FIRST | {"style_code": "MW-220B"}, run()))
    assert len(find_proposals(told, RULES)) == 3
    a, b, c = sorted(one.garment_id for one in told)
    return a, b, c


def test_a_persons_word_changes_no_figure(shop: Shop) -> None:
    a, b, c = pairs(shop)
    before = shop.ask("FROM sizes ORDER BY ALL")
    decide(shop.path, (b, a), "same", by="her", why="looked at both")
    assert shop.ask("FROM style_groups ORDER BY ALL") == [(a, a), (b, a)]
    decide(shop.path, (b, c), "same", by="her")
    assert shop.ask("FROM style_groups ORDER BY ALL") == [(a, a), (b, a), (c, a)]
    decide(shop.path, (b, a), "open", by="him")
    assert shop.ask("FROM style_groups ORDER BY ALL") == [(b, b), (c, b)]
    assert shop.ask("FROM sizes ORDER BY ALL") == before
    with reading(shop.path) as connection:
        decisions = read_decisions(connection)
        told = telling_at(connection, "").garments
    assert [one.decision for one in decisions] == ["same", "same", "open"]
    standing = in_force(decisions)
    assert groups_of(standing) == dict(shop.ask(f"FROM {STYLE_GROUPS.name}"))
    assert len(find_proposals(told, RULES, standing)) == 2


def test_what_was_told_apart_does_not_become_one_by_way_of_a_third(shop: Shop) -> None:
    a, b, c = pairs(shop)
    decide(shop.path, (a, c), "different", by="her")
    decide(shop.path, (a, b), "same", by="her")
    with pytest.raises(UsageError, match="told apart"):
        decide(shop.path, (b, c), "same", by="her")
    assert len(shop.ask("FROM style_groups")) == 2


@pytest.mark.parametrize(
    ("decision", "by", "sentence"),
    [("perhaps", "her", "no decision"), ("same", " ", "who decided"), ("same", "her", "There is no garment")],
)
def test_what_is_no_decision(shop: Shop, decision: str, by: str, sentence: str) -> None:
    with pytest.raises(UsageError, match=sentence):
        decide(shop.path, ("a", "b"), decision, by=by)
