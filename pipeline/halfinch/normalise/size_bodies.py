"""The body that a label is meant for by a published table, only for the table's own system."""

from __future__ import annotations

from fractions import Fraction

from halfinch.knowledge import Knowledge
from halfinch.knowledge.reading import Span
from halfinch.knowledge.spec_sizes import BodyTable
from halfinch.normalise.size_parts import SizeLabel
from halfinch.normalise.units import to_nm

MeantFor = tuple[str, int, int, str]
"""label_waist | label_hip, lowest and highest in whole nanometres, the table with its source."""


def body_for_label(label: SizeLabel, knowledge: Knowledge) -> list[MeantFor]:
    """All that published tables say of the label's body; [] where the system is unknown or tables disagree.

    Tables disagree when their ranges for one size lie more than one size step apart. Petite and tall labels are left
    out: the tables here are of regular heights, save JIS L 4005, whose girths do not go by height.
    """
    if not label.system or not label.size:
        return []
    own = knowledge.size_systems.self_labelled
    if label.system == own.system:
        return _read_own_waist(label, f"{own.table} ({own.source})")
    if label.length not in ("", "regular") and label.system != "JP" and not label.inseam:
        return []
    found: list[MeantFor] = []
    for point in ("waist", "hip"):
        rows = [
            (table, span)
            for table in knowledge.size_systems.body_table
            if table.system == label.system
            for row in table.row
            if row.size == label.size and (span := row.waist if point == "waist" else row.hip) is not None
        ]
        if rows and not _disagree(rows):
            found += [
                (f"label_{point}", *_to_nm(table, span), f"{table.table} ({table.source})") for table, span in rows
            ]
    return found


def _to_nm(table: BodyTable, span: Span) -> tuple[int, int]:
    return to_nm(span.low, table.unit), to_nm(span.high, table.unit)


def _disagree(rows: list[tuple[BodyTable, Span]]) -> bool:
    ranges = [_to_nm(table, span) for table, span in rows]
    gap = max(low for low, _ in ranges) - min(high for _, high in ranges)
    return gap > max(to_nm(table.step, table.unit) for table, _ in rows)


def _read_own_waist(label: SizeLabel, source: str) -> list[MeantFor]:
    digits = label.size.partition("/")[2].rstrip("ABCYZabcyz")
    if not digits.isdigit():
        return []
    waist = to_nm(Fraction(int(digits)), "cm")
    return [("label_waist", waist, waist, source)]
