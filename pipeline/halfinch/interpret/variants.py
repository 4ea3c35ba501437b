"""Rows that are variants of one garment under codes and names of their own ("100-36-K", "Flora Flare - 2")."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import replace
from itertools import takewhile

from halfinch.interpret.raw import RawFigure

LEAST_VARIANTS = 3


def unify_variants(raws: list[RawFigure]) -> list[RawFigure]:
    """Names lose the size they end with; codes that differ from variant to variant keep what they share."""
    for raw in raws:
        style = raw.facets.attributes.get("style", "")
        bare = strip_variant(style, raw)
        if bare != style:
            _set(raw, "style", bare)
    blocks: dict[tuple[int, str], dict[str, set[tuple[str, str]]]] = defaultdict(lambda: defaultdict(set))
    members: dict[tuple[int, str], list[RawFigure]] = defaultdict(list)
    for raw in raws:
        key = (raw.block, raw.facets.attributes.get("style", ""))
        variant = (raw.size.size if raw.size else "", raw.length)
        blocks[key][raw.facets.attributes.get("style_code", "")].add(variant)
        members[key].append(raw)
    for key, codes in blocks.items():
        named = all(_names_size(code, sizes) for code, sizes in codes.items())
        if len(codes) < (2 if named else LEAST_VARIANTS) or any(len(variants) > 1 for variants in codes.values()):
            continue
        if len(set().union(*codes.values())) < len(codes):
            continue  # the same size under two codes: two garments
        shared = re.sub(r"[-_/. ]*[^-_/. ]*$", "", shared_start(list(codes)))
        for raw in members[key]:
            _set(raw, "style_code", shared)
    return raws


def _names_size(code: str, variants: set[tuple[str, str]]) -> bool:
    """Whether a part of the code is the size of its one row ("YWT-S-O" for size S)."""
    parts = re.split(r"[-_/. ]", code.casefold())
    return len(variants) == 1 and next(iter(variants))[0].casefold() in parts


def shared_start(codes: list[str]) -> str:
    """The letters with which all codes begin."""
    first, last = min(codes), max(codes)
    return "".join(a for a, _ in takewhile(lambda pair: pair[0] == pair[1], zip(first, last, strict=False)))


def strip_variant(style: str, raw: RawFigure) -> str:
    """The style without the size or length at its end."""
    ends = [re.escape(part) for part in (raw.size.size if raw.size else "", raw.length) if part]
    if not ends or not style:
        return style
    bare = re.sub(rf"(?:\s*[-–,/(]\s*|\s+)(?:size\s+)?(?:{'|'.join(ends)})\)?$", "", style, flags=re.IGNORECASE)
    return bare or style


def _set(raw: RawFigure, role: str, value: str) -> None:
    raw.facets = replace(raw.facets, attributes={**raw.facets.attributes, role: value})
