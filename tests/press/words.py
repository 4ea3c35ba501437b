"""Words of one language and what a merchant makes of them: case, codes, numbering, qualifiers."""

from __future__ import annotations

import random
import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any

LABELS = Path(__file__).parent / "labels"
LANGUAGES = tuple(sorted(path.stem for path in LABELS.glob("*.toml")))
BEFORE = {"1/2", "½", "halbe", "mezza", "metà"}


@lru_cache
def load_words(language: str) -> dict[str, Any]:
    return tomllib.loads((LABELS / f"{language}.toml").read_text("utf-8"))


WAYS = ["as is", "upper", "lower", "title", "code", "number", "colon", "dots", "two lines", "spaced"]
WEIGHTS = [10, 2, 2, 2, 2, 1, 2, 1, 1.5, 0.4]


def draw_label(rng: random.Random, language: str, point: str, convention: str) -> str:
    """`convention`: plain | flat | round, what the label itself says."""
    words = load_words(language)
    listed = words["points"][point]
    if convention not in listed:
        return rng.choice(listed["plain"])
    if convention != "plain" and rng.random() < 0.4:
        mark = rng.choice(words[f"{convention}_marks"])
        base = rng.choice(listed["plain"][:2])
        if mark in BEFORE:
            return f"{mark} {base[0].lower() + base[1:] if base[1:2].islower() else base}"
        return f"{base} {mark}" if language not in ("zh", "ja") else base + mark
    return rng.choice(listed[convention])


def choose_way(rng: random.Random, coded: bool) -> str:
    """How labels are dressed; `coded` allows codes, numbers and breaks in them."""
    way = rng.choices(WAYS, WEIGHTS)[0]
    return "as is" if not coded and way not in ("upper", "lower", "title") else way


def dress_labels(rng: random.Random, labels: list[str], way: str) -> list[str]:
    """One habit for all labels of a table: case, codes, numbers, a colon, letters spaced out."""
    if way == "upper":
        return [label.upper() for label in labels]
    if way == "lower":
        return [label.lower() for label in labels]
    if way == "title":
        return [label.title() if label.isascii() and "'" not in label else label for label in labels]
    if way == "code":
        start, letter = rng.randrange(1, 30), rng.choice("ABTW")
        return [f"{letter}{start + n:02d} {label}" for n, label in enumerate(labels)]
    if way == "number":
        return [f"{n}. {label}" for n, label in enumerate(labels, 1)]
    if way == "colon":
        return [f"{label}:" for label in labels]
    if way == "dots":
        return [f"{label} ..." for label in labels]
    if way == "two lines":
        return [label.replace(" (", "\n(").replace(" - ", "\n") for label in labels]
    if way == "spaced" and all(label.isascii() for label in labels):
        return ["   ".join(" ".join(word) for word in label.upper().split()) for label in labels]
    return labels
