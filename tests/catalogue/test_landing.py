"""Sheets land whole, twice is once, and everything that was printed comes back."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from invented import STAMP, WIDE, Shop, figure, sheet

from halfinch.catalogue import tables
from halfinch.catalogue.exact import inches_to_nm
from halfinch.catalogue.landing import Arrival, land
from halfinch.catalogue.views import SIZES
from halfinch.figure import NM_PER_INCH, Figure, Finding, Garment, SheetResult, to_inches


def test_tables_stand_as_promised_with_comments(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    columns = shop.ask("SELECT table_name, column_name, comment FROM duckdb_columns() ORDER BY column_index")
    for table in (*tables.TABLES, SIZES):
        rows = [row[1:] for row in columns if row[0] == table.name]
        assert tuple(row[0] for row in rows) == table.column_names
        assert all(row[1] for row in rows), table.name
    assert shop.ask("SELECT schema_version, storage_version FROM meta") == [(tables.SCHEMA_VERSION, "v1.2.0")]


def test_file_says_that_clients_from_1_2_on_can_open_it(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    ((tags,),) = shop.ask("SELECT tags FROM duckdb_databases() WHERE database_name = 'shop'")
    assert "v1.2.0" in str(tags)


EVERY_64TH = [Fraction(n, 64) * NM_PER_INCH for n in range(1, 60 * 64 + 1)]
EVERY_TENTH_MM = [Fraction(n * 100_000) for n in range(1, 15_001)]


def test_every_length_comes_back_exactly(shop: Shop) -> None:
    figures = [
        Figure("g", "waist", f"{at} {times}", int(nm) * times, "x", f"row={at};col={times}", convention=convention)
        for times, convention in ((1, "round"), (2, "flat"))
        for at, nm in enumerate(EVERY_64TH + EVERY_TENTH_MM)
    ]
    shop.land(sheet("a.csv", *figures))
    rows = {row[0]: row[1:] for row in shop.ask("SELECT size, length_nm, inches FROM figures")}
    assert len(rows) == 2 * (60 * 64 + 15_000)
    for figure_ in figures:
        nm, inches = rows[figure_.size]
        assert nm == figure_.length_nm
        assert inches_to_nm(inches) == nm, "the way back from printed inches"


def test_half_inches_are_half_even_and_printed_inches_follow(shop: Shop) -> None:
    # Ties go to even halves: NIST SP 811 B.7.1, IEEE 754 roundTiesToEven.
    cases = {"9.75": "10.0", "27.25": "27.0", "27.3": "27.5", "12.75": "13.0", "30": "30.0"}
    shop.land(sheet("a.csv", *(figure("inseam", Fraction(text), size=text) for text in cases)))
    rows = shop.ask("SELECT size, CAST(half_inch AS VARCHAR), inches FROM figures")
    assert {row[0]: row[1] for row in rows} == cases
    assert all(row[2] == Decimal(row[0]) for row in rows)


def test_everything_said_of_a_figure_is_kept(shop: Shop) -> None:
    told = figure(
        "waist", 31, size="12", size_system="UK", size_also="US 8", length="petite", length_to_nm=32 * NM_PER_INCH,
        tolerance_minus_nm=NM_PER_INCH // 4, tolerance_plus_nm=NM_PER_INCH // 2, at_nm=NM_PER_INCH, at_from="band",
        status="assumed", basis="inferred", raw='15 1/2"', unit="in", convention="flat", place="row=2;col=3",
        stretched_nm=36 * NM_PER_INCH,
    )  # fmt: skip
    shop.land(sheet("a.csv", told, figure("inseam", 29), merchant="Aldersgate"))
    row = shop.ask("""
        SELECT sheet, merchant, style, style_code, size, size_system, size_also, length, inches, inches_to,
            tolerance_minus, tolerance_plus, tolerance, at_inches, at_from, status, basis, raw, unit, convention, place
        FROM figures WHERE point = 'waist'""")[0]
    assert row == (
        "a.csv", "Aldersgate", "Wide", "AW-10", "12", "UK", "US 8", "petite", 31, 32, Decimal("0.25"), Decimal("0.5"),
        Decimal("0.5"), 1, "band", "assumed", "inferred", '15 1/2"', "in", "flat", "row=2;col=3",
    )  # fmt: skip
    sql = "SELECT tolerance_minus, tolerance FROM figures WHERE point = 'inseam'"
    assert shop.ask(sql) == [(None, Decimal("0.25"))], "not stated: the usual one of the point"
    assert shop.ask("SELECT inches FROM stretched") == [(36,)]


def test_no_key_is_ever_null(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29, size=""), garments=(Garment("g"),)))
    for table in (*tables.TABLES, SIZES):
        texts = [column.name for column in table.columns if column.type == tables.TEXT]
        nulls = ", ".join(f'count(*) - count("{name}")' for name in texts)
        assert set(shop.ask(f"SELECT {nulls} FROM {table.name}")[0]) == {0}, table.name


def test_importing_twice_is_once(shop: Shop) -> None:
    told = sheet("a.csv", figure("inseam", 29), findings=(Finding("r", "note", "seen", figures=(0,)),))
    shop.land(told)
    counts = " UNION ALL ".join(f"SELECT '{table.name}', count(*) FROM {table.name}" for table in tables.TABLES)
    before = shop.ask(counts)
    shop.land(told)
    assert shop.ask(counts) == before


@pytest.mark.parametrize("outcome", ["read", "partly", "nothing", "scanned", "failed"])
def test_every_outcome_is_a_row_of_sheets(shop: Shop, outcome: str) -> None:
    figures = (figure("inseam", 29),) if outcome in ("read", "partly") else ()
    shop.land(sheet("a.csv", *figures, outcome=outcome, message="why", log="Traceback" if outcome == "failed" else ""))
    assert shop.ask("SELECT sheet, outcome, message FROM current_sheets") == [("a.csv", outcome, "why")]
    assert len(shop.ask("FROM current_figures")) == len(figures)
    assert len(shop.ask("FROM logs")) == (outcome == "failed")


def test_a_new_sheet_at_the_same_source_replaces_the_earlier_in_the_views(shop: Shop) -> None:
    old, new = sheet("a.csv", figure("inseam", 29)), sheet("a.csv", figure("inseam", 30))
    shop.land(old)
    shop.land(new)
    assert shop.sizes("inseam") == {("8", ""): (30.0,)}
    assert shop.ask("SELECT count(*) FROM figures") == [(2,)], "history stays"
    assert shop.ask("SELECT count(*) FROM receipts WHERE seen_to IS NOT NULL") == [(1,)]
    assert shop.ask("SELECT message FROM findings WHERE rule = 'sheets_differ'") == []
    shop.land(old)
    assert shop.sizes("inseam") == {("8", ""): (29.0,)}, "and back again"


def test_a_sheet_that_cannot_be_read_takes_nobodys_place(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    shop.land(sheet("a.csv", outcome="failed", message="cut short"))
    assert shop.sizes("inseam") == {("8", ""): (29.0,)}
    assert ("failed",) in shop.ask("SELECT outcome FROM current_sheets")
    shop.land(sheet("a.csv", figure("inseam", 30)))
    assert shop.sizes("inseam") == {("8", ""): (30.0,)}
    assert shop.ask("SELECT outcome FROM current_sheets") == [("read",)]


def test_a_failure_after_a_good_reading_of_the_same_bytes_changes_nothing(shop: Shop) -> None:
    good = sheet("a.csv", figure("inseam", 29))
    shop.land(good)
    shop.land(replace(good, figures=(), outcome="failed", message="took too long"))
    assert shop.sizes("inseam") == {("8", ""): (29.0,)}
    assert shop.ask("SELECT outcome FROM sheets") == [("read",)]


def test_the_same_name_elsewhere_is_another_source_with_a_finding_on_both(shop: Shop) -> None:
    other = (Garment("g", merchant="Brumelune", style="Large"),)
    shop.land(sheet("x/a.csv", figure("inseam", 29)), sheet("y/a.csv", figure("inseam", 31), garments=other))
    assert len(shop.ask("SELECT * FROM sizes")) == 2
    findings = shop.ask("SELECT DISTINCT reading_id FROM current_findings WHERE rule = 'same_name_elsewhere'")
    assert len(findings) == 2


def test_a_container_that_lost_a_sheet_takes_its_figures_out_of_force(shop: Shop) -> None:
    one, two = sheet("z.zip/1.csv", figure("inseam", 29)), sheet("z.zip/2.csv", figure("waist", 30))
    land(shop.path, [Arrival("z.zip", "z.zip", "file-1", "", (one, two))], STAMP)
    assert shop.sizes("inseam", "waist") == {("8", ""): (29.0, 30.0)}
    assert shop.ask("SELECT source FROM sources ORDER BY 1") == [("z.zip/1.csv",), ("z.zip/2.csv",)]
    land(shop.path, [Arrival("z.zip", "z.zip", "file-2", "", (one,))], STAMP)
    assert shop.sizes("inseam", "waist") == {("8", ""): (29.0, None)}
    land(shop.path, [Arrival("z.zip", "z.zip", "file-1", "", None)], STAMP)
    assert shop.sizes("inseam", "waist") == {("8", ""): (29.0, 30.0)}, "known bytes come back without reading"


def test_the_same_bytes_at_two_sources_are_one_sheet(shop: Shop) -> None:
    told = sheet("a.csv", figure("inseam", 29))
    arrivals = [Arrival(f"{at}/a.csv", f"{at}/a.csv", told.sheet_id, "", (told,)) for at in ("x", "y")]
    land(shop.path, arrivals, STAMP)
    assert shop.ask("SELECT count(*) FROM sheets") == [(1,)]
    assert shop.ask("SELECT count(*) FROM current_figures") == [(1,)]
    assert len(shop.ask("FROM receipts")) == 2


GARMENTS = [
    pytest.param([WIDE, replace(WIDE, key="h", style="WIDE  ", price=Decimal(80))], 1, id="code-decides"),
    pytest.param([WIDE, replace(WIDE, key="h", style_code="AW-11")], 2, id="other-code"),
    pytest.param([WIDE, replace(WIDE, key="h", block="curvy")], 2, id="other-block"),
    pytest.param([WIDE, replace(WIDE, key="h", merchant="ALDERSGATE ")], 1, id="merchant-written-otherwise"),
    pytest.param([WIDE, replace(WIDE, key="h", colour="ink")], 1, id="colour-with-the-same-figures"),
    pytest.param([Garment("g"), Garment("h")], 2, id="nameless-are-never-one"),
]


@pytest.mark.parametrize(("garments", "count"), GARMENTS)
def test_what_makes_a_garment(shop: Shop, garments: list[Garment], count: int) -> None:
    figures = tuple(figure("inseam", 29, garment=g.key, place=f"row={g.key}") for g in garments)
    shop.land(sheet("a.csv", *figures, garments=tuple(garments)))
    assert shop.ask("SELECT count(*) FROM garments") == [(count,)]
    assert shop.ask("SELECT count(DISTINCT garment_id) FROM figures") == [(count,)]


def test_colours_are_garments_of_their_own_only_where_figures_differ(shop: Shop) -> None:
    ink, sand = replace(WIDE, colour="ink"), replace(WIDE, key="h", colour="sand")
    shop.land(sheet("a.csv", figure("inseam", 29), figure("inseam", 30, garment="h"), garments=(ink, sand)))
    assert {row[0] for row in shop.ask("SELECT colour FROM garments")} == {"ink", "sand"}
    assert len(shop.ask("FROM sizes")) == 2


def test_nameless_garments_of_two_sheets_stay_apart(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29), garments=(Garment("g", style="Wide"),)))
    shop.land(sheet("b.csv", figure("inseam", 31), garments=(Garment("g", style="Wide"),)))
    assert sorted(row[0] for row in shop.ask("SELECT inseam FROM sizes")) == [29, 31]


def test_a_second_sheet_fills_what_the_first_left_open(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29), garments=(replace(WIDE, price=Decimal("79.90"), currency="EUR"),)))
    shop.land(sheet("b.csv", figure("waist", 30), garments=(replace(WIDE, fabric="98 % cotton"),)))
    assert shop.ask("SELECT price, currency, fabric FROM garments") == [(Decimal("79.90"), "EUR", "98 % cotton")]
    shop.land(sheet("b.csv", figure("waist", 31), garments=(replace(WIDE, price=Decimal(85)),)))
    assert shop.ask("SELECT price, currency FROM garments") == [(Decimal(85), "EUR")]


def test_one_cell_that_serves_two_garments_gives_each_its_figure(shop: Shop) -> None:
    other = Garment("h", merchant="Aldersgate", style="Slim")
    pair = [figure("inseam", 29, place="row=2"), figure("inseam", 29, garment="h", place="row=2")]
    shop.land(sheet("a.csv", *pair, pair[0], garments=(WIDE, other)))
    assert len(shop.ask("SELECT DISTINCT figure_id FROM figures")) == 2
    assert len(shop.ask("FROM figures")) == 2, "told twice is once"


def test_every_held_figure_has_a_reason(shop: Shop) -> None:
    held = figure("leg_opening", 11, status="held", rivals=("round: 11 in", "flat: 22 in"))
    shop.land(sheet("a.csv", held, figure("waist", 3, status="held")))
    messages = [row[0] for row in shop.ask("SELECT message FROM findings ORDER BY message")]
    assert messages == ['"11" could also be: round: 11 in; flat: 22 in.', '"3": the reading is not certain.']


def test_merchant_of_the_folder_serves_where_the_sheet_names_none(shop: Shop) -> None:
    nameless = (Garment("g", style="Wide"),)
    shop.land(sheet("a.csv", figure("inseam", 29), garments=nameless), merchant="Zwaluwdam")
    assert shop.ask("SELECT merchant FROM garments UNION SELECT merchant FROM sheets") == [("Zwaluwdam",)]
    shop.land(sheet("b.csv", figure("inseam", 29)), merchant="Zwaluwdam")
    assert ("Aldersgate",) in shop.ask("SELECT merchant FROM garments")


@pytest.mark.parametrize(
    "odd",
    [
        pytest.param("lone surrogate \ud800 here", id="surrogate"),
        pytest.param("nul\x00byte", id="nul"),
        pytest.param("line\nbreak\ttab", id="controls"),
        pytest.param("x" * 100_000, id="long"),
        pytest.param("裤长 👖 ½", id="beyond-latin"),
    ],
)
def test_odd_texts_are_stored(shop: Shop, odd: str) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29, raw=odd), garments=(replace(WIDE, fabric=odd),)))
    ((raw,),) = shop.ask("SELECT raw FROM figures")
    assert raw == odd.encode("utf-8", "replace").decode()


def test_figures_without_a_garment_of_the_list_get_a_nameless_one(shop: Shop) -> None:
    shop.land(SheetResult("a.csv", "id", outcome="read", figures=(figure("inseam", 29, garment="stranger"),)))
    assert shop.sizes("inseam") == {("8", ""): (29.0,)}


def test_printed_inches_have_an_inverse() -> None:
    for nm in (396_875, 10_000, 25_400_000, 814_000_000, 19_050_000 + 396_875):
        assert inches_to_nm(to_inches(nm)) == nm
