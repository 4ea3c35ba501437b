"""The audit: quiet over a clean catalogue, and every damage done behind the catalogue's back is named."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import duckdb
import pytest
from invented import Shop, figure, sheet

import halfinch
from halfinch.catalogue.audit.frames import fetch_tables, make_frames
from halfinch.catalogue.audit.history import compare, keep, read_past
from halfinch.catalogue.audit.run import Audit, Check, audit_catalogue, load_engine, run_rules
from halfinch.catalogue.audit.suite import build_rules
from halfinch.catalogue.rulings import rule
from halfinch.figure import NM_PER_INCH, Garment
from halfinch.knowledge import load
from halfinch.present.audit_page import render_audit, render_index, render_rules

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("audit") / "shop.duckdb"
    halfinch.open_catalogue(path).add(ROOT / "fixtures" / "demo")
    return path


@pytest.fixture(scope="module")
def engine() -> Any:
    return load_engine()


@pytest.fixture(scope="module")
def audit_of_clean(clean: Path) -> Audit:
    return audit_catalogue(clean, load())


def inches(value: str) -> str:
    """A change of a length that keeps its three columns in step, as a careful forger would."""
    nm = f"CAST(round(({value}) * {NM_PER_INCH}) AS BIGINT)"
    return f"length_nm = {nm}, inches = {nm} / {NM_PER_INCH}.0, half_inch = round_even({nm} / 12700000.0, 0) / 2"


OF_ROZ = "style = 'Roz High Flare'"
ROZ_SHEET = "ends_with(sheet, 'roz-flare.html')"
ON_RANGE = "WHERE rule = 'range'"
RULED = "INSERT INTO rulings (ruling_id, decision, undoes, \"at\") VALUES ('{}', '{}', '{}', now()::TIMESTAMP);"
TAPED = """INSERT INTO taped (taped_id, garment_id, point, inches)
    SELECT 't', garment_id, '{}', {} FROM garments LIMIT 1"""
GAP = """DELETE FROM figures WHERE ends_with(sheet, 'kestle-bootcut.pdf')
    AND point = 'hip' AND size = '12' AND length = 'regular'"""
TWICE = f"""INSERT INTO figures SELECT * REPLACE ('x' AS figure_id, length_nm * 2 AS length_nm)
    FROM figures WHERE {ROZ_SHEET} AND point = 'thigh' AND size = '8'"""
COPY = f"""
    INSERT INTO garments (garment_id, merchant, style) VALUES ('copy', 'copperlatch-supply', 'Copycat');
    CREATE TABLE one AS SELECT *, row_number() OVER (ORDER BY rowid) AS n FROM figures WHERE {ROZ_SHEET};
    CREATE TABLE two AS SELECT *, row_number() OVER (ORDER BY rowid) AS n FROM figures
        WHERE ends_with(sheet, 'meadow-wide.xlsx');
    DELETE FROM figures WHERE ends_with(sheet, 'meadow-wide.xlsx');
    INSERT INTO figures SELECT two.* EXCLUDE (n) REPLACE ('copy' AS garment_id, one.size AS size,
        one.length AS length, one.point AS point, one.length_nm AS length_nm) FROM two JOIN one USING (n)"""
TABLES = [
    pytest.param(
        "sheet-unique",
        f"INSERT INTO sheets SELECT * FROM sheets WHERE {ROZ_SHEET}",
        "roz-flare.html",
        id="a-sheet-twice",
    ),
    pytest.param(
        "garment-unique",
        f"INSERT INTO garments SELECT * FROM garments WHERE {OF_ROZ}",
        "Roz High Flare",
        id="a-garment-twice",
    ),
    pytest.param(
        "one-sheet-a-source",
        "UPDATE receipts SET source = (SELECT min(source) FROM receipts)",
        "meadow-wide.xlsx",
        id="two-sheets-at-one-source",
    ),
    pytest.param(
        "size-unique",
        f"INSERT INTO garments SELECT * FROM garments WHERE {OF_ROZ}",
        "Roz High Flare",
        id="a-size-twice",
    ),
    pytest.param(
        "sheet-has-figures",
        "DELETE FROM figures WHERE ends_with(sheet, 'vintage-straight.html')",
        "vintage-straight.html",
        id="all-figures-of-a-sheet-gone",
    ),
    pytest.param("run-whole", GAP, "12 · regular · hip", id="a-figure-gone"),
    pytest.param(
        "merchant-given", f"UPDATE garments SET merchant = '' WHERE {OF_ROZ}", "Roz High Flare", id="nobody's-garment"
    ),
    pytest.param(
        "state-known", f"UPDATE garments SET state = 'ironed' WHERE {OF_ROZ}", "state = ironed", id="unknown-state"
    ),
    pytest.param(
        "price-positive", f"UPDATE garments SET price = -118 WHERE {OF_ROZ}", "price = -118", id="a-price-below-nothing"
    ),
    pytest.param(
        "stretch-a-share", f"UPDATE garments SET stretch = 20 WHERE {OF_ROZ}", "stretch = 20", id="per-cent-for-a-share"
    ),
    pytest.param(
        "outcome-known", f"UPDATE sheets SET outcome = 'fine' WHERE {ROZ_SHEET}", "outcome = fine", id="unknown-outcome"
    ),
    pytest.param(
        "severity-known", f"UPDATE findings SET severity = 'loud' {ON_RANGE}", "severity = loud", id="unknown-severity"
    ),
    pytest.param(
        "finding-unique", f"INSERT INTO findings SELECT * FROM findings {ON_RANGE}", "range", id="a-finding-twice"
    ),
    pytest.param("finding-says", f"UPDATE findings SET message = '' {ON_RANGE}", "range", id="a-finding-without-words"),
    pytest.param(
        "finding-figure-known",
        f"UPDATE findings SET figure_id = 'nobody' {ON_RANGE}",
        "figure_id = nobody",
        id="a-finding-on-no-figure",
    ),
    pytest.param(
        "finding-garment-known",
        f"UPDATE findings SET garment_id = 'none' {ON_RANGE}",
        "garment_id = none",
        id="a-finding-on-no-garment",
    ),
    pytest.param("decision-known", RULED.format("r1", "perhaps", ""), "decision = perhaps", id="unknown-decision"),
    pytest.param("ruling-unique", RULED.format("r2", "right", "") * 2, "ruling_id = r2", id="a-ruling-twice"),
    pytest.param(
        "correction-says-what", RULED.format("r3", "should be", ""), "inches = nan", id="a-correction-to-nothing"
    ),
    pytest.param(
        "undone-known", RULED.format("r4", "undo", "gone"), "undoes = gone", id="the-ruling-taken-back-is-gone"
    ),
    pytest.param("taped-point-known", TAPED.format("cuff", 9), "point = cuff", id="taped-at-no-point-of-ours"),
    pytest.param("taped-positive", TAPED.format("hip", 0), "inches = 0", id="taped-nothing"),
    pytest.param(
        "taped-garment-known",
        "INSERT INTO taped (taped_id, garment_id, point, inches) VALUES ('t', 'nobody', 'hip', 40)",
        "hip",
        id="taped-on-no-garment",
    ),
    pytest.param("told-once", TWICE, "roz-flare.html", id="one-size-told-twice"),
    pytest.param("table-not-copied", COPY, "Copycat", id="one-table-under-two-styles"),
]
"""Damage to whole tables: the rule that tells it, the SQL, and what the first rows named have to say."""

KESTLE, MARNIE = "kestle-bootcut.pdf", "marnie-curvy-wide-leg.html"
DAMAGE = [
    pytest.param("range-inseam", KESTLE, "inseam", inches("45"), id="longer-than-any-leg"),
    pytest.param("range-hip", KESTLE, "hip", inches("inches / 2.54"), id="read-as-centimetres"),
    pytest.param("as-printed", KESTLE, "back_rise", inches("inches + 0.5"), id="half-an-inch-more-than-printed"),
    pytest.param("as-printed", MARNIE, "knee", "raw = '19 3/8'", id="print-changed"),
    pytest.param("grade-thigh", MARNIE, "thigh", inches("inches + 4"), id="a-leap-in-the-run"),
    pytest.param("relation-hip_over_waist", KESTLE, "hip", inches("inches + 14"), id="hip-far-above-waist"),
    pytest.param("inches-exact", KESTLE, "inseam", "inches = inches + 0.0001", id="inches-apart-from-nanometres"),
    pytest.param("half-inch-nearest", MARNIE, "thigh", "half_inch = half_inch + 0.5", id="wrong-half-inch"),
    pytest.param("half-inch-nearest", MARNIE, "tie", "half_inch = half_inch + 0.5", id="tie-to-the-odd-half"),
    pytest.param("length-positive", KESTLE, "waist", inches("0"), id="no-length"),
    pytest.param(
        "range-upright", MARNIE, "hip",
        f"length_to_nm = length_nm - {NM_PER_INCH}, inches_to = inches - 1", id="range-upside-down",
    ),
    pytest.param("inches-to-exact", MARNIE, "inseam", "inches_to = inches + 1", id="upper-end-without-nanometres"),
    pytest.param("tolerance-positive", KESTLE, "knee", "tolerance = -0.5", id="tolerance-below-nothing"),
    pytest.param("tolerance-wider", KESTLE, "thigh", "tolerance_plus = 2, tolerance = 1", id="narrower-tolerance"),
    pytest.param("status-known", KESTLE, "front_rise", "status = 'fine'", id="unknown-status"),
    pytest.param("basis-known", KESTLE, "front_rise", "basis = 'guessed'", id="unknown-basis"),
    pytest.param("convention-known", MARNIE, "waist", "convention = 'half'", id="unknown-convention"),
    pytest.param("unit-known", MARNIE, "leg_opening", "unit = 'inch'", id="unknown-unit"),
    pytest.param("point-known", MARNIE, "front_rise", "point = 'rise'", id="unknown-point"),
    pytest.param("size-scope-known", MARNIE, "back_rise", "size_scope = 'some'", id="unknown-scope"),
    pytest.param("figure-id-own", KESTLE, "inseam", "size = '99'", id="moved-to-another-size"),
    pytest.param("place-given", KESTLE, "hip", "place = ''", id="no-way-back"),
    pytest.param("raw-given", KESTLE, "waist", "raw = ''", id="no-print"),
    pytest.param("garment-known", KESTLE, "thigh", "garment_id = 'nobody'", id="no-garment"),
    pytest.param("sheet-known", MARNIE, "hip", "sheet_id = 'none'", id="no-sheet"),
    pytest.param("doubt-told", MARNIE, "waist", "status = 'held'", id="held-without-a-word"),
    pytest.param("ruling-known", MARNIE, "inseam", "basis = 'ruled'", id="ruled-by-nobody"),
    pytest.param("ruling-known", MARNIE, "knee", "status = 'set_aside'", id="set-aside-by-nobody"),
    pytest.param("range-inseam", "arden-straight.pdf", "held", "status = 'accepted'", id="held-one-let-in"),
]  # fmt: skip


@pytest.fixture(scope="module")
def damaged(clean: Path) -> tuple[Audit, list[str]]:
    """Every damage at a figure of its own, all in one catalogue; and the figures' places, in the order of DAMAGE."""
    path = clean.with_name("damaged.duckdb")
    shutil.copyfile(clean, path)
    taken: set[str] = set()
    places = []
    with duckdb.connect(str(path)) as connection:
        for case in DAMAGE:
            _, sheet, point, change = case.values
            figure_id, place = pick(connection, str(sheet), str(point), taken)
            places.append(place)
            connection.execute(f"UPDATE figures SET {change} WHERE figure_id = ?", [figure_id])
        figure_id, _ = pick(connection, KESTLE, "inseam", taken)
        connection.execute("INSERT INTO figures SELECT * FROM figures WHERE figure_id = ?", [figure_id])
    return audit_catalogue(path, load()), places


