"""The bodies of the bench: files of one folder, known to a browser by handles only."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from fastapi import HTTPException

from halfinch.errors import BodyError
from halfinch.fit.body import Body
from halfinch.workbench.desk import Desk


@dataclass(frozen=True, slots=True)
class Wearer:
    """One body file. `body` is None where it cannot be read; `trouble` then says why."""

    handle: str
    name: str
    path: Path
    body: Body | None = None
    trouble: str = ""


def find_wearers(desk: Desk) -> list[Wearer]:
    """Every body file of the folder, by name."""
    folder = desk.settings.bodies
    files = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return sorted((_read(desk, path) for path in files), key=lambda one: one.name.casefold())


def open_wearer(desk: Desk, handle: str) -> Wearer:
    """The wearer behind a handle. HTTPException 404 for a handle that this server did not give, or whose file is gone;
    BodyError for a file that cannot be read."""
    path = desk.bodies.get(handle)
    if path is None or not path.is_file():
        raise HTTPException(404)
    wearer = _read(desk, path)
    if wearer.body is None:
        raise BodyError(wearer.trouble)
    return wearer


def _read(desk: Desk, path: Path) -> Wearer:
    from halfinch.fit import load_body

    handle = desk.bodies.give(path)
    try:
        body = load_body(path, desk.knowledge)
    except BodyError as error:
        return Wearer(handle, path.stem, path, None, str(error))
    return Wearer(handle, body.name or path.stem, path, body)


def free_file(folder: Path, name: str) -> Path:
    """A file name for a new body: of the name's letters, never of a measure."""
    stem = re.sub(r"[^\w]+", "-", name.casefold()).strip("-")[:40] or "body"
    path, number = folder / f"{stem}.toml", 1
    while path.exists():
        number += 1
        path = folder / f"{stem}-{number}.toml"
    return path
