"""What Python programs call: nullable frames, Arrow of DuckDB's own memory, names that type checkers know."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pandas as pd
import pyarrow as pa
import pytest

import halfinch

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "fixtures" / "demo"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> halfinch.OpenCatalogue:
    catalogue = halfinch.open_catalogue(tmp_path_factory.mktemp("shop") / "shop.duckdb")
    report = catalogue.add(DEMO / "hollin-and-thrupp")
    assert [line.outcome for line in report.lines] == ["read"]
    return catalogue


def test_frames_have_nullable_types(shop: halfinch.OpenCatalogue) -> None:
    sizes, figures = shop.sizes(), shop.figures()
    assert {str(kind) for kind in sizes.dtypes} == {"string", "Float64"}
    assert {str(kind) for kind in figures.dtypes} == {"string", "Float64", "Int64"}
    assert sizes["body_hip"].isna().all()
    assert sizes["body_hip"][0] is pd.NA
    assert (sizes["length"] == "").all()
    exact = [Decimal(int(nm)) / 25_400_000 for nm in figures["length_nm"]]
    assert figures["inches"].tolist() == [float(round(one, 6)) for one in exact]


@pytest.mark.parametrize(
    ("sql", "kind"),
    [
        pytest.param("sum(length_nm)", "Int64", id="a sum of whole numbers"),
        pytest.param("avg(inches)", "Float64", id="a mean"),
        pytest.param("max(inches)", "Float64", id="a decimal"),
        pytest.param("count(*)", "Int64", id="a count"),
        pytest.param("bool_or(unit = 'cm')", "boolean", id="yes or no"),
        pytest.param("max(raw)", "string", id="a text"),
        pytest.param("max(current_date)", "date32[day][pyarrow]", id="a day"),
        pytest.param("max(now()::TIMESTAMP)", "datetime64[us]", id="a moment"),
        pytest.param("list(DISTINCT point)", "list<l: string>[pyarrow]", id="a list"),
    ],
)
def test_types_do_not_depend_on_what_was_found(shop: halfinch.OpenCatalogue, sql: str, kind: str) -> None:
    for where in ("TRUE", "FALSE"):
        found = shop.sql(f"SELECT {sql} AS l FROM current_figures WHERE {where}")
        assert str(found["l"].dtype) == kind


def test_a_whole_number_that_does_not_fit_is_a_float(shop: halfinch.OpenCatalogue) -> None:
    assert str(shop.sql("SELECT 1e30::HUGEINT AS n")["n"].dtype) == "Float64"


def test_arrow_copies_nothing(shop: halfinch.OpenCatalogue) -> None:
    before = pa.total_allocated_bytes()
    table = shop.arrow("SELECT a.* FROM current_figures a, current_figures b")
    assert table.nbytes > 500_000
    assert pa.total_allocated_bytes() - before < 10_000
    assert table.schema.field("inches").type == pa.decimal128(12, 6)
    assert shop.arrow().num_rows == len(shop.sizes())


def test_matches_have_the_same_types_with_and_without_rows(shop: halfinch.OpenCatalogue, tmp_path: Path) -> None:
    empty = halfinch.open_catalogue(tmp_path / "empty.duckdb")
    (tmp_path / "plums.csv").write_text("name,price\nplum,3\n")
    empty.add(tmp_path / "plums.csv")
    found = [one.match(DEMO / "bodies" / "ottilie.toml") for one in (shop, empty)]
    assert len(found[0]) > 0
    assert len(found[1]) == 0
    assert found[0].dtypes.equals(found[1].dtypes)
    assert str(found[0]["chance"].dtype) == "Float64"


def test_what_goes_wrong_is_one_sentence(shop: halfinch.OpenCatalogue, tmp_path: Path) -> None:
    with pytest.raises(halfinch.HalfinchError, match="only asks"):
        shop.sql("DROP TABLE figures")
    with pytest.raises(halfinch.HalfinchError, match="stopped after"):
        shop.sql("SELECT count(*) FROM range(100000000000) a, range(1000) b", time_limit=0.2)
    (tmp_path / "notes.txt").write_text("no catalogue")
    with pytest.raises(halfinch.HalfinchError, match="not a DuckDB file"):
        halfinch.open_catalogue(tmp_path / "notes.txt")


PROGRAM = """
import halfinch
import pandas as pd
import pyarrow as pa

shop = halfinch.open_catalogue("shop.duckdb", wait=5)
frame: pd.DataFrame = shop.match(halfinch.load_body("ana.toml"), top=3)
table: pa.Table = shop.arrow()
cut: float | None = halfinch.plan_hem("31 in", finished=29.5).leg.cut
names: list[str] = [result.sheet for result in halfinch.read_sheet(b"", "a.csv")]
reveal_type(shop.add("sheets").lines[0].held)
reveal_type(shop.sizes())
halfinch.open_catalogue(3)
"""


def test_type_checkers_know_the_names(tmp_path: Path) -> None:
    """A program of somebody else's, checked strictly: the package says that it is typed (py.typed)."""
    (tmp_path / "program.py").write_text(PROGRAM)
    command = [sys.executable, "-m", "mypy", "--strict", "--config-file", str(ROOT / "pyproject.toml")]
    command += ["--cache-dir", str(ROOT / ".mypy_cache"), str(tmp_path / "program.py")]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    told = [line.split("program.py:")[1] for line in done.stdout.splitlines() if "program.py:" in line]
    assert ['"int"' in told[0], "DataFrame" in told[1], "incompatible type" in told[2]] == [True] * 3, done.stdout
    assert len(told) == 3
