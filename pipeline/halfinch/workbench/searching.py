"""What a person asks of the catalogue, as an address says it: read from one, written into another, told to the query.

Bodies stand in an address by their handle, shoes by their number; whatever a measure of a person would give away does
not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from typing import Annotated, Literal
from urllib.parse import urlencode

from fastapi import Query

from halfinch.fit.browse import FITS, Wanted
from halfinch.fit.measure import MeasureError, read_inches

POINTS = ("front_rise", "back_rise", "inseam", "outseam", "leg_opening", "waist", "hip", "thigh", "knee")
WORDS = ("style_code", "block", "size_system", "silhouette", "fabric", "stretch", "state", "colour")
COLUMNS = ("price", *POINTS, *WORDS)
"""What can be shown beside garment, size and length; with a body the verdict stands before it."""
USUAL = ("price", "front_rise", "inseam", "leg_opening", "waist", "hip", "thigh", "knee")
TOLD = ("accepted", "assumed", "untold")
VERDICTS = (*FITS, "near miss", "not known", "no")
Unit = Literal["in", "cm"]
Words = Annotated[list[str] | None, Query(max_length=40)]
_SHORT = Query(max_length=200)


@dataclass(frozen=True, slots=True)
class Asked:
    """Everything as typed; '' and () where nothing is asked."""

    find: str = ""
    merchant: str = ""
    silhouette: tuple[str, ...] = ()
    size: str = ""
    length: str = ""
    price_from: str = ""
    price_to: str = ""
    currency: str = ""
    ranges: tuple[tuple[str, str, str, str], ...] = ()
    """(point, from, to, one of TOLD or '') in the order of POINTS."""
    unit: Unit = "in"
    """What the typed lengths are in."""
    body: str = ""
    shoe: int = 0
    verdict: tuple[str, ...] = FITS
    """With a body only."""
    show: tuple[str, ...] = USUAL
    order: str = ""
    page: int = 1

    def range_of(self, point: str) -> tuple[str, str, str]:
        return next(((low, high, told) for name, low, high, told in self.ranges if name == point), ("", "", ""))

    def address(self, **changes: object) -> str:
        """Address of the same with changes; whatever it is but `page`, it begins at the first page again."""
        fresh = {} if "page" in changes else {"page": 1}
        query = replace(self, **fresh, **changes).query()  # type: ignore[arg-type]
        return f"/catalogue?{query}" if query else "/catalogue"

    def export_address(self, table: str, form: str) -> str:
        """Where all of it is to be had as a file."""
        return f"/catalogue/export?{urlencode({'table': table, 'form': form})}&{replace(self, page=1).query()}"

    def query(self) -> str:
        """Only what differs from asking nothing."""
        pairs: list[tuple[str, str]] = []
        plain = Asked()
        for name in ("find", "merchant", "silhouette", "size", "length", "price_from", "price_to", "currency"):
            pairs += _pairs(name, getattr(self, name))
        for point, low, high, told in self.ranges:
            pairs += [("point", point), ("low", low), ("high", high), ("told", told)]
        if self.ranges:
            pairs.append(("unit", self.unit))
        pairs += _pairs("body", self.body)
        if self.body:
            pairs += _pairs("shoe", str(self.shoe) if self.shoe else "")
            pairs += _pairs("verdict", self.verdict if self.verdict != plain.verdict else ())
        if self.show != plain.show:
            pairs += _pairs("show", self.show)
        pairs += _pairs("order", self.order) + _pairs("page", str(self.page) if self.page > 1 else "")
        return urlencode(pairs)


def _pairs(name: str, value: str | Sequence[str]) -> list[tuple[str, str]]:
    values = [value] if isinstance(value, str) else value
    return [(name, one) for one in values if one]


def read_asked(
    find: Annotated[str, _SHORT] = "",
    merchant: Annotated[str, _SHORT] = "",
    silhouette: Words = None,
    size: Annotated[str, _SHORT] = "",
    length: Annotated[str, _SHORT] = "",
    price_from: Annotated[str, _SHORT] = "",
    price_to: Annotated[str, _SHORT] = "",
    currency: Annotated[str, _SHORT] = "",
    point: Words = None,
    low: Words = None,
    high: Words = None,
    told: Words = None,
    unit: Unit = "in",
    body: Annotated[str, Query(max_length=40)] = "",
    shoe: Annotated[int, Query(ge=0, le=50)] = 0,
    verdict: Words = None,
    show: Words = None,
    order: Annotated[str, Query(max_length=40)] = "",
    page: Annotated[int, Query(ge=1, le=10_000_000)] = 1,
) -> Asked:
    """A dependency. `point`, `low`, `high` and `told` belong together by their order."""
    rows = {}
    for at, name in enumerate(point or ()):
        row = tuple(said[at][:40].strip() if said and at < len(said) else "" for said in (low, high, told))
        if name in POINTS and any(row):
            rows[name] = (name, row[0], row[1], row[2] if row[2] in TOLD else "")
    ranges = tuple(rows[name] for name in POINTS if name in rows)
    shown = tuple(name for name in COLUMNS if name in show) if show else USUAL
    verdicts = tuple(name for name in VERDICTS if name in (verdict or FITS))
    return Asked(
        find.strip(), merchant, tuple(silhouette or ()), size.strip(), length, price_from.strip(), price_to.strip(),
        currency, ranges, unit, body, shoe, verdicts, shown, order, page,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Meant:
    """What was asked, understood. `wrong`: fields that could not be ("inseam", "price"); they ask nothing."""

    wanted: Wanted
    wrong: tuple[str, ...] = ()


def understand(asked: Asked) -> Meant:
    wrong: list[str] = []
    ranges, statuses = {}, {}
    for point, low, high, told in asked.ranges:
        ends = tuple(_inches(end, asked.unit, point, wrong) for end in (low, high))
        if ends != (None, None):
            ranges[point] = (ends[0], ends[1])
        if told:
            statuses[point] = ("",) if told == "untold" else (told,)
    price = tuple(_amount(end, wrong) for end in (asked.price_from, asked.price_to))
    words = {
        "merchant": [asked.merchant],
        "size": [part.strip() for part in asked.size.split(",")],
        "length": [asked.length],
        "currency": [asked.currency],
    }
    wanted = Wanted(
        ranges=ranges, words={name: found for name, said in words.items() if (found := [one for one in said if one])},
        silhouettes=asked.silhouette, price=(price[0], price[1]), statuses=statuses, text=asked.find,
        verdicts=asked.verdict if asked.body else (),
    )  # fmt: skip
    return Meant(wanted, tuple(dict.fromkeys(wrong)))


def _inches(text: str, unit: Unit, field: str, wrong: list[str]) -> float | None:
    if not text:
        return None
    try:
        return read_inches(text, unit)
    except MeasureError:
        wrong.append(field)
        return None


def _amount(text: str, wrong: list[str]) -> float | None:
    if not text:
        return None
    try:
        amount = Decimal(text.replace(",", "."))
    except InvalidOperation:
        wrong.append("price")
        return None
    if not amount.is_finite() or not 0 <= amount < 10_000_000_000:
        wrong.append("price")
        return None
    return float(amount)
