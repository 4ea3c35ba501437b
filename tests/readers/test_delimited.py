"""Delimited and plain text: every dialect a supplier's program or hand makes, and the traps in them."""

from __future__ import annotations

import csv
import io
import re

import pandas as pd
import pytest
from grids import as_rows, marks_of, place_of, texts_of
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from halfinch.errors import SheetError
from halfinch.readers.delimited import read, suits
from halfinch.sheet import Sheet


def read_text(text: str, name: str = "sheet.csv") -> Sheet:
    return read(text.encode(), name)


# ---- encodings -----------------------------------------------------------------------------------

GERMAN = "Größe;38;40\nBundweite;81,5;85,0\nFußweite;34,5;35\nOberschenkel für Große;60;62\n"
FRENCH = "Taille;36;38\nLargeur d’ourlet à plat;17,5;18\nHauteur devant, délavé;26;27\n"
SPANISH = "Quillet Pantalón;44;46\nCadera (cm);52,5;54\n"
POLISH = "Rozmiar;36;38\nObwód pasa;72;76\nSzerokość nogawki dołem;17,5;18\nDługość wewnętrzna;78;78\n"
TURKISH = "Beden;36;38\nBel çevresi;72;76\nİç bacak boyu;78;78\nPaça genişliği;17;18\nÖn ağ yüksekliği;26;27\n"
RUSSIAN = "Размер;42;44\nОбхват талии;72;76\nДлина по шву;78;78\n"
JAPANESE = "サイズ,S,M\nウエスト,64,68\n股下,70,71\n裾幅,17,18\n"
CHINESE = "尺码,S,M\n腰围,64,68\n内长,70,71\n脚口,34,36\n"
TAIWANESE = "尺碼,S,M\n腰圍,64,68\n內長,70,71\n褲口,34,36\n"
KOREAN = "사이즈,S,M\n허리단면,34,36\n밑위,26,27\n허벅지단면,28,29\n"
FRACTIONS = "Size,8,10\nWaist,27½,28¼\nInseam,30¾,30\n"
QUOTES = "Size,8,10\nWaist,27 1/2”,28 1/2”\nHip – low,38”,39”\n"


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        *(pytest.param(GERMAN, e, id=f"german-{e}") for e in ("utf-8", "cp1252", "mac_roman", "cp850", "iso8859_15")),
        *(pytest.param(FRENCH, e, id=f"french-{e}") for e in ("cp1252", "mac_roman")),
        pytest.param(SPANISH, "cp1252", id="one-accent-in-all-the-text"),
        *(pytest.param(POLISH, e, id=f"polish-{e}") for e in ("cp1250", "iso8859_2")),
        pytest.param(TURKISH, "cp1254", id="turkish-not-icelandic"),
        *(pytest.param(RUSSIAN, e, id=f"russian-{e}") for e in ("cp1251", "koi8_r")),
        *(pytest.param(JAPANESE, e, id=f"japanese-{e}") for e in ("cp932", "euc_jp", "iso2022_jp")),
        pytest.param(CHINESE, "gb18030", id="simplified"),
        pytest.param(TAIWANESE, "big5", id="traditional"),
        pytest.param(KOREAN, "cp949", id="korean-not-chinese"),
        pytest.param(FRACTIONS, "cp1252", id="fraction-signs-not-half-width-kana"),
        pytest.param(QUOTES, "cp1252", id="curly-inch-marks"),
        pytest.param(QUOTES, "mac_roman", id="curly-inch-marks-mac"),
        *(
            pytest.param(t, e, id=f"{e}-{k}")
            for k, t in enumerate((GERMAN, JAPANESE))
            for e in ("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-32-le")
        ),
    ],
)
def test_text_is_decoded_by_its_looks(text: str, encoding: str) -> None:
    delimiter = ";" if ";" in text else ","
    sheet = read(text.encode(encoding), "sheet.csv")
    assert as_rows(sheet.grids[0]) == list(csv.reader(io.StringIO(text), delimiter=delimiter))


