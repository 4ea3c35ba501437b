"""A body file (TOML) becomes a Body, strictly: unknown keys are refused with the nearest known one, every measure needs
its unit, and no message ever repeats a measure.

    invented = true                       # a made-up body; leave it out for a real one and keep the file private
    height = "5 ft 1 in"
    inseam = "27 1/2 in"                  # or "70 cm", { value = "27 1/2", unit = "in", within = "1/4 in" }
    front_rise = "9 to 10 1/4 in"         # the band that is comfortable
    [[shoes]]
    name = "block heel"
    lift = "2 1/2 in"
    [[pairs]]
    name = "the good straight ones"
    inseam = "28 in"
    worn_with = "block heel"
    clearance = "1 in"
    [taste]
    silhouettes = ["wide", "straight"]
    clearance = { wide = "1/2 in" }
    [budget]
    most = "180 EUR"
"""

from __future__ import annotations

import re
import stat
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from types import MappingProxyType
from typing import Any

from halfinch.errors import BodyError
from halfinch.fit.body import BANDS, MEASURES, PAIR_POINTS, Band, Body, Budget, Pair, Shoe, Taste
from halfinch.fit.body_values import (
    MEASURE_KEYS,
    BadError,
    check_keys,
    check_names,
    offer_nearest,
    read_band,
    read_choice,
    read_flag,
    read_silhouette,
    read_single,
    read_table,
    read_tables,
    read_text,
    read_typed,
    spread_of,
)
from halfinch.knowledge import Knowledge, load
from halfinch.knowledge.toml_lines import KeyPath, find_line, index_lines

TOP = frozenset({"name", "invented", *MEASURES, *BANDS, "ease", "shoes", "pairs", "taste", "budget"})
SHOE_KEYS = frozenset({"name", "kind", "lift", "toe", "sole", "shaft_height", "shaft_girth"})
PAIR_KEYS = frozenset({"name", "silhouette", "look", "worn_with", "lift", "clearance", *PAIR_POINTS})
TASTE_KEYS = frozenset({"silhouettes", "clearance", "most_opening", "turn_up"})
BUDGET_KEYS = frozenset({"most", "currency", "rates", "pairs"})
EASE_KEYS = ("waist", "hip", "thigh", "knee")


@dataclass(frozen=True, slots=True, repr=False)
class _Reading:
    knowledge: Knowledge
    lines: Mapping[KeyPath, int]


def load_body(path: str | Path, knowledge: Knowledge | None = None) -> Body:
    """Read a body file. Raises BodyError naming file, line and key, never a measure.

    `Body.warnings` says when others may read the file (unless the body is marked `invented = true`).
    """
    path = Path(path)
    knowledge = knowledge or load()
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise BodyError(f"{path}: there is no such file; name a body file.") from None
    except IsADirectoryError:
        raise BodyError(f"{path}: is a folder; name one body file.") from None
    except UnicodeDecodeError:
        raise BodyError(f"{path}: is not a text file in UTF-8; a body file is TOML.") from None
    except OSError as error:
        raise BodyError(f"{path}: cannot be read ({error.strerror}).") from None
    return read_body(text, str(path), knowledge, _mode_warnings(path))


def read_body(text: str, name: str, knowledge: Knowledge | None = None, warnings: tuple[str, ...] = ()) -> Body:
    """As load_body, from text at hand; `name` stands in messages."""
    reading = _Reading(knowledge or load(), index_lines(text))
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"line (\d+)", str(error))
        where = f", line {line[1] if line else max(1, len(text.splitlines()))}"
        raise BodyError(f"{name}{where}: is not valid TOML; texts need quotes and each key its own line.") from None
    try:
        body = _make_body(data, reading, warnings)
        _check_body(body, reading.knowledge)
        return body
    except BadError as bad:
        where = f"line {find_line(dict(reading.lines), bad.path)}, {_name_key(bad.path)}"
        raise BodyError(f"{name}, {where}: {bad.message}{'' if bad.message.endswith('?') else '.'}") from None


def _mode_warnings(path: Path) -> tuple[str, ...]:
    mode = path.stat().st_mode
    if mode & (stat.S_IRWXG | stat.S_IRWXO):
        return (f"{path}: others on this computer may read this body; keep it private with: chmod 600 {path}",)
    return ()


