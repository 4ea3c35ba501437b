"""Held figures, looked through one by one or a sheet at a time; what is decided here are rulings like any other."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Literal

from fastapi import APIRouter, Form, HTTPException, Query
from starlette.responses import HTMLResponse, Response

from halfinch.catalogue.habit_offers import adopt, find_offers
from halfinch.catalogue.held import Case, Seen, figures_of, first_held, held_sheets, look_at, sheet_name
from halfinch.catalogue.rulings import Decision, rule_each, undo_all
from halfinch.errors import SheetError
from halfinch.figure import NM_PER_INCH, to_inches
from halfinch.fit.measure import MeasureError, read_measure
from halfinch.plausibility.changes import CHANGES
from halfinch.present.papers.render import say_place
from halfinch.workbench.curve import CLEAN, draw_row
from halfinch.workbench.harmless import POLICY, harmless_page
from halfinch.workbench.rivals import Rival, expect, find_rivals
from halfinch.workbench.showing import show_figure, show_sheet
from halfinch.workbench.sittings import Step
from halfinch.workbench.view import View, ViewDep

router = APIRouter(prefix="/held", tags=["held"])
SheetId = Annotated[str, Query(pattern="^([0-9a-f]{64})?$")]
Scope = Literal["figure", "row", "size"]
Decided = Literal["right", "should be", "not ours", "cm", "in", "flat", "round", "slipped", "lost"]
"""A ruling, or one of CHANGES: another reading of what is printed."""


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep, sheet: SheetId = "") -> Response:
    """The sheets with held figures; with `sheet`, straight to the first one of it."""
    desk = view.desk
    sitting = desk.sittings.of(view.session)
    if desk.is_empty:
        return view.page("held/none.html", empty=True, said=None)
    wait = desk.settings.wait
    if sheet and (first := first_held(desk.catalogue, sheet, wait)):
        return view.go(f"/held/{first}?sheet={sheet}")
    sheets = held_sheets(desk.catalogue, wait)
    if not sheets:
        return view.page("held/none.html", empty=False, said=sitting.tell(), sitting=sitting)
    return view.page("held/show.html", sheets=sheets, total=sum(one.held for one in sheets), said=sitting.tell(),
                     sitting=sitting)  # fmt: skip


@router.get("/sheet/{sheet_id}", response_class=HTMLResponse)
def show_whole(view: ViewDep, sheet_id: str) -> Response:
    """A whole sheet with all its figures marked, and what is held gathered by row."""
    desk = view.desk
    with desk.reading():
        figures = figures_of(desk.catalogue, sheet_id, desk.settings.wait)
        name = sheet_name(desk.catalogue, sheet_id, desk.settings.wait)
    sitting = desk.sittings.of(view.session)
    try:
        kept = desk.pictures.sheet(sheet_id)
        shown, trouble = show_sheet(desk.pictures, kept, [one for one, _ in figures]), ""
    except SheetError as error:
        shown, trouble = None, str(error)
    rows: dict[tuple[str, str, str], list[Seen]] = {}
    for one, reasons in figures:
        if one.status == "held":
            rows.setdefault((one.point, one.length, reasons[0].rule if reasons else "held"), []).append(one)
    return view.page("held/sheet.html", sheet_id=sheet_id, shown=shown, trouble=trouble, rows=rows, said=sitting.tell(),
                     sitting=sitting, sheet=sheet_id,
                     held=sum(len(found) for found in rows.values()), name=name)  # fmt: skip


@router.get("/sheet/{sheet_id}/page/{number}.png", response_class=Response)
def draw(view: ViewDep, sheet_id: str, number: int) -> Response:
    """A page of a PDF as a picture."""
    try:
        picture, _, _ = view.desk.pictures.page(sheet_id, number)
    except (KeyError, SheetError):
        raise HTTPException(404) from None
    return Response(picture, media_type="image/png", headers={"cache-control": "private, max-age=3600"})


@router.post("/undo", status_code=303, response_class=Response)
def undo(view: ViewDep, sheet: Annotated[str, Form(pattern="^([0-9a-f]{64})?$")] = "") -> Response:
    """Takes the last decision of this browser back, and goes to the figure that it was about."""
    sitting = view.desk.sittings.of(view.session)
    if not sitting.steps:
        return view.go("/held")
    step = sitting.steps.pop()
    settings = view.desk.settings
    undo_all(view.desk.catalogue, step.ruling_ids, by=settings.by, wait=settings.wait)
    sitting.said = ("held.undone", len(step.ruling_ids))
    return view.go(_address(step.figure_id, sheet))


@router.post("/habit", status_code=303, response_class=Response)
def answer_offer(
    view: ViewDep,
    merchant: Annotated[str, Form(max_length=200)],
    key: Annotated[str, Form(max_length=60)],
    keep: Annotated[bool, Form()] = False,
    back: Annotated[str, Form(max_length=300)] = "/held",
) -> Response:
    """Writes an offered habit down, or asks no more in this browser."""
    sitting = view.desk.sittings.of(view.session)
    if keep:
        adopt(view.desk.catalogue, merchant, key, view.desk.settings.wait)
        sitting.said = ("held.habit_kept", 1)
    sitting.declined.add((merchant, key))
    sitting.offers = tuple(one for one in sitting.offers if (one.merchant, one.key) not in sitting.declined)
    return view.go(back)


@router.get("/{figure_id}", response_class=HTMLResponse)
def show_one(view: ViewDep, figure_id: str, sheet: SheetId = "", whole: bool = False) -> Response:
    """One figure beside the sheet that it was read from."""
    desk = view.desk
    case = look_at(desk.catalogue, figure_id, sheet, desk.settings.wait)
    return _page(view, case, sheet, whole=whole)


@router.get("/{figure_id}/page.html", response_class=HTMLResponse)
def show_web_page(view: ViewDep, figure_id: str) -> Response:
    """The web page that a figure was read from, harmless, for a frame beside it."""
    desk = view.desk
    case = look_at(desk.catalogue, figure_id, "", desk.settings.wait)
    try:
        kept = desk.pictures.sheet(case.sheet_id)
    except SheetError:
        raise HTTPException(404) from None
    page = harmless_page(kept, case.figure.place) if kept.sheet.kind == "html" else None
    if page is None:
        raise HTTPException(404)
    return HTMLResponse(page, headers={"content-security-policy": POLICY})


def _page(view: View, case: Case, sheet: str, *, whole: bool = False, typed: str = "", wrong: str = "") -> Response:
    pictures = view.desk.pictures
    shown, trouble = None, ""
    try:
        shown = show_figure(pictures, pictures.sheet(case.sheet_id), case, whole=whole, say=view.wording)
    except SheetError as error:
        trouble = str(error)
    sitting = view.desk.sittings.of(view.session)
    expected = expected_of(case)
    told = view.say("held.curve", point=view.wording.point(case.figure.point), row=_row_in_words(view, case))
    curve = draw_row(case.row, case.figure, expected, view.wording.number, told)
    return view.page(
        "held/one.html", case=case, sheet=sheet, shown=shown, trouble=trouble, whole=whole, typed=typed, wrong=wrong,
        curve=curve, expected=expected, rivals=rivals_of(view, case, expected),
        elsewhere=printed_elsewhere(case), say_place=say_place, in_row=held_among(case, "row"),
        in_size=held_among(case, "size"), said=sitting.tell(), sitting=sitting,
        before=_address(case.before, sheet), after=_address(case.after, sheet),
        own=_address(case.figure.figure_id, sheet), status=422 if wrong else 200,
    )  # fmt: skip


@router.post("/{figure_id}", status_code=303, response_class=Response)
def decide(
    view: ViewDep,
    figure_id: str,
    decision: Annotated[Decided, Form()] = "should be",
    other: Annotated[str, Form(max_length=64)] = "",
    inches: Annotated[str, Form(max_length=60)] = "",
    scope: Annotated[Scope, Form()] = "figure",
    why: Annotated[str, Form(max_length=1000)] = "",
    sheet: Annotated[str, Form(pattern="^([0-9a-f]{64})?$")] = "",
    back: Annotated[Literal["", "sheet"], Form()] = "",
) -> Response:
    """Rules on the figure, or on all that is held of its row or size, and goes on to the next one."""
    desk, settings = view.desk, view.desk.settings
    case = look_at(desk.catalogue, figure_id, sheet, settings.wait)
    chosen = next((one for one in printed_elsewhere(case) if one.figure_id == other), None)
    length = chosen.inches if chosen is not None else _typed(inches, view.unit) if decision == "should be" else None
    if decision == "should be" and length is None:
        return _page(view, case, sheet, typed=inches, wrong=view.say("held.wrong_measure"))
    meant = held_among(case, scope)
    if length is None and decision != "not ours":
        meant = [one for one in meant if one.length_nm]
        if not meant:
            return _page(view, case, sheet, wrong=view.say("held.not_read"))
    decided = [(one.figure_id, _decision(one, decision, length, settings.by, why)) for one in meant]
    if chosen is not None and chosen.status == "held":
        decided.append((chosen.figure_id, _decision(chosen, "right", None, settings.by, why)))
    made = rule_each(desk.catalogue, decided, settings.wait)
    sitting = desk.sittings.of(view.session)
    sitting.did(Step(tuple(one.ruling_id for one in made), case.figure.figure_id))
    sitting.said = (_SAID.get(decision, "held.did_read"), len(made))
    with desk.reading():
        found = find_offers(desk.catalogue, settings.wait)
        after = look_at(desk.catalogue, figure_id, sheet, settings.wait).after or first_held(
            desk.catalogue, sheet, settings.wait
        )
    sitting.offers = tuple(one for one in found if (one.merchant, one.key) not in sitting.declined)
    if back:
        return view.go(f"/held/sheet/{case.sheet_id}")
    return view.go(_address(after, sheet) if after else "/held")


_SAID = {"right": "held.did_right", "should be": "held.did_should", "not ours": "held.did_not_ours"}


def _typed(text: str, unit: str) -> Decimal | None:
    """Inches that were typed, `unit` where none was; None where it is no one length."""
    for fallback in ("", unit):
        try:
            typed = read_measure(text, fallback)
        except MeasureError:
            continue
        if typed.high is None and 0 < typed.low < 1000:
            return to_inches(round(typed.low * NM_PER_INCH))
    return None


def _decision(figure: Seen, decision: str, inches: Decimal | None, by: str, why: str) -> Decision:
    if decision not in CHANGES:
        return Decision(decision, by, why, inches)
    words, factor = CHANGES[decision]
    return Decision("should be", by, why or words, to_inches(round(figure.length_nm * factor)))


def held_among(case: Case, scope: Scope) -> list[Seen]:
    """The held figures that a decision is about; the figure itself always, held or not."""
    others = {"figure": (), "row": case.row, "size": case.size}[scope]
    own = case.figure.figure_id
    return [case.figure, *(one for one in others if one.status == "held" and one.figure_id != own)]


def printed_elsewhere(case: Case) -> list[Seen]:
    """Other figures of the same point, size and length on this sheet that say something else."""
    own = case.figure
    told = [one for one in case.row if one.size == own.size and one.figure_id != own.figure_id]
    return [one for one in told if one.inches != own.inches and one.status != "set_aside"]


def expected_of(case: Case) -> Fraction | None:
    """What the accepted and assumed figures of its row lead one to expect of it."""
    values = [Fraction(one.length_nm, NM_PER_INCH) if one.status in CLEAN else None for one in case.row]
    at = next((at for at, one in enumerate(case.row) if one.figure_id == case.figure.figure_id), 0)
    return expect(values, at)


def rivals_of(view: View, case: Case, expected: Fraction | None) -> list[Rival]:
    known = view.desk.knowledge.points.get(case.figure.point)
    if known is None or case.figure.inches_to is not None:
        return []
    return find_rivals(
        Fraction(case.figure.length_nm, NM_PER_INCH), case.figure.unit, case.figure.convention, known, expected
    )


def _row_in_words(view: View, case: Case) -> str:
    return "; ".join(f"{one.size or '–'}: {view.wording.number(float(one.inches))}" for one in case.row)


def _address(figure_id: str, sheet: str) -> str:
    if not figure_id:
        return ""
    return f"/held/{figure_id}{f'?sheet={sheet}' if sheet else ''}"