def test_a_lying_byte_order_mark_is_not_believed() -> None:
    sheet = read(b"\xef\xbb\xbf" + GERMAN.encode("cp1252"), "a.csv")
    assert as_rows(sheet.grids[0])[0] == ["Größe", "38", "40"]
    assert "declares UTF-8" in sheet.warnings[0]


def test_windows_lines_pasted_into_utf8_are_read_line_by_line() -> None:
    data = "Größe,38\nFußweite,17\nHüfte,90\n".encode() + "Waist,27½\n".encode("cp1252")
    assert as_rows(read(data, "a.csv").grids[0])[3] == ["Waist", "27½"]


# ---- dialects ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "row", "expected"),
    [
        pytest.param('a,b,c\n9 3/4",28",30"\n1,2,3\n', 1, ['9 3/4"', '28"', '30"'], id="inch-marks-unquoted"),
        pytest.param('a,b\nWaist,"27 1/2"""\n', 1, ["Waist", '27 1/2"'], id="inch-mark-by-the-book"),
        pytest.param('P,8,10\nWaist,"27 1/2"","30""\nHip,1,2\n', 1, ["Waist", '27 1/2"', '30"'], id="undoubled"),
        pytest.param('P,8,10\nWaist,"1"",2"\nHip,3,4\n', 1, ["Waist", '1"', '2"'], id="half-quoted"),
        pytest.param('P,8,10\nWaist,"27,28\nHip,1,2\nKnee,3,4\n', 1, ["Waist", '"27', "28"], id="never-closed"),
        pytest.param('P,8,10\n",27,"28"\nHip,1,2\n', 1, ['"', "27", "28"], id="ditto-mark"),
        pytest.param('P,8,10\nWaist,28,"\nHip,38,"\nKnee,1,2\n', 2, ["Hip", "38", '"'], id="ditto-marks-at-ends"),
        pytest.param("P;8;10\nBund;81,5;85,0\n", 1, ["Bund", "81,5", "85,0"], id="decimal-commas-semicolons"),
        pytest.param('P,8,10\nBund,"81,5","85,0"\n', 1, ["Bund", "81,5", "85,0"], id="decimal-commas-quoted"),
        pytest.param("P\t8\t10\nW\t27,5\t28;5\n", 1, ["W", "27,5", "28;5"], id="tabs"),
        pytest.param("P|8|10\nW|1 1/2|3,4\n", 1, ["W", "1 1/2", "3,4"], id="bars"),
        pytest.param("P^8^10\nW^1^2\n", 1, ["W", "1", "2"], id="carets"),
        pytest.param("P\t\t8\t10\nFront rise\t9\t8\nHip\t\t\t38\t39\n", 1, ["Front rise", "9", "8"], id="tab-runs"),
        pytest.param('P, 8, 10\nW, "27 1/2", 30\n', 1, ["W", "27 1/2", "30"], id="blank-before-quote"),
        pytest.param("P,8,10,,\nW,1,2,,\n", 1, ["W", "1", "2"], id="trailing-delimiters"),
        pytest.param("P,8,10\nW,1\nH,3,4\n", 1, ["W", "1", ""], id="ragged"),
        pytest.param('P,8\n"W\n(in)",28\n', 1, ["W\n(in)", "28"], id="line-break-in-cell"),
        pytest.param("P,8\rW,28\r", 1, ["W", "28"], id="old-mac-line-ends"),
        pytest.param("sep=;\nP;8\nW;28,5\n", 1, ["W", "28,5"], id="declared-delimiter"),
        pytest.param('P,8\nW,"=""08"""\n', 1, ["W", "08"], id="text-forced-with-a-formula"),
        pytest.param(
            "Size        8       10\nWaist     27 1/2  28 1/2\n", 1, ["Waist", "27 1/2", "28 1/2"], id="blanks"
        ),
        pytest.param(
            "P     8     10    12\nWaist 28    29    30\nRise  9 3/4       10 1/4\nHip   38    39    40\n",
            2,
            ["Rise", "9 3/4", "", "10 1/4"],
            id="hole-in-columns-set-by-blanks",
        ),
        pytest.param("Waist ..... 28\nFront rise ..... 9\n", 0, ["Waist", "28"], id="dot-leaders"),
        pytest.param(
            "Size 8 10\nFront rise 9 3/4 10\nHip 38 39\n", 1, ["Front rise", "9 3/4", "10"], id="single-blanks"
        ),
        pytest.param("Size Waist Hip\n8 28 38\n10 29 39\n", 1, ["8", "28", "38"], id="single-blanks-no-label"),
        pytest.param("サイズ   S    M\n股下     70   71\n裾幅     17   18\n", 1, ["股下", "70", "71"], id="wide-signs"),
    ],
)
def test_cells_of_a_dialect(text: str, row: int, expected: list[str]) -> None:
    sheet = read_text(text)
    assert as_rows(sheet.grids[0])[row] == expected
    assert len(sheet.grids) == 1


