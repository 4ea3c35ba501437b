"""Who is served: how much of a catalogue each of some bodies can wear, as bought or hemmed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from halfinch.fit.body import Body
from halfinch.fit.rank import Judging
from halfinch.fit.sizes import Sizes
from halfinch.knowledge import Knowledge


@dataclass(frozen=True, slots=True)
class Covered:
    """How many sizes meet a verdict for a body, and of how many garments it is the best that any size meets."""

    body: str
    verdict: str
    sizes: int
    garments: int


def cover(sizes: Sizes, bodies: Iterable[tuple[str, Body]], knowledge: Knowledge) -> list[Covered]:
    """A line a body and verdict, in the order of the ranking; every verdict has its line."""
    return [line for name, body in bodies for line in _cover_one(sizes, name, body, knowledge)]


def _cover_one(sizes: Sizes, name: str, body: Body, knowledge: Knowledge) -> list[Covered]:
    judging = Judging(sizes, body, knowledge)
    met = judging.judge()
    best = dict(
        judging.run(f"""
            SELECT best, count(*) FROM (
                SELECT min(j.rank) AS best FROM {sizes.relation} r JOIN judged j ON j.row_no = {sizes.row}
                GROUP BY r.garment_id) GROUP BY best""").fetchall()
    )
    ranking = knowledge.verdict.ranking
    return [Covered(name, verdict, met.get(at, 0), best.get(at, 0)) for at, verdict in enumerate(ranking)]
