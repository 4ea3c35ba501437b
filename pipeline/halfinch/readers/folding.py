"""What every reader of cells does to a text, and how it keeps Python quick over a million of them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


def fold(text: str) -> str:
    """Ends stripped, runs of blanks folded, line breaks kept."""
    if text.isascii() and text.isalnum():
        return text
    if "\n" not in text and "\r" not in text:
        return " ".join(text.split())
    lines = (" ".join(line.split()) for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
    return "\n".join(line for line in lines if line)


@contextmanager
def paused_collection() -> Iterator[None]:
    """Python's garbage collector looks at every new cell again and again, which doubles the time of a large file."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
