"""Tables of every make; plain ones compared with pandas.read_html and html5lib, which share no code with the reader."""

from __future__ import annotations

import io

import pandas as pd
import pytest
from html_views import marked, matrix, page, printed, words
from hypothesis import given, settings
from hypothesis import strategies as st

from halfinch.sheet import DATA, HEADER, HIDDEN, MARKS, STRUCK


def test_spans_header_rows_foot_and_caption() -> None:
    sheet = page(
        "<table><caption>Garment, inches</caption><tfoot><tr><td>Note<td colspan=3>flat</tfoot>"
        "<thead><tr><th rowspan=2>Size<th colspan=2>Regular<th>Tall<tr><th>Waist<th>Inseam<th>Inseam</thead>"
        "<tbody><tr><td>8<td>29<td>30<td>33</table>"
    )
    grid = sheet.grids[0]
    assert grid.caption == "Garment, inches"
    assert matrix(grid) == [
        ["Size", "Regular", "Regular", "Tall"],
        ["Size", "Waist", "Inseam", "Inseam"],
        ["8", "29", "30", "33"],
        ["Note", "flat", "flat", "flat"],
    ]
    assert [c.text for c in grid.cells if HEADER in c.marks] == ["Size", "Regular", "Tall", "Waist", "Inseam", "Inseam"]
    assert grid.cells[-2].place == "table=1;row=4;col=1"


@st.composite
def tables(draw: st.DrawFn) -> str:
    """A rectangle cut into spans without overlaps or holes, some cells <th>, no head section."""
    height, width = draw(st.integers(2, 6)), draw(st.integers(2, 6))
    taken: set[tuple[int, int]] = set()
    rows: list[str] = []
    for r in range(height):
        cells = []
        for c in range(width):
            if (r, c) in taken:
                continue
            wide, high = draw(st.integers(1, 3)), draw(st.integers(1, 3))
            wide = next(
                n for n in range(wide, 0, -1) if c + n <= width and all((r, c + k) not in taken for k in range(n))
            )
            high = min(high, height - r)
            taken |= {(r + i, c + k) for i in range(high) for k in range(wide)}
            text = draw(st.sampled_from(["Waist", "Inseam", "x1", "n2", "abc", "Hip (in)"])) + f"_{r}_{c}"
            cells.append(f"<td rowspan={high} colspan={wide}>{text}</td>")
        rows.append(f"<tr>{''.join(cells)}</tr>")
    return f"<table>{''.join(rows)}</table>"


@settings(max_examples=60, deadline=None)
@given(tables())
def test_random_spans_match_pandas(markup: str) -> None:
    expected = pd.read_html(io.StringIO(markup), header=None)[0].fillna("").astype(str).to_numpy().tolist()
    got = matrix(page(markup).grids[0]) if page(markup).grids else None
    if got is None:  # one column or one cell is a list of texts, not a table
        assert max(len(set(row)) for row in expected) == 1
        return
    for row, wanted in zip(got, expected, strict=False):
        assert row == wanted[: len(row)]
        assert all(extra == row[-1] for extra in wanted[len(row) :])  # columns in which no cell begins
    assert all(row == expected[len(got) - 1] for row in expected[len(got) :])


def test_plain_table_seen_alike_by_html5lib() -> None:
    import html5lib

    markup = "<table><tr><th>Size<th>8<th>10<tr><td>Waist<td>28&frac12;<td>29</table>"
    tree = html5lib.parse(markup, namespaceHTMLElements=False)
    rows = [["".join(cell.itertext()) for cell in row] for row in tree.iter("tr")]
    assert printed(page(markup)) == [rows]


