"""Sheets: dropped in, read one by one while one looks on (or not), and listed with what came of each."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form, HTTPException, Query, UploadFile
from starlette.responses import HTMLResponse, JSONResponse, Response

from halfinch.catalogue.summary import list_sheets
from halfinch.workbench.demo import demo_folder
from halfinch.workbench.incoming import save_upload
from halfinch.workbench.jobs import GATHERING, Job
from halfinch.workbench.view import View, ViewDep

router = APIRouter(prefix="/sheets", tags=["sheets"])
ON_A_PAGE = 50


@router.get("", response_class=HTMLResponse)
def show(
    view: ViewDep,
    find: Annotated[str, Query(max_length=200)] = "",
    only: Literal["all", "held", "failed"] = "all",
    page: Annotated[int, Query(ge=1, le=1_000_000)] = 1,
) -> Response:
    """The pile: what is being read, and every sheet with what came of it."""
    desk = view.desk
    jobs = desk.jobs.latest()
    if desk.is_empty:
        return view.page("sheets/empty.html", jobs=jobs)
    found = list_sheets(desk.catalogue, find, only, ON_A_PAGE, (page - 1) * ON_A_PAGE, desk.settings.wait)
    pages = max(1, -(-found.total // ON_A_PAGE))
    return view.page("sheets/show.html", jobs=jobs, found=found, find=find, only=only, at=page, pages=pages)


@router.post("/upload", status_code=303, response_class=Response)
def upload(
    view: ViewDep,
    files: Annotated[list[UploadFile], Form()],
    merchant: Annotated[str, Form(max_length=200)] = "",
    newer: Annotated[bool, Form()] = False,
    job: Annotated[str, Form(max_length=40)] = "",
    more: Annotated[bool, Form()] = False,
) -> Response:
    """Takes files in. `more`: others follow for the same job (its handle in `job`), which begins with the last ones."""
    known = view.desk.jobs.get(job) if job else view.desk.jobs.gather(merchant.strip(), newer=newer)
    if known is None or known.state != GATHERING or known.folder is None:
        raise HTTPException(404)
    for file in files:
        if file.filename:
            save_upload(known.paths[0], file.filename, file.file, known.taken)
    if not more:
        view.desk.jobs.start(known)
    return _answer(view, known)


@router.post("/demo", status_code=303, response_class=Response)
def import_demo(view: ViewDep) -> Response:
    """Reads the sheets that come with halfinch."""
    folder = demo_folder()
    if folder is None:
        raise HTTPException(404)
    job = view.desk.jobs.of_folder(folder, "demo")
    view.desk.jobs.start(job)
    return _answer(view, job)


@router.get("/jobs/{handle}", response_class=HTMLResponse)
def watch(view: ViewDep, handle: str) -> Response:
    """How far an import is, as a part of the page."""
    return view.page("sheets/job.html", job=_job(view, handle))


@router.post("/jobs/{handle}/cancel", status_code=303, response_class=Response)
def cancel(view: ViewDep, handle: str) -> Response:
    """The sheet in hand is read to its end, what has arrived lands, the rest is left."""
    job = _job(view, handle)
    job.cancel()
    return _answer(view, job)


def _job(view: View, handle: str) -> Job:
    job = view.desk.jobs.get(handle)
    if job is None:
        raise HTTPException(404)
    return job


def _answer(view: View, job: Job) -> Response:
    if view.wants_json:
        return JSONResponse({"job": job.handle, "state": job.state})
    return view.go("/sheets")
