"""The screen "help"."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from halfinch.workbench.view import ViewDep

router = APIRouter(prefix="/help", tags=["help"])


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep) -> Response:
    return view.page("help/show.html")
