"""Each promise of safety, by real requests to a real server."""

from __future__ import annotations

import logging
import socket
from dataclasses import replace
from pathlib import Path
from urllib.parse import quote

import httpx
import pytest

import halfinch.workbench
from halfinch.api import open_catalogue
from halfinch.errors import UsageError
from halfinch.workbench.serving import bind
from halfinch.workbench.settings import Settings

from .conftest import Server, running

FOLDER = Path(halfinch.workbench.__file__).parent
FORM = {"unit": "cm", "back": "/help"}


def test_answers_on_loopback_alone(server: Server) -> None:
    own = {one[4][0] for one in socket.getaddrinfo(socket.gethostname(), server.settings.port, socket.AF_INET)}
    for address in own - {"127.0.0.1"}:
        with pytest.raises(OSError):  # noqa: PT011 - refused or unreachable, as the machine has it
            socket.create_connection((str(address), server.settings.port), 1)
    assert server.client.get("/help").status_code == 200


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "192.168.1.20", "localhost.evil.example", "", "["])
def test_a_foreign_name_is_refused(server: Server, host: str) -> None:
    answer = server.client.get("/help", headers={"host": host})
    assert answer.status_code in (400, 421)
    assert "halfinch" not in answer.text


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "[::1]"])
def test_own_names_are_answered(server: Server, host: str) -> None:
    assert server.client.get("/help", headers={"host": f"{host}:{server.settings.port}"}).status_code == 200


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1", "http://127.0.0.1:1", "http://localhost"]
)
def test_a_form_from_another_site_is_refused(server: Server, origin: str) -> None:
    answer = server.client.post("/preferences", data={**FORM, "csrf": server.token()}, headers={"origin": origin})
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


def test_a_form_needs_the_token_of_its_session(server: Server) -> None:
    def send(**form: str) -> int:
        return server.client.post("/preferences", data={**FORM, **form}, headers={"origin": server.url}).status_code

    token = server.token()
    assert send() == 403
    assert send(csrf="0" * 64) == 403
    assert send(csrf=token) == 303
    with httpx.Client(base_url=server.url) as other:
        other.get("/help")
        answer = other.post("/preferences", data={**FORM, "csrf": token}, headers={"origin": server.url})
        assert answer.status_code == 403


def test_every_unsafe_address_asks_for_the_token(server: Server) -> None:
    """Whatever screens are added: the schema lists their addresses."""
    paths = server.client.get("/openapi.json").json()["paths"]
    unsafe = [(verb, path) for path, verbs in paths.items() for verb in verbs if verb not in ("get", "head")]
    assert unsafe
    for verb, path in unsafe:
        for headers in ({}, {"content-type": "application/x-www-form-urlencoded"}, {"content-type": "text/plain"}):
            answer = server.client.request(verb, path, content=b"", headers={"origin": server.url, **headers})
            assert answer.status_code == 403, (verb, path, headers)


