"""Tables go out in four formats, whole or not at all, and our own exports are known when they come back."""

from __future__ import annotations

import csv
import io
import json
import shutil
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pandas as pd
import pyarrow.parquet as pq
import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented import STAMP, WIDE, Shop, figure, sheet
from openpyxl import load_workbook

from halfinch.catalogue.export import FIGURE_COLUMNS, TABLES, export_table
from halfinch.catalogue.formats.cells import RISKY, guard, unguard
from halfinch.catalogue.own_export import KIND, recognise, recognise_grids
from halfinch.errors import CatalogueError, HalfinchError, UsageError
from halfinch.figure import STATUSES, Finding, Garment, SheetResult
from halfinch.sheet import Cell, Grid, Sheet

FORMATS = ("csv", "parquet", "jsonl", "xlsx")
"""Formats in which figures come back."""
ODD = Garment("o", merchant='Élan, "& Co"', style="=1+1", style_code="+42")
FIGURES = (
    figure("inseam", Fraction(2934, 100), raw='=29"', status="assumed", basis="inferred", unit="in"),
    figure("waist", Fraction(815, 254) * 10, "10", length="petite", raw="81,5 cm", unit="cm", convention="round"),
    figure("hip", 3, "10", status="held", raw="-3", garment="o"),
    figure("thigh", 22, "12", status="set_aside", raw="@x\r\ny", garment="o"),
    figure("knee", 16, "12", basis="derived", raw="'tis", garment="o", length_to_nm=17 * 25_400_000),
    figure("leg_opening", 22, "12", basis="ruled", raw="_x0041_ \x07", tolerance_plus_nm=6_350_000, garment="o"),
)


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shop = Shop(tmp_path_factory.mktemp("filled"))
    finding = Finding("range", "warn", "3 in is no hip", "ask", figures=(2,))
    shop.land(sheet("maison/a.csv", *FIGURES, garments=(WIDE, ODD), findings=(finding,)))
    shop.land(sheet("b.csv", figure("inseam", 31, "14")))
    return shop.path


@pytest.fixture
def filled(tmp_path: Path, template: Path) -> Shop:
    shutil.copyfile(template, tmp_path / "shop.duckdb")
    return Shop(tmp_path)


def promised(shop: Shop) -> list[tuple[Any, ...]]:
    return shop.ask(f"SELECT {', '.join(FIGURE_COLUMNS)} FROM current_figures ORDER BY ALL")


def test_figures_have_the_promised_columns() -> None:
    assert ",".join(FIGURE_COLUMNS) == (
        "sheet,merchant,style,style_code,size,size_system,length,point,inches,inches_to,half_inch,tolerance,status,"
        "basis,raw,unit,convention,place"
    )


def test_csv_is_rfc_4180_and_says_what_the_table_says(filled: Shop, tmp_path: Path) -> None:
    file = tmp_path / "f.csv"
    assert export_table(filled.path, "figures", "csv", file) == 7
    data = file.read_bytes()
    assert data.startswith(",".join(FIGURE_COLUMNS).encode() + b"\r\n")
    rows = list(csv.reader(io.StringIO(data.decode(), newline="")))
    assert {len(row) for row in rows} == {18}
    read = [tuple(unguard(cell) if at not in range(8, 12) else cell for at, cell in enumerate(row)) for row in rows[1:]]
    numbers = [tuple(None if cell == "" else Decimal(cell) for cell in row[8:12]) for row in read]
    made = [row[:8] + number + row[12:] for row, number in zip(read, numbers, strict=True)]
    assert sorted(made, key=str) == sorted(promised(filled), key=str)
    frame = pd.read_csv(file, dtype=str, keep_default_na=False)
    assert set(frame["half_inch"]) == {"29.5", "31.0", "32.0", "3.0", "22.0", "16.0"}, "one decimal, always"


