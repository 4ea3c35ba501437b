"""Short lists in the terminal: what to look for, and garments side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from halfinch.fit.body import Band
from halfinch.fit.comparing import Comparison, Side
from halfinch.fit.wanted import Wanted
from halfinch.present.plans import name_garment, name_size, say_chance, say_price
from halfinch.present.wording import Wording

POINTS = ("inseam", "front_rise", "leg_opening", "waist", "hip", "thigh", "knee")


def wanted_lines(found: Sequence[Wanted], say: Wording) -> Iterator[str]:
    """One block a silhouette and pair of shoes; bands that are the same for every shoe stand once."""
    for silhouette in dict.fromkeys(entry.silhouette for entry in found):
        mine = [entry for entry in found if entry.silhouette == silhouette]
        first = mine[0]
        yield say.word(silhouette)
        for entry in mine:
            shoe = f" in {entry.shoe}" if entry.shoe else ""
            longer = f", {say.word('or longer, to be taken up')}" if entry.inseam is not None else ""
            yield f"  {'inseam' + shoe:<28}{_band(entry.inseam, say)}{longer}"
        for point in POINTS[1:]:
            yield f"  {say.point(point):<28}{_band(getattr(first, point), say)}"
    lacks = list(dict.fromkeys(word for entry in found for word in entry.lacks))
    if lacks:
        yield f"Not in the body file, so it could not be told: {', '.join(lacks)}."
    notes = list(dict.fromkeys(note for entry in found for note in entry.notes))
    if notes:
        yield f"Assumed: {'; '.join(notes)}."


def _band(band: Band | None, say: Wording) -> str:
    return "?" if band is None else say.show_band(band)


def comparison_lines(found: Comparison, say: Wording) -> Iterator[str]:
    """A column for the pair and one a garment; below each figure's row stand verdict, hem, chance and price."""
    heads = ["", *([found.pair.name] if found.pair is not None else [])]
    heads += [f"{name_garment(plan)}, {name_size(plan)}" for plan in found.plans]
    rows = [heads]
    for point, own, sides in found.rows:
        if own is None and all(side.inches is None for side in sides):
            continue
        cells = [say.point(point)]
        if found.pair is not None:
            cells.append("?" if own is None else say.show(own))
        rows.append([*cells, *(_side(side, say) for side in sides)])
    blank = [""] if found.pair is not None else []
    rows.append(["verdict", *blank, *(plan.verdict for plan in found.plans)])
    rows.append(["finished inseam", *blank, *(_finished(plan.leg.finished, say) for plan in found.plans)])
    rows.append(["chance", *blank, *(say_chance(plan) for plan in found.plans)])
    if any(plan.price.garment is not None for plan in found.plans):
        rows.append(["price", *blank, *(say_price(plan.price) for plan in found.plans)])
    yield from columns(rows)


def _finished(inches: float | None, say: Wording) -> str:
    return "?" if inches is None else say.show(inches)


def _side(side: Side, say: Wording) -> str:
    if side.inches is None:
        return "?"
    if side.more is None:
        return say.show(side.inches)
    return f"{say.show(side.inches)} ({'+' if side.more >= 0 else ''}{say.number(side.more)})"


def columns(rows: Sequence[Sequence[str]], widest: int = 30) -> Iterator[str]:
    """Aligned columns; heads that are too long are broken over lines."""
    import textwrap

    from rich.cells import cell_len

    heads = [textwrap.wrap(head, widest) or [""] for head in rows[0]]
    depth = max(len(lines) for lines in heads)
    top = [[lines[n] if n < len(lines) else "" for lines in heads] for n in range(depth)]
    everything = [*top, *rows[1:]]
    widths = [max(cell_len(row[place]) for row in everything) for place in range(len(rows[0]))]
    for row in everything:
        cells = (cell + " " * (width - cell_len(cell)) for cell, width in zip(row, widths, strict=True))
        yield "  ".join(cells).rstrip()
