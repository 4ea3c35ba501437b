"""Data behind the page as grids marked ``data``: JSON-LD, state in scripts, microdata, RDFa, data attributes.

None of it is printed text. Places say where it stands: ``json=/script[2]/offers/0``, ``attr=div[3]/@data-inseam``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from halfinch.readers.html.fragments import Fragment, take_markup
from halfinch.readers.html.scripts import values_in_script
from halfinch.readers.html.ties import words_of_key
from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.variants import is_figure
from halfinch.readers.html.words import is_dull_key
from halfinch.readers.json_grids import json_grids
from halfinch.sheet import DATA, HEADER, Cell, Grid

MAX_BYTES = 12_000_000
MAX_DATA_CELLS = 200_000
MAX_FRAGMENTS = 50
_MAX_ELEMENTS = 20_000
_OUR_NAMES = re.compile(r"[\w-]+\[\d+\]|@(?:data-)?")
"""Names that we gave to places; no part of a caption."""


class DataCollector:
    """Grids of data, counted on from `order`; bounded, as state scripts may be huge."""

    def __init__(self, order: int) -> None:
        self.order = order
        self.grids: list[Grid] = []
        self.fragments: list[Fragment] = []
        """Strings that hold markup themselves; left out of the grids."""
        self.cells = 0

    def add_value(self, value: object, path: str) -> None:
        """A parsed JSON value; strings in it that are markup are put aside for the page reader."""
        if self.cells > MAX_DATA_CELLS:
            return
        for fragment in take_markup(value, path):
            if len(self.fragments) < MAX_FRAGMENTS:
                self.fragments.append(fragment)
        kept = prune(value)
        if kept is None:
            return
        for grid in json_grids(kept, order=self.order + len(self.grids), path=path):
            self.add(replace(grid, caption=_OUR_NAMES.sub("", grid.caption).strip()))

    def add(self, grid: Grid) -> None:
        self.cells += len(grid.cells)
        if self.cells <= MAX_DATA_CELLS:
            self.grids.append(grid)

    def add_rows(self, rows: list[list[tuple[str, str, bool]]], caption: str, where: str) -> None:
        """Rows of (text, place, header)."""
        cells = tuple(
            Cell(text, r, c, place=at, marks=frozenset({DATA, HEADER} if header else {DATA}))
            for r, row in enumerate(rows, 1)
            for c, (text, at, header) in enumerate(row, 1)
            if text
        )
        if cells:
            self.add(Grid(cells, self.order + len(self.grids), caption=caption, place=where, marks=frozenset({DATA})))


def collect_data(tree: Tree, into: DataCollector) -> None:
    """Everything a page says to machines. Order: scripts, then microdata and RDFa, then attributes."""
    scripts = [node for node in tree.nodes if node.tag == "script"]
    left = MAX_BYTES
    for number, script in enumerate(scripts, 1):
        text = "".join(tree.raw_texts(script))
        left -= len(text)
        if left < 0:
            break
        for value, path in values_in_script(text, script.attrs.get("type", "")):
            into.add_value(value, f"/script[{number}]{path}")
    for number, item in enumerate(_items(tree), 1):
        into.add_value(item, f"/item[{number}]")
    _add_attributes(tree, into)


# ---- which parts of a large state are worth keeping --------------------------------------------------------------

_BIG = 1_000


def prune(value: object) -> object:
    """The value without parts that hold no figure at all; None where nothing is left. Small values are kept whole.

    A state script of a megabyte holds menus, texts and addresses; a part is kept when something in it looks like a
    figure, so that no name or size beside figures is lost.
    """
    kept: dict[int, object] = {}
    order: list[dict[object, object] | list[object]] = []
    waiting: list[object] = [value]
    while waiting and len(order) < 400_000:
        one = waiting.pop()
        if isinstance(one, (dict, list)):
            order.append(one)
            waiting += one.values() if isinstance(one, dict) else one
    if not isinstance(value, (dict, list)):
        return value
    if len(order) < _BIG:
        return value
    for one in reversed(order):
        parts: Iterable[tuple[object, object]] = one.items() if isinstance(one, dict) else enumerate(one)
        good: dict[object, object] = {}
        telling = False
        for key, part in parts:
            if isinstance(part, (dict, list)):
                part = kept.get(id(part))
                telling = telling or part is not None
            else:
                telling = telling or (_looks_like_figure(part) and not is_dull_key(str(key)))
            if part is not None:
                good[key] = part
        if telling:
            kept[id(one)] = good if isinstance(one, dict) else list(good.values())
    return kept.get(id(value))


def _looks_like_figure(value: object) -> bool:
    if isinstance(value, bool):
        return False
    if isinstance(value, (int, float)):
        return 0 < value < 5_000
    return isinstance(value, str) and len(value) <= 40 and is_figure(value)


# ---- microdata and RDFa ------------------------------------------------------------------------------------------


def _items(tree: Tree) -> list[object]:
    """Top-level items as JSON-LD-like objects (HTML standard "Microdata"; W3C "RDFa Lite 1.1")."""
    tops: list[object] = []
    scopes: dict[int, dict[str, object]] = {}
    nearest: dict[int, dict[str, object] | None] = {}
    for node in tree.nodes:
        attrs = node.attrs
        around = nearest.get(node.parent.start) if node.parent is not None else None
        names = attrs.get("itemprop", "") or attrs.get("property", "")
        begins = "itemscope" in attrs or ("typeof" in attrs and "vocab" not in attrs) or "typeof" in attrs
        if begins:
            kind = (attrs.get("itemtype", "") or attrs.get("typeof", "")).rsplit("/", 1)[-1]
            item: dict[str, object] = {"@type": kind} if kind else {}
            scopes[node.start] = item
            if names and around is not None:
                _put(around, names, item)
            else:
                tops.append(item)
            nearest[node.start] = item
            continue
        nearest[node.start] = around
        if names and around is not None and len(tops) < 5_000:
            _put(around, names, _item_value(tree, node))
    return [item for item in tops if isinstance(item, dict) and len(item) > 1]


def _put(item: dict[str, object], names: str, value: object) -> None:
    for name in names.split()[:4]:
        name = name.rsplit(":", 1)[-1].rsplit("/", 1)[-1]
        if name not in item:
            item[name] = value
        elif isinstance(old := item[name], list):
            old.append(value)
        else:
            item[name] = [old, value]


def _item_value(tree: Tree, node: Node) -> str:
    for key in ("content", "datetime", "value", "href", "src"):
        if node.attrs.get(key):
            return node.attrs[key].strip()[:2_000]
    return tree.text_within(node, 2_000)


# ---- data attributes ---------------------------------------------------------------------------------------------


def _add_attributes(tree: Tree, into: DataCollector) -> None:
    groups: dict[tuple[str, tuple[str, ...]], list[Node]] = {}
    counts: dict[str, int] = {}
    places: dict[int, str] = {}
    seen = 0
    for node in tree.nodes:
        counts[node.tag] = counts.get(node.tag, 0) + 1
        if not node.attrs or seen > _MAX_ELEMENTS:
            continue
        keys = tuple(key for key in node.attrs if key.startswith("data-"))
        if not keys:
            continue
        seen += 1
        places[node.start] = f"{node.tag}[{counts[node.tag]}]"
        for key in keys:
            value = node.attrs[key].strip()
            if len(value) > 6 and value[0] in "{[":
                _add_json_attribute(value, f"/{places[node.start]}/@{key}", into)
        if node.shape != "cell" and any(_is_telling(key, node.attrs) for key in keys):
            told = tuple(key for key in keys if _is_telling(key, node.attrs) or _is_unit(key, node.attrs))
            groups.setdefault((node.tag, told), []).append(node)
    for (_, told), nodes in groups.items():
        _add_group(tree, told, nodes, places, into)


def _is_telling(key: str, attrs: Mapping[str, str]) -> bool:
    return is_figure(attrs[key]) and not is_dull_key(key)


_UNIT_KEY = re.compile(r"data-(?:.+-)?(?:units?|uom)(?:-of-measure(?:ment)?)?")
_UNIT_VALUE = re.compile(r"[^\d\s][^\d]{0,13}")


def _is_unit(key: str, attrs: Mapping[str, str]) -> bool:
    """data-unit="in", data-size-units="cm", data-uom="mm": no figure, but what the figures beside it are counted in."""
    return bool(_UNIT_KEY.fullmatch(key) and _UNIT_VALUE.fullmatch(attrs[key].strip()))


def _unit_around(node: Node, keys: tuple[str, ...]) -> list[tuple[str, str]]:
    """Unit and place from an element around this one, where it names none itself: at most one pair."""
    above = None if any(_UNIT_KEY.fullmatch(key) for key in keys) else node.parent
    while above is not None:
        for key in above.attrs:
            if _is_unit(key, above.attrs):
                return [(above.attrs[key].strip(), f"attr={above.tag}/@{key}")]
        above = above.parent
    return []


def _name_of(key: str) -> str:
    return "unit" if _UNIT_KEY.fullmatch(key) else words_of_key(key)


def _add_json_attribute(value: str, path: str, into: DataCollector) -> None:
    try:
        into.add_value(json.loads(value), path)
    except (ValueError, RecursionError):
        return


def _add_group(
    tree: Tree, keys: tuple[str, ...], nodes: list[Node], places: Mapping[int, str], into: DataCollector
) -> None:
    """Elements with the same attributes: one label and value row an attribute, or one row an element if several."""
    first = places[nodes[0].start]
    where = f"attr={first}"
    around = _unit_around(nodes[0], keys)
    if len(nodes) == 1:
        node = nodes[0]
        told = [(_name_of(key), node.attrs[key].strip(), f"{where}/@{key}") for key in keys]
        told += [("unit", unit, at) for unit, at in around]
        into.add_rows([[(name, at, True), (value, at, False)] for name, value, at in told], "", where)
        return
    if sum(not _UNIT_KEY.fullmatch(key) for key in keys) == 1 and all(
        not tree.text_within(node, 40) for node in nodes[:3]
    ):
        return
    heads = [(_name_of(key), f"{where}/@{key}", True) for key in keys]
    table = [[("", where, True), *heads, *(("unit", at, True) for _, at in around)]]
    for node in nodes[:5_000]:
        at = f"attr={places[node.start]}"
        name = tree.text_within(node, 60) or node.attrs.get("value", "") or node.attrs.get("aria-label", "")
        values = [(node.attrs[key].strip(), f"{at}/@{key}", False) for key in keys]
        table.append([(name, at, True), *values, *((unit, place, False) for unit, place in around)])
    into.add_rows(table, "", where)
