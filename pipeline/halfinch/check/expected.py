"""The `.expected.csv` of a fixture: the columns of the export, and `expect` and `because`.

`size`, `length` and `point` are the key: empty means "not said". Every other column that is empty asks for nothing.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path

from halfinch.errors import UsageError
from halfinch.figure import BASES, CONVENTIONS, STATUSES

EXPORT_COLUMNS = (
    "sheet",
    "merchant",
    "style",
    "style_code",
    "size",
    "size_system",
    "length",
    "point",
    "inches",
    "inches_to",
    "half_inch",
    "tolerance",
    "status",
    "basis",
    "raw",
    "unit",
    "convention",
    "place",
)
EXPECTED_COLUMNS = (*EXPORT_COLUMNS, "expect", "because")
CONFIRMED = "confirmed"
"""Column of a drafted file: who has compared the row with the sheet, and when; empty: nobody. A file without it was
written by a person or a maker."""
EXPECTS = ("value", "hold", "nothing")
_CLOSED = {"status": STATUSES, "basis": BASES, "convention": CONVENTIONS}


@dataclass(frozen=True, slots=True)
class Expectation:
    """One row of an expected file. `asked` holds the filled columns besides the key, as text."""

    line: int
    expect: str
    """value: this figure, clean; hold: a figure a person has to look at; nothing: no such figure at all"""
    sheet: str
    style: str
    size: str
    length: str
    point: str
    inches: Decimal | None
    inches_to: Decimal | None
    asked: dict[str, str]
    because: str = ""
    confirmed: bool = True

    @property
    def key(self) -> tuple[str, str, str]:
        return (self.size, self.length, self.point)


def read_expectations(path: Path) -> list[Expectation]:
    """All rows of an expected file. Raises UsageError naming file, line and column when the file itself is wrong."""
    try:
        rows = _read_rows(path)
    except (UnicodeDecodeError, csv.Error) as error:
        raise UsageError(f"{path}: cannot be read as CSV in UTF-8 ({error}).") from error
    if not rows:
        raise UsageError(f"{path}: says nothing; a sheet without figures of ours needs one row with expect=nothing.")
    return rows


def _read_rows(path: Path) -> list[Expectation]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        reader = csv.DictReader(stream)
        unknown = set(reader.fieldnames or ()) - {*EXPECTED_COLUMNS, CONFIRMED}
        if unknown or "expect" not in (reader.fieldnames or ()):
            what = f"unknown column {sorted(unknown)[0]!r}" if unknown else "no column 'expect'"
            raise UsageError(f"{path}: {what}; its columns are those of the export, and expect and because.")
        return [_read_row(path, reader.line_num, row) for row in reader]


def _read_row(path: Path, line: int, row: dict[str, str]) -> Expectation:
    cells = {name: (text or "").strip() for name, text in row.items() if name is not None}
    where = f"{path}, line {line}"
    expect = cells.get("expect", "")
    if expect not in EXPECTS or None in row:
        raise UsageError(f"{where}: expect is {expect!r} or the row is too long; write value, hold or nothing.")
    for column, allowed in _CLOSED.items():
        if cells.get(column) and cells[column] not in allowed:
            raise UsageError(f"{where}: {column} {cells[column]!r} is none of {', '.join(filter(None, allowed))}.")
    if expect != "nothing" and not cells.get("point"):
        raise UsageError(f"{where}: expect={expect} needs a point of measure.")
    inches = _read_inches(where, "inches", cells.get("inches", ""))
    if expect == "value" and inches is None:
        raise UsageError(f"{where}: expect=value needs inches.")
    key = {"sheet", "style", "size", "length", "point", "inches", "inches_to", "expect", "because", CONFIRMED}
    return Expectation(
        line=line,
        expect=expect,
        sheet=cells.get("sheet", ""),
        style=cells.get("style", ""),
        size=cells.get("size", ""),
        length=cells.get("length", ""),
        point=cells.get("point", ""),
        inches=inches,
        inches_to=_read_inches(where, "inches_to", cells.get("inches_to", "")),
        asked={name: text for name, text in cells.items() if text and name not in key},
        because=cells.get("because", ""),
        confirmed=bool(cells.get(CONFIRMED, "by hand")),
    )


def _read_inches(where: str, column: str, text: str) -> Decimal | None:
    if not text:
        return None
    try:
        return Decimal(text)
    except InvalidOperation as error:
        raise UsageError(f"{where}: {column} {text!r} is no decimal number of inches.") from error


def write_expectations(path: Path, rows: Iterable[dict[str, str]]) -> None:
    """Write rows as an expected file: UTF-8, \\n line ends, the columns of the contract, empty where not given."""
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, EXPECTED_COLUMNS, restval="", lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
