"""Open formats, each read back by a library that is not ours and not the one that wrote it, and compared."""

from __future__ import annotations

import csv
import io
import json
import os
import shutil
import zipfile
from collections import Counter
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import duckdb
import pyarrow.parquet as pq
import pytest
from frictionless import Package
from invented import STAMP, WIDE, Shop, figure, sheet
from openpyxl import load_workbook
from python_calamine import CalamineWorkbook
from rdflib import RDF, Graph, Namespace

from halfinch.catalogue.export import FORMATS, TABLES, WRITERS, export_table
from halfinch.catalogue.formats.cells import unguard
from halfinch.catalogue.formats.products import GROUPS, MEASURES, SYSTEMS
from halfinch.catalogue.own_export import recognise
from halfinch.catalogue.tables import Table
from halfinch.catalogue.views import SIZES
from halfinch.errors import CatalogueError, UsageError
from halfinch.figure import NM_PER_INCH, Finding, Garment

DATA = Path(__file__).parents[1] / "data"
ODD = Garment("o", merchant='Élan, "& Co"', style="=1+1", style_code="+42", block="plus", currency="EUR", price=129)
FIGURES = (
    figure("inseam", Fraction(291, 10), status="assumed", basis="inferred", unit="in", size_system="US"),
    figure("waist", Fraction(815, 254) * 10, "10", length="petite", raw="81,5 cm", unit="cm", convention="round"),
    figure("inseam", Fraction(461, 16), "10", length="petite", raw="28 13/16"),
    figure("front_rise", Fraction(39, 4), "10", length="petite", raw="9 3/4"),
    figure("body_hip", 38, "10", length="petite", length_to_nm=39 * NM_PER_INCH),
    figure("hip", 3, "10", status="held", raw="-3", garment="o"),
    figure("thigh", 22, "12", status="set_aside", raw="@x\r\ny", garment="o"),
    figure("knee", 16, "12", basis="derived", raw="'tis", garment="o", length_to_nm=17 * NM_PER_INCH),
    figure("leg_opening", 22, "12", basis="ruled", raw="_x0041_ \x07", tolerance_plus_nm=6_350_000, garment="o"),
)


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shop = Shop(tmp_path_factory.mktemp("filled"))
    finding = Finding("range", "warn", "3 in is no hip", "ask", figures=(5,))
    shop.land(sheet("maison/a.csv", *FIGURES, garments=(WIDE, ODD), findings=(finding,)))
    shop.land(sheet("b.csv", figure("inseam", 31, "14")))
    return shop.path


@pytest.fixture
def filled(tmp_path: Path, template: Path) -> Shop:
    shutil.copyfile(template, tmp_path / "shop.duckdb")
    return Shop(tmp_path)


def sizes_of(shop: Shop) -> list[dict[str, Any]]:
    rows = shop.ask("SELECT * FROM sizes ORDER BY ALL")
    return [dict(zip(SIZES.column_names, row, strict=True)) for row in rows]


# ---- data package: frictionless ------------------------------------------------------------------------------------


def open_package(path: Path, folder: Path) -> Package:
    with zipfile.ZipFile(path) as archive:
        archive.extractall(folder)
    return Package(str(folder / "datapackage.json"))


@pytest.mark.parametrize("form", ["datapackage"])
def test_a_data_package_is_valid_and_says_what_the_tables_say(filled: Shop, tmp_path: Path, form: str) -> None:
    file = tmp_path / "shop.zip"
    assert export_table(filled.path, "figures", form, file) > 10
    assert Package(str(file)).validate().valid, "frictionless opens the ZIP itself"
    package = open_package(file, tmp_path / "out")
    report = package.validate()
    assert report.valid, report.flatten(["rowNumber", "fieldName", "type", "note"])
    assert tuple(package.resource_names) == TABLES
    read = {name: package.get_resource(name).read_rows() for name in TABLES}
    known = filled.ask("SELECT figure_id, length_nm, inches, raw FROM current_figures ORDER BY ALL")
    rows = ((r["figure_id"], r["length_nm"], r["inches"], unguard(r["raw"])) for r in read["figures"])
    assert sorted(rows) == known
    assert Counter(row["status"] for row in read["figures"])["held"] == 1
    assert [type(row["imported_at"]) for row in read["sheets"]] == [datetime] * 2
    units = {field.name: field.custom.get("unitCode") for field in package.get_resource("figures").schema.fields}
    assert (units["inches"], units["length_nm"], units["raw"]) == ("INH", "C45", None)


