"""JSON values as grids: the form in which JSON files, JSON-LD and page state all reach the interpreter.

Nothing is known here about garments. What is known are the few shapes in which people put tables into JSON: a list of
objects, an object of objects, lists side by side, rows under a list of columns, and the name/value pairs of
schema.org (PropertyValue, QuantitativeValue). Every scalar of the value lands in exactly one grid.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from halfinch.readers.json_columns import columns_and_rows, is_matrix, matrix_rows, rows_under_columns
from halfinch.readers.json_values import (
    Item,
    Row,
    escape,
    is_named_thing,
    is_pair_list,
    is_quantity,
    is_scalar,
    last_name,
    name_of,
    pair_row,
    pointer_place,
    quantity,
    scalar,
    unfold,
)
from halfinch.sheet import DATA, HEADER, NUMBER, Cell, Grid

MAX_DEPTH = 24
MAX_GRIDS = 2_000
MAX_CELLS = 400_000
MOST_OUTER = 2
"""Names that an object may have beside its list, where each of the list's objects becomes a row with them."""

_SKIPPED_KEYS = frozenset({"@context"})


@dataclass(slots=True)
class _Collector:
    order: int
    grids: list[Grid] = field(default_factory=list)
    cells: int = 0

    @property
    def full(self) -> bool:
        return len(self.grids) >= MAX_GRIDS or self.cells >= MAX_CELLS

    def add(self, rows: Sequence[Row], path: str, caption: str = "") -> None:
        cells = tuple(
            Cell(
                text=item.text,
                row=number,
                column=column,
                place=pointer_place(item.path),
                marks=_marks(item),
                value=item.value,
            )
            for number, row in enumerate(rows, 1)
            for column, item in enumerate(row, 1)
            if item.text
        )
        if not any(HEADER not in cell.marks for cell in cells) or self.full:
            return
        self.cells += len(cells)
        self.grids.append(
            Grid(
                cells,
                order=self.order + len(self.grids),
                caption=caption,
                place=pointer_place(path),
                marks=frozenset({DATA}),
            )
        )


def _marks(item: Item) -> frozenset[str]:
    said = {HEADER: item.header, NUMBER: item.value is not None}
    return frozenset({DATA, *(mark for mark, holds in said.items() if holds)})


def json_grids(value: object, *, order: int, path: str = "") -> list[Grid]:
    """Grids for all that a parsed JSON value holds, in reading order, each marked ``data``.

    `order` is the first grid's order, the following ones count on from it; `path` is the JSON pointer of `value`
    within its file (``/a/b/0``). Keys carry the mark ``header``. A value nested deeper than 24 levels is left out.
    """
    collector = _Collector(order)
    _walk(value, path, collector, depth=0)
    return collector.grids


def _walk(value: object, path: str, into: _Collector, depth: int) -> None:
    if depth > MAX_DEPTH or into.full:
        return
    value = unfold(value)
    if isinstance(value, dict):
        _walk_object(value, path, into, depth)
    elif isinstance(value, list):
        _walk_list(value, path, into, depth)


def _walk_list(items: list[object], path: str, into: _Collector, depth: int) -> None:
    items = [unfold(item) for item in items]
    objects = [item for item in items if isinstance(item, dict)]
    if items and all(is_scalar(item) for item in items):
        into.add([[scalar(item, f"{path}/{i}") for i, item in enumerate(items)]], path, last_name(path))
    elif is_matrix(items):
        into.add(matrix_rows(items, path), path, last_name(path))
    elif len(objects) == len(items) and is_pair_list(objects):
        into.add([pair_row(item, f"{path}/{i}") for i, item in enumerate(objects)], path, last_name(path))
    elif len(objects) == len(items) and len(items) > 1 and _are_alike(objects):
        _add_table([(str(i), item) for i, item in enumerate(objects)], path, into, depth, keyed=False)
    else:
        for i, item in enumerate(items):
            _walk(item, f"{path}/{i}", into, depth + 1)


def _walk_object(value: dict[str, object], path: str, into: _Collector, depth: int) -> None:
    if is_quantity(value) and name_of(value):
        into.add([pair_row(value, path)], path, last_name(path))
        return
    value = {key: unfold(item) for key, item in value.items()}
    alike = _alike_members(value)
    columns_key, rows_key = columns_and_rows(value)
    held_back = set(alike) | ({columns_key, rows_key} if columns_key else set())
    rest = {key: item for key, item in value.items() if key not in held_back}
    fields, left = _fields(rest, path)
    pairs, left = _pair_lists(left, path)
    rows: list[Row] = [[Item(f.label, f.items[0].path, header=True), *f.items] for f in _name_apart(fields)]
    rows += [pair_row(pair, pair_path) for pair_path, pair in pairs]
    into.add(rows, path, last_name(path))
    if columns_key:
        into.add(
            rows_under_columns(value[columns_key], value[rows_key], path, columns_key, rows_key), path, last_name(path)
        )
    if alike:
        members = [(key, item) for key in alike if isinstance(item := value[key], dict)]
        _add_table(members, path, into, depth, keyed=True)
    for left_path, item in left:
        _walk(item, left_path, into, depth + 1)


