"""Answers in every format, read back by libraries that are not ours."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, date, datetime, time
from decimal import Decimal

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from halfinch.present.answers import table_lines, to_json, write_csv, write_json, write_parquet

TABLE = pa.table(
    {
        "style": ["Wide, cropped", "=1+1", None, 'a "b"\nc'],
        "inches": pa.array(
            [Decimal("29.500000"), Decimal("9.750000"), None, Decimal("81.000001")], pa.decimal128(12, 6)
        ),
        "share": [0.5, float("nan"), None, 1.0],
        "sizes": [["8", "10"], [], None, ["12"]],
        "many": pa.array([Decimal(10**30), None, None, Decimal(-1)], pa.decimal128(38, 0)),
    }
)


def test_csv_reads_back() -> None:
    file = io.BytesIO()
    assert write_csv(file, TABLE.schema, TABLE.to_batches()) == 4
    text = file.getvalue().decode()
    assert text.splitlines()[0] == "style,inches,share,sizes,many"
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert rows[1] == ["Wide, cropped", "29.5", "0.5", '["8", "10"]', "1" + "0" * 30]
    assert rows[2][0] == "'=1+1"
    assert rows[3] == [""] * 5
    assert rows[4][:2] == ['a "b"\nc', "81.000001"]


def test_json_reads_back_digit_by_digit() -> None:
    file = io.BytesIO()
    assert write_json(file, TABLE.schema, TABLE.to_batches()) == 4
    rows = json.loads(file.getvalue(), parse_float=Decimal)
    assert [row["inches"] for row in rows] == [Decimal("29.5"), Decimal("9.75"), None, Decimal("81.000001")]
    assert rows[1]["style"] == "=1+1"
    assert rows[1]["share"] is None
    assert rows[0]["many"] == 10**30
    empty = io.BytesIO()
    assert write_json(empty, TABLE.schema, []) == 0
    assert json.loads(empty.getvalue()) == []


def test_parquet_reads_back_the_same() -> None:
    file = io.BytesIO()
    assert write_parquet(file, TABLE.schema, TABLE.to_batches()) == 4
    back = pq.read_table(io.BytesIO(file.getvalue()))
    assert back.schema == TABLE.schema
    assert str(back.to_pylist()) == str(TABLE.to_pylist())  # as text: nan is not equal to itself


def test_a_table_says_what_it_leaves_out() -> None:
    lines = list(table_lines(TABLE.schema, TABLE.to_batches(), 3))
    assert lines[0].split() == TABLE.schema.names
    assert lines[1].startswith("Wide, cropped    29.5")
    assert len(lines) == 5
    assert "first 3 rows" in lines[4]
    assert "first" not in "".join(table_lines(TABLE.schema, TABLE.to_batches(), 4))
    assert list(table_lines(TABLE.schema, [], 3))[1] == "(no rows)"
    assert max(len(line) for line in table_lines(pa.schema([("a", pa.string())]), _long(), 3)) == 40


def _long() -> list[pa.RecordBatch]:
    return pa.table({"a": ["x" * 500]}).to_batches()


@pytest.mark.parametrize(
    ("value", "told"),
    [
        pytest.param(Decimal("1E+3"), "1000", id="no exponent"),
        pytest.param(Decimal("NaN"), "null", id="not finite"),
        pytest.param(float("inf"), "null", id="infinite"),
        pytest.param(True, "true", id="a bool is no number"),
        pytest.param({"a": [1, None]}, '{"a": [1, null]}', id="nested"),
        pytest.param(date(2026, 1, 2), '"2026-01-02"', id="a day"),
        pytest.param(time(9, 30), '"09:30:00"', id="a time"),
        pytest.param(datetime(2026, 1, 2, 3, tzinfo=UTC), '"2026-01-02 03:00:00+00:00"', id="a moment"),
        pytest.param(b"\x00\xff", '"00ff"', id="bytes"),
        pytest.param("Größe", '"Größe"', id="as it is written"),
    ],
)
def test_values_as_json(value: object, told: str) -> None:
    assert to_json(value) == told
