"""Queries: only what asks is run, nothing beside the catalogue is reached, what does not end is stopped."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from invented import Shop, figure, sheet

from halfinch.catalogue import store
from halfinch.catalogue.asking import Limits, answer_table, ask, once_each
from halfinch.errors import CatalogueError, HalfinchError, UsageError

QUICK = Limits(seconds=30, memory=2**30)

REFUSED = [
    pytest.param("INSERT INTO sources VALUES ('a', 'b')", "only asks", id="inserts"),
    pytest.param("DELETE FROM figures", "only asks", id="deletes"),
    pytest.param("DELETE FROM figures RETURNING *", "only asks", id="deletes and shows"),
    pytest.param("WITH gone AS (SELECT 1) UPDATE figures SET raw = ''", "only asks", id="updates behind a WITH"),
    pytest.param("DROP TABLE figures", "only asks", id="drops"),
    pytest.param("CREATE TEMP TABLE x AS SELECT 1", "only asks", id="makes a table for itself"),
    pytest.param("COPY figures TO 'out.csv'", "only asks", id="writes a file"),
    pytest.param("EXPORT DATABASE 'out'", "only asks", id="exports"),
    pytest.param("ATTACH 'other.duckdb'", "only asks", id="opens another database"),
    pytest.param("SET enable_external_access = true", "only asks", id="unlocks"),
    pytest.param("PRAGMA enable_external_access", "only asks", id="a pragma"),
    pytest.param("INSTALL httpfs", "only asks", id="installs"),
    pytest.param("CALL pragma_version()", "only asks", id="calls"),
    pytest.param("EXPLAIN ANALYZE DELETE FROM figures", "cannot be answered", id="explains by doing"),
    pytest.param("SELECT * FROM read_text('/etc/passwd')", "no file, no network", id="reads a file"),
    pytest.param(
        "SELECT * FROM read_csv('https://example.org/a.csv')", "no file, no network", id="reaches the network"
    ),
    pytest.param("SELECT * FROM glob('/*')", "no file, no network", id="lists a folder"),
    pytest.param("SELECT * FROM 'figures.parquet'", "no file, no network", id="a file's name for a table"),
    pytest.param("SELECT * FROM query('SELECT * FROM ''a.csv''')", "no file, no network", id="hidden in a query"),
    pytest.param("SELECT * FROM QUICK", "cannot be answered", id="a variable of the program"),
    pytest.param("SELECT inseem FROM sizes", 'Candidate bindings: "inseam"', id="a column mistyped"),
    pytest.param("SELEC 1", "not SQL", id="no SQL"),
    pytest.param("SELECT 1; DROP TABLE figures", "2 statements", id="two statements"),
    pytest.param("  -- nothing", "is empty", id="empty"),
]


@pytest.mark.parametrize(("sql", "sentence"), REFUSED)
def test_what_does_not_ask_the_catalogue_is_refused_in_one_sentence(shop: Shop, sql: str, sentence: str) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    before = shop.path.read_bytes()
    with pytest.raises(HalfinchError) as caught:
        answer_table(shop.path, sql)
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)
    assert shop.path.read_bytes() == before
    assert sorted(path.name for path in shop.path.parent.iterdir()) == ["shop.duckdb", "shop.duckdb.lock"]


def test_a_view_of_a_foreign_hand_reaches_no_file(shop: Shop) -> None:
    """Not only queries: nothing that reads the catalogue follows what its views say."""
    with store.writing(shop.path) as connection:
        connection.execute("CREATE TABLE t (a VARCHAR)")
    for sql in ("CREATE VIEW odd AS SELECT * FROM read_text('/etc/hostname')", "COPY t TO 'out.csv'"):
        with pytest.raises(Exception, match="disabled by configuration"), store.writing(shop.path) as connection:
            connection.execute(sql)


def asked(path: Path, sql: str, limits: Limits = QUICK) -> list[dict[str, object]]:
    with ask(path, sql, limits) as (_, batches):
        return [row for batch in batches for row in batch.to_pylist()]


def test_an_answer_comes_whole_in_batches(shop: Shop) -> None:
    shop.land(sheet("a.csv", *(figure("inseam", 20 + i / 8, str(i)) for i in range(50))))
    rows = asked(shop.path, "SELECT a.size FROM figures a, figures b, figures c")
    assert len(rows) == 50**3
    assert asked(shop.path, "SELECT status::ENUM('accepted', 'held') AS s, 1 AS s FROM figures LIMIT 1") == [
        {"s": "accepted", "s_2": 1}
    ]
    assert asked(shop.path, "PIVOT figures ON point USING count(*) GROUP BY status")[0]["inseam"] == 50


@pytest.mark.parametrize(
    "sql",
    [
        pytest.param("SELECT sum(a.range * b.range) FROM range(1000000000) a, range(1000000000) b", id="a product"),
        pytest.param(
            "WITH RECURSIVE r AS (SELECT 1 AS n UNION ALL SELECT n FROM r) SELECT count(*) FROM r", id="a loop"
        ),
        pytest.param("SELECT * FROM range(100000000000)", id="rows without end"),
    ],
)
def test_what_does_not_end_is_stopped(shop: Shop, sql: str) -> None:
    began = time.monotonic()
    with pytest.raises(CatalogueError, match="stopped after 1 s"):
        asked(shop.path, sql, Limits(seconds=1, memory=2**30))
    with pytest.raises(CatalogueError, match=r"stopped after 0\.5 s"):
        answer_table(shop.path, sql, seconds=0.5)
    assert time.monotonic() - began < 20
    shop.land(sheet("a.csv", figure("inseam", 29)))  # nobody holds the file any more


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="only Linux holds a process to its memory")
def test_what_takes_all_memory_is_stopped(shop: Shop) -> None:
    with pytest.raises(CatalogueError, match="more memory"):
        asked(shop.path, "SELECT list_sum(range(2000000000))")


def test_rows_without_end_are_stopped_however_slowly_they_are_taken(shop: Shop) -> None:
    def take_slowly() -> None:
        sql = "SELECT * FROM range(100000000000)"
        with ask(shop.path, sql, Limits(seconds=4, memory=2**30)) as (schema, batches):
            assert schema.names == ["range"]
            for _ in batches:
                time.sleep(0.1)

    with pytest.raises(CatalogueError, match="stopped after 4 s"):
        take_slowly()


def test_who_leaves_early_leaves_nobody_behind(shop: Shop) -> None:
    with ask(shop.path, "SELECT * FROM range(10000000000)", QUICK) as (_, batches):
        assert next(batches).num_rows
    shop.land(sheet("a.csv", figure("inseam", 29)))


def test_parameters_are_values_and_nothing_else(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))
    sql = "SELECT raw FROM figures WHERE merchant = ?"
    assert answer_table(shop.path, sql, ["Aldersgate"]).to_pylist() == [{"raw": "29"}]
    assert answer_table(shop.path, sql, ["' OR TRUE --"]).num_rows == 0


def test_names_once_each() -> None:
    assert once_each(["a", "b", "a", "a", "a_2"]) == ["a", "b", "a_2", "a_3", "a_2_2"]


def test_no_catalogue_no_answer(tmp_path: Path) -> None:
    with pytest.raises(CatalogueError, match="no catalogue at"):
        asked(tmp_path / "no.duckdb", "SELECT 1")
    assert os.listdir(tmp_path) == []


def test_a_query_is_told_from_a_mistake_in_it(shop: Shop) -> None:
    with pytest.raises(UsageError):
        answer_table(shop.path, "SELECT")
    with pytest.raises(CatalogueError):
        answer_table(shop.path, "SELECT 'a'::INTEGER")
