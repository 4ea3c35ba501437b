"""New fixtures: drafted from what was read, signed by a person, not passed before."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from halfinch.check import check_folders, read_expectations, to_junit, to_lines
from halfinch.check.draft import as_text, draft_rows
from halfinch.cli.check import command as check_command
from halfinch.cli.fixture import command
from halfinch.errors import UsageError
from halfinch.figure import NM_PER_INCH, Figure, Finding, Garment, SheetResult

FIXTURES = Path(__file__).parents[2] / "fixtures"
SHEETS = (
    "querfelder-hosenwerk/halbe-weiten-semikolon-latin1.csv",
    "hollin-and-thrupp/no-unit-at-all.csv",
    "dalbit-jeans/used-pair-in-a-few-lines.txt",
    "atelier-brumelune/horaires-de-l-atelier.html",
    "dalbit-jeans/tops-and-dresses.xlsx",
)


def drafted(folder: Path, sheet: str) -> Path:
    """A fixture's sheet, alone in a folder, and the expected file drafted of it."""
    copy = folder / Path(sheet).name
    copy.write_bytes((FIXTURES / sheet).read_bytes())
    outcome = CliRunner().invoke(command, ["new", str(copy)])
    assert outcome.exit_code == 0, outcome.output
    assert "confirmed by nobody" in outcome.output
    (expected,) = folder.glob("*.expected.csv")
    return expected


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_draft_says_what_was_read_and_passes_only_when_signed(tmp_path: Path, sheet: str) -> None:
    expected = drafted(tmp_path, sheet)
    (check,) = check_folders([tmp_path])
    assert check.differences == ()
    assert check.unconfirmed == len(read_expectations(expected))
    assert not check.passed
    assert next(iter(to_lines([check]))).startswith("unsigned ")
    suite = ElementTree.fromstring(to_junit([check]))[0]
    assert (suite.get("failures"), suite.get("skipped")) == ("0", "1")
    assert CliRunner().invoke(check_command, [str(tmp_path)]).exit_code == 1

    signed = CliRunner().invoke(command, ["sign", str(expected), "--by", "Odile"])
    assert signed.exit_code == 0, signed.output
    assert all("Odile, 20" in line for line in expected.read_text(encoding="utf-8").splitlines()[1:])
    assert check_folders([tmp_path])[0].passed
    assert CliRunner().invoke(check_command, [str(expected)]).exit_code == 0, "an expected file stands for its sheet"


def test_a_signature_keeps_what_was_corrected_by_hand(tmp_path: Path) -> None:
    expected = drafted(tmp_path, SHEETS[0])
    text = expected.read_text(encoding="utf-8")
    expected.write_text(text.replace(",29.92126,", ",30,", 1), encoding="utf-8")
    assert CliRunner().invoke(command, ["sign", str(expected), "--by", "Odile"]).exit_code == 0
    (check,) = check_folders([tmp_path])
    assert [(one.kind, one.expected) for one in check.differences] == [("wrong", "30 in")]
    assert check.differences[0].line > 1


def test_held_figures_several_garments_and_several_sheets_are_told_apart() -> None:
    def figure(garment: str, status: str, raw: str = "30") -> Figure:
        return Figure(garment, "inseam", "8", 30 * NM_PER_INCH, raw, "row=1", status=status)

    garments = (Garment("g", style="Wide"), Garment("h", style="Slim"))
    finding = Finding("range", "error", "too long", figures=(1,))
    one = SheetResult(
        "a.xlsx", "0", outcome="read", garments=garments, findings=(finding,),
        figures=(figure("g", "accepted", "=30"), figure("h", "held"), figure("g", "set_aside")),
    )  # fmt: skip
    other = SheetResult("b.xlsx", "1", outcome="read", garments=garments[:1], figures=(figure("g", "assumed"),))
    rows = draft_rows([one, other])
    told = [(row["sheet"], row.get("style", ""), row["expect"], row.get("because", ""), row["raw"]) for row in rows]
    assert told == [
        ("a.xlsx", "Wide", "value", "", ""),  # a spreadsheet would run it
        ("a.xlsx", "Slim", "hold", "too long", "30"),
        ("b.xlsx", "", "value", "", "30"),
    ]


def test_a_sheet_with_nothing_of_ours_expects_nothing(tmp_path: Path) -> None:
    file = tmp_path / "a.expected.csv"
    file.write_text(as_text(draft_rows([SheetResult("a.csv", "0", outcome="nothing", message="an invoice")])))
    (row,) = read_expectations(file)
    assert (row.expect, row.because, row.confirmed) == ("nothing", "an invoice", False)


def test_what_cannot_be_drafted_or_signed_is_one_sentence(tmp_path: Path) -> None:
    expected = drafted(tmp_path, SHEETS[0])
    sheet = tmp_path / Path(SHEETS[0]).name
    for arguments, says in (
        (["new", str(sheet)], "an expected file already"),
        (["new", str(expected)], "this is no sheet"),
        (["sign", str(expected), "--by", " "], "--by is empty"),
        (["sign", str(FIXTURES / SHEETS[0].replace(".csv", ".expected.csv")), "--by", "Odile"], "nothing in it waits"),
    ):
        outcome = CliRunner().invoke(command, arguments)
        assert isinstance(outcome.exception, UsageError), outcome.output
        assert says in str(outcome.exception)
    expected.write_bytes(b"size,point,expect\n8,h\xff,hold\n")
    with pytest.raises(UsageError, match="cannot be read as CSV in UTF-8"):
        read_expectations(expected)


def test_two_sheets_of_one_name_get_a_file_each(tmp_path: Path) -> None:
    for name in ("wide.csv", "wide.txt"):
        (tmp_path / name).write_bytes((FIXTURES / SHEETS[1]).read_bytes())
    for name in ("wide.csv", "wide.txt"):
        assert CliRunner().invoke(command, ["new", str(tmp_path / name)]).exit_code == 0
    assert {file.name for file in tmp_path.glob("*.expected.csv")} == {
        "wide.csv.expected.csv", "wide.txt.expected.csv",
    }  # fmt: skip
