"""What a finding says, or an error of the rooms below, in the language and the unit of the page.

The catalogue keeps the English sentence. It is recognised by the English text of the same key in `messages/`
(`said.KEY`), its values are taken out by the names of their places, and put into the page's own text. A sentence that
no text knows stays as it was written, marked as English.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from halfinch.catalogue.tables import POINTS
from halfinch.plausibility.changes import CHANGES
from halfinch.present.papers.render import say_place
from halfinch.present.wording import Wording
from halfinch.workbench.texts import DEFAULT, Texts, all_texts

_POINT = "|".join(sorted({name.replace("_", "[_ ]") for name in POINTS}, key=len, reverse=True))
_NUMBER = r"-?\d+(?:\.\d+)?"
_READING = "|".join(re.escape(words) for words, _ in CHANGES.values())
KINDS = {
    "point": _POINT,
    "length": f"{_NUMBER} in",
    "lengths": f"{_NUMBER} in(?: and {_NUMBER} in)*",
    "number": _NUMBER,
    "figures": f"(?:{_POINT}) {_NUMBER}(?:, (?:{_POINT}) {_NUMBER})*",
    "word": "inches|centimetres|millimetres|metres|feet|flat|round|rise|outseam",
    "readings": f"(?:{_READING})(?: or (?:{_READING}))*",
    "place": "(?:[a-z]+=[^;)]*;?)+",
    "text": ".+?",
}
"""What stands in a place of a text, by its name without the number behind it. Numbers and lengths are inches."""


@dataclass(frozen=True, slots=True)
class Said:
    """`own`: in the language of the page; else as it was written, in English."""

    text: str
    own: bool


def say_finding(message: str, texts: Texts, wording: Wording) -> Said:
    """One sentence of a finding, message or suggestion."""
    for key, pattern in _patterns().items():
        if found := pattern.fullmatch(message):
            values = {name: _say(name.rstrip("0123456789"), value, texts, wording)
                      for name, value in found.groupdict().items()}  # fmt: skip
            return Said(texts.say(key, **values), True)
    return Said(message, texts.language == DEFAULT)


@cache
def _patterns() -> Mapping[str, re.Pattern[str]]:
    def place(found: re.Match[str]) -> str:
        return f"(?P<{found[1]}>{KINDS[found[1].rstrip('0123456789')]})"

    english = all_texts()[DEFAULT].texts
    return {
        key: re.compile(re.sub(r"\\\{(\w+)\\\}", place, re.escape(text)))
        for key, text in english.items()
        if key.startswith("said.")
    }


def _say(kind: str, value: str, texts: Texts, wording: Wording) -> str:
    if kind == "point":
        return wording.point(value)
    if kind == "number":
        return wording.number(float(value))
    if kind in ("length", "lengths"):
        shown = [wording.show(float(one.removesuffix(" in"))) for one in value.split(" and ")]
        return f" {texts.say('words_of.and')} ".join(shown)
    if kind == "figures":
        pairs = [one.rsplit(" ", 1) for one in value.split(", ")]
        return ", ".join(f"{wording.point(point)} {wording.number(float(number))}" for point, number in pairs)
    if kind == "readings":
        names = {words: name for name, (words, _) in CHANGES.items()}
        shown = [texts.say(f"words_of.{names[one]}") for one in value.split(" or ")]
        return f" {texts.say('words_of.or')} ".join(shown)
    if kind == "word":
        return texts.say(f"words_of.{value}")
    return say_place(value, wording) if kind == "place" else value
