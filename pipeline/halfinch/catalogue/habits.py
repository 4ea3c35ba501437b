"""How merchants measure and print, as a person said it in `merchants.toml` beside the catalogue."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from halfinch.catalogue.identity import slug
from halfinch.errors import KnowledgeError

Habits = Mapping[str, Any]
"""Merchant to what is known of how it measures and prints: `[maison-elan]` with `unit = "cm"` and alike."""

NAME = "merchants.toml"


def habits_of(habits: Mapping[str, Any] | None, merchant: str) -> Mapping[str, Any] | None:
    """One merchant's habits, however its name is written; None where none are known."""
    wanted = slug(merchant)
    for name, said in (habits or {}).items():
        if wanted and slug(name) == wanted and isinstance(said, Mapping):
            return said
    return None


def load_habits(catalogue: Path) -> Habits | None:
    """The habits in force for a catalogue, None where there is no file. Raises KnowledgeError naming the line."""
    path = catalogue.parent / NAME
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError) as error:
        raise KnowledgeError(f"{path} cannot be read ({error}).") from error
    try:
        return tomllib.loads(text) or None
    except tomllib.TOMLDecodeError as error:
        raise KnowledgeError(f"{path} is no TOML: {error}.") from error
