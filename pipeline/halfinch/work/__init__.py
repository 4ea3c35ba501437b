"""How sheets are read and brought into a catalogue.

In: bytes, or paths. Out: `SheetResult`s, or rows of a catalogue and a report. Begin reading at `reading.read_sheet`, a
pure function that any engine can spread; `pool` spreads it over processes, `files` finds what a list of paths means,
`importing` brings it all into a catalogue, `lake_import` (by `packs`) into a lake; a Dask cluster reads for
both by `cluster`; `rereading` does so again when program or knowledge changed.
"""

from halfinch.work.reading import read_sheet

__all__ = ["read_sheet"]
