"""What one text around a grid says of it: garment, length, unit, flat or round, body or garment, old or current.

In: one text (a heading, a caption, a note, a section row). Out: `Facets`.
"""

from __future__ import annotations

from dataclasses import replace

from halfinch.interpret.clauses import Clause, is_about_something_else, make_clause
from halfinch.interpret.facets import Facets, Reader, kept
from halfinch.interpret.names import find_attributes, point_within
from halfinch.interpret.size_mentions import find_size_mention
from halfinch.interpret.statements import (
    MAX_NOTE,
    TOLD,
    find_convention,
    find_length,
    find_point_conventions,
    find_size_range,
    find_tolerance,
    find_unit,
)
from halfinch.interpret.words import first_kind, fold, phrasebook
from halfinch.normalise.numbers import find_numbers
from halfinch.normalise.point_labels import read_length_word
from halfinch.normalise.size_labels import SizeLabel, read_size_label


def named_size(text: str, reader: Reader) -> SizeLabel | None:
    """The size that a text names; that of a model is not the garment's."""
    return None if is_about_something_else(text, reader) else find_size_mention(text, reader)


def holds_both(clause: Clause) -> bool:
    """Whether labels and figures stand in one clause."""
    return bool(clause.labels) and bool(clause.numbers)


def text_facets(text: str, reader: Reader, heading: bool = True) -> Facets:
    """Everything that one text says. A length in passing counts only in a heading, caption or section row."""
    return (_heading_facets if heading else _note_facets)(text, reader)


@kept
def _heading_facets(text: str, reader: Reader) -> Facets:
    return _find_facets(text, reader, heading=True)


@kept
def _note_facets(text: str, reader: Reader) -> Facets:
    return _find_facets(text, reader, heading=False)


def _find_facets(text: str, reader: Reader, heading: bool) -> Facets:
    book = phrasebook(reader.knowledge)
    folded = fold(text)
    attributes = find_attributes(text, reader)
    facets = Facets(unit=find_unit(text, reader), convention=find_convention(text, reader))
    short = len(text) <= 120
    title = heading or read_length_word(text.strip(), reader.knowledge) != ""
    figures = short and bool(find_numbers(text, decimal=reader.decimal)) and holds_both(make_clause(text, reader))
    if short and not figures:
        read = reader.read(text)
        named = read_size_label(attributes.get("size", ""), reader.knowledge)
        facets = replace(
            facets,
            length=find_length(attributes.get("length", text if title else ""), reader),
            size=(read.size if read.number is None else None) or named_size(text, reader) or named,
            point=read.point if read.is_ours else point_within(text, reader),
        )
    sizes = find_size_range(text, reader) if short else ""
    if sizes:
        attributes["size_range"] = sizes
        facets = replace(facets, size=None)
    block = first_kind(book.blocks, text) if short else ""
    if block:
        attributes["block"] = block
    state = first_kind(book.states, text)
    if state:
        attributes["state"] = state
    if len(text) <= MAX_NOTE:
        told = find_point_conventions(text, reader)
        attributes.update({TOLD.format(point): said for point, said in told.items()})
    tolerance = find_tolerance(text, reader)
    if tolerance:
        attributes["tolerance"] = tolerance
    return replace(
        facets,
        body=short and book.body.search(folded) is not None and book.garment.search(folded) is None,
        old=short and book.old.search(folded) is not None,
        attributes={role: value for role, value in attributes.items() if role not in ("size", "length", "base_size")},
    )
