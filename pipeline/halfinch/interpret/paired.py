"""A waist printed relaxed and stretched in one cell ("13 3/4 / 18"): two figures, the lesser is the relaxed one."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from halfinch.interpret.facets import Reader
from halfinch.knowledge import Knowledge
from halfinch.normalise.numbers import Printed, read_number
from halfinch.normalise.point_labels import PointLabel

BOTH = frozenset({"relaxed", "stretched"})
_SPACED = re.compile(r"\s+(?:/|\||-|–|—|→|~|>|to|bis|à|a)\s+|\s*(?:\||→|\|\|)\s*")
_TIGHT = re.compile(r"(?<=[\d½¼¾⅛⅜⅝⅞\"”″a-z])\s*[/–—~-]\s*(?=\d{2})")


def split_pair(text: str, label: PointLabel, reader: Reader) -> tuple[Printed, Fraction] | None:
    """The relaxed figure and the stretched value in the same unit; None for a label that does not say both, and for a
    cell that does not hold two such figures."""
    if not label.qualifiers >= BOTH:
        return None
    for pattern in (_SPACED, _TIGHT):
        parts = [part for part in pattern.split(text.strip()) if part]
        if len(parts) != 2:
            continue
        one, other = (read_number(part, decimal=reader.decimal) for part in parts)
        if one is None or other is None or not (is_plain(one) and is_plain(other)):
            continue
        unit = one.unit or other.unit
        if {one.unit or unit, other.unit or unit} != {unit}:
            continue
        relaxed, stretched = sorted((one, other), key=lambda printed: printed.value)
        if may_be_stretched(relaxed.value, stretched.value, reader.knowledge):
            return replace(relaxed, unit=unit), stretched.value
    return None


def is_plain(printed: Printed) -> bool:
    """One figure and nothing else."""
    return printed.kind == "single" and not (printed.rest or printed.doubt or printed.second or printed.convention)


def may_be_stretched(relaxed: Fraction, stretched: Fraction, knowledge: Knowledge) -> bool:
    """Whether the greater can be the lesser pulled out."""
    limits = knowledge.ranges.range["stretched_over_relaxed"].limits
    return relaxed > 0 and limits.low <= stretched / relaxed <= limits.high