def test_no_cell_of_csv_is_taken_for_a_formula(filled: Shop, tmp_path: Path) -> None:
    for table in TABLES:
        export_table(filled.path, table, "csv", tmp_path / "f.csv")
        rows = csv.reader(io.StringIO((tmp_path / "f.csv").read_bytes().decode(), newline=""))
        assert not [cell for row in rows for cell in row if cell and cell[0] in RISKY]


@given(st.text(max_size=12) | st.sampled_from(["=1", "'=1", "''", "-", "\t", "＝x"]))
def test_a_guard_can_be_taken_off(text: str) -> None:
    assert unguard(guard(text)) == text
    assert not text or guard(text)[0] not in RISKY


def test_parquet_jsonl_and_workbook_agree_with_the_table(filled: Shop, tmp_path: Path) -> None:
    for form in FORMATS:
        export_table(filled.path, "figures", form, tmp_path / f"f.{form}")
    table = pq.read_table(tmp_path / "f.parquet")
    known = filled.ask("SELECT figure_id, length_nm, inches, raw FROM current_figures")
    columns = ["figure_id", "length_nm", "inches", "raw"]
    assert sorted(zip(*(table.column(name).to_pylist() for name in columns), strict=True)) == sorted(known)
    lines = [json.loads(line, parse_float=Decimal) for line in (tmp_path / "f.jsonl").read_text().splitlines()]
    assert sorted((r["figure_id"], r["length_nm"], r["inches"], r["raw"]) for r in lines) == sorted(known)
    page = load_workbook(tmp_path / "f.xlsx").active
    assert page is not None
    rows = list(page.iter_rows(values_only=True))
    assert rows[0] == FIGURE_COLUMNS
    assert not [cell for row in page.iter_rows() for cell in row if cell.data_type == "f"], "no formula"
    assert sorted(float(str(row[8])) for row in rows[1:]) == pytest.approx(sorted(float(r[2]) for r in known))


def test_every_table_in_every_format_even_when_empty(shop: Shop, tmp_path: Path) -> None:
    for table in TABLES:
        for form in FORMATS:
            assert export_table(shop.path, table, form, tmp_path / "out") == 0
            assert (tmp_path / "out").stat().st_size > 0 or form == "jsonl"


def results_of(shop: Shop, form: str, folder: Path) -> list[SheetResult]:
    file = folder / f"figures.{form}"
    export_table(shop.path, "figures", form, file)
    results = recognise(file.read_bytes(), file.name, STAMP.usual_tolerance)
    assert results is not None
    return results


@pytest.mark.parametrize("form", FORMATS)
def test_a_round_trip_brings_every_column_back(filled: Shop, tmp_path: Path, form: str) -> None:
    (tmp_path / "other").mkdir()
    other = Shop(tmp_path / "other")
    other.land(*results_of(filled, form, tmp_path))
    assert promised(other) == promised(filled)
    assert other.ask("SELECT length_nm FROM figures ORDER BY 1") == filled.ask(
        "SELECT length_nm FROM figures ORDER BY 1"
    )
    held = other.ask("SELECT count(*) FROM figures f JOIN findings USING (figure_id) WHERE f.status = 'held'")
    assert held == [(1,)], "what is held has a reason"


def test_a_round_trip_into_the_same_catalogue_contradicts_nothing(filled: Shop, tmp_path: Path) -> None:
    before = filled.ask("SELECT * EXCLUDE (inseam_figure) FROM sizes WHERE inseam IS NOT NULL ORDER BY ALL")
    for result in results_of(filled, "csv", tmp_path):
        filled.land(result, source=f"export.csv/{result.sheet}")
    after = filled.ask("SELECT * EXCLUDE (inseam_figure) FROM sizes WHERE inseam IS NOT NULL ORDER BY ALL")
    assert after == before
    assert filled.ask("SELECT count(*) FROM findings WHERE rule LIKE '%differ'") == [(0,)]