def pick(connection: duckdb.DuckDBPyConnection, sheet: str, point: str, taken: set[str]) -> tuple[str, str]:
    """The next figure of a point (or a held one, or one whose inches lie between two halves) that no damage has."""
    which = {"held": "status = 'held'", "tie": "inches * 4 % 2 = 1"}.get(point, f"point = '{point}'")
    found: list[tuple[str, str]] = connection.execute(
        f"SELECT figure_id, place FROM figures WHERE ends_with(sheet, ?) AND {which} ORDER BY rowid", [sheet]
    ).fetchall()
    # Ends of runs are left alone, so that a leap shows on both sides; the only held one is taken whatever it is.
    usable = found[1:-1] or found
    figure_id, place = next(row for row in usable if row[0] not in taken)
    taken.add(figure_id)
    return figure_id, place


def test_clean_catalogue_passes(audit_of_clean: Audit) -> None:
    assert [check.rule for check in audit_of_clean.checks if not check.passed] == []
    assert audit_of_clean.passed
    assert audit_of_clean.figures > 500
    assert audit_of_clean.sizes > 50


def test_every_kind_of_rule_had_something_to_look_at(audit_of_clean: Audit) -> None:
    """A rule over an empty column passes for nothing; these look at hundreds of figures."""
    looked_at = {check.rule: check.looked_at for check in audit_of_clean.checks}
    for name in ("as-printed", "figure-id-own", "half-inch-nearest", "inches-exact", "length-positive"):
        assert looked_at[name] > 500, name
    for name in ("range-inseam", "relation-hip_over_waist", "grade-thigh", "waist-moves", "length-order"):
        assert looked_at[name] > 10, name


