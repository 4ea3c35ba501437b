"""The bytes of imported sheets, kept by digest in `<catalogue>.sheets/`, so that the way back to a printed cell
survives a moved folder and sheets can be read again. Same bytes are kept once; it can be switched off."""

from __future__ import annotations

import os
from pathlib import Path

from halfinch.catalogue.files import sweep_parts, write_whole
from halfinch.catalogue.identity import sheet_digest
from halfinch.errors import CatalogueError


def sheets_folder(catalogue: Path) -> Path:
    return catalogue.with_name(f"{catalogue.name}.sheets")


def kept_path(catalogue: Path, file_id: str) -> Path:
    """Where a file with this digest is kept, whether it is there or not."""
    return sheets_folder(catalogue) / file_id[:2] / file_id


def keep(catalogue: Path, file_id: str, data: bytes) -> None:
    """Keeps the bytes of a file, on the disk before this returns; does nothing where they are kept already."""
    place = kept_path(catalogue, file_id)
    try:
        if place.exists() and place.stat().st_size == len(data):
            return
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CatalogueError(
            f"{place.parent} cannot be written ({error.strerror}); make room or do not keep sheets."
        ) from error
    write_whole(place, data)


def sweep(catalogue: Path) -> int:
    """Removes what killed imports left half written: among the kept sheets, and beside the catalogue when it was
    being made; how many files."""
    swept = sweep_parts(catalogue.parent, f".{catalogue.name}.new-")
    try:
        folders = [entry.path for entry in os.scandir(sheets_folder(catalogue)) if entry.is_dir(follow_symlinks=False)]
    except OSError:  # none are kept
        return swept
    return swept + sum(sweep_parts(Path(folder)) for folder in folders)


def fetch(catalogue: Path, file_id: str) -> bytes | None:
    """The kept bytes, or None where they are not kept or no longer the same."""
    try:
        data = kept_path(catalogue, file_id).read_bytes()
    except FileNotFoundError:
        return None
    return data if sheet_digest(data) == file_id else None