def test_a_cell_without_a_clear_seat_is_not_put_under_another_size() -> None:
    sheet = read_text(
        "Size          8       10      12\nWaist         28      29      30\nRise   9 3/4      10 1/4\n", "a.txt"
    )
    assert "9 3/4" not in [cell.text for cell in sheet.grids[0].cells]
    assert texts_of(sheet) == ["Rise 9 3/4 10 1/4"]


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        pytest.param(
            "P,8,10\nWaist (in, flat),14,15\n", [["P", "8", "10"], ["Waist (in, flat)", "14", "15"]], id="label"
        ),
        pytest.param(
            "P,8,10\nWaist (in, flat),14,15\nHip (in, flat),19,20\n",
            [["P", "8", "10"], ["Waist (in, flat)", "14", "15"], ["Hip (in, flat)", "19", "20"]],
            id="every-label",
        ),
        pytest.param(
            "P (in, flat),S,M\nWaist,14,15\nHip,19,20\n",
            [["P (in, flat)", "S", "M"], ["Waist", "14", "15"], ["Hip", "19", "20"]],
            id="the-header's-label",
        ),
        pytest.param(
            "P,36,38,40\nBund,27,5,28,5,29,5\nHose,90,0,91,5,93,0\n",
            [["P", "36", "38", "40"], ["Bund", "27,5", "28,5", "29,5"], ["Hose", "90,0", "91,5", "93,0"]],
            id="decimal-commas",
        ),
        pytest.param(
            "P,36,38\nBund,27,5,28,5\nHip,38,39,5\nKnie,20,21\n",
            [["P", "36", "38"], ["Bund", "27,5", "28,5"], ["Hip,38,39,5", "", ""], ["Knie", "20", "21"]],
            id="decimal-commas-of-some-figures",
        ),
        pytest.param(
            "P,36,38\nBund,27,28,29\nHip,38,39\nKnie,20,21\n",
            [["P", "36", "38"], ["Bund,27,28,29", "", ""], ["Hip", "38", "39"], ["Knie", "20", "21"]],
            id="one-figure-too-many",
        ),
        pytest.param(
            "P,36,38,40\nBund,27,5,28,29\nHip,38,39,5,40,5\nKnie,20,21,22\n",
            [
                ["P", "36", "38", "40"],
                ["Bund,27,5,28,29", *[""] * 3],
                ["Hip,38,39,5,40,5", *[""] * 3],
                ["Knie", "20", "21", "22"],
            ],
            id="a-decimal-comma-here-and-there",
        ),
        pytest.param(
            "P,36,38\nBund,27,28,check\nHip,38,39\n",
            [["P", "36", "38", ""], ["Bund", "27", "28", "check"], ["Hip", "38", "39", ""]],
            id="a-note-at-the-end-is-no-harm",
        ),
        pytest.param(
            "P,36,38\nBund,27,28,1\nHip,38,39,1\n",
            [["P", "36", "38", ""], ["Bund", "27", "28", "1"], ["Hip", "38", "39", "1"]],
            id="a-column-without-header",
        ),
    ],
)
def test_figures_never_slide_under_another_size(text: str, rows: list[list[str]]) -> None:
    sheet = read_text(text)
    assert as_rows(sheet.grids[0]) == rows
    assert bool(sheet.warnings) == any("," in row[0] and "(" not in row[0] for row in rows)