@pytest.mark.parametrize(
    "headers",
    [
        pytest.param({"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}, id="as-a-script-or-picture"),
        pytest.param(
            {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "iframe"}, id="in-a-frame"
        ),
    ],
)
def test_nothing_is_loaded_by_another_site(server: Server, headers: dict[str, str]) -> None:
    assert server.client.get("/help", headers=headers).status_code == 403


def test_every_answer_forbids_what_is_not_ours(server: Server) -> None:
    for path in ("/help", f"/static/{server.desk.static_version}/desk.js", "/no-such-page", "/openapi.json"):
        headers = server.client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "//" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cross-origin-resource-policy"] == "same-origin"
    assert server.client.get("/help").headers["cache-control"] == "no-store"
    assert "server" not in server.client.get("/help").headers


def test_no_template_holds_script_or_style_or_another_host() -> None:
    for path in [*FOLDER.rglob("*.html"), *FOLDER.rglob("*.css"), *FOLDER.rglob("*.js")]:
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert "http:" not in text, path
        assert "https:" not in text, path
        if path.suffix == ".html":
            assert " style=" not in text, path
            assert "<style" not in text, path
            assert not any(f" on{event}=" in text for event in ("click", "load", "error", "change", "submit")), path
            assert "<script>" not in text, path
            assert "|safe" not in text.replace(" ", ""), path


def test_large_requests_end_early(settings: Settings) -> None:
    with running(replace(settings, largest_form=2000)) as server:
        long = {**FORM, "csrf": server.token(), "more": "x" * 3000}
        assert server.client.post("/preferences", data=long, headers={"origin": server.url}).status_code == 413

        def pieces() -> object:
            for _ in range(50):
                yield b"x" * 100

        kind = {"origin": server.url, "content-type": "application/x-www-form-urlencoded"}
        assert server.client.post("/preferences", content=pieces(), headers=kind).status_code == 413  # type: ignore[arg-type]
        assert server.client.get("/help").status_code == 200


@pytest.fixture
def open_server(settings: Settings) -> object:
    """As with `--host`: it asks for a token. It still listens on loopback, as tests should."""
    return replace(settings, token="a-long-and-secret-token", names=frozenset({"shop.example"}))


def test_away_from_loopback_the_token_is_asked_for_once(open_server: Settings) -> None:
    with running(open_server) as server:
        assert server.client.get("/help").status_code == 401
        assert server.client.get("/help?token=wrong").status_code == 401
        assert server.client.get(f"/static/{server.desk.static_version}/desk.css").status_code == 401
        entered = server.client.get("/help?token=a-long-and-secret-token")
        assert entered.status_code == 303
        assert entered.headers["location"] == "/help"
        assert "secret" not in str(entered.headers)
        assert all("httponly" in one.lower() for one in entered.headers.get_list("set-cookie"))
        assert server.client.get("/help").status_code == 200
        with httpx.Client(base_url=server.url) as other:
            assert other.post("/preferences", headers={"origin": server.url}).status_code == 401


@pytest.mark.parametrize(
    ("host", "name", "known"),
    [
        pytest.param("127.0.0.1", "localhost", True, id="loopback"),
        pytest.param("127.0.0.1", "192.168.1.20", False, id="loopback-by-another-address"),
        pytest.param("0.0.0.0", "192.168.1.20", True, id="open-by-address"),
        pytest.param("0.0.0.0", "shop.example", True, id="open-by-a-name-that-was-given"),
        pytest.param("0.0.0.0", "evil.example", False, id="open-by-a-foreign-name"),
    ],
)
def test_host_names(host: str, name: str, known: bool) -> None:
    settings = Settings(Path("a"), Path("b"), host=host, names=frozenset({"shop.example"}))
    assert settings.knows_host(name) is known


def test_the_log_holds_paths_alone(server: Server, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.DEBUG):
        server.client.get("/help?waist=secret-71")
        server.post("/preferences", data={"unit": "cm", "back": "/help?waist=secret-72"})
    said = [record.getMessage() for record in caplog.records if record.name.startswith(("halfinch", "uvicorn"))]
    assert "GET /help 200" in said
    assert not any("secret" in line for line in said)


def test_a_wrong_field_is_named_and_never_quoted(server: Server) -> None:
    answer = server.post("/preferences", data={"unit": "secret-73"})
    assert answer.status_code == 422
    assert "unit" in answer.text
    assert "secret" not in answer.text


def test_sql_is_never_put_together_from_a_request() -> None:
    """Screens ask through functions of the rooms below; where they write SQL themselves it holds no f-string."""
    for path in FOLDER.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert "execute(f" not in text.replace("\n", "").replace(" ", ""), path
        assert ".sql(" not in text, path


SQL = "x' OR '1'='1'; DROP TABLE figures; --"


@pytest.mark.parametrize("path", ["/sheets?find={}", "/sheets?only={}", "/held?sheet={}", "/held/{}", "/held/sheet/{}"])
def test_what_reads_like_sql_is_only_a_text(demo: Server, path: str) -> None:
    before = open_catalogue(demo.settings.catalogue).figures()
    answer = demo.client.get(path.format(quote(SQL)))
    assert answer.status_code in (200, 404, 409, 422)
    assert "weite-hosen" not in answer.text, "it did not choose everything either"
    assert open_catalogue(demo.settings.catalogue).figures().equals(before)


def test_a_place_that_is_taken_is_told() -> None:
    place = bind("127.0.0.1", 0)
    place.listen()
    try:
        with pytest.raises(UsageError, match="--port"):
            bind("127.0.0.1", place.getsockname()[1])
    finally:
        place.close()
