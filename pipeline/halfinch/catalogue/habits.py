"""How merchants measure and print, as a person said it in `merchants.toml` beside the catalogue."""

from __future__ import annotations

import tomllib
from pathlib import Path

from halfinch.errors import KnowledgeError

Habits = dict[str, object]

NAME = "merchants.toml"


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
