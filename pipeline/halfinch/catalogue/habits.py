"""How merchants measure and print, as a person said it in `merchants.toml` beside the catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from pathlib import Path

from halfinch.catalogue.identity import slug
from halfinch.catalogue.lake.objects import beside
from halfinch.errors import KnowledgeError
from halfinch.knowledge.reading import find_key_line, read_tables
from halfinch.knowledge.spec_habits import Habits

AllHabits = Mapping[str, Habits]
"""Merchant, as written in the file, to its habits."""

NAME = "merchants.toml"


def habits_of(habits: AllHabits | None, merchant: str) -> Habits | None:
    """One merchant's habits, however its name is written; None where none are known."""
    wanted = slug(merchant)
    if not wanted:
        return None
    return next((said for name, said in (habits or {}).items() if slug(name) == wanted), None)


def habits_file(catalogue: Path) -> Path:
    """Where the habits of a catalogue stand, whether or not there are any; of a lake in S3 in the folder of work."""
    return beside(catalogue, NAME)


def load_habits(catalogue: Path) -> AllHabits | None:
    """The habits in force for a catalogue, None where there is no file. Raises KnowledgeError naming the line."""
    path = habits_file(catalogue)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError) as error:
        raise KnowledgeError(f"{path} cannot be read ({error}).") from error
    return read_habits(text, path) or None


def read_habits(text: str, path: Path) -> AllHabits:
    """As load_habits, from text at hand; `path` is for the messages."""
    habits = read_tables(text, Habits, str(path))
    seen: dict[str, str] = {}
    for name in habits:
        merchant = slug(name)
        if not merchant:
            raise KnowledgeError(f"{path}, {name!r}: this names no merchant.")
        if merchant in seen:
            raise KnowledgeError(f"{path}, {name}: the same merchant as [{seen[merchant]}]; join the two tables.")
        seen[merchant] = name
    return habits


def strangers(catalogue: Path, habits: AllHabits | None, merchants: Iterable[str]) -> list[str]:
    """A sentence for each merchant of the file of whom the catalogue holds nothing: a slip of the pen, or not yet."""
    known = {slug(merchant): merchant for merchant in merchants if slug(merchant)}
    found = []
    for name in habits or {}:
        if slug(name) in known:
            continue
        near = get_close_matches(slug(name), known, n=1, cutoff=0.6)
        path = habits_file(catalogue)
        line = find_key_line(path, (name,))
        hint = f"; did you mean [{near[0]}]?" if near else "."
        found.append(f"{path}, line {line}: the catalogue holds no sheet of a merchant called {name!r}{hint}")
    return found
