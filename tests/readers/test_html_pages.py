"""Texts, reading order, encodings, what suits, and pages made to break a reader."""

from __future__ import annotations

import time

import pytest
from html_views import block_line, page, printed, words
from hypothesis import given, settings
from hypothesis import strategies as st

from halfinch.errors import SheetError
from halfinch.readers.html import read, suits
from halfinch.sheet import HIDDEN, MARKS, STRUCK

PAGE = """<!doctype html><html lang="en-GB"><head><title>Ada trouser</title><meta name=description content="Wide leg">
<meta property="og:site_name" content="Kestrel &amp; Vane"><link rel=canonical href="https://kestrel.example/ada">
</head><body><header><a href=/>Home</a></header><nav><a href=/w>Women</a> <a href=/m>Men</a></nav>
<main><header><h1>Ada</h1></header>
<p>All <b>measurements</b> in <i>inches</i>,<br>laid flat.</p><table><tr><th>Size<th>8<tr><td>Waist<td>28</table>
<ul><li>Inseam: 30"<ul><li>Petite: 27"</ul><li>Rise: 10"</ul>after</main><footer>Terms</footer></body></html>"""


def test_everything_once_and_in_reading_order() -> None:
    sheet = page(PAGE)
    assert [block_line(block) for block in sheet.blocks()] == [
        "Ada trouser",
        "Kestrel & Vane",
        "Wide leg",
        "Home",
        "Women\nMen",
        "Ada",
        "All measurements in inches,\nlaid flat.",
        "Size 8 Waist 28",
        'Inseam: 30"',
        'Petite: 27"',
        'Rise: 10"',
        "after",
        "Terms",
    ]
    assert words(sheet, "chrome") == ["Home", "Women\nMen", "Terms"]
    assert [(t.kind, t.level) for t in sheet.texts if t.text == "Ada"] == [("heading", 1)]
    assert words(sheet, "item") == ['Inseam: 30"', 'Petite: 27"', 'Rise: 10"']
    assert sheet.meta == {
        "title": "Ada trouser",
        "description": "Wide leg",
        "site_name": "Kestrel & Vane",
        "url": "https://kestrel.example/ada",
        "encoding": "utf-8",
    }
    assert sheet.language == "en"
    assert len({block.order for block in sheet.blocks()}) == len(list(sheet.blocks()))


def test_old_and_hidden_words_leave_the_sentence() -> None:
    sheet = page("<p>Inseam <s>30</s> 29 <span hidden>was 28</span>in</p>")
    assert [(t.text, t.marks) for t in sheet.texts] == [
        ("Inseam 29 in", frozenset()),
        ("30", {STRUCK}),
        ("was 28", {HIDDEN}),
    ]


def test_words_for_screen_readers_are_not_hidden() -> None:
    assert words(page("<p><span class='sr-only visually-hidden'>Length</span> 30</p>")) == ["Length 30"]


HALF = "<html><head><meta charset={}></head><body><table><tr><td>Größe<td>9½″<tr><td>é<td>1</table>"


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        pytest.param(HALF.format("utf-8").encode(), "9½″", id="utf-8"),
        pytest.param(HALF.format("iso-8859-1").encode(), "9½″", id="utf-8-declared-as-latin-1"),
        pytest.param(b"\xef\xbb\xbf" + HALF.format("windows-1252").encode(), "9½″", id="byte-order-mark-wins"),
        pytest.param(HALF.format("utf-8").encode("utf-16"), "9½″", id="utf-16-with-mark"),
        pytest.param(HALF.format("utf-16").encode("utf-16-le"), "9½″", id="utf-16-without-mark"),
        pytest.param(
            HALF.format("iso-8859-1").replace("″", "”").encode("cp1252"), "9½”", id="latin-1-means-windows-1252"
        ),
        pytest.param(
            HALF.format("utf-8").replace("″", "”").encode("cp1252"), "9½”", id="windows-1252-declared-as-utf-8"
        ),
        pytest.param(b"<p>x</p>" + "<table><tr><td>é<td>9½".encode() + b"<tr><td>9\xbd<td>2</table>", "9½", id="mixed"),
        pytest.param(HALF.format("x-no-such").replace("″", '"').encode("cp1252"), '9½"', id="unknown-name"),
    ],
)
def test_encodings(data: bytes, expected: str) -> None:
    assert expected in [cell for row in printed(read(data, "x.html"))[0] for cell in row]


def test_a_stray_windows_half_in_utf8_is_a_half() -> None:
    data = "<table><tr><td>Größe é ü ß<td>9½<tr><td>x<td>9".encode() + b"\xbd</table>"
    assert printed(read(data, "x.html"))[0][1] == ["x", "9½"]


