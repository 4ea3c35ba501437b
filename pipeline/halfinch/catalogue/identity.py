"""Names that everything in the catalogue is known by: digests of what makes a thing itself."""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from halfinch.figure import Garment

ID_LENGTH = 32
"""Hex digits kept of a SHA-256: 128 bits."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a reading is made with; when any of it changes, readings made before are stale."""

    program: str
    """Version of halfinch."""
    knowledge: str
    """Digest of schemas/."""
    habits: str = ""
    """Digest of the merchants' habits in force, '' if none."""
    usual_tolerance: Mapping[str, Fraction] = field(default_factory=dict)
    """Point to its usual tolerance, inches of the full girth: written where a sheet states none."""


def sheet_digest(data: bytes) -> str:
    """SHA-256 of a sheet's bytes, hex."""
    return hashlib.sha256(data).hexdigest()


def digest(*parts: str) -> str:
    """A short digest of texts in order; ``("ab", "c")`` and ``("a", "bc")`` differ."""
    joined = "\x1f".join(part.replace("\x1f", "\x1f\x1f") for part in parts)
    return hashlib.sha256(joined.encode("utf-8", "surrogatepass")).hexdigest()[:ID_LENGTH]


def habits_digest(habits: object) -> str:
    """Digest of habits as plain data (dicts, lists, texts, numbers); '' where there are none."""
    if not habits:
        return ""
    return digest(json.dumps(habits, sort_keys=True, ensure_ascii=False, default=str))


def reading_id(sheet_id: str, stamp: Stamp) -> str:
    return digest("reading", sheet_id, stamp.program, stamp.knowledge, stamp.habits)


def slug(text: str) -> str:
    """``"Maison Élan & Co."`` -> ``"maison-elan-co"``: the same name however it is written."""
    folded = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(char for char in folded if not unicodedata.combining(char))
    return re.sub(r"[\W_]+", "-", plain).strip("-")


Told = Mapping[tuple[str, str, str], frozenset[int]]
"""What a sheet tells of one garment: (size, length, point) to its lengths in nanometres."""


def garment_ids(garments: Iterable[Garment], told: Mapping[str, Told], source: str) -> dict[str, str]:
    """Garment key to garment_id, for the garments of one sheet.

    Merchant, style code (else style) and block make a garment; colour only where figures differ by it. A garment that
    merchant and style do not name is known by its source, so that two strangers are never taken for one.
    """
    found = list(garments)
    base = {garment.key: _base(garment, source) for garment in found}
    ids: dict[str, str] = {}
    for garment in found:
        twins = [other.key for other in found if base[other.key] == base[garment.key]]
        by_colour = ("colour", slug(garment.colour)) if _differ([told[key] for key in twins if key in told]) else ()
        ids[garment.key] = digest(*base[garment.key], *by_colour)
    return ids


def _differ(tellings: list[Told]) -> bool:
    first: dict[tuple[str, str, str], frozenset[int]] = {}
    return any(first.setdefault(what, value) != value for telling in tellings for what, value in telling.items())


def _base(garment: Garment, source: str) -> tuple[str, ...]:
    merchant, style, block = (
        slug(garment.merchant),
        slug(garment.style_code) or slug(garment.style),
        slug(garment.block),
    )
    if merchant and style:
        return ("garment", merchant, style, block)
    return ("garment", merchant, style, block, "source", source, "" if style else garment.key)