def mangle(text: str, how: str) -> bytes:
    """An export as a spreadsheet program saves it anew."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    out = io.StringIO(newline="")
    if how == "semicolons and decimal commas":
        rows = [[cell.replace(".", ",") if at in range(8, 12) else cell for at, cell in enumerate(row)] for row in rows]
        csv.writer(out, delimiter=";", lineterminator="\n").writerows(rows)
        return b"\xef\xbb\xbf" + out.getvalue().encode()
    if how == "tabs in utf-16":
        csv.writer(out, delimiter="\t").writerows(rows)
        return out.getvalue().encode("utf-16")
    order = list(range(17, -1, -1))
    csv.writer(out).writerows([[row[at] for at in order] for row in rows])
    return out.getvalue().encode()


@pytest.mark.parametrize("how", ["semicolons and decimal commas", "tabs in utf-16", "columns turned round"])
def test_an_export_saved_anew_is_still_ours(filled: Shop, tmp_path: Path, how: str) -> None:
    export_table(filled.path, "figures", "csv", tmp_path / "f.csv")
    data = mangle((tmp_path / "f.csv").read_bytes().decode(), how)
    results = recognise(data, "f.csv", STAMP.usual_tolerance)
    assert results is not None
    told = sorted((f.point, f.status, f.length_nm) for result in results for f in result.figures)
    assert told == sorted(filled.ask("SELECT point, status, length_nm FROM current_figures"))


def test_what_an_export_does_not_say_is_not_made_up(shop: Shop) -> None:
    text = "sheet,point,inches,half_inch,status,raw,place\na.csv,inseam,0,0.0,held,Oct-1,row=2\n"
    results = recognise(text.encode(), "x.csv")
    assert results is not None
    shop.land(*results, source="maison/x.csv/a.csv", merchant="maison")
    assert shop.ask("SELECT merchant, status, inches FROM figures") == [("", "held", 0)]


RANK = {"set_aside": 0, "held": 1, "assumed": 2, "accepted": 3}


@given(st.data())
def test_no_round_trip_raises_a_status(data: st.DataObject) -> None:
    rows = data.draw(
        st.lists(
            st.tuples(st.sampled_from(STATUSES), st.sampled_from(["inches", "status", "half_inch", "none"])), min_size=1
        )
    )
    lines = ["sheet,point,size,inches,half_inch,status,basis,raw,place"]
    for at, (status, lost) in enumerate(rows):
        inches = "30" if lost != "inches" else "31"
        half = "30.0" if lost != "half_inch" else ""
        lines.append(f"a.csv,inseam,{at},{inches},{half},{status if lost != 'status' else ''},declared,30,row={at}")
    results = recognise("\r\n".join(lines).encode(), "x.csv")
    assert results is not None
    for figure_, (status, lost) in zip(results[0].figures, rows, strict=True):
        assert RANK[figure_.status] <= max(RANK[status], RANK["held"])
        if lost in ("status", "inches") and status != "set_aside":
            assert figure_.status == "held"


OTHER_FILES = [
    pytest.param("size,inseam,waist\n8,29,30\n", None, id="a-merchants-sheet"),
    pytest.param("", None, id="empty"),
    pytest.param('{"product": {"inseam": "29"}}', None, id="a-merchants-json"),
    pytest.param("point,inches,expect,because\ninseam,29,value,\n", "nothing", id="expected-figures"),
    pytest.param("garment_id,size,inseam,inseam_status,inseam_figure\nx,8,29,accepted,y\n", "nothing", id="sizes"),
    pytest.param(",".join(FIGURE_COLUMNS) + "\n", "nothing", id="figures-without-a-row"),
    pytest.param(",".join(FIGURE_COLUMNS) + "\na.csv,,,,8,,,inseam,x,,,,accepted,,,,,\n", "partly", id="no-number"),
    pytest.param(",".join(FIGURE_COLUMNS) + "\na.csv,,,,8,,,cuff,29,,,,accepted,,,,,\n", "partly", id="no-point"),
    pytest.param(",".join(FIGURE_COLUMNS) + "\na.csv,,,,8,,,inseam,1e99,,,,accepted,,,,,\n", "partly", id="too-long"),
]


@pytest.mark.parametrize(("text", "outcome"), OTHER_FILES)
def test_what_is_taken_for_ours(text: str, outcome: str | None) -> None:
    results = recognise(text.encode(), "x.csv")
    assert (results and results[0].outcome) == outcome
    if results:
        assert results[0].kind == KIND
        assert results[0].figures == ()


def test_every_other_table_is_named_when_it_comes_back(filled: Shop, tmp_path: Path) -> None:
    for table in TABLES[1:]:
        for form in FORMATS:
            export_table(filled.path, table, form, tmp_path / "x")
            results = recognise((tmp_path / "x").read_bytes(), "x")
            if table == "rulings" and form == "jsonl":
                assert results is None, "an empty file is nobody's"
                continue
            assert results is not None, (table, form)
            assert results[0].outcome == "nothing"
            assert table in results[0].message


def test_an_export_seen_through_a_reader_is_still_ours() -> None:
    head = ("sheet", "point", "size", "inches", "half_inch", "status", "raw", "place")
    row = ("a.csv", "inseam", "8", "29.5", "29.5", "held", "29,5", "row=2")
    cells = tuple(Cell(t, r, c) for r, line in ((1, head), (2, row)) for c, t in enumerate(line, start=1))
    results = recognise_grids(Sheet("f.ods", "workbook", "x", grids=(Grid(cells, 1),)), b"data")
    assert results is not None
    assert [(f.status, f.place, f.raw) for f in results[0].figures] == [("held", "row=2", "29,5")]
    assert recognise_grids(Sheet("f.ods", "workbook", "x", grids=(Grid(cells[8:], 1),)), b"data") is None


def test_a_place_that_cannot_be_written_keeps_what_stood_there(filled: Shop, tmp_path: Path) -> None:
    with pytest.raises(CatalogueError, match="cannot be written"):
        export_table(filled.path, "figures", "csv", tmp_path / "no" / "f.csv")
    with pytest.raises(CatalogueError, match="is a folder"):
        export_table(filled.path, "figures", "csv", tmp_path)


def test_an_export_that_breaks_off_keeps_what_stood_there(
    filled: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(name: str, value: object) -> str:
        raise OSError(28, "No space left on device")

    target = tmp_path / "f.csv"
    target.write_text("yesterday")
    monkeypatch.setattr("halfinch.catalogue.formats.lines.cell", fail)
    with pytest.raises(CatalogueError, match="No space left"):
        export_table(filled.path, "figures", "csv", target)
    assert target.read_text() == "yesterday"
    assert sorted(path.name for path in tmp_path.glob("*f.csv*")) == ["f.csv"], "no half file stays"


def test_more_rows_than_a_workbook_holds_are_refused(
    filled: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("halfinch.catalogue.export.MOST_ROWS", 3)
    with pytest.raises(UsageError, match="holds 2 rows"):
        export_table(filled.path, "figures", "xlsx", tmp_path / "f.xlsx")


def test_what_there_is_not_is_refused(filled: Shop) -> None:
    for table, form in (("bodies", "csv"), ("figures", "ods")):
        with pytest.raises(HalfinchError, match="choose one of"):
            export_table(filled.path, table, form, None)


def test_an_export_can_be_narrowed_to_rows_of_sizes(filled: Shop, tmp_path: Path) -> None:
    only = filled.ask("SELECT garment_id, size, length FROM sizes WHERE size = '14'")
    narrow = ("sizes", "garments", "figures")
    counts = {t: export_table(filled.path, t, "csv", tmp_path / "x", only=only) for t in narrow}
    assert counts == {"sizes": 1, "garments": 1, "figures": 1}
    with pytest.raises(UsageError, match="cannot be narrowed"):
        export_table(filled.path, "sheets", "csv", tmp_path / "x", only=only)
