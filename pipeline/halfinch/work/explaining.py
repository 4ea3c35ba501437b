"""One file's sheets read with an account of how: for `halfinch read --why` and `--picture`, never for a catalogue."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from halfinch.errors import SheetError

if TYPE_CHECKING:
    from halfinch.figure import SheetResult
    from halfinch.interpret.account import Account
    from halfinch.knowledge import Knowledge
    from halfinch.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Explained:
    """A sheet, what became of it, and why."""

    data: bytes
    sheet: Sheet
    result: SheetResult
    account: Account


def explain_sheets(data: bytes, name: str, knowledge: Knowledge) -> Iterator[tuple[str, Explained | SheetError]]:
    """Every sheet in a file with its account; what cannot be read is a SheetError in its place, never raised."""
    from halfinch.interpret import choose_pages, interpret
    from halfinch.interpret.recording import Recorder
    from halfinch.readers import iter_members, read_plain

    choose = partial(choose_pages, knowledge=knowledge)
    for inner, content in iter_members(data, name):
        sheet = content if isinstance(content, SheetError) else read_plain(content, inner, choose)
        if isinstance(content, SheetError) or isinstance(sheet, SheetError):
            yield inner, sheet if isinstance(sheet, SheetError) else SheetError(str(content))
            continue
        recorder = Recorder()
        result = interpret(sheet, knowledge, trace=recorder)
        yield inner, Explained(content, sheet, result, recorder.account())
