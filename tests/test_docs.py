"""README.md and DEVELOPERS.md keep up with the program: commands, schema files, columns, rule codes, make targets."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import halfinch
from halfinch.catalogue.export import FIGURE_COLUMNS
from halfinch.catalogue.for_analysts import all_macros
from halfinch.cli import COMMANDS
from halfinch.figure import BASES, STATUSES
from halfinch.knowledge import load

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PACKAGE = ROOT / "pipeline" / "halfinch"


def rows_under(page: str, head: str) -> list[str]:
    """First cells of the table that begins with this heading cell."""
    table = page.split(f"| {head} |", 1)[1].split("\n\n", 1)[0]
    return [line.split("|")[1].strip() for line in table.splitlines()[2:] if line.startswith("|")]


def names_in(cells: list[str]) -> list[str]:
    return [name for cell in cells for name in re.findall(r"`([^`]+)`", cell)]


def test_commands_of_the_page_are_the_commands() -> None:
    shown = {name.removeprefix("halfinch ") for name in names_in(rows_under(README, "command"))}
    assert shown == set(COMMANDS)


def test_columns_of_the_figures_export_are_told_in_order() -> None:
    assert tuple(names_in(rows_under(README, "column"))) == tuple(FIGURE_COLUMNS)


def test_macros_of_the_page_are_the_macros() -> None:
    told = {name.split("(")[0] for name in names_in(rows_under(README, "macro")) if "(" in name}
    assert told == {macro.name for macro in all_macros()}


def test_statuses_and_bases_are_told() -> None:
    assert rows_under(README, "status") == list(STATUSES)
    basis = README.split("| `basis` |")[1].splitlines()[0]
    assert all(f"{word} (" in basis for word in BASES)


def test_every_schema_file_is_told_and_no_other() -> None:
    told = names_in([cell.split("(")[0] for cell in rows_under(DEVELOPERS, "file")])
    assert set(told) == {path.name for path in (ROOT / "schemas").glob("*.toml")} | {"terms/"}
    languages = names_in([cell for cell in rows_under(DEVELOPERS, "file") if cell.startswith("`terms/`")])[1:]
    assert set(languages) == set(load().terms)


def test_every_room_has_its_floor() -> None:
    rooms = {path.name + "/" for path in PACKAGE.iterdir() if (path / "__init__.py").exists()}
    rooms |= {path.name for path in PACKAGE.glob("*.py") if not path.name.startswith("__")}
    floors = DEVELOPERS.split("| floor | room |")[1].split("\n\n")[0]
    assert (
        set(re.findall(r"`([a-z_]+(?:/|\.py))`", " ".join(line.split("|")[2] for line in floors.splitlines()[1:])))
        == rooms
    )


def test_every_module_of_interpretation_is_told() -> None:
    told = DEVELOPERS.split("## How interpretation works")[1].split("\n## ")[0]
    modules = {path.name for path in (PACKAGE / "interpret").glob("*.py")} - {"__init__.py"}
    small = {"assemble.py", "finish.py", "grids.py", "raw.py", "words.py"}  # glue between those that are told
    assert modules - set(re.findall(r"[a-z_]+\.py", told)) <= small


def test_public_names_are_told() -> None:
    python = README.split("## From Python")[1].split("\n## ")[0]
    assert all(name in python for name in ("open_catalogue", "read_sheet", "load_body", "plan_hem"))
    assert {"open_catalogue", "read_sheet", "load_body", "plan_hem"} <= set(halfinch.__all__)


def test_make_targets_are_told() -> None:
    phony = (ROOT / "Makefile").read_text(encoding="utf-8").split(".PHONY:")[1].splitlines()[0].split()
    told = README + DEVELOPERS
    assert [target for target in phony if target != "setup" and f"make {target}" not in told] == []


# ---- rule codes: every one that the program can write is in the table, and no other ---------------------------------

CALLS = {"hold": 2, "note": 2, "Finding": 1}
"""Calls that take a rule, and among how many first arguments it is."""
PAIRS = {"holds", "notes"}
"""Lists of (rule, reason)."""


def texts_of(node: ast.expr, constants: dict[str, str]) -> list[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.Name) and node.id in constants:
        return [constants[node.id]]
    if isinstance(node, ast.IfExp):
        return texts_of(node.body, constants) + texts_of(node.orelse, constants)
    return []


def constants_of(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """NAME = "text", and A, B = "text", "text"."""
    for node in tree.body:
        if not isinstance(node, ast.Assign):
            continue
        names, value = node.targets[0], node.value
        pairs = [(names, value)]
        if isinstance(names, ast.Tuple) and isinstance(value, ast.Tuple):
            pairs = list(zip(names.elts, value.elts, strict=True))
        for name, text in pairs:
            if isinstance(name, ast.Name) and isinstance(text, ast.Constant) and isinstance(text.value, str):
                yield name.id, text.value


def rules_in(tree: ast.Module, constants: dict[str, str]) -> Iterator[str]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        if name in CALLS:
            found = (texts_of(one, constants) for one in node.args[: CALLS[name]])
            yield from next((texts for texts in found if texts), [])
        pairs = [word.value for word in node.keywords if word.arg in PAIRS]
        on = node.func.value if isinstance(node.func, ast.Attribute) else None
        if name == "append" and isinstance(on, ast.Attribute) and on.attr in PAIRS:
            pairs += node.args
        for pair in (inner for outer in pairs for inner in ast.walk(outer)):
            if isinstance(pair, ast.Tuple) and pair.elts:
                yield from texts_of(pair.elts[0], constants)


@pytest.fixture(scope="module")
def written() -> set[str]:
    """Rule codes that stand in the code or in `relations.toml`."""
    rooms = ("interpret", "plausibility", "catalogue")
    trees = [ast.parse(path.read_text(encoding="utf-8")) for room in rooms for path in (PACKAGE / room).glob("*.py")]
    constants = {name: text for tree in trees for name, text in constants_of(tree)}
    crossings = [
        ast.parse((PACKAGE / "catalogue" / name).read_text(encoding="utf-8")) for name in ("crossings.py", "twins.py")
    ]
    codes = {rule for tree in trees for rule in rules_in(tree, constants)}
    told = (pair for tree in crossings for pair in constants_of(tree))
    codes |= {text for name, text in told if name.isupper() and re.fullmatch(r"[a-z_]+", text)}
    return codes | {constants["RULED"]} | set(load().relations.relation)


def test_every_rule_code_is_told_and_no_other(written: set[str]) -> None:
    told = set(names_in(rows_under(DEVELOPERS, "rule")))
    assert len(written) > 25
    assert written - told == set(), "rules without a line in DEVELOPERS.md"
    assert told - written == set(), "lines of DEVELOPERS.md without a rule"


def test_rules_that_sheets_really_meet_are_told() -> None:
    """Whatever way a rule is written in the code: what the fixtures' text sheets bring up is in the table."""
    told = set(names_in(rows_under(DEVELOPERS, "rule")))
    met = set()
    for path in sorted((ROOT / "fixtures").rglob("*.csv")):
        if not path.name.endswith(".expected.csv"):
            met |= {one.rule for result in halfinch.read_sheet(path.read_bytes(), path.name) for one in result.findings}
    assert len(met) >= 5
    assert met <= told
