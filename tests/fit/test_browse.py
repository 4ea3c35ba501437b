"""Pages of the catalogue: what a plain look at every row would show, in its order."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from bodies import KNOWLEDGE, PETITE, body
from tests.bench.many_sizes import make_sizes

from halfinch.catalogue import store
from halfinch.errors import UsageError
from halfinch.fit import browse
from halfinch.fit.body import Band, Body, Shoe
from halfinch.fit.browse import BEST, FITS, Page, Wanted, browse_judged, browse_keys, browse_sizes, find_page
from halfinch.fit.garment import size_from_row
from halfinch.fit.kinds import KeptClasses
from halfinch.fit.planning import make_plan
from halfinch.fit.rank import Judging, judge_rows
from halfinch.fit.sizes import Sizes, open_sizes

WEARER = body(PETITE)
Row = dict[str, Any]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shop") / "shop.duckdb"
    make_sizes(path, 3000)
    return path


@pytest.fixture
def sizes(shop: Path) -> Iterator[Sizes]:
    with open_sizes(shop, KNOWLEDGE) as opened:
        yield opened


@pytest.fixture(scope="module")
def rows(shop: Path) -> list[Row]:
    """Every row, each with the verdict and silhouette of its plan."""
    with open_sizes(shop, KNOWLEDGE) as opened:
        frame = opened.fetch_where("TRUE")
    told = []
    for row in frame.astype(object).where(frame.notna(), None).to_dict("records"):
        plan = make_plan(size_from_row(row), WEARER, KNOWLEDGE, weigh=False)
        told.append({**row, "verdict": plan.verdict, "shape": plan.silhouette})
    return told


def key(row: Any) -> tuple[str, str, str]:
    return row["garment_id"], row["size"], row["length"]


def by_key(rows: list[Row], page: Page) -> list[Row]:
    of = {key(row): row for row in rows}
    return [of[key(row)] for row in page.rows]


def between(row: Row, point: str, low: float, high: float) -> bool:
    value, upto = row[point], row[f"{point}_to"]
    return value is not None and float(value) <= high and float(upto if upto is not None else value) >= low


CASES: list[tuple[str, Wanted, Callable[[Row], bool]]] = [
    ("everything", Wanted(), lambda row: True),
    ("a range, its ends inside, touched by printed ranges", Wanted(ranges={"inseam": (29.75, 31)}),
     lambda row: between(row, "inseam", 29.75, 31)),
    ("a range open at one end, and another", Wanted(ranges={"leg_opening": (20, None), "hip": (None, 44)}),
     lambda row: between(row, "leg_opening", 20, 999) and between(row, "hip", 0, 44)),
    ("words", Wanted(words={"length": ["petite", "tall"], "state": ["washed"]}),
     lambda row: row["length"] in ("petite", "tall") and row["state"] == "washed"),
    ("a price", Wanted(price=(50, 90)), lambda row: 50 <= row["price"] <= 90),
    ("a status", Wanted(statuses={"hip": [""]}), lambda row: row["hip_status"] == ""),
    ("part of a name, in any case, in any order", Wanted(text="1 STYLE"),
     lambda row: "1" in f"{row['merchant']} {row['style']}"),
    ("a silhouette, said or told by the figures", Wanted(silhouettes=["wide", "flare"]),
     lambda row: row["shape"] in ("wide", "flare")),
    ("nothing", Wanted(words={"merchant": []}), lambda row: False),
]  # fmt: skip
"""What is asked, and the same as a test on one row."""


@pytest.mark.parametrize(("wanted", "holds"), [pytest.param(w, h, id=name) for name, w, h in CASES])
def test_filters(sizes: Sizes, rows: list[Row], wanted: Wanted, holds: Callable[[Row], bool]) -> None:
    meant = [row for row in rows if holds(row)]
    page = find_page(sizes, wanted, KNOWLEDGE, limit=5000)
    assert Counter(map(key, page.rows)) == Counter(map(key, meant))
    assert page.count == len(meant)
    assert page.verdicts == {}
    judged = find_page(sizes, wanted, KNOWLEDGE, body=WEARER, limit=5000)
    assert Counter(map(key, judged.rows)) == Counter(map(key, meant))
    assert judged.verdicts == Counter(row["verdict"] for row in meant)


VERDICTS = [FITS, ("near miss",), ("near miss", "not known"), ("no",), ("fits with a hem", "no")]


@pytest.mark.parametrize("verdicts", VERDICTS, ids=[", ".join(verdicts) for verdicts in VERDICTS])
@pytest.mark.parametrize("order", [(), ("price", "-hip"), ("-cut",), ("distance", "size")], ids=str)
def test_matches_a_body(sizes: Sizes, rows: list[Row], verdicts: tuple[str, ...], order: tuple[str, ...]) -> None:
    meant = [row for row in rows if row["verdict"] in verdicts and row["length"] != "tall"]
    wanted = Wanted(words={"length": ["petite", "regular"]}, verdicts=verdicts)
    page = find_page(sizes, wanted, KNOWLEDGE, body=WEARER, order=order, limit=5000)
    assert Counter(map(key, page.rows)) == Counter(map(key, meant))
    assert page.verdicts == Counter(row["verdict"] for row in meant)
    assert page.count == len(meant)
    assert [row["verdict"] for row in by_key(rows, page)] == [plan.verdict for plan in page.plans]


def number(value: Any) -> float:
    return math.inf if value is None else float(value)


ORDERS: list[tuple[tuple[str, ...], Callable[[Row], Any]]] = [
    (("price", "inseam"), lambda row: (row["price"], number(row["inseam"]))),
    (("-leg_opening",), lambda row: number(None if row["leg_opening"] is None else -row["leg_opening"])),
    (("silhouette", "size"), lambda row: (row["silhouette"] == "", row["silhouette"], float(row["size"]))),
    ((), lambda row: (row["merchant"], row["style"])),
]


@pytest.mark.parametrize(("order", "by"), ORDERS, ids=[", ".join(order) or "usual" for order, _ in ORDERS])
def test_orders_with_what_is_not_told_last(sizes: Sizes, order: tuple[str, ...], by: Callable[[Row], Any]) -> None:
    page = find_page(sizes, Wanted(), KNOWLEDGE, order=order, limit=5000)
    keys = [by(dict(row)) for row in page.rows]
    assert keys == sorted(keys)


@pytest.mark.parametrize(
    ("wanted", "order", "wearer"),
    [
        pytest.param(Wanted(), ("price",), WEARER, id="own order, many equal"),
        pytest.param(Wanted(), ("fabric", "-size", "back_rise"), None, id="own order, some not told"),
        pytest.param(Wanted(words={"length": ["tall"]}), ("currency", "style"), None, id="all alike at first"),
        pytest.param(Wanted(), (BEST,), WEARER, id="best of all, past what the bounds leave"),
        pytest.param(Wanted(verdicts=("near miss",)), ("silhouette",), WEARER, id="one verdict"),
        pytest.param(Wanted(silhouettes=("straight",)), ("-finished",), WEARER, id="a silhouette by finished inseam"),
    ],
)
def test_pages_make_up_the_whole(
    sizes: Sizes, wanted: Wanted, order: tuple[str, ...], wearer: Body | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(browse, "DEEP", 700)  # the first page is sorted, the others are counted
    whole = find_page(sizes, wanted, KNOWLEDGE, body=wearer, order=order, limit=5000)
    pages: list[Page] = []
    while not pages or pages[-1].rows:
        at = sum(len(page.rows) for page in pages)
        pages.append(find_page(sizes, wanted, KNOWLEDGE, body=wearer, order=order, offset=at, limit=700))
    assert [key(row) for page in pages for row in page.rows] == [key(row) for row in whole.rows]
    assert {page.count for page in pages} == {whole.count}
    assert all(page.verdicts == whole.verdicts for page in pages)


def test_what_is_kept_of_one_wearer_is_no_others(tmp_path: Path) -> None:
    path, kept = tmp_path / "shop.duckdb", KeptClasses()
    make_sizes(path, 400)
    shod = replace(WEARER, shoes=(Shoe("plateaus", Band(3, 3)), *WEARER.shoes))
    wearers = [WEARER, shod, replace(WEARER, hip=40.0), WEARER]

    def check() -> None:
        for wearer in wearers:
            fresh = browse_sizes(path, Wanted(), KNOWLEDGE, body=wearer, limit=30)
            again = browse_sizes(path, Wanted(), KNOWLEDGE, body=wearer, limit=30, kept=kept)
            assert again == fresh

    check()
    with store.writing(path, "test") as connection:
        connection.execute("UPDATE kinds SET silhouette = 'wide', fabric = '98% cotton, 2% elastane'")
    check()


def test_best_first_is_the_order_of_match(sizes: Sizes) -> None:
    page = find_page(sizes, Wanted(), KNOWLEDGE, body=WEARER, limit=5000)
    ranked = judge_rows(Judging(sizes, WEARER, KNOWLEDGE))
    places = [KNOWLEDGE.verdict.ranking.index(plan.verdict) for plan in page.plans]
    assert places == sorted(places)
    assert len(places) == len(ranked)


def test_by_path(shop: Path) -> None:
    page = browse_sizes(shop, Wanted(), KNOWLEDGE, limit=2)
    assert (page.count, len(page.rows)) == (3024, 2)
    assert page.rows[0]["back_rise_to"] is None


@pytest.mark.parametrize(
    ("wanted", "order", "says"),
    [
        pytest.param(Wanted(ranges={"waist; DROP TABLE x": (1, 2)}), (), "not a point", id="point"),
        pytest.param(Wanted(words={"url": ["x"]}), (), "not a column of words", id="column"),
        pytest.param(Wanted(silhouettes=["bells"]), (), "not a silhouette", id="silhouette"),
        pytest.param(Wanted(verdicts=["perhaps"]), (), "not a verdict", id="verdict"),
        pytest.param(Wanted(), ("random()",), "not a column to order by", id="order"),
        pytest.param(Wanted(), ("best",), "not a column to order by", id="best without a body"),
        pytest.param(Wanted(verdicts=FITS), (), "verdicts need a body", id="verdicts without a body"),
    ],
)
def test_what_is_not_there_is_refused(sizes: Sizes, wanted: Wanted, order: tuple[str, ...], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        find_page(sizes, wanted, KNOWLEDGE, order=order)


def test_values_are_never_sql(sizes: Sizes) -> None:
    odd = "' OR 1=1 --"
    assert find_page(sizes, Wanted(text=odd), KNOWLEDGE).count == 0
    assert find_page(sizes, Wanted(words={"merchant": [odd]}), KNOWLEDGE).count == 0


@pytest.mark.parametrize(
    ("wanted", "wearer", "order"),
    [
        pytest.param(Wanted(ranges={"inseam": (29, 31)}), None, (), id="a-range"),
        pytest.param(Wanted(silhouettes=("wide",), words={"length": ["petite"]}), None, ("-hip",), id="a-silhouette"),
        pytest.param(Wanted(verdicts=FITS), WEARER, (), id="what-fits"),
        pytest.param(Wanted(verdicts=("near miss",), silhouettes=("wide",)), WEARER, ("cut",), id="near-and-wide"),
        pytest.param(Wanted(ranges={"hip": (36, 40)}), WEARER, ("price", "style"), id="any-verdict"),
    ],
)
def test_keys_are_those_of_all_pages(shop: Path, wanted: Wanted, wearer: Any, order: tuple[str, ...]) -> None:
    page = browse_sizes(shop, wanted, KNOWLEDGE, body=wearer, order=order, limit=3000)
    if wearer is None:
        keys = browse_keys(shop, wanted, KNOWLEDGE, order=order)
    else:
        judged = browse_judged(shop, wanted, KNOWLEDGE, wearer, order=order)
        keys = [one.key for one in judged]
        assert [one.verdict for one in judged] == [plan.verdict for plan in page.plans]
        finished = [plan.leg.finished for plan in page.plans]
        assert [one.finished for one in judged] == [one and pytest.approx(one) for one in finished]
    assert keys == [key(row) for row in page.rows]
    assert len(keys) == page.count > 0
