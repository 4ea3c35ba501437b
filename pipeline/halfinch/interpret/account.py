"""The account of one interpretation, as plain frozen values: what competed, by how much it won, what was left out.

Made by `recording.Recorder`, shown by `present.why` and `present.seen`. Places are those of the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sense:
    """What one printed text of a grid was taken for."""

    place: str
    text: str
    taken_as: str
    """"waist, flat", "size 12", "tolerance", "figure" ...; '' where it was not understood."""
    left_over: str = ""
    """Words of it that were not understood."""
    read_over: bool = False
    """Understood, and no figure of ours: total rise, high hip ..."""


@dataclass(frozen=True, slots=True)
class Told:
    """What one text around the grids says of them."""

    place: str
    text: str
    says: tuple[str, ...]
    """"unit: cm", "style: Alma" ...; empty where nothing in it counts."""


@dataclass(frozen=True, slots=True)
class PassedOver:
    """A grid or text that was left out on purpose."""

    place: str
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Way:
    """One way to read a band, with its evidence."""

    way: str
    score: float
    figures: int
    worth: float
    """What its figures count before the numbers it leaves over are taken off."""
    points: tuple[str, ...]
    """"waist 5", "inseam 5": figures by point."""
    left_over: tuple[str, ...]
    """Numbers that it cannot account for, as printed."""


@dataclass(frozen=True, slots=True)
class Band:
    """A band of a grid: the ways that competed, best first, and what became of the winner."""

    place: str
    block: int
    around: tuple[str, ...]
    """What its surroundings say, nearest first."""
    ways: tuple[Way, ...]
    senses: tuple[Sense, ...]
    asked: float
    """The winner has to score this many times a rival that says something else."""
    subject: str = ""
    """garment | body | unclear | other; '' where nothing could be read."""
    because: tuple[str, ...] = ()
    kept: int = 0
    """Figures of the winner that stayed."""

    @property
    def margin(self) -> float | None:
        """How many times the runner-up the winner scores; None where nothing competes with it."""
        if len(self.ways) < 2 or self.ways[1].score <= 0:
            return None
        return self.ways[0].score / self.ways[1].score


@dataclass(frozen=True, slots=True)
class UnitChoice:
    """How well the figures of a block suit each unit."""

    block: int
    figures: int
    said: str
    scores: tuple[tuple[str, float], ...]
    """(unit, 0..1), best first."""


@dataclass(frozen=True, slots=True)
class Rival:
    """A combination of flat and round with its score; costs, so the best is nearest to 0 from below."""

    chosen: tuple[tuple[str, str], ...]
    score: float


@dataclass(frozen=True, slots=True)
class Margin:
    """One point of a block: what the best combination says, and how much worse the best one without it is."""

    point: str
    taken: str
    by: float
    asked: float
    """How far ahead it has to be; else the point is held."""


@dataclass(frozen=True, slots=True)
class ConventionChoice:
    """Flat or round for the points that do not say it, of tables that are laid out alike."""

    blocks: tuple[int, ...]
    margins: tuple[Margin, ...]
    rivals: tuple[Rival, ...]
    """The best few combinations, best first."""


@dataclass(frozen=True, slots=True)
class Settled:
    """Figures of one block and point: their unit and convention, and who said so."""

    block: int
    point: str
    figures: int
    unit: str
    unit_from: str
    convention: str
    convention_from: str


@dataclass(frozen=True, slots=True)
class Account:
    """All of it, for one sheet."""

    told: tuple[Told, ...]
    bands: tuple[Band, ...]
    units: tuple[UnitChoice, ...]
    conventions: tuple[ConventionChoice, ...]
    settled: tuple[Settled, ...]
    passed_over: tuple[PassedOver, ...]
