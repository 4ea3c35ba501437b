"""The body to be dressed, barefoot: plain values, inches. What is missing is None (not known), never 0.

A body is a person's data: its text form (`repr`) shows nothing, so that no log and no traceback can carry a measure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

HEIGHTS = ("height", "inseam", "knee_height", "waist_height", "hip_height")
GIRTHS = ("waist", "hip", "thigh", "knee", "calf", "heel_ankle")
OTHERS = ("front_crotch_arc", "crotch_drop")
BANDS = ("front_rise", "back_rise")
MEASURES = (*HEIGHTS, *GIRTHS, *OTHERS)
PAIR_POINTS = ("inseam", "front_rise", "back_rise", "waist", "hip", "thigh", "knee", "leg_opening")


@dataclass(frozen=True, slots=True)
class Band:
    """A range of inches, both ends inside. `middle` +/- `half` is the same as a rectangular term."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2

    @property
    def half(self) -> float:
        return (self.high - self.low) / 2

    def miss(self, value: float) -> float:
        """Negative: so much below the band; positive: above; 0 inside."""
        if value < self.low:
            return value - self.low
        return max(value - self.high, 0.0)

    def shift(self, by: float) -> Band:
        return Band(self.low + by, self.high + by)


@dataclass(frozen=True, slots=True, repr=False)
class Shoe:
    """Shoes that will be worn. `lift` is floor to the wearer's heel inside the shoe, as a band (a measured one has
    no width); None is not known. `estimated`: the lift is the usual one of the shoe's kind."""

    name: str
    lift: Band | None = None
    kind: str = ""
    estimated: bool = False
    toe: str = ""
    sole: str = ""
    shaft_height: float | None = None
    shaft_girth: float | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Pair:
    """A favourite pair: its own figures (inches), the shoes worn with it, how high its hem hangs in them."""

    name: str
    points: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    silhouette: str = ""
    look: str = ""
    """Row of clearances.toml; '' takes the silhouette's."""
    shoe: Shoe | None = None
    clearance: float | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Taste:
    """What the wearer likes. `clearance` by silhouette, '' for all of them."""

    silhouettes: tuple[str, ...] = ()
    clearance: Mapping[str, Band] = field(default_factory=lambda: MappingProxyType({}))
    most_opening: float | None = None
    turn_up: float = 0.0
    """Depth of a turn-up that is wanted; 0 is none wanted."""


@dataclass(frozen=True, slots=True, repr=False)
class Budget:
    """What may be spent on garment and alterations, and which of the tailor's rates hold."""

    most: Decimal | None = None
    currency: str = ""
    rates: tuple[str, ...] = ()
    pairs: int = 1
    """How many pairs are brought to the tailor at once."""


@dataclass(frozen=True, slots=True, repr=False)
class Body:
    """One body file. Inches; None is not known."""

    name: str = ""
    invented: bool = False
    """A made-up body (demo, tests): nobody's data, so its file may be read by anyone."""
    height: float | None = None
    inseam: float | None = None
    """Crotch to floor, barefoot."""
    knee_height: float | None = None
    waist_height: float | None = None
    hip_height: float | None = None
    waist: float | None = None
    hip: float | None = None
    thigh: float | None = None
    knee: float | None = None
    calf: float | None = None
    heel_ankle: float | None = None
    front_crotch_arc: float | None = None
    """Crotch to waist along the front."""
    crotch_drop: float | None = None
    """How far below the body's crotch the seam hangs."""
    front_rise: Band | None = None
    """The band of front rise that is comfortable."""
    back_rise: Band | None = None
    within: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    """How well a measure was taken, +/- inches, where the file says so."""
    ease: Mapping[str, Band] = field(default_factory=lambda: MappingProxyType({}))
    """The wearer's own ease by point, in place of the silhouette's."""
    shoes: tuple[Shoe, ...] = ()
    pairs: tuple[Pair, ...] = ()
    taste: Taste = Taste()
    budget: Budget = Budget()
    warnings: tuple[str, ...] = ()
    """What the file's owner should know (its mode, ...). Never a measure."""

    def __repr__(self) -> str:
        return "Body(private)"

    def measure(self, key: str) -> float | None:
        """A measure by its key in the body file."""
        value: float | None = getattr(self, key)
        return value