# ---- tables of alike objects -----------------------------------------------------------------------------------


def _add_table(
    members: Sequence[tuple[str, dict[str, object]]], path: str, into: _Collector, depth: int, *, keyed: bool
) -> None:
    """One row an object, one column a label; `keyed`: the member's own key stands first ({"8": {...}, "10": {...}})."""
    if nested := _nested_rows(members, path, keyed=keyed):
        into.add(nested, path, last_name(path))
        return
    labels: dict[str, None] = {}
    records: list[tuple[str, str, dict[str, Item]]] = []
    left_over: list[tuple[str, object]] = []
    for key, member in members:
        member_path = f"{path}/{escape(key)}"
        fields, left = _fields(member, member_path)
        pairs, left = _pair_lists(left, member_path)
        record = {f.label: _joined(f.items) for f in _name_apart(fields)}
        for pair_path, pair in pairs:
            label, *items = pair_row(pair, pair_path)
            if items:
                record.setdefault(_free_label(label.text, record), _joined(items))
        labels.update(dict.fromkeys(record))
        records.append((key, member_path, record))
        left_over += left
    first: Row = [Item("", path)] if keyed else []
    rows: list[Row] = [[*first, *(Item(label, path, header=True) for label in labels)]]
    for key, member_path, record in records:
        lead: Row = [Item(key, member_path, header=True)] if keyed else []
        rows.append([*lead, *(record.get(label, Item("", member_path)) for label in labels)])
    into.add(rows, path, last_name(path))
    for left_path, item in left_over:
        _walk(item, left_path, into, depth + 1)


def _nested_rows(members: Sequence[tuple[str, dict[str, object]]], path: str, *, keyed: bool) -> list[Row]:
    """Objects of a name or two and one list of alike objects ({"size": "S", "measures": [{"label": ..., "in": ...}]}):
    one row an inner object, what the outer one says before it; [] for anything else."""
    heads: dict[str, None] = {}
    labels: dict[str, None] = {}
    records: list[tuple[dict[str, Item], dict[str, Item], str]] = []
    for key, member in members:
        member_path = f"{path}/{escape(key)}"
        fields, left = _fields(member, member_path)
        inner = _unfold_list(left[0][1]) if len(left) == 1 else []
        if (
            len(fields) + keyed > MOST_OUTER
            or not (fields or keyed)
            or not inner
            or is_pair_list(inner)
            or not _are_alike(inner)
        ):
            return []
        outer = {f.label: _joined(f.items) for f in _name_apart(fields)}
        outer |= {"": Item(key, member_path, header=True)} if keyed else {}
        for number, one in enumerate(inner):
            place = f"{left[0][0]}/{number}"
            own, more = _fields(one, place)
            if more or len(own) < 2:
                return []
            record = {f.label: _joined(f.items) for f in _name_apart(own)}
            heads.update(dict.fromkeys(outer))
            labels.update(dict.fromkeys(record))
            records.append((outer, record, place))
    if set(heads) & set(labels):
        return []
    rows: list[Row] = [[Item(label, path, header=True) for label in (*heads, *labels)]]
    for outer, record, place in records:
        cells = [outer.get(label, Item("", place)) for label in heads]
        rows.append([*cells, *(record.get(label, Item("", place)) for label in labels)])
    return rows


def _free_label(label: str, record: dict[str, Item]) -> str:
    """The same measure twice in one object (inches and centimetres) needs two columns."""
    number, free = 1, label
    while free in record:
        number += 1
        free = f"{label} ({number})"
    return free


def _joined(items: Sequence[Item]) -> Item:
    if len(items) == 1:
        return items[0]
    return Item(", ".join(item.text for item in items if item.text), items[0].path)


def _are_alike(objects: Sequence[dict[str, object]]) -> bool:
    """True where the objects are rows of one table: on average they have more than half of all the keys met."""
    counts = Counter(key for item in objects for key in item)
    kinds = {str(item["@type"]) for item in objects if "@type" in item}
    return bool(counts) and len(kinds) <= 1 and sum(counts.values()) > 0.5 * len(counts) * len(objects)