@pytest.mark.parametrize(("rule_name", "sheet", "point", "change"), DAMAGE)
def test_damage_is_caught_and_its_figure_named(
    damaged: tuple[Audit, list[str]], rule_name: str, sheet: str, point: str, change: str
) -> None:
    audit, places = damaged
    place = places[[case.values for case in DAMAGE].index((rule_name, sheet, point, change))]
    (check,) = [check for check in audit.checks if check.rule == rule_name]
    assert not check.passed
    if not rule_name.startswith("relation-"):  # a relation is of a whole size
        where = sheet if rule_name == "place-given" else f"{sheet} · {place} · "
        assert any(where in example for example in check.examples), check.examples


@pytest.mark.parametrize(("rule_name", "damage", "told"), TABLES)
def test_damage_to_other_tables_is_caught(
    clean: Path, tmp_path: Path, engine: Any, rule_name: str, damage: str, told: str
) -> None:
    path = tmp_path / "shop.duckdb"
    shutil.copyfile(clean, path)
    with duckdb.connect(str(path)) as connection:
        connection.execute(damage)
    frames = make_frames(fetch_tables(path), load())
    (asked,) = [asked for asked in build_rules(engine, load()) if asked.name == rule_name]
    check = run_rules(engine, {asked.frame: frames[asked.frame]}, [asked])[rule_name]
    assert not check.passed
    assert any(told in example for example in check.examples), check.examples


