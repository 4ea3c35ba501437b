"""What is printed on a terminal steers it in nothing but colours: whatever a sheet or a file name says is only text."""

from __future__ import annotations

import codecs
import io
import re
import sys
from typing import IO, TextIO, cast

_STEERS = re.compile(
    "\x1b\\[[0-9;]*m|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]"
)


class Tame(io.TextIOBase):
    """A stream on which control signs come out as a mark; colours stay. Its `buffer` takes UTF-8 and is tame too."""

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream
        self.buffer = _TameBytes(self)

    def write(self, text: str) -> int:
        self._stream.write(_STEERS.sub(lambda found: found.group() if len(found.group()) > 2 else "\ufffd", text))
        return len(text)

    def flush(self) -> None:
        self._stream.flush()

    def isatty(self) -> bool:
        return self._stream.isatty()

    def fileno(self) -> int:
        return self._stream.fileno()

    def writable(self) -> bool:
        return True

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return str(getattr(self._stream, "encoding", "utf-8"))


class _TameBytes(io.RawIOBase):
    def __init__(self, to: Tame) -> None:
        self._to = to
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")

    def write(self, data: bytes | bytearray | memoryview) -> int:  # type: ignore[override]
        content = bytes(data)
        self._to.write(self._decoder.decode(content))
        return len(content)

    def flush(self) -> None:
        self._to.flush()

    def writable(self) -> bool:
        return True


def tame(stream: IO[str]) -> TextIO:
    """The stream without a way to steer what shows it."""
    return cast("TextIO", Tame(stream))


def tame_output() -> None:
    """From now on standard output is tame, where it is a terminal; what goes into a file or a pipe stays as it is."""
    if sys.stdout.isatty() and not isinstance(sys.stdout, Tame):
        sys.stdout = tame(sys.stdout)
