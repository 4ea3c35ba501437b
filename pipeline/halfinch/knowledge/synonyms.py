"""No certain name may stand for two points, nor for a point and a thing that is read over.

In: what was read from `terms/` and `read_over.toml`. Out: nothing, or a KnowledgeError naming both files and lines.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from halfinch.errors import KnowledgeError
from halfinch.knowledge.folding import write_out
from halfinch.knowledge.reading import find_key_line
from halfinch.knowledge.spec_words import HeaderWords, Modifiers, Phrases, ReadOver, Terms
from halfinch.knowledge.toml_lines import KeyPath

Claim = tuple[str, str, KeyPath, str]
"""(meaning, file, key path, phrase)"""


def check_synonyms(folder: Path, terms: Mapping[str, Terms], read_over: ReadOver) -> None:
    """Raises KnowledgeError for the first certain name that two points or things claim."""
    owners: dict[tuple[str, ...], Claim] = {}
    for claim in (*_claims_of_terms(terms), *_claims_of_things(read_over)):
        meaning, file, path, phrase = claim
        for words in _write(folder, file, path, phrase):
            key = tuple(sorted(words))
            other = owners.setdefault(key, claim)
            if other[0] == meaning:
                continue
            here, there = _where(folder, file, path), _where(folder, other[1], other[2])
            raise KnowledgeError(f"{here}: {' '.join(words)!r} also means {other[0]} ({there}); keep one of them.")


def check_phrases(folder: Path, modifiers: Modifiers, header_words: HeaderWords) -> None:
    """Raises KnowledgeError for a phrase of these files that cannot be written out."""
    for file, groups in (
        ("modifiers.toml", {name: getattr(modifiers, name) for name in Modifiers.__dataclass_fields__}),
        ("header_words.toml", {"role": header_words.role}),
    ):
        for group, tables in groups.items():
            for name, phrases in tables.items():
                for language, phrase in phrases.all():
                    list(_write(folder, file, (group, name, language), phrase))


def _claims_of_terms(terms: Mapping[str, Terms]) -> Iterator[Claim]:
    for language, file in terms.items():
        for point, names in file.point.items():
            for attribute in ("names", "flat", "round"):
                for phrase in getattr(names, attribute):
                    yield point, f"terms/{language}.toml", ("point", point, attribute), phrase


def _claims_of_things(read_over: ReadOver) -> Iterator[Claim]:
    things: Mapping[str, Phrases] = read_over.thing
    for name, phrases in things.items():
        for language, phrase in phrases.all():
            yield name, "read_over.toml", ("thing", name, language), phrase


def _write(folder: Path, file: str, path: KeyPath, phrase: str) -> Iterator[tuple[str, ...]]:
    try:
        yield from write_out(phrase)
    except ValueError as error:
        raise KnowledgeError(f"{_where(folder, file, path)}: the phrase {error}.") from None


def _where(folder: Path, file: str, path: KeyPath) -> str:
    return f"{file}, line {find_key_line(folder / file, path)}, {'.'.join(map(str, path))}"
