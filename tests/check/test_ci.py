"""What build servers meet: annotations, summary, the action, the workflow and the hook, each run or held against its
published schema."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml

from halfinch.check import Difference, SheetCheck, to_github, to_markdown

ROOT = Path(__file__).parents[2]
ACTION = ROOT / ".github" / "actions" / "check-fixtures" / "action.yml"
COUNTS = {"expected": {"value": 3, "hold": 0}, "counts": {"accepted": 3, "assumed": 0, "held": 0}}
HOSTILE = Difference(
    "wrong", "printed '::error::x\n::set-output name=a::<b>|100%'", expected="1", got="2", place="row=1", line=7
)
CHECKS = [
    SheetCheck("shop/a,b.csv", (HOSTILE,) * 12, **COUNTS, file="fixtures/a:b.expected.csv"),
    SheetCheck("shop/good.csv", (), **COUNTS, file="fixtures/good.expected.csv"),
    SheetCheck("shop/new.csv", (), **COUNTS, unconfirmed=3, file="fixtures/new.expected.csv"),
]


def test_an_annotation_a_fixture_that_does_not_pass_and_nothing_a_cell_can_add() -> None:
    lines = list(to_github(CHECKS))
    assert [re.match(r"::(\w+) file=([^,]+),line=(\d+),", line).groups() for line in lines[:-1]] == [  # type: ignore[union-attr]
        ("error", "fixtures/a%3Ab.expected.csv", "7"),
        ("warning", "fixtures/new.expected.csv", "1"),
    ]
    assert all("\n" not in line for line in lines)
    assert "%0A::set-output" in lines[0]
    assert "100%25" in lines[0]
    assert "and 2 more" in lines[0]


def test_a_summary_names_what_does_not_pass_and_shows_markup_as_text() -> None:
    text = to_markdown(CHECKS)
    assert "| shop/a,b.csv | differs | 3 | 12 |" in text
    assert "| shop/new.csv | unsigned | 3 | 0 |" in text
    assert "good.csv" not in text
    assert "&lt;b&gt;\\|100%" in text
    assert "::set" in text
    assert not [line for line in text.splitlines() if line.startswith("::")]


@pytest.fixture(scope="module")
def path() -> str:
    return os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])


@pytest.mark.skipif(os.name == "nt", reason="the action's shell is bash")
def test_the_action_checks_a_folder(tmp_path: Path, path: str) -> None:
    """Its last step, run as the runner runs it."""
    steps = yaml.safe_load(ACTION.read_text(encoding="utf-8"))["runs"]["steps"]
    step = next(step for step in steps if step.get("name") == "Check")
    folder = tmp_path / "with blanks"
    folder.mkdir()
    name = "halbe-weiten-semikolon-latin1"
    for ending in (".csv", ".expected.csv"):
        shutil.copy(ROOT / "fixtures" / "querfelder-hosenwerk" / f"{name}{ending}", folder)
    expected = folder / f"{name}.expected.csv"
    expected.write_text(expected.read_text(encoding="utf-8").replace(",29.92126,", ",30.5,", 1), encoding="utf-8")
    summary = tmp_path / "summary.md"
    given = {"FIXTURES": str(folder), "JUNIT": str(tmp_path / "junit.xml"), "GITHUB_STEP_SUMMARY": str(summary)}
    assert set(step["env"]) == {"FIXTURES", "JUNIT"}
    environment = {**os.environ, **given, "PATH": path}
    done = subprocess.run(
        ["bash", "-e", "-c", step["run"]], env=environment, capture_output=True, text=True, check=False, cwd=tmp_path
    )
    assert done.returncode == 1, done.stderr
    assert done.stdout.startswith(f"::error file={folder}/{name}.expected.csv,line=")
    assert "1 fixtures differ" in summary.read_text(encoding="utf-8")
    assert ElementTree.parse(tmp_path / "junit.xml").getroot()[0].get("failures") == "1"


def test_the_hook_checks_the_files_it_is_given(path: str) -> None:
    (hook,) = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    file = "fixtures/querfelder-hosenwerk/halbe-weiten-semikolon-latin1.expected.csv"
    assert re.search(hook["files"], file)
    assert {"id", "name", "entry", "language"} <= hook.keys()
    done = subprocess.run(
        [*hook["entry"].split(), file], env={**os.environ, "PATH": path}, capture_output=True, text=True, check=False,
        cwd=ROOT,
    )  # fmt: skip
    assert (done.returncode, done.stdout.count("\n")) == (0, 1), done.stdout + done.stderr


@pytest.mark.parametrize(
    ("kind", "file"),
    [
        pytest.param("vendor.github-actions", ACTION, id="action"),
        pytest.param("vendor.github-workflows", ROOT / ".github" / "workflows" / "fixtures.yml", id="workflow"),
    ],
)
def test_files_keep_their_published_schema(kind: str, file: Path, path: str) -> None:
    command = ["check-jsonschema", "--builtin-schema", kind, str(file)]
    done = subprocess.run(command, env={**os.environ, "PATH": path}, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
