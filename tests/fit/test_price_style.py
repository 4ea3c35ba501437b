"""Prices from the tailor's list, and rules of thumb that rank but never drop."""

from __future__ import annotations

from decimal import Decimal

import pytest
from bodies import KNOWLEDGE, LEGS, PETITE, body, garment

from halfinch.errors import UsageError
from halfinch.fit import make_plan
from halfinch.fit.body import Band, Budget, Shoe
from halfinch.fit.price import best_rate, price_with
from halfinch.fit.style import Worn, judge_style, style_score


@pytest.mark.parametrize(
    ("rates", "pairs", "expected"),
    [
        pytest.param((), 1, ("", "1"), id="none"),
        pytest.param(("regular",), 1, ("regular", "0.9"), id="regular"),
        pytest.param((), 3, ("several", "0.85"), id="several-on-its-number"),
        pytest.param((), 2, ("", "1"), id="several-just-below"),
        pytest.param(("regular",), 3, ("several", "0.85"), id="the-better-of-two-not-both"),
        pytest.param(("regular", "several"), 1, ("regular", "0.9"), id="several-does-not-hold-for-one-pair"),
    ],
)
def test_rates(rates: tuple[str, ...], pairs: int, expected: tuple[str, str]) -> None:
    assert best_rate(rates, pairs, KNOWLEDGE) == (expected[0], Decimal(expected[1]))


def test_the_rate_applies_to_the_tailors_work_only() -> None:
    price = price_with(Decimal(100), "EUR", ["hem", "take_in_waist"], Budget(rates=("regular",)), KNOWLEDGE)
    assert (price.work, price.total) == (Decimal("36.00"), Decimal("136.00"))
    assert price.rate == "regular"


@pytest.mark.parametrize(
    ("garment_price", "currency", "work", "missing"),
    [
        pytest.param(None, "EUR", ["hem"], "the garment's price", id="garment"),
        pytest.param(Decimal(90), "EUR", ["taper_hem"], "taper", id="a-gap-in-the-list"),
        pytest.param(Decimal(90), "GBP", ["hem"], "rate of exchange", id="another-currency"),
        pytest.param(Decimal(90), "", ["hem"], "rate of exchange", id="currency-not-said"),
    ],
)
def test_what_is_not_known_is_not_nothing(
    garment_price: Decimal | None, currency: str, work: list[str], missing: str
) -> None:
    price = price_with(garment_price, currency, work, Budget(), KNOWLEDGE)
    assert price.total is None
    assert any(missing in part for part in price.missing)


def test_without_alterations_any_currency_will_do() -> None:
    assert price_with(Decimal(90), "SEK", [], Budget(), KNOWLEDGE).total == 90


@pytest.mark.parametrize(
    ("most", "currency", "over"),
    [("114", "EUR", Decimal(0)), ("113.99", "EUR", Decimal("0.01")), ("50", "GBP", None)],
)
def test_budget(most: str, currency: str, over: Decimal | None) -> None:
    assert price_with(Decimal(100), "EUR", ["hem"], Budget(Decimal(most), currency), KNOWLEDGE).over == over


def test_unknown_alteration_or_rate() -> None:
    with pytest.raises(UsageError, match="no alteration"):
        price_with(Decimal(1), "EUR", ["iron"], Budget(), KNOWLEDGE)
    with pytest.raises(UsageError, match="no rate"):
        best_rate(("cheap",), 1, KNOWLEDGE)


HEELS = Shoe("heels", Band(2.5, 2.5), toe="almond", sole="slim")


@pytest.mark.parametrize(
    ("worn", "rule", "kept"),
    [
        pytest.param(Worn("wide", 22.0), "petite-wide-opening", True, id="on-22"),
        pytest.param(Worn("wide", 22.01), "petite-wide-opening", False, id="wider"),
        pytest.param(Worn("wide"), "petite-wide-opening", None, id="opening-not-known"),
        pytest.param(Worn("flare", shoe=HEELS), "wide-asks-for-lift", True, id="lift"),
        pytest.param(Worn("flare", shoe=Shoe("flats", Band(1, 1))), "wide-asks-for-lift", False, id="no-lift"),
        pytest.param(Worn("wide", shoe=HEELS), "wide-asks-for-a-pointed-toe", True, id="toe"),
        pytest.param(Worn("wide", clearance=1.0), "wide-skims-the-floor", False, id="too-high"),
        pytest.param(Worn("boot", shoe=HEELS), "any-shoe", None, id="nothing-asked"),
        pytest.param(Worn("straight", 30.0), "petite-wide-opening", "silent", id="another-silhouette"),
        pytest.param(Worn("", 30.0), "petite-wide-opening", "silent", id="silhouette-not-known"),
    ],
)
def test_rules(worn: Worn, rule: str, kept: object) -> None:
    advice = {each.rule: each.kept for each in judge_style(worn, body(PETITE), KNOWLEDGE)}
    assert advice.get(rule, "silent") == kept


def test_a_rule_on_height_is_silent_where_the_height_is_not_known_or_tall() -> None:
    for wearer in (body(PETITE, height=None), body(PETITE, height=64.0)):
        assert "petite-wide-opening" not in {a.rule for a in judge_style(Worn("wide", 30), wearer, KNOWLEDGE)}


def test_rules_rank_and_never_drop() -> None:
    wearer = body(PETITE)
    slim, full = (
        make_plan(
            garment(inseam=30, front_rise=10, waist=30, hip=42, silhouette="wide", fabric="100% wool",
                    **(LEGS["wide"] | {"leg_opening": opening})),
            wearer, KNOWLEDGE, weigh=False,
        )
        for opening in (21.0, 22.8)
    )  # fmt: skip
    assert slim.verdict == full.verdict
    assert slim.style > full.style
    assert style_score(full.advice) == full.style
