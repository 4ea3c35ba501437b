"""JSON Schemas of the files of `schemas/`, made from the same dataclasses that read them: editors complete keys and
underline what is wrong. `python -m tests.json_schemas` writes them into `schemas/json`, one file a TOML file.

They say less than the reading does (a range upside down, one word twice); what they refuse, the reading refuses too.
Draft 7, which editors for TOML know.
"""

from __future__ import annotations

import ast
import inspect
import json
import textwrap
import types
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from halfinch.knowledge.reading import Span

Node = dict[str, Any]
FOLDER = Path(__file__).parents[1] / "schemas"

DRAFT = "http://json-schema.org/draft-07/schema#"
EXACT: Node = {
    "description": 'a number: 3, 0.5, "3/8", "1 1/2"',
    "anyOf": [
        {"type": "number"},
        {"type": "string", "pattern": r"^\s*[-+]?[0-9.]+(/[0-9]+)?(\s+[0-9.]+(/[0-9]+)?)*\s*$"},
    ],
}
SCALARS: dict[Any, Node] = {str: {"type": "string"}, bool: {"type": "boolean"}, int: {"type": "integer"}}


def schemas() -> dict[str, Node]:
    """Every schema by the name of its TOML file without the ending; `terms` is of each file of that folder,
    `merchants` of the file that a person keeps beside a catalogue."""
    from halfinch.knowledge import Knowledge
    from halfinch.knowledge.spec_habits import Habits
    from halfinch.knowledge.spec_points import Points
    from halfinch.knowledge.spec_words import Terms

    hints = get_type_hints(Knowledge) | {"points": Points, "terms": Terms}
    kinds = {name: hints[name] for name in hints if name not in ("digest", "reading_digest", "folder")}
    made = {name: _titled(name, schema_of(kind)) for name, kind in kinds.items()}
    return {**made, "merchants": _titled("merchants", schema_of(Mapping[str, Habits]))}


def schema_of(hint: Any) -> Node:
    """The schema of one type that `halfinch.knowledge.reading` understands."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return schema_of(next(kind for kind in inner if kind is not type(None)))
    if origin is Literal:
        return {"enum": list(inner)}
    if origin in (tuple, frozenset):
        return {"type": "array", "items": schema_of(inner[0])}
    if origin is not None and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": schema_of(inner[1])}
    if hint is Span:
        return {"description": "a range [low, high]", "type": "array", "items": EXACT, "minItems": 2, "maxItems": 2}
    if is_dataclass(hint) and isinstance(hint, type):
        return _table(hint)
    return EXACT if hint in (Fraction, Decimal) else SCALARS[hint]


def _table(kind: type[Any]) -> Node:
    hints, docs = get_type_hints(kind), _field_docs(kind)
    known = {field.name.rstrip("_"): field for field in fields(kind)}
    told = {
        key: schema_of(hints[field.name]) | ({"description": docs[field.name]} if field.name in docs else {})
        for key, field in known.items()
    }
    # A name is the key of the table itself where the file does not say another.
    needed = [
        key
        for key, field in known.items()
        if field.default is MISSING and field.default_factory is MISSING and key != "name"
    ]
    return {
        "description": (inspect.getdoc(kind) or "").replace("\n", " "),
        "type": "object",
        "properties": told,
        "required": needed,
        "additionalProperties": False,
    }


def _field_docs(kind: type[Any]) -> dict[str, str]:
    """What stands below each field of a dataclass and of those it is made from."""
    docs: dict[str, str] = {}
    for one in reversed(kind.__mro__):
        if not is_dataclass(one):
            continue
        (tree,) = ast.parse(textwrap.dedent(inspect.getsource(one))).body
        assert isinstance(tree, ast.ClassDef)
        for line, below in zip(tree.body, tree.body[1:], strict=False):
            text = below.value if isinstance(below, ast.Expr) else None
            if isinstance(line, ast.AnnAssign) and isinstance(text, ast.Constant) and isinstance(text.value, str):
                assert isinstance(line.target, ast.Name)
                docs[line.target.id] = inspect.cleandoc(text.value).replace("\n", " ")
    return docs


def _titled(name: str, schema: Node) -> Node:
    return {"$schema": DRAFT, "title": f"halfinch: {name}.toml", **schema}


def as_text(schema: Node) -> str:
    """A schema as its file holds it."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    for file_name, one_schema in schemas().items():
        (FOLDER / "json" / f"{file_name}.schema.json").write_text(as_text(one_schema), encoding="utf-8")
