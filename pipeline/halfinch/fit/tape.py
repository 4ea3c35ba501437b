"""What taped pairs teach about a merchant's figures: a mean difference drawn towards none while there are few.

For one merchant and point let d be taped less stated. Before any pair is taped the mean difference is thought to be
normal about 0, as wide as the point's usual tolerance T; single pairs scatter about it by s. After n pairs (conjugate
normal prior, any textbook of Bayesian statistics):

    mean = n dbar / (n + s^2 / T^2)        variance = 1 / (n / s^2 + 1 / T^2)

s^2 is itself drawn towards a rectangular tolerance, T^2 / 3, by as much as `PRIOR` further pairs would. A new pair then
lies at stated + mean with standard uncertainty sqrt(s^2 + variance). The sheet's figure itself is never written over.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isnan, sqrt
from typing import TYPE_CHECKING

from halfinch.fit.words import say
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

PRIOR = 4.0
LENGTHS = ("inseam", "outseam", "front_rise", "back_rise")
"""What shrinks along the leg: taped washed it tells nothing of a sheet of unwashed pairs."""


@dataclass(frozen=True, slots=True)
class Offset:
    """One merchant and point. Inches, taped less stated; `used`: there are enough pairs for plans to reckon with it."""

    merchant: str
    point: str
    pairs: int
    raw_mean: float
    mean: float
    spread: float
    """Standard deviation of single pairs, drawn towards the usual tolerance's."""
    u: float
    """Standard uncertainty of the next pair's figure."""
    used: bool

    @property
    def note(self) -> str:
        way = "longer" if self.point in LENGTHS else "wider"
        if self.mean < 0:
            way = "shorter" if self.point in LENGTHS else "narrower"
        name = self.point.replace("_", " ")
        return (
            f"taped: {name} of {self.merchant} runs {say(abs(self.mean))} {way} than its sheets say "
            f"({self.pairs} pairs); reckoned with"
        )


def learn_offset(merchant: str, point: str, differences: Iterable[float], usual: float, least: int) -> Offset:
    """`usual`: the point's usual tolerance, inches; `least`: pairs from which on plans use it. At least one
    difference."""
    values = list(differences)
    count = len(values)
    mean = sum(values) / count
    scatter = sum((value - mean) ** 2 for value in values)
    variance = (PRIOR * usual**2 / 3 + scatter) / (PRIOR + count - 1)
    drawn = count * mean / (count + variance / usual**2)
    left = 1 / (count / variance + 1 / usual**2)
    return Offset(merchant, point, count, mean, drawn, sqrt(variance), sqrt(variance + left), count >= least)


def learn_offsets(book: pd.DataFrame, knowledge: Knowledge) -> tuple[Offset, ...]:
    """Every merchant and point of a tape book (catalogue.tapes.read_taped) that has something to compare, by name.

    A washed pair's lengths count only where the sheet is of washed pairs too.
    """
    least = int(knowledge.verdict.limit.tape_least.value)
    found: dict[tuple[str, str], list[float]] = {}
    for row in book.to_dict("records"):
        point, taped, stated = str(row["point"]), float(row["inches"] or "nan"), float(row["stated"])
        if isnan(taped) or isnan(stated) or point not in knowledge.points:
            continue
        if point in LENGTHS and row["state"] == "washed" and row["sheet_state"] != "washed":
            continue
        found.setdefault((str(row["merchant"]), point), []).append(taped - stated)
    return tuple(
        learn_offset(merchant, point, values, float(knowledge.points[point].tolerance), least)
        for (merchant, point), values in sorted(found.items())
        if merchant
    )


def apply_tape(frame: pd.DataFrame, offsets: Iterable[Offset]) -> pd.DataFrame:
    """The frame of sizes with what taped pairs taught: POINT moved, POINT_stated as the sheet has it, POINT_minus and
    POINT_plus the half width of the new doubt, `tape_note` what plans say about it. The frame given is not changed."""
    used = [offset for offset in offsets if offset.used]
    if not used or not len(frame):
        return frame
    frame = frame.copy()
    notes: dict[object, list[str]] = {}
    for offset in used:
        rows = (frame["merchant"] == offset.merchant) & frame[offset.point].notna()
        if not rows.any():
            continue
        half = sqrt(3) * offset.u
        for column in (offset.point, f"{offset.point}_to", f"{offset.point}_minus", f"{offset.point}_plus"):
            if column in frame.columns:
                frame[column] = frame[column].astype(float)
        if f"{offset.point}_stated" not in frame.columns:
            frame[f"{offset.point}_stated"] = float("nan")
        frame.loc[rows, f"{offset.point}_stated"] = frame.loc[rows, offset.point]
        frame.loc[rows, offset.point] += offset.mean
        if f"{offset.point}_to" in frame.columns:
            frame.loc[rows, f"{offset.point}_to"] += offset.mean
        frame.loc[rows, f"{offset.point}_minus"] = half
        frame.loc[rows, f"{offset.point}_plus"] = half
        for index in frame.index[rows]:
            notes.setdefault(index, []).append(offset.note)
    frame["tape_note"] = ["\n".join(notes.get(index, [])) for index in frame.index]
    return frame


def by_merchant(offsets: Iterable[Offset]) -> Mapping[str, list[Offset]]:
    """Offsets under their merchant, in order."""
    found: dict[str, list[Offset]] = {}
    for offset in offsets:
        found.setdefault(offset.merchant, []).append(offset)
    return found
