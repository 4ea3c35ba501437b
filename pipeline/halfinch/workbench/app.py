"""Puts the workbench together: screens, their static files, what an error looks like, and the guard around it all."""

from __future__ import annotations

import contextlib
import importlib
from collections.abc import AsyncIterator
from typing import Any
from urllib.parse import urlsplit

import anyio.to_thread
from fastapi import Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response
from starlette.staticfiles import StaticFiles

from halfinch import __version__
from halfinch.errors import BusyError, HalfinchError
from halfinch.workbench.desk import Desk
from halfinch.workbench.findings import Said
from halfinch.workbench.guard import SAFE, Guard, check_csrf
from halfinch.workbench.screens import SCREENS
from halfinch.workbench.settings import Settings
from halfinch.workbench.view import local_path, view_of

AT_ONCE = 8
"""Requests that are worked at together, the others wait in their order: more would only take the processor from each
other, and from the one that writes and for which others wait."""


def create_app(settings: Settings) -> Guard:
    """The ASGI application. `.app` is the FastAPI inside, `.desk` what it knows."""
    desk = Desk(settings)

    @contextlib.asynccontextmanager
    async def living(_app: FastAPI) -> AsyncIterator[None]:
        anyio.to_thread.current_default_thread_limiter().total_tokens = AT_ONCE
        yield
        desk.jobs.stop()

    app = FastAPI(
        title="halfinch workbench",
        version=__version__,
        docs_url=None,  # these pages would load scripts from another host
        redoc_url=None,
        lifespan=living,
        dependencies=[Depends(check_csrf)],
        responses={403: {"description": "no CSRF token, or from another site"},
                   422: {"description": "a field is missing or is not what it should be"}},
    )  # fmt: skip
    app.state.desk = desk
    for name in ("preferences", *(screen.module for screen in SCREENS)):
        app.include_router(importlib.import_module(f"halfinch.workbench.screens.{name}").router)
    app.mount(f"/static/{desk.static_version}", _Kept(packages=[("halfinch.workbench", "static")]))
    app.add_exception_handler(HalfinchError, _tell_error)
    app.add_exception_handler(HTTPException, _tell_status)
    app.add_exception_handler(RequestValidationError, _tell_fields)
    app.add_exception_handler(Exception, _tell_bug)
    return Guard(app, desk)


class _Kept(StaticFiles):
    """Our own files; their addresses carry a digest, so they are kept for good."""

    def file_response(self, *args: Any, **more: Any) -> Response:
        answer = super().file_response(*args, **more)
        answer.headers["cache-control"] = "public, max-age=31536000, immutable"
        return answer


def _tell_error(request: Request, error: Exception) -> Response:
    """What a person caused or can cure, in the words that the command line would use."""
    status = 503 if isinstance(error, BusyError) else 409
    return _tell(request, status, str(error), english=True)


def _tell_status(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    view = view_of(request)
    key = f"errors.{'csrf' if error.detail == 'csrf' else error.status_code}"
    return _tell(request, error.status_code, view.say(key if view.texts.has(key) else "errors.other"))


def _tell_fields(request: Request, error: Exception) -> Response:
    """Which fields are wrong and how, never what was in them: it may be a measure of a person."""
    assert isinstance(error, RequestValidationError)
    fields = sorted({str(one["loc"][-1]) for one in error.errors()})
    return _tell(request, 422, view_of(request).say("errors.fields", fields=", ".join(fields)))


def _tell_bug(request: Request, _error: Exception) -> Response:
    """The traceback goes to the log of the server; a page says no more than that."""
    return _tell(request, 500, view_of(request).say("errors.500"))


def _tell(request: Request, status: int, sentence: str, *, english: bool = False) -> Response:
    """`english`: a sentence of the rooms below, which a page says in its own language if it can."""
    view = view_of(request)
    if view.wants_json:
        return JSONResponse({"error": sentence}, status)
    return view.page(
        "general/error.html",
        status,
        said=view.said(sentence) if english else Said(sentence, True),
        code=status,
        again=_way_back(request),
    )


def _way_back(request: Request) -> str:
    """The page whose form could not be answered; '' where the page itself was asked for."""
    if request.method in SAFE:
        return ""
    before = urlsplit(request.headers.get("referer", ""))
    ours = before.netloc == request.headers.get("host")
    return local_path(f"{before.path}?{before.query}" if before.query else before.path) if ours else "/"
