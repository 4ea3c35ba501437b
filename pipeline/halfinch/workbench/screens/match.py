"""The screen "match": which pairs fit a body, each looked at closely, its hem tried, a few set side by side."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, HTTPException, Query, Request
from starlette.responses import HTMLResponse, Response

from halfinch.fit.body import Body, Shoe
from halfinch.fit.comparing import compare_plans
from halfinch.fit.matching import find_matches
from halfinch.fit.plan import Plan
from halfinch.present.papers.client import say_hem, say_point
from halfinch.workbench.pairs import PairKey, find_pairs, open_pairs, plan_pair, read_key, show_plans
from halfinch.workbench.view import View, ViewDep
from halfinch.workbench.wearers import Wearer, find_wearers, open_wearer

router = APIRouter(prefix="/match", tags=["match"])
PAGE = 12
"""Pairs on a page."""
MOST = 240
STEP = {"in": 0.125, "cm": 0.25 / 2.54}
"""What one step of the slider moves a hem by, inches."""
ROOM = 6.0
"""How far a hem can be tried above and below the one that is wanted, inches."""
ShoeNumber = Annotated[int, Query(ge=0, le=50)]
PairText = Annotated[str, Query(max_length=300)]


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep) -> Response:
    """Whom to match."""
    return view.page("match/show.html", wearers=find_wearers(view.desk))


@router.get("/{handle}", response_class=HTMLResponse)
def match(
    view: ViewDep, handle: str, shoe: ShoeNumber = 0, form: Literal["cards", "table"] = "cards",
    top: Annotated[int, Query(ge=1, le=MOST)] = PAGE, far: bool = False,
) -> Response:  # fmt: skip
    """The best pairs for a body. `far`: also those that do not fit or that nobody can judge."""
    wearer, body = _wearer(view, handle)
    with open_pairs(view) as sizes:
        found = find_matches(sizes, body, view.desk.knowledge, top=top, shoe=_shoe_name(body, shoe))
    plans = [plan for plan in found.plans if far or plan.verdict not in ("no", "not known")]
    return view.page(
        "match/list.html", wearer=wearer, body=body, shoe=shoe, form=form, top=top, far=far, found=found,
        shown=show_plans(plans, body, view), more=min(top + PAGE, MOST) if len(found.plans) == top < MOST else 0,
        kept=view.desk.kept(handle), could_not=_lacking(found.plans),
    )  # fmt: skip


@router.get("/{handle}/pair", response_class=HTMLResponse)
def look_closely(view: ViewDep, handle: str, pair: PairText, shoe: ShoeNumber = 0) -> Response:
    """One pair: drawing, verdict with its reasons, and the hem to try."""
    wearer, body = _wearer(view, handle)
    (size,) = find_pairs(view, [read_key(pair)])
    plan = plan_pair(size, body, view, _shoe_name(body, shoe))
    (one,) = show_plans([plan], body, view)
    return view.page(
        "match/pair.html", wearer=wearer, body=body, shoe=shoe, one=one, kept=view.desk.kept(handle),
        told=_reasons(plan, view), **_trial(view, body, plan, plan),
    )  # fmt: skip


@router.post("/{handle}/hem", response_class=HTMLResponse)
def try_hem(
    request: Request, view: ViewDep, handle: str, pair: Annotated[str, Form(max_length=300)],
    finished: Annotated[float, Form(gt=0, lt=60)], shoe: Annotated[int, Form(ge=0, le=50)] = 0,
) -> Response:  # fmt: skip
    """The same pair with another hem, `finished` inches. With the header `X-Part` only the part that changes."""
    wearer, body = _wearer(view, handle)
    (size,), name = find_pairs(view, [read_key(pair)]), _shoe_name(body, shoe)
    plan = plan_pair(size, body, view, name)
    tried = plan_pair(size, body, view, name, finished)
    trial = _trial(view, body, plan, tried)
    if "x-part" in request.headers:
        return view.page("match/hem.html", **trial)
    (one,) = show_plans([plan], body, view)
    return view.page(
        "match/pair.html", wearer=wearer, body=body, shoe=shoe, one=one, kept=view.desk.kept(handle),
        told=_reasons(plan, view), **trial,
    )  # fmt: skip


@router.post("/{handle}/keep", status_code=303, response_class=Response)
def keep(
    view: ViewDep, handle: str, pair: Annotated[str, Form(max_length=300)],
    back: Annotated[str, Form(max_length=2000)] = "/match",
) -> Response:  # fmt: skip
    """Puts a pair on the wearer's shortlist, or takes it off again."""
    _wearer(view, handle)
    view.desk.keep(handle, str(read_key(pair)))
    return view.go(back)


@router.get("/{handle}/compare", response_class=HTMLResponse)
def compare(
    view: ViewDep, handle: str, pair: Annotated[list[PairText] | None, Query(max_length=20)] = None,
    shoe: ShoeNumber = 0,
) -> Response:  # fmt: skip
    """Two to four pairs beside the favourite one. Without any: the first four of the shortlist."""
    wearer, body = _wearer(view, handle)
    wanted: list[PairKey] = [read_key(text) for text in dict.fromkeys(pair or view.desk.kept(handle))][:4]
    pairs = find_pairs(view, wanted) if wanted else []
    plans = [plan_pair(size, body, view, _shoe_name(body, shoe)) for size in pairs]
    return view.page(
        "match/compare.html", wearer=wearer, body=body, shoe=shoe, shown=show_plans(plans, body, view),
        compared=compare_plans(plans, body), kept=view.desk.kept(handle),
    )  # fmt: skip


def _wearer(view: View, handle: str) -> tuple[Wearer, Body]:
    wearer = open_wearer(view.desk, handle)
    assert wearer.body is not None
    return wearer, wearer.body


def _shoe_name(body: Body, number: int) -> str:
    """By its place, since a name would stand in the address."""
    shoes: tuple[Shoe, ...] = body.shoes
    if not number:
        return ""
    if number >= len(shoes):
        raise HTTPException(404)
    return shoes[number].name


def _trial(view: View, body: Body, planned: Plan, tried: Plan) -> dict[str, Any]:
    """What the slider shows and how far it goes, in steps of the unit; None where there is no hem to try."""
    (one,) = show_plans([tried], body, view)
    leg, step = planned.leg, STEP[view.unit]
    if leg.inseam is None or leg.finished is None:
        return {"tried": one, "slider": None}
    spare = planned.garment.hem_allowance or 0.0
    low = max(1.0, min(leg.inseam, leg.finished) - ROOM)
    marks = [("match.sold", leg.inseam), ("match.planned", leg.finished)]
    if leg.safe_inseam is not None and low <= leg.safe_inseam <= leg.inseam + spare:
        marks.append(("match.safe", leg.safe_inseam))
    at = tried.leg.finished if tried.leg.finished is not None else leg.finished
    return {
        "tried": one,
        "slider": {"low": round(low, 4), "high": round(leg.inseam + spare, 4), "step": step, "at": round(at, 4),
                   "marks": marks},
    }  # fmt: skip


def _reasons(plan: Plan, view: View) -> dict[str, str]:
    """Point to what it comes to, in the language of the page."""
    return {
        judged.point: say_hem(plan, view.wording)
        if judged.point == "inseam" and plan.leg.cut is not None
        else say_point(judged, plan, view.wording)
        for judged in plan.points
    }


def _lacking(plans: tuple[Plan, ...]) -> list[str]:
    from halfinch.fit.records import could_not_judge

    return could_not_judge(plans)
