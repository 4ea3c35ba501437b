"""Uploaded files, laid down under safe names below the folder of their job.

What lay in a folder keeps it: the folder's name is taken for the merchant. A file whose name another one has already is
told apart by a number, since two merchants may both send a "size chart.pdf"; unless one said that it is a newer one.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from halfinch.catalogue.identity import sheet_digest

_UNSAFE = re.compile(r'[\x00-\x1f\x7f<>:"|?*\\]')
LONGEST = 150
"""Letters of one part of a path; a file system takes 255 bytes."""
DEEPEST = 8


def safe_path(name: str) -> PurePosixPath:
    """The path that an upload's name means, below any folder: no part leads up or out. Never empty."""
    parts = [_safe_part(part) for part in name.replace("\\", "/").split("/")]
    kept = [part for part in parts if part][-DEEPEST:]
    return PurePosixPath(*kept) if kept else PurePosixPath("sheet")


def _safe_part(part: str) -> str:
    """Without what a file system refuses; a hidden file is shown."""
    part = _UNSAFE.sub("_", part).strip(" .")
    while len(part.encode()) > LONGEST:
        stem, dot, ending = part.rpartition(".")
        part = f"{stem[:-1]}{dot}{ending}" if stem and len(ending) < 10 else part[:-1]
    return part


def save_upload(folder: Path, name: str, content: BinaryIO, taken: dict[str, str]) -> Path:
    """Writes one file below `folder`. `taken`: paths that mean a file already, with its digest; one more after."""
    with tempfile.NamedTemporaryFile(dir=folder.parent, delete=False) as part:
        shutil.copyfileobj(content, part)
    written = Path(part.name)
    digest = sheet_digest(written.read_bytes())
    path = free_path(safe_path(name), digest, taken)
    taken[path.as_posix()] = digest
    target = folder / path
    target.parent.mkdir(parents=True, exist_ok=True)
    os.replace(written, target)
    return target


def free_path(path: PurePosixPath, digest: str, taken: dict[str, str]) -> PurePosixPath:
    """`path`, or the first of "chart (2).pdf", "chart (3).pdf" ... that no other file has."""
    free, number = path, 1
    while taken.get(free.as_posix(), digest) != digest:
        number += 1
        free = path.with_name(f"{path.stem} ({number}){path.suffix}")
    return free
