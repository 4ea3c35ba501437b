"""A SheetResult becomes rows of the tables: plain values, nothing read from a file or a database."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from halfinch.catalogue.identity import Stamp, Told, digest, garment_ids, reading_id
from halfinch.figure import Figure, Finding, Garment, SheetResult, to_inches
from halfinch.normalise.half_inch import half_inch

Row = tuple[object, ...]

OWN_EXPORT = "own export"
"""Kind of a sheet that is an export of a catalogue."""


@dataclass(slots=True)
class Rows:
    """Rows per table, in the order of the tables' columns."""

    of: dict[str, list[Row]] = field(default_factory=lambda: defaultdict(list))

    def add(self, table: str, *values: object) -> None:
        self.of[table].append(values)

    def take(self, other: Rows) -> None:
        for table, rows in other.of.items():
            self.of[table] += rows


def rows_of(result: SheetResult, source: str, merchant: str, stamp: Stamp, now: datetime) -> Rows:
    """Rows of sheets, readings, garments, figures, findings, stretched and logs for one sheet.

    `merchant` is the one by folder or by --merchant, used where the sheet names none; `now` is UTC.
    """
    rows = Rows()
    if result.kind == OWN_EXPORT:  # what it does not say was not known: the folder of an export is no merchant
        merchant = ""
    merchant = result.merchant or merchant
    reading = reading_id(result.sheet_id, stamp)
    rows.add(
        "sheets", result.sheet, result.sheet_id, merchant, result.kind, result.bytes, result.pages, now, result.reader,
        result.outcome, result.message,
    )  # fmt: skip
    rows.add("readings", reading, result.sheet_id, stamp.program, stamp.knowledge, stamp.habits, now)
    if result.log:
        rows.add("logs", reading, result.log)
    garments = {garment.key: _named(garment, merchant) for garment in _all_garments(result)}
    ids = garment_ids(garments.values(), _told(result.figures), source)
    _add_garments(rows, garments, ids)
    figure_ids = _add_figures(rows, result, reading, garments, ids, stamp)
    _add_findings(rows, result, reading, ids, figure_ids)
    return rows


def _named(garment: Garment, merchant: str) -> Garment:
    if garment.merchant or not merchant:
        return garment
    from dataclasses import replace

    return replace(garment, merchant=merchant)


def _all_garments(result: SheetResult) -> list[Garment]:
    """The sheet's garments, and a nameless one for figures that point at none of them."""
    known = {garment.key for garment in result.garments}
    strangers = sorted({figure.garment for figure in result.figures} - known)
    return [*result.garments, *(Garment(key=key) for key in strangers)]


def _told(figures: Sequence[Figure]) -> dict[str, Told]:
    told: dict[str, dict[tuple[str, str, str], frozenset[int]]] = defaultdict(dict)
    for figure in figures:
        what = (figure.size, figure.length, figure.point)
        told[figure.garment][what] = told[figure.garment].get(what, frozenset()) | {figure.length_nm}
    return dict(told)


def _add_garments(rows: Rows, garments: Mapping[str, Garment], ids: Mapping[str, str]) -> None:
    merged: dict[str, Garment] = {}
    for key, garment in garments.items():
        merged[ids[key]] = _merge(merged[ids[key]], garment) if ids[key] in merged else garment
    for garment_id, g in merged.items():
        rows.add(
            "garments", garment_id, g.merchant, g.style, g.style_code, g.block, g.silhouette, g.fabric,
            share(g.stretch), g.state, g.price, g.currency, g.colour, g.url,
        )  # fmt: skip


def _merge(first: Garment, second: Garment) -> Garment:
    """One garment told twice on a sheet (in two colours, say): the first telling holds, the second fills gaps."""
    from dataclasses import fields, replace

    values = {f.name: getattr(first, f.name) or getattr(second, f.name) for f in fields(Garment) if f.name != "key"}
    colours = dict.fromkeys(colour for colour in (first.colour, second.colour) if colour)
    return replace(first, **{**values, "colour": ", ".join(colours)})