def test_every_rule_of_the_suite_is_damaged_by_some_case() -> None:
    """Rules made from rows of `schemas/` by one function count once; a column that is not there breaks one like it."""
    cases = {str(case.values[0]) for case in DAMAGE + TABLES} | {
        "figure-unique",
        "size-kept",
        "waist-moves",
        "length-order",
    }
    cases |= {str(case.values[0]) for case in DRIFTS}
    families = ("range-", "relation-", "grade-", "drift-styles-", "drift-merchants-")
    rest = [asked.name for asked in build_rules(load_engine(), load()) if asked.name not in cases]
    left = [name for name in rest if not name.startswith(families) and not name.endswith("-given")]
    assert left == ["length-scope-known", "at-from-known"]
    for family in families:
        assert any(name.startswith(family) for name in cases), family


def test_a_figure_twice_is_caught(damaged: tuple[Audit, list[str]]) -> None:
    (check,) = [check for check in damaged[0].checks if check.rule == "figure-unique"]
    assert check.broken == 2


ONE = "WHERE tie = (SELECT min(tie) FROM size_rows)"


@pytest.mark.parametrize(
    "damage",
    [
        pytest.param(f"UPDATE size_rows SET inseam = inseam + 0.5 {ONE}", id="moved"),
        pytest.param(f"DELETE FROM size_rows {ONE}", id="lost"),
        pytest.param("INSERT INTO size_rows SELECT * REPLACE ('99' AS size) FROM size_rows LIMIT 1", id="one-too-many"),
        pytest.param(f"UPDATE size_rows SET kind = 0 {ONE}", id="other-words"),
    ],
)  # fmt: skip
def test_a_row_of_sizes_that_is_not_what_its_figures_say(clean: Path, tmp_path: Path, damage: str) -> None:
    path = tmp_path / "shop.duckdb"
    shutil.copyfile(clean, path)
    with duckdb.connect(str(path)) as connection:
        connection.execute(damage)
    broken = {check.rule: check.broken for check in audit_catalogue(path, load()).checks if not check.passed}
    assert broken == {"size-kept": 1}


