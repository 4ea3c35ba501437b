"""What the data behind a page says of its product: name, code, brand, price, colour, cloth.

In: a sheet's grids of machine-readable data (JSON-LD, page state). Out: attributes by role for the product that the
page shows; nothing where several products are told and none of them is the page's.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass

from halfinch.interpret.facets import Facets, Reader
from halfinch.interpret.names import clean_code, is_remark
from halfinch.interpret.words import fold
from halfinch.normalise.point_labels import read_header_word
from halfinch.sheet import DATA, HEADER, Grid, Sheet

_ROLES = frozenset({"style", "style_code", "merchant", "price", "currency", "colour", "fabric", "url"})
_MONEY = frozenset({"price", "currency"})
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])|[_-]")
_KINDS = frozenset({"category", "type", "producttype", "product_type", "kind", "department"})
_CODE = re.compile(r"[\w./-]{3,24}")
LONGEST_VALUE = 120


def find_product(sheet: Sheet, reader: Reader) -> dict[str, str]:
    """The attributes of the page's product; {} where no data speaks of it."""
    data = [(grid.place, data_facts(grid, reader)) for grid in sheet.grids if DATA in grid.marks]
    told = []
    for at, facts in data:
        within = [more for place, more in data if place.startswith(at + "/") and more and not more.keys() - _MONEY]
        facts = {**(within[0] if within else {}), **facts}
        if "style" in facts and facts.keys() & {"price", "style_code", "merchant"}:
            told.append(facts)
    if not told:
        return {}
    heads = {fold(one.text) for one in sheet.texts if one.kind in ("title", "heading", "meta")}
    mine = [facts for facts in told if any(_is_same(fold(facts["style"]), head) for head in heads)]
    chosen = mine or (told if len({facts["style"] for facts in told}) == 1 else [])
    found: dict[str, str] = {}
    for facts in chosen:
        for role, value in facts.items():
            found.setdefault(role, value)
    return found


def _is_same(name: str, head: str) -> bool:
    return bool(name) and (name in head or (len(head) > 8 and head in name))


def data_facts(grid: Grid, reader: Reader) -> dict[str, str]:
    """The facts of one block of keys and values by role."""
    rows: dict[int, list[str]] = {}
    keys: dict[int, str] = {}
    for cell in grid.cells:
        if cell.column == 1 and HEADER in cell.marks:
            keys[cell.row] = cell.text
        else:
            rows.setdefault(cell.row, []).append(cell.text)
    found: dict[str, str] = {}
    for row, key in keys.items():
        values = rows.get(row, [])
        role = data_role(key, reader)
        if len(values) != 1 or not role or len(values[0]) > LONGEST_VALUE:
            continue
        if role == "style_code" and not (_CODE.fullmatch(values[0]) and any(c.isdigit() for c in values[0])):
            continue
        found.setdefault(role, values[0].strip())
    return found


def data_role(key: str, reader: Reader) -> str:
    """The role of a key of data ("priceCurrency", "brand name"), '' for any other key."""
    words = _CAMEL.sub(" ", key).strip().casefold()
    if words in ("id", "handle", "url"):
        return ""
    if "currency" in words:
        return "currency"
    word = read_header_word(words, reader.knowledge)
    return word.role if word is not None and word.role in _ROLES and word.score == 1 else ""


@dataclass(frozen=True, slots=True)
class Lineage:
    """What the objects say in which a table of data lies, the nearest first."""

    facets: Facets
    names: tuple[str, ...]
    """The product's name and its category: they tell which garment it is."""


def read_objects(sheet: Sheet) -> dict[str, dict[str, str]]:
    """Every scalar of a sheet's data by the place of its object and its key."""
    objects: dict[str, dict[str, str]] = defaultdict(dict)
    for grid in sheet.grids:
        for cell in grid.cells if DATA in grid.marks else ():
            owner, _, key = cell.place.rpartition("/")
            if HEADER not in cell.marks and owner and key:
                objects[owner].setdefault(key, cell.text)
    return objects


def find_lineage(grid: Grid, objects: dict[str, dict[str, str]], reader: Reader) -> Lineage:
    """The product in whose object a table of data lies: {"name": ..., "measurements": {"unit": ..., "rows": [...]}}."""
    found: dict[str, str] = {}
    names: list[str] = []
    unit = convention = ""
    owner = grid.place
    while owner:
        told: dict[str, str] = {}
        for key, value in objects.get(owner, {}).items():
            role = data_role(key, reader)
            if role and len(value) <= LONGEST_VALUE and not (role == "style" and not _is_name(value, reader)):
                told.setdefault(role, value)
            if key.casefold() in _KINDS:
                names.append(value)
            word = read_header_word(key, reader.knowledge)
            unit = unit or (reader.read(value).unit if word is not None and word.role == "unit" else "")
            convention = convention or reader.read(value).convention
        if "style_code" in told and ("style" in found or not clean_code(told["style_code"])):
            del told["style_code"]
        if "style" in found:  # above the product only who sells it and in which money still holds
            told = {role: value for role, value in told.items() if role in ("merchant", "currency")}
        names += [told["style"]] if "style" in told else []
        found = {**told, **found}
        owner = owner.rpartition("/")[0]
    return Lineage(Facets(unit=unit, convention=convention, attributes=found), tuple(names))


def _is_name(value: str, reader: Reader) -> bool:
    """No size of a variant ("34 / Ecru"), no title of a chart."""
    first = re.split(r"\s*[/|,–-]\s*", value)[0]
    return bool(first) and reader.read(first).size is None and not is_remark(value, reader)
