"""The tape book for people: its entries, what they teach, and a picture of taped against stated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isnan
from typing import TYPE_CHECKING, Any

from halfinch.fit.tape import Offset
from halfinch.fit.words import say_number
from halfinch.present.drawing.svg import Point, frame, path, text
from halfinch.present.lists import columns
from halfinch.present.wording import Wording

if TYPE_CHECKING:
    import pandas as pd

REACH = 1.5
"""Differences to either side that the picture has room for without shrinking, inches."""


def tape_lines(book: pd.DataFrame) -> Iterator[str]:
    """One line an entry: id, pair, point, taped, stated, difference, state, outcome."""
    if not len(book):
        yield "The tape book is empty; `halfinch tape add` records a pair."
        return
    rows = [["id", "pair", "point", "taped", "stated", "more", "state", "outcome", "day"]]
    for row in book.to_dict("records"):
        pair = " ".join(str(row[key]) for key in ("merchant", "style", "size", "length") if row[key])
        taped, stated = float(row["inches"] if row["inches"] is not None else "nan"), float(row["stated"])
        more = taped - stated
        rows.append([
            str(row["taped_id"])[:10], pair, str(row["point"]).replace("_", " "), _number(taped), _number(stated),
            "" if isnan(more) else f"{'+' if more >= 0 else ''}{say_number(more)}", str(row["state"]),
            str(row["outcome"]), str(row["at"])[:10],
        ])  # fmt: skip
    yield from columns(rows)


def offset_lines(offsets: Sequence[Offset]) -> Iterator[str]:
    if not offsets:
        yield "Nothing to learn from yet: no taped pair has a stated figure beside it."
        return
    rows = [["merchant", "point", "pairs", "mean", "drawn", "spread", "in plans"]]
    for offset in offsets:
        rows.append([
            offset.merchant, offset.point.replace("_", " "), str(offset.pairs), _signed(offset.raw_mean),
            _signed(offset.mean), f"{offset.spread:.2f}", "yes" if offset.used else "too few",
        ])  # fmt: skip
    yield from columns(rows)


def tape_page(book: pd.DataFrame, offsets: Sequence[Offset], say: Wording) -> dict[str, Any]:
    """Facts for `render("tape", ...)`."""
    return {
        "title": say.word("Taped against stated"),
        "picture": draw_offsets(book, offsets, say) if offsets else "",
        "rows": [
            (o.merchant, say.point(o.point), o.pairs, _signed(o.raw_mean), _signed(o.mean), o.used) for o in offsets
        ],
    }  # fmt: skip


def draw_offsets(book: pd.DataFrame, offsets: Sequence[Offset], say: Wording) -> str:
    """A line for each merchant and point: rings are pairs kept or without outcome, crosses pairs returned; the bar is
    the drawn mean with twice its doubt; the upright stroke in the middle is the sheet's own word."""
    pairs = [
        (str(row["merchant"]), str(row["point"]), float(row["inches"]) - float(row["stated"]), str(row["outcome"]))
        for row in book.to_dict("records")
        if row["inches"] is not None and not isnan(float(row["stated"]))
    ]
    far = max([REACH, *(abs(more) for *_, more, _ in pairs)])
    wide = 20.0 / far
    parts = [path([(0.0, 1.5), (0.0, -2.4 * len(offsets) - 0.6)], "dim")]
    for tick in (-far, -far / 2, far / 2, far):
        parts.append(path([(tick * wide, 0.9), (tick * wide, -2.4 * len(offsets))], "tie"))
        parts.append(text((tick * wide, 1.6), f"{'+' if tick > 0 else ''}{say.number(tick)}", "small", "middle"))
    parts.append(text((0.0, 2.2), say.word("as stated"), "head", "middle"))
    for number, offset in enumerate(offsets):
        height = -2.4 * number - 1.2
        parts.append(text((-22.5, height - 0.4), f"{offset.merchant}, {say.point(offset.point)}", "", "end"))
        low, high = offset.mean - 2 * offset.u, offset.mean + 2 * offset.u
        parts.append(path([(max(low, -far) * wide, height), (min(high, far) * wide, height)], "band"))
        parts.append(path([(offset.mean * wide, height - 0.7), (offset.mean * wide, height + 0.7)], "warn"))
        for merchant, point, more, outcome in pairs:
            if (merchant, point) == (offset.merchant, offset.point):
                parts += _mark((more * wide, height), outcome.startswith("returned"))
    told = "; ".join(
        f"{o.merchant}, {say.point(o.point)}: {_signed(o.mean)} in ({o.pairs} {say.word('pairs')})" for o in offsets
    )
    box = (-50.0, 4.0, 24.0, -2.4 * len(offsets) - 1.4)
    return frame(parts, box, say.word("Taped against stated"), told, "tape")


def _mark(spot: Point, returned: bool) -> list[str]:
    x, height = spot
    size = 0.45
    if returned:
        return [
            path([(x - size, height - size), (x + size, height + size)], "dim"),
            path([(x - size, height + size), (x + size, height - size)], "dim"),
        ]
    ring = [(x + size * dx, height + size * dy) for dx, dy in
            ((1, 0), (0.7, 0.7), (0, 1), (-0.7, 0.7), (-1, 0), (-0.7, -0.7), (0, -1), (0.7, -0.7))]  # fmt: skip
    return [path(ring, "dim", closed=True)]


def _number(value: float) -> str:
    return "" if isnan(value) else say_number(value)


def _signed(value: float) -> str:
    return f"{value:+.2f}"
