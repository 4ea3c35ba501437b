"""What leaves the house: the wheel, its metadata, and what a plain install does without."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
import zipfile
from email.parser import Parser
from importlib import metadata
from pathlib import Path

import pytest

import halfinch

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))

MODULE_OF = {
    "beautifulsoup4": "bs4",
    "pdfminer.six": "pdfminer",
    "pillow": "PIL",
    "great-expectations": "great_expectations",
    "odfpy": "odf",
    "fpdf2": "fpdf",
    "pyyaml": "yaml",
}
"""Distributions whose import name is another one."""

TOOLS = {
    "hatchling", "ruff", "mypy", "import-linter", "pandas-stubs", "lxml-stubs", "types-openpyxl", "halfinch",
    "pytest-xdist", "check-jsonschema", "sphinx", "myst-parser", "furo",
}  # fmt: skip
"""Of the extras for developers: run, never imported."""
CARRIERS = {"scikit-learn", "statsmodels"}
"""Of the extra `dev`: read for the documents that they carry, never imported."""

NEEDED_BY_OTHERS = {"python-multipart", "vl-convert-python", "s3fs", "flask", "flask-cors"}
"""Asked for because a library of ours only works with it (fastapi reads forms by it, altair draws by it, fsspec finds
its S3 by it, moto serves by them), never imported."""
OF_COMMANDS = ("audit", "cluster", "lake")
"""Extras that a command asks for when it is used."""


BUILD = """
import os, sys
from hatchling.build import build_wheel
os.chdir(sys.argv[1])
print(build_wheel(sys.argv[2]))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.ZipFile:
    """The wheel as `pip install .` builds it, by the build backend itself: nothing is fetched."""
    folder = tmp_path_factory.mktemp("wheel")
    done = subprocess.run(
        [sys.executable, "-c", BUILD, str(ROOT), str(folder)], capture_output=True, text=True, check=True
    )
    return zipfile.ZipFile(folder / done.stdout.split()[-1])


def below(folder: Path, pattern: str) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob(pattern)}


def test_wheel_carries_all_of_the_knowledge(wheel: zipfile.ZipFile) -> None:
    inside = "halfinch/schemas/"
    shipped = {name.removeprefix(inside) for name in wheel.namelist() if name.startswith(inside)}
    assert shipped == below(ROOT / "schemas", "*.toml") | below(ROOT / "schemas", "*.json")
    assert "terms/de.toml" in shipped


def test_wheel_carries_the_demo_that_an_empty_workbench_offers(wheel: zipfile.ZipFile) -> None:
    inside = "halfinch/demo/"
    shipped = {name.removeprefix(inside) for name in wheel.namelist() if name.startswith(inside)}
    assert shipped == below(ROOT / "fixtures" / "demo", "*.*")


def test_wheel_carries_every_module_and_template_and_nothing_else(wheel: zipfile.ZipFile) -> None:
    source = ROOT / "pipeline" / "halfinch"
    ours = {
        f"halfinch/{name}"
        for pattern in ("*.py", "*.html", "*.txt", "*.toml", "*.css", "*.js", "*.svg", "py.typed")
        for name in below(source, pattern)
    }
    names = {name for name in wheel.namelist() if not name.startswith(("halfinch/schemas/", "halfinch/demo/"))}
    assert {name for name in names if ".dist-info/" not in name} == ours
    assert "halfinch/present/templates/audit.html" in ours


def test_wheel_brings_the_command_and_one_top_name(wheel: zipfile.ZipFile) -> None:
    info = next(name for name in wheel.namelist() if name.endswith("/entry_points.txt"))
    assert "halfinch = halfinch.cli:main" in wheel.read(info).decode()
    assert {name.split("/")[0] for name in wheel.namelist()} == {"halfinch", info.split("/")[0]}


def test_a_plain_install_stays_light(wheel: zipfile.ZipFile) -> None:
    """The engine of the audit is asked for by an extra only, and so is everything for developers."""
    info = next(name for name in wheel.namelist() if name.endswith("/METADATA"))
    asked = Parser().parsestr(wheel.read(info).decode()).get_all("Requires-Dist") or []
    plain = {name_of(line) for line in asked if "extra ==" not in line}
    assert plain.isdisjoint({"great-expectations", "pytest", "reportlab", "scipy", "hypothesis"})
    assert {name_of(line) for line in asked if "extra == 'audit'" in line.replace('"', "'")} == {"great-expectations"}


def name_of(requirement: str) -> str:
    found = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert found
    return found.group()


def imported_by(*folders: str) -> set[str]:
    """Top names of what the modules below these folders import, without the standard library and our own."""
    files = [path for folder in folders for path in (ROOT / folder).rglob("*.py")]
    own = {path.stem for path in files} | {"halfinch", "fixtures", "tests"}
    names: set[str] = set()
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                names.add(node.module.split(".")[0])
    return names - set(sys.stdlib_module_names) - own


def modules_of(requirements: list[str]) -> set[str]:
    names = {name_of(one).lower() for one in requirements} - TOOLS - CARRIERS - NEEDED_BY_OTHERS
    return {MODULE_OF.get(name, name.replace("-", "_")) for name in names}


def test_the_package_asks_for_what_it_imports_and_for_no_more() -> None:
    asked = modules_of(PROJECT["project"]["dependencies"])
    extras = PROJECT["project"]["optional-dependencies"]
    assert imported_by("pipeline") == asked.union(*(modules_of(extras[name]) for name in OF_COMMANDS))


def test_the_extra_for_developers_is_what_tests_and_makers_import() -> None:
    extras = PROJECT["project"]["optional-dependencies"]
    asked = modules_of([*PROJECT["project"]["dependencies"], *(one for name in OF_COMMANDS for one in extras[name])])
    dev = modules_of(extras["dev"] + extras["docs"])
    assert imported_by("tests", "fixtures") - asked == dev


def test_constraints_name_a_version_for_everything_that_is_asked_for() -> None:
    lines = (ROOT / "pipeline" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = dict(line.split("==") for line in lines if line and not line.startswith("#"))
    names = {re.sub(r"[-_.]+", "-", name).lower() for name in pinned}
    extras = PROJECT["project"]["optional-dependencies"]
    asked = [*PROJECT["project"]["dependencies"], *(name for extra in extras.values() for name in extra)]
    assert {re.sub(r"[-_.]+", "-", name_of(one)).lower() for one in asked} - {"halfinch"} <= names
    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[0-9][A-Za-z0-9.]*", f"{name}=={pinned[name]}") for name in pinned)


def test_version_is_told_once() -> None:
    assert halfinch.__version__ == PROJECT["project"]["version"] == metadata.version("halfinch")


WITHOUT = """
import sys
for name in ("great_expectations",):
    sys.modules[name] = None
from halfinch.cli import main
main(["audit", "--catalogue", sys.argv[1]])
"""


def test_audit_without_its_extra_says_which_to_install(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT, str(tmp_path / "shop.duckdb")], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "pip install 'halfinch[audit]'" in done.stderr
    assert "Traceback" not in done.stderr
