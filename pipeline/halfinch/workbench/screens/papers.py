"""The screen "papers": what is handed out. A paper is a document of its own, with a policy of its own."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, Query
from starlette.responses import HTMLResponse, Response

from halfinch.errors import UsageError
from halfinch.fit.enquiry import find_asked_merchants, find_enquiries
from halfinch.fit.matching import find_plans
from halfinch.fit.scene import make_scene
from halfinch.fit.ticket import make_ticket, read_taped_inseams
from halfinch.present.papers import client_paper, merchant_paper, read_garment, render, tailor_paper
from halfinch.present.wording import Wording, languages, load_wording
from halfinch.workbench.pairs import find_pairs, open_pairs, plan_pair, read_key
from halfinch.workbench.view import View, ViewDep
from halfinch.workbench.wearers import find_wearers, open_wearer

router = APIRouter(prefix="/papers", tags=["papers"])
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; form-action 'none'"
"""A paper brings its own style and its drawings, and may do nothing."""
Text = Annotated[str, Form(max_length=300)]
Kind = Annotated[Literal["html", "txt"], Form()]


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep, body: Annotated[str, Query(max_length=40)] = "", pair: str = "") -> Response:
    """Which paper, of whom or of what."""
    wearers = [one for one in find_wearers(view.desk) if one.body is not None]
    chosen = next((one for one in wearers if one.handle == body), wearers[0] if wearers else None)
    kept: list[tuple[str, str]] = []
    garments: list[tuple[str, str]] = []
    merchants: tuple[str, ...] = ()
    if not view.desk.is_empty:
        with view.desk.reading():
            garments = _choices(view)
            merchants = find_asked_merchants(view.desk.catalogue, wait=view.desk.settings.wait)
        names = dict(garments)
        wanted = view.desk.kept(chosen.handle) if chosen is not None else []
        for text in dict.fromkeys([pair, *wanted] if pair else wanted):
            key = read_key(text)
            kept.append((text, f"{names.get(key.garment, key.garment[:12])}, {key.size} {key.length}".strip(", ")))
    return view.page(
        "papers/show.html", wearers=wearers, chosen=chosen, kept=kept, pair=pair, garments=garments,
        merchants=merchants, papers_in=languages(),
    )  # fmt: skip


@router.post("/client", response_class=Response)
def for_client(
    view: ViewDep, body: Text, title: Text = "", language: Text = "en", unit: Literal["in", "cm"] = Form("in"),
    kind: Kind = "html", top: Annotated[int, Form(ge=1, le=20)] = 4,
) -> Response:  # fmt: skip
    """The shortlist, or the best pairs where nothing was kept."""
    wearer = open_wearer(view.desk, body)
    assert wearer.body is not None
    known, kept = view.desk.knowledge, view.desk.kept(body)
    if kept:
        pairs = find_pairs(view, [read_key(text) for text in kept])
        plans = [plan_pair(size, wearer.body, view) for size in pairs]
    else:
        with open_pairs(view) as sizes:
            found = find_plans(sizes, wearer.body, (), known, top=top)
        plans = [plan for plan in found if plan.verdict not in ("no", "not known")]
    if not plans:
        raise UsageError(view.say("papers.nothing_fits"))
    say = load_wording(language, unit)
    scenes = [make_scene(plan, wearer.body, known) for plan in plans]
    return _paper("client", client_paper(plans, scenes, say, title), say, kind)


@router.post("/tailor", response_class=Response)
def for_tailor(
    view: ViewDep, body: Text, pair: Text, taped: Text = "", title: Text = "", language: Text = "en",
    unit: Literal["in", "cm"] = Form("in"), kind: Kind = "html",
) -> Response:  # fmt: skip
    """A ticket for one pair. "Take up so much" only from an inseam taped off that pair."""
    wearer = open_wearer(view.desk, body)
    assert wearer.body is not None
    inseams = list(read_taped_inseams(taped))
    (size,) = find_pairs(view, [read_key(pair)])
    plan = plan_pair(size, wearer.body, view)
    say = load_wording(language, unit)
    ticket = make_ticket(plan, view.desk.knowledge, inseams, date.today())
    return _paper("tailor", tailor_paper([ticket], say, title), say, kind)


@router.post("/merchant", response_class=Response)
def for_merchant(
    view: ViewDep, merchant: Text, title: Text = "", language: Text = "en", unit: Literal["in", "cm"] = Form("in"),
    kind: Kind = "txt",
) -> Response:  # fmt: skip
    """The questions to one merchant: exactly what is missing or held."""
    say = load_wording(language, unit)
    found = find_enquiries(view.desk.catalogue, merchant, (), wait=view.desk.settings.wait)
    if not found:
        raise UsageError(view.say("papers.nothing_to_ask", merchant=merchant))
    return _paper("merchant", merchant_paper(found, say, title, date.today()), say, kind)


@router.post("/garment", response_class=Response)
def of_garment(
    view: ViewDep, garment: Text, language: Text = "en", unit: Literal["in", "cm"] = Form("in"), kind: Kind = "html"
) -> Response:
    """A page of one garment."""
    say = load_wording(language, unit)
    desk = view.desk
    return _paper(
        "garment", read_garment(desk.catalogue, garment, desk.knowledge, say, wait=desk.settings.wait), say, kind
    )


def _choices(view: View) -> list[tuple[str, str]]:
    """Garments as (id, name)."""
    from halfinch.catalogue import store

    with store.reading(view.desk.catalogue, view.desk.settings.wait) as connection:
        rows = connection.execute(
            """SELECT garment_id, coalesce(nullif(any_value(style), ''), any_value(style_code)), any_value(merchant)
               FROM current_figures GROUP BY garment_id ORDER BY 3, 2 LIMIT 2000"""
        ).fetchall()
    unnamed = view.say("catalogue.no_style")
    named = [(str(one), name or f"{unnamed} ({one[:6]})", merchant) for one, name, merchant in rows]
    return [(one, f"{name} – {merchant}" if merchant else name) for one, name, merchant in named]


def _paper(name: str, facts: dict[str, Any], say: Wording, kind: str) -> Response:
    text = render(name, facts, say, "txt" if kind == "txt" else "html")
    if kind == "txt":
        return Response(text, media_type="text/plain; charset=utf-8")
    return HTMLResponse(text, headers={"content-security-policy": POLICY})