def test_what_a_person_ruled_is_past_the_rules_of_plausibility(clean: Path, tmp_path: Path) -> None:
    path = tmp_path / "shop.duckdb"
    shutil.copyfile(clean, path)
    figures = halfinch.open_catalogue(path).figures()
    held = figures[figures["status"] == "held"].iloc[0]
    rule(path, held["figure_id"], "right", by="Odile", why="taped it: cropped above the knee")
    audit = audit_catalogue(path, load())
    assert [check.rule for check in audit.checks if not check.passed] == []
    assert next(check for check in audit.checks if check.rule == "ruling-known").looked_at == 1


def test_empty_catalogue_passes(tmp_path: Path, empty_catalogue: Path) -> None:
    audit = audit_catalogue(empty_catalogue, load())
    assert audit.passed
    assert audit.figures == audit.sizes == 0


def test_page_stands_alone_and_names_what_is_broken(damaged: tuple[Audit, list[str]]) -> None:
    record = damaged[0].to_json()
    page = render_audit(record)
    for loads in ("http:", "https:", "src=", "<script", "<link", "@import", "url("):
        assert loads not in page
    assert "rules are broken" in page
    assert page.index("status-known") < page.index("at-from-known"), "broken ones first"
    for check in record["checks"]:
        assert check["rule"] in page
    assert "kestle-bootcut.pdf" in page


def test_page_shows_hostile_text_as_text(audit_of_clean: Audit) -> None:
    record = {**audit_of_clean.to_json(), "catalogue": "<img src=x onerror=alert(1)>.duckdb"}
    assert "<img" not in render_audit(record)


def sheet_of(shop: Shop, source: str, waist: float, *, moved: float = 0, style: str = "Wide") -> None:
    """Five sizes of waist and hip, two inches a size, at a source of its own."""
    figures = [
        figure(point, start + 2 * at + moved, str(8 + 2 * at), size_system="US", unit="in")
        for point, start in (("waist", waist), ("hip", waist + 10))
        for at in range(5)
    ]  # fmt: skip
    garment = Garment("g", merchant="Aldersgate", style=style, style_code=style)
    shop.land(sheet(f"{source}-{waist + moved}.csv", *figures, garments=(garment,)), source=source)


DRIFTS = [
    pytest.param("drift-styles-waist", (("a", 30, 0, "Wide"), ("a", 30, 1.5, "Wide")), "1.5", id="a-style-moved"),
    pytest.param(
        "drift-merchants-waist",
        (("a", 30, 0, "One"), ("b", 30.5, 0, "Two"), ("c", 30, 0, "Three"), ("d", 33, 0, "Four")),
        "Four",
        id="a-merchant-sizes-otherwise",
    ),
]


@pytest.mark.parametrize(("rule_name", "sheets", "told"), DRIFTS)
def test_a_merchant_who_leaves_his_past_is_worth_a_look(
    shop: Shop, engine: Any, rule_name: str, sheets: tuple[tuple[str, float, float, str], ...], told: str
) -> None:
    for source, waist, moved, style in sheets[:-1]:
        sheet_of(shop, source, waist, moved=moved, style=style)

    def look() -> Check:
        (asked,) = [asked for asked in build_rules(engine, load()) if asked.name == rule_name]
        frames = make_frames(fetch_tables(shop.path), load())
        return run_rules(engine, {asked.frame: frames[asked.frame]}, [asked])[rule_name]

    assert look().passed
    source, waist, moved, style = sheets[-1]
    sheet_of(shop, source, waist, moved=moved, style=style)
    check = look()
    assert check.broken == 1
    assert told in check.examples[0]
    assert check.severity == "warning"


def test_past_audits_are_kept_and_compared(
    audit_of_clean: Audit, damaged: tuple[Audit, list[str]], tmp_path: Path
) -> None:
    folder = tmp_path / "shop.audits"
    for at, audit in enumerate((audit_of_clean, damaged[0], audit_of_clean)):
        keep(folder, replace(audit, at=f"2026-01-0{1 + at}T08:00:00+00:00"))
    (folder / "audit-of-somebody-else.json").write_text("[]", encoding="utf-8")
    past = read_past(folder)
    assert [record["passed"] for _, record in past] == [True, False, True]
    fell = compare(past[0][1], past[1][1])
    assert fell is not None
    assert "as-printed" in fell.broken
    assert fell.mended == ()
    rose = compare(past[1][1], past[2][1])
    assert rose is not None
    assert rose.mended == fell.broken
    index = render_index(past)
    assert index.index(f"{past[2][0]}.html") < index.index(f"{past[0][0]}.html"), "the latest first"
    assert "mended: " in index
    for rule_name in {check.rule for check in audit_of_clean.checks}:
        assert rule_name in render_rules(past[0][1])


