"""A new fixture: its expected file is drafted from what was read, and counts only when a person has signed it."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from halfinch.catalogue.formats.cells import RISKY
from halfinch.check.expected import CONFIRMED, EXPECTED_COLUMNS, read_expectations
from halfinch.check.folder import ENDING, find_expected, is_sheet
from halfinch.errors import UsageError
from halfinch.figure import Figure, SheetResult, to_inches

Row = dict[str, str]

DRAFT_COLUMNS = (*EXPECTED_COLUMNS, CONFIRMED)


def draft_rows(results: Sequence[SheetResult]) -> list[Row]:
    """A row a figure as it was read: `value` for clean ones, `hold` with the reason for held ones; one row `nothing`
    where there is none."""
    rows: list[Row] = []
    for result in results:
        styles = {garment.key: garment.style or garment.style_code for garment in result.garments}
        why = {number: one.message for one in result.findings for number in one.figures if one.severity == "error"}
        for number, figure in enumerate(result.figures):
            if figure.status == "set_aside":
                continue
            row = _row(figure, why.get(number, ""))
            if len(results) > 1:
                row["sheet"] = result.sheet
            if len(set(styles.values())) > 1:
                row["style"] = styles.get(figure.garment, "")
            rows.append(row)
    because = "; ".join(filter(None, (result.message for result in results))) or "nothing of ours in it"
    return [{name: _kept(text) for name, text in row.items()} for row in rows] or [
        {"expect": "nothing", "because": because}
    ]


def _row(figure: Figure, why: str) -> Row:
    row = {
        "size": figure.size,
        "length": figure.length,
        "point": figure.point,
        "raw": figure.raw,
        "place": figure.place,
    }
    if figure.status == "held":
        return {**row, "expect": "hold", "because": why}
    upper = "" if figure.length_to_nm is None else str(to_inches(figure.length_to_nm))
    return {
        **row, "inches": str(to_inches(figure.length_nm)), "inches_to": upper, "status": figure.status,
        "unit": figure.unit, "convention": figure.convention, "expect": "value",
    }  # fmt: skip


def _kept(text: str) -> str:
    """A text that comes back as it is, and that the spreadsheet in which the draft is corrected does not run."""
    return text if text == text.strip() and text[:1] not in RISKY else ""


def as_text(rows: Iterable[Mapping[str, str]]) -> str:
    """Rows as an expected file that is to be signed."""
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, DRAFT_COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def name_expected(sheet: Path) -> Path:
    """Where the expected file of a new fixture goes. Raises UsageError where there is one already, or no sheet."""
    if not is_sheet(sheet, sheet.parent):
        raise UsageError(f"{sheet}: this is no sheet; name the file whose figures are to be expected.")
    found = find_expected(sheet, set(sheet.parent.glob("*" + ENDING)))
    if found is not None:
        raise UsageError(f"{found}: there is an expected file already; correct that one, or remove it first.")
    stem = sheet.name.split(".")[0]
    others = (path for path in sheet.parent.iterdir() if path.is_file() and path != sheet)
    shared = any(is_sheet(other, sheet.parent) and other.name.split(".")[0] == stem for other in others)
    return sheet.with_name((sheet.name if shared else stem) + ENDING)


def signed(path: Path, by: str) -> tuple[str, int]:
    """The text of a drafted file with every row signed that nobody had, and how many these are.

    Raises UsageError where the file is wrong, or is no draft.
    """
    expectations = read_expectations(path)
    if all(row.confirmed for row in expectations):
        raise UsageError(f"{path}: nothing in it waits for a signature.")
    with path.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    count = 0
    for row in rows:
        if not (row[CONFIRMED] or "").strip():
            row[CONFIRMED] = by
            count += 1
    return as_text(rows), count
