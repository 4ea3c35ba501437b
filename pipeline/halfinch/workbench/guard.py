"""Who may ask, and what an answer may do: the guard stands before every screen, so that no screen can forget it.

- Host: only names of this machine (on loopback), so that no foreign name can be turned to it.
- Origin: an unsafe request comes from a page of ours; nothing of ours can be embedded in another page.
- Token: away from loopback a browser shows it once and gets a cookie for it.
- CSRF: every unsafe request carries the token of its session, in the header `X-CSRF-Token` or the field `csrf`
  (`check_csrf`, a dependency of the whole application).
- Size: a request's body ends where the settings say.
- Answers: nothing but our own files may load or run; pages are kept by no cache.
- Log: method, path and status. Never a query, a body or a cookie.
"""

from __future__ import annotations

import contextlib
import hmac
import logging
import re
import secrets
from http.cookies import SimpleCookie
from urllib.parse import urlsplit

from fastapi import HTTPException, Request
from starlette.datastructures import MutableHeaders
from starlette.requests import ClientDisconnect
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from halfinch.workbench.desk import Desk

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
SESSION = "halfinch_session"
UPLOADS = "/sheets/upload"
"""The one path below which files come in."""

CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "frame-src 'self'; form-action 'self'; frame-ancestors 'self'; base-uri 'none'; "
    "require-trusted-types-for 'script'; trusted-types halfinch"
)
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "SAMEORIGIN",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), browsing-topics=()",
    "cache-control": "no-store",
}
"""On every answer, unless the answer says something narrower itself."""

_SESSION_ID = re.compile(r"[A-Za-z0-9_-]{43}")
log = logging.getLogger("halfinch.workbench")


class Guard:
    """ASGI middleware; the outermost one."""

    def __init__(self, app: ASGIApp, desk: Desk) -> None:
        self.app = app
        self.desk = desk

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        request = Request(scope)
        session, is_new = _session_of(request)
        scope.setdefault("state", {})["session"] = session
        answer = _Answer(scope, send, session if is_new else "")
        refusal = self._refuse(request)
        if refusal is not None:
            await refusal(scope, receive, answer.send)
            return
        uploads = request.url.path.startswith(UPLOADS)
        limit = self.desk.settings.largest_upload if uploads else self.desk.settings.largest_form
        if int(request.headers.get("content-length") or 0) > limit:
            await _plain(413, f"A request may hold {limit:,} bytes.")(scope, receive, answer.send)
            return
        body = _Body(receive, limit)
        with contextlib.suppress(ClientDisconnect):
            await self.app(scope, body.receive, answer.until(body))
        if body.exceeded and not answer.begun:
            await _plain(413, f"A request may hold {limit:,} bytes.")(scope, receive, answer.send)

    def _refuse(self, request: Request) -> Response | None:
        settings = self.desk.settings
        host = request.headers.get("host", "")
        try:
            address = urlsplit(f"//{host}")
            name, _ = address.hostname or "", address.port
        except ValueError:
            name = ""
        if not settings.knows_host(name):
            return _plain(421, "This server does not go by that name. Ask for it by its own address.")
        length = request.headers.get("content-length", "0")
        if not length.isdecimal():
            return _plain(400, "Content-Length has to be a number.")
        origin, site = request.headers.get("origin"), request.headers.get("sec-fetch-site", "")
        ours = origin == f"{request.url.scheme}://{host}"
        if request.method not in SAFE and not (ours or (origin is None and site in ("", "same-origin"))):
            return _plain(403, "This request comes from another site and is refused.")
        embedded = request.headers.get("sec-fetch-mode", "navigate") != "navigate"
        if site in ("cross-site", "same-site") and (embedded or request.headers.get("sec-fetch-dest") != "document"):
            return _plain(403, "Nothing of this server may be loaded by another site.")
        return self._ask_for_token(request) if settings.token else None

    def _ask_for_token(self, request: Request) -> Response | None:
        """None where the browser has shown the token before; with the right token in the query, the cookie for it."""
        settings, cookie = self.desk.settings, f"halfinch_key_{self.desk.settings.port}"
        if hmac.compare_digest(request.cookies.get(cookie, "").encode(), self.desk.entry_key.encode()):
            return None
        shown = request.query_params.get("token", "")
        if request.method in SAFE and hmac.compare_digest(shown.encode(), settings.token.encode()):
            answer = RedirectResponse(request.url.path, 303)
            answer.set_cookie(cookie, self.desk.entry_key, httponly=True, samesite="lax", path="/")
            return answer
        return _plain(401, "Open the address with the token that `halfinch serve` printed.")


async def check_csrf(request: Request) -> None:
    """Refuses an unsafe request that does not carry the token of its own session."""
    if request.method in SAFE:
        return
    wanted = request.app.state.desk.csrf_token(request.state.session)
    shown = request.headers.get("x-csrf-token", "")
    kind = request.headers.get("content-type", "")
    if not shown and kind.startswith(("application/x-www-form-urlencoded", "multipart/form-data")):
        field = (await request.form()).get("csrf", "")
        shown = field if isinstance(field, str) else ""
    if not hmac.compare_digest(shown.encode(), wanted.encode()):
        raise HTTPException(403, "csrf")


class _Body:
    """The request's body, cut off where it grows too large."""

    def __init__(self, receive: Receive, limit: int) -> None:
        self._receive, self._left = receive, limit
        self.exceeded = False

    async def receive(self) -> Message:
        message = await self._receive()
        self._left -= len(message.get("body", b""))
        if self._left < 0:
            self.exceeded = True
            return {"type": "http.disconnect"}
        return message


class _Answer:
    """The answer, with its headers, its cookie and its line in the log."""

    def __init__(self, scope: Scope, send: Send, new_session: str) -> None:
        self._scope, self._send, self._new_session = scope, send, new_session
        self.begun = False

    def until(self, body: _Body) -> Send:
        """As `send`; what the application says of a body that was cut off is not sent."""

        async def send(message: Message) -> None:
            if not body.exceeded or self.begun:
                await self.send(message)

        return send

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            if self._new_session:
                cookie: SimpleCookie = SimpleCookie({SESSION: self._new_session})
                cookie[SESSION].update({"path": "/", "httponly": "yes", "samesite": "Lax"})
                headers.append("set-cookie", cookie.output(header="").strip())
            path = self._scope.get("raw_path", b"").split(b"?")[0].decode("ascii", "replace")
            log.info("%s %s %s", self._scope["method"], path, message["status"])
        await self._send(message)


def _session_of(request: Request) -> tuple[str, bool]:
    known = request.cookies.get(SESSION, "")
    return (known, False) if _SESSION_ID.fullmatch(known) else (secrets.token_urlsafe(32), True)


def _plain(status: int, sentence: str) -> Response:
    return PlainTextResponse(f"{sentence}\n", status)
