"""What a size itself promises, as figures: "W29 L30" is label_waist 29 and label_inseam 30, exact half inches.

For dress and letter sizes the body that a published table means by the label is given as a range, `derived`, with the
table named in a finding; only for the table's own system, never where the system is unknown. A label alone is no
evidence ("week 28"): only garments of which a figure is believed have any.
"""

from __future__ import annotations

from dataclasses import dataclass

from halfinch.figure import Figure, Finding
from halfinch.interpret.finish import garment_key
from halfinch.interpret.raw import RawFigure
from halfinch.knowledge import Knowledge
from halfinch.normalise.size_labels import SizeLabel, body_for_label
from halfinch.normalise.units import to_nm


@dataclass(frozen=True, slots=True)
class LabelFigures:
    """The figures of the labels, and for each derived one the table it comes from."""

    figures: list[Figure]
    findings: list[Finding]


def label_figures(raws: list[RawFigure], knowledge: Knowledge, first: int) -> LabelFigures:
    """One set for each garment, size and length. `first`: the index that the first of them will have."""
    made: list[Figure] = []
    tables: dict[tuple[str, str], list[int]] = {}
    seen: set[tuple[str, str, str]] = set()
    for raw in raws:
        label = raw.size
        if label is None or raw.body or raw.basis != "declared":
            continue
        garment = garment_key(raw)
        if label.inseam is not None and label.waist is not None and (garment, label.size, raw.length) not in seen:
            seen.add((garment, label.size, raw.length))
            made.append(make(raw, label, "label_inseam", (to_nm(label.inseam, "in"), None), "declared"))
        if (garment, label.size, "") in seen:
            continue
        seen.add((garment, label.size, ""))
        if label.waist is not None:
            made.append(make(raw, label, "label_waist", (to_nm(label.waist, "in"), None), "declared"))
        told: set[str] = set()
        for point, low, high, source in body_for_label(label, knowledge):
            if point in told:
                continue  # two tables that agree are told once, by the first
            told.add(point)
            tables.setdefault((garment, source), []).append(first + len(made))
            made.append(make(raw, label, point, (low, high), "derived"))
    findings = [
        Finding(
            rule="label-by-table",
            severity="note",
            message=f"the body that the label is meant for, by {source}",
            garment=garment,
            figures=tuple(indices),
        )
        for (garment, source), indices in tables.items()
    ]
    return LabelFigures(made, findings)


def make(raw: RawFigure, label: SizeLabel, point: str, span: tuple[int, int | None], basis: str) -> Figure:
    """One figure of a label; its place is that of the first figure printed for the size.

    A waist holds for every length of the size, an inseam for its own.
    """
    length = raw.length if point == "label_inseam" else ""
    return Figure(
        garment=garment_key(raw),
        point=point,
        size=label.size,
        length_nm=span[0],
        length_to_nm=span[1],
        raw=" ".join(part for part in (label.size, raw.length) if part),
        place=raw.place,
        size_system=label.system,
        size_also=" / ".join(label.also),
        length=length,
        length_scope="one" if length else "all",
        status="accepted",
        basis=basis,
        unit="in" if span[1] is None else "cm",
    )
