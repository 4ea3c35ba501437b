"""From a Sheet's grids and texts to judged figures.

In: a `Sheet` and what the trade knows. Out: a `SheetResult` (without the sheet's identity, which the caller adds).
Every grid is cut into bands (bands.py), each band is read in every way it could lie (layout.py, lines.py), the best
reading wins when it wins clearly; texts outside grids are read as prose (prose.py). Then unit (units.py) and flat or
round (conventions.py) are decided from what is said and from the figures themselves, doubles are merged (merge.py),
and plausibility judges what is left. Begin reading at `interpret`.
"""

from __future__ import annotations

import re
from dataclasses import replace

from halfinch.figure import Figure, Finding, Garment, SheetResult
from halfinch.interpret.assemble import collect
from halfinch.interpret.conventions import decide_conventions
from halfinch.interpret.copied import doubt_copied_rows, is_copy
from halfinch.interpret.differences import resolve_differences
from halfinch.interpret.exchanged import doubt_rows
from halfinch.interpret.facets import Reader
from halfinch.interpret.finish import garment_key, make_figure, make_findings, make_garment
from halfinch.interpret.glance import choose_pages
from halfinch.interpret.grade_rules import expand_grades, work_out_steps
from halfinch.interpret.habits import apply_rise, fill_in, note_read_over
from halfinch.interpret.labels import label_figures
from halfinch.interpret.merge import check_second, column_steps, merge_figures
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.special import apply_tolerances, settle_special
from halfinch.interpret.trace import SILENT, Trace
from halfinch.interpret.units import decide_units
from halfinch.interpret.words import phrasebook
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_habits import Habits
from halfinch.plausibility import judge
from halfinch.readers.pdf import SCANNED
from halfinch.readers.torn_ends import PAGE_TORN
from halfinch.sheet import Sheet

__all__ = ["choose_pages", "interpret", "interpret_raw"]


def interpret(sheet: Sheet, knowledge: Knowledge, habits: Habits | None = None, trace: Trace = SILENT) -> SheetResult:
    """Every figure of a sheet with its status and findings. Pure: the same sheet, knowledge and habits of its merchant
    give the same result. `trace` hears of every choice (a `recording.Recorder` remembers them); it changes nothing."""
    raws, read_over = _interpret(sheet, knowledge, habits or Habits(), trace)
    lengths: dict[str, set[str]] = {}
    members: dict[str, list[RawFigure]] = {}
    for raw in raws:
        key = garment_key(raw)
        members.setdefault(key, []).append(raw)
        if raw.length:
            lengths.setdefault(key, set()).add(raw.length)
    book = phrasebook(knowledge)
    garments = [make_garment(key, group, knowledge, book) for key, group in members.items()]
    figures = [make_figure(raw, lengths) for raw in raws]
    figures, filled = fill_in(figures, habits or Habits())
    judged, findings = judge(figures, garments, knowledge)
    believed = {figure.garment for figure in judged if figure.status != "held"}
    labels = label_figures([raw for raw in raws if garment_key(raw) in believed], knowledge, len(judged))
    findings = [*make_findings(raws), *findings, *labels.findings, *filled, *note_read_over(read_over)]
    return finish_result(sheet, garments, [*judged, *labels.figures], findings)


def interpret_raw(sheet: Sheet, knowledge: Knowledge, habits: Habits | None = None) -> list[RawFigure]:
    """The raw figures of a sheet with unit, convention, holds and notes, doubles merged."""
    return _interpret(sheet, knowledge, habits or Habits(), SILENT)[0]


def _interpret(
    sheet: Sheet, knowledge: Knowledge, habits: Habits, trace: Trace
) -> tuple[list[RawFigure], list[RawFigure]]:
    """The raw figures, and those that are none of ours by the merchant's habit."""
    reader = Reader(knowledge, find_decimal_mark(sheet), trace)
    raws = resolve_differences(work_out_steps(collect(sheet, reader)))
    raws, read_over = apply_rise(raws, habits, knowledge)
    doubt_copied_rows(raws, knowledge)
    decide_units(raws, knowledge, habits.unit, trace)
    steps = column_steps(raws)
    for raw in raws:
        check_second(raw, steps)
    apply_tolerances(raws)
    sound = [raw for raw in doubt_rows(raws, knowledge) if not is_copy(raw)]
    decide_conventions(sound, knowledge, habits.convention, trace)
    decide_conventions([raw for raw in raws if not raw.convention], knowledge, habits.convention, trace)
    trace.ends(raws)
    raws = settle_special(raws, knowledge)
    raws = expand_grades(raws, knowledge)
    return merge_figures(raws, steps), read_over


_COMMA = re.compile(r"\d{1,3},\d{1,2}")
_POINT = re.compile(r"\d{1,3}\.\d{1,2}")


def find_decimal_mark(sheet: Sheet) -> str:
    """The mark that this sheet's cells prove (1,5 here and 1.5 nowhere), '' where they prove none."""
    cells = [cell.text for grid in sheet.grids for cell in grid.cells]
    commas = any(_COMMA.fullmatch(text) for text in cells)
    points = any(_POINT.fullmatch(text) for text in cells)
    return "" if commas == points else "," if commas else "."


def finish_result(sheet: Sheet, garments: list[Garment], figures: list[Figure], findings: list[Finding]) -> SheetResult:
    """The SheetResult with its outcome: partly where the reader could not read all of it.

    A page that breaks off before its first figure is partly read, not empty: the figures may stand in what is lost.
    """
    merchants = [garment.merchant for garment in garments if garment.merchant]
    outcome = "nothing" if not figures else "read"
    if (sheet.warnings and outcome == "read") or PAGE_TORN in sheet.warnings:
        outcome = "partly"
    if outcome == "nothing" and SCANNED in sheet.warnings:
        outcome = "scanned"
    message = "; ".join(sheet.warnings)
    if outcome == "nothing" and not message:
        message = "no measurement of trousers found in it"
    return replace(
        SheetResult(sheet=sheet.name, sheet_id=""),
        kind=sheet.kind,
        pages=sheet.pages,
        reader=sheet.reader,
        merchant=merchants[0] if merchants else "",
        outcome=outcome,
        message=message,
        garments=tuple(garments),
        figures=tuple(figures),
        findings=tuple(findings),
    )
