"""How a file of `schemas/` becomes frozen dataclasses, and how it is refused.

The dataclass IS the specification; nothing else has to be written:

    @dataclass(frozen=True, slots=True)
    class Shoe:
        name: str                               # a field `name` inside a Mapping is filled with the table's key
        means: str                              # no default: the key must be there
        low: Fraction                           # 3, 0.5, "3/8" and "1 1/2" are read exactly
        high: Fraction                          # low/high, x_low/x_high, least/most, minimum/maximum: checked
        lift: Span | None = None                # lift = [1, 4]  -> Span(low, high), refused when upside down
        toes: tuple[str, ...] = ()              # toes = ["pointed", "almond"]
        kind: Literal["flat", "heel"] = "flat"  # any other word is refused

        def check(self) -> str:                 # optional: "" when all is well, else "key: what is wrong"
            return ""

    @dataclass(frozen=True, slots=True)
    class Shoes:                                # the root: its fields are the file's top-level keys
        shoe: Mapping[str, Shoe]                # [shoe.pump] ...; tuple[Shoe, ...] reads [[shoe]]

    shoes = read_file(folder / "shoes.toml", Shoes)

Types understood: str, bool, int, Fraction, Decimal, Literal of strings, Span, another dataclass, `X | None`,
tuple[X, ...], frozenset[X], Mapping[str, X]. A key that TOML wants and Python does not allow as a field (`from`)
is spelt with an underscore at its end in the dataclass (`from_`).

Refused with a KnowledgeError naming file, line and key: a key that no field has, a field without default that is not
in the file, a value of another type, a word outside a Literal, the same word twice in one list, a range upside down,
and whatever `check` has to say.
"""

from __future__ import annotations

import tomllib
import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from halfinch.errors import KnowledgeError
from halfinch.knowledge.toml_lines import KeyPath, find_line, index_lines

T = TypeVar("T")

_PAIRS = (("low", "high"), ("least", "most"), ("minimum", "maximum"), ("min", "max"))


@dataclass(frozen=True, slots=True)
class Span:
    """A range of exact numbers, both ends inside: `[low, high]` in TOML."""

    low: Fraction
    high: Fraction

    def __contains__(self, value: Fraction | int) -> bool:
        return self.low <= value <= self.high

    def miss(self, value: Fraction) -> Fraction:
        """How far `value` lies outside: negative below, positive above, 0 inside."""
        if value < self.low:
            return value - self.low
        return value - self.high if value > self.high else Fraction(0)


class _RefusalError(Exception):
    def __init__(self, path: KeyPath, message: str) -> None:
        super().__init__(message)
        self.path = path
        self.message = message


