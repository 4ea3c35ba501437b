"""Scalars, quantities and name/value pairs of JSON, as the items that ``json_grids`` lays out in rows."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from halfinch.sheet import place

# Keys that name the pair, hold its value and hold its unit, as schema.org and shop platforms spell them.
NAME_KEYS = ("name", "label", "title", "key", "propertyID", "attribute", "displayName", "valueReference")
_VALUE_KEYS = ("value", "values", "amount", "displayValue", "minValue", "maxValue", "min", "max")
_UNIT_KEYS = ("unitText", "unit", "units", "unitCode", "uom")
_SIDE_KEYS = ("@type", "@id", "type", "id", "__typename", "position", "description", "sizeSystem", "sizeGroup")

# UN/CEFACT Recommendation 20 codes for lengths; the symbol is what a person would write.
_UNIT_CODES = {"INH": "in", "CMT": "cm", "MMT": "mm", "MTR": "m", "FOT": "ft", "P1": "%", "GRM": "g"}
_SCHEMA_ORG = re.compile(r"^https?://(?:www\.)?schema\.org/(?:[^/]*/)*([A-Za-z0-9]+)/?$")
_CAMEL = re.compile(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])|\d+")


@dataclass(frozen=True, slots=True)
class Item:
    """One cell to be: its text, the JSON pointer it came from, and the number when it is a bare one."""

    text: str
    path: str
    value: Decimal | None = None
    header: bool = False


Row = list[Item]


# ---- name/value pairs -------------------------------------------------------------------------------------------


def is_pair_list(objects: Sequence[dict[str, object]]) -> bool:
    return bool(objects) and all(is_quantity(item) and bool(name_of(item)) for item in objects)


def is_quantity(value: dict[str, object]) -> bool:
    """{"value": 30, "unitCode": "INH"} and its kin: a value, and beside it only names and units."""
    known = {*NAME_KEYS, *_VALUE_KEYS, *_UNIT_KEYS, *_SIDE_KEYS}
    if not any(key in value for key in _VALUE_KEYS) or any(key not in known for key in value):
        return False
    return all(
        is_scalar(item) or (key == "value" and isinstance(item, dict) and is_quantity(item) and not name_of(item))
        for key, item in value.items()
        if key not in ("valueReference", "values")
    ) and _all_scalars(value.get("values"))


def _all_scalars(value: object) -> bool:
    return value is None or is_scalar(value) or (isinstance(value, list) and all(is_scalar(item) for item in value))


def is_named_thing(value: dict[str, object]) -> bool:
    """{"@type": "Brand", "name": "..."}: an object that says nothing but a name."""
    return (
        is_scalar(value.get("name")) and bool(value.get("name")) and set(value) <= {"name", "@type", "@id", "url", "id"}
    )


def pair_row(value: dict[str, object], path: str) -> Row:
    row = [Item(name_of(value), path, header=True)]
    values = value.get("values")
    if isinstance(values, list):
        unit = _unit_of(value)
        return [*row, *(_with_unit(scalar(item, f"{path}/values/{i}"), unit) for i, item in enumerate(values))]
    return [*row, quantity(value, path)]


def name_of(value: dict[str, object]) -> str:
    """The pair's label. schema.org's reference wins over a free name, unless the name says the same and more.

    So "Back rise" stays "Back rise" beside WearableMeasurementRise, "Measurement 1" gives way to it; a body's measure
    keeps its reference, for only that tells it from the garment's.
    """
    reference = _reference_of(value.get("valueReference"))
    name = next(
        (scalar_text(value[key]) for key in NAME_KEYS if is_scalar(value.get(key)) and scalar_text(value.get(key))), ""
    )
    if not reference:
        return name
    if reference.startswith("WearableMeasurement"):
        words = set(re.findall(r"\w+", name.casefold()))
        wanted = {word.casefold() for word in _CAMEL.findall(reference.removeprefix("WearableMeasurement"))}
        if wanted and wanted <= words and name != scalar_text(value.get("valueReference")):
            return name
    return reference


def _reference_of(value: object) -> str:
    if isinstance(value, list):
        return next((found for item in value if (found := _reference_of(item))), "")
    if isinstance(value, dict):
        return next((_reference_of(value[key]) for key in ("@id", "value", "name", "termCode") if value.get(key)), "")
    text = scalar_text(value)
    return re.split(r"[/#:]", text.rstrip("/"))[-1] if text else ""


def _unit_of(value: dict[str, object]) -> str:
    code = scalar_text(value.get("unitCode"))
    said = next(
        (scalar_text(value.get(key)) for key in _UNIT_KEYS if key != "unitCode" and scalar_text(value.get(key))), ""
    )
    code = code.rsplit("/", 1)[-1]
    return said or _UNIT_CODES.get(code.upper(), code)


def quantity(value: dict[str, object], path: str) -> Item:
    inner = value.get("value")
    if isinstance(inner, dict):
        return quantity({**{k: v for k, v in value.items() if k in _UNIT_KEYS}, **inner}, f"{path}/value")
    single = next((key for key in ("value", "values", "amount", "displayValue") if scalar_text(value.get(key))), "")
    if single:
        return _with_unit(scalar(value[single], f"{path}/{single}"), _unit_of(value))
    ends = [scalar_text(value[key]) for key in ("minValue", "min", "maxValue", "max") if scalar_text(value.get(key))]
    joined = " - ".join(dict.fromkeys(ends))
    return _with_unit(Item(joined, path), _unit_of(value)) if joined else Item("", path)


def _with_unit(item: Item, unit: str) -> Item:
    return Item(f"{item.text} {unit}", item.path) if unit and item.text else item


# ---- scalars ----------------------------------------------------------------------------------------------------


def is_scalar(value: object) -> bool:
    return value is None or isinstance(value, str | int | float | Decimal)


def scalar(value: object, path: str) -> Item:
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return Item(scalar_text(value), path)
    number = value if isinstance(value, Decimal) else Decimal(repr(value))
    return Item(scalar_text(value), path, number if number.is_finite() else None)


def scalar_text(value: object) -> str:
    if value is None or isinstance(value, dict | list):
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float | Decimal):
        number = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
        return format(number, "f") if number.is_finite() and abs(number.adjusted()) < 40 else str(value)
    text = str(value)
    if found := _SCHEMA_ORG.match(text.strip()):
        return found[1]
    return "\n".join(line for raw in text.splitlines() if (line := " ".join(raw.split())))


def unfold(value: object) -> object:
    """JSON written inside a JSON string, as shop platforms do, is opened."""
    if isinstance(value, str) and len(value) > 2 and value.lstrip()[:1] in ("{", "["):
        try:
            opened: object = json.loads(value, parse_float=Decimal)
        except (ValueError, RecursionError):
            return value
        return opened if isinstance(opened, dict | list) else value
    return value


def escape(key: str) -> str:
    """A key inside a JSON pointer (RFC 6901); ';' would end our place, so it is written %3B."""
    return key.replace("~", "~0").replace("/", "~1").replace(";", "%3B")


def last_name(path: str) -> str:
    """What a grid is called: the last two keys on its path that are names and not a list's index ("size dims")."""
    names = [part for part in path.split("/") if part and not part.isdigit()]
    return " ".join(part.replace("~1", "/").replace("~0", "~") for part in names[-2:])


def pointer_place(path: str) -> str:
    return place(json=path or "/")