def _name_key(path: KeyPath) -> str:
    words = [part if re.fullmatch(r"[A-Za-z_ -]{1,40}", part) else "?" for part in path if isinstance(part, str)]
    return ".".join(words) or "(top)"


def _make_body(data: dict[str, Any], reading: _Reading, warnings: tuple[str, ...]) -> Body:
    check_keys(data, TOP, ())
    measures: dict[str, float] = {}
    within: dict[str, float] = {}
    for key in MEASURES:
        if key in data:
            typed = read_typed(data[key], (key,))
            if typed.high is not None:
                raise BadError((key,), "is a range; a measure of the body is one figure")
            measures[key] = float(typed.low)
            if typed.within is not None:
                within[key] = float(typed.within)
    bands = {key: read_band(data[key], (key,)) for key in BANDS if key in data}
    _check_limits(measures, bands, reading.knowledge)
    invented = read_flag(data, "invented")
    ease = read_table(data, "ease", frozenset(EASE_KEYS))
    shoes = read_tables(data, "shoes", lambda table, path: _make_shoe(table, path, reading))
    check_names([shoe.name for shoe in shoes], "shoes")
    pairs = read_tables(data, "pairs", lambda table, path: _make_pair(table, path, reading, shoes))
    return Body(
        name=read_text(data, "name", ()),
        invented=invented,
        front_rise=bands.get("front_rise"),
        back_rise=bands.get("back_rise"),
        **measures,
        within=MappingProxyType(within),
        ease=MappingProxyType({key: read_band(value, ("ease", key)) for key, value in ease.items()}),
        shoes=shoes,
        pairs=pairs,
        taste=_make_taste(read_table(data, "taste", TASTE_KEYS), reading),
        budget=_make_budget(read_table(data, "budget", BUDGET_KEYS), reading),
        warnings=() if invented else warnings,
    )


def _make_shoe(table: dict[str, Any], path: KeyPath, reading: _Reading) -> Shoe:
    check_keys(table, SHOE_KEYS, path)
    name = read_text(table, "name", path)
    if not name:
        raise BadError((*path, "name"), "is missing; every pair of shoes needs a name")
    kinds = {word: row.name for row in reading.knowledge.shoes.shoe.values() for word in (row.name, *row.also)}
    kind = ""
    if "kind" in table:
        kind = kinds[read_choice(table, "kind", path, tuple(kinds))]
    elif name.casefold() in kinds:
        kind = kinds[name.casefold()]
    lift, estimated = None, False
    if "lift" in table:
        typed = read_typed(table["lift"], (*path, "lift"))
        lift = spread_of(typed)
    elif kind:
        usual = reading.knowledge.shoes.shoe[kind].lift
        lift, estimated = Band(float(usual.low), float(usual.high)), True
    if lift is not None and lift.high > 12:
        raise BadError((*path, "lift"), "is above 12 in; check the unit")
    shoes = reading.knowledge.shoes
    return Shoe(
        name=name, lift=lift, kind=kind, estimated=estimated,
        toe=read_choice(table, "toe", path, shoes.toes),
        sole=read_choice(table, "sole", path, shoes.soles),
        shaft_height=read_single(table, "shaft_height", path),
        shaft_girth=read_single(table, "shaft_girth", path),
    )  # fmt: skip


def _make_pair(table: dict[str, Any], path: KeyPath, reading: _Reading, shoes: tuple[Shoe, ...]) -> Pair:
    check_keys(table, PAIR_KEYS, path)
    knowledge = reading.knowledge
    points = {key: value for key in PAIR_POINTS if (value := read_single(table, key, path)) is not None}
    for key, value in points.items():
        point = knowledge.points.get(key)
        if point is not None and not point.low <= value <= point.high:
            raise BadError((*path, key), "is no such measure of an adult's trousers; check the unit")
    shoe = None
    worn_with = read_text(table, "worn_with", path)
    if worn_with:
        named = {other.name.casefold(): other for other in shoes}
        if worn_with.casefold() not in named:
            raise BadError((*path, "worn_with"), f"names no shoes of this file{offer_nearest(worn_with, tuple(named))}")
        shoe = named[worn_with.casefold()]
    if "lift" in table:
        shoe = Shoe(worn_with or "the shoes worn with it", lift=spread_of(read_typed(table["lift"], (*path, "lift"))))
    return Pair(
        name=read_text(table, "name", path) or "a favourite pair",
        points=MappingProxyType(points),
        silhouette=read_silhouette(table.get("silhouette", ""), (*path, "silhouette"), knowledge),
        look=read_choice(table, "look", path, tuple(knowledge.clearances.clearance)),
        shoe=shoe,
        clearance=read_single(table, "clearance", path),
    )