def read_file(file: Path, kind: type[T]) -> T:
    """Read and check one file of `schemas/` as the dataclass `kind`. Raises KnowledgeError (file, line, key)."""
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise KnowledgeError(f"{file.name}: the file is missing from {file.parent.name}/; put it back.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise KnowledgeError(f"{file.name}: cannot be read as UTF-8 text ({error}).") from error
    return read_text(text, kind, file.name)


def read_text(text: str, kind: type[T], name: str) -> T:
    """As read_file, from text that is at hand; `name` is the file's name in messages."""
    made: T = _read_checked(text, kind, name)
    return made


def read_tables(text: str, kind: type[T], name: str) -> dict[str, T]:
    """A file whose every top-level key is a table of one kind, such as `[maison-elan]`. Raises KnowledgeError."""
    return dict(_read_checked(text, Mapping[str, kind], name))  # type: ignore[valid-type]


def _read_checked(text: str, hint: Any, name: str) -> Any:
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise KnowledgeError(f"{name}: not valid TOML: {error}.") from error
    try:
        return _read_value(data, hint, ())
    except _RefusalError as refusal:
        line = find_line(index_lines(text), refusal.path)
        key = ".".join(str(part) for part in refusal.path if not isinstance(part, int)) or "(top)"
        raise KnowledgeError(f"{name}, line {line}, {key}: {refusal.message}.") from None


def find_key_line(file: Path, path: KeyPath) -> int:
    """The line of a key in a file that was read, for checks that need more than one file."""
    return find_line(index_lines(file.read_text(encoding="utf-8")), path)


def _read_table(data: object, kind: type[Any], path: KeyPath) -> Any:
    if not isinstance(data, dict):
        raise _RefusalError(path, f"should be a table, is {_name_type(data)}")
    hints = get_type_hints(kind)
    known = {field.name.rstrip("_"): field for field in fields(kind)}
    named = "name" in known and "name" not in data and bool(path)
    for key in data:
        if key not in known:
            raise _RefusalError((*path, key), f"unknown key; known here: {', '.join(sorted(known))}")
    values: dict[str, Any] = {}
    for key, field in known.items():
        if key in data:
            values[field.name] = _read_value(data[key], hints[field.name], (*path, key))
        elif key == "name" and named:
            values[field.name] = str(next((part for part in reversed(path) if isinstance(part, str)), ""))
        elif _is_required(field):
            raise _RefusalError(path, f"the key {key!r} is missing")
    _check_pairs(values, path)
    made = kind(**values)
    check = getattr(made, "check", None)
    if check is not None and (complaint := check()):
        key, _, message = complaint.partition(": ")
        where = (*path, *key.split(".")) if message else path
        raise _RefusalError(where, message or complaint)
    return made


def _is_required(field: Field[Any]) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def _read_value(data: object, hint: Any, path: KeyPath) -> Any:
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return _read_value(data, next(kind for kind in inner if kind is not type(None)), path)
    if origin is Literal:
        if data not in inner:
            raise _RefusalError(path, f"{data!r} is not one of {', '.join(map(str, inner))}")
        return data
    if origin in (tuple, frozenset):
        return _read_list(data, origin, inner[0], path)
    if origin is not None and issubclass(origin, Mapping):
        if not isinstance(data, dict):
            raise _RefusalError(path, f"should be a table, is {_name_type(data)}")
        return types.MappingProxyType({k: _read_value(v, inner[1], (*path, k)) for k, v in data.items()})
    if hint is Span:
        return _read_span(data, path)
    if is_dataclass(hint) and isinstance(hint, type):
        return _read_table(data, hint, path)
    return _read_scalar(data, hint, path)


def _read_list(data: object, origin: Any, inner: Any, path: KeyPath) -> Any:
    if not isinstance(data, list):
        raise _RefusalError(path, f"should be a list, is {_name_type(data)}")
    words = [item for item in data if isinstance(item, str)]
    twice = next((word for position, word in enumerate(words) if word in words[:position]), None)
    if twice is not None:
        raise _RefusalError(path, f"{twice!r} stands twice in this list")
    return origin(_read_value(item, inner, (*path, position)) for position, item in enumerate(data))


def _read_span(data: object, path: KeyPath) -> Span:
    if not isinstance(data, list) or len(data) != 2:
        raise _RefusalError(path, "should be a range [low, high]")
    low, high = (_read_scalar(end, Fraction, path) for end in data)
    if low > high:
        raise _RefusalError(path, f"the range is upside down ({low} is above {high})")
    return Span(low, high)


def _read_scalar(data: object, hint: Any, path: KeyPath) -> Any:
    if hint is Fraction or hint is Decimal:
        return _read_exact(data, hint, path)
    if hint in (str, bool, int) and type(data) is hint:
        return data
    raise _RefusalError(path, f"should be {_name_hint(hint)}, is {_name_type(data)} ({data!r})")


def _read_exact(data: object, hint: Any, path: KeyPath) -> Any:
    try:
        if isinstance(data, bool):
            raise ValueError
        if isinstance(data, int | float):
            return hint(str(data))
        if isinstance(data, str):
            total = sum((Fraction(part) for part in data.split()), Fraction(0)) if data.split() else None
            if total is not None:
                return total if hint is Fraction else Decimal(total.numerator) / Decimal(total.denominator)
    except (ValueError, ZeroDivisionError, ArithmeticError):
        pass
    raise _RefusalError(path, f'should be a number (3, 0.5, "3/8", "1 1/2"), is {data!r}')


def _check_pairs(values: dict[str, Any], path: KeyPath) -> None:
    for low_word, high_word in _PAIRS:
        for key, low in values.items():
            if key != low_word and not key.endswith("_" + low_word):
                continue
            high_key = key[: len(key) - len(low_word)] + high_word
            high = values.get(high_key)
            if isinstance(low, Fraction | Decimal | int) and isinstance(high, Fraction | Decimal | int) and low > high:
                raise _RefusalError((*path, key), f"the range is upside down ({low} is above {high_key} {high})")


def _name_hint(hint: Any) -> str:
    return {str: "a text", bool: "true or false", int: "a whole number"}.get(hint, str(hint))


def _name_type(data: object) -> str:
    return {
        dict: "a table",
        list: "a list",
        str: "a text",
        bool: "true or false",
        int: "a whole number",
        float: "a number",
    }.get(type(data), type(data).__name__)
