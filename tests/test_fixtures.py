"""Every figure of every fixture, and that there are enough of them, of enough kinds."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from halfinch import knowledge, work
from halfinch.check import check_fixture, find_fixtures, read_expectations
from halfinch.check.folder import Fixture
from halfinch.figure import SheetResult

FOLDER = Path(__file__).parents[1] / "fixtures"
FIXTURES = find_fixtures([FOLDER])
KINDS = {"pdf": "pdf", "html": "html", "mhtml": "html", "csv": "delimited", "tsv": "delimited", "gz": "delimited"}
KINDS |= {"xlsx": "workbook", "xls": "workbook", "ods": "workbook"}


def read(data: bytes, name: str) -> list[SheetResult]:
    return work.read_sheet(data, name, knowledge.load())


@pytest.mark.parametrize("fixture", [pytest.param(fixture, id=fixture.name) for fixture in FIXTURES])
def test_every_expected_figure(fixture: Fixture) -> None:
    check = check_fixture(fixture, read)
    assert not check.differences, "\n".join(f"{d.kind}: {d.message}" for d in check.differences[:20])


def test_there_are_enough_fixtures_of_every_kind() -> None:
    rows = {fixture.name: read_expectations(fixture.expected) for fixture in FIXTURES}
    merchants = {fixture.path.parent.name for fixture in FIXTURES}
    kinds = Counter(KINDS.get(name.rsplit(".")[-1], "container") for name in rows)
    values = sum(row.expect == "value" for expected in rows.values() for row in expected)
    holding = sum(any(row.expect == "hold" for row in expected) for expected in rows.values())
    empty = sum(all(row.expect == "nothing" for row in expected) for expected in rows.values())
    assert len(rows) >= 60
    assert len(merchants) >= 12
    assert values >= 3000
    assert holding >= 15
    assert empty >= 10
    assert min(kinds[kind] for kind in ("pdf", "html", "delimited", "workbook")) >= 14


def test_every_held_figure_says_why() -> None:
    rows = [(fixture.name, row) for fixture in FIXTURES for row in read_expectations(fixture.expected)]
    assert [name for name, row in rows if row.expect != "value" and not row.because] == []


def test_expected_inches_are_multiples_a_merchant_prints() -> None:
    """Every expected figure is a whole number of 1/64 in or of 0.1 mm, full or doubled: no float noise in the files."""
    for fixture in FIXTURES:
        for row in read_expectations(fixture.expected):
            if row.inches is not None:
                near_64th = abs(row.inches * 64 - round(row.inches * 64))
                tenth_mm = row.inches * 254
                assert near_64th == 0 or abs(tenth_mm - round(tenth_mm)) < 1e-3, (fixture.name, row)
