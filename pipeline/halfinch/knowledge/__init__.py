"""What the trade knows, loaded from `schemas/*.toml` and checked.

In: the folder `schemas/`. Out: one frozen `Knowledge` with an attribute per file. Begin reading at `load`.

    from halfinch.knowledge import load
    knowledge = load()
    knowledge.points["inseam"].usual_high

To add a file (or a key to a file): write a frozen dataclass with the file's keys as fields in the spec module of its
area (`spec_points.py`, `spec_words.py`, `spec_sizes.py`, `spec_fit.py`), name it in `Knowledge` below if it is a new
file, write the TOML. Reading, types, missing and unknown keys, ranges upside down, file and line in the message come
by themselves: `halfinch.knowledge.reading` says how. A root class without fields stands for a file not written yet.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, get_type_hints

from halfinch.errors import KnowledgeError
from halfinch.knowledge.reading import Span, find_key_line, read_file
from halfinch.knowledge.spec_fit import (
    Clearances,
    Lengths,
    Measuring,
    Prices,
    Shoes,
    Silhouettes,
    Stretch,
    StyleRules,
    Verdict,
)
from halfinch.knowledge.spec_points import (
    Enumerations,
    Grades,
    PointKnowledge,
    Points,
    Ranges,
    Tolerances,
    join_points,
)
from halfinch.knowledge.spec_prices import Currencies
from halfinch.knowledge.spec_reading import ReadingWords
from halfinch.knowledge.spec_relations import Relations
from halfinch.knowledge.spec_same import SameStyle
from halfinch.knowledge.spec_sizes import SizeSystems, Units
from halfinch.knowledge.spec_words import HeaderWords, Modifiers, ReadOver, Terms
from halfinch.knowledge.synonyms import check_phrases, check_synonyms

__all__ = ["Knowledge", "PointKnowledge", "Span", "find_schemas", "load"]


@dataclass(frozen=True, slots=True, eq=False)
class Knowledge:
    """All of `schemas/`: the attribute `x` is the file `x.toml`, made into the class named here."""

    digest: str
    """SHA-256 over the names and bytes of all files of the folder, hex."""
    reading_digest: str
    """The same without the files that no reading of a sheet looks at (`AFTER_READING`)."""
    folder: Path
    points: Mapping[str, PointKnowledge]
    """Points of measure by name, in the order of `points.toml`; joined from points, tolerances and grades."""
    tolerances: Tolerances
    grades: Grades
    ranges: Ranges
    enumerations: Enumerations
    terms: Mapping[str, Terms]
    """By language: `terms/en.toml` ..."""
    read_over: ReadOver
    modifiers: Modifiers
    header_words: HeaderWords
    units: Units
    size_systems: SizeSystems
    silhouettes: Silhouettes
    lengths: Lengths
    clearances: Clearances
    shoes: Shoes
    measuring: Measuring
    prices: Prices
    currencies: Currencies
    style_rules: StyleRules
    verdict: Verdict
    stretch: Stretch
    reading: ReadingWords
    relations: Relations
    same_style: SameStyle

    def __reduce__(self) -> tuple[Any, tuple[Path]]:
        """Another process loads the same folder itself: cheap, and what is cached by identity stays one object."""
        return _load, (self.folder,)


def find_schemas() -> Path:
    """The folder `schemas/`: inside the installed package, else at the top of the checkout."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "schemas", package.parents[1] / "schemas"):
        if folder.is_dir():
            return folder
    raise KnowledgeError("schemas/: the folder is missing beside the package; install halfinch again.")


def load(folder: Path | None = None) -> Knowledge:
    """Load and check `schemas/` (cached per folder). Raises KnowledgeError naming file, line and key."""
    return _load(folder.resolve() if folder is not None else find_schemas())


@lru_cache(maxsize=4)
def _load(folder: Path) -> Knowledge:
    hints = get_type_hints(Knowledge)
    parts: dict[str, Any] = {}
    for field in fields(Knowledge):
        if field.name in ("digest", "reading_digest", "folder", "terms"):
            continue
        kind: Any = Points if field.name == "points" else hints[field.name]
        file = folder / f"{field.name}.toml"
        parts[field.name] = kind() if not fields(kind) and not file.exists() else read_file(file, kind)
    parts["points"] = join_points(parts["points"], parts["tolerances"], parts["grades"])
    parts["terms"] = read_terms(folder / "terms", parts["points"])
    check_synonyms(folder, parts["terms"], parts["read_over"])
    check_currency(folder / "prices.toml", parts["prices"], parts["currencies"])
    check_phrases(folder, parts["modifiers"], parts["header_words"])
    reading = digest_folder(folder, without=AFTER_READING)
    return Knowledge(digest=digest_folder(folder), reading_digest=reading, folder=folder, **parts)


def check_currency(file: Path, prices: Prices, known: Currencies) -> None:
    """Raises KnowledgeError for a price list in a currency that currencies.toml does not know."""
    if prices.currency not in known.currency:
        line = find_key_line(file, ("currency",))
        raise KnowledgeError(
            f"{file.name}, line {line}, currency: is not one of currencies.toml; known: {', '.join(known.currency)}."
        )


def read_terms(folder: Path, points: Mapping[str, PointKnowledge]) -> Mapping[str, Terms]:
    """Every file of `terms/` by its language. Raises KnowledgeError when a file names a point that is none."""
    found: dict[str, Terms] = {}
    for file in sorted(folder.glob("*.toml")):
        terms = read_file(file, Terms)
        if terms.language != file.stem:
            raise KnowledgeError(f"terms/{file.name}, line 1, language: should be {file.stem!r}, as the file's name.")
        if strange := sorted(set(terms.point) - set(points)):
            line = find_key_line(file, ("point", strange[0]))
            raise KnowledgeError(f"terms/{file.name}, line {line}, point.{strange[0]}: no such point in points.toml.")
        found[terms.language] = terms
    return MappingProxyType(found)


AFTER_READING = frozenset(
    f"{name}.toml"
    for name in (
        "clearances", "enumerations", "lengths", "measuring", "prices", "same_style", "shoes", "stretch", "style_rules",
        "verdict",
    )
)  # fmt: skip
"""Files that speak of bodies, fit, money and styles: whoever changes a tailor's price need not read a sheet again."""


def digest_folder(folder: Path, without: frozenset[str] = frozenset()) -> str:
    """SHA-256 over every `*.toml` below `folder`: relative name and bytes, in the order of the names."""
    total = hashlib.sha256()
    for file in sorted(folder.rglob("*.toml")):
        name = file.relative_to(folder).as_posix()
        if name in without:
            continue
        content = file.read_bytes()
        total.update(f"{name}\0{len(content)}\0".encode())
        total.update(content)
    return total.hexdigest()
