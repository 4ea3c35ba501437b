"""The screen "glance": what merchants lack, how the sheets fared, how the figures lie, what tapes said."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Annotated

from fastapi import APIRouter, HTTPException, Query
from markupsafe import Markup
from starlette.responses import HTMLResponse, Response

from halfinch.catalogue.overview import OUTCOMES, STATUSES, Fared, count_outcomes, count_told
from halfinch.fit.enquiry import NEEDED
from halfinch.fit.spreads import SHOWN, Spread, TapedPoint, compare_taped, find_spreads
from halfinch.present.charts import Apart, Parts, Rail, draw_apart, draw_parts, draw_rails, draw_share
from halfinch.present.wording import CM
from halfinch.workbench.searching import Asked
from halfinch.workbench.view import View, ViewDep
from halfinch.workbench.wearers import find_wearers

router = APIRouter(prefix="/glance", tags=["glance"])
MERCHANTS = 40
"""Merchants that are shown unless all are asked for."""
REASONS = 12


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep, body: Annotated[str, Query(max_length=40)] = "", everyone: bool = False) -> Response:
    """`body`: the handle of one whose bands are drawn in; `everyone`: all merchants."""
    desk = view.desk
    if desk.is_empty:
        return view.page("glance/empty.html")
    wait, wearers = desk.settings.wait, [one for one in find_wearers(desk) if one.body is not None]
    chosen = next((one for one in wearers if one.handle == body), None)
    if body and chosen is None:
        raise HTTPException(404)
    with desk.reading():
        told = count_told(desk.catalogue, NEEDED, wait)
        fared = count_outcomes(desk.catalogue, wait)
        spreads = find_spreads(desk.catalogue, desk.knowledge, chosen.body if chosen else None, wait=wait)
        taped = compare_taped(desk.catalogue, desk.knowledge, wait)
    shown = told if everyone else told[:MERCHANTS]
    return view.page(
        "glance/show.html", told=shown, more=len(told) - len(shown), needed=NEEDED, share=_draw_share, fared=fared,
        fared_chart=_draw_fared(view, fared, everyone), sheets_chart=_draw_sheets(view, fared),
        reasons=fared.reasons[:REASONS], rails=_draw_spreads(view, spreads), spreads=spreads, wearers=wearers,
        chosen=chosen, taped=taped, taped_chart=_draw_taped(view, taped), statuses=STATUSES, outcomes=OUTCOMES,
        everyone=everyone, silhouette=partial(_silhouette, view), lacking=_lacking,
    )  # fmt: skip


def _lacking(merchant: str, point: str) -> str:
    """Address of the sizes of a merchant that do not tell a point."""
    return Asked(merchant=merchant, ranges=((point, "", "", "untold"),)).address()


def _draw_share(told: int, sizes: int) -> Markup:
    return Markup(draw_share(told / max(sizes, 1), f"{told} / {sizes}"))


def _draw_sheets(view: View, fared: Fared) -> Markup:
    parts = Parts(view.say("glance.sheets"), fared.sheets)
    told = ", ".join(f"{count} {view.say(f'glance.outcomes.{name}')}" for name, count in fared.sheets.items())
    return Markup(draw_parts([parts], told))


def _draw_fared(view: View, fared: Fared, everyone: bool) -> Markup:
    rows = sorted(fared.figures.items(), key=lambda one: (-sum(one[1].values()), one[0]))
    shown = rows if everyone else rows[:MERCHANTS]
    unsaid = view.say("glance.no_merchant")
    return Markup(
        draw_parts([Parts(_short(name or unsaid), told) for name, told in shown], view.say("glance.figures_told"))
    )


def _short(name: str) -> str:
    return name if len(name) <= 18 else name[:17] + "…"


def _draw_spreads(view: View, spreads: Sequence[Spread]) -> dict[str, Markup]:
    drawn = {}
    for point in SHOWN:
        mine = [one for one in spreads if one.point == point]
        rows = [
            Rail(
                _silhouette(view, one.silhouette),
                one.counts,
                None if one.band is None else (one.band.low, one.band.high),
            )
            for one in mine
        ]
        told = "; ".join(
            view.say("glance.rail_told", silhouette=row.label, sizes=one.sizes, middle=view.show(one.at(0.5)))
            for row, one in zip(rows, mine, strict=True)
        )
        drawn[point] = Markup(draw_rails(rows, view.number, told, 1 / CM if view.unit == "cm" else 1.0))
    return drawn


def _silhouette(view: View, name: str) -> str:
    return view.wording.word(name) if name else view.say("glance.no_silhouette")


def _draw_taped(view: View, taped: Sequence[TapedPoint]) -> Markup:
    rows = [
        Apart(f"{_short(one.offset.merchant)}, {view.wording.point(one.offset.point)}"[:26], one.differences,
              one.offset.mean, one.tolerance)
        for one in taped
    ]  # fmt: skip
    return Markup(draw_apart(rows, view.number, view.say("glance.taped_told")))
