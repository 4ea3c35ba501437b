"""The screen "catalogue" over the demo: what is asked for, where figures lead, what goes out."""

from __future__ import annotations

import csv
import io
import json
import re
import time
from urllib.parse import parse_qsl

import pytest

from halfinch.catalogue import store
from halfinch.fit import load_body
from halfinch.fit.matching import find_matches
from halfinch.fit.sizes import open_sizes
from halfinch.workbench.searching import Asked, read_asked, understand

from .conftest import Look, Server, keep_picture
from .test_access import check_everywhere

INSEAM = {"point": "inseam", "low": "28", "high": "31", "told": "", "unit": "in"}


def count_of(page: str) -> int:
    found = re.search(r'class="count"[^>]*><strong>([\d\s]+|One) size', page)
    assert found, page[:2000]
    return 1 if found[1] == "One" else int(re.sub(r"\s", "", found[1]))


def sql(server: Server, condition: str) -> int:
    with store.reading(server.settings.catalogue) as connection:
        ((count,),) = connection.execute(f"SELECT count(*) FROM size_rows WHERE {condition}").fetchall()
    return int(count)


@pytest.mark.parametrize(
    ("asked", "condition"),
    [
        pytest.param({}, "TRUE", id="nothing"),
        pytest.param({"find": "ODDWICK"}, "merchant = 'oddwick-petites'", id="a-word"),
        pytest.param({"merchant": "tarnmoor-denim-works"}, "merchant = 'tarnmoor-denim-works'", id="merchant"),
        pytest.param({"size": "8, 10"}, "size IN ('8', '10')", id="sizes"),
        pytest.param(INSEAM, "coalesce(inseam_to, inseam) >= 28 AND inseam <= 31", id="range"),
        pytest.param(
            {**INSEAM, "low": "71.12", "high": "78.74 cm", "unit": "cm"},
            "coalesce(inseam_to, inseam) >= 28 AND inseam <= 31", id="range-in-centimetres",
        ),
        pytest.param({"point": "hip", "low": "", "high": "", "told": "assumed"}, "hip_status = 'assumed'", id="status"),
        pytest.param({"point": "knee", "low": "", "high": "", "told": "untold"}, "knee IS NULL", id="not-told"),
        pytest.param({"price_from": "100", "price_to": "120,5"}, "price BETWEEN 100 AND 120.5", id="price"),
        pytest.param({"silhouette": "flare"}, "silhouette = 'flare'", id="silhouette"),
    ],
)  # fmt: skip
def test_what_is_asked_for_is_shown(demo: Server, asked: dict[str, str], condition: str) -> None:
    page = demo.client.get("/catalogue", params=asked, follow_redirects=True).text
    assert count_of(page) == sql(demo, condition) > 0


def test_an_address_says_what_was_asked_and_no_more() -> None:
    asked = read_asked(
        find=" wide ", point=["hip", "inseam", "nose", "knee"], low=["", "28 1/2", "1", ""], high=["40", "", "", ""],
        told=["", "assumed", "", ""], show=["price", "inseam"], verdict=["near miss"], shoe=2, page=3,
    )  # fmt: skip
    assert asked.ranges == (("inseam", "28 1/2", "", "assumed"), ("hip", "", "40", ""))
    query = parse_qsl(asked.query(), keep_blank_values=True)
    lists = {name: [value for key, value in query if key == name] for name, _ in query}
    one = {name: values[0] for name, values in lists.items() if name in ("find", "unit", "page")}
    again = read_asked(**{**lists, **one, "page": int(one["page"])})  # type: ignore[arg-type]
    assert again.query() == asked.query()
    assert "shoe" not in lists, "shoes belong to a body"
    assert Asked().query() == ""


