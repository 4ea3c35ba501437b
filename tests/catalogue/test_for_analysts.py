"""What the catalogue itself offers analysts: macros, a row a point, meanings, a format that older clients open."""

from __future__ import annotations

import random
from typing import Any

import duckdb
import pytest
from invented import Shop, figure, sheet

from halfinch.catalogue import for_analysts, store, tables
from halfinch.catalogue.for_analysts import SAME, about_sql, all_macros
from halfinch.errors import UsageError
from halfinch.figure import Garment
from halfinch.fit import Band
from halfinch.fit.leg import SAME as FITS_SAME
from halfinch.fit.top import girth_miss
from halfinch.fit.verdict import rate_cut, rate_miss
from halfinch.knowledge import load

SLIM = Garment("s", merchant="Brackley", style="Slim", style_code="BS-2")


@pytest.fixture
def filled(shop: Shop) -> Shop:
    """Two merchants; one size lacks its hip, one figure is held."""
    ours = [
        figure(point, inches + step * number, size, length="regular")
        for number, size in enumerate(("8", "10", "12"))
        for point, inches, step in (("inseam", 29, 0), ("front_rise", 10, 0.25), ("waist", 28, 1), ("hip", 38, 1))
    ]
    theirs = [figure(point, inches, "M", garment="s") for point, inches in (("inseam", 31.5), ("waist", 29))]
    held = figure("hip", 3, "M", garment="s", status="held")
    shop.land(sheet("a.csv", *ours), sheet("b.csv", *theirs, held, garments=(SLIM,)))
    return shop


def test_a_row_a_point_is_what_sizes_says(filled: Shop) -> None:
    rows = filled.ask("SELECT style, size, point, inches, status FROM clean_figures ORDER BY ALL")
    assert len(rows) == 14
    assert ("Slim", "M", "hip") not in {row[:3] for row in rows}
    wide = filled.ask("SELECT style, size, waist FROM sizes ORDER BY ALL")
    assert [row for row in wide if row[2] is not None] == [(s, z, i) for s, z, p, i, _ in rows if p == "waist"]


def test_sizes_have_their_order(shop: Shop) -> None:
    runs = (
        ["000", "00", "0", "2", "4", "10"],
        ["XXS", "XS", "S", "M/L", "L", "xl", "XXL", "3XL"],
        ["36", "36,5", "38"],
    )
    for run in runs:
        mixed = random.Random(1).sample(run, len(run))
        (found,) = shop.ask(f"SELECT list(s ORDER BY size_rank(s)) FROM (SELECT unnest({mixed}) AS s)")[0]
        assert found == run
    assert shop.ask("SELECT size_rank('plum')") == [(None,)]


def test_grade_steps(filled: Shop) -> None:
    steps = filled.ask("""SELECT size_from, size_to, step FROM grade_steps(whose := 'aw-10') WHERE point = 'waist'""")
    assert [(a, b, float(s)) for a, b, s in steps] == [("8", "10", 1.0), ("10", "12", 1.0)]
    assert filled.ask("SELECT count(*) FROM grade_steps(whose := 'nobody')") == [(0,)]
    assert filled.ask("SELECT count(*) FROM grade_steps()") == [(8,)]


def test_the_nearest_sizes_to_a_favourite(filled: Shop) -> None:
    near = filled.ask("SELECT size, distance, points, most_apart FROM nearest_sizes('Wide', 10)")
    assert [row[0] for row in near] == ["12", "8"]
    assert near[0][1] == pytest.approx(((0**2 + 0.25**2 + 1 + 1) / 4) ** 0.5)
    assert near[0][2] == 4
    loose = filled.ask("SELECT merchant, points FROM nearest_sizes('Wide', '10', least_points := 2)")
    assert ("Brackley", 2) in loose
    typed = filled.ask("SELECT style, distance FROM sizes_near(near_inseam := 31, near_waist := 29) LIMIT 1")
    assert typed == [("Slim", pytest.approx((0.5**2 / 2) ** 0.5))]


def test_the_share_that_a_body_can_wear(filled: Shop) -> None:
    rows = filled.ask("FROM wearable_share(wearer_waist := 28, wearer_hip := 37, finished_inseam := 29)")
    assert rows == [("Aldersgate", 3, 2, 0, 0, pytest.approx(2 / 3)), ("Brackley", 1, 0, 0, 1, 0.0)]