def test_places_count_records_as_a_spreadsheet_does() -> None:
    sheet = read_text('Flora\n\n"P\nq",8\nW,28\n')
    assert place_of(sheet.grids[0], "28") == "row=4;col=2"
    assert sheet.texts[0].place == "row=1;col=1"


def test_an_empty_first_field_before_a_bar_draws_no_table() -> None:
    text = "Oddlane||||\n||||\n|Alma||Berta|\nPoint|4|6|4|6\nInseam|30|30|32|32\nRise|9|9.25|11|11.25\n"
    assert as_rows(read_text(text).grids[0])[:2] == [["", "Alma", "", "Berta", ""], ["Point", "4", "6", "4", "6"]]


def test_a_description_cell_stays_whole() -> None:
    text = 'style,description,size\nA,"Waist: 28, hip: 38; rise 10",8\nB,"Waist: 29, hip: 39; rise 10",10\n'
    assert as_rows(read_text(text).grids[0])[1][1] == "Waist: 28, hip: 38; rise 10"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("| P | 8 |\n|---|--:|\n| W | 28 |\n", [["P", "8"], ["W", "28"]], id="markdown"),
        pytest.param("P | 8\n--- | ---\nW | 28\nH | 38\n", [["P", "8"], ["W", "28"], ["H", "38"]], id="markdown-open"),
        pytest.param(
            "+---+----+\n| P | 8  |\n+---+----+\n| W | 28 |\n+---+----+\n", [["P", "8"], ["W", "28"]], id="drawn"
        ),
        pytest.param(
            "+----+----+\n| P  | 8  |\n+----+----+\n| Wa | 28 |\n| st |    |\n+----+----+\n| H  | 38 |\n+----+----+\n",
            [["P", "8"], ["Wa\nst", "28"], ["H", "38"]],
            id="wrapped-between-rules",
        ),
        pytest.param(
            "┌───┬────┐\n│ P │ 8  │\n├───┼────┤\n│ W │ 28 │\n└───┴────┘\n", [["P", "8"], ["W", "28"]], id="box"
        ),
    ],
)
def test_drawn_tables(text: str, expected: list[list[str]]) -> None:
    sheet = read_text(f"Flora\n\n{text}\nAll in inches.\n", "notes.md")
    assert as_rows(sheet.grids[0]) == expected
    assert marks_of(sheet.grids[0], "P") == {"header"}
    assert texts_of(sheet) == ["Flora", "All in inches."]


# ---- several tables, titles, notes ---------------------------------------------------------------


def test_preamble_and_notes_are_texts() -> None:
    text = (
        "Merchant: Nordlund; Style: Flora\nAlle Maße in cm, flach.\nPunkt;38;40\nBund;81,5;85\nHüfte;90;94\nStand: Mai"
    )
    sheet = read_text(text)
    assert texts_of(sheet) == ["Merchant: Nordlund", "Style: Flora", "Alle Maße in cm, flach.", "Stand: Mai"]
    assert len(sheet.grids) == 1


def test_tables_apart_by_titles_are_grids_in_order() -> None:
    text = "Flora\nP,8,10\nWaist,28,29\n\nKids\nSize,2,4\nWaist,20,21\n\nBruno\nP,8,10\nWaist,30,31\n"
    sheet = read_text(text)
    assert [as_rows(grid)[0] for grid in sheet.grids] == [["P", "8", "10"], ["Size", "2", "4"], ["P", "8", "10"]]
    assert texts_of(sheet) == ["Flora", "Kids", "Bruno"]


def test_a_section_without_header_stays_with_its_table() -> None:
    sheet = read_text("P,8,10\nWaist,28,29\n\nPetite\nInseam,27,27\n\nTall\nInseam,34,34\n")
    assert len(sheet.grids) == 1
    assert as_rows(sheet.grids[0])[3] == ["Petite", "", ""]


