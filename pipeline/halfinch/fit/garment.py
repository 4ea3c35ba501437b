"""One garment in one size and length, as the `sizes` view of the catalogue tells it: inches, girths all the way round.

A point that the catalogue does not hold is not in `points`: not known, never 0.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from halfinch.fit.body import Band

POINTS = (
    "front_rise", "back_rise", "inseam", "outseam", "waist", "hip", "thigh", "knee", "leg_opening",
    "label_waist", "label_hip", "label_inseam",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Point:
    """One figure. `inches` is the middle of a printed range, `spread` half its width."""

    inches: float
    spread: float = 0.0
    minus: float | None = None
    plus: float | None = None
    """The sheet's tolerance; None: not stated, the point's usual one serves."""
    at: float | None = None
    at_from: str = ""
    status: str = "accepted"
    basis: str = ""
    figure: str = ""
    stated: float | None = None
    """What the sheet says, where `inches` reckons with taped pairs; else None."""


@dataclass(frozen=True, slots=True)
class GarmentSize:
    """A row of `sizes`. '' and None: not said."""

    points: Mapping[str, Point] = field(default_factory=lambda: MappingProxyType({}))
    garment_id: str = ""
    merchant: str = ""
    style: str = ""
    style_code: str = ""
    block: str = ""
    silhouette: str = ""
    fabric: str = ""
    stretch: float | None = None
    """Stated stretch as a share."""
    state: str = ""
    """washed | unwashed | ''"""
    price: Decimal | None = None
    currency: str = ""
    colour: str = ""
    url: str = ""
    size: str = ""
    size_system: str = ""
    length: str = ""
    waist_stretched: float | None = None
    """Elastic waists: the waist pulled out."""
    notes: tuple[str, ...] = ()
    """What was reckoned with beside the sheet's own figures."""
    estimated: tuple[str, ...] = ()
    """Points that the sheet does not give for this size (estimate.add_estimates)."""
    merchant_knee: float | None = None
    """The merchant's usual knee line by habit, inches below the crotch."""
    hem_allowance: float | None = None
    """Cloth turned up inside the hem."""

    def inches(self, point: str) -> float | None:
        figure = self.points.get(point)
        return None if figure is None else figure.inches

    @property
    def key(self) -> tuple[str, str, str]:
        return (self.garment_id, self.size, self.length)


def make_size(**inches: float | None) -> GarmentSize:
    """A garment from typed-in figures: `make_size(inseam=31, knee=18, leg_opening=22)`; knee_at is the knee line."""
    knee_at = inches.pop("knee_at", None)
    if strange := set(inches) - set(POINTS):
        raise TypeError(f"no points of measure: {', '.join(sorted(strange))}")
    points = {
        name: Point(float(value), at=knee_at if name == "knee" else None, at_from="crotch" if name == "knee" else "")
        for name, value in inches.items()
        if value is not None
    }
    return GarmentSize(points=MappingProxyType(points))


def size_from_row(row: Mapping[str, Any]) -> GarmentSize:
    """A row of `sizes` joined with its garment, as a mapping.

    Beside the view's columns (POINT, POINT_to, POINT_status, POINT_figure) it may hold what a figure says more:
    POINT_minus, POINT_plus (tolerance), POINT_at, POINT_at_from, POINT_basis; `hem_allowance` and `waist_stretched`;
    POINT_stated and `tape_note` where taped pairs were reckoned with (tape.apply_tape); `estimated` and `estimate_note`
    where figures of another size serve (estimate.add_estimates); `merchant_knee`, the knee line by habit.
    """
    points = {}
    for name in POINTS:
        low = _number(row.get(name))
        if low is None:
            continue
        high = _number(row.get(f"{name}_to"))
        figure = _text(row.get(f"{name}_figure"))
        points[name] = Point(
            inches=low if high is None else (low + high) / 2,
            spread=0.0 if high is None else abs(high - low) / 2,
            minus=_number(row.get(f"{name}_minus")),
            plus=_number(row.get(f"{name}_plus")),
            at=_number(row.get(f"{name}_at")),
            at_from=_text(row.get(f"{name}_at_from")),
            status=_text(row.get(f"{name}_status")) or "accepted",
            basis=_text(row.get(f"{name}_basis")),
            figure=figure,
            stated=_number(row.get(f"{name}_stated")),
        )
    price = _number(row.get("price"))
    words = ("garment_id", "merchant", "style", "style_code", "block", "silhouette", "fabric", "state", "currency",
             "colour", "url", "size", "size_system", "length")  # fmt: skip
    return GarmentSize(
        points=MappingProxyType(points),
        stretch=_number(row.get("stretch")),
        price=None if price is None else Decimal(str(row["price"])),
        waist_stretched=_number(row.get("waist_stretched")),
        hem_allowance=_number(row.get("hem_allowance")),
        notes=tuple(
            note for name in ("estimate_note", "tape_note") for note in _text(row.get(name)).split("\n") if note
        ),
        estimated=tuple(_text(row.get("estimated")).split()),
        merchant_knee=_number(row.get("merchant_knee")),
        **{word: _text(row.get(word)) for word in words},
    )


def tolerance_band(point: Point, usual: float) -> Band:
    """How far the real pair may lie from the figure: the sheet's tolerance, else the usual one, and a printed range."""
    minus = usual if point.minus is None else point.minus
    plus = usual if point.plus is None else point.plus
    return Band(-minus - point.spread, plus + point.spread)


def _number(value: object) -> float | None:
    """None for a missing value, however a frame or a database spells it."""
    if value is None or isinstance(value, str | bool):
        return None
    try:
        number = float(value)  # type: ignore[arg-type]
    except TypeError:  # pandas.NA
        return None
    return None if math.isnan(number) else number


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""
