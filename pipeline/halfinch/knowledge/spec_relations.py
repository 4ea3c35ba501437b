"""`relations.toml`: how the points of one size stand to one another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from halfinch.knowledge.reading import Span


@dataclass(frozen=True, slots=True)
class Relation:
    """`of` against `to`: difference in inches (of less the sum of to) or ratio."""

    name: str
    of: str
    to: tuple[str, ...]
    form: Literal["difference", "ratio"]
    limits: Span
    usual: Span
    because: str

    def check(self) -> str:
        inside = self.usual.low in self.limits and self.usual.high in self.limits
        return "" if inside else "usual: has to lie inside the limits"


@dataclass(frozen=True, slots=True)
class Relations:
    """The root of the file."""

    relation: Mapping[str, Relation]
