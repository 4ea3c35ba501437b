"""A page of one garment: every size with its clean figures, what was held, and the sheets they stand on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from halfinch.fit.enquiry import Enquiry
from halfinch.fit.garment import GarmentSize
from halfinch.knowledge import Knowledge
from halfinch.present.papers.render import name_pair, say_place
from halfinch.present.wording import Wording

POINTS = ("front_rise", "back_rise", "inseam", "outseam", "waist", "hip", "thigh", "knee", "leg_opening")


def read_garment(
    catalogue: Path, name: str, knowledge: Knowledge, say: Wording, *, wait: float = 30.0
) -> dict[str, Any]:
    """Facts of the first garment that `name` names, out of a catalogue. Raises UsageError, CatalogueError."""
    from halfinch.fit.enquiry import find_enquiries, find_sheets
    from halfinch.fit.estimate import order_sizes
    from halfinch.fit.garment import size_from_row
    from halfinch.fit.matching import choose_garment
    from halfinch.fit.sizes import open_sizes

    with open_sizes(catalogue, knowledge, wait=wait, taped=False) as opened:
        rows = choose_garment(opened, name)
    rows = rows[rows["garment_id"] == rows["garment_id"].iloc[0]]
    told = (size_from_row({str(key): value for key, value in row.items()}) for row in rows.to_dict("records"))
    sizes = order_sizes(told, knowledge)
    asked = find_enquiries(catalogue, sizes[0].merchant, [sizes[0].garment_id], wait=wait)
    sheets = find_sheets(catalogue, sizes[0].garment_id, wait=wait)
    return garment_paper(sizes, asked[0] if asked else None, sheets, say)


def garment_paper(
    sizes: Sequence[GarmentSize], enquiry: Enquiry | None, sheets: Sequence[Mapping[str, str]], say: Wording
) -> dict[str, Any]:
    """Facts for `render("garment", ...)`. `sheets`: name and date of each."""
    first = sizes[0]
    points = [point for point in POINTS if any(point in size.points for size in sizes)]
    silhouette = say.word(first.silhouette) if first.silhouette else ""
    stretch = f"{say.word('stretch')} {float(first.stretch):.0%}" if first.stretch is not None else ""
    state = say.word(first.state) if first.state else ""
    price = f"{say.money(first.price)} {first.currency}".strip() if first.price is not None else ""
    words = [first.merchant, first.block, silhouette, first.fabric, stretch, state, first.colour, price]
    held = [
        f"{say.point(figure.point)} {' '.join(part for part in (figure.size, figure.length) if part)}: "
        f'{say.word("Printed")} "{figure.raw}" ({figure.sheet}, {say_place(figure.place, say)}). {figure.reason}'
        for figure in (enquiry.held if enquiry is not None else ())
    ]
    return {
        "title": name_pair(say, first.style, first.style_code, "", ""),
        "words": [word for word in words if word],
        "points": [say.point(point) for point in points],
        "rows": [(_size(size, say), [_cell(size, point, say) for point in points]) for size in sizes],
        "held": held,
        "sheets": [f"{sheet['sheet']} ({sheet['day']})" for sheet in sheets],
    }  # fmt: skip


def _size(size: GarmentSize, say: Wording) -> str:
    return " ".join(part for part in (size.size, say.word(size.length) if size.length else "") if part) or "-"


def _cell(size: GarmentSize, point: str, say: Wording) -> str:
    figure = size.points.get(point)
    if figure is None:
        return "–"
    text = say.number(figure.inches)
    if figure.spread:
        text = f"{say.number(figure.inches - figure.spread)}–{say.number(figure.inches + figure.spread)}"
    return ("~" if figure.status == "assumed" else "") + text
