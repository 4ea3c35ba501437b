"""A body file is changed: what was typed anew takes the place of what stood there, everything else stays to the letter.

Comments, ease, budget, further pairs and keys that no form shows are kept (tomlkit).
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from halfinch.errors import BodyError
from halfinch.fit.body import BANDS, MEASURES
from halfinch.fit.body_file import read_body
from halfinch.fit.body_text import Answers
from halfinch.knowledge import Knowledge

PAIR_KEYS = ("name", "inseam", "front_rise", "leg_opening", "worn_with", "clearance")


def read_answers(text: str) -> Answers:
    """What a body file says, as it would be typed: "27 1/4 in", "9 to 10 in"."""
    import tomllib

    data = tomllib.loads(text)
    taste = data.get("taste", {})
    return Answers(
        name=str(data.get("name", "")),
        measures={key: as_typed(data[key]) for key in (*MEASURES, *BANDS) if key in data},
        shoes=tuple((str(shoe.get("name", "")), as_typed(shoe.get("lift", ""))) for shoe in data.get("shoes", [])),
        silhouettes=tuple(taste.get("silhouettes", ())),
        most_opening=as_typed(taste.get("most_opening", "")),
        pairs=tuple({key: as_typed(pair[key]) for key in PAIR_KEYS if key in pair} for pair in data.get("pairs", [])),
    )


def as_typed(value: Any) -> str:
    """One value of a body file as somebody would type it; how well it was taken (`within`) is left out."""
    if isinstance(value, Mapping):
        return f"{value.get('value', '')} {value.get('unit', '')}".strip()
    if isinstance(value, list):
        return " to ".join(as_typed(end) for end in value)
    return str(value)


def edit_text(text: str, answers: Answers, knowledge: Knowledge) -> str:
    """The file's text with the answers in it; what was not changed is not touched. Raises BodyError."""
    import tomlkit

    document = tomlkit.parse(text)
    before = read_answers(text)
    _set(document, "name", before.name, answers.name)
    for key in (*MEASURES, *BANDS):
        if key in knowledge.measuring.measure:
            _set(document, key, before.measures.get(key, ""), answers.measures.get(key, ""))
    _edit_shoes(document, before, answers)
    _edit_pairs(document, before, answers)
    if answers.most_opening != before.most_opening or list(answers.silhouettes) != list(before.silhouettes):
        taste = document.setdefault("taste", tomlkit.table())
        _set(taste, "most_opening", before.most_opening, answers.most_opening)
        if list(answers.silhouettes) != list(before.silhouettes):
            taste["silhouettes"] = list(answers.silhouettes)
    changed = tomlkit.dumps(document)
    read_body(changed, "the body as answered", knowledge)
    return changed


def _set(table: Any, key: str, before: str, after: str) -> None:
    if after == before:
        return
    if after:
        table[key] = after
    else:
        table.remove(key)


def _edit_shoes(document: Any, before: Answers, answers: Answers) -> None:
    """Shoes keep their place; one whose name was emptied goes, further ones are added."""
    import tomlkit

    if list(answers.shoes) == list(before.shoes):
        return
    kept = list(document.get("shoes", []))
    made = tomlkit.aot()
    for at, (name, lift) in enumerate(answers.shoes):
        if not name:
            continue
        shoe = kept[at] if at < len(kept) else tomlkit.table()
        old = before.shoes[at] if at < len(before.shoes) else ("", "")
        _set(shoe, "name", old[0], name)
        _set(shoe, "lift", old[1], lift)
        made.append(shoe)
    if len(made):
        document["shoes"] = made
    elif "shoes" in document:
        document.remove("shoes")


def _edit_pairs(document: Any, before: Answers, answers: Answers) -> None:
    """Pairs keep their place and what no form asks; one of which nothing is left goes, further ones are added."""
    import tomlkit

    typed = [{key: value for key, value in pair.items() if value} for pair in answers.pairs]
    if typed == [dict(pair) for pair in before.pairs]:
        return
    kept = list(document.get("pairs", []))
    made = tomlkit.aot()
    for at in range(max(len(typed), len(kept))):
        new = typed[at] if at < len(typed) else {}
        old = before.pairs[at] if at < len(before.pairs) else {}
        if not new and (old or at >= len(kept)):
            continue
        pair = kept[at] if at < len(kept) else tomlkit.table()
        for key in PAIR_KEYS:
            _set(pair, key, old.get(key, ""), new.get(key, ""))
        made.append(pair)
    if len(made):
        document["pairs"] = made
    elif "pairs" in document:
        document.remove("pairs")


def replace_body(path: Path, text: str) -> None:
    """Writes a body file that is there already, whole, for its owner alone (mode 600). Raises BodyError."""
    part = path.with_name(f".{path.name}.part-{os.getpid()}")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except OSError as error:
        raise BodyError(f"{path}: cannot be written ({error.strerror}); name another place.") from None
    finally:
        part.unlink(missing_ok=True)
