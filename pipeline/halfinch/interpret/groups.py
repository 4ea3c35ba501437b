"""Heads over groups of columns: shared out over their groups, and what they say of the garment.

In: header rows of a table. Out: the rows with each head over its whole group; styles and body marks on the columns.
"""

from __future__ import annotations

from dataclasses import replace

from halfinch.interpret.facets import CellReading, Facets, Reader, with_attribute
from halfinch.interpret.matrix import Line, Table
from halfinch.interpret.words import fold, phrasebook


def over_a_group(facets: Facets, reading: CellReading) -> Facets:
    """What a heading over several columns gives to each: "UK size (cm)" over 8, 10, 12 names their kind and unit."""
    if facets.role == "unknown":
        return Facets()
    if facets.role in ("size", "base_size") and facets.size is None:
        return Facets(unit=facets.unit or (reading.word.unit if reading.word is not None else ""))
    return facets


def name_groups(line: Line, facets: list[Facets], label: int, unknown: set[int], reader: Reader) -> None:
    """Names over groups of columns in which the same sizes come again ("Alma" over S M L, "Berta" over S M L) are of
    garments; a body's measures beside the garment's are marked. `unknown`: the ids of cells that say nothing else."""
    groups: dict[int, list[int]] = {}
    for index, cell in enumerate(line):
        if cell is not None and index != label and facets[index].size is not None:
            groups.setdefault(id(cell), []).append(index)
    sizes = [{size.size for index in group if (size := facets[index].size)} for group in groups.values()]
    again = len(sizes) > 1 and all(sizes[0] & other for other in sizes[1:])
    if not again or any(len(group) < 2 for group in groups.values()):
        return
    book = phrasebook(reader.knowledge)
    for name, group in groups.items():
        cell = line[group[0]]
        if cell is None or name not in unknown:
            continue
        folded = fold(cell.text)
        body = book.body.search(folded) is not None
        for index in group:
            if body:
                facets[index] = replace(facets[index], body=True)
            elif not book.garment.search(folded):
                facets[index] = with_attribute(facets[index], "style", cell.text.strip())


def spread_heads(table: Table, header: list[int], label: int) -> Table:
    """Heads over groups of columns printed in one column of each group ("28 | | 29 |" over "Petite | Regular ...").

    The columns are shared out evenly, each head over the group it stands in (first, middle or last). Where they
    cannot be, a head in the first column holds until the next one.
    """
    rows = list(table.rows)
    for upper, lower in zip(header, header[1:], strict=False):  # noqa: RUF007
        filled = [i for i, cell in enumerate(rows[upper]) if cell is not None and i != label]
        below = [i for i, cell in enumerate(rows[lower]) if cell is not None and i != label]
        if lower != upper + 1 or len(filled) < 2 or len(below) < 2 * len(filled) - 1 or len(filled) >= len(below):
            continue
        rows[upper] = share_out(rows[upper], filled, below)
    return Table(tuple(rows))


def share_out(row: Line, filled: list[int], below: list[int]) -> Line:
    """The row with each of its heads over its whole group of columns."""
    spread = list(row)
    size, rest = divmod(len(below), len(filled))
    groups = [below[k * size : (k + 1) * size] for k in range(len(filled))]
    if not rest and all(head in group for head, group in zip(filled, groups, strict=True)):
        for head, group in zip(filled, groups, strict=True):
            for index in group:
                spread[index] = row[head]
        return tuple(spread)
    if filled[0] == below[0]:
        for index in below[1:]:
            if spread[index] is None:
                spread[index] = spread[index - 1]
    return tuple(spread)