@pytest.mark.parametrize(
    ("markup", "expected"),
    [
        pytest.param("<tr><td>Waist<td>28<tr><td>Hip<td>38", [["Waist", "28"], ["Hip", "38"]], id="rows-without-table"),
        pytest.param(
            "<table><td>Waist<td>28<tr><td>Hip<td>38</table>", [["Waist", "28"], ["Hip", "38"]], id="cells-without-row"
        ),
        pytest.param(
            "<table><form><tr><td><b>Waist</td><td>28</b></td></tr></form><tr><td>Hip<td>38</table>",
            [["Waist", "28"], ["Hip", "38"]],
            id="form-between-table-and-row",
        ),
        pytest.param(
            "<div role=table><div role=row><span role=columnheader>Size</span>"
            "<span role=columnheader aria-colspan=2>Waist"
            "</span></div><div role=row><span role=cell>8</span><span role=cell>28</span><span role=cell>29"
            "</span></div></div>",
            [["Size", "Waist", "Waist"], ["8", "28", "29"]],
            id="aria",
        ),
        pytest.param(
            "<style>.t{display:table}.t>div{display:table-row}.t>div>span{display:table-cell}</style>"
            "<div class=t><div><span>Waist</span><span>28</span></div><div><span>Hip</span><span>38</span></div></div>",
            [["Waist", "28"], ["Hip", "38"]],
            id="table-by-style",
        ),
        pytest.param(
            "<div class=table><div class=head><div class=tr><div class=td></div><div class=td>8</div></div>"
            "</div><div class=body>"
            "<div class=tr><div class=td>Waist</div><div class=td>28</div></div></div></div>",
            [["", "8"], ["Waist", "28"]],
            id="boxes-in-groups-with-an-empty-corner",
        ),
        pytest.param(
            '<div style="display:grid;grid-template-columns: 2fr repeat(2, minmax(0, 1fr))"><p>Size</p><p>8</p>'
            "<p>10</p>"
            "<p>Waist</p><p>28</p><p>29</p></div>",
            [["Size", "8", "10"], ["Waist", "28", "29"]],
            id="css-grid-of-six-boxes",
        ),
        pytest.param(
            "<div><span class=k>Inseam</span><span class=v>30</span><span class=k>Rise</span><span class=v>10"
            "</span></div>",
            [["Inseam", "30"], ["Rise", "10"]],
            id="label-value-label-value",
        ),
        pytest.param(
            "<size-chart><size-row><size-cell>Waist</size-cell><size-cell>28</size-cell></size-row><size-row>"
            "<size-cell>Hip"
            "</size-cell><size-cell>38</size-cell></size-row></size-chart>",
            [["Waist", "28"], ["Hip", "38"]],
            id="elements-of-ones-own",
        ),
        pytest.param(
            "<dl><div><dt>Inseam<dd>30<dd>76 cm</div><div><dt>Rise<dt>Front rise<dd>10</div></dl>",
            [["Inseam", "30", "76 cm"], ["Rise", "10", ""], ["Front rise", "10", ""]],
            id="definitions-several-each",
        ),
        pytest.param(
            "<ul><li><span>Inseam</span><span>30</span></li><li><span>Rise</span>: <span>10</span></li></ul>",
            [["Inseam", "30"], ["Rise", "10"]],
            id="items-of-label-and-value",
        ),
        pytest.param(
            "<pre>\nPoint     8    10\nWaist     28   29\nHip       38   39\n</pre>",
            [["Point", "8", "10"], ["Waist", "28", "29"], ["Hip", "38", "39"]],
            id="columns-of-blanks",
        ),
        pytest.param(
            "<table><tr><td data-label=Size>8<td data-label=Waist>28<tr><td data-label=Size>10"
            "<td data-label=Waist>29</table>",
            [["Size", "Waist"], ["8", "28"], ["10", "29"]],
            id="header-only-in-attributes",
        ),
        pytest.param(
            "<ul>"
            + "".join(
                f"<li class=row><span class=cell>{size}</span><span class=cell>{'Inseam 30 in. ' * 9}</span>"
                "<span class=cell>118</span></li>"
                for size in ("S", "M")
            )
            + "</ul>",
            [[size, ("Inseam 30 in. " * 9).strip(), "118"] for size in ("S", "M")],
            id="rows-with-a-description",
        ),
        pytest.param(
            "<table role=presentation><tr><td><h2>Specs</h2></td><td><table><tr><td>Waist<td>28<tr><td>Hip"
            "<td>38</table></table>",
            [["Waist", "28"], ["Hip", "38"]],
            id="layout-table-around-a-table",
        ),
        pytest.param(
            "<table><tr><td>8<br>(S)<td><div>28</div><div>71 cm</div><tr><td>10<td><input value=29></table>",
            [["8\n(S)", "28\n71 cm"], ["10", "29"]],
            id="lines-and-fields-in-cells",
        ),
    ],
)
def test_table_of_every_make(markup: str, expected: list[list[str]]) -> None:
    got = printed(page(markup))
    assert [[*row, *[""] * (len(expected[0]) - len(row))] for row in got[0]] == expected
    assert len(got) == 1


