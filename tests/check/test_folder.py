"""What counts as a fixture, what is refused, and the command on expectations that were tampered with."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from halfinch.check import check_folders, find_fixtures, read_expectations, to_junit, to_lines
from halfinch.cli.check import command
from halfinch.errors import UsageError
from halfinch.figure import NM_PER_INCH, Figure, Garment, SheetResult

HEAD = "size,point,inches,expect,because\n"
RIGHT = HEAD + "8,inseam,30,value,\n8,hip,,hold,torn\n"


def fake_read(data: bytes, name: str) -> list[SheetResult]:
    """Inseam as the file's bytes say, and a held hip."""
    figures = [Figure("g", "inseam", "8", int(data) * NM_PER_INCH, data.decode(), "row=1;col=1")]
    figures.append(Figure("g", "hip", "8", 3 * NM_PER_INCH, "3", "row=2;col=1", status="held"))
    return [SheetResult(name, "0" * 64, outcome="read", garments=(Garment("g"),), figures=tuple(figures))]


def put(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        path = folder / name.replace("__", "/").replace("_dot_", ".")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def test_all_as_expected(tmp_path: Path) -> None:
    put(tmp_path, shop__a_dot_csv="30", shop__a_dot_expected_dot_csv=RIGHT)
    (check,) = check_folders([tmp_path], fake_read)
    assert check.name == "shop/a.csv"
    assert check.differences == ()
    assert check.counts == {"accepted": 1, "assumed": 0, "held": 1}
    assert list(to_lines([check]))[-1] == "1 fixtures, 1 expected figures: all as expected"


@pytest.mark.parametrize(
    ("expected", "kinds"),
    [
        pytest.param(RIGHT.replace("30", "31"), ["wrong"], id="value"),
        pytest.param(RIGHT.replace("8,inseam", "10,inseam"), ["missing", "invented"], id="size"),
        pytest.param(RIGHT.replace("inseam", "outseam"), ["missing", "invented"], id="point"),
        pytest.param(HEAD + "8,inseam,,hold,\n", ["not held"], id="should-be-held"),
        pytest.param(HEAD + ",,,nothing,an invoice\n", ["invented"], id="should-be-nothing"),
        pytest.param(HEAD + "8,inseam,30,value,\n8,hip,3,value,\n", ["wrongly held"], id="should-be-clean"),
    ],
)
def test_tampered_expectations_are_told(tmp_path: Path, expected: str, kinds: list[str]) -> None:
    put(tmp_path, a_dot_csv="30", a_dot_expected_dot_csv=expected)
    (check,) = check_folders([tmp_path], fake_read)
    assert [difference.kind for difference in check.differences] == kinds


def test_makers_notes_and_bodies_are_no_fixtures(tmp_path: Path) -> None:
    put(tmp_path, makers__kit_dot_py="x", bodies__ann_dot_toml="x", README_dot_md="x", a_dot_csv="30")
    put(tmp_path, a_dot_csv_dot_expected_dot_csv=RIGHT)
    assert [fixture.name for fixture in find_fixtures([tmp_path])] == ["a.csv"]


@pytest.mark.parametrize(
    ("files", "says"),
    [
        pytest.param({"a_dot_csv": "30"}, "no expected figures beside it", id="no-expected-file"),
        pytest.param({"a_dot_expected_dot_csv": RIGHT}, "no sheet stands beside", id="no-sheet"),
        pytest.param(
            {"a_dot_csv": "1", "a_dot_pdf": "1", "a_dot_expected_dot_csv": RIGHT}, "two sheets share it", id="shared"
        ),
        pytest.param({}, "No fixture found", id="nothing-there"),
    ],
)
def test_incomplete_folders_are_refused(tmp_path: Path, files: dict[str, str], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        check_folders([put(tmp_path, **files)], fake_read)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param("size,pint,expect\n", "unknown column 'pint'", id="misspelt-column"),
        pytest.param("size,point\n8,hip\n", "no column 'expect'", id="no-expect"),
        pytest.param(HEAD + "8,hip,38,maybe,\n", "line 2: expect is 'maybe'", id="unknown-expect"),
        pytest.param(HEAD + "8,hip,,value,\n", "needs inches", id="value-without-inches"),
        pytest.param(HEAD + "8,,38,value,\n", "needs a point", id="value-without-point"),
        pytest.param(HEAD + "8,hip,38 1/2,value,\n", "no decimal number", id="fraction"),
        pytest.param("size,point,status,inches,expect\n8,hip,sure,38,value\n", "status 'sure'", id="unknown-status"),
        pytest.param(HEAD, "says nothing", id="empty"),
    ],
)
def test_wrong_expected_files_are_refused_with_their_line(tmp_path: Path, text: str, says: str) -> None:
    path = put(tmp_path, a_dot_expected_dot_csv=text) / "a.expected.csv"
    with pytest.raises(UsageError, match=says):
        read_expectations(path)


