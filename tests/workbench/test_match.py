"""Match, bodies and papers by real requests, and as a person sees them."""

from __future__ import annotations

import re
import stat
from pathlib import Path

import pytest
from playwright.sync_api import expect

from halfinch.api import open_catalogue
from halfinch.fit import load_body
from halfinch.fit.enquiry import find_asked_merchants, find_enquiries

from .conftest import Look, Server, keep_picture
from .test_access import check_everywhere


def handle_of(server: Server, name: str = "Ottilie Brandmoor") -> str:
    """The handle that the page of bodies gives for a name."""
    page = server.client.get("/bodies").text
    found = re.search(rf'href="/bodies/([\w-]+)">{name}<', page)
    assert found is not None, page
    return found[1]


def hemmed_pair(server: Server, handle: str) -> str:
    """Larkrise Straight in 30, which fits with a hem."""
    page = server.client.get(f"/match/{handle}").text
    found = re.search(r'name="pair" value="([^"]+~30~[^"]*)"', page)
    assert found is not None
    return found[1]


def test_the_list_says_what_the_command_line_says(demo: Server) -> None:
    page = demo.client.get(f"/match/{handle_of(demo)}").text
    order = [
        page.index(name) for name in ("Marnie Curvy Wide Leg", "Kestle bootcut", "Larkrise Straight", "Deichkrone")
    ]
    assert order == sorted(order)
    assert "77 sizes judged" in page
    assert "take up 1 3/8 in, finished 28 5/8 in" in page


def test_other_shoes_ask_for_another_hem(demo: Server) -> None:
    handle = handle_of(demo)
    heel, boots = (demo.client.get(f"/match/{handle}?shoe={number}").text for number in (0, 1))
    assert re.findall(r"finished [^<]+", heel) != re.findall(r"finished [^<]+", boots)
    assert demo.client.get(f"/match/{handle}?shoe=9").status_code == 404


def test_a_hem_that_is_tried_changes_opening_and_clearance(demo: Server) -> None:
    handle = handle_of(demo)
    pair = hemmed_pair(demo, handle)
    answers = [
        demo.post(f"/match/{handle}/hem", data={"pair": pair, "finished": str(inches)}, headers={"X-Part": "1"}).text
        for inches in (28.0, 26.0)
    ]
    assert "28 in" in answers[0]
    assert "26 in" in answers[1]
    assert "1 3/4 in off the floor" in answers[0]
    assert "3 3/4 in off the floor" in answers[1]
    assert demo.post(f"/match/{handle}/hem", data={"pair": pair, "finished": "nan"}).status_code == 422
    assert demo.post(f"/match/{handle}/hem", data={"pair": "nothing~1~", "finished": "28"}).status_code == 404


def test_nothing_of_a_body_stands_in_an_address(demo: Server) -> None:
    handle = handle_of(demo)
    for path in ("/bodies", f"/match/{handle}", f"/papers?body={handle}"):
        for address in re.findall(r'(?:href|action)="([^"]*)"', demo.client.get(path).text):
            assert "ottilie" not in address.casefold()
            assert "block" not in address
    assert demo.client.get("/match/somebody").status_code == 404


def test_a_body_is_written_for_its_owner_alone_and_deleted_for_good(demo: Server) -> None:
    made = demo.post("/bodies/new", data={"name": "Iris Quill", "inseam": "27 in", "hip": "98 cm", "shoe": "flats",
                                          "lift": "1 cm", "silhouette": "wide"})  # fmt: skip
    assert made.status_code == 303
    path = demo.settings.bodies / "iris-quill.toml"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert 'inseam = "27 in"' in path.read_text()
    where = made.headers["location"]
    changed = demo.post(where, data={"name": "Iris Quill", "inseam": "27 1/2 in", "hip": "98 cm", "shoe": "flats",
                                     "lift": "1 cm", "silhouette": "wide"})  # fmt: skip
    assert changed.status_code == 303
    assert 'inseam = "27 1/2 in"' in path.read_text()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert demo.post(f"{where}/delete").status_code == 303
    assert not path.exists()
    assert demo.client.get(where).status_code == 404
    assert not list(demo.settings.bodies.glob("*iris*"))


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        pytest.param("inseam", "26", id="no-unit"),
        pytest.param("hip", "ninety cm", id="no-number"),
        pytest.param("waist", "300 in", id="no-adult"),
        pytest.param("knee_height", "40 in", id="knee-above-the-crotch"),
        pytest.param("lift", "2 in", id="a-lift-without-shoes"),
    ],
)
def test_a_wrong_answer_writes_nothing_and_is_not_repeated_in_the_sentence(
    demo: Server, field: str, typed: str
) -> None:
    before = sorted(demo.settings.bodies.iterdir())
    data = {"name": "Iris", "inseam": "27 in", "shoe": "", field: typed}
    answer = demo.post("/bodies/new", data=data)
    assert answer.status_code == 422
    assert sorted(demo.settings.bodies.iterdir()) == before
    for sentence in re.findall(r'class="(?:state|note) bad"[^>]*>([^<]*)<', answer.text):
        assert typed not in sentence


