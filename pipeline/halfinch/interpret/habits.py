"""What is known of the merchant beforehand, where the sheet does not say it: rise, tolerance, knee line.

Unit and flat or round are weighed together with the figures, in units.py and conventions.py. Whatever a habit decided
is named in a finding of the rule `habit`; what it contradicts is held by `habit-contradicted`.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from halfinch.figure import Figure, Finding
from halfinch.interpret.evidence import suits_somehow
from halfinch.interpret.raw import RawFigure
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_habits import Habits
from halfinch.normalise.units import to_nm

HABIT, CONTRADICTED = "habit", "habit-contradicted"
FILE = "merchants.toml"
_RISES = ("front_rise", "back_rise")


def apply_rise(raws: list[RawFigure], habits: Habits, knowledge: Knowledge) -> tuple[list[RawFigure], list[RawFigure]]:
    """Gives a bare "rise" its meaning, and rises the band that they do not speak of; (figures, those not ours).

    Only what the habit changes is noted: "rise" is the front rise with the band unless something says otherwise.
    """
    kept: list[RawFigure] = []
    read_over: list[RawFigure] = []
    beside = {raw.block for raw in raws if raw.point == "back_rise"}
    for raw in raws:
        if raw.point == "front_rise" and raw.label is not None and raw.label.bare_rise:
            if habits.rise == "total" and _settle_total(raw, knowledge):
                read_over.append(raw)
                continue
            if habits.rise == "front":
                raw.facets = replace(raw.facets, point=replace(raw.label, bare_rise=False))
            if habits.rise == "back" and raw.block not in beside:  # beside a back rise it can only be the front
                raw.point = "back_rise"
                raw.notes.append((HABIT, f"“rise” is read as the back rise, as this merchant means it ({FILE})"))
        if raw.point in _RISES and habits.rise_band == "without" and not _band_said(raw):
            raw.facets = replace(raw.facets, qualifiers=raw.facets.qualifiers | {"without_band"})
            raw.notes.append((HABIT, f"the rise is without the waistband, as this merchant measures it ({FILE})"))
        kept.append(raw)
    return kept, read_over


def _settle_total(raw: RawFigure, knowledge: Knowledge) -> bool:
    """Whether the figure can be a total rise; one that cannot contradicts the habit and is held."""
    if suits_somehow(knowledge, "total_rise", raw.printed.value, raw.printed.unit or raw.facets.unit):
        return True
    raw.hold(
        CONTRADICTED,
        f"no total rise measures this, but this merchant's “rise” is the total rise ({FILE}); say which it is, or mend "
        "the habit",
    )
    return False


def _band_said(raw: RawFigure) -> bool:
    said = (raw.label.qualifiers if raw.label is not None else frozenset()) | raw.facets.qualifiers
    return bool({"with_band", "without_band"} & said)


def note_read_over(read_over: list[RawFigure]) -> list[Finding]:
    """One note on the sheet about total rises that were read over."""
    if not read_over:
        return []
    message = f"“rise” is the total rise, as this merchant means it ({FILE}): {len(read_over)} figures read over"
    return [Finding(HABIT, "note", message, place=read_over[0].place)]


def fill_in(figures: list[Figure], habits: Habits) -> tuple[list[Figure], list[Finding]]:
    """Tolerances and knee lines that the sheet does not state, by habit; a finding for each point that got one.

    What was printed is not touched by it, so the status stays.
    """
    filled: list[Figure] = []
    got: dict[str, list[int]] = {}
    for index, figure in enumerate(figures):
        usual = habits.tolerance.of(figure.point)
        if usual is not None and figure.tolerance_minus_nm is None and figure.tolerance_plus_nm is None:
            width = to_nm(usual, "in")
            figure = replace(figure, tolerance_minus_nm=width, tolerance_plus_nm=width)
            said = f"{figure.point.replace('_', ' ')} +/- {_plain(usual)} in"
            got.setdefault(f"tolerance not stated: {said}, as this merchant keeps it ({FILE})", []).append(index)
        filled.append(figure)
    return filled, [Finding(HABIT, "note", message, figures=tuple(indices)) for message, indices in got.items()]


def _plain(value: Fraction) -> str:
    return f"{float(value):g}"