def test_a_program_that_fails_on_a_sheet_is_a_difference(tmp_path: Path) -> None:
    put(tmp_path, a_dot_csv="x", a_dot_expected_dot_csv=HEAD + ",,,nothing,an invoice\n")
    log = "Traceback\nValueError: of no use"
    (check,) = check_folders([tmp_path], lambda data, name: [SheetResult(name, "0", outcome="failed", log=log)])
    assert check.differences[0].kind == "failed"
    assert "ValueError: of no use" in check.differences[0].message


def test_junit_has_a_case_a_fixture_and_the_differences_in_it(tmp_path: Path) -> None:
    put(tmp_path, shop__a_dot_csv="30", shop__a_dot_expected_dot_csv=RIGHT)
    put(tmp_path, shop__b_dot_csv="31", shop__b_dot_expected_dot_csv=RIGHT)
    root = ElementTree.fromstring(to_junit(check_folders([tmp_path], fake_read)))
    suite = root[0]
    assert (suite.get("tests"), suite.get("failures")) == ("2", "1")
    failure = suite.find("testcase[@name='b.csv']/failure")
    assert failure is not None
    assert "expected 30 in, got 31 in" in (failure.text or "")


DEMO = Path(__file__).parents[2] / "fixtures" / "querfelder-hosenwerk"


def copy_fixture(tmp_path: Path, *, tamper: tuple[str, str] | None = None) -> Path:
    name = "halbe-weiten-semikolon-latin1"
    (tmp_path / f"{name}.csv").write_bytes((DEMO / f"{name}.csv").read_bytes())
    text = (DEMO / f"{name}.expected.csv").read_text(encoding="utf-8")
    if tamper:
        assert tamper[0] in text
        text = text.replace(*tamper, 1)
    (tmp_path / f"{name}.expected.csv").write_text(text, encoding="utf-8")
    return tmp_path


def test_the_command_ends_with_0_when_all_is_as_expected(tmp_path: Path) -> None:
    outcome = CliRunner().invoke(command, [str(copy_fixture(tmp_path))])
    assert outcome.exit_code == 0, outcome.output
    assert "all as expected" in outcome.output


def test_the_command_ends_with_1_and_names_the_difference(tmp_path: Path) -> None:
    folder = copy_fixture(tmp_path, tamper=(",inseam,29.92126,", ",inseam,30.92126,"))
    junit = tmp_path / "out" / "check.xml"
    outcome = CliRunner().invoke(command, [str(folder), "--format", "json", "--junit", str(junit)])
    assert outcome.exit_code == 1, outcome.output
    (check,) = json.loads(outcome.output)
    told = [(d["kind"], d["point"], d["expected"]) for d in check["differences"]]
    assert told == [("wrong", "inseam", "30.92126 in")]
    assert b"30.92126" in junit.read_bytes()


def test_the_command_ends_with_2_when_an_expected_file_is_missing(tmp_path: Path) -> None:
    (copy_fixture(tmp_path) / "halbe-weiten-semikolon-latin1.expected.csv").unlink()
    outcome = CliRunner().invoke(command, [str(tmp_path)])
    assert outcome.exit_code == 2
    assert "no expected figures beside it" in outcome.output
