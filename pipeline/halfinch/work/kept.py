"""A sheet of the catalogue read once more, to be shown: from the kept bytes, or from where it was imported."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from halfinch.catalogue import store
from halfinch.catalogue.identity import sheet_digest
from halfinch.catalogue.kept_sheets import fetch
from halfinch.errors import SheetError, UsageError
from halfinch.readers import iter_members, read_plain
from halfinch.sheet import Sheet


@dataclass(frozen=True, slots=True)
class KeptSheet:
    """A sheet as its reader sees it."""

    sheet_id: str
    data: bytes
    sheet: Sheet


def load_sheet(catalogue: Path, sheet_id: str, wait: float = store.DEFAULT_WAIT) -> KeptSheet:
    """Raises UsageError for a sheet that there is not, SheetError where its bytes are gone or cannot be read."""
    with store.reading(catalogue, wait) as connection:
        rows = connection.execute(
            """SELECT s.sheet, f.file_id, f."inner", r.source FROM sheets s JOIN files f USING (sheet_id)
               LEFT JOIN receipts r ON r.sheet_id = s.sheet_id
               WHERE s.sheet_id = ? ORDER BY r.seen_to IS NOT NULL, r.seen_from DESC""",
            [sheet_id],
        ).fetchall()
    if not rows:
        raise UsageError(f"There is no sheet {sheet_id[:12]} in the catalogue.")
    name = rows[0][0]
    for _, file_id, inner, source in rows:
        data = fetch(catalogue, file_id) or bytes_at_source(catalogue, file_source(source or "", inner), file_id)
        if data is not None:
            return KeptSheet(sheet_id, *_member(data, name, inner, sheet_id))
    raise SheetError(f"{name}: its bytes were not kept, and it is no longer where it was imported from.")


def _member(data: bytes, name: str, inner: str, sheet_id: str) -> tuple[bytes, Sheet]:
    """The bytes of the sheet itself, out of its container, and what its reader makes of them."""
    if sheet_digest(data) != sheet_id:
        outer = name.removesuffix(f"/{inner}")
        members = (content for _, content in iter_members(data, outer) if isinstance(content, bytes))
        found = next((content for content in members if sheet_digest(content) == sheet_id), None)
        if found is None:
            raise SheetError(f"{name}: it is not in its container any more.")
        data = found
    sheet = read_plain(data, name)
    if isinstance(sheet, SheetError):
        raise sheet
    return data, sheet


def file_source(source: str, inner: str) -> str:
    """Where the file itself lay: a sheet in a container is known by both."""
    return source.removesuffix(f"/{inner}") if inner else source


def bytes_at_source(catalogue: Path, source: str, file_id: str) -> bytes | None:
    """The file where it was imported from, when it still is the same."""
    try:
        data = Path(os.path.join(catalogue.resolve().parent, source)).read_bytes()
    except (OSError, ValueError):
        return None
    return data if sheet_digest(data) == file_id else None
