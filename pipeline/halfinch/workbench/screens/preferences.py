"""Language, unit and theme, kept in cookies of a year; and the way in."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form
from starlette.responses import Response

from halfinch.present import charts
from halfinch.present.drawing.svg import STYLE
from halfinch.workbench.screens import SCREENS
from halfinch.workbench.texts import all_texts
from halfinch.workbench.view import ViewDep

router = APIRouter(tags=["general"])
YEAR = 365 * 24 * 3600


@router.get("/", include_in_schema=False)
def enter(view: ViewDep) -> Response:
    return view.go(SCREENS[0].path)


@router.get("/drawing.css", include_in_schema=False)
def drawing_style() -> Response:
    """The style of our drawings and charts as a file: a page may hold no style of its own."""
    return Response(STYLE + charts.STYLE, media_type="text/css", headers={"cache-control": "max-age=3600"})


@router.post("/preferences", status_code=303, response_class=Response)
def prefer(
    view: ViewDep,
    language: Annotated[str, Form(max_length=20)] = "",
    unit: Annotated[Literal["in", "cm", ""], Form()] = "",
    theme: Annotated[Literal["auto", "light", "dark", ""], Form()] = "",
    back: Annotated[str, Form(max_length=2000)] = "/",
) -> Response:
    """Keeps what is given, and goes back to the page."""
    answer = view.go(back)
    for name, value in (("language", language if language in all_texts() else ""), ("unit", unit), ("theme", theme)):
        if value:
            answer.set_cookie(f"halfinch_{name}", value, max_age=YEAR, httponly=True, samesite="lax")
    return answer