@pytest.mark.parametrize("encoding", ["shift_jis", "euc-jp", "iso-2022-jp", "gb2312", "euc-kr", "windows-1251", "big5"])
def test_declared_encodings_of_the_world(encoding: str) -> None:
    text = {"windows-1251": "длина", "euc-kr": "허리", "gb2312": "腰围", "big5": "腰圍"}.get(encoding, "股下の長さ")
    data = f"<meta charset={encoding}><table><tr><td>{text}<td>30<tr><td>{text}<td>31</table>".encode(encoding)
    assert printed(read(data, "x.html")) == [[[text, "30"], [text, "31"]]]


@pytest.mark.parametrize(
    ("data", "low", "high"),
    [
        pytest.param(b"<!DOCTYPE html><p>x", 0.9, 1, id="doctype"),
        pytest.param(
            b"\xef\xbb\xbf\n<!-- saved from url=(0014)about:internet -->\n<html><body>", 0.9, 1, id="comment-first"
        ),
        pytest.param(
            b'<?xml version="1.0"?><!DOCTYPE html PUBLIC "x" "y"><html xmlns="http://www.w3.org/1999/xhtml">',
            0.9,
            1,
            id="xhtml",
        ),
        pytest.param("<html><body>x".encode("utf-16"), 0.9, 1, id="utf-16"),
        pytest.param(b"<table><tr><td>1</table>", 0.8, 1, id="fragment"),
        pytest.param(b"Hello<br>\n<p>Waist 28</p>\n<p>Hip 38</p>", 0.4, 0.9, id="text-then-tags"),
        pytest.param(b'<?xml version="1.0"?><rss version="2.0"><channel>', 0, 0, id="feed"),
        pytest.param(
            b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><text>1</text></svg>', 0, 0, id="svg"
        ),
        pytest.param(b'<?xml version="1.0"?><sheet><cell>1</cell></sheet>', 0, 0.1, id="other-xml"),
        pytest.param(b"size,waist\n8,<b>28</b>\n10,<b>29</b>\n", 0, 0.1, id="csv-with-bold"),
        pytest.param(
            b'sku,body\n1,"<p>Inseam 30</p>"\n2,"<ul><li>Inseam 31</li></ul>"\n', 0, 0.45, id="csv-with-descriptions"
        ),
        pytest.param(b'{"description": "<table><tr><td>1</td></tr></table>"}', 0, 0.45, id="json"),
        pytest.param(b"%PDF-1.7\n<html>", 0, 0, id="pdf"),
        pytest.param(b"PK\x03\x04<html>", 0, 0, id="zip"),
        pytest.param(b"", 0, 0, id="empty"),
        pytest.param(bytes(range(256)) * 20, 0, 0, id="bytes"),
    ],
)
def test_suits(data: bytes, low: float, high: float) -> None:
    assert low <= suits(data, "anything") <= high


@pytest.mark.parametrize("data", [b"", b"  \n", b"\xef\xbb\xbf"])
def test_empty_is_refused_in_one_sentence(data: bytes) -> None:
    with pytest.raises(SheetError, match="empty"):
        read(data, "x.html")


@pytest.mark.parametrize(
    "markup",
    [
        pytest.param("<div>" * 100_000 + "Inseam 30", id="boxes-deep"),
        pytest.param("<table><tr><th>a<td>" * 20_000 + "1", id="tables-deep"),
        pytest.param("<sup>1" * 50_000, id="raised-deep"),
        pytest.param("<dl><dt>a<dd>" * 20_000, id="definitions-deep"),
        pytest.param("<ul><li>a 1" * 30_000, id="lists-deep"),
        pytest.param("<table>" + ("<tr>" + "<td colspan=1000 rowspan=65534>1" * 50) * 300, id="spans-beyond-reason"),
        pytest.param("<table><tr>" + "<td>1" * 50_000, id="one-endless-row"),
        pytest.param(
            "<style>" + ".a .b .c{display:none}" * 5_000 + "</style>" + "<div class='a b c'>" * 3_000 + "x", id="styles"
        ),
        pytest.param("<script type='application/json'>" + '{"a":' * 50_000 + "1", id="json-deep"),
        pytest.param("<script>" + "x={a:" * 50_000 + "1</script>", id="script-deep"),
        pytest.param("<p>" + "<sup>1</sup>/" * 30_000, id="slashes"),
        pytest.param("<div class=tabs><button>a</button><button>b</button></div>" * 10_000, id="tab-lists"),
        pytest.param("<" * 300_000, id="signs"),
        pytest.param("<p>a<!--" + "x" * 300_000, id="open-comment"),
        pytest.param("<table><tr><td>1\x00<td>2\x0b<tr><td>3<td>4", id="control-characters"),
    ],
)
def test_pages_made_to_break_a_reader(markup: str) -> None:
    began = time.process_time()
    page(markup)
    assert time.process_time() - began < 10