@pytest.mark.parametrize(
    "markup",
    [
        pytest.param(
            "<nav><ul><li><a href=/8>Size 8</a><a href=/9>9</a><li><a href=/10>10</a><a>11</a></ul></nav>", id="menu"
        ),
        pytest.param(
            "<table><tr><td><a href=1>Home</a><td><a href=2>Shop</a><tr><td><a href=3>A</a><td><a>B</a></table>",
            id="menu-table",
        ),
        pytest.param(
            "".join(f"<div><a href=/{i}><span>Slim {i}</span><span>${i}9</span></a></div>" for i in range(4)),
            id="cards",
        ),
        pytest.param(
            "<p><b>Fits</b> a <i>30</i></p><p><b>Hem</b> of <i>17</i> inches all round</p>", id="prose-with-bold-words"
        ),
        pytest.param("<ul><li>Inseam: 30<li>Rise: 10</ul><ul><li>Hem: 17<li>Hip: 40</ul>", id="two-lists-side-by-side"),
        pytest.param(
            "<footer><div><span>Est. 1990</span><span>12 shops</span></div><div><span>a 1</span><span>b 2"
            "</span></div></footer>",
            id="foot",
        ),
        pytest.param(
            "<p><math><mfrac><mn>3</mn><mn>4</mn></mfrac></math><math><mfrac><mn>1</mn><mn>2</mn></mfrac></math></p>",
            id="fractions",
        ),
    ],
)
def test_what_is_no_table(markup: str) -> None:
    assert printed(page(markup)) == []
    assert words(page(markup))


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        pytest.param("9<sup>3</sup>&frasl;<sub>4</sub>", "9 3/4", id="raised-slash-lowered"),
        pytest.param("9<sup>3</sup>/4", "9 3/4", id="raised-only"),
        pytest.param("9-<sup>3</sup>/<sub>4</sub>", "9-3/4", id="with-a-dash"),
        pytest.param('9<sup>3/4</sup>"', '9 3/4"', id="whole-fraction-raised"),
        pytest.param("9<small>3/4</small>", "9 3/4", id="small-fraction-glued"),
        pytest.param(
            "9<span class=frac><span class=num>3</span><span class=den>4</span></span>", "9 3/4", id="two-boxes"
        ),
        pytest.param("<math><mn>9</mn><mfrac><mn>3</mn><mn>4</mn></mfrac></math>", "9 3/4", id="mathml"),
        pytest.param("<sup>1</sup>/<sub>2</sub> hip", "1/2 hip", id="fraction-first"),
        pytest.param("9<sup>1</sup>", "9¹", id="footnote-never-ninety-one"),
        pytest.param("9<sup>1,2</sup>", "9¹ ²", id="two-footnotes"),
        pytest.param("9&frac12;&Prime;", "9½″", id="entities"),
        pytest.param("9&nbsp;1/2", "9 1/2", id="no-break-space"),
        pytest.param("81&shy;,&#8203;5", "81,5", id="unseen-characters"),
        pytest.param("<span lang=en>2</span><span lang=de>9.5</span>", "29.5", id="word-cut-by-an-editor"),
        pytest.param("<b>Inseam</b>30", "Inseam 30", id="word-and-number"),
        pytest.param("<span class=v>30</span><span class=u>in</span>", "30 in", id="number-and-unit"),
        pytest.param("<del>31</del> <ins>30</ins>", "30", id="old-value-struck"),
        pytest.param('<span style="text-decoration: line-through">31</span> 30', "30", id="old-value-struck-by-style"),
        pytest.param('30 <span style="display:none">31</span>', "30", id="hidden-beside"),
        pytest.param("<!-- 31 -->30<script>31</script>", "30", id="comment-and-script"),
    ],
)
def test_text_of_a_cell(cell: str, text: str) -> None:
    sheet = page(f"<table><tr><th>Point<th>8<tr><td>Waist<td>{cell}</table>")
    assert printed(sheet) == [[["Point", "8"], ["Waist", text]]]


