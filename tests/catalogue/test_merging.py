"""Two catalogues become one: what both have is one, what one has comes along, nobody's sheet is lost unasked."""

from __future__ import annotations

import shutil
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from invented import STAMP, Shop, figure, sheet

from halfinch.catalogue.changes import compare, telling_at
from halfinch.catalogue.identity import Stamp, sheet_digest
from halfinch.catalogue.kept_sheets import fetch, keep
from halfinch.catalogue.merging import Receipt, merge, settle
from halfinch.catalogue.rulings import rule, undo
from halfinch.catalogue.store import reading
from halfinch.catalogue.tapes import Taped, add_taped
from halfinch.errors import CatalogueError, UsageError
from halfinch.figure import Garment

SLIM = Garment("g", merchant="Brackley", style="Slim")


@pytest.fixture
def other(tmp_path: Path, empty_catalogue: Path) -> Shop:
    made = Shop(tmp_path, "other.duckdb")
    shutil.copyfile(empty_catalogue, made.path)
    return made


def told(shop: Shop) -> list[Any]:
    """What a catalogue says, without the order in which it came."""
    return [
        shop.ask(f"FROM {name} ORDER BY ALL")
        for name in ("sizes", "current_figures", "current_sheets", "current_garments", "rulings", "taped", "receipts")
    ]