def _make_taste(table: dict[str, Any], reading: _Reading) -> Taste:
    named = table.get("silhouettes", [])
    if not isinstance(named, list):
        raise BadError(("taste", "silhouettes"), 'should be a list like ["wide", "straight"]')
    silhouettes = tuple(read_silhouette(word, ("taste", "silhouettes"), reading.knowledge) for word in named)
    printed = table.get("clearance")
    clearance: dict[str, Band] = {}
    if isinstance(printed, dict) and not MEASURE_KEYS & set(printed):
        for word, value in printed.items():
            path = ("taste", "clearance", word)
            clearance[read_silhouette(word, path, reading.knowledge)] = read_band(value, path)
    elif printed is not None:
        clearance[""] = read_band(printed, ("taste", "clearance"))
    for word, band in clearance.items():
        if band.high > 24:
            raise BadError(("taste", "clearance", word) if word else ("taste", "clearance"), "is above 24 in")
    return Taste(
        silhouettes=silhouettes,
        clearance=MappingProxyType(clearance),
        most_opening=read_single(table, "most_opening", ("taste",)),
        turn_up=read_single(table, "turn_up", ("taste",)) or 0.0,
    )


def _make_budget(table: dict[str, Any], reading: _Reading) -> Budget:
    most, currency = None, read_text(table, "currency", ("budget",)).upper()
    if "most" in table:
        words = str(table["most"]).replace(",", ".").split()
        numbers = [word for word in words if word[:1].isdigit()]
        codes = [word.upper() for word in words if not word[:1].isdigit()]
        try:
            (number,) = numbers
            most = Decimal(number)
        except (ValueError, InvalidOperation):
            raise BadError(("budget", "most"), 'is no amount; write it like "180 EUR"') from None
        currency = codes[0] if codes else currency
        if not re.fullmatch(r"[A-Z]{3}", currency):
            raise BadError(("budget", "most"), "needs a currency as three capitals (EUR, GBP, USD ...)")
        if currency not in (currencies := reading.knowledge.currencies.currency):
            every = ", ".join(currencies)
            raise BadError(("budget", "most"), f"is in a currency that currencies.toml does not know; known: {every}")
    rates = table.get("rates", [])
    if not isinstance(rates, list):
        raise BadError(("budget", "rates"), 'should be a list like ["regular"]')
    known = tuple(reading.knowledge.prices.rate)
    for rate in rates:
        if rate not in known:
            raise BadError(("budget", "rates"), f"names no rate of prices.toml{offer_nearest(str(rate), known)}")
    pairs = table.get("pairs", 1)
    if type(pairs) is not int or pairs < 1:
        raise BadError(("budget", "pairs"), "should be a whole number from 1")
    return Budget(most=most, currency=currency, rates=tuple(rates), pairs=pairs)


def _check_body(body: Body, knowledge: Knowledge) -> None:
    """Refuse what no body can be; what is merely unlikely is for the survey (see survey.py)."""
    for low, high in (
        ("knee_height", "inseam"), ("inseam", "hip_height"), ("inseam", "waist_height"),
        ("hip_height", "waist_height"), ("waist_height", "height"), ("inseam", "height"),
    ):  # fmt: skip
        below, above = body.measure(low), body.measure(high)
        if below is not None and above is not None and below >= above:
            raise BadError((low,), f"is not below {high}; measure both again, barefoot")


def _check_limits(measures: Mapping[str, float], bands: Mapping[str, Band], knowledge: Knowledge) -> None:
    limits = knowledge.verdict.body
    spread = {key: Band(value, value) for key, value in measures.items()} | dict(bands)
    for key, band in spread.items():
        if key in limits and not (limits[key].low <= band.low and band.high <= limits[key].high):
            raise BadError((key,), "cannot be the measure of an adult; check the figure and its unit")