PIECES = [
    "<div>",
    "</div>",
    "<div class=row>",
    "<span>",
    "</span>",
    "<table>",
    "</table>",
    "<tr>",
    "<td>",
    "<td rowspan=2 colspan=2>",
    "<th>",
    "<p>",
    "<dl>",
    "<dt>",
    "<dd>",
    "<li>",
    "<ul>",
    "<sup>",
    "</sup>",
    "<sub>",
    "<s>",
    "<b>",
    "<br>",
    "<pre>",
    "<select><option>",
    "<a href=#x>",
    "<div id=x hidden>",
    "<template>",
    "<svg>",
    "<math>",
    "<details><summary>",
    "<iframe srcdoc='<p>8'>",
    "<div role=row>",
    "<div role=cell>",
    "<input value=3>",
    "30",
    "Waist ",
    "1/2",
    "&frac12;",
    "\n",
    "<script>a={b:[1,{c:2}]}</script>",
    "<style>td{display:none}</style>",
    "<div data-in=30 itemscope itemprop=x>",
    "<caption>",
    "<thead>",
]


@settings(max_examples=120, deadline=None)
@given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=60))
def test_any_soup_is_read_with_known_marks_and_own_places(pieces: list[str]) -> None:
    sheet = page("".join(pieces) + "x")
    blocks = list(sheet.blocks())
    assert len({block.order for block in blocks}) == len(blocks)
    for grid in sheet.grids:
        spots = {(cell.row, cell.column) for cell in grid.cells}
        assert len(spots) == len(grid.cells)
        assert all(cell.row >= 1 and cell.column >= 1 and cell.marks <= MARKS and cell.text for cell in grid.cells)
    assert all(text.text and text.marks <= MARKS for text in sheet.texts)
    assert page("".join(pieces) + "x") == sheet


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        sheet = read(data, "x.html")
    except SheetError:
        return
    assert sheet.kind == "html"


def test_long_lists_of_linked_cards_are_one_text_with_all_their_words() -> None:
    card = "<div class='card c{0}'><a href=/{0}><b>Trouser {0}</b><span>$12{0}</span></a><p>wide</p></div>"
    sheet = page("<main><h1>Ada</h1><div>" + "".join(card.format(i) for i in range(12)) + "</div></main>")
    assert words(sheet, "chrome") == ["\n".join(f"Trouser {i}\n$12{i}\nwide" for i in range(12))]


@pytest.mark.parametrize(
    ("inner", "expected"),
    [
        pytest.param('<p><b>Inseam</b> 30"</p>', 'Inseam 30"', id="a-figure-with-its-unit"),
        pytest.param("<dl><dt>Inseam<dd>30</dl>", "Inseam 30", id="a-definition-list"),
        pytest.param("<p><s>31</s> Inseam 30</p>", "Inseam 30", id="an-old-value"),
    ],
)
def test_cards_that_tell_figures_are_looked_at_closely(inner: str, expected: str) -> None:
    cards = "".join(f"<div class=card><a href=/{i}>Trouser {i}</a>{inner}</div>" for i in range(12))
    lines = [block_line(block) for block in page(f"<main>{cards}</main>").blocks()]
    assert lines.count(expected) == 12


def test_rows_of_boxes_without_links_are_never_quiet() -> None:
    rows = "".join(f"<div class=r><span>Point {chr(65 + i)}</span><span>{20 + i}</span></div>" for i in range(15))
    assert len(printed(page(f"<div>{rows}</div>"))[0]) == 15


def test_tabs_in_a_nav_keep_their_labels() -> None:
    table = "<table><tr><th>Size<th>8<tr><td>Inseam<td>{}</table>"
    sheet = page(
        "<nav><a href=#a>Petite</a><a href=#b>Tall</a></nav>"
        f"<div id=a>{table.format(27)}</div><div id=b hidden>{table.format(33)}</div>"
    )
    assert [grid.caption for grid in sheet.grids] == ["Petite", "Tall"]
    assert not any(HIDDEN in grid.marks for grid in sheet.grids)


def test_page_of_menus_and_cards_gives_the_same_table_as_the_bare_one() -> None:
    table = "<table><tr><th>Size<th>8<th>10<tr><td>Waist<td>28<td>29</table>"
    menu = "<nav>" + "".join(f"<ul><li><a href=/{i}>Menu {i}</a></li></ul>" for i in range(300)) + "</nav>"
    cards = "<ul>" + "".join(f"<li><a href=/{i}><i>Item</i><i>{i}</i></a></li>" for i in range(300)) + "</ul>"
    assert printed(page(menu + table + cards + "<footer><p>1</p><p>2</p></footer>")) == printed(page(table))