def test_a_form_with_empty_fields_leads_to_the_short_address(demo: Server) -> None:
    answer = demo.client.get("/catalogue", params={"find": "", "order": "", "point": "hip", "low": "", "size": "8"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/catalogue?size=8")
    assert demo.client.get(answer.headers["location"]).status_code == 200


def test_what_cannot_be_understood_is_marked_and_left_out(demo: Server) -> None:
    assert understand(Asked(price_from="much", ranges=(("hip", "wide", "", ""),))).wrong == ("hip", "price")
    page = demo.client.get("/catalogue", params={**INSEAM, "high": "long"}).text
    assert page.count('aria-invalid="true"') == 2
    assert count_of(page) == sql(demo, "coalesce(inseam_to, inseam) >= 28")


def test_pages_and_orders_keep_every_row_once(demo: Server) -> None:
    for order in ("", "-inseam", "price"):
        seen: list[str] = []
        for page in (1, 2):
            asked = {"order": order, "page": str(page)}
            text = demo.client.get("/catalogue", params=asked, follow_redirects=True).text
            seen += re.findall(r"/catalogue/figure/([0-9a-f]+)", text)
        assert len(seen) == len(set(seen)) > 100
    beyond = demo.client.get("/catalogue", params={"page": 999})
    assert beyond.headers["location"] == "/catalogue?page=2"
    assert demo.client.get("/catalogue", params={"order": "1; DROP"}).status_code == 409


def test_a_figure_leads_to_its_printed_cell(demo: Server, look: Look) -> None:
    page = look(demo)
    page.goto("/catalogue?find=querfelder")
    page.locator("a[data-proof]").first.click()
    page.locator("dialog .spot").wait_for()
    assert page.locator("dialog .printed").inner_text() == page.locator("dialog td.spot").inner_text().split()[0]
    keep_picture(page, "catalogue-proof")
    page.keyboard.press("Escape")
    assert page.locator("dialog[open]").count() == 0
    address = page.locator("a[data-proof]").first.get_attribute("href")
    assert address is not None
    check_everywhere(page, address, "catalogue-figure")


def test_held_figures_are_marked_where_they_belong(demo: Server, look: Look) -> None:
    with store.reading(demo.settings.catalogue) as connection:
        ((figure, size, point, count),) = connection.execute("""
            SELECT figure_id, size, point, count(*) OVER () FROM current_figures WHERE status = 'held'""").fetchall()
    page = look(demo)
    page.goto("/catalogue?find=arden")
    assert page.locator("tr.style .state.bad").inner_text() == "1 figure held"
    waiting = page.locator("td.waits")
    assert waiting.count() == count
    assert waiting.locator("xpath=..").locator("th").inner_text() == size
    at = waiting.evaluate("cell => cell.cellIndex")
    assert page.locator(".sizes thead th").nth(at).inner_text().lower() == point
    check_everywhere(page, page.url, "catalogue-held")
    waiting.locator("a").click()
    page.wait_for_url(f"**/held/{figure}")


def test_matches_a_body_by_its_handle_alone(demo: Server, look: Look) -> None:
    page = look(demo)
    page.goto("/catalogue")
    page.get_by_label("Fits").select_option("Ottilie Brandmoor")
    page.get_by_role("button", name="Look").first.click()
    page.locator(".state").first.wait_for()
    assert "ttilie" not in page.url
    body = load_body(demo.settings.bodies / "ottilie.toml", demo.desk.knowledge)
    with open_sizes(demo.settings.catalogue, demo.desk.knowledge) as sizes:
        found = find_matches(sizes, body, demo.desk.knowledge).verdicts
    fitting = sum(found.get(verdict, 0) for verdict in ("fits as bought", "fits with a hem"))
    assert count_of(page.content()) == fitting == page.locator("tbody .state").count()
    check_everywhere(page, page.url, "catalogue-match")
    page.locator("tbody .state").first.click()
    page.wait_for_url("**/pair?**")
    assert demo.client.get("/catalogue", params={"body": "guessed"}).status_code == 404


def test_the_measuring_card(demo: Server, look: Look) -> None:
    page = look(demo, "phone", "dark", "de-DE")
    page.context.add_cookies([{"name": "halfinch_unit", "value": "cm", "url": demo.url}])
    page.goto("/catalogue?point=inseam&low=28&high=&told=&unit=in")
    page.locator(".ask summary").click()
    assert page.locator("tr.inseam input[name=low]").input_value() == "71,1"
    page.locator("tr.hip input[name=low]").focus()
    assert page.locator(".pair .point.hip path").first.is_visible()
    check_everywhere(page, "/catalogue?point=inseam&low=abc&high=&told=&unit=cm", "catalogue-card")


def test_what_is_shown_goes_out_as_a_file(demo: Server) -> None:
    asked = {"merchant": "oddwick-petites", "form": "csv", "table": "sizes"}
    answer = demo.client.get("/catalogue/export", params=asked)
    rows = list(csv.DictReader(io.StringIO(answer.text)))
    assert len(rows) == sql(demo, "merchant = 'oddwick-petites'")
    assert {row["merchant"] for row in rows} == {"oddwick-petites"}
    assert 'filename="sizes.csv"' in answer.headers["content-disposition"]
    book = demo.client.get("/catalogue/export", params={**asked, "form": "xlsx", "table": "figures"})
    assert book.content[:2] == b"PK"
    until = time.monotonic() + 5
    while left := list(demo.settings.catalogue.parent.glob(".export-*")):
        assert time.monotonic() < until, left
    shown = demo.client.get(
        "/catalogue/export", params={"show": ["price", "hip", "stretch"], "order": "-hip", "size": "8, 10"}
    ).text
    lines = list(csv.DictReader(io.StringIO(shown)))
    assert shown.splitlines()[0] == (
        "merchant,style,style_code,size,length,price,currency,hip,hip_to,hip_status,stretch"
    )
    assert len(lines) == sql(demo, "size IN ('8', '10')") > 2
    hips = [float(line["hip"]) for line in lines if line["hip"]]
    assert hips == sorted(hips, reverse=True)
    handle = re.findall(r'<option value="([\w-]{12})"', demo.client.get("/catalogue").text)[0]
    fitting = demo.client.get("/catalogue/export", params={"body": handle, "form": "jsonl"}).text.splitlines()
    assert {json.loads(line)["verdict"] for line in fitting} <= {"fits as bought", "fits with a hem"}
    assert json.loads(fitting[0])["hemmed_to"]
    assert len(fitting) == count_of(demo.client.get("/catalogue", params={"body": handle}).text)


def test_before_the_first_import(server: Server) -> None:
    assert "/sheets" in server.client.get("/catalogue").text.split("<main")[1]
    assert server.client.get("/catalogue/export").status_code == 409