def test_old_and_hidden_words_are_kept_apart_with_their_place() -> None:
    sheet = page("<table><tr><th>Inseam<td><s>31</s> 30<tr><th>Rise<td><s>9</s></table><p hidden>Inseam 29</p>")
    assert marked(sheet, STRUCK) == ["9", "31"]
    assert [text.place for text in sheet.texts if STRUCK in text.marks] == ["table=1;row=1;col=2"]
    assert marked(sheet, HIDDEN) == ["Inseam 29"]


def test_two_units_in_one_cell_become_two_grids() -> None:
    cell = "<td><span class='u u-in'>{}</span><span class='u u-cm'>{}</span></td>"
    sheet = page(
        "<table><tr><th>Size</th><th>Waist (<i class=u-in>in</i><i class=u-cm>cm</i>)</th></tr>"
        f"<tr><td>8</td>{cell.format(28, 71)}</tr><tr><td>10</td>{cell.format(29, 74)}</tr></table>"
    )
    assert printed(sheet) == [
        [["Size", "Waist (in)"], ["8", "28"], ["10", "29"]],
        [["Size", "Waist (cm)"], ["8", "71"], ["10", "74"]],
    ]
    assert [grid.caption for grid in sheet.grids] == ["in", "cm"]


def test_unit_hidden_by_style_is_a_hidden_grid() -> None:
    cell = "<td><span class=in>{}</span><span class=cm>{}</span></td>"
    rows = f"<tr><td>8</td>{cell.format(28, 71)}</tr><tr><td>10</td>{cell.format(29, 74)}</tr>"
    sheet = page(f"<style>@media print {{.in{{display:none}}}} .cm {{ display : none }}</style><table>{rows}</table>")
    assert printed(sheet) == [[["8", "28"], ["10", "29"]], [["8", "71"], ["10", "74"]]]
    assert [HIDDEN in grid.marks for grid in sheet.grids] == [False, True]


def test_attributes_of_cells_are_data() -> None:
    sheet = page(
        "<table><tr><th>8<td data-cm=71>28<td data-cm=97>38<tr><th>10<td data-cm=74>29<td data-cm=99>39</table>"
    )
    data = [grid for grid in sheet.grids if DATA in grid.marks]
    assert [(grid.caption, matrix(grid)) for grid in data] == [("cm", [["8", "71", "97"], ["10", "74", "99"]])]
    assert data[0].cells[1].place == "table=1;row=1;col=2;attr=@data-cm"