DAMAGE = [
    pytest.param("figures", "status", "fine", "constraint-error", id="unknown-word"),
    pytest.param("figures", "inches", "a few", "type-error", id="no-number"),
    pytest.param("figures", "garment_id", "nobody", "foreign-key", id="no-garment"),
    pytest.param("garments", "garment_id", "", "constraint-error", id="no-key"),
]


@pytest.mark.parametrize(("table", "column", "value", "kind"), DAMAGE)
def test_the_schema_of_a_package_tells_damage(
    filled: Shop, tmp_path: Path, table: str, column: str, value: str, kind: str
) -> None:
    export_table(filled.path, "figures", "datapackage", tmp_path / "shop.zip")
    package = open_package(tmp_path / "shop.zip", tmp_path / "out")
    file = tmp_path / "out" / f"{table}.csv"
    rows = list(csv.DictReader(io.StringIO(file.read_bytes().decode(), newline="")))
    rows[0][column] = value
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, rows[0].keys())
    writer.writeheader()
    writer.writerows(rows)
    file.write_bytes(out.getvalue().encode())
    assert kind in {error[0] for error in package.validate().flatten(["type"])}


def test_the_same_catalogue_gives_the_same_package(filled: Shop, tmp_path: Path) -> None:
    for name in ("one.zip", "two.zip"):
        export_table(filled.path, "figures", "datapackage", tmp_path / name)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


# ---- JSON-LD: rdflib -----------------------------------------------------------------------------------------------

SDO = Namespace("https://schema.org/")


def graph_of(shop: Shop, folder: Path) -> Graph:
    """What a reader of linked data sees; its vocabulary stands in for the published context, nothing is fetched."""
    export_table(shop.path, "sizes", "jsonld", folder / "shop.jsonld")
    document = json.loads((folder / "shop.jsonld").read_text(encoding="utf-8"))
    assert document["@context"] == "https://schema.org"
    return Graph().parse(data=json.dumps({**document, "@context": {"@vocab": str(SDO)}}), format="json-ld")


def test_linked_data_has_a_product_a_size_with_every_clean_figure(filled: Shop, tmp_path: Path) -> None:
    graph = graph_of(filled, tmp_path)
    known = {
        (row["garment_id"], row["size"], name.removeprefix("body_").replace("_", " "), float(row[name]))
        for row in sizes_of(filled)
        for name in ("inseam", "waist", "front_rise", "hip")
        if row[name] is not None
    }
    told = set()
    for product in graph.subjects(RDF.type, SDO.Product):
        size = graph.value(graph.value(product, SDO["size"]), SDO.name)
        for link in (SDO.hasMeasurement, SDO.additionalProperty):
            for measure in graph.objects(product, link):
                assert str(graph.value(measure, SDO.unitCode)) == "INH"
                name, value = graph.value(measure, SDO.name), graph.value(measure, SDO.value)
                if str(name) in ("inseam", "waist", "front rise", "hip"):
                    of = str(graph.value(product, SDO.inProductGroupWithID))
                    told.add((of, str(size), str(name), float(str(value))))
    assert told == known
    assert len(list(graph.subjects(RDF.type, SDO.ProductGroup))) == 2


def test_linked_data_marks_what_was_assumed_and_keeps_held_ones_back(filled: Shop, tmp_path: Path) -> None:
    graph = graph_of(filled, tmp_path)
    assumed = [node for node in graph.subjects(SDO.description, None) if (node, SDO.unitCode, None) in graph]
    assert [str(graph.value(node, SDO.value)) for node in assumed] == ["29.1"]
    assert "3" not in {str(value) for value in graph.objects(None, SDO.value)}, "the hip of 3 in is held"
    (fits,) = graph.objects(None, SDO.suggestedMeasurement)
    ends = [str(graph.value(fits, end)) for end in (SDO.minValue, SDO.maxValue, SDO.valueReference)]
    assert ends == ["38", "39", "https://schema.org/BodyMeasurementHips"]
    (offer,) = graph.subjects(RDF.type, SDO.Offer)
    assert (str(graph.value(offer, SDO.price)), str(graph.value(offer, SDO.priceCurrency))) == ("129", "EUR")


