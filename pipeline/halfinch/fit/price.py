"""What a garment costs with its alterations, from the tailor's price list. Unknown prices are not known, never 0."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from halfinch.errors import UsageError
from halfinch.fit.body import Budget
from halfinch.knowledge import Knowledge


@dataclass(frozen=True, slots=True)
class Price:
    """`total` is None when any part is not known; `missing` says which. `over` budget: None when it cannot be told."""

    garment: Decimal | None = None
    work: Decimal | None = Decimal(0)
    total: Decimal | None = None
    currency: str = ""
    rate: str = ""
    missing: tuple[str, ...] = ()
    over: Decimal | None = None


def best_rate(rates: Sequence[str], pairs: int, knowledge: Knowledge) -> tuple[str, Decimal]:
    """The better of the rates that hold, not both: its name ('' for none) and share of the price.

    A rate for several pairs holds once so many are brought; any other when `rates` names it. Raises UsageError for a
    name that is no rate.
    """
    best, share = "", Decimal(1)
    known = knowledge.prices.rate
    for name in rates:
        if name not in known:
            raise UsageError(f"{name!r} is no rate of prices.toml; known: {', '.join(known)}.")
    for name, row in known.items():
        holds = pairs >= row.pairs if row.pairs > 1 else name in rates
        value = Decimal(row.share.numerator) / Decimal(row.share.denominator)
        if holds and value < share:
            best, share = name, value
    return best, share


def price_with(
    garment: Decimal | None, currency: str, alterations: Sequence[str], budget: Budget, knowledge: Knowledge
) -> Price:
    """Garment + alterations; the rate applies to the tailor's work alone. Raises UsageError for an alteration that is
    not in prices.toml at all."""
    prices = knowledge.prices
    missing, work = [], Decimal(0)
    for name in alterations:
        if name not in prices.alteration:
            raise UsageError(f"{name!r} is no alteration of prices.toml; known: {', '.join(prices.alteration)}.")
        row = prices.alteration[name]
        if row.price is None:
            missing.append(row.means)
        else:
            work += row.price
    rate, share = best_rate(budget.rates, budget.pairs, knowledge)
    known_work = None if missing else (work * share).quantize(Decimal("0.01"), ROUND_HALF_EVEN)
    if garment is None:
        missing.append("the garment's price")
    elif alterations and currency != prices.currency:
        missing.append(f"a rate of exchange from {prices.currency} to {currency or 'a currency not said'}")
    total = garment + known_work if garment is not None and known_work is not None and not missing else None
    over = None
    if budget.most is not None and total is not None and budget.currency == currency:
        over = max(Decimal(0), total - budget.most)
    return Price(garment, known_work, total, currency, rate if alterations else "", tuple(missing), over)
