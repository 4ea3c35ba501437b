"""What the files of fitting hold: silhouettes, lengths, clearances, shoes, prices, style rules, verdict, stretch.

Fields are the files' keys; see `halfinch.knowledge.reading`. A class without fields means: not written yet, the file
may be absent.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Silhouettes:
    """`silhouettes.toml`."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """`lengths.toml`."""


@dataclass(frozen=True, slots=True)
class Clearances:
    """`clearances.toml`."""


@dataclass(frozen=True, slots=True)
class Shoes:
    """`shoes.toml`."""


@dataclass(frozen=True, slots=True)
class Prices:
    """`prices.toml`."""


@dataclass(frozen=True, slots=True)
class StyleRules:
    """`style_rules.toml`."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """`verdict.toml`."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """`stretch.toml`."""