def test_members_of_enumerations_are_those_that_schema_org_has() -> None:
    with (DATA / "schema_org_members.csv").open(encoding="utf-8") as file:
        published = {row["member"] for row in csv.DictReader(line for line in file if not line.startswith("#"))}
    used = {*MEASURES.values(), *(f"WearableSizeSystem{name}" for name in SYSTEMS.values())}
    assert used | {f"WearableSizeGroup{name}" for name in GROUPS.values()} <= published


def test_linked_data_tells_sizes_only(filled: Shop, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="take the table sizes"):
        export_table(filled.path, "rulings", "jsonld", tmp_path / "x.jsonld")
    assert not (tmp_path / "x.jsonld").exists()


# ---- Parquet and JSON Lines: DuckDB ---------------------------------------------------------------------------------


@pytest.mark.parametrize("table", TABLES)
def test_parquet_and_json_lines_say_the_same_to_duckdb(filled: Shop, tmp_path: Path, table: str) -> None:
    counts = [export_table(filled.path, table, form, tmp_path / f"x.{form}") for form in ("parquet", "jsonl")]
    assert counts[0] == counts[1]
    if not counts[0]:
        return
    both = [
        duckdb.sql(f"SELECT * FROM '{tmp_path / 'x.parquet'}'"),
        duckdb.sql(f"SELECT * FROM read_json('{tmp_path / 'x.jsonl'}', format = 'newline_delimited')"),
    ]
    assert both[0].columns == both[1].columns
    as_text = [
        [[None if v is None else str(v).removesuffix(".0") for v in row] for row in told.fetchall()] for told in both
    ]
    numbers = [
        at for at, kind in enumerate(both[0].types) if str(kind).startswith("DECIMAL")
    ]  # fmt: skip
    for one, two in zip(*as_text, strict=True):
        for at in numbers:
            assert (one[at] is None) == (two[at] is None)
            assert one[at] is None or Decimal(one[at]) == Decimal(two[at])
        assert [v for at, v in enumerate(one) if at not in numbers] == [
            v for at, v in enumerate(two) if at not in numbers
        ]


def test_parquet_tells_units_in_the_field_and_in_the_file(filled: Shop, tmp_path: Path) -> None:
    file = tmp_path / "x.parquet"
    export_table(filled.path, "figures", "parquet", file)
    field = pq.read_schema(file).field("length_nm").metadata
    assert (field[b"unit"], b"exact" in field[b"description"]) == (b"nm", True)
    sql = f"SELECT decode(value) FROM parquet_kv_metadata('{file}') WHERE decode(key) = 'halfinch'"
    ((told,),) = duckdb.sql(sql).fetchall()
    columns = json.loads(told)["columns"]
    assert {columns[name]["unit"] for name in ("inches", "half_inch", "tolerance", "at_inches")} == {"in"}
    assert columns["raw"]["unit"] == ""


# ---- workbook: calamine ---------------------------------------------------------------------------------------------


def test_a_workbook_holds_exact_numbers_and_shows_fractions(filled: Shop, tmp_path: Path) -> None:
    file = tmp_path / "x.xlsx"
    export_table(filled.path, "figures", "xlsx", file)
    book = CalamineWorkbook.from_path(str(file))
    assert book.sheet_names == ["halfinch", "columns"]
    head, *rows = book.get_sheet_by_name("halfinch").to_python()
    known = filled.ask("SELECT place, inches, half_inch FROM current_figures")
    at = [head.index(name) for name in ("place", "inches", "half_inch")]
    told = sorted((row[at[0]], row[at[1]], row[at[2]]) for row in rows)
    assert told == sorted((place, float(inches), float(half)) for place, inches, half in known)
    explained = {row[0]: row[1] for row in book.get_sheet_by_name("columns").to_python()[1:]}
    assert list(explained) == list(head)
    assert explained["inches"] == "in"


SHOWN = [
    pytest.param("9.75", "# ?/?", id="quarters"),
    pytest.param("22", "# ?/?", id="whole"),
    pytest.param("28.8125", "# ??/??", id="sixteenths"),
    pytest.param("32.086614", "0.00", id="from-centimetres"),
    pytest.param("29.1", "0.00", id="decimal-inches"),
]