def test_a_repeated_header_under_a_title_opens_a_table() -> None:
    sheet = read_text("Flora,,\nP,8,10\nWaist,28,29\nBruno,,\nP,8,10\nWaist,30,31\n")
    assert [as_rows(grid)[1] for grid in sheet.grids] == [["Waist", "28", "29"], ["Waist", "30", "31"]]
    assert texts_of(sheet) == ["Flora", "Bruno"]


def test_a_card_above_a_table_is_a_grid_of_its_own() -> None:
    sheet = read_text("Merchant,Nordlund\nStyle,Flora\nP,8,10,12\nWaist,28,29,30\nHip,38,39,40\nRise,9,9,9\n")
    assert [as_rows(grid)[0] for grid in sheet.grids] == [["Merchant", "Nordlund"], ["P", "8", "10", "12"]]


def test_tables_side_by_side_need_labels_of_their_own() -> None:
    apart = read_text("A,,,,B,,\nP,8,10,,P,8,10\nWaist,28,29,,Waist,30,31\nHip,38,39,,Hip,40,41\n")
    assert [as_rows(grid)[1] for grid in apart.grids] == [["Waist", "28", "29"], ["Waist", "30", "31"]]
    assert texts_of(apart) == ["A", "B"]
    one = read_text("P,8P,10P,,8R,10R\nWaist,28,29,,28,29\nHip,38,39,,38,39\n")
    assert as_rows(one.grids[0])[1] == ["Waist", "28", "29", "", "28", "29"]


@pytest.mark.parametrize("figure", ["{} inches", "{} cm / 27 3/4 Zoll", "{} pollici", "{} tum"])
def test_figures_with_their_unit_behind_a_blank_column_are_no_labels(figure: str) -> None:
    rows = [("Waist", 28, 29), ("Hip", 38, 39), ("Thigh", 22, 23)]
    lines = [";".join((name, "0,5 cm", "", figure.format(one), figure.format(two))) for name, one, two in rows]
    sheet = read_text("\n".join(["P;Tol;;8;10", *lines]))
    assert [as_rows(grid)[1] for grid in sheet.grids] == [["Waist", "0,5 cm", "", figure.format(28), figure.format(29)]]


def test_comments_are_texts_but_a_header_behind_a_hash_is_a_header() -> None:
    sheet = read_text("# exported, by hand\n# size,waist,hip\n8,28,38\n10,29,39\n")
    assert texts_of(sheet) == ["exported, by hand"]
    assert as_rows(sheet.grids[0])[0] == ["size", "waist", "hip"]


def test_marks() -> None:
    sheet = read_text("P,8,10,12\nWaist,#REF!,4-Mar,~~29~~\nHip,38,2024-03-04,**40**\n")
    grid = sheet.grids[0]
    assert marks_of(grid, "#REF!") == {"formula-error"}
    assert marks_of(grid, "4-Mar") == marks_of(grid, "2024-03-04") == {"date"}
    assert marks_of(grid, "29") == {"struck"}
    assert marks_of(grid, "40") == {"emphasis"}
    assert marks_of(grid, "38") == set()


def test_prose_is_paragraphs_with_their_lines() -> None:
    sheet = read_text(
        "# Flora\n\nLovely jeans, high rise, 28 waist.\nThey fit well, and are nice.\n\n- inseam 30\n- rise 10\n",
        "a.txt",
    )
    assert not sheet.grids
    assert [(t.kind, t.text) for t in sheet.texts] == [
        ("heading", "Flora"),
        ("paragraph", "Lovely jeans, high rise, 28 waist.\nThey fit well, and are nice."),
        ("item", "inseam 30"),
        ("item", "rise 10"),
    ]