# The command, in a process of its own with an empty home: nothing is sent, nothing is left lying about.

OFFLINE = """
import socket, sys
def refuse(*args, **kwargs):
    sys.stderr.write("the network was asked for\\n")
    raise OSError("no network")
socket.socket.connect = socket.socket.connect_ex = socket.getaddrinfo = socket.create_connection = refuse
from halfinch.cli import main
main(sys.argv[1:])
"""


def run_offline(home: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", OFFLINE, *arguments]
    places = {"HOME": str(home), "USERPROFILE": str(home), "XDG_CONFIG_HOME": str(home), "XDG_CACHE_HOME": str(home)}
    return subprocess.run(command, capture_output=True, text=True, cwd=home, check=False, env={**os.environ, **places})


def test_command_is_silent_on_the_network_and_writes_page_and_json(clean: Path, tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    page, output = tmp_path / "audit.html", tmp_path / "audit.json"
    done = run_offline(home, "audit", "-c", str(clean), "--page", str(page), "--output", str(output))
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.endswith("every rule holds.\n")
    assert "Every rule holds." in page.read_text(encoding="utf-8")
    record: dict[str, Any] = json.loads(output.read_text(encoding="utf-8"))
    assert record["passed"] is True
    assert set(record["checks"][0]) == {
        "rule", "area", "severity", "expectation", "means", "looked_at", "broken", "examples", "passed",
    }  # fmt: skip
    assert list(home.iterdir()) == []


def test_command_tells_broken_rules_and_ends_with_1(clean: Path, tmp_path: Path) -> None:
    """Damage to whole runs: one waist under every size, and petites as long as regulars."""
    path = tmp_path / "shop.duckdb"
    shutil.copyfile(clean, path)
    with duckdb.connect(str(path)) as connection:
        connection.execute("UPDATE figures SET length_nm = 736600000 WHERE point = 'waist'")
        connection.execute("UPDATE figures SET inches = 30 WHERE point = 'inseam' AND length IN ('petite', 'regular')")
    done = run_offline(tmp_path, "audit", "-c", str(path))
    assert done.returncode == 1
    assert "waist-moves: " in done.stdout
    assert "length-order: " in done.stdout
    assert "marnie-curvy-wide-leg.html" in done.stdout


def test_audits_are_kept_beside_the_catalogue_and_listed(clean: Path, tmp_path: Path) -> None:
    path = tmp_path / "shop.duckdb"
    shutil.copyfile(clean, path)
    assert run_offline(tmp_path, "audit", "-c", str(path)).returncode == 0
    with duckdb.connect(str(path)) as connection:
        connection.execute("UPDATE figures SET unit = 'inch' WHERE point = 'hip'")
    done = run_offline(tmp_path, "audit", "-c", str(path))
    assert done.returncode == 1
    assert "UTC: new: unit-known" in done.stdout
    folder = tmp_path / "shop.audits"
    assert {"index.html", "rules.html"} < {file.name for file in folder.iterdir()}
    for page in folder.glob("*.html"):
        for link in re.findall(r'href="([^"]+)"', page.read_text(encoding="utf-8")):
            assert (folder / link).exists(), link
    listed = run_offline(tmp_path, "audit", "-c", str(path), "--history").stdout.splitlines()
    assert ["every rule holds" in line for line in listed] == [True, False]
    assert "1 broken: unit-known" in listed[1]


def test_an_audit_that_cannot_be_kept_says_so_and_stands(clean: Path, tmp_path: Path) -> None:
    path = tmp_path / "shop.duckdb"
    shutil.copyfile(clean, path)
    (tmp_path / "shop.audits").write_text("a file stands where the folder should be", encoding="utf-8")
    done = run_offline(tmp_path, "audit", "-c", str(path))
    assert done.returncode == 0
    assert done.stderr.startswith("halfinch: this audit is not kept: ")
    asked = run_offline(tmp_path, "audit", "-c", str(path), "--docs", str(tmp_path / "shop.audits" / "x"))
    assert asked.returncode == 2
    assert len(asked.stderr.splitlines()) == 1
