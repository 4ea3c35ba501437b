"""Tables told in texts become grids, wherever their lines are broken.

In: a sheet. Out: the same sheet with such tables as grids; what is left of a text stays a text. Places stay those of
the texts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from halfinch.interpret.facets import Reader
from halfinch.interpret.stream_tables import find_tables, make_grids
from halfinch.interpret.streams import join_texts
from halfinch.sheet import HIDDEN, STRUCK, Grid, Sheet, Text

LONGEST_STREAM = 20_000
"""Characters that are looked at together; a single text that is longer is no table."""


def tables_from_texts(sheet: Sheet, reader: Reader) -> Sheet:
    """The sheet with every table told in neighbouring texts as a grid."""
    blocks: list[Grid | Text] = []
    stretch: list[Text] = []
    for block in [*sheet.blocks(), None]:
        if isinstance(block, Text) and may_go_on(block):
            stretch.append(block)
            continue
        blocks.extend(read_stretch(stretch, reader))
        stretch = []
        if block is not None:
            blocks.append(block)
    if sum(isinstance(block, Grid) for block in blocks) == len(sheet.grids):
        return sheet
    numbered = [replace(block, order=order) for order, block in enumerate(blocks)]
    return replace(
        sheet,
        texts=tuple(block for block in numbered if isinstance(block, Text)),
        grids=tuple(block for block in numbered if isinstance(block, Grid)),
    )


def may_go_on(text: Text) -> bool:
    """Whether a text may be part of a table: no heading, unless it is one only because it stands alone in a row."""
    if text.kind in ("chrome", "meta") or text.marks & {HIDDEN, STRUCK}:
        return False
    return text.kind not in ("title", "heading") or sum(char.isdigit() for char in text.text) >= 4


def read_stretch(texts: Sequence[Text], reader: Reader) -> list[Grid | Text]:
    """Neighbouring texts, the tables among them as grids."""
    blocks: list[Grid | Text] = []
    for near in _near(texts):
        stream = join_texts(near)
        found = find_tables(stream, reader) if len(stream.text) <= LONGEST_STREAM else []
        blocks += make_grids(stream, found) if found else near
    return blocks


def _near(texts: Sequence[Text]) -> Iterator[list[Text]]:
    """The texts in pieces that are short enough."""
    near: list[Text] = []
    for text in texts:
        if near and sum(len(one.text) + 1 for one in near) + len(text.text) > LONGEST_STREAM:
            yield near
            near = []
        near.append(text)
    if near:
        yield near
