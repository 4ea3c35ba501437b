"""What `units.toml` and `size_systems.toml` hold. Fields are the files' keys; see `halfinch.knowledge.reading`."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Units:
    """`units.toml`: a class without fields means: not written yet, the file may be absent."""


@dataclass(frozen=True, slots=True)
class SizeSystems:
    """`size_systems.toml`."""
