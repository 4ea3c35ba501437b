"""A habit is offered where rulings of one merchant agree; it is written down on request alone, comments kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from invented import Shop, figure, sheet

from halfinch.catalogue import rulings
from halfinch.catalogue.choosing import Choice, Request, rule_chosen
from halfinch.catalogue.habit_offers import adopt, as_toml, find_offers
from halfinch.catalogue.habits import habits_of, load_habits
from halfinch.errors import UsageError
from halfinch.figure import Finding, SheetResult

SIZES = ("6", "8", "10")


def asking(rule: str, point: str, raws: tuple[str, ...], inches: tuple[float, ...], **read: Any) -> SheetResult:
    """A sheet whose figures are held by one question."""
    held = [
        figure(point, one, size, status="held", raw=raw, **read)
        for size, raw, one in zip(SIZES, raws, inches, strict=False)
    ]
    finding = Finding(rule, "error", "not printed", figures=tuple(range(len(held))))
    return sheet("a.csv", *held, findings=(finding,))


FLAT = asking("flat-or-round", "thigh", ("11", "11.5", "12"), (22, 23, 24), unit="in", convention="flat")
UNIT = asking("unit-unsaid", "inseam", ("76", "77", "78"), (76, 77, 78), unit="in")


def rule_all(shop: Shop, what: str, by: str = "Ana", **more: Any) -> None:
    rule_chosen(shop.path, [Request(Choice(sheet="a.csv", **more), rulings.Decision(what, by))])


def told(shop: Shop) -> list[tuple[str, str, str, int]]:
    return [(one.merchant, one.key, one.value, one.rulings) for one in find_offers(shop.path)]


def test_three_that_agree_are_offered_and_two_are_not(shop: Shop) -> None:
    shop.land(FLAT)
    rule_all(shop, "right", point="thigh", size="6")
    rule_all(shop, "right", point="thigh", size="8", by="Ben")
    assert told(shop) == []
    rule_all(shop, "right", point="thigh", size="10")
    assert told(shop) == [("aldersgate", "convention.thigh", "flat", 3)]
    (offer,) = find_offers(shop.path)
    assert offer.evidence == "3 rulings on 1 sheet agree, none says otherwise (Ana, Ben)"
    assert load_habits(shop.path) is None, "never adopted by itself"


def test_one_that_says_otherwise_ends_the_offer(shop: Shop) -> None:
    shop.land(asking("flat-or-round", "thigh", ("11", "11", "11"), (22, 22, 22), unit="in", convention="flat"))
    rule_all(shop, "right", point="thigh")
    made = rulings.rule(shop.path, shop.ask("SELECT min(figure_id) FROM figures")[0][0], "should be", by="Ana",
                        inches=Decimal(11))  # fmt: skip
    assert told(shop) == []
    rulings.undo(shop.path, made.ruling_id, by="Ana")
    assert told(shop) == [("aldersgate", "convention.thigh", "flat", 3)]


def test_what_it_should_be_tells_the_unit(shop: Shop) -> None:
    shop.land(UNIT)
    for figure_id, raw in shop.ask("SELECT figure_id, raw FROM figures"):
        inches = (Decimal(raw) / Decimal("2.54")).quantize(Decimal("0.01"))
        rulings.rule(shop.path, figure_id, "should be", by="Ana", inches=inches)
    assert told(shop) == [("aldersgate", "unit", "cm", 3)]


@pytest.mark.parametrize("what", ["not ours"])
def test_what_is_not_ours_answers_nothing(shop: Shop, what: str) -> None:
    shop.land(FLAT)
    rule_all(shop, what, point="thigh")
    assert told(shop) == []


BEFORE = """# my merchants
[Aldersgate]  # since spring
unit = "in"
knee = 13  # asked

[other]
"""


@pytest.mark.parametrize("before", [None, BEFORE])
def test_adopting_writes_the_offer_and_keeps_the_rest(shop: Shop, before: str | None) -> None:
    file = shop.path.parent / "merchants.toml"
    if before:
        file.write_text(before)
    shop.land(FLAT)
    rule_all(shop, "right", point="thigh")
    offers = find_offers(shop.path)
    assert as_toml(offers).startswith('[aldersgate]\nconvention.thigh = "flat"  # 3 rulings')
    with pytest.raises(UsageError, match="there are offers for: aldersgate"):
        adopt(shop.path, "aldersgade")
    assert adopt(shop.path, "Aldersgate") == offers
    known = habits_of(load_habits(shop.path), "Aldersgate")
    assert known is not None
    assert known.convention.thigh == "flat"
    assert told(shop) == [], "what is adopted is not offered again"
    for line in (before or "").splitlines():
        assert line in file.read_text().splitlines()
