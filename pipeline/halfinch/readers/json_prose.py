"""Running text inside JSON: lists of sentences and strings of several lines become texts.

Only what reads like text is taken: lines with several words or a colon, and a figure or a colon somewhere among them.
Lists that are columns of a table, lists of sizes, colours and tags stay with `json_grids`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from halfinch.readers.json_values import NAME_KEYS, escape, scalar_text, unfold

MAX_DEPTH = 24
LEAST_WORDS = 3
_TOLD = re.compile(r"[:：=)]\s*\S")
_FIGURE = re.compile(r"[\d½¼¾]|[:：=)]\s*\S|^\s*[A-Za-z]\s*[-–—.]\s")


@dataclass(frozen=True, slots=True)
class Passage:
    """Lines with their JSON pointers; `name` is that of the object they stand in, '' if it has none."""

    name: str
    path: str
    lines: tuple[tuple[str, str], ...]


def take_passages(value: object, path: str, depth: int = 0) -> tuple[object, list[Passage]]:
    """The value without its running text, and this."""
    if depth > MAX_DEPTH:
        return value, []
    found: list[Passage] = []
    if isinstance(value, list):
        kept: list[object] = []
        for number, item in enumerate(value):
            rest, more = take_passages(item, f"{path}/{number}", depth + 1)
            kept.append(rest)
            found += more
        return (kept if found else value), found
    if not isinstance(value, dict):
        return value, []
    rest_of: dict[str, object] = {}
    for key, item in value.items():
        where = f"{path}/{escape(key)}"
        lines = lines_of(item, where, value)
        if lines:
            found.append(Passage(name_in(value), path, lines))
            continue
        rest_of[key], more = take_passages(item, where, depth + 1)
        found += more
    return (rest_of if found else value), found


def lines_of(item: object, path: str, holder: dict[str, object]) -> tuple[tuple[str, str], ...]:
    """The lines of a member that is running text; none for anything else."""
    if isinstance(item, str):
        parts = [line.strip() for line in item.splitlines() if line.strip()]
        lines = tuple((line, path) for line in parts) if len(parts) > 1 and unfold(item) is item else ()
    elif (
        isinstance(item, list) and item and all(isinstance(part, str) for part in item) and not is_column(item, holder)
    ):
        lines = tuple((scalar_text(part), f"{path}/{number}") for number, part in enumerate(item) if part.strip())
    else:
        lines = ()
    telling = sum(len(text.split()) >= LEAST_WORDS or _TOLD.search(text) is not None for text, _ in lines)
    return lines if telling * 2 >= len(lines) and any(_FIGURE.search(text) for text, _ in lines) else ()


def is_column(item: list[object], holder: dict[str, object]) -> bool:
    """Whether other members are as long, or are rows of this width: then it is part of a table."""
    for other in holder.values():
        if other is item or not isinstance(other, list) or not other:
            continue
        if len(other) == len(item) > 1 or any(isinstance(row, list) and len(row) == len(item) for row in other):
            return True
    return False


def name_in(holder: dict[str, object]) -> str:
    """What an object is called."""
    return next((text for key in NAME_KEYS if isinstance(text := holder.get(key), str) and text.strip()), "")
