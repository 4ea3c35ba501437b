"""`currencies.toml`: signs and words of currencies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Currency:
    """One currency by its ISO 4217 code."""

    name: str
    signs: tuple[str, ...]
    languages: tuple[str, ...] = ()
    because: str = ""


@dataclass(frozen=True, slots=True)
class Currencies:
    """`currencies.toml`."""

    currency: Mapping[str, Currency]
