"""A plan: what one garment size is for one body, as bought or hemmed, with the reason for everything.

plan = make_plan(garment, body, knowledge)
plan.verdict, plan.cut, plan.opening, plan.points, plan.chance
"""

from __future__ import annotations

from dataclasses import dataclass, field

from halfinch.fit.body import Band, Shoe
from halfinch.fit.chance import Chance
from halfinch.fit.garment import GarmentSize
from halfinch.fit.leg import Hang, Opening, Shaft, Target
from halfinch.fit.price import Price
from halfinch.fit.style import Advice
from halfinch.fit.top import Level
from halfinch.fit.verdict import Judged


@dataclass(frozen=True, slots=True)
class HemFor:
    """The cut under another supposition ("no shrinkage", "the seam hangs 1/2 in lower")."""

    when: str
    cut: float
    finished: float


@dataclass(frozen=True, slots=True)
class Leg:
    """All that is said of the leg. Inches; None: not known."""

    inseam: float | None = None
    """As it will be once washed (middle of the range)."""
    shrinks_by: float = 0.0
    """Half width of that range."""
    target: Target | None = None
    cut: float | None = None
    """Positive: take up; negative: too short."""
    finished: float | None = None
    """Inseam as worn: the target where a hem is due, else the garment's own."""
    turn_up: float = 0.0
    opening: Opening | None = None
    knee_at: Band | None = None
    knee_known: str = ""
    knee_gap: Band | None = None
    """Garment's knee above (+) or below (-) the wearer's."""
    hangs: tuple[Hang, ...] = ()
    """That hem in each pair of shoes, the first one aimed at; last barefoot."""
    safe_inseam: float | None = None
    """Longest finished inseam with the least clearance in all named shoes."""
    safe_cut: float | None = None
    """What to take up for that; only where the hem as planned calls for caution."""
    shafts: tuple[Shaft, ...] = ()
    others: tuple[HemFor, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """One garment size for one body."""

    garment: GarmentSize
    verdict: str
    points: tuple[Judged, ...]
    leg: Leg
    silhouette: str = ""
    silhouette_inferred: bool = False
    shoe: Shoe | None = None
    level: Level | None = None
    gap: float | None = None
    """Garment waist less the body's girth where the band sits; only where hip and thigh fit."""
    rise_miss: float | None = None
    alterations: tuple[str, ...] = ()
    price: Price = field(default_factory=Price)
    advice: tuple[Advice, ...] = ()
    style: float = 0.0
    chance: Chance | None = None
    """Of the decisive points that are known, in the state the verdict speaks of; None: not reckoned or none known."""
    chance_complete: bool = False
    """Whether every decisive point was in it."""
    chance_as_bought: float | None = None
    chance_hemmed: float | None = None
    cautions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    advises: tuple[str, ...] = ()

    @property
    def not_known(self) -> tuple[Judged, ...]:
        return tuple(point for point in self.points if point.state == "not known")

    @property
    def asks(self) -> tuple[str, ...]:
        """What to ask the merchant for."""
        return tuple(dict.fromkeys(point.ask for point in self.not_known if point.ask_whom == "merchant"))

    def point(self, name: str) -> Judged | None:
        return next((point for point in self.points if point.point == name), None)


BEFORE_CUTTING = ("wash first", "try on in the shoes", "a cut usually ends the right of return")
"""Common practice, said with every plan that takes up or lets down."""
