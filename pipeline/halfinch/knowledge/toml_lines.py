"""On which line of a TOML file a key stands; `tomllib` parses but does not say."""

from __future__ import annotations

import re

KeyPath = tuple[str | int, ...]
"""Keys from the top of the file; an int is the position (from 0) within an array of tables."""

_KEY_PART = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\]|\\.)*"|'[^']*')"""
_DOTTED = rf"{_KEY_PART}(?:\s*\.\s*{_KEY_PART})*"
_HEADER = re.compile(rf"^\s*(\[\[?)\s*({_DOTTED})\s*\]\]?")
_ASSIGNMENT = re.compile(rf"^\s*({_DOTTED})\s*=(.*)$")
_INLINE_KEY = re.compile(rf"[{{,]\s*({_DOTTED})\s*=")
_STRINGS = re.compile(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'')


def index_lines(text: str) -> dict[KeyPath, int]:
    """Map each key path of a valid TOML text to its 1-based line; inline tables share the line they stand on."""
    lines: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    table: KeyPath = ()
    depth = 0
    quote = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if quote:
            quote = "" if quote in line else quote
            continue
        if depth == 0:
            header = _HEADER.match(line)
            if header:
                table = _table_path(_split_key(header[2]), header[1] == "[[", counts)
                for end in range(1, len(table) + 1):
                    lines.setdefault(table[:end], number)
                continue
            assignment = _ASSIGNMENT.match(line)
            if assignment is None:
                continue
            path = table + _split_key(assignment[1])
            lines.setdefault(path, number)
            for inner in _INLINE_KEY.finditer(assignment[2]):
                lines.setdefault(path + _split_key(inner[1]), number)
            line = assignment[2]
        bare = _STRINGS.sub("", line.replace('"""', "\0").replace("'''", "\1"))
        bare = bare.split("#", 1)[0]
        if bare.count("\0") % 2 or bare.count("\1") % 2:
            quote = '"""' if "\0" in bare else "'''"
            continue
        depth += bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")
    return lines


def find_line(lines: dict[KeyPath, int], path: KeyPath) -> int:
    """The line of `path`, or of the nearest table around it; 1 when the file has neither."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return 1


def _split_key(dotted: str) -> KeyPath:
    return tuple(part.strip().strip("\"'") for part in re.findall(_KEY_PART, dotted))


def _table_path(keys: KeyPath, repeated: bool, counts: dict[KeyPath, int]) -> KeyPath:
    """Insert the position of each array of tables on the way: [[row]] twice gives ("row", 0) and ("row", 1)."""
    path: KeyPath = ()
    for position, key in enumerate(keys):
        path = (*path, key)
        last = position == len(keys) - 1
        if last and repeated:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path