@pytest.mark.parametrize(
    "markup",
    [
        pytest.param(
            "<ul role=tablist><li role=tab aria-controls=a>Petite<li role=tab aria-controls=b>Tall</ul>"
            "<div role=tabpanel id=a>{a}</div><div role=tabpanel id=b hidden>{b}</div>",
            id="aria-controls",
        ),
        pytest.param(
            "<ul class='nav tabs'><li><a href=#a>Petite</a><li><a href=#b>Tall</a></ul><div class=tab-content>"
            "<div id=a>{a}</div><div id=b style='display:none'>{b}</div></div>",
            id="links-to-ids",
        ),
        pytest.param(
            "<input type=radio id=r1 value=pet><label for=r1>Petite</label><input type=radio id=r2 value=tal>"
            "<label for=r2>Tall"
            "</label><div data-panel=pet>{a}</div><div data-panel=tal hidden>{b}</div>",
            id="radio-buttons",
        ),
        pytest.param(
            "<div class=tabs><button>Petite</button><button>Tall</button></div><div>{a}</div>"
            "<div class=panel hidden>{b}</div>",
            id="by-position",
        ),
        pytest.param(
            "<details><summary>Petite</summary>{a}</details><details><summary>Tall</summary>{b}</details>", id="details"
        ),
        pytest.param(
            "<figure>{a}<figcaption>Petite</figcaption></figure><figure><figcaption>Tall</figcaption>{b}</figure>",
            id="figures",
        ),
    ],
)
def test_panels_carry_their_label_and_are_not_hidden(markup: str) -> None:
    table = "<table><tr><th>Size<th>8<tr><td>Inseam<td>{}</table>"
    sheet = page(markup.format(a=table.format(27), b=table.format(33)))
    assert [grid.caption for grid in sheet.grids] == ["Petite", "Tall"]
    assert not any(HIDDEN in grid.marks for grid in sheet.grids)


def test_tabs_of_lists_are_not_run_together() -> None:
    sheet = page(
        "<ul><li><a href=#in>Inches</a><li><a href=#cm>Cm</a></ul><div><div id=in><dl><dt>Inseam<dd>30</dl></div>"
        "<div id=cm hidden><dl><dt>Inseam<dd>76</dl></div></div>"
    )
    assert [(g.caption, matrix(g)) for g in sheet.grids] == [("Inches", [["Inseam", "30"]]), ("Cm", [["Inseam", "76"]])]


def test_a_toggle_over_several_tables_labels_none() -> None:
    table = "<table><tr><th>Size<th>8<tr><td>Inseam<td>27</table>"
    sheet = page(f"<div class=toggle><button>Inches</button><button>CM</button></div>{table}<p>x</p>{table}{table}")
    assert [grid.caption for grid in sheet.grids] == ["", "", ""]


@pytest.mark.parametrize(
    "markup",
    [
        pytest.param("<div class=old style='display:none'>{}</div>", id="display-none"),
        pytest.param("<div style='visibility:hidden'>{}</div>", id="visibility"),
        pytest.param("<div hidden>{}</div>", id="attribute"),
        pytest.param("<div aria-hidden=true>{}</div>", id="aria-hidden"),
        pytest.param("<style>.previous{{display:none}}</style><section class=previous>{}</section>", id="style-sheet"),
        pytest.param("<template>{}</template>", id="template"),
        pytest.param("<noscript>{}</noscript>", id="noscript"),
    ],
)
def test_hidden_table_is_marked(markup: str) -> None:
    rest = "<p>The words that everyone reads, far more than the hidden ones, stand here on the page for all to see.</p>"
    sheet = page(markup.format("<table><tr><th>Inseam<td>31<tr><th>Rise<td>9</table>") + rest)
    assert [HIDDEN in grid.marks for grid in sheet.grids] == [True]
    assert all(HIDDEN in cell.marks for cell in sheet.grids[0].cells)


def test_page_behind_an_open_window_is_not_hidden() -> None:
    sheet = page("<div id=app aria-hidden=true><table><tr><th>Inseam<td>31<tr><th>Rise<td>9</table></div><p>ok</p>")
    assert HIDDEN not in sheet.grids[0].marks


def test_nested_tables_follow_their_table_and_text_goes_on() -> None:
    sheet = page(
        "<table><tr><th>Size<th>Fit and feel<tr><td>8 and up<td>slim through the leg<tr><td>10<td>wide"
        "<table><tr><td>Hem<td>17<tr><td>Hip<td>9</table></table>after"
    )
    assert printed(sheet)[1] == [["Hem", "17"], ["Hip", "9"]]
    assert words(sheet)[-1] == "after"


def test_only_known_marks() -> None:
    sheet = page("<table><tr><th>a<td><b>1</b><tr><td><s>2</s><td hidden>3</table><p data-inseam=30>x</p>")
    assert {m for g in sheet.grids for c in g.cells for m in c.marks} <= MARKS