def test_sheets_of_both_come_together(shop: Shop, other: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    other.land(sheet("b.csv", figure("inseam", 30), garments=(SLIM,)))
    merged = merge(shop.path, other.path)
    assert (merged.sheets, merged.readings, merged.figures) == (1, 1, 1)
    assert shop.ask("SELECT style, inseam FROM sizes ORDER BY ALL") == [("Slim", Decimal(30)), ("Wide", Decimal(29))]
    assert other.ask("SELECT count(*) FROM sizes") == [(1,)]
    before = told(shop)
    again = merge(shop.path, other.path)
    assert (again.sheets, again.readings, again.figures, again.rulings, again.taped) == (0, 0, 0, 0, 0)
    assert told(shop) == before


def fill(one: Shop, two: Shop) -> None:
    one.land(sheet("a.csv", figure("inseam", 29), figure("hip", 3, status="held")))
    two.land(sheet("a.csv", figure("inseam", 29), figure("hip", 3, status="held")))
    two.land(sheet("b.csv", figure("inseam", 30), garments=(SLIM,)))
    ((held,),) = one.ask("SELECT figure_id FROM figures WHERE status = 'held'")
    rule(two.path, held, "should be", inches=Decimal(38), by="her", why="taped it")
    ((garment, size),) = two.ask("SELECT garment_id, size FROM sizes WHERE style = 'Slim'")
    add_taped(two.path, Taped(garment, size, "", {"inseam": Decimal("30.25")}, "unwashed", "", "her", ""))


def test_rulings_and_taped_pairs_come_too(shop: Shop, other: Shop) -> None:
    fill(shop, other)
    merged = merge(shop.path, other.path)
    assert (merged.rulings, merged.taped, merged.sheets) == (1, 1, 1)
    assert shop.ask("SELECT inches, status, basis FROM current_figures WHERE point = 'hip'") == [
        (Decimal(38), "accepted", "ruled")
    ]
    ((ruling,),) = shop.ask("SELECT ruling_id FROM rulings")
    undo(shop.path, ruling, by="him")
    assert shop.ask("SELECT inches, status FROM current_figures WHERE point = 'hip'") == [(Decimal(3), "held")]


def test_into_either_is_the_same(shop: Shop, other: Shop, tmp_path: Path) -> None:
    fill(shop, other)
    first, second = Shop(tmp_path, "first.duckdb"), Shop(tmp_path, "second.duckdb")
    shutil.copyfile(shop.path, first.path)
    shutil.copyfile(other.path, second.path)
    merge(first.path, other.path)
    merge(second.path, shop.path)
    with reading(first.path) as one, reading(second.path) as two:
        diff = compare(telling_at(one, ""), telling_at(two, ""))
    assert diff.garments == ()
    assert diff.alike == 2
    for sql in (
        "FROM sizes ORDER BY ALL",
        "FROM rulings ORDER BY ALL",
        "SELECT source, sheet_id FROM receipts ORDER BY ALL",
    ):
        assert first.ask(sql) == second.ask(sql)


def test_another_reading_of_the_same_sheet_is_in_force_when_it_is_later(shop: Shop, other: Shop) -> None:
    other.land(sheet("a.csv", figure("inseam", 29)))
    same = sheet("a.csv", figure("inseam", 29))
    shop.land(same, stamp=Stamp("0.0.9", "older", "", STAMP.usual_tolerance))
    merge(shop.path, other.path)
    ((readings, current),) = shop.ask("SELECT (SELECT count(*) FROM readings), program FROM current_readings")
    assert (readings, current) == (2, "0.0.9")  # read after the other's
    merge(other.path, shop.path)
    assert other.ask("SELECT program FROM current_readings") == [("0.0.9",)]


def test_two_sheets_at_one_source_are_not_settled_unasked(shop: Shop, other: Shop) -> None:
    other.land(sheet("a.csv", figure("inseam", 29)), source="in/a.csv")
    shop.land(sheet("a.csv", figure("inseam", 30)), source="in/a.csv")
    before = told(shop)
    with pytest.raises(UsageError, match=r"in/a\.csv.*--newer.*--under"):
        merge(shop.path, other.path)
    assert told(shop) == before
    assert merge(shop.path, other.path, newer=True).kept == ("in/a.csv",)
    assert shop.sizes("inseam") == {("8", ""): (30.0,)}
    assert merge(other.path, shop.path, newer=True).taken_over == ("in/a.csv",)
    assert other.sizes("inseam") == {("8", ""): (30.0,)}


def test_the_version_that_one_has_seen_replaced_is_the_older(shop: Shop, other: Shop) -> None:
    old, new = sheet("a.csv", figure("inseam", 29)), sheet("a.csv", figure("inseam", 30))
    other.land(old, source="a.csv")
    other.land(new, source="a.csv")
    shop.land(old, source="a.csv")
    assert merge(shop.path, other.path).taken_over == ("a.csv",)
    assert shop.sizes("inseam") == {("8", ""): (30.0,)}
    assert shop.ask("SELECT count(*) FROM receipts WHERE seen_to IS NULL") == [(1,)]


def test_under_a_name_both_stay_and_strangers_are_not_one(shop: Shop, other: Shop) -> None:
    """Garments whom nothing but their source names would bear one name."""
    nameless = Garment("g")
    shop.land(sheet("a.csv", figure("inseam", 29), garments=(nameless,)), source="a.csv")
    other.land(sheet("a.csv", figure("inseam", 31), garments=(nameless,)), source="a.csv")
    merge(shop.path, other.path, under="shop two")
    rows = shop.ask("SELECT inseam FROM sizes ORDER BY ALL")
    assert rows == [(Decimal(29),), (Decimal(31),)]
    assert shop.ask("SELECT source FROM receipts ORDER BY ALL") == [("a.csv",), ("shop two/a.csv",)]
    merge(shop.path, other.path, under="shop two")
    assert shop.ask("SELECT count(*) FROM sizes") == [(2,)]


def test_sheets_that_differ_are_told_of(shop: Shop, other: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    other.land(sheet("b.csv", figure("inseam", 31)))
    merge(shop.path, other.path)
    assert shop.sizes("inseam") == {("8", ""): (None,)}
    assert shop.ask("SELECT count(*) FROM current_findings WHERE rule = 'sheets_differ'") == [(2,)]


def test_kept_bytes_come_along(shop: Shop, other: Shop) -> None:
    for data in (b"one sheet", b"another"):
        keep(other.path, sheet_digest(data), data)
    merge(shop.path, other.path)
    assert fetch(shop.path, sheet_digest(b"one sheet")) == b"one sheet"
    assert fetch(shop.path, sheet_digest(b"another")) == b"another"


def test_what_is_no_catalogue_is_refused(shop: Shop, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="is the catalogue itself"):
        merge(shop.path, shop.path)
    with pytest.raises(CatalogueError, match="no catalogue"):
        merge(shop.path, tmp_path / "no.duckdb")
    (tmp_path / "notes.txt").write_text("no catalogue")
    with pytest.raises(CatalogueError, match="not a DuckDB file"):
        merge(shop.path, tmp_path / "notes.txt")


DAY = datetime(2026, 1, 1)


def at(sheet_id: str, start: int, end: int | None = None) -> Receipt:
    return ("a.csv", sheet_id, DAY + timedelta(start), None if end is None else DAY + timedelta(end))


@pytest.mark.parametrize(
    ("ours", "theirs", "in_force", "over"),
    [
        pytest.param([at("A", 1)], [at("A", 3)], "A", 0, id="the same sheet"),
        pytest.param([at("A", 1)], [at("A", 1, 2), at("B", 2)], "B", 1, id="theirs replaced ours"),
        pytest.param([at("A", 1, 2), at("B", 2)], [at("A", 9)], "B", 0, id="ours replaced theirs, which came later"),
        pytest.param([at("A", 1, 5)], [at("B", 2)], "B", 0, id="ours is gone already"),
        pytest.param([at("A", 1, 5), at("B", 5)], [at("B", 1, 5), at("A", 5)], None, 0, id="each replaced the other"),
        pytest.param([at("A", 1)], [at("B", 1)], None, 0, id="nobody knows"),
    ],
)
def test_which_of_two_sheets_is_in_force(
    ours: list[Receipt], theirs: list[Receipt], in_force: str | None, over: int
) -> None:
    if in_force is None:
        with pytest.raises(UsageError):
            settle(ours, theirs)
        receipts, _, _ = settle(ours, theirs, newer=True)
        assert sum(receipt[3] is None for receipt in receipts) == 1
        return
    receipts, taken, _ = settle(ours, theirs)
    assert [receipt[1] for receipt in receipts if receipt[3] is None] == [in_force]
    assert len(taken) == over
