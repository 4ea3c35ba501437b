"""The screen "glance" over the demo: who lacks what, bands by handle, nothing private in the address."""

from __future__ import annotations

import re

from .conftest import Look, Server, keep_picture
from .test_access import check_everywhere


def test_before_the_first_import(server: Server) -> None:
    assert "/sheets" in server.client.get("/glance").text.split("<main")[1]


def test_bands_are_drawn_for_a_body_known_by_its_handle(demo: Server, look: Look) -> None:
    plain = demo.client.get("/glance").text
    assert 'class="wanted"' not in plain
    handle = re.findall(r'<option value="([^"]+)"', plain)[0]
    page = look(demo)
    check_everywhere(page, f"/glance?body={handle}", "glance-bands")
    assert page.locator(".wanted").count() > 3
    assert demo.client.get("/glance", params={"body": "guessed"}).status_code == 404


def test_in_centimetres_and_german(demo: Server, look: Look) -> None:
    page = look(demo, "desktop", "light", "de-DE")
    page.context.add_cookies([{"name": "halfinch_unit", "value": "cm", "url": demo.url}])
    page.goto("/glance")
    assert "(cm)" in page.locator(".tapes").inner_text()
    keep_picture(page, "glance-de-cm")
