"""Values of a body file: measures, bands, words and tables, each read strictly. What is wrong raises BadError with the
path of its key; no message repeats a measure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import Any

from halfinch.fit.body import Band
from halfinch.fit.measure import MeasureError, Typed, read_measure
from halfinch.fit.silhouette import name_silhouette
from halfinch.knowledge import Knowledge
from halfinch.knowledge.toml_lines import KeyPath

MEASURE_KEYS = frozenset({"value", "unit", "within"})


class BadError(Exception):
    """A key (its path in the file) and what is wrong with its value."""

    def __init__(self, path: KeyPath, message: str) -> None:
        super().__init__(message)
        self.path = path
        self.message = message


def read_typed(value: object, path: KeyPath) -> Typed:
    try:
        if isinstance(value, str):
            return read_measure(value)
        if isinstance(value, dict):
            check_keys(value, MEASURE_KEYS, path)
            unit = value.get("unit", "")
            if "value" not in value or not isinstance(unit, str):
                raise MeasureError("needs value and unit")
            typed = read_measure(str(value["value"]), read_unit(unit))
            if "within" not in value:
                return typed
            within = read_measure(str(value["within"]), "" if isinstance(value["within"], str) else read_unit(unit))
            return Typed(typed.low, typed.high, within.low)
        if isinstance(value, int | float) and not isinstance(value, bool):
            negative = "is negative and has no unit" if value < 0 else "has no unit"
            raise MeasureError(f'{negative}; write it like "27 1/2 in" or "70 cm"')
        raise MeasureError('should be a text like "27 1/2 in" or "70 cm"')
    except MeasureError as error:
        raise BadError(path, str(error)) from None


def read_unit(word: str) -> str:
    short = {"inch": "in", "inches": "in", '"': "in", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm"}
    unit = short.get(word.strip().casefold(), word.strip().casefold())
    if unit not in ("in", "cm", "mm", "m", "ft", ""):
        raise MeasureError("has a unit that is not one of in, cm, mm, m, ft")
    return unit


def read_band(value: object, path: KeyPath) -> Band:
    if isinstance(value, list):
        if len(value) != 2:
            raise BadError(path, 'should be a range like "9 to 10 in" or ["9 in", "10 in"]')
        low, high = (read_typed(end, path) for end in value)
        if low.low > high.low:
            raise BadError(path, "is upside down: the lower end comes first")
        return Band(float(low.low), float(high.low))
    return spread_of(read_typed(value, path))


def spread_of(typed: Typed) -> Band:
    if typed.high is not None:
        return Band(float(typed.low), float(typed.high))
    half = typed.within or 0
    return Band(float(typed.low - half), float(typed.low + half))


def read_single(table: Mapping[str, Any], key: str, path: KeyPath) -> float | None:
    if key not in table:
        return None
    typed = read_typed(table[key], (*path, key))
    if typed.high is not None:
        raise BadError((*path, key), "is a range; one figure is asked for")
    return float(typed.low)


def read_text(table: Mapping[str, Any], key: str, path: KeyPath) -> str:
    value = table.get(key, "")
    if not isinstance(value, str):
        raise BadError((*path, key), "should be a text in quotes")
    return value.strip()


def read_flag(table: Mapping[str, Any], key: str) -> bool:
    value = table.get(key, False)
    if not isinstance(value, bool):
        raise BadError((key,), "should be true or false")
    return value


def read_choice(table: Mapping[str, Any], key: str, path: KeyPath, known: tuple[str, ...]) -> str:
    word = read_text(table, key, path).casefold()
    if word and word not in known:
        raise BadError((*path, key), f"is not known{offer_nearest(word, known)}; known: {', '.join(known[:12])}")
    return word


def read_silhouette(word: object, path: KeyPath, knowledge: Knowledge) -> str:
    if not isinstance(word, str):
        raise BadError(path, "should be a text in quotes")
    known = knowledge.silhouettes.silhouette
    name = name_silhouette(word, knowledge) if word else ""
    if word and not name:
        raise BadError(path, f"is no known silhouette{offer_nearest(word, tuple(known))}; known: {', '.join(known)}")
    return name


def read_table(data: Mapping[str, Any], key: str, known: frozenset[str]) -> dict[str, Any]:
    table = data.get(key, {})
    if not isinstance(table, dict):
        raise BadError((key,), f"should be a table: write [{key}] on a line of its own")
    check_keys(table, known, (key,))
    return table


def read_tables(data: Mapping[str, Any], key: str, make: Callable[[dict[str, Any], KeyPath], Any]) -> tuple[Any, ...]:
    tables = data.get(key, [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise BadError((key,), f"should be a list of tables: write [[{key}]] above each")
    return tuple(make(table, (key, position)) for position, table in enumerate(tables))


def check_names(names: list[str], key: str) -> None:
    folded = [name.casefold() for name in names]
    for position, name in enumerate(folded):
        if name in folded[:position]:
            raise BadError((key, position, "name"), "stands twice in this file")


def check_keys(table: Mapping[str, Any], known: frozenset[str], path: KeyPath) -> None:
    for key in table:
        if key not in known:
            every = f"; known: {', '.join(sorted(known))}" if len(known) <= 12 else ""
            offer = offer_nearest(key, tuple(sorted(known))) or every
            raise BadError((*path, key), f"is no known key{offer}")


def offer_nearest(word: str, known: tuple[str, ...]) -> str:
    near = get_close_matches(word.casefold(), known, n=1, cutoff=0.6)
    return f"; did you mean {near[0]}?" if near else ""