@pytest.mark.parametrize(("inches", "shown"), SHOWN)
def test_inches_are_shown_as_the_trade_reads_them(filled: Shop, tmp_path: Path, inches: str, shown: str) -> None:
    export_table(filled.path, "figures", "xlsx", tmp_path / "x.xlsx")
    page = load_workbook(tmp_path / "x.xlsx").worksheets[0]
    formats = {cell.number_format for cell in page["I"] if cell.value == pytest.approx(float(inches), abs=1e-9)}
    assert formats == {shown}
    assert {cell.number_format for cell in page["K"][1:]} == {"0.0"}


# ---- coming back -----------------------------------------------------------------------------------------------------


def test_figures_of_a_package_come_back_with_their_status(filled: Shop, tmp_path: Path) -> None:
    export_table(filled.path, "figures", "datapackage", tmp_path / "shop.zip")
    (tmp_path / "other").mkdir()
    other = Shop(tmp_path / "other")
    with zipfile.ZipFile(tmp_path / "shop.zip") as archive:
        for name in archive.namelist():
            results = recognise(archive.read(name), name, STAMP.usual_tolerance)
            assert results is not None, name
            assert [result.outcome for result in results] == (
                ["read", "read"] if name == "figures.csv" else ["nothing"]
            ), name
            other.land(*results)
    told = "sheet, size, length, point, length_nm, length_to_nm, status, basis, raw, place, size_scope, length_scope"
    every = f"SELECT {told} FROM current_figures ORDER BY ALL"
    assert other.ask(every) == filled.ask(every)
    sizes = "SELECT size, length, inseam, inseam_status, waist FROM sizes ORDER BY ALL"
    assert other.ask(sizes) == filled.ask(sizes)


@pytest.mark.parametrize("indent", [None, 2], ids=["as-written", "saved-anew"])
def test_linked_data_of_ours_gives_no_figures(filled: Shop, tmp_path: Path, indent: int | None) -> None:
    """Else what was assumed would come back as stated."""
    export_table(filled.path, "sizes", "jsonld", tmp_path / "x.jsonld")
    again = json.dumps(json.loads((tmp_path / "x.jsonld").read_text(encoding="utf-8")), indent=indent)
    (result,) = recognise(again.encode(), "x.jsonld") or []
    assert (result.outcome, result.figures) == ("nothing", ())
    assert "import the export of figures" in result.message


# ---- no room ---------------------------------------------------------------------------------------------------------


class Full(io.BytesIO):
    """A disk that is full after so many bytes."""

    def __init__(self, room: int) -> None:
        super().__init__()
        self.room = room

    def write(self, data: Any) -> int:
        if self.tell() + len(bytes(data)) > self.room:
            raise OSError(28, "No space left on device")
        return super().write(data)


@pytest.mark.parametrize("form", list(WRITERS))
@pytest.mark.parametrize("room", [0, 300])
def test_a_writer_tells_a_full_disk_as_the_system_does(form: str, room: int) -> None:
    table = Table("sizes", "", SIZES.columns)
    row = tuple("x" * 40 if column.type == "VARCHAR" else None for column in SIZES.columns)
    if form == "jsonld":
        pytest.skip("its rows are those of products: told below through a whole export")
    with pytest.raises(OSError, match="No space left"):
        WRITERS[form](Full(room), table, iter([[row] * 50]))


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs the device that is always full")
@pytest.mark.parametrize("form", FORMATS)
def test_a_full_device_is_one_sentence(filled: Shop, form: str) -> None:
    with pytest.raises(CatalogueError, match=r"^/dev/full cannot be written \(No space left on device\)"):
        export_table(filled.path, "sizes" if form == "jsonld" else "figures", form, Path("/dev/full"))


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="for root every folder can be written")
def test_a_folder_that_may_not_be_written_is_one_sentence(filled: Shop, tmp_path: Path) -> None:
    shut = tmp_path / "shut"
    shut.mkdir(mode=0o500)
    with pytest.raises(CatalogueError, match="cannot be written"):
        export_table(filled.path, "figures", "csv", shut / "x.csv")
    assert list(shut.iterdir()) == []