def _alike_members(value: dict[str, object]) -> list[str]:
    """Keys of an object whose members are rows of one table, e.g. sizes or points of measure as keys."""
    members = {
        key: item
        for key, item in value.items()
        if isinstance(item, dict)
        and item
        and not is_quantity(item)
        and not is_named_thing(item)
        and not _is_table(item)
    }
    if len(members) < 2 or not _are_alike(list(members.values())):
        return []
    return list(members)


def _is_table(value: dict[str, object]) -> bool:
    """An object that is a table by itself: columns and rows, or a row each member ({"waist": {"S": 28, "M": 30}})."""
    inner = [item for item in map(unfold, value.values()) if isinstance(item, dict) and len(item) > 1]
    return bool(columns_and_rows(value)[0]) or (len(inner) > 1 and len(inner) == len(value) and _are_alike(inner))


# ---- fields of one object ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Field:
    key: str
    parent: str
    items: list[Item]
    label: str = ""


def _fields(value: dict[str, object], path: str, parent: str = "") -> tuple[list[_Field], list[tuple[str, object]]]:
    """The object's scalars, quantities and lists of scalars as fields, nested plain objects laid flat; and the rest."""
    fields: list[_Field] = []
    left: list[tuple[str, object]] = []
    for key, raw in value.items():
        item, item_path = unfold(raw), f"{path}/{escape(key)}"
        if key in _SKIPPED_KEYS or item is None or item in ("", [], {}):
            continue
        if is_scalar(item):
            fields.append(_Field(key, parent, [scalar(item, item_path)]))
        elif isinstance(item, dict) and is_quantity(item) and not name_of(item):
            fields.append(_Field(key, parent, [quantity(item, item_path)]))
        elif isinstance(item, dict) and is_named_thing(item):
            fields.append(_Field(key, parent, [scalar(item["name"], f"{item_path}/name")]))
        elif isinstance(item, dict) and _stands_alone(item):
            if is_scalar(item.get("name")) and item.get("name"):
                fields.append(_Field(key, parent, [scalar(item["name"], f"{item_path}/name")]))
            left.append((item_path, item))
        elif isinstance(item, dict) and not parent and not is_quantity(item) and any(map(_is_plain, item.values())):
            inner = dict(item)
            if is_scalar(inner.get("name")) and inner.get("name"):
                fields.append(_Field(key, parent, [scalar(inner.pop("name"), f"{item_path}/name")]))
            more, more_left = _fields(inner, item_path, key)
            fields += more
            left += more_left
        elif isinstance(item, list) and all(is_scalar(part) for part in item):
            fields.append(_Field(key, parent, [scalar(part, f"{item_path}/{i}") for i, part in enumerate(item)]))
        else:
            left.append((item_path, item))
    return fields, left


def _is_plain(value: object) -> bool:
    return is_scalar(value) or (isinstance(value, dict) and is_quantity(value))


def _stands_alone(value: dict[str, object]) -> bool:
    """True for an object with pairs or a table of its own: its scalars are wanted beside those, not with its parent."""
    if columns_and_rows(value)[0]:
        return True
    members = [_unfold_list(item) for item in value.values()]
    return any(len(objects) > 0 and (is_pair_list(objects) or len(objects) > 1) for objects in members)


def _unfold_list(value: object) -> list[dict[str, object]]:
    items = unfold(value)
    if isinstance(items, dict):
        return [items] if is_pair_list([items]) else []
    members = items if isinstance(items, list) else []
    objects = [item for item in members if isinstance(item, dict)]
    return objects if len(objects) == len(members) else []


def _name_apart(fields: list[_Field]) -> list[_Field]:
    """A key met twice is told apart by the key of the object around it ("petite inseam", "tall inseam")."""
    counts = Counter(f.key for f in fields)
    return [
        _Field(f.key, f.parent, f.items, f"{f.parent} {f.key}" if counts[f.key] > 1 and f.parent else f.key)
        for f in fields
    ]


def _pair_lists(
    left: list[tuple[str, object]], owner: str
) -> tuple[list[tuple[str, dict[str, object]]], list[tuple[str, object]]]:
    """Name/value pairs that stand directly in the object at `owner` (hasMeasurement, additionalProperty), and the rest.

    Pairs of an object within it (a body's measures under its size) stay apart: they are not the owner's.
    """
    pairs: list[tuple[str, dict[str, object]]] = []
    others: list[tuple[str, object]] = []
    for path, item in left:
        members = item if isinstance(item, list) else [item]
        objects = [member for member in members if isinstance(member, dict)]
        direct = path.rpartition("/")[0] == owner
        if direct and objects and len(objects) == len(members) and is_pair_list(objects):
            paths = [f"{path}/{i}" for i in range(len(objects))] if isinstance(item, list) else [path]
            pairs += list(zip(paths, objects, strict=True))
        else:
            others.append((path, item))
    return pairs, others