def test_states_are_those_of_the_plain_functions(shop: Shop) -> None:
    """Random figures and bodies, limits themselves included: macro and fit say the same of every point."""
    draw = random.Random(7)
    values = {
        point: [middle + step / 8 for step in range(-24, 25)]
        for point, middle in (("inseam", 29), ("front_rise", 10), ("waist", 29), ("hip", 40))
    }
    garments = [{point: draw.choice(run) for point, run in values.items()} for _ in range(300)]
    shop.land(sheet("a.csv", *(figure(p, v, f"n{n}") for n, row in enumerate(garments) for p, v in row.items())))
    knowledge = load()
    limit, ease = knowledge.verdict.limit, knowledge.silhouettes.unsaid.ease
    body = {"waist": 28.5, "hip": 39.0}
    rows = shop.ask(
        """SELECT size, inseam_state, front_rise_state, waist_state, hip_state, take_up FROM sizes_for(
            wearer_waist := 28.5, wearer_hip := 39, finished_inseam := 28.75, rise_from := 9.5, rise_to := 10.5,
            give := 0.02)"""
    )
    assert len(rows) == 300
    for size, inseam, rise, waist, hip, take_up in rows:
        garment = garments[int(size[1:])]
        cut = garment["inseam"] - 28.75
        assert take_up == pytest.approx(cut)
        numbers = (float(one.value) for one in (limit.as_bought, limit.let_down_kept, limit.allowance_most))
        as_bought, kept, most = numbers
        assert inseam == rate_cut(cut, as_bought, None, kept, most)
        assert rise == rate_miss(Band(9.5, 10.5).miss(garment["front_rise"]), float(limit.near_rise.value))
        for point, said, near, span in (
            ("waist", waist, limit.near_waist, ease.waist),
            ("hip", hip, limit.near_hip, ease.hip),
        ):
            miss = girth_miss(garment[point], body[point], Band(float(span.low), float(span.high)), 0.02)
            assert said == rate_miss(miss, float(near.value)), (point, garment[point])
    assert SAME == FITS_SAME


VERDICTS = [
    pytest.param({"wearer_waist": 28}, "fits as bought", id="what is not given is not judged"),
    pytest.param({}, "not known", id="nothing given, nothing known"),
    pytest.param({"finished_inseam": 27}, "fits with a hem", id="too long"),
    pytest.param({"finished_inseam": 30}, "not known", id="too short by less than a hem may hold"),
    pytest.param({"finished_inseam": 33}, "no", id="too short by more than any hem holds"),
    pytest.param({"wearer_waist": 28.5, "rise_to": 9.75}, "near miss", id="two near misses"),
    pytest.param({"wearer_waist": 31, "rise_to": 9.75}, "no", id="one no decides"),
]


@pytest.mark.parametrize(("given", "verdict"), VERDICTS)
def test_verdicts(filled: Shop, given: dict[str, float], verdict: str) -> None:
    arguments = ", ".join(f"{name} := {value}" for name, value in given.items())
    assert filled.ask(f"SELECT verdict FROM sizes_for({arguments}) WHERE size = '8'") == [(verdict,)]


WORKINGS = ("size_candidates", "sizes_from_figures", "kept_or_told")
"""Views that are no one's business but the program's; --about does not list them."""


def test_everything_says_what_it_means(shop: Shop) -> None:
    silent = shop.ask("""
        SELECT table_name FROM duckdb_tables() WHERE comment IS NULL
        UNION ALL SELECT view_name FROM duckdb_views() WHERE NOT internal AND comment IS NULL
        UNION ALL SELECT function_name FROM duckdb_functions() WHERE NOT internal AND comment IS NULL""")
    assert {name for (name,) in silent} == set(WORKINGS)
    lengths = shop.ask(f"""SELECT comment FROM duckdb_columns() WHERE NOT internal AND table_name NOT IN {WORKINGS}
        AND (data_type LIKE 'DECIMAL(12,6)' OR data_type LIKE 'DECIMAL(8,1)' OR column_name LIKE '%_nm')""")
    assert len(lengths) > 60
    assert [comment for (comment,) in lengths if "inches" not in comment and "nanometres" not in comment] == []


def test_what_there_is_to_ask(shop: Shop) -> None:
    names = {row[0] for row in shop.ask(about_sql(shop.path, ""))}
    assert {"sizes", "clean_figures", "current_figures", *(macro.name for macro in all_macros())} <= names
    assert ("inseam", "DECIMAL(12,6)") in {row[:2] for row in shop.ask(about_sql(shop.path, "sizes"))}
    assert "wearer_waist := NULL" in shop.ask(about_sql(shop.path, "sizes_for"))[0][2]
    with pytest.raises(UsageError, match='Did you mean "sizes"'):
        about_sql(shop.path, "size")


def storage_of(shop: Shop) -> Any:
    with duckdb.connect(str(shop.path), read_only=True) as connection:
        sql = "SELECT tags FROM duckdb_databases() WHERE NOT internal"
        ((tags,),) = connection.execute(sql).fetchall()
    return tags["storage_version"]


def test_older_clients_can_open_the_file(filled: Shop) -> None:
    """The format stays the old one after every kind of writing. (Clients of 1.2 were tried with it by hand.)"""
    assert storage_of(filled).startswith(tables.STORAGE_VERSION)
    filled.land(sheet("c.csv", *(figure("inseam", 20 + i / 64, str(i)) for i in range(3000))))
    with store.writing(filled.path) as connection:
        for_analysts.create_for_analysts(connection)
    assert storage_of(filled).startswith("v1.2.")


def test_a_catalogue_without_them_gets_them(filled: Shop) -> None:
    with store.writing(filled.path) as connection:
        connection.execute("UPDATE meta SET schema_version = 2; DROP VIEW clean_figures; DROP MACRO TABLE grade_steps")
        connection.execute("DROP VIEW style_groups; DROP TABLE same_styles")
    assert filled.ask("SELECT count(*) FROM grade_steps()") == [(8,)]
    assert filled.ask("FROM style_groups") == []
    assert filled.ask("SELECT schema_version FROM meta") == [(tables.SCHEMA_VERSION,)]
