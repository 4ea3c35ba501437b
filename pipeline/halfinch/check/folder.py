"""Which files of a folder are fixtures, and the reading of each."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from halfinch.check.compare import Difference, compare_figures, count_statuses, total_expected
from halfinch.check.expected import read_expectations
from halfinch.errors import SheetError, UsageError
from halfinch.figure import SheetResult

Reader = Callable[[bytes, str], list[SheetResult]]
ENDING = ".expected.csv"
NO_SHEETS = frozenset({".py", ".pyc", ".md", ".toml"})
"""What may stand between fixtures without being one: makers, notes, bodies and habits."""


@dataclass(frozen=True, slots=True)
class Fixture:
    """A sheet and the file of its expected figures."""

    name: str
    """As an import of the folder would name it: `merchant/NAME.ext`."""
    path: Path
    expected: Path


@dataclass(frozen=True, slots=True)
class SheetCheck:
    """What came out for one fixture."""

    name: str
    differences: tuple[Difference, ...]
    expected: dict[str, int]
    counts: dict[str, int]
    seconds: float = 0.0
    messages: tuple[str, ...] = field(default=())
    """What the program said of a sheet it could not read, first line of its log included."""
    unconfirmed: int = 0
    """Rows of the expected file that nobody has signed."""
    file: str = ""
    """Path of the expected file, as it was named."""

    @property
    def passed(self) -> bool:
        return not self.differences and not self.unconfirmed


def find_fixtures(paths: Iterable[Path]) -> list[Fixture]:
    """Every fixture under the given folders (or of the given sheets or expected files), by name, each once.

    Raises UsageError when a path is not there, a sheet has no expected file, two sheets share one, or an expected file
    has no sheet.
    """
    fixtures: list[Fixture] = []
    orphans: list[Path] = []
    for path in paths:
        if not path.exists():
            raise UsageError(f"{path}: no such file or folder; name a folder of fixtures.")
        root = path if path.is_dir() else path.parent
        inside = sorted(p for p in (root.rglob if path.is_dir() else root.glob)("*") if p.is_file())
        expected = {p for p in inside if p.name.endswith(ENDING)}
        sheets = [p for p in inside if is_sheet(p, root)]
        if path in expected:
            sheets = [p for p in sheets if find_expected(p, expected) == path]
            orphans += [] if sheets else [path]
        elif not path.is_dir():
            sheets = [p for p in sheets if p == path]
        used: dict[Path, Path] = {}
        for sheet in sheets:
            found = find_expected(sheet, expected)
            if found is None:
                raise UsageError(f"{sheet}: no expected figures beside it; `halfinch fixture new {sheet}` drafts them.")
            if found in used:
                raise UsageError(f"{found}: two sheets share it, {used[found].name} and {sheet.name}; rename one.")
            used[found] = sheet
            if not any(fixture.path == sheet for fixture in fixtures):
                fixtures.append(Fixture(sheet.relative_to(root).as_posix(), sheet, found))
        orphans += sorted(expected - used.keys()) if path.is_dir() else []
    if orphans:
        raise UsageError(f"{orphans[0]}: no sheet stands beside this expected file; put it back or delete the file.")
    if not fixtures:
        raise UsageError("No fixture found; a fixture is a sheet with its NAME.expected.csv beside it.")
    return fixtures


def is_sheet(path: Path, root: Path) -> bool:
    """True where a file is no expected file, note or maker."""
    parts = path.relative_to(root).parts
    hidden = any(part.startswith((".", "__")) or part == "makers" for part in parts)
    return not hidden and not path.name.endswith(ENDING) and path.suffix not in NO_SHEETS


def find_expected(sheet: Path, expected: set[Path]) -> Path | None:
    """The expected file of a sheet among those that there are."""
    for name in (sheet.name, sheet.name.split(".")[0], sheet.stem):
        if (candidate := sheet.parent / (name + ENDING)) in expected:
            return candidate
    return None


def check_fixture(fixture: Fixture, read: Reader) -> SheetCheck:
    """Read one fixture and compare it. A sheet that cannot be read is a sheet without figures, and says why."""
    expected = read_expectations(fixture.expected)
    started = time.perf_counter()
    messages: list[str] = []
    try:
        results = read(fixture.path.read_bytes(), fixture.name)
    except SheetError as error:
        results, messages = [], [str(error)]
    for result in results:
        if result.outcome in ("failed", "partly"):
            messages.append(f"{result.sheet}: {result.outcome}: {result.message or result.log.strip()[-200:]}")
    differences = compare_figures(expected, results)
    if any(result.log for result in results):
        logs = [result.log.strip().splitlines()[-1] for result in results if result.log]
        differences.insert(0, Difference("failed", f"the program failed on this sheet: {logs[0]}", fixture.name))
    return SheetCheck(
        name=fixture.name,
        differences=tuple(differences),
        expected=total_expected(expected),
        counts=count_statuses(results),
        seconds=time.perf_counter() - started,
        messages=tuple(messages),
        unconfirmed=sum(not row.confirmed for row in expected),
        file=str(fixture.expected),
    )


def check_folders(paths: Sequence[Path], read: Reader | None = None) -> list[SheetCheck]:
    """Every fixture under `paths`. `read` is `halfinch.work.read_sheet` with the shipped knowledge unless given."""
    fixtures = find_fixtures(paths)
    reader = read or _make_reader()
    return [check_fixture(fixture, reader) for fixture in fixtures]


def _make_reader() -> Reader:
    from halfinch import knowledge, work

    known = knowledge.load()

    def read(data: bytes, name: str) -> list[SheetResult]:
        return work.read_sheet(data, name, known)

    return read


__all__ = ["Fixture", "SheetCheck", "check_fixture", "check_folders", "find_fixtures"]
