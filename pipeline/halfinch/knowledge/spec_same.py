"""`same_style.toml`: what speaks for two garments of the catalogue being one style, and by how much."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

WEIGHTS = (
    "same_code", "alike_code", "other_code", "same_name", "alike_name", "other_number", "same_figures",
    "other_merchant", "same_silhouette", "other_silhouette", "other_block", "alike_fabric",
)  # fmt: skip
LIMITS = ("propose", "name", "fabric", "figures", "common")


@dataclass(frozen=True, slots=True)
class Number:
    """One weight or limit."""

    value: Fraction
    because: str


@dataclass(frozen=True, slots=True)
class SameStyle:
    """The root of the file."""

    weight: Mapping[str, Number]
    limit: Mapping[str, Number]

    def check(self) -> str:
        for name, rows, wanted in (("weight", self.weight, WEIGHTS), ("limit", self.limit, LIMITS)):
            if set(rows) != set(wanted):
                return f"{name}: has to have exactly these rows: {', '.join(wanted)}"
        return ""
