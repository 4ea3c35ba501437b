"""Readers: the bytes of a file come in, Sheets (grids and texts with their places) go out.

Begin with `read_bytes`. Archives are unpacked by `containers`, `detect` picks the reader by the bytes; each format is
a module with ``suits(data, name)`` and ``read(data, name)``. No reader knows what a figure or a garment is.
"""

from __future__ import annotations

from collections.abc import Iterator

from halfinch.errors import SheetError
from halfinch.sheet import ChoosePages, Sheet


def read_bytes(data: bytes, name: str) -> list[tuple[str, Sheet | SheetError]]:
    """Every sheet in a file, in its order: one for a plain file, one a member for an archive.

    `name` is the file's name as imported; members are called ``outer.zip/inner.csv``. What cannot be read comes back
    as a SheetError in its place, never raised.
    """
    return [
        (inner, content if isinstance(content, SheetError) else read_plain(content, inner))
        for inner, content in iter_members(data, name)
    ]


def iter_members(data: bytes, name: str) -> Iterator[tuple[str, bytes | SheetError]]:
    """Unpacks only: (name, bytes) of every sheet in a file, one at a time; a SheetError for one that will not open."""
    from halfinch.readers import containers

    return containers.iter_members(data, name)


def read_plain(data: bytes, name: str, choose: ChoosePages | None = None) -> Sheet | SheetError:
    """One sheet from bytes that are no archive. `choose` picks pages of a long document by their plain text."""
    from halfinch.readers.detect import choose_reader
    from halfinch.readers.limits import within_limits
    from halfinch.readers.tame import tame

    try:
        reader = choose_reader(data, name)
        if choose is not None and reader.read_chosen is not None:
            return tame(within_limits(reader.read_chosen(data, name, choose)))
        return tame(within_limits(reader.read(data, name)))
    except SheetError as error:
        return error if name in str(error) else SheetError(f"{name}: {error}")
    except RecursionError:
        return SheetError(f"{name} is nested too deep to read: ask for a plainer one.")


__all__ = ["iter_members", "read_bytes", "read_plain"]