def test_a_change_keeps_what_the_form_does_not_show(demo: Server) -> None:
    handle, path = handle_of(demo), demo.settings.bodies / "ottilie.toml"
    page = demo.client.get(f"/bodies/{handle}").text
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', page))
    assert fields["inseam"] == "27 1/4 in"
    shoes = re.findall(r'name="shoe" value="([^"]*)"', page)
    lifts = re.findall(r'name="lift" value="([^"]*)"', page)
    data = {key: value for key, value in fields.items() if key != "csrf"}
    data |= {"hip": "40 1/2 in", "shoe": shoes, "lift": lifts, "silhouette": ["wide", "straight", "boot"]}
    pairs = {name: re.findall(rf'name="{name}" value="([^"]*)"', page) for name in fields if name.startswith("pair_")}
    assert pairs["pair_name"] == ["the dark straight ones", ""], "and an empty one to add"
    pairs["pair_name"][1], pairs["pair_inseam"][1] = "the short ones", "26 in"
    assert demo.post(f"/bodies/{handle}", data=data | pairs).status_code == 303
    text = path.read_text()
    assert 'hip = "40 1/2 in"' in text
    for kept in (
        "within = ", "[budget]", "# Ottilie Brandmoor", 'toe = "almond"', "clearance = { wide",
        'silhouette = "straight"',
    ):  # fmt: skip
        assert kept in text
    assert [pair.name for pair in load_body(path, demo.desk.knowledge).pairs] == pairs["pair_name"]
    first_gone = {name: ["", *told[1:]] for name, told in pairs.items()}
    assert demo.post(f"/bodies/{handle}", data=data | first_gone).status_code == 303
    assert [pair.name for pair in load_body(path, demo.desk.knowledge).pairs] == ["the short ones"]


def test_only_merchants_with_something_missing_are_offered(demo: Server) -> None:
    catalogue = demo.settings.catalogue
    asked = find_asked_merchants(catalogue)
    merchants = {str(one) for one in open_catalogue(catalogue).figures()["merchant"]}
    assert {one for one in merchants if find_enquiries(catalogue, one)} == set(asked)


def test_papers_are_documents_that_may_do_nothing(demo: Server) -> None:
    handle = handle_of(demo)
    pair = hemmed_pair(demo, handle)
    demo.post(f"/match/{handle}/keep", data={"pair": pair, "back": f"/match/{handle}"})
    client = demo.post("/papers/client", data={"body": handle, "title": "For Ottilie"})
    tailor = demo.post("/papers/tailor", data={"body": handle, "pair": pair, "taped": "30 1/4, 30 3/8"})
    merchant = demo.post("/papers/merchant", data={"merchant": "tarnmoor-denim-works", "language": "fr"})
    garment = demo.post("/papers/garment", data={"garment": pair.split("~")[0], "unit": "cm"})
    for answer in (client, tailor, garment):
        assert answer.status_code == 200
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert "<script" not in answer.text
    assert "For Ottilie" in client.text
    assert "27 1/4" not in tailor.text
    assert merchant.headers["content-type"].startswith("text/plain")
    assert demo.post("/papers/tailor", data={"body": handle, "pair": pair, "taped": "long"}).status_code == 409


def test_the_slider_moves_the_hem_without_leaving_the_page(demo: Server, look: Look) -> None:
    handle = handle_of(demo)
    page = look(demo)
    page.goto(f"/match/{handle}")
    page.locator("ol.cards h2 a", has_text="Larkrise").first.click()
    before = page.locator("#hem dd").first.inner_text()
    page.get_by_label("Finished inseam").focus()
    for _ in range(8):
        page.keyboard.press("ArrowLeft")
    expect(page.locator("#hem dd").first).not_to_have_text(before)
    page.wait_for_load_state("networkidle")
    assert page.locator("#hem dd").first.inner_text() != before
    assert "/pair?" in page.url
    keep_picture(page, "match-hem-tried")


@pytest.mark.parametrize("name", ["list", "table", "pair", "compare", "body", "new-body", "papers"])
def test_no_further_page_has_a_barrier(demo: Server, look: Look, name: str) -> None:
    handle = handle_of(demo)
    pairs = re.findall(
        r'type="checkbox" form="side-by-side" name="pair" value="([^"]+)"', demo.client.get(f"/match/{handle}").text
    )
    demo.post(f"/match/{handle}/keep", data={"pair": pairs[0], "back": "/match"})
    paths = {
        "list": f"/match/{handle}", "table": f"/match/{handle}?form=table&far=true",
        "pair": f"/match/{handle}/pair?pair={pairs[1]}",
        "compare": f"/match/{handle}/compare?" + "&".join(f"pair={pair}" for pair in pairs[:3]),
        "body": f"/bodies/{handle}",
        "new-body": "/bodies/new", "papers": f"/papers?body={handle}",
    }  # fmt: skip
    check_everywhere(look(demo), paths[name], f"match-{name}")


def test_bodies_in_the_log_are_handles_only(demo: Server, caplog: pytest.LogCaptureFixture, tmp_path: Path) -> None:
    handle = handle_of(demo)
    with caplog.at_level("INFO"):
        demo.client.get(f"/match/{handle}?shoe=1")
        demo.post(f"/bodies/{handle}", data={"name": "Ottilie", "inseam": "27.77 in", "shoe": ""})
    assert "27.77" not in caplog.text
    assert "ottilie" not in caplog.text.casefold()
