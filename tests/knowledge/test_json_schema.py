"""The JSON Schemas beside the files of `schemas/` are those that their dataclasses make, and refuse what the reading
refuses."""

from __future__ import annotations

import copy
import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator
from tests.json_schemas import FOLDER, as_text, schemas

from halfinch.errors import KnowledgeError
from halfinch.knowledge.reading import read_tables
from halfinch.knowledge.spec_habits import Habits

ROOT = Path(__file__).parents[2]

MADE = schemas()


def test_schemas_are_well_formed_and_written_down() -> None:
    for name, schema in MADE.items():
        Draft7Validator.check_schema(schema)
        file = FOLDER / "json" / f"{name}.schema.json"
        assert file.read_text(encoding="utf-8") == as_text(schema), f"make schemas writes {file.name} anew"
    assert {file.name for file in (FOLDER / "json").iterdir()} == {f"{name}.schema.json" for name in MADE}


def test_every_file_keeps_its_schema_and_an_editor_finds_it() -> None:
    rules = tomllib.loads((ROOT / ".taplo.toml").read_text(encoding="utf-8"))["rule"]
    found = {file: rule for rule in rules for pattern in rule["include"] for file in ROOT.glob(pattern)}
    files = set(FOLDER.rglob("*.toml"))
    assert files <= set(found)
    for file in files:
        schema = json.loads((ROOT / found[file]["schema"]["path"]).read_text(encoding="utf-8"))
        wrong = [f"{list(one.path)}: {one.message}" for one in Draft7Validator(schema).iter_errors(read(file))]
        assert wrong == [], file


def read(file: Path) -> dict[str, Any]:
    return tomllib.loads(file.read_text(encoding="utf-8"))


def test_fields_tell_what_they_mean() -> None:
    thing = MADE["read_over"]["properties"]["thing"]["additionalProperties"]["properties"]
    assert thing["beside"]["description"].startswith("Points that this thing's name leaves alone")


DAMAGE = [
    pytest.param(("relation", "outseam", "form"), "diference", id="word-outside-a-closed-set"),
    pytest.param(("relation", "outseam", "limits"), [1], id="half-a-range"),
    pytest.param(("relation", "outseam", "limits"), ["a few", 2], id="no-number"),
    pytest.param(("relation", "outseam", "to"), "inseam", id="text-for-a-list"),
    pytest.param(("relation", "outseam", "becuase"), "x", id="misspelt-key"),
    pytest.param(("relation", "outseam", "because"), None, id="missing-key"),
    pytest.param(("relations",), {}, id="misspelt-table"),
]


@pytest.mark.parametrize(("path", "value"), DAMAGE)
def test_a_slip_is_underlined(path: tuple[str, ...], value: Any) -> None:
    data = copy.deepcopy(read(FOLDER / "relations.toml"))
    table = data
    for part in path[:-1]:
        table = table[part]
    if value is None:
        del table[path[-1]]
    else:
        table[path[-1]] = value
    assert not Draft7Validator(MADE["relations"]).is_valid(data)


HABITS = [
    pytest.param('[a]\nunit = "cm"\nknee = 13\ntolerance = { inseam = "1/4" }\n', True, id="as-told-in-the-readme"),
    pytest.param('[a]\nunit = "inches"\n', False, id="unknown-unit"),
    pytest.param('[a]\nconvention = { thig = "flat" }\n', False, id="misspelt-point"),
    pytest.param('[a]\nknee = "13 cm"\n', False, id="number-with-a-unit"),
]


@pytest.mark.parametrize(("text", "right"), HABITS)
def test_habits_of_merchants_have_one_too(text: str, right: bool) -> None:
    assert Draft7Validator(MADE["merchants"]).is_valid(tomllib.loads(text)) == right
    if right:
        read_tables(text, Habits, "merchants.toml")
    else:
        with pytest.raises(KnowledgeError):
            read_tables(text, Habits, "merchants.toml")
