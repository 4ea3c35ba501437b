"""`--why` in words, and pictures of what was seen: every cell that matters is marked, by more than its colour."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from halfinch import knowledge
from halfinch.interpret.subject import BODY, DOUBTED, GARMENT, OTHER, UNCLEAR
from halfinch.present.seen import draw_sheet
from halfinch.present.seen.marks import LEGEND, mark_sheet
from halfinch.present.seen.pages import COLOURS, join_tags, wrap
from halfinch.present.why import SUBJECTS, why_data, why_lines
from halfinch.work.explaining import Explained, explain_sheets

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "fixtures" / "demo"


def explain(path: Path) -> Explained:
    ((_, found),) = explain_sheets(path.read_bytes(), path.name, knowledge.load())
    assert isinstance(found, Explained)
    return found


@pytest.fixture(scope="module")
def arden() -> Explained:
    return explain(DEMO / "tarnmoor-denim-works" / "arden-straight.pdf")


def test_held_figure_is_told_with_its_reason_and_place(arden: Explained) -> None:
    told = [line for line, _ in why_lines(arden.result, arden.account)]
    start = next(number for number, line in enumerate(told) if line.startswith("  range: inseam"))
    assert "page=1;table=1;row=9;col=4" in "".join(told[start : start + 3])


def test_the_winner_is_told_with_its_margin(arden: Explained) -> None:
    told = "\n".join(line for line, _ in why_lines(arden.result, arden.account))
    assert "“points down” wins" in told
    assert "1.25 times is asked" in told
    assert "“1/2 Hip” = hip, flat" in told


def test_every_subject_has_its_words() -> None:
    assert set(SUBJECTS) == {BODY, DOUBTED, GARMENT, OTHER, UNCLEAR}


def test_data_is_plain_json(arden: Explained) -> None:
    data = json.loads(json.dumps(why_data(arden.result, arden.account), allow_nan=False))
    assert data["bands"][0]["ways"][0]["way"] == "points down"
    (finding,) = [one for one in data["findings"] if one["severity"] == "error"]
    assert finding["figures"][0]["raw"] == "7"


@pytest.mark.parametrize("name", ["hollin-and-thrupp/larkrise-straight.html", "querfelder-hosenwerk/weite-hosen.csv"])
def test_data_without_a_margin_is_plain_json(name: str) -> None:
    found = explain(DEMO / name)
    json.dumps(why_data(found.result, found.account), allow_nan=False)


def test_every_figure_is_marked(arden: Explained) -> None:
    marks = mark_sheet(arden.sheet, arden.result, arden.account)
    for figure in arden.result.figures:
        assert marks.by_place[figure.place].kind == figure.status
    held = marks.by_place["page=1;table=1;row=9;col=4"]
    assert held.says == "inseam of 12"
    assert held.notes == (1,)
    assert marks.notes[0].startswith("range: ")


def test_a_page_becomes_a_picture_with_marks_over_it(arden: Explained) -> None:
    ((name, content),) = draw_sheet(arden.data, arden.sheet, arden.result, arden.account)
    assert name == "arden-straight.pdf-page-1.png"
    picture = Image.open(io.BytesIO(content)).convert("RGB")
    colours = {colour for _, colour in picture.getcolors(1 << 24) or []}
    for kind in ("accepted", "held", "named", "tells"):
        assert tuple(bytes.fromhex(COLOURS[kind][1:])) in colours, kind


def test_all_else_becomes_one_page_that_loads_nothing() -> None:
    found = explain(DEMO / "hollin-and-thrupp" / "larkrise-straight.html")
    ((name, content),) = draw_sheet(found.data, found.sheet, found.result, found.account)
    page = content.decode()
    assert name == "larkrise-straight.html.html"
    assert page.count('class="assumed" title=') == 35
    assert "inseam of 26" in page
    assert not any(word in page for word in ("<script", "http:", "https:", "src="))


def test_texts_of_the_sheet_cannot_break_the_page(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("Size;8;10\nWaist <script>alert(1)</script>;30;31\nInseam;30;30\n")
    found = explain(tmp_path / "a.csv")
    ((_, content),) = draw_sheet(found.data, found.sheet, found.result, found.account)
    assert b"<script" not in content


def test_every_kind_of_mark_has_its_own_line() -> None:
    from halfinch.present.seen.pages import _STROKES

    assert set(_STROKES) == set(LEGEND) == set(COLOURS)
    assert len({stroke.__name__ for stroke in _STROKES.values()}) == len(LEGEND)


@pytest.mark.parametrize(
    ("said", "tag"),
    [
        pytest.param(["heading of: size", "size 8", "size 10"], "sizes 8, 10 · heading of: size", id="sizes-gathered"),
        pytest.param(["waist", "waist"], "waist", id="two-tables-side-by-side"),
        pytest.param(["inseam", "size 8"], "inseam · size 8", id="one-size"),
    ],
)
def test_tags_of_one_line_are_joined(said: list[str], tag: str) -> None:
    assert join_tags(said) == tag


@pytest.mark.parametrize("room", [5, 12, 40])
def test_wrapping_loses_no_word(room: int) -> None:
    text = "held because two readings of a very long-winded table score alike"
    measure: Callable[[str], float] = len
    lines = wrap(text, measure, room)
    assert " ".join(lines) == text
    assert all(len(line) <= room or " " not in line for line in lines)