# ---- bad input -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "says"),
    [
        pytest.param(b"", "is empty", id="nothing"),
        pytest.param(b" \r\n\t\n", "is empty", id="blanks"),
        pytest.param(b"\xef\xbb\xbf\r\n", "is empty", id="only-a-mark"),
        pytest.param(b"a,b\n1,2\x00\x00\x00\x003\n" * 5, "control bytes", id="nul-bytes"),
        pytest.param(bytes(range(256)) * 40, "control bytes", id="junk"),
    ],
)
def test_what_is_no_text_is_refused_in_one_sentence(data: bytes, says: str) -> None:
    with pytest.raises(SheetError, match=says) as caught:
        read(data, "bad.csv")
    assert "bad.csv" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_suits_tells_text_from_bytes() -> None:
    assert suits(b"P,8\nW,28\n", "a.csv") > suits(b"hello there", "a.bin") > 0
    assert suits(b"\x89PNG\r\n\x1a\n" + bytes(100), "a.csv") == 0


def test_a_hundred_thousand_rows() -> None:
    line = "Flora,ink,8,27.5,38 1/4,9 3/4,30"
    data = ("style,colour,size,waist,hip,rise,inseam\n" + f"{line}\n" * 100_000).encode()
    assert len(read(data, "big.csv").grids[0].cells) == 700_007


# ---- held against other readers ------------------------------------------------------------------

_PLAIN = st.text(st.characters(codec="utf-8", categories=("L", "Nd")), min_size=1, max_size=6)
_HARD = st.text(st.sampled_from('ab1½/ .,;"\t|\n'), max_size=8)


@settings(max_examples=120, deadline=None)
@given(
    st.integers(2, 5).flatmap(
        lambda width: st.lists(st.lists(_PLAIN, min_size=width, max_size=width), min_size=3, max_size=7)
    ),
    st.sampled_from(",;\t|^"),
    st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_what_python_writes_comes_back(rows: list[list[str]], delimiter: str, quoting: int, encoding: str) -> None:
    """Words and figures without any delimiter in them: whatever the dialect, the same cells come back."""
    stream = io.StringIO()
    csv.writer(stream, delimiter=delimiter, quoting=quoting).writerows(rows)  # type: ignore[arg-type]
    assume(re.search(r"\d,\d", stream.getvalue()) is None)  # "0,5" may be one figure as well as two cells
    sheet = read(stream.getvalue().encode(encoding), "any.csv")
    found = [cell.text for grid in sheet.grids for cell in grid.cells]
    assert found == [" ".join(text.split()) for row in rows for text in row]


@settings(max_examples=120, deadline=None)
@given(st.lists(st.tuples(_HARD, _HARD), min_size=1, max_size=4))
@example([("\n;\n;\n", ";\n")])  # more lines with another delimiter within the quotes than records
def test_hard_cells_quoted_by_the_book_come_back(cells: list[tuple[str, str]]) -> None:
    """Quotes, delimiters and line breaks within properly quoted cells of an otherwise plain table."""
    rows = [["Point", "note", "more", "8"], *(["Waist", a, b, "28"] for a, b in cells), *[["Hip", "x", "y", "38"]] * 4]
    stream = io.StringIO()
    csv.writer(stream, quoting=csv.QUOTE_ALL).writerows(rows)
    grid = read(stream.getvalue().encode(), "any.csv").grids[0]
    assert [row[3] for row in as_rows(grid)] == [row[3] for row in rows]
    assert [row[0] for row in as_rows(grid)] == [row[0] for row in rows]


def test_plain_cases_agree_with_pandas() -> None:
    text = 'size,waist,"hip, low"\n8,27.5,"38 1/4"""\n10,28.5,"39 1/4"""\n'
    expected = pd.read_csv(io.StringIO(text), header=None, dtype=str).to_numpy().tolist()
    assert as_rows(read_text(text).grids[0]) == expected


def test_lines_of_one_column_lose_their_quotes() -> None:
    sheet = read(b'"Dress forms"\n""\n"Waist: 68"\n"Hip: 94 ""flat"""\n', "a.csv")
    assert [text.text for text in sheet.texts] == ["Dress forms", 'Waist: 68\nHip: 94 "flat"']