def _add_figures(
    rows: Rows,
    result: SheetResult,
    reading: str,
    garments: Mapping[str, Garment],
    ids: Mapping[str, str],
    stamp: Stamp,
) -> list[str]:
    """Figure ids in the order of the result's figures; the same figure told twice is one row."""
    figure_ids: list[str] = []
    seen: dict[str, tuple[str, Figure]] = {}
    for figure in result.figures:
        garment_id = ids[figure.garment]
        figure_id = _figure_id(reading, garment_id, figure, seen)
        figure_ids.append(figure_id)
        if figure_id in seen:
            continue
        seen[figure_id] = (garment_id, figure)
        values = _figure_values(figure, garments[figure.garment], stamp)
        rows.of["figures"].append((figure_id, reading, garment_id, result.sheet_id, result.sheet, *values))
        if figure.stretched_nm is not None:
            rows.add("stretched", figure_id, figure.stretched_nm, to_inches(figure.stretched_nm))
    return figure_ids


def _figure_id(reading: str, garment_id: str, figure: Figure, seen: Mapping[str, tuple[str, Figure]]) -> str:
    """Of reading, place, point, size and length; one cell that serves two garments gives each an id of its own."""
    told = _bare(figure)
    parts = ("figure", reading, figure.place, figure.point, figure.size, figure.length)
    figure_id = digest(*parts)
    again = 1
    while figure_id in seen and (seen[figure_id][0], _bare(seen[figure_id][1])) != (garment_id, told):
        again += 1
        figure_id = digest(*parts, str(again))
    return figure_id


def _bare(figure: Figure) -> tuple[object, ...]:
    return (figure.length_nm, figure.length_to_nm, figure.status, figure.raw, figure.size_scope, figure.length_scope)


def _figure_values(figure: Figure, garment: Garment, stamp: Stamp) -> Row:
    minus, plus = figure.tolerance_minus_nm, figure.tolerance_plus_nm
    stated = max((nm for nm in (minus, plus) if nm is not None), default=None)
    usual = stamp.usual_tolerance.get(figure.point)
    tolerance = inches(stated) if stated is not None else share(usual)
    return (
        garment.merchant, garment.style, garment.style_code, figure.size, figure.size_system, figure.size_also,
        figure.size_scope, figure.length, figure.length_scope, figure.point, figure.length_nm, figure.length_to_nm,
        to_inches(figure.length_nm), inches(figure.length_to_nm), half_inch(figure.length_nm), inches(minus),
        inches(plus), tolerance, inches(figure.at_nm), figure.at_from, figure.status, figure.basis, figure.raw,
        figure.unit, figure.convention, figure.place,
    )  # fmt: skip


def _add_findings(
    rows: Rows, result: SheetResult, reading: str, ids: Mapping[str, str], figure_ids: Sequence[str]
) -> None:
    garment_of = {figure_id: ids[figure.garment] for figure_id, figure in zip(figure_ids, result.figures, strict=True)}
    spoken_of: set[str] = set()
    seen: set[str] = set()

    def add(finding: Finding, garment_id: str, figure_id: str) -> None:
        message = finding.message
        if finding.place and not figure_id and finding.place not in message:
            message = f"{message} ({finding.place})"
        finding_id = digest("finding", reading, figure_id, garment_id, finding.rule, message)
        if finding_id not in seen:
            seen.add(finding_id)
            rows.add(
                "findings", finding_id, reading, garment_id, figure_id, finding.rule, finding.severity, message,
                finding.suggestion,
            )  # fmt: skip

    for finding in result.findings:
        for index in finding.figures:
            spoken_of.add(figure_ids[index])
            add(finding, garment_of[figure_ids[index]], figure_ids[index])
        if not finding.figures:
            add(finding, ids.get(finding.garment, ""), "")
    for figure_id, figure in zip(figure_ids, result.figures, strict=True):
        if figure.status == "held" and figure_id not in spoken_of:  # nothing is held without a reason
            rivals = "; ".join(figure.rivals) or "the reading is not certain"
            add(Finding("held", "warn", f'"{figure.raw}" could also be: {rivals}.' if figure.rivals else
                        f'"{figure.raw}": {rivals}.'), garment_of[figure_id], figure_id)  # fmt: skip


def inches(nm: int | None) -> Decimal | None:
    return None if nm is None else to_inches(nm)


def share(value: Fraction | None) -> Decimal | None:
    """An exact share or length as a decimal with six places."""
    if value is None:
        return None
    return (Decimal(value.numerator) / Decimal(value.denominator)).quantize(Decimal("0.000001"))
