"""What the interface says: `messages/LANGUAGE.toml`, a table a screen. Another language is another file."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

DEFAULT = "en"


@dataclass(frozen=True, slots=True)
class Texts:
    """One language's texts by key: "held.title"."""

    language: str
    name: str
    """The language by its own name."""
    texts: Mapping[str, str]

    def say(self, key: str, /, **values: object) -> str:
        """The text, `{name}` in it filled in. With `count` its `KEY.one` or `KEY.other` is taken. KeyError for a key
        that no language has: a test looks every used key up."""
        if "count" in values:
            key = f"{key}.{'one' if values['count'] == 1 else 'other'}"
        text = self.texts[key]
        return text.format(**values) if values else text

    def has(self, key: str) -> bool:
        return key in self.texts


@cache
def all_texts() -> Mapping[str, Texts]:
    """Language to its texts, English first."""
    folder = files("halfinch.workbench") / "messages"
    names = sorted(entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml"))
    names.sort(key=lambda name: name != DEFAULT)
    found = {}
    for name in names:
        data = tomllib.loads((folder / f"{name}.toml").read_text("utf-8"))
        found[name] = Texts(name, data["name"], dict(_flat(data)))
    return found


def _flat(table: Mapping[str, object], above: str = "") -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{key}.")
        else:
            yield f"{above}{key}", str(value)


def choose_language(wanted: str, accepted: str) -> str:
    """The cookie's language if there is one, else the first of `Accept-Language` that we speak, else English."""
    known = all_texts()
    if wanted in known:
        return wanted
    ranked = []
    for at, part in enumerate(accepted.split(",")[:20]):
        tag, _, quality = part.strip().partition(";q=")
        try:
            weight = float(quality or 1)
        except ValueError:
            weight = 0.0
        ranked.append((-weight, at, tag.split("-")[0].lower()))
    return next((tag for _, _, tag in sorted(ranked) if tag in known), DEFAULT)
