"""Which files a list of paths means, in a fixed order, each with its name, its source and its merchant."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from halfinch.errors import UsageError

LARGEST = 200_000_000
"""Bytes; a larger file is no measurement sheet and is not opened."""

NEVER_SHEETS = frozenset({".toml", ".py", ".pyc", ".duckdb", ".wal", ".lock"})
"""Files that lie beside sheets: bodies (private), habits, knowledge, makers of fixtures, catalogues."""

EXPECTED = ".expected.csv"
"""What should be read from the fixture of that name; it is no sheet."""

NO_MERCHANT = frozenset(
    {
        "in",
        "inbox",
        "incoming",
        "new",
        "old",
        "all",
        "data",
        "files",
        "sheets",
        "specs",
        "spec",
        "downloads",
        "download",
        "desktop",
        "documents",
        "docs",
        "tmp",
        "temp",
        "fixtures",
        "demo",
        "suppliers",
        "supplier",
        "merchants",
        "merchant",
        "vendors",
        "brands",
        "tests",
        "test",
        "build",
        "home",
        "root",
        "archive",
        "misc",
    }
)
"""Folder names that say where files lie, not who sent them."""


@dataclass(frozen=True, slots=True)
class Found:
    """One file to import."""

    path: Path
    name: str
    """As imported: the path below the given folder, or the file's own name."""
    source: str
    """As seen from the catalogue's folder, or under the name given instead."""
    merchant: str
    """By --merchant, else by folder; '' where neither says."""
    trouble: str = ""
    """Why it cannot be read, one sentence, else ''."""


def find_files(paths: Sequence[Path], catalogue: Path, *, merchant: str = "", named: str = "") -> Iterator[Found]:
    """The files behind files and folders, sorted by name, each once.

    Hidden files, links that lead out of the folder, the catalogue itself and files that are never sheets are left
    out; what cannot be read comes with its trouble. `named` names the source (of a folder: the folder). Raises
    UsageError for a path that does not exist.
    """
    for path in paths:
        if not path.exists():
            raise UsageError(f"{path} does not exist; name a file or a folder.")
    if named and len(paths) > 1:
        raise UsageError("--as names one file or one folder; import the others by themselves.")
    catalogue = catalogue.resolve()
    home = catalogue.parent
    seen: set[Path] = set()
    for path in paths:
        found = _in_folder(path, home, merchant, named) if path.is_dir() else _single(path, home, merchant, named)
        for file in found:
            real = file.path.resolve()
            if real not in seen and not _belongs_to(real, catalogue):
                seen.add(real)
                yield file


def _single(path: Path, home: Path, merchant: str, named: str) -> Iterator[Found]:
    parent = path.resolve().parent.name
    whose = merchant or merchant_of_folders([parent])
    yield Found(path, _text(path.name), _text(named or _seen_from(home, path)), _text(whose), _trouble(path))


def _in_folder(folder: Path, home: Path, merchant: str, named: str) -> Iterator[Found]:
    root = folder.resolve()
    for path, trouble in _walk(folder, root):
        below = path.relative_to(folder)
        source = f"{named.rstrip('/')}/{below.as_posix()}" if named else _seen_from(home, path)
        whose = merchant or merchant_of_folders([*below.parts[:-1], root.name])
        yield Found(path, _text(below.as_posix()), _text(source), _text(whose), trouble or _trouble(path))


def _walk(folder: Path, root: Path) -> Iterator[tuple[Path, str]]:
    """Files below a folder, sorted, with the trouble of folders that cannot be listed."""
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        yield folder, f"The folder cannot be read ({error.strerror}); its files were not imported."
        return
    for entry in entries:
        path = Path(entry.path)
        if entry.name.startswith((".", "~$", "__")):
            continue
        if entry.is_dir(follow_symlinks=False):
            if not entry.name.endswith(".sheets") or not path.with_name(entry.name.removesuffix(".sheets")).is_file():
                yield from _walk(path, root)
        elif entry.is_symlink() and _leads_out(path, root):
            continue
        elif entry.is_file() and path.suffix.lower() not in NEVER_SHEETS and not path.name.endswith(EXPECTED):
            yield path, ""


def _leads_out(link: Path, root: Path) -> bool:
    """Whether a link ends outside the folder, or nowhere, going round."""
    try:
        return not link.resolve().is_relative_to(root)
    except (OSError, RuntimeError):
        return True


def _trouble(path: Path) -> str:
    if path.suffix.lower() in NEVER_SHEETS:
        return f"A file of the kind {path.suffix} is no sheet (bodies, habits, programs, catalogues)."
    try:
        if not path.is_file():
            return "It is no regular file."
        size = path.stat().st_size
        if size >= LARGEST:
            return f"It has {size / 1e6:,.0f} MB; files of {LARGEST / 1e6:.0f} MB or more are no measurement sheets."
        with path.open("rb"):
            return ""
    except OSError as error:
        return f"It cannot be opened ({error.strerror})."


def merchant_of_folders(names: Sequence[str]) -> str:
    """The first folder name that can be a merchant's: it has letters, and does not merely say where files lie."""
    for name in names:
        if any(char.isalpha() for char in name) and name.casefold() not in NO_MERCHANT:
            return name
    return ""


def _seen_from(home: Path, path: Path) -> str:
    absolute = Path(os.path.abspath(path))
    try:
        return Path(os.path.relpath(absolute, home)).as_posix()
    except ValueError:  # another drive
        return absolute.as_posix()


def _belongs_to(path: Path, catalogue: Path) -> bool:
    """The catalogue itself, its lock, its log, its kept sheets; of a lake all that is in it."""
    kept = catalogue.with_name(f"{catalogue.name}.sheets")
    if path.is_relative_to(catalogue):
        return True
    return (path.parent == catalogue.parent and path.name.startswith(catalogue.name)) or path.is_relative_to(kept)


def _text(name: str) -> str:
    """A file's name as text, also where its bytes are no UTF-8; control signs are spelt, so that names stay apart."""
    text = os.fsencode(name).decode("utf-8", "replace")
    return "".join(char if char.isprintable() else f"\\x{ord(char):02x}" for char in text)
